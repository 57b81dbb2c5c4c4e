package device

import (
	"slices"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/schema"
)

var _ schema.View = (*Device)(nil)

// Get implements schema.View.
func (d *Device) Get(id replica.ID) (*replica.Entity, bool) {
	e, ok := d.overlay[id]
	if !ok {
		e, ok = d.copy[id]
	}
	if !ok || e.Empty() {
		return nil, false
	}
	return e, true
}

// Each implements schema.View.
func (d *Device) Each(kind string, fn func(*replica.Entity) bool) {
	list := d.kinds[kind]
	if list == nil {
		return
	}
	for _, id := range list.sorted() {
		if e, ok := d.Get(id); ok && e.Kind == kind && !fn(e) {
			return
		}
	}
}

// DeviceOf implements schema.View.
func (d *Device) DeviceOf(r replica.Run) string {
	s, ok := d.seen[r]
	if !ok {
		s = d.seenNext[r]
	}
	if s.Device == "" || s.Device == d.me {
		return ""
	}
	if name := d.devices[s.Device]; name != "" {
		return name
	}
	return s.Device
}

// Kinds gives the kinds of which something is seen, in order.
func (d *Device) Kinds() []string {
	var all []string
	for k, list := range d.kinds {
		if len(list.ids) > 0 {
			all = append(all, k)
		}
	}
	slices.Sort(all)
	return all
}

// Looks gives the entities on which a person has to choose, in id order: those with rival values, and those that were
// deleted on one device and changed or restored on another.
func (d *Device) Looks() []replica.ID {
	all := make([]replica.ID, 0, len(d.looks))
	for id := range d.looks {
		all = append(all, id)
	}
	slices.Sort(all)
	return all
}

// refresh computes anew what is seen of one entity: the server's copy with all that the queue holds for it. The order of
// the queue does not matter: a replacement counts also when what it replaces comes later.
func (d *Device) refresh(id replica.ID) {
	base := d.copy[id]
	e := base
	var early []replica.Place
	for _, it := range d.byID[id] {
		if it.hidden {
			continue
		}
		for i := range it.act.Edits {
			ed := &it.act.Edits[i]
			if ed.ID != id {
				continue
			}
			if e == base {
				if base != nil {
					e = base.Clone()
				} else {
					e = &replica.Entity{ID: id, Kind: ed.Kind, Fields: map[string][]replica.Write{}}
				}
			}
			early = apply(e, ed, it.act, early)
		}
	}
	d.show(id, e, e != base)
}

func apply(e *replica.Entity, ed *replica.Edit, a *replica.Action, early []replica.Place) []replica.Place {
	for f, stamps := range ed.Over {
		for _, s := range stamps {
			if !e.Drop(f, s) {
				early = append(early, replica.Place{Field: f, Stamp: s})
			}
		}
	}
	for f, v := range ed.Set {
		if !slices.Contains(early, replica.Place{Field: f, Stamp: a.Stamp}) {
			e.Put(f, replica.Write{Stamp: a.Stamp, At: a.At, Value: v})
		}
	}
	return early
}

// show makes e what is seen of id, and keeps the indexes.
func (d *Device) show(id replica.ID, e *replica.Entity, over bool) {
	delete(d.overlay, id)
	if over {
		d.overlay[id] = e
	}
	if e == nil || e.Empty() {
		for _, list := range d.kinds {
			list.remove(id)
		}
		delete(d.looks, id)
		return
	}
	list := d.kinds[e.Kind]
	if list == nil {
		list = &idList{has: map[replica.ID]bool{}}
		d.kinds[e.Kind] = list
	}
	list.add(id)
	if asks(e) {
		d.looks[id] = true
	} else {
		delete(d.looks, id)
	}
}

// asks tells whether a person has to choose something on e.
func asks(e *replica.Entity) bool {
	switch gone := replica.Deleted(e); {
	case gone.Asks():
		return true
	case !gone.Shown():
		return false
	}
	if oneStamp(e) {
		return false
	}
	for f := range e.Fields {
		if f == replica.Gone {
			continue
		}
		group := schema.Group(e.Kind, f)
		if len(group) == 1 {
			if e.Clash(f) {
				return true
			}
			continue
		}
		if f == firstLive(e, group) && replica.ClashGroup(e, group) {
			return true
		}
	}
	return false
}

func oneStamp(e *replica.Entity) bool {
	var one replica.Stamp
	for _, writes := range e.Fields {
		for _, w := range writes {
			if one.IsZero() {
				one = w.Stamp
			} else if one != w.Stamp {
				return false
			}
		}
	}
	return true
}

func firstLive(e *replica.Entity, group []string) string {
	for _, f := range group {
		if len(e.Fields[f]) > 0 {
			return f
		}
	}
	return ""
}

// idList keeps the ids of a kind. They come mostly in order, so sorting waits until somebody reads.
type idList struct {
	ids   []replica.ID
	has   map[replica.ID]bool
	dirty bool
}

func (l *idList) add(id replica.ID) {
	if l.has[id] {
		return
	}
	l.has[id] = true
	if n := len(l.ids); n > 0 && l.ids[n-1] > id {
		l.dirty = true
	}
	l.ids = append(l.ids, id)
}

func (l *idList) remove(id replica.ID) {
	if !l.has[id] {
		return
	}
	delete(l.has, id)
	if i, ok := slices.BinarySearch(l.sorted(), id); ok {
		l.ids = slices.Delete(l.ids, i, i+1)
	}
}

func (l *idList) sorted() []replica.ID {
	if l.dirty {
		slices.Sort(l.ids)
		l.dirty = false
	}
	return l.ids
}
