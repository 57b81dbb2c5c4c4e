package schema_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fairmeasure/sync/replica"
	"fairmeasure/testdata"
)

// called gives the names of the versions of a drink, by spec, as its tree lists them.
func (b *book) called(spec replica.ID) map[string]string {
	b.t.Helper()
	out := map[string]string{}
	for _, r := range b.ask(obj{"q": "spec", "id": spec})["tree"].([]any) {
		out[dig(b.t, r, "row", "id").(string)] = dig(b.t, r, "row", "name").(string)
	}
	return out
}

// TestVersionNames holds C323 to C328: a version is named by all in which it differs from the benchmark.
func TestVersionNames(t *testing.T) {
	for _, row := range testdata.Rows(t, "cases/names_cases.csv") {
		t.Run(row["id"], func(t *testing.T) {
			var in struct {
				Benchmark []string
				Versions  map[string]map[string]string
				Becomes   string `json:"benchmark_becomes"`
			}
			require.NoError(t, json.Unmarshal([]byte(row["input"]), &in))
			var want map[string]any
			require.NoError(t, json.Unmarshal([]byte(row["expected"]), &want))
			b := newBook(t, "phone")
			lines := []obj{}
			for _, typed := range in.Benchmark {
				lines = append(lines, obj{"typed": typed})
			}
			b.do(obj{"do": "spec", "id": newID(10), "drink_name": "any", "method": "shaken", "lines": lines})
			ids := map[string]replica.ID{"benchmark": newID(10), "old_benchmark": newID(10)}
			for n := 1; in.Versions[fmt.Sprint("V", n)] != nil; n++ {
				v := in.Versions[fmt.Sprint("V", n)]
				parent := ids["benchmark"]
				if v["parent"] != "" {
					parent = ids[v["parent"]]
				}
				lines := []obj{}
				for i, l := range b.ask(obj{"q": "spec", "id": parent})["lines"].([]any) {
					typed := dig(t, l, "typed").(string)
					if typed == v["without"] {
						continue
					}
					if to := v[fmt.Sprint("line", i+1)]; to != "" {
						typed = to
					}
					lines = append(lines, obj{"keep": dig(t, l, "id"), "typed": typed})
				}
				if v["added"] != "" {
					lines = append(lines, obj{"typed": v["added"]})
				}
				id := newID(10 + n)
				ids[fmt.Sprint("V", n)] = id
				b.do(obj{"do": "spec", "id": id, "drink": dig(t, b.ask(obj{"q": "spec", "id": parent}), "drink"), "parent": parent, "name": v["name"], "method": "shaken", "lines": lines})
			}
			if in.Becomes != "" {
				b.do(obj{"do": "benchmark", "spec": ids[in.Becomes]})
			}
			n := 50
			name := func(which string) string {
				n++
				b.do(obj{"do": "pour", "id": newID(n), "spec": ids[which]})
				return dig(t, b.ask(obj{"q": "pour", "id": newID(n)}), "pour", "version").(string)
			}
			for which, is := range want {
				switch which {
				case "rows":
					require.Len(t, b.called(newID(10)), int(is.(float64)))
				case "differ":
					require.NotEqual(t, name("V1"), name("V2"))
				case "each_says_line3":
					for _, v := range []string{"V1", "V2"} {
						_, said, _ := strings.Cut(in.Versions[v]["line3"], "ml ")
						require.Contains(t, name(v), said)
					}
				default:
					require.Equal(t, is, name(which), which)
				}
			}
		})
	}
}

