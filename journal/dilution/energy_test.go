package dilution_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fairmeasure/journal"
	"fairmeasure/journal/dilution"
	"fairmeasure/journal/ethanol"
	"fairmeasure/journal/unit"
)

func weak(method journal.Method, percent, sugar, acid float64) dilution.Estimate {
	mix := dilution.Dissolved{ML: 100, Strength: ethanol.ByVolume(percent / 100), Sugar: sugar, Acid: acid}
	return dilution.Water{}.Estimate(method, unit.Known(percent), mix)
}

// TestBelowTheCurve holds drinks too weak for the curves against the same model worked out apart from this code, with the
// tables of the reference and other software; 100 ml of water shaken is also a worked example of the reference (0.324).
func TestBelowTheCurve(t *testing.T) {
	for _, c := range []struct {
		name                 string
		percent, sugar, acid float64
		shaken, stirred      float64
	}{
		{"water", 0, 0, 0, 0.3238, 0.3117},
		{"10 % and sour", 10, 80, 8, 0.4052, 0.3717},
		{"sweet, without alcohol", 0, 150, 6, 0.3310, 0.3131},
		{"12 %", 12, 40, 3, 0.4177, 0.3778},
	} {
		t.Run(c.name, func(t *testing.T) {
			for method, want := range map[journal.Method]float64{journal.Shaken: c.shaken, journal.Stirred: c.stirred} {
				e := weak(method, c.percent, c.sugar, c.acid)
				require.Equal(t, dilution.Energy, e.Basis)
				require.Empty(t, e.Remarks)
				require.Empty(t, e.Row)
				ratio := e.Ratio.Value
				require.InDelta(t, want, float64(ratio.Value), 0.0002, method)
				require.InEpsilon(t, 0.75*float64(ratio.Value), float64(ratio.Low), 1e-12)
				require.InEpsilon(t, 1.25*float64(ratio.Value), float64(ratio.High), 1e-12)
			}
		})
	}
}

// TestTheBalanceMeetsTheCurve: where the curve begins it lies within the band of the balance, whatever else is in the drink.
// They need not be equal: for stirred drinks the step is a fifth to a quarter.
func TestTheBalanceMeetsTheCurve(t *testing.T) {
	for _, method := range []journal.Method{journal.Shaken, journal.Stirred} {
		for _, sugar := range []float64{0, 60, 120} {
			below, above := weak(method, 14.99, sugar, 6), weak(method, 15, sugar, 6)
			require.Equal(t, dilution.Energy, below.Basis)
			require.Equal(t, dilution.Curve, above.Basis)
			band := below.Ratio.Value
			require.True(t, band.Low <= above.Ratio.Value.Value && above.Ratio.Value.Value <= band.High, "%s with %.0f: %v and %v", method, sugar, band, above.Ratio.Value)
		}
	}
}

func TestWhatIsNoSolutionIsLeftToHabit(t *testing.T) {
	e := weak(journal.Shaken, 10, 1900, 0)
	require.Equal(t, dilution.Habit, e.Basis)
	require.Equal(t, []dilution.Remark{dilution.BelowCurve}, e.Remarks)
}

func TestWeakDrinks(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		percent, sugar, acid := rapid.Float64Range(0, 14.9).Draw(r, "strength"), rapid.Float64Range(0, 300).Draw(r, "sugar"), rapid.Float64Range(0, 40).Draw(r, "acid")
		for _, method := range []journal.Method{journal.Shaken, journal.Stirred} {
			e := weak(method, percent, sugar, acid)
			require.Equal(r, dilution.Energy, e.Basis)
			require.True(r, 0.2 < e.Ratio.Value.Value && e.Ratio.Value.Value < 0.6, "%v", e.Ratio)
			mix := dilution.Dissolved{ML: 100, Strength: ethanol.ByVolume(percent / 100), Sugar: sugar, Acid: acid}
			mix.ML = rapid.Float64Range(1, 5000).Draw(r, "ml")
			require.Equal(r, e.Ratio, dilution.Water{}.Estimate(method, unit.Known(percent), mix).Ratio, "size changes nothing")
			require.Equal(r, e.Ratio.Value.Value, e.Near(40))
			own := dilution.Calibrate([]float64{1.5, 1.5}).Water()
			require.Equal(r, e.Ratio, own.Estimate(method, unit.Known(percent), mix).Ratio, "a calibration is of the curve")
		}
	})
}
