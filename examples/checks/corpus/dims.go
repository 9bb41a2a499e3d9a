package corpus

import "example.org/bobweight/advance/quantity"

// Dimensions that calculations ask of their givens.
var (
	dimNumber       = quantity.Dim{}
	dimMass         = quantity.Dim{Mass: 1}
	dimLength       = quantity.Dim{Length: 1}
	dimArea         = quantity.Dim{Length: 2}
	dimVolume       = quantity.Dim{Length: 3}
	dimTime         = quantity.Dim{Time: 1}
	dimTemperature  = quantity.Dim{Temperature: 1}
	dimAngle        = quantity.Dim{Angle: 1}
	dimAngularSpeed = quantity.Dim{Angle: 1, Time: -1}
	dimSpeed        = quantity.Dim{Length: 1, Time: -1}
	dimForce        = quantity.Dim{Mass: 1, Length: 1, Time: -2}
	dimStiffness    = quantity.Dim{Mass: 1, Time: -2}
	dimMoment       = quantity.Dim{Mass: 1, Length: 2, Time: -2}  // also energy
	dimPressure     = quantity.Dim{Mass: 1, Length: -1, Time: -2} // also stress
	dimDensity      = quantity.Dim{Mass: 1, Length: -3}
)
