package schema_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/journal/count"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/schema"
	"fairmeasure/testdata"
)

// askRefused gives the code a question is refused with.
func (b *book) askRefused(question any) string {
	b.t.Helper()
	raw, err := json.Marshal(question)
	require.NoError(b.t, err)
	_, err = schema.Ask(b, b.now, raw)
	return refusal(b.t.(*testing.T), err)
}

func TestTonight(t *testing.T) {
	t.Run("nothing yet", func(t *testing.T) {
		b := newBook(t, "phone")
		a := b.ask(obj{"q": "tonight"})
		require.Nil(t, a["session"])
		require.Nil(t, a["again"])
		require.Equal(t, "2026-05-15", a["now_day"])
		require.Equal(t, obj{"country": "WHO", "name": "standard drink (AUDIT)", "grams": 10.0, "fallback": false}, a["unit"])
		require.NotEmpty(t, a["plains"], "a plain drink is two touches away from the start")
	})
	b := orchard(t, "phone")
	b.do(obj{"do": "set", "name": "own_day_drinks_x10", "value": 40})
	b.now.MS -= 72 * minute
	b.do(obj{"do": "pour", "id": newID(40), "spec": sourID, "share_bp": 5000, "score_x10": 75, "tags": []string{"too sweet", "pear"}})
	b.now.MS += 72 * minute
	b.do(obj{"do": "pour", "id": newID(41), "spec": sourID, "swap": obj{"line": b.line(sourID, 0), "ingredient": floral}})
	b.do(obj{"do": "pour", "id": newID(42), "spec": sourID, "share_bp": 0})
	b.do(obj{"do": "water", "id": newID(43), "vol_ul": 250_000})
	b.do(obj{"do": "water", "id": newID(44), "vol_ul": 250_000, "zone": "Europe/Paris"})
	a := b.ask(obj{"q": "tonight"})

	t.Run("the session adds up", func(t *testing.T) {
		// By hand: 37.5 ml at 47 %, 15 at 42, 15 at 24, 1.8 at 45 are 28.335 ml of ethanol, half of it 14.1675; with 41.5 %
		// in the gin's place 26.2725. Together 40.44 ml, 31.9 g by 0.789, 3.2 drinks of 10 g.
		s := dig(t, a, "session")
		require.Equal(t, "20:52", dig(t, s, "since"))
		require.Equal(t, obj{"grams": 31.9, "drinks": 3.2, "at_least": false, "or_drinks": nil, "about": false}, dig(t, s, "totals", "alcohol"))
		require.Equal(t, 3.0, dig(t, s, "totals", "pours"))
		require.Equal(t, []any{72.0, 0.0}, dig(t, s, "gaps_min"))
		require.Equal(t, 2.7, dig(t, s, "pace_per_hour"))
		first := dig(t, s, "pours", 0)
		require.Equal(t, "Orchard Sour", dig(t, first, "name"))
		require.Equal(t, "benchmark", dig(t, first, "version"))
		require.Equal(t, 75.0, dig(t, first, "score_x10"))
		require.Equal(t, []any{"pear", "too sweet"}, dig(t, first, "tags"))
		require.Equal(t, "soft floral gin, 41.5 %", dig(t, s, "pours", 1, "version"))
		require.Equal(t, 0.0, dig(t, s, "pours", 2, "alcohol", "grams"), "made for someone else")
		require.Equal(t, 500.0, a["water_ml"])
	})
	t.Run("same again offers the newest glass the owner drank of, and what it would bring the total to", func(t *testing.T) {
		require.Equal(t, string(newID(41)), dig(t, a, "again", "pour"))
		require.Equal(t, 5.3, dig(t, a, "again", "would_bring", "drinks"))
		passes := dig(t, a, "again", "passes").([]any)
		require.Len(t, passes, 2)
		require.Equal(t, "above", dig(t, passes, 0, "state"))
		require.Equal(t, 2020.0, dig(t, passes, 0, "year"))
		require.Equal(t, "day", dig(t, passes, 0, "period"))
		require.Equal(t, "own", dig(t, passes, 1, "issuer"))
	})
	t.Run("specs poured last come first", func(t *testing.T) {
		require.Len(t, a["specs"], 2)
		require.Equal(t, "benchmark", dig(t, a, "specs", 0, "version"))
	})
	t.Run("a pour past midnight belongs to the evening", func(t *testing.T) {
		b.now.MS += 150 * minute
		b.do(obj{"do": "again", "id": newID(45), "pour": newID(40)})
		a := b.ask(obj{"q": "tonight"})
		require.Equal(t, "2026-05-15", dig(t, a, "now_day"))
		require.Equal(t, "00:34", dig(t, a, "session", "pours", 3, "time"))
		require.Equal(t, "2026-05-15", dig(t, a, "session", "pours", 3, "day"))
	})
}

// TestStandardDrinks: 60 ml at 40 % is 24 ml of ethanol and 18.94 g, 1.35 US drinks, 2.4 British units, 1.89 Australian
// drinks (testdata/cases/cases.csv C090), here with the one decimal that is shown.
func TestStandardDrinks(t *testing.T) {
	for country, drinks := range map[string]float64{"US": 1.4, "GB": 2.4, "AU": 1.9} {
		b := newBook(t, "phone")
		b.do(obj{"do": "set", "name": "country", "value": country})
		b.do(obj{"do": "plain", "id": newID(40), "name": "rum", "vol_ul": 60_000, "abv_bp": 4000})
		a := b.ask(obj{"q": "pour", "id": newID(40)})
		require.Equal(t, drinks, dig(t, a, "pour", "alcohol", "drinks"), country)
		require.Equal(t, 18.9, dig(t, a, "pour", "alcohol", "grams"), country)
	}
}

