package schema_test

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/replica"
)

// TestHalfBlind: who pours for themselves and shuffles scores places, and tells at the end which code stood under each.
func TestHalfBlind(t *testing.T) {
	b := compared(t)
	flight := newID(8300)
	b.serve(flight, "half", 3)
	planned := map[any]any{} // what was poured under each code
	for _, k := range dig(t, b.ask(obj{"q": "flight", "id": flight}), "key").([]any) {
		planned[dig(t, k, "code")] = dig(t, k, "names")
	}
	state := func() (revealed, uncover any) {
		f := b.ask(obj{"q": "flight", "id": flight})
		return f["revealed"], f["uncover"]
	}
	codes := b.codes(flight, 1)
	require.Equal(t, "still_tasting", b.refused(obj{"do": "uncover", "id": flight, "codes": codes}))
	for i, s := range b.seats(flight) {
		revealed, uncover := state()
		require.Equal(t, []any{false, false}, []any{revealed, uncover})
		b.do(obj{"do": "taste", "id": newID(8301 + i), "seat": s["id"], "score_x10": 60 + 10*i, "share_bp": 5000, "note": "place " + string(rune('1'+i))})
	}
	revealed, uncover := state()
	require.Equal(t, []any{false, true}, []any{revealed, uncover})
	require.Zero(t, b.ask(obj{"q": "comparison", "id": gins})["scored"], "nobody knows yet what was scored")
	for _, s := range b.seats(flight) {
		require.Empty(t, s["names"])
	}

	t.Run("refused", func(t *testing.T) {
		other := newBook(t, "laptop")
		b.join(other)
		b := other
		for _, wrong := range [][]any{{}, {codes[0], codes[1]}, {codes[0], codes[1], codes[1]}, {codes[0], codes[1], 999}, {codes[0], codes[1], codes[2], codes[0]}} {
			require.Equal(t, "codes_wrong", b.refused(obj{"do": "uncover", "id": flight, "codes": wrong}))
		}
		require.Equal(t, "not_found", b.refused(obj{"do": "uncover", "id": gins, "codes": codes}))
		b.serve(newID(8310), "blind", 2)
		require.Equal(t, "not_half", b.refused(obj{"do": "uncover", "id": newID(8310), "codes": b.codes(newID(8310))}))
	})
	grams := dig(t, b.ask(obj{"q": "tonight"}), "session", "totals", "alcohol", "grams")
	b.do(obj{"do": "uncover", "id": flight, "codes": codes})
	revealed, uncover = state()
	require.Equal(t, []any{true, false}, []any{revealed, uncover})
	require.InDelta(t, grams, dig(t, b.ask(obj{"q": "tonight"}), "session", "totals", "alcohol", "grams"), 0.11)
	require.EqualValues(t, 3, b.ask(obj{"q": "comparison", "id": gins})["scored"])
	check := func(codes []any) {
		t.Helper()
		for i, s := range b.seats(flight) {
			names := s["names"].([]any)
			require.Equal(t, codes[i], s["code"])
			require.Equal(t, planned[codes[i]], s["names"])
			require.EqualValues(t, 60+10*i, s["score_x10"], "the score stays with its place")
			require.Equal(t, []any{s["score_x10"]}, b.finding(names...)["scores_x10"])
			p := b.ask(obj{"q": "pour", "id": s["pour"]})
			require.Equal(t, b.finding(names...)["spec"], dig(t, p, "pour", "spec"))
			require.EqualValues(t, 5000, dig(t, p, "pour", "share_bp"))
			require.Equal(t, names, []any{dig(t, p, "lines", 0, "name"), dig(t, p, "lines", 1, "name")}, "and the glass is what stood there")
		}
	}
	check(codes)
	require.Empty(t, must(b.plan(obj{"do": "uncover", "id": flight, "codes": codes})).Edits, "a repeat is nothing")
	t.Run("a slip", func(t *testing.T) { // a code misread can be told again
		slices.Reverse(codes)
		b.do(obj{"do": "uncover", "id": flight, "codes": codes})
		check(codes)
	})
}

