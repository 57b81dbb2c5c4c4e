// Package exchange is one round of the sync protocol against a store: a request's bytes in, an answer out. It checks the
// marks, takes the actions or the piece of a fix, commits, and reads the page that the answer carries. It promises that
// a request is one commit or none, that an answer is given only for what the store has made durable, and that asking
// again changes nothing. It leaves out HTTP, who may ask, and every clock: the time of the round comes in.
package exchange

import (
	"context"
	"crypto/rand"
	"encoding/base64"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/store"
	"fairmeasure/sync/wire"
)

// Limits bound what one round does and what a journal may hold.
type Limits struct {
	Page           store.Limits // of an answer, besides the entities its request names
	CommitEntities int          // a round stops taking actions before its commit passes either; a fix may not pass them
	CommitBytes    int
	FixRuns        int        // runs that one piece of a fix may tell of
	Journal        store.Size // the cap of a journal
}

// DefaultLimits are those of the protocol.
func DefaultLimits() Limits {
	return Limits{
		Page:           store.Limits{Entities: 500, Bytes: 512_000, Runs: 2000},
		CommitEntities: 1000,
		CommitBytes:    replica.MaxSpread,
		FixRuns:        wire.MaxPieceRuns,
		Journal:        store.Size{Entities: 40_000, Bytes: 16_000_000, Runs: 40_000},
	}
}

// Settings are what an Exchange is made of.
type Settings struct {
	App    string        // the app version the server carries; told to devices
	Limits Limits        // zero: DefaultLimits
	Tag    func() string // makes the tag of a commit: 8 base64url characters of 6 random bytes; nil: from the system's random source
}

// Exchange does rounds. It is safe for concurrent use.
type Exchange struct {
	store  store.Store
	set    Settings
	turns  turns
	strays strays
}

// New makes an Exchange on a store.
func New(st store.Store, s Settings) *Exchange {
	if s.Limits == (Limits{}) {
		s.Limits = DefaultLimits()
	}
	if s.Tag == nil {
		s.Tag = randomTag
	}
	return &Exchange{store: st, set: s}
}

func randomTag() string {
	var b [6]byte
	_, _ = rand.Read(b[:]) // never fails: the process ends first
	return base64.RawURLEncoding.EncodeToString(b[:])
}

// Ask is one request: whose it is (never taken from the body), when it came, and what it says.
type Ask struct {
	Journal store.Journal
	Device  string // the id of the device that asks
	Now     int64  // the server's clock, Unix milliseconds
	Body    []byte
	// DeviceName names a device of the same account, "" when there is none. Nil: no names are told.
	DeviceName func(id string) string
	// ClockBehind says that the server's clock is known to be behind what it already stored, by over a day: then times
	// are taken as they come.
	ClockBehind bool
}

// Round does one round. An error is a *wire.Problem for what the device is told by code, with nothing done; anything
// else is a fault, of which the device is told nothing but that (a commit may or may not have happened: it asks again).
func (x *Exchange) Round(ctx context.Context, ask Ask) (*wire.Answer, error) {
	q, p := wire.DecodeRequest(ask.Body)
	if p == nil {
		p = x.admit(&ask, q)
	}
	if p != nil {
		p.Journal = string(ask.Journal)
		return nil, p
	}
	a, err := x.round(ctx, &ask, q)
	if err == nil {
		return a, nil
	}
	if errors.As(err, &p) {
		if p.Code == wire.CodeOutOfStep && q.Fix == nil {
			x.strays.note(&ask)
		}
	} else {
		switch {
		case errors.Is(err, store.ErrErased):
			p = wire.NewProblem(wire.CodeErased, "this journal was erased for good")
		case errors.Is(err, store.ErrNoSpace):
			p = wire.NewProblem(wire.CodeNoSpace, "the server's disk is full")
		case errors.Is(err, store.ErrTooLarge):
			p = wire.NewProblem(wire.CodeTooLarge, "this is more than can be written down at once")
		case errors.Is(err, store.ErrMoved), errors.Is(err, store.ErrClosed):
			p = wire.NewProblem(wire.CodeBusy, "the journal is in much use")
		default:
			return nil, fmt.Errorf("exchange: round: %w", err)
		}
	}
	p.Journal = string(ask.Journal)
	return nil, p
}

func (x *Exchange) admit(ask *Ask, q *wire.Request) *wire.Problem {
	switch {
	case q.Proto != wire.Proto:
		return wire.NewProblem(wire.CodeTooOld, fmt.Sprintf("this server speaks version %d of the protocol", wire.Proto))
	case q.Journal != string(ask.Journal):
		return wire.NewProblem(wire.CodeNoJournal, "the request is of another journal")
	}
	return nil
}

// FormatMark writes a mark as it goes over the wire: number, tag and, inside a commit, the last id read.
func FormatMark(m store.Mark) string {
	s := strconv.FormatUint(m.No, 10) + "." + m.Tag
	if m.ID != "" {
		s += "." + string(m.ID)
	}
	return s
}

