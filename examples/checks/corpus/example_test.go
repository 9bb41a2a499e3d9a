package corpus_test

import (
	"fmt"
	"os"
	"testing/fstest"

	"example.org/bobweight/examples/checks/corpus"
)

// A corpus of one source with one worked example, and what the run makes of it.
func Example() {
	book := `{
	  "source": {"author": "A. Thompson, B. N. Taylor", "title": "NIST SP 811", "year": "2008", "seen": "Appendix B.8"},
	  "cases": [{
	    "id": "psi", "calculation": "unit factor", "kind": "published",
	    "locator": "Appendix B.8", "provenance": "read", "confidence": "high",
	    "given": {"value": "1 psi"}, "find": {"SI": "6894.757 Pa"}
	  }]
	}`
	files, err := corpus.Load(fstest.MapFS{"corpus/sp811.json": {Data: []byte(book)}}, "corpus")
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, row := range corpus.Run(files, corpus.Settings{}).Rows {
		fmt.Printf("%s: published %s, computed %s, difference %s: %s\n", row.Case, row.Published, row.Computed, row.Difference, row.Outcome)
	}
	if err := corpus.Run(files, corpus.Settings{}).Summary(os.Stdout); err != nil {
		fmt.Println(err)
	}
	// Output:
	// psi: published 6894.757 Pa, computed 6894.75729, difference 0.00029: agrees
	// kind       provenance  cases  values  errata  failing
	// published  read        1      1       0       0
	// published cases read: 1, from 1 sources
}

// A value without its unit is refused with file, line and field.
func ExampleLoad() {
	book := `{
	  "source": {"author": "A. Author", "title": "A Book", "seen": "the library"},
	  "cases": [{
	    "id": "x", "calculation": "unit factor", "kind": "published",
	    "locator": "p. 1", "provenance": "read", "confidence": "high",
	    "given": {"value": "1 psi"},
	    "find": {"SI": "6894.757"}
	  }]
	}`
	_, err := corpus.Load(fstest.MapFS{"corpus/book.json": {Data: []byte(book)}}, "corpus")
	fmt.Println(err)
	// Output:
	// corpus: book.json: line 7: cases[0].find.SI: case "x": quantity: wrong unit: "6894.757" has no unit; a plain number is written with the unit 1
}
