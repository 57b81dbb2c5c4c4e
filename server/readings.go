package server

import (
	"cmp"
	"context"
	"errors"
	"slices"
	"sync"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/schema"
	"fairmeasure/sync/store"
)

// The bounds of what is kept of journals in memory (chosen). The bytes are the store's logical ones (store.Size); the heap
// holds about three times as much, measured by BenchmarkWeek.
const (
	mostReadings     = 16
	mostReadingBytes = 24 << 20
)

// readPage is how much of a journal is read at a time.
var readPage = store.Limits{Entities: 2000, Bytes: 1 << 20, Runs: 5000}

// readings keeps the journals that were asked about lately as they were last read, each with the mark it was read at. An
// unchanged journal is not read again, and of a changed one only what changed.
type readings struct {
	store store.Store

	mu    sync.Mutex
	kept  map[store.Journal]*reading
	turn  uint64
	bytes int64 // of all kept

	reading chan struct{} // one journal is read at a time, so that memory is bounded by what is kept and one more
}

// reading is one journal. Whoever took its place in busy may use it.
type reading struct {
	busy   chan struct{}
	mark   store.Mark
	view   *storedView // nil before it was first read
	reader *schema.Reader

	used  uint64 // of readings, under its lock, as bytes
	bytes int64
}

func newReadings(st store.Store) *readings {
	return &readings{store: st, kept: map[store.Journal]*reading{}, reading: make(chan struct{}, 1)}
}

// ask reads the journal as far as it has to and asks one thing of it.
func (k *readings) ask(ctx context.Context, j store.Journal, names func(string) string, ask func(*schema.Reader, schema.View) ([]byte, error)) ([]byte, error) {
	r := k.take(j)
	if err := enter(ctx, r.busy); err != nil {
		return nil, err
	}
	defer func() { <-r.busy }()
	size, err := k.renew(ctx, j, r)
	if err != nil {
		if errors.Is(err, store.ErrErased) {
			k.forget(j)
		}
		return nil, err
	}
	k.weigh(j, r, size)
	return ask(r.reader, namedView{r.view, names})
}

// enter takes a place or gives up with the context.
func enter(ctx context.Context, place chan struct{}) error {
	select {
	case place <- struct{}{}:
		return nil
	case <-ctx.Done():
		return errReading
	}
}

// take gives the reading of a journal, an empty one if there is none.
func (k *readings) take(j store.Journal) *reading {
	k.mu.Lock()
	defer k.mu.Unlock()
	r := k.kept[j]
	if r == nil {
		r = &reading{busy: make(chan struct{}, 1), reader: schema.NewReader()}
		k.kept[j] = r
	}
	k.turn++
	r.used = k.turn
	return r
}

// weigh notes how much a reading holds, and lets go of those that were not used for longest while there is too much.
func (k *readings) weigh(j store.Journal, r *reading, bytes int64) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.kept[j] != r {
		return // let go of while it was used
	}
	k.bytes += bytes - r.bytes
	r.bytes = bytes
	for len(k.kept) > mostReadings || k.bytes > mostReadingBytes && len(k.kept) > 0 {
		var oldest store.Journal
		for other, o := range k.kept {
			if oldest == "" || o.used < k.kept[oldest].used {
				oldest = other
			}
		}
		k.drop(oldest)
	}
}

// forget lets go of a journal.
func (k *readings) forget(j store.Journal) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.kept[j] != nil {
		k.drop(j)
	}
}

func (k *readings) drop(j store.Journal) {
	k.bytes -= k.kept[j].bytes
	delete(k.kept, j)
}

// renew brings a reading up to the journal's head. It changes nothing of the reading before all is read.
func (k *readings) renew(ctx context.Context, j store.Journal, r *reading) (size int64, err error) {
	err = k.store.View(ctx, j, func(from store.Reader) error {
		head, held, err := from.Head()
		if err != nil {
			return err
		}
		size = held.Bytes
		if r.view != nil && head == r.mark {
			return nil
		}
		if err := enter(ctx, k.reading); err != nil {
			return err
		}
		defer func() { <-k.reading }()
		view, cursor := r.view, r.mark
		if view != nil {
			// After a restored backup the mark may be of commits that never were.
			known, err := from.Known(cursor)
			if err != nil {
				return err
			}
			if !known {
				view = nil
			}
		}
		if view == nil {
			view, cursor = newStoredView(), store.Mark{}
		}
		var pages []store.Page
		for more := true; more; {
			if ctx.Err() != nil {
				return errReading
			}
			page, err := from.After(cursor, readPage)
			if err != nil {
				return err
			}
			pages = append(pages, page)
			cursor, more = page.Next, page.More
		}
		for _, p := range pages {
			view.adopt(p)
		}
		view.index()
		r.view, r.mark = view, head
		return nil
	})
	return size, err
}

// storedView is a journal as the store has it.
type storedView struct {
	entities map[replica.ID]*replica.Entity
	kinds    map[string][]*replica.Entity // in id order
	devices  map[replica.Run]string       // which first used a run
}

func newStoredView() *storedView {
	return &storedView{map[replica.ID]*replica.Entity{}, map[string][]*replica.Entity{}, map[replica.Run]string{}}
}

// adopt takes in a page; index has to follow.
func (v *storedView) adopt(p store.Page) {
	for i := range p.Entities {
		if e := &p.Entities[i]; e.Erased() {
			delete(v.entities, e.ID)
		} else {
			v.entities[e.ID] = &replica.Entity{ID: e.ID, Kind: e.Kind, Fields: e.Fields}
		}
	}
	for run, at := range p.Seen {
		v.devices[run] = at.Device
	}
}

func (v *storedView) index() {
	clear(v.kinds)
	for _, e := range v.entities {
		v.kinds[e.Kind] = append(v.kinds[e.Kind], e)
	}
	for _, all := range v.kinds {
		slices.SortFunc(all, func(a, b *replica.Entity) int { return cmp.Compare(a.ID, b.ID) })
	}
}

// namedView is a stored view for one caller, who knows devices by their names.
type namedView struct {
	*storedView
	names func(id string) string
}

var _ schema.View = namedView{}

// Get implements schema.View.
func (v namedView) Get(id replica.ID) (*replica.Entity, bool) {
	e, ok := v.entities[id]
	return e, ok
}

// Each implements schema.View.
func (v namedView) Each(kind string, fn func(*replica.Entity) bool) {
	for _, e := range v.kinds[kind] {
		if !fn(e) {
			return
		}
	}
}

// DeviceOf implements schema.View.
func (v namedView) DeviceOf(r replica.Run) string {
	id := v.devices[r]
	if id == "" {
		return ""
	}
	return cmp.Or(v.names(id), id)
}
