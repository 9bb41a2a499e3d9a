package workers_test

import (
	"context"
	"fmt"

	"example.org/bobweight/springs/workers"
)

func ExampleMap() {
	squares, err := workers.Map(context.Background(), workers.Pool{}, 5, func(i int) (int, error) { return i * i, nil })
	fmt.Println(squares, err)
	// Output: [0 1 4 9 16] <nil>
}

func ExampleWith() {
	// Each goroutine has its own buffer; every piece has its own place.
	words := make([]string, 3)
	_, err := workers.With(context.Background(), workers.Pool{Workers: 2}, len(words),
		func() *[]byte { return new([]byte) },
		func(buffer *[]byte, i int) error {
			*buffer = fmt.Appendf((*buffer)[:0], "spring %d", i+1)
			words[i] = string(*buffer)
			return nil
		})
	fmt.Println(words, err)
	// Output: [spring 1 spring 2 spring 3] <nil>
}

func ExamplePool_Each() {
	p := workers.Pool{Workers: 1, Progress: func(done, total int) { fmt.Println(done, "of", total) }}
	err := p.Each(context.Background(), 2, func(i int) error { return nil })
	fmt.Println(err)
	// Output:
	// 1 of 2
	// 2 of 2
	// <nil>
}
