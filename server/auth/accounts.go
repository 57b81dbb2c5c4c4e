package auth

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"maps"
	"net/netip"
	"slices"
	"time"

	"fairmeasure/sync/store"
)

// The refusals of invitations and roles.
var (
	// ErrNotOwner: only an owner may.
	ErrNotOwner = errors.New("auth: only an owner of this server may")
	// ErrInvitation: this code makes an account; Join takes it.
	ErrInvitation = errors.New("auth: this code is an invitation")
	// ErrNotInvitation: this code lets in a device of an account there is; Admit takes it.
	ErrNotInvitation = errors.New("auth: this code is no invitation")
	// ErrNoAccount: not there.
	ErrNoAccount = errors.New("auth: no such account")
)

// InvitationLife is how long an invitation is good.
const InvitationLife = 24 * time.Hour

// Invite makes a code with which somebody makes a member's account. It stands while the device that asked for it is let in
// and its account is an owner's. Refusals: ErrNotOwner, ErrTooManyCodes.
func (d *Door) Invite(ctx context.Context, who Caller) (DeviceCode, AskedCode, error) {
	d.writing.Lock()
	defer d.writing.Unlock()
	if err := d.Still(who); err != nil {
		return "", AskedCode{}, err
	}
	if !d.isOwner(who) {
		return "", AskedCode{}, ErrNotOwner
	}
	code := newDeviceCode()
	rec := codeRecord{
		Until: millis(d.now().Add(InvitationLife)), Kind: codeInvitation,
		ID: randomHex(), Account: who.Account.ID, Device: who.Device.ID,
	}
	err := d.book.Write(ctx, func(tx store.BookWriter) error {
		if err := d.addCode(tx, code, rec); err != nil {
			return err
		}
		return d.note(tx, rec.Account, Event{What: WhatInvited, Device: rec.Device, Name: who.Device.Name, Address: who.Addr})
	})
	if err != nil {
		return "", AskedCode{}, fmt.Errorf("auth: making an invitation: %w", err)
	}
	return code, AskedCode{ID: rec.ID, Until: fromMillis(rec.Until)}, nil
}

// isOwner looks the caller's role up: what the caller carries may be old.
func (d *Door) isOwner(who Caller) bool {
	d.mu.RLock()
	defer d.mu.RUnlock()
	return d.accounts[who.Account.ID].Role == RoleOwner
}

// Invitations gives the living invitations of the caller's account, oldest first. Refusal: ErrNotOwner.
func (d *Door) Invitations(ctx context.Context, who Caller) ([]AskedCode, error) {
	if !d.isOwner(who) {
		return nil, ErrNotOwner
	}
	return d.livingCodes(ctx, who.Account.ID, codeInvitation)
}

// CancelInvitation ends one. Refusals: ErrNotOwner, ErrNoCode, ErrCodeExpired.
func (d *Door) CancelInvitation(ctx context.Context, who Caller, id string) error {
	if !d.isOwner(who) {
		return ErrNotOwner
	}
	return d.answer(ctx, who, codeInvitation, id, func(tx store.BookWriter, key []byte, rec codeRecord) (error, error) {
		if err := tx.Delete(key); err != nil {
			return nil, err
		}
		return nil, d.note(tx, rec.Account, Event{
			What: WhatInvitationEnded, Device: who.Device.ID, Name: who.Device.Name, Address: who.Addr,
		})
	})
}

