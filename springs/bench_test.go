package springs_test

import (
	"testing"

	"example.org/bobweight/springs"
)

var (
	sinkFloat   float64
	sinkSpring  springs.Spring
	sinkFatigue springs.Fatigue
	sinkChoices []springs.Choice
)

func BenchmarkTension(b *testing.B) {
	b.ReportAllocs()
	var sum float64
	for i := range b.N {
		sum += demo.Tension(0.019 + 1e-5*float64(i&511))
	}
	sinkFloat = sum
}

func BenchmarkPartSpring(b *testing.B) {
	p := demoPart()
	b.ReportAllocs()
	for i := range b.N {
		p.BodyCoils = 8 + float64(i&7)
		s, err := p.Spring(room)
		if err != nil {
			b.Fatal(err)
		}
		sinkSpring = s
	}
}

func BenchmarkFatigue(b *testing.B) {
	p := demoPart()
	b.ReportAllocs()
	for i := range b.N {
		f, err := p.Fatigue(3, 6+float64(i&7)/10, springs.Zimmerli(false), springs.Gerber)
		if err != nil {
			b.Fatal(err)
		}
		sinkFatigue = f
	}
}

func BenchmarkDesign(b *testing.B) {
	w := wanted
	b.ReportAllocs()
	for i := range b.N {
		w.Tension = 3 + float64(i&7)/20
		c, err := springs.Design(w, stock)
		if err != nil {
			b.Fatal(err)
		}
		sinkChoices = c
	}
}

var sinkMeasured *springs.Measured

func BenchmarkMeasure(b *testing.B) {
	rs := readings(springs.Spring{Rate: 980, FreeLength: 0.0187, InitialTension: 1.9}, 6e-5, 0.04, 0.0198, 0.0211, 0.0222, 0.0241, 0.0259)
	b.ReportAllocs()
	for i := range b.N {
		rs[2].Load += 1e-4 * float64(2*(i&1)-1)
		m, err := springs.Measure(rs, 0.0187, 5e-5)
		if err != nil {
			b.Fatal(err)
		}
		sinkMeasured = m
	}
}
