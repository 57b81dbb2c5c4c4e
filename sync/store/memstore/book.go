package memstore

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"

	"fairmeasure/sync/store"
)

// Read implements store.Book.
func (s *Store) Read(ctx context.Context, fn func(store.BookReader) error) error {
	s.mu.Lock()
	err := s.open(ctx)
	records := s.records
	s.mu.Unlock()
	if err != nil {
		return err
	}
	return fn(book{records})
}

// Write implements store.Book: one at a time, on a copy that takes the place of the records when fn agrees.
func (s *Store) Write(ctx context.Context, fn func(store.BookWriter) error) error {
	s.writing.Lock()
	defer s.writing.Unlock()
	s.mu.Lock()
	err := s.open(ctx)
	records := s.records
	s.mu.Unlock()
	if err != nil {
		return err
	}
	records = maps.Clone(records)
	if err := fn(book{records}); err != nil {
		return err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.records = records
	return nil
}

type book struct{ records map[string]string }

func (b book) Get(key []byte) ([]byte, bool, error) {
	value, ok := b.records[string(key)]
	if !ok {
		return nil, false, nil
	}
	return []byte(value), true, nil
}

func (b book) Each(prefix []byte, fn func(key, value []byte) bool) error {
	records := map[string]string{}
	for key, value := range b.records {
		if strings.HasPrefix(key, string(prefix)) {
			records[key] = value
		}
	}
	for _, key := range slices.Sorted(maps.Keys(records)) {
		if !fn([]byte(key), []byte(records[key])) {
			return nil
		}
	}
	return nil
}

func (b book) Set(key, value []byte) error {
	if n := len(key) + len(value); n > store.MaxRecord {
		return fmt.Errorf("memstore: a record of %d bytes; %d are the most: %w", n, store.MaxRecord, store.ErrTooLarge)
	}
	b.records[string(key)] = string(value)
	return nil
}

func (b book) Delete(key []byte) error {
	delete(b.records, string(key))
	return nil
}
