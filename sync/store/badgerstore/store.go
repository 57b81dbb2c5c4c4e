// Package badgerstore keeps journals, and the server's own records, in one Badger database on one machine.
//
// What it promises beyond store.Store: a commit is on disk, synced, before Commit returns. All writes go through one
// goroutine, the committer, which puts what has queued up into one transaction: one sync for up to 256 commits, of one
// journal or many, and a commit that fails does not take its neighbours along. A store that finds itself damaged at its
// start, or sees a write or a read go wrong, refuses writes from then on and says why; it never shows a journal of which
// something is missing, least of all as an empty one. With too little space on the disk it refuses writes before the
// disk is full.
//
// What it leaves out: backups, and any understanding of what the fields mean. A tail of the newest commits that is lost
// (a damaged write-ahead log) cannot be told from commits never made; the tags see to it that the devices notice.
package badgerstore

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"github.com/dgraph-io/badger/v4"

	"fairmeasure/sync/store"
)

var (
	_ store.Store = (*Store)(nil)
	_ store.Book  = (*Store)(nil)
)

// The reasons why a store cannot be opened that an operator can do something about. A damaged one is store.ErrDamaged.
var (
	ErrRunning = errors.New("badgerstore: already running: another process has this folder open")
	ErrKey     = errors.New("badgerstore: the encryption key is not the one this folder was made with")
)

// Store is one open database. It is safe for concurrent use.
type Store struct {
	o     Options
	db    *badger.DB
	id    string
	hints *store.Hints
	space *guard

	transactions uint64 // there ever were; the committer's, once it runs

	queue  chan *request
	stop   context.CancelFunc // ends the housekeeping
	house  sync.WaitGroup     // housekeeping
	writer sync.WaitGroup     // the committer
	stats  stats

	mu      sync.Mutex
	idle    sync.Cond // signalled when inside falls to 0
	inside  int       // calls under way
	closed  bool
	reason  string                   // why it is read-only; empty when it is not
	whole   bool                     // the reason concerns everything, not only what broken names
	broken  map[store.Journal]string // journals of which something is missing
	closing sync.Once
}

// Open opens the store in o.Dir, making it if the folder is empty. A store that fails its start-up check is opened all
// the same, to be looked at: read-only, with the reason in its Health, and with store.ErrDamaged for what is damaged.
// Where opening would itself destroy something, or the database cannot be opened at all, the error says so.
func Open(o Options) (*Store, error) {
	o, err := o.withDefaults()
	if err != nil {
		return nil, err
	}
	if err := os.MkdirAll(o.Dir, 0o700); err != nil {
		return nil, fmt.Errorf("badgerstore: making the folder: %w", err)
	}
	if running, err := inUse(o.Dir); err != nil {
		return nil, fmt.Errorf("badgerstore: looking for another process: %w", err)
	} else if running {
		return nil, fmt.Errorf("%w: %s", ErrRunning, o.Dir)
	}
	found, err := inspect(o)
	if err != nil {
		return nil, err
	}
	db, err := openBadger(o)
	if err != nil {
		return nil, err
	}
	s := &Store{
		o:      o,
		db:     db,
		hints:  store.NewHints(),
		space:  &guard{least: o.MinFreeBytes, measure: func() (uint64, error) { return o.FreeSpace(o.Dir) }},
		queue:  make(chan *request, queueLen),
		broken: map[store.Journal]string{},
	}
	s.idle.L = &s.mu
	orphans, err := s.check(found)
	if err != nil {
		return nil, errors.Join(err, db.Close())
	}
	if err := s.space.look(); err != nil {
		return nil, errors.Join(fmt.Errorf("badgerstore: measuring free space: %w", err), db.Close())
	}
	if err := s.layBallast(); err != nil {
		return nil, errors.Join(err, db.Close())
	}
	if s.reason == "" {
		if err := os.Remove(filepath.Join(o.Dir, closedFile)); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return nil, errors.Join(fmt.Errorf("badgerstore: %w", err), db.Close())
		}
	}
	var housekeeping context.Context
	housekeeping, s.stop = context.WithCancel(context.Background())
	s.writer.Go(s.commitAll)
	s.house.Go(func() { s.keepHouse(housekeeping, orphans) })
	return s, nil
}