// TestHalfBlindEndedEarly: what was tasted is uncovered, and what was not tells nothing.
func TestHalfBlindEndedEarly(t *testing.T) {
	b := compared(t)
	seats := b.serve(newID(8320), "half", 4)
	b.do(obj{"do": "taste", "id": newID(8321), "seat": seats[2]["id"], "score_x10": 80})
	b.do(obj{"do": "flight_state", "id": newID(8320), "state": "end"})
	f := b.ask(obj{"q": "flight", "id": newID(8320)})
	require.Equal(t, []any{false, true}, []any{f["revealed"], f["uncover"]})
	codes := b.codes(newID(8320), 2)
	b.do(obj{"do": "uncover", "id": newID(8320), "codes": codes})
	s := b.seats(newID(8320))[2]
	require.Equal(t, codes[2], s["code"])
	require.Equal(t, []any{80.0}, b.finding(s["names"].([]any)...)["scores_x10"])

	b.serve(newID(8330), "half", 2)
	b.do(obj{"do": "flight_state", "id": newID(8330), "state": "end"})
	f = b.ask(obj{"q": "flight", "id": newID(8330)})
	require.Equal(t, []any{true, false}, []any{f["revealed"], f["uncover"]}, "nothing was tasted, so there is nothing to look up")
}

// TestUncoveredTwice: two devices that tell the same, or not the same, agree afterwards, and no score is lost.
func TestUncoveredTwice(t *testing.T) {
	for name, told := range map[string]struct{ moved, later int }{"alike": {1, 1}, "differently, the first last": {2, -1}, "differently, the other last": {2, 1}} {
		t.Run(name, func(t *testing.T) {
			a, b := compared(t), newBook(t, "laptop")
			flight := newID(8340)
			seats := a.serve(flight, "half", 3)
			a.join(b)
			for i, s := range seats[:2] {
				a.do(obj{"do": "taste", "id": newID(8341 + i), "seat": s["id"], "score_x10": 60 + 10*i})
			}
			a.join(b)
			for _, one := range []*book{a, b} {
				one.do(obj{"do": "flight_state", "id": flight, "state": "end"})
			}
			// One of them has a glass on record that the other does not know of.
			b.do(obj{"do": "taste", "id": newID(8343), "seat": seats[2]["id"], "score_x10": 80})
			b.now.MS += int64(told.later) * minute
			b.uncover(flight, told.moved)
			last := a.codes(flight, 1)
			if told.later > 0 {
				last = b.codes(flight)
			}
			a.uncover(flight, 1)
			a.join(b)
			b.now = a.now
			require.Equal(t, last, a.codes(flight))
			require.Equal(t, a.ask(obj{"q": "comparison", "id": gins}), b.ask(obj{"q": "comparison", "id": gins}))
			require.Equal(t, a.ask(obj{"q": "flight", "id": flight}), b.ask(obj{"q": "flight", "id": flight}))
			require.EqualValues(t, 3, a.ask(obj{"q": "comparison", "id": gins})["scored"])
			codes := map[any]bool{}
			for i, s := range a.seats(flight) {
				codes[s["code"]] = true
				require.EqualValues(t, 60+10*i, s["score_x10"])
				require.Equal(t, []any{s["score_x10"]}, a.finding(s["names"].([]any)...)["scores_x10"])
			}
			require.Len(t, codes, 3, "one word holds for all glasses")
		})
	}
}

