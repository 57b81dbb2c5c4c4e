package auth_test

import (
	"context"
	"fmt"
	"net/netip"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fairmeasure/server/auth"
	"fairmeasure/sync/store"
)

var (
	ctxOf = context.Background()
	away  = netip.MustParseAddr("198.51.100.23") // no device of the house was there
)

// callers are who may try a password; each has to wait after wrong ones of its own.
var callers = []struct {
	id     string
	nobody bool // tries a name that no account has
	try    func(s *setUp, password string) error
}{
	{id: "AStranger", try: func(s *setUp, password string) error { return s.comes("Robin", password, away, "") }},
	{id: "AStrangerOfIPv6", try: func(s *setUp, password string) error { return s.comes("Robin", password, numbered(1), "") }},
	{id: "AStrangerOfANameOfNobody", nobody: true, try: func(s *setUp, password string) error { return s.comes("Nobody", password, away, "") }},
	{id: "AtTheOwnersAddress", try: func(s *setUp, password string) error { return s.comes("Robin", password, here, "") }},
	{id: "AKnownDevice", try: func(s *setUp, password string) error { return s.comes("Robin", password, away, s.first.Known) }},
	{id: "ASignedInDevice", try: func(s *setUp, password string) error {
		return s.door.Reauthenticate(ctxOf, s.signedIn(), password)
	}},
	{id: "ASignedInDeviceThatChangesIt", try: func(s *setUp, password string) error {
		return s.door.ChangePassword(ctxOf, s.signedIn(), password, secret)
	}},
}

func (h *house) comes(name, password string, addr netip.Addr, known string) error {
	_, err := h.door.SignIn(ctxOf, auth.Arrival{Name: name, Password: password, Device: "laptop", Addr: addr, Known: known})
	return err
}

// signedIn is the first device, whose access token may have run out meanwhile.
func (s *setUp) signedIn() auth.Caller {
	return auth.Caller{Account: s.first.Account, Device: s.first.Device, Addr: here}
}

