package server

import (
	"sync"
	"time"
)

// rate bounds requests by key: each key may save up an hour's worth. It lives in memory; what must survive a restart is
// counted at the door.
type rate struct {
	perHour int
	now     func() time.Time

	mu      sync.Mutex
	buckets map[string]bucket
	sweepAt int // when there are so many buckets, full ones are forgotten
}

type bucket struct {
	left float64
	at   time.Time
}

const firstSweep = 4096

func newRate(perHour int, now func() time.Time) *rate {
	return &rate{perHour: perHour, now: now, buckets: map[string]bucket{}, sweepAt: firstSweep}
}

// take uses one request of a key's, or tells how long to wait for the next.
func (r *rate) take(key string) time.Duration {
	if r.perHour <= 0 {
		return 0
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	now := r.now()
	b, ok := r.buckets[key]
	if !ok {
		b = bucket{left: float64(r.perHour), at: now}
	}
	b = r.filled(b, now)
	if b.left < 1 {
		r.buckets[key] = b
		return time.Duration((1 - b.left) / float64(r.perHour) * float64(time.Hour))
	}
	b.left--
	r.buckets[key] = b
	if len(r.buckets) >= r.sweepAt {
		for k, b := range r.buckets {
			if r.filled(b, now).left >= float64(r.perHour) {
				delete(r.buckets, k)
			}
		}
		r.sweepAt = max(firstSweep, 2*len(r.buckets))
	}
	return 0
}

func (r *rate) filled(b bucket, now time.Time) bucket {
	if gone := now.Sub(b.at); gone > 0 {
		b.left = min(float64(r.perHour), b.left+gone.Hours()*float64(r.perHour))
	}
	b.at = now
	return b
}
