package auth

import (
	"context"
	"crypto/ed25519"
	"encoding/base64"
	"errors"
	"fmt"
	"net/netip"
	"strings"
	"time"

	"github.com/golang-jwt/jwt/v5"

	"fairmeasure/sync/store"
)

const audience = "sync"

// key signs access tokens. A key with a retireAt is superseded: it verifies until then and signs nothing.
type key struct {
	id        string
	private   ed25519.PrivateKey
	notBefore time.Time
	retireAt  time.Time
}

func newestFirst(a, b key) int { return b.notBefore.Compare(a.notBefore) }

func (r keyRecord) key(id string) (key, error) {
	if len(r.Seed) != ed25519.SeedSize {
		return key{}, fmt.Errorf("signing key %s: seed of %d bytes, want %d", id, len(r.Seed), ed25519.SeedSize)
	}
	return key{id, ed25519.NewKeyFromSeed(r.Seed), fromMillis(r.NotBefore), fromMillis(r.RetireAt)}, nil
}

// RotateKeys makes a new signing key. The one before still verifies for KeyLinger; older ones are deleted.
func (d *Door) RotateKeys(ctx context.Context) error {
	d.writing.Lock()
	defer d.writing.Unlock()
	now := d.now()
	fresh := key{
		id: base64.RawURLEncoding.EncodeToString(randomBytes(6)), private: ed25519.NewKeyFromSeed(randomBytes(ed25519.SeedSize)),
		notBefore: now,
	}
	d.mu.RLock()
	old := d.keys
	d.mu.RUnlock()
	if len(old) > 0 && !fresh.notBefore.After(old[0].notBefore) {
		fresh.notBefore = old[0].notBefore.Add(time.Millisecond) // a clock set back must not make the old one the newest
	}
	kept := []key{fresh}
	err := d.book.Write(ctx, func(tx store.BookWriter) error {
		kept = kept[:1]
		for i, k := range old {
			if i > 0 {
				if err := tx.Delete(keyKey(k.id)); err != nil {
					return err
				}
				continue
			}
			k.retireAt = now.Add(KeyLinger)
			kept = append(kept, k)
		}
		for _, k := range kept {
			rec := keyRecord{Seed: k.private.Seed(), NotBefore: millis(k.notBefore), RetireAt: millis(k.retireAt)}
			if err := put(tx, keyKey(k.id), rec); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return fmt.Errorf("auth: rotating keys: %w", err)
	}
	d.mu.Lock()
	d.keys = kept
	d.mu.Unlock()
	return nil
}

type claims struct {
	jwt.RegisteredClaims
	Device  DeviceID `json:"dev"`
	Version int      `json:"av"`
}

func (d *Door) accessToken(dev Device) (string, error) {
	d.mu.RLock()
	k := d.keys[0]
	d.mu.RUnlock()
	now := d.now()
	t := jwt.NewWithClaims(jwt.SigningMethodEdDSA, claims{
		RegisteredClaims: jwt.RegisteredClaims{
			Issuer: d.issuer, Audience: jwt.ClaimStrings{audience}, Subject: string(dev.Account),
			ID: randomHex(), IssuedAt: jwt.NewNumericDate(now), ExpiresAt: jwt.NewNumericDate(now.Add(AccessLife)),
		},
		Device: dev.ID, Version: dev.version,
	})
	t.Header["kid"] = k.id
	signed, err := t.SignedString(k.private)
	if err != nil {
		return "", fmt.Errorf("auth: signing an access token: %w", err)
	}
	return signed, nil
}

func parserOptions(issuer string, now func() time.Time) []jwt.ParserOption {
	return []jwt.ParserOption{
		jwt.WithValidMethods([]string{jwt.SigningMethodEdDSA.Alg()}),
		jwt.WithExpirationRequired(),
		jwt.WithIssuedAt(),
		jwt.WithIssuer(issuer),
		jwt.WithAudience(audience),
		jwt.WithLeeway(Leeway),
		jwt.WithTimeFunc(now),
		jwt.WithStrictDecoding(),
	}
}

// verifier finds the key a token names. Every key here is an Ed25519 key, and the parser takes no other method.
func (d *Door) verifier(t *jwt.Token) (any, error) {
	kid, _ := t.Header["kid"].(string)
	d.mu.RLock()
	defer d.mu.RUnlock()
	if k, ok := d.liveKey(kid); ok {
		return k.private.Public().(ed25519.PublicKey), nil
	}
	return nil, errors.New("auth: unknown key id")
}

// liveKey gives a key that still verifies. The caller holds mu.
func (d *Door) liveKey(kid string) (key, bool) {
	for _, k := range d.keys {
		if k.id == kid && (k.retireAt.IsZero() || d.now().Before(k.retireAt)) {
			return k, true
		}
	}
	return key{}, false
}

// Caller is who a request comes from.
type Caller struct {
	Account Account
	Device  Device
	// Addr is where the request comes from, for the audit.
	Addr netip.Addr
}

// unless gives the caller's device for an Event's By; none when the event is about that device.
func (c Caller) unless(about DeviceID) DeviceID {
	if c.Device.ID == about {
		return ""
	}
	return c.Device.ID
}

// Check reads an access token. Refusals: ErrExpired for anything that does not hold, ErrRevoked for a removed device.
func (d *Door) Check(token string) (Caller, error) {
	if token == "" || len(token) > maxTokenSize {
		return Caller{}, ErrExpired
	}
	c, ok := d.remembered(token)
	if !ok {
		read := &claims{}
		t, err := d.parser.ParseWithClaims(token, read, d.verifier)
		if err != nil {
			return Caller{}, ErrExpired
		}
		kid, _ := t.Header["kid"].(string)
		c = verified{read, kid}
		d.remember(token, c)
	} else if d.validator.Validate(c.claims) != nil {
		return Caller{}, ErrExpired
	}
	return d.still(c.claims.Device, AccountID(c.claims.Subject), c.claims.Version)
}

// verified is a token whose signature held. Only that is remembered, because it never changes and is most of the work of
// a check; its times, its key and its device are looked at each time.
type verified struct {
	claims *claims
	kid    string
}

// maxVerified bounds what is remembered (chosen: some 2 MB); when it is full, all is forgotten.
const maxVerified = 4096

func (d *Door) remembered(token string) (verified, bool) {
	d.mu.RLock()
	defer d.mu.RUnlock()
	v, ok := d.verified[token]
	if ok {
		_, ok = d.liveKey(v.kid)
	}
	return v, ok
}

func (d *Door) remember(token string, v verified) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if len(d.verified) >= maxVerified {
		clear(d.verified)
	}
	d.verified[strings.Clone(token)] = v
}

// Still tells whether a caller that was let in before still may be: a stream asks it from time to time.
func (d *Door) Still(who Caller) error {
	_, err := d.still(who.Device.ID, who.Account.ID, who.Device.version)
	return err
}

func (d *Door) still(id DeviceID, account AccountID, version int) (Caller, error) {
	d.mu.RLock()
	dev, ok := d.devices[id]
	acc := d.accounts[dev.Account]
	d.mu.RUnlock()
	switch {
	case !ok || dev.Account != account:
		return Caller{}, ErrExpired
	case dev.End.revoked():
		return Caller{}, ErrRevoked
	case dev.End != EndNone || dev.version != version:
		return Caller{}, ErrExpired
	}
	return Caller{Account: acc, Device: dev}, nil
}
