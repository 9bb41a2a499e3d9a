package knock

// WithDefaults returns the engine with every field that was left at zero filled
// with the default that stands beside it. A package that shares the description
// asks here and has no defaults of its own. It does not check the engine; see
// [Engine.Check].
func (e Engine) WithDefaults() Engine { return e.withDefaults() }
