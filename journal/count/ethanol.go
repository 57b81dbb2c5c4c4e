package count

import (
	"math"

	"fairmeasure/journal"
	"fairmeasure/journal/unit"
)

// Residual is what a rinse leaves in the glass: 2.5 ml, 1 to 5 (common practice; testdata/reference/units.csv). The rest
// is discarded and not counted.
var residual = unit.Band[unit.Volume]{Value: 2500, Low: 1000, High: 5000}

// Residual gives the volume a rinse leaves in the glass, with its band.
func Residual() unit.Band[unit.Volume] { return residual }

// The largest figures taken at their word. Beyond them a part counts as unknown, not as nonsense added to a total.
const (
	mostVolume   = unit.Volume(100 * 1000 * 1000) // 100 litres in one glass (chosen)
	mostStrength = unit.Strength(10000)
)

// Ethanol sums the alcohol of a glass in microlitres. A part gives its volume times its strength; a rinse leaves Residual,
// or all of it where less was used. Ice and dilution change nothing. The products are summed whole and rounded once, halves up.
//
// low and high move one input at a time to its own low and high and add the differences in quadrature, up and down apart.
//
// unknown counts the parts whose alcohol is not known: no strength, or an open amount without a figure of something that
// has strength. The sum is then "at least". What is known to have no alcohol, or no volume, adds nothing and leaves nothing open.
func Ethanol(made journal.Made) (ul, low, high int64, unknown int) {
	var sum int64 // microlitres x basis points
	var down, up float64
	for _, p := range made.Parts {
		v, s, known := alcoholic(p)
		if !known {
			unknown++
			continue
		}
		sum += int64(v.Value) * int64(s.Value)
		for _, d := range [...]int64{(int64(v.Value) - int64(v.Low)) * int64(s.Value), int64(v.Value) * (int64(s.Value) - int64(s.Low))} {
			down += float64(float64(d) * float64(d))
		}
		for _, d := range [...]int64{(int64(v.High) - int64(v.Value)) * int64(s.Value), int64(v.Value) * (int64(s.High) - int64(s.Value))} {
			up += float64(float64(d) * float64(d))
		}
	}
	ul = halfUp(sum, int64(unit.Whole))
	low = max(0, ul-int64(math.Round(math.Sqrt(down)/1e4)))
	high = ul + int64(math.Round(math.Sqrt(up)/1e4))
	return ul, low, high, unknown
}

// alcoholic gives the volume and strength a part counts with, or that they are not known. A part without alcohol has
// both zero and is known.
func alcoholic(p journal.Part) (v unit.Band[unit.Volume], s unit.Band[unit.Strength], known bool) {
	strength, volume := p.Content.Strength, p.Volume
	switch {
	case strength.Known && strength.Value == unit.Exact(unit.Strength(0)):
		return v, s, true
	case volume.Known && volume.Value == unit.Exact(unit.Volume(0)):
		return v, s, true
	case p.Open == journal.Rinse:
		left := residual
		if volume.Known {
			left.Value = min(left.Value, volume.Value.Value)
			left.Low = min(left.Low, volume.Value.Low)
			left.High = min(left.High, volume.Value.High)
		}
		volume = unit.Known(left)
	case !volume.Known && strength.Known && strength.Value.Value == 0:
		return v, s, true // a mixer that may hold a trace
	}
	if !strength.Known || !volume.Known {
		return v, s, false
	}
	v, s = ordered(volume.Value), ordered(strength.Value)
	return v, s, v.Low >= 0 && v.High <= mostVolume && s.Low >= 0 && s.High <= mostStrength
}

// ordered makes a band hold its own value, whatever was written down.
func ordered[T unit.Volume | unit.Strength](b unit.Band[T]) unit.Band[T] {
	return unit.Band[T]{Value: b.Value, Low: min(b.Low, b.Value), High: max(b.High, b.Value)}
}

// Of is what the owner drank of a glass: its alcohol by the share drunk, and how many of its strengths are unknown. Of a
// glass made for someone else (share zero) it is nothing, and nothing is unknown.
func Of(made journal.Made, share unit.Share) (ul int64, unknown int) {
	if share <= 0 {
		return 0, 0
	}
	ul, _, _, unknown = Ethanol(made)
	return Share(ul, share), unknown
}

// Share takes a share of an amount of ethanol, rounded to whole microlitres, halves up. A share below nothing is nothing
// and one above the whole is the whole.
func Share(ul int64, share unit.Share) int64 {
	share = min(max(share, 0), unit.Whole)
	return halfUp(ul*int64(share), int64(unit.Whole))
}

// halfUp divides a number that is not negative.
func halfUp(n, by int64) int64 { return (n + by/2) / by }
