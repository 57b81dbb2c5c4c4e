package balance

import (
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/testdata"
)

// TestSugarRoom builds sugar solutions from their water and the room their sugar takes: CH22 and CH23 of the chemistry
// checks are their densities in the CRC Handbook. One figure for all strengths is good to 2 kg/m3.
func TestSugarRoom(t *testing.T) {
	for id, brix := range map[string]float64{"CH22": 50, "CH23": 20} {
		t.Run(id, func(t *testing.T) {
			room := (100-brix)/0.9982 + brix*sugarRoom
			published, err := strconv.ParseFloat(testdata.Row(t, "reference/chemistry_checks.csv", "id", id)["expected"], 64)
			require.NoError(t, err)
			require.InDelta(t, published, 100/room*1000, 2)
		})
	}
}
