package memstore_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/store"
	"fairmeasure/sync/store/memstore"
)

const name store.Journal = "00112233445566778899aabbccddeeff"

// put commits one entity with one text field on the head and gives the new head.
func put(t testing.TB, s *memstore.Store, id replica.ID, text, tag string) store.Mark {
	t.Helper()
	ctx := context.Background()
	on, _ := look(t, s)
	stamp := replica.Stamp{Run: "AAAAAAAAAAA", N: on.No + 1}
	e := store.Entity{Commit: on.No + 1, Entity: replica.Entity{ID: id, Kind: "drink", Fields: map[string][]replica.Write{
		"name": {{Stamp: stamp, At: 1, Value: replica.Text(text)}},
	}}}
	require.NoError(t, s.Commit(ctx, name, on, store.Commit{
		No: on.No + 1, Tag: tag, Entities: []store.Entity{e},
		Seen: map[replica.Run]store.SeenAt{stamp.Run: {N: stamp.N, Commit: on.No + 1, Device: "p1"}},
	}))
	return store.Mark{No: on.No + 1, Tag: tag}
}

// look gives the head and, by id, the names of everything.
func look(t testing.TB, s *memstore.Store) (store.Mark, map[replica.ID]string) {
	t.Helper()
	var head store.Mark
	names := map[replica.ID]string{}
	require.NoError(t, s.View(context.Background(), name, func(r store.Reader) error {
		var err error
		if head, _, err = r.Head(); err != nil {
			return err
		}
		page, err := r.After(store.Mark{}, store.Limits{})
		for _, e := range page.Entities {
			w, _ := e.Shown("name")
			names[e.ID], _ = w.Value.AsText()
		}
		return err
	}))
	return head, names
}

func TestSnapshotsGoOnApart(t *testing.T) {
	ctx := context.Background()
	s := memstore.New()
	first := put(t, s, "a", "before", "AAAAAAAA")
	require.NoError(t, s.Write(ctx, func(tx store.BookWriter) error { return tx.Set([]byte("k"), []byte("before")) }))

	backup := s.Snapshot()
	put(t, s, "a", "after", "BBBBBBBB")
	put(t, s, "b", "after", "CCCCCCCC")
	require.NoError(t, s.Write(ctx, func(tx store.BookWriter) error { return tx.Set([]byte("k"), []byte("after")) }))

	head, names := look(t, backup)
	require.Equal(t, first, head)
	require.Equal(t, map[replica.ID]string{"a": "before"}, names)
	other := put(t, backup, "c", "in the copy", "DDDDDDDD")
	_, names = look(t, s)
	require.Equal(t, map[replica.ID]string{"a": "after", "b": "after"}, names)

	// The store put back knows the mark both share and the copy's own, not what it had reached itself.
	s.Restore(backup)
	head, names = look(t, s)
	require.Equal(t, other, head)
	require.Equal(t, map[replica.ID]string{"a": "before", "c": "in the copy"}, names)
	require.NoError(t, s.View(ctx, name, func(r store.Reader) error {
		for mark, want := range map[store.Mark]bool{first: true, other: true, {No: 2, Tag: "BBBBBBBB"}: false} {
			ok, err := r.Known(mark)
			require.NoError(t, err)
			require.Equal(t, want, ok, "%v", mark)
		}
		return nil
	}))
	require.NoError(t, s.Read(ctx, func(r store.BookReader) error {
		value, ok, err := r.Get([]byte("k"))
		require.True(t, ok)
		require.Equal(t, "before", string(value))
		return err
	}))
	put(t, s, "d", "restored", "EEEEEEEE")
	_, names = look(t, backup)
	require.NotContains(t, names, replica.ID("d"))
}

func TestAViewKeepsItsStateWhileCommitsGoOn(t *testing.T) {
	s := memstore.New()
	put(t, s, "a", "before", "AAAAAAAA")
	require.NoError(t, s.View(context.Background(), name, func(r store.Reader) error {
		put(t, s, "a", "after", "BBBBBBBB")
		head, _, err := r.Head()
		require.NoError(t, err)
		require.Equal(t, uint64(1), head.No)
		found, err := r.Entities([]replica.ID{"a"})
		w := found["a"].Fields["name"]
		require.Equal(t, replica.Text("before"), w[0].Value)
		return err
	}))
	_, names := look(t, s)
	require.Equal(t, "after", names["a"])
}
