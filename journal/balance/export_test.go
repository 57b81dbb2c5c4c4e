package balance

// What tests look at, and nothing else does.

// Rounded rounds every figure to what is shown of it.
func (r Result) Rounded() Result {
	r.Before, r.After, r.Coldest = r.Before.rounded(), r.After.rounded(), r.Coldest.Rounded()
	r.Dilution.Water = r.Dilution.Water.Rounded()
	r.Dilution.OfStart = r.Dilution.OfStart.Rounded()
	r.Dilution.OfFinal = r.Dilution.OfFinal.Rounded()
	return r
}

func (f Figures) rounded() Figures {
	for _, one := range []*Figure{&f.Volume, &f.Strength, &f.Ethanol, &f.Sugar, &f.Acid, &f.SugarGrams, &f.AcidGrams, &f.SugarToAcid} {
		*one = one.Rounded()
	}
	return f
}
