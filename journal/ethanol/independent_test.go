package ethanol_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/journal/ethanol"
	"fairmeasure/journal/unit"
	"fairmeasure/testdata"
)

// TestIndependent holds mass fractions within 1e-9 and densities within 1e-6 kg/m³ against the 200 random drinks of
// testdata/independent/drinks.json, which another program reckoned from the reference tables.
func TestIndependent(t *testing.T) {
	raw, err := testdata.Files.ReadFile("independent/drinks.json")
	require.NoError(t, err)
	var frozen struct {
		Drinks []struct {
			Density struct {
				BP   int64   `json:"abv_bp"`
				Mass float64 `json:"mass_fraction"`
				Kg   float64 `json:"kg_per_m3"`
			}
		}
	}
	require.NoError(t, json.Unmarshal(raw, &frozen))
	require.Len(t, frozen.Drinks, 200)
	for n, d := range frozen.Drinks {
		p := must[ethanol.ByMass](t)(ethanol.OfStrength(unit.Strength(d.Density.BP)).Mass(ethanol.Legal))
		require.InDelta(t, d.Density.Mass, float64(p), 1e-9, n)
		require.InDelta(t, d.Density.Kg, float64(must[ethanol.Density](t)(ethanol.DensityOf(p, ethanol.Legal))), 1e-6, n)
	}
}
