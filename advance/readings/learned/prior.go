package learned

import "math"

// prior is the belief about a parameter before any reading: normal, or with the
// heavy tails of Student's law with two degrees of freedom, in which a listed value
// may be wrong altogether. A normal law about a listed value never lets go of it.
type prior struct {
	mean, sd float64
	heavy    bool
}

const heavyFreedom = 2

// log is the logarithm of the density.
func (p prior) log(x float64) float64 {
	z := (x - p.mean) / p.sd
	if p.heavy {
		// Student's density with two degrees of freedom is (2+z^2)^(-3/2).
		return -1.5*math.Log(2+z*z) - math.Log(p.sd)
	}
	return -z*z/2 - math.Log(p.sd) - halfLog2Pi
}

// residual is the row of least squares, half whose square is minus the logarithm of
// the density, without its constant.
func (p prior) residual(x float64) float64 {
	z := (x - p.mean) / p.sd
	if p.heavy {
		return math.Copysign(math.Sqrt((heavyFreedom+1)*math.Log1p(z*z/heavyFreedom)), z)
	}
	return z
}

// Priors of the curves learned without listed values. Speeds are those of a whole
// set of springs with the reference weights, engine rpm; they are wide enough for
// any road engine's distributor. The bend must stay as wide: its sign depends on the
// linkage.
var (
	priorRest   = prior{mean: math.Log(1150), sd: 0.5}
	priorSpan   = prior{mean: math.Log(2600), sd: 0.5}
	priorBend   = prior{mean: 0, sd: 0.8}
	priorLoose  = prior{mean: math.Log(200), sd: 0.7} // drag and friction while a spring is slack
	priorTakeUp = prior{mean: 0, sd: 1.3}             // logit of the part of the travel
	priorJump   = prior{mean: math.Log(700), sd: 0.8} // initial tension of a close-wound spring
	priorRatio  = prior{mean: 0, sd: 0.3}
	priorSlope  = prior{mean: 0, sd: 0.2}
	priorTravel = prior{mean: math.Log(24), sd: 0.5}
	priorStatic = prior{mean: 10, sd: 15}
	priorBench  = prior{mean: 0, sd: 90} // a distributor machine's zero stands anywhere
	priorDrag   = prior{mean: math.Log(150), sd: 0.7}
	priorFall   = prior{mean: math.Log(200), sd: 0.8}
	priorErrors = prior{mean: 0, sd: 0.15}
)
