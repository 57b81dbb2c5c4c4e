package schema_test

import (
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fairmeasure/journal/stock"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/schema"
	"fairmeasure/testdata"
)

// ingredient makes one of the owner's. Figures are % vol and g/L; below nought one stays unknown.
func (b *book) ingredient(name string, strength, sugar, acid float64) replica.ID {
	b.t.Helper()
	var id replica.ID
	for _, t := range b.do(obj{"do": "bottle", "id": newID(500_000 + int(b.n)), "name": name}).Touched {
		if e, ok := b.Get(t); ok && e.Kind == "ingredient" {
			id = t
		}
	}
	require.NotEmpty(b.t, id)
	set := obj{"name": name}
	for field, v := range map[string]float64{"abv_bp": strength * 100, "sugar_mgl": sugar * 1000, "acid_mgl": acid * 1000} {
		if v >= 0 {
			set[field] = int64(math.Round(v))
		}
	}
	b.do(obj{"do": "edit", "id": id, "kind": "ingredient", "set": set})
	return id
}

// write writes a spec and gives its lines as they are shown.
func (b *book) write(id replica.ID, method string, typed ...string) []any {
	b.t.Helper()
	var lines []obj
	for _, s := range typed {
		lines = append(lines, obj{"typed": s})
	}
	b.do(obj{"do": "spec", "id": id, "name": "Trial", "method": method, "lines": lines})
	return dig(b.t, b.ask(obj{"q": "spec", "id": id}), "lines").([]any)
}

// way gives one of the ways of an answer, or nil.
func way(t testing.TB, answer obj, name string) obj {
	t.Helper()
	for _, w := range dig(t, answer, "ways").([]any) {
		if dig(t, w, "way") == name {
			return w.(obj)
		}
	}
	return nil
}

// riff carries a way out as the page does, and gives the riff.
func (b *book) riff(id, parent replica.ID, all any) obj {
	b.t.Helper()
	p := b.ask(obj{"q": "spec", "id": parent})
	b.do(obj{"do": "spec", "id": id, "parent": parent, "lines": all, "method": p["method"], "ice": p["ice"], "glass": p["glass"], "garnish": p["garnish"], "strain": p["strain"]})
	return b.ask(obj{"q": "spec", "id": id})
}

func notes(t testing.TB, w obj) []string {
	t.Helper()
	out := []string{}
	for _, n := range dig(t, w, "notes").([]any) {
		out = append(out, n.(string))
	}
	return out
}

func typedIn(t testing.TB, w obj) []string {
	t.Helper()
	out := []string{}
	for _, l := range dig(t, w, "lines").([]any) {
		out = append(out, dig(t, l, "typed").(string))
	}
	return out
}

