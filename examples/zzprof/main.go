package main

import (
	"context"
	"fmt"
	"os"
	"runtime/pprof"
	"syscall"
	"time"

	"example.org/bobweight/advance/job"
	"example.org/bobweight/examples/recurve/results"
)

func cpu() time.Duration {
	var r syscall.Rusage
	syscall.Getrusage(syscall.RUSAGE_SELF, &r)
	return time.Duration(r.Utime.Nano() + r.Stime.Nano())
}

func main() {
	text, err := os.ReadFile("examples/recurve/demo.json")
	if err != nil {
		panic(err)
	}
	f, _ := os.Create(os.Args[1])
	pprof.StartCPUProfile(f)
	for range 8 {
		var last time.Duration
		what := ""
		parts := map[string]time.Duration{}
		var order []string
		mark := func(w string) {
			now := cpu()
			if what != "" {
				if parts[what] == 0 {
					order = append(order, what)
				}
				parts[what] += now - last
			}
			what, last = w, now
		}
		mark("read")
		j, err := job.Read(text, os.ReadFile)
		if err != nil {
			panic(err)
		}
		mark("begin")
		r, err := j.Run(context.Background(), func(w string, _ float64) { mark(w) })
		if err != nil {
			panic(err)
		}
		mark("render")
		results.Stamp(r)
		_, err = results.Files(j, r)
		if err != nil {
			panic(err)
		}
		mark("end")
		for _, o := range order {
			fmt.Printf("%s %.0f; ", o, parts[o].Seconds()*1e3)
		}
		fmt.Println()
	}
	pprof.StopCPUProfile()
}