func TestUnknownStrengthIsNeverZero(t *testing.T) {
	b := newBook(t, "phone")
	b.do(obj{"do": "plain", "id": newID(40), "name": "some punch", "vol_ul": 200_000, "abv_bp": nil})
	b.do(obj{"do": "spec", "id": newID(30), "method": "shaken", "lines": []obj{{"typed": "30 ml quince liqueur"}, {"typed": "40 ml gin"}}})
	b.do(obj{"do": "pour", "id": newID(41), "spec": newID(30)})
	a := b.ask(obj{"q": "tonight"})
	require.Equal(t, true, dig(t, a, "session", "totals", "alcohol", "at_least"))
	w := b.ask(obj{"q": "week"})
	require.Equal(t, true, dig(t, w, "last_seven", "totals", "alcohol", "at_least"))
	s := b.ask(obj{"q": "spec", "id": newID(30)})
	require.Equal(t, true, dig(t, s, "balance", "after", "alcohol_g", "at_least"))
	require.Nil(t, dig(t, s, "balance", "after", "alcohol_g", "hi"))
	require.Nil(t, dig(t, s, "lines", 0, "abv_percent"))
	require.Contains(t, dig(t, s, "balance", "remarks"), obj{"code": "strength_unknown", "names": []any{"quince liqueur"}})
	require.Equal(t, []any{"strength"}, dig(t, s, "lines", 1, "assumed"), "a gin's strength is the stock's")
}

func TestJournalByDay(t *testing.T) {
	b := orchard(t, "phone")
	at := func(days, hours int64) int64 { return evening - days*86_400_000 + hours*3_600_000 }
	b.do(obj{"do": "pour", "id": newID(40), "spec": sourID, "at_ms": at(40, 0)})
	b.do(obj{"do": "pour", "id": newID(41), "spec": sourID, "at_ms": at(2, 0), "note": "Bay only on the nose"})
	b.do(obj{"do": "plain", "id": newID(42), "name": "pint", "vol_ul": 568_000, "abv_bp": 450, "at_ms": at(2, 4)})
	b.do(obj{"do": "plain", "id": newID(43), "name": "cider", "vol_ul": 330_000, "abv_bp": 500, "at_ms": at(2, -8)})
	b.do(obj{"do": "pour", "id": newID(44), "spec": sourID})
	a := b.ask(obj{"q": "journal", "days": 7})
	require.Equal(t, 5.0, a["total"])
	require.Equal(t, true, a["more"])
	require.Len(t, a["days"], 2)
	require.Equal(t, "2026-05-15", dig(t, a, "days", 0, "day"))
	day := dig(t, a, "days", 1)
	require.Equal(t, "2026-05-13", dig(t, day, "day"))
	require.Len(t, dig(t, day, "sessions"), 2)
	require.Equal(t, "14:04", dig(t, day, "sessions", 0, "since"))
	require.Equal(t, "22:04", dig(t, day, "sessions", 1, "since"))
	require.Equal(t, "02:04", dig(t, day, "sessions", 1, "until"), "four hours later is the same session, and past midnight the same day")
	require.Equal(t, false, dig(t, b.ask(obj{"q": "journal", "days": 60}), "more"))
	for search, n := range map[string]int{"bay NOSE": 1, "pint": 1, "orchard": 2, "absinthe": 0} {
		found := 0
		for _, d := range b.ask(obj{"q": "journal", "days": 7, "text": search})["days"].([]any) {
			for _, s := range dig(t, d, "sessions").([]any) {
				found += len(dig(t, s, "pours").([]any))
			}
		}
		require.Equal(t, n, found, search)
	}
	require.Equal(t, "out_of_range", b.askRefused(obj{"q": "journal", "days": -1}))
}

// TestFiguresStand: no action but an edit of that pour changes its figures.
func TestFiguresStand(t *testing.T) {
	b := orchard(t, "phone")
	b.do(obj{"do": "pour", "id": newID(40), "spec": sourID, "score_x10": 75})
	b.do(obj{"do": "plain", "id": newID(41), "name": "pint", "vol_ul": 568_000, "abv_bp": 450})
	figures := func() (all []any) {
		for _, id := range []replica.ID{newID(40), newID(41)} {
			a := b.ask(obj{"q": "pour", "id": id})
			all = append(all, a["balance"], a["lines"], a["volume_ml"], a["abv_percent"], dig(t, a, "pour", "alcohol"), dig(t, a, "pour", "score_x10"))
		}
		return all
	}
	before := figures()
	for _, in := range []obj{
		{"do": "line", "id": newID(50), "spec": sourID, "line": b.line(sourID, 0), "typed": "2 oz navy rum, 57 %", "slip": true},
		{"do": "spec", "id": sourID, "slip": true, "method": "stirred", "lines": []obj{{"id": newID(39), "typed": "10 ml gin"}}},
		{"do": "edit", "id": juniper, "kind": "ingredient", "set": obj{"abv_bp": 9600, "sugar_mgl": 300_000, "name": "another"}},
		{"do": "delete", "id": juniper},
		{"do": "erase", "id": juniper},
		{"do": "set", "name": "dash_ul", "value": 400},
		{"do": "set", "name": "oz_kind", "value": "us"},
		{"do": "set", "name": "day_start_min", "value": 0},
		{"do": "bottle", "id": newID(51), "name": "juniper-heavy gin", "abv_bp": 4000},
		{"do": "pour", "id": newID(52), "spec": sourID},
		{"do": "again", "id": newID(53), "pour": newID(40)},
		{"do": "edit", "id": newID(53), "kind": "pour", "set": obj{"share_bp": 100}},
		{"do": "plain", "id": newID(54), "name": "pint", "vol_ul": 500_000, "abv_bp": 800, "keep": true},
		{"do": "delete", "id": sourID},
		{"do": "erase", "id": sourID},
		{"do": "delete", "id": sourDrink},
	} {
		b.do(in)
		require.Equal(t, before, figures(), "%v", in)
	}
	b.do(obj{"do": "edit", "id": newID(40), "kind": "pour", "set": obj{"share_bp": 5000}})
	require.NotEqual(t, before, figures(), "an edit of the pour itself does")
	require.Equal(t, "juniper-heavy gin, pear eau-de-vie", dig(t, b.ask(obj{"q": "pour", "id": newID(40)}), "pour", "name"), "without spec and drink it goes by what leads it")
}

