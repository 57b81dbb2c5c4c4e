package storetest

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/store"
)

func testBeginsEmpty(t *testing.T, s Store) {
	j := newJournal()
	view(t, s, j, func(r store.Reader) error {
		m, size, err := r.Head()
		require.NoError(t, err)
		require.Equal(t, store.Mark{}, m)
		require.Equal(t, store.Size{}, size)

		known, err := r.Known(store.Mark{})
		require.NoError(t, err)
		require.True(t, known, "the start is known")
		known, err = r.Known(store.Mark{No: 1, Tag: "AAAAAAAA"})
		require.NoError(t, err)
		require.False(t, known)

		page, err := r.After(store.Mark{}, store.Limits{Entities: 10, Bytes: 1000})
		require.NoError(t, err)
		require.Empty(t, page.Entities)
		require.Empty(t, page.Seen)
		require.Equal(t, store.Mark{}, page.Next)
		require.False(t, page.More)

		entities, err := r.Entities([]replica.ID{"a"})
		require.NoError(t, err)
		require.Empty(t, entities)
		seen, err := r.Seen([]replica.Run{runNamed("a")})
		require.NoError(t, err)
		require.Empty(t, seen)
		return nil
	})
	require.Empty(t, journals(t, s), "looking at a journal does not make it exist")

	h, err := s.Health(ctx)
	require.NoError(t, err)
	require.True(t, h.OK, h.Reason)
	require.False(t, h.ReadOnly)
	require.NotEmpty(t, h.StoreID)
}

func journals(t testing.TB, s Store) []store.Journal {
	t.Helper()
	var names []store.Journal
	require.NoError(t, s.Journals(ctx, func(j store.Journal) error {
		names = append(names, j)
		return nil
	}))
	return names
}

// everything is an entity with all sorts of values, rivals, and early marks.
func everything(id replica.ID) store.Entity {
	a, b, c := stamp("a", 1), stamp("a", 2), stamp("b", 1<<53-1)
	w := func(s replica.Stamp, at int64, v replica.Value) replica.Write {
		return replica.Write{Stamp: s, At: at, Value: v}
	}
	return store.Entity{
		Entity: replica.Entity{ID: id, Kind: "pour", Fields: map[string][]replica.Write{
			"name":       {w(a, 1790000000000, replica.Text("orchard “sour”\x00\n"))},
			"note":       {w(a, 1790000000000, replica.Text(""))},
			"score_x10":  {w(a, 1790000000000, replica.Int(80)), w(b, 1790000000001, replica.Int(-replica.MaxInt)), w(c, -5, replica.Int(replica.MaxInt))},
			"about":      {w(b, 1790000000001, replica.Bool(true)), w(c, 0, replica.Bool(false))},
			"spec":       {w(c, 0, replica.Null)},
			"tag.smoky":  {w(a, 1790000000009, replica.Bool(true))},
			"long_words": {w(a, 1790000000000, replica.Text(strings.Repeat("pear ", 1600)))},
		}},
		Early: []store.Early{{Field: "made", Stamp: a}, {Field: "name", Stamp: b}, {Field: "name", Stamp: c}},
	}
}

