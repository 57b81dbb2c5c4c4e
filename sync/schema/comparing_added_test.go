package schema_test

import (
	"encoding/csv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/schema"
)

// touched begins a comparison of two gins with something bitter, or nothing, put to the drink.
func touched(t testing.TB) *book {
	b := orchard(t, "phone")
	gin := b.line(sourID, 0)
	b.do(obj{
		"do": "compare", "id": gins, "base": sourID, "lines": []any{gin}, "candidates": []obj{{"line": gin, "ingredient": floral}},
		"touches": []string{"5 ml gentian bitter, 28 %", "10 ml gentian bitter, 28 %", "2 dashes orange bitters, 45 %"},
	})
	return b
}

// withLine writes a riff of the Orchard Sour with one more line, in a place of its own.
func (b *book) withLine(id replica.ID, at int, typed string) {
	b.t.Helper()
	var all []obj
	for i, l := range b.ask(obj{"q": "spec", "id": sourID})["lines"].([]any) {
		if i == at {
			all = append(all, obj{"typed": typed})
		}
		all = append(all, obj{"keep": dig(b.t, l, "id"), "typed": dig(b.t, l, "typed")})
	}
	b.do(obj{"do": "spec", "id": id, "parent": sourID, "drink": sourDrink, "method": "shaken", "ice": "cubes", "glass": "coupe", "garnish": "bay leaf", "lines": all})
}

