package device

import (
	"maps"
	"slices"
	"strconv"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/wire"
)

// comparison is the one way back when anything does not line up: pull everything into a side copy, join it with the copy,
// send the server what it lacks, and only then put the side copy in the copy's place. It lives in memory alone: an app
// that is closed on the way begins anew, because the old marks still are refused.
type comparison struct {
	ents        map[replica.ID]*replica.Entity
	raw         map[replica.ID]string
	seen, next  map[replica.Run]wire.Seen
	cursor, ack string
	more        bool
	devices     map[string]string
	last        *wire.Answer
	lastFlight  *flight

	joined  bool // the fix is computed
	patches []replica.Patch
	raise   map[replica.Run]wire.Seen // what the server is to be told as seen
	untold  bool                      // some of raise was not sent yet
	stale   bool                      // a piece was refused: read on, then compute anew
}

func newComparison() *comparison {
	return &comparison{
		ents: map[replica.ID]*replica.Entity{}, raw: map[replica.ID]string{},
		seen: map[replica.Run]wire.Seen{}, next: map[replica.Run]wire.Seen{},
		cursor: wire.Start, ack: wire.Start, more: true, devices: map[string]string{},
	}
}

// request gives the next request: a page to read, or a piece of the fix.
func (c *comparison) request(d *Device, q *wire.Request, most int) []byte {
	q.Cursor, q.Ack = c.cursor, c.ack
	if c.more || c.stale || !c.joined {
		return wire.AppendRequest(nil, q, nil)
	}
	f := &wire.Fix{}
	room := min(d.piece, wire.MaxPiece)
	if most > 0 {
		room = min(room, most-envelope)
	}
	n := 0
	for n < len(c.patches) && n < mostPatches {
		p := &c.patches[n]
		size := 0
		if p.Add != nil {
			size = len(wire.AppendEntity(nil, p.Add))
		}
		for _, l := range p.Drop {
			size += len(p.ID) + len(l.Field) + len(l.Stamp.Run) + 32
		}
		if room -= size; room < 0 && n > 0 {
			break
		}
		if p.Add != nil {
			f.Add = append(f.Add, p.Add)
			d.flight.added = append(d.flight.added, n)
		}
		for _, l := range p.Drop {
			f.Drop = append(f.Drop, wire.Drop{ID: p.ID, Field: l.Field, Stamp: l.Stamp})
		}
		n++
	}
	d.flight.piece, d.flight.last = n, n == len(c.patches)
	if d.flight.last {
		f.Seen = c.nextRuns()
		d.flight.runs = slices.Collect(maps.Keys(f.Seen))
	}
	q.Fix = f
	return wire.AppendRequest(nil, q, nil)
}

// answer takes a page or the answer to a piece into the side copy, and goes on.
func (c *comparison) answer(d *Device, now int64, f *flight, a *wire.Answer) (*Change, Next) {
	d.grow()
	c.take(a, f)
	if f.piece > 0 || f.last {
		c.patches = c.patches[f.piece:]
		if f.last {
			for _, r := range f.runs {
				delete(c.raise, r)
			}
			c.untold = len(c.raise) > 0
		}
		if d.full == wire.CodeNoSpace {
			d.full = ""
		}
	} else if c.stale {
		c.stale, c.joined = false, false // the server had only moved on
	}
	if c.more {
		return nil, Next{What: Again}
	}
	if !c.joined {
		c.join(d)
	}
	if c.due(d) {
		return nil, Next{What: Again}
	}
	return c.finish(d, now), Next{What: Again}
}

// nextRuns gives as many of the runs to be told of as one piece takes.
func (c *comparison) nextRuns() map[replica.Run]wire.Seen {
	if len(c.raise) <= wire.MaxPieceRuns {
		return maps.Clone(c.raise)
	}
	some := make(map[replica.Run]wire.Seen, wire.MaxPieceRuns)
	for _, r := range slices.Sorted(maps.Keys(c.raise))[:wire.MaxPieceRuns] {
		some[r] = c.raise[r]
	}
	return some
}

// due tells whether the server still lacks something.
func (c *comparison) due(d *Device) bool {
	return len(c.patches) > 0 || c.untold && len(c.raise) > 0
}

func (c *comparison) take(a *wire.Answer, f *flight) {
	for i, e := range a.Ents {
		if e.Empty() {
			delete(c.ents, e.ID)
			delete(c.raw, e.ID)
			continue
		}
		c.ents[e.ID], c.raw[e.ID] = e, a.Raw[i]
	}
	for r, s := range a.Seen {
		if s.N > c.next[r].N {
			c.next[r] = s
		}
	}
	if !a.More {
		for r, s := range c.next {
			if s.N > c.seen[r].N {
				c.seen[r] = s
			}
		}
		clear(c.next)
	}
	maps.Copy(c.devices, a.Devices)
	c.cursor, c.ack, c.more = a.Cursor, a.Ack, a.More
	c.last, c.lastFlight = a, f
}