func testRoundTrip(t *testing.T, s Store) {
	j := newJournal()
	first, onlyEarly := everything("01K2F8"), erased("01K2F9")
	onlyEarly.Early = []store.Early{{Field: "name", Stamp: stamp("c", 7)}}
	seen := map[replica.Run]store.SeenAt{
		runNamed("a"): {N: 2, Device: "p1"},
		runNamed("b"): {N: 1<<53 - 1, Device: ""},
	}
	c := commitOf(store.Mark{}, seen, first, onlyEarly)
	c.No, c.Size = 1<<40, store.Size{Entities: 2, Bytes: 1 << 33}
	for i := range c.Entities {
		c.Entities[i].Commit = c.No
	}
	for run, at := range c.Seen {
		at.Commit = c.No
		c.Seen[run] = at
	}
	require.NoError(t, s.Commit(ctx, j, store.Mark{}, c))

	view(t, s, j, func(r store.Reader) error {
		m, size, err := r.Head()
		require.NoError(t, err)
		require.Equal(t, mark(c), m, "numbers may leave gaps")
		want := c.Size
		want.Runs = len(c.Seen)
		require.Equal(t, want, size, "the store counts the runs itself")

		entities, err := r.Entities([]replica.ID{"01K2F8", "01K2F9", "01K2F", "nothing"})
		require.NoError(t, err)
		require.Equal(t, map[replica.ID]store.Entity{"01K2F8": c.Entities[0], "01K2F9": c.Entities[1]}, entities)

		got, err := r.Seen([]replica.Run{runNamed("a"), runNamed("b"), runNamed("z")})
		require.NoError(t, err)
		require.Equal(t, c.Seen, got)

		page, err := r.After(store.Mark{}, store.Limits{})
		require.NoError(t, err)
		require.Equal(t, store.Page{Entities: c.Entities[:1], Seen: c.Seen, Next: mark(c)}, page)
		return nil
	})
	require.Equal(t, []store.Journal{j}, journals(t, s))

	// A commit may move only runs, or nothing but the head.
	only := commitOf(mark(c), map[replica.Run]store.SeenAt{runNamed("c"): {N: 1, Device: "p2"}})
	require.NoError(t, s.Commit(ctx, j, mark(c), only))
	page := after(t, s, j, mark(c), store.Limits{Entities: 1})
	require.Equal(t, store.Page{Seen: only.Seen, Next: mark(only)}, page)
	nothing := commitOf(mark(only), nil)
	require.NoError(t, s.Commit(ctx, j, mark(only), nothing))
	page = after(t, s, j, mark(only), store.Limits{})
	require.Empty(t, page.Entities)
	require.Empty(t, page.Seen)
	require.Equal(t, mark(nothing), page.Next)
}

func testInvalid(t *testing.T, s Store) {
	j := newJournal()
	m := put(t, s, j, nil, entity("a", stamp("a", 1), "before"))
	for name, spoil := range map[string]func(*store.Commit){
		"NumberNotLater":    func(c *store.Commit) { c.No = m.No; c.Entities[0].Commit = m.No },
		"NoTag":             func(c *store.Commit) { c.Tag = "" },
		"ShortTag":          func(c *store.Commit) { c.Tag = "AAAA" },
		"TagOfOtherLetters": func(c *store.Commit) { c.Tag = "AAAA.AAA" },
		"OutOfOrder":        func(c *store.Commit) { c.Entities[0].ID, c.Entities[1].ID = "b", "a" },
		"TwiceTheSame":      func(c *store.Commit) { c.Entities[1].ID = c.Entities[0].ID },
		"NoID":              func(c *store.Commit) { c.Entities[0].ID = "" },
		"WritesOutOfOrder": func(c *store.Commit) {
			w := c.Entities[0].Fields["name"][0]
			c.Entities[0].Fields["name"] = []replica.Write{w, w}
		},
		"EarlyOutOfOrder": func(c *store.Commit) {
			c.Entities[0].Early = []store.Early{{Field: "b", Stamp: stamp("a", 1)}, {Field: "a", Stamp: stamp("a", 1)}}
		},
		"EntityOfAnother":    func(c *store.Commit) { c.Entities[0].Commit = m.No },
		"SeenOfAnother":      func(c *store.Commit) { c.Seen[runNamed("a")] = store.SeenAt{N: 1, Commit: m.No} },
		"RunWithoutItsNames": func(c *store.Commit) { c.Seen[""] = store.SeenAt{N: 1, Commit: c.No} },
	} {
		t.Run(name, func(t *testing.T) {
			c := commitOf(m, nil, entity("a", stamp("a", 2), "x"), entity("b", stamp("a", 2), "x"))
			spoil(&c)
			err := s.Commit(ctx, j, m, c)
			require.Error(t, err)
			require.NotErrorIs(t, err, store.ErrMoved, "it is the commit that is wrong")
			require.Equal(t, m, head(t, s, j))
		})
	}
	for _, name := range []store.Journal{"", "j1", j[1:], j + "0", store.Journal(strings.ToUpper(string(j[:31])) + "F"), j[:31] + "/"} {
		require.Error(t, s.Commit(ctx, name, store.Mark{}, commitOf(store.Mark{}, nil)), "%q", name)
		require.Error(t, s.View(ctx, name, func(store.Reader) error { return nil }), "%q", name)
		require.Error(t, s.Drop(ctx, name), "%q", name)
		require.Error(t, s.Watch(ctx, name, func() {}), "%q", name)
	}
}

