package schema_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fairmeasure/journal"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/schema"
)

// ginsAndMore begins a comparison of three gins by two eaux-de-vie by three additions.
func ginsAndMore(t testing.TB) *book {
	b := orchard(t, "phone")
	b.do(obj{"do": "edit", "id": second, "kind": "ingredient", "set": obj{"name": "smoky pear eau-de-vie", "abv_bp": 4500, "family": "fruit_spirit"}})
	gin, pear := b.line(sourID, 0), b.line(sourID, 1)
	b.do(obj{"do": "compare", "id": gins, "base": sourID, "lines": []any{gin, pear}, "candidates": []obj{
		{"line": gin, "ingredient": floral}, {"line": gin, "ingredient": citrusLed}, {"line": pear, "ingredient": second},
	}, "touches": []string{"5 ml gentian bitter, 28 %", "10 ml gentian bitter, 28 %"}})
	return b
}

// TestNothingPassesTheLimit: whatever was drunk before a flight was planned and before it starts, and whatever is chosen
// for it, one that starts keeps the day and the session within the limit.
func TestNothingPassesTheLimit(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := ginsAndMore(t)
		b.do(obj{"do": "set", "name": "country", "value": rapid.SampledFrom([]string{"GB", "US", "WHO", "AU", "JP"}).Draw(rt, "country")})
		limit := -1
		if rapid.Bool().Draw(rt, "own") {
			limit = rapid.IntRange(0, 60).Draw(rt, "limit")
			b.do(obj{"do": "set", "name": "own_day_drinks_x10", "value": limit, "sure": true})
		}
		n := 0
		drink := func(label string) {
			for range rapid.IntRange(0, 2).Draw(rt, label) {
				n++
				at := b.now.MS - rapid.Int64Range(0, 20*60).Draw(rt, "before")*minute
				b.do(obj{"do": "plain", "id": newID(8600 + n), "name": "wine", "vol_ul": rapid.IntRange(1, 150_000).Draw(rt, "ul"), "abv_bp": 1250, "at_ms": at})
			}
		}
		drink("before")
		ul := rapid.IntRange(5_000, 90_000).Draw(rt, "pour")
		var p obj
		if all := b.findings(); rapid.Bool().Draw(rt, "edited") {
			seats := []any{}
			for _, f := range all {
				if f["benchmark"] == true {
					seats = append(seats, f["picks"])
				}
			}
			for _, at := range rapid.SliceOfNDistinct(rapid.IntRange(0, len(all)-1), 1, 5, rapid.ID).Draw(rt, "seats") {
				if all[at]["benchmark"] == false {
					seats = append(seats, all[at]["picks"])
				}
			}
			if len(seats) < 2 {
				return
			}
			p = b.ask(obj{"q": "plan", "id": gins, "glasses": len(seats), "pour_ul": ul, "seed": "5", "seats": seats})
		} else {
			p = b.planned(rapid.IntRange(2, 6).Draw(rt, "glasses"), ul)
		}
		plan, err := b.plan(flightOf(p, newID(8610), ul))
		require.Equal(rt, p["fits"], err == nil)
		if err != nil {
			return
		}
		b.apply(plan)
		drink("between")
		fits := b.ask(obj{"q": "flight", "id": newID(8610)})["fits"]
		start, err := b.plan(obj{"do": "flight_state", "id": newID(8610), "state": "start"})
		require.Equal(rt, fits, err == nil)
		if err != nil {
			return
		}
		b.apply(start)
		for i, s := range b.seats(newID(8610)) {
			b.do(obj{"do": "taste", "id": newID(8620 + i), "seat": s["id"]})
		}
		f := b.ask(obj{"q": "flight", "id": newID(8610)})
		require.Equal(rt, true, f["fits"])
		for _, sum := range []any{f["today"], dig(t, b.ask(obj{"q": "tonight"}), "session", "totals", "alcohol")} {
			if limit >= 0 {
				require.LessOrEqual(rt, dig(t, sum, "drinks"), float64(limit)/10)
			} else {
				require.LessOrEqual(rt, dig(t, sum, "grams"), 20.0)
			}
		}
	})
}

