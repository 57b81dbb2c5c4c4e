package bottles_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/journal/bottles"
	"fairmeasure/journal/unit"
	"fairmeasure/testdata"
)

// TestComparisonChecks holds the price of a glass against the check of comparing that it is (computed in Python).
func TestComparisonChecks(t *testing.T) {
	t.Run("val-01-price-per-drink", func(t *testing.T) {
		raw, err := testdata.Files.ReadFile("reference/comparison_checks.json")
		require.NoError(t, err)
		var file struct {
			Checks []struct {
				ID       string
				Input    json.RawMessage
				Expected json.RawMessage
			}
		}
		require.NoError(t, json.Unmarshal(raw, &file))
		held := 0
		for _, c := range file.Checks {
			if c.ID != "val-01-price-per-drink" {
				continue
			}
			var in struct{ Parts [][3]float64 }
			var want struct{ Price float64 }
			require.NoError(t, json.Unmarshal(c.Input, &in))
			require.NoError(t, json.Unmarshal(c.Expected, &want))
			var all []bottles.Taken
			for _, p := range in.Parts {
				all = append(all, bottles.Taken{
					Volume: unit.Millilitres(p[2]), Price: unit.Known(bottles.Price{Minor: int64(p[0] * 100), Currency: "EUR", Size: unit.Millilitres(p[1])}),
				})
			}
			sum := bottles.CostOf(all).Sum()
			require.True(t, sum.Known)
			require.InDelta(t, want.Price, float64(sum.Value.Minor)/100, 0.005, "to a cent, as it is shown")
			held++
		}
		require.Equal(t, 1, held)
	})
}
