package device_test

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/device"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/schema"
	"fairmeasure/sync/wire"
)

// bring brings a file and gives what it counted. At most so many steps; below zero: all.
func (p *phone) bring(x *wire.Export, steps int) (entries, left, changes int) {
	p.t.Helper()
	b, err := p.dev.Bring(x)
	require.NoError(p.t, err)
	last := 0
	for ; !b.Over() && steps != 0; steps-- {
		c, err := b.Step(p.now, 120)
		require.NoError(p.t, err)
		if c != nil {
			require.True(p.t, c.Strict)
			require.Empty(p.t, c.Del, "nothing is taken away")
			require.NotEmpty(p.t, c.IDs)
			again, err := b.Step(p.now, 120)
			require.ErrorIs(p.t, err, device.ErrUnsettled, "one change at a time")
			require.Nil(p.t, again)
			p.write(c)
			changes++
		}
		done, total := b.Progress()
		require.LessOrEqual(p.t, done, total)
		require.True(p.t, b.Over() || done > last, "each step gets on")
		last = done
	}
	entries, left = b.Brought()
	return entries, left, changes
}

func fileOf(t testing.TB, p *phone) *wire.Export {
	t.Helper()
	text, _ := export(t, p)
	x, err := wire.DecodeExport(text)
	require.NoError(t, err)
	return x
}

// shown is everything a device shows, by id.
func shown(p *phone) map[replica.ID]*replica.Entity {
	all := map[replica.ID]*replica.Entity{}
	for _, kind := range p.dev.Kinds() {
		p.dev.Each(kind, func(e *replica.Entity) bool {
			all[e.ID] = e.Clone()
			return true
		})
	}
	return all
}

// state is what is seen without who wrote it and when: by thing, the versions of each group and whether it is in the
// trash.
func state(p *phone) map[replica.ID]string {
	all := map[replica.ID]string{}
	for id, e := range shown(p) {
		var lines []string
		for _, f := range e.Names() {
			if f == replica.Gone {
				continue
			}
			group := schema.Group(e.Kind, f)
			for _, v := range replica.Versions(e, group) {
				line := ""
				for _, g := range group {
					if value, live := v.Value(g); live {
						line += fmt.Sprintf("%s=%v ", g, value)
					}
				}
				lines = append(lines, line)
			}
		}
		slices.Sort(lines)
		all[id] = fmt.Sprint(e.Kind, replica.Deleted(e), slices.Compact(lines))
	}
	return all
}

// things are ids and kinds that two journals may share, one of each kind; "level" and "line" belong to others.
var things = []struct {
	id   replica.ID
	kind string
}{
	{id(1), "pour"}, {id(2), "spec"}, {id(3), "line"}, {id(4), "bottle"}, {id(5), "level"}, {id(6), "later_kind"},
	{"day.2026-05-14", "day"}, {"set.country", "set"}, {id(7), "pour"}, {id(8), "drink"},
}

var fieldsOf = map[string][]string{
	"pour": {"note", "score_x10", "scale", "name", "vol_ul"}, "spec": {"name", "note"}, "line": {"typed", "unit", "owner"},
	"bottle": {"price_minor", "currency", "size_ul"}, "level": {"bottle", "left_ul"}, "later_kind": {"a", "b"}, "day": {"alcohol_free"},
	"set": {"value"}, "drink": {"name"},
}

// live makes a phone do a few dozen things that a person may do, some of them apart from a second phone.
func live(p *phone, r *rand.Rand, s *server, other *phone) {
	for range 3 + r.IntN(30) {
		q := p
		if other != nil && r.IntN(3) == 0 {
			q = other
		}
		thing := things[r.IntN(len(things))]
		e, there := q.dev.Get(thing.id)
		var ed replica.Edit
		var err error
		switch what := r.IntN(9); {
		case what == 0 && there:
			ed, err = schema.Delete(q.dev, thing.id)
		case what == 1 && there:
			ed, err = schema.Restore(q.dev, thing.id)
		case what == 2 && there && replica.Deleted(e) == replica.Hidden:
			ed, err = schema.Erase(q.dev, thing.id)
		case what == 3 && other != nil:
			q.sync(s)
			continue
		default:
			fields := fieldsOf[thing.kind]
			value := []replica.Value{replica.Text("a"), replica.Text("b"), replica.Int(int64(r.IntN(3))), replica.Null}[r.IntN(4)]
			ed, err = schema.Set(q.dev, thing.id, thing.kind, map[string]replica.Value{fields[r.IntN(len(fields))]: value})
		}
		require.NoError(p.t, err)
		q.act(ed)
		q.now += int64(r.IntN(5))
	}
	if other != nil && r.IntN(2) == 0 {
		other.sync(s)
		p.sync(s)
	}
}