func testMoved(t *testing.T, s Store) {
	j := newJournal()
	first := put(t, s, j, nil, entity("a", stamp("a", 1), "first"))
	second := put(t, s, j, nil, entity("a", stamp("a", 2), "second"))
	for name, on := range map[string]store.Mark{
		"Start":      {},
		"Older":      first,
		"OtherTag":   {No: second.No, Tag: first.Tag},
		"NoTag":      {No: second.No},
		"NotYetMade": {No: second.No + 1, Tag: second.Tag},
	} {
		t.Run(name, func(t *testing.T) {
			c := commitOf(on, map[replica.Run]store.SeenAt{runNamed("b"): {N: 1}}, entity("a", stamp("b", 1), "late"), entity("b", stamp("b", 1), "late"))
			require.ErrorIs(t, s.Commit(ctx, j, on, c), store.ErrMoved)
			page := after(t, s, j, store.Mark{}, store.Limits{})
			require.Equal(t, second, page.Next)
			require.Equal(t, []replica.ID{"a"}, ids(page))
			require.Equal(t, replica.Text("second"), page.Entities[0].Fields["name"][0].Value)
			require.Empty(t, page.Seen)
		})
	}
	// An id inside the mark plays no part.
	c := commitOf(second, nil, entity("a", stamp("a", 3), "third"))
	require.NoError(t, s.Commit(ctx, j, store.Mark{No: second.No, Tag: second.Tag, ID: "a"}, c))
}

func testKnown(t *testing.T, s Store) {
	j, other := newJournal(), newJournal()
	var marks []store.Mark
	for n := range uint64(4) {
		marks = append(marks, put(t, s, j, nil, entity("a", stamp("a", n+1), "x")))
	}
	elsewhere := put(t, s, other, nil, entity("a", stamp("a", 1), "x"))
	view(t, s, j, func(r store.Reader) error {
		for _, m := range marks {
			known, err := r.Known(m)
			require.NoError(t, err)
			require.True(t, known, "tags are kept for ever")
			m.ID = "zzz"
			known, err = r.Known(m)
			require.NoError(t, err)
			require.True(t, known, "whatever its id")
		}
		for _, m := range []store.Mark{elsewhere, {No: marks[0].No}, {No: marks[0].No, Tag: marks[1].Tag}, {No: 99, Tag: marks[3].Tag}, {Tag: marks[0].Tag}} {
			known, err := r.Known(m)
			require.NoError(t, err)
			require.False(t, known, "%v", m)
		}
		return nil
	})
}

func testIndexMoves(t *testing.T, s Store) {
	j := newJournal()
	put(t, s, j, nil, entity("a", stamp("a", 1), "1"), entity("aa", stamp("a", 1), "1"), entity("b", stamp("a", 1), "1"))
	second := put(t, s, j, nil, entity("a", stamp("a", 2), "2"))
	third := put(t, s, j, nil, entity("aa", stamp("a", 3), "3"), entity("c", stamp("a", 3), "3"))
	require.Equal(t, []replica.ID{"b", "a", "aa", "c"}, ids(after(t, s, j, store.Mark{}, store.Limits{})))
	require.Equal(t, []replica.ID{"aa", "c"}, ids(after(t, s, j, second, store.Limits{})))
	require.Empty(t, ids(after(t, s, j, third, store.Limits{})))

	// What was reached on the old order is read on from there, and what moved meanwhile comes at its new place.
	page := after(t, s, j, store.Mark{}, store.Limits{Entities: 2})
	require.Equal(t, []replica.ID{"b", "a"}, ids(page))
	fourth := put(t, s, j, nil, entity("b", stamp("a", 4), "4"))
	rest := after(t, s, j, page.Next, store.Limits{})
	require.Equal(t, []replica.ID{"aa", "c", "b"}, ids(rest))
	require.Equal(t, fourth, rest.Next)
}

