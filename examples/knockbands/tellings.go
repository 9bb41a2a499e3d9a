package main

import (
	"math"
	"math/rand/v2"

	"example.org/bobweight/knock"
)

// builder is who listens to an engine.
type builder struct {
	engine truth
	model  *knock.Model
	ear    *rand.Rand
}

// telling is a kind of knowledge about an engine.
type telling struct {
	name string
	say  func(b *builder) []knock.Observation
}

var tellings = [...]telling{
	{"nothing", func(*builder) []knock.Observation { return nil }},
	{"octane asked for by its ratio", func(b *builder) []knock.Observation { return b.byRatio() }},
	{"the same, and best torque at 2500", func(b *builder) []knock.Observation {
		best := b.engine.BestSpark(2500) + 2*b.ear.NormFloat64()
		return append(b.byRatio(), knock.Observation{Condition: knock.Condition{RPM: 2500}, Kind: knock.BestTorque, Spark: best})
	}},
	{"maker's curve at 1200 and 2000", func(b *builder) []knock.Observation {
		return append(b.makers(1200), b.makers(2000)...)
	}},
	{"trace knock at 2000", func(b *builder) []knock.Observation { return b.hear(2000) }},
	{"trace knock at 1500 and 3000", func(b *builder) []knock.Observation { return append(b.hear(1500), b.hear(3000)...) }},
	{"trace knock at 1200 and 2500", func(b *builder) []knock.Observation { return append(b.hear(1200), b.hear(2500)...) }},
	{"no knock at 2000, 1 to 8 deg off knock", func(b *builder) []knock.Observation { return b.backOff(2000) }},
	{"the same at 1500 and 3000", func(b *builder) []knock.Observation { return append(b.backOff(1500), b.backOff(3000)...) }},
	{"no knock at 2000, timing out of a book", func(b *builder) []knock.Observation { return b.book(2000) }},
}

// trace is where the builder hears the first knock at full load, and whether it comes no
// more than ten degrees beyond best torque.
func (b *builder) trace(rpm float64) (spark float64, heard bool) {
	limit, _ := b.engine.Limit(rpm)
	limit += 0.7 * b.ear.NormFloat64()
	last := b.engine.BestSpark(rpm) + 10
	return math.Max(-12, math.Min(limit, last)), limit <= last
}

func (b *builder) byRatio() []knock.Observation {
	o, err := b.model.OctaneByRatio()
	if err != nil {
		return nil
	}
	return []knock.Observation{o}
}

func (b *builder) hear(rpm float64) []knock.Observation {
	spark, heard := b.trace(rpm)
	o := knock.Observation{Condition: knock.Condition{RPM: rpm}, Spark: spark}
	if !heard {
		o.Kind = knock.NoKnock
	}
	return []knock.Observation{o}
}

// backOff retards from knock by one to eight degrees and does not count them.
func (b *builder) backOff(rpm float64) []knock.Observation {
	spark, heard := b.trace(rpm)
	o := knock.Observation{Condition: knock.Condition{RPM: rpm}, Kind: knock.BackedOff, Spark: spark - 1 - 7*b.ear.Float64()}
	if !heard {
		o.Kind, o.Spark = knock.NoKnock, spark
	}
	return []knock.Observation{o}
}

// book takes a timing that knows nothing of this engine, and reports whether it knocks.
func (b *builder) book(rpm float64) []knock.Observation {
	spark, _ := b.trace(rpm)
	chosen := 14 + 14*b.ear.Float64()
	if chosen > spark { // it knocks: he backs off, in steps of three, until it does not
		chosen -= 3 * math.Ceil((chosen-spark)/3)
		return []knock.Observation{{Condition: knock.Condition{RPM: rpm}, Kind: knock.BackedOff, Spark: chosen, Retard: 1.5}}
	}
	return []knock.Observation{{Condition: knock.Condition{RPM: rpm}, Kind: knock.NoKnock, Spark: chosen}}
}

// makers is the maker's curve on the maker's fuel: below the limit by what the worst car
// of the line needs, 1 to 7 degrees, but never beyond best torque.
func (b *builder) makers(rpm float64) []knock.Observation {
	limit, _ := b.engine.Limit(rpm)
	spark := limit - 1 - 6*b.ear.Float64()
	if best := b.engine.BestSpark(rpm) - 2; spark > best {
		return []knock.Observation{{Condition: knock.Condition{RPM: rpm}, Kind: knock.NoKnock, Spark: best}}
	}
	return []knock.Observation{{Condition: knock.Condition{RPM: rpm}, Kind: knock.MakersSpark, Spark: math.Max(spark, -20)}}
}
