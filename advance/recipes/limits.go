package recipes

// Names of the limits in [Tolerance.Limits]. The margin of each is 0 on the edge
// and positive inside. Springs with a largest tension add one each, see
// [TensionOf].
const (
	StartAboveIdle   = "start above idle, rising"   // rpm crank above idle and its margin
	ReturnAboveIdle  = "return above idle, falling" // the same on the falling sweep
	WeightsComeBack  = "weights come back"          // 1, or -1 where friction holds them out at standstill
	AllInNotTooEarly = "all in not too early"       // all-in speed less the low end of [Limits.AllIn], rpm crank
	AllInNotTooLate  = "all in not too late"        // the high end less the all-in speed, rpm crank
	TotalKept        = "total"                      // to the nearer end of [Limits.Total], crank degrees
	IdleReadingKept  = "reading at idle"            // to the nearer end of [Limits.IdleReading], crank degrees
	KnockMarginKept  = "knock margin"               // least distance to the limit beyond its margin, crank degrees
	NoSnap           = "no snap"                    // 1, or -1 where the weights snap in the driving range
)

// TensionOf is the name of the limit on the pull of a spring, whose margin is in
// newtons.
func TensionOf(spring string) string { return "tension of spring " + spring }
