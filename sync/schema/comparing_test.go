package schema_test

import (
	"encoding/csv"
	"encoding/json"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/schema"
	"fairmeasure/testdata"
)

var (
	gins   = newID(7000)
	second = newID(7001)
)

// study begins a comparison: three gins by two eaux-de-vie in the Orchard Sour.
func (b *book) study() {
	b.t.Helper()
	b.do(obj{"do": "edit", "id": second, "kind": "ingredient", "set": obj{"name": "smoky pear eau-de-vie", "abv_bp": 4500, "family": "fruit_spirit"}})
	gin, pear := b.line(sourID, 0), b.line(sourID, 1)
	b.do(obj{"do": "compare", "id": gins, "base": sourID, "name": "which gin, which pear", "lines": []any{gin, pear}, "candidates": []obj{
		{"line": gin, "ingredient": floral}, {"line": gin, "ingredient": citrusLed}, {"line": pear, "ingredient": second},
	}})
}

func compared(t testing.TB) *book {
	b := orchard(t, "phone")
	b.study()
	return b
}

func (b *book) findings() []obj {
	b.t.Helper()
	var out []obj
	for _, f := range dig(b.t, b.ask(obj{"q": "comparison", "id": gins}), "findings").([]any) {
		out = append(out, f.(obj))
	}
	return out
}

func (b *book) finding(names ...any) obj {
	b.t.Helper()
	for _, f := range b.findings() {
		if slices.Equal(f["names"].([]any), names) {
			return f
		}
	}
	b.t.Fatalf("no finding %v", names)
	return nil
}

// serve plans a flight of these pairings, the benchmark first, and gives its seats in order.
func (b *book) serve(id replica.ID, sight string, glasses int) []obj {
	b.t.Helper()
	var seats []obj
	for _, f := range b.findings() {
		if f["benchmark"].(bool) {
			seats = append([]obj{{"picks": f["picks"], "why": "benchmark"}}, seats...)
		} else if len(seats) < glasses-1 || len(seats) < glasses && slices.ContainsFunc(seats, func(s obj) bool { return s["why"] == "benchmark" }) {
			seats = append(seats, obj{"picks": f["picks"], "why": "own"})
		}
	}
	b.do(obj{"do": "flight", "id": id, "comparison": gins, "pour_ul": 15_000, "seed": "77", "sight": sight, "seats": seats})
	return b.seats(id)
}

func (b *book) seats(flight replica.ID) (all []obj) {
	for _, s := range dig(b.t, b.ask(obj{"q": "flight", "id": flight}), "seats").([]any) {
		all = append(all, s.(obj))
	}
	return all
}

// uncover finds the glasses of a half-blind flight as they were planned, moved on by so many places.
func (b *book) uncover(flight replica.ID, moved ...int) {
	b.t.Helper()
	b.do(obj{"do": "uncover", "id": flight, "codes": b.codes(flight, moved...)})
}

// codes gives the codes of a flight by place, moved on by so many places.
func (b *book) codes(flight replica.ID, moved ...int) (codes []any) {
	for _, s := range b.seats(flight) {
		codes = append(codes, s["code"])
	}
	for _, by := range moved {
		codes = append(codes[by:], codes[:by]...)
	}
	return codes
}

