package auth

import (
	"context"
	"crypto/subtle"
	"encoding/base32"
	"errors"
	"fmt"
	"net/netip"
	"strings"
	"time"

	"fairmeasure/sync/store"
)

// The refusals of names and passwords.
var (
	// ErrWrong: no account of that name, or not its password; the two look the same.
	ErrWrong = errors.New("auth: wrong name or password")
	// ErrPassword: not 10 to 256 characters.
	ErrPassword = errors.New("auth: a password is 10 to 256 characters")
	// ErrAccountName: empty, longer than MaxName characters, or with control characters.
	ErrAccountName = errors.New("auth: a name is 1 to 60 printable characters")
	// ErrNameTaken: another account of this server has that name, perhaps in other letters' case.
	ErrNameTaken = errors.New("auth: another account has this name")
	// ErrSetUp: there is an owner already, or this start's set-up key is over, or it is another key.
	ErrSetUp = errors.New("auth: nothing to set up here")
)

// Arrival is someone who comes in with a name and a password, or makes them.
type Arrival struct {
	Name     string // the account's
	Password string
	Device   string        // what the device is to be called; empty for "Device"
	Journal  store.Journal // as Visitor.Journal
	Addr     netip.Addr
	Known    string // a known-device token, if the browser has one
}

// setupKey is the living set-up key, hashed. It is not stored, so that it ends with the server.
type setupKey struct {
	hash  string
	until time.Time
}

const setupKeySize = 20

// OpenSetup makes the key by which the first owner's account is made, and forgets the one before. False when there is an
// owner.
func (d *Door) OpenSetup(life time.Duration) (key string, ok bool) {
	d.writing.Lock()
	defer d.writing.Unlock()
	if d.HasOwner() {
		return "", false
	}
	key = strings.ToLower(base32.StdEncoding.WithPadding(base32.NoPadding).EncodeToString(randomBytes(setupKeySize)))
	d.setup = setupKey{hash: hashSetupKey(key), until: d.now().Add(life)}
	return key, true
}

func hashSetupKey(key string) string { return hashHex([]byte("setup " + key)) }

// opens tells whether a key opens the set-up. The caller holds writing.
func (d *Door) opens(key string) bool {
	same := subtle.ConstantTimeCompare([]byte(hashSetupKey(key)), []byte(d.setup.hash)) == 1
	return same && d.now().Before(d.setup.until) && !d.HasOwner()
}

// Setup makes the owner's account with the key of OpenSetup, and lets its first device in. Of two at once one does. What
// is refused costs nothing: the key stays good. Refusals: ErrSetUp, ErrName, ErrAccountName, ErrPassword, ErrNameTaken.
func (d *Door) Setup(ctx context.Context, key string, a Arrival) (Pass, error) {
	d.writing.Lock()
	open := d.opens(key)
	d.writing.Unlock()
	if !open {
		return Pass{}, ErrSetUp // before the password is hashed: a stranger makes no work here
	}
	device, err := cleanName(a.Device)
	if err != nil {
		return Pass{}, err
	}
	name, err := cleanAccountName(a.Name)
	if err != nil {
		return Pass{}, err
	}
	phc, err := d.hashPassword(ctx, a.Password)
	if err != nil {
		return Pass{}, err
	}

	d.writing.Lock()
	defer d.writing.Unlock()
	if !d.opens(key) {
		return Pass{}, ErrSetUp
	}
	in := stepsIn{device, a.Journal, a.Addr, randomBytes(refreshSize), d.now()}
	var pass Pass
	err = d.book.Write(ctx, func(tx store.BookWriter) error {
		account, err := d.makeAccount(tx, name, RoleOwner, phc)
		if err != nil {
			return err
		}
		if pass, err = d.letIn(tx, account, in); err != nil {
			return err
		}
		return d.note(tx, account.ID, Event{What: WhatSetUp, Device: pass.Device.ID, Name: device, Address: a.Addr})
	})
	if err != nil {
		return Pass{}, fmt.Errorf("auth: setting up: %w", err)
	}
	d.setup = setupKey{}
	d.enter(newcomer{pass.Account, pass.Journal}, &pass.Device)
	pass.Access, err = d.accessToken(pass.Device)
	return pass, err
}

