package balance

import (
	"encoding/csv"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/testdata"
)

// TestSugarRoom builds sugar solutions from their water and the room their sugar takes: CH22 and CH23 of the chemistry
// checks are their densities in the CRC Handbook. One figure for all strengths is good to 2 kg/m3.
func TestSugarRoom(t *testing.T) {
	f, err := testdata.Files.Open("reference/chemistry_checks.csv")
	require.NoError(t, err)
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	byID := map[string]float64{}
	for _, line := range lines {
		byID[line[0]], _ = strconv.ParseFloat(line[3], 64)
	}
	for id, brix := range map[string]float64{"CH22": 50, "CH23": 20} {
		t.Run(id, func(t *testing.T) {
			room := (100-brix)/0.9982 + brix*sugarRoom
			require.InDelta(t, byID[id], 100/room*1000, 2)
		})
	}
}
