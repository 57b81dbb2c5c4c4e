package badgerstore

import (
	"bytes"
	"context"
	"encoding/binary"
	"fmt"
	"maps"
	"slices"

	"github.com/dgraph-io/badger/v4"

	"fairmeasure/sync/store"
)

// Read implements store.Book.
func (s *Store) Read(ctx context.Context, fn func(store.BookReader) error) error {
	if err := s.enter(ctx); err != nil {
		return err
	}
	defer s.leave()
	if err := s.readable(""); err != nil {
		return err
	}
	txn := s.db.NewTransaction(false)
	defer txn.Discard()
	return fn(bookReader{s: s, txn: txn})
}

// Write implements store.Book, on the same committer as the commits: one after the other and never in conflict.
func (s *Store) Write(ctx context.Context, fn func(store.BookWriter) error) error {
	if err := s.enter(ctx); err != nil {
		return err
	}
	defer s.leave()
	return s.submit(ctx, &request{plan: s.planBook(fn), book: true})
}

type bookReader struct {
	s   *Store
	txn *badger.Txn
}

func (b bookReader) Get(key []byte) (value []byte, ok bool, err error) {
	defer b.s.recovered(&err)
	ok, err = get(b.txn, recordKey(key), func(v []byte) error {
		value = bytes.Clone(v)
		return nil
	})
	return value, ok, err
}

func (b bookReader) Each(prefix []byte, fn func(key, value []byte) bool) error {
	records, err := b.records(prefix)
	if err != nil {
		return err
	}
	return walk(records, fn)
}

// records reads all records with a prefix before any is handed on: only one iterator may be open in a transaction that
// writes, and none may be while it writes.
func (b bookReader) records(prefix []byte) (records []entry, err error) {
	defer b.s.recovered(&err)
	o := badger.DefaultIteratorOptions
	o.Prefix = recordKey(prefix)
	it := b.txn.NewIterator(o)
	defer it.Close()
	for it.Rewind(); it.Valid(); it.Next() {
		value, err := it.Item().ValueCopy(nil)
		if err != nil {
			return nil, fmt.Errorf("badgerstore: reading a record: %w", err)
		}
		records = append(records, entry{key: it.Item().KeyCopy(nil), value: value})
	}
	return records, nil
}

func walk(records []entry, fn func(key, value []byte) bool) error {
	for _, r := range records {
		if !fn(r.key[1:], r.value) {
			return nil
		}
	}
	return nil
}

// bookWriter keeps its own changes beside the transaction; reads look there first.
type bookWriter struct {
	bookReader
	own map[string]entry // by the caller's key
}

func (b *bookWriter) Get(key []byte) ([]byte, bool, error) {
	if e, ok := b.own[string(key)]; ok {
		if e.gone {
			return nil, false, nil
		}
		return bytes.Clone(e.value), true, nil
	}
	return b.bookReader.Get(key)
}

func (b *bookWriter) Each(prefix []byte, fn func(key, value []byte) bool) error {
	records, err := b.records(prefix)
	if err != nil {
		return err
	}
	records = slices.DeleteFunc(records, func(r entry) bool {
		_, changed := b.own[string(r.key[1:])]
		return changed
	})
	for key, e := range b.own {
		if !e.gone && bytes.HasPrefix([]byte(key), prefix) {
			records = append(records, entry{key: bytes.Clone(e.key), value: bytes.Clone(e.value)})
		}
	}
	slices.SortFunc(records, func(a, b entry) int { return bytes.Compare(a.key, b.key) })
	return walk(records, fn)
}

func (b *bookWriter) Set(key, value []byte) error {
	if n := len(key) + len(value); n > store.MaxRecord {
		return fmt.Errorf("badgerstore: a record of %d bytes; %d are the most: %w", n, store.MaxRecord, store.ErrTooLarge)
	}
	b.own[string(key)] = entry{key: recordKey(key), value: bytes.Clone(value)}
	return nil
}

func (b *bookWriter) Delete(key []byte) error {
	b.own[string(key)] = entry{key: recordKey(key), gone: true}
	return nil
}

// planBook makes the plan of a change of records. What fn sets is kept aside until fn agrees.
func (s *Store) planBook(fn func(store.BookWriter) error) plan {
	return func(txn *badger.Txn) ([]entry, error) {
		b := &bookWriter{bookReader: bookReader{s: s, txn: txn}, own: map[string]entry{}}
		if err := called(func() error { return fn(b) }); err != nil {
			return nil, err
		}
		if len(b.own) == 0 {
			return nil, nil
		}
		n, err := getNumber(txn, bookCountKey)
		if err != nil {
			return nil, err
		}
		before := n
		entries := make([]entry, 0, len(b.own)+1)
		for _, key := range slices.Sorted(maps.Keys(b.own)) {
			e := b.own[key]
			had, err := get(txn, e.key, func([]byte) error { return nil })
			if err != nil {
				return nil, err
			}
			switch {
			case had && e.gone:
				n--
			case !had && e.gone:
				continue
			case !had:
				n++
			}
			entries = append(entries, e)
		}
		if n != before {
			entries = append(entries, entry{key: bookCountKey, value: binary.AppendUvarint(nil, n)})
		}
		return entries, nil
	}
}

// called runs a caller's function, whose panic is the caller's error and not the store's.
func called(fn func() error) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("badgerstore: a change of records broke off: %v", p)
		}
	}()
	return fn()
}
