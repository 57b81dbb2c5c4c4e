package badgerstore

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/dgraph-io/badger/v4"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/store"
)

// get hands a value to read, whose bytes are the database's own, and tells whether the key is there.
func get(txn *badger.Txn, key []byte, read func(value []byte) error) (ok bool, err error) {
	item, err := txn.Get(key)
	if errors.Is(err, badger.ErrKeyNotFound) {
		return false, nil
	}
	if err == nil {
		err = item.Value(read)
	}
	if err != nil {
		return false, fmt.Errorf("badgerstore: reading %s: %w", whatIs(key), err)
	}
	return true, nil
}

// getHead reads a journal's head; the zero head where there is none.
func getHead(txn *badger.Txn, k keys) (h headValue, err error) {
	_, err = get(txn, k.head(), func(value []byte) (err error) {
		h, err = decodeHead(value)
		return err
	})
	return h, err
}

// getNumber reads a count; 0 where there is none yet.
func getNumber(txn *badger.Txn, key []byte) (n uint64, err error) {
	_, err = get(txn, key, func(value []byte) error {
		d := decoder{rest: string(value)}
		if n = d.uvarint(); !d.done() {
			return errEncoding
		}
		return nil
	})
	return n, err
}

// reader reads a journal in one read-only transaction.
type reader struct {
	s       *Store
	txn     *badger.Txn
	ctx     context.Context // ends a long page early
	journal store.Journal
	keys    keys
}

// damaged says that something of the journal is missing, and keeps the journal from being shown again.
func (r *reader) damaged(what string) error {
	r.s.mu.Lock()
	if r.s.broken[r.journal] == "" {
		r.s.broken[r.journal] = what
	}
	r.s.mu.Unlock()
	r.s.fail(fmt.Sprintf("journal %s: %s", r.journal, what))
	return fmt.Errorf("badgerstore: journal %s: %s: %w", r.journal, what, store.ErrDamaged)
}

func (r *reader) has(key []byte) (ok bool, err error) {
	defer r.s.recovered(&err)
	return get(r.txn, key, func([]byte) error { return nil })
}

func (r *reader) Head() (m store.Mark, size store.Size, err error) {
	defer r.s.recovered(&err)
	if err := r.ctx.Err(); err != nil {
		return store.Mark{}, store.Size{}, err
	}
	h, err := getHead(r.txn, r.keys)
	size = h.size
	size.Runs = int(h.held.runs)
	return h.mark(), size, err
}

func (r *reader) Known(m store.Mark) (known bool, err error) {
	defer r.s.recovered(&err)
	if err := r.ctx.Err(); err != nil {
		return false, err
	}
	if m.No == 0 {
		return m.Tag == "", nil
	}
	tag, ok := tagBytes(m.Tag)
	if !ok {
		return false, nil
	}
	_, err = get(r.txn, r.keys.tag(m.No), func(value []byte) error {
		known = bytes.Equal(value, tag[:])
		return nil
	})
	return known, err
}

func (r *reader) entity(id replica.ID) (e store.Entity, ok bool, err error) {
	ok, err = get(r.txn, r.keys.entity(id), func(value []byte) (err error) {
		e, err = decodeEntity(id, value)
		return err
	})
	return e, ok, err
}

func (r *reader) seen(run replica.Run) (at store.SeenAt, ok bool, err error) {
	ok, err = get(r.txn, r.keys.run(run), func(value []byte) (err error) {
		at, err = decodeSeen(value)
		return err
	})
	return at, ok, err
}

func (r *reader) Entities(ids []replica.ID) (found map[replica.ID]store.Entity, err error) {
	defer r.s.recovered(&err)
	found = make(map[replica.ID]store.Entity, len(ids))
	for _, id := range ids {
		if err := r.ctx.Err(); err != nil {
			return nil, err
		}
		e, ok, err := r.entity(id)
		if err != nil {
			return nil, err
		}
		if ok {
			found[id] = e
		}
	}
	return found, nil
}

func (r *reader) Seen(runs []replica.Run) (found map[replica.Run]store.SeenAt, err error) {
	defer r.s.recovered(&err)
	found = make(map[replica.Run]store.SeenAt, len(runs))
	for _, run := range runs {
		if err := r.ctx.Err(); err != nil {
			return nil, err
		}
		at, ok, err := r.seen(run)
		if err != nil {
			return nil, err
		}
		if ok {
			found[run] = at
		}
	}
	return found, nil
}

