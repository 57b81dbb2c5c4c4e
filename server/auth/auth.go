// Package auth says who may come in: it admits devices by a one-time code, hands out short access tokens and confirmed
// refresh tokens, and tells which journal belongs to whom.
//
// It promises that a code lets in exactly one device, that a revoked device is out at once, that a lost reply never signs
// a device out, and that a stolen refresh token that is shown again shuts its device. Every secret is stored hashed. What
// must survive a restart (codes, wrong tries, devices, keys) is in the Book; the table of accounts, devices and journals is
// also in memory, because every request asks it.
//
// It knows nothing of HTTP and cookies, logs nothing, and takes its clock from the caller. A device comes in by its
// person's name and password, by a code from the keeper's terminal, by one that a signed-in device asked for and confirms,
// or by an invitation, which makes an account.
package auth

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"net/netip"
	"slices"
	"sync"
	"time"

	"github.com/golang-jwt/jwt/v5"

	"fairmeasure/sync/store"
)

// The refusals of the door. Anything else is a fault.
var (
	// ErrCodeUnreadable: not twelve characters of the code alphabet. It is not counted as a wrong try.
	ErrCodeUnreadable = errors.New("auth: a device code is 12 letters and digits")
	// ErrCodeUnknown: never made, mistyped, or used already.
	ErrCodeUnknown = errors.New("auth: unknown device code")
	// ErrCodeExpired: made, not used, too old.
	ErrCodeExpired = errors.New("auth: expired device code")
	// ErrTooManyCodes: MaxCodes unused codes are alive.
	ErrTooManyCodes = errors.New("auth: too many unused device codes")
	// ErrName: a device name longer than MaxName characters, or with control characters.
	ErrName = errors.New("auth: a device name is up to 60 printable characters")
	// ErrExpired: no access token, or one that does not hold any more; renewing may help.
	ErrExpired = errors.New("auth: access token expired or not valid")
	// ErrSignedOut: this refresh token leads nowhere; the device has to be admitted again.
	ErrSignedOut = errors.New("auth: signed out")
	// ErrParallel: another renewal of this device was answered less than ParallelRenewal ago; its token is on the way.
	ErrParallel = errors.New("auth: renewed a moment ago")
	// ErrRevoked: the device was removed.
	ErrRevoked = errors.New("auth: device revoked")
	// ErrReused is ErrRevoked at the moment it happens: a superseded refresh token was shown, so two parties hold it.
	ErrReused = fmt.Errorf("%w: a superseded refresh token was shown", ErrRevoked)
	// ErrNoJournal: not there, or not yours; the two look the same.
	ErrNoJournal = errors.New("auth: no such journal")
	// ErrNoDevice: not there, or not yours.
	ErrNoDevice = errors.New("auth: no such device")
)

// WaitError is a refusal for now: too many wrong codes or passwords.
type WaitError struct{ For time.Duration }

func (e *WaitError) Error() string {
	return fmt.Sprintf("auth: too many wrong tries, wait %s", e.For.Round(time.Second))
}

// Limits, all chosen unless a source is named.
const (
	MaxCodes        = 3                   // unused codes alive at once: of the terminal's, and of each account's
	MaxName         = 60                  // characters of a device's name
	TriesPerAddress = 10                  // wrong codes an hour from one address (IPv6: one /64)
	AccessLife      = 10 * time.Minute    // an access token
	RefreshIdle     = 90 * 24 * time.Hour // a device that does not renew for so long is signed out
	ParallelRenewal = 10 * time.Second    // within it, a second renewal with the same token is a parallel tab
	KeyLife         = 30 * 24 * time.Hour // a signing key
	KeyLinger       = time.Hour           // a superseded key still verifies
	Leeway          = 30 * time.Second    // between two clocks of one server's past and present

	triesFor     = time.Hour
	maxTokenSize = 2 << 10
	codeKeptFor  = 24 * time.Hour // an expired code is remembered so long, to say "expired" instead of "unknown"
	usedKeptFor  = RefreshIdle
)

// AccountID names an account: 32 lower-case hexadecimal digits of 128 random bits.
type AccountID string

// DeviceID names a device: 8 characters, unique on this server. It is what other devices see beside a clash.
type DeviceID string

// Account is a person of this server.
type Account struct {
	ID      AccountID
	Name    string
	Role    Role
	Created time.Time

	password string // PHC string; empty while it has none
}

