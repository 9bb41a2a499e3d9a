package recipes

import (
	"fmt"
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

// BenchmarkSearch is the time of a whole search: kinds of springs x sets of weights,
// ten slot travels, every fifth spring with a long loop, limits on.
func BenchmarkSearch(b *testing.B) {
	for _, n := range []struct{ springs, weights int }{{7, 2}, {20, 3}, {60, 6}, {200, 6}, {500, 10}} {
		for _, loops := range []bool{false, true} {
			b.Run(fmt.Sprintf("%dx%d,loops=%v", n.springs, n.weights, loops), func(b *testing.B) {
				p := benchShop(n.springs, n.weights)
				if loops {
					p = shop(n.springs, n.weights)
				}
				p.Travel, p.Slot.Length = Span{Low: 18, High: 27, Step: 1}, 0
				benchmark(b, p, nil)
			})
		}
	}
}

// BenchmarkTable is the rate with a table of losses, which need not be convex:
// every static timing is tried.
func BenchmarkTable(b *testing.B) {
	p := benchShop(80, 4)
	p.Target.Loss = table()
	benchmark(b, p, &Settings{})
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