func testPages(t *testing.T, s Store) {
	j := newJournal()
	var first, second []store.Entity
	for i := range 7 {
		first = append(first, entity(replica.ID(fmt.Sprintf("a%d", i)), stamp("a", 1), "x"))
		second = append(second, entity(replica.ID(fmt.Sprintf("b%d", i)), stamp("a", 2), "x"))
	}
	one := put(t, s, j, nil, first...)
	two := put(t, s, j, nil, second...)

	page := after(t, s, j, store.Mark{}, store.Limits{Entities: 3})
	require.Equal(t, []replica.ID{"a0", "a1", "a2"}, ids(page))
	require.Equal(t, store.Mark{No: one.No, Tag: one.Tag, ID: "a2"}, page.Next)
	require.True(t, page.More)
	page = after(t, s, j, page.Next, store.Limits{Entities: 4})
	require.Equal(t, []replica.ID{"a3", "a4", "a5", "a6"}, ids(page))
	require.Equal(t, one, page.Next, "the commit is finished: no id")
	require.True(t, page.More)
	page = after(t, s, j, store.Mark{No: one.No, Tag: one.Tag, ID: "a4"}, store.Limits{Entities: 4})
	require.Equal(t, []replica.ID{"a5", "a6", "b0", "b1"}, ids(page))
	require.Equal(t, store.Mark{No: two.No, Tag: two.Tag, ID: "b1"}, page.Next)
	page = after(t, s, j, page.Next, store.Limits{Entities: 5})
	require.Equal(t, []replica.ID{"b2", "b3", "b4", "b5", "b6"}, ids(page))
	require.Equal(t, two, page.Next)
	require.False(t, page.More, "exactly full and nothing left")

	// The id of a mark need not be there any more.
	put(t, s, j, nil, entity("a2", stamp("a", 3), "moved"))
	page = after(t, s, j, store.Mark{No: one.No, Tag: one.Tag, ID: "a2"}, store.Limits{Entities: 2})
	require.Equal(t, []replica.ID{"a3", "a4"}, ids(page))

	bytes := first[0].Bytes()
	page = after(t, s, j, store.Mark{}, store.Limits{Bytes: 3*bytes + 1})
	require.Len(t, page.Entities, 3)
	page = after(t, s, j, store.Mark{}, store.Limits{Bytes: 3 * bytes})
	require.Len(t, page.Entities, 3)
	page = after(t, s, j, store.Mark{}, store.Limits{Bytes: 3*bytes - 1})
	require.Len(t, page.Entities, 2)
}

func testSeen(t *testing.T, s Store) {
	j := newJournal()
	a, b, c, d := runNamed("a"), runNamed("b"), runNamed("c"), runNamed("d")
	one := put(t, s, j, map[replica.Run]store.SeenAt{a: {N: 1, Device: "p1"}, b: {N: 1, Device: "p2"}},
		entity("a", stamp("a", 1), "1"), entity("b", stamp("b", 1), "1"), entity("c", stamp("b", 1), "1"))
	two := put(t, s, j, map[replica.Run]store.SeenAt{c: {N: 4, Device: "p1"}})
	three := put(t, s, j, map[replica.Run]store.SeenAt{a: {N: 2, Device: "p1"}, d: {N: 9, Device: "p3"}},
		entity("d", stamp("a", 2), "3"), entity("e", stamp("d", 9), "3"))

	// From the start in pages of two: a moved to commit three, so commit one has only b.
	page := after(t, s, j, store.Mark{}, store.Limits{Entities: 2})
	require.Equal(t, store.Mark{No: one.No, Tag: one.Tag, ID: "b"}, page.Next)
	require.Empty(t, page.Seen, "commit one is not finished")
	page = after(t, s, j, page.Next, store.Limits{Entities: 2})
	require.Equal(t, []replica.ID{"c", "d"}, ids(page))
	require.Equal(t, []replica.Run{b, c}, runs(page), "one is finished and two has only a run; three is not finished")
	require.Equal(t, store.SeenAt{N: 4, Commit: two.No, Device: "p1"}, page.Seen[c])
	page = after(t, s, j, page.Next, store.Limits{Entities: 2})
	require.Equal(t, []replica.ID{"e"}, ids(page))
	require.Equal(t, []replica.Run{a, d}, runs(page))
	require.Equal(t, three, page.Next)
	require.False(t, page.More)

	page = after(t, s, j, one, store.Limits{Entities: 1})
	require.Equal(t, []replica.ID{"d"}, ids(page))
	require.Equal(t, []replica.Run{c}, runs(page))
	page = after(t, s, j, two, store.Limits{})
	require.Equal(t, []replica.Run{a, d}, runs(page))
	page = after(t, s, j, three, store.Limits{})
	require.Empty(t, page.Seen)
	// A mark with an id inside the last commit has its runs still before it.
	page = after(t, s, j, store.Mark{No: three.No, Tag: three.Tag, ID: "e"}, store.Limits{})
	require.Empty(t, page.Entities)
	require.Equal(t, []replica.Run{a, d}, runs(page))
}

