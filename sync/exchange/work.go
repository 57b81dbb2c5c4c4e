package exchange

import (
	"fmt"
	"maps"
	"slices"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/store"
	"fairmeasure/sync/wire"
)

// work is what one round does to a journal, computed on one consistent state of it.
type work struct {
	x    *Exchange
	ask  *Ask
	r    store.Reader
	head store.Mark
	size store.Size

	ents  map[replica.ID]*entity
	seen  map[replica.Run]store.SeenAt // as read, and as raised
	moved map[replica.Run]bool

	took  int
	named map[replica.ID]string // → kind
	// What the commit holds so far.
	changed, bytes int
}

// entity is a stored entity with what the round needs to know of it. What is stored is never changed: an action works on
// a clone.
type entity struct {
	store.Entity
	bytes   int // Entity.Bytes
	stored  bool
	changed bool
	counted bool // in work.bytes
}

func newWork(x *Exchange, ask *Ask, r store.Reader) *work {
	return &work{
		x: x, ask: ask, r: r,
		ents: map[replica.ID]*entity{}, seen: map[replica.Run]store.SeenAt{},
		moved: map[replica.Run]bool{}, named: map[replica.ID]string{},
	}
}

func (w *work) changes() bool { return w.changed > 0 || len(w.moved) > 0 }

// load reads what the round will need, in two reads.
func (w *work) load(ids map[replica.ID]bool, runs map[replica.Run]bool) error {
	var err error
	if w.head, w.size, err = w.r.Head(); err != nil {
		return err
	}
	if len(ids) > 0 {
		found, err := w.r.Entities(slices.Collect(maps.Keys(ids)))
		if err != nil {
			return err
		}
		for id, e := range found {
			w.ents[id] = &entity{Entity: e, bytes: e.Bytes(), stored: true}
		}
	}
	if len(runs) > 0 {
		found, err := w.r.Seen(slices.Collect(maps.Keys(runs)))
		if err != nil {
			return err
		}
		for run := range runs {
			w.seen[run] = found[run] // also "never", so that it is not asked again
		}
	}
	return nil
}

func (w *work) isSeen(d replica.Stamp) (bool, error) {
	at, ok := w.seen[d.Run]
	if !ok {
		found, err := w.r.Seen([]replica.Run{d.Run})
		if err != nil {
			return false, err
		}
		at = found[d.Run]
		w.seen[d.Run] = at
	}
	return d.N <= at.N, nil
}

// acts takes the leading actions in, as many as one commit may hold.
func (w *work) acts(acts []replica.Action) error {
	ids, runs := map[replica.ID]bool{}, map[replica.Run]bool{}
	for i := range acts {
		runs[acts[i].Stamp.Run] = true
		for j := range acts[i].Edits {
			ids[acts[i].Edits[j].ID] = true
		}
	}
	if err := w.load(ids, runs); err != nil {
		return err
	}
	next := map[replica.Run]uint64{}
	for i := range acts { // nothing is done when any stamp does not line up
		run := acts[i].Stamp.Run
		if _, ok := next[run]; !ok {
			next[run] = w.seen[run].N
		}
		switch n := acts[i].Stamp.N; {
		case n == next[run]+1:
			next[run]++
		case n > next[run]+1:
			return outOfStep(fmt.Sprintf("%s came, and the last seen of its run is %d", acts[i].Stamp, next[run]))
		}
	}
	for i := range acts {
		a := &acts[i]
		if a.Stamp.N <= w.seen[a.Stamp.Run].N { // a repetition
			if !w.name(a) {
				return nil
			}
			w.took++
			continue
		}
		full, err := w.act(a)
		switch p, refused := err.(*wire.Problem); {
		case refused && w.took > 0:
			return nil // those before it are taken; it is answered when it comes first
		case refused:
			p.Index = i
			return p
		case err != nil:
			return err
		case full:
			return nil
		}
		w.took++
	}
	return nil
}

