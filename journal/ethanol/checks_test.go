package ethanol_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/journal/unit"
	"fairmeasure/testdata"
)

// TestComparisonChecks holds the grams of small pours against the check of comparing that they are (computed in Python by
// 789.24 kg/m³, OIML R 22).
func TestComparisonChecks(t *testing.T) {
	t.Run("plan-05-alcohol-budget", func(t *testing.T) {
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
			if c.ID != "plan-05-alcohol-budget" {
				continue
			}
			var in struct{ Pours []struct{ ML, ABV float64 } }
			var want struct{ Grams []float64 }
			require.NoError(t, json.Unmarshal(c.Input, &in))
			require.NoError(t, json.Unmarshal(c.Expected, &want))
			require.Len(t, want.Grams, len(in.Pours))
			for i, p := range in.Pours {
				require.InDelta(t, want.Grams[i], grams(unit.Millilitres(p.ML), unit.PercentVol(p.ABV)), 1e-6)
				held++
			}
		}
		require.Equal(t, 5, held)
	})
}