func TestCompare(t *testing.T) {
	b := compared(t)
	a := b.ask(obj{"q": "comparison", "id": gins})
	require.Equal(t, "Orchard Sour", a["drink_name"])
	require.EqualValues(t, 6, a["pairings"])
	require.Len(t, a["findings"], 6)
	require.Equal(t, "none_yet", dig(t, a, "say", 0, "code"))
	require.Nil(t, dig(t, a, "findings", 0, "d"))
	require.Equal(t, true, dig(t, a, "swaps", 0, "effects", 0, "benchmark"))
	row := b.ask(obj{"q": "comparisons"})
	require.Equal(t, []any{3.0, 2.0}, dig(t, row, "rows", 0, "candidates"))
	require.Equal(t, string(sourID), dig(t, row, "drinks", 0, "base"))
	require.Empty(t, must(b.plan(obj{"do": "compare", "id": gins, "base": sourID, "lines": []any{b.line(sourID, 0)}})).Edits, "a repeat makes nothing")
	b.do(obj{"do": "candidate", "id": newID(7100), "swap": dig(t, a, "swaps", 0, "id"), "name": "navy gin, 57 %"})
	require.Contains(t, dig(t, b.ask(obj{"q": "comparison", "id": gins}), "swaps", 0, "effects", 1), "d")
	require.Len(t, b.findings(), 8)
	require.Equal(t, "not_found", b.refused(obj{"do": "compare", "id": newID(7101), "base": sourID, "lines": []any{juniper}}))
}

func must(p schema.Plan, err error) schema.Plan {
	if err != nil {
		panic(err)
	}
	return p
}

// TestQuietSuggestsNothing: with the quiet switch on an untasted pairing is predicted at most, on the screen and in the table.
func TestQuietSuggestsNothing(t *testing.T) {
	b := compared(t)
	b.do(obj{"do": "pour", "id": newID(7150), "spec": sourID, "score_x10": 70})
	b.do(obj{"do": "pour", "id": newID(7151), "spec": sourID, "swap": obj{"line": b.line(sourID, 0), "ingredient": floral}, "score_x10": 90})
	require.Equal(t, "worth_trying", b.finding("soft floral gin", "smoky pear eau-de-vie")["verdict"])
	require.Contains(t, b.ask(obj{"q": "comparison", "id": gins})["csv"], "worth_trying")
	b.do(obj{"do": "set", "name": "quiet", "value": true})
	require.Equal(t, "predicted", b.finding("soft floral gin", "smoky pear eau-de-vie")["verdict"])
	require.NotContains(t, b.ask(obj{"q": "comparison", "id": gins})["csv"], "worth_trying")
}

// TestScoredPoursAreTastings holds cases C084 and C085: a spec counts when nothing but swapped lines changed.
func TestScoredPoursAreTastings(t *testing.T) {
	b := compared(t)
	b.do(obj{"do": "pour", "id": newID(7200), "spec": sourID, "score_x10": 70})
	b.do(obj{"do": "pour", "id": newID(7201), "spec": sourID, "swap": obj{"line": b.line(sourID, 0), "ingredient": floral}, "score_x10": 85, "tags": []string{"pear"}})
	f := b.finding("soft floral gin", "pear eau-de-vie")
	require.Equal(t, []any{85.0}, f["scores_x10"])
	require.Greater(t, f["d"], 0.0)
	require.Equal(t, true, f["not_blind"])

	t.Run("C085", func(t *testing.T) { // the amount of the swapped line too: two things changed
		lines := b.ask(obj{"q": "spec", "id": sourID})["lines"].([]any)
		all := []obj{{"typed": "1 oz soft floral gin", "ingredient": floral}}
		for _, l := range lines[1:] {
			all = append(all, obj{"keep": dig(t, l, "id"), "typed": dig(t, l, "typed")})
		}
		b.do(obj{"do": "spec", "id": newID(7202), "parent": sourID, "drink": sourDrink, "method": "shaken", "ice": "cubes", "glass": "coupe", "garnish": "bay leaf", "lines": all})
		b.do(obj{"do": "pour", "id": newID(7203), "spec": newID(7202), "score_x10": 20})
		require.Equal(t, []any{85.0}, b.finding("soft floral gin", "pear eau-de-vie")["scores_x10"])
	})
	t.Run("C084", func(t *testing.T) { // what it is served in changes nothing
		riff := replica.ID(f["spec"].(string))
		b.do(obj{"do": "edit", "id": riff, "kind": "spec", "set": obj{"garnish": "lemon peel", "glass": "flute"}})
		require.Equal(t, []any{85.0}, b.finding("soft floral gin", "pear eau-de-vie")["scores_x10"])
	})
	t.Run("someone else's", func(t *testing.T) {
		b.do(obj{"do": "pour", "id": newID(7204), "spec": sourID, "score_x10": 0, "share_bp": 0})
		require.EqualValues(t, 2, b.ask(obj{"q": "comparison", "id": gins})["scored"])
	})
	for _, e := range dig(t, b.ask(obj{"q": "comparison", "id": gins}), "swaps", 0, "effects").([]any) {
		if dig(t, e, "name") == "soft floral gin" {
			require.Equal(t, "pear", dig(t, e, "terms", 0, "term"))
		}
	}
}