// Join makes a member's account with an invitation, and lets its first device in. The invitation is gone in the
// transaction that makes the account, so of two that show it at once one joins. A code of another sort, a name that is
// taken, and a password or name that will not do cost nothing. Refusals: ErrCodeUnreadable, ErrCodeUnknown,
// ErrCodeExpired, ErrNotInvitation, ErrAccountName, ErrPassword, ErrNameTaken, ErrName, *WaitError.
func (d *Door) Join(ctx context.Context, code string, a Arrival) (Pass, error) {
	typed, err := ParseDeviceCode(code)
	if err != nil {
		return Pass{}, err
	}
	account, err := cleanAccountName(a.Name)
	if err != nil {
		return Pass{}, err
	}
	device, err := cleanName(a.Device)
	if err != nil {
		return Pass{}, err
	}
	// A hash costs much, so a code that leads nowhere gets none; it is counted below all the same.
	phc, looks := "", false
	err = d.book.Read(ctx, func(r store.BookReader) error {
		_, refusal, err := d.invitation(r, typed, a.Addr, d.now())
		looks = refusal == nil
		return err
	})
	if err != nil {
		return Pass{}, fmt.Errorf("auth: reading an invitation: %w", err)
	}
	if looks {
		if phc, err = d.hashPassword(ctx, a.Password); err != nil {
			return Pass{}, err
		}
	}

	d.writing.Lock()
	defer d.writing.Unlock()
	now := d.now()
	secret := randomBytes(refreshSize)
	var pass Pass
	var refusal error
	err = d.book.Write(ctx, func(tx store.BookWriter) error {
		pass, refusal = Pass{}, nil
		rec, no, err := d.invitation(tx, typed, a.Addr, now)
		if err != nil {
			return err
		}
		if refusal = no; refusal == nil && phc == "" {
			refusal = ErrCodeUnknown // it was no invitation a moment ago
			return nil
		}
		if refusal == ErrCodeUnknown {
			return noteWrongTry(tx, a.Addr, now)
		}
		if refusal != nil {
			return nil
		}
		made, err := d.makeAccount(tx, account, RoleMember, phc)
		if err != nil {
			return err
		}
		if err := tx.Delete(codeKey(typed)); err != nil {
			return err
		}
		if pass, err = d.letIn(tx, made, stepsIn{device, a.Journal, a.Addr, secret, now}); err != nil {
			return err
		}
		if err := d.note(tx, rec.Account, Event{What: WhatInvitationEnded}); err != nil {
			return err
		}
		return d.note(tx, made.ID, Event{What: WhatJoined, Device: pass.Device.ID, Name: device, Address: a.Addr})
	})
	if errors.Is(err, ErrNameTaken) {
		return Pass{}, ErrNameTaken
	}
	if err != nil {
		return Pass{}, fmt.Errorf("auth: joining: %w", err)
	}
	if refusal != nil {
		return Pass{}, refusal
	}
	d.enter(newcomer{pass.Account, pass.Journal}, &pass.Device)
	pass.Access, err = d.accessToken(pass.Device)
	return pass, err
}

// invitation reads a living invitation, or why it is none.
func (d *Door) invitation(r store.BookReader, code DeviceCode, addr netip.Addr, now time.Time) (rec codeRecord, refusal, fault error) {
	wait, err := waitFor(r, addr, now)
	if err != nil {
		return rec, nil, err
	}
	if wait > 0 {
		return rec, &WaitError{For: wait}, nil
	}
	known, err := get(r, codeKey(code), &rec)
	switch {
	case err != nil:
		return rec, nil, err
	case !known || rec.Stage != stageFree || !d.stands(rec):
		return rec, ErrCodeUnknown, nil
	case !now.Before(fromMillis(rec.Until)):
		return rec, ErrCodeExpired, nil
	case rec.Kind != codeInvitation:
		return rec, ErrNotInvitation, nil
	}
	return rec, nil, nil
}

// CreateAccount makes an account without a password, for the terminal. Its first device comes in by Recover's code, and
// makes its journal. Refusals: ErrAccountName, ErrNameTaken.
func (d *Door) CreateAccount(ctx context.Context, name string, role Role) (Account, error) {
	if role != RoleOwner && role != RoleMember {
		return Account{}, fmt.Errorf("auth: a role is %q or %q, not %q", RoleOwner, RoleMember, role)
	}
	name, err := cleanAccountName(name)
	if err != nil {
		return Account{}, err
	}
	d.writing.Lock()
	defer d.writing.Unlock()
	var made Account
	err = d.book.Write(ctx, func(tx store.BookWriter) error {
		var err error
		made, err = d.makeAccount(tx, name, role, "")
		return err
	})
	if err != nil {
		return Account{}, fmt.Errorf("auth: making an account: %w", err)
	}
	d.setAccount(made)
	return made, nil
}