func testLimits(t *testing.T, s Store) {
	j := newJournal()
	put(t, s, j, nil, everything("a"), everything("b"))
	page := after(t, s, j, store.Mark{}, store.Limits{Entities: 10, Bytes: 1})
	require.Equal(t, []replica.ID{"a"}, ids(page))
	require.True(t, page.More)
	page = after(t, s, j, page.Next, store.Limits{Entities: 10, Bytes: 1})
	require.Equal(t, []replica.ID{"b"}, ids(page))
	require.False(t, page.More)
}

func testErased(t *testing.T, s Store) {
	j := newJournal()
	first := put(t, s, j, nil, entity("a", stamp("a", 1), "x"), entity("b", stamp("a", 1), "x"), entity("c", stamp("a", 1), "x"))
	marked := erased("c")
	marked.Early = []store.Early{{Field: "name", Stamp: stamp("z", 1)}}
	second := put(t, s, j, nil, erased("b"), marked)
	page := after(t, s, j, store.Mark{}, store.Limits{Entities: 1})
	require.Equal(t, []replica.ID{"a"}, ids(page))
	require.False(t, page.More, "what is left out does not make a page more")
	require.Equal(t, second, page.Next)

	page = after(t, s, j, first, store.Limits{})
	require.Equal(t, []replica.ID{"b", "c"}, ids(page))
	require.Empty(t, page.Entities[0].Fields)
	require.Equal(t, "drink", page.Entities[0].Kind)
	require.Equal(t, marked.Early, page.Entities[1].Early)

	// From inside the first commit on, they are told: that reader may have them.
	page = after(t, s, j, store.Mark{No: first.No, Tag: first.Tag, ID: "a"}, store.Limits{})
	require.Equal(t, []replica.ID{"b", "c"}, ids(page))

	// A late edit brings one back.
	put(t, s, j, nil, entity("b", stamp("b", 1), "again"))
	require.Equal(t, []replica.ID{"a", "b"}, ids(after(t, s, j, store.Mark{}, store.Limits{})))
}

func testOwnership(t *testing.T, s Store) {
	j := newJournal()
	c := commitOf(store.Mark{}, map[replica.Run]store.SeenAt{runNamed("a"): {N: 1, Device: "p1"}}, everything("a"))
	want := everything("a")
	want.Commit = c.No
	require.NoError(t, s.Commit(ctx, j, store.Mark{}, c))
	spoil := func(e store.Entity) {
		e.Fields["score_x10"][0].Value = replica.Int(1)
		e.Fields["name"] = nil
		delete(e.Fields, "note")
		e.Early[0].Field = "spoilt"
	}
	spoil(c.Entities[0])
	c.Seen[runNamed("a")] = store.SeenAt{N: 99}

	var kept store.Entity
	view(t, s, j, func(r store.Reader) error {
		found, err := r.Entities([]replica.ID{"a"})
		require.NoError(t, err)
		kept = found["a"]
		again, err := r.Entities([]replica.ID{"a"})
		require.NoError(t, err)
		spoil(again["a"])
		page, err := r.After(store.Mark{}, store.Limits{})
		require.NoError(t, err)
		require.Equal(t, want, page.Entities[0])
		spoil(page.Entities[0])
		page.Seen[runNamed("a")] = store.SeenAt{N: 98}
		seen, err := r.Seen([]replica.Run{runNamed("a")})
		require.NoError(t, err)
		require.Equal(t, uint64(1), seen[runNamed("a")].N)
		seen[runNamed("a")] = store.SeenAt{N: 97}
		return nil
	})
	page := after(t, s, j, store.Mark{}, store.Limits{})
	require.Equal(t, want, page.Entities[0])
	require.Equal(t, uint64(1), page.Seen[runNamed("a")].N)
	require.Equal(t, want, kept, "it outlives the view")
}

func testOneState(t *testing.T, s Store) {
	j := newJournal()
	first := put(t, s, j, nil, entity("a", stamp("a", 1), "before"))
	view(t, s, j, func(r store.Reader) error {
		done := make(chan error)
		go func() {
			c := commitOf(first, map[replica.Run]store.SeenAt{runNamed("a"): {N: 2}}, entity("a", stamp("a", 2), "after"), entity("b", stamp("a", 2), "after"))
			done <- s.Commit(ctx, j, first, c)
		}()
		require.NoError(t, <-done, "a view does not hold back a commit")
		m, _, err := r.Head()
		require.NoError(t, err)
		require.Equal(t, first, m)
		page, err := r.After(store.Mark{}, store.Limits{})
		require.NoError(t, err)
		require.Equal(t, []replica.ID{"a"}, ids(page))
		require.Equal(t, replica.Text("before"), page.Entities[0].Fields["name"][0].Value)
		require.Empty(t, page.Seen)
		return nil
	})
	require.Equal(t, []replica.ID{"a", "b"}, ids(after(t, s, j, store.Mark{}, store.Limits{})))
}

