package schema_test

import (
	"encoding/json"
	"fmt"
	"testing"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/schema"
)

// BenchmarkWays: what an answer costs over 150 ingredients and 400 specs, without pours.
func BenchmarkWays(b *testing.B) {
	j := large(b, 0)
	spec := newID(900_001)
	j.do(obj{"do": "spec", "id": spec, "name": "Orchard Sour", "method": "shaken", "lines": []obj{
		{"typed": "45 ml gin"}, {"typed": "22.5 ml lime juice"}, {"typed": "15 ml simple syrup"}, {"typed": "15 ml orange liqueur"}, {"typed": "10 ml quince liqueur, 20 %"}, {"typed": "2 dashes orange bitters"},
	}})
	lines := schema.Read(j, j.now).Lines(spec)
	for _, q := range []struct {
		name string
		obj
	}{
		{"choices", obj{"q": "ways", "spec": spec, "line": lines[0].ID}},
		{"spirit", obj{"q": "ways", "spec": spec, "line": lines[0].ID, "ingredient": "stock.overproof_rum"}},
		{"citrus", obj{"q": "ways", "spec": spec, "line": lines[1].ID, "ingredient": "stock.orange_juice"}},
		{"sweetener", obj{"q": "ways", "spec": spec, "line": lines[2].ID, "ingredient": "stock.honey"}},
		{"apart", obj{"q": "ways", "spec": spec, "line": lines[3].ID}},
		{"touches", obj{"q": "touches", "spec": spec}},
		{"difference", obj{"q": "difference", "a": replica.ID(spec), "b": newID(4001)}},
	} {
		raw, err := json.Marshal(q.obj)
		if err != nil {
			b.Fatal(err)
		}
		for _, again := range []bool{false, true} {
			b.Run(fmt.Sprintf("%s/again=%t", q.name, again), func(b *testing.B) {
				b.ReportAllocs()
				reader := schema.NewReader()
				for b.Loop() {
					if !again {
						reader = schema.NewReader()
					}
					if _, err := reader.Ask(j, j.now, raw); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}
