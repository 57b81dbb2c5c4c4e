package badgerstore

import (
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"maps"
	"slices"
	"sync/atomic"

	"github.com/dgraph-io/badger/v4"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/store"
)

const (
	queueLen = 1024 // writes that wait before the next writer waits to queue
	batchLen = 256  // writes in one transaction
)

// entry is one key that a plan sets, or deletes.
type entry struct {
	key, value []byte
	gone       bool
}

// A plan looks at what is there, the writes before it in the same transaction included, and says what to change; or
// refuses. It changes nothing itself, so a refusal leaves no trace. It may be asked again when its transaction is split.
type plan func(*badger.Txn) ([]entry, error)

// request is one write on its way through the committer.
type request struct {
	plan  plan
	hint  store.Journal // whose watchers to tell; may be none
	book  bool
	state atomic.Int32 // waiting until the committer takes it or its caller leaves
	done  chan error
}

const (
	waiting = iota
	taken
	abandoned
)

// submit queues a write and waits until it is on disk. When ctx ends before the committer took it nothing is done.
func (s *Store) submit(ctx context.Context, r *request) error {
	if err := s.writable(); err != nil {
		return err
	}
	r.done = make(chan error, 1)
	select {
	case s.queue <- r:
	case <-ctx.Done():
		return ctx.Err()
	}
	select {
	case err := <-r.done:
		return err
	case <-ctx.Done():
		if r.state.CompareAndSwap(waiting, abandoned) {
			return ctx.Err()
		}
		return <-r.done
	}
}

// commitAll is the committer: it takes what has queued up, in order, until the queue is closed.
func (s *Store) commitAll() {
	batch := make([]*request, 0, batchLen)
	for r := range s.queue {
		batch = append(batch[:0], r)
	fill:
		for len(batch) < batchLen {
			select {
			case r, ok := <-s.queue:
				if !ok {
					break fill
				}
				batch = append(batch, r)
			default:
				break fill
			}
		}
		batch = slices.DeleteFunc(batch, func(r *request) bool { return !r.state.CompareAndSwap(waiting, taken) })
		// Records first: looking through them in a transaction sorts all that is already in it. Nobody can tell, as
		// nobody waits for one of these writes before asking for another.
		slices.SortStableFunc(batch, func(a, b *request) int {
			switch {
			case a.book == b.book:
				return 0
			case a.book:
				return -1
			}
			return 1
		})
		s.commitBatch(batch)
		clear(batch)
	}
}

// commitBatch puts the requests into one transaction and answers each; too many for one are split.
func (s *Store) commitBatch(batch []*request) {
	if len(batch) == 0 {
		return
	}
	if err := s.space.look(); err != nil {
		s.o.Logger.Warn("badgerstore: measuring free space", "error", err)
	}
	if err := s.writable(); err != nil {
		answer(batch, err)
		return
	}
	results := make([]error, len(batch))
	taken, at, err := s.transact(batch, results)
	switch {
	case errors.Is(err, badger.ErrTxnTooBig) && len(batch) == 1:
		answer(batch, fmt.Errorf("badgerstore: more than one transaction takes: %w", store.ErrTooLarge))
	case errors.Is(err, badger.ErrTxnTooBig):
		s.commitBatch(batch[:at])
		s.commitBatch(batch[at:])
	case errors.Is(err, errNotSet):
		// The database would not take what one of them sets; the others are begun anew without it.
		answer(batch[at:at+1], fmt.Errorf("badgerstore: %w", err))
		s.commitBatch(slices.Concat(batch[:at], batch[at+1:]))
	case err != nil:
		// What is on disk now is not known, and after a sync that failed nothing can be trusted to arrive: the next
		// writes could be lost behind a torn one.
		s.fail("a write failed, restart after a look at the disk: " + plainly(err))
		answer(batch, fmt.Errorf("badgerstore: commit: %w", err))
	default:
		s.stats.writes.Add(uint64(taken))
		if taken > 0 {
			s.stats.transactions.Add(1)
		}
		for i, r := range batch {
			r.done <- results[i]
			if results[i] == nil && r.hint != "" {
				s.hints.Fire(r.hint)
			}
		}
	}
}

// errNotSet is about one write that the database will not have, whatever else is in the transaction.
var errNotSet = errors.New("the database takes no such key or value")

func answer(batch []*request, err error) {
	for _, r := range batch {
		r.done <- err
	}
}

// transact makes one transaction of the batch. Refusals go to results; an error concerns the whole transaction, of which
// then nothing is stored. at says how many of the batch fit when it was ErrTxnTooBig, and which it is about when it was
// errNotSet.
func (s *Store) transact(batch []*request, results []error) (written, at int, err error) {
	defer s.recovered(&err)
	txn := s.db.NewTransaction(true)
	defer txn.Discard()
	for i, r := range batch {
		var entries []entry
		if entries, results[i] = r.plan(txn); results[i] == nil {
			results[i] = s.takes(entries)
		}
		if results[i] != nil {
			continue
		}
		if len(entries) > 0 {
			written++
		}
		for _, e := range entries {
			if e.gone {
				err = txn.Delete(e.key)
			} else {
				err = txn.Set(e.key, e.value)
			}
			if errors.Is(err, badger.ErrTxnTooBig) {
				return 0, max(i, 1), err
			}
			if err != nil {
				return 0, i, fmt.Errorf("%w: %s", errNotSet, plainly(err))
			}
		}
	}
	if written == 0 {
		return 0, 0, nil
	}
	if err := txn.Set(transactionsKey, binary.AppendUvarint(nil, s.transactions+1)); err != nil {
		return 0, max(len(batch)-1, 1), err
	}
	if err := txn.Commit(); err != nil {
		return 0, max(len(batch)/2, 1), err
	}
	s.transactions++
	return written, 0, nil
}

