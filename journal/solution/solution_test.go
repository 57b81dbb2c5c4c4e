package solution_test

import (
	"encoding/json"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fairmeasure/journal/solution"
	"fairmeasure/testdata"
)

func number(t *testing.T, text string) float64 {
	t.Helper()
	n, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return n
}

func must[T any](t *testing.T) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		require.NoError(t, err)
		return v
	}
}

// TestSucroseTable holds the density against every row of the CRC Handbook, 102nd ed. (2021).
func TestSucroseTable(t *testing.T) {
	rows, brix := testdata.Held(t, "journal/solution", "reference/sucrose_brix_density.csv")
	for _, row := range rows {
		t.Run(row[brix]+" Brix", func(t *testing.T) {
			b := number(t, row["brix_mass_pct"])
			within := 0.16
			switch {
			case b > 70:
				within = 0.9
			case b > 50:
				within = 0.3
			}
			rho := must[float64](t)(solution.Density(solution.Brix(b)))
			require.InDelta(t, number(t, row["density_crc_kg_m3"]), rho, within, row["source"]+", "+row["marking"])
			require.InDelta(t, number(t, row["g_sugar_per_100ml_crc"]), must[float64](t)(solution.PerLitre(solution.Brix(b)))/10, 0.1)
		})
	}
}

// TestChemistryChecks holds the rows on sugar and acid.
func TestChemistryChecks(t *testing.T) {
	in := func(row map[string]string, name string) string {
		for part := range strings.SplitSeq(row["inputs"], ";") {
			if value, ok := strings.CutPrefix(part, name+"="); ok {
				return value
			}
		}
		t.Fatalf("no %s in %q", name, row["inputs"])
		return ""
	}
	rows, id := testdata.Held(t, "journal/solution", "reference/chemistry_checks.csv")
	for _, row := range rows {
		t.Run(row[id], func(t *testing.T) {
			f := must[float64](t)
			var got float64
			switch row["quantity"] {
			case "sucrose_density":
				got = f(solution.Density(solution.Brix(number(t, in(row, "brix")))))
			case "sugar_g_per_100ml":
				var b solution.Brix
				if strings.Contains(row["inputs"], "brix=") {
					b = solution.Brix(number(t, in(row, "brix")))
				} else {
					b = must[solution.Brix](t)(solution.Syrup{Sugar: number(t, in(row, "sucrose_g")), Water: number(t, in(row, "water_g"))}.Brix())
				}
				got = f(solution.PerLitre(b)) / 10
			case "citric_equivalent":
				got = f(solution.AsCitric(solution.Acid(in(row, "acid")), number(t, in(row, "g_per_L"))))
			default:
				t.Fatalf("what is %s?", row["quantity"])
			}
			require.InDelta(t, number(t, row["expected"]), got, number(t, row["tolerance"]), row["source"]+", "+row["marking"])
		})
	}
}