// retryCommit computes a commit on the head again until it is taken, as an exchange does.
func retryCommit(s Store, j store.Journal, make func(on store.Mark) store.Commit) (store.Mark, error) {
	for {
		var on store.Mark
		if err := s.View(ctx, j, func(r store.Reader) (err error) {
			on, _, err = r.Head()
			return err
		}); err != nil {
			return store.Mark{}, err
		}
		c := make(on)
		err := s.Commit(ctx, j, on, c)
		if !errors.Is(err, store.ErrMoved) {
			return mark(c), err
		}
	}
}

func testOneJournal(t *testing.T, s Store) {
	const writers, each = 8, 12
	j := newJournal()
	marks := make([][]store.Mark, writers)
	var all sync.WaitGroup
	for w := range writers {
		all.Go(func() {
			letter := string(rune('a' + w))
			for n := range uint64(each) {
				m, err := retryCommit(s, j, func(on store.Mark) store.Commit {
					id := replica.ID(fmt.Sprintf("%s%02d", letter, n))
					return commitOf(on, map[replica.Run]store.SeenAt{runNamed(letter): {N: n + 1, Device: letter}}, entity(id, stamp(letter, n+1), "x"))
				})
				if err != nil {
					t.Errorf("writer %s: %v", letter, err)
					return
				}
				marks[w] = append(marks[w], m)
			}
		})
	}
	all.Wait()
	page := after(t, s, j, store.Mark{}, store.Limits{})
	require.Len(t, page.Entities, writers*each)
	require.Equal(t, uint64(writers*each), page.Next.No, "each commit was computed on the one before it")
	view(t, s, j, func(r store.Reader) error {
		for w, list := range marks {
			require.Equal(t, store.SeenAt{N: each, Commit: list[each-1].No, Device: string(rune('a' + w))}, page.Seen[runNamed(string(rune('a'+w)))])
			for i, m := range list {
				known, err := r.Known(m)
				require.NoError(t, err)
				require.True(t, known)
				require.True(t, i == 0 || m.No > list[i-1].No, "a writer's commits keep their order")
			}
		}
		return nil
	})
}

func testSeveralJournals(t *testing.T, s Store) {
	const writers, each = 8, 12
	var all sync.WaitGroup
	names := make([]store.Journal, writers)
	for w := range writers {
		names[w] = newJournal()
		all.Go(func() {
			for n := range uint64(each) {
				// No other writer is on this journal, so it is never told to start again.
				var on store.Mark
				err := s.View(ctx, names[w], func(r store.Reader) (err error) {
					on, _, err = r.Head()
					return err
				})
				if err == nil {
					err = s.Commit(ctx, names[w], on, commitOf(on, nil, entity("a", stamp("a", n+1), fmt.Sprint(w, n))))
				}
				if err != nil {
					t.Errorf("writer %d: %v", w, err)
					return
				}
			}
		})
	}
	all.Wait()
	require.ElementsMatch(t, names, journals(t, s))
	for w, j := range names {
		page := after(t, s, j, store.Mark{}, store.Limits{})
		require.Equal(t, uint64(each), page.Next.No)
		require.Equal(t, []replica.ID{"a"}, ids(page))
		require.Equal(t, replica.Text(fmt.Sprint(w, each-1)), page.Entities[0].Fields["name"][0].Value)
	}
}

// testLarge commits at the limit of sync: a thousand entities and a megabyte at once, several of them at the same time.
func testLarge(t *testing.T, s Store) {
	const journals, entities = 4, 1000
	text := strings.Repeat("0123456789", 90)
	var all sync.WaitGroup
	names := make([]store.Journal, journals)
	for k := range journals {
		names[k] = newJournal()
		all.Go(func() {
			on := store.Mark{}
			for n := range uint64(2) {
				var list []store.Entity
				for i := range entities {
					list = append(list, entity(replica.ID(fmt.Sprintf("01K%023d", i)), stamp("a", n+1), text))
				}
				c := commitOf(on, map[replica.Run]store.SeenAt{runNamed("a"): {N: n + 1}}, list...)
				if err := s.Commit(ctx, names[k], on, c); err != nil {
					t.Errorf("journal %d: %v", k, err)
					return
				}
				on = mark(c)
			}
		})
	}
	all.Wait()
	for _, j := range names {
		n, cursor := 0, store.Mark{}
		for more := true; more; {
			page := after(t, s, j, cursor, store.Limits{Entities: 300, Bytes: 512 << 10})
			for i := range page.Entities {
				require.Equal(t, uint64(2), page.Entities[i].Commit)
			}
			n += len(page.Entities)
			cursor, more = page.Next, page.More
		}
		require.Equal(t, entities, n)
	}
}

