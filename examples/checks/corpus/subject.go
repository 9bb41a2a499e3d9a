package corpus

import (
	"fmt"
	"strings"
)

// Subject is the part of the library that a calculation drives.
type Subject string

// The subjects, in the order of the table.
const (
	OfMechanism Subject = "mechanism"
	OfSprings   Subject = "springs"
	OfEngine    Subject = "engine"
	OfGas       Subject = "gas"
	OfVacuum    Subject = "vacuum"
	OfTrade     Subject = "trade"
)

// Subjects returns all subjects in the order of the table.
func Subjects() []Subject {
	return []Subject{OfMechanism, OfSprings, OfEngine, OfGas, OfVacuum, OfTrade}
}

// subjects says to which subject a package of the library belongs.
var subjects = map[string]Subject{
	"flyweights": OfMechanism, "linkages": OfMechanism, "bodies": OfMechanism, "governors": OfMechanism, "motion": OfMechanism,
	"springs": OfSprings, "design": OfSprings, "leastsquares": OfSprings,
	"knock": OfEngine, "correlations": OfEngine, "gas": OfGas,
	"vacuum": OfVacuum, "airpath": OfVacuum, "air": OfVacuum, "mapping": OfVacuum,
	"advance": OfTrade, "quantity": OfTrade, "sheet": OfTrade, "readings": OfTrade, "recipes": OfTrade,
}

// subjectOf returns the subject of the first library function in a list such as
// "knock.Engine.Volume, gas.Mix".
func subjectOf(drives string) (Subject, error) {
	name, _, _ := strings.Cut(drives, ".")
	s, ok := subjects[name]
	if !ok {
		return "", fmt.Errorf("the package of %q belongs to no subject", drives)
	}
	return s, nil
}