// lived gives a phone with a past of its own; its runs are from, from+1, ....
func lived(t testing.TB, r *rand.Rand, from int) *phone {
	s, p := newServer(), newPhone(t)
	p.runs = from
	var other *phone
	if r.IntN(2) == 0 {
		other = newPhone(t)
		other.runs = from + 500
	}
	live(p, r, s, other)
	return p
}

const bringHistories = 400

func forEachPast(t *testing.T, fn func(t *testing.T, r *rand.Rand)) {
	t.Helper()
	for seed := range uint64(bringHistories) {
		fn(t, rand.New(rand.NewPCG(seed, 7)))
		if t.Failed() {
			t.Fatalf("seed %d", seed)
		}
	}
}

func TestBringLosesNothingAndReplacesNothing(t *testing.T) {
	kept, trashed := 0, 0
	forEachPast(t, func(t *testing.T, r *rand.Rand) {
		from, to := lived(t, r, 0), lived(t, r, 1000)
		x := fileOf(t, from)
		theirs, before := shown(imported(t, x)), shown(to)
		_, left, _ := to.bring(x, -1)
		require.Zero(t, left)
		after := shown(to)
		for id, e := range theirs {
			if e.Kind == "set" {
				continue
			}
			for _, f := range e.Names() {
				if f == replica.Gone {
					continue
				}
				require.NotNil(t, after[id], "%s is not here", id)
				group := schema.Group(e.Kind, f)
				for _, v := range replica.Versions(e, group) {
					require.True(t, slices.ContainsFunc(replica.Versions(after[id], group), func(o replica.Version) bool { return o.Same(v, group) }),
						"%s %s: a value of the file is not live", id, f)
				}
			}
			if replica.Deleted(e) == replica.Hidden && (before[id] == nil || replica.Deleted(before[id]) == replica.Hidden) && after[id] != nil {
				require.Equal(t, replica.Hidden, replica.Deleted(after[id]), "%s is in the trash of both", id)
				trashed++
			}
		}
		for id, e := range before {
			if replica.Deleted(e).Shown() {
				require.Equal(t, replica.Deleted(e), replica.Deleted(after[id]), "%s was deleted", id)
			}
			for f, writes := range e.Fields {
				for _, w := range writes {
					now, live := after[id].Find(f, w.Stamp)
					require.True(t, live, "%s %s %s was replaced", id, f, w.Stamp)
					require.Equal(t, w, now)
				}
			}
			kept++
		}
		for id := range after {
			require.True(t, before[id] != nil || theirs[id] != nil)
		}
	})
	require.Greater(t, kept, 1000)
	require.Greater(t, trashed, 20)
}

func TestBringTwiceIsOnce(t *testing.T) {
	forEachPast(t, func(t *testing.T, r *rand.Rand) {
		from, to := lived(t, r, 0), lived(t, r, 1000)
		x := fileOf(t, from)
		to.bring(x, -1)
		once, rev := shown(to), to.rev
		to.open()
		entries, _, changes := to.bring(x, -1)
		require.Zero(t, entries)
		require.Zero(t, changes)
		require.Equal(t, rev, to.rev)
		require.Equal(t, once, shown(to))
	})
}

func TestBringingBackWhatCameFromHere(t *testing.T) {
	forEachPast(t, func(t *testing.T, r *rand.Rand) {
		p := lived(t, r, 0)
		before := shown(p)
		_, left, changes := p.bring(fileOf(t, p), -1)
		require.Zero(t, changes, "the journal's own file of this moment holds nothing new")
		require.Zero(t, left)
		require.Equal(t, before, shown(p))
	})
}

func TestBringInAnyOrder(t *testing.T) {
	forEachPast(t, func(t *testing.T, r *rand.Rand) {
		from, past := lived(t, r, 0), lived(t, r, 1000)
		x := fileOf(t, from)
		one, two := copyOf(past), copyOf(past)
		one.bring(x, -1)
		r.Shuffle(len(x.Ents), func(i, j int) { x.Ents[i], x.Ents[j] = x.Ents[j], x.Ents[i] })
		two.bring(x, -1)
		require.Equal(t, one.disk, two.disk)
	})
}