func openBadger(o Options) (*badger.DB, error) {
	db, err := badger.Open(o.badger())
	switch {
	case err == nil:
		return db, nil
	case errors.Is(err, badger.ErrEncryptionKeyMismatch):
		return nil, ErrKey
	case strings.Contains(err.Error(), "Cannot acquire directory lock"):
		return nil, fmt.Errorf("%w: %s", ErrRunning, o.Dir)
	}
	return nil, fmt.Errorf("badgerstore: open: %w", err)
}

// enter begins a call, which leave ends: Close waits in between.
func (s *Store) enter(ctx context.Context) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.closed {
		return store.ErrClosed
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	s.inside++
	return nil
}

func (s *Store) leave() {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.inside--; s.inside == 0 {
		s.idle.Broadcast()
	}
}

// fail makes the store read-only for the rest of its life. The first reason is kept.
func (s *Store) fail(reason string) {
	s.mu.Lock()
	first := s.reason == ""
	if first {
		s.reason = reason
	}
	s.mu.Unlock()
	if first {
		s.o.Logger.Error("badgerstore: writes are refused from now on", "reason", reason)
	}
}

// writable says why a write is refused, if it is.
func (s *Store) writable() error {
	s.mu.Lock()
	reason := s.reason
	s.mu.Unlock()
	if reason != "" {
		return fmt.Errorf("badgerstore: %s: %w", reason, store.ErrReadOnly)
	}
	if !s.space.low() {
		return nil
	}
	if err := s.space.look(); err != nil { // it may just have been made
		return fmt.Errorf("badgerstore: measuring free space: %w", err)
	}
	if s.space.low() {
		return store.ErrNoSpace
	}
	return nil
}

// readable says why a journal, or with no name everything, is not shown, if it is not.
func (s *Store) readable(j store.Journal) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.whole {
		return fmt.Errorf("badgerstore: %s: %w", s.reason, store.ErrDamaged)
	}
	if reason, ok := s.broken[j]; ok {
		return fmt.Errorf("badgerstore: journal %s: %s: %w", j, reason, store.ErrDamaged)
	}
	return nil
}

// recovered turns a panic of the database, which it has on damaged tables, into an error. It is deferred around our own
// calls of the database only, never around a caller's function.
func (s *Store) recovered(err *error) {
	if p := recover(); p != nil {
		where := brokeOff(p)
		s.fail("the database broke off: " + where)
		*err = fmt.Errorf("badgerstore: the database broke off: %s: %w", where, store.ErrDamaged)
	}
}

// View implements store.Store. It holds back no commit, and fn may call the store; it sees the state it began with.
func (s *Store) View(ctx context.Context, j store.Journal, fn func(store.Reader) error) error {
	if err := j.Validate(); err != nil {
		return err
	}
	if err := s.enter(ctx); err != nil {
		return err
	}
	defer s.leave()
	if err := s.readable(j); err != nil {
		return err
	}
	txn := s.db.NewTransaction(false)
	defer txn.Discard()
	r := &reader{s: s, txn: txn, ctx: ctx, journal: j, keys: keysOf(j)}
	gone, err := r.has(erasedKey(j))
	if err != nil {
		return err
	}
	if gone {
		return store.ErrErased
	}
	return fn(r)
}

// Commit implements store.Store.
func (s *Store) Commit(ctx context.Context, j store.Journal, on store.Mark, c store.Commit) error {
	if err := j.Validate(); err != nil {
		return err
	}
	if err := c.Validate(on); err != nil {
		return err
	}
	if err := c.Fits(); err != nil {
		return err
	}
	if err := s.enter(ctx); err != nil {
		return err
	}
	defer s.leave()
	return s.submit(ctx, &request{plan: planCommit(j, on, c), hint: j})
}

// Watch implements store.Store.
func (s *Store) Watch(ctx context.Context, j store.Journal, fn func()) error {
	if err := j.Validate(); err != nil {
		return err
	}
	return s.hints.Watch(ctx, j, fn)
}

// Journals implements store.Store, in the order of names. A damaged journal is among them; its View is an error.
func (s *Store) Journals(ctx context.Context, fn func(store.Journal) error) error {
	if err := s.enter(ctx); err != nil {
		return err
	}
	defer s.leave()
	if err := s.readable(""); err != nil {
		return err
	}
	txn := s.db.NewTransaction(false)
	defer txn.Discard()
	var next store.Journal
	for {
		if err := ctx.Err(); err != nil {
			return err
		}
		j, begun, err := s.journalFrom(txn, next)
		if err != nil || j == "" {
			return err
		}
		if begun || s.readable(j) != nil {
			if err := fn(j); err != nil {
				return err
			}
		}
		next = j
	}
}

