package balance_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fairmeasure/journal"
	"fairmeasure/journal/balance"
	"fairmeasure/journal/dilution"
	"fairmeasure/journal/unit"
)

func shakenSour() journal.Made {
	return made(journal.Shaken, part("spirit", 60, 40, 0, 0), part("lime", 22.5, 0, 17, 60), part("syrup", 22.5, 0, 615, 0))
}

// TestColdest holds freezing points worked out apart from this code with the tables of the CRC Handbook, 102nd ed. (2021);
// a spirit of 40 % is one row of them.
func TestColdest(t *testing.T) {
	sour := estimated(shakenSour())
	require.True(t, sour.Coldest.Known)
	require.InDelta(t, -6.83, sour.Coldest.Value, 0.01)
	require.Less(t, sour.Coldest.Low, -7.5, "with less water it would be colder")
	require.Greater(t, sour.Coldest.High, -6.2)
	require.Equal(t, -6.8, sour.Rounded().Coldest.Value)

	equal := estimated(made(journal.Stirred, part("spirit", 30, 40, 0, 0), part("bitter", 30, 25, 240, 0), part("vermouth", 30, 16, 160, 5)))
	require.InDelta(t, -9.23, equal.Coldest.Value, 0.01)

	neat := estimated(made(journal.Neat, part("spirit", 40, 40, 0, 0)))
	require.InDelta(t, -23.62, neat.Coldest.Value, 0.01)
	require.InDelta(t, 0.5, neat.Coldest.High-neat.Coldest.Value, 1e-9, "nothing is in doubt but the model")
	require.InDelta(t, 0.5, neat.Coldest.Value-neat.Coldest.Low, 1e-9)

	water := balance.Of(made(journal.Shaken, part("water", 60, 0, 0, 0)), poured(t, 30))
	require.Equal(t, balance.Figure{Value: 0, Low: -0.5, High: 0, Known: true, Decimals: 1}, water.Coldest)

	sugarUnknown := part("liqueur", 30, 24, 0, 0)
	sugarUnknown.Content.Sugar = unit.Maybe[unit.Band[unit.Concentration]]{}
	for name, m := range map[string]journal.Made{
		"a strength is unknown": made(journal.Shaken, unknownStrength(part("liqueur", 30, 0, 200, 0)), part("lime", 30, 0, 17, 60)),
		"sugar is unknown":      made(journal.Shaken, sugarUnknown),
		"the water is unknown":  made("waved at", part("gin", 60, 40, 0, 0)),
		"an amount is open":     made(journal.Shaken, part("gin", 60, 40, 0, 0), open(journal.Top, part("soda", 0, 0, 0, 0))),
		"no table reaches":      made(journal.Neat, part("neutral alcohol", 40, 96, 0, 0)),
		"nothing is there":      made(journal.Shaken),
	} {
		require.Equal(t, balance.Figure{Decimals: 1}, estimated(m).Coldest, name)
	}
	acidUnknown := part("verjus", 30, 0, 20, 0)
	acidUnknown.Content.Acid = unit.Maybe[unit.Band[unit.Concentration]]{}
	require.True(t, estimated(made(journal.Shaken, part("gin", 60, 40, 0, 0), acidUnknown)).Coldest.Known, "acid hardly moves it")
}

// TestMeltInDoubt: 105 ml of the sour of the checks have to melt 25.2 ml to come from 20 °C to 0 °C (worked out apart from
// this code: heat capacities over 333.6 J/g).
func TestMeltInDoubt(t *testing.T) {
	sour := shakenSour()
	after := func(ml float64, m journal.Made) []string { return codes(balance.Of(m, poured(t, ml))) }
	require.Equal(t, []string{"melt_too_little"}, after(25.1, sour))
	require.Empty(t, after(25.3, sour))
	require.Equal(t, []string{"melt_too_little"}, after(0, sour), "measured as none")
	require.Empty(t, after(210, sour))
	require.Equal(t, []string{"melt_too_much"}, after(210.1, sour), "more than twice 105 ml")

	with := func(method journal.Method, more ...journal.Part) journal.Made {
		return made(method, append(shakenSour().Parts, more...)...)
	}
	for _, method := range []journal.Method{journal.Built, journal.Long, journal.Freezer, journal.Neat, journal.Dry, journal.Whipped} {
		require.NotContains(t, after(1, with(method)), "melt_too_little", "%s: it is not chilled to the end, or not by its ice", method)
		require.Contains(t, after(300, with(method)), "melt_too_much", method)
	}
	top := part("soda", 200, 0, 0, 0)
	top.Open = journal.Top
	require.Equal(t, []string{"melt_too_much"}, after(220, with(journal.Shaken, top)), "only what met the ice has melted it")
	require.Equal(t, []string{"part_sugar_unknown ?"}, after(1, with(journal.Shaken, journal.Part{
		Name: "?", Volume: exact(unit.Millilitres(10)), Content: journal.Content{Strength: exact(unit.PercentVol(20)), Acid: exact(unit.GPerL(0))},
	})), "what is not known to be water is not taken for it")
	require.Empty(t, codes(estimated(sour)), "what nobody measured nobody doubts")
}

