package motion

import (
	"context"
	"fmt"
	"math"

	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs/root"
)

const none = -1

// run is a mechanism on its way. It either slides, along the equation of motion
// with friction against the sense of sliding, or is held, by a stop, by friction
// or by the jump of a spring's tension at its take-up, until the net moment lets it go.
type run struct {
	Model
	Settings
	profile SpeedProfile
	result  *Result

	step   stepper
	t      float64
	y      vec
	pulled []bool // springs whose coils are pulled
	held   bool
	edge   int     // spring at whose take-up the weights are held, or none
	sense  float64 // of sliding, for friction: +1 outwards, -1 inwards
	sample int     // samples taken
	target float64 // angle of shaft and cam at the next spark

	cancelled func() bool // asked within a step that holds many sparks
}

func newRun(m *Model, h SpeedProfile, s Settings) *run {
	r := &run{Model: *m, Settings: s, profile: h, result: &Result{}, y: vec{s.Phi, s.Rate}, edge: none}
	r.step = stepper{f: r.accelerate, relative: s.Relative, absolute: vec{s.Absolute, s.Absolute * 1e3}, next: s.MaxStep / 100}
	r.pulled = make([]bool, len(m.Mechanism.Springs))
	for i := range r.pulled {
		r.pulled[i] = r.over(i, s.Phi) > -1e-12 // m: one that just touches counts as pulled
	}
	if s.Sparks > 0 {
		r.target = r.firingAfter(r.angle(0, s.Phi))
	}
	return r
}

// over is the length of a spring beyond its take-up length.
func (r *run) over(i int, phi float64) float64 {
	return r.Mechanism.SpringLength(i, phi) - r.Mechanism.Springs[i].Law.TakeUp()
}

// accelerate is the equation of motion.
func (r *run) accelerate(t float64, y vec) vec {
	s := r.Mechanism.State(y[0], r.CamInertia, r.pulled)
	omega, alpha, _ := r.profile.at(t)
	net := s.Weights*omega*omega - s.Restore - s.Spin*alpha - r.Damping*y[1] - r.sense*s.Friction
	return vec{y[1], (net - s.DInertia/2*y[1]*y[1]) / s.Inertia}
}

// load is the net moment on weights at rest at swing phi, and the band of
// friction around it.
func (r *run) load(t, phi float64) (net, band float64) {
	s := r.Mechanism.State(phi, r.CamInertia, r.pulled)
	omega, alpha, _ := r.profile.at(t)
	return s.Weights*omega*omega - s.Restore - s.Spin*alpha, s.Friction
}

// hasFriction reports whether there is friction anywhere.
func (r *run) hasFriction() bool { return r.Mechanism.Friction != (flyweights.Friction{}) }

// carry runs to the end.
func (r *run) carry(ctx context.Context) error {
	r.cancelled = func() bool { return ctx.Err() != nil }
	r.settle()
	r.collect(0, func(float64) vec { return r.y })
	idle := 0 // events in a row that did not move the clock
	for n := 0; r.t < r.Duration; n++ {
		before := r.t
		if err := ctx.Err(); err != nil {
			return fmt.Errorf("motion: stopped at %.6g s: %w", r.t, err)
		}
		if n%256 == 0 && r.Progress != nil {
			r.Progress(r.t / r.Duration)
		}
		if err := r.costs(n); err != nil {
			return err
		}
		limit := math.Min(math.Min(r.t+r.MaxStep, r.profile.next(r.t)), r.Duration)
		if r.held {
			r.wait(limit)
		} else {
			if !r.step.advance(limit) {
				return outOfRange("step", r.step.next, "s", fmt.Sprintf("one that moves the clock at %.6g s: ask for less accuracy, or the motion is stiff", r.t))
			}
			r.slide(limit)
		}
		if idle++; r.t > before {
			idle = 0
		}
		if idle > 1000 {
			return outOfRange("time between events", 0, "s", fmt.Sprintf("more than 0: the mechanism chatters at %.6g s", r.t))
		}
	}
	if r.Progress != nil {
		r.Progress(1)
	}
	return nil
}

