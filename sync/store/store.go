// Package store says what a journal needs of a store. The unit of storage and of replication is the commit: the whole
// entities as they are after it, the seen entries it moved, its number and its tag. One conformance suite, storetest,
// runs on every implementation.
package store

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"fairmeasure/sync/replica"
)

// Journal names a journal: 32 lower-case hexadecimal digits of 128 random bits.
type Journal string

// Validate tells whether the name has that form; every method that takes a journal checks it.
func (j Journal) Validate() error {
	ok := len(j) == 32
	for i := 0; ok && i < len(j); i++ {
		ok = j[i] >= '0' && j[i] <= '9' || j[i] >= 'a' && j[i] <= 'f'
	}
	if !ok {
		return fmt.Errorf("store: a journal is 32 lower-case hexadecimal digits, not %q", string(j))
	}
	return nil
}

// Mark is a place in a journal's order of change: commit number, that commit's tag, and inside a commit the last id
// read. The zero Mark is the start. A mark with an id stands for all commits before, and of this one the ids up to it.
type Mark struct {
	No  uint64
	Tag string // 8 base64url characters of 6 random bytes; empty only at the start
	ID  replica.ID
}

// Same tells whether two marks stand at the same commit: number and tag, whatever their ids.
func (m Mark) Same(o Mark) bool { return m.No == o.No && m.Tag == o.Tag }

// Size is what a journal holds: entities that have a write left, the runs it has seen, and the logical bytes of both.
// Entities and Bytes are as the newest commit says; Runs the store counts itself.
type Size struct {
	Entities int
	Bytes    int64
	Runs     int
}

// Early marks a write that was replaced before it arrived.
type Early struct {
	Field string
	Stamp replica.Stamp
}

// Entity is one stored entity, whole, with its early marks and the commit of its last change. In what a store returns
// Fields is never nil and holds no field without a write; Early is nil when there are none.
type Entity struct {
	replica.Entity
	Early  []Early // in the order of field, then stamp
	Commit uint64
}

// Erased tells an entity of which no write is left.
func (e *Entity) Erased() bool {
	for _, writes := range e.Fields {
		if len(writes) > 0 {
			return false
		}
	}
	return true
}

// Clone gives an entity that shares nothing with e, in the form a store returns.
func (e *Entity) Clone() Entity {
	c := *e
	c.Fields = make(map[string][]replica.Write, len(e.Fields))
	for field, writes := range e.Fields {
		if len(writes) > 0 {
			c.Fields[field] = slices.Clone(writes)
		}
	}
	c.Early = nil
	if len(e.Early) > 0 {
		c.Early = slices.Clone(e.Early)
	}
	return c
}

// Bytes is the logical size of an entity, by which every store fills a page: close to its plain JSON on the wire, so
// that limits mean the same whatever the store's own encoding. The numbers are chosen: 24 for the braces and keys around
// an entity, 54 for one (stamp, at) group with both of them printed, 6 for the quotes and marks of a field, 30 for the
// stamp of an early mark.
func (e *Entity) Bytes() int {
	const perEntity, perGroup, perField, perMark = 24, 54, 6, 30
	var few [8]group
	groups := few[:0]
	var many map[group]bool
	n := perEntity + len(e.ID) + len(e.Kind)
	for field, writes := range e.Fields {
		for _, w := range writes {
			n += perField + len(field) + valueBytes(w.Value)
			switch g := (group{w.Stamp, w.At}); {
			case many != nil:
				many[g] = true
			case slices.Contains(groups, g):
			case len(groups) < len(few):
				groups = append(groups, g)
			default:
				many = map[group]bool{g: true}
				for _, g := range groups {
					many[g] = true
				}
			}
		}
	}
	for i := range e.Early {
		n += perMark + len(e.Early[i].Field)
	}
	return n + perGroup*max(len(groups), len(many))
}

// group is what the writes of one action to one entity share.
type group struct {
	stamp replica.Stamp
	at    int64
}

// RunBytes is the logical size of a run that was seen, as Entity.Bytes is of an entity.
const RunBytes = 64

func valueBytes(v replica.Value) int {
	if text, ok := v.AsText(); ok {
		return len(text)
	}
	if i, ok := v.AsInt(); ok {
		var digits [20]byte
		return len(strconv.AppendInt(digits[:0], i, 10))
	}
	return len("null")
}

