package study

// A Finding is what a study found: a title that says it, and a sentence with the
// figures. Every figure in it stands in the text of the study; a test holds
// that.
type Finding struct {
	Title, Sentence string
	Picture         string // name of the plot that shows it; empty for the first
}

// findings by the name of the study.
var findings = map[string]Finding{
	"checks":        {Title: "The library agrees with the books", Sentence: "Worked examples of textbooks, handbooks and standards are computed again, and each difference is shown."},
	"coverage":      {Title: "The 95 % intervals hold what they promise", Sentence: "Distributors simulated from another physics say how often the true value lies inside."},
	"curve":         {Title: "A curve takes one short program", Sentence: "Two springs and two weights in, degrees at any engine speed out."},
	"drawer":        {Title: "About half of the builds come nearer to knock than they should", Sentence: "What is best for the nominal parts stands close to the knock limit; the table says how much later to set it.", Picture: "fan-plain-engine"},
	"fitcurve":      {Title: "With light springs no reading shows the static timing", Sentence: "Where the advance has begun at idle the readings give a limit for the static timing, and no value."},
	"knockbands":    {Title: "How often a computed knock limit is wrong", Sentence: "Engines that burn by other laws than the model's say how often the band holds, and how often it errs on the dangerous side."},
	"knockeffects":  {Title: "What publications say of knock, beside what the model says", Sentence: "Spark, coolant, altitude and mixture agree; compression and inlet pressure act too strongly in the model."},
	"knockmap":      {Title: "What was heard narrows the knock limit", Sentence: "Trace knock heard at two speeds narrows the band there and around it; elsewhere it stays wide."},
	"knocktrace":    {Title: "Knock is a race between flame and end gas", Sentence: "Earlier spark heats and squeezes what is not yet burned, until it ignites before the flame arrives."},
	"learnedparts":  {Title: "A few runs predict parts that were never fitted together", Sentence: "Simulated distributors say how well, and how often a wrong spring rate or a wrong build is noticed."},
	"leftout":       {Title: "A job may leave out any field, or any two", Sentence: "Each question of what is left is answered, or asks for what it lacks and says how to get it."},
	"mixedpair":     {Title: "A mixed pair lies half-way in squared speed, not in advance", Sentence: "The mean of two advances at equal speed is wrong by several degrees; the mean of squared speeds at equal advance is not."},
	"partload":      {Title: "Light load wants more spark and bears it", Sentence: "A thin, diluted charge burns slowly and does not knock, which is why there is a vacuum unit."},
	"recurve":       {Title: "The whole job, from readings to the sheet", Sentence: "One command reads a job, says what is wrong, chooses the parts and prints what to set and check."},
	"slotclosing":   {Title: "Closing the slot buys static timing at the same total", Sentence: "A tenth of a millimetre of slot is worth over half a degree of travel."},
	"snapthrough":   {Title: "Some weights jump", Sentence: "Where the springs lose to the weights the advance steps, at one speed going up and at another coming down."},
	"sparksweep":    {Title: "The last degrees before best torque knock and gain almost nothing", Sentence: "Torque has a flat top several degrees wide, and the knock limit may stand before it."},
	"springchoice":  {Title: "Tension shifts the start, stiffness stretches the curve", Sentence: "A light spring that works alone, and a heavy one with play behind it, bend the curve over."},
	"throttlesnap":  {Title: "Dry pivots leave less advance going up than coming down", Sentence: "Clean weights come a few hundredths of a second late; sticking ones stay apart by a degree, which a light can show."},
	"vacuummap":     {Title: "The weights make the ramp, the vacuum unit the step", Sentence: "The whole map over speed and load, with what friction does to rising and falling sweeps."},
	"vacuumsources": {Title: "With a long cam idle wanders on manifold vacuum", Sentence: "Where idle vacuum leaves the unit on its ramp idle wanders, and the hose belongs on the ported source."},
	"weightchoice":  {Title: "Heavier weights move the whole curve down in speed", Sentence: "Mass scales every speed by the inverse of its square root; metal off the far end moves the centre of mass as well."},
	"weightdrill":   {Title: "Where a weight is drilled counts as much as how far", Sentence: "The same metal from the root moves the curve by a third as much as from the tip."},
}

// Finding is what the study found; its own comment where nobody has said it yet.
func (s *Study) Finding() Finding {
	if f, ok := findings[s.Name]; ok {
		return f
	}
	return Finding{Title: s.Name, Sentence: s.Title() + "."}
}