// TestAStoredPlanStays: what was planned is the same on every device and for ever, whatever is learnt afterwards; and the
// same seed plans the same.
func TestAStoredPlanStays(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		a, b := ginsAndMore(t), newBook(t, "laptop")
		for i := range rapid.IntRange(0, 4).Draw(rt, "pours") {
			gin := rapid.SampledFrom([]replica.ID{juniper, floral, citrusLed}).Draw(rt, "gin")
			a.do(obj{"do": "pour", "id": newID(8700 + i), "spec": sourID, "swap": obj{"line": a.line(sourID, 0), "ingredient": gin}, "score_x10": 5 * rapid.IntRange(0, 20).Draw(rt, "score"), "at_ms": evening - int64(i+1)*2000*minute})
		}
		a.join(b)
		b.now = a.now
		seed := rapid.Uint64().Draw(rt, "seed")
		q := obj{"q": "plan", "id": gins, "glasses": rapid.IntRange(2, 6).Draw(rt, "glasses"), "pour_ul": 8_000, "seed": fmt.Sprint(seed)}
		plan := a.ask(q)
		require.Equal(rt, plan, b.ask(q), "two devices plan the same from the same seed")
		in := flightOf(plan, newID(8710), 8_000)
		in["seed"] = fmt.Sprint(seed)
		first, err := a.plan(in)
		require.NoError(rt, err)
		again, err := b.plan(in)
		require.NoError(rt, err)
		require.Equal(rt, first.Edits, again.Edits)
		a.apply(first)
		stored := a.ask(obj{"q": "flight", "id": newID(8710)})
		seats := func(of obj) (all []obj) {
			for i, s := range of["seats"].([]any) {
				all = append(all, obj{"id": dig(t, s, "id"), "pos": dig(t, s, "pos"), "code": dig(t, s, "code"), "names": dig(t, of, "key", i, "names")})
			}
			return all
		}
		// What is learnt elsewhere meanwhile, and what else may stand there, changes none of it.
		b.do(obj{"do": "pour", "id": newID(8711), "spec": sourID, "score_x10": 100, "at_ms": evening - 4000*minute})
		b.do(obj{"do": "candidate", "id": newID(8712), "swap": dig(t, b.ask(obj{"q": "comparison", "id": gins}), "swaps", 0, "id"), "name": "navy gin, 57 %"})
		b.do(obj{"do": "anchor", "id": newID(8713), "comparison": gins, "anchor_x10": 55})
		a.join(b)
		for i, s := range a.seats(newID(8710)) {
			a.do(obj{"do": "taste", "id": newID(8720 + i), "seat": s["id"], "score_x10": 5 * rapid.IntRange(0, 20).Draw(rt, "taste")})
		}
		a.join(b)
		require.Equal(rt, seats(stored), seats(a.ask(obj{"q": "flight", "id": newID(8710)})))
		require.Equal(rt, a.ask(obj{"q": "flight", "id": newID(8710)}), b.ask(obj{"q": "flight", "id": newID(8710)}))
		require.Empty(rt, must(a.plan(in)).Edits, "and a repeat makes nothing")
	})
}

// TestOrderOfPoursDoesNotMatter: the answer is of what was tasted, not of when it was written down.
func TestOrderOfPoursDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		var pours []obj
		first := ginsAndMore(t)
		specs := []replica.ID{sourID, newID(8800), newID(8801)}
		write := func(b *book) {
			b.withLine(specs[1], 2, "5 ml gentian bitter, 28 %")
			b.withLine(specs[2], 0, "10 ml gentian bitter, 28 %")
		}
		write(first)
		for i := range rapid.IntRange(2, 8).Draw(rt, "pours") {
			of := rapid.SampledFrom(specs).Draw(rt, "spec")
			p := obj{"do": "pour", "id": newID(8810 + i), "spec": of, "score_x10": 5 * rapid.IntRange(0, 20).Draw(rt, "score"), "at_ms": evening - rapid.Int64Range(0, 40).Draw(rt, "ago")*400*minute - int64(i)}
			if gin := rapid.SampledFrom([]replica.ID{"", floral, citrusLed}).Draw(rt, "gin"); gin != "" {
				p["swap"] = obj{"line": first.gin(of), "ingredient": gin}
			}
			pours = append(pours, p)
		}
		answer := func(order []int) string {
			b := ginsAndMore(t)
			write(b)
			for _, i := range order {
				b.do(pours[i])
			}
			out := b.ask(obj{"q": "comparison", "id": gins})
			for _, f := range out["findings"].([]any) {
				delete(f.(obj), "spec") // which of two equal riffs was made first is another matter
			}
			raw, err := json.Marshal(out)
			require.NoError(rt, err)
			return string(raw)
		}
		order := make([]int, len(pours))
		for i := range order {
			order[i] = i
		}
		want := answer(order)
		rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "order"), 1)).Shuffle(len(order), func(i, k int) { order[i], order[k] = order[k], order[i] })
		require.Equal(rt, want, answer(order))
	})
}

