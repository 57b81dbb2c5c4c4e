package exchange

import (
	"fmt"
	"maps"
	"slices"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/store"
	"fairmeasure/sync/wire"
)

// A fix is what a device gives back after a restore. It is one device's word, about actions that mostly were not its own,
// so it is believed as far as being wrong costs a question:
//
//	what it adds        stays unless it was here before; the action itself, should it come, says otherwise and is right
//	what it has seen    keeps replaced values from being added again; it keeps no action from being taken
//
// Else any device of the journal could make another's unsent work vanish, by saying it had seen it.

// fix takes one piece of what a full comparison found missing here: what it adds unless it has been here before, what it
// drops, and last what the device has seen. Only on the newest state: the device computed it against that.
func (w *work) fix(cursor store.Mark, f *wire.Fix) error {
	ids, runs, p := w.readFix(f)
	if p != nil {
		return p
	}
	if err := w.load(ids, runs); err != nil {
		return err
	}
	if !cursor.Same(w.head) || cursor.ID != "" {
		return outOfStep("the journal moved on since the comparison")
	}
	before := w.size
	for i, add := range f.Add {
		if err := w.add(add); err != nil {
			if p, refused := err.(*wire.Problem); refused {
				p.Index = i
			}
			return err
		}
	}
	dropped := w.drop(f.Drop)
	if err := w.tell(f.Seen); err != nil {
		return err
	}
	for id, marks := range dropped {
		e := w.ents[id]
		for _, m := range marks {
			at, err := w.at(m.Stamp.Run)
			if err != nil {
				return err
			}
			if m.Stamp.N > at.Own() {
				e.mark(m)
			}
		}
	}
	for id := range w.named {
		if e := w.ents[id]; e != nil && e.changed {
			if err := w.prune(e, replica.Stamp{}); err != nil {
				return err
			}
		}
	}
	return w.whole(before)
}

// readFix checks the form of a piece, and gives the entities and runs it speaks of.
func (w *work) readFix(f *wire.Fix) (ids map[replica.ID]bool, runs map[replica.Run]bool, p *wire.Problem) {
	ids, runs = map[replica.ID]bool{}, map[replica.Run]bool{}
	malformed := func(format string, args ...any) (map[replica.ID]bool, map[replica.Run]bool, *wire.Problem) {
		return nil, nil, wire.NewProblem(wire.CodeMalformed, fmt.Sprintf(format, args...))
	}
	for _, e := range f.Add {
		switch {
		case !replica.ValidID(e.ID) || !replica.ValidKind(e.Kind):
			return malformed("%q is not an entity", e.ID)
		case ids[e.ID]:
			return malformed("%s is added to twice", e.ID)
		}
		ids[e.ID] = true
		for field, writes := range e.Fields {
			if !replica.ValidField(field) {
				return malformed("%q is not a field name", field)
			}
			for _, at := range writes {
				if r := replica.CheckValue(field, at.Value); r != nil {
					return malformed("%s", r.Text)
				}
				if at.At < 0 || at.At > replica.MaxTime {
					return malformed("%s: expected a time within 0 and %d, came %d", field, int64(replica.MaxTime), at.At)
				}
				runs[at.Stamp.Run] = true
			}
		}
	}
	for _, d := range f.Drop {
		ids[d.ID] = true
		runs[d.Stamp.Run] = true
	}
	for run := range f.Seen {
		runs[run] = true
	}
	if l := w.x.set.Limits; len(ids) > max(l.CommitEntities, 1) || l.FixRuns > 0 && len(f.Seen) > l.FixRuns {
		return nil, nil, wire.NewProblem(wire.CodeTooLarge, "the piece touches more than one commit may hold")
	}
	return ids, runs, nil
}

// add puts in what was never here.
func (w *work) add(add *replica.Entity) error {
	if err := w.ctx.Err(); err != nil {
		return err
	}
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
			have, live := e.Find(field, at.Stamp)
			if seen && !live || e.marked(store.Early{Field: field, Stamp: at.Stamp}) {
				continue // it was here, or is known to be, and was replaced
			}
			if !w.ask.ClockBehind {
				at.At = min(at.At, w.ask.Now)
			}
			if live && have.At <= at.At {
				continue
			}
			e.Put(field, at)
			changed = true
		}
	}
	if !changed {
		return nil
	}
	e.bytes = e.Bytes()
	if p := fits(was, e); p != nil {
		return p
	}
	w.put(e)
	return nil
}

