package dilution_test

import (
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fairmeasure/journal"
	"fairmeasure/journal/dilution"
	"fairmeasure/journal/unit"
	"fairmeasure/testdata"
)

func number(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return x
}

func TestCurveTable(t *testing.T) {
	for _, r := range testdata.Rows(t, "reference/dilution_curve.csv") {
		t.Run(r["percent_vol"]+" % vol", func(t *testing.T) {
			percent := number(t, r["percent_vol"])
			require.InDelta(t, number(t, r["stirred"]), float64(dilution.StirredCurve(percent)), 0.00051)
			require.InDelta(t, number(t, r["shaken"]), float64(dilution.ShakenCurve(percent)), 0.00051)
			for _, method := range []journal.Method{journal.Stirred, journal.Shaken} {
				e := dilution.By(method, unit.Known(percent))
				if percent < 15 {
					require.Equal(t, dilution.Habit, e.Basis)
					require.Equal(t, []dilution.Remark{dilution.BelowCurve}, e.Remarks)
					continue
				}
				require.Equal(t, dilution.Curve, e.Basis)
				require.Empty(t, e.Remarks)
				require.InDelta(t, number(t, r[string(method)]), float64(e.Ratio.Value.Value), 0.00051)
				require.InDelta(t, 0.75*number(t, r[string(method)]), float64(e.Ratio.Value.Low), 0.0007)
				require.InDelta(t, 1.25*number(t, r[string(method)]), float64(e.Ratio.Value.High), 0.0007)
			}
		})
	}
}

// TestCases runs the two cases on dilution: the weighings, and what a percentage is taken from.
func TestCases(t *testing.T) {
	read := func(t *testing.T, id string) (in, want map[string]float64, tolerance float64) {
		c := testdata.Row(t, "cases/cases.csv", "id", id)
		require.NoError(t, json.Unmarshal([]byte(c["input"]), &in))
		require.NoError(t, json.Unmarshal([]byte(c["expected"]), &want))
		return in, want, number(t, c["tolerance"])
	}
	t.Run("C019", func(t *testing.T) {
		in, want, tolerance := read(t, "C019")
		water, err := dilution.Weighed(unit.Mass(in["mix_g"]*1000), unit.Mass(in["after_strain_g"]*1000))
		require.NoError(t, err)
		melt, start := water.Volume(), unit.Millilitres(in["mix_ml"])
		require.True(t, melt.Known)
		require.InDelta(t, want["water_ml"], melt.Value.ML(), tolerance)
		require.InDelta(t, want["dilution_on_start_percent"], dilution.Percent(melt.Value, start, dilution.OfStart).Value, tolerance)
		final := (start + melt.Value).ML()
		require.InDelta(t, want["final_ml"], final, tolerance)
		require.InDelta(t, want["final_abv"], in["mix_abv"]*in["mix_ml"]/final, tolerance)
	})
	t.Run("C020", func(t *testing.T) {
		in, want, tolerance := read(t, "C020")
		start, water := unit.Millilitres(in["mix_ml"]), unit.Millilitres(in["water_ml"])
		require.InDelta(t, want["percent_of_start"], dilution.Percent(water, start, dilution.OfStart).Value, tolerance)
		require.InDelta(t, want["percent_of_final"], dilution.Percent(water, start, dilution.OfFinal).Value, tolerance)
	})
}

// habits says which row of the reference file each method stands on when no curve serves.
var habits = map[journal.Method]string{
	journal.Stirred:    "stirred, range seen in ordinary bars",
	journal.Shaken:     "shaken, range seen in ordinary bars",
	journal.Built:      "built over ice and stirred briefly (rocks)",
	journal.Long:       "built long over ice with mixer (highball), ice melt only",
	journal.Thrown:     "thrown / rolled between tins",
	journal.Swizzled:   "swizzled with crushed ice, at first sip",
	journal.Flash:      "flash-blended 3-5 s with crushed ice, poured unstrained, at first sip",
	journal.Blended:    "blended (ice in the drink)",
	journal.Whipped:    "whip shake (few pieces of pebble ice, all melted)",
	journal.Dry:        "dry shake only (no ice)",
	journal.Freezer:    "freezer-batched (measured water)",
	journal.Carbonated: "carbonated (pre-diluted, no ice melt)",
}