// costs refuses a run that would take more steps or events than a machine should
// give it, and names stiffness where that is why.
func (r *run) costs(n int) error {
	ahead := float64(n)
	if r.step.stiff() && r.step.h > 0 {
		ahead += (r.Duration - r.t) / r.step.h
	}
	switch {
	case ahead > maxSteps && r.step.stiff():
		return outOfRange("steps of the run", math.Ceil(ahead), "", fmt.Sprintf("up to %.6g: the motion is stiff at %.6g s, its damping or a spring too strong for its inertia", float64(maxSteps), r.t))
	case ahead > maxSteps:
		return outOfRange("steps of the run", ahead, "", fmt.Sprintf("up to %.6g, reached at %.6g s: a shorter run, longer steps or less accuracy", float64(maxSteps), r.t))
	case len(r.result.Events) > maxCount:
		return outOfRange("events of the run", float64(len(r.result.Events)), "", fmt.Sprintf("up to %.6g, reached at %.6g s", float64(maxCount), r.t))
	}
	return nil
}

// end notes how far the run came and what it cost.
func (r *run) end() {
	r.result.EndTime, r.result.EndPhi, r.result.EndRate = r.t, r.y[0], r.y[1]
	r.result.Steps, r.result.Rejected, r.result.Evaluations = r.step.steps, r.step.rejected, r.step.evaluations
}

// settle decides, for the present state, between holding and sliding.
func (r *run) settle() {
	switch out, in := r.free(r.t); {
	case r.y[1] > 0 && r.y[0] < r.Mechanism.Stop || r.y[1] < 0 && r.y[0] > 0:
		r.sense = math.Copysign(1, r.y[1])
	case out:
		r.sense = 1
	case in:
		r.sense = -1
	default:
		r.held = true
		r.y[1] = 0
		return
	}
	if r.edge != none {
		r.setSide(r.sense > 0)
		r.edge = none
	}
	r.held = false
	r.step.begin(r.t, r.y)
	r.step.next = math.Min(r.step.next, r.MaxStep)
}

// free reports whether the net moment at a time would move weights at rest
// outwards or inwards. Where a spring is just being taken up, its tension is
// that of the side they would move to.
func (r *run) free(t float64) (out, in bool) {
	r.setSide(true)
	net, band := r.load(t, r.y[0])
	out = net > band && r.y[0] < r.Mechanism.Stop
	if r.edge != none {
		r.setSide(false)
		net, band = r.load(t, r.y[0])
	}
	in = net < -band && r.y[0] > 0
	return out, in
}

// setSide sets the spring at whose take-up the weights are held, if any, to how
// it is just outside or just inside.
func (r *run) setSide(out bool) {
	if r.edge == none {
		return
	}
	const beside = 1e-7 // rad
	longer := r.over(r.edge, r.y[0]+beside) > r.over(r.edge, r.y[0]-beside)
	r.pulled[r.edge] = longer == out
}

// wait stays put until the limit or until the net moment lets go, whichever is
// first; the moment of release by bisection of the closed form.
func (r *run) wait(limit float64) {
	from, end := r.t, limit
	moves := func(t float64) bool {
		out, in := r.free(t)
		return out || in
	}
	released := moves(limit)
	if released {
		end = first(func(t float64) bool { return !moves(t) }, from, limit)
	}
	y := r.y
	r.t = end
	r.collect(from, func(float64) vec { return y })
	if !released {
		return
	}
	kind := slip
	if y[0] <= 0 || y[0] >= r.Mechanism.Stop {
		kind = leave
	}
	spring := r.edge + 1
	r.settle()
	r.note(kind, spring)
}

// slide takes over the step just made, ended early by whatever breaks its
// smoothness first.
func (r *run) slide(limit float64) {
	s := &r.step
	x, happen := 1.0, func() {}
	// first keeps what happens at the smallest share of the step.
	first := func(share float64, do func()) {
		if share < x || share == 1 && x == 1 {
			x, happen = share, do
		}
	}
	crest := 1.0 // where the rate changes sign within the step
	if outwards := s.y[1] > 0; s.y[1] != 0 && (s.end[1] > 0) != outwards {
		crest = s.root(0, 1, func(y vec) float64 { return y[1] })
		if r.hasFriction() {
			first(crest, r.reverse)
		}
	}
	stop := r.Mechanism.Stop
	if x, ok := s.beyond(crest, func(y vec) float64 { return y[0] - stop }); ok {
		first(x, func() { r.hit(stop) })
	}
	if x, ok := s.beyond(crest, func(y vec) float64 { return -y[0] }); ok {
		first(x, func() { r.hit(0) })
	}
	for i := range r.pulled {
		if (r.over(i, s.end[0]) > 0) != r.pulled[i] {
			first(s.root(0, 1, func(y vec) float64 { return r.over(i, y[0]) }), func() { r.takeUp(i) })
		}
	}
	if x < 1 {
		s.shorten(x * s.h)
	}
	from := r.t
	r.t, r.y = s.t+s.h, s.end
	if x == 1 && r.t > limit*(1-1e-15) {
		r.t = limit
	}
	r.collect(from, func(t float64) vec {
		if s.h == 0 {
			return s.end
		}
		return s.at((t - s.t) / s.h)
	})
	happen()
	if x == 1 && r.profile.next(s.t) <= r.t { // the acceleration jumps here
		s.begin(r.t, r.y)
	}
}

