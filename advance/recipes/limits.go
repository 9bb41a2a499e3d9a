package recipes

// AllInNotTooEarly is the name, in [Tolerance.Limits], of the limit whose margin
// is the all-in speed less the low end of [Limits.AllIn].
const AllInNotTooEarly = "all in not too early"
