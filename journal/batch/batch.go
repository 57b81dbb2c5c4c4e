// Package batch makes more of a drink at once: scaled to glasses, to a total or to a bottle, with the water it would take up
// put in beforehand, weighed, and asked whether a freezer turns it to slush. It also says what an infusion does to a spirit.
//
// It promises that parts add up to the whole to the microlitre and that proportions are kept within one of them; so a
// bottle is never overfilled. It leaves out what is added in the glass, and how long anything keeps.
package batch

import (
	"math"
	"math/bits"
	"slices"
	"sort"

	"fairmeasure/journal"
	"fairmeasure/journal/balance"
	"fairmeasure/journal/dilution"
	"fairmeasure/journal/ethanol"
	"fairmeasure/journal/unit"
)

// Most is the largest batch: 100 litres, as of a bottle (chosen).
const Most unit.Volume = 100_000_000

// Times gives each part so many times over.
func Times(parts []unit.Volume, n int64) ([]unit.Volume, error) {
	if n < 1 {
		return nil, journal.Refuse("out_of_range", "servings", "expected one glass at least")
	}
	out, whole := make([]unit.Volume, len(parts)), unit.Volume(0)
	for i, p := range parts {
		if p < 0 || p > Most || int64(p) > int64(Most)/n {
			return nil, tooMuch()
		}
		out[i] = p * unit.Volume(n)
		if whole += out[i]; whole > Most {
			return nil, tooMuch()
		}
	}
	return out, nil
}

func tooMuch() error {
	return journal.Refuse("out_of_range", "total_ul", "expected a batch of at most 100 litres")
}

// Fit gives each part its share of a whole. What rounding leaves over goes to the parts that lost most by it, of equal ones
// to the first, so that they add up to the whole exactly.
func Fit(parts []unit.Volume, whole unit.Volume) ([]unit.Volume, error) {
	if whole < 1 || whole > Most {
		return nil, journal.Refuse("out_of_range", "total_ul", "expected a batch of at most 100 litres, and of something")
	}
	var sum uint64
	for _, p := range parts {
		if p < 0 || p > Most {
			return nil, tooMuch()
		}
		sum += uint64(p)
	}
	if sum == 0 {
		return nil, journal.Refuse("empty", "spec", "there is nothing in it with an amount")
	}
	out, over, left := make([]unit.Volume, len(parts)), make([]uint64, len(parts)), whole
	for i, p := range parts {
		high, low := bits.Mul64(uint64(p), uint64(whole))
		share, rest := bits.Div64(high, low, sum)
		out[i], over[i] = unit.Volume(share), rest
		left -= out[i]
	}
	for ; left > 0; left-- {
		most := 0
		for i, o := range over {
			if o > over[most] {
				most = i
			}
		}
		out[most]++
		over[most] = 0
	}
	return out, nil
}

// Part says whether a part goes into the batch: what is topped up, floated, rinsed or added to taste is added in the glass.
func Part(p journal.Part) bool { return p.Open == journal.Measured && p.Volume.Known }

// Percent gives water as a share of what is put in, in hundredths of a percent.
func Percent(start unit.Volume, bp int64) unit.Volume {
	return unit.Volume(math.Round(float64(start) * float64(bp) / 10_000))
}

// Weight gives what so much of something weighs at 20 °C, from the density of its alcohol and water and the room that its
// sugar and acid take. Within 0.2 % of measured syrups, so on a kitchen scale as good as a jigger. Unknown where a content is.
func Weight(v unit.Volume, c journal.Content) (grams float64, ok bool) {
	if !c.Strength.Known || !c.Sugar.Known || !c.Acid.Known {
		return 0, false
	}
	g, err := dilution.Dissolved{
		ML: v.ML(), Strength: ethanol.OfStrength(c.Strength.Value.Value),
		Sugar: c.Sugar.Value.Value.GramsPerLitre(), Acid: c.Acid.Value.Value.GramsPerLitre(),
	}.Grams()
	return g, err == nil
}