func TestAddition(t *testing.T) {
	b := touched(t)
	a := b.ask(obj{"q": "comparison", "id": gins})
	require.EqualValues(t, 8, a["pairings"])
	require.Equal(t, false, dig(t, a, "swaps", 0, "addition"))
	added := dig(t, a, "swaps", 1).(obj)
	require.Equal(t, true, added["addition"])
	require.Equal(t, "", added["line_name"])
	require.Equal(t, "", added["amount"])
	nothing := dig(t, added, "effects", 0).(obj)
	require.Equal(t, "", nothing["name"])
	require.Equal(t, true, nothing["benchmark"])
	require.Nil(t, nothing["price_minor"])
	names := map[any]bool{}
	for _, e := range added["effects"].([]any) {
		names[dig(t, e, "name")] = true
	}
	require.Equal(t, map[any]bool{"": true, "5 ml gentian bitter, 28 %": true, "10 ml gentian bitter, 28 %": true, "2 dashes orange bitters, 45 %": true}, names)
	benchmark := b.finding("juniper-heavy gin", "")
	require.Equal(t, true, benchmark["benchmark"])
	swap := added["id"].(string)
	require.Contains(t, benchmark["picks"], "\n"+swap+" "+swap, "nothing is named by the swap itself")

	t.Run("a riff with one more line is a tasting", func(t *testing.T) {
		b.withLine(newID(7900), 3, "5 ml gentian bitter, 28 %") // in the midst of the others
		b.do(obj{"do": "pour", "id": newID(7901), "spec": newID(7900), "score_x10": 85})
		b.do(obj{"do": "pour", "id": newID(7902), "spec": newID(7900), "swap": obj{"line": b.line(newID(7900), 0), "ingredient": floral}, "score_x10": 65})
		b.do(obj{"do": "pour", "id": newID(7903), "spec": sourID, "score_x10": 70})
		require.Equal(t, []any{85.0}, b.finding("juniper-heavy gin", "5 ml gentian bitter, 28 %")["scores_x10"])
		require.Equal(t, []any{65.0}, b.finding("soft floral gin", "5 ml gentian bitter, 28 %")["scores_x10"])
		require.Equal(t, []any{70.0}, b.finding("juniper-heavy gin", "")["scores_x10"])
	})
	t.Run("less is expected of it than of a whole ingredient", func(t *testing.T) {
		width := func(slot int, name string) float64 {
			for _, e := range dig(t, b.ask(obj{"q": "comparison", "id": gins}), "swaps", slot, "effects").([]any) {
				if dig(t, e, "name") == name {
					return dig(t, e, "hi").(float64) - dig(t, e, "lo").(float64)
				}
			}
			t.Fatal(name)
			return 0
		}
		b.do(obj{"do": "candidate", "id": newID(7905), "swap": dig(t, a, "swaps", 0, "id"), "ingredient": citrusLed})
		require.Less(t, width(1, "2 dashes orange bitters, 45 %"), width(0, "citrus-led gin"))
		b.do(obj{"do": "delete", "id": newID(7905)})
	})
	t.Run("another amount, or something else, is none", func(t *testing.T) {
		b.withLine(newID(7910), 5, "7 ml gentian bitter, 28 %")
		b.withLine(newID(7911), 0, "5 ml gentian bitter, 30 %")
		b.withLine(newID(7912), 0, "5 ml water")
		for i, spec := range []replica.ID{newID(7910), newID(7911), newID(7912)} {
			b.do(obj{"do": "pour", "id": newID(7913 + i), "spec": spec, "score_x10": 10})
		}
		require.EqualValues(t, 3, b.ask(obj{"q": "comparison", "id": gins})["scored"])
	})
	t.Run("the same again is the same candidate", func(t *testing.T) {
		d := b.do(obj{"do": "candidate", "id": newID(7920), "swap": swap, "text": "1 barspoon gentian bitter, 28 %"}) // 5 ml too
		require.Contains(t, b.finding("juniper-heavy gin", "5 ml gentian bitter, 28 %")["picks"], string(d.Made))
		require.Len(t, b.findings(), 8)
		require.Equal(t, "no_amount", b.refused(obj{"do": "candidate", "id": newID(7921), "swap": swap, "text": "top with soda"}))
		require.Equal(t, "no_amount", b.refused(obj{"do": "candidate", "id": newID(7921), "swap": swap, "text": "mint"}))
		require.NotEmpty(t, b.refused(obj{"do": "candidate", "id": newID(7921), "swap": swap}))
		b.do(obj{"do": "edit", "id": d.Made, "kind": "candidate", "set": obj{"benched": true}})
		for _, s := range b.planned(6, 10_000)["seats"].([]any) {
			require.NotContains(t, dig(t, s, "names"), "5 ml gentian bitter, 28 %")
		}
		b.do(obj{"do": "candidate", "id": newID(7922), "swap": swap, "text": "5 ml gentian bitter, 28 %"})
		require.Len(t, b.findings(), 8)
		for _, e := range dig(t, b.ask(obj{"q": "comparison", "id": gins}), "swaps", 1, "effects").([]any) {
			require.Equal(t, false, dig(t, e, "benched"))
		}
		b.do(obj{"do": "candidate", "id": newID(7923), "swap": swap, "text": "3 ml walnut wine"})
		require.Len(t, b.findings(), 10)
	})
	t.Run("too many", func(t *testing.T) {
		lines := []any{}
		for i := range 4 {
			lines = append(lines, b.line(sourID, i))
		}
		require.Equal(t, "out_of_range", b.refused(obj{"do": "compare", "id": newID(7930), "base": sourID, "lines": lines, "touches": []string{"5 ml gin"}}))
		require.Equal(t, "out_of_range", b.refused(obj{"do": "compare", "id": newID(7930), "base": sourID, "lines": []any{}}))
		b.do(obj{"do": "compare", "id": newID(7930), "base": sourID, "lines": []any{}, "touches": []string{"5 ml gentian bitter, 28 %", "5ml gentian bitter, 28 %"}})
		a := b.ask(obj{"q": "comparison", "id": newID(7930)})
		require.EqualValues(t, 2, a["pairings"], "said twice, it counts once")
		require.EqualValues(t, 2, a["scored"], "pours of before count")
		rows, err := csv.NewReader(strings.NewReader(a["csv"].(string))).ReadAll()
		require.NoError(t, err)
		require.ElementsMatch(t, []string{"pairing", "nothing added", "5 ml gentian bitter, 28 %"}, []string{rows[0][0], rows[1][0], rows[2][0]})
	})
}

