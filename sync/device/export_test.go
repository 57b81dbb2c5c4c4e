package device_test

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/device"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/wire"
)

func export(t testing.TB, p *phone) (file string, pieces int) {
	t.Helper()
	x, err := p.dev.Export(p.now)
	require.NoError(t, err)
	var b strings.Builder
	for {
		piece, err := x.Next()
		require.NoError(t, err)
		if piece == nil {
			return b.String(), pieces
		}
		require.LessOrEqual(t, len(piece), device.MostPiece)
		b.Write(piece)
		pieces++
	}
}

// imported is a device made of nothing but the file.
func imported(t testing.TB, x *wire.Export) *phone {
	t.Helper()
	p := newPhone(t)
	put := func(store, key, value string) {
		if p.disk[store] == nil {
			p.disk[store] = map[string]string{}
		}
		p.disk[store][key] = value
	}
	text := func(s string) string { return string(wire.AppendString(nil, s)) }
	put(device.StoreMeta, `"me"`, text(x.Me))
	put(device.StoreMeta, `"devices"`, string(wire.AppendNames(nil, x.Devices)))
	for run, s := range x.Seen {
		put(device.StoreSeen, text(string(run)), string(wire.AppendSeen(nil, s)))
	}
	for run, s := range x.SeenNext {
		put(device.StoreSeenNext, text(string(run)), string(wire.AppendSeen(nil, s)))
	}
	for i, row := range x.Queue {
		put(device.StoreQueue, fmt.Sprint(i+1), row)
	}
	for _, e := range x.Ents {
		put(device.StoreCopy, "["+text(e.Kind)+","+text(string(e.ID))+"]", string(wire.AppendEntity(nil, e)))
	}
	p.open()
	return p
}

// stateOf joins copy and queue as the merge has it.
func stateOf(t testing.TB, entities, queue []string, seen map[replica.Run]wire.Seen) *replica.State {
	t.Helper()
	s := replica.NewState()
	for _, row := range entities {
		e, err := wire.DecodeEntity(row)
		require.NoError(t, err)
		s.Adopt(e)
	}
	for run, at := range seen {
		s.RaiseSeen(run, at.N)
	}
	for _, row := range queue {
		a, err := wire.DecodeAction(row)
		require.NoError(t, err)
		s.ApplyAny(a)
	}
	return s
}