// TestWaysCases asks C040 to C050 as a person would: what the cases give is rounded here to what is poured.
func TestWaysCases(t *testing.T) {
	ran := 0
	for _, row := range testdata.Rows(t, "cases/solution_cases.csv") {
		n, err := strconv.Atoi(strings.TrimPrefix(row["id"], "C"))
		if err != nil || n < 40 || n > 50 {
			continue
		}
		ran++
		t.Run(row["id"], func(t *testing.T) {
			var want map[string]any
			require.NoError(t, json.Unmarshal([]byte(row["expected"]), &want))
			b := newBook(t, "cases")
			spec := newID(1)
			ask := func(line any, ingredient any) obj {
				q := obj{"q": "ways", "spec": spec, "line": dig(t, line, "id")}
				if ingredient != nil {
					q["ingredient"] = ingredient
				}
				return b.ask(q)
			}
			near := func(key string, got, step float64) {
				t.Helper()
				require.InDelta(t, want[key], got, step/2+0.1, key)
			}
			poured := func(typed string) float64 {
				t.Helper()
				ml, err := strconv.ParseFloat(strings.SplitN(typed, " ", 2)[0], 64)
				require.NoError(t, err, typed)
				return ml
			}
			switch row["id"] {
			case "C040", "C041", "C042": // the figures that swaps of the built-in syrups rest on
				id := map[string]string{"C040": "stock.simple_syrup", "C041": "stock.rich_syrup", "C042": "stock.simple_syrup_by_volume"}[row["id"]]
				lines := b.write(spec, "shaken", "20 ml honey")
				found := false
				for _, c := range dig(t, ask(lines[0], nil), "choices").([]any) {
					if dig(t, c, "ingredient") == id {
						found = true
						require.InEpsilon(t, want["sugar_g_per_ml"], dig(t, c, "sugar_g_per_100ml").(float64)/100, 0.01)
						require.Equal(t, 0.0, dig(t, c, "abv_percent"))
					}
				}
				require.True(t, found)
			case "C043":
				lines := b.write(spec, "shaken", "45 ml gin", "22.5 ml simple syrup")
				w := way(t, ask(lines[1], "stock.rich_syrup"), "equal_sugar")
				require.Equal(t, []string{"15.5 ml rich syrup 2:1 by weight", "7 ml water"}, typedIn(t, w))
				near("to_ml", 15.5, 0.5)
				near("add_water_ml", 7, 0.5)
				require.Empty(t, notes(t, w))
			case "C044":
				b.ingredient("plain syrup of mine", 0, 615, 0)
				other := b.ingredient("fig syrup", 0, 1000, 0)
				require.Nil(t, way(t, ask(b.write(spec, "shaken", "15 ml plain syrup of mine")[0], other), "as_it_tastes"))
				b.do(obj{"do": "edit", "id": other, "kind": "ingredient", "set": obj{"taste_bp": 12_000}})
				w := way(t, ask(b.ask(obj{"q": "spec", "id": spec})["lines"].([]any)[0], other), "as_it_tastes")
				require.Equal(t, []string{"7.5 ml fig syrup", "7.5 ml water"}, typedIn(t, w))
				near("to_ml", 7.5, 0.5)
				require.Contains(t, notes(t, w), "factor_used")
				require.Contains(t, notes(t, w), "sugar_less", "9.2 g are 7.5 g now: what tastes the same is not the same")
			case "C045":
				own := b.ingredient("pink grapefruit of mine", 0, 90, 20)
				lines := b.write(spec, "shaken", "45 ml gin", "22.5 ml lime juice")
				a := ask(lines[1], own)
				w := way(t, a, "juice_only")
				near("juice_only_ml", poured(typedIn(t, w)[0]), 0.5)
				require.Contains(t, notes(t, w), "total_changes")
				w = way(t, a, "juice_and_acid")
				require.Equal(t, "22.5 ml pink grapefruit of mine", typedIn(t, w)[0])
				near("keep_volume_add_acid_g", dig(t, w, "weigh", 0, "grams").(float64), 0.1)
				require.Equal(t, "citric", dig(t, w, "weigh", 0, "acid"))
				require.NotContains(t, notes(t, w), "acid_less")
				require.Contains(t, notes(t, way(t, a, "same_volume")), "acid_less")
			case "C046", "C047":
				juice, ml := "stock.orange_juice", "250 ml"
				if row["id"] == "C047" { // of the strength the trade's figures are for
					juice, ml = string(b.ingredient("grapefruit juice", 0, 90, 20)), "100 ml"
				}
				w := way(t, ask(b.write(spec, "shaken", ml+" lime juice")[0], juice), "acid_adjusted")
				near("citric_g", dig(t, w, "weigh", 0, "grams").(float64), 0.1)
				near("malic_g", dig(t, w, "weigh", 1, "grams").(float64), 0.1)
				require.Equal(t, ml, strings.Join(strings.Fields(typedIn(t, w)[0])[:2], " "))
				require.Equal(t, []any{"citric", "malic"}, []any{dig(t, w, "weigh", 0, "acid"), dig(t, w, "weigh", 1, "acid")})
				batch := dig(t, w, "batch_ml").(float64)
				require.InDelta(t, 1/map[string]float64{"C046": 0.020, "C047": 0.01319}[row["id"]], batch, 1.01, "a gram of malic acid")
			case "C048": // both sources lie in the band
				lines := b.write(spec, "neat", "22.5 ml lime juice")
				f := dig(t, ask(lines[0], nil), "before", "before", "acid_percent")
				require.LessOrEqual(t, want["acid_g_high"], dig(t, f, "hi").(float64)*0.225)
				require.GreaterOrEqual(t, want["acid_g_low"].(float64)*1.05, dig(t, f, "lo").(float64)*0.225)
			case "C049", "C050":
				b.ingredient("quince liqueur", 40, 250, 0)
				base := any("stock.vodka")
				if row["id"] == "C050" {
					base = b.ingredient("navy gin", 57, 0, 0)
				}
				w := way(t, ask(b.write(spec, "shaken", "22.5 ml quince liqueur", "20 ml lemon juice")[0], base), "apart")
				typed := typedIn(t, w)
				near("spirit_ml", poured(typed[0]), 0.5)
				near("syrup_ml", poured(typed[1]), 0.5)
				require.Contains(t, notes(t, w), "flavour")
				require.NotContains(t, notes(t, w), "alcohol_less")
				require.NotContains(t, notes(t, w), "alcohol_more")
				if row["id"] == "C049" {
					require.Len(t, typed, 2)
					require.Contains(t, notes(t, w), "total_changes")
					none := ask(b.ask(obj{"q": "spec", "id": spec})["lines"].([]any)[0], nil)
					require.Equal(t, typed, typedIn(t, way(t, none, "apart")), "without a spirit it is vodka")
				} else {
					near("water_ml", 22.5-poured(typed[0])-poured(typed[1]), 0.5)
					require.NotContains(t, notes(t, w), "total_changes")
				}
			}
		})
	}
	require.Equal(t, 11, ran)
}

