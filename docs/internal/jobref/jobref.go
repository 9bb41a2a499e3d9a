// Package jobref makes the reference and the JSON schema of the job file from
// the Go types that read it: names and kinds by reflection, meanings from the
// comments in their source, units from what the types say when they refuse a
// bare number, and what may be left out by leaving it out of an example.
package jobref

import (
	"encoding"
	"encoding/json"
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"strings"

	"example.org/bobweight/advance/job"
)

// ErrReference is wrapped by every error of this package.
var ErrReference = errors.New("job file reference cannot be made")

// Object is one kind of JSON object in a job file.
type Object struct {
	Name    string // of the Go type
	Comment string
	Fields  []*Field
	// Either lists pairs of fields of which at most one may stand in the file.
	Either [][]string
}

// Field is one field of an object.
type Field struct {
	Name    string // in JSON
	Comment string
	Kind    string // "text", "number", "true or false", "length", ..., or the name of an Object
	Units   string // for a quantity: the units named when none is given
	List    bool
	Rows    bool    // a list of lists
	For     string  // the answer that needs it; empty where no answer does
	Object  *Object // nil for a plain value
}

// Reference is the whole job file, the file itself first.
type Reference struct {
	Objects []*Object
	Kinds   []*Field // one field of each kind of quantity, in the order of first use
}

var unmarshaler = reflect.TypeFor[encoding.TextUnmarshaler]()

// New reads the comments under root, the library's folder, and tries what may be
// left out of the example, a job that is accepted.
func New(root string, example []byte) (*Reference, error) {
	comments, err := read(filepath.Join(root, "advance", "job", "internal", "schema"))
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrReference, err)
	}
	r := &Reference{}
	w := walker{r: r, comments: comments, kinds: map[string]bool{}}
	if _, err := w.object(reflect.TypeFor[job.File]()); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrReference, err)
	}
	if err := r.try(example); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrReference, err)
	}
	return r, nil
}

// read collects the comments of types under their name and of fields under
// "Type.Field".
func read(folder string) (map[string]string, error) {
	names, err := filepath.Glob(filepath.Join(folder, "*.go"))
	if err != nil {
		return nil, err
	}
	comments := map[string]string{}
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		source, err := os.ReadFile(name)
		if err != nil {
			return nil, err
		}
		f, err := parser.ParseFile(token.NewFileSet(), name, source, parser.ParseComments)
		if err != nil {
			return nil, err
		}
		ast.Inspect(f, func(n ast.Node) bool {
			d, ok := n.(*ast.GenDecl)
			if !ok {
				return true
			}
			for _, spec := range d.Specs {
				t, ok := spec.(*ast.TypeSpec)
				if !ok {
					continue
				}
				comments[t.Name.Name] = line(d.Doc.Text())
				if s, ok := t.Type.(*ast.StructType); ok {
					for _, field := range s.Fields.List {
						for _, id := range field.Names {
							comments[t.Name.Name+"."+id.Name] = line(field.Doc.Text() + " " + field.Comment.Text())
						}
					}
				}
			}
			return true
		})
	}
	return comments, nil
}

func line(s string) string { return strings.Join(strings.Fields(s), " ") }

// walker follows the types.
type walker struct {
	r        *Reference
	comments map[string]string
	kinds    map[string]bool
}

func (w *walker) object(t reflect.Type) (*Object, error) {
	for _, o := range w.r.Objects {
		if o.Name == t.Name() {
			return o, nil
		}
	}
	o := &Object{Name: t.Name(), Comment: w.comments[t.Name()]}
	w.r.Objects = append(w.r.Objects, o)
	for i := range t.NumField() {
		f := t.Field(i)
		one := &Field{Name: f.Tag.Get("json"), Comment: w.comments[t.Name()+"."+f.Name]}
		if one.Name == "" {
			return nil, fmt.Errorf("%s.%s has no name in JSON", t.Name(), f.Name)
		}
		of := f.Type
		for of.Kind() == reflect.Pointer || of.Kind() == reflect.Slice {
			one.Rows = one.Rows || one.List && of.Kind() == reflect.Slice
			one.List = one.List || of.Kind() == reflect.Slice
			of = of.Elem()
		}
		if err := w.kind(one, of); err != nil {
			return nil, fmt.Errorf("%s.%s: %w", t.Name(), f.Name, err)
		}
		o.Fields = append(o.Fields, one)
	}
	return o, nil
}