// TestVersionsOfOneDrinkNeverShareAName: riffs of riffs of a drink, whatever is swapped, measured otherwise, added, left out,
// moved or served otherwise, with and without names of their own, are told apart by name wherever what is in them differs.
func TestVersionsOfOneDrinkNeverShareAName(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := newBook(t, "phone")
		for n, strength := range []int{4000, 4700, 4700} {
			b.do(obj{"do": "edit", "kind": "ingredient", "id": newID(800 + n), "set": obj{"name": "house gin", "abv_bp": strength}})
		}
		pool := []string{"30 ml gin", "35 ml gin", "30 ml house gin", "30 ml pisco", "30 ml gin, 47 %", "22.5 ml lime juice", "25 ml lime juice", "1 part verjus", "2 dashes bitters", "top with soda"}
		one := func(label string) string { return rapid.SampledFrom(pool).Draw(rt, label) }
		b.do(obj{"do": "spec", "id": newID(10), "drink_name": "any", "method": "shaken", "lines": []obj{{"typed": one("a")}, {"typed": one("b")}, {"typed": one("c")}}})
		drink := dig(t, b.ask(obj{"q": "spec", "id": newID(10)}), "drink")
		ids := []replica.ID{newID(10)}
		for n := range rapid.IntRange(1, 10).Draw(rt, "riffs") {
			parent := rapid.SampledFrom(ids).Draw(rt, "parent")
			lines := []obj{}
			for _, l := range b.ask(obj{"q": "spec", "id": parent})["lines"].([]any) {
				line := obj{"keep": dig(t, l, "id"), "typed": dig(t, l, "typed")}
				switch rapid.IntRange(0, 5).Draw(rt, "how") {
				case 0:
					line["typed"] = one("instead")
				case 1:
					line = obj{"typed": one("anew")}
				case 2:
					if len(lines) > 0 {
						continue
					}
				case 3:
					line["typed"], line["ingredient"] = "30 ml house gin", rapid.SampledFrom([]replica.ID{newID(800), newID(801), newID(802)}).Draw(rt, "house")
				}
				lines = append(lines, line)
			}
			if rapid.IntRange(0, 3).Draw(rt, "more") == 0 {
				lines = append(lines, obj{"typed": one("added")})
			}
			if rapid.IntRange(0, 5).Draw(rt, "order") == 0 {
				lines[0], lines[len(lines)-1] = lines[len(lines)-1], lines[0]
			}
			id := newID(11 + n)
			spec := obj{"do": "spec", "id": id, "drink": drink, "parent": parent, "lines": lines,
				"method":  rapid.SampledFrom([]string{"shaken", "shaken", "stirred", ""}).Draw(rt, "method"),
				"garnish": rapid.SampledFrom([]string{"", "", "bay leaf"}).Draw(rt, "garnish"),
				"name":    rapid.SampledFrom([]string{"", "", "", "Dockside", "benchmark", "any"}).Draw(rt, "name")}
			if rapid.IntRange(0, 3).Draw(rt, "part") == 0 {
				spec["part_ul"] = rapid.SampledFrom([]int{20_000, 30_000}).Draw(rt, "size")
			}
			b.do(spec)
			ids = append(ids, id)
		}
		if rapid.Bool().Draw(rt, "other benchmark") {
			b.do(obj{"do": "benchmark", "spec": rapid.SampledFrom(ids).Draw(rt, "benchmark")})
		}
		for n, id := range ids {
			b.do(obj{"do": "pour", "id": newID(100 + n), "spec": id})
		}
		if rapid.Bool().Draw(rt, "trash") {
			b.do(obj{"do": "delete", "id": rapid.SampledFrom(ids).Draw(rt, "deleted")})
		}
		rows, pours := map[string]string{}, map[string]string{}
		var head replica.ID
		for _, d := range b.ask(obj{"q": "specs"})["drinks"].([]any) {
			for _, r := range dig(t, d, "specs").([]any) {
				id, name := dig(t, r, "id").(string), dig(t, r, "name").(string)
				require.Empty(rt, rows[name], "%q names %s too", name, id)
				rows[name] = id
				head = replica.ID(id)
			}
		}
		require.NotEmpty(rt, head)
		for n := range ids {
			p := b.ask(obj{"q": "pour", "id": newID(100 + n)})
			version := dig(t, p, "pour", "version").(string)
			raw, err := json.Marshal(dig(t, p, "lines"))
			require.NoError(rt, err)
			content := string(raw) + dig(t, p, "method").(string)
			if was, had := pours[version]; had {
				require.Equal(rt, was, content, "both are called %q", version)
			}
			pours[version] = content
		}
	})
}