// TestCases holds C040 to C050, C060 and C063.
func TestCases(t *testing.T) {
	for _, row := range testdata.Rows(t, "cases/solution_cases.csv") {
		t.Run(row["id"], func(t *testing.T) {
			var in struct {
				Sugar    float64 `json:"sugar_g"`
				Water    float64 `json:"water_g"`
				Cups     float64 `json:"sugar_cup"`
				WaterCup float64 `json:"water_cup"`
				PerCup   float64 `json:"sugar_g_per_cup"`
				Cup      float64 `json:"cup_ml"`
				Line     float64 `json:"line_ml"`
				ML       float64 `json:"ml"`
				From, To struct {
					Sugar float64  `json:"sugar_g_per_ml"`
					Taste *float64 `json:"relative_sweetness"`
					Acid  float64  `json:"acid_percent"`
				}
				Add     map[string]float64 `json:"add_g_per_l"`
				Sources map[string]float64 `json:"acid_g_per_l_sources"`
				Liqueur struct {
					ABV   float64
					Sugar float64 `json:"sugar_g_per_l"`
				}
				Use struct {
					ABV   float64 `json:"spirit_abv"`
					Syrup float64 `json:"syrup_sugar_g_per_ml"`
				}
				Per100  float64 `json:"sugar_g_per_100g_water"`
				Soluble float64 `json:"solubility_g_per_100g_water"`
				Price   float64 `json:"sugar_price_per_kg"`
				Yield   float64 `json:"yield_ml"`
				Used    float64 `json:"use_ml"`
			}
			require.NoError(t, json.Unmarshal([]byte(row["input"]), &in))
			var want map[string]any
			require.NoError(t, json.Unmarshal([]byte(row["expected"]), &want))
			held := 0
			near := func(key string, got, within float64) {
				t.Helper()
				require.InDelta(t, want[key], got, within, key)
				held++
			}
			f := must[float64](t)
			taste := func(p *float64) float64 {
				if p == nil {
					return 1
				}
				return *p
			}
			switch row["op"] {
			case "syrup":
				s := solution.Syrup{Sugar: in.Sugar, Water: in.Water}
				if in.Cups > 0 {
					s = solution.Measured(in.Cups*in.Cup, in.WaterCup*in.Cup)
				}
				b := must[solution.Brix](t)(s.Brix())
				near("brix", float64(b), 0.01*want["brix"].(float64))
				near("yield_ml", f(s.Yield()), 0.01*want["yield_ml"].(float64))
				near("sugar_g_per_ml", f(solution.PerLitre(b))/1000, 0.01*want["sugar_g_per_ml"].(float64))
			case "swap_sweetener":
				to := must[solution.Sweetened](t)(solution.SwapSweetener(in.Line,
					solution.Sweetener{PerLitre: in.From.Sugar * 1000, Taste: taste(in.From.Taste)},
					solution.Sweetener{PerLitre: in.To.Sugar * 1000, Taste: taste(in.To.Taste)}))
				near("to_ml", to.ML, 0.1)
				if _, ok := want["add_water_ml"]; ok {
					near("add_water_ml", to.WaterML, 0.2)
				}
			case "swap_citrus":
				to := must[solution.Soured](t)(solution.SwapCitrus(in.Line, in.From.Acid*10, in.To.Acid*10))
				near("acid_g_needed", to.AcidGrams, 0.05)
				near("juice_only_ml", to.JuiceML, 0.05)
				near("keep_volume_add_acid_g", to.AddGrams, 0.05)
				require.Equal(t, "volume triples", want["warn"])
				require.InDelta(t, 3, to.Grows, 1e-9)
			case "acid_adjust":
				doses := []solution.Dose{{Acid: solution.Citric, PerLitre: in.Add["citric"]}, {Acid: solution.Malic, PerLitre: in.Add["malic"]}}
				step := 0.1
				if s, ok := want["warn_if_scale_step_g"].(float64); ok {
					step = s
				}
				out := solution.Adjust(in.ML, doses, step)
				near("citric_g", out[0].Grams, 0.01)
				near("malic_g", out[1].Grams, 0.01)
				if _, warns := want["warn_if_scale_step_g"]; warns {
					require.False(t, out[0].Fine, "a scale of half grams cannot weigh 2.7 g to a tenth")
					enough := solution.SmallestBatch(doses, step)
					for _, w := range solution.Adjust(enough, doses, step) {
						require.True(t, w.Fine)
					}
				} else {
					require.True(t, out[0].Fine)
				}
			case "acid_range":
				near("acid_g_low", in.Sources["measured_citric"]*in.ML/1000, 0.01)
				near("acid_g_high", in.Sources["trade"]*in.ML/1000, 0.01)
			case "swap_liqueur":
				a := must[solution.Apart](t)(solution.TakeApart(in.Line, in.Liqueur.ABV, in.Liqueur.Sugar, in.Use.ABV, in.Use.Syrup*1000))
				near("spirit_ml", a.SpiritML, 0.2)
				near("syrup_ml", a.SyrupML, 0.2)
				if _, ok := want["extra_ml"]; ok {
					near("total_ml", a.SpiritML+a.SyrupML, 0.2)
					near("extra_ml", -a.WaterML, 0.2)
				} else {
					near("water_ml", a.WaterML, 0.2)
				}
			case "crystal":
				s := solution.Syrup{Sugar: in.Per100, Water: 100}
				require.True(t, s.Crystallises(in.Soluble))
				require.InDelta(t, in.Soluble, solution.SolubleAt5, 1e-9)
				require.False(t, s.Crystallises(solution.SolubleAt20), row["why"])
				held++
			case "syrup_cost":
				yield := f(solution.Syrup{Sugar: in.Sugar, Water: in.Sugar}.Yield())
				require.InDelta(t, in.Yield, yield, 3.3)
				cost := in.Sugar / 1000 * in.Price
				near("batch_cost", cost, 0.005)
				near("per_ml", cost/yield, 0.00005)
				near("use_cost", cost/yield*in.Used, 0.001)
			default:
				t.Fatalf("what is %s?", row["op"])
			}
			require.NotZero(t, held)
		})
	}
}

