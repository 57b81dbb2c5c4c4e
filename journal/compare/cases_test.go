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
			case "redeclare":
				redeclared(t, row)
				ran++
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
	require.Equal(t, 9, ran)
}

// redeclared holds a case of declaring the benchmark anew: B and C beside the benchmark, each glass in the stretch it was
// scored in.
func redeclared(t *testing.T, row map[string]string) {
	type stretch struct {
		Declared float64            `json:"declared"`
		Scores   map[string]float64 `json:"scores"`
	}
	var in struct {
		Flight   [][2]any  `json:"flight"`
		Declared float64   `json:"declared_first"`
		Then     []float64 `json:"then_declared"`
		First    stretch   `json:"stretch1"`
		Second   stretch   `json:"stretch2"`
	}
	var want struct {
		Todays      map[string]float64 `json:"todays_scale"`
		Differences map[string]float64 `json:"raw_difference"`
	}
	require.NoError(t, json.Unmarshal([]byte(row["input"]), &in))
	require.NoError(t, json.Unmarshal([]byte(row["expected"]), &want))
	pairings := map[string]compare.Pairing{"benchmark": {}, "B": {1}, "C": {2}}
	s := compare.Study{Slots: []compare.Slot{{Candidates: 3}}}
	declare := func(score float64) {
		s.Segments = append(s.Segments, compare.Segment{Declared: score, Known: true, Anchor: compare.AnchorRecalled})
	}
	taste := func(name string, score float64) {
		s.Tastings = append(s.Tastings, compare.Tasting{Pairing: pairings[name], Segment: len(s.Segments) - 1, Score: score, Weight: compare.Blind})
	}
	for _, part := range []stretch{in.First, in.Second} {
		if len(part.Scores) > 0 {
			declare(part.Declared)
			for name, score := range part.Scores {
				taste(name, score)
			}
		}
	}
	if len(in.Flight) > 0 {
		declare(in.Declared)
		for _, glass := range in.Flight {
			taste(glass[0].(string), glass[1].(float64))
		}
	}
	before, err := compare.Of(s)
	require.NoError(t, err)
	for _, score := range in.Then {
		declare(score)
	}
	after, err := compare.Of(s)
	require.NoError(t, err)
	for name, p := range pairings {
		require.Equal(t, before.Find(p), after.Find(p), name)
	}
	if len(in.Then) > 1 { // as many tastings of the benchmark would have moved it
		for range in.Then {
			taste("benchmark", in.Declared)
		}
		tasted, err := compare.Of(s)
		require.NoError(t, err)
		require.Greater(t, tasted.Find(pairings["B"]).Better()-before.Find(pairings["B"]).Better(), 0.03)
	}
	last := len(s.Segments) - 1
	for _, taken := range s.Tastings {
		for name, p := range pairings {
			if today, ok := want.Todays[name]; ok && p == taken.Pairing {
				require.InDelta(t, today, after.OnTodaysScale(taken.Score, taken.Segment, last), 1e-9, name)
			}
			if d, ok := want.Differences[name]; ok && p == taken.Pairing {
				require.InDelta(t, d, after.OnTodaysScale(taken.Score, taken.Segment, last)-s.Segments[last].Declared, 1e-9, name)
			}
		}
	}
}
