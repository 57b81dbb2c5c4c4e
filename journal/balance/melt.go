package balance

import (
	"math"

	"fairmeasure/journal"
	"fairmeasure/journal/dilution"
	"fairmeasure/journal/ethanol"
)

// coldDoubt is what the sum of depressions may be off by, in K: ethanol and sugar freeze together as no table says (from
// memory, no measured mixtures of three).
const coldDoubt = 0.5

// coldest gives where a finished glass begins to freeze: over ice of 0 °C it gets no colder. Its band is that of the
// weakest and of the strongest glass by the figures, and the doubt of the model in quadrature. Without a known strength,
// sugar or water there is none, nor where no table reaches; acid that is not known would move it by a tenth or so.
func coldest(after Figures) Figure {
	out := Figure{Decimals: coldDecimals}
	if !after.Volume.Known || !after.Strength.Known || !after.Sugar.Known {
		return out
	}
	freezes := func(strength, sugar, acid float64) (float64, bool) {
		d := dilution.Dissolved{ML: 100, Strength: ethanol.ByVolume(strength / 100), Sugar: 10 * sugar, Acid: 10 * acid}
		t, ok := d.Freezes()
		return float64(t), ok
	}
	value, ok := freezes(after.Strength.Value, after.Sugar.Value, after.Acid.Value)
	cold, okCold := freezes(after.Strength.High, after.Sugar.High, after.Acid.High)
	warm, okWarm := freezes(after.Strength.Low, after.Sugar.Low, after.Acid.Low)
	if !ok || !okCold || !okWarm {
		return out
	}
	wide := func(by float64) float64 { return math.Sqrt(float64(by*by) + coldDoubt*coldDoubt) }
	out.Known, out.Value, out.Low, out.High = true, value, value-wide(value-cold), min(0, value+wide(warm-value))
	return out
}

// doubt finds measured water that is hard to believe. Ice from a cold freezer chills with less than the least, so that is
// a question and no refusal. It is asked only where a drink is chilled to the end and then served off its ice, or with all
// of it.
func (g *glass) doubt(method journal.Method) string {
	if g.met <= 0 || g.metMissing {
		return ""
	}
	if g.water > 2*g.met {
		return MeltTooMuch
	}
	switch method {
	case journal.Stirred, journal.Shaken, journal.Thrown, journal.Swizzled, journal.Flash, journal.Blended:
	default:
		return ""
	}
	for i := range g.lines { // what is unknown is not taken for water here: it would ask for too much
		l := &g.lines[i]
		if l.state == counted && !l.afterIce && (!l.known[alcohol] && !l.none(alcohol) || !l.known[sugar] && !l.none(sugar)) {
			return ""
		}
	}
	least, err := dilution.Chill{Parts: []dilution.Dissolved{g.mixMet()}, Start: 20}.LeastMelt(0)
	if err == nil && g.water < least*1000/float64(ethanol.Water)*1000 {
		return MeltTooLittle
	}
	return ""
}
