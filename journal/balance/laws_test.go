package balance_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fairmeasure/journal"
	"fairmeasure/journal/balance"
	"fairmeasure/journal/count"
	"fairmeasure/journal/dilution"
	"fairmeasure/journal/ethanol"
	"fairmeasure/journal/unit"
)

var methods = []journal.Method{
	journal.Stirred, journal.Shaken, journal.Built, journal.Long, journal.Thrown, journal.Swizzled, journal.Flash,
	journal.Blended, journal.Whipped, journal.Dry, journal.Freezer, journal.Neat, journal.Carbonated, "", "other",
}

// drawBand draws a band from 0 to most, often exact and sometimes unknown.
func drawBand[T ~int64](r *rapid.T, label string, least, most int64) unit.Maybe[unit.Band[T]] {
	draw := func() T { return T(rapid.Int64Range(least, most).Draw(r, label)) }
	switch rapid.IntRange(0, 5).Draw(r, label+" how") {
	case 0:
		return unit.Maybe[unit.Band[T]]{}
	case 1, 2:
		return exact(draw())
	}
	low, value, high := draw(), draw(), draw()
	return band(max(min(low, value), min(max(low, value), high)), min(low, value, high), max(low, value, high))
}

var sensiblePart = rapid.Custom(func(r *rapid.T) journal.Part {
	return journal.Part{
		Name:   "part",
		Open:   rapid.SampledFrom([]journal.Open{journal.Measured, journal.Measured, journal.Top, journal.Rinse, journal.Float, journal.ToTaste}).Draw(r, "open"),
		Volume: drawBand[unit.Volume](r, "volume", 0, 200_000),
		Content: journal.Content{
			Strength: drawBand[unit.Strength](r, "strength", 0, 10_000),
			Sugar:    drawBand[unit.Concentration](r, "sugar", 0, 1_200_000),
			Acid:     drawBand[unit.Concentration](r, "acid", 0, 100_000),
		},
	}
})

// wildPart draws anything the types can hold.
var wildPart = rapid.Custom(func(r *rapid.T) journal.Part {
	p := sensiblePart.Draw(r, "sensible")
	wild := rapid.Int64()
	p.Volume = unit.Maybe[unit.Band[unit.Volume]]{
		Known: rapid.Bool().Draw(r, "volume known"),
		Value: unit.Band[unit.Volume]{Value: unit.Volume(wild.Draw(r, "v")), Low: unit.Volume(wild.Draw(r, "v low")), High: unit.Volume(wild.Draw(r, "v high"))},
	}
	p.Content.Strength = unit.Maybe[unit.Band[unit.Strength]]{
		Known: rapid.Bool().Draw(r, "strength known"),
		Value: unit.Band[unit.Strength]{Value: unit.Strength(wild.Draw(r, "s")), Low: unit.Strength(wild.Draw(r, "s low")), High: unit.Strength(wild.Draw(r, "s high"))},
	}
	p.Content.Sugar = unit.Maybe[unit.Band[unit.Concentration]]{Known: true, Value: unit.Exact(unit.Concentration(wild.Draw(r, "sugar")))}
	return p
})

func drawMade(r *rapid.T, one *rapid.Generator[journal.Part]) journal.Made {
	return journal.Made{Method: rapid.SampledFrom(methods).Draw(r, "method"), Parts: rapid.SliceOfN(one, 0, 6).Draw(r, "parts")}
}

func drawWater(r *rapid.T) dilution.Water {
	switch rapid.IntRange(0, 3).Draw(r, "water from") {
	case 0, 1:
		return dilution.Water{}
	case 2:
		return dilution.Calibrate(rapid.SliceOfN(rapid.Float64Range(0.2, 3.2), 0, 5).Draw(r, "seen")).Water()
	}
	w, err := dilution.Poured(unit.Volume(rapid.Int64Range(0, 200_000).Draw(r, "water")))
	require.NoError(r, err)
	return w
}

func all(r balance.Result) []balance.Figure {
	out := []balance.Figure{r.Dilution.Water, r.Dilution.OfStart, r.Dilution.OfFinal, r.AlcoholGrams(789)}
	for _, f := range []balance.Figures{r.Before, r.After} {
		out = append(out, f.Volume, f.Strength, f.Ethanol, f.Sugar, f.Acid, f.SugarGrams, f.AcidGrams, f.SugarToAcid)
	}
	return out
}

