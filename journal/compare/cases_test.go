package compare_test

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/journal/compare"
	"fairmeasure/testdata"
)

// TestCases holds the cases of chances and of shrunk means against what is reckoned here.
func TestCases(t *testing.T) {
	type in struct {
		N, Correct int
		PreferA    int                  `json:"prefer_a"`
		Items      map[string][]float64 `json:"items"`
		Mean       float64              `json:"prior_mean"`
		Weight     float64              `json:"prior_weight"`
	}
	ran := 0
	for _, row := range testdata.Rows(t, "cases/compare_cases.csv") {
		if row["op"] == "variant_diff" {
			continue // which spec is a pairing of another: TestScoredPoursAreTastings of sync/schema
		}
		var given in
		var want map[string]any
		check := func(got float64, key string, near float64) {
			require.InDelta(t, want[key], got, near)
			ran++
		}
		t.Run(row["id"], func(t *testing.T) {
			require.NoError(t, json.Unmarshal([]byte(row["expected"]), &want))
			require.NoError(t, json.Unmarshal([]byte(row["input"]), &given))
			switch row["op"] {
			case "triangle":
				s := compare.Triangle(given.N, given.Correct)
				check(s.Chance, "p", 0.0005)
				require.Equal(t, strings.Contains(want["verdict"].(string), "likely"), s.Shown)
			case "paired_preference":
				s := compare.Paired(given.N, given.PreferA)
				check(s.Chance, "p_two_sided", 0.0005)
				require.False(t, s.Shown)
			case "best_score":
				best, most := "", 0.0
				for name, scores := range given.Items {
					mean := compare.Shrunk(scores, given.Mean, given.Weight)
					check(mean, name, 0.01)
					if mean > most {
						best, most = name, mean
					}
				}
				require.Equal(t, want["best"], best)
			case "blind_codes":
				seeds := &compare.Seeds{State: 1}
				codes := seeds.Codes(3, nil)
				require.Len(t, codes, 3)
				require.True(t, codes[0] != codes[1] && codes[1] != codes[2] && codes[0] != codes[2])
				ran++
			default:
				t.Fatalf("nobody holds %s", row["op"])
			}
		})
	}
	require.Equal(t, 6, ran)
}
