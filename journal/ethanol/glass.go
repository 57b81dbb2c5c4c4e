package ethanol

import (
	"math"

	"fairmeasure/journal"
	"fairmeasure/journal/unit"
)

// residual is what a rinse leaves in the glass: 2.5 ml, 1 to 5 (common practice, testdata/reference/units.csv, row rinse). The
// rest is discarded and not counted.
var residual = unit.Band[unit.Volume]{Value: 2500, Low: 1000, High: 5000}

// The largest figures taken at their word. What is beyond them, or below nothing, is unknown, not nonsense added to a total.
const (
	mostVolume   = unit.Volume(100 * 1000 * 1000) // 100 litres in one glass (chosen)
	mostStrength = unit.Strength(10000)
)

// Alcohol is the pure ethanol in a glass, as every total, balance, limit and table takes it.
type Alcohol struct {
	Volume  unit.Band[unit.Volume] // what is known of it
	Unknown []int                  // the parts whose alcohol is not known, by their place
}

// AtLeast says that there may be more than is known: something unknown comes on top.
func (a Alcohol) AtLeast() bool { return len(a.Unknown) > 0 }

// In adds up the alcohol of a glass. A part gives its volume times its strength, of a rinse what stays in the glass. Ice and
// water change nothing. The products are summed whole and rounded once, halves up.
//
// The band moves one input at a time to its own low and high and adds the differences in quadrature, up and down apart.
//
// A part without a known strength is unknown, and so is one with strength and without an amount, be it a little to taste:
// unknown is never zero. What has no strength by its own figure, or no volume, adds nothing and leaves nothing open.
func In(made journal.Made) (a Alcohol) {
	var sum int64 // microlitres x basis points
	var down, up float64
	for i, p := range made.Parts {
		volume, strength := Counted(p)
		v, s := volume.Value, strength.Value
		switch {
		case strength.Known && (s.High == 0 || !volume.Known && s.Value == 0): // the latter: at most a trace in a mixer left open
			continue
		case volume.Known && v.High == 0:
			continue
		case !volume.Known || !strength.Known:
			a.Unknown = append(a.Unknown, i)
			continue
		}
		sum += int64(v.Value) * int64(s.Value)
		down += square(int64(v.Value-v.Low)*int64(s.Value)) + square(int64(v.Value)*int64(s.Value-s.Low))
		up += square(int64(v.High-v.Value)*int64(s.Value)) + square(int64(v.Value)*int64(s.High-s.Value))
	}
	ul := unit.Volume((sum + int64(unit.Whole)/2) / int64(unit.Whole))
	a.Volume = unit.Band[unit.Volume]{
		Value: ul,
		Low:   max(0, ul-unit.Volume(math.Round(math.Sqrt(down)/1e4))),
		High:  ul + unit.Volume(math.Round(math.Sqrt(up)/1e4)),
	}
	return a
}

func square(n int64) float64 { return float64(float64(n) * float64(n)) }

// Counted gives the volume that a part has in the glass, of a rinse what it leaves there and never more than was poured, and
// its strength. What cannot be is unknown.
func Counted(p journal.Part) (volume unit.Maybe[unit.Band[unit.Volume]], strength unit.Maybe[unit.Band[unit.Strength]]) {
	volume = p.Volume
	if p.Open == journal.Rinse {
		left := residual
		if v := p.Volume.Value; p.Volume.Known {
			left = unit.Band[unit.Volume]{Value: min(left.Value, v.Value), Low: min(left.Low, v.Low), High: min(left.High, v.High)}
		}
		volume = unit.Known(left)
	}
	return sensible(volume, mostVolume), sensible(p.Content.Strength, mostStrength)
}

// sensible puts a band in order, so that it holds its own value; one that reaches below nothing or above the most is unknown.
func sensible[T ~int64](m unit.Maybe[unit.Band[T]], most T) unit.Maybe[unit.Band[T]] {
	b := m.Value
	b.Low, b.High = min(b.Low, b.Value), max(b.High, b.Value)
	if !m.Known || b.Low < 0 || b.High > most {
		return unit.Maybe[unit.Band[T]]{}
	}
	return unit.Known(b)
}
