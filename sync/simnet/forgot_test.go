package simnet_test

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/device"
	"fairmeasure/sync/exchange"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/schema"
	"fairmeasure/sync/store"
	"fairmeasure/sync/store/memstore"
	"fairmeasure/sync/wire"
)

const (
	forgotten = store.Journal("11111111111111111111111111111111")
	after     = store.Journal("22222222222222222222222222222222")
)

// TestForgot: a server is lost with all that it had, while its devices differ: each has read to another place, and has
// unsent work. A new server is set up with a journal of another id. Every device merges what it has into that one, in any
// order, some twice, some started again on the way. Then the new server and every device hold exactly what the old one would
// have come to: nothing is lost, nothing is there twice, and no value that was replaced is back.
func TestForgot(t *testing.T) {
	const runs = 250
	for seed := range uint64(runs) {
		if !t.Run(fmt.Sprint(seed), func(t *testing.T) { forgot(t, rand.New(rand.NewPCG(seed, 31))) }) {
			return
		}
	}
}

func forgot(t *testing.T, r *rand.Rand) {
	clock := int64(1_790_000_000_000)
	old := exchange.New(memstore.New(), exchange.Settings{})
	var all []*tab
	for i := range 2 + r.IntN(2) {
		all = append(all, openTab(t, r, &clock, forgotten, fmt.Sprintf("old%d", i)))
	}
	for range 10 + r.IntN(40) {
		on := all[r.IntN(len(all))]
		if r.IntN(3) == 0 {
			on.round(old)
		} else {
			on.person()
		}
	}
	for _, on := range all { // it has an account of its own, so each has been let in
		if r.IntN(3) > 0 {
			on.sync(old)
		}
		for range r.IntN(4) {
			on.person()
		}
	}
	want := together(t, all)

	next := exchange.New(memstore.New(), exchange.Settings{})
	var came []*tab
	for i, was := range all {
		on := openTab(t, r, &clock, after, fmt.Sprintf("new%d", i))
		if r.IntN(2) == 0 {
			on.sync(next)
		}
		on.merge(was.file())
		if r.IntN(3) == 0 {
			on.restart()
		}
		if r.IntN(2) == 0 {
			on.sync(next)
		}
		if r.IntN(3) == 0 {
			on.merge(was.file())
		}
		came = append(came, on)
	}
	for range 2 {
		for _, on := range came {
			on.sync(next)
			require.Zero(t, on.dev.Status(*on.clock).Unsent)
			require.True(t, on.dev.Status(*on.clock).Synced)
		}
	}
	fresh := openTab(t, r, &clock, after, "fresh")
	fresh.sync(next)
	for _, on := range append(came, fresh) {
		require.Equal(t, want, on.shown(), "%s", on.name)
	}
}

// together is what devices of one journal would come to hold, if they could still meet.
func together(t *testing.T, all []*tab) map[replica.ID]string {
	joined := replica.NewState()
	for _, on := range all {
		one := replica.NewState()
		x := on.file()
		for _, e := range x.Ents {
			one.Adopt(e)
		}
		for run, s := range x.Seen {
			one.RaiseSeen(run, s.N)
		}
		joined = replica.Join(joined, one)
	}
	for _, on := range all {
		for _, a := range on.file().Acts {
			joined.ApplyAny(a)
		}
	}
	require.NoError(t, joined.Check())
	out := map[replica.ID]string{}
	for e := range joined.Entities() {
		out[e.ID] = string(e.AppendCanon(nil))
	}
	return out
}

// tab is one device with a disk that never fails.
type tab struct {
	t       *testing.T
	r       *rand.Rand
	journal store.Journal
	name    string
	dev     *device.Device
	disk    map[string]map[string]string
	rev     int64
	clock   *int64 // one for all, so that no time is cut
}

func openTab(t *testing.T, r *rand.Rand, clock *int64, journal store.Journal, name string) *tab {
	on := &tab{t: t, r: r, journal: journal, name: name, disk: map[string]map[string]string{}, clock: clock}
	on.restart()
	return on
}

func (on *tab) restart() {
	on.dev = device.New(device.Options{Journal: string(on.journal), App: "1.4.0", Run: func() replica.Run {
		run := make([]byte, 11)
		for i := range run {
			run[i] = byte('a' + on.r.IntN(26))
		}
		return replica.Run(run)
	}})
	for _, name := range device.Stores {
		var rows []device.Row
		for _, key := range slices.Sorted(maps.Keys(on.disk[name])) {
			rows = append(rows, device.Row{Key: key, Value: on.disk[name][key]})
		}
		if name == device.StoreMeta {
			rows = append(rows, device.Row{Key: `"rev"`, Value: fmt.Sprint(on.rev)})
		}
		require.NoError(on.t, on.dev.Load(name, rows))
	}
	require.NoError(on.t, on.dev.Ready())
}