// trial is a book of someone with ingredients of every sort, some with figures left open.
func trial(t testing.TB) (*book, []replica.ID) {
	b := newBook(t, "trial")
	var ids []replica.ID
	for _, own := range []struct {
		name                  string
		strength, sugar, acid float64
	}{
		{"juniper-heavy gin, 47 %", 47, 0, 0}, {"pear eau-de-vie", 42, -1, -1}, {"quince liqueur", 22, 240, 4}, {"unlabelled gin", -1, -1, -1},
		{"sea buckthorn juice", 0, 30, 45}, {"medlar syrup", 0, 560, 3}, {"syrup of unknown strength", 0, -1, 0}, {"walnut bitters", -1, -1, -1}, {"house amaro", 28, 210, 0},
		{"water", 0, 0, 0}, {"60 ml of trouble", 40, 0, 0}, {"gin", 43, 0, 0},
	} {
		ids = append(ids, b.ingredient(own.name, own.strength, own.sugar, own.acid))
	}
	b.do(obj{"do": "edit", "id": ids[5], "kind": "ingredient", "set": obj{"taste_bp": 11_500}})
	return b, ids
}

func someIngredient(t *rapid.T, own []replica.ID) replica.ID {
	var built []replica.ID
	for _, s := range stock.All() {
		built = append(built, replica.ID(s.ID))
	}
	return rapid.OneOf(rapid.SampledFrom(built), rapid.SampledFrom(own)).Draw(t, "ingredient")
}

// TestWayIsItsRiff: what a way says of balance and alcohol is what the riff of it has, whatever the measure, the owner's
// settings and names are; and no amount of it is nothing or less.
func TestWayIsItsRiff(t *testing.T) {
	names := []string{"gin", "lime juice", "simple syrup", "orange liqueur", "rich syrup", "maraschino", "rye", "grapefruit juice", "water", "citric acid", "quince liqueur", "pear eau-de-vie",
		"juniper-heavy gin, 47 %", "medlar syrup", "sweet vermouth", "aromatic bitters", "rum, 57 %", "lemon (fresh)", "something unknown", "60 ml of trouble"}
	tried := map[string]int{}
	rapid.Check(t, func(r *rapid.T) {
		b, own := trial(t)
		if rapid.Bool().Draw(r, "ounces") {
			b.do(obj{"do": "set", "name": "units", "value": "oz"})
			b.do(obj{"do": "set", "name": "oz_kind", "value": rapid.SampledFrom([]string{"bar", "us", "imperial"}).Draw(r, "kind")})
		}
		amount := rapid.OneOf(rapid.StringMatching(`[1-9][0-9]?(\.5)? ml`), rapid.StringMatching(`[1-6](\.5)? cl`), rapid.SampledFrom([]string{"1 oz", "¾ oz", "1½ oz", "2 dashes", "1 barspoon",
			"2 parts", "1 part", "0.9 g", "top with", "rinse:", "juice of half a", "about 20 ml", "1", "½ tsp", "1 jigger", "400 ml", "0.2 ml"}))
		var lines []obj
		for range rapid.IntRange(1, 6).Draw(r, "lines") {
			lines = append(lines, obj{"typed": amount.Draw(r, "amount") + " " + rapid.SampledFrom(names).Draw(r, "name")})
		}
		spec := obj{"do": "spec", "id": newID(1), "name": "Trial", "method": rapid.SampledFrom([]string{"shaken", "stirred", "built", "neat"}).Draw(r, "method"), "ice": "cubes", "lines": lines}
		switch rapid.IntRange(0, 2).Draw(r, "parts") {
		case 1:
			spec["part_ul"] = 22_300
		case 2:
			spec["total_ul"] = 95_000
		}
		if _, err := b.plan(spec); err != nil {
			return // such as two kinds of ounce
		}
		b.do(spec)
		written := dig(t, b.ask(obj{"q": "spec", "id": newID(1)}), "lines").([]any)
		for n, l := range written {
			q := obj{"q": "ways", "spec": newID(1), "line": dig(t, l, "id")}
			choices := dig(t, b.ask(q), "choices").([]any)
			switch of := rapid.IntRange(0, 5).Draw(r, "of"); {
			case of == 0:
				q["ingredient"] = someIngredient(r, own)
			case of > 1 && len(choices) > 0:
				q["ingredient"] = dig(t, rapid.SampledFrom(choices).Draw(r, "choice"), "ingredient")
			}
			for i, w := range dig(t, b.ask(q), "ways").([]any) {
				w := w.(obj)
				tried[w["way"].(string)]++
				for _, l := range typedIn(t, w) {
					require.NotRegexp(t, `^-|^0 |NaN|Inf`, l)
				}
				for _, g := range w["weigh"].([]any) {
					require.Greater(t, dig(t, g, "grams"), 0.0)
				}
				id := newID(1000 + 20*n + i)
				riff := b.riff(id, newID(1), w["all"])
				require.Equal(t, riff["balance"], w["balance"], "%v", w)
				require.Equal(t, riff["alcohol"], w["alcohol"], "%v", w)
				p, err := b.plan(obj{"do": "spec", "id": id, "parent": newID(1), "lines": w["all"], "method": riff["method"], "ice": riff["ice"]})
				require.NoError(t, err)
				require.Empty(t, p.Edits, "the same intent again changes nothing")
			}
		}
		for _, row := range dig(t, b.ask(obj{"q": "touches", "spec": newID(1)}), "rows").([]any) {
			riff := b.riff(newID(2000), newID(1), dig(t, row, "all"))
			require.Equal(t, riff["balance"], dig(t, row, "balance"))
			require.Equal(t, riff["alcohol"], dig(t, row, "alcohol"))
			b.do(obj{"do": "delete", "id": newID(2000)})
			break
		}
	})
	t.Log(tried)
	for _, w := range []string{"same_volume", "equal_sugar", "juice_only", "juice_and_acid", "equal_alcohol", "split"} {
		require.NotZero(t, tried[w], w)
	}
}