func TestRefusals(t *testing.T) {
	for _, b := range []solution.Brix{-0.1, 84.1, solution.Brix(math.NaN()), solution.Brix(math.Inf(1))} {
		_, err := solution.Density(b)
		require.Error(t, err, "%v", b)
	}
	for _, s := range []solution.Syrup{{}, {-1, 2}, {1, -2}, {math.NaN(), 1}, {math.Inf(1), 1}} {
		_, err := s.Yield()
		require.Error(t, err, "%v", s)
	}
	_, err := solution.AsCitric("muriatic", 1)
	require.ErrorContains(t, err, "muriatic")
	_, err = solution.SwapSweetener(10, solution.Sweetener{PerLitre: 600, Taste: 1}, solution.Sweetener{Taste: 1})
	require.Error(t, err)
	_, err = solution.SwapCitrus(10, 60, 0)
	require.Error(t, err)
	_, err = solution.PutTogether(10, 40, 10, 0, 20, 200)
	require.Error(t, err)
	_, err = solution.SwapSpirit(10, 40, 0)
	require.Error(t, err)
	_, err = solution.TakeApart(10, 40, 0, 0, 0)
	require.Error(t, err)
	_, err = solution.TakeApart(10, 0, 200, 40, 0)
	require.Error(t, err)
}

// TestAdjusting: for what the trade's table brings of acid, the doses are the table's; C046 and C047 state them.
func TestAdjusting(t *testing.T) {
	for _, c := range []struct {
		juice         string
		citric, malic float64
	}{{"orange_juice", 32, 20}, {"grapefruit_juice", 27, 13}, {"pineapple_juice", 30, 15}} {
		asCitric, err := solution.AsCitric(solution.Malic, c.malic)
		require.NoError(t, err)
		doses := solution.Adjusting(c.juice, "lime_juice", c.citric+asCitric)
		require.Equal(t, []solution.Acid{solution.Citric, solution.Malic}, []solution.Acid{doses[0].Acid, doses[1].Acid})
		require.InDelta(t, c.citric, doses[0].PerLitre, 1e-9, c.juice)
		require.InDelta(t, c.malic, doses[1].PerLitre, 1e-9, c.juice)
	}
	require.Equal(t, []solution.Dose{{Acid: solution.Citric, PerLitre: 40}}, solution.Adjusting("grapefruit_juice", "lemon_juice", 40))
	require.Equal(t, []solution.Dose{{Acid: solution.Citric}}, solution.Adjusting("lemon_juice", "orange_juice", -5))
}

func TestNamed(t *testing.T) {
	for name, want := range map[string]solution.Acid{"Citric acid": solution.Citric, " malic acid ": solution.Malic, "Weinsäure": solution.Tartaric, "Äpfelsäure": solution.Malic} {
		got, ok := solution.Named(name)
		require.True(t, ok, name)
		require.Equal(t, want, got)
	}
	_, ok := solution.Named("citric acid solution 10 %")
	require.False(t, ok, "a solution is not weighed as the acid")
}

