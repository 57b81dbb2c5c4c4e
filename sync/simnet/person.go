package simnet

import (
	"math/rand/v2"

	"fairmeasure/sync/device"
	"fairmeasure/sync/replica"
)

// Cast is who acts in a run, and on what.
type Cast struct {
	// Group gives the fields of a kind that change together with one, itself included.
	Group func(kind, field string) []string
	// Actor makes those who act in one run. All their randomness is r's.
	Actor func(r *rand.Rand) Actor
	// First is how many acts are done on one device, and reach all others, before anything goes wrong.
	First int
	// Steps is about how many things happen after that; 0 is 37.
	Steps int
}

// Actor is everybody who acts, on all devices.
type Actor interface {
	// Act does one thing. A deed without edits is none.
	Act(Scene) (Deed, error)
	// Check says what does not hold at the end: after all that was done, in the order it was saved, in what is seen on each
	// device. The error begins with the name of the check.
	Check(done []Done, seen []replica.View) error
}

// Scene is where and when somebody acts.
type Scene struct {
	Device string
	Now    int64 // by the device's clock
	View   replica.View
	Quiet  bool // nothing goes wrong any more, or yet
}

// Deed is what somebody did.
type Deed struct {
	Edits []replica.Edit
	Plain []replica.ID // those of its entities where nothing but what was shown may be replaced
	Note  any          // for the check at the end
}

// Done is a deed that was saved. Lost says that after some disaster it may exist nowhere, or that no server took it.
type Done struct {
	Deed
	Lost bool
}

// Poison is a text that a server of another version refuses.
const Poison = "no server of today takes this"

// person lets somebody do one thing on a core.
func (w *world) person(c *core) {
	var deed Deed
	var rivals []rival
	change, err := c.dev.Act(w.now+c.on.skew, func(v replica.View) (edits []replica.Edit, err error) {
		deed, err = w.actor.Act(Scene{c.on.name, w.now + c.on.skew, v, w.quiet})
		for _, id := range deed.Plain {
			e, there := v.Get(id)
			for _, ed := range deed.Edits {
				if there && ed.ID == id {
					rivals = append(rivals, w.rivalsOf(e, ed)...)
				}
			}
		}
		return deed.Edits, err
	})
	if err != nil {
		w.fail("Act", "%s: %v", c.on.name, err)
		return
	}
	if change == nil {
		return
	}
	w.rep.Edits++
	before := len(w.order)
	outcome := c.commit(change)
	if len(w.order) > before { // it is on the disk, whatever was said of it
		s := w.saved[w.order[before]]
		s.deed = deed
		w.trace("%s: saved (%s) %s", c.on.name, outcome, s.body)
	}
	if outcome == device.Done {
		for _, r := range rivals {
			e, ok := c.dev.Get(r.id)
			if ok {
				_, ok = e.Find(r.field, r.stamp)
			}
			if !ok {
				w.fail("NoSavedValueLost", "%s: %s %s of %s was on no screen and is no longer listed after a plain edit", c.on.name, r.id, r.field, r.stamp)
			}
		}
	}
}

type rival struct {
	id    replica.ID
	field string
	stamp replica.Stamp
}

// rivalsOf gives the writes of the groups an edit sets that differ from what is shown: they stay whatever a plain edit
// does.
func (w *world) rivalsOf(e *replica.Entity, ed replica.Edit) []rival {
	var all []rival
	for f := range ed.Set {
		group := w.cast.Group(e.Kind, f)
		shown, ok := replica.ShownGroup(e, group)
		if !ok {
			continue
		}
		for _, v := range replica.Versions(e, group) {
			if _, live := v.Value(f); live && !v.Same(shown, group) {
				all = append(all, rival{e.ID, f, v.Stamp})
			}
		}
	}
	return all
}

// first plays what is there before anything goes wrong.
func (w *world) first() {
	w.quiet = true
	for range w.cast.First {
		w.now += 60_000
		w.person(w.disks[0].cores[0])
	}
	w.settle()
	w.quiet = false
}

// acted holds the end against what the actors say of it.
func (w *world) acted() {
	var done []Done
	for _, s := range w.order {
		a := w.saved[s]
		done = append(done, Done{a.deed, a.lost || a.emptied})
	}
	var seen []replica.View
	for _, d := range w.disks {
		for _, c := range d.cores {
			seen = append(seen, c.dev)
		}
	}
	if err := w.actor.Check(done, seen); err != nil && w.violated == nil {
		w.violated = err
	}
}
