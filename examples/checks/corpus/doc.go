// Package corpus checks the library against the outside world: it reads the
// worked examples in testdata/corpus, drives the library's calculations with
// their data and compares what comes out with what was published.
//
// Command example.org/bobweight/examples/checks prints the table "checked
// against" from it, and this package's own test runs everything under
// go test ./...
//
// # How to add a worked example
//
// 1. Find or make the file of its source, testdata/corpus/SOURCE.json. One file
// holds one source; whoever brings a source makes its file, and nobody needs to
// touch another file. Files are found by themselves.
//
//	{
//	  "source": {
//	    "author": "T. Bevan",
//	    "title": "The Theory of Machines",
//	    "edition": "3rd ed. (2005 reprint)",
//	    "seen": "open textbook companion, https://...",
//	    "note": "The companion reworks the book's examples; the page was not seen."
//	  },
//	  "cases": [
//	    {
//	      "id": "mech-gov-001",
//	      "calculation": "porter governor",
//	      "kind": "published",
//	      "locator": "ch. 13, Example 1, p. 459",
//	      "provenance": "read",
//	      "confidence": "high",
//	      "given": {"ball mass": "15 lb", "radius": "8 in", "arm": "12 in", "law": "offset arms"},
//	      "find": {"speed": "176.2 rpm"},
//	      "note": "..."
//	    }
//	  ]
//	}
//
// Ids are short and unique over all files. A value from the project's survey of
// published values keeps its id there (mech-..., eng-...); where one example
// makes several cases, they add a letter: mech-spr-003-a. A value of that survey
// that is not carried stands in testdata/NOT-CARRIED.md with the reason.
//
// 2. Name the calculation: go run ./examples/checks -list prints what each drives,
// asks for and finds. If none fits, write one in the calc_*.go file of your
// package (or a new one) and register it in that file's init: a function that
// takes the givens by name in SI, calls the library, and returns what it found
// with dimensions.
//
//	func init() {
//		register("spring rate", "design.Wire.Rate", func(g *Given) (Found, error) {
//			w := design.Wire{Diameter: g.SI("wire", dimLength), ...}
//			k, err := w.Rate()
//			return Found{"rate": SI(k, dimStiffness)}, err
//		})
//	}
//
// A calculation calls the library and does nothing else that could be wrong: no
// formula of its own where the library has one. A Given that has no such name or
// another dimension notes the error itself, so a calculation needs no checks.
//
// 3. Run go test ./examples/checks/corpus, and go run ./examples/checks -file
// SOURCE to see published, computed and difference.
//
// # Values
//
// A given is a text. If it starts with a digit or a sign it is a quantity with
// its unit as package quantity reads it ("9.4 lbf/in", "12 deg crank", "90 1"
// for a plain number), otherwise it is a word ("music wire"). Lists of values
// stand under "lists", and lists of named groups, such as the parts of a figure
// or the vertices of an outline, under "groups":
//
//	"given":  {"thickness": "3 mm", "material": "steel"},
//	"lists":  {"speeds": ["300 rpm", "400 rpm"]},
//	"groups": {"outline": [{"x": "0 mm", "y": "0 mm"}, {"x": "-5 mm", "y": "2 mm"}]}
//
// Every given must be asked for by the calculation: one that is not is most
// likely a misspelt option, and fails.
//
// A find is the published number to the published digits, with its unit. The
// computed value must agree to half a unit of the last digit written. Where
// that is not so, one of these says it by the name of the find:
//
//	"rounding":  {"speed": "10 rpm"}   the last digit that counts is not the last written one
//	"rounding":  {"ratio": "exact"}    agreement to 1e-12 of the value, the cost of arithmetic
//	"tolerance": {"force": {"within": "1 %", "because": "intermediate values are rounded to three digits"}}
//	"erratum":   {"force": "the source divides by 2 twice"}
//
// and a fact that is a range has no find but
//
//	"range": {"total": {"from": "30 deg crank", "to": "36 deg crank"}}
//
// A tolerance widens a range too. "within" is a quantity of the same dimension, or a percentage of the published
// value. A tolerance is the source's rounding or a stated model error, never
// what makes the case pass; "because" says which. A value in error stays as
// printed, with an erratum that says what is wrong: the comparison then must
// fail, and if it ever agrees the run says so and fails.
//
// # Kinds
//
// The kind of a case is never mixed up with another, in files, counts or table:
//
//	published   a number that somebody outside the project printed
//	measured    what somebody measured on an engine. The model is given what the
//	            source tells of the engine, everything else keeps its default
//	            spread, and the value must lie inside the band that comes out.
//	            "plausible" says what any engine might have shown: a band wider than
//	            six tenths of that is no check and counted apart. A value known to
//	            lie beyond its band says why in "outside"
//	practice    a fact of the trade that nobody printed for us
//	reference   a number computed for the case by an independent method, which
//	            the field "method" states (program and version, or own derivation);
//	            this includes published formulas evaluated at a point of our own
//	refusal     what must be refused: "refused" holds words of the message
//	round trip  an inverse that must give back what went in
//
// Only published and measured values enter the table "checked against".
//
// # Provenance
//
//	read             seen in the page, file or database named in "seen"
//	from memory      recalled; "confidence" says how well
//	common practice  a fact of the trade without a source; the kind is practice then,
//	                 and only then
//	own              made by the project; never for a published value
//
// For a reference computation the provenance is that of the formula or data it
// starts from.
//
// Be honest here. An open companion to a printed book is "read" with the
// companion in "seen" and the book in the citation. A recalled standard is
// "from memory" however sure one is. A source is never invented.
//
// # Strictness
//
// A file is refused with its name and line for an unknown or doubled field, a
// missing unit, locator or citation, a doubled id, a source that has two files, an unknown kind, provenance
// or calculation, a tolerance without reason. A calculation that no case reaches
// fails the run. Nothing is skipped.
//
// # Errors
//
// Errors of reading wrap [ErrCorpus] and name file, line and case. Outcomes of
// comparisons are not errors but [Row] values with an [Outcome].
package corpus
