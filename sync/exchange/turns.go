package exchange

import (
	"context"
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
	free    chan struct{} // holds one thing while nobody has the turn
	waiting int
}

// wait takes the journal's turn and gives what ends it. A context that ends first ends the waiting.
func (t *turns) wait(ctx context.Context, j store.Journal) (done func(), err error) {
	t.mu.Lock()
	if t.busy == nil {
		t.busy = map[store.Journal]*turn{}
	}
	own := t.busy[j]
	if own == nil {
		own = &turn{free: make(chan struct{}, 1)}
		own.free <- struct{}{}
		t.busy[j] = own
	}
	own.waiting++
	t.mu.Unlock()
	leave := func() {
		t.mu.Lock()
		defer t.mu.Unlock()
		if own.waiting--; own.waiting == 0 {
			delete(t.busy, j)
		}
	}
	select {
	case <-own.free:
		return func() {
			own.free <- struct{}{}
			leave()
		}, nil
	case <-ctx.Done():
		leave()
		return nil, ctx.Err()
	}
}

// strays remembers which devices were told that they are out of step: only they have lost anything by a restore that
// they could give back of others. It lives in memory; a device that is forgotten here gives its writes back all the same.
type strays struct {
	mu   sync.Mutex
	told map[stray]int64 // when, Unix milliseconds
}

type stray struct {
	journal store.Journal
	device  string
}

const (
	strayFor   = 24 * 3_600_000 // how long a full comparison may take
	mostStrays = 10_000
)

func (s *strays) note(ask *Ask) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.told == nil || len(s.told) >= mostStrays {
		s.told = map[stray]int64{}
	}
	s.told[stray{ask.Journal, ask.Device}] = ask.Now
}

func (s *strays) has(ask *Ask) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	at, ok := s.told[stray{ask.Journal, ask.Device}]
	return ok && ask.Now-at < strayFor && at-ask.Now < strayFor
}
