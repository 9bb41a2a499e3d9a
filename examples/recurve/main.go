// Recurve does the whole job: it reads a job file with timing-light readings,
// the engine, the distributor and the drawer of parts, and says what the
// readings mean, what is wrong, what the engine wants, which parts to fit, and
// what to set and check.
//
//	recurve                     the demo job that is built in
//	recurve -demo saloon-1      another one; saloon-2 and saloon-3 go on with its story
//	recurve -job my-job.json    a job of your own
//
// It prints the report and puts the files named at the end of it into a folder
// beside the job (-out names another one). They appear whole or not at all. A folder
// that exists is left alone; -force puts these results in the place of earlier ones,
// and a folder that holds anything else is refused. What the program has read is
// never written over.
//
// A job that cannot be read ends with its mistakes on the standard error, each with
// line and field, and exit status 1, and nothing is written. An interrupt ends the
// program within a second; it prints what is known by then and writes nothing.
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
	"strings"
	"syscall"

	"example.org/bobweight/advance/job"
	"example.org/bobweight/examples/recurve/results"
	"example.org/bobweight/examples/recurve/save"
)

//go:embed demo.json
var demo []byte

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	// A reader that has seen enough, such as head, does not cost the files.
	signal.Ignore(syscall.SIGPIPE)
	if err := run(ctx, os.Args[1:], os.Stdout, os.Stderr); err != nil {
		if errors.Is(err, flag.ErrHelp) {
			return
		}
		fmt.Fprintln(os.Stderr, "recurve:", plain(err.Error()))
		stop()
		os.Exit(1)
	}
}

// options are what the command line says.
type options struct {
	job, out, demo       string
	force, show, version bool
}

// parse reads the command line.
func parse(args []string, stderr io.Writer) (o options, err error) {
	flags := flag.NewFlagSet("recurve", flag.ContinueOnError)
	flags.SetOutput(io.Discard)
	flags.StringVar(&o.job, "job", "", "job `file` (JSON); without it the demo job runs")
	flags.StringVar(&o.out, "out", "", "`folder` for the results; default is one beside the job")
	flags.BoolVar(&o.force, "force", false, "put the results in the place of earlier ones")
	flags.StringVar(&o.demo, "demo", demoNames[0], "built-in `job` to run: "+strings.Join(demoNames, ", "))
	flags.BoolVar(&o.show, "show-demo", false, "print the demo job, to start your own from, and end")
	flags.BoolVar(&o.version, "version", false, "print the version of the program, and end")
	if err := flags.Parse(args); err != nil {
		if errors.Is(err, flag.ErrHelp) {
			flags.SetOutput(stderr)
			flags.Usage()
		}
		return o, err
	}
	flags.Visit(func(f *flag.Flag) {
		if f.Value.String() == "" {
			err = fmt.Errorf("-%s is given without a name", f.Name)
		}
	})
	if err == nil && flags.NArg() > 0 {
		err = fmt.Errorf("what is %q? A job is given with -job", flags.Arg(0))
	}
	return o, err
}

// run is the program with its surroundings handed in.
func run(ctx context.Context, args []string, stdout, stderr io.Writer) error {
	o, err := parse(args, stderr)
	switch {
	case err != nil:
		return err
	case o.version:
		_, err := fmt.Fprintln(stdout, results.Version())
		return err
	case o.show:
		text, err := builtIn(o.demo)
		if err == nil {
			_, err = stdout.Write(text)
		}
		return err
	}
	source := &source{ctx: ctx, file: o.job, demo: o.demo}
	j, err := source.open()
	if err != nil {
		return err
	}
	if o.out == "" {
		o.out = source.name() + "-recurved"
	}
	folder, err := save.Open(o.out, save.Options{
		Own: isResult, Replace: o.force, Read: source.read,
		Advice: "; name another folder with -out, or replace the results with -force",
	})
	if err != nil {
		return err
	}
	return errors.Join(work(ctx, j, o, folder, stdout, stderr), folder.Close())
}

// work runs the job, prints the report, and then saves: a report that cannot be
// saved is not lost.
func work(ctx context.Context, j *job.Job, o options, folder *save.Folder, stdout, stderr io.Writer) error {
	out := &printer{w: stdout}
	bar := newBar(stderr)
	alone := drawAlone(j)
	report, err := runJob(ctx, j, bar.show)
	bar.clear()
	if err != nil {
		if report != nil {
			err = errors.Join(err, report.Text(out))
		}
		return source{file: o.job}.of(err)
	}
	results.Stamp(report)
	printed := report.Text(out)
	files, names, err := render(j, report, alone)
	if err != nil {
		return errors.Join(printed, err)
	}
	if err := folder.Save(files); err != nil {
		if printed != nil {
			return errors.Join(printed, fmt.Errorf("nor are its files written: %w", err))
		}
		return fmt.Errorf("the report is printed, but its files are not written: %w", err)
	}
	fmt.Fprintf(out, "\nWritten to %s: %s.\n", o.out, strings.Join(names, ", "))
	return printed
}
