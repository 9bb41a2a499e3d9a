package knock

// miss returns how far the model with a parameter is from an observation, in standard
// deviations of the observation, and the slopes of that.
func (p *point) miss(mean *parameters, o *Observation) (off float64, slopes parameters) {
	d := p.deviation(mean, o)
	return d.over(p.slopes(mean, o, &d))
}