// TestAdditionFlight: what is added is poured, counted and priced.
func TestAdditionFlight(t *testing.T) {
	b := touched(t)
	a := b.ask(obj{"q": "comparison", "id": gins})
	bitter := replica.ID("")
	for _, e := range dig(t, a, "swaps", 1, "effects").([]any) {
		if dig(t, e, "name") == "10 ml gentian bitter, 28 %" {
			bitter = replica.ID(dig(t, e, "ingredient").(string))
		}
	}
	require.Equal(t, "gentian bitter", schema.Read(b, b.now).Ingredient(bitter).Name, "a name that is not known makes an ingredient")
	require.Equal(t, 28.0, schema.Read(b, b.now).Ingredient(bitter).Strength.Value.Percent())

	t.Run("prices", func(t *testing.T) {
		require.NotNil(t, b.finding("juniper-heavy gin", "")["price_minor"], "nothing costs nothing")
		require.Nil(t, b.finding("juniper-heavy gin", "10 ml gentian bitter, 28 %")["price_minor"])
		b.do(obj{"do": "bottle", "id": newID(8100), "ingredient": bitter, "size_ul": 500_000, "price_minor": 2500, "currency": "EUR", "opened_on": "2026-05-01"})
		without, with := b.finding("juniper-heavy gin", "")["price_minor"], b.finding("juniper-heavy gin", "10 ml gentian bitter, 28 %")["price_minor"]
		require.EqualValues(t, 50, with.(float64)-without.(float64), "10 ml of 500 ml for 25.00")
		for _, e := range dig(t, b.ask(obj{"q": "comparison", "id": gins}), "swaps", 1, "effects").([]any) {
			if dig(t, e, "name") == "5 ml gentian bitter, 28 %" {
				require.EqualValues(t, 25, dig(t, e, "price_minor"))
			}
		}
	})

	picks := func(names ...any) any { return b.finding(names...)["picks"] }
	flight := newID(8110)
	b.do(obj{"do": "flight", "id": flight, "comparison": gins, "pour_ul": 15_000, "seed": "3", "sight": "sighted", "seats": []obj{
		{"picks": picks("juniper-heavy gin", ""), "why": "benchmark"},
		{"picks": picks("juniper-heavy gin", "10 ml gentian bitter, 28 %"), "why": "own"},
		{"picks": picks("soft floral gin", "5 ml gentian bitter, 28 %"), "why": "own"},
	}})
	f := b.ask(obj{"q": "flight", "id": flight})
	common := map[any]any{}
	for _, l := range f["batch"].([]any) {
		common[dig(t, l, "name")] = dig(t, l, "one_ml")
	}
	require.Len(t, common, 5)
	scale := common["lemon juice"].(float64) / 22.5
	for _, k := range f["key"].([]any) {
		lines := map[any]any{}
		for _, l := range dig(t, k, "lines").([]any) {
			lines[dig(t, l, "name")] = dig(t, l, "ml")
		}
		for name, ml := range common {
			require.InDelta(t, ml, lines[name], 0.11, "the lines that are common are the same in every glass")
		}
		if names := dig(t, k, "names").([]any); names[1] == "" {
			require.Len(t, lines, 6)
		} else {
			require.Len(t, lines, 7)
			amount := map[any]float64{"10 ml gentian bitter, 28 %": 10, "5 ml gentian bitter, 28 %": 5}[names[1]]
			require.InDelta(t, amount*scale, lines["gentian bitter"], 0.06)
		}
	}
	for i, s := range b.seats(flight) {
		b.do(obj{"do": "taste", "id": newID(8111 + i), "seat": s["id"], "score_x10": 60 + 10*i})
	}
	require.EqualValues(t, 3, b.ask(obj{"q": "comparison", "id": gins})["scored"])
	for _, s := range b.seats(flight) {
		found := b.finding(s["names"].([]any)...)
		require.Equal(t, []any{s["score_x10"]}, found["scores_x10"])
		version := dig(t, b.ask(obj{"q": "pour", "id": s["pour"]}), "pour", "version")
		switch dig(t, s, "names", 1) {
		case "":
			require.Equal(t, "benchmark", version)
		default:
			require.Contains(t, version, "with "+dig(t, s, "names", 1).(string))
		}
		require.NotNil(t, found["spec"])
	}
	want := b.ask(obj{"q": "comparison", "id": gins})["scored"]
	for i, s := range b.seats(flight) { // the riffs that were made are found again
		if spec := b.finding(s["names"].([]any)...)["spec"]; spec != string(sourID) {
			b.do(obj{"do": "pour", "id": newID(8120 + i), "spec": spec, "score_x10": 70})
			want = want.(float64) + 1
		}
	}
	require.Equal(t, want, b.ask(obj{"q": "comparison", "id": gins})["scored"])

	t.Run("alcohol", func(t *testing.T) {
		p := b.ask(obj{"q": "plan", "id": gins, "glasses": 3, "pour_ul": 15_000, "seed": "1", "seats": []any{picks("juniper-heavy gin", ""), picks("juniper-heavy gin", "10 ml gentian bitter, 28 %")}})
		without, with := dig(t, p, "seats", 0, "alcohol", "grams").(float64), dig(t, p, "seats", 1, "alcohol", "grams").(float64)
		require.InDelta(t, 10*scale*0.28*0.789, with-without, 0.11)
	})
}