func (d *Door) setAccount(a Account) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.accounts[a.ID] = a
}

// AccountNamed finds an account by its name, in whatever letters' case.
func (d *Door) AccountNamed(name string) (Account, bool) {
	return d.named(foldName(name))
}

// Accounts gives every account, oldest first.
func (d *Door) Accounts() []Account {
	d.mu.RLock()
	defer d.mu.RUnlock()
	return slices.SortedFunc(maps.Values(d.accounts), func(a, b Account) int {
		return cmp.Or(a.Created.Compare(b.Created), cmp.Compare(a.ID, b.ID))
	})
}

// HasOwner tells whether there is an account of an owner.
func (d *Door) HasOwner() bool {
	d.mu.RLock()
	defer d.mu.RUnlock()
	for _, a := range d.accounts {
		if a.Role == RoleOwner {
			return true
		}
	}
	return false
}

func (d *Door) account(id AccountID) (Account, bool) {
	d.mu.RLock()
	defer d.mu.RUnlock()
	a, ok := d.accounts[id]
	return a, ok
}

// Recover makes a code that admits one device of an account, for the terminal; one that was made before ends. The
// account's password is taken away, what was counted against it is forgotten, and with shut every device of it is
// removed. Refusal: ErrNoAccount.
func (d *Door) Recover(ctx context.Context, id AccountID, life time.Duration, shut bool) (DeviceCode, error) {
	d.writing.Lock()
	defer d.writing.Unlock()
	a, ok := d.account(id)
	if !ok {
		return "", ErrNoAccount
	}
	a.password = ""
	code := newDeviceCode()
	rec := codeRecord{Until: millis(d.now().Add(life)), Account: id}
	var after []Device
	err := d.book.Write(ctx, func(tx store.BookWriter) error {
		after = nil
		if err := put(tx, accountKey(id), recordOfAccount(a)); err != nil {
			return err
		}
		if err := d.clearFails(tx, a); err != nil {
			return err
		}
		var before [][]byte
		err := each(tx, prefixCode, func(k []byte, other codeRecord) {
			if other.sameLot(rec) {
				before = append(before, fullKey(prefixCode, k))
			}
		})
		if err != nil {
			return err
		}
		if err := drop(tx, before); err != nil {
			return err
		}
		if err := d.addCode(tx, code, rec); err != nil {
			return err
		}
		if err := d.note(tx, id, Event{What: WhatRecovered}); err != nil || !shut {
			return err
		}
		after, err = d.shutDevices(tx, id, Event{What: WhatRevoked})
		return err
	})
	if err != nil {
		return "", fmt.Errorf("auth: making a way back into an account: %w", err)
	}
	d.setAccount(a)
	for _, dev := range after {
		d.setDevice(dev)
	}
	return code, nil
}

// shutDevices removes every device of an account but the event's By, with an event for each. It gives those it removed,
// to be set once the transaction stands.
func (d *Door) shutDevices(tx store.BookWriter, a AccountID, e Event) ([]Device, error) {
	var after []Device
	for _, dev := range d.Devices(a) {
		if dev.ID == e.By || dev.End != EndNone {
			continue
		}
		var rec deviceRecord
		key := deviceKey(a, dev.ID)
		known, err := get(tx, key, &rec)
		if err != nil {
			return nil, err
		}
		if !known {
			return nil, ErrNoDevice
		}
		rec.End, rec.Ended = EndRevoked, millis(d.now())
		rec.Version++
		if err := put(tx, key, rec); err != nil {
			return nil, err
		}
		e.Device, e.Name = dev.ID, rec.Name
		if err := d.note(tx, a, e); err != nil {
			return nil, err
		}
		after = append(after, rec.device([]byte(string(a)+string(dev.ID))))
	}
	return after, nil
}