// TestOwnWater: the owner's calibration moves the curve, and what was measured wins over it.
func TestOwnWater(t *testing.T) {
	own := dilution.Calibrate([]float64{0.7, 0.8, 0.9, 0.8})
	curve, mine := estimated(shakenSour()), balance.Of(shakenSour(), own.Water())
	require.Equal(t, dilution.Own, mine.Dilution.Basis)
	require.Empty(t, mine.Dilution.Row)
	require.InEpsilon(t, curve.Dilution.Water.Value*own.Factor, mine.Dilution.Water.Value, 1e-12)
	require.InEpsilon(t, curve.Dilution.Water.Value*(own.Factor-own.Half), mine.Dilution.Water.Low, 1e-9)
	require.InEpsilon(t, curve.Dilution.Water.Value*(own.Factor+own.Half), mine.Dilution.Water.High, 1e-9)
	require.Less(t, mine.Coldest.Value, curve.Coldest.Value, "less water, colder")
	require.Equal(t, balance.Below, mine.Verdicts.Dilution, "and held against the usual range like the curve")
	require.Equal(t, balance.In, curve.Verdicts.Dilution)

	built := made(journal.Built, part("rye", 60, 45, 0, 0))
	require.Equal(t, estimated(built), balance.Of(built, own.Water()), "no curve, nothing to move")
}

// TestBelowTheCurve: a drink too weak for the curve stands on the balance of energy.
func TestBelowTheCurve(t *testing.T) {
	weak := estimated(made(journal.Shaken, part("vermouth", 50, 16, 30, 5), part("lemon", 20, 0, 25, 60), part("water", 30, 0, 0, 0)))
	require.Equal(t, dilution.Energy, weak.Dilution.Basis)
	require.Empty(t, codes(weak))
	want := dilution.Water{}.Estimate(journal.Shaken, unit.Known(8.0), dilution.Dissolved{ML: 100, Strength: 0.08, Sugar: 20, Acid: 14.5})
	require.InDelta(t, 100*float64(want.Ratio.Value.Value), weak.Dilution.OfStart.Value, 1e-6)
	require.InEpsilon(t, 1.25*weak.Dilution.Water.Value, weak.Dilution.Water.High, 1e-9)
	require.InEpsilon(t, 0.75*weak.Dilution.Water.Value, weak.Dilution.Water.Low, 1e-9)

	unknown := part("quince liqueur", 50, 12, 0, 0)
	unknown.Content.Sugar = unit.Maybe[unit.Band[unit.Concentration]]{}
	r := estimated(made(journal.Shaken, unknown, part("water", 50, 0, 0, 0)))
	require.Equal(t, dilution.Energy, r.Dilution.Basis, "sugar that is not known moves the heat little")
	strong := estimated(made(journal.Shaken, part("overproof", 60, 57, 0, 0)))
	require.Contains(t, codes(strong), "above_curve")
	require.Equal(t, dilution.Habit, strong.Dilution.Basis)
}

func TestMoreWaterIsWarmer(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		m := exactMade(r)
		pour := func(label string) float64 { return float64(rapid.IntRange(0, 200_000).Draw(r, label)) / 1000 }
		less, more := pour("one"), pour("other")
		if less > more {
			less, more = more, less
		}
		of := func(ml float64) balance.Figure {
			w, err := dilution.Poured(unit.Millilitres(ml))
			require.NoError(r, err)
			return balance.Of(m, w).Coldest
		}
		a, b := of(less), of(more)
		if a.Known && b.Known {
			require.LessOrEqual(r, a.Value, b.Value+1e-9)
		}
		for _, f := range []balance.Figure{a, b} {
			if f.Known {
				require.True(r, f.Low <= f.Value-0.5+1e-9 && f.Value <= f.High && f.High <= 0, "%+v", f)
			}
		}
	})
}