func sound(r *rapid.T, f balance.Figure) {
	for _, x := range []float64{f.Value, f.Low, f.High} {
		require.False(r, math.IsNaN(x) || math.IsInf(x, 0), "%+v", f)
		require.GreaterOrEqual(r, x, 0.0)
	}
	states := 0
	for _, state := range []bool{f.Known, f.AtLeast, f.Between} {
		if state {
			states++
		}
	}
	require.LessOrEqual(r, states, 1, "%+v", f)
	switch {
	case f.Known || f.AtLeast:
		require.True(r, f.Low <= f.Value && f.Value <= f.High, "%+v", f)
	case f.Between:
		require.True(r, f.Low <= f.High && f.Value == 0, "%+v", f)
	default:
		require.Equal(r, balance.Figure{Decimals: f.Decimals}, f)
	}
}

func TestBandHoldsItsValueAndNothingIsNaN(t *testing.T) {
	check := func(one *rapid.Generator[journal.Part]) func(r *rapid.T) {
		return func(r *rapid.T) {
			m := drawMade(r, one)
			result := balance.Of(m, drawWater(r))
			for _, f := range all(result) {
				sound(r, f)
				sound(r, f.Rounded())
			}
			require.LessOrEqual(r, result.Before.Strength.High, 100.0)
			require.LessOrEqual(r, result.After.Strength.High, 100.0)
			if c := result.Coldest; c.Known {
				require.True(r, -60 < c.Low && c.Low <= c.Value && c.Value <= c.High && c.High <= 0, "%+v", c)
			} else {
				require.Equal(r, balance.Figure{Decimals: 1}, c)
			}
			for _, q := range []balance.Quantity{balance.OfVolume, balance.OfAlcohol, balance.OfSugar, balance.OfAcid} {
				for _, c := range result.Explain(q) {
					sound(r, c.Volume)
					sound(r, c.Concentration)
					sound(r, c.Amount)
				}
			}
			if c, ok := result.Contracted(); ok {
				for _, f := range []balance.Figure{c.BeforeVolume, c.BeforeStrength, c.AfterVolume, c.AfterStrength} {
					sound(r, f)
				}
			}
		}
	}
	t.Run("sensible", func(t *testing.T) { rapid.Check(t, check(sensiblePart)) })
	t.Run("wild", func(t *testing.T) { rapid.Check(t, check(wildPart)) })
}

func TestMoreOfALineNeverLessAlcohol(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		m := drawMade(r, sensiblePart)
		if len(m.Parts) == 0 {
			return
		}
		water := drawWater(r)
		less := balance.Of(m, water)
		more := journal.Made{Method: m.Method, Parts: append([]journal.Part(nil), m.Parts...)}
		p := &more.Parts[rapid.IntRange(0, len(m.Parts)-1).Draw(r, "which")]
		by := unit.Volume(rapid.Int64Range(0, 100_000).Draw(r, "by"))
		if !p.Volume.Known {
			if p.Open == journal.Rinse {
				return // a rinse without a figure counts already; a figure may well be less
			}
			p.Volume = exact(by)
		}
		v := &p.Volume.Value
		v.Value, v.Low, v.High = v.Value+by, v.Low+by, v.High+by
		after := balance.Of(more, water)
		require.GreaterOrEqual(r, after.Before.Ethanol.Value, less.Before.Ethanol.Value)
		require.GreaterOrEqual(r, after.Before.SugarGrams.Value, less.Before.SugarGrams.Value)
		require.GreaterOrEqual(r, after.Before.Volume.Value, less.Before.Volume.Value)
	})
}

func TestAnUnknownStrengthNeverLowersATotal(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		m := drawMade(r, sensiblePart)
		water := drawWater(r)
		without := balance.Of(m, water)
		mystery := sensiblePart.Draw(r, "mystery")
		mystery.Content.Strength = unit.Maybe[unit.Band[unit.Strength]]{}
		with := balance.Of(journal.Made{Method: m.Method, Parts: append(append([]journal.Part(nil), m.Parts...), mystery)}, water)
		require.Equal(r, without.Before.Ethanol.Value, with.Before.Ethanol.Value)
		if mystery.Open != journal.ToTaste && mystery.Open != journal.Rinse && (!mystery.Volume.Known || mystery.Volume.Value.High > 0) {
			require.True(r, with.Before.Ethanol.AtLeast, "and it says that there is more")
		}
		// forgetting a strength that was known never claims a known total
		if len(m.Parts) > 0 {
			forgotten := journal.Made{Method: m.Method, Parts: append([]journal.Part(nil), m.Parts...)}
			p := &forgotten.Parts[rapid.IntRange(0, len(m.Parts)-1).Draw(r, "which")]
			p.Content.Strength = unit.Maybe[unit.Band[unit.Strength]]{}
			again := balance.Of(forgotten, water)
			require.True(r, again.Before.Ethanol.AtLeast || again.Before.Ethanol.Value == without.Before.Ethanol.Value)
		}
	})
}

