package device

import (
	"fairmeasure/sync/replica"
	"fairmeasure/sync/wire"
)

// How much a request carries: it doubles after each answer and halves after none.
const (
	firstBatch  = 32_000
	leastBatch  = 64    // one action, one entity: below that it does not go
	envelope    = 1_000 // a request without its actions is smaller
	mostPatches = 500   // entities of a piece
)

// flight is a request under way.
type flight struct {
	ticket int64
	sentAt int64
	bytes  int
	sent   []*item       // of an ordinary request
	cmp    bool          // a request of the comparison
	piece  int           // patches of the piece it carries
	last   bool          // the piece carries seen
	runs   []replica.Run // of it
	added  []int         // of a piece: which patch each of its added entities is of
}

// Request gives the next request, and a ticket for its answer; nil when there is nothing to do. most bounds its bytes
// when above 0. A request that is asked for while another is under way takes its place: the other's answer is ignored.
func (d *Device) Request(now int64, most int) (ticket int64, body []byte) {
	if d.usable() != nil || d.stopped != "" {
		return 0, nil
	}
	if d.wanted && d.cmp == nil {
		if now < d.notBefore {
			return 0, nil
		}
		d.compare(now)
	}
	d.tickets++
	d.flight = &flight{ticket: d.tickets, sentAt: now}
	q := &wire.Request{Proto: wire.Proto, App: d.o.App, Journal: d.o.Journal, Now: now, Cursor: d.cursor, Ack: d.ack}
	if d.cmp != nil {
		d.flight.cmp = true
		body = d.cmp.request(d, q, most)
	} else {
		body = d.batched(q, now, most)
	}
	d.flight.bytes = len(body)
	return d.flight.ticket, body
}

// batched puts as much of the queue into a request as goes now.
func (d *Device) batched(q *wire.Request, now int64, most int) []byte {
	room := d.batch
	if most > 0 {
		room = min(room, most-envelope)
	}
	full := d.full != "" && now < d.fullUntil
	var bodies []string
	for _, it := range d.queue {
		if full && !it.ahead || len(bodies) == wire.MaxActs {
			break
		}
		if room -= len(it.body) + 1; room < 0 && len(bodies) > 0 {
			break
		}
		bodies = append(bodies, it.body)
		d.flight.sent = append(d.flight.sent, it)
	}
	return wire.AppendRequest(nil, q, bodies)
}

// compare begins a full comparison.
func (d *Device) compare(now int64) {
	const most, hour = 10, 3_600_000
	recent := d.starts[:0]
	for _, at := range d.starts {
		if now-at < hour && at <= now {
			recent = append(recent, at)
		}
	}
	d.starts = append(recent, now)
	if len(d.starts) >= most {
		d.notBefore = now + hour
		d.starts = nil
	}
	d.wanted = false
	d.cmp = newComparison()
}

// Compare asks for a full comparison by hand; the next request begins it.
func (d *Device) Compare() { d.wanted = d.cmp == nil }

// Resume ends a stop: a person paired again, updated the app, or wants to try once more.
func (d *Device) Resume() { d.stopped, d.fullUntil, d.notBefore = "", 0, 0 }

// Status is what the screen says about sync.
type Status struct {
	Unsent     int    // actions not yet on the server, those that cannot be read included
	OldestAt   int64  // when the oldest of them was made, by this device's corrected clock; 0 without any
	Synced     bool   // nothing unsent, and the last answer was one with a mark and had nothing more to come
	CatchingUp bool   // pages are still to come
	Comparing  bool   // a full comparison is going on or due
	Paused     bool   // it was tried too often and waits an hour
	Stopped    string // code of what ended sync until Resume
	Full       string // code of a refusal for space; reading goes on
	Refused    string // code of what the server said in place of the last answer; it is asked again
	Heard      Heard  // what came for the last request; empty before any did
	Failing    int    // requests without an answer since the last one
	Unreadable int    // rows that cannot be read: queued actions, and things that were not fetched again yet
	OffsetMS   int64  // what the device's clock is corrected by
	ServerApp  string
}

// Status tells how sync stands.
func (d *Device) Status(now int64) Status {
	s := Status{
		Unsent: len(d.queue) + d.unread, CatchingUp: d.more, Comparing: d.cmp != nil || d.wanted, Stopped: d.stopped,
		Full: d.full, Refused: d.refused, Heard: d.heard, Failing: d.fails, Unreadable: d.unread + len(d.damaged),
		OffsetMS: d.offset, ServerApp: d.serverApp,
	}
	s.Paused = s.Comparing && d.cmp == nil && now < d.notBefore
	s.Synced = s.Unsent == 0 && d.answered > 0 && d.heard == HeardMark && !d.more && !s.Comparing && d.stopped == ""
	for _, it := range d.queue {
		if s.OldestAt == 0 || it.act.At < s.OldestAt {
			s.OldestAt = it.act.At
		}
	}
	return s
}

// Seen gives how far a run was seen by the server, as far as this device has been told.
func (d *Device) Seen(r replica.Run) uint64 { return d.seen[r].N }