// TestSwapsConserve: what a swap is about is the same before and after, and swapping back gives what was there.
func TestSwapsConserve(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		positive := func(name string, most float64) float64 { return rapid.Float64Range(0.1, most).Draw(t, name) }
		ml := positive("ml", 500)
		from := solution.Sweetener{PerLitre: positive("from", 1300), Taste: positive("taste", 2)}
		to := solution.Sweetener{PerLitre: positive("to", 1300), Taste: positive("other taste", 2)}
		there, err := solution.SwapSweetener(ml, from, to)
		require.NoError(t, err)
		require.InEpsilon(t, ml*from.PerLitre*from.Taste, there.ML*to.PerLitre*to.Taste, 1e-9)
		require.InDelta(t, ml, there.ML+there.WaterML, 1e-6)
		back, err := solution.SwapSweetener(there.ML, to, from)
		require.NoError(t, err)
		require.InEpsilon(t, ml, back.ML, 1e-9)

		a, b := positive("acid", 80), positive("other acid", 80)
		sour, err := solution.SwapCitrus(ml, a, b)
		require.NoError(t, err)
		require.InEpsilon(t, ml*a, sour.JuiceML*b, 1e-9)
		require.InDelta(t, ml*a/1000, ml*b/1000+sour.AddGrams, 1e-9)

		strength, sugar := rapid.Float64Range(0, 60).Draw(t, "strength"), rapid.Float64Range(0, 500).Draw(t, "sugar")
		spirit, syrup := positive("spirit", 70), positive("syrup", 1000)
		apart, err := solution.TakeApart(ml, strength, sugar, spirit, syrup)
		require.NoError(t, err)
		require.InDelta(t, ml*strength, apart.SpiritML*spirit, 1e-6)
		require.InDelta(t, ml*sugar, apart.SyrupML*syrup, 1e-6)
		require.InDelta(t, ml, apart.SpiritML+apart.SyrupML+apart.WaterML, 1e-6*max(1, apart.SpiritML+apart.SyrupML))

		if strength > 0 && sugar > 0 {
			back, err := solution.PutTogether(apart.SpiritML, spirit, apart.SyrupML, syrup, strength, sugar)
			require.NoError(t, err)
			require.InEpsilon(t, ml, back.LiqueurML, 1e-9)
			require.InEpsilon(t, apart.SpiritML, back.SpiritML, 1e-9)
			require.InEpsilon(t, apart.SyrupML, back.SyrupML, 1e-9)
			more, err := solution.PutTogether(apart.SpiritML*2, spirit, apart.SyrupML, syrup, strength, sugar)
			require.NoError(t, err)
			require.InEpsilon(t, back.LiqueurML, more.LiqueurML, 1e-9, "the scarcer of the two rules")
		}

		swapped, err := solution.SwapSpirit(ml, a, b)
		require.NoError(t, err)
		require.InEpsilon(t, ml*a, swapped*b, 1e-9)

		added := 0.0
		juice := rapid.SampledFrom([]string{"orange_juice", "grapefruit_juice", "apple_juice", ""}).Draw(t, "juice")
		target := rapid.SampledFrom([]string{"lime_juice", "lemon_juice", ""}).Draw(t, "target")
		for _, d := range solution.Adjusting(juice, target, a) {
			require.GreaterOrEqual(t, d.PerLitre, 0.0)
			citric, err := solution.AsCitric(d.Acid, d.PerLitre)
			require.NoError(t, err)
			added += citric
		}
		require.InEpsilon(t, a, added, 1e-9)

		s := solution.Syrup{Sugar: positive("grams", 500), Water: positive("water", 500)}
		brix, err := s.Brix()
		require.NoError(t, err)
		if brix <= solution.MostBrix {
			yield, err := s.Yield()
			require.NoError(t, err)
			perLitre, err := solution.PerLitre(brix)
			require.NoError(t, err)
			require.InEpsilon(t, s.Sugar, perLitre*yield/1000, 1e-9, "the sugar is all in the syrup")
			denser, err := solution.Density(min(brix+0.5, solution.MostBrix))
			require.NoError(t, err)
			rho, err := solution.Density(brix)
			require.NoError(t, err)
			require.GreaterOrEqual(t, denser, rho)
		}
	})
}