// reverse handles a rate of 0 under friction.
func (r *run) reverse() {
	r.y[1] = 0
	r.settle()
	if r.held {
		r.note(stick, 0)
	}
}

// hit handles the arrival at a stop.
func (r *run) hit(at float64) {
	onto := r.y[1]
	r.y = vec{at, -r.Restitution * onto}
	if math.Abs(r.y[1]) < brief/2*math.Abs(r.accelerate(r.t, r.y)[1]) {
		r.y[1] = 0
	}
	r.settle()
	r.note(arrive, 0)
	r.result.Events[len(r.result.Events)-1].Rate = onto
}

// brief is the time in s below which a bounce counts as none: bounces that
// shrink forever end within a finite time.
const brief = 1e-5

// takeUp handles a spring that is taken up or goes slack. Weights too slow to stay
// beyond the jump of its tension are held at it.
func (r *run) takeUp(i int) {
	kind := takeUp
	if r.pulled[i] {
		kind = letGo
	}
	r.note(kind, i+1)
	near := r.accelerate(r.t, r.y)[1]
	r.pulled[i] = !r.pulled[i]
	far := r.accelerate(r.t, r.y)[1]
	v := r.y[1]
	if near*v > 0 && far*v < 0 && math.Abs(v) < brief/2*math.Min(math.Abs(near), math.Abs(far)) {
		r.y[1] = 0
		r.edge = i
		r.settle()
		return
	}
	r.step.begin(r.t, r.y)
}

// note records an event at the present state.
func (r *run) note(kind eventKind, spring int) {
	theta, _, _ := r.Mechanism.Linkage.Cam(r.y[0])
	omega, _, _ := r.profile.at(r.t)
	r.result.Events = append(r.result.Events, event{kind, r.t, r.y[0], theta, omega, r.y[1], spring})
}

// collect takes the samples and sparks that fall between from and the present.
func (r *run) collect(from float64, at func(t float64) vec) {
	for r.Every > 0 {
		t := float64(r.sample) * r.Every
		if math.Abs(t-r.Duration) <= 1e-9*r.Every {
			t = r.Duration // a last sample is not lost to rounding
		}
		if t > r.t {
			break
		}
		y := at(t)
		theta, _, _ := r.Mechanism.Linkage.Cam(y[0])
		r.result.Times = append(r.result.Times, t)
		r.result.Phi = append(r.result.Phi, y[0])
		r.result.Theta = append(r.result.Theta, theta)
		r.result.Rate = append(r.result.Rate, y[1])
		r.sample++
	}
	for r.Sparks > 0 && r.angle(r.t, at(r.t)[0]) >= r.target {
		if len(r.result.Sparks)%256 == 255 && r.cancelled() {
			return
		}
		hi := first(func(t float64) bool { return r.angle(t, at(t)[0]) < r.target }, from, r.t)
		theta, _, _ := r.Mechanism.Linkage.Cam(at(hi)[0])
		r.result.Sparks = append(r.result.Sparks, Spark{hi, theta})
		r.target = r.firingAfter(r.target)
	}
}

// angle is the cam's own angle: what the shaft has turned and the advance.
func (r *run) angle(t, phi float64) float64 {
	theta, _, _ := r.Mechanism.Linkage.Cam(phi)
	_, _, turned := r.profile.at(t)
	return turned + theta
}

// firingAfter returns the first firing position beyond an angle.
func (r *run) firingAfter(angle float64) float64 {
	pitch := 2 * math.Pi / float64(r.Sparks)
	return pitch * (math.Floor(angle/pitch*(1+1e-12)) + 1)
}

// first returns the first time at which a condition no longer holds, between one
// at which it does and a later one at which it does not; from itself where it
// does not hold there.
func first(holds func(t float64) bool, from, to float64) float64 {
	_, at, err := root.Edge(holds, from, to, 0)
	if err != nil {
		return from
	}
	return at
}