// name notes the entities of an action that is dealt with, and tells whether the answer may still carry them.
func (w *work) name(a *replica.Action) bool {
	more, bytes := 0, 0
	for i := range a.Edits {
		if _, ok := w.named[a.Edits[i].ID]; ok {
			continue
		}
		more++
		if e := w.ents[a.Edits[i].ID]; e != nil {
			bytes += e.bytes
		}
	}
	if w.took > 0 && w.over(more, bytes) {
		return false
	}
	for i := range a.Edits {
		ed := &a.Edits[i]
		if _, ok := w.named[ed.ID]; !ok {
			w.named[ed.ID] = ed.Kind
			w.count(w.ents[ed.ID])
		}
	}
	return true
}

func (w *work) over(entities, bytes int) bool {
	return len(w.named)+entities > w.x.set.Limits.CommitEntities || w.bytes+bytes > w.x.set.Limits.CommitBytes
}

func (w *work) count(e *entity) {
	if e != nil && !e.counted {
		e.counted = true
		w.bytes += e.bytes
	}
}

// act takes one new action in, whole or not at all. full means that it belongs into the next commit.
func (w *work) act(a *replica.Action) (full bool, err error) {
	if r := replica.CheckAction(a); r != nil {
		return false, wire.NewProblem(wire.CodeRefused, r.Text)
	}
	if len(a.Edits) > 0 {
		if n := len(wire.AppendAction(nil, a)); n > replica.MaxAction {
			return false, wire.NewProblem(wire.CodeRefused, fmt.Sprintf("expected an action of at most %d bytes, came %d", replica.MaxAction, n))
		}
	}
	at := a.At
	if !w.ask.ClockBehind {
		at = min(at, w.ask.Now)
	}
	after := make([]*entity, len(a.Edits))
	spread, grown, bytes, more := 0, 0, 0, 0
	size := w.size
	for i := range a.Edits {
		ed := &a.Edits[i]
		was := w.ents[ed.ID]
		if was != nil && was.Kind != ed.Kind {
			return false, wire.NewProblem(wire.CodeRefused, fmt.Sprintf("%s is a %s, not a %s", ed.ID, was.Kind, ed.Kind))
		}
		e, err := w.edited(was, ed, a.Stamp, at)
		if err != nil {
			return false, err
		}
		after[i] = e
		wasBytes, wasCounted := 0, 0
		if was != nil {
			size = less(size, was)
			wasBytes = was.bytes
			if was.counted {
				wasCounted = was.bytes
			}
		}
		size = plus(size, e)
		if _, ok := w.named[ed.ID]; !ok {
			more++
		}
		spread += e.bytes
		grown += e.bytes - wasBytes
		bytes += e.bytes - wasCounted
		if (len(e.Fields) > replica.MaxFields || e.bytes > replica.MaxEntity) && e.bytes > wasBytes {
			return false, wire.NewProblem(wire.CodeRefused, fmt.Sprintf("%s would be larger than an entity may be", ed.ID))
		}
	}
	if spread > replica.MaxSpread && grown > 0 {
		return false, wire.NewProblem(wire.CodeRefused, "the action touches more than one commit may hold")
	}
	limit := w.x.set.Limits.Journal
	if size.Entities > limit.Entities && size.Entities > w.size.Entities || size.Bytes > limit.Bytes && size.Bytes > w.size.Bytes {
		return false, wire.NewProblem(wire.CodeFull, fmt.Sprintf("a journal holds at most %d entries and %d bytes here", limit.Entities, limit.Bytes))
	}
	if w.took > 0 && w.over(more, bytes) {
		return true, nil
	}
	for _, e := range after {
		w.put(e)
	}
	w.size = size
	w.raise(a.Stamp.Run, a.Stamp.N, w.ask.Device)
	return false, nil
}

// A journal's size counts what has a write left, so that erasing makes it smaller.