// exactMade draws a drink with nothing unknown and nothing in doubt.
func exactMade(r *rapid.T) journal.Made {
	one := rapid.Custom(func(r *rapid.T) journal.Part {
		return journal.Part{
			Name:   "part",
			Volume: exact(unit.Volume(rapid.Int64Range(1, 200_000).Draw(r, "volume"))),
			Content: journal.Content{
				Strength: exact(unit.Strength(rapid.Int64Range(0, 10_000).Draw(r, "strength"))),
				Sugar:    exact(unit.Concentration(rapid.Int64Range(0, 900_000).Draw(r, "sugar"))),
				Acid:     exact(unit.Concentration(rapid.Int64Range(0, 100_000).Draw(r, "acid"))),
			},
		}
	})
	return journal.Made{Method: rapid.SampledFrom(methods[:13]).Draw(r, "method"), Parts: rapid.SliceOfN(one, 1, 6).Draw(r, "parts")}
}

func TestScalingKeepsConcentrations(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		m := exactMade(r)
		by := rapid.Int64Range(1, 40).Draw(r, "by")
		big := journal.Made{Method: m.Method, Parts: append([]journal.Part(nil), m.Parts...)}
		for i := range big.Parts {
			v := big.Parts[i].Volume.Value.Value
			big.Parts[i].Volume = exact(v * unit.Volume(by))
		}
		one, many := balance.Of(m, dilution.Water{}), balance.Of(big, dilution.Water{})
		for _, pair := range [][2]balance.Figure{
			{one.Before.Strength, many.Before.Strength}, {one.After.Strength, many.After.Strength},
			{one.Before.Sugar, many.Before.Sugar}, {one.After.Sugar, many.After.Sugar},
			{one.Before.Acid, many.Before.Acid}, {one.After.Acid, many.After.Acid},
			{one.Before.SugarToAcid, many.Before.SugarToAcid}, {one.Dilution.OfStart, many.Dilution.OfStart},
			{one.Dilution.OfFinal, many.Dilution.OfFinal},
		} {
			require.Equal(r, pair[0].Known, pair[1].Known)
			require.InEpsilon(r, 1+pair[0].Value, 1+pair[1].Value, 1e-9)
			require.InEpsilon(r, 1+pair[0].Low, 1+pair[1].Low, 1e-9)
			require.InEpsilon(r, 1+pair[0].High, 1+pair[1].High, 1e-9)
		}
		require.InDelta(r, one.After.Ethanol.Value*float64(by), many.After.Ethanol.Value, 0.0005*float64(by+1)+1e-9, "each is a whole number of microlitres")
		for _, pair := range [][2]balance.Figure{
			{one.After.Volume, many.After.Volume}, {one.Dilution.Water, many.Dilution.Water},
			{one.After.SugarGrams, many.After.SugarGrams}, {one.After.AcidGrams, many.After.AcidGrams},
		} {
			require.InDelta(r, pair[0].Value*float64(by), pair[1].Value, 1e-9*(1+pair[1].Value), "and its masses grow alike")
		}
		require.InDelta(r, one.Coldest.Value, many.Coldest.Value, 1e-6)
	})
}

func TestDilutionConserves(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		m := exactMade(r)
		result := balance.Of(m, drawWater(r))
		require.Equal(r, result.Before.Ethanol, result.After.Ethanol)
		require.Equal(r, result.Before.SugarGrams, result.After.SugarGrams)
		require.Equal(r, result.Before.AcidGrams, result.After.AcidGrams)
		require.Equal(r, result.Before.SugarToAcid, result.After.SugarToAcid)
		volume := result.After.Volume.Value
		require.InDelta(r, result.Before.Volume.Value+result.Dilution.Water.Value, volume, 1e-9)
		require.InDelta(r, result.After.Ethanol.Value, volume*result.After.Strength.Value/100, 0.0005+1e-9, "a whole number of microlitres")
		require.InDelta(r, result.After.SugarGrams.Value, volume*result.After.Sugar.Value/100, 1e-9)
		require.InDelta(r, result.After.AcidGrams.Value, volume*result.After.Acid.Value/100, 1e-9)
		require.LessOrEqual(r, result.After.Strength.Value, result.Before.Strength.Value)
	})
}

