package replica

import (
	"maps"
	"slices"
)

// Patch is what one entity of a state lacks to be as in a join: writes to add and writes to drop. It goes over in one
// piece, so that no value leaves without its successor.
type Patch struct {
	ID   ID
	Kind string
	Add  *Entity // nil when nothing is added
	Drop []Place
}

// Place is one write of an entity.
type Place struct {
	Field string
	Stamp Stamp
}

// Repair gives what b lacks of Join(a, b), entity by entity in id order. What the two have seen is not part of it.
func Repair(a, b *State) []Patch {
	var all []Patch
	ids := slices.AppendSeq(slices.Collect(maps.Keys(a.ents)), maps.Keys(b.ents))
	slices.Sort(ids)
	for _, id := range slices.Compact(ids) {
		mine, theirs := a.ents[id], b.ents[id]
		if mine != nil && theirs != nil && mine.Equal(theirs) {
			continue
		}
		p := Patch{ID: id}
		if theirs != nil {
			p.Kind = theirs.Kind
		} else {
			p.Kind = mine.Kind
		}
		if mine != nil {
			for f, writes := range mine.Fields {
				for _, w := range writes {
					have, both := Write{}, false
					if theirs != nil {
						have, both = theirs.Find(f, w.Stamp)
					}
					if both && w.At < have.At || !both && survives(w.Stamp, place{id, f}, b) {
						if p.Add == nil {
							p.Add = &Entity{ID: id, Kind: p.Kind}
						}
						p.Add.Put(f, w)
					}
				}
			}
		}
		if theirs != nil {
			for _, f := range theirs.Names() {
				for _, w := range theirs.Fields[f] {
					both := false
					if mine != nil {
						_, both = mine.Find(f, w.Stamp)
					}
					if !both && !survives(w.Stamp, place{id, f}, a) {
						p.Drop = append(p.Drop, Place{f, w.Stamp})
					}
				}
			}
		}
		if p.Add != nil || len(p.Drop) > 0 {
			all = append(all, p)
		}
	}
	return all
}
