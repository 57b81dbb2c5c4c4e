package simnet

import (
	"bytes"
	"context"
	"errors"
	"maps"
	"slices"

	"fairmeasure/sync/device"
	"fairmeasure/sync/exchange"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/store"
	"fairmeasure/sync/wire"
)

// round lets a core ask once, over a network that loses, repeats and invents. done means that there is nothing more to
// ask for now.
func (w *world) round(c *core) (done bool) {
	most := 0
	local := w.now + c.on.skew
	wasComparing := c.dev.Status(local).Comparing
	if wasComparing || w.r.IntN(3) == 0 {
		most = 1001 + w.r.IntN(600) // a few actions, pieces of one or two
	}
	ticket, body := c.dev.Request(local, most)
	if body == nil {
		if s := c.dev.Status(local); s.Stopped != "" {
			w.fail("Converges", "%s stopped: %s", c.on.name, s.Stopped)
		}
		return !w.quiet
	}
	w.rep.Rounds++
	if bytes.Contains(body, []byte(`"fix":{`)) {
		w.rep.Pieces++
	}
	if w.r.IntN(5) == 0 && len(w.late) < 12 {
		w.late = append(w.late, message{c.on.id, body})
	}
	fate := 100
	if !w.quiet {
		fate = w.r.IntN(100)
	}
	status, answer := 0, []byte(nil)
	switch {
	case fate < 12: // the request is lost
		w.rep.Lost++
	case fate < 24: // the answer is lost
		w.deliver(message{c.on.id, body})
		w.rep.Lost++
	case fate < 27: // somebody else answers
		status, answer = 200, []byte("<!doctype html><title>Welcome to our hotel</title>")
	case fate < 29:
		status, answer = 503, (&wire.Problem{Status: 503, Code: wire.CodeBusy, Journal: string(journal), RetryS: 1}).Append(nil)
	case fate < 36: // it comes twice
		w.deliver(message{c.on.id, body})
		status, answer = w.deliver(message{c.on.id, body})
	default:
		status, answer = w.deliver(message{c.on.id, body})
	}
	if fate < 100 && w.r.IntN(12) == 0 { // the answer takes its time, and meanwhile things happen on this device
		if w.r.IntN(2) == 0 {
			w.person(c)
		} else if len(c.on.cores) > 1 {
			w.person(c.on.cores[w.r.IntN(len(c.on.cores))])
		}
		if c.on.core(c) < 0 { // the tab did not live to see it
			return false
		}
	}
	local = w.now + c.on.skew
	change, next := c.dev.Answer(local, ticket, status, answer)
	w.trace("%s: %s\n\t→ %d %s\n\t%+v", c.on.name, body, status, answer, next)
	if !wasComparing && c.dev.Status(local).Comparing {
		w.rep.Comparisons++
	}
	outcome := device.Done
	if change != nil {
		outcome = c.commit(change)
	}
	// A tab that has not noticed what another wrote may be told by a restored server that there is nothing: it writes nothing.
	unaware := change == nil && (w.quiet || w.mode.ServerRestore)
	if outcome == device.Done && !unaware && bytes.Contains(answer, []byte(`"more":false`)) && c.on.core(c) >= 0 {
		w.afterAnswer(c)
	}
	switch {
	case outcome != device.Done:
		return false
	case next.What == device.Stop:
		w.fail("Converges", "%s stopped: %s", c.on.name, next.Code)
		return true
	}
	return next.What != device.Again
}

// deliver carries a request to the server.
func (w *world) deliver(m message) (status int, answer []byte) {
	if p := w.picky(m.body); p != nil {
		return p.Status, p.Append(nil)
	}
	if w.mode.ServerRestore && !w.quiet && w.r.IntN(5) == 0 {
		w.backups = append(w.backups, w.mem.Snapshot())
	}
	w.noteAnew(m)
	a, err := w.server.Round(context.Background(), exchange.Ask{
		Journal: journal, Device: m.device, Now: w.now, Body: m.body,
		DeviceName: func(id string) string { return "the device " + id },
	})
	if err != nil {
		var p *wire.Problem
		if !errors.As(err, &p) {
			w.fail("Round", "%v", err)
			return 500, nil
		}
		if p.Code == wire.CodeMalformed || p.Code == wire.CodeRefused {
			w.fail("Round", "%v: %s", p, m.body)
		}
		return p.Status, p.Append(nil)
	}
	w.noteReached()
	w.noteDoubted(m.body)
	answer = a.Append(nil)
	if w.rules.Later {
		answer = bytes.ReplaceAll(answer, []byte(`{"id":"`), []byte(`{"later":{"mood":["calm",0.5]},"id":"`))
		answer = append([]byte(`{"later":null,`), answer[1:]...)
	}
	return 200, answer
}

