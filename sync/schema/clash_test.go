package schema_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/schema"
)

// set writes fields as a device of another version might, past what the app offers.
func (b *book) set(id replica.ID, kind string, fields map[string]replica.Value) {
	b.t.Helper()
	e, err := schema.Set(b, id, kind, fields)
	require.NoError(b.t, err)
	b.apply(schema.Plan{Edits: []replica.Edit{e}})
}

func (b *book) clashes() (all []obj) {
	b.t.Helper()
	for _, c := range dig(b.t, b.ask(obj{"q": "keeper"}), "clashes").([]any) {
		all = append(all, c.(obj))
	}
	return all
}

func texts(clash obj) (all []string) {
	for _, v := range clash["values"].([]any) {
		all = append(all, v.(obj)["text"].(string))
	}
	return all
}

// TestComparingClashes: what two devices say apart of a comparison and its parts is listed under what it is called, both
// values in words, and either can be chosen.
func TestComparingClashes(t *testing.T) {
	start := compared(t)
	start.do(obj{"do": "anchor", "id": newID(7010), "comparison": gins, "anchor_x10": 90, "at_ms": evening - 60*minute})
	flight := newID(7020)
	seats := start.serve(flight, "sighted", 2)
	start.do(obj{"do": "rate", "id": newID(7030), "seat": seats[0]["id"], "taster": "Kim", "score_x10": 60})
	findings := start.findings()
	start.do(obj{"do": "trial", "id": newID(7040), "comparison": gins, "sort": "paired", "a": findings[0]["picks"], "b": findings[1]["picks"], "outcome": "a"})
	names := func(i int) string {
		var all []string
		for _, n := range findings[i]["names"].([]any) {
			all = append(all, n.(string))
		}
		return strings.Join(all, " + ")
	}
	id := func(path ...any) replica.ID {
		return replica.ID(dig(t, start.ask(obj{"q": "comparison", "id": gins}), path...).(string))
	}
	swap, candidate := id("swaps", 0, "id"), id("swaps", 0, "effects", 1, "candidate")
	effect := dig(t, start.ask(obj{"q": "comparison", "id": gins}), "swaps", 0, "effects", 1, "name").(string)
	var taster replica.ID
	start.Each("taster", func(e *replica.Entity) bool { taster = e.ID; return true })
	seat := replica.ID(seats[1]["id"].(string))
	code := func(i int) string { return codeText(seats[i]) }
	edit := func(id replica.ID, kind string, set obj) obj {
		return obj{"do": "edit", "id": id, "kind": kind, "set": set}
	}

	for _, row := range []struct {
		name          string
		phone, laptop any // an intent, or fields
		id            replica.ID
		kind, field   string
		title         string
		want          []string // the shown one, the laptop's, first
		joinable      bool
	}{
		{
			"comparison", edit(gins, "comparison", obj{"name": "which gin"}), edit(gins, "comparison", obj{"name": "gin and pear"}),
			gins, "comparison", "name", "gin and pear", []string{"gin and pear", "which gin"}, false,
		},
		{
			"note", edit(gins, "comparison", obj{"note": "at the bar"}), edit(gins, "comparison", obj{"note": "at home"}),
			gins, "comparison", "note", "which gin, which pear", []string{"at home", "at the bar"}, true,
		},
		{
			"swap", map[string]replica.Value{"of": replica.Text(string(start.line(sourID, 1)))}, map[string]replica.Value{"of": replica.Text(string(start.line(sourID, 2)))},
			swap, "swap", "of", "which gin, which pear, quince liqueur", []string{"Orchard Sour, quince liqueur", "Orchard Sour, pear eau-de-vie"}, false,
		},
		{
			"candidate", edit(candidate, "candidate", obj{"benched": true}), edit(candidate, "candidate", obj{"benched": false}),
			candidate, "candidate", "benched", "which gin, which pear, " + dig(t, start.ask(obj{"q": "comparison", "id": gins}), "swaps", 0, "line_name").(string) + ", " + effect,
			[]string{"no", "yes"}, false,
		},
		{
			"candidate of a stock ingredient", map[string]replica.Value{"ingredient": replica.Text("stock.overproof_rum")}, map[string]replica.Value{"ingredient": replica.Text(string(juniper))},
			candidate, "candidate", "ingredient", "", []string{"juniper-heavy gin", "overproof rum"}, false,
		},
		{
			"segment", edit(newID(7010), "segment", obj{"anchor_x10": 70}), edit(newID(7010), "segment", obj{"anchor_x10": 75, "drunk": true}),
			newID(7010), "segment", "from_ms", "which gin, which pear, 2026-05-15 21:04", []string{"7.5, 2026-05-15 21:04, drunk", "7, 2026-05-15 21:04"}, false,
		},
		{
			"flight", obj{"do": "flight_state", "id": flight, "state": "start"}, obj{"do": "flight_state", "id": flight, "state": "start"},
			flight, "flight", "started_at_ms", "which gin, which pear, 2026-05-15 22:04", []string{"2026-05-15 22:06", "2026-05-15 22:05"}, false,
		},
		{
			"seat", map[string]replica.Value{"code": replica.Int(417)}, map[string]replica.Value{"picks": replica.Text(findings[2]["picks"].(string))},
			seat, "seat", "flight", "which gin, which pear, 2026-05-15 22:04, " + code(1), nil, false,
		},
		{
			"taster", edit(taster, "taster", obj{"name": "Kim R"}), edit(taster, "taster", obj{"name": "Kim S"}),
			taster, "taster", "name", "Kim S", []string{"Kim S", "Kim R"}, false,
		},
		{
			"rating", edit(newID(7030), "rating", obj{"score_x10": 85}), edit(newID(7030), "rating", obj{"score_x10": 65}),
			newID(7030), "rating", "score_x10", "which gin, which pear, 2026-05-15 22:04, " + code(0) + ", Kim", []string{"6.5", "8.5"}, false,
		},
		{
			"trial", map[string]replica.Value{"outcome": replica.Text("b")}, map[string]replica.Value{"outcome": replica.Text("tie")},
			newID(7040), "trial", "sort", "which gin, which pear, 2026-05-15 22:04",
			[]string{names(0) + " = " + names(1) + ", 2026-05-15 22:04", names(1) + " > " + names(0) + ", 2026-05-15 22:04"}, false,
		},
	} {
		t.Run(row.name, func(t *testing.T) {
			phone := newBook(t, "phone"+row.name)
			phone.join(start)
			phone.now.MS = start.now.MS
			require.Empty(t, phone.clashes())
			laptop := fork(t, phone)
			do := func(b *book, what any) {
				if fields, raw := what.(map[string]replica.Value); raw {
					b.set(row.id, row.kind, fields)
				} else {
					b.do(what)
				}
			}
			do(phone, row.phone)
			do(laptop, row.laptop)
			phone.join(laptop)
			phone.now.MS = laptop.now.MS
			all := phone.clashes()
			require.Len(t, all, 1)
			clash := all[0]
			require.EqualValues(t, row.id, clash["id"])
			require.Equal(t, row.kind, clash["kind"])
			require.Equal(t, row.field, clash["field"])
			require.Equal(t, row.joinable, clash["joinable"])
			if row.title != "" {
				require.Equal(t, row.title, clash["title"])
			}
			said := texts(clash)
			if row.want != nil {
				require.Equal(t, row.want, said)
			}
			require.Len(t, said, 2)
			require.NotEqual(t, said[0], said[1])
			require.NotContains(t, said, "")
			if row.kind == "seat" {
				require.Equal(t, "2, "+code(1)+", "+names(2), said[0], "its place, its code, what is in it")
				require.True(t, strings.HasPrefix(said[1], "2, 417, "), said[1])
			}
			require.Equal(t, 1.0, phone.ask(obj{"q": "tonight"})["clashes"])
			require.Equal(t, clash, dig(t, phone.ask(obj{"q": "clash", "id": row.id}), "clashes", 0))

			stamp := dig(t, clash, "values", 1, "stamp")
			phone.do(obj{"do": "choose", "id": row.id, "field": row.field, "stamp": stamp})
			laptop.join(phone)
			require.Empty(t, laptop.clashes())
			e, ok := laptop.Get(row.id)
			require.True(t, ok)
			require.Len(t, replica.Versions(e, schema.Group(row.kind, row.field)), 1)
			plan, err := laptop.plan(obj{"do": "choose", "id": row.id, "field": row.field, "stamp": dig(t, clash, "values", 0, "stamp")})
			require.NoError(t, err)
			require.Empty(t, plan.Edits, "chosen already")
			if row.kind == "segment" {
				require.EqualValues(t, 70, laptop.ask(obj{"q": "comparison", "id": gins})["anchor_x10"])
			}
		})
	}
}

