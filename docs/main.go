// Docs builds the site: one folder of pages that work from a disk or from any
// static server, without a request to anywhere else.
//
//	go run -C docs .              into docs/site
//	go run -C docs . -out DIR     into another folder
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
	flag.Parse()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	if err := run(ctx, *root, *out, flag.Args()); err != nil {
		fmt.Fprintln(os.Stderr, "docs:", err)
		stop()
		os.Exit(1)
	}
}

func run(ctx context.Context, root, out string, rest []string) error {
	if len(rest) > 0 {
		return fmt.Errorf("what is %q? The folder is given with -out", rest[0])
	}
	folder, err := build.Folder(out)
	if err != nil {
		return err
	}
	return errors.Join(write(ctx, root, out, folder), folder.Close())
}

// write builds the site and writes it.
func write(ctx context.Context, root, out string, folder *save.Folder) error {
	site, err := build.Build(ctx, build.Options{Root: root, Progress: func(what string) { fmt.Fprintln(os.Stderr, what) }})
	if err != nil {
		return err
	}
	if err := site.Write(folder); err != nil {
		return err
	}
	fmt.Printf("%d files written to %s; open index.html there.\n", len(site), out)
	return nil
}