func (on *tab) write(c *device.Change) {
	if c == nil {
		return
	}
	require.Equal(on.t, on.rev, c.Rev)
	for _, d := range c.Del {
		delete(on.disk[d[0]], d[1])
	}
	for _, put := range c.Put {
		if on.disk[put[0]] == nil {
			on.disk[put[0]] = map[string]string{}
		}
		on.disk[put[0]][put[1]] = put[2]
	}
	on.rev++
	require.NoError(on.t, on.dev.Settle(c.No, device.Done))
}

// person writes a new pour down, changes one, deletes one or erases one for good.
func (on *tab) person() {
	*on.clock += int64(on.r.IntN(60_000))
	var pours []*replica.Entity
	on.dev.Each("pour", func(e *replica.Entity) bool { pours = append(pours, e); return true })
	var edits []replica.Edit
	switch what := on.r.IntN(8); {
	case len(pours) == 0 || what < 3:
		id := replica.ID(fmt.Sprintf("01H%023d", on.r.IntN(1_000_000_000)))
		edits = []replica.Edit{{ID: id, Kind: "pour", Set: map[string]replica.Value{
			"score_x10": replica.Int(int64(on.r.IntN(101))), "note": replica.Text(on.name),
		}}}
	case what < 6:
		e := pours[on.r.IntN(len(pours))]
		ed, err := schema.Set(on.dev, e.ID, "pour", map[string]replica.Value{"score_x10": replica.Int(int64(on.r.IntN(101)))})
		require.NoError(on.t, err)
		edits = []replica.Edit{ed}
	case what == 6:
		e := pours[on.r.IntN(len(pours))]
		stamps := map[replica.Stamp]bool{}
		for _, writes := range e.Fields {
			for _, w := range writes {
				stamps[w.Stamp] = true
			}
		}
		list := replica.FormatList(slices.SortedFunc(maps.Keys(stamps), replica.CompareStamps))
		ed := replica.Edit{ID: e.ID, Kind: "pour", Set: map[string]replica.Value{replica.Gone: replica.Text(list)}, Over: map[string][]replica.Stamp{}}
		for _, w := range e.Fields[replica.Gone] {
			ed.Over[replica.Gone] = append(ed.Over[replica.Gone], w.Stamp)
		}
		edits = []replica.Edit{ed}
	default:
		e := pours[on.r.IntN(len(pours))]
		ed := replica.Edit{ID: e.ID, Kind: "pour", Over: map[string][]replica.Stamp{}}
		for f, writes := range e.Fields {
			for _, w := range writes {
				ed.Over[f] = append(ed.Over[f], w.Stamp)
			}
		}
		edits = []replica.Edit{ed}
	}
	c, err := on.dev.Act(*on.clock, func(schema.View) ([]replica.Edit, error) { return edits, nil })
	require.NoError(on.t, err)
	on.write(c)
}

func (on *tab) round(x *exchange.Exchange) device.Next {
	most := 0
	if on.r.IntN(2) == 0 {
		most = 1_100 // a few actions, pieces of one or two
	}
	ticket, body := on.dev.Request(*on.clock, most)
	require.NotNil(on.t, body)
	status, answer := 200, []byte(nil)
	a, err := x.Round(context.Background(), exchange.Ask{Journal: on.journal, Device: on.name, Now: *on.clock, Body: body})
	if p := (*wire.Problem)(nil); errors.As(err, &p) {
		require.Equal(on.t, wire.CodeOutOfStep, p.Code, p.Detail)
		status, answer = p.Status, p.Append(nil)
	} else {
		require.NoError(on.t, err)
		answer = a.Append(nil)
	}
	c, next := on.dev.Answer(*on.clock, ticket, status, answer)
	on.write(c)
	return next
}

func (on *tab) sync(x *exchange.Exchange) {
	for range 2_000 {
		if on.round(x).What == device.Idle {
			return
		}
	}
	on.t.Fatalf("%s never comes to an end", on.name)
}

func (on *tab) file() *wire.Export {
	x, err := on.dev.Export(*on.clock)
	require.NoError(on.t, err)
	var b strings.Builder
	for {
		piece, err := x.Next()
		require.NoError(on.t, err)
		if piece == nil {
			break
		}
		b.Write(piece)
	}
	read, err := wire.DecodeExport(b.String())
	require.NoError(on.t, err)
	return read
}

func (on *tab) merge(x *wire.Export) {
	c, m, err := on.dev.Merge(x)
	require.NoError(on.t, err)
	require.Zero(on.t, m.Left)
	on.write(c)
	if c != nil {
		require.False(on.t, on.dev.Status(*on.clock).Synced, "the server has not been told")
	}
}

func (on *tab) shown() map[replica.ID]string {
	out := map[replica.ID]string{}
	for _, kind := range on.dev.Kinds() {
		on.dev.Each(kind, func(e *replica.Entity) bool {
			out[e.ID] = string(e.AppendCanon(nil))
			return true
		})
	}
	return out
}