// TestFlight holds case C083: codes of three different digits that are not told before the scores.
func TestFlight(t *testing.T) {
	b := compared(t)
	flight := newID(7300)
	seats := b.serve(flight, "blind", 3)
	require.Len(t, seats, 3)
	firsts := map[int]bool{}
	for i, s := range seats {
		code := int(s["code"].(float64))
		require.EqualValues(t, i+1, s["pos"])
		require.True(t, code >= 102 && code <= 987 && !firsts[code/100], code)
		require.True(t, code/100 != code/10%10 && code/10%10 != code%10 && code/100 != code%10, code)
		firsts[code/100] = true
	}
	hiddenIn := func() {
		raw, err := json.Marshal(b.ask(obj{"q": "flight", "id": flight})["seats"])
		require.NoError(t, err)
		for _, word := range []string{"gin", "pear", string(juniper), string(floral), string(citrusLed), string(clearPear), string(second)} {
			require.NotContains(t, string(raw), word)
		}
		require.Equal(t, 3, strings.Count(string(raw), `"benchmark":false,"code":`)) // of each seat
		require.Equal(t, 3, strings.Count(string(raw), `"d":null`))
	}
	hiddenIn()
	for i, s := range seats {
		before := b.ask(obj{"q": "flight", "id": flight})
		require.Equal(t, false, before["revealed"])
		require.EqualValues(t, i+1, before["next"])
		require.Zero(t, b.ask(obj{"q": "comparison", "id": gins})["scored"], "nothing leaks by way of the findings")
		b.do(obj{"do": "taste", "id": newID(7310 + i), "seat": s["id"], "score_x10": 60 + 10*i, "tags": []string{"long"}})
		if i < 2 {
			hiddenIn()
		}
	}
	after := b.ask(obj{"q": "flight", "id": flight})
	require.Equal(t, true, after["revealed"])
	require.Nil(t, after["next"])
	require.Len(t, dig(t, after, "seats", 0, "names"), 2)
	require.EqualValues(t, 3, b.ask(obj{"q": "comparison", "id": gins})["scored"])
	own := slices.IndexFunc(b.findings(), func(f obj) bool { return f["benchmark"].(bool) })
	at := slices.IndexFunc(b.seats(flight), func(s obj) bool { return s["benchmark"].(bool) })
	require.Equal(t, b.findings()[own]["names"], b.seats(flight)[at]["names"])
	for i, s := range b.seats(flight) { // they were scored 6, 7 and 8, in this order
		if i == at {
			require.Nil(t, s["d"])
			continue
		}
		require.False(t, s["benchmark"].(bool))
		require.EqualValues(t, i-at, s["d"])
	}
	for i := range seats {
		p := b.ask(obj{"q": "pour", "id": newID(7310 + i)})
		require.InDelta(t, 15, p["volume_ml"], 0.05, "the finished glass has the size of the flight")
	}
	require.Len(t, schema.Read(b, b.now).Specs(), 3, "the base and a riff for each other pairing")

	t.Run("an edit", func(t *testing.T) {
		d := b.do(obj{"do": "taste", "id": newID(7320), "seat": seats[0]["id"], "score_x10": 95, "tags": []string{"silky"}})
		require.Equal(t, newID(7310), d.Made)
		require.EqualValues(t, 95, dig(t, b.ask(obj{"q": "flight", "id": flight}), "seats", 0, "score_x10"))
		require.Equal(t, []any{"silky"}, dig(t, b.ask(obj{"q": "flight", "id": flight}), "seats", 0, "tags"))
		require.Equal(t, 3, poursOf(b))
	})
	t.Run("undone", func(t *testing.T) {
		b.do(obj{"do": "delete", "id": newID(7310)})
		require.Nil(t, dig(t, b.ask(obj{"q": "flight", "id": flight}), "seats", 0, "pour"))
		b.do(obj{"do": "taste", "id": newID(7321), "seat": seats[0]["id"], "score_x10": 40})
		require.EqualValues(t, 40, dig(t, b.ask(obj{"q": "flight", "id": flight}), "seats", 0, "score_x10"))
	})
	t.Run("others", func(t *testing.T) {
		grams := dig(t, b.ask(obj{"q": "week"}), "last_seven", "totals", "alcohol", "grams")
		b.do(obj{"do": "rate", "id": newID(7330), "seat": seats[1]["id"], "taster": "Friend", "score_x10": 90})
		b.do(obj{"do": "rate", "id": newID(7331), "seat": seats[1]["id"], "taster": "friend", "score_x10": 80, "note": "long"})
		require.Equal(t, []any{obj{"taster": "Friend", "score_x10": 80.0, "note": "long"}}, dig(t, b.ask(obj{"q": "flight", "id": flight}), "seats", 1, "ratings"))
		a := b.ask(obj{"q": "comparison", "id": gins})
		require.EqualValues(t, 1, dig(t, a, "panel", 0, "n"))
		require.EqualValues(t, 3, a["scored"])
		require.Equal(t, grams, dig(t, b.ask(obj{"q": "week"}), "last_seven", "totals", "alcohol", "grams"))
	})
	t.Run("ended and taken back", func(t *testing.T) {
		for _, state := range []string{"end", "resume", "resume", "end"} {
			b.do(obj{"do": "flight_state", "id": flight, "state": state})
			want := map[string]string{"end": "ended", "resume": "running"}[state]
			require.Equal(t, want, b.ask(obj{"q": "flight", "id": flight})["state"], state)
		}
	})
	t.Run("stored, not made again", func(t *testing.T) {
		b.do(obj{"do": "candidate", "id": newID(7340), "swap": dig(t, b.ask(obj{"q": "comparison", "id": gins}), "swaps", 0, "id"), "name": "navy gin, 57 %"})
		for i, s := range b.seats(flight) {
			require.Equal(t, seats[i]["code"], s["code"])
			require.Equal(t, seats[i]["id"], s["id"])
		}
	})
}