func TestSpecsAndTheirRows(t *testing.T) {
	phone := orchard(t, "phone")
	laptop := newBook(t, "laptop")
	laptop.join(phone)
	swap := func(b *book, id int) replica.ID {
		return b.do(obj{"do": "pour", "id": newID(id), "spec": sourID, "score_x10": 80, "swap": obj{"line": b.line(sourID, 0), "ingredient": floral}}).Riff
	}
	first, second := swap(phone, 40), swap(laptop, 41)
	require.NotEqual(t, first, second, "made apart they are two")
	phone.join(laptop)
	a := phone.ask(obj{"q": "specs"})
	require.Len(t, dig(t, a, "drinks", 0, "specs"), 2, "and one row")
	row := dig(t, a, "drinks", 0, "specs", 1)
	require.Equal(t, string(min(first, second)), dig(t, row, "id"), "headed by the smallest id")
	require.Equal(t, 2.0, dig(t, row, "poured"), "the pours of both count")
	require.Equal(t, "soft floral gin, 41.5 %", dig(t, row, "name"))
	require.Equal(t, "2026-05-15", dig(t, row, "last_day"))
	require.Equal(t, 80.0, dig(t, row, "best_x10"))
	require.Equal(t, true, dig(t, a, "drinks", 0, "specs", 0, "benchmark"))

	t.Run("either half opens", func(t *testing.T) {
		for _, id := range []replica.ID{first, second} {
			s := phone.ask(obj{"q": "spec", "id": id})
			require.Equal(t, 2.0, s["poured"])
			require.Len(t, s["tree"], 2)
			require.Equal(t, 1.0, dig(t, s, "tree", 1, "depth"))
		}
	})
	t.Run("search looks at names and lines", func(t *testing.T) {
		require.Len(t, phone.ask(obj{"q": "specs", "text": "floral"})["drinks"], 1)
		require.Len(t, dig(t, phone.ask(obj{"q": "specs", "text": "floral"}), "drinks", 0, "specs"), 1)
		require.Empty(t, phone.ask(obj{"q": "specs", "text": "mezcal"})["drinks"])
	})
	t.Run("declared the same, in a ring too", func(t *testing.T) {
		phone.do(obj{"do": "spec", "id": newID(30), "drink": sourDrink, "lines": []obj{{"typed": "45 ml gin"}}})
		phone.do(obj{"do": "spec", "id": newID(31), "drink": sourDrink, "lines": []obj{{"typed": "50 ml gin"}}})
		require.Len(t, dig(t, phone.ask(obj{"q": "specs"}), "drinks", 0, "specs"), 4)
		phone.do(obj{"do": "edit", "id": newID(31), "kind": "spec", "set": obj{"same_as": newID(30)}})
		require.Len(t, dig(t, phone.ask(obj{"q": "specs"}), "drinks", 0, "specs"), 3)
		phone.do(obj{"do": "edit", "id": newID(30), "kind": "spec", "set": obj{"same_as": newID(31)}})
		rows := dig(t, phone.ask(obj{"q": "specs"}), "drinks", 0, "specs").([]any)
		require.Len(t, rows, 3)
		require.True(t, slices.ContainsFunc(rows, func(r any) bool { return dig(t, r, "id") == string(newID(30)) }), "the smallest id of the ring heads it")
	})
	t.Run("parents in a ring do not hang", func(t *testing.T) {
		phone.do(obj{"do": "edit", "id": sourID, "kind": "spec", "set": obj{"parent": first}})
		require.NotEmpty(t, phone.ask(obj{"q": "spec", "id": sourID})["tree"])
	})
	t.Run("side by side", func(t *testing.T) {
		side := phone.ask(obj{"q": "side"})
		require.Equal(t, "Orchard Sour", dig(t, side, "drinks", 0, "name"))
		require.Equal(t, []any{80.0, 80.0}, dig(t, side, "drinks", 0, "rows", 1, "scores_x10"))
	})
}

