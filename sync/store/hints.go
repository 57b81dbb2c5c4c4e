package store

import (
	"context"
	"sync"
)

// Hints tells those who watch a journal that it may have changed, within one process. A watcher that is still busy with
// the last hint gets one more, not a queue of them; Fire never waits.
type Hints struct {
	mu       sync.Mutex
	watchers map[Journal]map[chan struct{}]struct{}
	closed   chan struct{}
}

// NewHints makes an empty set of watchers.
func NewHints() *Hints {
	return &Hints{watchers: map[Journal]map[chan struct{}]struct{}{}, closed: make(chan struct{})}
}

// Watch calls fn after each Fire of j until ctx ends or the hints are closed, as Store.Watch promises.
func (h *Hints) Watch(ctx context.Context, j Journal, fn func()) error {
	hint := make(chan struct{}, 1)
	h.mu.Lock()
	if h.watchers[j] == nil {
		h.watchers[j] = map[chan struct{}]struct{}{}
	}
	h.watchers[j][hint] = struct{}{}
	h.mu.Unlock()
	defer func() {
		h.mu.Lock()
		defer h.mu.Unlock()
		delete(h.watchers[j], hint)
		if len(h.watchers[j]) == 0 {
			delete(h.watchers, j)
		}
	}()
	for {
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-h.closed:
			return ErrClosed
		case <-hint:
			fn()
		}
	}
}

// Fire hints at j.
func (h *Hints) Fire(j Journal) {
	h.mu.Lock()
	defer h.mu.Unlock()
	for hint := range h.watchers[j] {
		select {
		case hint <- struct{}{}:
		default:
		}
	}
}

// Close ends every Watch. It may be called once.
func (h *Hints) Close() { close(h.closed) }