func poursOf(b *book) (n int) {
	b.Each("pour", func(e *replica.Entity) bool {
		if replica.Deleted(e) != replica.Hidden {
			n++
		}
		return true
	})
	return n
}

func (b *book) planned(glasses int, ul int) obj {
	return b.ask(obj{"q": "plan", "id": gins, "glasses": glasses, "pour_ul": ul, "seed": "5"})
}

func flightOf(plan obj, id replica.ID, ul int) obj {
	var seats []obj
	for _, s := range plan["seats"].([]any) {
		seats = append(seats, obj{"picks": s.(obj)["picks"], "why": s.(obj)["why"]})
	}
	return obj{"do": "flight", "id": id, "comparison": gins, "pour_ul": ul, "seed": "5", "sight": "blind", "seats": seats}
}

func TestFlightBudget(t *testing.T) {
	b := compared(t)
	p := b.planned(3, 20_000)
	require.Equal(t, true, p["fits"])
	require.Equal(t, "usual", p["limit_from"])
	require.Equal(t, "benchmark", dig(t, p, "seats", 0, "why"))
	b.do(obj{"do": "set", "name": "own_day_drinks_x10", "value": 5})
	require.Equal(t, false, b.planned(3, 20_000)["fits"])
	require.Equal(t, "own_day", b.planned(3, 20_000)["limit_from"])
	require.Equal(t, "over_limit", b.refused(flightOf(p, newID(7400), 20_000)))
	b.do(obj{"do": "set", "name": "own_day_drinks_x10", "value": nil})

	b.do(obj{"do": "edit", "id": floral, "kind": "ingredient", "set": obj{"abv_bp": nil}})
	p = b.planned(6, 5_000)
	require.Equal(t, false, p["fits"])
	require.Equal(t, []any{"soft floral gin"}, p["unknown"])
	require.Equal(t, "strength_unknown", b.refused(flightOf(p, newID(7401), 5_000)))

	t.Run("something dated ahead", func(t *testing.T) { // does not make today's drinks count for less
		b := compared(t)
		b.do(obj{"do": "plain", "id": newID(7405), "name": "wine", "vol_ul": 200_000, "abv_bp": 1250, "at_ms": evening - 300*minute})
		b.do(obj{"do": "plain", "id": newID(7406), "name": "soda", "vol_ul": 200_000, "abv_bp": 0, "at_ms": evening + 20*60*minute})
		require.Greater(t, dig(t, b.planned(2, 15_000), "today", "drinks"), 1.5)
		require.Equal(t, false, b.planned(2, 15_000)["fits"])
	})
	t.Run("a glass is always recorded", func(t *testing.T) {
		b := compared(t)
		seats := b.serve(newID(7410), "sighted", 2)
		b.do(obj{"do": "plain", "id": newID(7411), "name": "pint", "vol_ul": 568_000, "abv_bp": 900})
		b.do(obj{"do": "plain", "id": newID(7412), "name": "pint", "vol_ul": 568_000, "abv_bp": 900})
		require.Equal(t, false, b.planned(2, 15_000)["fits"])
		b.do(obj{"do": "delete", "id": gins})
		b.do(obj{"do": "delete", "id": floral, "also": []any{sourID}})
		b.do(obj{"do": "taste", "id": newID(7413), "seat": seats[0]["id"], "score_x10": 70})
		require.Equal(t, 3, poursOf(b))
		b.do(obj{"do": "restore", "id": gins})
		require.Len(t, b.seats(newID(7410)), 2, "what went with it came back")
	})
}

