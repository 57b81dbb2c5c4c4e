package storetest

import (
	"context"
	"fmt"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/store"
)

// heavy is an entity of this many logical bytes.
func heavy(id replica.ID, bytes int) store.Entity {
	e := entity(id, stamp("a", 1), "")
	e.Fields["name"][0].Value = replica.Text(strings.Repeat("x", bytes-e.Bytes()))
	return e
}

func manyRuns(n int) map[replica.Run]store.SeenAt {
	seen := map[replica.Run]store.SeenAt{}
	for i := range n {
		seen[replica.Run(fmt.Sprintf("run%08d", i))] = store.SeenAt{N: 1, Device: "p1"}
	}
	return seen
}

// testTooLarge makes commits at the bounds and beyond them, beside others: what is within is taken, what is beyond is
// refused as what it is, and nobody else notices.
func testTooLarge(t *testing.T, s Store) {
	fits := map[string]store.Commit{}
	var tiny []store.Entity
	for i := range store.MaxCommitEntities {
		tiny = append(tiny, entity(replica.ID(fmt.Sprintf("01K%023d", i)), stamp("a", 1), "x"))
	}
	fits["entities and runs"] = commitOf(store.Mark{}, manyRuns(store.MaxCommitRuns), tiny...)
	var full []store.Entity
	for i := range 9 {
		full = append(full, heavy(replica.ID(fmt.Sprintf("01K%023d", i)), store.MaxEntityBytes))
	}
	fits["bytes"] = commitOf(store.Mark{}, manyRuns(store.MaxCommitRuns), full...)
	for name, c := range fits {
		require.NoError(t, s.Commit(ctx, newJournal(), store.Mark{}, c), name)
	}

	long := strings.Repeat("n", store.MaxName+1)
	marked := entity("a", stamp("a", 1), "x")
	for i := range 4000 {
		marked.Early = append(marked.Early, store.Early{Field: "note", Stamp: stamp("z", uint64(i+1))})
	}
	var wide []store.Entity
	for i := range 20 {
		wide = append(wide, heavy(replica.ID(fmt.Sprintf("01K%023d", i)), store.MaxCommitBytes/19))
	}
	longField := entity("a", stamp("a", 1), "x")
	longField.Fields[long] = longField.Fields["name"]
	beyond := map[string]store.Commit{
		"one entity":      commitOf(store.Mark{}, nil, heavy("a", store.MaxEntityBytes+1)),
		"a huge entity":   commitOf(store.Mark{}, nil, heavy("a", 80<<20)),
		"its early marks": commitOf(store.Mark{}, nil, marked),
		"all together":    commitOf(store.Mark{}, nil, wide...),
		"entities":        commitOf(store.Mark{}, nil, append(tiny, entity("z", stamp("a", 1), "x"))...),
		"runs":            commitOf(store.Mark{}, manyRuns(store.MaxCommitRuns+1)),
		"an id":           commitOf(store.Mark{}, nil, entity(replica.ID(strings.Repeat("n", 70_000)), stamp("a", 1), "x")),
		"a field":         commitOf(store.Mark{}, nil, longField),
		"a run":           commitOf(store.Mark{}, map[replica.Run]store.SeenAt{replica.Run(long): {N: 1}}),
		"a device":        commitOf(store.Mark{}, map[replica.Run]store.SeenAt{runNamed("a"): {N: 1, Device: long}}),
	}
	var all sync.WaitGroup
	for name, c := range beyond {
		j, beside := newJournal(), newJournal()
		all.Go(func() {
			if err := s.Commit(ctx, beside, store.Mark{}, commitOf(store.Mark{}, nil, entity("a", stamp("a", 1), "x"))); err != nil {
				t.Errorf("beside %s: %v", name, err)
			}
		})
		all.Go(func() {
			err := s.Commit(ctx, j, store.Mark{}, c)
			require.ErrorIs(t, err, store.ErrTooLarge, name)
			require.Less(t, len(err.Error()), 200, "it says so, and not what was in it")
			require.Equal(t, store.Mark{}, head(t, s, j), name)
		})
	}
	all.Wait()
	require.ErrorIs(t, s.Write(ctx, func(tx store.BookWriter) error { return tx.Set([]byte("k"), make([]byte, store.MaxRecord)) }), store.ErrTooLarge)
	h, err := s.Health(ctx)
	require.NoError(t, err)
	require.True(t, h.OK, h.Reason)
	put(t, s, newJournal(), nil, entity("a", stamp("a", 1), "x"))
}

// testManyRuns walks a journal of many runs in pages that hold few.
func testManyRuns(t *testing.T, s Store) {
	j := newJournal()
	const commits, each = 30, 7
	for n := range commits {
		seen := map[replica.Run]store.SeenAt{}
		for i := range each {
			seen[replica.Run(fmt.Sprintf("run%08d", n*each+i))] = store.SeenAt{N: uint64(n + 1)}
		}
		put(t, s, j, seen, entity(replica.ID(fmt.Sprintf("e%02d", n)), stamp("a", uint64(n+1)), "x"))
	}
	for _, most := range []int{1, 5, 7, 8, 20, 1000} {
		got, cursor, pages := map[replica.Run]bool{}, store.Mark{}, 0
		var entities []replica.ID
		for more := true; more; pages++ {
			page := after(t, s, j, cursor, store.Limits{Entities: 4, Runs: most})
			require.Less(t, len(page.Seen), most+each, "one commit's more than the bound at most")
			for run := range page.Seen {
				require.False(t, got[run], "told twice")
				got[run] = true
			}
			entities = append(entities, ids(page)...)
			require.NotEqual(t, cursor, page.Next)
			cursor, more = page.Next, page.More
		}
		require.Len(t, got, commits*each)
		require.Len(t, entities, commits)
		require.GreaterOrEqual(t, pages, commits*each/(most+each))
	}
	ended, cancel := context.WithCancel(ctx)
	require.ErrorIs(t, s.View(ended, j, func(r store.Reader) error {
		cancel()
		_, err := r.After(store.Mark{}, store.Limits{})
		require.ErrorIs(t, err, context.Canceled)
		_, err = r.Entities([]replica.ID{"e00"})
		require.ErrorIs(t, err, context.Canceled)
		_, err = r.Known(store.Mark{})
		require.ErrorIs(t, err, context.Canceled)
		_, _, err = r.Head()
		require.ErrorIs(t, err, context.Canceled)
		_, err = r.Seen([]replica.Run{"run00000000"})
		return err
	}), context.Canceled)
}
