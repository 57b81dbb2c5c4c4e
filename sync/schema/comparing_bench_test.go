package schema_test

import (
	"encoding/json"
	"testing"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/schema"
)

// BenchmarkComparing: 50 by 50 with 200 tastings.
func BenchmarkComparing(b *testing.B) {
	j := orchard(b, "phone")
	gin, pear := j.line(sourID, 0), j.line(sourID, 1)
	j.do(obj{"do": "compare", "id": gins, "base": sourID, "lines": []any{gin, pear}})
	swaps := dig(b, j.ask(obj{"q": "comparison", "id": gins}), "swaps").([]any)
	var all [2][]replica.ID
	for i := range 49 {
		for k, swap := range swaps {
			id := newID(20_000 + 100*k + i)
			j.do(obj{"do": "edit", "id": id, "kind": "ingredient", "set": obj{"name": "spirit " + string(id[20:]), "abv_bp": 4000 + i}})
			j.do(obj{"do": "candidate", "id": newID(21_000 + 100*k + i), "swap": dig(b, swap, "id"), "ingredient": id})
			all[k] = append(all[k], id)
		}
	}
	for i := range 200 {
		spec := replica.ID(sourID)
		if i%8 > 0 {
			j.do(obj{"do": "pour", "id": newID(22_000 + 2*i), "spec": spec, "swap": obj{"line": gin, "ingredient": all[0][i%49]}})
			for _, s := range schema.Read(j, j.now).Specs() {
				if l := schema.Read(j, j.now).Lines(s.ID); l[0].Ingredient == all[0][i%49] && l[1].Ingredient == clearPear {
					spec = s.ID
				}
			}
			line := schema.Read(j, j.now).Lines(spec)[1].ID
			j.do(obj{"do": "pour", "id": newID(22_001 + 2*i), "spec": spec, "swap": obj{"line": line, "ingredient": all[1][i*7%49]}, "score_x10": 40 + i*35%60/5*5, "at_ms": evening - int64(i)*700*minute})
			continue
		}
		j.do(obj{"do": "pour", "id": newID(22_001 + 2*i), "spec": spec, "score_x10": 70, "at_ms": evening - int64(i)*700*minute})
	}
	for _, q := range []obj{{"q": "comparisons"}, {"q": "comparison", "id": gins}, {"q": "plan", "id": gins, "glasses": 6, "pour_ul": 15_000, "seed": "1"}} {
		raw, err := json.Marshal(q)
		if err != nil {
			b.Fatal(err)
		}
		b.Run(q["q"].(string), func(b *testing.B) {
			b.ReportAllocs()
			reader := schema.NewReader()
			for b.Loop() {
				if _, err := reader.Ask(j, j.now, raw); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