func TestAnchors(t *testing.T) {
	b := compared(t)
	says := func() (codes []string) {
		for _, s := range b.ask(obj{"q": "comparison", "id": gins})["say"].([]any) {
			codes = append(codes, s.(obj)["code"].(string))
		}
		return codes
	}
	b.do(obj{"do": "anchor", "id": newID(7600), "comparison": gins, "anchor_x10": 95, "at_ms": evening - 100*minute})
	require.Contains(t, says(), "ask_anchor")
	for i, s := range b.serve(newID(7601), "blind", 2) {
		b.do(obj{"do": "taste", "id": newID(7602 + i), "seat": s["id"], "score_x10": 100})
	}
	before := b.finding("soft floral gin", "pear eau-de-vie")
	b.now.MS += 10 * minute
	b.do(obj{"do": "anchor", "id": newID(7610), "comparison": gins, "anchor_x10": 70, "drunk": true})
	require.NotContains(t, says(), "ask_anchor")
	a := b.ask(obj{"q": "comparison", "id": gins})
	require.Len(t, a["anchors"], 2)
	require.EqualValues(t, 70, a["anchor_x10"])
	for _, f := range b.findings() {
		if f["tasted"].(float64) > 0 {
			require.Equal(t, []any{100.0}, f["scores_x10"], "what was given stays")
			require.Equal(t, []any{75.0}, f["todays_x10"])
			require.Equal(t, true, f["at_ceiling"])
		}
	}
	require.NotNil(t, before)
	for i, s := range b.serve(newID(7620), "half", 2) {
		b.do(obj{"do": "taste", "id": newID(7621 + i), "seat": s["id"], "score_x10": 40})
	}
	require.NotContains(t, says(), "ask_anchor", "which glass it was is not told yet")
	b.uncover(newID(7620))
	require.Contains(t, says(), "ask_anchor", "a hidden pour of the benchmark is three points off")
}