// TestSwapAndBack: a swap and its way back give the line that was there, within a step of what pours it: half a
// millilitre of the stronger of the two, or a tenth of a gram of acid.
func TestSwapAndBack(t *testing.T) {
	of := map[string]stock.Ingredient{}
	byShelf := map[string][]string{}
	for _, s := range stock.All() {
		of[string(s.ID)] = s
		if s.Category != "juice" || s.Content.Acid.Value.Value >= 5000 {
			byShelf[s.Category] = append(byShelf[s.Category], string(s.ID))
		}
	}
	sugar := func(id string) float64 { return of[id].Content.Sugar.Value.Value.GramsPerLitre() }
	acid := func(id string) float64 { return of[id].Content.Acid.Value.Value.GramsPerLitre() }
	strength := func(id string) float64 { return of[id].Content.Strength.Value.Value.Percent() }
	for _, c := range []struct {
		shelf, way, back string
		holds            func(string) float64
		step             func(from, to string) float64 // of the line, in ml
	}{
		{"syrup and sweetener", "equal_sugar", "equal_sugar", sugar, nil},
		{"juice", "juice_only", "juice_only", acid, nil},
		{"juice", "juice_and_acid", "juice_only", acid, func(from, to string) float64 { return 0.5 + 50/acid(from) }},
		{"juice", "acid_adjusted", "juice_only", acid, func(from, to string) float64 { return 0.5 + 2*50/acid(from) }},
		{"spirit", "equal_alcohol", "equal_alcohol", strength, nil},
	} {
		t.Run(c.way, func(t *testing.T) {
			tried := 0
			rapid.Check(t, func(r *rapid.T) {
				from, to := rapid.SampledFrom(byShelf[c.shelf]).Draw(r, "from"), rapid.SampledFrom(byShelf[c.shelf]).Draw(r, "to")
				ml := float64(rapid.IntRange(10, 180).Draw(r, "halves")) / 2
				if from == to {
					return
				}
				b := newBook(t, "back")
				lines := b.write(newID(1), "neat", fmt.Sprintf("%v ml x", ml), "20 ml brewed tea")
				start := b.ask(obj{"q": "ways", "spec": newID(1), "line": dig(t, lines[0], "id"), "ingredient": from})
				first := b.riff(newID(2), newID(1), way(t, start, "same_volume")["all"])
				swap := way(t, b.ask(obj{"q": "ways", "spec": newID(2), "line": dig(t, first, "lines", 0, "id"), "ingredient": to}), c.way)
				if swap == nil {
					return
				}
				second := b.riff(newID(3), newID(2), swap["all"])
				back := way(t, b.ask(obj{"q": "ways", "spec": newID(3), "line": dig(t, second, "lines", 0, "id"), "ingredient": from}), c.back)
				if back == nil { // as much of it as of the other: the same volume says it all
					back = way(t, b.ask(obj{"q": "ways", "spec": newID(3), "line": dig(t, second, "lines", 0, "id"), "ingredient": from}), "same_volume")
				}
				third := b.riff(newID(4), newID(3), back["all"])
				step := max(0.5, 0.25+0.25*c.holds(to)/c.holds(from)) + 0.01
				if c.step != nil {
					step = c.step(from, to)
				}
				require.InDelta(t, ml, dig(t, third, "lines", 0, "volume_ml"), step, "%s %s %v", from, to, swap["lines"])
				require.Equal(t, from, dig(t, third, "lines", 0, "ingredient"))
				if len(dig(t, first, "lines").([]any)) == len(dig(t, third, "lines").([]any)) {
					tried++
				}
			})
			require.NotZero(t, tried, "with nothing left of the swap")
		})
	}

	t.Run("apart and back", func(t *testing.T) {
		rapid.Check(t, func(r *rapid.T) {
			from, base := rapid.SampledFrom(byShelf["liqueur"]).Draw(r, "liqueur"), rapid.SampledFrom(byShelf["spirit"]).Draw(r, "spirit")
			ml := float64(rapid.IntRange(20, 120).Draw(r, "halves")) / 2
			b := newBook(t, "back")
			lines := b.write(newID(1), "neat", fmt.Sprintf("%v ml x", ml), "20 ml lime juice", "15 ml honey syrup")
			start := b.ask(obj{"q": "ways", "spec": newID(1), "line": dig(t, lines[0], "id"), "ingredient": from})
			first := b.riff(newID(2), newID(1), way(t, start, "same_volume")["all"])
			apart := way(t, b.ask(obj{"q": "ways", "spec": newID(2), "line": dig(t, first, "lines", 0, "id"), "ingredient": base}), "apart")
			require.NotNil(t, apart)
			second := b.riff(newID(3), newID(2), apart["all"])
			back := way(t, b.ask(obj{"q": "ways", "spec": newID(3), "line": dig(t, second, "lines", 0, "id"), "ingredient": from}), "back")
			require.NotNil(t, back)
			third := b.riff(newID(4), newID(3), back["all"])
			var got float64
			for _, l := range dig(t, third, "lines").([]any) {
				if dig(t, l, "ingredient") == from {
					got = dig(t, l, "volume_ml").(float64)
				}
			}
			// the scarcer of two rounded amounts rules
			step := 0.25 + 0.25*max(strength(base)/strength(from), 885/sugar(from)) + 0.01
			require.InDelta(t, ml, got, step)
			alcohol := func(spec obj) float64 { return dig(t, spec, "alcohol", "grams").(float64) }
			require.InDelta(t, alcohol(first), alcohol(third), 1.1*strength(base)/100*0.789+0.25*strength(from)/100*0.789+0.11)
		})
	})
}

