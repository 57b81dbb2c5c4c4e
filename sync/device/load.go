package device

import (
	"errors"
	"maps"
	"slices"
	"sort"
	"strconv"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/wire"
)

// Load takes rows of one store in. What is seen grows with every call. A row that cannot be read is not lost: a queued
// action stays on the disk, unsent; an entity is fetched from the server again by a full comparison.
func (d *Device) Load(store string, rows []Row) error {
	if d.phase != loading {
		return ErrUnsettled
	}
	for _, r := range rows {
		if err := d.loadRow(store, r); err != nil {
			return err
		}
	}
	return nil
}

func (d *Device) loadRow(store string, r Row) error {
	switch store {
	case StoreMeta:
		d.loadMeta(r)
	case StoreQueue:
		key, err := wire.DecodeInt(r.Key)
		if err != nil {
			d.unread++
			d.odd = append(d.odd, [3]string{store, r.Key, r.Value})
			return nil
		}
		a, err := wire.DecodeAction(r.Value)
		if err != nil {
			d.unread++
			d.odd = append(d.odd, [3]string{store, r.Key, r.Value})
			d.unreadKey = max(d.unreadKey, key)
			return nil
		}
		d.queue = append(d.queue, &item{key: key, act: a, body: r.Value})
	case StoreSeen, StoreSeenNext:
		into := d.seen
		if store == StoreSeenNext {
			into = d.seenNext
		}
		run, err := wire.DecodeString(r.Key)
		if err != nil {
			return nil
		}
		// A row of seen that is lost only says less: it costs a question, never data.
		if s, err := wire.DecodeSeen(r.Value); err == nil {
			into[replica.Run(run)] = s
		}
	case StoreCopy:
		e, err := d.reader.Decode(r.Value)
		if err != nil || copyKey(e.Kind, e.ID) != r.Key {
			d.damaged = append(d.damaged, r.Key)
			d.odd = append(d.odd, [3]string{store, r.Key, r.Value})
			return nil
		}
		d.copy[e.ID] = e
		d.linkQueue()
		d.refresh(e.ID)
	default:
		return errors.New("device: no store " + strconv.Quote(store))
	}
	return nil
}

func (d *Device) loadMeta(r Row) {
	var err error
	switch name, _ := wire.DecodeString(r.Key); name {
	case "rev":
		d.rev, err = wire.DecodeInt(r.Value)
	case "cursor":
		d.cursor, err = wire.DecodeString(r.Value)
	case "ack":
		d.ack, err = wire.DecodeString(r.Value)
	case "me":
		d.me, _ = wire.DecodeString(r.Value)
	case "offset_ms":
		d.offset, _ = wire.DecodeInt(r.Value)
	case "devices":
		if names, err := wire.DecodeNames(r.Value); err == nil {
			d.devices = names
		}
	}
	if err != nil { // a mark that cannot be read leads to a full comparison by itself: the server does not know it
		d.wanted = true
	}
}

// Ready ends loading.
func (d *Device) Ready() error {
	if d.phase != loading {
		return ErrUnsettled
	}
	d.linkQueue()
	d.phase = ready
	if len(d.damaged) > 0 {
		// What cannot be read is not "seen and no longer there". The device forgets what it has seen, so that a comparison
		// takes nothing away from anyone, and fetches everything.
		clear(d.seen)
		d.rebuilt(map[replica.ID]bool{})
		d.wanted = true
	}
	return nil
}

// linkQueue lays the queue over the copy, as soon as the first entity comes: what a person saved is seen while the rest
// still loads.
func (d *Device) linkQueue() {
	if d.linked == len(d.queue) {
		return
	}
	d.linked = len(d.queue)
	clear(d.byID)
	sort.SliceStable(d.queue, func(i, j int) bool { return d.queue[i].key < d.queue[j].key })
	d.settleSeen()
	for _, it := range d.queue {
		d.link(it)
	}
	for id := range d.byID {
		d.refresh(id)
	}
}

func (d *Device) link(it *item) {
	for i := range it.act.Edits {
		id := it.act.Edits[i].ID
		d.byID[id] = append(d.byID[id], it)
	}
}

func (d *Device) unlink(it *item, touched map[replica.ID]bool) {
	for i := range it.act.Edits {
		id := it.act.Edits[i].ID
		touched[id] = true
		left := slices.DeleteFunc(d.byID[id], func(o *item) bool { return o == it })
		if len(left) == 0 {
			delete(d.byID, id)
		} else {
			d.byID[id] = left
		}
	}
}

// settleSeen notes which queued actions the copy already holds, and gives the entities for which that changed.
func (d *Device) settleSeen() (touched map[replica.ID]bool) {
	touched = map[replica.ID]bool{}
	for _, it := range d.queue {
		hidden := it.act.Stamp.N <= d.seen[it.act.Stamp.Run].N
		if hidden != it.hidden {
			it.hidden = hidden
			for i := range it.act.Edits {
				touched[it.act.Edits[i].ID] = true
			}
		}
	}
	return touched
}

// rebuilt does settleSeen and brings what is seen up to date, with these entities besides.
func (d *Device) rebuilt(touched map[replica.ID]bool) {
	maps.Copy(touched, d.settleSeen())
	for id := range touched {
		d.refresh(id)
	}
}
