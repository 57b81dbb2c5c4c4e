// Package store says what a journal needs of a store. The unit of storage and of replication is the commit: the whole
// entities as they are after it, the seen entries it moved, its number and its tag. One conformance suite, storetest,
// runs on every implementation.
package store

import (
	"context"
	"errors"

	"fairmeasure/sync/replica"
)

// Journal names a journal: 32 lower-case hexadecimal digits of 128 random bits.
type Journal string

// Mark is a place in a journal's order of change: commit number, that commit's tag, and inside a commit the last id
// read. The zero Mark is the start. A mark with an id stands for all commits before, and of this one the ids up to it.
type Mark struct {
	No  uint64
	Tag string // 8 base64url characters of 6 random bytes; empty only at the start
	ID  replica.ID
}

// Size is what a journal holds: entities, and the logical bytes of its entities.
type Size struct {
	Entities int
	Bytes    int64
}

// Early marks a write that was replaced before it arrived.
type Early struct {
	Field string
	Stamp replica.Stamp
}

// Entity is one stored entity, whole, with its early marks and the commit of its last change.
type Entity struct {
	replica.Entity
	Early  []Early // in the order of field, then stamp
	Commit uint64
}

// SeenAt says how far a run has been seen, in which commit that last moved, and which device first used the run.
type SeenAt struct {
	N      uint64
	Commit uint64
	Device string
}

// Commit is one round's outcome: what becomes true together. Entities are whole, as they are after it.
type Commit struct {
	No       uint64
	Tag      string
	Entities []Entity               // in id order; Commit is No
	Seen     map[replica.Run]SeenAt // the runs it moved
	Size     Size                   // of the journal after it
}

// Limits bound a page: at least one entity is given whatever its size.
type Limits struct {
	Entities int
	Bytes    int
}

// Page is one stretch of a journal in (commit, id) order.
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
	ErrClosed  = errors.New("store: closed")
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
	// View runs fn on one consistent state. The reader must not be used after fn returns.
	View(ctx context.Context, j Journal, fn func(Reader) error) error
	// Commit takes c if the journal's head still is on (number and tag); else ErrMoved and nothing is done. It is durable
	// when Commit returns nil. c.No must be greater than on.No.
	Commit(ctx context.Context, j Journal, on Mark, c Commit) error
	// Watch calls fn soon after commits until ctx ends; hints may be lost or coalesced. It returns when ctx ends.
	Watch(ctx context.Context, j Journal, fn func()) error
	// Journals calls fn for every journal.
	Journals(ctx context.Context, fn func(Journal) error) error
	// Drop removes a journal and everything in it, for good.
	Drop(ctx context.Context, j Journal) error
	Health(ctx context.Context) (Health, error)
	Close() error
}

// Reader reads one consistent state of one journal. What it returns belongs to the caller.
type Reader interface {
	Head() (Mark, Size, error)
	// Known tells whether a mark (ignoring its ID) is a commit of this journal with that tag; the start is known.
	Known(Mark) (bool, error)
	Entities(ids []replica.ID) (map[replica.ID]Entity, error)
	Seen(runs []replica.Run) (map[replica.Run]SeenAt, error)
	// After gives what changed after cursor. Erased entities (no writes) are left out when cursor is the start.
	After(cursor Mark, max Limits) (Page, error)
}