func TestHowARiffDiffers(t *testing.T) {
	b := orchard(t, "phone")
	var lines []obj
	for _, l := range schema.Read(b, b.now).Lines(sourID) {
		lines = append(lines, obj{"keep": l.ID, "typed": l.Typed})
	}
	for i, c := range []struct {
		change func([]obj) []obj
		says   string
	}{
		{func(l []obj) []obj { l[3]["typed"] = "20 ml lemon juice"; return l }, "20 ml lemon juice"},
		{func(l []obj) []obj { l[0]["typed"] = "1¼ oz soft floral gin"; return l }, "soft floral gin, 41.5 %"},
		{func(l []obj) []obj { return l[:5] }, "without orange bitters"},
		{func(l []obj) []obj { return append(l, obj{"typed": "5 ml gentian liqueur"}) }, "with 5 ml gentian liqueur"},
	} {
		var copied []obj
		for _, l := range lines {
			copied = append(copied, obj{"keep": l["keep"], "typed": l["typed"]})
		}
		id := newID(60 + i)
		b.do(obj{"do": "spec", "id": id, "parent": sourID, "method": "shaken", "ice": "cubes", "glass": "coupe", "garnish": "bay leaf", "lines": c.change(copied)})
		a := b.ask(obj{"q": "spec", "id": id})
		require.Contains(t, fmt.Sprint(a["tree"]), c.says)
		changed := 0
		for _, l := range a["lines"].([]any) {
			if dig(t, l, "changed") == true {
				changed++
			}
		}
		require.Equal(t, map[bool]int{true: 0, false: 1}[c.says == "without orange bitters"], changed, c.says)
	}
	b.do(obj{"do": "spec", "id": newID(70), "parent": sourID, "method": "stirred", "ice": "cubes", "glass": "coupe", "garnish": "bay leaf", "lines": lines})
	require.Contains(t, fmt.Sprint(b.ask(obj{"q": "specs"})), "stirred")
}

func TestDraft(t *testing.T) {
	b := orchard(t, "phone")
	a := b.ask(obj{"q": "draft", "method": "shaken", "lines": []string{"45 ml gin, 44 %", "3 zorks rum", "", "¾ oz lime", "1 egg white", "8-10 mint leaves"}})
	require.Equal(t, true, dig(t, a, "lines", 0, "ok"))
	require.Equal(t, obj{
		"id": "draft.0", "amount": "45", "unit": "ml", "name": "gin", "note": "", "typed": "45 ml gin, 44 %", "volume_ml": 45.0, "estimate": false, "open": "",
		"ingredient": "stock.gin", "abv_percent": 44.0, "assumed": []any{}, "clash": false, "or": nil, "changed": false,
	}, dig(t, a, "lines", 0, "lines", 0))
	require.Equal(t, false, dig(t, a, "lines", 1, "ok"))
	require.NotEmpty(t, dig(t, a, "lines", 1, "refusal", "text"))
	require.Equal(t, "lime juice", dig(t, a, "lines", 3, "lines", 0, "name"))
	require.Equal(t, []any{"form"}, dig(t, a, "lines", 3, "lines", 0, "assumed"))
	require.Equal(t, "8–10", dig(t, a, "lines", 5, "lines", 0, "amount"))
	require.Contains(t, dig(t, a, "balance", "remarks"), obj{"code": "raw_egg", "names": []any{}})
	require.NotNil(t, a["alcohol"])

	parts := obj{"q": "draft", "method": "stirred", "lines": []string{"equal parts gin, sweet vermouth, red bitter aperitif"}}
	a = b.ask(parts)
	require.Len(t, dig(t, a, "lines", 0, "lines"), 3)
	require.Nil(t, dig(t, a, "lines", 0, "lines", 0, "volume_ml"), "a part has no size of its own")
	require.Contains(t, dig(t, a, "balance", "remarks"), obj{"code": "parts_without_size", "names": []any{}})
	parts["total_ul"] = 90_000
	require.Equal(t, 30.0, dig(t, b.ask(parts), "lines", 0, "lines", 2, "volume_ml"))
	parts["part_ul"], parts["total_ul"] = 25_000, nil
	require.Equal(t, 25.0, dig(t, b.ask(parts), "lines", 0, "lines", 2, "volume_ml"))

	require.Nil(t, b.ask(obj{"q": "draft", "method": "shaken", "lines": []string{}})["balance"])
	require.Equal(t, "too_many_lines", b.askRefused(obj{"q": "draft", "method": "", "lines": make([]string, 61)}))
}

