package fuzzing_test

import (
	"reflect"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/job"
	"example.org/bobweight/advance/mapping"
	"example.org/bobweight/advance/quantity"
	"example.org/bobweight/advance/readings"
	"example.org/bobweight/advance/readings/learned"
	"example.org/bobweight/advance/recipes"
	"example.org/bobweight/advance/sheet"
	"example.org/bobweight/advance/strict"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/flyweights/bodies"
	"example.org/bobweight/flyweights/governors"
	"example.org/bobweight/flyweights/linkages"
	"example.org/bobweight/flyweights/motion"
	"example.org/bobweight/flyweights/sensitivity"
	"example.org/bobweight/knock"
	"example.org/bobweight/knock/air"
	"example.org/bobweight/knock/airpath"
	"example.org/bobweight/knock/correlations"
	"example.org/bobweight/knock/gas"
	"example.org/bobweight/springs"
	"example.org/bobweight/springs/design"
	"example.org/bobweight/springs/leastsquares"
	"example.org/bobweight/springs/root"
	"example.org/bobweight/springs/valid"
	"example.org/bobweight/springs/workers"
	"example.org/bobweight/vacuum"
)

// everySo are long calls: these are made in one round of so many.
var everySo = map[string]int{"advance/job.Job.Run": 30, "flyweights.Trace": 2}

