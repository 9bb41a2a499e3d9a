package quantity

import (
	"fmt"
	"strconv"
	"strings"
)

// hint names the symbol meant by a spelling met in the trade.
func hint(name string) string {
	meant := map[string]string{
		"C": "degC", "F": "degF", "Hg": "inHg (without a space) or mmHg", "lbs": "lb for mass, lbf for force",
		"pound": "lb for mass, lbf for force", "inch": "in", "inches": "in", "IN": "in", "degrees": "deg", "degree": "deg", "Deg": "deg",
		"RPM": "rpm", "Rpm": "rpm", "grams": "g", "gram": "g", "gm": "g", "KG": "kg", "Kg": "kg", "MM": "mm", "Mm": "mm",
		"psia": "psi", "psig": "psi, as an absolute pressure", "PSI": "psi", "l": "L", "sec": "s", "inhg": "inHg", "inHG": "inHg",
		"Nm": "N m", "Nmm": "N mm", "inch-pound": "lbf in",
		"distributor": "dist", "Dist": "dist", "crankshaft": "crank", "Crank": "crank", "CA": "deg crank",
	}[name]
	switch strings.ToUpper(name) {
	case "BTDC":
		return ": for degrees before top centre write deg crank"
	case "ATDC":
		return ": for degrees after top centre write a negative angle in deg crank"
	}
	if meant == "" {
		return ""
	}
	return ": write " + meant
}

// mend says how to write what cannot stand in a value, empty where nothing is known
// to be meant.
func mend(body string) string {
	for _, m := range []struct{ sign, write string }{
		{"°C", "for °C write degC"}, {"°F", "for °F write degF"}, {"°", "for the degree sign write deg"}, {"º", "for the degree sign write deg"},
		{"\"", "for the inch mark write in"}, {"″", "for the inch mark write in"}, {"”", "for the inch mark write in"}, {"''", "for the inch mark write in"},
		{"−", "for the minus write -"}, {"–", "for the minus write -"},
		{"\u00a0", "it holds a space that is not a plain one"}, {"\u202f", "it holds a space that is not a plain one"},
	} {
		if strings.Contains(body, m.sign) {
			return m.write
		}
	}
	return fractionMend(body)
}

// fractionMend finds "3/8", "1 3/8", "1-3/8" or "1½" at the beginning.
func fractionMend(body string) string {
	for sign, text := range map[string]string{"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8"} {
		body = strings.Replace(body, sign, text, 1)
	}
	above, rest, ok := strings.Cut(strings.TrimSpace(body), "/")
	below := rest[:len(rest)-len(strings.TrimLeft(rest, "0123456789"))]
	if !ok || below == "" {
		return ""
	}
	sum := 0.0
	parts := strings.FieldsFunc(above, func(c rune) bool { return c == ' ' || c == '-' })
	for i, p := range parts {
		n, err := strconv.ParseUint(p, 10, 16)
		if err != nil {
			return ""
		}
		if i < len(parts)-1 {
			sum += float64(n)
			continue
		}
		d, err := strconv.ParseUint(below, 10, 16)
		if err != nil || d == 0 {
			return "a fraction is written as a decimal number"
		}
		sum += float64(n) / float64(d)
	}
	return fmt.Sprintf("for the fraction write %.6g", sum)
}
