package ethanol

import (
	"fairmeasure/journal"
	"fairmeasure/journal/unit"
)

// Liquid is an amount of spirit or water at 20 °C.
type Liquid struct {
	Volume   unit.Volume
	Strength unit.Strength
}

// Mix pours liquids together: masses add, volumes shrink. 50 ml of ethanol and 50 ml of water make 96.46 ml.
func Mix(liquids ...Liquid) (Liquid, error) {
	var alcohol, water float64 // grams
	for _, l := range liquids {
		if l.Volume < 0 {
			return Liquid{}, journal.Refuse(RefusedVolume, "volume", "a volume is not negative, got %g ml", l.Volume.ML())
		}
		p, err := OfStrength(l.Strength).Mass(Legal)
		if err != nil {
			return Liquid{}, err
		}
		grams := l.Volume.ML() * float64(density(p, Legal)) / 1000
		alcohol += float64(grams * float64(p))
		water += float64(grams * float64(1-p))
	}
	ml, q := MixMasses(alcohol, water)
	return Liquid{unit.Millilitres(ml), q.Strength()}, nil
}

// MixMasses gives the volume in ml and the strength, at 20 °C, of grams of ethanol and of water together.
func MixMasses(ethanolGrams, waterGrams float64) (ml float64, q ByVolume) {
	grams := ethanolGrams + waterGrams
	if !(grams > 0) {
		return 0, 0
	}
	p := ByMass(ethanolGrams / grams)
	return grams / float64(density(p, Legal)) * 1000, p.volume(Legal)
}

// WaterToCut gives the volumes of water that bring one volume of a spirit to a lower strength, volumes and strengths
// all at t. Because the mixture shrinks it is more than the rule of three says: 0.514 from 60 to 40 %, not 0.5.
func WaterToCut(from, to ByVolume, t Celsius) (float64, error) {
	p, err := from.Mass(t)
	if err != nil {
		return 0, err
	}
	water, err := WaterMassToCut(from, to, t)
	if err != nil {
		return 0, err
	}
	return water * float64(density(p, t)) / float64(density(0, t)), nil
}

// WaterMassToCut is WaterToCut by mass: grams of water for one gram of spirit.
func WaterMassToCut(from, to ByVolume, t Celsius) (float64, error) {
	p1, err := from.Mass(t)
	if err != nil {
		return 0, err
	}
	p2, err := to.Mass(t)
	if err != nil {
		return 0, err
	}
	if p2 <= 0 || p2 > p1 {
		return 0, journal.Refuse(RefusedWeaker, "to", "water brings %.2f %% vol to less than that and above 0, not to %.2f", 100*float64(from), 100*float64(to))
	}
	return float64(p1/p2) - 1, nil
}

// Cut says how much water brings a spirit to a lower strength, and what comes of it, at 20 °C.
func Cut(spirit Liquid, to unit.Strength) (water unit.Volume, cut Liquid, err error) {
	if spirit.Volume < 0 {
		return 0, Liquid{}, journal.Refuse(RefusedVolume, "volume", "a volume is not negative, got %g ml", spirit.Volume.ML())
	}
	ratio, err := WaterToCut(OfStrength(spirit.Strength), OfStrength(to), Legal)
	if err != nil {
		return 0, Liquid{}, err
	}
	water = unit.Millilitres(spirit.Volume.ML() * ratio)
	cut, err = Mix(spirit, Liquid{Volume: water})
	return water, cut, err
}
