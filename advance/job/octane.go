package job

import (
	"fmt"
	"strconv"
	"strings"
)

// Octane is an octane number with its method, "95 RON" or "85 MON".
type Octane struct {
	Number float64 // 40 to 120
	Motor  bool    // motor method; false is the research method
}

// UnmarshalText reads the number and the method. It refuses one without the
// other.
func (o *Octane) UnmarshalText(text []byte) error {
	number, method, _ := strings.Cut(strings.TrimSpace(string(text)), " ")
	x, err := strconv.ParseFloat(number, 64)
	if err != nil || method != "RON" && method != "MON" {
		return fmt.Errorf("%q is no octane number with its method, such as \"95 RON\" or \"85 MON\"", text)
	}
	if !(x >= 40 && x <= 120) {
		return fmt.Errorf("%q is beyond 40 to 120", text)
	}
	*o = Octane{Number: x, Motor: method == "MON"}
	return nil
}

// MarshalText writes what UnmarshalText reads.
func (o Octane) MarshalText() ([]byte, error) {
	return fmt.Appendf(nil, "%g %s", o.Number, map[bool]string{true: "MON", false: "RON"}[o.Motor]), nil
}