func testDrop(t *testing.T, s Store) {
	j, other, never := newJournal(), newJournal(), newJournal()
	var many []store.Entity
	for i := range 3000 {
		many = append(many, entity(replica.ID(fmt.Sprintf("01K%023d", i)), stamp("a", 1), "x"))
	}
	m := put(t, s, j, map[replica.Run]store.SeenAt{runNamed("a"): {N: 1}}, many...)
	kept := put(t, s, other, nil, entity("a", stamp("a", 1), "x"))

	require.NoError(t, s.Drop(ctx, j))
	require.NoError(t, s.Drop(ctx, j), "dropping again does nothing")
	require.NoError(t, s.Drop(ctx, never))
	for _, name := range []store.Journal{j, never} {
		require.ErrorIs(t, s.View(ctx, name, func(store.Reader) error { return nil }), store.ErrErased)
		require.ErrorIs(t, s.Commit(ctx, name, store.Mark{}, commitOf(store.Mark{}, nil)), store.ErrErased)
	}
	require.ErrorIs(t, s.Commit(ctx, j, m, commitOf(m, nil)), store.ErrErased)
	require.Equal(t, []store.Journal{other}, journals(t, s))
	require.Equal(t, kept, head(t, s, other))
	require.Equal(t, []replica.ID{"a"}, ids(after(t, s, other, store.Mark{}, store.Limits{})))
}

func testWatch(t *testing.T, s Store) {
	j, quiet := newJournal(), newJournal()
	watching, stop := context.WithCancel(ctx)
	defer stop()
	var inside atomic.Int32
	hints := make(chan store.Mark, 100)
	ended := make(chan error, 2)
	go func() {
		ended <- s.Watch(watching, j, func() {
			if inside.Add(1) != 1 {
				t.Error("two calls at once")
			}
			var m store.Mark
			if err := s.View(ctx, j, func(r store.Reader) (err error) {
				m, _, err = r.Head()
				return err
			}); err != nil {
				t.Error(err)
			}
			inside.Add(-1)
			hints <- m
		})
	}()
	go func() {
		ended <- s.Watch(watching, quiet, func() { t.Error("a hint for a journal in which nothing happened") })
	}()

	// The watch begins at some moment that nobody is told of; from then on each commit is hinted at after it is there.
	committed := put(t, s, j, nil, entity("a", stamp("a", 1), "x"))
	for n := uint64(2); len(hints) == 0; n++ {
		committed = put(t, s, j, nil, entity("a", stamp("a", n), "x"))
		time.Sleep(time.Millisecond)
	}
	for m := range hints {
		if m == committed {
			break
		}
	}
	last := put(t, s, j, nil, entity("a", stamp("b", 1), "x"))
	for m := range hints {
		if m == last {
			break
		}
	}
	stop()
	require.ErrorIs(t, <-ended, context.Canceled)
	require.ErrorIs(t, <-ended, context.Canceled)
}

func testContext(t *testing.T, s Store) {
	j := newJournal()
	m := put(t, s, j, nil, entity("a", stamp("a", 1), "x"))
	gone, cancel := context.WithCancel(ctx)
	cancel()
	require.ErrorIs(t, s.Commit(gone, j, m, commitOf(m, nil, entity("b", stamp("a", 2), "x"))), context.Canceled)
	require.ErrorIs(t, s.View(gone, j, func(store.Reader) error { return nil }), context.Canceled)
	require.ErrorIs(t, s.Drop(gone, j), context.Canceled)
	require.ErrorIs(t, s.Journals(gone, func(store.Journal) error { return nil }), context.Canceled)
	require.ErrorIs(t, s.Read(gone, func(store.BookReader) error { return nil }), context.Canceled)
	require.ErrorIs(t, s.Write(gone, func(tx store.BookWriter) error { return tx.Set([]byte("k"), nil) }), context.Canceled)
	require.Equal(t, m, head(t, s, j))
	require.Empty(t, records(t, s, ""))
}