func TestHabits(t *testing.T) {
	rows, style := testdata.Held(t, "journal/dilution", "reference/finished_drink_ranges.csv")
	for _, r := range rows {
		t.Run(r[style], func(t *testing.T) {
			var method journal.Method
			for m, row := range habits {
				if row == r[style] {
					method = m
				}
			}
			require.NotEmpty(t, method, "no method stands on it")
			low, high := number(t, r["dilution_pct_low"])/100, number(t, r["dilution_pct_high"])/100
			e := dilution.By(method, unit.Known(60.0))
			source := r["source"] + ", " + r["marking"]
			require.Equal(t, r[style], e.Row, source)
			require.True(t, e.Ratio.Known)
			require.InDelta(t, low, float64(e.Ratio.Value.Low), 1e-12, source)
			require.InDelta(t, high, float64(e.Ratio.Value.High), 1e-12, source)
			require.InDelta(t, (low+high)/2, float64(e.Ratio.Value.Value), 1e-12)
			basis := dilution.Habit
			if high == 0 {
				basis = dilution.NoIce
			}
			require.Equal(t, basis, e.Basis)
			require.Equal(t, e.Ratio.Value.Value, e.Near(20), "a row has one middle whatever the strength")
		})
	}
	require.Len(t, habits, len(rows), "and no method stands on a row of its own")
}

func TestNoIceIsExactlyNone(t *testing.T) {
	for _, method := range []journal.Method{journal.Neat, journal.Dry, journal.Carbonated} {
		e := dilution.By(method, unit.Maybe[float64]{})
		require.Equal(t, dilution.NoIce, e.Basis)
		require.Equal(t, unit.Known(unit.Exact(unit.Volume(0))), e.Water(90_000))
		require.Empty(t, e.Remarks)
	}
}

func TestOutsideTheCurve(t *testing.T) {
	for _, c := range []struct {
		name     string
		strength unit.Maybe[float64]
		basis    dilution.Basis
		remarks  []dilution.Remark
	}{
		{"just inside below", unit.Known(15.0), dilution.Curve, nil},
		{"the last bit decides nothing", unit.Known(math.Nextafter(45, 46)), dilution.Curve, nil},
		{"below", unit.Known(14.99), dilution.Habit, []dilution.Remark{dilution.BelowCurve}},
		{"above", unit.Known(45.01), dilution.Habit, []dilution.Remark{dilution.AboveCurve}},
		{"no alcohol", unit.Known(0.0), dilution.Habit, []dilution.Remark{dilution.BelowCurve}},
		{"unknown", unit.Maybe[float64]{}, dilution.Habit, []dilution.Remark{dilution.StrengthUnknown}},
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, method := range []journal.Method{journal.Stirred, journal.Shaken} {
				e := dilution.By(method, c.strength)
				require.Equal(t, c.basis, e.Basis)
				require.Equal(t, c.remarks, e.Remarks)
				require.True(t, e.Ratio.Known)
			}
		})
	}
}

func TestUnknownMethodIsUnknownNotNone(t *testing.T) {
	for _, method := range []journal.Method{"", "stared at"} {
		e := dilution.By(method, unit.Known(30.0))
		require.Equal(t, dilution.Unknown, e.Basis)
		require.False(t, e.Ratio.Known)
		require.False(t, e.Water(90_000).Known)
		require.Equal(t, []dilution.Remark{dilution.MethodUnknown}, e.Remarks)
	}
}

func TestBlendedSaysItsRowIsOneFigure(t *testing.T) {
	e := dilution.By(journal.Blended, unit.Known(28.0))
	require.Equal(t, unit.Known(unit.Exact(unit.Volume(74_700))), e.Water(83_000))
	require.Equal(t, []dilution.Remark{dilution.OneFigure}, e.Remarks)
}