func TestSheet(t *testing.T) {
	b := orchard(t, "phone")
	b.do(obj{"do": "bottle", "id": newID(21), "name": "", "ingredient": citrusLed, "size_ul": 700_000, "opened_on": "2026-05-01"})
	b.do(obj{"do": "edit", "id": newID(22), "kind": "level", "set": obj{"bottle": newID(21), "at_ms": evening - minute, "left_ul": 90_000}})
	b.do(obj{"do": "pour", "id": newID(40), "spec": sourID})
	a := b.ask(obj{"q": "sheet", "spec": sourID, "share_bp": 5000})
	require.Equal(t, 1.1, dig(t, a, "alcohol", "drinks"))
	require.Equal(t, 3.4, dig(t, a, "would_bring", "drinks"), "2.24 drunk and half of one more are 3.35")
	gins := dig(t, a, "swaps", 0)
	require.Equal(t, "juniper-heavy gin", dig(t, gins, "line_name"))
	require.Equal(t, "1¼", dig(t, gins, "amount"))
	require.Equal(t, obj{"ingredient": string(juniper), "name": "juniper-heavy gin", "abv_percent": 47.0, "left_ml": 663.0, "as_written": true}, dig(t, gins, "choices", 0))
	require.Equal(t, obj{"ingredient": string(citrusLed), "name": "citrus-led gin", "abv_percent": 44.0, "left_ml": 90.0, "as_written": false}, dig(t, gins, "choices", 1), "what is on the shelf comes first")
	require.Equal(t, string(floral), dig(t, gins, "choices", 2, "ingredient"))
	require.Contains(t, dig(t, a, "terms"), "quince")

	swapped := b.ask(obj{"q": "sheet", "spec": sourID, "swap": obj{"line": b.line(sourID, 0), "ingredient": floral}})
	require.Equal(t, "soft floral gin", dig(t, swapped, "spec", "lines", 0, "name"))
	require.Equal(t, 2.1, dig(t, swapped, "alcohol", "drinks"))
	require.Equal(t, "juniper-heavy gin", dig(t, swapped, "swaps", 0, "line_name"), "what is written stays on offer")
	require.Len(t, schema.Read(b, b.now).Specs(), 1, "asking makes nothing")

	none := b.ask(obj{"q": "sheet", "spec": sourID, "share_bp": 0})
	require.Equal(t, 0.0, dig(t, none, "alcohol", "drinks"))
	require.Equal(t, 2.2, dig(t, none, "would_bring", "drinks"))
	require.Equal(t, "not_found", b.askRefused(obj{"q": "sheet", "spec": newID(77)}))
	require.Equal(t, "out_of_range", b.askRefused(obj{"q": "sheet", "spec": sourID, "share_bp": -1}))
	require.Equal(t, "not_found", b.askRefused(obj{"q": "sheet", "spec": sourID, "swap": obj{"line": newID(77), "ingredient": floral}}))
}

func TestWeek(t *testing.T) {
	b := orchard(t, "phone")
	plain := func(id int, daysAgo int64, ul, bp int) {
		b.do(obj{"do": "plain", "id": newID(id), "name": "pint", "vol_ul": ul, "abv_bp": bp, "at_ms": evening - daysAgo*86_400_000})
	}
	plain(40, 0, 568_000, 450) // 25.56 ml, 20.2 g
	plain(41, 1, 568_000, 450)
	plain(42, 6, 568_000, 450)
	plain(43, 7, 568_000, 450)
	b.do(obj{"do": "day", "day": "2026-05-12", "alcohol_free": true})
	b.do(obj{"do": "day", "day": "2026-05-14", "alcohol_free": true})
	b.do(obj{"do": "set", "name": "own_week_drinks_x10", "value": 60})
	a := b.ask(obj{"q": "week"})
	require.Equal(t, 6.1, dig(t, a, "last_seven", "totals", "alcohol", "drinks"))
	require.Equal(t, 4.0, dig(t, a, "calendar", "totals", "alcohol", "drinks"))
	require.Equal(t, "2026-W20", dig(t, a, "calendar", "name"))
	require.Equal(t, 2.0, dig(t, a, "four_week_mean", "drinks"))
	require.Equal(t, 2.0, dig(t, a, "session", "alcohol", "drinks"))
	states := map[string]any{}
	for _, d := range dig(t, a, "calendar", "days").([]any) {
		states[dig(t, d, "day").(string)] = dig(t, d, "state")
		require.Equal(t, dig(t, d, "day").(string) > "2026-05-15", dig(t, d, "future"))
	}
	require.Equal(t, map[string]any{
		"2026-05-11": "nothing", "2026-05-12": "free", "2026-05-13": "nothing", "2026-05-14": "drunk", "2026-05-15": "drunk",
		"2026-05-16": "nothing", "2026-05-17": "nothing",
	}, states, "a drink logged on a day confirmed free counts as logged")
	require.Equal(t, []any{obj{"name": "pint", "n": 1.0}}, dig(t, a, "calendar", "days", 4, "what"))
	own := dig(t, a, "guidance", 0)
	require.Equal(t, "own", dig(t, own, "issuer"))
	require.Equal(t, "above", dig(t, own, "state"))
	weekly := dig(t, a, "guidance", 1)
	require.Contains(t, dig(t, weekly, "issuer"), "NHMRC")
	require.Equal(t, 10.0, dig(t, weekly, "limit"))
	require.Equal(t, "below", dig(t, weekly, "state"))

	t.Run("a country without a number says so", func(t *testing.T) {
		b.do(obj{"do": "set", "name": "country", "value": "US"})
		lines := b.ask(obj{"q": "week"})["guidance"].([]any)
		require.True(t, slices.ContainsFunc(lines, func(g any) bool { return dig(t, g, "comparator") == "none" && dig(t, g, "state") == "" }))
	})
	t.Run("a country with bands names the band", func(t *testing.T) {
		b.do(obj{"do": "set", "name": "country", "value": "DE"})
		lines := b.ask(obj{"q": "week"})["guidance"].([]any)
		i := slices.IndexFunc(lines, func(g any) bool { return dig(t, g, "comparator") == "band" })
		require.Equal(t, "moderate", dig(t, lines, i, "note"), "60.6 g lies between 27 and 81")
		require.Equal(t, "g", dig(t, lines, i, "unit"))
	})
	t.Run("weeks from Sunday", func(t *testing.T) {
		b.do(obj{"do": "set", "name": "week_start", "value": "sun"})
		require.Equal(t, "2026-05-10", dig(t, b.ask(obj{"q": "week"}), "calendar", "from"))
	})
}

