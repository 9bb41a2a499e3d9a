// Docs builds the site: one folder of pages that work from a disk or from any
// static server, without a request to anywhere else.
//
//	go run -C docs .              into docs/site
//	go run -C docs . -out DIR     into another folder
//	go run -C docs . -serve       build it and serve it on this machine, at the link printed
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/signal"
	"syscall"

	"example.org/bobweight/docs/internal/build"
	"example.org/bobweight/examples/recurve/save"
)

func main() {
	out := flag.String("out", "site", "`folder` for the site")
	root := flag.String("root", "..", "`folder` of the library")
	serve := flag.Bool("serve", false, "serve the site on this machine and print the link")
	address := flag.String("address", "127.0.0.1:8080", "`address` to serve on; another port is taken where this one is in use")
	source := flag.String("source", "", "`address` of a line of source in your repository, with {file} and {line} in it; empty shows the files in the site itself")
	flag.Parse()
	o := options{root: *root, out: *out, source: *source}
	if *serve {
		o.address = *address
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	if err := run(ctx, o, flag.Args()); err != nil {
		fmt.Fprintln(os.Stderr, "docs:", err)
		stop()
		os.Exit(1)
	}
}

// options are what the command line says.
type options struct {
	root, out, source string
	address           string // to serve on; empty builds only
}

func run(ctx context.Context, o options, rest []string) error {
	if len(rest) > 0 {
		return fmt.Errorf("what is %q? The folder is given with -out", rest[0])
	}
	folder, err := build.Folder(o.out)
	if err != nil {
		return err
	}
	site, err := write(ctx, o, folder)
	if err := errors.Join(err, folder.Close()); err != nil || o.address == "" {
		return err
	}
	return serve(ctx, o.address, site, os.Stdout)
}

// write builds the site and writes it.
func write(ctx context.Context, o options, folder *save.Folder) (build.Site, error) {
	site, err := build.Build(ctx, build.Options{Root: o.root, Source: o.source, Progress: func(what string) { fmt.Fprintln(os.Stderr, what) }})
	if err != nil {
		return nil, err
	}
	if err := site.Write(folder); err != nil {
		return nil, err
	}
	fmt.Printf("%d files written to %s; open index.html there.\n", len(site), o.out)
	return site, nil
}
