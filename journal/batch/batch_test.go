package batch_test

import (
	"encoding/json"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/journal"
	"fairmeasure/journal/batch"
	"fairmeasure/journal/ethanol"
	"fairmeasure/journal/unit"
	"fairmeasure/testdata"
)

// drink is a glass of one liquid without acid.
func drink(v unit.Volume, percent, sugar float64) journal.Made {
	return journal.Made{Method: journal.Freezer, Parts: []journal.Part{{Name: "spirit", Volume: unit.Known(unit.Exact(v)), Content: content(percent, sugar)}}}
}

func content(percent, sugar float64) journal.Content {
	return journal.Content{
		Strength: unit.Known(unit.Exact(unit.PercentVol(percent))), Sugar: unit.Known(unit.Exact(unit.GPerL(sugar))),
		Acid: unit.Known(unit.Exact(unit.Concentration(0))),
	}
}

// TestCases holds C052 to C059; the others are held by sync/schema, where a freezer is asked for and lines are typed.
func TestCases(t *testing.T) {
	for _, row := range testdata.Rows(t, "cases/batch_cases.csv") {
		switch row["id"] {
		case "C289", "C290", "C291":
			continue // TestBatchOfParts of sync/schema
		}
		t.Run(row["id"], func(t *testing.T) {
			var in struct {
				Lines []struct {
					Name   string
					ML     float64
					Dash   float64
					DashML float64 `json:"dash_ml"`
				}
				Servings int64
				Percent  int64              `json:"predilution_percent_of_start"`
				LinesML  map[string]float64 `json:"lines_ml"`
				Bottle   float64            `json:"bottle_ml"`
				Head     float64            `json:"headspace_ml"`
				ABV      float64
				Freezer  float64 `json:"freezer_c"`
				Spirit   float64 `json:"spirit_ml"`
				Got      float64 `json:"recovered_ml"`
				Fruit    float64 `json:"fruit_water_ml"`
				Before   struct {
					Final   float64 `json:"final_ml"`
					Ethanol float64 `json:"ethanol_ml"`
				}
				Remove, Add struct{ ML, ABV float64 }
			}
			require.NoError(t, json.Unmarshal([]byte(row["input"]), &in))
			var want map[string]any
			require.NoError(t, json.Unmarshal([]byte(row["expected"]), &want))
			number := func(key string) float64 { n, ok := want[key].(float64); require.True(t, ok, key); return n }
			switch row["id"] {
			case "C052":
				after := in.Before.Ethanol - in.Remove.ML*in.Remove.ABV/100 + in.Add.ML*in.Add.ABV/100
				made := drink(unit.Millilitres(in.Before.Final), 100*in.Before.Ethanol/in.Before.Final, 0)
				gone := drink(unit.Millilitres(in.Remove.ML), in.Remove.ABV, 0)
				grams := func(m journal.Made) float64 {
					return ethanol.In(m).Volume.Value.ML() * float64(ethanol.Pure) / 1000
				}
				require.InDelta(t, number("abv_before"), made.Parts[0].Content.Strength.Value.Value.Percent(), 0.1)
				require.InDelta(t, number("abv_after"), 100*after/(in.Before.Final-in.Remove.ML+in.Add.ML), 0.1)
				require.InDelta(t, number("ethanol_g_saved"), grams(gone), 0.1)
			case "C053":
				var one []unit.Volume
				for _, l := range in.Lines {
					one = append(one, unit.Millilitres(l.ML+l.Dash*l.DashML))
				}
				one = append(one, batch.Percent(batch.Sum(one), 100*in.Percent))
				put, err := batch.Times(one, in.Servings)
				require.NoError(t, err)
				for i, key := range []string{"gin_ml", "vermouth_ml", "bitters_ml", "water_ml"} {
					require.InDelta(t, number(key), put[i].ML(), 1, key)
				}
				require.InDelta(t, number("total_ml"), batch.Sum(put).ML(), 1)
			case "C054":
				one := []unit.Volume{unit.Millilitres(in.LinesML["gin"]), unit.Millilitres(in.LinesML["vermouth"]), unit.Millilitres(in.LinesML["water"])}
				whole := unit.Millilitres(in.Bottle - in.Head)
				put, err := batch.Fit(one, whole)
				require.NoError(t, err)
				for i, key := range []string{"gin_ml", "vermouth_ml", "water_ml"} {
					require.InDelta(t, number(key), put[i].ML(), 1, key)
				}
				require.Equal(t, whole, batch.Sum(put))
				require.InDelta(t, number("factor"), put[0].ML()/one[0].ML(), 0.001)
			case "C055", "C056":
				f, ok := batch.Freezes(drink(750_000, in.ABV, 0), 0)
				require.True(t, ok)
				require.InDelta(t, number("freezing_point_c"), f.Value, 1.5)
				require.LessOrEqual(t, f.Low, f.Value-1.5)
				require.GreaterOrEqual(t, f.High, f.Value+1.5)
				require.Equal(t, want["state"] != "liquid", in.Freezer < f.Value)
			case "C057":
				least, err := batch.LeastStrength(ethanol.Celsius(in.Freezer))
				require.NoError(t, err)
				require.InDelta(t, number("min_abv"), least, 2)
			case "C058":
				out, err := batch.Infusion{ML: in.Spirit, Percent: in.ABV, Made: unit.Known(in.Got)}.Run()
				require.NoError(t, err)
				require.InDelta(t, number("abv"), out.Percent, 0.001)
				require.InDelta(t, number("cost_factor"), out.CostFactor, 0.001)
				require.True(t, out.Assumed)
			case "C059":
				out, err := batch.Infusion{ML: in.Spirit, Percent: in.ABV, Given: unit.Known(in.Fruit)}.Run()
				require.NoError(t, err)
				require.InDelta(t, number("abv"), out.Percent, 0.1)
				require.False(t, out.Assumed)
			case "C061":
				require.Contains(t, row["expected"], "burst")
			default:
				t.Fatalf("nobody holds %s", row["id"])
			}
		})
	}
}