// TestSameAdditionTwice: two devices apart add the same. It counts once, and what either tasted of it is of both.
func TestSameAdditionTwice(t *testing.T) {
	a, b := touched(t), newBook(t, "laptop")
	a.join(b)
	swap := dig(t, a.ask(obj{"q": "comparison", "id": gins}), "swaps", 1, "id").(string)
	for i, one := range []*book{b, a} { // the greater id first on the record
		d := one.do(obj{"do": "candidate", "id": newID(8301 - i), "swap": swap, "text": "3 ml gentian bitter, 28 %"})
		picks := one.finding("juniper-heavy gin", "3 ml gentian bitter, 28 %")["picks"].(string)
		require.Contains(t, picks, string(d.Made))
		flight := newID(8310 + 10*i)
		one.do(obj{"do": "flight", "id": flight, "comparison": gins, "pour_ul": 10_000, "seed": "1", "sight": "blind", "seats": []obj{
			{"picks": one.finding("juniper-heavy gin", "")["picks"], "why": "benchmark"}, {"picks": picks, "why": "own"},
		}})
		for k, s := range one.seats(flight) {
			one.do(obj{"do": "taste", "id": newID(8311 + 10*i + k), "seat": s["id"], "score_x10": 70})
			one.do(obj{"do": "rate", "id": newID(8315 + 10*i + k), "seat": s["id"], "taster": "Friend", "score_x10": 50})
		}
	}
	a.join(b)
	require.Len(t, a.findings(), 10)
	f := a.finding("juniper-heavy gin", "3 ml gentian bitter, 28 %")
	require.Contains(t, f["picks"], string(newID(8300)), "the smallest id is shown")
	require.EqualValues(t, 2, f["tasted"])
	require.EqualValues(t, 2, f["flights"])
	for _, flight := range []replica.ID{newID(8310), newID(8320)} {
		for _, s := range a.seats(flight) {
			require.Contains(t, []any{"", "3 ml gentian bitter, 28 %"}, dig(t, s, "names", 1))
		}
	}
	other := strings.ReplaceAll(f["picks"].(string), string(newID(8300)), string(newID(8301)))
	p := a.ask(obj{"q": "plan", "id": gins, "glasses": 2, "pour_ul": 10_000, "seed": "1", "seats": []any{a.finding("juniper-heavy gin", "")["picks"], other}})
	require.Equal(t, f["picks"], dig(t, p, "seats", 1, "picks"), "and either names it")
	require.Equal(t, a.ask(obj{"q": "comparison", "id": gins})["findings"], b.ask(obj{"q": "comparison", "id": gins})["findings"])
}

