package simnet

import (
	"maps"
	"slices"
	"strconv"
	"strings"

	"fairmeasure/sync/device"
	"fairmeasure/sync/replica"
)

// afterAnswer checks what must hold whenever a device has read everything there is.
func (w *world) afterAnswer(c *core) {
	s := c.dev.Status(w.now)
	if s.CatchingUp || s.Comparing {
		return
	}
	ents, seen := w.all()
	w.copyIsServer(c.on, ents)
	if !w.mode.ServerRestore {
		w.seenHonest(c.on, ents, seen)
	}
}

// copyIsServer: after a complete pull the copy is the server's state, entity for entity.
func (w *world) copyIsServer(d *disk, ents map[replica.ID]*replica.Entity) {
	rows := d.stores[device.StoreCopy]
	for _, row := range rows {
		e := w.entity(row)
		if o := ents[e.ID]; o == nil || !e.Equal(o) {
			w.fail("CopyIsServer", "%s: %s differs from the server's", d.name, row)
			return
		}
	}
	if len(rows) != len(ents) {
		w.fail("CopyIsServer", "%s holds %d entities, the server %d", d.name, len(rows), len(ents))
	}
}

// seenHonest: whatever a device says it has seen is in its copy, or dead on the server.
func (w *world) seenHonest(d *disk, ents map[replica.ID]*replica.Entity, seen map[replica.Run]uint64) {
	copy := map[replica.ID]*replica.Entity{}
	for _, row := range d.stores[device.StoreCopy] {
		e := w.entity(row)
		copy[e.ID] = e
	}
	for _, s := range w.order {
		a := w.saved[s]
		if a.emptied || d.seen(s.Run) < s.N {
			continue
		}
		// A server that was restored need not believe what it is told to have had: then only the writes count.
		if seen[s.Run] < s.N && !w.mode.ServerRestore {
			w.fail("SeenHonest", "%s says it has seen %s, and the server has not", d.name, s)
			return
		}
		for i := range a.act.Edits {
			ed := &a.act.Edits[i]
			for f := range ed.Set {
				if live(copy, ed.ID, f, s) != live(ents, ed.ID, f, s) {
					w.fail("SeenHonest", "%s has seen %s, and %s %s is not as on the server", d.name, s, ed.ID, f)
					return
				}
			}
		}
	}
}

func live(ents map[replica.ID]*replica.Entity, id replica.ID, field string, s replica.Stamp) bool {
	e := ents[id]
	if e == nil {
		return false
	}
	_, ok := e.Find(field, s)
	return ok
}

// verify checks what must hold at the end.
func (w *world) verify() {
	ents, seen := w.all()
	for _, d := range w.disks {
		if n := len(d.stores[device.StoreQueue]); n > 0 {
			w.fail("Converges", "%s still has %d actions in its queue", d.name, n)
		}
		w.copyIsServer(d, ents)
		w.seenHonest(d, ents, seen)
		for _, row := range d.stores[device.StoreCopy] {
			if w.rules.Later && !strings.Contains(row, `"later":{"mood":["calm",0.5]}`) {
				w.fail("UnknownKept", "%s: %s", d.name, row)
			}
		}
		for _, c := range d.cores {
			w.sameView(c, ents)
		}
	}
	w.noSavedValueLost(ents)
	w.noGhost(ents, seen)
	if !w.mode.ServerRestore {
		w.actionWhole(ents, seen)
	}
}

// sameView: what a person sees on a device is the server's state, byte for byte.
func (w *world) sameView(c *core, ents map[replica.ID]*replica.Entity) {
	n := 0
	for _, kind := range c.dev.Kinds() {
		last := replica.ID("")
		c.dev.Each(kind, func(e *replica.Entity) bool {
			n++
			if o := ents[e.ID]; o == nil || string(e.AppendCanon(nil)) != string(o.AppendCanon(nil)) {
				w.fail("Converges", "%s sees %s otherwise than the server", c.on.name, e.ID)
			}
			if e.ID <= last {
				w.fail("Converges", "%s gives %s out of order", c.on.name, e.ID)
			}
			last = e.ID
			return true
		})
	}
	if n != len(ents) {
		w.fail("Converges", "%s sees %d entities, the server has %d", c.on.name, n, len(ents))
	}
}