// TestStrangersShutNobodyOut: who has to wait after wrong tries, by how many there were, from where, and on which device.
func TestStrangersShutNobodyOut(t *testing.T) {
	wrong := func(s *setUp, name string, addr netip.Addr) {
		err := s.comes(name, guess, addr, "")
		for isWait(err) {
			s.clock.move(wait(s.t, err))
			err = s.comes(name, guess, addr, "")
		}
		require.ErrorIs(s.t, err, auth.ErrWrong)
		s.clock.move(time.Second / auth.HashesPerSecond)
	}
	attacks := []struct {
		id  string
		run func(s *setUp, out auth.Pass)
		// Who has to wait then: at the owner's address and elsewhere, devices that were never here; the device that is
		// signed in; the one that signed out.
		newHere, newAway, signedIn, signedOut bool
		second                                bool // it is over after a second
	}{
		{id: "None", run: func(*setUp, auth.Pass) {}},
		{id: "FiveFromOneAddress", run: func(s *setUp, _ auth.Pass) {
			for range 5 {
				wrong(s, "Robin", away)
			}
		}},
		{id: "FifteenFromOneAddress", run: func(s *setUp, _ auth.Pass) {
			for range 15 {
				wrong(s, "robin ", away)
			}
		}},
		{id: "FifteenFromFifteenAddresses", run: func(s *setUp, _ auth.Pass) {
			for i := range 15 {
				wrong(s, "Robin", numbered(i))
			}
		}},
		{id: "TwoHundredFromTwoHundredAddresses", newAway: true, run: func(s *setUp, _ auth.Pass) {
			for i := range 200 {
				s.comes("Robin", guess, numbered(i), "")
				s.clock.move(time.Second / auth.HashesPerSecond)
			}
		}},
		{id: "SecondBySecondFromAsManyAddresses", newAway: true, second: true, run: func(s *setUp, _ auth.Pass) {
			for i := range 200 { // other names: nobody's count, but as many comparisons as there are for strangers
				s.comes(fmt.Sprint("Nobody ", i), guess, numbered(i), "")
			}
		}},
		{id: "FifteenFromTheOwnersAddress", newHere: true, run: func(s *setUp, _ auth.Pass) {
			for range 15 {
				wrong(s, "Robin", here)
			}
		}},
		{id: "OfOtherNamesFromTheOwnersAddress", newHere: true, run: func(s *setUp, _ auth.Pass) {
			for i := range auth.FailsPerAddress {
				wrong(s, fmt.Sprint("Nobody ", i), here)
				s.clock.move(time.Second)
			}
		}},
		{id: "WithAForgedToken", run: func(s *setUp, out auth.Pass) {
			for range 15 {
				id, _, _ := strings.Cut(out.Known, ".")
				err := s.comes("Robin", guess, away, id+"."+strings.Repeat("A", 43))
				for isWait(err) {
					s.clock.move(wait(s.t, err))
					err = s.comes("Robin", guess, away, id+"."+strings.Repeat("A", 43))
				}
				require.ErrorIs(s.t, err, auth.ErrWrong)
				s.clock.move(time.Second)
			}
		}},
		{id: "OnTheSignedInDevice", signedIn: true, run: func(s *setUp, _ auth.Pass) {
			for range auth.FreeFails {
				require.ErrorIs(s.t, s.door.Reauthenticate(ctxOf, s.signedIn(), guess), auth.ErrWrong)
				s.clock.move(time.Second)
			}
			require.ErrorIs(s.t, s.door.Reauthenticate(ctxOf, s.signedIn(), guess), auth.ErrWrong) // two seconds
		}},
		{id: "OnTheOneThatSignedOut", signedOut: true, run: func(s *setUp, out auth.Pass) {
			for range auth.FreeFails {
				require.ErrorIs(s.t, s.comes("Robin", guess, away, out.Known), auth.ErrWrong)
				s.clock.move(time.Second)
			}
			require.ErrorIs(s.t, s.comes("Robin", guess, away, out.Known), auth.ErrWrong)
		}},
	}
	for _, a := range attacks {
		t.Run(a.id, func(t *testing.T) {
			s := newSetUp(t)
			out, err := s.signIn("Robin", secret) // from the owner's address
			require.NoError(t, err)
			require.NoError(t, s.door.SignOut(ctxOf, s.caller(out)))
			a.run(s, out)
			if !a.second { // what was compared in the last second is not stored
				s.restart()
			}
			waits := func(who string, waits bool, err error) {
				if waits {
					require.LessOrEqual(t, wait(t, err), auth.MaxFailWait, who)
					return
				}
				require.NoError(t, err, who)
			}
			// In an order in which none is helped by the one before.
			waits("new, elsewhere", a.newAway, s.comes("Robin", secret, netip.MustParseAddr("203.0.113.9"), ""))
			waits("new, here", a.newHere, s.comes("Robin", secret, here, ""))
			waits("signed out, here", a.signedOut, s.comes("ROBIN", secret, here, out.Known))
			waits("signed out, elsewhere", a.signedOut, s.comes("Robin", secret, away, out.Known))
			waits("signed in, at the sign-in", a.signedIn, s.comes("Robin", secret, away, s.first.Known))
			s.clock.move(time.Second)
			waits("signed in, asked again", a.signedIn, s.door.Reauthenticate(ctxOf, s.signedIn(), secret))
			waits("signed in, changes the password", a.signedIn, s.door.ChangePassword(ctxOf, s.signedIn(), secret, "one pear less tonight"))
		})
	}
}