// TestWaysOfTheUnknown: what is not known is not taken for nothing.
func TestWaysOfTheUnknown(t *testing.T) {
	b, own := trial(t)
	lines := b.write(newID(1), "shaken", "45 ml unlabelled gin", "20 ml simple syrup", "15 ml something unknown", "top with soda", "5 ml absinthe rinse")
	ask := func(line int, ingredient any) obj {
		return b.ask(obj{"q": "ways", "spec": newID(1), "line": dig(t, lines[line], "id"), "ingredient": ingredient})
	}
	a := ask(0, "stock.overproof_rum")
	require.Equal(t, "spirit", a["sort"])
	require.Nil(t, way(t, a, "equal_alcohol"))
	require.Contains(t, notes(t, way(t, a, "same_volume")), "strength_unknown")
	require.NotContains(t, notes(t, way(t, a, "same_volume")), "alcohol_more")
	require.NotNil(t, way(t, a, "split"))

	a = ask(1, own[6])
	require.Nil(t, way(t, a, "equal_sugar"))
	require.Contains(t, notes(t, way(t, a, "same_volume")), "sugar_unknown")

	a = ask(2, "stock.gin")
	require.Equal(t, "other", a["sort"])
	require.Len(t, a["ways"], 1)
	for _, line := range []int{3, 4} {
		require.Len(t, ask(line, "stock.tonic_water")["ways"], 1, "an open amount is only exchanged")
	}
	mine := way(t, ask(0, own[11]), "same_volume")
	require.Equal(t, "45 ml gin", typedIn(t, mine)[0])
	require.Equal(t, string(own[11]), dig(t, b.riff(newID(2), newID(1), mine["all"]), "lines", 0, "ingredient"), "of two gins the one that was chosen")
	again := b.ask(obj{"q": "ways", "spec": newID(2), "line": dig(t, b.ask(obj{"q": "spec", "id": newID(2)}), "lines", 0, "id"), "ingredient": "stock.gin"})
	require.Equal(t, []any{obj{"was": "45 ml gin", "typed": "45 ml gin"}}, dig(t, way(t, again, "same_volume"), "lines"))
	require.Equal(t, "stock.gin", dig(t, b.riff(newID(3), newID(2), way(t, again, "same_volume")["all"]), "lines", 0, "ingredient"))
	for _, c := range dig(t, ask(0, "stock.gin"), "choices").([]any) {
		if dig(t, c, "name") == "pear eau-de-vie" {
			require.Equal(t, true, dig(t, c, "own"))
			require.Equal(t, 42.0, dig(t, c, "abv_percent"))
		}
	}
	for _, q := range []obj{{"q": "ways", "spec": newID(9), "line": "x"}, {"q": "ways", "spec": newID(1), "line": "x"}, {"q": "ways", "spec": newID(1), "line": dig(t, lines[0], "id"), "ingredient": "nothing"},
		{"q": "touches", "spec": newID(9)}, {"q": "difference", "a": newID(1), "b": newID(9)}, {"q": "difference", "a": newID(9), "b": newID(1)}} {
		raw, err := json.Marshal(q)
		require.NoError(t, err)
		_, err = schema.Ask(b, b.now, raw)
		require.Error(t, err)
		require.Equal(t, "not_found", refusal(t, err))
	}
}

