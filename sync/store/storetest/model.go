package storetest

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/store"
)

// model is a journal as plainly as it can be said: what is there now, and every tag there ever was. Each question is
// answered by looking at everything.
type model struct {
	head     store.Mark
	size     store.Size
	tags     map[uint64]string
	entities map[replica.ID]store.Entity
	seen     map[replica.Run]store.SeenAt
}

func (m *model) commit(c store.Commit) {
	m.head, m.tags[c.No] = mark(c), c.Tag
	for _, e := range c.Entities {
		m.entities[e.ID] = e
	}
	for run, at := range c.Seen {
		m.seen[run] = at
	}
	m.size = c.Size
	m.size.Runs = len(m.seen)
}

// before tells whether a place in the order, an entity's or (with ID "\xff", behind all of them) the end of a commit's,
// was already passed by a reader at cursor.
func before(commit uint64, id replica.ID, cursor store.Mark) bool {
	end := cursor.ID
	if end == "" {
		end = "\xff"
	}
	return cmp.Or(cmp.Compare(commit, cursor.No), cmp.Compare(id, end)) <= 0
}

func (m *model) after(cursor store.Mark, max store.Limits) store.Page {
	var order []store.Entity
	for _, e := range m.entities {
		if !before(e.Commit, e.ID, cursor) && !(cursor.No == 0 && len(e.Fields) == 0) {
			order = append(order, e)
		}
	}
	slices.SortFunc(order, func(a, b store.Entity) int {
		return cmp.Or(cmp.Compare(a.Commit, b.Commit), cmp.Compare(a.ID, b.ID))
	})
	n, bytes := 0, 0
	for n < len(order) {
		bytes += order[n].Bytes()
		if n > 0 && (n == max.Entities || max.Bytes > 0 && bytes > max.Bytes) {
			break
		}
		n++
	}
	page := store.Page{Entities: order[:n], Next: m.head, More: n < len(order), Seen: map[replica.Run]store.SeenAt{}}
	if page.More {
		last := order[n-1]
		page.Next = store.Mark{No: last.Commit, Tag: m.tags[last.Commit]}
		if order[n].Commit == last.Commit {
			page.Next.ID = last.ID
		}
	}
	for run, at := range m.seen {
		if !before(at.Commit, "\xff", cursor) && (!page.More || before(at.Commit, "\xff", page.Next)) {
			page.Seen[run] = at
		}
	}
	// With a bound on runs the page ends after the first commit by which it has so many, if any of what it has moved later.
	for _, no := range slices.Sorted(maps.Keys(m.tags)) {
		n, later := 0, 0
		for _, at := range page.Seen {
			if at.Commit <= no {
				n++
			} else {
				later++
			}
		}
		if max.Runs == 0 || n < max.Runs || later == 0 {
			continue
		}
		page.More, page.Next = true, store.Mark{No: no, Tag: m.tags[no]}
		page.Entities = slices.DeleteFunc(page.Entities, func(e store.Entity) bool { return e.Commit > no })
		maps.DeleteFunc(page.Seen, func(_ replica.Run, at store.SeenAt) bool { return at.Commit > no })
		break
	}
	return page
}