func TestKnownDevices(t *testing.T) {
	t.Run("ByEveryWayIn", func(t *testing.T) {
		s := newSetUp(t)
		who := s.caller(s.first)
		signedIn, err := s.signIn("Robin", secret)
		require.NoError(t, err)
		code, _ := s.invite(who)
		joined, err := s.join(code, "Kim")
		require.NoError(t, err)
		asked, codeOf, err := s.door.AskCode(ctxOf, who)
		require.NoError(t, err)
		_, err = s.try(asked.String())
		var waiting *auth.WaitingError
		require.ErrorAs(t, err, &waiting)
		require.NoError(t, s.door.Confirm(ctxOf, who, codeOf.ID, waiting.Number))
		claimed, err := s.door.Claim(ctxOf, waiting.Claim)
		require.NoError(t, err)
		renewed, err := s.renew(signedIn.Refresh)
		require.NoError(t, err)
		require.Equal(t, signedIn.Known, renewed.Known, "a lost reply loses nothing")
		for _, p := range []auth.Pass{s.first, signedIn, joined, s.admit(), claimed, renewed} {
			for range 2 {
				dev, ok := s.door.Knows(p.Known)
				require.True(t, ok)
				require.Equal(t, p.Device.ID, dev.ID)
				s.restart()
			}
		}
		for _, rec := range records(t, s.book) {
			require.NotContains(t, rec, s.first.Known[9:])
		}
	})
	t.Run("OfNothingElse", func(t *testing.T) {
		s := newSetUp(t)
		other := newSetUp(t)
		known := s.first.Known
		for _, token := range []string{
			"", ".", known[:len(known)-1], known + "A", known + "=", strings.ToUpper(known[:8]) + known[8:], "zzzzzzzz" + known[8:],
			string(s.first.Device.ID) + ".", other.first.Known, string(s.first.Device.ID) + other.first.Known[8:], s.first.Refresh,
			strings.Repeat("x", 200), known[:9] + "!" + known[10:], known + "\n",
		} {
			_, ok := s.door.Knows(token)
			require.False(t, ok, token)
		}
	})
	t.Run("UntilItIsRemoved", func(t *testing.T) {
		s := newSetUp(t)
		for name, end := range map[string]func(auth.Pass){
			"Revoked": func(p auth.Pass) { require.NoError(t, s.door.Revoke(ctxOf, s.signedIn(), p.Device.ID)) },
			"RevokedOthers": func(auth.Pass) {
				_, err := s.door.RevokeOthers(ctxOf, s.signedIn())
				require.NoError(t, err)
			},
			"Reused": func(p auth.Pass) {
				for range 2 {
					q, err := s.renew(p.Refresh)
					require.NoError(t, err)
					_, err = s.renew(q.Refresh)
					require.NoError(t, err)
					break
				}
				_, err := s.renew(p.Refresh)
				require.ErrorIs(t, err, auth.ErrReused)
			},
			"SignedOutThenRevoked": func(p auth.Pass) {
				require.NoError(t, s.door.SignOut(ctxOf, s.caller(p)))
				_, ok := s.door.Knows(p.Known)
				require.True(t, ok)
				require.NoError(t, s.door.Revoke(ctxOf, s.signedIn(), p.Device.ID))
			},
			"LongAgo": func(auth.Pass) { s.clock.move(auth.KnownFor + time.Millisecond) },
		} {
			p := s.admit()
			_, ok := s.door.Knows(p.Known)
			require.True(t, ok, name)
			end(p)
			for range 2 {
				_, ok = s.door.Knows(p.Known)
				require.False(t, ok, name)
				s.restart()
			}
		}
	})
	t.Run("OfTheAccountAlone", func(t *testing.T) {
		s := newSetUp(t)
		code, _ := s.invite(s.signedIn())
		kim, err := s.join(code, "Kim")
		require.NoError(t, err)
		for range auth.FreeFails { // a member's device is a stranger to the owner's name
			s.clock.move(time.Second)
			require.ErrorIs(t, s.comes("Robin", guess, away, kim.Known), auth.ErrWrong)
		}
		wait(t, s.comes("Robin", guess, away, kim.Known))
		_, err = s.door.SignIn(ctxOf, auth.Arrival{Name: "Kim", Password: passphrase, Addr: away, Known: kim.Known})
		require.NoError(t, err)
		require.NoError(t, s.comes("Robin", secret, away, s.first.Known))
	})
	t.Run("GoesWithItsAccount", func(t *testing.T) {
		s := newSetUp(t)
		require.ErrorIs(t, s.comes("Robin", guess, away, s.first.Known), auth.ErrWrong)
		require.Len(t, s.counted(), 1)
		require.NoError(t, s.door.RemoveAccount(ctxOf, s.first.Account.ID))
		_, ok := s.door.Knows(s.first.Known)
		require.False(t, ok)
		require.Empty(t, s.counted())
	})
	t.Run("ForgottenByRecover", func(t *testing.T) {
		s := newSetUp(t)
		for range auth.FreeFails {
			require.ErrorIs(t, s.door.Reauthenticate(ctxOf, s.signedIn(), guess), auth.ErrWrong)
		}
		s.recover(s.first.Account.ID, false)
		require.Empty(t, s.counted())
	})
	t.Run("AccountsDoNotKeepEachOtherWaiting", func(t *testing.T) {
		s := newSetUp(t)
		code, _ := s.invite(s.signedIn())
		kim, err := s.join(code, "Kim")
		require.NoError(t, err)
		s.clock.move(time.Second)
		for range auth.HashesPerSecond {
			require.NoError(t, s.door.Reauthenticate(ctxOf, s.caller(kim), passphrase))
		}
		wait(t, s.door.Reauthenticate(ctxOf, s.caller(kim), passphrase))
		require.NoError(t, s.door.Reauthenticate(ctxOf, s.signedIn(), secret))
	})
}