// HasPassword tells whether the account can be signed in to by name and password.
func (a Account) HasPassword() bool { return a.password != "" }

// Role is what an account may do; it is looked up in the account, never carried in a token.
type Role string

// The roles: an owner invites members; each has a journal that nobody else reads.
const (
	RoleOwner  Role = "owner"
	RoleMember Role = "member"
)

// Device is one admitted browser.
type Device struct {
	ID       DeviceID
	Account  AccountID
	Name     string
	Created  time.Time
	LastSeen time.Time
	Address  netip.Addr // it was last seen from; the zero Addr when that is unknown
	Ended    time.Time  // signed out or revoked; zero while it may come in
	End      End
	version  int // of its sign-in: an access token carries it
}

// End is why a device may not come in any more.
type End string

// The ends of a device.
const (
	EndNone      End = ""
	EndSignedOut End = "signed_out"
	EndRevoked   End = "revoked"
	EndReused    End = "reused" // a superseded refresh token was shown
)

func (e End) revoked() bool { return e == EndRevoked || e == EndReused }

// Config is what a Door needs.
type Config struct {
	// Book keeps accounts, devices, codes and keys.
	Book store.Book
	// Now is the server's clock.
	Now func() time.Time
	// Issuer is written into tokens and demanded of them.
	Issuer string
	// Owner is the name of the account that the first admission makes.
	Owner string
}

// Door admits devices and knows them again. It is safe for concurrent use.
type Door struct {
	book   store.Book
	now    func() time.Time
	issuer string
	owner  string

	parser    *jwt.Parser
	validator *jwt.Validator

	hashes chan struct{} // as many as may run at once

	knownKey []byte // see known.go

	writing  sync.Mutex                // one change at a time, from its transaction to its entry in the table; guards what follows
	compared map[AccountID][]time.Time // passwords of the last second, oldest first, by pace
	setup    setupKey

	mu       sync.RWMutex // guards what follows
	accounts map[AccountID]Account
	devices  map[DeviceID]Device
	owners   map[store.Journal]AccountID
	keys     []key // newest first
	seen     map[DeviceID]time.Time
	verified map[string]verified
	latest   time.Time // the newest time that was ever written down here
}

// Open reads the book into memory and makes the first signing key when there is none.
func Open(ctx context.Context, cfg Config) (*Door, error) {
	if cfg.Book == nil || cfg.Now == nil {
		return nil, errors.New("auth: a door needs a book and a clock")
	}
	d := &Door{
		book: cfg.Book, now: cfg.Now,
		issuer:   cmp.Or(cfg.Issuer, "fairmeasure"),
		owner:    cmp.Or(cfg.Owner, "Owner"),
		hashes:   make(chan struct{}, hashesAtOnce),
		compared: map[AccountID][]time.Time{},
		accounts: map[AccountID]Account{},
		devices:  map[DeviceID]Device{},
		owners:   map[store.Journal]AccountID{},
		seen:     map[DeviceID]time.Time{},
		verified: map[string]verified{},
	}
	rules := parserOptions(d.issuer, d.now)
	d.parser, d.validator = jwt.NewParser(rules...), jwt.NewValidator(rules...)
	if err := d.load(ctx); err != nil {
		return nil, fmt.Errorf("auth: reading the book: %w", err)
	}
	known, err := openKnownKey(ctx, d.book)
	if err != nil {
		return nil, fmt.Errorf("auth: opening the key of the known-device tokens: %w", err)
	}
	d.knownKey = known
	if len(d.keys) == 0 {
		if err := d.RotateKeys(ctx); err != nil {
			return nil, err
		}
	}
	return d, nil
}

func (d *Door) load(ctx context.Context) error {
	return d.book.Read(ctx, func(r store.BookReader) error {
		if err := each(r, prefixAccount, func(k []byte, rec accountRecord) {
			a := rec.account(AccountID(k))
			d.accounts[a.ID] = a
		}); err != nil {
			return err
		}
		if err := each(r, prefixDevice, func(k []byte, rec deviceRecord) {
			dev := rec.device(k)
			d.devices[dev.ID] = dev
			d.noteTime(dev.Created)
			d.noteTime(dev.LastSeen)
		}); err != nil {
			return err
		}
		if err := each(r, prefixMember, func(k []byte, _ memberRecord) {
			d.owners[store.Journal(k[:idSize])] = AccountID(k[idSize:])
		}); err != nil {
			return err
		}
		var bad error
		err := each(r, prefixKey, func(k []byte, rec keyRecord) {
			read, err := rec.key(string(k))
			if err != nil {
				bad = err
				return
			}
			d.keys = append(d.keys, read)
		})
		slices.SortFunc(d.keys, newestFirst)
		return cmp.Or(err, bad)
	})
}