// TestBetweenHoldsForEveryAmount fills in an open top or float and finds the strength where it was said to lie.
func TestBetweenHoldsForEveryAmount(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		m := exactMade(r)
		top := exactMade(r).Parts[0]
		top.Open = rapid.SampledFrom([]journal.Open{journal.Top, journal.Float}).Draw(r, "open")
		filled := journal.Made{Method: m.Method, Parts: append(append([]journal.Part(nil), m.Parts...), top)}
		left := journal.Made{Method: m.Method, Parts: append([]journal.Part(nil), filled.Parts...)}
		left.Parts[len(left.Parts)-1].Volume = unit.Maybe[unit.Band[unit.Volume]]{}
		water := drawWater(r)
		a, b := balance.Of(left, water), balance.Of(filled, water)
		for _, pair := range [][2]balance.Figure{
			{a.Before.Strength, b.Before.Strength}, {a.After.Strength, b.After.Strength},
			{a.Before.Sugar, b.Before.Sugar}, {a.After.Sugar, b.After.Sugar}, {a.After.Acid, b.After.Acid},
		} {
			require.True(r, pair[0].Between)
			require.GreaterOrEqual(r, pair[1].Value, pair[0].Low-1e-9)
			require.LessOrEqual(r, pair[1].Value, pair[0].High+1e-9)
		}
		require.True(r, a.After.Volume.AtLeast)
		require.LessOrEqual(r, a.After.Volume.Value, b.After.Volume.Value)
	})
}

func TestTheOrderOfPartsDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		m := drawMade(r, sensiblePart)
		water := drawWater(r)
		turned := journal.Made{Method: m.Method, Parts: rapid.Permutation(m.Parts).Draw(r, "turned")}
		a, b := all(balance.Of(m, water)), all(balance.Of(turned, water))
		for i := range a {
			require.Equal(r, a[i].Value, b[i].Value, "sums of whole numbers are exact")
			require.InEpsilon(r, 1+a[i].Low, 1+b[i].Low, 1e-9)
			require.InEpsilon(r, 1+a[i].High, 1+b[i].High, 1e-9)
		}
	})
}

func TestTheSameAgainIsTheSame(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		m := drawMade(r, sensiblePart)
		water := drawWater(r)
		require.Equal(r, balance.Of(m, water), balance.Of(m, water))
	})
}

// TestOneReckoningOfAlcohol: what a balance says of the alcohol of a glass is what every total takes, in microlitres, in
// grams as they are shown, and in what is not known, on 10,000 glasses, half of them with figures that cannot be. Both are
// held against a sum that is written down here once more.
func TestOneReckoningOfAlcohol(t *testing.T) {
	unknown, some := 0, 0
	for n := range 10_000 {
		one := sensiblePart
		if n%2 == 1 {
			one = wildPart
		}
		m := rapid.Custom(func(r *rapid.T) journal.Made { return drawMade(r, one) }).Example(n)
		r, total := balance.Of(m, dilution.Water{}), ethanol.In(m)
		require.Equal(t, total, r.Alcohol)
		density := []count.Density{789, 790, 800}[n%3]
		grams := r.AlcoholGrams(density)
		for _, f := range []balance.Figure{r.Before.Ethanol, r.After.Ethanol, grams} {
			require.Equal(t, total.AtLeast(), f.AtLeast)
			require.Equal(t, !total.AtLeast(), f.Known)
		}
		require.Equal(t, total.Volume.Value, unit.Millilitres(r.After.Ethanol.Value))
		require.Equal(t, count.Shown(count.Grams(int64(total.Volume.Value), density)), grams.Rounded().Value)
		if total.AtLeast() {
			require.False(t, r.Before.Strength.Known)
			require.False(t, r.After.Strength.Known)
			unknown++
		}

		sum, open := 0.0, []int(nil)
		for i, p := range m.Parts {
			v, s := p.Volume.Value, p.Content.Strength.Value
			if p.Open == journal.Rinse {
				if !p.Volume.Known {
					v = unit.Band[unit.Volume]{Value: 2500, Low: 1000, High: 5000}
				}
				v = unit.Band[unit.Volume]{Value: min(v.Value, 2500), Low: min(v.Low, 1000), High: min(v.High, 5000)}
			}
			hasVolume := p.Volume.Known || p.Open == journal.Rinse
			within := func(b, l, h, most int64) bool { return min(b, l) >= 0 && max(b, h) <= most }
			hasVolume = hasVolume && within(int64(v.Value), int64(v.Low), int64(v.High), 100_000_000)
			hasStrength := p.Content.Strength.Known && within(int64(s.Value), int64(s.Low), int64(s.High), 10_000)
			switch {
			case hasStrength && max(s.Value, s.High) == 0, hasVolume && max(v.Value, v.High) == 0, hasStrength && !hasVolume && s.Value == 0:
			case hasStrength && hasVolume:
				sum += float64(v.Value) * float64(s.Value) / 10_000
			default:
				open = append(open, i)
			}
		}
		require.Equal(t, open, total.Unknown)
		require.InDelta(t, sum, float64(total.Volume.Value), 0.51)
		if sum > 0 {
			some++
		}
	}
	require.Greater(t, unknown, 3000)
	require.Greater(t, some, 3000)
}