// TestComparisonConverges: who wrote what, in which order it arrives, and on which device it is asked, changes nothing.
func TestComparisonConverges(t *testing.T) {
	a, b := compared(t), newBook(t, "laptop")
	a.join(b)
	swap := dig(t, a.ask(obj{"q": "comparison", "id": gins}), "swaps", 0, "id")
	a.do(obj{"do": "candidate", "id": newID(7700), "swap": swap, "ingredient": "stock.overproof_rum"})
	b.do(obj{"do": "candidate", "id": newID(7701), "swap": swap, "ingredient": "stock.overproof_rum"})
	gin := a.line(sourID, 0)
	a.do(obj{"do": "pour", "id": newID(7702), "spec": sourID, "swap": obj{"line": gin, "ingredient": floral}, "score_x10": 80})
	b.do(obj{"do": "pour", "id": newID(7703), "spec": sourID, "swap": obj{"line": gin, "ingredient": floral}, "score_x10": 70})
	b.do(obj{"do": "pour", "id": newID(7704), "spec": sourID, "score_x10": 60})
	a.join(b)
	require.Len(t, a.findings(), 8, "the candidate counts once")
	f := a.finding("soft floral gin", "pear eau-de-vie")
	require.EqualValues(t, 2, f["tasted"], "and so does the riff")
	require.Equal(t, a.ask(obj{"q": "comparison", "id": gins}), b.ask(obj{"q": "comparison", "id": gins}))

	// The same pours written in any order.
	want := []byte(nil)
	for seed := range uint64(4) {
		c := compared(t)
		var pours []obj
		for i := range 6 {
			pours = append(pours, obj{
				"do": "pour", "id": newID(7710 + i), "spec": sourID, "swap": obj{"line": c.line(sourID, 0), "ingredient": []replica.ID{juniper, floral, citrusLed}[i%3]},
				"score_x10": 50 + 5*i, "at_ms": evening - int64(i)*1500*minute,
			})
		}
		rand.New(rand.NewPCG(seed, 1)).Shuffle(len(pours), func(i, k int) { pours[i], pours[k] = pours[k], pours[i] })
		for _, p := range pours {
			c.do(p)
		}
		out := c.ask(obj{"q": "comparison", "id": gins})
		for _, f := range out["findings"].([]any) {
			delete(f.(obj), "spec") // which of two riffs was made first is another matter
		}
		got, err := json.Marshal(out)
		require.NoError(t, err)
		if want == nil {
			want = got
		}
		require.Equal(t, string(want), string(got))
	}
}

func TestDeletedThingsStillCompare(t *testing.T) {
	b := compared(t)
	b.do(obj{"do": "pour", "id": newID(7800), "spec": sourID, "swap": obj{"line": b.line(sourID, 0), "ingredient": floral}, "score_x10": 80})
	riff := b.finding("soft floral gin", "pear eau-de-vie")["spec"]
	b.do(obj{"do": "delete", "id": floral})
	b.do(obj{"do": "delete", "id": riff})
	require.EqualValues(t, 1, b.finding("soft floral gin", "pear eau-de-vie")["tasted"])
	b.do(obj{"do": "delete", "id": sourID})
	require.EqualValues(t, 1, b.finding("soft floral gin", "pear eau-de-vie")["tasted"])
	require.Len(t, b.planned(3, 15_000)["seats"], 3)
}

