package dilution_test

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fairmeasure/journal"
	"fairmeasure/journal/dilution"
	"fairmeasure/journal/unit"
)

// TestCalibrate works calibrations out by hand: with the variance between people 0.25² − 0.12² = 0.0481 and that of one
// drink 0.12² = 0.0144, one drink counts for 0.0481/0.0625 = 0.7696 of its distance from the curve, four for
// 0.1924/0.2068 = 0.9304.
func TestCalibrate(t *testing.T) {
	for _, c := range []struct {
		name               string
		seen               []float64
		drinks             int
		mean, factor, half float64
	}{
		{"nothing weighed", nil, 0, 0, 0, 0},
		{"one drink", []float64{0.8}, 1, 0.8, 1 - 0.2*0.7696, math.Sqrt(0.0481/4.34028 + 0.0144)},
		{"four drinks", []float64{0.7, 0.8, 0.9, 0.8}, 4, 0.8, 1 - 0.2*0.9304, math.Sqrt(0.0481/14.3611 + 0.0144)},
		{"one absurd weighing of five is passed over", []float64{0.7, 0.8, 11, 0.9, 0.8}, 4, 0.8, 1 - 0.2*0.9304, math.Sqrt(0.0481/14.3611 + 0.0144)},
		{"one odd one counts as three scatters from the median", []float64{1, 1, 1, 2.9}, 4, 1.09, 1 + 0.09*0.9304, math.Sqrt(0.0481/14.3611 + 0.0144)},
		{"nothing but absurd ones", []float64{0, 0.29, 3.01, -1, math.NaN(), math.Inf(1)}, 0, 0, 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := dilution.Calibrate(c.seen)
			require.Equal(t, c.drinks, got.Drinks)
			require.InDelta(t, c.mean, got.Seen, 1e-12)
			require.InDelta(t, c.factor, got.Factor, 1e-4)
			require.InDelta(t, c.half, got.Half, 1e-4)
		})
	}
}

func TestCalibration(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		seen := rapid.SliceOfN(rapid.Float64Range(0.2, 3.2), 1, 60).Draw(r, "seen")
		c := dilution.Calibrate(seen)
		require.Equal(r, c, dilution.Calibrate(rapid.Permutation(seen).Draw(r, "turned")), "in whatever order")
		if c.Drinks == 0 {
			return
		}
		require.True(r, 0.3 <= c.Seen && c.Seen <= 3)
		require.True(r, min(1, c.Seen) <= c.Factor && c.Factor <= max(1, c.Seen), "between the curve and what was seen")
		require.True(r, 0.12 < c.Half && c.Half < 0.25)
		require.Positive(r, c.Factor-c.Half)

		more := dilution.Calibrate(append(slices.Clone(seen), seen...))
		require.InDelta(r, c.Seen, more.Seen, 1e-9)
		require.Less(r, more.Half, c.Half, "more drinks, less doubt")
		require.GreaterOrEqual(r, math.Abs(more.Factor-1)+1e-12, math.Abs(c.Factor-1), "and further from the curve")

		percent := rapid.Float64Range(15, 45).Draw(r, "strength")
		for _, method := range []journal.Method{journal.Shaken, journal.Stirred} {
			curve := float64(dilution.By(method, unit.Known(percent)).Ratio.Value.Value)
			e := c.Water().Estimate(method, unit.Known(percent), dilution.Dissolved{})
			require.Equal(r, dilution.Own, e.Basis)
			b := e.Ratio.Value
			require.InEpsilon(r, curve*c.Factor, float64(b.Value), 1e-12)
			require.InEpsilon(r, curve*(c.Factor-c.Half), float64(b.Low), 1e-12)
			require.InEpsilon(r, curve*(c.Factor+c.Half), float64(b.High), 1e-12)
			require.Equal(r, b.Value, e.Near(percent))
			require.Equal(r, dilution.Habit, c.Water().Estimate(method, unit.Known(46.0), dilution.Dissolved{}).Basis, "no curve, no calibration")
		}
		require.Equal(r, dilution.By(journal.Built, unit.Known(30.0)), c.Water().Estimate(journal.Built, unit.Known(30.0), dilution.Dissolved{}))
		require.False(r, c.Water().Volume().Known)
	})
}

// TestNothingWeighedIsTheCurve: without drinks the band of the curve itself is that of a drink of anyone.
func TestNothingWeighedIsTheCurve(t *testing.T) {
	require.Equal(t, dilution.By(journal.Shaken, unit.Known(30.0)), dilution.Calibration{}.Water().Estimate(journal.Shaken, unit.Known(30.0), dilution.Dissolved{}))
}

// TestManyDrinksTendToTheirOwn: with a thousand drinks the factor is their mean, and the band that of one drink.
func TestManyDrinksTendToTheirOwn(t *testing.T) {
	c := dilution.Calibrate(slices.Repeat([]float64{0.75}, 1000))
	require.InDelta(t, 0.75, c.Factor, 0.001)
	require.InDelta(t, 0.12, c.Half, 0.001)
}
