package auth

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"net/netip"
	"slices"
	"time"

	"fairmeasure/sync/store"
)

// Keys in the book: one letter for the sort, then the rest. Account and journal ids are 32 hexadecimal digits.
const (
	prefixAccount = "u" // account                 -> accountRecord
	prefixMember  = "m" // journal account         -> memberRecord
	prefixDevice  = "d" // account device          -> deviceRecord
	prefixUsed    = "x" // hash of a refresh token -> usedRecord
	prefixCode    = "p" // hash of a code          -> codeRecord
	prefixTries   = "w" // address                 -> triesRecord
	prefixKey     = "k" // key id                  -> keyRecord
	prefixFails   = "f" // see fails.go            -> failsRecord
	prefixAudit   = "a" // account time random     -> Event
	prefixKnown   = "s" // nothing                 -> knownRecord

	idSize = 32
)

func fullKey(prefix string, rest []byte) []byte { return append([]byte(prefix), rest...) }
func accountKey(a AccountID) []byte             { return []byte(prefixAccount + string(a)) }
func memberKey(j store.Journal, a AccountID) []byte {
	return []byte(prefixMember + string(j) + string(a))
}
func deviceKey(a AccountID, d DeviceID) []byte { return []byte(prefixDevice + string(a) + string(d)) }
func usedKey(hash string) []byte               { return []byte(prefixUsed + hash) }
func codeKey(c DeviceCode) []byte              { return []byte(prefixCode + hashHex([]byte("code "+c))) }
func triesKey(address string) []byte           { return []byte(prefixTries + address) }
func keyKey(kid string) []byte                 { return []byte(prefixKey + kid) }
func knownRecordKey() []byte                   { return []byte(prefixKnown) }

// accountRecord: an account without a password is signed in to by codes alone.
type accountRecord struct {
	Name     string `json:"name"`
	Role     string `json:"role"`
	Created  int64  `json:"created"`
	Password string `json:"password,omitempty"` // a PHC string, see password.go
}

type memberRecord struct {
	Role string `json:"role"`
}

// deviceRecord holds the two refresh tokens that may be shown: cur, and next once it was issued. Both hashed.
type deviceRecord struct {
	Name     string `json:"name"`
	Created  int64  `json:"created"`
	LastSeen int64  `json:"last_seen"`
	Ended    int64  `json:"ended,omitempty"`
	End      End    `json:"end,omitempty"`
	Version  int    `json:"version"`
	Cur      string `json:"cur,omitempty"`
	Next     string `json:"next,omitempty"`
	NextAt   int64  `json:"next_at,omitempty"`
	Renewed  int64  `json:"renewed"`
	Address  string `json:"address,omitempty"` // where it was last seen from
}

type usedRecord struct {
	Account AccountID `json:"account"`
	Device  DeviceID  `json:"device"`
	Until   int64     `json:"until"`
}

// codeRecord: one that was made at the terminal names no device; without an account it admits to the owner's, with one it
// is that account's way back in. The others
// belong to an account and the device that asked, and once a device has shown them, to that too. The claim is hashed.
type codeRecord struct {
	Until   int64     `json:"until"`
	Kind    codeKind  `json:"kind,omitempty"`
	ID      string    `json:"id,omitempty"`
	Account AccountID `json:"account,omitempty"`
	Device  DeviceID  `json:"device,omitempty"`
	Stage   codeStage `json:"stage,omitempty"`
	Number  string    `json:"number,omitempty"`
	Since   int64     `json:"since,omitempty"`
	Name    string    `json:"name,omitempty"`
	Journal string    `json:"journal,omitempty"`
	Claim   string    `json:"claim,omitempty"`
	Address string    `json:"address,omitempty"` // of the device that waits
	By      DeviceID  `json:"by,omitempty"`      // confirmed it
}

func (r codeRecord) printed() bool { return r.Device == "" }

// askedBy tells whether a device of the account asked for this code.
func (r codeRecord) askedBy(a AccountID, kind codeKind) bool {
	return !r.printed() && r.Account == a && r.Kind == kind
}

