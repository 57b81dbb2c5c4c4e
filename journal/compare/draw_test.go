package compare

import (
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func glassesText(glasses []Glass) string {
	var all []string
	for _, g := range glasses {
		all = append(all, strconv.Itoa(g.Code)+g.Of)
	}
	return strings.Join(all, " ")
}

// TestDrawsStayTheSame holds draws that were made once: trials under way keep a seed and no glasses.
func TestDrawsStayTheSame(t *testing.T) {
	for _, d := range []struct {
		sort  string
		seed  uint64
		after int
		want  string
	}{
		{PairedTrial, 42, 1, "350b 862a"},
		{PairedTrial, 42, 2, "708a 605b"},
		{PairedTrial, 42, 3, "174b 207a"},
		{PairedTrial, 0, 0, "479a 347b"},
		{PairedTrial, 0, 40, "597a 648b"},
		{TriangleTrial, 42, 0, "862b 425a 708b"},
		{TriangleTrial, 42, 5, "941a 925b 685a"},
		{TriangleTrial, 42, 6, "482b 158a 683a"},
		{TriangleTrial, 42, 7, "453b 704a 146b"},
		{TriangleTrial, 1<<64 - 1, 0, "875b 965b 516a"},
		{TriangleTrial, 1<<64 - 1, 11, "204a 349b 589b"},
		{TriangleTrial, 7, 140, "512a 602b 850b"}, // where codes come again
		{TriangleTrial, 7, 500, "823b 685a 240a"},
		{PreferredTrial, 42, 0, "713a 658b"},
		{PreferredTrial, 42, 1, "964a 350b"},
	} {
		require.Equal(t, d.want, glassesText(DrawTrial(d.sort, d.seed, d.after)), "%s %d %d", d.sort, d.seed, d.after)
	}
	require.Nil(t, DrawTrial("duo", 42, 0))
}

// TestEveryOrderComesOnce: of a pair each order once in two trials, of a triangle once in six.
func TestEveryOrderComesOnce(t *testing.T) {
	for _, o := range trialOrders {
		for seed := range uint64(20) {
			for round := range 3 {
				var orders []string
				for i := range o.orders {
					var order string
					for _, g := range DrawTrial(o.sort, seed, round*len(o.orders)+i) {
						order += g.Of
					}
					orders = append(orders, order)
				}
				require.ElementsMatch(t, o.orders, orders)
			}
		}
	}
}

// TestTrialCodes: codes have three different digits, and none comes twice in the first hundred trials.
func TestTrialCodes(t *testing.T) {
	for seed := range uint64(5) {
		seen := map[int]bool{}
		for after := range 100 {
			for _, g := range DrawTrial(TriangleTrial, seed, after) {
				require.False(t, seen[g.Code])
				seen[g.Code] = true
				digits := strings.Split(strconv.Itoa(g.Code), "")
				slices.Sort(digits)
				require.Len(t, slices.Compact(digits), 3)
			}
		}
	}
}

// TestOutcomes: of three the odd glass is found, of two a choice is for what was in that glass.
func TestOutcomes(t *testing.T) {
	outcomes := func(sort string, sides string) (all []string) {
		var glasses []Glass
		for _, of := range sides {
			glasses = append(glasses, Glass{Of: string(of)})
		}
		for _, g := range withOutcomes(sort, glasses) {
			all = append(all, g.Outcome)
		}
		return all
	}
	require.Equal(t, []string{"missed", "found", "missed"}, outcomes(TriangleTrial, "aba"))
	require.Equal(t, []string{"found", "missed", "missed"}, outcomes(TriangleTrial, "abb"))
	require.Equal(t, []string{"b", "a"}, outcomes(PairedTrial, "ba"))
	require.Equal(t, []string{"a", "b"}, outcomes(PreferredTrial, "ab"))
}

// TestLeastShown: triangles by ISO 4120 as reproduced in FAO V7180E, appendix A, at 5 %; pairs two-sided, from the
// binomial distribution.
func TestLeastShown(t *testing.T) {
	for sort, rows := range map[string][][2]int{
		TriangleTrial: {
			{3, 3}, {5, 4}, {6, 5}, {7, 5}, {8, 6}, {9, 6}, {10, 7}, {11, 7}, {12, 8}, {13, 8}, {14, 9}, {15, 9}, {16, 9}, {17, 10}, {18, 10},
			{20, 11}, {24, 13}, {30, 15},
		},
		PairedTrial:    {{6, 6}, {7, 7}, {8, 8}, {9, 8}, {10, 9}, {12, 10}, {15, 12}, {20, 15}},
		PreferredTrial: {{6, 6}, {20, 15}},
	} {
		for _, row := range rows {
			k, ok := LeastShown(sort, row[0])
			require.True(t, ok)
			require.Equal(t, row[1], k, "%s %d", sort, row[0])
		}
		fewest := FewestTrials(sort)
		require.Equal(t, rows[0][0], fewest)
		_, ok := LeastShown(sort, fewest-1)
		require.False(t, ok)
	}
}
