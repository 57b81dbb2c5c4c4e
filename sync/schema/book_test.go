package schema_test

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/journal/count"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/schema"
)

// book is one device's journal for tests: intents go in, questions come out, and two books can be joined.
type book struct {
	t     testing.TB
	state *replica.State
	run   replica.Run
	n     uint64
	now   schema.Now
	kinds map[string][]*replica.Entity // by kind, in id order; nil when something changed
}

// evening is 22:04 on Friday 15 May 2026 at two hours east of UTC.
var evening = int64(count.DayOf(2026, 5, 15))*86_400_000 + 20*3_600_000 + 4*60_000

const minute = int64(60_000)

func newBook(t testing.TB, device string) *book {
	return &book{t: t, state: replica.NewState(), run: replica.Run((device + "00000000000")[:11]), now: schema.Now{MS: evening, OffsetMin: 120, Zone: "Europe/Paris"}}
}

func (b *book) Get(id replica.ID) (*replica.Entity, bool) { return b.state.Get(id) }

func (b *book) Each(kind string, fn func(*replica.Entity) bool) {
	if b.kinds == nil {
		b.kinds = map[string][]*replica.Entity{}
		for e := range b.state.Entities() {
			b.kinds[e.Kind] = append(b.kinds[e.Kind], e)
		}
	}
	for _, e := range b.kinds[kind] {
		if !fn(e) {
			return
		}
	}
}

func (b *book) DeviceOf(r replica.Run) string {
	if r == b.run {
		return ""
	}
	return string(r[:5])
}

// plan gives what an intent comes to.
func (b *book) plan(intent any) (schema.Plan, error) {
	raw, err := json.Marshal(intent)
	require.NoError(b.t, err)
	return schema.Act(b, b.now, raw)
}

// do carries an intent out.
func (b *book) do(intent any) schema.Done {
	b.t.Helper()
	p, err := b.plan(intent)
	require.NoError(b.t, err)
	b.apply(p)
	return p.Done
}

func (b *book) apply(p schema.Plan) {
	b.t.Helper()
	if len(p.Edits) == 0 {
		return
	}
	b.n++
	a := &replica.Action{Stamp: replica.Stamp{Run: b.run, N: b.n}, At: b.now.MS, Edits: p.Edits}
	require.Nil(b.t, replica.CheckAction(a))
	require.Equal(b.t, replica.Taken, b.state.Apply(a))
	require.NoError(b.t, b.state.Check())
	b.kinds = nil
}

// refused gives the code an intent is refused with.
func (b *book) refused(intent any) string {
	b.t.Helper()
	_, err := b.plan(intent)
	require.Error(b.t, err, "%v", intent)
	return refusal(b.t.(*testing.T), err)
}

// join takes in what another book has, and gives both the same.
func (b *book) join(o *book) {
	j := replica.Join(b.state, o.state)
	b.state, o.state = j, replica.Join(o.state, b.state)
	b.kinds, o.kinds = nil, nil
	require.Equal(b.t, b.state.AppendCanon(nil), o.state.AppendCanon(nil))
}

// obj is a JSON object.
type obj = map[string]any

// ask answers a question as a JSON object.
func (b *book) ask(question any) obj {
	b.t.Helper()
	raw, err := json.Marshal(question)
	require.NoError(b.t, err)
	answer, err := schema.Ask(b, b.now, raw)
	require.NoError(b.t, err)
	var out obj
	require.NoError(b.t, json.Unmarshal(answer, &out))
	return out
}

// at digs into JSON: names of keys and places in lists.
func dig(t testing.TB, from any, path ...any) any {
	t.Helper()
	for _, p := range path {
		switch p := p.(type) {
		case string:
			o, ok := from.(obj)
			require.True(t, ok, "%q of %v", p, from)
			from, ok = o[p]
			require.True(t, ok, "no %q in %v", p, slices.Sorted(maps.Keys(o)))
		case int:
			l, ok := from.([]any)
			require.True(t, ok && p < len(l), "%d of %v", p, from)
			from = l[p]
		}
	}
	return from
}

// newID makes an id as a page mints them: greater for a greater n.
func newID(n int) replica.ID { return replica.ID(fmt.Sprintf("01KRPZ0000%016d", n)) }

// The things of the demo journal.
var (
	sourID      = newID(1)
	sourDrink   = newID(2)
	juniper     = newID(10)
	floral      = newID(11)
	citrusLed   = newID(12)
	clearPear   = newID(13)
	juniperFull = newID(20)
)

// orchard is a journal with the invented Orchard Sour in it, not poured yet.
func orchard(t testing.TB, device string) *book {
	b := newBook(t, device)
	b.do(obj{"do": "set", "name": "country", "value": "AU"})
	for _, i := range []struct {
		id     replica.ID
		name   string
		abv    int
		family string
	}{{juniper, "juniper-heavy gin", 4700, "gin"}, {floral, "soft floral gin", 4150, "gin"}, {citrusLed, "citrus-led gin", 4400, "gin"}, {clearPear, "pear eau-de-vie", 4200, "fruit_spirit"}} {
		b.do(obj{"do": "edit", "id": i.id, "kind": "ingredient", "set": obj{"name": i.name, "abv_bp": i.abv, "family": i.family}})
	}
	b.do(obj{"do": "bottle", "id": juniperFull, "name": "", "ingredient": juniper, "size_ul": 700_000, "price_minor": 3500, "currency": "EUR", "opened_on": "2026-05-01"})
	b.do(obj{
		"do": "spec", "id": sourID, "drink": sourDrink, "drink_name": "Orchard Sour", "method": "shaken", "ice": "cubes", "glass": "coupe", "garnish": "bay leaf",
		"lines": []obj{
			{"typed": "1¼ oz juniper-heavy gin"}, {"typed": "½ oz pear eau-de-vie"}, {"typed": "½ oz quince liqueur, 24 %"}, {"typed": "¾ oz lemon juice"},
			{"typed": "½ oz honey syrup"}, {"typed": "2 dashes orange bitters, 45 %"},
		},
	})
	return b
}

// lineID gives the id of one line of a spec.
func (b *book) line(spec replica.ID, n int) replica.ID {
	b.t.Helper()
	return schema.Read(b, b.now).Lines(spec)[n].ID
}
