package design

import (
	"testing"

	"example.org/bobweight/springs"
)

var (
	sinkSpring  springs.Spring
	sinkFatigue Fatigue
	sinkChoices []Choice
)

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
		f, err := p.Fatigue(3, 6+float64(i&7)/10, Zimmerli(false), Gerber)
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
		c, err := Springs(w, stock)
		if err != nil {
			b.Fatal(err)
		}
		sinkChoices = c
	}
}
