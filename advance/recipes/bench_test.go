package recipes

import (
	"fmt"
	"runtime"
	"testing"
)

// benchShop is the scenario with springs near each other, so that the limits
// reject only some of the combinations at first sight.
func benchShop(springs, weights int) *Problem {
	p := shop(springs, weights)
	for i := range p.Drawer.Springs {
		p.Drawer.Springs[i].Spring.Slack = 0
	}
	p.Limits.KnockEvery = 1000 // nine speeds and no more
	return p
}

// report gives the rates the package promises.
func report(b *testing.B, r *Result) {
	s := b.Elapsed().Seconds()
	b.ReportMetric(float64(r.Choices)*float64(b.N)/s/1e6, "Mchoices/s")
	b.ReportMetric(r.Combinations*float64(b.N)/s/1e6, "Mrecipes/s")
}

func benchmark(b *testing.B, p *Problem, s *Settings) {
	b.ReportAllocs()
	var r *Result
	for b.Loop() {
		var err error
		if r, err = Search(b.Context(), p, s); err != nil {
			b.Fatal(err)
		}
	}
	report(b, r)
}

// BenchmarkChoices is the rate of part choices: spring pair times weights, one
// slot travel, 33 grid points, 9 speeds, limits on. To compare two versions run
// their test binaries in turn and take the best of each: the rates of one machine
// differ by a fifth from minute to minute.
func BenchmarkChoices(b *testing.B) {
	p := benchShop(400, 20)
	p.Travel = Span{Low: 22, High: 22}
	p.Slot.Length = 0
	variants(b, p)
}

// BenchmarkRecipes is the rate of recipes: part choice times slot travel times
// static timing.
func BenchmarkRecipes(b *testing.B) {
	variants(b, benchShop(200, 10))
}

// BenchmarkTable is the rate with a table of losses, which need not be convex:
// every static timing is tried.
func BenchmarkTable(b *testing.B) {
	p := benchShop(80, 4)
	p.Target.Loss = table()
	benchmark(b, p, &Settings{NoFront: true})
}

// BenchmarkScale runs from 10^4 to 10^9 combinations: time per recipe stays, and
// so does memory.
func BenchmarkScale(b *testing.B) {
	for _, n := range []struct {
		name             string
		springs, weights int
	}{{"1e4", 8, 1}, {"1e5", 26, 1}, {"1e6", 81, 1}, {"1e7", 258, 1}, {"1e8", 258, 10}, {"1e9", 258, 100}} {
		for _, plain := range []bool{true, false} {
			b.Run(fmt.Sprintf("combinations=%s,plain=%v", n.name, plain), func(b *testing.B) {
				benchmark(b, benchShop(n.springs, n.weights), &Settings{Plain: plain})
				var m runtime.MemStats
				runtime.ReadMemStats(&m)
				b.ReportMetric(float64(m.Sys)/1e6, "MB-from-system")
			})
		}
	}
}

// BenchmarkTolerance draws 100,000 builds of one recipe, friction and both
// sweeps included.
func BenchmarkTolerance(b *testing.B) {
	p := shop(12, 2)
	p.Mechanism.Friction.Moment = 3e-4
	r, _, err := p.Evaluate(Choice{Springs: []int{4, 6}, Posts: []int{0, 0}, Weights: 0}, 10, 22)
	if err != nil {
		b.Fatal(err)
	}
	s := DefaultScatter()
	s.Samples = 100_000
	b.ReportAllocs()
	for b.Loop() {
		if _, err := p.Tolerance(b.Context(), r, s); err != nil {
			b.Fatal(err)
		}
	}
}

// variants runs the plain loop and the bounds, without and with the front.
func variants(b *testing.B, p *Problem) {
	for _, plain := range []bool{true, false} {
		for _, front := range []bool{false, true} {
			b.Run(fmt.Sprintf("plain=%v,front=%v", plain, front), func(b *testing.B) {
				benchmark(b, p, &Settings{Plain: plain, NoFront: !front})
			})
		}
	}
}
