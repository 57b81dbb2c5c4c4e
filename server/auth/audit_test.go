package auth_test

import (
	"context"
	"encoding/json"
	"fmt"
	"net/netip"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fairmeasure/server/auth"
	"fairmeasure/sync/store"
)

// events gives an account's audit, newest first, with the times taken out once they were checked to fall.
func (h *house) events(who auth.Caller) []auth.Event {
	h.t.Helper()
	all, err := h.door.Audit(context.Background(), who)
	require.NoError(h.t, err)
	for i := range all {
		if i > 0 {
			require.False(h.t, all[i].At.After(all[i-1].At), "newest first")
		}
	}
	for i := range all {
		all[i].At = time.Time{}
	}
	return all
}

// newest gives the newest n events.
func (h *house) newest(who auth.Caller, n int) []auth.Event {
	h.t.Helper()
	all := h.events(who)
	require.GreaterOrEqual(h.t, len(all), n)
	return all[:n]
}

func TestAudit(t *testing.T) {
	ctx := context.Background()
	elsewhere := netip.MustParseAddr("198.51.100.23")

	t.Run("AdmittedByTheTerminalsCode", func(t *testing.T) {
		o := newOwned(t)
		dev := o.owner.Device
		want := []auth.Event{{What: auth.WhatAdmitted, Device: dev.ID, Name: "phone", Address: here}}
		require.Equal(t, want, o.events(o.owner))
		all, err := o.door.Audit(ctx, o.owner)
		require.NoError(t, err)
		require.Equal(t, o.clock.Now(), all[0].At)
		o.restart()
		require.Equal(t, want, o.events(o.owner))
	})
	t.Run("AdmittedByADevice", func(t *testing.T) {
		p := newPairing(t)
		second := p.caller(p.admit())
		p.clock.move(time.Second)
		w := p.show()
		require.NoError(t, p.door.Confirm(ctx, second, p.asked.ID, w.Number))
		pass, err := p.claim(w)
		require.NoError(t, err)
		require.Equal(t, []auth.Event{
			{What: auth.WhatAdmitted, Device: pass.Device.ID, Name: "phone", By: second.Device.ID, Address: here},
		}, p.newest(p.first, 1), "by the device that confirmed, not the one that asked")
	})
	t.Run("ARefusalIsNoEvent", func(t *testing.T) {
		p := newPairing(t)
		before := p.events(p.first)
		_, err := p.try("0000-0000-0000")
		require.ErrorIs(t, err, auth.ErrCodeUnknown)
		w := p.show()
		require.ErrorIs(t, p.confirm(other(w.Number)), auth.ErrNumber)
		require.ErrorIs(t, p.door.Revoke(ctx, p.first, "zzzzzzzz"), auth.ErrNoDevice)
		require.ErrorIs(t, p.door.RenameDevice(ctx, p.first, "zzzzzzzz", "x"), auth.ErrNoDevice)
		_, err = p.join(p.house.code(time.Minute).String(), "Kim")
		require.ErrorIs(t, err, auth.ErrNotInvitation)
		require.Equal(t, before, p.events(p.first))
	})
	t.Run("RenamedRevokedSignedOut", func(t *testing.T) {
		o := newOwned(t)
		o.owner.Addr = elsewhere
		me := o.owner.Device.ID
		phone, tablet := o.admit(), o.admit()
		step := func() { o.clock.move(time.Second) }

		step()
		require.NoError(t, o.door.RenameDevice(ctx, o.owner, phone.Device.ID, "shelf"))
		require.NoError(t, o.door.RenameDevice(ctx, o.owner, phone.Device.ID, "shelf"), "no change, no event")
		step()
		require.NoError(t, o.door.RenameDevice(ctx, o.owner, me, "counter"))
		step()
		require.NoError(t, o.door.Revoke(ctx, o.owner, phone.Device.ID))
		require.NoError(t, o.door.Revoke(ctx, o.owner, phone.Device.ID), "no change, no event")
		step()
		out := o.caller(tablet)
		out.Addr = there
		require.NoError(t, o.door.SignOut(ctx, out))
		step()
		require.NoError(t, o.door.Revoke(ctx, o.owner, tablet.Device.ID))
		require.Equal(t, []auth.Event{
			{What: auth.WhatRevoked, Device: tablet.Device.ID, Name: "phone", By: me, Address: elsewhere},
			{What: auth.WhatSignedOut, Device: tablet.Device.ID, Name: "phone", Address: there},
			{What: auth.WhatRevoked, Device: phone.Device.ID, Name: "shelf", By: me, Address: elsewhere},
			{What: auth.WhatRenamed, Device: me, Name: "counter", Address: elsewhere},
			{What: auth.WhatRenamed, Device: phone.Device.ID, Name: "shelf", By: me, Address: elsewhere},
		}, o.newest(o.owner, 5))
		require.Len(t, o.events(o.owner), 8)
	})
	t.Run("OthersRevoked", func(t *testing.T) {
		o := newOwned(t)
		o.owner.Addr = elsewhere
		second, third := o.admit(), o.admit()
		o.clock.move(time.Second)
		_, err := o.door.RevokeOthers(ctx, o.owner)
		require.NoError(t, err)
		_, err = o.door.RevokeOthers(ctx, o.owner)
		require.NoError(t, err)
		revoked := func(p auth.Pass) auth.Event {
			return auth.Event{What: auth.WhatRevoked, Device: p.Device.ID, Name: "phone", By: o.owner.Device.ID, Address: elsewhere}
		}
		require.ElementsMatch(t, []auth.Event{revoked(second), revoked(third)}, o.newest(o.owner, 2))
		require.Len(t, o.events(o.owner), 5)
	})
	t.Run("ASupersededTokenShown", func(t *testing.T) {
		o := newOwned(t)
		p := o.admit()
		next, err := o.renew(p.Refresh)
		require.NoError(t, err)
		_, err = o.renew(next.Refresh)
		require.NoError(t, err)
		require.Len(t, o.events(o.owner), 2, "a renewal is no event")
		o.clock.move(time.Second)
		for _, want := range []error{auth.ErrReused, auth.ErrRevoked} {
			_, err = o.door.Renew(ctx, p.Refresh, elsewhere)
			require.ErrorIs(t, err, want)
		}
		require.Equal(t, []auth.Event{{What: auth.WhatReused, Device: p.Device.ID, Name: "phone", Address: elsewhere}}, o.newest(o.owner, 1))
		require.Len(t, o.events(o.owner), 3, "told once")
	})
	t.Run("InvitedAndJoined", func(t *testing.T) {
		o := newOwned(t)
		o.owner.Addr = elsewhere
		me := o.owner.Device.ID
		o.clock.move(time.Second)
		code, _ := o.invite(o.owner)
		o.clock.move(time.Second)
		p, err := o.join(code, "Kim Wren")
		require.NoError(t, err)
		o.clock.move(time.Second)
		_, asked := o.invite(o.owner)
		o.clock.move(time.Second)
		require.NoError(t, o.door.CancelInvitation(ctx, o.owner, asked.ID))
		require.Equal(t, []auth.Event{
			{What: auth.WhatInvitationEnded, Device: me, Name: "phone", Address: elsewhere},
			{What: auth.WhatInvited, Device: me, Name: "phone", Address: elsewhere},
			{What: auth.WhatInvitationEnded}, // used: of whom it tells nothing
			{What: auth.WhatInvited, Device: me, Name: "phone", Address: elsewhere},
		}, o.newest(o.owner, 4))
		require.Equal(t, []auth.Event{
			{What: auth.WhatJoined, Device: p.Device.ID, Name: "tablet", Address: there},
		}, o.events(o.caller(p)))
	})
	t.Run("Recovered", func(t *testing.T) {
		o := newOwned(t)
		p := o.member("Kim")
		o.clock.move(time.Second)
		code := o.recover(p.Account.ID, true)
		o.clock.move(time.Second)
		back, err := o.try(code)
		require.NoError(t, err)
		got := o.events(o.caller(back))
		require.Equal(t, auth.Event{What: auth.WhatAdmitted, Device: back.Device.ID, Name: "phone", Address: here}, got[0])
		require.ElementsMatch(t, []auth.Event{
			{What: auth.WhatRecovered},
			{What: auth.WhatRevoked, Device: p.Device.ID, Name: "tablet"},
		}, got[1:3])
		require.Len(t, got, 4)
	})
	t.Run("OfAnotherAccountNothing", func(t *testing.T) {
		o := newOwned(t)
		first, second := o.member("Kim"), o.member("Alex")
		for i, p := range []auth.Pass{first, second} {
			who := o.caller(p)
			require.NoError(t, o.door.RenameDevice(ctx, who, p.Device.ID, fmt.Sprint("shelf ", i)))
		}
		for i, p := range []auth.Pass{first, second} {
			for _, e := range o.events(o.caller(p)) {
				require.Equal(t, p.Device.ID, e.Device)
				require.NotContains(t, e.Name, fmt.Sprint(1-i))
			}
			require.Len(t, o.events(o.caller(p)), 2)
		}
		require.Empty(t, o.events(auth.Caller{Account: auth.Account{ID: auth.AccountID(strings.Repeat("0", 32))}}))
	})
	t.Run("NoSecret", func(t *testing.T) {
		o := newOwned(t)
		code, _ := o.invite(o.owner)
		p, err := o.join(code, "Kim")
		require.NoError(t, err)
		require.NoError(t, o.book.Read(ctx, func(r store.BookReader) error {
			return r.Each([]byte("a"), func(_, v []byte) bool {
				var e map[string]string
				require.NoError(t, json.Unmarshal(v, &e))
				for key, value := range e {
					require.Contains(t, []string{"what", "device", "name", "by", "address"}, key)
					for _, hidden := range []string{p.Refresh, p.Access, passphrase, code, string(p.Journal)} {
						require.NotEqual(t, hidden, value)
					}
				}
				return true
			})
		}))
	})
}

