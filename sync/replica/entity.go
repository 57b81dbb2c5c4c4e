package replica

import (
	"maps"
	"slices"
	"sort"
)

// Clone gives an entity that shares nothing with e.
func (e *Entity) Clone() *Entity {
	c := &Entity{ID: e.ID, Kind: e.Kind, Fields: make(map[string][]Write, len(e.Fields))}
	for f, w := range e.Fields {
		c.Fields[f] = slices.Clone(w)
	}
	return c
}

// Empty tells whether no write is left: the entity was erased, or never had one.
func (e *Entity) Empty() bool {
	for _, w := range e.Fields {
		if len(w) > 0 {
			return false
		}
	}
	return true
}

// Find gives the live write of a field that has this stamp.
func (e *Entity) Find(field string, s Stamp) (Write, bool) {
	if i, ok := find(e.Fields[field], s); ok {
		return e.Fields[field][i], true
	}
	return Write{}, false
}

// Put makes w live. The same write with two times keeps the smaller.
func (e *Entity) Put(field string, w Write) {
	list := e.Fields[field]
	i, ok := find(list, w.Stamp)
	if ok {
		list[i].At = min(list[i].At, w.At)
		return
	}
	if e.Fields == nil {
		e.Fields = map[string][]Write{}
	}
	e.Fields[field] = slices.Insert(list, i, w)
}

// Drop takes the write with this stamp away and tells whether it was there.
func (e *Entity) Drop(field string, s Stamp) bool {
	list := e.Fields[field]
	i, ok := find(list, s)
	if !ok {
		return false
	}
	if len(list) == 1 {
		delete(e.Fields, field)
	} else {
		e.Fields[field] = slices.Delete(list, i, i+1)
	}
	return true
}

func find(list []Write, s Stamp) (int, bool) {
	if len(list) == 0 {
		return 0, false
	}
	if len(list) == 1 { // nearly always
		switch c := CompareStamps(list[0].Stamp, s); {
		case c == 0:
			return 0, true
		case c < 0:
			return 1, false
		}
		return 0, false
	}
	return slices.BinarySearchFunc(list, s, func(w Write, s Stamp) int { return CompareStamps(w.Stamp, s) })
}

// Equal tells whether two entities hold the same writes, times included.
func (e *Entity) Equal(o *Entity) bool {
	return e.ID == o.ID && e.Kind == o.Kind &&
		maps.EqualFunc(e.Fields, o.Fields, func(a, b []Write) bool { return slices.Equal(a, b) })
}

// Names gives the fields that hold a live write, in order.
func (e *Entity) Names() []string {
	names := make([]string, 0, len(e.Fields))
	for f, w := range e.Fields {
		if len(w) > 0 {
			names = append(names, f)
		}
	}
	slices.Sort(names)
	return names
}

// Version is what one action made of a group of fields: the values that it set in them and that still are live.
//
//	phone   typed "45 ml", vol_ul 45000   at 10:01
//	laptop  typed "1½ oz", vol_ul 44360   at 10:02
//	both    two versions; the laptop's is shown whole, the phone's is listed beside it, and no line mixes the two
//
// The bias: the later clock is shown first. It is never kept instead of the other.
type Version struct {
	Stamp Stamp
	At    int64
	of    *Entity
}

// Value gives the value this version has for a field of its group; false when it has none, which is not the same as null.
func (v Version) Value(field string) (Value, bool) {
	if v.of == nil {
		return Null, false
	}
	w, ok := v.of.Find(field, v.Stamp)
	return w.Value, ok
}

// Same tells whether two versions of an entity give the same values to all of these fields.
func (v Version) Same(o Version, fields []string) bool {
	for _, f := range fields {
		a, hasA := v.Value(f)
		b, hasB := o.Value(f)
		if hasA != hasB || a != b {
			return false
		}
	}
	return true
}

// ShownGroup gives the version of a group that is shown: the one with the greatest (at, run, n) among the group's live
// writes. False when no field of the group has a live write.
func ShownGroup(e *Entity, fields []string) (Version, bool) {
	var top Write
	found := false
	for _, f := range fields {
		for _, w := range e.Fields[f] {
			if !found || CompareShown(w, top) > 0 {
				top, found = w, true
			}
		}
	}
	return Version{top.Stamp, top.At, e}, found
}

// Versions gives all versions of a group that hold a live write, the shown one first.
func Versions(e *Entity, fields []string) []Version {
	var all []Version
	for _, f := range fields {
		for _, w := range e.Fields[f] {
			i := slices.IndexFunc(all, func(v Version) bool { return v.Stamp == w.Stamp })
			if i < 0 {
				all = append(all, Version{w.Stamp, w.At, e})
			} else {
				all[i].At = max(all[i].At, w.At)
			}
		}
	}
	sort.SliceStable(all, func(i, j int) bool {
		return CompareShown(Write{Stamp: all[j].Stamp, At: all[j].At}, Write{Stamp: all[i].Stamp, At: all[i].At}) < 0
	})
	return all
}

// ClashGroup tells whether a group's versions differ. Equal versions are one.
func ClashGroup(e *Entity, fields []string) bool {
	single := true
	var first Stamp
	for _, f := range fields {
		for _, w := range e.Fields[f] {
			if first.IsZero() {
				first = w.Stamp
			}
			single = single && w.Stamp == first
		}
	}
	if single {
		return false
	}
	all := Versions(e, fields)
	for _, v := range all[1:] {
		if !v.Same(all[0], fields) {
			return true
		}
	}
	return false
}