// TestStockReadsBack: every built-in ingredient can be put in a line by its name.
func TestStockReadsBack(t *testing.T) {
	for _, s := range stock.All() {
		t.Run(string(s.ID), func(t *testing.T) {
			b := newBook(t, "stock")
			lines := b.write(newID(1), "neat", "20 ml x", "1 oz y")
			for i, l := range lines {
				w := way(t, b.ask(obj{"q": "ways", "spec": newID(1), "line": dig(t, l, "id"), "ingredient": s.ID}), "same_volume")
				require.NotNil(t, w)
				riff := b.riff(newID(2+i), newID(1), w["all"])
				require.Equal(t, string(s.ID), dig(t, riff, "lines", i, "ingredient"))
				require.Equal(t, dig(t, l, "volume_ml"), dig(t, riff, "lines", i, "volume_ml"))
			}
		})
	}
}

// TestOunces: a spec in ounces is answered in ounces, of its own kind whatever the owner's is now; where an eighth is too
// coarse, in millilitres.
func TestOunces(t *testing.T) {
	b := newBook(t, "ounces")
	b.do(obj{"do": "set", "name": "oz_kind", "value": "us"})
	lines := b.write(newID(1), "shaken", "¾ oz simple syrup", "¼ oz maraschino liqueur", "2 oz gin")
	b.do(obj{"do": "set", "name": "oz_kind", "value": "imperial"})
	ask := func(line int, ingredient any) obj {
		return b.ask(obj{"q": "ways", "spec": newID(1), "line": dig(t, lines[line], "id"), "ingredient": ingredient})
	}
	w := way(t, ask(0, "stock.rich_syrup"), "equal_sugar")
	require.Equal(t, []string{"½ oz rich syrup 2:1 by weight", "¼ oz water"}, typedIn(t, w))
	riff := b.riff(newID(2), newID(1), w["all"])
	require.InDelta(t, 14.787, dig(t, riff, "lines", 0, "volume_ml"), 0.001)
	require.Equal(t, riff["balance"], w["balance"])
	require.Equal(t, []string{"6 ml vodka", "3 ml rich syrup"}, typedIn(t, way(t, ask(1, "stock.vodka"), "apart")))
	require.Equal(t, []string{"1 oz gin", "1 oz rye-type whiskey"}, typedIn(t, way(t, ask(2, "stock.rye"), "split")))
}

// TestWeighedAcidCounts: a gram of acid in a line is a gram of acid in the glass.
func TestWeighedAcidCounts(t *testing.T) {
	b := newBook(t, "acid")
	b.write(newID(1), "neat", "99.4 ml vodka", "1 g citric acid")
	f := dig(t, b.ask(obj{"q": "spec", "id": newID(1)}), "balance", "after")
	require.Equal(t, 1.0, dig(t, f, "acid_percent", "v"))
	require.Equal(t, 100.0, dig(t, f, "volume_ml", "v"))
	require.Equal(t, false, dig(t, b.ask(obj{"q": "spec", "id": newID(1)}), "alcohol", "at_least"))
	b.write(newID(2), "neat", "99.4 ml vodka", "1 g malic acid")
	// 1 g of malic titrates as 0.955 g of citric acid: chemistry_checks.csv, CH29 to CH31
	require.InDelta(t, 0.955, dig(t, b.ask(obj{"q": "spec", "id": newID(2)}), "balance", "after", "acid_percent", "v"), 0.006)
}

