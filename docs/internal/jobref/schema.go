package jobref

import (
	"encoding/json"
	"fmt"
)

// Patterns of the texts. Which units a kind takes is said in words: any product
// and quotient of the right dimension will do.
const (
	numberText   = `^\s*[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?`
	quantityText = numberText + `\s*(:\s*1|[^\s\d.+-].*|1|1/.+)\s*$`
	shaftText    = numberText + `\s*[a-zA-Z/^0-9. -]+\s+(crank|dist)\s*$`
	octaneText   = numberText + `\s+(RON|MON|\(R\+M\)/2)\s*$`
)

// Schema returns the JSON schema (draft 2020-12) of a job file.
func (r *Reference) Schema() ([]byte, error) {
	defs := map[string]any{}
	for _, f := range r.Kinds {
		pattern := quantityText
		switch f.Kind {
		case "shaft angle", "shaft speed":
			pattern = shaftText
		case "octane number":
			pattern = octaneText
		}
		defs[f.Kind] = map[string]any{"type": "string", "pattern": pattern, "description": "A " + f.Kind + " as a text with its unit: " + f.Units + "."}
	}
	for _, o := range r.Objects[1:] {
		defs[o.Name] = o.schema()
	}
	root := r.Objects[0].schema()
	root["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	root["title"] = "Job file of bobweight"
	root["$defs"] = defs
	data, err := json.MarshalIndent(root, "", "  ")
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrReference, err)
	}
	return append(data, '\n'), nil
}

func (o *Object) schema() map[string]any {
	fields := map[string]any{}
	for _, f := range o.Fields {
		fields[f.Name] = f.schema()
	}
	s := map[string]any{"type": "object", "description": o.Comment, "properties": fields, "additionalProperties": false}
	var all []any
	for _, e := range o.Either {
		all = append(all, map[string]any{"not": map[string]any{"required": e}})
	}
	if all != nil {
		s["allOf"] = all
	}
	return s
}

func (f *Field) schema() map[string]any {
	var one map[string]any
	switch f.Kind {
	case "text":
		one = map[string]any{"type": "string"}
	case "number":
		one = map[string]any{"type": "integer"}
	case "true or false":
		one = map[string]any{"type": "boolean"}
	default:
		one = map[string]any{"$ref": "#/$defs/" + f.Kind}
	}
	if f.Rows {
		one = map[string]any{"type": "array", "items": one}
	}
	if f.List {
		one = map[string]any{"type": "array", "items": one}
	}
	if f.Comment != "" {
		one["description"] = f.Comment
	}
	return one
}
