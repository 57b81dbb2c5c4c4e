package auth

import (
	"context"
	"fmt"
	"net/netip"
	"time"

	"fairmeasure/sync/store"
)

// Limits of wrong passwords, all chosen. Nothing locks for ever, and nobody's wrong tries make anybody else wait: a device
// that was let in before has a count of its own, and so has each address.
const (
	FreeFails       = 5                // of one device, or for one name from one address; then each costs a wait of 1, 2, 4 ... s
	MaxFailWait     = 15 * time.Minute // the longest of these waits
	FailsPerAddress = 20               // in FailsWindow, from one address (IPv6: one /64), for whatever names
	FailsWindow     = 10 * time.Minute
	StrangersTries  = 50          // for one name, from all addresses together at which none of its devices was; then
	StrangersPace   = time.Minute // one in so long
	HashesPerSecond = 5           // passwords compared: for all strangers together, and for each account's own devices

	failsFor    = 24 * time.Hour // after its last wrong try a count that makes wait is forgotten
	fewFailsFor = time.Hour      // and so is one that does not yet
)

// failsRecord counts the wrong tries of one sort.
type failsRecord struct {
	N    int   `json:"n"`
	From int64 `json:"from"` // the first of this count; of strangers' tries: since when none was taken off
	Last int64 `json:"last"`
}

// The sorts of counts, the first letter of the rest of a key. Where there is none, the key is of an earlier version, which
// counted by the name alone: nobody reads that any more, and Keep clears it away.
const (
	failsOfAddress   = "a" // address                   -> for whatever names
	failsOfName      = "n" // hash of a name, address   -> for that name from there
	failsOfDevice    = "d" // account, device           -> of a device that was let in before
	failsOfStrangers = "s" // hash of a name            -> for that name from wherever

	hashSize = 64 // hexadecimal digits
)

// A name is kept hashed, whether it is an account's or not: people type passwords there.
func hashedName(folded string) string { return hashHex([]byte("name " + folded)) }

func failsKey(sort, rest string) []byte { return []byte(prefixFails + sort + rest) }

// rule is how one sort of count makes wait. With a clock that was set back well before what was counted, the next try is
// free and is counted on from there.
type rule struct {
	wait func(failsRecord, time.Time) time.Duration
	fail func(failsRecord, time.Time) failsRecord
	over func(failsRecord, time.Time) bool // it says nothing any more
}

var rules = map[string]rule{
	failsOfAddress:   {failsRecord.windowWait, failsRecord.windowFail, failsRecord.windowOver},
	failsOfName:      {failsRecord.longerWait, failsRecord.longerFail, failsRecord.longerOver},
	failsOfDevice:    {failsRecord.longerWait, failsRecord.longerFail, failsRecord.longerOver},
	failsOfStrangers: {failsRecord.paceWait, failsRecord.paceFail, failsRecord.paceOver},
}

// longer: some are free, then each wait is twice the one before.

func (r failsRecord) longerOver(now time.Time) bool {
	life := failsFor
	if r.N < FreeFails {
		life = fewFailsFor
	}
	return now.Sub(fromMillis(r.Last)).Abs() > life
}

func (r failsRecord) longerWait(now time.Time) time.Duration {
	if r.N < FreeFails || r.longerOver(now) {
		return 0
	}
	wait := MaxFailWait
	if n := r.N - FreeFails; n < 10 { // 2^10 s are more than MaxFailWait
		wait = time.Second << n
	}
	return left(fromMillis(r.Last), wait, now)
}

func (r failsRecord) longerFail(now time.Time) failsRecord {
	if r.N == 0 || r.longerOver(now) {
		r = failsRecord{From: millis(now)}
	}
	r.N++
	r.Last = millis(now)
	return r
}

// window: so many in a stretch of time.

func (r failsRecord) windowOver(now time.Time) bool {
	age := now.Sub(fromMillis(r.From))
	return age >= FailsWindow || age < -Leeway
}

func (r failsRecord) windowWait(now time.Time) time.Duration {
	if r.N < FailsPerAddress {
		return 0
	}
	return left(fromMillis(r.From), FailsWindow, now)
}

func (r failsRecord) windowFail(now time.Time) failsRecord {
	if r.N == 0 || r.windowOver(now) {
		r = failsRecord{From: millis(now)}
	}
	r.N++
	r.Last = millis(now)
	return r
}

// pace: so many at once, and one is taken off in each StrangersPace.

func (r failsRecord) paced(now time.Time) failsRecord {
	age := now.Sub(fromMillis(r.From))
	gone := int(max(0, age) / StrangersPace)
	if r.N == 0 || gone >= r.N || age < -Leeway {
		return failsRecord{From: millis(now)}
	}
	r.N -= gone
	r.From += int64(gone) * StrangersPace.Milliseconds()
	return r
}

func (r failsRecord) paceOver(now time.Time) bool { return r.paced(now).N == 0 }

func (r failsRecord) paceWait(now time.Time) time.Duration {
	if r = r.paced(now); r.N < StrangersTries {
		return 0
	}
	return left(fromMillis(r.From), StrangersPace, now)
}

func (r failsRecord) paceFail(now time.Time) failsRecord {
	r = r.paced(now)
	r.N++
	r.Last = millis(now)
	return r
}

// left is what is left of a wait that began at from; none when now is well before it.
func left(from time.Time, wait time.Duration, now time.Time) time.Duration {
	age := now.Sub(from)
	if age < -Leeway {
		return 0
	}
	return min(wait, max(0, wait-age))
}

// try is one comparison of a password, and what it is counted in.
type try struct {
	own    count     // forgotten when the password was right
	others []count   // only this try is taken back then
	pace   AccountID // whose comparisons of a second it is one of; empty for strangers
}