// addEvents writes events of an account at a time into the book, as many servers' hours would.
func (h *house) addEvents(a auth.AccountID, at time.Time, n int) {
	h.t.Helper()
	require.NoError(h.t, h.book.Write(context.Background(), func(tx store.BookWriter) error {
		for i := range n {
			key := fmt.Sprintf("a%s%016x%08x", a, at.UnixMilli()+int64(i), i)
			if err := tx.Set([]byte(key), fmt.Appendf(nil, `{"what":"renamed","name":"n%d"}`, i)); err != nil {
				return err
			}
		}
		return nil
	}))
}

func TestAuditIsBounded(t *testing.T) {
	ctx := context.Background()

	t.Run("ByAge", func(t *testing.T) {
		o := newOwned(t)
		o.clock.move(auth.AuditKeptFor)
		require.Len(t, o.events(o.owner), 1)
		require.NoError(t, o.door.Keep(ctx))
		require.Equal(t, 1, countPrefix(t, o.book, "a"), "to the day")
		o.clock.move(time.Millisecond)
		require.Empty(t, o.events(o.owner), "too old is not shown, swept or not")
		require.Equal(t, 1, countPrefix(t, o.book, "a"))
		require.NoError(t, o.door.Keep(ctx))
		require.Zero(t, countPrefix(t, o.book, "a"))
	})
	t.Run("ByNumberForEachAccount", func(t *testing.T) {
		o := newOwned(t)
		member := o.member("Kim")
		o.clock.move(time.Hour)
		o.addEvents(o.owner.Account.ID, o.clock.Now(), auth.MaxAudit+20)
		o.addEvents(member.Account.ID, o.clock.Now(), auth.MaxAudit-1)
		o.clock.move(time.Minute)
		shown := o.events(o.owner)
		require.Len(t, shown, auth.MaxAudit)
		require.Equal(t, fmt.Sprint("n", auth.MaxAudit+19), shown[0].Name)
		require.Equal(t, "n20", shown[auth.MaxAudit-1].Name)

		require.NoError(t, o.door.Keep(ctx))
		require.Equal(t, auth.MaxAudit, countPrefix(t, o.book, "a"+string(o.owner.Account.ID)))
		require.Equal(t, shown, o.events(o.owner), "what is swept is what was not shown")
		require.Equal(t, auth.MaxAudit, countPrefix(t, o.book, "a"+string(member.Account.ID)), "what another has is not counted")
		require.Equal(t, auth.WhatJoined, o.events(auth.Caller{Account: member.Account})[auth.MaxAudit-1].What)
	})
	t.Run("ADamagedKeyIsSwept", func(t *testing.T) {
		o := newOwned(t)
		require.NoError(t, o.book.Write(ctx, func(tx store.BookWriter) error {
			return tx.Set([]byte("a"+string(o.owner.Account.ID)+"when"), []byte(`{"what":"renamed"}`))
		}))
		require.Len(t, o.events(o.owner), 1)
		require.NoError(t, o.door.Keep(ctx))
		require.Equal(t, 1, countPrefix(t, o.book, "a"))
	})
}