func plus(s store.Size, e *entity) store.Size {
	if !e.Erased() {
		s.Entities++
		s.Bytes += int64(e.bytes)
	}
	return s
}

func less(s store.Size, e *entity) store.Size {
	if !e.Erased() {
		s.Entities--
		s.Bytes -= int64(e.bytes)
	}
	return s
}

// edited gives the entity as it is after one edit.
func (w *work) edited(was *entity, ed *replica.Edit, s replica.Stamp, at int64) (*entity, error) {
	e := &entity{}
	if was != nil {
		e.Entity, e.stored = was.Entity.Clone(), was.stored
	} else {
		e.Entity = store.Entity{Entity: replica.Entity{ID: ed.ID, Kind: ed.Kind, Fields: map[string][]replica.Write{}}}
	}
	for f, stamps := range ed.Over {
		for _, d := range stamps {
			// Also when it was there: between two pieces of a fix a write is here that was not seen yet, and a later piece of
			// another device must not bring it back.
			e.Drop(f, d)
			seen, err := w.isSeen(d)
			if err != nil {
				return nil, err
			}
			if !seen {
				e.mark(store.Early{Field: f, Stamp: d})
			}
		}
	}
	for f, v := range ed.Set {
		if !e.unmark(store.Early{Field: f, Stamp: s}) {
			e.Put(f, replica.Write{Stamp: s, At: at, Value: v})
		}
	}
	return e, w.prune(e, s)
}

// prune forgets marks of what has been seen since, so that an entity does not keep them for ever.
func (w *work) prune(e *entity, now replica.Stamp) error {
	var failed error
	e.Early = slices.DeleteFunc(e.Early, func(m store.Early) bool {
		seen, err := w.isSeen(m.Stamp)
		if err != nil {
			failed = err
		}
		return seen || m.Stamp == now
	})
	if len(e.Early) == 0 {
		e.Early = nil
	}
	e.bytes = e.Bytes()
	return failed
}

func (e *entity) mark(m store.Early) {
	i, had := slices.BinarySearchFunc(e.Early, m, compareEarly)
	if !had {
		e.Early = slices.Insert(e.Early, i, m)
	}
}

func (e *entity) unmark(m store.Early) bool {
	i, had := slices.BinarySearchFunc(e.Early, m, compareEarly)
	if had {
		e.Early = slices.Delete(e.Early, i, i+1)
	}
	return had
}

func compareEarly(a, b store.Early) int {
	switch {
	case a.Field < b.Field:
		return -1
	case a.Field > b.Field:
		return 1
	}
	return replica.CompareStamps(a.Stamp, b.Stamp)
}

// put makes e the entity as it is after the round.
func (w *work) put(e *entity) {
	if was := w.ents[e.ID]; was != nil {
		if was.counted {
			w.bytes -= was.bytes
		}
		e.changed = was.changed
	}
	if !e.changed {
		e.changed = true
		w.changed++
	}
	w.ents[e.ID] = e
	w.named[e.ID] = e.Kind
	w.count(e)
}

func (w *work) raise(run replica.Run, n uint64, device string) {
	at := w.seen[run]
	if at.N == 0 {
		at.Device = device
	}
	at.N = n
	w.seen[run] = at
	w.moved[run] = true
}