// sameLot tells whether two codes count against one limit.
func (r codeRecord) sameLot(o codeRecord) bool {
	return r.printed() == o.printed() && r.Account == o.Account && r.Kind == o.Kind
}

// codeKind is what a code is for.
type codeKind string

const (
	codeDevice     codeKind = ""           // admits a device of an account there is
	codeInvitation codeKind = "invitation" // makes an account
)

type triesRecord struct {
	From int64 `json:"from"`
	N    int   `json:"n"`
}

type keyRecord struct {
	Seed      []byte `json:"seed"`
	NotBefore int64  `json:"not_before"`
	RetireAt  int64  `json:"retire_at,omitempty"`
}

// knownRecord: the key by which devices are known again.
type knownRecord struct {
	Key []byte `json:"key"`
}

func recordOfAccount(a Account) accountRecord {
	return accountRecord{Name: a.Name, Role: string(a.Role), Created: millis(a.Created), Password: a.password}
}

func (r accountRecord) account(id AccountID) Account {
	return Account{ID: id, Name: r.Name, Role: Role(r.Role), Created: fromMillis(r.Created), password: r.Password}
}

func recordOfDevice(d Device) deviceRecord {
	return deviceRecord{
		Name: d.Name, Created: millis(d.Created), LastSeen: millis(d.LastSeen),
		Ended: millis(d.Ended), End: d.End, Version: d.version, Address: addrText(d.Address),
	}
}

func (r deviceRecord) device(key []byte) Device {
	addr, _ := netip.ParseAddr(r.Address) // empty when it was not known
	return Device{
		ID: DeviceID(key[idSize:]), Account: AccountID(key[:idSize]), Name: r.Name,
		Created: fromMillis(r.Created), LastSeen: fromMillis(r.LastSeen),
		Ended: fromMillis(r.Ended), End: r.End, Address: addr, version: r.Version,
	}
}

// minKey is how long the rest of a key is at least; a shorter one is damage.
var minKey = map[string]int{prefixAccount: idSize, prefixMember: 2 * idSize, prefixDevice: idSize + 1, prefixKey: 1}

// each decodes the records of one sort and calls fn with the rest of the key.
func each[R any](r store.BookReader, prefix string, fn func(rest []byte, rec R)) error {
	var bad error
	err := r.Each([]byte(prefix), func(k, v []byte) bool {
		rest := k[len(prefix):]
		var rec R
		if len(rest) < minKey[prefix] {
			bad = fmt.Errorf("record %q: key is too short", prefix)
		} else if err := json.Unmarshal(v, &rec); err != nil {
			bad = fmt.Errorf("record %q: %w", prefix, err)
		} else {
			fn(slices.Clone(rest), rec)
		}
		return bad == nil
	})
	if err != nil {
		return err
	}
	return bad
}

func get[R any](r store.BookReader, key []byte, rec *R) (bool, error) {
	v, ok, err := r.Get(key)
	if err != nil || !ok {
		return false, err
	}
	if err := json.Unmarshal(v, rec); err != nil {
		return false, fmt.Errorf("record %q: %w", key[:1], err)
	}
	return true, nil
}

func put(tx store.BookWriter, key []byte, rec any) error {
	v, err := json.Marshal(rec)
	if err != nil {
		return err
	}
	return tx.Set(key, v)
}

func drop(tx store.BookWriter, keys [][]byte) error {
	for _, k := range keys {
		if err := tx.Delete(k); err != nil {
			return err
		}
	}
	return nil
}

// addrText is an address as a record holds it; empty when it is not known.
func addrText(a netip.Addr) string {
	if !a.IsValid() {
		return ""
	}
	return plainAddr(a).String()
}

func millis(t time.Time) int64 {
	if t.IsZero() {
		return 0
	}
	return t.UnixMilli()
}

func fromMillis(ms int64) time.Time {
	if ms == 0 {
		return time.Time{}
	}
	return time.UnixMilli(ms).UTC()
}

// randomBytes never fails: a machine without random bits ends the program.
func randomBytes(n int) []byte {
	b := make([]byte, n)
	rand.Read(b)
	return b
}

func randomHex() string { return hex.EncodeToString(randomBytes(16)) }

func hashHex(b []byte) string {
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:])
}
