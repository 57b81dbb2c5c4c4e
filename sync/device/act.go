package device

import (
	"maps"
	"slices"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/schema"
	"fairmeasure/sync/wire"
)

// The sizes up to which an action is saved at all. They stay below what a server takes, so that nothing is saved that is
// refused later.
const (
	mostEntity = replica.MaxEntity - 4_000
	mostSpread = replica.MaxSpread - 100_000
)

// Act carries out one thing a person did. fn says which edits it is, given what is seen; its errors come back as they
// are. The change holds one new queue row; nil when there is nothing to do. Beyond the limits it is a *replica.Refusal,
// and nothing is saved.
func (d *Device) Act(now int64, fn func(v schema.View) ([]replica.Edit, error)) (*Change, error) {
	if err := d.usable(); err != nil {
		return nil, err
	}
	edits, err := fn(d)
	if err != nil {
		return nil, err
	}
	if edits = folded(edits); len(edits) == 0 {
		return nil, nil
	}
	run, n := d.run, d.n
	ahead := d.full != "" && onlyErases(edits)
	if run == "" || ahead {
		run, n = d.o.Run(), 0
	}
	a := &replica.Action{Stamp: replica.Stamp{Run: run, N: n + 1}, At: min(max(now+d.offset, 0), replica.MaxTime), Edits: edits}
	it, r := d.checked(a)
	if r != nil {
		return nil, r
	}
	it.ahead = ahead
	pos := len(d.queue)
	if ahead {
		for pos = 0; pos < len(d.queue) && d.queue[pos].ahead; {
			pos++
		}
	}
	c := &Change{Strict: true}
	queue, moved := d.insert(c, pos, it)
	for i := range edits {
		c.IDs = append(c.IDs, edits[i].ID)
	}
	return d.hand(c, func() {
		if !ahead {
			d.run, d.n = run, n+1
		}
		rekey(moved)
		d.queue = queue
		d.link(it)
		for _, id := range c.IDs {
			if ahead {
				d.refresh(id)
				continue
			}
			d.append(id, it)
		}
	}), nil
}

// append brings what is seen of an entity up to date when an action was put at the end of the queue.
func (d *Device) append(id replica.ID, it *item) {
	e, over := d.overlay[id]
	if !over {
		e = d.copy[id]
	}
	for i := range it.act.Edits {
		ed := &it.act.Edits[i]
		if ed.ID != id {
			continue
		}
		if e == nil {
			e = &replica.Entity{ID: id, Kind: ed.Kind, Fields: map[string][]replica.Write{}}
		} else {
			e = e.Clone()
		}
		apply(e, ed, it.act, nil)
	}
	d.show(id, e, true)
}

// folded makes one edit of each entity and leaves out what does nothing. The later of two values for a field counts: both
// are of one person in one moment.
func folded(edits []replica.Edit) []replica.Edit {
	var out []replica.Edit
	at := map[replica.ID]int{}
	for _, ed := range edits {
		if len(ed.Set) == 0 && !names(ed) {
			continue
		}
		i, ok := at[ed.ID]
		if !ok {
			at[ed.ID] = len(out)
			out = append(out, replica.Edit{ID: ed.ID, Kind: ed.Kind, Set: maps.Clone(ed.Set), Over: maps.Clone(ed.Over)})
			continue
		}
		into := &out[i]
		if into.Set == nil {
			into.Set = map[string]replica.Value{}
		}
		maps.Copy(into.Set, ed.Set)
		for f, stamps := range ed.Over {
			if into.Over == nil {
				into.Over = map[string][]replica.Stamp{}
			}
			all := append(slices.Clone(into.Over[f]), stamps...)
			replica.SortStamps(all)
			into.Over[f] = slices.Compact(all)
		}
	}
	return out
}

func names(ed replica.Edit) bool {
	for _, stamps := range ed.Over {
		if len(stamps) > 0 {
			return true
		}
	}
	return false
}

func onlyErases(edits []replica.Edit) bool {
	return !slices.ContainsFunc(edits, func(ed replica.Edit) bool { return len(ed.Set) > 0 })
}

// checked makes a queue item of an action that every server takes.
func (d *Device) checked(a *replica.Action) (*item, *replica.Refusal) {
	if r := replica.CheckAction(a); r != nil {
		return nil, r
	}
	spread := 0
	for i := range a.Edits {
		ed := &a.Edits[i]
		e, ok := d.Get(ed.ID)
		if ok && e.Kind != ed.Kind {
			return nil, replica.Refuse("wrong_kind", "", "%s is a %s, not a %s", ed.ID, e.Kind, ed.Kind)
		}
		after := &replica.Entity{ID: ed.ID, Kind: ed.Kind, Fields: map[string][]replica.Write{}}
		before := 0
		if ok {
			after = e.Clone()
			before = len(wire.AppendEntity(nil, e))
		}
		for f, stamps := range ed.Over {
			for _, s := range stamps {
				if _, live := after.Find(f, s); !live {
					return nil, replica.Refuse("claims_unseen", f, "%s %s: %s is not on screen", ed.ID, f, s)
				}
			}
		}
		apply(after, ed, a, nil)
		size := len(wire.AppendEntity(nil, after))
		if size > before && (size > mostEntity || len(after.Fields) > replica.MaxFields) {
			return nil, replica.Refuse("entity_too_large", "", "%s would be larger than one entry may be", ed.ID)
		}
		spread += size
	}
	if spread > mostSpread {
		return nil, replica.Refuse("too_much_at_once", "", "this changes %d bytes at once, at most %d go together", spread, mostSpread)
	}
	body := wire.AppendAction(nil, a)
	if len(body) > replica.MaxAction {
		return nil, replica.Refuse("action_too_large", "", "this is %d bytes at once, at most %d go together", len(body), replica.MaxAction)
	}
	return &item{act: a, body: string(body)}, nil
}

// Keys in the queue stand apart, so that something can be put in front without moving the rest.
const keyStep = 1024

// insert gives the queue with items put in at pos, and writes their rows into c. Where their keys find no room, what
// comes behind them moves to the end: moved says to which keys, once the change is written.
func (d *Device) insert(c *Change, pos int, items ...*item) (queue []*item, moved map[*item]int64) {
	last := d.unreadKey
	if n := len(d.queue); n > 0 {
		last = max(last, d.queue[n-1].key)
	}
	low, step := last, int64(keyStep)
	if pos < len(d.queue) {
		high := d.queue[pos].key
		low = high - keyStep*int64(len(items)+1)
		if pos > 0 {
			low = d.queue[pos-1].key
		}
		if step = (high - low) / int64(len(items)+1); step == 0 || d.unread > 0 {
			low, step = last, keyStep
			moved = map[*item]int64{}
		}
	}
	for _, it := range items {
		low += step
		it.key = low
		c.put(StoreQueue, queueKey(it.key), it.body)
	}
	if moved != nil {
		for _, it := range d.queue[pos:] {
			low += step
			moved[it] = low
			c.del(StoreQueue, queueKey(it.key))
			c.put(StoreQueue, queueKey(low), it.body)
		}
	}
	return slices.Insert(slices.Clone(d.queue), pos, items...), moved
}

func rekey(moved map[*item]int64) {
	for it, key := range moved {
		it.key = key
	}
}