// gin gives the line of a spec that its gin stands in.
func (b *book) gin(spec replica.ID) replica.ID {
	for _, l := range schema.Read(b, b.now).Lines(spec) {
		if l.Ingredient == juniper {
			return l.ID
		}
	}
	b.t.Fatalf("no gin in %s", spec)
	return ""
}

// TestAnotherBenchmarkChangesNoContrast: whichever pairing is the benchmark, and whatever it is called, the others lie as
// far apart.
func TestAnotherBenchmarkChangesNoContrast(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := compared(t)
		gin, pear := b.line(sourID, 0), b.line(sourID, 1)
		for i := range rapid.IntRange(1, 8).Draw(rt, "pours") {
			p := obj{"do": "pour", "id": newID(8900 + i), "spec": sourID, "score_x10": 5 * rapid.IntRange(0, 20).Draw(rt, "score"), "at_ms": evening - rapid.Int64Range(0, 6).Draw(rt, "ago")*1500*minute}
			switch rapid.IntRange(0, 3).Draw(rt, "swap") {
			case 1:
				p["swap"] = obj{"line": gin, "ingredient": floral}
			case 2:
				p["swap"] = obj{"line": gin, "ingredient": citrusLed}
			case 3:
				p["swap"] = obj{"line": pear, "ingredient": second}
			}
			b.do(p)
		}
		b.do(obj{"do": "pour", "id": newID(8920), "spec": sourID, "swap": obj{"line": gin, "ingredient": floral}})
		riff := replica.ID(b.finding("soft floral gin", "pear eau-de-vie")["spec"].(string))
		other := newID(8921)
		b.do(obj{"do": "compare", "id": other, "base": riff, "lines": []any{b.line(riff, 0), b.line(riff, 1)}, "candidates": []obj{
			{"line": b.line(riff, 0), "ingredient": juniper}, {"line": b.line(riff, 0), "ingredient": citrusLed}, {"line": b.line(riff, 1), "ingredient": second},
		}})
		byName := func(id replica.ID) map[string]float64 {
			all := map[string]float64{}
			for _, f := range b.ask(obj{"q": "comparison", "id": id})["findings"].([]any) {
				all[fmt.Sprint(dig(t, f, "names"))] = dig(t, f, "d").(float64)
			}
			return all
		}
		from, to := byName(gins), byName(other)
		require.Len(rt, to, len(from))
		shift := from["[soft floral gin pear eau-de-vie]"]
		for name, d := range from {
			require.LessOrEqual(rt, math.Abs(d-shift-to[name]), 0.1501, "%s: %v and %v", name, d-shift, to[name]) // three figures rounded to a tenth
		}
		b.do(obj{"do": "edit", "id": sourID, "kind": "spec", "set": obj{"name": "the one we love"}})
		b.do(obj{"do": "edit", "id": juniper, "kind": "ingredient", "set": obj{"name": "pine gin"}})
		for _, f := range b.ask(obj{"q": "comparison", "id": gins})["findings"].([]any) {
			names := dig(t, f, "names").([]any)
			if names[0] == "pine gin" {
				names = []any{"juniper-heavy gin", names[1]}
			}
			require.Equal(rt, from[fmt.Sprint(names)], dig(t, f, "d"), "%v", names)
		}
	})
}