// testModel makes random histories and asks store and model the same questions.
func testModel(outer *testing.T, s Store, o Options) {
	names := []replica.ID{"a", "aa", "a.b", "b", "day.2026-05-01", "set.country", "01K0000000000000000000000A", "01K0000000000000000000000B", "z"}
	letters := []string{"a", "b", "c", "d"}
	histories := 0
	rapid.Check(outer, func(t *rapid.T) {
		histories++
		j := newJournal()
		m := &model{tags: map[uint64]string{}, entities: map[replica.ID]store.Entity{}, seen: map[replica.Run]store.SeenAt{}}
		marks := []store.Mark{{}}
		reopens := 0
		n := uint64(0)
		draw := func(t *rapid.T) store.Commit {
			c := store.Commit{Tag: newTag(), Seen: map[replica.Run]store.SeenAt{}}
			c.No = m.head.No + uint64(rapid.SampledFrom([]int{1, 1, 1, 2, 300}).Draw(t, "gap"))
			chosen := rapid.SliceOfNDistinct(rapid.SampledFrom(names), 0, 6, rapid.ID[replica.ID]).Draw(t, "ids")
			slices.Sort(chosen)
			for _, id := range chosen {
				n++
				e := erased(id)
				for f := range rapid.IntRange(0, 3).Draw(t, "fields") {
					w := replica.Write{Stamp: stamp(rapid.SampledFrom(letters).Draw(t, "run"), n), At: rapid.Int64Range(-1, 1<<45).Draw(t, "at")}
					w.Value = rapid.SampledFrom([]replica.Value{replica.Null, replica.Bool(true), replica.Int(int64(n)), replica.Text("pear"), replica.Text("")}).Draw(t, "value")
					e.Fields[fmt.Sprintf("f%d", f)] = []replica.Write{w}
				}
				if rapid.IntRange(0, 5).Draw(t, "early") == 0 {
					e.Early = []store.Early{{Field: "f9", Stamp: stamp("z", n)}}
				}
				e.Commit = c.No
				c.Entities = append(c.Entities, e)
			}
			for _, letter := range rapid.SliceOfNDistinct(rapid.SampledFrom(letters), 0, 2, rapid.ID[string]).Draw(t, "runs") {
				n++
				at := store.SeenAt{N: n, Commit: c.No, Device: "p" + letter}
				if rapid.IntRange(0, 3).Draw(t, "told") == 0 {
					at.By, at.Came = "p9", rapid.Uint64Range(0, n).Draw(t, "came")
				}
				c.Seen[runNamed(letter)] = at
			}
			c.Size = store.Size{Entities: rapid.IntRange(0, 40000).Draw(t, "entities"), Bytes: rapid.Int64Range(0, 1<<24).Draw(t, "bytes")}
			return c
		}
		actions := map[string]func(*rapid.T){
			"commit": func(t *rapid.T) {
				c := draw(t)
				require.NoError(t, s.Commit(ctx, j, m.head, c))
				m.commit(c)
				marks = append(marks, mark(c))
			},
			"commit on a stale head": func(t *rapid.T) {
				on := rapid.SampledFrom(marks).Draw(t, "on")
				if on == m.head {
					on.Tag = newTag()
				}
				require.ErrorIs(t, s.Commit(ctx, j, on, draw(t)), store.ErrMoved)
			},
			"walk": func(t *rapid.T) {
				max := store.Limits{Entities: rapid.IntRange(0, 4).Draw(t, "entities"), Bytes: rapid.SampledFrom([]int{0, 1, 200, 400}).Draw(t, "bytes"),
					Runs: rapid.IntRange(0, 3).Draw(t, "most runs")}
				cursor := rapid.SampledFrom(marks).Draw(t, "cursor")
				if cursor.No > 0 && rapid.Bool().Draw(t, "inside") {
					cursor.ID = rapid.SampledFrom(names).Draw(t, "id")
				}
				require.NoError(t, s.View(ctx, j, func(r store.Reader) error {
					for more := true; more; {
						page, err := r.After(cursor, max)
						if err != nil {
							return err
						}
						want := m.after(cursor, max)
						require.Equal(t, len(want.Entities), len(page.Entities), "entities after %v", cursor)
						for i := range want.Entities {
							require.Equal(t, want.Entities[i], page.Entities[i])
						}
						require.Equal(t, want.Seen, page.Seen, "seen after %v", cursor)
						require.Equal(t, want.Next, page.Next, "next after %v", cursor)
						require.Equal(t, want.More, page.More, "more after %v", cursor)
						cursor, more = page.Next, page.More
					}
					return nil
				}))
			},
			"": func(t *rapid.T) {
				require.NoError(t, s.View(ctx, j, func(r store.Reader) error {
					at, size, err := r.Head()
					require.NoError(t, err)
					require.Equal(t, m.head, at)
					require.Equal(t, m.size, size)
					known := rapid.SampledFrom(marks).Draw(t, "known")
					ok, err := r.Known(known)
					require.NoError(t, err)
					require.True(t, ok)
					if known.No > 0 {
						ok, err = r.Known(store.Mark{No: known.No, Tag: newTag()})
						require.NoError(t, err)
						require.False(t, ok)
					}
					entities, err := r.Entities(names)
					require.NoError(t, err)
					require.Equal(t, m.entities, entities)
					var all []replica.Run
					for _, letter := range letters {
						all = append(all, runNamed(letter))
					}
					seen, err := r.Seen(all)
					require.NoError(t, err)
					require.Equal(t, m.seen, seen)
					return nil
				}))
			},
		}
		if o.Reopen != nil && histories%10 == 0 {
			actions["reopen"] = func(t *rapid.T) {
				if reopens++; reopens > 2 {
					t.Skip("enough for one history")
				}
				s = o.Reopen(outer, s)
			}
		}
		t.Repeat(actions)
	})
	require.NoError(outer, s.Close())
}
