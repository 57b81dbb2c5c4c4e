package balance_test

import (
	"encoding/json"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/journal"
	"fairmeasure/journal/balance"
	"fairmeasure/journal/dilution"
	"fairmeasure/journal/ethanol"
	"fairmeasure/journal/unit"
	"fairmeasure/testdata"
)

// TestIndependent holds chilling and the smallest change against testdata/independent/drinks.json: 200 random drinks
// reckoned by another program in another language from the reference tables (drinks.py beside it, run anew by .ci/run).
// Melt, temperature and volume within 1e-6 g, K and ml; a change is to be one of the smallest, exactly, and of these one
// of the parts named first. Their densities are held in journal/ethanol.
func TestIndependent(t *testing.T) {
	raw, err := testdata.Files.ReadFile("independent/drinks.json")
	require.NoError(t, err)
	var frozen struct {
		Drinks []struct {
			Parts [][4]int64 // µl, basis points, mg/L of sugar, mg/L of acid
			Chill struct {
				Vessel, Ice, Cooled float64
				Stop                *float64
				Melt                float64 `json:"melt_g"`
				End                 float64 `json:"end_c"`
				ML                  float64
			}
			Adjust struct {
				Method   journal.Method
				Step     unit.Volume `json:"step_ul"`
				Want     map[string][2]float64
				More     bool `json:"more_alcohol"`
				Smallest [][][2]int64
			}
		}
	}
	require.NoError(t, json.Unmarshal(raw, &frozen))
	require.Len(t, frozen.Drinks, 200)
	changed, none := 0, 0
	for n, d := range frozen.Drinks {
		t.Run(strconv.Itoa(n), func(t *testing.T) {
			chill := dilution.Chill{Start: 20, Vessel: d.Chill.Vessel, Ice: d.Chill.Ice, Cooled: d.Chill.Cooled, Mixing: true}
			made := journal.Made{Method: d.Adjust.Method}
			for _, k := range d.Parts {
				chill.Parts = append(chill.Parts, dilution.Dissolved{
					ML: unit.Volume(k[0]).ML(), Strength: ethanol.OfStrength(unit.Strength(k[1])),
					Sugar: unit.Concentration(k[2]).GramsPerLitre(), Acid: unit.Concentration(k[3]).GramsPerLitre(),
				})
				made.Parts = append(made.Parts, journal.Part{Name: "part", Volume: unit.Known(unit.Exact(unit.Volume(k[0]))), Content: journal.Content{
					Strength: unit.Known(unit.Exact(unit.Strength(k[1]))), Sugar: unit.Known(unit.Exact(unit.Concentration(k[2]))),
					Acid: unit.Known(unit.Exact(unit.Concentration(k[3]))),
				}})
			}
			if d.Chill.Stop != nil {
				chill.Stop = unit.Known(ethanol.Celsius(*d.Chill.Stop))
			}
			cold, err := chill.Run()
			require.NoError(t, err)
			require.InDelta(t, d.Chill.Melt, cold.MeltGrams, 1e-6)
			require.InDelta(t, d.Chill.End, float64(cold.End), 1e-6)
			require.InDelta(t, d.Chill.ML, cold.ML, 1e-6)

			var want balance.Wanted
			for key, to := range map[string]*balance.Range{"strength": &want.Strength, "sugar": &want.Sugar, "acid": &want.Acid} {
				if r, ok := d.Adjust.Want[key]; ok {
					*to = within(r[0], r[1])
				}
			}
			got, ok := balance.Adjust(made, dilution.Water{}, want, d.Adjust.Step, d.Adjust.More)
			require.Equal(t, len(d.Adjust.Smallest) > 0, ok)
			if !ok {
				none++
				return
			}
			change := [][2]int64{}
			for _, c := range got.Changes {
				change = append(change, [2]int64{int64(c.Part), int64((c.To - c.From) / d.Adjust.Step)})
			}
			require.Contains(t, d.Adjust.Smallest, change)
			for i, c := range change {
				require.Equal(t, d.Adjust.Smallest[0][i][0], c[0], "of the smallest, that of the parts named first")
			}
			if len(change) > 0 {
				changed++
			}
		})
	}
	require.Greater(t, changed, 80)
	require.Greater(t, none, 5)
}
