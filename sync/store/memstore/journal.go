package memstore

import (
	"cmp"
	"maps"
	"slices"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/store"
)

// journal is one version of a journal. It may be changed in place while nobody else holds it: not shared with another
// store and not being read. Otherwise a commit goes to a clone.
type journal struct {
	shared  bool // two stores hold it: never changed again
	readers int  // views under way; not counted once shared

	head     store.Mark
	size     store.Size
	entities map[replica.ID]store.Entity // the values are never changed, only replaced
	changed  []change                    // entities in (commit, id) order; an entry is stale when its entity changed later
	stale    int
	seen     map[replica.Run]store.SeenAt
	moved    []move // runs in (commit, run) order, stale ones among them
	staleRun int
	tags     []tag // in number order
}

type change struct {
	commit uint64
	id     replica.ID
}

type move struct {
	commit uint64
	run    replica.Run
}

type tag struct {
	no  uint64
	tag string
}

func newJournal() *journal {
	return &journal{entities: map[replica.ID]store.Entity{}, seen: map[replica.Run]store.SeenAt{}}
}

func (j *journal) clone() *journal {
	c := *j
	c.shared, c.readers = false, 0
	c.entities, c.seen = maps.Clone(j.entities), maps.Clone(j.seen)
	// The lists only grow at their end; a clone whose list has no room left behind it may share what is there.
	c.changed, c.moved, c.tags = slices.Clip(j.changed), slices.Clip(j.moved), slices.Clip(j.tags)
	return &c
}

func (j *journal) commit(c store.Commit) {
	for i := range c.Entities {
		e := c.Entities[i].Clone()
		if _, ok := j.entities[e.ID]; ok {
			j.stale++
		}
		j.entities[e.ID] = e
		j.changed = append(j.changed, change{c.No, e.ID})
	}
	for _, run := range slices.Sorted(maps.Keys(c.Seen)) {
		if _, ok := j.seen[run]; ok {
			j.staleRun++
		}
		j.seen[run] = c.Seen[run]
		j.moved = append(j.moved, move{c.No, run})
	}
	j.tags = append(j.tags, tag{c.No, c.Tag})
	j.head = store.Mark{No: c.No, Tag: c.Tag}
	j.size = c.Size

	const few = 32
	if j.stale > few+len(j.entities) {
		j.changed = fresh(j.changed, func(at change) bool { return j.entities[at.id].Commit == at.commit })
		j.stale = 0
	}
	if j.staleRun > few+len(j.seen) {
		j.moved = fresh(j.moved, func(at move) bool { return j.seen[at.run].Commit == at.commit })
		j.staleRun = 0
	}
}

// fresh copies what is not stale: a clone may hold the old list.
func fresh[T any](list []T, ok func(T) bool) []T {
	var out []T
	for _, at := range list {
		if ok(at) {
			out = append(out, at)
		}
	}
	return out
}

func (j *journal) tagOf(no uint64) (string, bool) {
	i, ok := slices.BinarySearchFunc(j.tags, no, func(t tag, no uint64) int { return cmp.Compare(t.no, no) })
	if !ok {
		return "", false
	}
	return j.tags[i].tag, true
}

func (j *journal) known(m store.Mark) bool {
	if m.No == 0 {
		return m.Tag == ""
	}
	t, ok := j.tagOf(m.No)
	return ok && t == m.Tag
}

func (j *journal) after(cursor store.Mark, max store.Limits) store.Page {
	page := store.Page{Seen: map[replica.Run]store.SeenAt{}}
	fromStart := cursor.No == 0
	// With an id the cursor stands inside its commit, and that commit's later entities are still to come; without, the
	// commit is behind it.
	inside := cursor.ID != ""
	begin, _ := slices.BinarySearchFunc(j.changed, cursor, func(at change, m store.Mark) int {
		if at.commit == m.No && !inside {
			return -1
		}
		return cmp.Or(cmp.Compare(at.commit, m.No), cmp.Compare(at.id, m.ID), -1)
	})
	var last change
	bytes := 0
	for _, at := range j.changed[begin:] {
		e := j.entities[at.id]
		if e.Commit != at.commit || fromStart && e.Erased() {
			continue
		}
		n := e.Bytes()
		full := max.Entities > 0 && len(page.Entities) >= max.Entities || max.Bytes > 0 && bytes+n > max.Bytes
		if full && len(page.Entities) > 0 {
			page.More = true
			page.Next.No = last.commit
			page.Next.Tag, _ = j.tagOf(last.commit)
			if at.commit == last.commit {
				page.Next.ID = last.id
			}
			break
		}
		page.Entities = append(page.Entities, e.Clone())
		bytes += n
		last = at
	}
	if !page.More {
		page.Next = j.head
	}
	var lastRun uint64
	for _, at := range j.moved[j.firstMove(cursor):] {
		if page.More && (at.commit > page.Next.No || at.commit == page.Next.No && page.Next.ID != "") {
			break
		}
		moved := j.seen[at.run]
		if moved.Commit != at.commit {
			continue
		}
		if max.Runs > 0 && len(page.Seen) >= max.Runs && at.commit > lastRun {
			page.More = true
			page.Next = store.Mark{No: lastRun}
			page.Next.Tag, _ = j.tagOf(lastRun)
			page.Entities = slices.DeleteFunc(page.Entities, func(e store.Entity) bool { return e.Commit > lastRun })
			break
		}
		page.Seen[at.run] = moved
		lastRun = at.commit
	}
	return page
}

// firstMove finds the first run that moved after the cursor. A commit's runs come after its entities: a cursor inside a
// commit has them still before it.
func (j *journal) firstMove(cursor store.Mark) int {
	begin, _ := slices.BinarySearchFunc(j.moved, cursor, func(at move, m store.Mark) int {
		if at.commit == m.No && m.ID == "" {
			return -1
		}
		return cmp.Or(cmp.Compare(at.commit, m.No), 1)
	})
	return begin
}