// TestAuditStandsWithWhatItTells: when the book refuses, neither happens.
func TestAuditStandsWithWhatItTells(t *testing.T) {
	ctx := context.Background()
	o := newOwned(t)
	phone := o.admit()
	before := records(t, o.book)
	door, err := auth.Open(ctx, auth.Config{Book: fullAudit{o.book}, Now: o.clock.Now, Issuer: "fairmeasure", Owner: "Robin"})
	require.NoError(t, err)
	require.ErrorIs(t, door.Revoke(ctx, o.owner, phone.Device.ID), errFull)
	require.ErrorIs(t, door.RenameDevice(ctx, o.owner, phone.Device.ID, "shelf"), errFull)
	_, err = door.RevokeOthers(ctx, o.owner)
	require.ErrorIs(t, err, errFull)
	_, _, err = door.Invite(ctx, o.owner)
	require.ErrorIs(t, err, errFull)
	_, err = door.Recover(ctx, o.owner.Account.ID, time.Hour, true)
	require.ErrorIs(t, err, errFull)
	require.Equal(t, before, records(t, o.book))
	_, err = door.Check(phone.Access)
	require.NoError(t, err)
	require.Equal(t, "phone", door.DeviceName(o.owner.Account.ID, phone.Device.ID))
}

var errFull = fmt.Errorf("no room for an event")

// fullAudit is a book that takes everything but events.
type fullAudit struct{ store.Book }

type fullAuditTx struct{ store.BookWriter }

func (b fullAudit) Write(ctx context.Context, fn func(store.BookWriter) error) error {
	return b.Book.Write(ctx, func(tx store.BookWriter) error { return fn(fullAuditTx{tx}) })
}

func (tx fullAuditTx) Set(key, value []byte) error {
	if key[0] == 'a' {
		return errFull
	}
	return tx.BookWriter.Set(key, value)
}
