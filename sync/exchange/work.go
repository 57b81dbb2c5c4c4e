package exchange

import (
	"context"
	"fmt"
	"maps"
	"slices"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/store"
	"fairmeasure/sync/wire"
)

// work is what one round does to a journal, computed on one consistent state of it.
type work struct {
	ctx  context.Context
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
	counted bool    // in work.bytes
	was     *entity // of a changed one: as it was before the round; nil when it is new
}

func newWork(ctx context.Context, x *Exchange, ask *Ask, r store.Reader) *work {
	return &work{
		ctx: ctx, x: x, ask: ask, r: r,
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

// at gives how far a run was seen.
func (w *work) at(run replica.Run) (store.SeenAt, error) {
	at, ok := w.seen[run]
	if !ok {
		found, err := w.r.Seen([]replica.Run{run})
		if err != nil {
			return at, err
		}
		at = found[run]
		w.seen[run] = at
	}
	return at, nil
}

// isSeen tells whether a stamp's action came here, or was told of: a write of it that is not there was replaced.
func (w *work) isSeen(d replica.Stamp) (bool, error) {
	at, err := w.at(d.Run)
	return d.N <= at.N, err
}

// acts takes the leading actions in, as many as one commit may hold.
func (w *work) acts(acts []replica.Action) error {
	ids, runs := map[replica.ID]bool{}, map[replica.Run]bool{}
	for i := range acts {
		runs[acts[i].Stamp.Run] = true
		if i > 0 && len(ids) > w.x.set.Limits.CommitEntities {
			continue // those are for the next commit: their entities are not read for nothing
		}
		for j := range acts[i].Edits {
			ids[acts[i].Edits[j].ID] = true
			for _, over := range acts[i].Edits[j].Over {
				for _, d := range over {
					runs[d.Run] = true
				}
			}
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
		if err := w.ctx.Err(); err != nil {
			return err
		}
		a := &acts[i]
		if w.repeats(a.Stamp) {
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

// repeats tells whether an action was taken before. That some other device told of it is not enough: it may never have
// come, and taking it twice costs a question at most.
func (w *work) repeats(s replica.Stamp) bool {
	at := w.seen[s.Run]
	return s.N <= at.Own() || s.N <= at.N && at.By == w.ask.Device
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
	after := make([]*entity, 0, len(a.Edits))
	spread, grown, bytes, more := 0, 0, 0, 0
	size := w.size
	for i := range a.Edits {
		ed := &a.Edits[i]
		was := w.ents[ed.ID]
		if was != nil && was.Kind != ed.Kind {
			return false, wire.NewProblem(wire.CodeRefused, fmt.Sprintf("%s is a %s, not a %s", ed.ID, was.Kind, ed.Kind))
		}
		if _, ok := w.named[ed.ID]; !ok {
			more++
		}
		e, err := w.edited(was, ed, a.Stamp, at)
		if err != nil {
			return false, err
		}
		if was == nil && e.Erased() && len(e.Early) == 0 {
			continue // nothing is left of it, and nothing was: there is nothing to write down
		}
		after = append(after, e)
		wasBytes, wasCounted := 0, 0
		if was != nil {
			size = less(size, was)
			wasBytes = was.bytes
			if was.counted {
				wasCounted = was.bytes
			}
		}
		size = plus(size, e)
		spread += e.bytes
		grown += e.bytes - wasBytes
		bytes += e.bytes - wasCounted
		if p := fits(was, e); p != nil {
			return false, p
		}
	}
	if spread > replica.MaxSpread && grown > 0 {
		return false, wire.NewProblem(wire.CodeRefused, "the action touches more than one commit may hold")
	}
	if p := w.room(w.size, w.withRun(size, a.Stamp.Run)); p != nil {
		return false, p
	}
	if w.took > 0 && w.over(more, bytes) {
		return true, nil
	}
	for _, e := range after {
		w.put(e)
	}
	for i := range a.Edits {
		if _, ok := w.named[a.Edits[i].ID]; !ok {
			w.named[a.Edits[i].ID] = a.Edits[i].Kind
		}
	}
	w.size = w.withRun(size, a.Stamp.Run)
	w.came(a.Stamp)
	return false, nil
}

// withRun adds a run to a size, if the journal has not seen it yet.
func (w *work) withRun(s store.Size, run replica.Run) store.Size {
	if w.seen[run].N == 0 {
		s.Runs++
		s.Bytes += store.RunBytes
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
			at, err := w.at(d.Run)
			if err != nil {
				return nil, err
			}
			if d.N > at.Own() {
				e.mark(store.Early{Field: f, Stamp: d})
			}
		}
	}
	for f, v := range ed.Set {
		if e.unmark(store.Early{Field: f, Stamp: s}) {
			continue
		}
		if had, live := e.Find(f, s); live && had.Value != v {
			e.Drop(f, s) // somebody told of it otherwise; this is the action itself
		}
		e.Put(f, replica.Write{Stamp: s, At: at, Value: v})
	}
	return e, w.prune(e, s)
}

// prune forgets marks of actions that have come since, so that an entity does not keep them for ever. That one was told
// of is not enough: it may still come.
func (w *work) prune(e *entity, now replica.Stamp) error {
	var failed error
	e.Early = slices.DeleteFunc(e.Early, func(m store.Early) bool {
		at, err := w.at(m.Stamp.Run)
		if err != nil {
			failed = err
		}
		return m.Stamp.N <= at.Own() || m.Stamp == now
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

func (e *entity) marked(m store.Early) bool {
	_, had := slices.BinarySearchFunc(e.Early, m, compareEarly)
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
		e.changed, e.was = was.changed, was
		if was.changed {
			e.was = was.was
		}
	}
	if !e.changed {
		e.changed = true
		w.changed++
	}
	w.ents[e.ID] = e
	w.named[e.ID] = e.Kind
	w.count(e)
}

// came says that an action of a run was taken. Whose run it is says the first that comes.
func (w *work) came(s replica.Stamp) {
	at := w.seen[s.Run]
	if at.Own() == 0 {
		at.Device = w.ask.Device
	}
	if s.N >= at.N {
		at.N, at.Came, at.By = s.N, 0, ""
	} else {
		at.Came = s.N
	}
	w.seen[s.Run] = at
	w.moved[s.Run] = true
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
