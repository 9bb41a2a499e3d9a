// Recurve does the whole job: it reads a job file with timing-light readings,
// the engine, the distributor and the drawer of parts, and says what the
// readings mean, what is wrong, what the engine wants, which parts to fit, and
// what to set and check.
//
//	recurve                     the demo job that is built in
//	recurve -job my-job.json    a job of your own
//
// It prints the report and writes curve.svg, curve.png, sheet.txt, curves.csv
// and result.json into a folder beside the job (-out names another one). Files
// that exist are left alone unless -force is given. A job that cannot be read
// ends with one sentence on the standard error and exit status 1, and nothing is
// written.
package main

import (
	"context"
	_ "embed"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"strings"

	"example.org/bobweight/advance/job"
	"example.org/bobweight/advance/strict"
)

//go:embed demo.json
var demo []byte

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := run(ctx, os.Args[1:], os.Stdout, os.Stderr); err != nil {
		if errors.Is(err, flag.ErrHelp) {
			return
		}
		fmt.Fprintln(os.Stderr, "recurve:", err)
		stop()
		os.Exit(1)
	}
}

// run is the program with its surroundings handed in.
func run(ctx context.Context, args []string, stdout, stderr io.Writer) error {
	flags := flag.NewFlagSet("recurve", flag.ContinueOnError)
	flags.SetOutput(io.Discard)
	file := flags.String("job", "", "job `file` (JSON); without it the demo job runs")
	out := flags.String("out", "", "`folder` for the results; default is one beside the job")
	force := flags.Bool("force", false, "write over files that exist")
	show := flags.Bool("show-demo", false, "print the demo job, to start your own from, and end")
	if err := flags.Parse(args); err != nil {
		if errors.Is(err, flag.ErrHelp) {
			flags.SetOutput(stderr)
			flags.Usage()
		}
		return err
	}
	var empty error
	flags.Visit(func(f *flag.Flag) {
		if f.Value.String() == "" {
			empty = fmt.Errorf("-%s is given without a name", f.Name)
		}
	})
	if empty != nil {
		return empty
	}
	if flags.NArg() > 0 {
		return fmt.Errorf("what is %q? A job is given with -job", flags.Arg(0))
	}
	if *show {
		_, err := stdout.Write(demo)
		return err
	}
	j, name, err := open(*file)
	if err != nil {
		return err
	}
	folder := *out
	if folder == "" {
		folder = name + "-recurved"
	}
	if err := free(folder, *force); err != nil {
		return err
	}
	bar := newBar(stderr)
	report, err := j.Run(ctx, bar.show)
	bar.clear()
	if err != nil && *file != "" {
		return fmt.Errorf("%s: %w", *file, err)
	}
	if err != nil {
		return err
	}
	files, err := render(report)
	if err != nil {
		return err
	}
	if err := save(folder, files); err != nil {
		return err
	}
	if err := report.Text(stdout); err != nil {
		return err
	}
	fmt.Fprintf(stdout, "\nWritten to %s: %s.\n", folder, strings.Join(fileNames, ", "))
	return nil
}

// open reads a job file, or the demo for an empty name, and returns the path
// without its extension, beside which the results go.
func open(file string) (j *job.Job, name string, err error) {
	if file == "" {
		j, err = job.Read(demo, nil)
		return j, "demo", err
	}
	data, err := readSmall(file)
	if err != nil {
		return nil, "", err
	}
	j, err = job.Read(data, func(csv string) ([]byte, error) {
		if !filepath.IsLocal(csv) {
			return nil, fmt.Errorf("%q is not a file beside the job", csv)
		}
		return readSmall(filepath.Join(filepath.Dir(file), csv))
	})
	if err != nil {
		return nil, "", fmt.Errorf("%s: %w", file, err)
	}
	return j, bare(file), nil
}

// bare is a path without its extension; a name that is nothing else, such as
// .json, stays whole.
func bare(file string) string {
	if ext := filepath.Ext(file); ext != filepath.Base(file) {
		return strings.TrimSuffix(file, ext)
	}
	return file
}

// readSmall reads a file of at most the size that a job can have.
func readSmall(name string) ([]byte, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, strict.MaxBytes+1))
	if err != nil {
		return nil, err
	}
	if len(data) > strict.MaxBytes {
		return nil, fmt.Errorf("%s: the file holds more than %d bytes, too long for a job", name, strict.MaxBytes)
	}
	return data, nil
}
