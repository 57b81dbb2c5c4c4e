package auth

import (
	"context"
	"fmt"
	"net/netip"
	"time"

	"fairmeasure/sync/store"
)

// Limits of wrong passwords, all chosen. Nothing locks for ever.
const (
	FreeFails       = 5                // of one account's name; from then on each costs a wait of 1, 2, 4 ... s
	MaxFailWait     = 15 * time.Minute // the longest of these waits
	FailsPerAddress = 20               // in FailsWindow, from one address (IPv6: one /64), for whatever names
	FailsWindow     = 10 * time.Minute
	HashesPerSecond = 5 // passwords compared, for all

	failsFor = 24 * time.Hour // after its last wrong try a count is forgotten
)

// failsRecord counts the wrong tries of one account's name, or from one address.
type failsRecord struct {
	N    int   `json:"n"`
	From int64 `json:"from"` // the first of this count
	Last int64 `json:"last"`
}

// A name is kept hashed, whether it is an account's or not: people type passwords there.
func nameFailsKey(folded string) []byte {
	return []byte(prefixFails + hashHex([]byte("name "+folded)))
}

func addressFailsKey(a netip.Addr) []byte { return []byte(prefixFails + "a" + address(a)) }

// over tells that a count says nothing about now any more: it is old, or far ahead because the clock was set back.
func (r failsRecord) over(now time.Time) bool {
	return now.Sub(fromMillis(r.Last)).Abs() > failsFor
}

// nameWait is how long a name has to wait after its last wrong try. When the clock was set back the next try is free, and
// is counted on from there.
func (r failsRecord) nameWait(now time.Time) time.Duration {
	if r.N < FreeFails || r.over(now) {
		return 0
	}
	wait := MaxFailWait
	if n := r.N - FreeFails; n < 10 { // 2^10 s are more than MaxFailWait
		wait = time.Second << n
	}
	return left(fromMillis(r.Last), wait, now)
}

func (r failsRecord) addressWait(now time.Time) time.Duration {
	if r.N < FailsPerAddress {
		return 0
	}
	return left(fromMillis(r.From), FailsWindow, now)
}

// left is what is left of a wait that began at from; none when now is well before it.
func left(from time.Time, wait time.Duration, now time.Time) time.Duration {
	age := now.Sub(from)
	if age < -Leeway {
		return 0
	}
	return min(wait, max(0, wait-age))
}

func (r failsRecord) nameFail(now time.Time) failsRecord {
	if r.N == 0 || r.over(now) {
		r = failsRecord{From: millis(now)}
	}
	r.N++
	r.Last = millis(now)
	return r
}

func (r failsRecord) addressFail(now time.Time) failsRecord {
	if age := now.Sub(fromMillis(r.From)); r.N == 0 || age >= FailsWindow || age < -Leeway {
		r = failsRecord{From: millis(now)}
	}
	r.N++
	r.Last = millis(now)
	return r
}

// try is one comparison of a password.
type try struct {
	folded string // the account's name; empty for a text that is no name
	addr   netip.Addr
	at     int64 // when the count of its address began
}

// begin counts a try as wrong before it is compared, so that of many at once none goes uncounted; right takes that back.
// While a wait runs nothing is counted. Refusal: *WaitError.
func (d *Door) begin(ctx context.Context, folded string, addr netip.Addr) (try, error) {
	d.writing.Lock()
	defer d.writing.Unlock()
	t := try{folded: folded, addr: addr}
	now := d.now()
	busy := d.busy(now)
	var wait time.Duration
	err := d.book.Write(ctx, func(tx store.BookWriter) error {
		var name, from failsRecord
		if _, err := get(tx, nameFailsKey(folded), &name); err != nil {
			return err
		}
		if _, err := get(tx, addressFailsKey(addr), &from); err != nil {
			return err
		}
		wait = max(name.nameWait(now), from.addressWait(now), busy)
		if wait > 0 {
			return nil
		}
		name, from = name.nameFail(now), from.addressFail(now)
		t.at = from.From
		if err := put(tx, nameFailsKey(folded), name); err != nil {
			return err
		}
		return put(tx, addressFailsKey(addr), from)
	})
	if err != nil {
		return try{}, fmt.Errorf("auth: counting a try: %w", err)
	}
	if wait > 0 {
		return try{}, &WaitError{For: wait}
	}
	d.compared = append(d.compared, now)
	return t, nil
}

// busy is how long the next comparison has to wait for those of the last second. The caller holds writing.
func (d *Door) busy(now time.Time) time.Duration {
	var recent []time.Time
	for _, at := range d.compared {
		if age := now.Sub(at); age < time.Second && age > -Leeway {
			recent = append(recent, at)
		}
	}
	d.compared = recent
	if len(recent) < HashesPerSecond {
		return 0
	}
	return left(recent[len(recent)-HashesPerSecond], time.Second, now)
}

// right takes a try back, and forgets what was counted against its name.
func (d *Door) right(tx store.BookWriter, t try) error {
	if err := d.clearFails(tx, t.folded); err != nil {
		return err
	}
	return t.giveBack(tx, addressFailsKey(t.addr))
}

// unmade takes back a try that was not compared after all.
func (d *Door) unmade(ctx context.Context, t try) error {
	d.writing.Lock()
	defer d.writing.Unlock()
	return d.book.Write(context.WithoutCancel(ctx), func(tx store.BookWriter) error {
		if err := t.giveBack(tx, nameFailsKey(t.folded)); err != nil {
			return err
		}
		return t.giveBack(tx, addressFailsKey(t.addr))
	})
}

func (t try) giveBack(tx store.BookWriter, key []byte) error {
	var rec failsRecord
	known, err := get(tx, key, &rec)
	if err != nil || !known || rec.N == 0 {
		return err
	}
	if string(key) == string(addressFailsKey(t.addr)) && rec.From != t.at {
		return nil // another count began meanwhile
	}
	if rec.N--; rec.N == 0 {
		return tx.Delete(key)
	}
	return put(tx, key, rec)
}

// clearFails forgets the wrong tries of an account's name.
func (d *Door) clearFails(tx store.BookWriter, folded string) error {
	return tx.Delete(nameFailsKey(folded))
}

// oldFails gives the keys of counts that are over.
func oldFails(r store.BookReader, now time.Time) (gone [][]byte, err error) {
	err = each(r, prefixFails, func(k []byte, rec failsRecord) {
		if rec.over(now) {
			gone = append(gone, fullKey(prefixFails, k))
		}
	})
	return gone, err
}
