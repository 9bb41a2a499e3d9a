module example.org/bobweight/docs

go 1.26

require example.org/bobweight v0.0.0

require github.com/yuin/goldmark v1.8.7

require (
	golang.org/x/tools v0.36.0 // indirect
	gonum.org/v1/gonum v0.17.0 // indirect
)

replace example.org/bobweight => ../