func TestTouches(t *testing.T) {
	b, _ := trial(t)
	b.write(newID(1), "shaken", "45 ml gin", "20 ml lime juice", "20 ml simple syrup")
	before := dig(t, b.ask(obj{"q": "spec", "id": newID(1)}), "alcohol", "grams").(float64)
	a := b.ask(obj{"q": "touches", "spec": newID(1)})
	var typed []string
	for _, r := range a["rows"].([]any) {
		typed = append(typed, dig(t, r, "typed").(string))
		require.Equal(t, "common practice", dig(t, r, "marking"))
		require.GreaterOrEqual(t, dig(t, r, "alcohol", "grams"), before)
		require.Len(t, dig(t, r, "all"), 4)
	}
	require.Equal(t, []string{"2 dashes aromatic bitters", "5 ml allspice liqueur", "10 ml allspice liqueur", "10 ml amaro", "15 ml amaro",
		"2 dashes walnut bitters", "10 ml house amaro", "15 ml house amaro"}, typed)
	require.Equal(t, true, dig(t, a, "rows", 5, "alcohol", "at_least"), "the owner's bitters have no strength")

	b.write(newID(2), "shaken", "45 ml gin", "2 dashes aromatic bitters")
	require.Equal(t, "5 ml allspice liqueur", dig(t, b.ask(obj{"q": "touches", "spec": newID(2)}), "rows", 0, "typed"), "what is there already is no touch")
	b.do(obj{"do": "set", "name": "units", "value": "oz"})
	require.Equal(t, "⅙ oz allspice liqueur", dig(t, b.ask(obj{"q": "touches", "spec": newID(2)}), "rows", 0, "typed"))
}

func TestDifference(t *testing.T) {
	b := newBook(t, "difference")
	lines := b.write(newID(1), "shaken", "45 ml gin", "20 ml lemon juice", "2 dashes orange bitters", "20 ml honey syrup")
	id := func(i int) any { return dig(t, lines[i], "id") }
	b.do(obj{"do": "spec", "id": newID(2), "parent": newID(1), "method": "stirred", "garnish": "bay leaf", "lines": []obj{
		{"keep": id(1), "typed": "22.5 ml lemon juice"}, {"keep": id(0), "typed": "45 ml rye"}, {"keep": id(3), "typed": "20 ml honey syrup"}, {"typed": "10 ml amaro"},
	}})
	a := b.ask(obj{"q": "difference", "a": newID(1), "b": newID(2)})
	require.Equal(t, []any{
		obj{"name": "gin", "a": "45 ml gin", "b": "45 ml rye", "sort": "changed"},
		obj{"name": "lemon juice", "a": "20 ml lemon juice", "b": "22.5 ml lemon juice", "sort": "changed"},
		obj{"name": "orange bitters", "a": "2 dashes orange bitters", "b": "", "sort": "only_a"},
		obj{"name": "honey syrup", "a": "20 ml honey syrup", "b": "20 ml honey syrup", "sort": ""},
		obj{"name": "amaro", "a": "", "b": "10 ml amaro", "sort": "only_b"},
	}, a["rows"])
	require.Equal(t, []any{obj{"field": "method", "a": "shaken", "b": "stirred"}, obj{"field": "garnish", "a": "", "b": "bay leaf"}}, a["words"])
	require.Equal(t, b.ask(obj{"q": "spec", "id": newID(1)})["balance"], a["balance_a"])
	require.Equal(t, b.ask(obj{"q": "spec", "id": newID(2)})["balance"], a["balance_b"])
	require.Equal(t, string(newID(1)), dig(t, a, "b", "parent"))

	// specs that know nothing of each other, one in parts
	b.do(obj{"do": "spec", "id": newID(3), "name": "Other", "method": "shaken", "part_ul": 22_500, "lines": []obj{{"typed": "2 parts gin"}, {"typed": "1 part lemon juice"}}})
	b.write(newID(4), "shaken", "45 ml gin", "20 ml lemon juice")
	rows := dig(t, b.ask(obj{"q": "difference", "a": newID(3), "b": newID(4)}), "rows")
	require.Equal(t, "", dig(t, rows, 0, "sort"), "two parts of 22.5 ml are 45 ml")
	require.Equal(t, "changed", dig(t, rows, 1, "sort"))
	require.Len(t, rows, 2)
	same := dig(t, b.ask(obj{"q": "difference", "a": newID(3), "b": newID(3)}), "rows").([]any)
	for _, r := range same {
		require.Equal(t, "", dig(t, r, "sort"))
	}
}