// TestComparingHistoriesConverge: two devices do whatever they like about a comparison and meet now and then. In the end
// both answer the same, and every score that was given to a glass that is still there is there.
func TestComparingHistoriesConverge(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		a, b := ginsAndMore(t), newBook(t, "laptop")
		a.serve(newID(8999), "half", 3)
		a.join(b)
		b.now = a.now
		n := 9000
		for range rapid.IntRange(5, 40).Draw(rt, "steps") {
			one := a
			switch rapid.IntRange(0, 9).Draw(rt, "who") {
			case 9:
				a.join(b)
				continue
			case 1, 3, 5, 7:
				one = b
			}
			one.now.MS += rapid.Int64Range(0, 30).Draw(rt, "minutes") * minute
			n += 10
			in := one.anything(rt, n)
			p, err := one.plan(in)
			var r *journal.Refusal
			if err != nil {
				require.True(rt, errors.As(err, &r), "%v: not a refusal: %v", in, err)
				continue
			}
			one.apply(p)
		}
		a.join(b)
		b.now, b.run = a.now, a.run // who asks, and when, is all that may differ
		for _, q := range append(a.askable(), obj{"q": "comparisons"}, obj{"q": "tonight"}, obj{"q": "journal"}) {
			raw, err := json.Marshal(q)
			require.NoError(rt, err)
			fromA, errA := schema.Ask(a, a.now, raw)
			fromB, errB := schema.Ask(b, b.now, raw)
			require.Equal(rt, errA, errB)
			require.Equal(rt, string(fromA), string(fromB), "%v", q)
		}
		for _, f := range a.all("flight") { // what was scored is shown with its seat, whoever told what stood there
			scored := map[any]bool{}
			a.Each("pour", func(e *replica.Entity) bool {
				if w, ok := e.Shown("seat"); ok && replica.Deleted(e) != replica.Hidden && len(e.Fields["score_x10"]) > 0 {
					id, _ := w.Value.AsText()
					scored[id] = true
				}
				return true
			})
			codes := map[any]bool{}
			for _, s := range a.seats(f) {
				codes[s["code"]] = true
				if scored[s["id"]] {
					require.NotNil(rt, s["score_x10"])
				}
			}
			require.Len(rt, codes, len(a.seats(f)))
		}
	})
}

// all gives the ids of a kind that are shown.
func (b *book) all(kind string) (ids []replica.ID) {
	b.Each(kind, func(e *replica.Entity) bool {
		if replica.Deleted(e) != replica.Hidden {
			ids = append(ids, e.ID)
		}
		return true
	})
	return ids
}

// askable are the questions about each comparison and flight there is.
func (b *book) askable() (all []obj) {
	for _, id := range b.all("comparison") {
		all = append(all, obj{"q": "comparison", "id": id}, obj{"q": "plan", "id": id, "glasses": 4, "pour_ul": 10_000, "seed": "9"})
	}
	for _, id := range b.all("flight") {
		all = append(all, obj{"q": "flight", "id": id})
	}
	for _, id := range b.all("pour") {
		all = append(all, obj{"q": "pour", "id": id})
	}
	return all
}

// anything is something that a person may do about a comparison, sensible or not.
func (b *book) anything(rt *rapid.T, n int) obj {
	pick := func(ids []replica.ID) replica.ID { // the first ones most often
		if len(ids) == 0 {
			return newID(1)
		}
		return rapid.SampledFrom(ids).Draw(rt, "of")
	}
	score := func() int { return 5 * rapid.IntRange(0, 20).Draw(rt, "score") }
	picks := func() []any {
		var all []any
		if len(b.all("comparison")) > 0 && slices.Contains(b.all("comparison"), gins) {
			for _, f := range b.findings() {
				all = append(all, f["picks"])
			}
		}
		return append(all, "x")
	}
	switch rapid.IntRange(0, 14).Draw(rt, "what") {
	case 0:
		return obj{"do": "candidate", "id": newID(n), "swap": pick(b.all("swap")), "ingredient": rapid.SampledFrom([]string{"stock.overproof_rum", string(floral), string(second)}).Draw(rt, "ingredient")}
	case 1:
		return obj{"do": "candidate", "id": newID(n), "swap": pick(b.all("swap")), "text": rapid.SampledFrom([]string{"5 ml gentian bitter, 28 %", "3 ml gentian bitter, 28 %", "1 dash walnut wine"}).Draw(rt, "text")}
	case 2:
		return obj{"do": "anchor", "id": newID(n), "comparison": gins, "anchor_x10": score(), "drunk": rapid.Bool().Draw(rt, "drunk")}
	case 3:
		p := picks()
		seats := []obj{}
		for _, at := range rapid.SliceOfNDistinct(rapid.IntRange(0, len(p)-1), 1, 4, rapid.ID).Draw(rt, "seats") {
			seats = append(seats, obj{"picks": p[at], "why": "own"})
		}
		for _, f := range b.all("comparison") {
			if f == gins {
				for _, f := range b.findings() {
					if f["benchmark"] == true && !slices.ContainsFunc(seats, func(s obj) bool { return s["picks"] == f["picks"] }) {
						seats = append(seats, obj{"picks": f["picks"], "why": "benchmark"})
					}
				}
			}
		}
		seats = slices.DeleteFunc(seats, func(s obj) bool { return s["picks"] == "x" })
		return obj{"do": "flight", "id": newID(n), "comparison": gins, "pour_ul": 5_000, "seed": fmt.Sprint(n), "sight": rapid.SampledFrom([]string{"blind", "half", "half", "sighted"}).Draw(rt, "sight"), "seats": seats}
	case 4, 5, 6, 7:
		return obj{"do": "taste", "id": newID(n), "seat": pick(b.all("seat")), "score_x10": score()}
	case 8, 9:
		return obj{"do": "flight_state", "id": pick(b.all("flight")), "state": rapid.SampledFrom([]string{"start", "end", "end"}).Draw(rt, "state")}
	case 10, 11:
		id := pick(b.all("flight"))
		if !slices.Contains(b.all("flight"), id) {
			return obj{"do": "uncover", "id": id, "codes": []int{}}
		}
		return obj{"do": "uncover", "id": id, "codes": b.codes(id, rapid.IntRange(0, min(1, len(b.seats(id)))).Draw(rt, "moved"))}
	case 12:
		return obj{"do": "rate", "id": newID(n), "seat": pick(b.all("seat")), "taster": "Friend", "score_x10": score()}
	case 13:
		p := picks()
		return obj{"do": "trial", "id": newID(n), "comparison": gins, "sort": "preferred", "a": rapid.SampledFrom(p).Draw(rt, "a"), "b": rapid.SampledFrom(p).Draw(rt, "b"), "outcome": "a"}
	}
	kind := rapid.SampledFrom([]string{"candidate", "pour", "flight", "segment"}).Draw(rt, "kind")
	if kind == "candidate" {
		return obj{"do": "edit", "id": pick(b.all(kind)), "kind": kind, "set": obj{"benched": rapid.Bool().Draw(rt, "benched")}}
	}
	return obj{"do": "delete", "id": pick(b.all(kind))}
}