// RemoveAccount takes an account away with all its devices, codes and audit; its devices are out at once. server.EraseAccount
// calls it when the journal is erased. Refusal: ErrNoAccount.
//
// What it can have very much of (used refresh tokens, audit) goes after the transaction that removes the account; if the
// server ends in between, Keep finds that it belongs to nobody. Tries counted by address are of no account, and stay
// their hour or day.
func (d *Door) RemoveAccount(ctx context.Context, id AccountID) error {
	d.writing.Lock()
	defer d.writing.Unlock()
	a, ok := d.account(id)
	if !ok {
		return ErrNoAccount
	}
	err := d.book.Write(ctx, func(tx store.BookWriter) error {
		gone := [][]byte{accountKey(id)}
		err := each(tx, prefixMember, func(k []byte, _ memberRecord) {
			if AccountID(k[idSize:]) == id {
				gone = append(gone, fullKey(prefixMember, k))
			}
		})
		if err != nil {
			return err
		}
		err = each(tx, prefixDevice+string(id), func(k []byte, _ deviceRecord) {
			gone = append(gone, deviceKey(id, DeviceID(k)))
		})
		if err != nil {
			return err
		}
		err = each(tx, prefixCode, func(k []byte, rec codeRecord) {
			if rec.Account == id {
				gone = append(gone, fullKey(prefixCode, k))
			}
		})
		if err != nil {
			return err
		}
		if err := drop(tx, gone); err != nil {
			return err
		}
		return d.clearFails(tx, a)
	})
	if err != nil {
		return fmt.Errorf("auth: removing an account: %w", err)
	}
	d.leave(id)

	var left [][]byte
	err = d.book.Read(ctx, func(r store.BookReader) error {
		all, err := d.leftovers(r)
		left = all[id]
		return err
	})
	if err == nil {
		err = d.dropAll(ctx, left)
	}
	if err != nil {
		return fmt.Errorf("auth: clearing away what an account left: %w", err)
	}
	return nil
}

// leave takes an account out of the table.
func (d *Door) leave(id AccountID) {
	d.mu.Lock()
	defer d.mu.Unlock()
	delete(d.accounts, id)
	maps.DeleteFunc(d.owners, func(_ store.Journal, a AccountID) bool { return a == id })
	for _, dev := range d.devices {
		if dev.Account == id {
			delete(d.devices, dev.ID)
			delete(d.seen, dev.ID)
		}
	}
}

// leftovers gives the keys of used tokens and events whose account is not in the table. An account that is being made may
// look so; who holds writing looks again.
func (d *Door) leftovers(r store.BookReader) (map[AccountID][][]byte, error) {
	left := map[AccountID][][]byte{}
	note := func(a AccountID, key []byte) {
		if _, ok := d.account(a); !ok {
			left[a] = append(left[a], key)
		}
	}
	err := each(r, prefixUsed, func(k []byte, rec usedRecord) { note(rec.Account, fullKey(prefixUsed, k)) })
	if err != nil {
		return nil, err
	}
	err = each(r, prefixAudit, func(k []byte, _ struct{}) {
		note(AccountID(k[:min(len(k), idSize)]), fullKey(prefixAudit, k))
	})
	return left, err
}

// dropAll deletes many records, in transactions that a store takes.
func (d *Door) dropAll(ctx context.Context, keys [][]byte) error {
	for batch := range slices.Chunk(keys, writeBatch) {
		if err := d.book.Write(ctx, func(tx store.BookWriter) error { return drop(tx, batch) }); err != nil {
			return err
		}
	}
	return nil
}