func codeText(seat obj) string { return fmt.Sprint(seat["code"]) }

// TestClashesKeepTheBlind: what two devices say apart of a glass is not listed while that would say what is in it.
func TestClashesKeepTheBlind(t *testing.T) {
	phone := compared(t)
	flight := newID(7020)
	seats := phone.serve(flight, "blind", 2)
	for i, s := range seats {
		phone.do(obj{"do": "taste", "id": newID(7050 + i), "seat": s["id"]})
	}
	laptop := fork(t, phone)
	seat := replica.ID(seats[0]["id"].(string))
	picks := phone.findings()[3]["picks"].(string)
	phone.set(seat, "seat", map[string]replica.Value{"picks": replica.Text(picks)})
	laptop.set(seat, "seat", map[string]replica.Value{"why": replica.Text("own")})
	for i, b := range []*book{phone, laptop} {
		b.set(newID(7050), "pour", map[string]replica.Value{"made": replica.Text([]string{"one", "two"}[i])})
		b.set(newID(7050), "pour", map[string]replica.Value{"spec": replica.Text(string([]replica.ID{sourID, newID(30)}[i]))})
		b.do(obj{"do": "taste", "id": newID(7051), "seat": seats[0]["id"], "score_x10": 60 + 5*i})
	}
	phone.join(laptop)
	phone.now.MS = laptop.now.MS
	all := phone.clashes()
	require.Len(t, all, 1, "its score is no secret")
	require.Equal(t, "score_x10", all[0]["field"])
	require.Contains(t, all[0]["title"], codeText(seats[0]))
	require.Equal(t, 1.0, phone.ask(obj{"q": "tonight"})["clashes"])

	phone.do(obj{"do": "flight_state", "id": flight, "state": "end"})
	var fields []string
	for _, c := range phone.clashes() {
		fields = append(fields, c["field"].(string))
	}
	slices.Sort(fields)
	require.Equal(t, []string{"flight", "made", "score_x10", "spec"}, fields, "and now nothing is")
}

