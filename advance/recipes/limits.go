package recipes

// Names of the limits in [LimitProbability]. The margin of each is 0 on the edge
// and positive inside. Springs with a largest tension add one each.
const (
	startAboveIdle   = "start above idle, rising"   // rpm crank above idle and its margin
	returnAboveIdle  = "return above idle, falling" // the same on the falling sweep
	weightsComeBack  = "weights come back"          // 1, or -1 where friction holds them out at standstill
	allInNotTooEarly = "all in not too early"       // all-in speed less the low end of [Limits.AllIn], rpm crank
	allInNotTooLate  = "all in not too late"        // the high end less the all-in speed, rpm crank
	totalKept        = "total"                      // to the nearer end of [Limits.Total], crank degrees
	idleReadingKept  = "reading at idle"            // to the nearer end of [Limits.IdleReading], crank degrees
	knockMarginKept  = "knock margin"               // least distance to the limit beyond its margin, crank degrees
	noSnap           = "no snap"                    // 1, or -1 where the weights snap in the driving range
)

// tensionOf is the name of the limit on the pull of a spring, whose margin is in
// newtons.
func tensionOf(spring string) string { return "tension of spring " + spring }