// SeenAt says how far a run has been seen, in which commit that last moved, and which device first used the run.
//
// Usually all of it came here, action by action. After a restore a device may tell of more than came: then By is that
// device, and beyond Came it is By's word alone.
type SeenAt struct {
	N      uint64
	Commit uint64
	Device string
	Came   uint64 // 0 without By
	By     string
}

// Own gives how far the run's actions came here themselves.
func (s SeenAt) Own() uint64 {
	if s.By != "" {
		return s.Came
	}
	return s.N
}

// Commit is one round's outcome: what becomes true together. Entities are whole, as they are after it.
type Commit struct {
	No       uint64
	Tag      string
	Entities []Entity               // in id order; Commit is No
	Seen     map[replica.Run]SeenAt // the runs it moved
	Size     Size                   // of the journal after it
}

func compareEarly(a, b Early) int {
	return cmp.Or(cmp.Compare(a.Field, b.Field), replica.CompareStamps(a.Stamp, b.Stamp))
}

// The most that one commit may hold, and one entity of it. A store takes what is within these bounds; what is beyond
// them, or beyond what it can put down at once, it refuses with ErrTooLarge. Chosen: above what one round of the protocol
// makes, and below what one transaction takes everywhere.
const (
	MaxCommitEntities = 3000
	MaxCommitRuns     = 2500
	MaxCommitBytes    = 1_250_000 // Entity.Bytes of all its entities
	MaxEntityBytes    = 128_000   // Entity.Bytes of one
	MaxName           = 256       // bytes of an id, a kind, a field's name, a run, or the id of a device
)

// Fits tells whether the commit is within what every store takes; ErrTooLarge if not.
func (c *Commit) Fits() error {
	if len(c.Entities) > MaxCommitEntities || len(c.Seen) > MaxCommitRuns {
		return ErrTooLarge
	}
	bytes := 0
	for i := range c.Entities {
		e := &c.Entities[i]
		n := e.Bytes()
		if bytes += n; n > MaxEntityBytes || bytes > MaxCommitBytes || len(e.ID) > MaxName || len(e.Kind) > MaxName {
			return ErrTooLarge
		}
		for field := range e.Fields {
			if len(field) > MaxName {
				return ErrTooLarge
			}
		}
	}
	for run, at := range c.Seen {
		if len(run) > MaxName || len(at.Device) > MaxName || len(at.By) > MaxName {
			return ErrTooLarge
		}
	}
	return nil
}

// Validate tells whether c is a commit that may follow on: a later number, a tag, entities in id order without
// repetition, their writes and early marks likewise, and every entity and run saying that it last moved in this commit.
func (c *Commit) Validate(on Mark) error {
	if c.No <= on.No {
		return fmt.Errorf("store: commit %d does not come after %d", c.No, on.No)
	}
	if !validTag(c.Tag) {
		return fmt.Errorf("store: commit %d: a tag is 8 base64url characters", c.No)
	}
	for i := range c.Entities {
		e := &c.Entities[i]
		if e.ID == "" || i > 0 && e.ID <= c.Entities[i-1].ID {
			return fmt.Errorf("store: commit %d: entity %d is out of order", c.No, i)
		}
		if e.Commit != c.No {
			return fmt.Errorf("store: commit %d: entity %d says commit %d", c.No, i, e.Commit)
		}
		for _, writes := range e.Fields {
			for k := 1; k < len(writes); k++ {
				if replica.CompareStamps(writes[k-1].Stamp, writes[k].Stamp) >= 0 {
					return fmt.Errorf("store: commit %d: entity %d: the writes of a field are out of order", c.No, i)
				}
			}
		}
		for k := 1; k < len(e.Early); k++ {
			if compareEarly(e.Early[k-1], e.Early[k]) >= 0 {
				return fmt.Errorf("store: commit %d: entity %d: its early marks are out of order", c.No, i)
			}
		}
	}
	for run, at := range c.Seen {
		if run == "" || at.Commit != c.No {
			return fmt.Errorf("store: commit %d: a run says commit %d", c.No, at.Commit)
		}
		if strings.ContainsRune(at.Device+at.By, 0) || at.By == "" && at.Came != 0 || at.Came > at.N {
			return fmt.Errorf("store: commit %d: a run does not say whose word it is", c.No)
		}
	}
	return nil
}