// TestTwoGlassesOfOneSeatAreUncovered: two devices apart have each put a glass of one seat on record. What stood there is a
// version nobody has made yet: it is made once, for both.
func TestTwoGlassesOfOneSeatAreUncovered(t *testing.T) {
	a, b := ginsAndMore(t), newBook(t, "laptop")
	flight := newID(8350)
	seats := a.serve(flight, "half", 3)
	a.join(b)
	b.now = a.now
	a.do(obj{"do": "taste", "id": newID(8351), "seat": seats[0]["id"], "score_x10": 60})
	b.do(obj{"do": "taste", "id": newID(8352), "seat": seats[0]["id"], "score_x10": 70})
	a.join(b)
	a.do(obj{"do": "flight_state", "id": flight, "state": "end"})
	for _, moved := range []int{1, 2} { // and a slip is told again
		codes := a.codes(flight, moved)
		a.do(obj{"do": "uncover", "id": flight, "codes": codes})
		first := a.seats(flight)[0]
		require.Equal(t, codes[0], first["code"])
		stood := a.finding(first["names"].([]any)...)["spec"]
		for _, id := range []int{8351, 8352} {
			require.Equal(t, stood, dig(t, a.ask(obj{"q": "pour", "id": newID(id)}), "pour", "spec"))
		}
	}
}

// TestVeil: as long as a blind flight runs, no screen tells what is in its glasses.
func TestVeil(t *testing.T) {
	for _, sight := range []string{"blind", "half"} {
		t.Run(sight, func(t *testing.T) {
			b := compared(t)
			b.do(obj{"do": "pour", "id": newID(8400), "spec": sourID, "score_x10": 70, "at_ms": evening - 3000*minute})
			before := b.ask(obj{"q": "specs"})
			seats := b.serve(newID(8401), sight, 3)
			var pours []replica.ID
			for i, s := range seats[:2] {
				pours = append(pours, newID(8402+i))
				b.do(obj{"do": "taste", "id": pours[i], "seat": s["id"], "score_x10": 95, "note": "first words"})
			}
			told := func(q obj) string {
				raw, err := json.Marshal(b.ask(q))
				require.NoError(t, err)
				return string(raw)
			}
			shown := []obj{
				{"q": "journal"}, {"q": "week"}, {"q": "pour", "id": pours[0]}, {"q": "pour", "id": pours[1]},
				{"q": "table", "of": "pours", "from": "2026-05-15", "to": "2026-05-16"}, {"q": "clash", "id": pours[0]},
			}
			for _, q := range shown {
				for _, word := range []string{"floral", "citrus", "smoky", string(floral), string(citrusLed), string(second)} {
					require.NotContains(t, told(q), word, "%v", q)
				}
			}
			tonight := b.ask(obj{"q": "tonight"})
			rows := dig(t, tonight, "session", "pours").([]any)
			require.Len(t, rows, 2)
			for i, r := range rows {
				require.Equal(t, "Orchard Sour", dig(t, r, "name"))
				if sight == "half" {
					require.Equal(t, []any{"glass 1", "glass 2"}[i], dig(t, r, "version"))
				} else {
					require.Contains(t, dig(t, r, "version"), "glass ")
				}
				require.Equal(t, false, dig(t, r, "benchmark"))
				require.Nil(t, dig(t, r, "spec"))
				require.Greater(t, dig(t, r, "alcohol", "grams"), 0.0, "its alcohol counts")
			}
			require.Equal(t, string(newID(8400)), dig(t, tonight, "again", "pour"), "what is offered again is a glass that is known")
			for _, s := range tonight["specs"].([]any) {
				require.Equal(t, "benchmark", dig(t, s, "version"))
			}
			require.NotContains(t, told(obj{"q": "specs"}), `:95`)
			for _, s := range dig(t, b.ask(obj{"q": "specs"}), "drinks", 0, "specs").([]any) { // no score and no count tells which it was
				if dig(t, s, "benchmark") == true {
					require.Equal(t, dig(t, before, "drinks", 0, "specs", 0, "poured"), dig(t, s, "poured"))
				} else {
					require.EqualValues(t, 0, dig(t, s, "poured"))
				}
			}
			b.do(obj{"do": "taste", "id": newID(8409), "seat": seats[2]["id"], "score_x10": 10})
			b.do(obj{"do": "delete", "id": newID(8409)})
			require.Regexp(t, `^Orchard Sour, glass \d+, 2026-05-15$`, dig(t, b.ask(obj{"q": "keeper"}), "trash", 0, "title"))
			// The same again is the same unknown glass.
			b.do(obj{"do": "again", "id": newID(8410), "pour": pours[0]})
			require.Equal(t, "Orchard Sour", dig(t, b.ask(obj{"q": "pour", "id": newID(8410)}), "pour", "name"))
			require.Empty(t, dig(t, b.ask(obj{"q": "pour", "id": newID(8410)}), "lines"))

			b.do(obj{"do": "flight_state", "id": newID(8401), "state": "end"})
			if sight == "half" {
				require.Empty(t, dig(t, b.ask(obj{"q": "pour", "id": pours[1]}), "lines"), "it is not known yet")
				b.uncover(newID(8401), 1)
			}
			for i, s := range b.seats(newID(8401))[:2] {
				p := b.ask(obj{"q": "pour", "id": pours[i]})
				require.Equal(t, s["names"], []any{dig(t, p, "lines", 0, "name"), dig(t, p, "lines", 1, "name")})
				require.False(t, strings.HasPrefix(dig(t, p, "pour", "version").(string), "glass "))
			}
			require.Equal(t, dig(t, b.ask(obj{"q": "pour", "id": pours[0]}), "lines"), dig(t, b.ask(obj{"q": "pour", "id": newID(8410)}), "lines"))
		})
	}
}