// copyOf is a device on a copy of a phone's disk.
func copyOf(p *phone) *phone {
	q := &phone{t: p.t, disk: map[string]map[string]string{}, rev: p.rev, runs: p.runs, now: p.now}
	for store, rows := range p.disk {
		q.disk[store] = maps.Clone(rows)
	}
	q.open()
	return q
}

func TestTwoDevicesBringTheSameFile(t *testing.T) {
	forEachPast(t, func(t *testing.T, r *rand.Rand) {
		from := newPhone(t)
		live(from, r, nil, nil) // one device: the file has no clash of its own
		x := fileOf(t, from)
		s := newServer()
		one, two := newPhone(t), newPhone(t)
		one.runs, two.runs = 1000, 2000
		one.bring(x, -1)
		two.now += int64(r.IntN(1000)) - 500
		two.bring(x, -1)
		for range 2 {
			one.sync(s)
			two.sync(s)
		}
		require.Empty(t, one.dev.Looks())
		require.Empty(t, two.dev.Looks())
		require.Equal(t, shown(one), shown(two))
		want := state(from)
		for id, e := range shown(from) {
			if e.Kind == "set" || onlyGone(e) {
				delete(want, id)
			} else if replica.Deleted(e) == replica.DeletedAndChanged || replica.Deleted(e) == replica.DeletedAndRestored {
				want[id] = strings.Replace(want[id], fmt.Sprint(replica.Deleted(e)), fmt.Sprint(replica.NotDeleted), 1)
			}
		}
		require.Equal(t, want, state(one), "and it is what the file held")
	})
}

func onlyGone(e *replica.Entity) bool { return len(e.Names()) == 1 && len(e.Fields[replica.Gone]) > 0 }

func TestBringIsWorkedOffInSteps(t *testing.T) {
	from := newPhone(t)
	for n := range 450 {
		spec := id(10_000 + 10*n)
		edits := []replica.Edit{{ID: spec, Kind: "spec", Set: map[string]replica.Value{"name": replica.Text("Orchard Sour")}}}
		for k := range 3 {
			edits = append(edits, replica.Edit{ID: id(20_000 + n*3 + k), Kind: "line", Set: map[string]replica.Value{
				"owner": replica.Text(string(spec)), "typed": replica.Text("45 ml pear")}})
		}
		from.act(edits...)
	}
	text, _ := export(t, from)
	x, err := wire.DecodeExport(text)
	require.NoError(t, err)

	whole := newPhone(t)
	whole.runs = 1000
	entries, left, changes := whole.bring(x, -1)
	require.Equal(t, 450, entries, "lines are not counted")
	require.Zero(t, left)
	require.Greater(t, changes, 3)
	require.LessOrEqual(t, changes, 6)
	for _, row := range queueRows(t, whole) {
		owners := map[replica.ID]bool{}
		for _, ed := range row.Edits {
			if ed.Kind == "spec" {
				owners[ed.ID] = true
			}
		}
		for _, ed := range row.Edits {
			if ed.Kind == "line" {
				owner, _ := ed.Set["owner"].AsText()
				require.True(t, owners[replica.ID(owner)], "a line goes with its spec")
			}
		}
	}
	s := newServer()
	whole.sync(s)
	require.Zero(t, whole.dev.Status(whole.now).Unsent)

	t.Run("broken off and begun again", func(t *testing.T) {
		for steps := range changes {
			p := newPhone(t)
			p.runs = 1000
			first, _, _ := p.bring(x, steps)
			p.open()
			second, _, _ := p.bring(x, -1)
			require.Equal(t, 450, first+second)
			require.Equal(t, state(whole), state(p))
		}
	})
	t.Run("with other work in between", func(t *testing.T) {
		p := newPhone(t)
		p.runs = 1000
		b, err := p.dev.Bring(x)
		require.NoError(t, err)
		for !b.Over() {
			c, err := b.Step(p.now, 0)
			require.NoError(t, err)
			if c != nil {
				p.write(c)
			}
			p.set(id(1), "note", replica.Text(fmt.Sprint(b.Progress())))
			p.ask(s)
		}
		p.sync(s)
		require.Equal(t, replica.Text("1800 1800"), p.value(id(1), "note"))
	})
	t.Run("a step that was not written is brought again", func(t *testing.T) {
		p := newPhone(t)
		b, err := p.dev.Bring(x)
		require.NoError(t, err)
		c, err := b.Step(p.now, 0)
		require.NoError(t, err)
		require.ErrorIs(t, p.dev.Settle(c.No, device.Failed), device.ErrReload)
		_, err = b.Step(p.now, 0)
		require.ErrorIs(t, err, device.ErrReload)
		p.open()
		require.Empty(t, shown(p))
		entries, _, _ := p.bring(x, -1)
		require.Equal(t, 450, entries)
	})
}