// listed are the exported functions of the library, and its exported types, whose
// methods are called too.
var listed = []any{
	// advance
	advance.DelayDegrees, advance.NewCurve,
	reflect.TypeFor[advance.Curve](), reflect.TypeFor[advance.Distributor](), reflect.TypeFor[advance.Drive](),
	reflect.TypeFor[advance.Point](),

	// advance/job
	job.Read,
	reflect.TypeFor[job.Answer](), reflect.TypeFor[job.ChangePart](), reflect.TypeFor[job.CurveRow](),
	reflect.TypeFor[job.EnginePart](), reflect.TypeFor[job.Estimate](), reflect.TypeFor[job.Finding](),
	reflect.TypeFor[job.Job](), reflect.TypeFor[job.Missing](), reflect.TypeFor[job.NoFit](),
	reflect.TypeFor[job.ReadPoint](), reflect.TypeFor[job.ReadingsPart](), reflect.TypeFor[job.RecipePart](),
	reflect.TypeFor[job.Report](), reflect.TypeFor[job.RunsPart](), reflect.TypeFor[job.SlotPart](),
	reflect.TypeFor[job.StagePart](), reflect.TypeFor[job.VacuumPart](), reflect.TypeFor[job.VacuumUnit](),
	reflect.TypeFor[job.WantRow](), reflect.TypeFor[job.Wish](),

	// advance/mapping
	mapping.Advise, mapping.Idle, mapping.New, mapping.OrdinarySystem, mapping.SnapOpen,
	mapping.TipInTransient,
	reflect.TypeFor[mapping.Advice](), reflect.TypeFor[mapping.Comparison](),
	reflect.TypeFor[mapping.IdleState](), reflect.TypeFor[mapping.Idling](), reflect.TypeFor[mapping.Instant](),
	reflect.TypeFor[mapping.LightLoad](), reflect.TypeFor[mapping.Map](), reflect.TypeFor[mapping.Place](),
	reflect.TypeFor[mapping.Requirement](),
	reflect.TypeFor[mapping.Situation](), reflect.TypeFor[mapping.TipIn](), reflect.TypeFor[mapping.Transient](),
	reflect.TypeFor[mapping.Window](),

	// advance/quantity
	quantity.Parse,
	reflect.TypeFor[quantity.Angle](), reflect.TypeFor[quantity.Dim](), reflect.TypeFor[quantity.Force](),
	reflect.TypeFor[quantity.Length](), reflect.TypeFor[quantity.Mass](), reflect.TypeFor[quantity.Moment](),
	reflect.TypeFor[quantity.Quantity](), reflect.TypeFor[quantity.Ratio](), reflect.TypeFor[quantity.Shaft](),
	reflect.TypeFor[quantity.Speed](), reflect.TypeFor[quantity.Stiffness](), reflect.TypeFor[quantity.Stress](),
	reflect.TypeFor[quantity.Temperature](), reflect.TypeFor[quantity.Turns](),
	reflect.TypeFor[quantity.Vacuum](),

	// advance/readings
	readings.Diagnose, readings.Fit, readings.Listed, readings.ReadCSV,
	reflect.TypeFor[readings.Advice](), reflect.TypeFor[readings.Against](), reflect.TypeFor[readings.Bound](),
	reflect.TypeFor[readings.Candidate](), reflect.TypeFor[readings.Change](),
	reflect.TypeFor[readings.Estimate](), reflect.TypeFor[readings.Expected](),
	reflect.TypeFor[readings.Finding](), reflect.TypeFor[readings.Known](), reflect.TypeFor[readings.Model](),
	reflect.TypeFor[readings.Reading](), reflect.TypeFor[readings.Result](), reflect.TypeFor[readings.Row](),
	reflect.TypeFor[readings.Settings](), reflect.TypeFor[readings.Wanted](),

	// advance/readings/learned
	learned.Fit, learned.FitListed,
	reflect.TypeFor[learned.Combination](), reflect.TypeFor[learned.Determination](),
	reflect.TypeFor[learned.ListedSpring](), reflect.TypeFor[learned.ListedWeights](),
	reflect.TypeFor[learned.Listed](), reflect.TypeFor[learned.Mass](), reflect.TypeFor[learned.Part](),
	reflect.TypeFor[learned.Prediction](), reflect.TypeFor[learned.Result](), reflect.TypeFor[learned.Run](),
	reflect.TypeFor[learned.Settings](), reflect.TypeFor[learned.Suspect](), reflect.TypeFor[learned.Verdict](),

	// advance/recipes
	recipes.DefaultScatter, recipes.NewLadder, recipes.Search,
	reflect.TypeFor[recipes.BandPoint](), reflect.TypeFor[recipes.Breach](), reflect.TypeFor[recipes.Choice](),
	reflect.TypeFor[recipes.Drawer](), reflect.TypeFor[recipes.Effort](), reflect.TypeFor[recipes.FreeSpring](),
	reflect.TypeFor[recipes.Influence](), reflect.TypeFor[recipes.Ladder](),
	reflect.TypeFor[recipes.LimitProbability](), reflect.TypeFor[recipes.Limits](),
	reflect.TypeFor[recipes.LossRow](), reflect.TypeFor[recipes.Measurement](),
	reflect.TypeFor[recipes.Position](), reflect.TypeFor[recipes.Post](), reflect.TypeFor[recipes.Problem](),
	reflect.TypeFor[recipes.Quantiles](), reflect.TypeFor[recipes.Recipe](), reflect.TypeFor[recipes.Result](),
	reflect.TypeFor[recipes.Rung](), reflect.TypeFor[recipes.Scatter](), reflect.TypeFor[recipes.Settings](),
	reflect.TypeFor[recipes.Shares](), reflect.TypeFor[recipes.Span](), reflect.TypeFor[recipes.SpringPart](), reflect.TypeFor[recipes.Target](),
	reflect.TypeFor[recipes.Tolerance](), reflect.TypeFor[recipes.WeightPart](),
	reflect.TypeFor[recipes.Window](), reflect.TypeFor[recipes.Wish](),

	// advance/sheet
	sheet.Cautions, sheet.EngineCautions, sheet.New, sheet.RimDistance,
	reflect.TypeFor[sheet.Input](), reflect.TypeFor[sheet.Part](), reflect.TypeFor[sheet.Rotor](),
	reflect.TypeFor[sheet.Row](), reflect.TypeFor[sheet.Sheet](), reflect.TypeFor[sheet.Slot](),

	// advance/strict
	strict.Decode,
	reflect.TypeFor[strict.Error](), reflect.TypeFor[strict.Lines](),

	// flyweights
	flyweights.OnWeight, flyweights.Swing, flyweights.Trace,
	reflect.TypeFor[flyweights.Anchor](), reflect.TypeFor[flyweights.Body](), reflect.TypeFor[flyweights.Curve](),
	reflect.TypeFor[flyweights.Direction](), reflect.TypeFor[flyweights.EventKind](),
	reflect.TypeFor[flyweights.Event](), reflect.TypeFor[flyweights.Friction](),
	reflect.TypeFor[flyweights.Linkage](), reflect.TypeFor[flyweights.Lumped](),
	reflect.TypeFor[flyweights.Mechanism](), reflect.TypeFor[flyweights.Moments](),
	reflect.TypeFor[flyweights.PinInSlot](), reflect.TypeFor[flyweights.Ratio](),
	reflect.TypeFor[flyweights.Slot](), reflect.TypeFor[flyweights.Spring](), reflect.TypeFor[flyweights.State](),
	reflect.TypeFor[flyweights.Weight](),

	// flyweights/bodies
	bodies.Circle, bodies.Line, bodies.Plate, bodies.Polygon, bodies.RingPart, bodies.WireBody,
	reflect.TypeFor[bodies.Bearing](), reflect.TypeFor[bodies.Body](), reflect.TypeFor[bodies.Change](),
	reflect.TypeFor[bodies.Edge](), reflect.TypeFor[bodies.Outline](), reflect.TypeFor[bodies.Section](),
	reflect.TypeFor[bodies.Swing](),

	// flyweights/governors
	governors.Height, governors.LineThrough,
	reflect.TypeFor[governors.Arms](), reflect.TypeFor[governors.Crank](), reflect.TypeFor[governors.Governor](),
	reflect.TypeFor[governors.Line](), reflect.TypeFor[governors.Linkage](), reflect.TypeFor[governors.Proell](),
	reflect.TypeFor[governors.Spring](),

	// flyweights/linkages
	linkages.NewProfiled, linkages.NewTabulated,
	reflect.TypeFor[linkages.FourBar](), reflect.TypeFor[linkages.RollingCams](),
	reflect.TypeFor[linkages.SliderCrank](),

	// flyweights/motion
	motion.NewPoints, motion.ScatterOf, motion.SpeedAt,
	reflect.TypeFor[motion.FirstOrderLag](), reflect.TypeFor[motion.Model](),
	reflect.TypeFor[motion.Result](), reflect.TypeFor[motion.Ripple](), reflect.TypeFor[motion.Scatter](),
	reflect.TypeFor[motion.Settings](), reflect.TypeFor[motion.Spark](), reflect.TypeFor[motion.SpeedProfile](),

	// flyweights/sensitivity
	sensitivity.At,
	reflect.TypeFor[sensitivity.Sensitivity](),

	// knock
	knock.New, knock.NewEngine,
	reflect.TypeFor[knock.AirStandard](), reflect.TypeFor[knock.Chamber](), reflect.TypeFor[knock.Condition](),
	reflect.TypeFor[knock.Cycle](), reflect.TypeFor[knock.Engine](), reflect.TypeFor[knock.Filling](),
	reflect.TypeFor[knock.Fuel](), reflect.TypeFor[knock.IdealCycle](), reflect.TypeFor[knock.Kind](),
	reflect.TypeFor[knock.Model](), reflect.TypeFor[knock.Observation](),
	reflect.TypeFor[knock.Sample](), reflect.TypeFor[knock.SparkRequirement](),

	// knock/air
	air.Between, air.Standard, air.Through,
	reflect.TypeFor[air.Ambient](), reflect.TypeFor[air.Gas](),

	// knock/airpath
	airpath.MeasuredRatio, airpath.New,
	reflect.TypeFor[airpath.Intake](), reflect.TypeFor[airpath.Load](), reflect.TypeFor[airpath.Path](),
	reflect.TypeFor[airpath.Throttle](), reflect.TypeFor[airpath.Vehicle](),

	// knock/correlations
	correlations.FrictionPressure, correlations.GasSpeed, correlations.OverlapFactor,
	correlations.ResidualFraction, correlations.WallCoefficient,
	reflect.TypeFor[correlations.Delay](), reflect.TypeFor[correlations.FlameState](),
	reflect.TypeFor[correlations.LaminarFlame](), reflect.TypeFor[correlations.Wiebe](),

	// knock/gas
	gas.Air, gas.Charge, gas.Formation, gas.Mix, gas.Named, gas.Oxygen, gas.Products,
	reflect.TypeFor[gas.Frozen](), reflect.TypeFor[gas.Mixture](), reflect.TypeFor[gas.Part](),
	reflect.TypeFor[gas.Species](), reflect.TypeFor[gas.State](),

	// springs
	springs.Measure, springs.MeasurePiecewise,
	reflect.TypeFor[springs.Measured](), reflect.TypeFor[springs.Reading](), reflect.TypeFor[springs.Spring](),

	// springs/design
	design.FullLoop, design.HookBending, design.InitialStress, design.LoadTolerance, design.Materials,
	design.MusicWire, design.MusicWireSizes, design.Springs, design.TabulatedStrength, design.Tolerances,
	design.Zimmerli,
	reflect.TypeFor[design.Choice](), reflect.TypeFor[design.Compression](), reflect.TypeFor[design.Correction](),
	reflect.TypeFor[design.Criterion](), reflect.TypeFor[design.Endurance](), reflect.TypeFor[design.Fatigue](),
	reflect.TypeFor[design.Locations](), reflect.TypeFor[design.Loop](), reflect.TypeFor[design.Material](),
	reflect.TypeFor[design.ModulusRange](), reflect.TypeFor[design.Part](),
	reflect.TypeFor[design.Stock](), reflect.TypeFor[design.StrengthRange](), reflect.TypeFor[design.Wanted](),
	reflect.TypeFor[design.Wire](),

	// springs/leastsquares
	leastsquares.Minimize,
	reflect.TypeFor[leastsquares.Problem](), reflect.TypeFor[leastsquares.Report](),
	reflect.TypeFor[leastsquares.Settings](), reflect.TypeFor[leastsquares.Work](),

	// examples/checks/problems

	// springs/root
	root.Brent, root.Edge,

	// springs/valid
	valid.Above, valid.Check, valid.Finite, valid.In, valid.Refuse, valid.Sentinel,
	reflect.TypeFor[valid.Range](),

	// springs/workers
	workers.Map[float64], workers.With[float64],
	reflect.TypeFor[workers.Pool](),

	// vacuum
	vacuum.ConvolutedArea, vacuum.FlatArea, vacuum.Identify,
	reflect.TypeFor[vacuum.Adjuster](), reflect.TypeFor[vacuum.Hose](),
	reflect.TypeFor[vacuum.Identification](), reflect.TypeFor[vacuum.Input](),
	reflect.TypeFor[vacuum.MeasurementError](), reflect.TypeFor[vacuum.Port](),
	reflect.TypeFor[vacuum.PumpEstimate](), reflect.TypeFor[vacuum.PumpEvent](),
	reflect.TypeFor[vacuum.PumpReading](), reflect.TypeFor[vacuum.RunSettings](), reflect.TypeFor[vacuum.Run](),
	reflect.TypeFor[vacuum.Sample](), reflect.TypeFor[vacuum.Source](), reflect.TypeFor[vacuum.System](),
	reflect.TypeFor[vacuum.Unit](),
}