// takes refuses what the database would not set, before anything of the plan is: a size is no fault of the disk, and
// what is half set cannot be taken back from among the others.
func (s *Store) takes(entries []entry) error {
	const mostKey = 1000 // the database takes 65,000; ours are far shorter
	mostValue := s.db.Opts().ValueThreshold
	for _, e := range entries {
		if len(e.key) == 0 || len(e.key) > mostKey || int64(len(e.value)) >= mostValue {
			return fmt.Errorf("badgerstore: one value: %w", store.ErrTooLarge)
		}
	}
	return nil
}

// planCommit makes the plan of a commit. All bytes are made here, by the caller's goroutine and of the caller's maps.
func planCommit(j store.Journal, on store.Mark, c store.Commit) plan {
	k := keysOf(j)
	type changed struct {
		id    replica.ID
		value []byte
	}
	entities := make([]changed, len(c.Entities))
	for i := range c.Entities {
		entities[i] = changed{c.Entities[i].ID, appendEntity(nil, &c.Entities[i])}
	}
	type moved struct {
		run   replica.Run
		value []byte
	}
	seen := make([]moved, 0, len(c.Seen))
	for _, run := range slices.Sorted(maps.Keys(c.Seen)) {
		seen = append(seen, moved{run, appendSeen(nil, c.Seen[run])})
	}
	no, size := c.No, c.Size
	tag, _ := tagBytes(c.Tag) // it was validated

	return func(txn *badger.Txn) ([]entry, error) {
		gone, err := get(txn, erasedKey(j), func([]byte) error { return nil })
		if err != nil {
			return nil, err
		}
		if gone {
			return nil, store.ErrErased
		}
		h, err := getHead(txn, k)
		if err != nil {
			return nil, err
		}
		if !h.mark().Same(on) {
			return nil, store.ErrMoved
		}
		entries := make([]entry, 0, 3*len(entities)+3*len(seen)+2)
		set := func(key, value []byte) { entries = append(entries, entry{key: key, value: value}) }
		for _, e := range entities {
			key := k.entity(e.id)
			old, ok, err := lastCommit(txn, key)
			if err != nil {
				return nil, err
			}
			if ok {
				entries = append(entries, entry{key: k.change(old, e.id), gone: true})
			} else {
				h.held.entities++
			}
			set(key, e.value)
			set(k.change(no, e.id), nil)
		}
		for _, m := range seen {
			key := k.run(m.run)
			old, ok, err := lastCommit(txn, key)
			if err != nil {
				return nil, err
			}
			if ok {
				entries = append(entries, entry{key: k.move(old, m.run), gone: true})
			} else {
				h.held.runs++
			}
			set(key, m.value)
			set(k.move(no, m.run), nil)
		}
		h.no, h.tag, h.size = no, tag, size
		h.changed, h.moved = uint64(len(entities)), uint64(len(seen))
		h.held.commits++
		set(k.tag(no), tag[:])
		set(k.head(), appendHead(nil, &h))
		return entries, nil
	}
}

// lastCommit reads the commit at the beginning of an entity's or a run's value.
func lastCommit(txn *badger.Txn, key []byte) (no uint64, ok bool, err error) {
	ok, err = get(txn, key, func(value []byte) (err error) {
		no, err = entityCommit(value)
		return err
	})
	return no, ok, err
}

// Drop implements store.Store. The journal is gone when the first transaction is on disk; its keys are cleared away in
// several more. Should that be cut short, the next start does the rest. Badger frees the bytes when it next compacts.
func (s *Store) Drop(ctx context.Context, j store.Journal) error {
	if err := j.Validate(); err != nil {
		return err
	}
	if err := s.enter(ctx); err != nil {
		return err
	}
	defer s.leave()
	k := keysOf(j)
	err := s.submit(ctx, &request{hint: j, plan: func(txn *badger.Txn) ([]entry, error) {
		return []entry{{key: erasedKey(j)}, {key: k.head(), gone: true}}, nil
	}})
	if err != nil {
		return err
	}
	return s.sweep(ctx, j)
}

// sweep deletes all keys of a journal that was dropped.
func (s *Store) sweep(ctx context.Context, j store.Journal) error {
	for {
		if err := ctx.Err(); err != nil {
			return err
		}
		found, err := s.someKeys(j)
		if err != nil || len(found) == 0 {
			return err
		}
		if err := s.submit(ctx, &request{plan: func(*badger.Txn) ([]entry, error) { return found, nil }}); err != nil {
			return err
		}
	}
}

// someKeys lists the first keys of a journal, as entries that delete them.
func (s *Store) someKeys(j store.Journal) (found []entry, err error) {
	defer s.recovered(&err)
	const some = 1000
	txn := s.db.NewTransaction(false)
	defer txn.Discard()
	it := txn.NewIterator(badger.IteratorOptions{Prefix: journalKey(j)})
	defer it.Close()
	for it.Rewind(); it.Valid() && len(found) < some; it.Next() {
		found = append(found, entry{key: it.Item().KeyCopy(nil), gone: true})
	}
	return found, nil
}
