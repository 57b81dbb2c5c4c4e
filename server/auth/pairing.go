package auth

import (
	"context"
	"crypto/rand"
	"crypto/subtle"
	"encoding/base64"
	"errors"
	"fmt"
	"math/big"
	"net/netip"
	"slices"
	"time"

	"fairmeasure/sync/store"
)

// The refusals of pairing from a signed-in device.
var (
	// ErrNoCode: no living code of this account has that id.
	ErrNoCode = errors.New("auth: no such device code")
	// ErrNotWaiting: nobody has shown the code yet, or it was answered already.
	ErrNotWaiting = errors.New("auth: no device waits with this code")
	// ErrNumber: not the number the new device shows. The code is dead.
	ErrNumber = errors.New("auth: not the number of the device that waits")
	// ErrRefused: the signed-in device said no, or gave another number.
	ErrRefused = errors.New("auth: the device was not let in")
	// ErrClaimGone: the wait ended without an answer, or the claim was used, or never was one.
	ErrClaimGone = errors.New("auth: this claim leads nowhere any more")
)

// CodeLife is how long a code asked for by a signed-in device is good, and how long after its number was confirmed the new
// device may come for its pass.
const CodeLife = 10 * time.Minute

// codeStage is how far a code asked for by a device is.
type codeStage string

const (
	stageFree      codeStage = ""          // nobody has shown it
	stageWaiting   codeStage = "waiting"   // a device waits for its number to be confirmed
	stageConfirmed codeStage = "confirmed" // the device may come in
	stageRefused   codeStage = "refused"   // kept to tell the device so
)

// Wait is what a device is told that showed a code asked for by another device: a number for people to compare, and the
// secret it claims its pass with.
type Wait struct {
	Number string
	Claim  string
}

// WaitingError is not a refusal: the device is not in yet.
type WaitingError struct{ Wait }

func (e *WaitingError) Error() string {
	return "auth: the number has to be confirmed on a signed-in device"
}

// AskedCode is a living code of an account, as its devices may list it. The code itself is told once, to the device that
// asked.
type AskedCode struct {
	ID    string
	Until time.Time
	// Name and Since are of the device that waits; Since is zero while none does.
	Name  string
	Since time.Time
}

// AskCode makes a code for another device of the caller's account. The device that shows it waits until a signed-in device
// confirms its number.
func (d *Door) AskCode(ctx context.Context, who Caller) (DeviceCode, AskedCode, error) {
	rec := codeRecord{ID: randomHex(), Account: who.Account.ID, Device: who.Device.ID}
	code, until, err := d.makeCode(ctx, rec, CodeLife)
	return code, AskedCode{ID: rec.ID, Until: until}, err
}

// AskedCodes gives the living codes of the caller's account that are free or that a device waits with, oldest first.
func (d *Door) AskedCodes(ctx context.Context, who Caller) ([]AskedCode, error) {
	return d.livingCodes(ctx, who.Account.ID, codeDevice)
}

func (d *Door) livingCodes(ctx context.Context, a AccountID, kind codeKind) ([]AskedCode, error) {
	var out []AskedCode
	err := d.book.Read(ctx, func(r store.BookReader) error {
		out = nil
		return each(r, prefixCode, func(_ []byte, rec codeRecord) {
			open := rec.Stage == stageFree || rec.Stage == stageWaiting
			if rec.askedBy(a, kind) && open && d.now().Before(fromMillis(rec.Until)) && d.stands(rec) {
				out = append(out, AskedCode{ID: rec.ID, Until: fromMillis(rec.Until), Name: rec.Name, Since: fromMillis(rec.Since)})
			}
		})
	})
	if err != nil {
		return nil, fmt.Errorf("auth: reading device codes: %w", err)
	}
	slices.SortFunc(out, func(a, b AskedCode) int { return a.Until.Compare(b.Until) })
	return out, nil
}