// TestTrials holds cases C080 to C082: chances by the binomial distribution.
func TestTrials(t *testing.T) {
	for id, hit := range map[string]string{"C080": "found", "C081": "found", "C082": "a"} {
		row := testdata.Row(t, "cases/compare_cases.csv", "id", id)
		var c struct {
			N       int     `json:"n"`
			Correct int     `json:"correct"`
			PreferA int     `json:"prefer_a"`
			P       float64 `json:"p"`
			TwoSide float64 `json:"p_two_sided"`
			Verdict string  `json:"verdict"`
		}
		require.NoError(t, json.Unmarshal([]byte(row["input"]), &c))
		require.NoError(t, json.Unmarshal([]byte(row["expected"]), &c))
		sort, miss := "triangle", "missed"
		if hit == "a" {
			sort, miss = "paired", "b"
		}
		t.Run(id, func(t *testing.T) {
			b := compared(t)
			all := b.findings()
			for i := range c.N {
				outcome := hit
				if i >= c.Correct+c.PreferA {
					outcome = miss
				}
				x, y := all[0]["picks"], all[1]["picks"]
				if i%2 == 1 { // whichever of them was named first
					x, y = y, x
					switch outcome {
					case "a":
						outcome = "b"
					case "b":
						outcome = "a"
					}
				}
				b.do(obj{"do": "trial", "id": newID(7900 + i), "comparison": gins, "sort": sort, "a": x, "b": y, "outcome": outcome})
			}
			row := dig(t, b.ask(obj{"q": "comparison", "id": gins}), "trials", 0)
			require.EqualValues(t, c.N, dig(t, row, "n"))
			require.EqualValues(t, c.Correct+c.PreferA, dig(t, row, "first"))
			require.InDelta(t, 100*(c.P+c.TwoSide), dig(t, row, "chance_percent"), 0.5)
			require.Equal(t, c.Verdict == "a difference is likely", dig(t, row, "shown"))
		})
	}
	b := compared(t)
	all := b.findings()
	for i := range 3 {
		b.do(obj{"do": "trial", "id": newID(7950 + i), "comparison": gins, "sort": "preferred", "a": all[1]["picks"], "b": all[0]["picks"], "outcome": "a"})
	}
	a := b.ask(obj{"q": "comparison", "id": gins})
	require.Equal(t, all[1]["picks"], dig(t, a, "choices", 0, "picks"))
	require.Greater(t, dig(t, a, "choices", 0, "ability"), dig(t, a, "choices", 1, "ability"))
	require.Equal(t, "bad_picks", b.refused(obj{"do": "trial", "id": newID(7960), "comparison": gins, "sort": "paired", "a": all[0]["picks"], "b": all[0]["picks"], "outcome": "a"}))
}

// TestTrialsAreDrawn: which glass holds which comes from the seed alone, with what a choice comes to.
func TestTrialsAreDrawn(t *testing.T) {
	b := newBook(t, "phone")
	require.Equal(t, obj{
		"glasses": []any{
			obj{"code": 862.0, "of": "b", "outcome": "missed"}, obj{"code": 425.0, "of": "a", "outcome": "found"}, obj{"code": 708.0, "of": "b", "outcome": "missed"},
		},
		"fewest": 3.0,
		"needed": []any{obj{"agree": 3.0, "of": 3.0}, obj{"agree": 4.0, "of": 5.0}, obj{"agree": 5.0, "of": 7.0}},
	}, b.ask(obj{"q": "trial", "of": "triangle", "seed": "42", "n": 0}))
	for word, bad := range map[string]obj{
		"unknown_word": {"q": "trial", "of": "duo", "seed": "42", "n": 0},
		"bad_seed":     {"q": "trial", "of": "paired", "seed": "x", "n": 0},
		"out_of_range": {"q": "trial", "of": "paired", "seed": "42", "n": 10_001},
	} {
		require.Equal(t, word, b.askRefused(bad))
	}
	require.Equal(t, "out_of_range", b.askRefused(obj{"q": "trial", "of": "paired", "seed": "42", "n": -1}))
}

