package auth

import (
	"context"
	"encoding/json"
	"fmt"
	"net/netip"
	"slices"
	"time"

	"fairmeasure/sync/store"
)

// What an Event tells.
type What string

// The events of an account's audit.
const (
	WhatSetUp           What = "set_up"
	WhatSignedIn        What = "signed_in"
	WhatSignInFailed    What = "sign_in_failed"
	WhatSignedOut       What = "signed_out"
	WhatJoined          What = "joined"
	WhatAdmitted        What = "admitted" // by a code; By is the device that confirmed it, empty for the terminal's codes
	WhatRenamed         What = "renamed"  // Name is the new one
	WhatRevoked         What = "revoked"
	WhatReused          What = "reused" // a superseded refresh token was shown: the device was shut
	WhatPasswordChanged What = "password_changed"
	WhatRecovered       What = "recovered" // the keeper made a way back in at the terminal
	WhatInvited         What = "invited"
	WhatInvitationEnded What = "invitation_ended" // Device cancelled it; without one it was used
)

// Event is one line of an account's audit: sign-ins and what was done to its devices. It names devices, never what is in
// a journal, and no secret.
type Event struct {
	At      time.Time  `json:"-"`
	What    What       `json:"what"`
	Device  DeviceID   `json:"device,omitempty"` // whom it is about
	Name    string     `json:"name,omitempty"`   // as that device was called then
	By      DeviceID   `json:"by,omitempty"`     // who did it, when that is another device
	Address netip.Addr `json:"address,omitzero"`
}

// The bounds of an audit, chosen: addresses are not kept longer than they are of use.
const (
	AuditKeptFor   = 90 * 24 * time.Hour
	MaxAudit       = 500 // events of one account
	MaxFailedAudit = 100 // of these, sign-ins that failed: strangers make them, and must not push out the rest
)

// auditBound takes an account's events, newest first, until there are enough.
type auditBound struct{ all, failed int }

func (b *auditBound) takes(e Event) bool {
	failed := e.What == WhatSignInFailed
	if b.all == MaxAudit || failed && b.failed == MaxFailedAudit {
		return false
	}
	b.all++
	if failed {
		b.failed++
	}
	return true
}

// auditKey sorts by account and time: 16 hexadecimal digits of milliseconds, then 8 random ones.
func auditKey(a AccountID, at time.Time) []byte {
	return fmt.Appendf(nil, "%s%s%016x%s", prefixAudit, a, max(0, at.UnixMilli()), randomHex()[:8])
}

const auditTimeDigits = 16

func auditTime(rest []byte) (time.Time, bool) {
	var ms int64
	if len(rest) < idSize+auditTimeDigits {
		return time.Time{}, false
	}
	_, err := fmt.Sscanf(string(rest[idSize:idSize+auditTimeDigits]), "%016x", &ms)
	return fromMillis(ms), err == nil
}

// note writes an event into an account's audit, in the transaction of what it tells.
func (d *Door) note(tx store.BookWriter, a AccountID, e Event) error {
	e.Address = plainAddr(e.Address)
	v, err := json.Marshal(e)
	if err != nil {
		return err
	}
	return tx.Set(auditKey(a, d.now()), v)
}

// Audit gives the caller's account's events, newest first.
func (d *Door) Audit(ctx context.Context, who Caller) ([]Event, error) {
	var out []Event
	err := d.book.Read(ctx, func(r store.BookReader) error {
		out = nil
		return each(r, prefixAudit+string(who.Account.ID), func(rest []byte, e Event) {
			at, ok := auditTime(append([]byte(who.Account.ID), rest...))
			if ok && d.now().Sub(at) <= AuditKeptFor {
				e.At = at
				out = append(out, e)
			}
		})
	})
	if err != nil {
		return nil, fmt.Errorf("auth: reading the audit: %w", err)
	}
	slices.Reverse(out)
	bound := auditBound{}
	return slices.DeleteFunc(out, func(e Event) bool { return !bound.takes(e) }), nil
}

// oldEvents gives the keys of events that are older than AuditKeptFor, or beyond those an account keeps.
func oldEvents(r store.BookReader, now time.Time) ([][]byte, error) {
	type line struct {
		key   []byte
		event Event
	}
	var gone [][]byte
	var run []line // of one account, oldest first
	var of string
	flush := func() {
		bound := auditBound{}
		for _, l := range slices.Backward(run) {
			if !bound.takes(l.event) {
				gone = append(gone, l.key)
			}
		}
		run = nil
	}
	err := each(r, prefixAudit, func(k []byte, rec struct{ What What }) {
		at, ok := auditTime(k)
		if !ok || now.Sub(at) > AuditKeptFor {
			gone = append(gone, fullKey(prefixAudit, k))
			return
		}
		if a := string(k[:idSize]); a != of {
			flush()
			of = a
		}
		run = append(run, line{fullKey(prefixAudit, k), Event{What: rec.What}})
	})
	flush()
	return gone, err
}