var unitsNamed = regexp.MustCompile(`has no unit; (.+) needs one of (.+)$`)

// kind says what a field holds.
func (w *walker) kind(f *Field, t reflect.Type) (err error) {
	switch {
	case reflect.PointerTo(t).Implements(unmarshaler):
		err := reflect.New(t).Interface().(encoding.TextUnmarshaler).UnmarshalText([]byte("1"))
		if err == nil {
			return fmt.Errorf("%s takes a bare number", t)
		}
		if m := unitsNamed.FindStringSubmatch(err.Error()); m != nil {
			f.Kind, f.Units = m[1], m[2]
		} else { // not a quantity: what it says about itself
			_, says, _ := strings.Cut(err.Error(), "such as ")
			f.Kind, f.Units = strings.ToLower(t.Name())+" number", says
		}
		if !w.kinds[f.Kind] {
			w.kinds[f.Kind] = true
			w.r.Kinds = append(w.r.Kinds, f)
		}
	case t.Kind() == reflect.Struct:
		f.Kind = t.Name()
		f.Object, err = w.object(t)
		return err
	case t.Kind() == reflect.String:
		f.Kind = "text"
	case t.Kind() == reflect.Int:
		f.Kind = "number"
	case t.Kind() == reflect.Bool:
		f.Kind = "true or false"
	default:
		return fmt.Errorf("%s is not a kind that a job file holds", t)
	}
	return nil
}

// alternatives are fields of which at most one may stand in an object.
var alternatives = map[string][][]string{
	"File":        {{"readings", "readings_csv"}},
	"Distributor": {{"cam_per_swing", "cam_pin"}, {"cam_per_swing", "cam_table"}, {"cam_pin", "cam_table"}},
	"Place":       {{"plate_post", "posts_apart"}, {"weight_post", "posts_apart"}},
	"Spring":      {{"rate", "wire"}, {"rate", "hung"}, {"wire", "hung"}},
	"Hung":        {{"mass", "force"}},
	"PumpReading": {{"shows", "rod"}, {"shows", "arm"}, {"rod", "arm"}},
	"Weight":      {{"centre", "centre_to_pivot"}},
}

// try leaves each field of the example out in turn and looks for which answers the job
// then asks for it.
func (r *Reference) try(example []byte) error {
	if _, err := job.Read(example, nil); err != nil {
		return fmt.Errorf("the example is refused: %w", err)
	}
	var whole any
	if err := json.Unmarshal(example, &whole); err != nil {
		return err
	}
	for _, o := range r.Objects {
		o.Either = alternatives[o.Name]
	}
	return r.without(r.Objects[0], whole, "", func(path string) (string, error) {
		text, err := json.Marshal(whole)
		if err != nil {
			return "", err
		}
		j, err := job.Read(text, nil)
		if err != nil {
			return "", fmt.Errorf("without %s: %w", path, err)
		}
		for _, s := range j.Asks() {
			for _, m := range s.Missing {
				if m.Field == path {
					return s.Stage, nil
				}
			}
		}
		return "", nil
	})
}

// without tries the fields of one object of the example; asked tells which answer needs
// the field that was just left out.
func (r *Reference) without(o *Object, value any, path string, asked func(path string) (string, error)) error {
	object, ok := value.(map[string]any)
	if !ok {
		return fmt.Errorf("the example has no object where a %s belongs", o.Name)
	}
	for _, f := range o.Fields {
		kept, given := object[f.Name]
		if !given {
			continue
		}
		at := strings.TrimPrefix(path+"."+f.Name, ".")
		delete(object, f.Name)
		stage, err := asked(at)
		object[f.Name] = kept
		if err != nil {
			return err
		}
		if stage != "" {
			f.For = stage
		}
		if f.Object == nil {
			continue
		}
		if !f.List {
			if err := r.without(f.Object, kept, at, asked); err != nil {
				return err
			}
			continue
		}
		list, _ := kept.([]any)
		for i, one := range list {
			if err := r.without(f.Object, one, fmt.Sprintf("%s[%d]", at, i), asked); err != nil {
				return err
			}
		}
	}
	return nil
}