func queueRows(t testing.TB, p *phone) []*replica.Action {
	t.Helper()
	var all []*replica.Action
	for _, row := range p.disk[device.StoreQueue] {
		a, err := wire.DecodeAction(row)
		require.NoError(t, err)
		require.Nil(t, replica.CheckAction(a))
		require.LessOrEqual(t, len(row), replica.MaxAction)
		for _, ed := range a.Edits {
			require.Empty(t, ed.Over, "nothing is replaced")
		}
		all = append(all, a)
	}
	return all
}

func TestBringLeavesOutWhatDoesNotFit(t *testing.T) {
	from, to := newPhone(t), newPhone(t)
	to.runs = 1000
	long := replica.Text(strings.Repeat("x", replica.MaxText))
	for n := range 6 {
		from.set(id(1), fmt.Sprint("note", n), long)
		to.set(id(1), fmt.Sprint("own", n), long)
	}
	from.set(id(2), "note", replica.Text("sharp"))
	from.set(id(3), "note", replica.Text("thin"))
	from.disk[device.StoreQueue]["99999"] = "{half"
	from.open()
	ed := replica.Edit{ID: id(2), Kind: "bottle", Set: map[string]replica.Value{"note": replica.Text("bought in May")}}
	to.act(ed)
	x := fileOf(t, from)
	x.Ents = append(x.Ents,
		&replica.Entity{ID: "set.own_day_drinks_x10", Kind: "pour", Fields: map[string][]replica.Write{"value": {{Stamp: replica.Stamp{Run: "abcdefghijk", N: 1}}}}},
		&replica.Entity{ID: "not an id", Kind: "pour", Fields: map[string][]replica.Write{"a": {{Stamp: replica.Stamp{Run: "abcdefghijk", N: 1}}}}})
	many := &replica.Entity{ID: id(4), Kind: "pour", Fields: map[string][]replica.Write{}}
	for n := range 200 {
		many.Put("score_x10", replica.Write{Stamp: replica.Stamp{Run: "abcdefghijk", N: uint64(n + 1)}, Value: replica.Int(int64(n))})
	}
	x.Ents = append(x.Ents, many)

	before := shown(to)
	entries, left, _ := to.bring(x, -1)
	require.Equal(t, 1, entries)
	require.Equal(t, 6, left, "too large together, another kind, a setting's id, no id, too many rivals, and a row that cannot be read")
	require.Equal(t, replica.Text("thin"), to.value(id(3), "note"))
	after := shown(to)
	delete(after, id(3))
	require.Equal(t, before, after, "and never half of a thing")
}

func TestBringKeepsAClashAndTheTrash(t *testing.T) {
	s, from := newServer(), newPhone(t)
	other := newPhone(t)
	other.runs = 500
	from.set(id(1), "note", replica.Text("sharp"))
	from.sync(s)
	other.sync(s)
	other.set(id(1), "note", replica.Text("round"))
	from.set(id(1), "note", replica.Text("thin"))
	other.set(id(3), "note", replica.Text("both"))
	from.set(id(3), "note", replica.Text("both"))
	other.sync(s)
	from.sync(s)
	require.Equal(t, []replica.ID{id(1)}, from.dev.Looks())
	from.set(id(2), "note", replica.Text("in the trash"))
	ed, err := schema.Delete(from.dev, id(2))
	require.NoError(t, err)
	from.act(ed)
	shownNote := from.value(id(1), "note")

	to := newPhone(t)
	to.runs = 1000
	entries, left, _ := to.bring(fileOf(t, from), -1)
	require.Equal(t, 3, entries)
	require.Zero(t, left)
	require.Equal(t, []replica.ID{id(1)}, to.dev.Looks(), "the clash came along")
	same, _ := to.dev.Get(id(3))
	require.Len(t, same.Fields["note"], 1, "equal values are one value")
	require.Equal(t, shownNote, to.value(id(1), "note"))
	e, _ := to.dev.Get(id(2))
	require.Equal(t, replica.Hidden, replica.Deleted(e))
	ed, err = schema.Restore(to.dev, id(2))
	require.NoError(t, err)
	to.act(ed)
	require.Equal(t, replica.Text("in the trash"), to.value(id(2), "note"))

	ed, err = schema.Delete(from.dev, id(1))
	require.NoError(t, err)
	from.act(ed)
	gone := newPhone(t)
	gone.runs = 2000
	gone.bring(fileOf(t, from), -1)
	require.Empty(t, gone.dev.Looks())
	e, _ = gone.dev.Get(id(1))
	require.Equal(t, replica.Hidden, replica.Deleted(e), "a clash in the trash is in the trash")
	require.Len(t, e.Fields["note"], 2)
}