// Owner gives the account of this server's owner and that account's journal, and makes both when they are missing. offered
// is taken as the journal's id if the account has none and nobody else has it; empty means a fresh one. ErrNameTaken if
// the owner would have to be made, but a member has the owner's name.
func (d *Door) Owner(ctx context.Context, offered store.Journal) (Account, store.Journal, error) {
	d.writing.Lock()
	defer d.writing.Unlock()
	var made newcomer
	err := d.book.Write(ctx, func(tx store.BookWriter) error {
		var err error
		made, err = d.takeIn(tx, Account{}, offered)
		return err
	})
	if err != nil {
		return Account{}, "", fmt.Errorf("auth: opening the owner's account: %w", err)
	}
	d.enter(made, nil)
	return made.account, made.journal, nil
}

// newcomer is what a first admission makes, or finds.
type newcomer struct {
	account Account
	journal store.Journal
}

// admitsTo gives the account a code lets into; the empty one means the owner's. The caller holds writing.
func (d *Door) admitsTo(rec codeRecord) (Account, error) {
	a, ok := d.account(rec.Account)
	if !ok && rec.Account != "" {
		return Account{}, fmt.Errorf("no account %s", rec.Account)
	}
	return a, nil
}

// takeIn finds an account's journal, which is made when missing. The empty account means the owner's: the oldest of that
// role, made when missing. The caller holds writing, so the table is up to date.
func (d *Door) takeIn(tx store.BookWriter, account Account, offered store.Journal) (newcomer, error) {
	n := newcomer{account: account}
	if account.ID == "" {
		for _, a := range d.Accounts() {
			if a.Role == RoleOwner {
				n.account = a
				break
			}
		}
	}
	if n.account.ID != "" {
		n.journal, _ = d.JournalOf(n.account.ID)
	}
	d.mu.RLock()
	_, taken := d.owners[offered]
	d.mu.RUnlock()

	if n.account.ID == "" {
		var err error
		if n.account, err = d.makeAccount(tx, d.owner, RoleOwner, ""); err != nil {
			return n, err // a member has the name, and no owner is left
		}
	}
	if n.journal == "" {
		n.journal = offered
		if offered.Validate() != nil || taken {
			n.journal = store.Journal(randomHex())
		}
		if err := put(tx, memberKey(n.journal, n.account.ID), memberRecord{Role: string(RoleOwner)}); err != nil {
			return n, err
		}
	}
	return n, nil
}

// enter puts what a transaction made into the table.
func (d *Door) enter(n newcomer, dev *Device) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.accounts[n.account.ID] = n.account
	d.owners[n.journal] = n.account.ID
	if dev != nil {
		d.devices[dev.ID] = *dev
		d.noteTime(dev.Created)
	}
}

// Owns tells whether the caller's account owns a journal: nil or ErrNoJournal. This is the one place that decides it.
func (d *Door) Owns(who Caller, j store.Journal) error {
	d.mu.RLock()
	defer d.mu.RUnlock()
	if a, ok := d.owners[j]; ok && a == who.Account.ID {
		return nil
	}
	return ErrNoJournal
}

// HasJournal tells whether a journal is anybody's here.
func (d *Door) HasJournal(j store.Journal) bool {
	d.mu.RLock()
	defer d.mu.RUnlock()
	_, ok := d.owners[j]
	return ok
}

// JournalOf gives the journal an account owns.
func (d *Door) JournalOf(a AccountID) (store.Journal, bool) {
	d.mu.RLock()
	defer d.mu.RUnlock()
	for j, owner := range d.owners {
		if owner == a {
			return j, true
		}
	}
	return "", false
}

// ClockBehind tells whether the server's clock is over a day behind a time it has itself written down here. Then it is
// no measure for the clocks of devices.
func (d *Door) ClockBehind() bool {
	d.mu.RLock()
	defer d.mu.RUnlock()
	return d.latest.Sub(d.now()) > 24*time.Hour
}

// noteTime keeps the newest time. The caller holds mu, or nobody else knows the door yet.
func (d *Door) noteTime(t time.Time) {
	if t.After(d.latest) {
		d.latest = t
	}
}