// Confirm lets in the device that waits with a code, if the number is the one it shows. There is one try: another number
// refuses the device and ends the code. Refusals: ErrNoCode, ErrNotWaiting, ErrCodeExpired, ErrNumber.
func (d *Door) Confirm(ctx context.Context, who Caller, id, number string) error {
	return d.answer(ctx, who, codeDevice, id, func(tx store.BookWriter, key []byte, rec codeRecord) (error, error) {
		if rec.Stage != stageWaiting {
			return ErrNotWaiting, nil
		}
		if subtle.ConstantTimeCompare([]byte(number), []byte(rec.Number)) != 1 {
			rec.Stage = stageRefused
			return ErrNumber, put(tx, key, rec)
		}
		rec.Stage, rec.Until, rec.By = stageConfirmed, millis(d.now().Add(CodeLife)), who.Device.ID
		return nil, put(tx, key, rec)
	})
}

// Cancel ends a code of the caller's account; a device that waits with it is refused. Refusals: ErrNoCode, ErrNotWaiting
// once its device was confirmed or refused, ErrCodeExpired.
func (d *Door) Cancel(ctx context.Context, who Caller, id string) error {
	return d.answer(ctx, who, codeDevice, id, func(tx store.BookWriter, key []byte, rec codeRecord) (error, error) {
		switch rec.Stage {
		case stageFree:
			return nil, tx.Delete(key)
		case stageWaiting:
			rec.Stage = stageRefused
			return nil, put(tx, key, rec)
		}
		return ErrNotWaiting, nil
	})
}

// answer finds a code of a kind that the caller's account asked for, and does something with it, in one transaction. do gives a refusal, which
// keeps what it wrote, and a fault, which does not.
func (d *Door) answer(ctx context.Context, who Caller, kind codeKind, id string, do func(store.BookWriter, []byte, codeRecord) (refusal, fault error)) error {
	d.writing.Lock()
	defer d.writing.Unlock()
	// Not only at the door of the request: the device may have been revoked while it waited for this lock.
	if err := d.Still(who); err != nil {
		return err
	}
	var refusal error
	err := d.book.Write(ctx, func(tx store.BookWriter) error {
		refusal = nil
		key, rec, err := findCode(tx, func(rec codeRecord) bool {
			return rec.ID == id && rec.askedBy(who.Account.ID, kind)
		})
		switch {
		case err != nil:
			return err
		case key == nil || !d.stands(rec):
			refusal = ErrNoCode
			return nil
		case !d.now().Before(fromMillis(rec.Until)):
			refusal = ErrCodeExpired
			return nil
		}
		refusal, err = do(tx, key, rec)
		return err
	})
	if err != nil {
		return fmt.Errorf("auth: answering a device code: %w", err)
	}
	return refusal
}

