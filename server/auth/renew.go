package auth

import (
	"context"
	"encoding/base64"
	"fmt"
	"net/netip"
	"strings"
	"time"

	"fairmeasure/sync/store"
)

const refreshSize = 32

// A refresh token names its device, so that finding the record needs no index: "k7m2q9xd.<32 random bytes>".
func refreshToken(id DeviceID, secret []byte) string {
	return string(id) + "." + base64.RawURLEncoding.EncodeToString(secret)
}

func parseRefreshToken(token string) (DeviceID, []byte, bool) {
	id, secret, ok := strings.Cut(token, ".")
	if !ok || len(token) > 128 {
		return "", nil, false
	}
	b, err := base64.RawURLEncoding.Strict().DecodeString(secret)
	return DeviceID(id), b, err == nil && len(b) == refreshSize
}

// Renew takes a refresh token and gives the next one, with a fresh access token. The rotation is confirmed: the old token
// stays good until the new one is shown, so a lost reply signs nobody out.
//
//	shown is next                     old cur is used up, cur := next, a new next is issued
//	shown is cur, no recent next      the reply was lost: the old next is used up, a new next is issued
//	shown is cur, next is recent      ErrParallel: another tab was quicker, its token is on the way
//	shown is used up                  two parties hold it: ErrReused, and the device is revoked
//	anything else                     ErrSignedOut; revokes nobody
//
// On ErrReused the Pass names the device, for the log. addr is where the token was shown.
func (d *Door) Renew(ctx context.Context, token string, addr netip.Addr) (Pass, error) {
	id, shown, ok := parseRefreshToken(token)
	if !ok {
		return Pass{}, ErrSignedOut
	}
	d.writing.Lock()
	defer d.writing.Unlock()
	d.mu.RLock()
	dev, ok := d.devices[id]
	acc := d.accounts[dev.Account]
	d.mu.RUnlock()
	if !ok {
		return Pass{}, ErrSignedOut
	}

	now := d.now()
	hash := hashHex(shown)
	secret := randomBytes(refreshSize)
	var after Device
	var refusal error
	err := d.book.Write(ctx, func(tx store.BookWriter) error {
		refusal = nil
		var rec deviceRecord
		known, err := get(tx, deviceKey(dev.Account, id), &rec)
		if err != nil {
			return err
		}
		var used usedRecord
		spent, err := get(tx, usedKey(hash), &used)
		if err != nil {
			return err
		}
		after = rec.device([]byte(string(dev.Account) + string(id)))
		mine := known && (hash == rec.Cur || hash == rec.Next)
		theirs := spent && used.Device == id && used.Account == dev.Account
		switch {
		case !mine && !theirs:
			refusal = ErrSignedOut
			return nil
		case rec.End.revoked():
			refusal = ErrRevoked
			return nil
		case rec.End != EndNone:
			refusal = ErrSignedOut
			return nil
		case theirs:
			refusal = ErrReused
			rec.End, rec.Ended = EndReused, millis(now)
			rec.Version++
			after = rec.device([]byte(string(dev.Account) + string(id)))
			if err := put(tx, deviceKey(dev.Account, id), rec); err != nil {
				return err
			}
			return d.note(tx, dev.Account, Event{What: WhatReused, Device: id, Name: rec.Name, Address: addr})
		case now.Sub(fromMillis(rec.Renewed)) > RefreshIdle:
			refusal = ErrSignedOut
			return nil
		}

		spend := ""
		switch recent := now.Sub(fromMillis(rec.NextAt)).Abs() < ParallelRenewal; {
		case hash == rec.Next:
			spend, rec.Cur = rec.Cur, rec.Next
		case rec.Next != "" && recent:
			refusal = ErrParallel
			return nil
		default:
			spend = rec.Next
		}
		if spend != "" {
			u := usedRecord{Account: dev.Account, Device: id, Until: millis(now.Add(usedKeptFor))}
			if err := put(tx, usedKey(spend), u); err != nil {
				return err
			}
		}
		rec.Next, rec.NextAt, rec.Renewed, rec.LastSeen = hashHex(secret), millis(now), millis(now), millis(now)
		if addr.IsValid() {
			rec.Address = addrText(addr)
		}
		after = rec.device([]byte(string(dev.Account) + string(id)))
		return put(tx, deviceKey(dev.Account, id), rec)
	})
	if err != nil {
		return Pass{}, fmt.Errorf("auth: renewing a sign-in: %w", err)
	}
	if refusal == nil || refusal == ErrReused {
		d.setDevice(after)
	}
	if refusal != nil {
		return Pass{Device: after}, refusal
	}
	d.Seen(id, now, addr)
	journal, _ := d.JournalOf(acc.ID)
	pass := Pass{Account: acc, Device: after, Journal: journal, Refresh: refreshToken(id, secret), Known: d.knownToken(after)}
	pass.Access, err = d.accessToken(after)
	return pass, err
}