func TestBottles(t *testing.T) {
	b := orchard(t, "phone")
	b.do(obj{"do": "pour", "id": newID(40), "spec": sourID, "share_bp": 0})
	a := b.ask(obj{"q": "bottles"})
	require.Equal(t, 663.0, dig(t, a, "rows", 0, "left_ml"), "a glass for someone else comes out of the same bottle")
	b.do(obj{"do": "edit", "id": newID(22), "kind": "level", "set": obj{"bottle": juniperFull, "at_ms": evening + minute, "left_ul": 400_000}})
	b.do(obj{"do": "pour", "id": newID(41), "spec": sourID, "at_ms": evening + 2*minute})
	require.Equal(t, 363.0, dig(t, b.ask(obj{"q": "bottles"}), "rows", 0, "left_ml"))
	b.do(obj{"do": "delete", "id": newID(41)})
	require.Equal(t, 400.0, dig(t, b.ask(obj{"q": "bottles"}), "rows", 0, "left_ml"))
	b.do(obj{"do": "edit", "id": juniperFull, "kind": "bottle", "set": obj{"finished_on": "2026-05-15"}})
	b.do(obj{"do": "pour", "id": newID(42), "spec": sourID})
	require.Equal(t, 400.0, dig(t, b.ask(obj{"q": "bottles"}), "rows", 0, "left_ml"), "nothing is poured from a finished bottle")
	require.Equal(t, []any{obj{"currency": "EUR", "minor": 188.0, "partial": true}}, dig(t, b.priced(), "cost"))
}

// priced is the spec's answer before its bottle was finished.
func (b *book) priced() obj { return orchard(b.t, "other").ask(obj{"q": "spec", "id": sourID}) }

// TestTwoDevicesApart is the story of two devices that edit the same spec and the same pour without each other.
func TestTwoDevicesApart(t *testing.T) {
	phone := orchard(t, "phone")
	phone.do(obj{"do": "spec", "id": newID(30), "drink_name": "Quiet Orchard", "method": "shaken", "lines": []obj{{"typed": "45 ml gin, 44 %"}}})
	phone.do(obj{"do": "pour", "id": newID(40), "spec": newID(30), "score_x10": 70})
	laptop := newBook(t, "laptop")
	laptop.join(phone)

	honey := phone.line(sourID, 4)
	phone.now.MS += minute
	phone.do(obj{"do": "line", "id": newID(50), "spec": sourID, "line": honey, "typed": "20 ml honey syrup"})
	phone.do(obj{"do": "edit", "id": newID(40), "kind": "pour", "set": obj{"score_x10": 85}})
	phone.do(obj{"do": "edit", "id": newID(40), "kind": "pour", "set": obj{"note": "Pear first, then dry"}})
	laptop.now.MS += 2 * minute
	laptop.do(obj{"do": "line", "id": newID(51), "spec": sourID, "line": honey, "typed": "10 ml honey syrup"})
	laptop.do(obj{"do": "edit", "id": newID(40), "kind": "pour", "set": obj{"score_x10": 75}})
	laptop.do(obj{"do": "edit", "id": sourID, "kind": "spec", "set": obj{"garnish": "thyme"}})
	phone.join(laptop)
	phone.now.MS = laptop.now.MS

	spec, pour := phone.ask(obj{"q": "spec", "id": sourID}), phone.ask(obj{"q": "pour", "id": newID(40)})
	other := laptop.ask(obj{"q": "spec", "id": sourID})
	for i, v := range dig(t, other, "clashes", 0, "values").([]any) { // each names the other's device
		require.NotEqual(t, dig(t, spec, "clashes", 0, "values", i, "device"), dig(t, v, "device"))
		v.(obj)["device"] = dig(t, spec, "clashes", 0, "values", i, "device")
	}
	require.Equal(t, spec, other, "both show the same")
	require.Equal(t, "thyme", spec["garnish"])
	line := dig(t, spec, "lines", 4)
	require.Equal(t, "10 ml honey syrup", dig(t, line, "typed"), "the later one shows")
	require.Equal(t, true, dig(t, line, "clash"))
	require.Equal(t, "20 ml", dig(t, line, "or"))
	require.Equal(t, "Pear first, then dry", dig(t, pour, "pour", "note"))
	require.Equal(t, 75.0, dig(t, pour, "pour", "score_x10"))
	require.Equal(t, 2.0, phone.ask(obj{"q": "tonight"})["clashes"])

	clash := dig(t, phone.ask(obj{"q": "clash", "id": sourID}), "clashes", 0)
	require.Equal(t, "Orchard Sour, honey syrup", dig(t, clash, "title"))
	require.Equal(t, "typed", dig(t, clash, "field"))
	require.Equal(t, false, dig(t, clash, "joinable"))
	require.Equal(t, "10 ml honey syrup", dig(t, clash, "values", 0, "text"))
	require.Equal(t, true, dig(t, clash, "values", 0, "shown"))
	require.Equal(t, "lapto", dig(t, clash, "values", 0, "device"))
	require.Equal(t, "20 ml honey syrup", dig(t, clash, "values", 1, "text"))
	score := dig(t, phone.ask(obj{"q": "clash", "id": newID(40)}), "clashes", 0)
	require.Equal(t, []any{"7.5", "8.5"}, []any{dig(t, score, "values", 0, "text"), dig(t, score, "values", 1, "text")})

	phone.do(obj{"do": "choose", "id": newID(40), "field": "score_x10", "stamp": dig(t, score, "values", 1, "stamp")})
	phone.do(obj{"do": "choose", "id": dig(t, clash, "id"), "field": "typed", "stamp": dig(t, clash, "values", 1, "stamp")})
	laptop.join(phone)
	require.Equal(t, 0.0, laptop.ask(obj{"q": "tonight"})["clashes"])
	require.Equal(t, 85.0, dig(t, laptop.ask(obj{"q": "pour", "id": newID(40)}), "pour", "score_x10"))
	require.Equal(t, "20 ml honey syrup", dig(t, laptop.ask(obj{"q": "spec", "id": sourID}), "lines", 4, "typed"))
	plan, err := phone.plan(obj{"do": "choose", "id": newID(40), "field": "score_x10", "stamp": dig(t, score, "values", 0, "stamp")})
	require.NoError(t, err)
	require.Empty(t, plan.Edits, "chosen already")
}