// TestAdditionOfUnknownStrength: what is added counts, so a flight with it cannot be said to fit.
func TestAdditionOfUnknownStrength(t *testing.T) {
	b := orchard(t, "phone")
	b.do(obj{"do": "compare", "id": gins, "base": sourID, "lines": []any{}, "touches": []string{"5 ml walnut bitter"}})
	p := b.planned(2, 15_000)
	require.Equal(t, false, p["fits"])
	require.Equal(t, []any{"walnut bitter"}, p["unknown"])
	require.Equal(t, "strength_unknown", b.refused(flightOf(p, newID(8350), 15_000)))
	b.do(obj{"do": "edit", "id": dig(t, b.ask(obj{"q": "comparison", "id": gins}), "swaps", 0, "effects", 1, "ingredient"), "kind": "ingredient", "set": obj{"abv_bp": 2500}})
	require.Equal(t, true, b.planned(2, 15_000)["fits"])
	b.do(flightOf(p, newID(8350), 15_000))
}

// TestOneForBoth: the same ingredient in both swapped lines, for who asks whether one could do both jobs.
func TestOneForBoth(t *testing.T) {
	b := orchard(t, "phone")
	gin, pear := b.line(sourID, 0), b.line(sourID, 1)
	b.do(obj{"do": "compare", "id": gins, "base": sourID, "lines": []any{gin, pear}, "candidates": []obj{{"line": gin, "ingredient": clearPear}, {"line": pear, "ingredient": juniper}}})
	require.Len(t, b.findings(), 4)
	var seats []any
	var chosen []obj
	for _, names := range [][]any{{"juniper-heavy gin", "pear eau-de-vie"}, {"pear eau-de-vie", "pear eau-de-vie"}, {"juniper-heavy gin", "juniper-heavy gin"}, {"pear eau-de-vie", "juniper-heavy gin"}} {
		picks := b.finding(names...)["picks"]
		seats, chosen = append(seats, picks), append(chosen, obj{"picks": picks, "why": "own"})
	}
	chosen[0]["why"] = "benchmark"
	require.Equal(t, true, b.ask(obj{"q": "plan", "id": gins, "glasses": 4, "pour_ul": 15_000, "seed": "1", "seats": seats})["fits"])
	b.do(obj{"do": "flight", "id": newID(8200), "comparison": gins, "pour_ul": 15_000, "seed": "1", "sight": "blind", "seats": chosen})
	score := map[any]int{}
	for i, s := range b.seats(newID(8200)) {
		b.do(obj{"do": "taste", "id": newID(8201 + i), "seat": s["id"], "score_x10": 50 + 10*i})
	}
	for _, s := range b.seats(newID(8200)) {
		names := s["names"].([]any)
		require.Equal(t, []any{s["score_x10"]}, b.finding(names...)["scores_x10"], "%v", names)
		score[names[0].(string)+" + "+names[1].(string)] = int(s["score_x10"].(float64))
		var gin, pear string
		for _, l := range b.ask(obj{"q": "pour", "id": s["pour"]})["lines"].([]any)[:2] {
			gin, pear = pear, dig(t, l, "name").(string)
		}
		require.Equal(t, names, []any{gin, pear}, "the glass holds what its names say")
	}
	require.Len(t, score, 4)
	require.Len(t, schema.Read(b, b.now).Specs(), 4)
	// Poured by hand they are the same pairings.
	both := b.finding("pear eau-de-vie", "pear eau-de-vie")
	b.do(obj{"do": "pour", "id": newID(8210), "spec": both["spec"], "score_x10": 35})
	require.EqualValues(t, 2, b.finding("pear eau-de-vie", "pear eau-de-vie")["tasted"])
	rows, err := csv.NewReader(strings.NewReader(b.ask(obj{"q": "comparison", "id": gins})["csv"].(string))).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 5)
}