// SignIn lets a device in by name and password. Refusals: ErrWrong, ErrName, *WaitError.
func (d *Door) SignIn(ctx context.Context, a Arrival) (Pass, error) {
	device, err := cleanName(a.Device)
	if err != nil {
		return Pass{}, err
	}
	folded := "" // no account's: a text that is no name is counted like an unknown one
	if name, err := cleanAccountName(a.Name); err == nil {
		folded = foldName(name)
	}
	counted := d.byStranger(folded, a.Addr)
	if dev, ok := d.Knows(a.Known); ok {
		if account, _ := d.named(folded); account.ID == dev.Account {
			counted = byDevice(dev.Account, dev.ID)
		}
	}
	var pass Pass
	err = d.prove(ctx, proof{
		try: counted, password: a.Password,
		failed: Event{What: WhatSignInFailed, Name: device, Address: a.Addr},
		find: func() (Account, error) {
			account, _ := d.named(folded)
			return account, nil
		},
		do: func(tx store.BookWriter, account *Account) error {
			in := stepsIn{device, a.Journal, a.Addr, randomBytes(refreshSize), d.now()}
			var err error
			if pass, err = d.letIn(tx, *account, in); err != nil {
				return err
			}
			return d.note(tx, account.ID, Event{What: WhatSignedIn, Device: pass.Device.ID, Name: device, Address: a.Addr})
		},
		done: func() { d.enter(newcomer{pass.Account, pass.Journal}, &pass.Device) },
	})
	if err != nil {
		return Pass{}, err
	}
	pass.Access, err = d.accessToken(pass.Device)
	return pass, err
}

// Reauthenticate asks a signed-in caller for the password again. An account without one takes its name instead. Refusals:
// ErrWrong, *WaitError, and those of Still.
func (d *Door) Reauthenticate(ctx context.Context, who Caller, typed string) error {
	account, err := d.mine(who)
	if err != nil {
		return err
	}
	if !account.HasPassword() {
		if foldName(typed) != foldName(account.Name) {
			return ErrWrong
		}
		return nil
	}
	return d.prove(ctx, d.again(who, account, typed))
}

// ChangePassword sets the account's password. An account that has one asks for it first. Refusals: ErrPassword for the new
// one, ErrWrong for the old one, *WaitError, and those of Still.
func (d *Door) ChangePassword(ctx context.Context, who Caller, old, fresh string) error {
	if _, err := cleanPassword(fresh); err != nil {
		return err // before the old one is counted
	}
	account, err := d.mine(who)
	if err != nil {
		return err
	}
	var phc string
	changed := func(tx store.BookWriter, a *Account) error {
		a.password = phc
		return d.note(tx, a.ID, Event{What: WhatPasswordChanged, Device: who.Device.ID, Name: who.Device.Name, Address: who.Addr})
	}
	if account.HasPassword() {
		p := d.again(who, account, old)
		p.prepare = func() (err error) {
			phc, err = d.hashPassword(ctx, fresh)
			return err
		}
		p.do = changed
		return d.prove(ctx, p)
	}

	if phc, err = d.hashPassword(ctx, fresh); err != nil {
		return err
	}
	d.writing.Lock()
	defer d.writing.Unlock()
	if account, err = d.mine(who); err != nil {
		return err
	}
	if account.HasPassword() {
		return ErrWrong // it was given one meanwhile, and that was not asked for
	}
	err = d.book.Write(ctx, func(tx store.BookWriter) error {
		if err := d.clearFails(tx, account); err != nil {
			return err
		}
		if err := changed(tx, &account); err != nil {
			return err
		}
		return put(tx, accountKey(account.ID), recordOfAccount(account))
	})
	if err != nil {
		return fmt.Errorf("auth: setting a password: %w", err)
	}
	d.setAccount(account)
	return nil
}

