package device

import (
	"maps"
	"slices"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/schema"
	"fairmeasure/sync/wire"
)

// unmarked is a mark that no server ever gave: whoever shows it is out of step, and both sides compare whole states.
const unmarked = "0.merged"

// Merged counts what Merge did.
type Merged struct {
	Entries int // of which something came, without settings and what is only a part of another
	Left    int // rows of the file that could not be read: they are only there
}

// Merge joins all that another device's file holds, or this device's of a journal that its server forgot, with what is
// here: copy with copy by who has seen what, and the file's queue behind the one here. Nothing is made again, every write
// keeps its stamp. So a journal comes back as it was whichever of its devices brings it first, what two of them hold alike
// is there once, and merging the same file twice changes nothing.
//
//	phone    pours a, b, c; d unsent      journal X, of a server that is gone
//	tablet   pours a, b;    e unsent      journal X too
//	both     a, b, c, d, e                journal Y, of the account that came after
//
// The server is told by a full comparison, which begins with the next request. Unlike Bring this also brings settings, and
// deletions: it is for a journal of the same person. Nil when there is nothing to write.
func (d *Device) Merge(x *wire.Export) (*Change, Merged, error) {
	if err := d.usable(); err != nil {
		return nil, Merged{}, err
	}
	m := Merged{Left: len(x.Unread)}
	c := &Change{Strict: true}
	own, file := replica.NewState(), replica.NewState()
	for _, e := range d.copy {
		own.Adopt(e)
	}
	for r, s := range d.seen {
		own.RaiseSeen(r, s.N)
	}
	for _, e := range x.Ents {
		file.Adopt(e)
	}
	seen := map[replica.Run]wire.Seen{}
	for r, s := range x.Seen {
		file.RaiseSeen(r, s.N)
		if s.N > d.seen[r].N {
			seen[r] = s
			c.put(StoreSeen, runKey(r), string(wire.AppendSeen(nil, s)))
		}
	}
	ents := d.joined(c, replica.Join(own, file))
	items, bad := d.unqueued(x)
	m.Left += bad
	if len(ents) == 0 && len(seen) == 0 && len(items) == 0 {
		return nil, m, nil
	}
	queue, moved := d.insert(c, len(d.queue), items...)
	touched := map[replica.ID]bool{}
	kinds := map[replica.ID]string{}
	for _, e := range ents {
		touched[e.ID], kinds[e.ID] = true, e.Kind
	}
	for _, it := range items {
		for i := range it.act.Edits {
			touched[it.act.Edits[i].ID], kinds[it.act.Edits[i].ID] = true, it.act.Edits[i].Kind
		}
	}
	c.IDs = slices.Sorted(maps.Keys(touched))
	for _, kind := range kinds {
		if schema.PartOf(kind) == "" && kind != "set" {
			m.Entries++
		}
	}
	devices := map[string]string{}
	maps.Copy(devices, x.Devices)
	maps.Copy(devices, d.devices)
	if len(devices) > len(d.devices) {
		c.put(StoreMeta, metaKey("devices"), string(wire.AppendNames(nil, devices)))
	}
	c.put(StoreMeta, metaKey("cursor"), quoted(unmarked))
	return d.hand(c, func() {
		rekey(moved)
		d.queue = queue
		d.adopt(ents, touched)
		maps.Copy(d.seen, seen)
		if len(devices) > len(d.devices) {
			d.devices = devices
		}
		for _, it := range items {
			d.link(it)
		}
		d.cursor, d.flight, d.cmp, d.wanted = unmarked, nil, nil, true
		d.rebuilt(touched)
	}), m, nil
}

// joined writes the rows in which j differs from the copy, and gives the entities as they are to be.
func (d *Device) joined(c *Change, j *replica.State) []*replica.Entity {
	var ents []*replica.Entity
	for e := range j.Entities() {
		if was := d.copy[e.ID]; was == nil || !was.Equal(e) {
			ents = append(ents, e)
		}
	}
	for _, id := range slices.Sorted(maps.Keys(d.copy)) {
		if _, ok := j.Get(id); !ok {
			ents = append(ents, &replica.Entity{ID: id, Kind: d.copy[id].Kind})
		}
	}
	for i, e := range ents {
		raw := ""
		if !e.Empty() {
			raw = string(wire.AppendEntity(nil, e))
			if own, err := d.reader.Decode(raw); err == nil {
				ents[i] = own // shares no memory with the file, which may be large
			}
		}
		d.putCopy(c, ents[i], raw)
	}
	return ents
}

// unqueued gives the actions of the file that are neither in the queue here nor known to be taken, and how many of it
// nobody could take.
func (d *Device) unqueued(x *wire.Export) (items []*item, bad int) {
	have := map[replica.Stamp]bool{}
	for _, it := range d.queue {
		have[it.act.Stamp] = true
	}
	for _, a := range x.Acts {
		switch s := a.Stamp; {
		case replica.CheckAction(a) != nil:
			bad++
		case have[s], s.N <= max(d.seen[s.Run].N, x.Seen[s.Run].N):
		default:
			have[s] = true
			it := &item{act: a, body: string(wire.AppendAction(nil, a))}
			if own, err := wire.DecodeAction(it.body); err == nil {
				it.act = own
			}
			items = append(items, it)
		}
	}
	return items, bad
}