// fix takes one piece of what a full comparison found missing here: what it adds unless it has been here before, what it
// drops, and last what the device has seen. Only on the newest state: the device computed it against that.
func (w *work) fix(cursor store.Mark, f *wire.Fix) error {
	ids, runs := map[replica.ID]bool{}, map[replica.Run]bool{}
	for _, e := range f.Add {
		if !replica.ValidID(e.ID) || !replica.ValidKind(e.Kind) {
			return wire.NewProblem(wire.CodeMalformed, fmt.Sprintf("%q is not an entity", e.ID))
		}
		ids[e.ID] = true
		for field, writes := range e.Fields {
			if !replica.ValidField(field) {
				return wire.NewProblem(wire.CodeMalformed, fmt.Sprintf("%q is not a field name", field))
			}
			for _, at := range writes {
				if r := replica.CheckValue(field, at.Value); r != nil {
					return wire.NewProblem(wire.CodeMalformed, r.Text)
				}
				runs[at.Stamp.Run] = true
			}
		}
	}
	for _, d := range f.Drop {
		ids[d.ID] = true
	}
	for run := range f.Seen {
		runs[run] = true
	}
	if err := w.load(ids, runs); err != nil {
		return err
	}
	if (!cursor.Same(w.head) || cursor.ID != "") && !w.x.set.Broken.FixAnywhere {
		return outOfStep("the journal moved on since the comparison")
	}
	for _, add := range f.Add {
		if err := w.add(add); err != nil {
			return err
		}
	}
	for _, d := range f.Drop {
		if was := w.ents[d.ID]; was != nil {
			w.named[d.ID] = was.Kind
			if _, live := was.Find(d.Field, d.Stamp); live {
				e := &entity{Entity: was.Entity.Clone(), stored: was.stored}
				e.Drop(d.Field, d.Stamp)
				e.mark(store.Early{Field: d.Field, Stamp: d.Stamp}) // forgotten below, if it was seen
				w.replace(was, e)
			}
		}
	}
	for run, s := range f.Seen {
		if s.N > w.seen[run].N {
			w.raise(run, s.N, s.Device)
		}
	}
	if len(w.named) > w.x.set.Limits.CommitEntities || w.bytes > 2*w.x.set.Limits.CommitBytes && len(w.named) > 1 {
		return wire.NewProblem(wire.CodeTooLarge, "the piece touches more than one commit may hold")
	}
	for id := range w.named {
		if e := w.ents[id]; e != nil && e.changed {
			if err := w.prune(e, replica.Stamp{}); err != nil {
				return err
			}
		}
	}
	return nil
}

func (w *work) add(add *replica.Entity) error {
	was := w.ents[add.ID]
	e := &entity{}
	if was != nil {
		e.Entity, e.stored = was.Entity.Clone(), was.stored
	} else {
		e.Entity = store.Entity{Entity: replica.Entity{ID: add.ID, Kind: add.Kind, Fields: map[string][]replica.Write{}}}
	}
	w.named[add.ID] = e.Kind
	changed := false
	for field, writes := range add.Fields {
		for _, at := range writes {
			seen, err := w.isSeen(at.Stamp)
			if err != nil {
				return err
			}
			if _, live := e.Find(field, at.Stamp); seen && !live {
				continue // it was here, and was replaced
			}
			if !w.ask.ClockBehind {
				at.At = min(at.At, w.ask.Now)
			}
			if have, live := e.Find(field, at.Stamp); live && have.At <= at.At {
				continue
			}
			if !e.unmark(store.Early{Field: field, Stamp: at.Stamp}) {
				e.Put(field, at)
			}
			changed = true
		}
	}
	if changed {
		w.replace(was, e)
	}
	return nil
}

func (w *work) replace(was, e *entity) {
	e.bytes = e.Bytes()
	if was != nil {
		w.size = less(w.size, was)
	}
	w.size = plus(w.size, e)
	w.put(e)
}

// commit gives the round's outcome.
func (w *work) commit(tag string) store.Commit {
	c := store.Commit{No: w.head.No + 1, Tag: tag, Size: w.size}
	for id := range w.named {
		if e := w.ents[id]; e != nil && e.changed {
			e.Commit = c.No
			c.Entities = append(c.Entities, e.Entity)
		}
	}
	slices.SortFunc(c.Entities, func(a, b store.Entity) int {
		if a.ID < b.ID {
			return -1
		}
		return 1
	})
	if len(w.moved) > 0 {
		c.Seen = make(map[replica.Run]store.SeenAt, len(w.moved))
		for run := range w.moved {
			at := w.seen[run]
			at.Commit = c.No
			c.Seen[run] = at
		}
	}
	return c
}