func (d *Door) setDevice(dev Device) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if _, ok := d.seen[dev.ID]; ok && !d.devices[dev.ID].LastSeen.Before(dev.LastSeen) {
		dev.LastSeen, dev.Address = d.devices[dev.ID].LastSeen, d.devices[dev.ID].Address
	}
	d.devices[dev.ID] = dev
	d.noteTime(dev.LastSeen)
}

// SignOut ends a device's own sign-in; its record stays, because journals name devices.
func (d *Door) SignOut(ctx context.Context, who Caller) error {
	return d.end(ctx, who, who.Device.ID, EndSignedOut)
}

// Revoke removes a device of the caller's account, at once. ErrNoDevice if it has no such device. Revoking again, or a
// device that signed out, is no error.
func (d *Door) Revoke(ctx context.Context, who Caller, id DeviceID) error {
	return d.end(ctx, who, id, EndRevoked)
}

func (d *Door) end(ctx context.Context, who Caller, id DeviceID, how End) error {
	a := who.Account.ID
	what := WhatRevoked
	if how == EndSignedOut {
		what = WhatSignedOut
	}
	d.writing.Lock()
	defer d.writing.Unlock()
	var after Device
	err := d.book.Write(ctx, func(tx store.BookWriter) error {
		var rec deviceRecord
		known, err := get(tx, deviceKey(a, id), &rec)
		if err != nil {
			return err
		}
		if !known {
			return ErrNoDevice
		}
		if rec.End.revoked() || rec.End == how {
			after = rec.device([]byte(string(a) + string(id)))
			return nil
		}
		rec.End, rec.Ended = how, millis(d.now())
		rec.Version++
		after = rec.device([]byte(string(a) + string(id)))
		if err := put(tx, deviceKey(a, id), rec); err != nil {
			return err
		}
		return d.note(tx, a, Event{What: what, Device: id, Name: rec.Name, By: who.unless(id), Address: who.Addr})
	})
	if err != nil {
		return fmt.Errorf("auth: ending a device: %w", err)
	}
	d.setDevice(after)
	return nil
}

// RenameDevice gives a device of the caller's account another name; one that ended too, because journals name devices.
// Refusals: ErrName, ErrNoDevice.
func (d *Door) RenameDevice(ctx context.Context, who Caller, id DeviceID, name string) error {
	name, err := cleanName(name)
	if err != nil {
		return err
	}
	d.writing.Lock()
	defer d.writing.Unlock()
	if err := d.Still(who); err != nil {
		return err
	}
	var after Device
	err = d.book.Write(ctx, func(tx store.BookWriter) error {
		var rec deviceRecord
		key := deviceKey(who.Account.ID, id)
		known, err := get(tx, key, &rec)
		if err != nil {
			return err
		}
		if !known {
			return ErrNoDevice
		}
		same := rec.Name == name
		rec.Name = name
		after = rec.device([]byte(string(who.Account.ID) + string(id)))
		if same {
			return nil
		}
		if err := put(tx, key, rec); err != nil {
			return err
		}
		return d.note(tx, who.Account.ID, Event{What: WhatRenamed, Device: id, Name: name, By: who.unless(id), Address: who.Addr})
	})
	if err != nil {
		return fmt.Errorf("auth: renaming a device: %w", err)
	}
	d.setDevice(after)
	return nil
}

// Devices gives an account's devices, oldest first, those that ended included.
func (d *Door) Devices(a AccountID) []Device {
	d.mu.RLock()
	defer d.mu.RUnlock()
	var out []Device
	for _, dev := range d.devices {
		if dev.Account == a {
			out = append(out, dev)
		}
	}
	sortDevices(out)
	return out
}

// DeviceName gives the name of an account's device; empty when it has no such device.
func (d *Door) DeviceName(a AccountID, id DeviceID) string {
	d.mu.RLock()
	defer d.mu.RUnlock()
	if dev, ok := d.devices[id]; ok && dev.Account == a {
		return dev.Name
	}
	return ""
}

// Seen notes that a device was here, and from which address; the zero Addr when that is unknown. It is kept in memory;
// Keep writes it down.
func (d *Door) Seen(id DeviceID, at time.Time, addr netip.Addr) {
	addr = plainAddr(addr)
	d.mu.Lock()
	defer d.mu.Unlock()
	dev, ok := d.devices[id]
	if !addr.IsValid() {
		addr = dev.Address
	}
	if !ok || at.Before(dev.LastSeen) || at.Equal(dev.LastSeen) && addr == dev.Address {
		return
	}
	dev.LastSeen, dev.Address = at, addr
	d.devices[id] = dev
	d.seen[id] = at
	d.noteTime(at)
}