// fork gives two devices that share all of a book.
func fork(t *testing.T, phone *book) *book {
	laptop := newBook(t, fmt.Sprintf("laptop%d", phone.n)) // each start of a device has a run of its own
	laptop.join(phone)
	phone.now.MS += minute
	laptop.now.MS = phone.now.MS + minute
	return laptop
}

func TestClashesThatChangeAlcohol(t *testing.T) {
	phone := orchard(t, "phone")
	phone.do(obj{"do": "plain", "id": newID(40), "name": "pint", "vol_ul": 568_000, "abv_bp": 450})
	phone.do(obj{"do": "pour", "id": newID(41), "spec": sourID})
	laptop := fork(t, phone)
	phone.do(obj{"do": "edit", "id": newID(40), "kind": "pour", "set": obj{"abv_bp": 600}})
	phone.do(obj{"do": "edit", "id": newID(41), "kind": "pour", "set": obj{"share_bp": 5000}})
	laptop.do(obj{"do": "edit", "id": newID(40), "kind": "pour", "set": obj{"abv_bp": 500}})
	laptop.do(obj{"do": "edit", "id": newID(41), "kind": "pour", "set": obj{"share_bp": 2500}})
	phone.join(laptop)
	pint := dig(t, phone.ask(obj{"q": "pour", "id": newID(40)}), "pour")
	require.Equal(t, 2.2, dig(t, pint, "alcohol", "drinks"), "28.4 ml of ethanol, the shown one")
	require.Equal(t, 2.7, dig(t, pint, "alcohol", "or_drinks"), "34.08 ml, the rival")
	require.Equal(t, true, dig(t, pint, "clash"))
	all := dig(t, phone.ask(obj{"q": "week"}), "last_seven", "totals", "alcohol")
	require.Equal(t, 2.8, dig(t, all, "drinks"))
	require.Equal(t, 3.8, dig(t, all, "or_drinks"))
	values := dig(t, phone.ask(obj{"q": "clash", "id": newID(40)}), "clashes", 0, "values")
	require.Equal(t, "pint, 568 ml, 5 %", dig(t, values, 0, "text"))
	require.Equal(t, 22.4, dig(t, values, 0, "effect", "alcohol_g"))
	require.Equal(t, 26.9, dig(t, values, 1, "effect", "alcohol_g"))

	phone.do(obj{"do": "spec", "id": newID(30), "method": "shaken", "lines": []obj{{"typed": "60 ml gin, 40 %"}, {"typed": "20 ml lemon juice"}}})
	laptop = fork(t, phone)
	phone.do(obj{"do": "line", "id": newID(50), "spec": newID(30), "line": phone.line(newID(30), 0), "typed": "45 ml gin, 40 %"})
	laptop.do(obj{"do": "line", "id": newID(51), "spec": newID(30), "line": phone.line(newID(30), 0), "typed": "50 ml gin, 40 %"})
	phone.join(laptop)
	s := phone.ask(obj{"q": "spec", "id": newID(30)})
	require.Equal(t, 1.6, dig(t, s, "alcohol", "drinks"))
	require.Equal(t, 1.4, dig(t, s, "alcohol", "or_drinks"))
	require.Equal(t, 15.8, dig(t, s, "clashes", 0, "values", 0, "effect", "alcohol_g"))
	require.Greater(t, dig(t, s, "clashes", 0, "values", 1, "effect", "acid_percent"), dig(t, s, "clashes", 0, "values", 0, "effect", "acid_percent"))
}

func TestKeepBoth(t *testing.T) {
	phone := orchard(t, "phone")
	phone.do(obj{"do": "pour", "id": newID(40), "spec": sourID, "note": "first"})
	laptop := fork(t, phone)
	phone.do(obj{"do": "edit", "id": newID(40), "kind": "pour", "set": obj{"note": "Pear first", "score_x10": 80}})
	laptop.do(obj{"do": "edit", "id": newID(40), "kind": "pour", "set": obj{"note": "A touch loud", "score_x10": 70}})
	phone.join(laptop)
	clashes := dig(t, phone.ask(obj{"q": "clash", "id": newID(40)}), "clashes").([]any)
	require.Len(t, clashes, 2)
	require.Equal(t, "not_joinable", phone.refused(obj{"do": "keep_both", "id": newID(40), "field": "score_x10"}))
	phone.do(obj{"do": "keep_both", "id": newID(40), "field": "note"})
	require.Equal(t, "Pear first\n\nA touch loud", dig(t, phone.ask(obj{"q": "pour", "id": newID(40)}), "pour", "note"), "the older first")
	plan, err := phone.plan(obj{"do": "keep_both", "id": newID(40), "field": "note"})
	require.NoError(t, err)
	require.Empty(t, plan.Edits)
}