// flown is a comparison with a half-blind flight that was tasted and uncovered.
func flown(t testing.TB) *book {
	base := ginsAndMore(t)
	all := base.findings()
	seats := []obj{{"picks": all[0]["picks"], "why": "own"}, {"picks": all[len(all)-1]["picks"], "why": "own"}}
	for _, one := range all {
		if one["benchmark"] == true && one["picks"] != seats[0]["picks"] && one["picks"] != seats[1]["picks"] {
			seats = append(seats, obj{"picks": one["picks"], "why": "benchmark"})
		}
	}
	base.do(obj{"do": "flight", "id": newID(9900), "comparison": gins, "pour_ul": 8_000, "seed": "1", "sight": "half", "seats": seats})
	for i, s := range base.seats(newID(9900)) {
		base.do(obj{"do": "taste", "id": newID(9901 + i), "seat": s["id"], "score_x10": 50 + 5*i})
	}
	base.uncover(newID(9900), 1)
	return base
}

// FuzzComparingIntent: whatever comes in about a comparison, it is refused or gives edits that any journal takes.
func FuzzComparingIntent(f *testing.F) {
	b := flown(f)
	seat, picks := b.seats(newID(9900))[0]["id"], b.findings()[0]["picks"]
	seeds(f, b, []obj{
		{"do": "compare", "id": newID(9950), "base": sourID, "lines": []any{b.line(sourID, 0)}, "name": "x", "candidates": []obj{{"line": b.line(sourID, 0), "name": "gin, 40 %"}}, "touches": []string{"5 ml x", "1 cherry"}},
		{"do": "candidate", "id": newID(9950), "swap": b.all("swap")[0], "name": "gin, 40 %"}, {"do": "candidate", "id": newID(9950), "swap": b.all("swap")[2], "text": "1/2 oz x, 3 %"},
		{"do": "anchor", "id": newID(9950), "comparison": gins, "anchor_x10": 70, "drunk": true, "at_ms": 5},
		{"do": "flight", "id": newID(9950), "comparison": gins, "pour_ul": 9_000, "seed": "7", "sight": "half", "seats": []obj{{"picks": picks, "why": "own"}}},
		{"do": "taste", "id": newID(9950), "seat": seat, "score_x10": 50, "tags": []string{"pear"}, "share_bp": 1, "at_ms": 5},
		{"do": "flight_state", "id": newID(9900), "state": "end"}, {"do": "uncover", "id": newID(9900), "codes": b.codes(newID(9900), 2)},
		{"do": "rate", "id": newID(9950), "seat": seat, "taster": "x", "score_x10": 50, "note": "y"},
		{"do": "trial", "id": newID(9950), "comparison": gins, "sort": "paired", "a": picks, "b": b.findings()[1]["picks"], "outcome": "tie", "at_ms": 5},
	})
	f.Fuzz(func(t *testing.T, raw []byte) {
		p, err := schema.Act(b, b.now, raw)
		if err != nil {
			var r *journal.Refusal
			if !errors.As(err, &r) {
				t.Fatalf("not a refusal: %v", err)
			}
			return
		}
		a := &replica.Action{Stamp: replica.Stamp{Run: b.run, N: b.n + 1}, At: b.now.MS, Edits: p.Edits}
		if r := replica.CheckAction(a); r != nil {
			t.Fatalf("no journal takes it: %v", r)
		}
	})
}

