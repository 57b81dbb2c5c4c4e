package auth

import (
	"context"
	"crypto/hmac"
	"crypto/sha256"
	"encoding/base64"
	"errors"
	"net/netip"
	"strings"
	"time"

	"fairmeasure/sync/store"
)

// KnownFor is how long a device that was let in once is known again, counted from when it was last seen (chosen: browsers
// keep no cookie longer than 400 days).
const KnownFor = 400 * 24 * time.Hour

// A browser that was let in keeps a known-device token beside its two others, which outlives its sign-in: "k7m2q9xd.<32
// bytes>". It opens nothing. It tells the device from a stranger, so that what strangers send neither makes it wait nor
// uses up what it may ask. The bytes are an HMAC of account and device, so that a lost reply loses nothing, and nothing
// need be stored for it.

func (d *Door) knownToken(dev Device) string {
	mac := hmac.New(sha256.New, d.knownKey)
	mac.Write([]byte("known device " + string(dev.Account) + " " + string(dev.ID)))
	return string(dev.ID) + "." + base64.RawURLEncoding.EncodeToString(mac.Sum(nil))
}

// Knows tells which device a known-device token is of. A device that was removed is known no more; one that signed out is.
func (d *Door) Knows(token string) (Device, bool) {
	id, _, _ := strings.Cut(token, ".")
	d.mu.RLock()
	dev, ok := d.devices[DeviceID(id)]
	d.mu.RUnlock()
	if !ok || !d.known(dev) || !hmac.Equal([]byte(token), []byte(d.knownToken(dev))) {
		return Device{}, false
	}
	return dev, true
}

func (d *Door) known(dev Device) bool {
	return !dev.End.revoked() && d.now().Sub(dev.LastSeen) <= KnownFor
}

// wasAt tells whether a device of an account was last seen at an address.
func (d *Door) wasAt(a AccountID, addr netip.Addr) bool {
	d.mu.RLock()
	defer d.mu.RUnlock()
	for _, dev := range d.devices {
		if dev.Account == a && d.known(dev) && dev.Address.IsValid() && Network(dev.Address) == Network(addr) {
			return true
		}
	}
	return false
}

const knownKeySize = 32

// openKnownKey reads the key of the known-device tokens, and makes it when there is none. A store that cannot be written at
// the moment keeps the server from nothing: the key then lasts until the next start, and devices are told apart anew after it.
func openKnownKey(ctx context.Context, book store.Book) ([]byte, error) {
	var rec knownRecord
	read := func(r store.BookReader) error {
		_, err := get(r, knownRecordKey(), &rec)
		return err
	}
	if err := book.Read(ctx, read); err != nil || len(rec.Key) == knownKeySize {
		return rec.Key, err
	}
	rec.Key = randomBytes(knownKeySize)
	err := book.Write(ctx, func(tx store.BookWriter) error { return put(tx, knownRecordKey(), rec) })
	if errors.Is(err, store.ErrNoSpace) || errors.Is(err, store.ErrReadOnly) {
		err = nil
	}
	return rec.Key, err
}