func TestExportHoldsEverything(t *testing.T) {
	s, p := newServer(), newPhone(t)
	for n := range 300 {
		p.set(id(n), "note", replica.Text(strings.Repeat("½ oz pear\n", 300)))
	}
	p.sync(s)
	other := newPhone(t)
	other.runs = 100 // no two devices share a run
	other.sync(s)
	other.set(id(1), "note", replica.Text("round"))
	other.sync(s)
	p.set(id(1), "note", replica.Text("sharp")) // apart: a clash
	p.sync(s)
	p.set(id(2), "note", replica.Null)
	p.set(id(900), "note", replica.Text("unsent “pour”"))
	p.open()
	require.Equal(t, 2, p.dev.Status(p.now).Unsent)

	file, pieces := export(t, p)
	require.True(t, json.Valid([]byte(file)))
	require.Greater(t, pieces, 1, "a journal of a megabyte comes in pieces")
	x, err := wire.DecodeExport(file)
	require.NoError(t, err)
	require.Equal(t, journal, x.Journal)
	require.Equal(t, p.now, x.At)
	require.Equal(t, map[string]string{"p3": "Kitchen laptop"}, x.Devices)

	t.Run("row by row", func(t *testing.T) {
		require.Equal(t, queueOf(p), x.Queue)
		var rows []string
		for _, e := range x.Ents {
			rows = append(rows, string(wire.AppendEntity(nil, e)))
		}
		require.ElementsMatch(t, slices.Collect(maps.Values(p.disk[device.StoreCopy])), rows)
		require.Len(t, x.Seen, len(p.disk[device.StoreSeen]))
		for run, at := range x.Seen {
			require.Equal(t, p.disk[device.StoreSeen][string(wire.AppendString(nil, string(run)))], string(wire.AppendSeen(nil, at)))
		}
	})
	t.Run("the state of the file is the state of the device", func(t *testing.T) {
		seen := map[replica.Run]wire.Seen{}
		for key, value := range p.disk[device.StoreSeen] {
			run, err := wire.DecodeString(key)
			require.NoError(t, err)
			seen[replica.Run(run)], err = wire.DecodeSeen(value)
			require.NoError(t, err)
		}
		var rows []string
		for _, e := range x.Ents {
			rows = append(rows, string(wire.AppendEntity(nil, e)))
		}
		want := stateOf(t, slices.Collect(maps.Values(p.disk[device.StoreCopy])), queueOf(p), seen)
		got := stateOf(t, rows, x.Queue, x.Seen)
		require.Equal(t, string(want.AppendCanon(nil)), string(got.AppendCanon(nil)))
		require.Equal(t, string(want.AppendCanon(nil)), string(replica.Join(want, got).AppendCanon(nil)), "a join adds nothing")
	})
	t.Run("a device made of it shows and exports the same", func(t *testing.T) {
		q := imported(t, x)
		require.Equal(t, replica.Text("unsent “pour”"), q.value(id(900), "note"))
		require.Equal(t, replica.Null, q.value(id(2), "note"))
		require.Equal(t, []replica.ID{id(1)}, q.dev.Looks())
		again, _ := export(t, q)
		require.Equal(t, file, again)
	})
}

func queueOf(p *phone) []string {
	var rows []string
	for n := 1; len(rows) < len(p.disk[device.StoreQueue]); n++ {
		if row, ok := p.disk[device.StoreQueue][fmt.Sprint(n)]; ok {
			rows = append(rows, row)
		}
	}
	return rows
}

func TestExportOfADeviceThatStopped(t *testing.T) {
	s, p := newServer(), newPhone(t)
	p.set(id(1), "note", replica.Text("sharp"))
	s.problems = []*wire.Problem{{Status: 403, Code: wire.CodeRevoked, Journal: journal}}
	require.Equal(t, device.Stop, p.ask(s).What)
	file, _ := export(t, p)
	x, err := wire.DecodeExport(file)
	require.NoError(t, err)
	require.Len(t, x.Acts, 1)
	require.Equal(t, replica.Text("sharp"), x.Acts[0].Edits[0].Set["note"])
}

func TestExportOfRowsThatCannotBeRead(t *testing.T) {
	s, p := newServer(), newPhone(t)
	p.set(id(1), "note", replica.Text("sharp"))
	p.sync(s)
	p.set(id(2), "note", replica.Text("unsent"))
	copied := slices.Collect(maps.Keys(p.disk[device.StoreCopy]))[0]
	p.disk[device.StoreCopy][copied] = "{half"
	p.disk[device.StoreQueue]["2"] = `{"s":"not a stamp"}`
	p.open()
	file, _ := export(t, p)
	x, err := wire.DecodeExport(file)
	require.NoError(t, err)
	require.ElementsMatch(t, [][3]string{{"copy", copied, "{half"}, {"queue", "2", `{"s":"not a stamp"}`}}, x.Unread)
	require.Len(t, x.Queue, 1)
}

func TestExportIsOfOneMoment(t *testing.T) {
	p := newPhone(t)
	p.set(id(1), "note", replica.Text("sharp"))
	x, err := p.dev.Export(p.now)
	require.NoError(t, err)
	p.set(id(2), "note", replica.Text("thin"))
	_, err = x.Next()
	require.ErrorIs(t, err, device.ErrChanged)
	_, err = device.New(device.Options{}).Export(p.now)
	require.ErrorIs(t, err, device.ErrLoading)
}