// TestStart: a flight is weighed again when it starts.
func TestStart(t *testing.T) {
	b := compared(t)
	b.serve(newID(8500), "blind", 3)
	f := b.ask(obj{"q": "flight", "id": newID(8500)})
	require.Equal(t, true, f["fits"])
	require.Nil(t, f["last_ms"])
	b.do(obj{"do": "plain", "id": newID(8501), "name": "wine", "vol_ul": 150_000, "abv_bp": 1250})
	require.Equal(t, false, b.ask(obj{"q": "flight", "id": newID(8500)})["fits"])
	_, err := b.plan(obj{"do": "flight_state", "id": newID(8500), "state": "start"})
	require.Equal(t, "over_limit", refusal(t, err))
	require.Regexp(t, `comes to 0\.\d standard drinks; 1\.\d today and 1\.\d this session`, err.Error())
	b.do(obj{"do": "delete", "id": newID(8501)})
	b.do(obj{"do": "plain", "id": newID(8502), "name": "punch", "vol_ul": 10_000})
	require.Equal(t, "strength_unknown", b.refused(obj{"do": "flight_state", "id": newID(8500), "state": "start"}))
	b.do(obj{"do": "delete", "id": newID(8502)})
	b.do(obj{"do": "flight_state", "id": newID(8500), "state": "start"})

	seats := b.seats(newID(8500))
	b.now.MS += 5 * minute
	b.do(obj{"do": "taste", "id": newID(8503), "seat": seats[0]["id"], "score_x10": 70})
	f = b.ask(obj{"q": "flight", "id": newID(8500)})
	require.EqualValues(t, b.now.MS, f["last_ms"])
	require.Equal(t, true, f["fits"])
	b.do(obj{"do": "plain", "id": newID(8504), "name": "pint", "vol_ul": 568_000, "abv_bp": 600})
	require.Equal(t, false, b.ask(obj{"q": "flight", "id": newID(8500)})["fits"], "the day's sum is beyond the limit")
	b.do(obj{"do": "flight_state", "id": newID(8500), "state": "start"}) // begun it is, and stays
	b.do(obj{"do": "taste", "id": newID(8505), "seat": seats[1]["id"], "score_x10": 70})
	require.Equal(t, 3, poursOf(b), "what was drunk is written down whatever the sums are")
}
