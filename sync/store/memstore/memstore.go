// Package memstore keeps journals in memory. It is what tests and simulations run against, and the plain statement of
// what store.Store means: it obeys the same conformance suite as the stores on disk. Nothing outlives the process; in
// exchange a whole store can be copied in a moment (Snapshot) and put back (Restore), as a server restored from its
// backup would be.
package memstore

import (
	"context"
	"fmt"
	"maps"
	"math"
	"slices"
	"sync"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/store"
)

var (
	_ store.Store = (*Store)(nil)
	_ store.Book  = (*Store)(nil)
)

// Store is a store in memory. It is safe for concurrent use.
type Store struct {
	hints *store.Hints

	mu       sync.Mutex // guards all below; never held while a caller's function runs
	closed   bool
	journals map[store.Journal]*journal
	erased   map[store.Journal]bool
	records  map[string]string // the Book: never changed once it is here, only replaced

	writing sync.Mutex // held by the one Book write that is under way; taken before mu
}

// New makes an empty store.
func New() *Store {
	return &Store{
		hints:    store.NewHints(),
		journals: map[store.Journal]*journal{},
		erased:   map[store.Journal]bool{},
		records:  map[string]string{},
	}
}

// Snapshot gives an independent store that holds what s holds now. It costs one map entry a journal: both go on with the
// same data until one of them changes it.
func (s *Store) Snapshot() *Store {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, j := range s.journals {
		if !j.shared { // once it is, other stores read the mark without our lock
			j.shared = true
		}
	}
	c := New()
	c.journals = maps.Clone(s.journals)
	c.erased = maps.Clone(s.erased)
	c.records = s.records
	return c
}

// Restore makes s hold what from holds now, as a server put back from its backup. Those who watch stay.
func (s *Store) Restore(from *Store) {
	c := from.Snapshot()
	s.writing.Lock()
	defer s.writing.Unlock()
	s.mu.Lock()
	defer s.mu.Unlock()
	s.journals, s.erased, s.records = c.journals, c.erased, c.records
}

// open is the first step of every call. The caller holds mu.
func (s *Store) open(ctx context.Context) error {
	if s.closed {
		return store.ErrClosed
	}
	return ctx.Err()
}

// View implements store.Store. fn may call the store; it goes on seeing the state it began with.
func (s *Store) View(ctx context.Context, name store.Journal, fn func(store.Reader) error) error {
	if err := name.Validate(); err != nil {
		return err
	}
	s.mu.Lock()
	if err := s.open(ctx); err != nil {
		s.mu.Unlock()
		return err
	}
	if s.erased[name] {
		s.mu.Unlock()
		return store.ErrErased
	}
	j := s.journals[name]
	if j == nil {
		j = newJournal()
	}
	counted := !j.shared
	if counted {
		j.readers++
	}
	s.mu.Unlock()
	defer func() {
		if counted {
			s.mu.Lock()
			j.readers--
			s.mu.Unlock()
		}
	}()
	return fn(reader{ctx, j})
}

// Commit implements store.Store.
func (s *Store) Commit(ctx context.Context, name store.Journal, on store.Mark, c store.Commit) error {
	if err := name.Validate(); err != nil {
		return err
	}
	if err := c.Validate(on); err != nil {
		return err
	}
	if err := c.Fits(); err != nil {
		return err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if err := s.open(ctx); err != nil {
		return err
	}
	if s.erased[name] {
		return store.ErrErased
	}
	j := s.journals[name]
	switch {
	case j == nil:
		j = newJournal()
	case j.shared || j.readers > 0:
		j = j.clone()
	}
	if !j.head.Same(on) {
		return store.ErrMoved
	}
	j.commit(c)
	s.journals[name] = j
	s.hints.Fire(name)
	return nil
}

// Watch implements store.Store.
func (s *Store) Watch(ctx context.Context, name store.Journal, fn func()) error {
	if err := name.Validate(); err != nil {
		return err
	}
	return s.hints.Watch(ctx, name, fn)
}

// Journals implements store.Store, in the order of names.
func (s *Store) Journals(ctx context.Context, fn func(store.Journal) error) error {
	s.mu.Lock()
	err := s.open(ctx)
	names := slices.Sorted(maps.Keys(s.journals))
	s.mu.Unlock()
	if err != nil {
		return err
	}
	for _, name := range names {
		if err := fn(name); err != nil {
			return err
		}
	}
	return nil
}

// Drop implements store.Store.
func (s *Store) Drop(ctx context.Context, name store.Journal) error {
	if err := name.Validate(); err != nil {
		return err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if err := s.open(ctx); err != nil {
		return err
	}
	delete(s.journals, name)
	s.erased[name] = true
	s.hints.Fire(name)
	return nil
}

// Health implements store.Store. Memory is not measured: FreeBytes is as much as can be.
func (s *Store) Health(ctx context.Context) (store.Health, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if err := s.open(ctx); err != nil {
		return store.Health{}, err
	}
	return store.Health{OK: true, FreeBytes: math.MaxUint64, StoreID: fmt.Sprintf("memory.%p", s)}, nil
}

// Close implements store.Store.
func (s *Store) Close() error {
	s.writing.Lock()
	defer s.writing.Unlock()
	s.mu.Lock()
	defer s.mu.Unlock()
	if !s.closed {
		s.closed = true
		s.hints.Close()
	}
	return nil
}

// reader reads one version of a journal, which nobody changes while it is read.
type reader struct {
	ctx context.Context
	j   *journal
}

func (r reader) Head() (store.Mark, store.Size, error) {
	size := r.j.size
	size.Runs = len(r.j.seen)
	return r.j.head, size, r.ctx.Err()
}

func (r reader) Known(m store.Mark) (bool, error) { return r.j.known(m), r.ctx.Err() }

func (r reader) Entities(ids []replica.ID) (map[replica.ID]store.Entity, error) {
	found := make(map[replica.ID]store.Entity, len(ids))
	for _, id := range ids {
		if e, ok := r.j.entities[id]; ok {
			found[id] = e.Clone()
		}
	}
	return found, r.ctx.Err()
}

func (r reader) Seen(runs []replica.Run) (map[replica.Run]store.SeenAt, error) {
	found := make(map[replica.Run]store.SeenAt, len(runs))
	for _, run := range runs {
		if at, ok := r.j.seen[run]; ok {
			found[run] = at
		}
	}
	return found, r.ctx.Err()
}

func (r reader) After(cursor store.Mark, max store.Limits) (store.Page, error) {
	if err := r.ctx.Err(); err != nil {
		return store.Page{}, err
	}
	return r.j.after(cursor, max), nil
}