// join computes what the server lacks of the two together.
func (c *comparison) join(d *Device) {
	own, side := replica.NewState(), replica.NewState()
	for _, e := range d.copy {
		own.Adopt(e)
	}
	for r, s := range d.seen {
		own.RaiseSeen(r, s.N)
	}
	for _, e := range c.ents {
		side.Adopt(e)
	}
	for r, s := range c.seen {
		side.RaiseSeen(r, s.N)
	}
	c.patches = replica.Repair(own, side)
	c.raise = map[replica.Run]wire.Seen{}
	for r, s := range d.seen {
		if s.N > c.seen[r].N {
			c.raise[r] = s
		}
	}
	c.joined, c.untold = true, true
}

// outOfStep is the answer to a request of the comparison whose marks do not line up. After a piece the server may only
// have moved on: read on from where the side copy stands. Otherwise begin anew.
func (c *comparison) outOfStep(d *Device, f *flight) Next {
	if (f.piece > 0 || f.last) && !c.stale {
		c.stale = true
		return Next{What: Again}
	}
	d.cmp, d.wanted = nil, true
	return d.again(f.sentAt)
}

// setAside deals with an entity that the server will not take what it lacks of, because there would be more in it than one
// may hold. What would have been given back goes into the queue, as an entity of kind aside; the rest of the comparison
// goes on without it.
func (c *comparison) setAside(d *Device, f *flight, p *wire.Problem) (*Change, Next) {
	at := f.added[p.Index]
	add := c.patches[at].Add
	var newest replica.Write
	for _, writes := range add.Fields {
		for _, w := range writes {
			if newest.Stamp.IsZero() || replica.CompareShown(w, newest) > 0 {
				newest = w
			}
		}
	}
	of := &replica.Action{Stamp: newest.Stamp, At: newest.At}
	items := d.asideItems(of, string(add.ID), string(wire.AppendEntity(nil, add)), p.Detail)
	ch := &Change{Strict: true}
	queue, _ := d.insert(ch, len(d.queue), items...)
	touched := map[replica.ID]bool{}
	for _, it := range items {
		touched[it.act.Edits[0].ID] = true
	}
	ch.IDs = slices.Sorted(maps.Keys(touched))
	return d.hand(ch, func() {
		d.queue = queue
		for _, it := range items {
			d.link(it)
		}
		c.patches = slices.Delete(slices.Clone(c.patches), at, at+1)
		d.rebuilt(touched)
	}), Next{What: Again}
}

// finish puts the side copy in the copy's place, in one change, and mends what of the queue the server cannot take.
func (c *comparison) finish(d *Device, now int64) *Change {
	ch := &Change{}
	touched := map[replica.ID]bool{}
	var ents []*replica.Entity
	for _, id := range slices.Sorted(maps.Keys(c.ents)) {
		e := c.ents[id]
		if was := d.copy[id]; was != nil && was.Equal(e) {
			continue
		}
		d.putCopy(ch, e, c.raw[id])
		ents = append(ents, e)
	}
	for _, id := range slices.Sorted(maps.Keys(d.copy)) {
		if c.ents[id] == nil {
			gone := &replica.Entity{ID: id, Kind: d.copy[id].Kind}
			d.putCopy(ch, gone, "")
			ents = append(ents, gone)
		}
	}
	here := map[string]bool{}
	for id, e := range c.ents {
		here[copyKey(e.Kind, id)] = true
	}
	for _, key := range d.damaged {
		if !here[key] {
			ch.del(StoreCopy, key)
		}
	}
	for i := range ents {
		ch.IDs = append(ch.IDs, ents[i].ID)
	}
	seen := maps.Clone(d.seen)
	for r, s := range c.seen {
		if s.N > seen[r].N {
			seen[r] = s
		}
	}
	for r, s := range seen {
		if d.seen[r] != s || len(d.damaged) > 0 {
			ch.put(StoreSeen, runKey(r), string(wire.AppendSeen(nil, s)))
		}
	}
	for r := range d.seenNext {
		ch.del(StoreSeenNext, runKey(r))
	}
	all := *c.last
	all.Devices = c.devices
	meta := d.metaOf(ch, now, c.lastFlight, &all)
	queue := d.remade(ch, c.seen) // by what the server says alone: it need not have believed all it was told
	apply := func() {
		d.adopt(ents, touched)
		d.seen = seen
		clear(d.seenNext)
		meta()
		queue(touched)
		d.cmp, d.damaged, d.more, d.answered, d.full = nil, nil, false, now, ""
		d.rebuilt(touched)
	}
	if ch.empty() {
		apply()
		return nil
	}
	return d.hand(ch, apply)
}

func mapWith(m, more map[string]string) map[string]string {
	all := maps.Clone(m)
	maps.Copy(all, more)
	return all
}

func appendInt(n int64) []byte { return strconv.AppendInt(nil, n, 10) }