func (r *reader) After(cursor store.Mark, max store.Limits) (page store.Page, err error) {
	defer r.s.recovered(&err)
	if err := r.ctx.Err(); err != nil {
		return store.Page{}, err
	}
	h, err := getHead(r.txn, r.keys)
	if err != nil {
		return store.Page{}, err
	}
	page = store.Page{Next: h.mark(), Seen: map[replica.Run]store.SeenAt{}}
	if cursor.No >= h.no && cursor.ID == "" {
		return page, nil
	}
	if err := r.pageEntities(&page, cursor, max); err != nil {
		return store.Page{}, err
	}
	if err := r.pageSeen(&page, cursor, max.Runs); err != nil {
		return store.Page{}, err
	}
	return page, nil
}

func (r *reader) pageEntities(page *store.Page, cursor store.Mark, max store.Limits) error {
	fromStart := cursor.No == 0
	// With an id the cursor stands inside its commit; without, its commit is behind it.
	from := append(r.keys.change(cursor.No, cursor.ID), 0)
	if cursor.ID == "" {
		if cursor.No == math.MaxUint64 {
			return nil
		}
		from = r.keys.changes(cursor.No + 1)
	}
	it := r.txn.NewIterator(badger.IteratorOptions{Prefix: r.keys.sort(sortChange)})
	defer it.Close()
	var last uint64
	size := 0
	for it.Seek(from); it.Valid(); it.Next() {
		if err := r.ctx.Err(); err != nil {
			return err
		}
		commit, name, ok := r.keys.place(it.Item().Key())
		if !ok {
			return r.damaged("a key of its index cannot be read")
		}
		e, ok, err := r.entity(replica.ID(name))
		if err != nil {
			return err
		}
		if !ok || e.Commit != commit {
			return r.damaged("its index names an entity that is not there")
		}
		if fromStart && e.Erased() {
			continue
		}
		n := e.Bytes()
		full := max.Entities > 0 && len(page.Entities) >= max.Entities || max.Bytes > 0 && size+n > max.Bytes
		if full && len(page.Entities) > 0 {
			err := r.endAfter(page, last)
			if commit == last {
				page.Next.ID = page.Entities[len(page.Entities)-1].ID
			}
			return err
		}
		page.Entities = append(page.Entities, e)
		size += n
		last = commit
	}
	return nil
}

// endAfter says that the page ends after a commit and that there is more.
func (r *reader) endAfter(page *store.Page, commit uint64) error {
	page.More, page.Next = true, store.Mark{No: commit}
	ok, err := get(r.txn, r.keys.tag(commit), func(tag []byte) error {
		page.Next.Tag = tagText(tag)
		return nil
	})
	if err == nil && !ok {
		err = r.damaged("a commit has no tag")
	}
	return err
}

// pageSeen adds the runs that moved after the cursor and not after the page's Next. A commit's runs come after its
// entities: a mark inside a commit has them still before it. When there are many the page ends earlier.
func (r *reader) pageSeen(page *store.Page, cursor store.Mark, most int) error {
	from := r.keys.moves(cursor.No)
	if cursor.ID == "" {
		if cursor.No == math.MaxUint64 {
			return nil
		}
		from = r.keys.moves(cursor.No + 1)
	}
	it := r.txn.NewIterator(badger.IteratorOptions{Prefix: r.keys.sort(sortMove)})
	defer it.Close()
	var last uint64
	for it.Seek(from); it.Valid(); it.Next() {
		if err := r.ctx.Err(); err != nil {
			return err
		}
		commit, name, ok := r.keys.place(it.Item().Key())
		if !ok {
			return r.damaged("a key of its run index cannot be read")
		}
		if page.More && (commit > page.Next.No || commit == page.Next.No && page.Next.ID != "") {
			return nil
		}
		if most > 0 && len(page.Seen) >= most && commit > last {
			page.Entities = slices.DeleteFunc(page.Entities, func(e store.Entity) bool { return e.Commit > last })
			return r.endAfter(page, last)
		}
		last = commit
		at, ok, err := r.seen(replica.Run(name))
		if err != nil {
			return err
		}
		if !ok || at.Commit != commit {
			return r.damaged("its index names a run that is not there")
		}
		page.Seen[replica.Run(name)] = at
	}
	return nil
}