func TestKeeper(t *testing.T) {
	phone := orchard(t, "phone")
	phone.do(obj{"do": "spec", "id": newID(30), "parent": sourID, "name": "bitter", "lines": []obj{{"typed": "45 ml gin"}, {"typed": "5 ml gentian liqueur"}}})
	phone.do(obj{"do": "pour", "id": newID(40), "spec": sourID})
	laptop := fork(t, phone)
	phone.do(obj{"do": "delete", "id": newID(40)})
	phone.do(obj{"do": "delete", "id": newID(30)})
	phone.do(obj{"do": "delete", "id": clearPear})
	laptop.do(obj{"do": "edit", "id": newID(40), "kind": "pour", "set": obj{"note": "meanwhile"}})
	laptop.do(obj{"do": "line", "id": newID(50), "spec": newID(30), "line": laptop.line(newID(30), 0), "typed": "40 ml gin"})
	phone.join(laptop)
	a := phone.ask(obj{"q": "keeper"})
	require.Equal(t, obj{"drinks": 1.0, "specs": 1.0, "pours": 1.0, "bottles": 1.0}, a["counts"])
	var codes []string
	for _, n := range a["needs_look"].([]any) {
		codes = append(codes, dig(t, n, "code").(string)+" "+dig(t, n, "id").(string))
	}
	require.Equal(t, []string{
		"deleted_changed " + string(newID(40)), "deleted_changed " + string(phone.line(newID(30), 0)),
		"ingredient_deleted " + string(phone.line(sourID, 1)), "line_in_deleted_spec " + string(newID(30)),
	}, codes)
	trash := a["trash"].([]any)
	require.Len(t, trash, 2, "the spec and the ingredient; the spec's line is not listed by itself")
	require.Equal(t, "2026-05-15", dig(t, trash, 0, "day"))
	require.Equal(t, true, dig(t, phone.ask(obj{"q": "pour", "id": newID(40)}), "pour", "deleted_changed"))
	require.Contains(t, fmt.Sprint(trash), "bitter")
	require.Len(t, a["countries"], len(count.Countries()))

	phone.do(obj{"do": "delete", "id": sourDrink})
	phone.do(obj{"do": "delete", "id": sourID})
	laptop.do(obj{"do": "delete", "id": sourID})
	require.Contains(t, fmt.Sprint(laptop.ask(obj{"q": "keeper"})["needs_look"]), "benchmark_deleted")
}

// TestDangling: the other half may still be on another phone. Everything answers, and says what it can.
func TestDangling(t *testing.T) {
	full := orchard(t, "phone")
	done := full.do(obj{"do": "pour", "id": newID(40), "spec": sourID, "swap": obj{"line": full.line(sourID, 0), "ingredient": floral}})
	full.do(obj{"do": "plain", "id": newID(41), "name": "pint", "vol_ul": 568_000, "abv_bp": 450})
	questions := []obj{
		{"q": "tonight"}, {"q": "journal", "days": 7}, {"q": "pour", "id": newID(40)}, {"q": "specs"}, {"q": "spec", "id": sourID}, {"q": "spec", "id": done.Riff},
		{"q": "sheet", "spec": sourID}, {"q": "week"}, {"q": "bottles"}, {"q": "side"}, {"q": "keeper"}, {"q": "clash", "id": newID(40)},
	}
	for lost := range full.state.Entities() {
		part := newBook(t, "phone")
		for e := range full.state.Entities() {
			if e.ID != lost.ID {
				part.state.Adopt(e)
			}
		}
		for _, q := range questions {
			raw, err := json.Marshal(q)
			require.NoError(t, err)
			if _, err := schema.Ask(part, part.now, raw); err != nil {
				require.Equal(t, "not_found", refusal(t, err), "%v without %s", q, lost.ID)
				asked, _ := q["id"].(replica.ID)
				if asked == "" {
					asked, _ = q["spec"].(replica.ID)
				}
				require.Equal(t, lost.ID, asked, "only what is itself missing is not found")
			}
		}
	}
}

// TestNeverSaid: no answer has a place for an amount still allowed, for blood alcohol, for fitness to drive, for streaks.
func TestNeverSaid(t *testing.T) {
	b := orchard(t, "phone")
	b.do(obj{"do": "set", "name": "own_day_drinks_x10", "value": 20})
	b.do(obj{"do": "pour", "id": newID(40), "spec": sourID})
	var look func(any)
	look = func(v any) {
		switch v := v.(type) {
		case obj:
			for k, v := range v {
				if k != "left_ml" { // in a bottle
					require.Empty(t, testdata.NeverSaid(t, k), k)
				}
				look(v)
			}
		case []any:
			for _, v := range v {
				look(v)
			}
		}
	}
	for _, q := range []obj{{"q": "tonight"}, {"q": "week"}, {"q": "sheet", "spec": sourID}, {"q": "journal", "days": 7}, {"q": "pour", "id": newID(40)}, {"q": "keeper"}, {"q": "weeks", "n": 4}, {"q": "guesses"}} {
		look(b.ask(q))
	}
}