func TestMeasured(t *testing.T) {
	refused := func(code string, err error) {
		t.Helper()
		var r *journal.Refusal
		require.ErrorAs(t, err, &r)
		require.Equal(t, code, r.Code)
	}
	_, err := dilution.Poured(-1)
	refused(dilution.RefusedNegative, err)
	_, err = dilution.Weighed(0, 100)
	refused(dilution.RefusedMass, err)
	_, err = dilution.Weighed(97_000, 96_999)
	refused(dilution.RefusedLighter, err)

	none, err := dilution.Weighed(97_000, 97_000)
	require.NoError(t, err)
	require.Equal(t, unit.Known(unit.Volume(0)), none.Volume(), "measured as none is not unknown")
	require.False(t, dilution.Water{}.Volume().Known)
	melt, err := dilution.Weighed(100_000, 199_820)
	require.NoError(t, err)
	require.Equal(t, unit.Known(unit.Volume(100_000)), melt.Volume(), "99.82 g of water are 100 ml at 20 °C")
	poured, err := dilution.Poured(40_000)
	require.NoError(t, err)
	require.Equal(t, unit.Known(unit.Volume(40_000)), poured.Volume())
}

func TestPercentOfNothingIsUnknown(t *testing.T) {
	require.False(t, dilution.Percent(0, 0, dilution.OfStart).Known)
	require.False(t, dilution.Percent(0, 0, dilution.OfFinal).Known)
	require.False(t, dilution.Percent(10, -10, dilution.OfFinal).Known)
	require.Equal(t, unit.Known(100.0), dilution.Percent(10, 0, dilution.OfFinal))
}

var anyMethod = rapid.SampledFrom([]journal.Method{
	journal.Stirred, journal.Shaken, journal.Built, journal.Long, journal.Thrown, journal.Swizzled, journal.Flash,
	journal.Blended, journal.Whipped, journal.Dry, journal.Freezer, journal.Neat, journal.Carbonated, "", "other",
})

func TestBandHoldsItsValueAndNothingIsNaN(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		strength := unit.Maybe[float64]{Value: rapid.Float64().Draw(r, "strength"), Known: rapid.Bool().Draw(r, "known")}
		e := dilution.By(anyMethod.Draw(r, "method"), strength)
		b := e.Ratio.Value
		require.Equal(r, e.Ratio.Known, e.Basis != dilution.Unknown)
		require.True(r, 0 <= b.Low && b.Low <= b.Value && b.Value <= b.High && b.High <= 1, "%v", b)
		start := unit.Volume(rapid.Int64Range(0, 1<<40).Draw(r, "start"))
		w := e.Water(start)
		require.Equal(r, e.Ratio.Known, w.Known)
		require.True(r, 0 <= w.Value.Low && w.Value.Low <= w.Value.Value && w.Value.Value <= w.Value.High && w.Value.High <= start)
	})
}

func TestInsideTheCurveStrongerTakesUpMoreAndShakenMoreThanStirred(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		weak := rapid.Float64Range(15, 45).Draw(r, "weak")
		strong := rapid.Float64Range(weak, 45).Draw(r, "strong")
		for _, method := range []journal.Method{journal.Stirred, journal.Shaken} {
			e := dilution.By(method, unit.Known(weak))
			require.Equal(r, dilution.Curve, e.Basis)
			require.LessOrEqual(r, e.Ratio.Value.Value, dilution.By(method, unit.Known(strong)).Ratio.Value.Value+1e-12)
			require.Equal(r, dilution.By(method, unit.Known(strong)).Ratio.Value.Value, e.Near(strong))
		}
		require.Less(r, dilution.StirredCurve(weak), dilution.ShakenCurve(weak))
	})
}

func TestNearStaysOnTheCurve(t *testing.T) {
	e := dilution.By(journal.Shaken, unit.Known(20.0))
	require.Equal(t, dilution.ShakenCurve(45), e.Near(70))
	require.Equal(t, dilution.ShakenCurve(15), e.Near(2))
}

func TestOverIce(t *testing.T) {
	require.True(t, dilution.OverIce(journal.Built))
	require.True(t, dilution.OverIce(journal.Long))
	require.False(t, dilution.OverIce(journal.Shaken))
	require.False(t, dilution.OverIce(""))
}

// ExampleBy is the shaken sour of D. Arnold, Liquid Intelligence (W. W. Norton, 2014), p. 123: 60 ml of a 40 % spirit and
// 45 ml of juice and syrup, 22.9 % vol before ice.
func ExampleBy() {
	e := dilution.By(journal.Shaken, unit.Known(100*24.0/105))
	w := e.Water(unit.Millilitres(105)).Value
	fmt.Printf("%s: %.0f ml of water (%.0f to %.0f)\n", e.Basis, w.Value.ML(), w.Low.ML(), w.High.ML())
	// Output: published curve: 55 ml of water (41 to 68)
}
