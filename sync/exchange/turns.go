package exchange

import (
	"sync"

	"fairmeasure/sync/store"
)

// turns lets the rounds that change one journal take turns. Without it they would still be right, but each would compute
// what another's commit makes void.
type turns struct {
	mu   sync.Mutex
	busy map[store.Journal]*turn
}

type turn struct {
	mu      sync.Mutex
	waiting int
}

// wait takes the journal's turn and gives what ends it.
func (t *turns) wait(j store.Journal) (done func()) {
	t.mu.Lock()
	if t.busy == nil {
		t.busy = map[store.Journal]*turn{}
	}
	own := t.busy[j]
	if own == nil {
		own = &turn{}
		t.busy[j] = own
	}
	own.waiting++
	t.mu.Unlock()
	own.mu.Lock()
	return func() {
		own.mu.Unlock()
		t.mu.Lock()
		defer t.mu.Unlock()
		if own.waiting--; own.waiting == 0 {
			delete(t.busy, j)
		}
	}
}
