package device

import (
	"fairmeasure/sync/replica"
	"fairmeasure/sync/wire"
)

// Answer takes in what came for a request: status and body, or status 0 and nothing when no answer came in time. It
// decides by the code in the body, never by the status alone, and takes nothing for an answer that does not name the
// journal. The answer to an older ticket changes nothing.
func (d *Device) Answer(now, ticket int64, status int, body []byte) (*Change, Next) {
	f := d.flight
	if f == nil || f.ticket != ticket || d.phase != ready {
		return nil, Next{What: Idle}
	}
	d.flight, d.heard = nil, HeardNothing
	if d.pending != nil {
		return nil, Next{What: Again}
	}
	if status == 200 {
		if a, err := wire.DecodeAnswer(body); err == nil && a.Journal == d.o.Journal && a.Took <= len(f.sent) {
			d.fails, d.refused, d.heard, d.serverApp = 0, "", HeardMark, a.App
			if f.cmp {
				return d.cmp.answer(d, now, f, a)
			}
			return d.answer(now, f, a)
		}
	}
	p, err := wire.DecodeProblem(body)
	if err != nil || p.Journal != d.o.Journal {
		return nil, d.noAnswer(now, f)
	}
	d.heard, d.refused = HeardRefusal, p.Code
	return d.problem(now, f, p)
}

// noAnswer makes the next request smaller and later.
func (d *Device) noAnswer(now int64, f *flight) Next {
	d.shrink(f)
	return d.later(now, 0)
}

func (d *Device) shrink(f *flight) {
	d.batch = max(d.batch/2, leastBatch)
	d.piece = max(d.piece/2, leastBatch)
}

func (d *Device) grow() {
	d.batch = min(d.batch*2, wire.MaxRequest-envelope)
	d.piece = min(d.piece*2, wire.MaxPiece)
}

// later waits: as long as was asked, or 2 s, doubling up to 5 min, with some jitter so that devices do not come together.
func (d *Device) later(now int64, seconds int64) Next {
	const first, most = 2_000, 300_000
	wait := int64(first)
	for i := 0; i < d.fails && wait < most; i++ {
		wait *= 2
	}
	d.fails++
	if seconds > 0 {
		wait = seconds * 1000
	}
	wait = min(wait, most)
	jitter := (now*2654435761 + int64(d.fails)*40503) & 0xffff
	return Next{What: Wait, Wait: wait + wait*jitter/0xffff/4}
}

func (d *Device) stop(code string) Next {
	d.stopped = code
	return Next{What: Stop, Code: code}
}

// problem does what a code asks for.
func (d *Device) problem(now int64, f *flight, p *wire.Problem) (*Change, Next) {
	switch p.Code {
	case wire.CodeMalformed, wire.CodeRevoked, wire.CodeNoJournal, wire.CodeErased, wire.CodeTooOld:
		return nil, d.stop(p.Code)
	case wire.CodeExpired, wire.CodeSignedOut:
		return nil, Next{What: Stop, Code: p.Code}
	case wire.CodeOutOfStep:
		d.fails, d.refused = 0, ""
		if f.cmp {
			return nil, d.cmp.outOfStep(d, f)
		}
		d.wanted = true
		return nil, d.again(now)
	case wire.CodeTooLarge:
		switch {
		case len(f.sent) == 1:
			return d.setAside(f.sent[0], p)
		case f.cmp && f.piece <= 1:
			return nil, d.stop(p.Code)
		}
		d.shrink(f)
		return nil, d.again(now)
	case wire.CodeRefused:
		if f.cmp && p.Index < len(f.added) {
			return d.cmp.setAside(d, f, p)
		}
		if p.Index >= len(f.sent) {
			return nil, d.stop(wire.CodeMalformed)
		}
		return d.setAside(f.sent[p.Index], p)
	case wire.CodeFull, wire.CodeNoSpace:
		return nil, d.refusedForSpace(now, f, p.Code)
	}
	return nil, d.later(now, p.RetryS)
}

// again goes on at once, unless a comparison is due that has to wait.
func (d *Device) again(now int64) Next {
	if d.wanted && d.cmp == nil && now < d.notBefore {
		return Next{What: Wait, Wait: d.notBefore - now}
	}
	return Next{What: Again}
}

// refusedForSpace goes on reading. What makes room goes ahead; the rest is tried again after a while.
func (d *Device) refusedForSpace(now int64, f *flight, code string) Next {
	const pause = 600_000
	d.full, d.fullUntil = code, now+pause
	if f.cmp || len(f.sent) == 0 || f.sent[0].ahead {
		return d.later(now, 0)
	}
	return Next{What: Again}
}