// FuzzStoredComparing: whatever another device put into what a comparison is made of, every question is answered.
func FuzzStoredComparing(f *testing.F) {
	f.Add("candidate", "typed", "5 ml x", int64(-5))
	f.Add("candidate", "vol_ul", "", int64(-1<<52))
	f.Add("candidate", "unit", "dash", int64(1<<52))
	f.Add("swap", "addition", "yes", int64(1))
	f.Add("swap", "of", string(sourID), int64(3))
	f.Add("seat", "picks", "a b\nc d", int64(7))
	f.Add("seat", "code", "", int64(102))
	f.Add("seat", "pos", "", int64(-1))
	f.Add("flight", "uncovered", "102 103", int64(0))
	f.Add("flight", "pour_ul", "", int64(-9))
	f.Add("segment", "anchor_x10", "", int64(1<<52))
	f.Add("pour", "score_x10", "", int64(-1<<52))
	base := flown(f)
	f.Fuzz(func(t *testing.T, kind, field, text string, number int64) {
		b := newBook(t, "other")
		b.state = replica.Join(base.state, b.state)
		b.Each(kind, func(e *replica.Entity) bool {
			c := e.Clone()
			c.Put(field, replica.Write{Stamp: replica.Stamp{Run: "other000000", N: 1}, At: evening + 1, Value: replica.Text(text)})
			if number%2 == 0 {
				c.Put(field, replica.Write{Stamp: replica.Stamp{Run: "other000000", N: 2}, At: evening + 2, Value: replica.Int(number)})
			}
			b.state.Adopt(c)
			return true
		})
		b.kinds = nil
		for _, q := range append(b.askable(), obj{"q": "comparisons"}, obj{"q": "tonight"}, obj{"q": "comparison", "id": gins}) {
			raw, _ := json.Marshal(q)
			answer, err := schema.Ask(b, b.now, raw)
			var r *journal.Refusal
			switch {
			case err == nil && !json.Valid(answer):
				t.Fatalf("no JSON: %s", answer)
			case err != nil && !errors.As(err, &r):
				t.Fatalf("%v: not a refusal: %v", q, err)
			}
		}
	})
}

// TestDeclaringIsNotTasting: to say anew what the benchmark is worth, without a glass scored after it, changes neither what
// is found of any pairing nor what is planned next.
func TestDeclaringIsNotTasting(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := ginsAndMore(t)
		declare := func(n int, at int64) {
			b.do(obj{"do": "anchor", "id": newID(n), "comparison": gins, "drunk": rapid.Bool().Draw(rt, "drunk"), "at_ms": at,
				"anchor_x10": 5 * rapid.IntRange(0, 20).Draw(rt, "worth")})
		}
		for i := range rapid.IntRange(0, 2).Draw(rt, "before") {
			declare(8800+i, evening-int64(90-i)*1000*minute)
		}
		for i := range rapid.IntRange(1, 6).Draw(rt, "pours") {
			gin := rapid.SampledFrom([]replica.ID{juniper, floral, citrusLed}).Draw(rt, "gin")
			b.do(obj{"do": "pour", "id": newID(8820 + i), "spec": sourID, "swap": obj{"line": b.line(sourID, 0), "ingredient": gin},
				"score_x10": 5 * rapid.IntRange(0, 20).Draw(rt, "score"), "at_ms": evening - int64(i+1)*2000*minute})
		}
		found := func() []obj {
			all := b.findings()
			for _, f := range all {
				delete(f, "todays_x10") // the same scores as they would stand today
			}
			return all
		}
		findings, plan := found(), b.planned(4, 5_000)
		for i := range rapid.IntRange(1, 20).Draw(rt, "times") {
			declare(8850+i, evening-int64(100-i)*minute)
		}
		require.Equal(rt, findings, found())
		require.Equal(rt, plan["seats"], b.planned(4, 5_000)["seats"])
	})
}
