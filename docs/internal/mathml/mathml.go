// Package mathml turns equations written in a small part of TeX into MathML
// Core, which browsers draw themselves without a script or a font.
//
// It knows letters and numbers, the operators of the keyboard, ^ and _ with one
// symbol or a group, \frac, \sqrt, \dot, \ddot, \bar, \text, \left and \right brackets,
// the commands of its table (Greek letters, sums, integrals, relations, function
// names) and the spaces \, and \quad. Whatever else stands in an equation is
// refused, so that no page shows a command by mistake.
package mathml

import (
	"errors"
	"fmt"
	"html"
	"strings"
	"unicode"
	"unicode/utf8"
)

// ErrSyntax is wrapped by every error of this package.
var ErrSyntax = errors.New("equation cannot be read")

// Convert returns the MathML of an equation, as a block of its own or in a line
// of text. The source stays with it for readers that cannot show MathML.
func Convert(tex string, block bool) (string, error) {
	if at := strings.IndexFunc(tex, func(r rune) bool { return !unicode.IsGraphic(r) && !strings.ContainsRune("\t\r\n", r) }); at >= 0 || !utf8.ValidString(tex) {
		return "", fmt.Errorf("%w: %.80q holds what does not print", ErrSyntax, tex)
	}
	p := &parser{in: []rune(tex)}
	body, err := p.row(toEnd)
	if err != nil {
		return "", fmt.Errorf("%w: %q: %w", ErrSyntax, tex, err)
	}
	display := ""
	if block {
		display = ` display="block"`
	}
	return fmt.Sprintf(`<math%s alttext="%s"><mrow>%s</mrow></math>`, display, html.EscapeString(strings.Join(strings.Fields(tex), " ")), body), nil
}

// parser reads an equation from left to right.
type parser struct {
	in []rune
	at int
}

func (p *parser) more() bool { return p.at < len(p.in) }

func (p *parser) space() {
	for p.more() && unicode.IsSpace(p.in[p.at]) {
		p.at++
	}
}

// toEnd is no rune: nothing closes a row that goes to the end.
const toEnd rune = -1

// row reads up to the closing rune, or to the end.
func (p *parser) row(closing rune) (string, error) {
	var b strings.Builder
	for p.space(); p.more(); p.space() { // an atom takes one rune or more
		if p.in[p.at] == closing {
			p.at++
			return b.String(), nil
		}
		one, err := p.scripted()
		if err != nil {
			return "", err
		}
		b.WriteString(one)
	}
	if closing != toEnd {
		return "", fmt.Errorf("%q is missing", closing)
	}
	return b.String(), nil
}

// scripted reads an atom with what stands below and above it. Sums carry their
// limits below and above the sign.
func (p *parser) scripted() (string, error) {
	base, err := p.atom()
	if err != nil {
		return "", err
	}
	var sub, sup string
	for p.space(); p.more() && (p.in[p.at] == '_' || p.in[p.at] == '^'); p.space() {
		which := &sub
		if p.in[p.at] == '^' {
			which = &sup
		}
		p.at++
		if *which != "" {
			return "", errors.New("two scripts stand on the same side")
		}
		if *which, err = p.atom(); err != nil {
			return "", err
		}
	}
	kind := [3]string{"sub", "sup", "subsup"}
	if base == operator("∑") {
		kind = [3]string{"under", "over", "underover"}
	}
	switch {
	case sub != "" && sup != "":
		return wrap("m"+kind[2], base+sub+sup), nil
	case sub != "":
		return wrap("m"+kind[0], base+sub), nil
	case sup != "":
		return wrap("m"+kind[1], base+sup), nil
	}
	return base, nil
}

// atom reads one symbol, command or group in braces.
func (p *parser) atom() (string, error) {
	p.space()
	if !p.more() {
		return "", errors.New("it ends too early")
	}
	r := p.in[p.at]
	switch {
	case r == '\\':
		return p.command()
	case r == '{':
		p.at++
		body, err := p.row('}')
		return wrap("mrow", body), err
	case unicode.IsDigit(r):
		from := p.at
		for p.more() && (unicode.IsDigit(p.in[p.at]) || p.in[p.at] == '.') {
			p.at++
		}
		return wrap("mn", string(p.in[from:p.at])), nil
	case unicode.IsLetter(r):
		p.at++
		return wrap("mi", string(r)), nil
	case strings.ContainsRune("+-=<>()[]|,;:/!·±≤≥'", r):
		p.at++
		if r == '-' {
			r = '−'
		}
		if r == '\'' {
			r = '′'
		}
		if strings.ContainsRune(brackets, r) {
			return fmt.Sprintf(`<mo stretchy="false">%c</mo>`, r), nil
		}
		return operator(string(r)), nil
	}
	return "", fmt.Errorf("%q is not known here", r)
}

