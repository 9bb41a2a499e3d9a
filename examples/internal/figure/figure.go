// Package figure is what the studies share: one look for their plots, and one way
// of writing them.
package figure

import (
	"flag"
	"fmt"
	"image/color"
	"io"
	"path/filepath"

	"example.org/bobweight/examples/recurve/save"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
)

// Colours that stay apart in grey print and for colour-blind eyes (after Okabe and
// Ito, Color Universal Design, 2008).
var (
	Blue   = color.NRGBA{R: 0, G: 114, B: 178, A: 255}
	Orange = color.NRGBA{R: 213, G: 94, B: 0, A: 255}
	Green  = color.NRGBA{R: 0, G: 158, B: 115, A: 255}
	Purple = color.NRGBA{R: 204, G: 121, B: 167, A: 255}
	Grey   = color.NRGBA{R: 90, G: 90, B: 90, A: 255}
)

// Size of every plot.
const (
	Width  = 24 * vg.Centimeter
	Height = 15 * vg.Centimeter
)

// Figure is a plot under the name of its file.
type Figure struct {
	Name string // without folder and ending
	Plot *Plot
}

// New returns an empty plot in the common look.
func New(title, x, y string) *Plot {
	p := &Plot{Plot: plot.New()}
	p.Legend = Legend{Legend: &p.Plot.Legend, names: map[plot.Thumbnailer]string{}}
	p.Title.Text, p.X.Label.Text, p.Y.Label.Text = title, x, y
	p.Title.Padding = vg.Points(6)
	p.Legend.Padding = vg.Points(2)
	for _, style := range []*text.Style{&p.Title.TextStyle, &p.X.Label.TextStyle, &p.Y.Label.TextStyle, &p.X.Tick.Label, &p.Y.Tick.Label, &p.Legend.TextStyle} {
		style.Font.Variant = "Sans"
	}
	return p
}

// Main is the program of a study: it takes -out DIR from the arguments, tries whether it
// can write there, draws the figures and writes each as SVG and PNG, and its numbers as CSV; with -small each also
// as a picture for a list of studies. It returns the exit status.
func Main(args []string, out, problems io.Writer, draw func() ([]Figure, error)) int {
	flags := flag.NewFlagSet("study", flag.ContinueOnError)
	flags.SetOutput(problems)
	dir := flags.String("out", ".", "folder to write the plots to")
	small := flags.Bool("small", false, "also write each plot small and without words")
	if err := flags.Parse(args); err != nil {
		return 2
	}
	formats := []string{"svg", "png", "csv"}
	if *small {
		formats = append(formats, Small)
	}
	if flags.NArg() > 0 {
		fmt.Fprintf(problems, "%q is not understood\n", flags.Arg(0))
		return 2
	}
	if err := save.Files(*dir, nil); err != nil { // tried before anything is computed
		fmt.Fprintln(problems, err)
		return 1
	}
	figures, err := draw()
	if err != nil {
		fmt.Fprintln(problems, err)
		return 1
	}
	if err := Write(*dir, figures, out, formats...); err != nil {
		fmt.Fprintln(problems, err)
		return 1
	}
	return 0
}

// Write saves the figures to a folder, which it makes if need be, in each format,
// and names every file on out. A picture of the same name is replaced; each appears
// whole, and none before all are drawn.
func Write(dir string, figures []Figure, out io.Writer, formats ...string) error {
	files := map[string][]byte{}
	var names []string
	for _, f := range figures {
		for _, format := range formats {
			data, err := f.Plot.File(format)
			if err != nil {
				return err
			}
			name := f.Name + "." + format
			files[name], names = data, append(names, name)
		}
	}
	if err := save.Files(dir, files); err != nil {
		return err
	}
	for _, name := range names {
		if _, err := fmt.Fprintln(out, filepath.Join(dir, name)); err != nil {
			return err
		}
	}
	return nil
}