// TestAFlightNeedsOneMeasure: a drink of millilitres and parts without a size cannot be poured small, planned or written.
func TestAFlightNeedsOneMeasure(t *testing.T) {
	b := newBook(t, "phone")
	b.do(obj{"do": "spec", "id": newID(10), "drink_name": "half measured", "method": "shaken", "lines": []obj{{"typed": "60 ml gin"}, {"typed": "1 part lime juice"}}})
	b.do(obj{"do": "compare", "id": gins, "base": newID(10), "lines": []any{b.line(newID(10), 0)}, "candidates": []obj{{"line": b.line(newID(10), 0), "name": "rum, 40 %"}}})
	plan := obj{"q": "plan", "id": gins, "glasses": 2, "pour_ul": 15_000, "seed": "5"}
	require.Equal(t, "parts_beside_amounts", b.askRefused(plan))
	seats := []obj{}
	for _, f := range b.findings() {
		seats = append(seats, obj{"picks": f["picks"], "why": "own"})
	}
	flight := obj{"do": "flight", "id": newID(8200), "comparison": gins, "pour_ul": 15_000, "seed": "5", "sight": "blind", "seats": seats}
	require.Equal(t, "parts_beside_amounts", b.refused(flight))
	b.do(obj{"do": "edit", "kind": "spec", "id": newID(10), "set": obj{"part_ul": 22_500}})
	require.Len(t, b.ask(plan)["seats"], 2)
	b.do(flight)
}

func TestFindingsTable(t *testing.T) {
	b := compared(t)
	b.do(obj{"do": "edit", "id": floral, "kind": "ingredient", "set": obj{"name": `floral "spring" gin, mild`}})
	b.do(obj{"do": "pour", "id": newID(8000), "spec": sourID, "score_x10": 80})
	b.do(obj{"do": "pour", "id": newID(8001), "spec": sourID, "swap": obj{"line": b.line(sourID, 0), "ingredient": floral}, "score_x10": 45})
	rows, err := csv.NewReader(strings.NewReader(b.ask(obj{"q": "comparison", "id": gins})["csv"].(string))).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 7)
	at := slices.IndexFunc(rows, func(r []string) bool { return r[0] == `floral "spring" gin, mild + pear eau-de-vie` })
	require.Positive(t, at)
	require.Equal(t, "4.5", rows[at][4])
	require.True(t, strings.HasPrefix(rows[at][6], "-"), "a number is a number: %q", rows[at][6])
}

func TestBenched(t *testing.T) {
	b := compared(t)
	effect := dig(t, b.ask(obj{"q": "comparison", "id": gins}), "swaps", 0, "effects", 1).(obj)
	b.do(obj{"do": "edit", "id": effect["candidate"], "kind": "candidate", "set": obj{"benched": true}})
	for _, s := range b.planned(6, 10_000)["seats"].([]any) {
		require.NotContains(t, dig(t, s, "names"), effect["name"])
	}
	b.do(obj{"do": "candidate", "id": newID(8100), "swap": dig(t, b.ask(obj{"q": "comparison", "id": gins}), "swaps", 0, "id"), "ingredient": effect["ingredient"]})
	require.Equal(t, false, dig(t, b.ask(obj{"q": "comparison", "id": gins}), "swaps", 0, "effects", 1, "benched"), "naming it again takes it off the bench")
}

func FuzzPicks(f *testing.F) {
	for _, s := range []string{"", "a b", "a b\nc d", "a b\na c", "a b\n", " ", "a  b", "01KRPZ00000000000000000001 stock.gin"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if picks, ok := schema.ParsePicks(text); ok {
			require.Equal(t, text, schema.PicksText(picks))
		}
	})
}