// noSavedValueLost: each saved value is live, or somebody replaced that value knowingly, or erased it.
func (w *world) noSavedValueLost(ents map[replica.ID]*replica.Entity) {
	type key struct {
		id    replica.ID
		field string
		stamp replica.Stamp
	}
	named := map[key]bool{}
	for _, s := range w.order {
		a := w.saved[s]
		if a.emptied || a.lost && !a.reached {
			continue
		}
		for i := range a.act.Edits {
			ed := &a.act.Edits[i]
			for f, stamps := range ed.Over {
				if f != replica.Gone && !ed.Set[replica.Gone].IsNull() {
					continue // a delete replaces no value
				}
				for _, d := range stamps {
					named[key{ed.ID, f, d}] = true
				}
			}
		}
	}
	aside := asideBodies(ents)
	for _, s := range w.order {
		a := w.saved[s]
		if a.lost {
			continue
		}
		if a.emptied {
			if aside[s] != a.body {
				w.fail("NoSavedValueLost", "%s was set aside, and the journal holds %q of it", s, aside[s])
				return
			}
			continue
		}
		for i := range a.act.Edits {
			ed := &a.act.Edits[i]
			for f, v := range ed.Set {
				switch e := ents[ed.ID]; {
				case e != nil && live(ents, ed.ID, f, s):
					if have, _ := e.Find(f, s); have.Value != v {
						w.fail("StampUnique", "%s %s of %s has another value on the server", ed.ID, f, s)
					}
				case named[key{ed.ID, f, s}]:
				default:
					w.fail("NoSavedValueLost", "%s %s of %s is gone, and nobody replaced it", ed.ID, f, s)
					return
				}
			}
		}
	}
}

// asideBodies puts together what was set aside.
func asideBodies(ents map[replica.ID]*replica.Entity) map[replica.Stamp]string {
	parts := map[replica.Stamp]map[int]string{}
	for _, e := range ents {
		if e.Kind != device.AsideKind {
			continue
		}
		of, _ := e.Shown(device.AsideAction)
		text, _ := of.Value.AsText()
		s, _ := replica.ParseStamp(text)
		if parts[s] == nil {
			parts[s] = map[int]string{}
		}
		for f := range e.Fields {
			if no, ok := strings.CutPrefix(f, device.AsidePart); ok {
				i, _ := strconv.Atoi(no)
				part, _ := e.Shown(f)
				parts[s][i], _ = part.Value.AsText()
			}
		}
	}
	bodies := map[replica.Stamp]string{}
	for s, p := range parts {
		for _, i := range slices.Sorted(maps.Keys(p)) {
			bodies[s] += p[i]
		}
	}
	return bodies
}

// noGhost: a value that a surviving action replaced is not live. A device that was between two pages when the server was
// restored may bring one back as a rival, and so may one whose word on another's run the server did not take: never a
// loss, counted there.
func (w *world) noGhost(ents map[replica.ID]*replica.Entity, seen map[replica.Run]uint64) {
	for _, s := range w.order {
		a := w.saved[s]
		if a.emptied || seen[s.Run] < s.N {
			continue
		}
		for i := range a.act.Edits {
			ed := &a.act.Edits[i]
			for f, stamps := range ed.Over {
				for _, d := range stamps {
					if !live(ents, ed.ID, f, d) {
						continue
					}
					w.rep.Ghosts++
					if !w.mode.ServerRestore || !w.mode.DeviceRestore && !w.between && !w.doubted[d.Run] {
						w.fail("NoGhost", "%s %s of %s lives, and %s replaced it", ed.ID, f, d, s)
						return
					}
				}
			}
		}
	}
}

// actionWhole: the server holds what all actions it has seen make together, each of them whole.
func (w *world) actionWhole(ents map[replica.ID]*replica.Entity, seen map[replica.Run]uint64) {
	model := replica.NewState()
	for _, s := range w.order {
		if seen[s.Run] < s.N {
			continue
		}
		a := *w.saved[s].act
		if w.saved[s].emptied {
			a.Edits = nil
		}
		model.ApplyAny(&a)
	}
	if err := model.Check(); err != nil {
		w.fail("Check", "%v", err)
	}
	n := 0
	for e := range model.Entities() {
		n++
		if o := ents[e.ID]; o == nil || timeless(e) != timeless(o) {
			w.fail("ActionWhole", "%s is not what the actions make of it", e.ID)
			return
		}
	}
	if n != len(ents) {
		w.fail("ActionWhole", "the actions make %d entities, the server has %d", n, len(ents))
	}
}

// timeless gives an entity's canonical form without times: a server cuts those that lie ahead of its clock.
func timeless(e *replica.Entity) string {
	c := e.Clone()
	for _, writes := range c.Fields {
		for i := range writes {
			writes[i].At = 0
		}
	}
	return string(c.AppendCanon(nil))
}