// TestTrashOfComparisons: a deleted comparison is one thing in the trash, and comes back with all its parts.
func TestTrashOfComparisons(t *testing.T) {
	b := compared(t)
	b.do(obj{"do": "anchor", "id": newID(7010), "comparison": gins, "anchor_x10": 90})
	b.do(obj{"do": "anchor", "id": newID(7011), "comparison": gins, "anchor_x10": 80})
	seats := b.serve(newID(7020), "sighted", 2)
	b.do(obj{"do": "rate", "id": newID(7030), "seat": seats[0]["id"], "taster": "Kim", "score_x10": 60})
	before := b.ask(obj{"q": "comparison", "id": gins})
	trash := func() (all []any) {
		for _, it := range b.ask(obj{"q": "keeper"})["trash"].([]any) {
			all = append(all, []any{it.(obj)["kind"], it.(obj)["title"]})
		}
		return all
	}
	b.do(obj{"do": "delete", "id": newID(7011)})
	require.Equal(t, []any{[]any{"segment", "which gin, which pear, 2026-05-15 22:04"}}, trash(), "a part that was deleted by itself")
	b.do(obj{"do": "restore", "id": newID(7011)})
	b.do(obj{"do": "delete", "id": gins})
	require.Equal(t, []any{[]any{"comparison", "which gin, which pear"}}, trash())
	require.Empty(t, dig(t, b.ask(obj{"q": "comparisons"}), "rows"))
	b.do(obj{"do": "restore", "id": gins})
	require.Empty(t, trash())
	require.Equal(t, before, b.ask(obj{"q": "comparison", "id": gins}))
	b.do(obj{"do": "delete", "id": gins})
	b.do(obj{"do": "erase", "id": gins})
	require.Empty(t, trash())
}

// TestChoosingWhatWasUncovered: two devices that uncover a half-blind flight apart leave one question, and with its answer
// every glass is what stood under its code; neither device's word gets into the other's riffs.
func TestChoosingWhatWasUncovered(t *testing.T) {
	for _, choice := range []int{0, 1} {
		t.Run(fmt.Sprint(choice), func(t *testing.T) {
			phone := compared(t)
			flight := newID(7020)
			seats := phone.serve(flight, "half", 4)
			for i, s := range seats[:2] {
				phone.do(obj{"do": "taste", "id": newID(7050 + i), "seat": s["id"], "score_x10": 60 + 15*i})
			}
			phone.do(obj{"do": "flight_state", "id": flight, "state": "end"})
			laptop := fork(t, phone)
			phone.uncover(flight, 2) // what was not tasted by its place, so each makes riffs the other does not know
			laptop.uncover(flight, 3)
			phone.join(laptop)
			phone.now.MS = laptop.now.MS
			all := phone.clashes()
			require.Len(t, all, 1)
			require.Equal(t, "uncovered", all[0]["field"])
			said := texts(all[0])
			require.Len(t, said, 2)

			phone.do(obj{"do": "choose", "id": flight, "field": "uncovered", "stamp": dig(t, all[0], "values", choice, "stamp")})
			laptop.join(phone)
			require.Empty(t, laptop.clashes())
			require.Equal(t, phone.ask(obj{"q": "comparison", "id": gins}), laptop.ask(obj{"q": "comparison", "id": gins}))
			var codes []string
			for i, s := range laptop.seats(flight) {
				codes = append(codes, codeText(s))
				if i < 2 {
					require.Equal(t, []any{float64(60 + 15*i)}, laptop.finding(s["names"].([]any)...)["scores_x10"], "scored by its place, counted for what stood there")
				}
			}
			require.Equal(t, said[choice], strings.Join(codes, " "))
			require.EqualValues(t, 2, laptop.ask(obj{"q": "comparison", "id": gins})["scored"])
		})
	}
}
