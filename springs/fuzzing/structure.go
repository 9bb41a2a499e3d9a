package fuzzing

import (
	"encoding/json"
	"maps"
	"slices"
)

// Rewrite changes a JSON document where a person or a program would: a value, a name,
// a list, at any depth. Place chooses where, kind what is done, text is what comes
// there. It returns nil where no JSON can be made of it.
func Rewrite(document []byte, place, kind uint16, text string) []byte {
	var tree any
	if json.Unmarshal(document, &tree) != nil {
		return nil
	}
	spots := walk(nil, tree, func(v any) { tree = v })
	spots[int(place)%len(spots)].change(kind, text)
	data, err := json.Marshal(tree)
	if err != nil {
		return nil
	}
	return data
}

// spot is a place of a document that can be changed.
type spot struct {
	value any
	put   func(any)
	// siblings is the object that holds it, nil in a list; name is its own there.
	siblings map[string]any
	name     string
}

// walk lists every place of a document in a fixed order.
func walk(out []spot, v any, put func(any)) []spot {
	out = append(out, spot{value: v, put: put})
	switch v := v.(type) {
	case map[string]any:
		for _, name := range slices.Sorted(maps.Keys(v)) {
			from := len(out)
			out = walk(out, v[name], func(x any) { v[name] = x })
			out[from].siblings, out[from].name = v, name
		}
	case []any:
		for i := range v {
			out = walk(out, v[i], func(x any) { v[i] = x })
		}
	}
	return out
}

// change puts something else there.
func (s *spot) change(kind uint16, text string) {
	switch kind % 8 {
	case 0:
		s.put(text)
	case 1:
		s.put(nil)
	case 2:
		if s.siblings != nil {
			delete(s.siblings, s.name)
			s.siblings[text] = s.value
		}
	case 3:
		if s.siblings != nil {
			delete(s.siblings, s.name)
		}
	case 4:
		s.put([]any{s.value, s.value, s.value})
	case 5:
		s.put(map[string]any{text: s.value})
	case 6:
		s.put([]any{})
	case 7:
		s.put(json.Number(text))
	}
}
