package balance

import (
	"math"

	"fairmeasure/journal/ethanol"
)

// Contracted is the volume and strength of a drink that shrinks as spirit and water mix.
type Contracted struct {
	BeforeVolume, BeforeStrength Figure
	AfterVolume, AfterStrength   Figure
}

// Contracted reckons by mass instead of by volume: each part as grams of ethanol, water, sugar and acid, the mixture's
// volume from the density of its ethanol and water. Each figure is the plain one moved as a whole, band and all. It is
// unknown as soon as one content of one part is, or where a part cannot be a solution of what it is said to hold.
func (r Result) Contracted() (Contracted, bool) {
	var alcoholGrams, waterGrams, solutes float64 // the last in ml
	for i := range r.lines {
		l := &r.lines[i]
		if l.state == ignored {
			continue
		}
		if l.state == missing {
			return Contracted{}, false
		}
		for k := range l.known {
			if !l.known[k] && !l.none(kind(k)) {
				return Contracted{}, false
			}
		}
		ml := l.volume.value / 1000
		room := float64(ml*l.content[sugar].value/1e6*sugarRoom) + float64(ml*l.content[acid].value/1e6*acidRoom)
		liquid := ml - room
		pure := ml * l.content[alcohol].value / 10000
		if ml == 0 {
			continue
		}
		if liquid <= 0 || pure > liquid {
			return Contracted{}, false
		}
		p, err := ethanol.ByVolume(pure / liquid).Mass(ethanol.Legal)
		if err != nil {
			return Contracted{}, false
		}
		grams := pure * float64(ethanol.Pure) / 1000
		alcoholGrams += grams
		if p > 0 {
			waterGrams += grams/float64(p) - grams
		} else {
			waterGrams += float64(liquid * float64(ethanol.Water) / 1000)
		}
		solutes += room
	}
	if !r.Before.Volume.Known || !r.Before.Strength.Known {
		return Contracted{}, false
	}
	side := func(volume, strength Figure, waterGrams float64) (Figure, Figure) {
		ml, _ := ethanol.MixMasses(alcoholGrams, waterGrams)
		ml += solutes
		return volume.movedTo(ml), strength.movedTo(float64(alcoholGrams / float64(ethanol.Pure) * 1000 / ml * 100))
	}
	var c Contracted
	c.BeforeVolume, c.BeforeStrength = side(r.Before.Volume, r.Before.Strength, waterGrams)
	if !r.After.Volume.Known || !r.After.Strength.Known {
		c.AfterVolume, c.AfterStrength = r.After.Volume, r.After.Strength
		return c, true
	}
	added := float64(r.water.value / 1000 * float64(ethanol.Water) / 1000)
	c.AfterVolume, c.AfterStrength = side(r.After.Volume, r.After.Strength, waterGrams+added)
	return c, true
}

func (f Figure) movedTo(value float64) Figure {
	by := value - f.Value
	f.Value, f.Low, f.High = value, max(0, f.Low+by), f.High+by
	return f
}

// contractionShows says whether the loss by mixing changes the strength by two of the digits that are shown: chosen, so
// that everyday drinks stay without a remark.
func (r Result) contractionShows() bool {
	c, ok := r.Contracted()
	if !ok {
		return false
	}
	const digits = 0.2 // % vol
	return math.Abs(c.BeforeStrength.Value-r.Before.Strength.Value) >= digits ||
		math.Abs(c.AfterStrength.Value-r.After.Strength.Value) >= digits
}
