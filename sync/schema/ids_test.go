package schema_test

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/schema"
)

// fixedIDs are the ids that are the same whoever makes the thing, so that two devices make one: each stands for what it
// says. All others come from the id that was minted for the act.
var fixedIDs = []string{"set.", "day."}

// byContent are the acts whose things have an id by all that is in them: they write glasses again that are there on every
// device, so what those glasses are made of must be one thing wherever it is said.
var byContent = []string{"uncover", "choose"}

// TestIdsAreOfTheAct holds every intent to this: carried out twice it makes the same things; two acts, on any two devices,
// never make things under one id, beside the fixed ones.
func TestIdsAreOfTheAct(t *testing.T) {
	b := compared(t)
	b.do(obj{"do": "pour", "id": newID(40), "spec": sourID, "note": "sharp", "score_x10": 70})
	b.do(obj{"do": "spec", "id": newID(60), "drink_name": "Punch", "lines": []obj{{"typed": "45 ml rum"}, {"typed": "10 ml syrup"}}})
	b.do(obj{"do": "water", "id": newID(61), "vol_ul": 250_000})
	b.do(obj{"do": "delete", "id": newID(61)})
	later := func() { b.now.MS += 3 * 24 * 60 * minute } // what was drunk does not count any more
	later()
	seats := b.serve(newID(8300), "half", 5)
	b.do(obj{"do": "taste", "id": newID(8301), "seat": seats[1]["id"], "score_x10": 60})
	b.do(obj{"do": "flight_state", "id": newID(8300), "state": "end"})
	later()
	open := b.serve(newID(8310), "blind", 3)
	trial := b.findings()
	slices.SortStableFunc(trial, func(a, b obj) int { return len(fmt.Sprint(b["benchmark"])) - len(fmt.Sprint(a["benchmark"])) }) // the benchmark last

	// Two devices leave clashes behind: of a note, and of what was uncovered of a flight.
	other := newBook(t, "laptop")
	b.join(other)
	told := b.serve(newID(8320), "half", 3)
	b.do(obj{"do": "taste", "id": newID(8321), "seat": told[0]["id"], "score_x10": 60})
	b.do(obj{"do": "flight_state", "id": newID(8320), "state": "end"})
	b.join(other)
	b.uncover(newID(8320), 1)
	other.uncover(newID(8320), 2)
	later()
	b.do(obj{"do": "edit", "id": newID(40), "kind": "pour", "set": obj{"note": "round"}})
	other.do(obj{"do": "edit", "id": newID(40), "kind": "pour", "set": obj{"note": "flat"}})
	b.join(other)
	for _, s := range schema.Read(b, b.now).Specs() {
		if s.Parent == sourID {
			b.do(obj{"do": "delete", "id": s.ID}) // so that they are made anew
		}
	}
	clash := func(id replica.ID, field string, n int) string {
		e, _ := b.Get(id)
		return replica.Versions(e, schema.Group(e.Kind, field))[n].Stamp.String()
	}
	keep := b.line(sourID, 1)
	swaps := dig(t, b.ask(obj{"q": "comparison", "id": gins}), "swaps").([]any)

	acts := func(id func() replica.ID) []obj {
		return []obj{
			{"do": "spec", "id": id(), "drink_name": "Another", "name": "x", "lines": []obj{{"typed": "45 ml gin"}, {"typed": "45 ml gin"}, {"typed": "equal parts gin, rum"}}},
			{"do": "spec", "id": id(), "drink_name": "Yet another", "lines": []obj{{"typed": "45 ml gin", "id": id()}, {"typed": "equal parts gin, rum", "id": id()}}},
			{"do": "spec", "id": id(), "parent": sourID, "lines": []obj{{"keep": keep, "typed": pear, "id": id()}, {"keep": b.line(sourID, 0), "typed": gin}, {"typed": "5 ml gentian liqueur"}}},
			{"do": "spec", "id": newID(60), "lines": []obj{{"id": id(), "typed": "5 ml gentian liqueur"}, {"id": id(), "typed": "equal parts gin, rum"}, {"keep": b.line(newID(60), 0), "typed": "equal parts rum, rye", "id": id()}}},
			{"do": "line", "id": id(), "spec": sourID, "line": keep, "typed": "20 ml pear eau-de-vie"},
			{"do": "pour", "id": id(), "spec": sourID},
			{"do": "pour", "id": id(), "spec": sourID, "swap": obj{"line": keep, "ingredient": "stock.gin"}},
			{"do": "several", "id": id(), "n": 3, "spec": sourID, "first_at_ms": evening - 60*minute, "last_at_ms": evening},
			{"do": "again", "id": id(), "pour": newID(40)},
			{"do": "plain", "id": id(), "name": "pint", "vol_ul": 568_000, "abv_bp": 450, "keep": true},
			{"do": "water", "id": id(), "vol_ul": 250_000},
			{"do": "edit", "id": id(), "kind": "ingredient", "set": obj{"name": "rye"}},
			{"do": "edit", "id": id(), "kind": "level", "set": obj{"bottle": juniperFull, "at_ms": evening, "left_ul": 500_000}},
			{"do": "bottle", "id": id(), "name": "genever", "abv_bp": 3500},
			{"do": "making", "id": id(), "sort": "syrup", "name": "rich syrup", "made_ul": 500_000, "sugar_mgl": 600_000, "draws": []obj{}},
			{"do": "choose", "id": newID(8320), "field": "uncovered", "stamp": clash(newID(8320), "uncovered", 0)},
			{"do": "choose", "id": newID(8320), "field": "uncovered", "stamp": clash(newID(8320), "uncovered", 1)},
			{"do": "choose", "id": newID(40), "field": "note", "stamp": clash(newID(40), "note", 1)},
			{"do": "keep_both", "id": newID(40), "field": "note"},
			{"do": "delete", "id": newID(60)},
			{"do": "restore", "id": newID(61)},
			{"do": "erase", "id": newID(61)},
			{"do": "benchmark", "spec": newID(60)},
			{"do": "set", "name": "dash_ul", "value": 700},
			{"do": "day", "day": "2026-05-12", "alcohol_free": true},
			{"do": "compare", "id": id(), "base": sourID, "lines": []any{keep}, "candidates": []obj{{"line": keep, "name": "plum spirit, 42 %"}, {"line": keep, "ingredient": second}}, "touches": []string{"5 ml gentian bitter, 20 %", "2 dashes walnut bitters"}},
			{"do": "candidate", "id": id(), "swap": dig(t, swaps[0], "id"), "name": "plum spirit, 42 %"},
			{"do": "anchor", "id": id(), "comparison": gins, "anchor_x10": 70, "drunk": true},
			{"do": "flight", "id": id(), "comparison": gins, "pour_ul": 5_000, "seed": "78", "sight": "blind", "seats": []obj{{"picks": trial[0]["picks"], "why": "own"}, {"picks": trial[len(trial)-1]["picks"], "why": "benchmark"}}},
			{"do": "taste", "id": id(), "seat": open[1]["id"], "score_x10": 70},
			{"do": "taste", "id": id(), "seat": open[2]["id"], "score_x10": 70},
			{"do": "flight_state", "id": newID(8310), "state": "end"},
			{"do": "uncover", "id": newID(8300), "codes": b.codes(newID(8300), 1)},
			{"do": "uncover", "id": newID(8300), "codes": b.codes(newID(8300), 2)},
			{"do": "uncover", "id": newID(8300), "codes": b.codes(newID(8300), 3)},
			{"do": "uncover", "id": newID(8300), "codes": b.codes(newID(8300), 4)},
			{"do": "rate", "id": id(), "seat": seats[0]["id"], "taster": "Kim", "score_x10": 60},
			{"do": "trial", "id": id(), "comparison": gins, "sort": "paired", "a": trial[0]["picks"], "b": trial[1]["picks"], "outcome": "a"},
		}
	}
	n := 0
	mint := func() replica.ID { n++; return newID(90_000 + n) }
	first, again := acts(mint), acts(mint)
	did := map[string]int{}
	made := map[replica.ID]replica.Edit{}
	for i, list := range [][]obj{first, again} {
		for _, in := range list {
			word := in["do"].(string)
			plan, twice := must(b.plan(in)), must(b.plan(in))
			require.Equal(t, plan, twice, "%v: carried out twice", in)
			mine := map[replica.ID]bool{}
			for _, ed := range plan.Edits {
				if _, there := b.Get(ed.ID); there {
					continue
				}
				did[word]++
				require.False(t, mine[ed.ID], "%v makes two things under %s", in, ed.ID)
				mine[ed.ID] = true
				was, taken := made[ed.ID]
				switch {
				case !taken:
					made[ed.ID] = ed
				case slices.ContainsFunc(fixedIDs, func(p string) bool { return strings.HasPrefix(string(ed.ID), p) }):
				case slices.Contains(byContent, word) && was.Kind == ed.Kind && maps.Equal(was.Set, ed.Set):
				default:
					require.Fail(t, "one id, two acts", "%s was made before (act %d of round %d)\n%v", ed.ID, i, i, in)
				}
			}
			if i == 0 { // and when it was carried out it has nothing left to do
				one := newBook(t, "tablet")
				one.join(b.copied(t))
				one.now = b.now
				one.do(in)
				require.Empty(t, must(one.plan(in)).Edits, "%v: repeated", in)
			}
		}
	}
	for _, word := range schema.ActWords {
		require.True(t, slices.ContainsFunc(first, func(in obj) bool { return in["do"] == word }), "no example of %q", word)
	}
	for _, word := range []string{"spec", "line", "pour", "several", "plain", "bottle", "making", "compare", "candidate", "flight", "taste", "uncover", "choose", "rate"} {
		require.Greater(t, did[word], 2, "%s made nothing besides its own", word)
	}
}

// copied is another book of the same journal.
func (b *book) copied(t *testing.T) *book {
	c := newBook(t, fmt.Sprintf("copy%d", b.n))
	c.state, c.now = replica.Join(b.state, replica.NewState()), b.now
	return c
}