// WaterWeight gives what water weighs.
func WaterWeight(v unit.Volume) float64 { return v.ML() * float64(ethanol.Water) / 1000 }

// freezingDoubt is the least doubt of a freezing point, in K: sugar and alcohol are added up, and published tables of
// alcohol alone differ by up to 1.5 K near 30 % of mass (Lange's Handbook and the CRC Handbook).
const freezingDoubt = 1.5

// Freezes gives where a batch begins to freeze, in °C with its band; false where it cannot be told.
func Freezes(made journal.Made, water unit.Volume) (balance.Figure, bool) {
	poured, err := dilution.Poured(water)
	if err != nil {
		return balance.Figure{}, false
	}
	f := balance.Of(made, poured).Coldest
	if !f.Known {
		return f, false
	}
	f.Low, f.High = min(f.Low, f.Value-freezingDoubt), max(f.High, f.Value+freezingDoubt)
	return f, true
}

// LeastStrength gives the strength in % vol from which on alcohol in water, without sugar, stays liquid in such a cold.
func LeastStrength(cold ethanol.Celsius) (float64, error) {
	if !(cold <= 0 && cold >= -40) {
		return 0, journal.Refuse("out_of_range", "freezer_c", "expected a freezer of -40 to 0 °C")
	}
	low, high := 0.0, 0.9
	for range 50 {
		q := (low + high) / 2
		t, ok := dilution.Dissolved{ML: 100, Strength: ethanol.ByVolume(q)}.Freezes()
		if ok && t > cold {
			low = q
		} else {
			high = q
		}
	}
	return 100 * high, nil
}

// Infusion is a spirit with something put in it, in ml and % vol. Given is water that fruit and the like give to it; Made
// what was got back, if measured.
type Infusion struct {
	ML, Percent float64
	Given, Made unit.Maybe[float64]
}

// Infused is what came of it.
type Infused struct {
	ML, Percent float64
	CostFactor  float64 // what a ml costs now, as a multiple of before
	Assumed     bool    // no water was told of, so the strength is taken as unchanged: nobody measured it
}

// Run reckons it: alcohol stays, water joins it without shrinking, what is not got back is lost at that strength.
func (i Infusion) Run() (Infused, error) {
	water := i.Given.Value
	if !(i.ML > 0 && i.ML <= Most.ML() && i.Percent >= 0 && i.Percent <= 100 && water >= 0 && water <= Most.ML()) {
		return Infused{}, journal.Refuse("out_of_range", "vol_ul", "expected some spirit of 0 to 100 %% vol")
	}
	out := Infused{ML: i.ML + water, Percent: i.ML * i.Percent / (i.ML + water), Assumed: !i.Given.Known}
	if i.Made.Known {
		if !(i.Made.Value > 0 && i.Made.Value <= out.ML) {
			return Infused{}, journal.Refuse("out_of_range", "made_ul", "expected at most the %.1f ml that went in", out.ML)
		}
		out.ML = i.Made.Value
	}
	out.CostFactor = i.ML / out.ML
	return out, nil
}

// Sum adds volumes.
func Sum(parts []unit.Volume) (v unit.Volume) {
	for _, p := range parts {
		v += p
	}
	return v
}

// Draws are what a making took from bottles, at most one of each, in the order of their ids.
type Draws []Draw

// Draw is an amount from one bottle.
type Draw struct {
	Bottle journal.ID
	Volume unit.Volume
}

// NewDraws puts draws in order, those of one bottle together.
func NewDraws(all []Draw) Draws {
	var out Draws
	for _, d := range all {
		if i := slices.IndexFunc(out, func(o Draw) bool { return o.Bottle == d.Bottle }); i >= 0 {
			out[i].Volume += d.Volume
		} else {
			out = append(out, d)
		}
	}
	sort.Slice(out, func(i, j int) bool { return out[i].Bottle < out[j].Bottle })
	return out
}
