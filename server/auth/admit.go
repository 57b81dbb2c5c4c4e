package auth

import (
	"cmp"
	"context"
	"fmt"
	"net/netip"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"fairmeasure/sync/store"
)

// Visitor is someone at the door with a code.
type Visitor struct {
	Code    string        // as typed
	Name    string        // what the device is to be called; empty for "Device"
	Journal store.Journal // the journal the device began on its own, if any: taken over when the account has none
	Addr    netip.Addr
}

// Pass is what an admitted or renewed device carries away. The three tokens are secrets; Known is the one by which the
// device is told from a stranger later, see known.go.
type Pass struct {
	Account Account
	Device  Device
	Journal store.Journal
	Access  string
	Refresh string
	Known   string
}

// Admit lets in the device that shows a living code. The code is gone in the transaction that makes the device, so of two
// that show it at once one is let in. With a code another device asked for, the first that shows it gets a *WaitingError:
// it comes in by Claim. An invitation is not used up here. Refusals: ErrCodeUnreadable, ErrCodeUnknown, ErrCodeExpired,
// ErrInvitation, ErrName, *WaitError.
func (d *Door) Admit(ctx context.Context, v Visitor) (Pass, error) {
	code, err := ParseDeviceCode(v.Code)
	if err != nil {
		return Pass{}, err
	}
	name, err := cleanName(v.Name)
	if err != nil {
		return Pass{}, err
	}

	d.writing.Lock()
	defer d.writing.Unlock()
	now := d.now()
	secret, claim := randomBytes(refreshSize), randomBytes(claimSize)
	var pass Pass
	var refusal error
	err = d.book.Write(ctx, func(tx store.BookWriter) error {
		pass, refusal = Pass{}, nil
		wait, err := waitFor(tx, v.Addr, now)
		if err != nil {
			return err
		}
		if wait > 0 {
			refusal = &WaitError{For: wait}
			return nil
		}
		var rec codeRecord
		known, err := get(tx, codeKey(code), &rec)
		if err != nil {
			return err
		}
		if !known || rec.Stage != stageFree || !d.stands(rec) {
			refusal = ErrCodeUnknown
			return noteWrongTry(tx, v.Addr, now)
		}
		if !now.Before(fromMillis(rec.Until)) {
			refusal = ErrCodeExpired
			return nil
		}
		if rec.Kind != codeDevice {
			refusal = ErrInvitation
			return nil
		}
		if !rec.printed() {
			w, err := d.wait(tx, code, rec, name, v, claim)
			refusal = &WaitingError{w}
			return err
		}
		if err := tx.Delete(codeKey(code)); err != nil {
			return err
		}
		account, err := d.admitsTo(rec)
		if err != nil {
			return err
		}
		if pass, err = d.letIn(tx, account, stepsIn{name, v.Journal, v.Addr, secret, now}); err != nil {
			return err
		}
		return d.note(tx, pass.Account.ID, Event{What: WhatAdmitted, Device: pass.Device.ID, Name: name, Address: v.Addr})
	})
	if err != nil {
		return Pass{}, fmt.Errorf("auth: admitting a device: %w", err)
	}
	if refusal != nil {
		return Pass{}, refusal
	}
	d.enter(newcomer{pass.Account, pass.Journal}, &pass.Device)
	pass.Access, err = d.accessToken(pass.Device)
	return pass, err
}

// stepsIn is a device that is being let in.
type stepsIn struct {
	name    string        // clean
	journal store.Journal // offered, see Visitor
	addr    netip.Addr
	secret  []byte // of its first refresh token
	now     time.Time
}

// letIn makes a device of an account (empty: the owner's, made when missing) and its first refresh token. The account may
// be one that the same transaction makes. The caller holds writing, and enters the newcomer once the transaction stands.
func (d *Door) letIn(tx store.BookWriter, account Account, in stepsIn) (Pass, error) {
	to, err := d.takeIn(tx, account, in.journal)
	if err != nil {
		return Pass{}, err
	}
	dev := Device{
		ID: d.freshDeviceID(), Account: to.account.ID, Name: in.name, Created: in.now, LastSeen: in.now,
		Address: plainAddr(in.addr), version: 1,
	}
	out := recordOfDevice(dev)
	out.Cur, out.Renewed = hashHex(in.secret), millis(in.now)
	pass := Pass{
		Account: to.account, Device: dev, Journal: to.journal, Refresh: refreshToken(dev.ID, in.secret), Known: d.knownToken(dev),
	}
	return pass, put(tx, deviceKey(dev.Account, dev.ID), out)
}

// cleanName gives a device's name as it is kept.
func cleanName(name string) (string, error) {
	name, ok := cleanText(name)
	if !ok {
		return "", ErrName
	}
	return cmp.Or(name, "Device"), nil
}

// cleanText gives a name in NFC, with single blanks, and without what cannot be seen; it may be empty.
func cleanText(name string) (string, bool) {
	if !utf8.ValidString(name) || len(name) > 16*MaxName {
		return "", false
	}
	name = strings.Join(strings.Fields(norm.NFC.String(name)), " ")
	if utf8.RuneCountInString(name) > MaxName || strings.ContainsFunc(name, func(r rune) bool { return !unicode.IsPrint(r) }) {
		return "", false
	}
	return name, true
}

// freshDeviceID gives an id that no device of an account here has, or had. The caller holds writing.
func (d *Door) freshDeviceID() DeviceID {
	d.mu.RLock()
	defer d.mu.RUnlock()
	for {
		b := randomBytes(8)
		for i := range b {
			b[i] = codeAlphabet[b[i]&31]
		}
		id := DeviceID(strings.ToLower(string(b)))
		if _, taken := d.devices[id]; !taken {
			return id
		}
	}
}

// plainAddr is an address as it is kept: the zero Addr stays what it is.
func plainAddr(a netip.Addr) netip.Addr { return a.Unmap().WithZone("") }

// Network is what tries are counted by: an IPv4 address, or the /64 an IPv6 address is in.
func Network(a netip.Addr) string {
	a = a.Unmap()
	if !a.Is6() {
		return a.String()
	}
	p, err := a.WithZone("").Prefix(64)
	if err != nil {
		return a.String()
	}
	return p.String()
}

// waitFor tells how long an address has to wait before its next try.
func waitFor(r store.BookReader, a netip.Addr, now time.Time) (time.Duration, error) {
	var t triesRecord
	if _, err := get(r, triesKey(Network(a)), &t); err != nil {
		return 0, err
	}
	if t.N < TriesPerAddress {
		return 0, nil
	}
	until := fromMillis(t.From).Add(triesFor)
	if now.Before(fromMillis(t.From).Add(-Leeway)) {
		return 0, nil // the clock was set back: an old count says nothing about this hour
	}
	return max(0, until.Sub(now)), nil
}

// noteWrongTry counts one wrong code for the address. What others get wrong ends no code: 60 random bits are not guessed.
func noteWrongTry(tx store.BookWriter, a netip.Addr, now time.Time) error {
	var mine triesRecord
	if _, err := get(tx, triesKey(Network(a)), &mine); err != nil {
		return err
	}
	if age := now.Sub(fromMillis(mine.From)); mine.N == 0 || age >= triesFor || age < -Leeway {
		mine = triesRecord{From: millis(now)}
	}
	mine.N++
	return put(tx, triesKey(Network(a)), mine)
}
