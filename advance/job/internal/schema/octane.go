package schema

import (
	"fmt"
	"strconv"
	"strings"
)

// Octane is an octane number with its method, "95 RON" or "85 MON", or the mean of
// both that a pump shows, "91 (R+M)/2".
type Octane struct {
	Number float64 // 40 to 120
	Motor  bool    // motor method; false is the research method
	Pump   bool    // mean of both methods; Motor is then false
}

// methods are the words for the methods.
var methods = map[string]Octane{"RON": {}, "MON": {Motor: true}, "(R+M)/2": {Pump: true}}

// UnmarshalText reads the number and the method. It refuses one without the
// other.
func (o *Octane) UnmarshalText(text []byte) error {
	number, method, _ := strings.Cut(strings.TrimSpace(string(text)), " ")
	x, err := strconv.ParseFloat(number, 64)
	kind, known := methods[strings.TrimSpace(method)]
	if err != nil || !known {
		return fmt.Errorf("%q is no octane number with its method, such as \"95 RON\", \"85 MON\" or \"91 (R+M)/2\"; leave fuel out where nobody knows it", text)
	}
	if !(x >= 40 && x <= 120) {
		return fmt.Errorf("%q is beyond 40 to 120", text)
	}
	kind.Number = x
	*o = kind
	return nil
}

// MarshalText writes what UnmarshalText reads.
func (o Octane) MarshalText() ([]byte, error) {
	method := "RON"
	switch {
	case o.Pump:
		method = "(R+M)/2"
	case o.Motor:
		method = "MON"
	}
	return fmt.Appendf(nil, "%g %s", o.Number, method), nil
}