// command reads what begins with a backslash.
func (p *parser) command() (string, error) {
	p.at++
	from := p.at
	for p.more() && unicode.IsLetter(p.in[p.at]) {
		p.at++
	}
	name := string(p.in[from:p.at])
	if name == "" && p.more() {
		name = string(p.in[p.at])
		p.at++
	}
	switch name {
	case "frac":
		return p.with("mfrac", 2)
	case "sqrt":
		return p.with("msqrt", 1)
	case "dot":
		return p.accent("˙")
	case "ddot":
		return p.accent("¨")
	case "bar":
		return p.accent("¯")
	case "text":
		return p.text()
	case "left":
		return p.fenced()
	case ",":
		return thin, nil
	case "quad":
		return `<mspace width="1em"/>`, nil
	}
	if s, ok := letters[name]; ok {
		return wrap("mi", s), nil
	}
	if s, ok := operators[name]; ok {
		return operator(s), nil
	}
	if functions[name] {
		return wrap("mi", name) + p.apart(), nil
	}
	return "", fmt.Errorf(`the command \%s is not known here`, name)
}

// apart is the space between the name of a function and an argument without
// brackets.
func (p *parser) apart() string {
	p.space()
	if rest := string(p.in[p.at:]); rest == "" || strings.HasPrefix(rest, `\left`) || !unicode.IsLetter(p.in[p.at]) && rest[0] != '\\' {
		return ""
	}
	return thin
}

// thin is the space of \,.
const thin = `<mspace width="0.17em"/>`

// with reads n arguments of an element.
func (p *parser) with(element string, n int) (string, error) {
	var b strings.Builder
	for range n {
		one, err := p.atom()
		if err != nil {
			return "", err
		}
		b.WriteString(one)
	}
	return wrap(element, b.String()), nil
}

func (p *parser) accent(mark string) (string, error) {
	one, err := p.atom()
	return wrap("mover", one+operator(mark)), err
}

// text reads words that are not mathematics.
func (p *parser) text() (string, error) {
	p.space()
	if !p.more() || p.in[p.at] != '{' {
		return "", errors.New(`\text needs braces`)
	}
	from := p.at + 1
	for p.more() && p.in[p.at] != '}' {
		p.at++
	}
	if !p.more() {
		return "", errors.New(`the braces of \text do not close`)
	}
	p.at++
	return wrap("mtext", html.EscapeString(string(p.in[from:p.at-1]))), nil
}

// fenced reads what stands between \left and \right with the two brackets, which
// grow with it.
func (p *parser) fenced() (string, error) {
	opening, err := p.bracket()
	if err != nil {
		return "", err
	}
	var b strings.Builder
	b.WriteString(opening)
	for p.space(); p.more(); p.space() {
		const end = `\right`
		if rest := string(p.in[p.at:]); strings.HasPrefix(rest, end) {
			p.at += len(end)
			closing, err := p.bracket()
			return wrap("mrow", b.String()+closing), err
		}
		one, err := p.scripted()
		if err != nil {
			return "", err
		}
		b.WriteString(one)
	}
	return "", errors.New(`\left has no \right`)
}

// bracket reads the sign after \left or \right.
func (p *parser) bracket() (string, error) {
	p.space()
	if !p.more() || !strings.ContainsRune(brackets, p.in[p.at]) {
		return "", errors.New("a bracket is missing")
	}
	p.at++
	return fmt.Sprintf(`<mo stretchy="true">%c</mo>`, p.in[p.at-1]), nil
}

// brackets grow with all that stands beside them unless they are told not to.
const brackets = "()[]|"

func wrap(element, body string) string { return "<" + element + ">" + body + "</" + element + ">" }

func operator(s string) string { return wrap("mo", html.EscapeString(s)) }

var letters = map[string]string{
	"alpha": "α", "beta": "β", "gamma": "γ", "delta": "δ", "epsilon": "ε", "zeta": "ζ", "eta": "η", "theta": "θ",
	"kappa": "κ", "lambda": "λ", "mu": "μ", "nu": "ν", "pi": "π", "rho": "ρ", "sigma": "σ", "tau": "τ",
	"phi": "ϕ", "varphi": "φ", "chi": "χ", "psi": "ψ", "omega": "ω", "Delta": "Δ", "Phi": "Φ", "Omega": "Ω", "infty": "∞", "ell": "ℓ",
}

var operators = map[string]string{
	"sum": "∑", "int": "∫", "cdot": "·", "times": "×", "pm": "±", "le": "≤", "ge": "≥", "ne": "≠",
	"approx": "≈", "partial": "∂", "to": "→", "propto": "∝", "ll": "≪", "gg": "≫", "in": "∈", "dots": "…", "degree": "°",
}

var functions = map[string]bool{"sin": true, "cos": true, "tan": true, "asin": true, "ln": true, "exp": true, "max": true, "min": true, "log": true}