// ParseMark reads a mark; false when it is none.
func ParseMark(text string) (store.Mark, bool) {
	no, rest, ok := strings.Cut(text, ".")
	if !ok {
		return store.Mark{}, false
	}
	tag, id, _ := strings.Cut(rest, ".") // an id may hold dots
	n, err := strconv.ParseUint(no, 10, 63)
	m := store.Mark{No: n, Tag: tag, ID: replica.ID(id)}
	return m, err == nil && FormatMark(m) == text && (n > 0) == (tag != "") && (n > 0 || id == "")
}

func outOfStep(detail string) error { return wire.NewProblem(wire.CodeOutOfStep, detail) }

// round does what Round says once the request is read.
func (x *Exchange) round(ctx context.Context, ask *Ask, q *wire.Request) (*wire.Answer, error) {
	cursor, okCursor := ParseMark(q.Cursor)
	ack, okAck := ParseMark(q.Ack)
	if !okCursor || !okAck {
		return nil, outOfStep("a mark of no journal")
	}
	if len(q.Acts) > 0 || q.Fix != nil {
		done, err := x.turns.wait(ctx, ask.Journal)
		if err != nil {
			return nil, err
		}
		defer done()
	}
	const tries = 8
	var answer *wire.Answer
	for try := 0; ; try++ {
		var w *work
		err := x.store.View(ctx, ask.Journal, func(r store.Reader) error {
			if err := x.known(r, cursor, ack); err != nil {
				return err
			}
			w = newWork(ctx, x, ask, r)
			var err error
			if q.Fix != nil {
				err = w.fix(cursor, q.Fix)
			} else {
				err = w.acts(q.Acts)
			}
			if err == nil && !w.changes() {
				answer, err = x.answer(ask, r, cursor, w)
			}
			return err
		})
		if err != nil || answer != nil {
			return answer, err
		}
		err = x.store.Commit(ctx, ask.Journal, w.head, w.commit(x.set.Tag()))
		if errors.Is(err, store.ErrMoved) && try < tries {
			continue // somebody else's commit came in between: compute the round again
		}
		if err != nil {
			return nil, err
		}
		err = x.store.View(ctx, ask.Journal, func(r store.Reader) error {
			answer, err = x.answer(ask, r, cursor, w)
			return err
		})
		return answer, err
	}
}

// known refuses marks that are of another history of the journal than the one here: the server was restored, or the
// device was.
func (x *Exchange) known(r store.Reader, cursor, ack store.Mark) error {
	for _, m := range []store.Mark{cursor, ack} {
		ok, err := r.Known(m)
		if err != nil {
			return err
		}
		if !ok {
			return outOfStep("a mark is not of this journal")
		}
	}
	return nil
}

// answer reads the page after the cursor and adds the entities that the request named, whole, as they are now.
func (x *Exchange) answer(ask *Ask, r store.Reader, cursor store.Mark, w *work) (*wire.Answer, error) {
	head, _, err := r.Head()
	if err != nil {
		return nil, err
	}
	page, err := r.After(cursor, x.set.Limits.Page)
	if err != nil {
		return nil, err
	}
	a := &wire.Answer{
		Journal: string(ask.Journal), App: x.set.App, Now: ask.Now, You: ask.Device,
		Took: w.took, Ack: FormatMark(head), Cursor: FormatMark(page.Next), More: page.More,
		Ents: make([]*replica.Entity, 0, len(page.Entities)+len(w.named)),
		Seen: make(map[replica.Run]wire.Seen, len(page.Seen)),
	}
	for i := range page.Entities {
		a.Ents = append(a.Ents, &page.Entities[i].Entity)
	}
	if err := addNamed(a, r, w.named); err != nil {
		return nil, err
	}
	for run, at := range page.Seen {
		n := at.N
		if at.By != ask.Device { // what one device told of others is for keeping back what was replaced, not to be passed on
			n = at.Own()
		}
		if n == 0 {
			continue
		}
		a.Seen[run] = wire.Seen{N: n, Device: at.Device}
		if ask.DeviceName == nil || at.Device == "" {
			continue
		}
		if name := ask.DeviceName(at.Device); name != "" {
			if a.Devices == nil {
				a.Devices = map[string]string{}
			}
			a.Devices[at.Device] = name
		}
	}
	return a, nil
}

func addNamed(a *wire.Answer, r store.Reader, named map[replica.ID]string) error {
	there := make(map[replica.ID]bool, len(a.Ents))
	for _, e := range a.Ents {
		there[e.ID] = true
	}
	missing := make([]replica.ID, 0, len(named))
	for id := range named {
		if !there[id] {
			missing = append(missing, id)
		}
	}
	if len(missing) == 0 {
		return nil
	}
	slices.Sort(missing)
	found, err := r.Entities(missing)
	if err != nil {
		return err
	}
	for _, id := range missing {
		e, ok := found[id]
		if !ok { // named, and never stored: for the device the same as erased
			e.Entity = replica.Entity{ID: id, Kind: named[id]}
		}
		a.Ents = append(a.Ents, &e.Entity)
	}
	return nil
}
