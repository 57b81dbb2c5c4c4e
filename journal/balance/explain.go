package balance

import (
	"math"

	"fairmeasure/journal"
)

// Quantity names a figure to explain.
type Quantity string

// The quantities that can be explained.
const (
	OfVolume  Quantity = "volume"
	OfAlcohol Quantity = "alcohol" // also of the strength
	OfSugar   Quantity = "sugar"
	OfAcid    Quantity = "acid"
)

// Contribution is what one part brings to a figure.
type Contribution struct {
	Part  int    // which part, from 0; -1 for the water taken up
	Name  string // the part's name, empty for the water
	Water bool
	Rinse bool // the volume is what stays in the glass

	Volume        Figure // ml
	Concentration Figure // % vol, or g per 100 ml; of a volume it is nothing
	Amount        Figure // ml, or ml of ethanol, or g

	TypicalVolume        bool // the volume is an estimate with a band: a dash, a half lime, the melt
	TypicalConcentration bool // the concentration is a usual figure with a band, not this bottle's own
}

// Explain lists what makes up a figure, part by part in their order, and at last the water, which brings volume only.
// A part without an amount is listed with what is known of it. Amounts known add up to the figure's own, those of alcohol
// before it is rounded to a microlitre.
func (r Result) Explain(q Quantity) []Contribution {
	var out []Contribution
	for _, l := range r.lines {
		if l.state == ignored {
			continue
		}
		c := Contribution{Part: l.part, Name: l.name, Rinse: l.open == journal.Rinse}
		have := l.state == counted
		if have {
			c.Volume = asFigure(l.volume, 1000, exactDecimals)
			c.TypicalVolume = !l.volume.exact()
		} else {
			c.Volume.Decimals = exactDecimals
		}
		switch q {
		case OfVolume:
			c.Amount = c.Volume
		case OfAlcohol:
			c.fill(l, alcohol, 100, 1e7, strengthDecimals, ethanolDecimals)
		case OfSugar:
			c.fill(l, sugar, 1e4, 1e9, sugarDecimals, gramsDecimals)
		case OfAcid:
			c.fill(l, acid, 1e4, 1e9, acidDecimals, acidDecimals)
		default:
			return nil
		}
		out = append(out, c)
	}
	water := Contribution{Part: -1, Water: true, Volume: r.Dilution.Water}
	water.TypicalVolume = !r.Dilution.Water.Exact()
	none := Figure{Known: true}
	switch q {
	case OfVolume:
		water.Amount = water.Volume
	case OfAlcohol:
		water.Concentration, water.Amount = none.with(strengthDecimals), none.with(ethanolDecimals)
	case OfSugar:
		water.Concentration, water.Amount = none.with(sugarDecimals), none.with(gramsDecimals)
	case OfAcid:
		water.Concentration, water.Amount = none.with(acidDecimals), none.with(acidDecimals)
	default:
		return nil
	}
	return append(out, water)
}

// fill gives a contribution its concentration and amount of a kind. concPer and amountPer turn the line's units into the
// figures' own.
func (c *Contribution) fill(l line, k kind, concPer, amountPer float64, concDecimals, amountDecimals int) {
	c.Concentration.Decimals, c.Amount.Decimals = concDecimals, amountDecimals
	conc := l.content[k]
	if l.known[k] {
		c.Concentration = asFigure(conc, concPer, concDecimals)
		c.TypicalConcentration = !conc.exact()
	}
	if l.none(k) {
		conc = input{}
	} else if !l.known[k] || l.state != counted {
		return
	}
	v := l.volume
	side := func(volume, concentration float64) float64 {
		byVolume := (volume - v.value) * conc.value
		byConcentration := (concentration - conc.value) * v.value
		return math.Sqrt(float64(byVolume*byVolume) + float64(byConcentration*byConcentration))
	}
	value := float64(v.value * conc.value)
	c.Amount = asFigure(input{value, max(0, value-side(v.low, conc.low)), value + side(v.high, conc.high)}, amountPer, amountDecimals)
}

func asFigure(in input, per float64, decimals int) Figure {
	return Figure{Value: in.value / per, Low: in.low / per, High: in.high / per, Known: true, Decimals: decimals}
}

func (f Figure) with(decimals int) Figure {
	f.Decimals = decimals
	return f
}
