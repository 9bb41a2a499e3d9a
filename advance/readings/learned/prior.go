package learned

import "math"

// prior is the distribution of a parameter before any reading: normal, or for a listed
// value normal with a share of doubt, in which it may be wrong altogether (the
// contaminated normal law of Tukey, A survey of sampling from contaminated
// distributions, 1960). A normal law alone never lets go of a listed value. Beside
// Student's law the doubt is flat where it matters: it pulls less at a value that the
// readings have overruled.
type prior struct {
	mean, sd float64
	wide     float64 // standard deviation where the value is doubted; 0 for none
}

// doubted is the share of listed values that are taken to be wrong altogether.
const doubted = 0.1

// log is the logarithm of the density.
func (p prior) log(x float64) float64 {
	z := (x - p.mean) / p.sd
	if p.wide > 0 {
		far := (x - p.mean) / p.wide
		return math.Log((1-doubted)*math.Exp(-z*z/2)/p.sd+doubted*math.Exp(-far*far/2)/p.wide) - halfLog2Pi
	}
	return -z*z/2 - math.Log(p.sd) - halfLog2Pi
}

// residual is the row of least squares, half whose square is minus the logarithm of
// the density over that at the mean.
func (p prior) residual(x float64) float64 {
	if p.wide > 0 {
		return math.Copysign(math.Sqrt(max(0, 2*(p.log(p.mean)-p.log(x)))), x-p.mean)
	}
	return (x - p.mean) / p.sd
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