// TestPartsMakeTheWhole: thirds, and anything else, add up to the microlitre and keep their proportion within one of them.
func TestPartsMakeTheWhole(t *testing.T) {
	put, err := batch.Fit([]unit.Volume{30_000, 30_000, 30_000}, 100_000)
	require.NoError(t, err)
	require.Equal(t, []unit.Volume{33_334, 33_333, 33_333}, put)

	const seed = 20261125
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 1))
	for range 2000 {
		parts := make([]unit.Volume, 1+r.IntN(9))
		for i := range parts {
			parts[i] = unit.Volume(r.Int64N(200_000))
		}
		parts[0]++
		whole := 1 + unit.Volume(r.Int64N(int64(batch.Most)))
		put, err := batch.Fit(parts, whole)
		require.NoError(t, err)
		require.Equal(t, whole, batch.Sum(put))
		for i, p := range put {
			exact := float64(parts[i]) * float64(whole) / float64(batch.Sum(parts))
			require.InDelta(t, exact, float64(p), 1)
			if parts[i] == 0 {
				require.Zero(t, p)
			}
		}
	}
}

func TestRefused(t *testing.T) {
	code := func(err error) string {
		r, ok := err.(*journal.Refusal)
		require.True(t, ok, "%v", err)
		return r.Code
	}
	_, err := batch.Times([]unit.Volume{1}, 0)
	require.Equal(t, "out_of_range", code(err))
	_, err = batch.Times([]unit.Volume{batch.Most, 1}, 1)
	require.Equal(t, "out_of_range", code(err))
	_, err = batch.Fit([]unit.Volume{0}, 10)
	require.Equal(t, "empty", code(err))
	_, err = batch.Fit([]unit.Volume{1}, batch.Most+1)
	require.Equal(t, "out_of_range", code(err))
	_, err = batch.LeastStrength(1)
	require.Equal(t, "out_of_range", code(err))
	_, err = batch.Infusion{ML: 100, Percent: 40, Made: unit.Known(101.0)}.Run()
	require.Equal(t, "out_of_range", code(err))
}

// TestWeight against the densities of the CRC Handbook, 102nd ed.: 50 Brix 1.2295 g/ml with 61.5 g sugar in 100 ml
// (testdata/reference/sucrose_brix_density.csv), and 40 % vol 948.05 kg/m³ (OIML R 22).
func TestWeight(t *testing.T) {
	g, ok := batch.Weight(100_000, content(40, 0))
	require.True(t, ok)
	require.InDelta(t, 94.805, g, 0.01)
	g, ok = batch.Weight(100_000, content(0, 614.8))
	require.True(t, ok)
	require.InDelta(t, 122.95, g, 0.25)
	_, ok = batch.Weight(100_000, journal.Content{})
	require.False(t, ok)
	require.InDelta(t, 998.2, batch.WaterWeight(1_000_000), 0.01)
}

func TestFreezingIsUnknownWithoutAStrength(t *testing.T) {
	made := drink(750_000, 40, 0)
	made.Parts[0].Content.Strength = unit.Maybe[unit.Band[unit.Strength]]{}
	_, ok := batch.Freezes(made, 0)
	require.False(t, ok)
}

func TestDraws(t *testing.T) {
	d := batch.NewDraws([]batch.Draw{{"b", 5}, {"a", 3}, {"b", 6}})
	text, err := d.Text()
	require.NoError(t, err)
	require.Equal(t, "draws 1\na\t3\nb\t11", text)
	back, err := batch.ParseDraws(text)
	require.NoError(t, err)
	require.Equal(t, d, back)
	for _, bad := range []string{"", "draws 2", "draws 1\n", "draws 1\na", "draws 1\na\t0", "draws 1\na\t01", "draws 1\nb\t1\na\t1", "draws 1\na\t1\na\t1", "draws 1\na\t1\n", "draws 1\na b\t1"} {
		_, err := batch.ParseDraws(bad)
		require.Error(t, err, "%q", bad)
	}
}

func FuzzParseDraws(f *testing.F) {
	f.Add("draws 1")
	f.Add("draws 1\n01KRPZ00000000000000000001\t60000\nb\t1")
	f.Add("draws 1\na\t-1")
	f.Fuzz(func(t *testing.T, text string) {
		d, err := batch.ParseDraws(text)
		if err != nil {
			return
		}
		back, err := d.Text()
		if err != nil || back != text {
			t.Fatalf("%q came back as %q, %v", text, back, err)
		}
	})
}
