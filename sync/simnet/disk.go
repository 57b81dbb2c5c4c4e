package simnet

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"fairmeasure/sync/device"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/wire"
)

// disk is one device's database, with one or two cores running on it, as in two tabs without locks.
type disk struct {
	w         *world
	name, id  string
	skew      int64 // of its clock
	stores    map[string]map[string]string
	rev       int64
	backup    map[string]map[string]string
	backupRev int64
	cores     []*core
}

// core is one tab.
type core struct {
	on  *disk
	dev *device.Device
}

func (w *world) newDisk(id string) *disk {
	d := &disk{w: w, name: id, id: id, stores: map[string]map[string]string{}, backup: map[string]map[string]string{}}
	switch w.r.IntN(5) {
	case 0:
		d.skew = 3 * 365 * 24 * hour
	case 1:
		d.skew = -w.r.Int64N(100 * hour)
	}
	d.cores = []*core{nil}
	d.restart(0)
	return d
}

func copied(stores map[string]map[string]string) map[string]map[string]string {
	c := make(map[string]map[string]string, len(stores))
	for name, rows := range stores {
		c[name] = maps.Clone(rows)
	}
	return c
}

func (d *disk) core(c *core) int { return slices.Index(d.cores, c) }

// restart closes a tab, if it is open, and opens it anew from what is on the disk.
func (d *disk) restart(i int) {
	w := d.w
	dev := device.New(device.Options{Journal: string(journal), App: "1.4.0", Run: func() replica.Run {
		if w.rules.KeepRun {
			return replica.Run((d.id + "00000000000")[:11])
		}
		w.runs++
		return replica.Run(letters(w.r, 11))
	}})
	for _, name := range device.Stores {
		var rows []device.Row
		for _, key := range slices.Sorted(maps.Keys(d.stores[name])) {
			rows = append(rows, device.Row{Key: key, Value: d.stores[name][key]})
		}
		if name == device.StoreMeta {
			rows = append(rows, device.Row{Key: `"rev"`, Value: fmt.Sprint(d.rev)})
		}
		if err := dev.Load(name, rows); err != nil {
			w.fail("Load", "%s: %v", d.name, err)
		}
	}
	if err := dev.Ready(); err != nil {
		w.fail("Load", "%s: %v", d.name, err)
	}
	d.cores[i] = &core{d, dev}
}

// commit writes a change in one transaction. It may fail before or after the write, and another tab may have been first.
// What the core is told it is told truly: failed also when it is not clear.
func (c *core) commit(ch *device.Change) device.Outcome {
	d, w := c.on, c.on.w
	fault := 100
	if !w.quiet {
		fault = w.r.IntN(100)
	}
	outcome := device.Done
	switch {
	case fault < 3: // before anything is written
		outcome = device.Failed
	case ch.Rev >= 0 && ch.Rev != d.rev:
		outcome = device.Raced
		w.rep.Raced++
	default:
		if w.rules.TornAnswers && drops(ch) {
			d.write(ch, true)
			if fault < 10 {
				outcome = device.Failed
				break
			}
			d.write(ch, false)
			break
		}
		d.write(ch, true)
		d.write(ch, false)
		if fault < 6 { // after all of it is
			outcome = device.Failed
		}
	}
	if outcome == device.Failed {
		w.rep.Failed++
	}
	if err := c.dev.Settle(ch.No, outcome); (err == nil) != (outcome == device.Done) {
		w.fail("Settle", "%s: %s: %v", d.name, outcome, err)
	}
	if outcome != device.Done {
		w.trace("%s: a write was %s", d.name, outcome)
		d.restart(d.core(c))
	}
	return outcome
}

func drops(ch *device.Change) bool {
	return slices.ContainsFunc(ch.Del, func(d [2]string) bool { return d[0] == device.StoreQueue })
}

// write does one half of a change: what it does to the queue, or the rest.
func (d *disk) write(ch *device.Change, queue bool) {
	if queue {
		d.rev++
		d.w.noteQueue(d, ch)
	}
	for _, del := range ch.Del {
		if (del[0] == device.StoreQueue) == queue {
			delete(d.stores[del[0]], del[1])
		}
	}
	for _, put := range ch.Put {
		if (put[0] == device.StoreQueue) != queue {
			continue
		}
		if d.stores[put[0]] == nil {
			d.stores[put[0]] = map[string]string{}
		}
		d.stores[put[0]][put[1]] = put[2]
	}
}

// noteQueue keeps the ledger of what was saved: new actions, those made again under another stamp, those emptied.
func (w *world) noteQueue(d *disk, ch *device.Change) {
	for _, put := range ch.Put {
		if put[0] != device.StoreQueue {
			continue
		}
		a := w.action(put[2])
		old, replaced := d.stores[device.StoreQueue][put[1]]
		if replaced && old != put[2] {
			was := w.action(old)
			if was.Stamp == a.Stamp && len(a.Edits) == 0 {
				w.saved[a.Stamp].emptied = true
				w.rep.Aside++
				continue
			}
			// Here no run ever loses its beginning: making actions again is for damage from outside.
			w.fail("Converges", "%s was stuck and made %s again as %s", d.name, was.Stamp, a.Stamp)
		}
		if have := w.saved[a.Stamp]; have != nil {
			if have.body != put[2] && len(a.Edits) > 0 && !have.emptied {
				w.fail("StampUnique", "%s: %s was saved twice with different content", d.name, a.Stamp)
			}
			continue
		}
		w.saved[a.Stamp] = &saved{act: a, body: put[2]}
		w.order = append(w.order, a.Stamp)
	}
}

func (w *world) action(body string) *replica.Action {
	a := w.acts[body]
	if a == nil {
		var err error
		if a, err = wire.DecodeAction(body); err != nil {
			w.fail("Rows", "%v", err)
			a = &replica.Action{}
		}
		w.acts[body] = a
	}
	return a
}

func (w *world) entity(row string) *replica.Entity {
	e := w.ents[row]
	if e == nil {
		var err error
		if e, err = wire.DecodeEntity(row); err != nil {
			w.fail("Rows", "%v", err)
			e = &replica.Entity{}
		}
		w.ents[row] = e
	}
	return e
}

// seen reads what the disk says was seen of a run.
func (d *disk) seen(r replica.Run) uint64 {
	row, ok := d.stores[device.StoreSeen][`"`+string(r)+`"`]
	if !ok {
		return 0
	}
	s, err := wire.DecodeSeen(row)
	if err != nil {
		d.w.fail("Rows", "%v", err)
	}
	return s.N
}

// queued tells whether an action is in the queue on the disk.
func (d *disk) queued(s replica.Stamp) bool {
	for _, row := range d.stores[device.StoreQueue] {
		if strings.HasPrefix(row, `{"s":"`+s.String()+`"`) {
			return true
		}
	}
	return false
}