// notCalled are what cannot be called so, and why.
var notCalled = map[string]string{
	"springs/fuzzing.F":       "is the fuzzers' own",
	"springs/fuzzing.New":     "takes a running fuzz test",
	"springs/fuzzing.Steps":   "is the fuzzers' own",
	"springs/fuzzing.Floats":  "is the fuzzers' own",
	"springs/fuzzing.Finite":  "fails the test that it is given",
	"springs/fuzzing.Rewrite": "is the fuzzers' own",
}

// Why the results of a function may be what is no number.
const (
	product = "a conversion: a product or quotient of what it is given"
	formula = "a formula of a state that passed its check when it was made"
	carries = "hands back what it was given; who uses it checks"
)

// passes are functions whose results may be what is no number, and why.
var passes = map[string]string{
	"advance.DelayDegrees": product, "advance.Drive.RPM": product, "advance.Drive.Omega": product,
	"advance.Drive.CrankDegrees": product, "advance.Drive.ShaftRadians": product,
	"advance/quantity.Value.SI": carries, "springs/valid.In": carries, "springs/valid.Above": carries,
	"knock.NewEngine": carries, "knock.Engine.WithDefaults": carries,
	"flyweights/bodies.Circle": carries, "flyweights/bodies.Line": carries, "flyweights/bodies.Polygon": carries,
	"flyweights/bodies.RingPart": carries,
	"springs/workers.Map":        carries, "springs/workers.With": carries,
	"springs/design.FullLoop": product, "knock/gas.Air": product,
	"springs.Spring.TakeUp": product, "springs.Spring.Energy": product, "springs.Spring.Tension": product,
	"knock.Fuel.Index": product, "knock/correlations.Wiebe.Exponent": formula, "knock/correlations.LaminarFlame.BurnScale": formula,
	"knock/gas.State.U": formula, "knock/gas.State.V": formula, "knock/gas.State.Cv": formula, "knock/gas.State.Isentropic": formula,
	"knock/gas.State.MoleFraction": formula,
}