type count struct {
	sort string
	key  []byte
	at   int64 // when it began, as this try found it
}

func countOf(sort, rest string) count { return count{sort: sort, key: failsKey(sort, rest)} }

// byDevice is a try of a device that was let in before, signed in or known again at the sign-in. Strangers cannot raise
// its count, whatever name or address they use.
func byDevice(a AccountID, id DeviceID) try {
	return try{own: countOf(failsOfDevice, string(a)+string(id)), pace: a}
}

// byStranger is a try of anybody else. At an address where a device of the account was, only those who come from there
// count.
func (d *Door) byStranger(folded string, addr netip.Addr) try {
	t := try{
		own:    countOf(failsOfName, hashedName(folded)+Network(addr)),
		others: []count{countOf(failsOfAddress, Network(addr))},
	}
	if account, there := d.named(folded); there && d.wasAt(account.ID, addr) {
		t.pace = account.ID
		return t
	}
	t.others = append(t.others, countOf(failsOfStrangers, hashedName(folded)))
	return t
}

// begin counts a try as wrong before it is compared, so that of many at once none goes uncounted; right takes that back.
// While a wait runs nothing is counted. Refusal: *WaitError.
func (d *Door) begin(ctx context.Context, t try) (try, error) {
	d.writing.Lock()
	defer d.writing.Unlock()
	now := d.now()
	busy := d.busy(t.pace, now)
	var wait time.Duration
	err := d.book.Write(ctx, func(tx store.BookWriter) error {
		wait = busy
		counts := t.counts()
		recs := make([]failsRecord, len(counts))
		for i, c := range counts {
			if _, err := get(tx, c.key, &recs[i]); err != nil {
				return err
			}
			wait = max(wait, rules[c.sort].wait(recs[i], now))
		}
		if wait > 0 {
			return nil
		}
		for i, c := range counts {
			rec := rules[c.sort].fail(recs[i], now)
			c.at = rec.From
			if err := put(tx, c.key, rec); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return try{}, fmt.Errorf("auth: counting a try: %w", err)
	}
	if wait > 0 {
		return try{}, &WaitError{For: wait}
	}
	d.compared[t.pace] = append(d.compared[t.pace], now)
	return t, nil
}

// counts gives all of a try's, to be read or changed.
func (t *try) counts() []*count {
	all := []*count{&t.own}
	for i := range t.others {
		all = append(all, &t.others[i])
	}
	return all
}

// busy is how long the next comparison of one pace has to wait for those of the last second. Strangers share one, each
// account's devices have one, so that nobody's comparisons keep others from theirs. The caller holds writing.
func (d *Door) busy(pace AccountID, now time.Time) time.Duration {
	for a, times := range d.compared {
		var recent []time.Time
		for _, at := range times {
			if age := now.Sub(at); age < time.Second && age > -Leeway {
				recent = append(recent, at)
			}
		}
		if d.compared[a] = recent; len(recent) == 0 {
			delete(d.compared, a)
		}
	}
	recent := d.compared[pace]
	if len(recent) < HashesPerSecond {
		return 0
	}
	return left(recent[len(recent)-HashesPerSecond], time.Second, now)
}

// right takes a try back, and forgets the wrong ones before it of whoever made it.
func (t try) right(tx store.BookWriter) error {
	if err := tx.Delete(t.own.key); err != nil {
		return err
	}
	for _, c := range t.others {
		if err := c.giveBack(tx); err != nil {
			return err
		}
	}
	return nil
}

// wrong lets the wait for the next try begin when this one was compared.
func (t try) wrong(tx store.BookWriter, now time.Time) error {
	var rec failsRecord
	known, err := get(tx, t.own.key, &rec)
	if err != nil || !known {
		return err
	}
	rec.Last = millis(now)
	return put(tx, t.own.key, rec)
}

// unmade takes back a try that was not compared after all.
func (d *Door) unmade(ctx context.Context, t try) error {
	d.writing.Lock()
	defer d.writing.Unlock()
	return d.book.Write(context.WithoutCancel(ctx), func(tx store.BookWriter) error {
		for _, c := range t.counts() {
			if err := c.giveBack(tx); err != nil {
				return err
			}
		}
		return nil
	})
}

func (c count) giveBack(tx store.BookWriter) error {
	var rec failsRecord
	known, err := get(tx, c.key, &rec)
	if err != nil || !known || rec.N == 0 {
		return err
	}
	if c.sort != failsOfStrangers && rec.From != c.at {
		return nil // another count began meanwhile
	}
	if rec.N--; rec.N == 0 {
		return tx.Delete(c.key)
	}
	return put(tx, c.key, rec)
}

// clearFails forgets every wrong try for an account's name, and those of its devices.
func (d *Door) clearFails(tx store.BookWriter, a Account) error {
	name := hashedName(foldName(a.Name))
	for _, c := range []count{
		countOf(failsOfName, name), countOf(failsOfStrangers, name), countOf(failsOfDevice, string(a.ID)),
	} {
		var gone [][]byte
		err := each(tx, string(c.key), func(rest []byte, _ failsRecord) { gone = append(gone, fullKey(string(c.key), rest)) })
		if err != nil {
			return err
		}
		if err := drop(tx, gone); err != nil {
			return err
		}
	}
	return nil
}

// oldFails gives the keys of counts that say nothing any more.
func oldFails(r store.BookReader, now time.Time) (gone [][]byte, err error) {
	err = each(r, prefixFails, func(k []byte, rec failsRecord) {
		rule, ok := rules[string(k[:min(1, len(k))])]
		if !ok || len(k) == hashSize || rule.over(rec, now) {
			gone = append(gone, fullKey(prefixFails, k))
		}
	})
	return gone, err
}