func validTag(tag string) bool {
	if len(tag) != 8 {
		return false
	}
	for i := 0; i < len(tag); i++ {
		c := tag[i]
		if !(c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '-' || c == '_') {
			return false
		}
	}
	return true
}

// Limits bound a page: at least one entity is given whatever its size, and the runs of a commit are never divided. Bytes
// counts Entity.Bytes, Runs the entries of Page.Seen; zero sets no bound.
type Limits struct {
	Entities int
	Bytes    int
	Runs     int
}

// Page is one stretch of a journal in (commit, id) order. The seen entries of a commit come after its last entity: a
// page that ends inside a commit does not have them, the page that finishes that commit does. With Limits.Runs a page
// ends after the commit by which it holds as many runs, if more moved later. Next has an id only inside a commit; when
// More is false it is the head.
type Page struct {
	Entities []Entity
	Seen     map[replica.Run]SeenAt // runs that last moved after the cursor and not after Next (all the rest when More is false)
	Next     Mark
	More     bool
}

// The refusals of a store. Anything else is a fault.
var (
	ErrMoved   = errors.New("store: the journal moved on")
	ErrErased  = errors.New("store: the journal was erased")
	ErrNoSpace = errors.New("store: not enough free space")
	// ErrTooLarge refuses one commit, or one change of records, that is more than can be put down at once. Nothing of it
	// is done, what was written beside it is, and the store goes on.
	ErrTooLarge = errors.New("store: more than can be written at once")
	ErrClosed   = errors.New("store: closed")
	// ErrReadOnly refuses writes for as long as the store is open, for the reason in its Health.
	ErrReadOnly = errors.New("store: read-only")
	// ErrDamaged is the answer for a journal of which something is missing. It is never served in part: a device would
	// take what is missing for erased.
	ErrDamaged = errors.New("store: damaged, restore it from a backup")
)

// Health is what an operator wants to know.
type Health struct {
	OK        bool
	ReadOnly  bool   // writes are refused; reads go on
	Reason    string // why it is not OK, in words
	FreeBytes uint64
	StoreID   string
}

// Store keeps journals. It is safe for concurrent use. A journal exists from its first commit on; before it Head is the
// zero Mark.
type Store interface {
	// View runs fn on one consistent state. The reader must not be used after fn returns. ErrErased after Drop. Every read
	// of the reader ends with the context's error once ctx has ended.
	View(ctx context.Context, j Journal, fn func(Reader) error) error
	// Commit takes c if the journal's head still is on (number and tag); else ErrMoved and nothing is done. It is durable
	// when Commit returns nil. c must be valid after on (Commit.Validate); the store keeps nothing of c's maps and slices.
	// What is within the bounds of Commit.Fits is taken; else ErrTooLarge, which is no fault of the store's.
	// A context that ends while the commit still waits its turn ends it with nothing done; later it is waited for.
	Commit(ctx context.Context, j Journal, on Mark, c Commit) error
	// Watch calls fn soon after commits until ctx ends; hints may be lost or coalesced. It returns the context's error
	// when ctx ends and ErrClosed when the store closes. Calls of one Watch's fn never overlap.
	Watch(ctx context.Context, j Journal, fn func()) error
	// Journals calls fn for every journal.
	Journals(ctx context.Context, fn func(Journal) error) error
	// Drop removes a journal and everything in it, for good: from then on View and Commit of it answer ErrErased, also
	// if it never had a commit. All that is kept is a digest of its name. Dropping it again does nothing.
	Drop(ctx context.Context, j Journal) error
	Health(ctx context.Context) (Health, error)
	// Close waits for what is under way. After it everything else answers ErrClosed.
	Close() error
}

// Reader reads one consistent state of one journal. What it returns belongs to the caller.
type Reader interface {
	Head() (Mark, Size, error)
	// Known tells whether a mark (ignoring its ID) is a commit of this journal with that tag; the start is known.
	Known(Mark) (bool, error)
	Entities(ids []replica.ID) (map[replica.ID]Entity, error)
	Seen(runs []replica.Run) (map[replica.Run]SeenAt, error)
	// After gives what changed after cursor. Erased entities (no writes) are left out when cursor is the start. It goes by
	// the cursor's number and id; whether the mark is known is asked with Known.
	After(cursor Mark, max Limits) (Page, error)
}