// Claim gives the device that waits its pass, once its number was confirmed. The code is gone in the transaction that
// makes the device. Until then a *WaitingError; refusals: ErrRefused, ErrCodeExpired, ErrClaimGone.
func (d *Door) Claim(ctx context.Context, claim string) (Pass, error) {
	secret, err := base64.RawURLEncoding.Strict().DecodeString(claim)
	if err != nil || len(secret) != claimSize {
		return Pass{}, ErrClaimGone
	}
	hash := hashHex(secret)
	d.writing.Lock()
	defer d.writing.Unlock()
	now := d.now()
	refresh := randomBytes(refreshSize)
	var pass Pass
	var refusal error
	err = d.book.Write(ctx, func(tx store.BookWriter) error {
		pass, refusal = Pass{}, nil
		key, rec, err := findCode(tx, func(rec codeRecord) bool { return rec.Claim == hash })
		switch {
		case err != nil:
			return err
		case key == nil:
			refusal = ErrClaimGone
			return nil
		case rec.Stage == stageRefused || !d.stands(rec):
			refusal = ErrRefused
			return nil
		case !now.Before(fromMillis(rec.Until)):
			refusal = ErrCodeExpired
			return nil
		case rec.Stage != stageConfirmed:
			refusal = &WaitingError{Wait{Number: rec.Number, Claim: claim}}
			return nil
		}
		if err := tx.Delete(key); err != nil {
			return err
		}
		account, err := d.admitsTo(rec)
		if err != nil {
			return err
		}
		addr, _ := netip.ParseAddr(rec.Address) // empty when it was not known
		if pass, err = d.letIn(tx, account, stepsIn{rec.Name, store.Journal(rec.Journal), addr, refresh, now}); err != nil {
			return err
		}
		return d.note(tx, pass.Account.ID, Event{What: WhatAdmitted, Device: pass.Device.ID, Name: rec.Name, By: rec.By, Address: addr})
	})
	if err != nil {
		return Pass{}, fmt.Errorf("auth: admitting a device that waited: %w", err)
	}
	if refusal != nil {
		return Pass{}, refusal
	}
	d.enter(newcomer{pass.Account, pass.Journal}, &pass.Device)
	pass.Access, err = d.accessToken(pass.Device)
	return pass, err
}

// RevokeOthers removes every device of the caller's account but the caller's own, and ends the codes they asked for. It
// gives those it removed.
func (d *Door) RevokeOthers(ctx context.Context, who Caller) ([]DeviceID, error) {
	d.writing.Lock()
	defer d.writing.Unlock()
	// One that is being removed itself must not remove the one that removes it.
	if err := d.Still(who); err != nil {
		return nil, err
	}
	var after []Device
	err := d.book.Write(ctx, func(tx store.BookWriter) error {
		var err error
		after, err = d.shutDevices(tx, who.Account.ID, Event{What: WhatRevoked, By: who.Device.ID, Address: who.Addr})
		return err
	})
	if err != nil {
		return nil, fmt.Errorf("auth: removing the other devices: %w", err)
	}
	var gone []DeviceID
	for _, dev := range after {
		d.setDevice(dev)
		gone = append(gone, dev.ID)
	}
	return gone, nil
}

// stands tells whether a code is still vouched for: one from the terminal always, one asked for by a device while that
// device is let in, and an invitation while its account is an owner's besides.
func (d *Door) stands(rec codeRecord) bool {
	if rec.printed() {
		return true
	}
	d.mu.RLock()
	defer d.mu.RUnlock()
	dev, ok := d.devices[rec.Device]
	may := rec.Kind != codeInvitation || d.accounts[rec.Account].Role == RoleOwner
	return ok && dev.Account == rec.Account && dev.End == EndNone && may
}

// wait makes the device that showed a free code of another device wait.
func (d *Door) wait(tx store.BookWriter, code DeviceCode, rec codeRecord, name string, v Visitor, claim []byte) (Wait, error) {
	n, err := rand.Int(rand.Reader, big.NewInt(90))
	if err != nil {
		return Wait{}, err
	}
	rec.Stage, rec.Number, rec.Since = stageWaiting, fmt.Sprint(10+n.Int64()), millis(d.now())
	rec.Name, rec.Journal, rec.Claim = name, string(v.Journal), hashHex(claim)
	rec.Address = addrText(v.Addr)
	if v.Journal.Validate() != nil {
		rec.Journal = ""
	}
	w := Wait{Number: rec.Number, Claim: base64.RawURLEncoding.EncodeToString(claim)}
	return w, put(tx, codeKey(code), rec)
}

const claimSize = 32

// findCode gives the first code that matches, with its key; a nil key when there is none.
func findCode(r store.BookReader, match func(codeRecord) bool) (key []byte, found codeRecord, err error) {
	err = each(r, prefixCode, func(k []byte, rec codeRecord) {
		if key == nil && match(rec) {
			key, found = fullKey(prefixCode, k), rec
		}
	})
	return key, found, err
}
