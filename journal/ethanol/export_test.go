package ethanol

// What tests look at, and nothing else does.

// DensityOf gives the density of a mixture, or a Refusal where the formula does not hold.
func DensityOf(p ByMass, t Celsius) (Density, error) {
	if err := inRange(p, t); err != nil {
		return 0, err
	}
	return density(p, t), nil
}

// Volume gives the strength by volume, both volumes at t.
func (p ByMass) Volume(t Celsius) (ByVolume, error) {
	if err := inRange(p, t); err != nil {
		return 0, err
	}
	return p.volume(t), nil
}