// drop takes writes away, and gives which were there.
func (w *work) drop(drops []wire.Drop) map[replica.ID][]store.Early {
	dropped := map[replica.ID][]store.Early{}
	own := map[replica.ID]*entity{} // one copy of each, however many writes of it go
	for _, d := range drops {
		was := w.ents[d.ID]
		if was == nil {
			continue
		}
		w.named[d.ID] = was.Kind
		e := own[d.ID]
		if e == nil {
			if _, live := was.Find(d.Field, d.Stamp); !live {
				continue
			}
			e = &entity{Entity: was.Entity.Clone(), stored: was.stored}
			own[d.ID] = e
		}
		if e.Drop(d.Field, d.Stamp) {
			dropped[d.ID] = append(dropped[d.ID], store.Early{Field: d.Field, Stamp: d.Stamp})
		}
	}
	for _, e := range own {
		e.bytes = e.Bytes()
		w.put(e)
	}
	return dropped
}

// tell notes what the device has seen. A run that is new here, and one of its own, go by its word. Of a run of another
// device it has to be out of step, and to show what it tells of.
func (w *work) tell(seen map[replica.Run]wire.Seen) error {
	others := map[replica.Run]uint64{}
	for _, run := range slices.Sorted(maps.Keys(seen)) {
		n, at := seen[run].N, w.seen[run]
		own := at.Device == w.ask.Device || at.Own() == 0 // while nothing of it came, one word is as good as another
		switch {
		case at.N == 0 && n > 0:
			w.size = w.withRun(w.size, run)
			w.told(run, n, seen[run].Device)
		case own && (n > at.N || n > at.Own() && at.By != w.ask.Device): // against what others told of it too
			w.told(run, n, seen[run].Device)
		case !own && n > at.N:
			others[run] = n
		}
	}
	if len(others) == 0 || !w.x.strays.has(w.ask) {
		return nil
	}
	shown, err := w.shown(others)
	if err != nil {
		return err
	}
	for run, n := range shown {
		if n > w.seen[run].N {
			w.told(run, n, seen[run].Device)
		}
	}
	return nil
}

// told says that the run was seen up to n by the word of the device that asks. Of a run of which nothing came itself it
// also says whose it is: its own, until a device comes that calls it its own.
func (w *work) told(run replica.Run, n uint64, whose string) {
	at := w.seen[run]
	if at.Own() == 0 && (at.N == 0 || whose == w.ask.Device) {
		at.Device = w.ask.Device
	}
	at.Came = at.Own()
	at.N, at.By = n, w.ask.Device
	w.seen[run] = at
	w.moved[run] = true
}

// shown gives how far these runs can be seen in the journal as it is after this piece: the greatest of their stamps, up
// to what is told.
func (w *work) shown(told map[replica.Run]uint64) (map[replica.Run]uint64, error) {
	shown := map[replica.Run]uint64{}
	look := func(d replica.Stamp) {
		if d.N <= told[d.Run] && d.N > shown[d.Run] {
			shown[d.Run] = d.N
		}
	}
	lookAt := func(e *store.Entity) {
		for _, writes := range e.Fields {
			for i := range writes {
				look(writes[i].Stamp)
			}
		}
		for i := range e.Early {
			look(e.Early[i].Stamp)
		}
	}
	for _, e := range w.ents {
		lookAt(&e.Entity)
	}
	const pageBytes = 1 << 20
	for cursor, more := (store.Mark{}), true; more; {
		page, err := w.r.After(cursor, store.Limits{Bytes: pageBytes})
		if err != nil {
			return nil, err
		}
		for i := range page.Entities {
			if w.ents[page.Entities[i].ID] == nil {
				lookAt(&page.Entities[i])
			}
		}
		cursor, more = page.Next, page.More
	}
	return shown, nil
}

// whole refuses a piece that is more than one commit, or the journal, may hold.
func (w *work) whole(before store.Size) error {
	bytes := 0
	for id := range w.named {
		e := w.ents[id]
		if e == nil {
			continue
		}
		bytes += e.bytes
		if !e.changed {
			continue
		}
		if e.was != nil {
			w.size = less(w.size, e.was)
		}
		w.size = plus(w.size, e)
		if p := fits(e.was, e); p != nil { // by the marks of what was dropped
			return wire.NewProblem(wire.CodeTooLarge, p.Detail)
		}
	}
	if l := w.x.set.Limits; len(w.named) > l.CommitEntities || bytes > l.CommitBytes && len(w.named) > 1 {
		return wire.NewProblem(wire.CodeTooLarge, "the piece touches more than one commit may hold")
	}
	if p := w.room(before, w.size); p != nil {
		return p
	}
	return nil
}