// FuzzWays: no typed line and no figures of an ingredient make an answer with a number that is none, or an amount below
// nothing.
func FuzzWays(f *testing.F) {
	f.Add("22.5 ml lime juice", "45 ml gin", int64(0), int64(90_000), int64(20_000), int64(0))
	f.Add("¾ oz quince liqueur", "1 oz simple syrup", int64(2200), int64(240_000), int64(0), int64(12_000))
	f.Add("2 parts gin", "1 part maraschino", int64(10_000), int64(1), int64(1), int64(1))
	f.Add("5000 ml honey", "top with soda", int64(-1), int64(1_500_000), int64(1_000_000), int64(30_000))
	f.Fuzz(func(t *testing.T, first, second string, strength, sugar, acid, taste int64) {
		b := newBook(t, "fuzz")
		own := b.ingredient("thing of mine", -1, -1, -1)
		for field, v := range map[string]int64{"abv_bp": strength, "sugar_mgl": sugar, "acid_mgl": acid, "taste_bp": taste} {
			if p, err := b.plan(obj{"do": "edit", "id": own, "kind": "ingredient", "set": obj{field: v}}); err == nil {
				b.apply(p)
			}
		}
		p, err := b.plan(obj{"do": "spec", "id": newID(1), "method": "shaken", "lines": []obj{{"typed": first}, {"typed": second}, {"typed": "20 ml thing of mine"}, {"typed": "10 ml simple syrup"}}})
		if err != nil {
			return
		}
		b.apply(p)
		for _, l := range dig(t, b.ask(obj{"q": "spec", "id": newID(1)}), "lines").([]any) {
			for _, to := range []any{nil, own, "stock.overproof_rum", "stock.orange_juice", "stock.honey", "stock.maraschino_liqueur"} {
				q := obj{"q": "ways", "spec": newID(1), "line": dig(t, l, "id")}
				if to != nil {
					q["ingredient"] = to
				}
				for _, w := range dig(t, b.ask(q), "ways").([]any) {
					require.IsType(t, 0.0, dig(t, w, "alcohol", "grams"))
					require.GreaterOrEqual(t, dig(t, w, "alcohol", "grams"), 0.0)
					for _, line := range typedIn(t, w.(obj)) {
						require.False(t, strings.HasPrefix(line, "-") || strings.HasPrefix(line, "0 "), line)
					}
					for _, key := range []string{"volume_ml", "abv_percent", "sugar_g_per_100ml", "acid_percent"} {
						figure := dig(t, w, "balance", "after", key).(obj)
						if figure["v"] != nil {
							require.GreaterOrEqual(t, figure["v"], 0.0)
							require.NotNil(t, figure["lo"])
						}
					}
					riff, err := b.plan(obj{"do": "spec", "id": newID(9), "parent": newID(1), "lines": dig(t, w, "all")})
					require.NoError(t, err, "%v", w)
					require.NotEmpty(t, riff.Edits)
				}
			}
		}
		b.ask(obj{"q": "touches", "spec": newID(1)})
	})
}

// What may stand in a line says of which family it is, as the line does: by the typical ingredient it is one of, else as its
// owner wrote it.
func TestWaysSayTheFamily(t *testing.T) {
	b := newBook(t, "family")
	gin, smoke := b.ingredient("coastal gin", 47, 0, 0), b.ingredient("windfall smoke", 45, 0, 0)
	b.do(obj{"do": "edit", "id": smoke, "kind": "ingredient", "set": obj{"family": "fruit spirit"}})
	spec := newID(1)
	lines := b.write(spec, "stirred", "60 ml London dry gin", "10 ml dry vermouth")
	a := b.ask(obj{"q": "ways", "spec": spec, "line": dig(t, lines[0], "id")})
	require.Equal(t, "gin", dig(t, a, "family"))
	families := map[any]any{}
	for _, c := range dig(t, a, "choices").([]any) {
		families[dig(t, c, "ingredient")] = dig(t, c, "family")
	}
	require.Equal(t, "gin", families[string(gin)])
	require.Equal(t, "fruit spirit", families[string(smoke)])
	require.Equal(t, "rum", families["stock.white_rum"])
}
