package auth

import (
	"context"
	"fmt"
	"strings"
	"time"

	"fairmeasure/sync/store"
)

// DeviceCode admits one device once: 12 characters of Crockford's base 32, so 60 random bits.
type DeviceCode string

const codeAlphabet = "0123456789ABCDEFGHJKMNPQRSTVWXYZ" // Crockford: no I, L, O, U

// String groups the code for reading aloud and typing: XXXX-XXXX-XXXX.
func (c DeviceCode) String() string {
	if len(c) != 12 {
		return string(c)
	}
	return string(c[:4] + "-" + c[4:8] + "-" + c[8:])
}

// ParseDeviceCode reads a code as people type it: any case, with or without dashes and blanks, O for 0, I or L for 1.
func ParseDeviceCode(text string) (DeviceCode, error) {
	if len(text) > 64 {
		return "", ErrCodeUnreadable
	}
	var out []byte
	for _, r := range strings.ToUpper(text) {
		switch r {
		case '-', '‐', '‑', '–', '—', '−', '_', ' ', '\u00a0', '\u202f', '\t', '\n', '\r':
			continue
		case 'O':
			r = '0'
		case 'I', 'L':
			r = '1'
		}
		if r > 127 || !strings.ContainsRune(codeAlphabet, r) || len(out) == 12 {
			return "", ErrCodeUnreadable
		}
		out = append(out, byte(r))
	}
	if len(out) != 12 {
		return "", ErrCodeUnreadable
	}
	return DeviceCode(out), nil
}

func newDeviceCode() DeviceCode {
	b := randomBytes(12)
	for i := range b {
		b[i] = codeAlphabet[b[i]&31]
	}
	return DeviceCode(b)
}

// NewCode makes a code that lives for life and admits at once, for a terminal to print.
func (d *Door) NewCode(ctx context.Context, life time.Duration) (DeviceCode, error) {
	code, _, err := d.makeCode(ctx, codeRecord{}, life)
	return code, err
}

func (d *Door) makeCode(ctx context.Context, rec codeRecord, life time.Duration) (DeviceCode, time.Time, error) {
	d.writing.Lock()
	defer d.writing.Unlock()
	code := newDeviceCode()
	rec.Until = millis(d.now().Add(life))
	err := d.book.Write(ctx, func(tx store.BookWriter) error { return d.addCode(tx, code, rec) })
	if err != nil {
		return "", time.Time{}, fmt.Errorf("auth: making a device code: %w", err)
	}
	return code, fromMillis(rec.Until), nil
}

// addCode writes a code, unless MaxCodes of its lot are alive. The caller holds writing.
func (d *Door) addCode(tx store.BookWriter, code DeviceCode, rec codeRecord) error {
	now, ours, old := d.now(), 0, [][]byte(nil)
	err := each(tx, prefixCode, func(k []byte, other codeRecord) {
		open := other.Stage == stageFree || other.Stage == stageWaiting
		switch until := fromMillis(other.Until); {
		case now.Before(until) && open && d.stands(other) && other.sameLot(rec):
			ours++
		case now.Sub(until) > codeKeptFor:
			old = append(old, fullKey(prefixCode, k))
		}
	})
	if err != nil {
		return err
	}
	if ours >= MaxCodes {
		return ErrTooManyCodes
	}
	if err := drop(tx, old); err != nil {
		return err
	}
	return put(tx, codeKey(code), rec)
}

// ForgetCodes ends every printed code that names no account. A server does it at its start, so that of these only the ones
// it printed last are alive. An account's way back in, codes that devices asked for, and devices that wait with one, go on.
func (d *Door) ForgetCodes(ctx context.Context) error {
	d.writing.Lock()
	defer d.writing.Unlock()
	err := d.book.Write(ctx, func(tx store.BookWriter) error {
		var printed [][]byte
		err := each(tx, prefixCode, func(k []byte, rec codeRecord) {
			if rec.printed() && rec.Account == "" {
				printed = append(printed, fullKey(prefixCode, k))
			}
		})
		if err != nil {
			return err
		}
		return drop(tx, printed)
	})
	if err != nil {
		return fmt.Errorf("auth: forgetting device codes: %w", err)
	}
	return nil
}