// mine gives the caller's account as it is now, while the caller may come in. The refusals are those of Still.
func (d *Door) mine(who Caller) (Account, error) {
	c, err := d.still(who.Device.ID, who.Account.ID, who.Device.version)
	return c.Account, err
}

// again is the proof of a caller that is signed in.
func (d *Door) again(who Caller, a Account, password string) proof {
	return proof{
		try: byDevice(a.ID, who.Device.ID), password: password,
		failed: Event{What: WhatSignInFailed, Device: who.Device.ID, Name: who.Device.Name, Address: who.Addr},
		find:   func() (Account, error) { return d.mine(who) },
		do:     func(store.BookWriter, *Account) error { return nil },
	}
}

// proof is a password shown for an account, and what comes of it.
type proof struct {
	try      try
	password string
	failed   Event // told to the account when it was wrong

	// find gives the account as it is in the table; the empty one when there is none, which is found out by nobody.
	find func() (Account, error)
	// prepare does what takes long, once the password was right; may be nil.
	prepare func() error
	// do runs in the transaction in which the try is taken back, if the password still is the account's. What it changes
	// of the account is written.
	do func(store.BookWriter, *Account) error
	// done runs once that stands, before the next change; may be nil.
	done func()
}

// prove compares a password, and does what it is asked for. Refusals: ErrWrong, *WaitError, what find gives.
func (d *Door) prove(ctx context.Context, p proof) error {
	t, err := d.begin(ctx, p.try)
	if err != nil {
		return err
	}
	for range maxCompared {
		account, err := p.find()
		if err != nil {
			return errors.Join(err, d.unmade(ctx, t))
		}
		right, old, err := d.matches(ctx, account.password, p.password)
		if err != nil {
			return errors.Join(fmt.Errorf("auth: comparing a password: %w", err), d.unmade(ctx, t))
		}
		if !right {
			return d.wrong(ctx, t, account, p.failed)
		}
		fresh := account.password
		if old {
			if fresh, err = d.hashPassword(ctx, p.password); err != nil {
				return errors.Join(err, d.unmade(ctx, t))
			}
		}
		if p.prepare != nil {
			if err := p.prepare(); err != nil {
				return errors.Join(err, d.unmade(ctx, t))
			}
		}
		stands, err := d.proven(ctx, t, account, fresh, p)
		if err != nil || stands {
			return err
		}
	}
	return ErrWrong
}

// maxCompared is how often a password is compared in one try, when the account's changes each time meanwhile (chosen).
const maxCompared = 3

// proven does what a right password was shown for. False if the account has another password meanwhile.
func (d *Door) proven(ctx context.Context, t try, compared Account, fresh string, p proof) (stands bool, err error) {
	d.writing.Lock()
	defer d.writing.Unlock()
	now, err := p.find()
	if err != nil {
		return false, err
	}
	if now.ID != compared.ID || now.password != compared.password {
		return false, nil
	}
	var after Account
	err = d.book.Write(ctx, func(tx store.BookWriter) error {
		after = now
		after.password = fresh
		if err := t.right(tx); err != nil {
			return err
		}
		if err := p.do(tx, &after); err != nil {
			return err
		}
		if after == now {
			return nil
		}
		return put(tx, accountKey(after.ID), recordOfAccount(after))
	})
	if err != nil {
		return false, fmt.Errorf("auth: after a right password: %w", err)
	}
	d.setAccount(after)
	if p.done != nil {
		p.done()
	}
	return true, nil
}

// wrong ends a try that stays counted. The wait for the next begins now; that is written for unknown names too, so that
// they take as long.
func (d *Door) wrong(ctx context.Context, t try, a Account, e Event) error {
	d.writing.Lock()
	defer d.writing.Unlock()
	_, there := d.account(a.ID)
	err := d.book.Write(context.WithoutCancel(ctx), func(tx store.BookWriter) error {
		if err := t.wrong(tx, d.now()); err != nil {
			return err
		}
		if !there {
			return nil
		}
		return d.note(tx, a.ID, e)
	})
	if err != nil {
		return fmt.Errorf("auth: noting a wrong password: %w", err)
	}
	return ErrWrong
}