func TestBringKeepsTheLowerLimit(t *testing.T) {
	const day, week = "own_day_drinks_x10", "own_week_drinks_x10"
	limit := func(p *phone, name string, value int64) {
		c, err := p.dev.Act(p.now, func(v schema.View) ([]replica.Edit, error) {
			plan, err := schema.Act(v, schema.Now{MS: p.now}, fmt.Appendf(nil, `{"do":"set","name":%q,"value":%d}`, name, value))
			return plan.Edits, err
		})
		require.NoError(t, err)
		p.write(c)
	}
	read := func(p *phone) (d, w int64) {
		s := schema.Read(p.dev, schema.Now{MS: p.now}).Settings()
		return s.OwnDayX10.Value, s.OwnWeekX10.Value
	}
	from := newPhone(t)
	limit(from, day, 20)
	limit(from, week, 100)
	from.act(replica.Edit{ID: "set.units", Kind: "set", Set: map[string]replica.Value{"value": replica.Text("oz")}})
	x := fileOf(t, from)

	to := newPhone(t)
	to.runs = 1000
	limit(to, day, 30)
	entries, left, changes := to.bring(x, -1)
	require.Equal(t, []int{0, 0, 1}, []int{entries, left, changes})
	d, w := read(to)
	require.Equal(t, []int64{20, 100}, []int64{d, w})
	require.Empty(t, to.dev.Looks(), "what was shown is replaced, so nothing is asked")
	_, there := to.dev.Get("set.units")
	require.False(t, there, "other settings stay behind")

	strict := newPhone(t)
	strict.runs = 2000
	limit(strict, day, 10)
	limit(strict, week, 100)
	_, _, changes = strict.bring(x, -1)
	require.Zero(t, changes)
	d, _ = read(strict)
	require.Equal(t, int64(10), d)

	from.act(replica.Edit{ID: "set." + day, Kind: "set", Set: map[string]replica.Value{"value": replica.Int(5_000)}})
	plain := newPhone(t)
	plain.runs = 3000
	_, left, _ = plain.bring(fileOf(t, from), -1)
	require.Equal(t, 1, left, "a limit that nobody could set")
}

func TestBringBeforeAndAfter(t *testing.T) {
	_, err := device.New(device.Options{}).Bring(&wire.Export{})
	require.ErrorIs(t, err, device.ErrLoading)
	p := newPhone(t)
	b, err := p.dev.Bring(&wire.Export{})
	require.NoError(t, err)
	require.False(t, b.Over())
	c, err := b.Step(p.now, 0)
	require.NoError(t, err)
	require.Nil(t, c)
	require.True(t, b.Over())
}

// FuzzBring: whatever a file holds, what is made of it can be stored, replaces nothing, and comes once.
func FuzzBring(f *testing.F) {
	from := newPhone(f)
	from.set(id(1), "note", replica.Text("sharp"))
	from.set(id(2), "score_x10", replica.Int(80))
	text, _ := export(f, from)
	f.Add(text)
	server := newServer()
	from.sync(server)
	from.set(id(1), "note", replica.Text("thin"))
	ed, err := schema.Delete(from.dev, id(2))
	require.NoError(f, err)
	from.act(ed)
	text, _ = export(f, from)
	f.Add(text)
	f.Add(strings.ReplaceAll(text, `"kind":"pour"`, `"kind":"set"`))
	f.Add(strings.ReplaceAll(text, string(id(1)), "set.own_day_drinks_x10"))
	f.Fuzz(func(t *testing.T, text string) {
		x, err := wire.DecodeExport(text)
		if err != nil {
			return
		}
		p := newPhone(t)
		p.runs = 1000
		p.set(id(1), "note", replica.Text("mine"))
		p.act(replica.Edit{ID: id(2), Kind: "bottle", Set: map[string]replica.Value{"note": replica.Text("mine")}})
		before := shown(p)
		_, left, _ := p.bring(x, -1)
		for id, e := range before {
			for f, writes := range e.Fields {
				for _, w := range writes {
					got, live := shown(p)[id].Find(f, w.Stamp)
					require.True(t, live)
					require.Equal(t, w, got)
				}
			}
		}
		after := shown(p)
		p.open()
		require.Equal(t, after, shown(p), "what was written can be read")
		_, again, changes := p.bring(x, -1)
		require.Zero(t, changes)
		require.Equal(t, left, again)
		_, body := p.dev.Request(p.now, 0)
		q, problem := wire.DecodeRequest(body)
		require.Nil(t, problem)
		for i := range q.Acts {
			require.Nil(t, replica.CheckAction(&q.Acts[i]))
		}
	})
}

