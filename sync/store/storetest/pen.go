package storetest

import (
	"context"
	"crypto/rand"
	"encoding/base64"
	"encoding/hex"
	"maps"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/store"
)

var ctx = context.Background()

// newJournal mints a journal that no store has.
func newJournal() store.Journal {
	var b [16]byte
	_, _ = rand.Read(b[:]) // it never fails
	return store.Journal(hex.EncodeToString(b[:]))
}

func newTag() string {
	var b [6]byte
	_, _ = rand.Read(b[:])
	return base64.RawURLEncoding.EncodeToString(b[:])
}

// stamp is the n-th action of a run named by one letter.
func stamp(run string, n uint64) replica.Stamp { return replica.Stamp{Run: runNamed(run), N: n} }

func runNamed(letter string) replica.Run { return replica.Run("run_______" + letter) }

// entity makes an entity whose single field says text, written by s.
func entity(id replica.ID, s replica.Stamp, text string) store.Entity {
	return store.Entity{Entity: replica.Entity{ID: id, Kind: "drink", Fields: map[string][]replica.Write{
		"name": {{Stamp: s, At: 1790000000000 + int64(s.N), Value: replica.Text(text)}},
	}}}
}

// erased makes an entity of which no write is left.
func erased(id replica.ID) store.Entity {
	return store.Entity{Entity: replica.Entity{ID: id, Kind: "drink", Fields: map[string][]replica.Write{}}}
}

// commitOf makes the commit that follows on with these entities and seen entries.
func commitOf(on store.Mark, seen map[replica.Run]store.SeenAt, entities ...store.Entity) store.Commit {
	c := store.Commit{No: on.No + 1, Tag: newTag(), Entities: slices.Clone(entities), Seen: map[replica.Run]store.SeenAt{}}
	for i := range c.Entities {
		c.Entities[i].Commit = c.No
	}
	for run, at := range seen {
		at.Commit = c.No
		c.Seen[run] = at
	}
	c.Size = store.Size{Entities: len(entities), Bytes: int64(c.No)}
	return c
}

func mark(c store.Commit) store.Mark { return store.Mark{No: c.No, Tag: c.Tag} }

// put commits entities on the head and gives the new head.
func put(t testing.TB, s Store, j store.Journal, seen map[replica.Run]store.SeenAt, entities ...store.Entity) store.Mark {
	t.Helper()
	c := commitOf(head(t, s, j), seen, entities...)
	require.NoError(t, s.Commit(ctx, j, store.Mark{No: c.No - 1, Tag: head(t, s, j).Tag}, c))
	return mark(c)
}

func view(t testing.TB, s Store, j store.Journal, fn func(store.Reader) error) {
	t.Helper()
	require.NoError(t, s.View(ctx, j, fn))
}

func head(t testing.TB, s Store, j store.Journal) store.Mark {
	t.Helper()
	var m store.Mark
	view(t, s, j, func(r store.Reader) (err error) {
		m, _, err = r.Head()
		return err
	})
	return m
}

func after(t testing.TB, s Store, j store.Journal, cursor store.Mark, max store.Limits) store.Page {
	t.Helper()
	var page store.Page
	view(t, s, j, func(r store.Reader) (err error) {
		page, err = r.After(cursor, max)
		return err
	})
	return page
}

// ids names the entities of a page in their order.
func ids(page store.Page) []replica.ID {
	out := make([]replica.ID, len(page.Entities))
	for i := range page.Entities {
		out[i] = page.Entities[i].ID
	}
	return out
}

func runs(page store.Page) []replica.Run { return slices.Sorted(maps.Keys(page.Seen)) }