// picky is a server of another version: it cannot store one certain value.
func (w *world) picky(body []byte) *wire.Problem {
	if !bytes.Contains(body, []byte(Poison)) {
		return nil
	}
	q, p := wire.DecodeRequest(body)
	if p != nil {
		w.fail("Round", "%v", p)
		return p
	}
	for i := range q.Acts {
		a := &q.Acts[i]
		bad := slices.ContainsFunc(a.Edits, func(ed replica.Edit) bool {
			if ed.Kind == device.AsideKind {
				return false
			}
			for _, v := range ed.Set {
				if v == replica.Text(Poison) {
					return true
				}
			}
			return false
		})
		if bad && a.Stamp.N > w.serverSeen(a.Stamp.Run) {
			p := wire.NewProblem(wire.CodeRefused, "not this value")
			p.Journal, p.Index = string(journal), i
			return p
		}
	}
	return nil
}

func (w *world) view(fn func(store.Reader) error) {
	if err := w.mem.View(context.Background(), journal, fn); err != nil {
		w.fail("Store", "%v", err)
	}
}

func (w *world) serverSeen(r replica.Run) (n uint64) {
	w.view(func(rd store.Reader) error {
		found, err := rd.Seen([]replica.Run{r})
		n = found[r].N
		return err
	})
	return n
}

// all reads the server's whole state: its entities that have a write left, and what it has seen.
func (w *world) all() (ents map[replica.ID]*replica.Entity, seen map[replica.Run]uint64) {
	ents, seen = map[replica.ID]*replica.Entity{}, map[replica.Run]uint64{}
	w.view(func(rd store.Reader) error {
		page, err := rd.After(store.Mark{}, store.Limits{})
		for i := range page.Entities {
			if e := &page.Entities[i].Entity; !e.Empty() {
				ents[e.ID] = e
			}
		}
		for r, s := range page.Seen {
			seen[r] = s.N
		}
		return err
	})
	return ents, seen
}

// noteReached marks the actions that the server has taken.
func (w *world) noteReached() {
	var runs []replica.Run
	for _, s := range w.order {
		if !w.saved[s].reached {
			runs = append(runs, s.Run)
		}
	}
	if len(runs) == 0 {
		return
	}
	w.view(func(rd store.Reader) error {
		found, err := rd.Seen(runs)
		for _, s := range w.order {
			if s.N <= found[s.Run].N {
				w.saved[s].reached = true
			}
		}
		return err
	})
}

// noteDoubted marks the runs of which a device told more than the server believed.
func (w *world) noteDoubted(body []byte) {
	if !bytes.Contains(body, []byte(`"fix":{`)) {
		return
	}
	q, p := wire.DecodeRequest(body)
	if p != nil || q.Fix == nil {
		return
	}
	runs := slices.Collect(maps.Keys(q.Fix.Seen))
	w.view(func(rd store.Reader) error {
		found, err := rd.Seen(runs)
		for _, run := range runs {
			if q.Fix.Seen[run].N > found[run].N {
				w.doubted[run] = true
			}
		}
		return err
	})
}

// noteAnew marks the runs of which an action comes itself after another device told of it: it is taken, and what of it was
// replaced meanwhile comes back with it.
func (w *world) noteAnew(m message) {
	if !w.mode.ServerRestore || !bytes.Contains(m.body, []byte(`"acts":[{`)) {
		return
	}
	q, p := wire.DecodeRequest(m.body)
	if p != nil {
		return
	}
	w.view(func(rd store.Reader) error {
		for i := range q.Acts {
			s := q.Acts[i].Stamp
			found, err := rd.Seen([]replica.Run{s.Run})
			if err != nil {
				return err
			}
			if at := found[s.Run]; s.N <= at.N && s.N > at.Own() && at.By != m.device {
				w.doubted[s.Run] = true
			}
		}
		return nil
	})
}

// noteTold marks the runs of which the server was told more than came, when it is about to be put back once more: nobody
// but who told it knows of what it loses.
func (w *world) noteTold() {
	w.view(func(rd store.Reader) error {
		page, err := rd.After(store.Mark{}, store.Limits{})
		for run, at := range page.Seen {
			if at.N > at.Own() {
				w.doubted[run] = true
			}
		}
		return err
	})
}

// mourn marks the actions that exist nowhere after a disaster: in no queue, not among what a disk or the server has seen.
func (w *world) mourn() {
	_, seen := w.all()
	for _, s := range w.order {
		if s.N <= seen[s.Run] || w.saved[s].lost {
			continue
		}
		if !slices.ContainsFunc(w.disks, func(d *disk) bool { return d.seen(s.Run) >= s.N || d.queued(s) }) {
			w.saved[s].lost = true
			w.trace("lost: %s", s)
		}
	}
}