// answer takes an ordinary answer in, in one change: the actions that were dealt with leave the queue, what the server
// sent takes the place of what the copy had, marks and seen move.
func (d *Device) answer(now int64, f *flight, a *wire.Answer) (*Change, Next) {
	d.grow()
	c := &Change{}
	taken := f.sent[:a.Took]
	for _, it := range taken {
		c.del(StoreQueue, queueKey(it.key))
	}
	for i, e := range a.Ents {
		d.putCopy(c, e, a.Raw[i])
		c.IDs = append(c.IDs, e.ID)
	}
	meta := d.metaOf(c, now, f, a)
	seen, seenNext := map[replica.Run]wire.Seen{}, map[replica.Run]wire.Seen{}
	raise := func(into, base map[replica.Run]wire.Seen, r replica.Run, s wire.Seen) {
		have, ok := into[r]
		if !ok {
			have, ok = base[r]
		}
		if !ok || s.N > have.N {
			into[r] = s
		}
	}
	for _, it := range taken {
		device := a.You
		if have, ok := d.seen[it.act.Stamp.Run]; ok {
			device = have.Device
		}
		raise(seen, d.seen, it.act.Stamp.Run, wire.Seen{N: it.act.Stamp.N, Device: device})
	}
	if a.More {
		for r, s := range a.Seen {
			raise(seenNext, d.seenNext, r, s)
		}
	} else {
		for r, s := range a.Seen {
			raise(seen, d.seen, r, s)
		}
		for r, s := range d.seenNext {
			raise(seen, d.seen, r, s)
			c.del(StoreSeenNext, runKey(r))
		}
	}
	for r, s := range seen {
		c.put(StoreSeen, runKey(r), string(wire.AppendSeen(nil, s)))
	}
	for r, s := range seenNext {
		c.put(StoreSeenNext, runKey(r), string(wire.AppendSeen(nil, s)))
	}
	left := len(d.queue) - len(taken)
	if len(taken) > 0 || left == 0 {
		d.full = "" // there is room again, was made, or is not asked for
	}
	apply := func() {
		touched := map[replica.ID]bool{}
		d.adopt(a.Ents, touched)
		d.dequeue(taken, touched)
		for r, s := range seen {
			d.seen[r] = s
		}
		if a.More {
			for r, s := range seenNext {
				d.seenNext[r] = s
			}
		} else {
			clear(d.seenNext)
		}
		meta()
		d.rebuilt(touched)
		if d.more = a.More; !a.More {
			d.answered = now
		}
	}
	next := Next{What: Idle}
	switch {
	case a.More || left > 0 && len(taken) > 0:
		next.What = Again
	case left > 0 && d.full != "":
		next = Next{What: Wait, Wait: max(d.fullUntil-now, 1)}
	case left > 0 && len(f.sent) > 0:
		next = d.later(now, 0) // it took nothing: not what a server does
	case left > 0:
		next.What = Again
	}
	if c.empty() {
		apply()
		return nil, next
	}
	return d.hand(c, apply), next
}

// putCopy writes an entity's row as it came, or removes it when nothing of it is left.
func (d *Device) putCopy(c *Change, e *replica.Entity, raw string) {
	if was := d.copy[e.ID]; was != nil && (e.Empty() || was.Kind != e.Kind) {
		c.del(StoreCopy, copyKey(was.Kind, e.ID))
	}
	if e.Empty() {
		return
	}
	if raw == "" {
		raw = string(wire.AppendEntity(nil, e))
	}
	c.put(StoreCopy, copyKey(e.Kind, e.ID), raw)
}

func (d *Device) adopt(ents []*replica.Entity, touched map[replica.ID]bool) {
	for _, e := range ents {
		touched[e.ID] = true
		if e.Empty() {
			delete(d.copy, e.ID)
		} else {
			d.copy[e.ID] = e
		}
	}
}

// dequeue takes items out of the queue, by stamp.
func (d *Device) dequeue(items []*item, touched map[replica.ID]bool) {
	if len(items) == 0 {
		return
	}
	gone := make(map[replica.Stamp]bool, len(items))
	for _, it := range items {
		gone[it.act.Stamp] = true
		d.unlink(it, touched)
	}
	left := make([]*item, 0, len(d.queue)-len(items))
	for _, it := range d.queue {
		if !gone[it.act.Stamp] {
			left = append(left, it)
		}
	}
	d.queue = left
}

// metaOf writes the marks and what else an answer says of the server, and gives what then is to be done here.
func (d *Device) metaOf(c *Change, now int64, f *flight, a *wire.Answer) func() {
	if a.Cursor != d.cursor {
		c.put(StoreMeta, metaKey("cursor"), quoted(a.Cursor))
	}
	if a.Ack != d.ack {
		c.put(StoreMeta, metaKey("ack"), quoted(a.Ack))
	}
	devices, me, offset := d.devices, d.me, d.offset
	if a.You != "" && a.You != me {
		me = a.You
		c.put(StoreMeta, metaKey("me"), quoted(me))
	}
	for id, name := range a.Devices {
		if devices[id] != name {
			devices = mapWith(devices, a.Devices)
			c.put(StoreMeta, metaKey("devices"), string(wire.AppendNames(nil, devices)))
			break
		}
	}
	const slow, slight = 60_000, 2_000
	if trip := now - f.sentAt; trip >= 0 && trip <= slow {
		if o := a.Now - (f.sentAt + trip/2); o-offset > slight || offset-o > slight {
			offset = o
			c.put(StoreMeta, metaKey("offset_ms"), string(appendInt(o)))
		}
	}
	cursor, ack := a.Cursor, a.Ack
	return func() {
		d.cursor, d.ack, d.me, d.devices, d.offset = cursor, ack, me, devices, offset
	}
}