// journalFrom gives the first journal after one that has any key, and whether it has its head; "" at the end.
func (s *Store) journalFrom(txn *badger.Txn, last store.Journal) (j store.Journal, begun bool, err error) {
	defer s.recovered(&err)
	it := txn.NewIterator(badger.IteratorOptions{Prefix: []byte{worldJournal}})
	defer it.Close()
	from := []byte{worldJournal}
	if last != "" {
		from = keysOf(last).sort(0xff)
	}
	it.Seek(from)
	if !it.Valid() {
		return "", false, nil
	}
	j, ok := journalOf(it.Item().Key())
	if !ok {
		return "", false, fmt.Errorf("badgerstore: a key cannot be read: %w", store.ErrDamaged)
	}
	switch _, err = txn.Get(keysOf(j).head()); {
	case errors.Is(err, badger.ErrKeyNotFound):
		return j, false, nil
	case err != nil:
		return "", false, fmt.Errorf("badgerstore: head of %s: %w", j, err)
	}
	return j, true, nil
}

// Health implements store.Store.
func (s *Store) Health(ctx context.Context) (store.Health, error) {
	if err := s.enter(ctx); err != nil {
		return store.Health{}, err
	}
	defer s.leave()
	h := store.Health{StoreID: s.id, FreeBytes: s.space.free.Load()}
	s.mu.Lock()
	h.Reason = s.reason
	s.mu.Unlock()
	if h.Reason == "" && s.space.low() {
		h.Reason = fmt.Sprintf("%d MiB of the disk are free; writes need %d MiB", h.FreeBytes>>20, s.o.MinFreeBytes>>20)
	}
	h.ReadOnly = h.Reason != ""
	h.OK = !h.ReadOnly
	return h, nil
}

// Close implements store.Store: calls under way end, then the committer, then the database.
func (s *Store) Close() error {
	err := store.ErrClosed
	s.closing.Do(func() {
		s.mu.Lock()
		s.closed = true
		s.hints.Close()
		for s.inside > 0 {
			s.idle.Wait()
		}
		s.mu.Unlock()
		s.stop()
		s.house.Wait()
		close(s.queue)
		s.writer.Wait()
		if err = s.db.Close(); err != nil {
			err = fmt.Errorf("badgerstore: close: %w", err)
		} else if s.reason == "" {
			err = s.noteClosed()
		}
	})
	return err
}

// noteClosed leaves word of how far the store had come. A damaged store keeps the word it had.
func (s *Store) noteClosed() error {
	err := writeFile(filepath.Join(s.o.Dir, closedFile), func(w io.Writer) error {
		_, err := fmt.Fprintln(w, s.transactions)
		return err
	})
	if err != nil {
		return fmt.Errorf("badgerstore: close: %w", err)
	}
	return nil
}

// keepHouse is what goes on beside the calls: the free space, the rest of dropped journals, the value log.
func (s *Store) keepHouse(ctx context.Context, orphans []store.Journal) {
	for _, j := range orphans {
		if err := s.sweep(ctx, j); err != nil && ctx.Err() == nil {
			s.o.Logger.Warn("badgerstore: the rest of a dropped journal was not cleared away", "error", err)
		}
	}
	space := time.NewTicker(5 * time.Second)
	defer space.Stop()
	collect := time.NewTicker(time.Hour)
	defer collect.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-space.C:
			if err := s.space.look(); err != nil {
				s.o.Logger.Warn("badgerstore: measuring free space", "error", err)
			}
		case <-collect.C:
			s.collect()
		}
	}
}

// collect frees what is dead in the value log: nothing, as long as all values are small.
func (s *Store) collect() {
	var err error
	defer s.recovered(&err)
	for range 3 {
		if err = s.db.RunValueLogGC(0.5); err != nil {
			if !errors.Is(err, badger.ErrNoRewrite) {
				s.o.Logger.Warn("badgerstore: collecting the value log", "error", err)
			}
			return
		}
	}
}

// Stats counts what the committer did since the store was opened.
type Stats struct {
	Writes       uint64 // commits, drops and record changes that were taken
	Transactions uint64 // transactions that put them on disk, each with one sync
}

type stats struct{ writes, transactions atomic.Uint64 }

// Stats gives the counts so far.
func (s *Store) Stats() Stats {
	return Stats{Writes: s.stats.writes.Load(), Transactions: s.stats.transactions.Load()}
}