// do carries an intent out, as the app does.
func (p *phone) do(format string, args ...any) {
	p.t.Helper()
	raw := fmt.Appendf(nil, format, args...)
	c, err := p.dev.Act(p.now, func(v schema.View) ([]replica.Edit, error) {
		plan, err := schema.Act(v, schema.Now{MS: p.now}, raw)
		return plan.Edits, err
	})
	require.NoError(p.t, err, "%s", raw)
	p.write(c)
	p.now += 60_000
}

// answer puts a question, as of a moment.
func (p *phone) answer(at int64, format string, args ...any) string {
	p.t.Helper()
	raw, err := schema.Ask(p.dev, schema.Now{MS: at}, fmt.Appendf(nil, format, args...))
	require.NoError(p.t, err)
	return string(raw)
}

// each gives the ids of what is shown of a kind.
func (p *phone) each(kind string) (all []replica.ID) {
	p.dev.Each(kind, func(e *replica.Entity) bool {
		if replica.Deleted(e) != replica.Hidden {
			all = append(all, e.ID)
		}
		return true
	})
	return all
}

// TestBringAComparison: a comparison comes with its lines and candidates, declared scores, flights and their glasses,
// friends' scores and trials, and says on the other device what it said on the first. It is one entry.
func TestBringAComparison(t *testing.T) {
	from := newPhone(t)
	spec, question, flight := id(10), id(11), id(12)
	from.do(`{"do":"spec","id":%q,"drink_name":"Orchard Sour","method":"shaken","lines":[{"typed":"45 ml gin, 44 %%"},{"typed":"15 ml pear eau-de-vie, 45 %%"},{"typed":"20 ml lemon juice"}]}`, spec)
	v, ok := schema.Read(from.dev, schema.Now{MS: from.now}).Version(spec)
	require.True(t, ok)
	from.do(`{"do":"compare","id":%q,"base":%q,"name":"which gin","lines":[%q,%q],"candidates":[{"line":%q,"name":"soft floral gin, 41.5 %%"},{"line":%q,"name":"smoky pear, 45 %%"}]}`,
		question, spec, v.Lines[0].ID, v.Lines[1].ID, v.Lines[0].ID, v.Lines[1].ID)
	from.do(`{"do":"anchor","id":%q,"comparison":%q,"anchor_x10":70}`, id(13), question)
	swaps := from.each("swap")
	require.Len(t, swaps, 2)
	// What stands in each swapped line: its own ingredient, and the other one.
	picks := func(other bool) string {
		var all []schema.Pick
		for _, s := range swaps {
			own, _ := from.value(s, "of").AsText()
			for _, c := range from.each("candidate") {
				swap, _ := from.value(c, "swap").AsText()
				ingredient, _ := from.value(c, "ingredient").AsText()
				at := slices.IndexFunc(v.Lines, func(l schema.Line) bool { return string(l.ID) == own })
				isOwn := ingredient == string(v.Lines[at].Ingredient) || ingredient == own
				if replica.ID(swap) == s && isOwn != other {
					all = append(all, schema.Pick{Swap: s, Ingredient: replica.ID(ingredient)})
				}
			}
		}
		slices.SortFunc(all, func(a, b schema.Pick) int {
			x, _ := from.value(a.Swap, "pos").AsInt()
			y, _ := from.value(b.Swap, "pos").AsInt()
			return int(x - y)
		})
		require.Len(t, all, 2)
		return schema.PicksText(all)
	}
	benchmark, other := picks(false), picks(true)
	from.do(`{"do":"flight","id":%q,"comparison":%q,"pour_ul":15000,"seed":"7","sight":"blind","seats":[{"picks":%q,"why":"benchmark"},{"picks":%q,"why":"own"}]}`,
		flight, question, benchmark, other)
	seats := from.each("seat")
	require.Len(t, seats, 2)
	for i, seat := range seats {
		from.do(`{"do":"taste","id":%q,"seat":%q,"score_x10":%d,"tags":["floral"]}`, id(20+i), seat, 60+10*i)
		from.do(`{"do":"rate","id":%q,"seat":%q,"taster":"Kim","score_x10":%d}`, id(30+i), seat, 80-10*i)
	}
	from.do(`{"do":"flight_state","id":%q,"state":"end"}`, flight)
	from.do(`{"do":"trial","id":%q,"comparison":%q,"sort":"paired","a":%q,"b":%q,"outcome":"b"}`, id(40), question, benchmark, other)
	from.do(`{"do":"flight","id":%q,"comparison":%q,"pour_ul":5000,"seed":"8","sight":"half","seats":[{"picks":%q,"why":"benchmark"},{"picks":%q,"why":"own"}]}`,
		id(14), question, benchmark, other)
	ended := from.now
	x := fileOf(t, from)
	said := func(p *phone) []string {
		return []string{
			p.answer(ended, `{"q":"comparisons"}`), p.answer(ended, `{"q":"comparison","id":%q}`, question), p.answer(ended, `{"q":"flight","id":%q}`, flight),
			p.answer(ended, `{"q":"flight","id":%q}`, id(14)), p.answer(ended, `{"q":"tonight"}`),
		}
	}
	require.Contains(t, said(from)[1], `"taster":"Kim"`)
	require.Contains(t, said(from)[1], `"scored":2`)

	to := newPhone(t)
	to.runs = 1000
	entries, left, _ := to.bring(x, -1)
	require.Zero(t, left)
	require.Equal(t, said(from), said(to))
	require.Equal(t, state(from), state(to))
	whole := 0
	for _, kind := range from.dev.Kinds() {
		switch kind {
		case "line", "swap", "candidate", "segment", "flight", "seat", "rating", "trial":
			require.NotEmpty(t, to.each(kind))
		default:
			whole += len(from.each(kind))
		}
	}
	require.Equal(t, whole, entries, "a comparison is one entry, whatever belongs to it")
	for _, row := range queueRows(t, to) {
		kinds := map[string]bool{}
		for _, ed := range row.Edits {
			kinds[ed.Kind] = true
		}
		require.Equal(t, kinds["seat"], kinds["comparison"], "its parts travel with it: %v", kinds)
		require.Equal(t, kinds["rating"], kinds["comparison"])
	}

	t.Run("twice", func(t *testing.T) {
		entries, _, changes := to.bring(x, -1)
		require.Zero(t, entries)
		require.Zero(t, changes)
	})
	t.Run("a value that differs becomes a rival", func(t *testing.T) {
		there := newPhone(t)
		there.runs = 2000
		there.bring(x, -1)
		there.do(`{"do":"edit","id":%q,"kind":"segment","set":{"anchor_x10":80}}`, id(13))
		there.do(`{"do":"edit","id":%q,"kind":"rating","set":{"score_x10":30}}`, id(30))
		there.do(`{"do":"edit","id":%q,"kind":"comparison","set":{"name":"which pear"}}`, question)
		entries, left, _ := there.bring(x, -1)
		require.Equal(t, []int{1, 0}, []int{entries, left}, "the comparison alone is an entry")
		require.Equal(t, []replica.ID{question, id(13), id(30)}, there.dev.Looks())
		require.Equal(t, 3, strings.Count(there.answer(ended, `{"q":"keeper"}`), `"joinable"`), "each can be chosen")
	})
	t.Run("in the trash", func(t *testing.T) {
		from.do(`{"do":"delete","id":%q}`, question)
		empty := newPhone(t)
		empty.runs = 3000
		empty.bring(fileOf(t, from), -1)
		require.Empty(t, empty.each("comparison"))
		require.Empty(t, empty.each("seat"))
		require.Len(t, empty.each("pour"), 2, "what was drunk stays")
		empty.do(`{"do":"restore","id":%q}`, question)
		require.Equal(t, said(to)[1], said(empty)[1])
	})
}
