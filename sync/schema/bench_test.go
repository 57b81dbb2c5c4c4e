package schema_test

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"testing"

	"fairmeasure/journal"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/schema"
)

// large is a journal of several years: 100 drinks of four specs with six lines, 150 ingredients each with a bottle, and
// pours over 1,900 days, the last of them this evening.
func large(tb testing.TB, pours int) *book {
	b := newBook(tb, "large")
	rng := rand.New(rand.NewPCG(7, 5))
	n := 0
	put := func(id replica.ID, kind string, set map[string]replica.Value) replica.ID {
		n++
		e := &replica.Entity{ID: id, Kind: kind, Fields: map[string][]replica.Write{}}
		s := replica.Stamp{Run: replica.Run(fmt.Sprintf("run%08d", n/5)), N: uint64(n%5 + 1)}
		b.state.RaiseSeen(s.Run, s.N)
		for f, v := range set {
			e.Put(f, replica.Write{Stamp: s, At: evening - 1000, Value: v})
		}
		b.state.Adopt(e)
		return id
	}
	names := []string{"gin", "rye", "aged rum", "pear eau-de-vie", "quince liqueur", "lemon juice", "honey syrup", "orange bitters", "verjus", "dry vermouth"}
	var ingredients, bottles []replica.ID
	for i := range 150 {
		id := put(newID(1000+i), "ingredient", map[string]replica.Value{
			"name": replica.Text(fmt.Sprintf("%s no. %d", names[i%10], i)), "abv_bp": replica.Int(int64(rng.IntN(5000))), "family": replica.Text("gin"),
		})
		ingredients = append(ingredients, id)
		bottles = append(bottles, put(newID(2000+i), "bottle", map[string]replica.Value{
			"ingredient": replica.Text(string(id)), "size_ul": replica.Int(700_000), "price_minor": replica.Int(3000), "currency": replica.Text("EUR"), "opened_on": replica.Text("2026-01-01"),
		}))
	}
	type glass struct {
		drink, spec replica.ID
		made        string
	}
	var glasses []glass
	for i := range 400 {
		drink, spec := newID(3000+i/4), newID(4000+i)
		if i%4 == 0 {
			put(drink, "drink", map[string]replica.Value{"name": replica.Text(fmt.Sprintf("drink %d", i/4)), "benchmark": replica.Text(string(spec))})
		}
		set := map[string]replica.Value{"drink": replica.Text(string(drink)), "method": replica.Text("shaken"), "ice": replica.Text("cubes"), "glass": replica.Text("coupe")}
		if i%4 != 0 {
			set["parent"] = replica.Text(string(newID(4000 + i - i%4)))
		}
		put(spec, "spec", set)
		made := journal.Made{Method: journal.Shaken, Ice: "cubes"}
		for l := range 6 {
			at := (i*7 + l*31) % 150
			name, volume := fmt.Sprintf("%s no. %d", names[at%10], at), int64(5000+rng.IntN(40)*1000)
			fields := map[string]replica.Value{
				"owner": replica.Text(string(spec)), "pos": replica.Text(string("5FPZjt"[l])), "typed": replica.Text(fmt.Sprintf("%d ml %s", volume/1000, name)),
				"unit": replica.Text("ml"), "qty_e6": replica.Int(volume * 1000), "vol_ul": replica.Int(volume), "name": replica.Text(name), "ingredient": replica.Text(string(ingredients[at])),
			}
			for _, f := range schema.Group("line", "typed") {
				if _, ok := fields[f]; !ok {
					fields[f] = replica.Null
				}
			}
			put(newID(10_000+i*10+l), "line", fields)
		}
		b.kinds = nil
		v, _ := schema.Read(b, b.now).Version(spec)
		for _, p := range schema.Read(b, b.now).Glass(v).Parts {
			p.Bottle = journal.ID(bottles[rng.IntN(150)])
			made.Parts = append(made.Parts, p)
		}
		text, err := made.Text()
		if err != nil {
			tb.Fatal(err)
		}
		glasses = append(glasses, glass{drink, spec, text})
	}
	for i := range pours {
		g := glasses[rng.IntN(len(glasses))]
		at := evening - int64(pours-1-i)*1900/int64(pours)*86_400_000
		set := map[string]replica.Value{
			"drink": replica.Text(string(g.drink)), "spec": replica.Text(string(g.spec)), "made": replica.Text(g.made), "at_ms": replica.Int(at), "offset_min": replica.Int(120),
			"zone": replica.Text("Europe/Paris"), "share_bp": replica.Int(10_000), "note": replica.Text("sharp, then round; a touch loud on the nose"), "tag.pear": replica.Bool(true),
		}
		if i%3 == 0 {
			set["score_x10"], set["scale"] = replica.Int(int64(rng.IntN(21)*5)), replica.Null
		}
		put(newID(100_000+i), "pour", set)
	}
	b.kinds = nil
	b.Each("pour", func(*replica.Entity) bool { return false })
	return b
}

// BenchmarkAsk: each question over 5,000 pours and 400 specs, the first time and once the reader knows the glasses.
func BenchmarkAsk(b *testing.B) {
	j := large(b, 5000)
	spec := newID(4001)
	for _, q := range []obj{
		{"q": "tonight"}, {"q": "journal", "days": 30}, {"q": "journal", "days": 3000}, {"q": "pour", "id": newID(104_999)}, {"q": "specs"}, {"q": "spec", "id": spec},
		{"q": "sheet", "spec": spec}, {"q": "week"}, {"q": "bottles"}, {"q": "side"}, {"q": "keeper"},
		{"q": "draft", "method": "shaken", "lines": []string{"45 ml gin", "20 ml lemon juice", "20 ml honey syrup"}},
	} {
		raw, _ := json.Marshal(q)
		name := fmt.Sprint(q["q"])
		if d, ok := q["days"]; ok {
			name += fmt.Sprint("-", d)
		}
		b.Run(name+"/first", func(b *testing.B) {
			for b.Loop() {
				if _, err := schema.NewReader().Ask(j, j.now, raw); err != nil {
					b.Fatal(err)
				}
			}
		})
		reader := schema.NewReader()
		b.Run(name+"/again", func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := reader.Ask(j, j.now, raw); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkPour: what a tap on "Save pour" costs before anything is written.
func BenchmarkPour(b *testing.B) {
	j := large(b, 5000)
	l := schema.Read(j, j.now).Lines(newID(4000))[0].ID
	raw, _ := json.Marshal(obj{"do": "pour", "id": newID(999_999), "spec": newID(4000), "swap": obj{"line": l, "ingredient": newID(1100)}})
	for b.Loop() {
		if _, err := schema.Act(j, j.now, raw); err != nil {
			b.Fatal(err)
		}
	}
}