// TestCountsOfAnEarlierVersion: what was counted by the name alone shuts nobody out any more, and is cleared away; what
// was counted by address goes on.
func TestCountsOfAnEarlierVersion(t *testing.T) {
	const byName = "f1e68585bf9a042cc8b26ffe2d6d9b3736ba4d7313cf01235c63fd51d4f54d6cf" // "robin"
	s := newSetUp(t)
	now := s.clock.Now().UnixMilli()
	require.NoError(t, s.book.Write(ctxOf, func(tx store.BookWriter) error {
		if err := tx.Delete([]byte("s")); err != nil { // the key of the known-device tokens is newer
			return err
		}
		for _, first := range "0adns" { // whatever such a hash begins with
			key := byName[:1] + string(first) + byName[2:]
			if err := tx.Set([]byte(key), fmt.Appendf(nil, `{"n":40,"from":%d,"last":%d}`, now, now)); err != nil {
				return err
			}
		}
		if err := tx.Set([]byte(byName), fmt.Appendf(nil, `{"n":40,"from":%d,"last":%d}`, now, now)); err != nil {
			return err
		}
		return tx.Set([]byte("fa"+away.String()), fmt.Appendf(nil, `{"n":20,"from":%d,"last":%d}`, now, now))
	}))
	s.restart()
	require.NoError(t, s.door.Reauthenticate(ctxOf, s.signedIn(), secret))
	require.NoError(t, s.comes("Robin", secret, here, ""))
	require.Equal(t, auth.FailsWindow, wait(t, s.comes("Robin", secret, away, "")))
	p, err := s.renew(s.first.Refresh)
	require.NoError(t, err)
	require.NoError(t, s.comes("Robin", secret, away, p.Known), "known from the next renewal on")
	require.NoError(t, s.door.Keep(ctxOf))
	require.Equal(t, []string{"fa" + away.String()}, s.counted())
}

// TestFailedSignInsPushNothingOut: strangers make failed sign-ins, and those must not take the place of the rest.
func TestFailedSignInsPushNothingOut(t *testing.T) {
	s := newSetUp(t)
	for i := range 2 * auth.MaxAudit {
		at := s.clock.Now().Add(time.Duration(i) * time.Second)
		require.NoError(t, s.book.Write(ctxOf, func(tx store.BookWriter) error {
			key := fmt.Sprintf("a%s%016x%08x", s.first.Account.ID, at.UnixMilli(), i)
			return tx.Set([]byte(key), []byte(`{"what":"sign_in_failed","name":"laptop","address":"198.51.100.23"}`))
		}))
	}
	s.clock.move(time.Hour)
	for range 2 {
		shown := s.events(s.signedIn())
		require.Len(t, shown, 1+auth.MaxFailedAudit)
		require.Equal(t, auth.WhatSetUp, shown[auth.MaxFailedAudit].What)
		require.NoError(t, s.door.Keep(ctxOf))
		require.Equal(t, len(shown), countPrefix(t, s.book, "a"))
	}
}

// FuzzKnows: no text but the token itself makes a stranger a known device.
func FuzzKnows(f *testing.F) {
	s := newSetUp(f)
	f.Add(s.first.Known)
	f.Add("k7m2q9xd.AAAA")
	f.Add(s.first.Refresh)
	f.Fuzz(func(t *testing.T, token string) {
		_, ok := s.door.Knows(token)
		require.Equal(t, token == s.first.Known, ok)
	})
}
