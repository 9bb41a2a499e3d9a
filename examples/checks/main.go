// Command checks runs the worked-example corpus and prints the table "checked
// against": what was published, what the library computes, the difference.
//
//	go run ./examples/checks              published values and counts
//	go run ./examples/checks -all         every kind of case
//	go run ./examples/checks -file bevan  only sources whose file name holds the text
//	go run ./examples/checks -subject springs  only one subject
//	go run ./examples/checks -list        the calculations that a case can name, what they ask for and find
//	go run ./examples/checks -exact       all tolerances zero, to see residuals
//	go run ./examples/checks -json        everything as JSON
//	go run ./examples/checks -markdown    the page for the documentation
//
// It exits 1 when the corpus cannot be read or a comparison fails.
package main

import (
	"flag"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"example.org/bobweight/examples/checks/corpus"
	"example.org/bobweight/testdata"
)

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

// options are what the command line says.
type options struct {
	json, markdown, all, exact, list bool
	file, subject                    string
}

// run is the program without its surroundings; it returns the exit status.
func run(args []string, out, problems io.Writer) int {
	var o options
	flags := flag.NewFlagSet("checks", flag.ContinueOnError)
	flags.SetOutput(problems)
	flags.BoolVar(&o.json, "json", false, "write everything as JSON")
	flags.BoolVar(&o.markdown, "markdown", false, "write published values and counts as Markdown")
	flags.BoolVar(&o.all, "all", false, "print every kind of case, not only published values")
	flags.BoolVar(&o.exact, "exact", false, "set all tolerances to zero, to see residuals")
	flags.StringVar(&o.file, "file", "", "print only sources whose file name holds this text")
	flags.BoolVar(&o.list, "list", false, "list the calculations that a case can name, what they ask for and what they find")
	flags.StringVar(&o.subject, "subject", "", "print only one subject: mechanism, springs, engine, gas, vacuum or trade")
	if err := flags.Parse(args); err != nil {
		return 2
	}
	if flags.NArg() > 0 {
		fmt.Fprintf(problems, "checks: %q is not understood\n", flags.Arg(0))
		return 2
	}
	if o.subject != "" && !slices.Contains(corpus.Subjects(), corpus.Subject(o.subject)) {
		fmt.Fprintf(problems, "checks: subject is %q, valid is mechanism, springs, engine, gas, vacuum or trade\n", o.subject)
		return 2
	}
	files, err := corpus.Load(testdata.Corpus, "corpus")
	if err != nil {
		fmt.Fprintln(problems, err)
		return 1
	}
	if o.list {
		if err := corpus.List(out, corpus.Calculations(files)); err != nil {
			fmt.Fprintln(problems, "checks:", err)
			return 1
		}
		return 0
	}
	return o.show(corpus.Run(files, corpus.Settings{Exact: o.exact}), out, problems)
}

// show writes the report in the wanted form, and what is wrong in it.
func (o options) show(r corpus.Report, out, problems io.Writer) int {
	part := r.Of(func(row corpus.Row) bool {
		return strings.Contains(row.File, o.file) && (o.subject == "" || string(row.Subject) == o.subject)
	})
	if err := o.write(part, out); err != nil {
		fmt.Fprintln(problems, "checks:", err)
		return 1
	}
	bad := r.Bad()
	for _, line := range bad {
		fmt.Fprintln(problems, line)
	}
	if len(bad) > 0 {
		return 1
	}
	return 0
}

func (o options) write(r corpus.Report, out io.Writer) error {
	switch {
	case o.json:
		return r.JSON(out)
	case o.markdown:
		return r.Markdown(out)
	}
	kinds := corpus.Kinds()
	if !o.all {
		kinds = kinds[:2] // published and measured
	}
	for _, k := range kinds {
		if !slices.ContainsFunc(r.Rows, func(row corpus.Row) bool { return row.Kind == k }) {
			continue
		}
		if _, err := fmt.Fprintf(out, "%s\n", strings.ToUpper(string(k))); err != nil {
			return err
		}
		if err := r.Table(out, k); err != nil {
			return err
		}
		if _, err := fmt.Fprintln(out); err != nil {
			return err
		}
	}
	if err := r.MeasuredSummary(out); err != nil {
		return err
	}
	if err := r.SubjectSummary(out); err != nil {
		return err
	}
	if _, err := fmt.Fprintln(out); err != nil {
		return err
	}
	return r.Summary(out)
}
