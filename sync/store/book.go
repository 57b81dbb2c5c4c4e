package store

import "context"

// Book keeps the server's own small records (accounts, devices, codes, keys) beside the journals, in the same database.
// Keys are plain bytes chosen by the caller; a Book keeps them apart from everything else in the store.
type Book interface {
	// Read runs fn on one consistent state.
	Read(ctx context.Context, fn func(BookReader) error) error
	// Write runs fn in one transaction: all of it happens or nothing, and it is durable when Write returns nil. fn may be
	// run again when another Write got in between, so it must have no effect outside tx; it must be quick (other writers
	// may wait for it) and must not call the store. An error from fn is returned as it is and nothing is written.
	Write(ctx context.Context, fn func(tx BookWriter) error) error
}

// BookReader reads records. What it returns belongs to the caller.
type BookReader interface {
	Get(key []byte) (value []byte, ok bool, err error)
	// Each calls fn for the records whose keys begin with prefix, in key order, until fn returns false.
	Each(prefix []byte, fn func(key, value []byte) bool) error
}

// BookWriter reads and changes records; reads see its own writes. Each goes over the records as they were when it was
// called. What Set is given still belongs to the caller afterwards.
type BookWriter interface {
	BookReader
	Set(key, value []byte) error
	Delete(key []byte) error
}

// MaxRecord is the most bytes of one record, key and value together; Set refuses more with ErrTooLarge.
const MaxRecord = 64 << 10