func testCallersError(t *testing.T, s Store) {
	mine := errors.New("the caller's own")
	j := newJournal()
	put(t, s, j, nil, entity("a", stamp("a", 1), "x"))
	require.Equal(t, mine, s.View(ctx, j, func(store.Reader) error { return mine }))
	require.Equal(t, mine, s.Journals(ctx, func(store.Journal) error { return mine }))
	require.Equal(t, mine, s.Read(ctx, func(store.BookReader) error { return mine }))
	require.Equal(t, mine, s.Write(ctx, func(store.BookWriter) error { return mine }))
}

func testClosed(t *testing.T, s Store) {
	j := newJournal()
	m := put(t, s, j, nil, entity("a", stamp("a", 1), "x"))
	ended := make(chan error, 1)
	go func() { ended <- s.Watch(ctx, j, func() {}) }()
	require.NoError(t, s.Close())
	require.ErrorIs(t, <-ended, store.ErrClosed)
	require.ErrorIs(t, s.Commit(ctx, j, m, commitOf(m, nil)), store.ErrClosed)
	require.ErrorIs(t, s.View(ctx, j, func(store.Reader) error { return nil }), store.ErrClosed)
	require.ErrorIs(t, s.Watch(ctx, j, func() {}), store.ErrClosed)
	require.ErrorIs(t, s.Journals(ctx, func(store.Journal) error { return nil }), store.ErrClosed)
	require.ErrorIs(t, s.Drop(ctx, j), store.ErrClosed)
	require.ErrorIs(t, s.Read(ctx, func(store.BookReader) error { return nil }), store.ErrClosed)
	require.ErrorIs(t, s.Write(ctx, func(store.BookWriter) error { return nil }), store.ErrClosed)
	_, err := s.Health(ctx)
	require.ErrorIs(t, err, store.ErrClosed)
}

func testCloseWaits(t *testing.T, s Store) {
	j := newJournal()
	put(t, s, j, nil, entity("a", stamp("a", 1), "x"))
	closed := make(chan error, 1)
	view(t, s, j, func(r store.Reader) error {
		go func() { closed <- s.Close() }()
		nothing := func(store.Reader) error { return nil }
		for !errors.Is(s.View(ctx, j, nothing), store.ErrClosed) {
			time.Sleep(time.Millisecond)
		}
		// A store that does not wait for this view has time to close under it.
		time.Sleep(50 * time.Millisecond)
		page, err := r.After(store.Mark{}, store.Limits{})
		require.NoError(t, err)
		require.Equal(t, []replica.ID{"a"}, ids(page))
		return nil
	})
	require.NoError(t, <-closed)
}

// testReopen writes, closes, opens again and finds the same.
func testReopen(t *testing.T, s Store, o Options) {
	j, dropped := newJournal(), newJournal()
	seen := map[replica.Run]store.SeenAt{runNamed("a"): {N: 1, Device: "p1"}}
	first := put(t, s, j, seen, everything("a"), entity("b", stamp("a", 1), "x"), entity("c", stamp("a", 1), "x"))
	second := put(t, s, j, nil, erased("b"), entity("d", stamp("a", 2), "x"))
	put(t, s, dropped, nil, entity("a", stamp("a", 1), "x"))
	require.NoError(t, s.Drop(ctx, dropped))
	require.NoError(t, s.Write(ctx, func(tx store.BookWriter) error { return tx.Set([]byte("k"), []byte("v")) }))
	all, rest := after(t, s, j, store.Mark{}, store.Limits{}), after(t, s, j, first, store.Limits{})
	before, err := s.Health(ctx)
	require.NoError(t, err)

	s = o.Reopen(t, s)
	t.Cleanup(func() { _ = s.Close() })
	require.Equal(t, second, head(t, s, j))
	require.Equal(t, all, after(t, s, j, store.Mark{}, store.Limits{}))
	require.Equal(t, rest, after(t, s, j, first, store.Limits{}))
	require.Equal(t, []store.Journal{j}, journals(t, s))
	require.ErrorIs(t, s.View(ctx, dropped, func(store.Reader) error { return nil }), store.ErrErased)
	require.Equal(t, []string{"k=v"}, records(t, s, ""))
	h, err := s.Health(ctx)
	require.NoError(t, err)
	require.True(t, h.OK, h.Reason)
	require.Equal(t, before.StoreID, h.StoreID)
	put(t, s, j, nil, entity("e", stamp("a", 3), "x"))
}
