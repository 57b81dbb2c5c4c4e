package schema_test

import (
	"encoding/json"
	"errors"
	"testing"

	"fairmeasure/journal"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/schema"
)

// seeds are one of each form that a page sends, for the fuzzers to begin with.
func seeds(f *testing.F, b *book, forms []obj) {
	for _, in := range forms {
		raw, err := json.Marshal(in)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(raw)
	}
	for _, raw := range []string{"", "null", "[]", `{"do":`, `{"q":"journal","days":1e99}`, `{"do":"pour","id":"\u0000"}`, `{"do":"set","name":"country"}`} {
		f.Add([]byte(raw))
	}
}

func demo(t testing.TB) *book {
	b := orchard(t, "phone")
	b.do(obj{"do": "pour", "id": newID(40), "spec": sourID, "score_x10": 75, "note": "sharp"})
	b.do(obj{"do": "plain", "id": newID(41), "name": "pint", "vol_ul": 568_000, "abv_bp": 450})
	b.do(obj{"do": "delete", "id": newID(41)})
	return b
}

// FuzzIntent: whatever comes in as an intent, it is refused or gives edits that any journal takes.
func FuzzIntent(f *testing.F) {
	b := demo(f)
	l := b.line(sourID, 0)
	seeds(f, b, []obj{
		{"do": "spec", "id": newID(30), "drink_name": "x", "parent": sourID, "method": "shaken", "lines": []obj{{"keep": l, "typed": "1 oz gin"}, {"typed": "top with soda"}}, "part_ul": 20_000},
		{"do": "spec", "id": sourID, "slip": true, "lines": []obj{{"id": newID(31), "typed": "equal parts gin, rum"}, {"keep": l, "typed": "2 oz gin", "was": "1 oz gin", "moved": true}, {"keep": b.line(sourID, 1), "gone": true}}},
		{"do": "line", "id": newID(30), "spec": sourID, "line": l, "typed": "2 oz gin, 40 %", "slip": true},
		{"do": "pour", "id": newID(42), "spec": sourID, "swap": obj{"line": l, "ingredient": floral}, "at_ms": 5, "tags": []string{"pear"}, "before_mg": 1, "after_mg": 2},
		{"do": "again", "id": newID(42), "pour": newID(40)},
		{"do": "plain", "id": newID(42), "name": "pint", "vol_ul": 568_000, "abv_bp": 450, "keep": true},
		{"do": "water", "id": newID(42), "vol_ul": 1},
		{"do": "edit", "id": newID(40), "kind": "pour", "set": obj{"score_x10": 80, "note": "x", "tag.a": true, "made": "x"}},
		{"do": "bottle", "id": newID(42), "name": "gin", "abv_bp": 4000, "opened_on": "2026-05-01"},
		{"do": "choose", "id": newID(40), "field": "note", "stamp": "phone000000.1"},
		{"do": "keep_both", "id": newID(40), "field": "note"},
		{"do": "delete", "id": sourID}, {"do": "restore", "id": newID(41)}, {"do": "erase", "id": newID(41)}, {"do": "benchmark", "spec": sourID},
		{"do": "set", "name": "country", "value": "DE"}, {"do": "day", "day": "2026-05-12", "alcohol_free": true},
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

// FuzzQuestion: whatever comes in as a question, it is answered with JSON or refused.
func FuzzQuestion(f *testing.F) {
	b := demo(f)
	seeds(f, b, []obj{
		{"q": "tonight"}, {"q": "journal", "days": 7, "text": "pear"}, {"q": "pour", "id": newID(40)}, {"q": "specs", "text": "x"}, {"q": "spec", "id": sourID},
		{"q": "draft", "lines": []string{"1 oz gin", "1 part rum", "top with soda"}, "method": "shaken", "spec": sourID, "part_ul": 3},
		{"q": "sheet", "spec": sourID, "swap": obj{"line": b.line(sourID, 0), "ingredient": "stock.gin"}, "share_bp": 5000},
		{"q": "week"}, {"q": "bottles"}, {"q": "side"}, {"q": "clash", "id": sourID}, {"q": "keeper"},
	})
	reader := schema.NewReader()
	f.Fuzz(func(t *testing.T, raw []byte) {
		answer, err := reader.Ask(b, b.now, raw)
		var r *journal.Refusal
		switch {
		case err == nil && !json.Valid(answer):
			t.Fatalf("no JSON: %s", answer)
		case err != nil && !errors.As(err, &r):
			t.Fatalf("not a refusal: %v", err)
		}
	})
}

// FuzzStored: whatever another device put into the fields (an older app, a newer one, a broken one), every question is
// answered.
func FuzzStored(f *testing.F) {
	f.Add("line", "typed", "made 1\tshaken\t", int64(-5))
	f.Add("pour", "made", "made 1\tshaken\tcubes\ngin\t\t\t\t45000\t4000\t0\t0", int64(1<<52))
	f.Add("pour", "at_ms", "x", int64(-1<<52))
	f.Add("line", "qty_e6", "part", int64(0))
	f.Add("set", "value", "AU", int64(999))
	f.Add("level", "left_ul", "", int64(-1<<52))
	f.Add("spec", "total_ul", "", int64(-3))
	questions := []obj{
		{"q": "tonight"}, {"q": "journal", "days": 7}, {"q": "pour", "id": newID(40)}, {"q": "specs"}, {"q": "spec", "id": sourID},
		{"q": "sheet", "spec": sourID}, {"q": "week"}, {"q": "bottles"}, {"q": "side"}, {"q": "clash", "id": sourID}, {"q": "keeper"},
	}
	f.Fuzz(func(t *testing.T, kind, field, text string, number int64) {
		b := demo(t)
		b.Each(kind, func(e *replica.Entity) bool {
			c := e.Clone()
			c.Put(field, replica.Write{Stamp: replica.Stamp{Run: "other000000", N: 1}, At: evening + 1, Value: replica.Text(text)})
			c.Put(field+"_ul", replica.Write{Stamp: replica.Stamp{Run: "other000000", N: 1}, At: evening + 1, Value: replica.Int(number)})
			for _, f := range schema.Group(kind, field) {
				c.Put(f, replica.Write{Stamp: replica.Stamp{Run: "other000000", N: 2}, At: evening + 2, Value: replica.Int(number)})
			}
			b.state.Adopt(c)
			return true
		})
		b.kinds = nil
		for _, q := range questions {
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
