package auth_test

import (
	"context"
	"errors"
	"fmt"
	"net/netip"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fairmeasure/server/auth"
	"fairmeasure/sync/store"
)

const (
	secret = "orchard sour at dusk"
	guess  = "a guess that is wrong"
)

// setUp is a house whose owner, Robin, has a password and one device.
type setUp struct {
	*house
	first auth.Pass
}

func newSetUp(t testing.TB) *setUp {
	h := newHouse(t)
	key, ok := h.door.OpenSetup(time.Hour)
	require.True(t, ok)
	p, err := h.door.Setup(context.Background(), key, auth.Arrival{Name: "Robin", Password: secret, Device: "phone", Addr: here})
	require.NoError(t, err)
	h.clock.move(time.Second) // what follows is a later event
	return &setUp{h, p}
}

func (h *house) signIn(name, password string) (auth.Pass, error) {
	return h.signInFrom(name, password, here)
}

func (h *house) signInFrom(name, password string, addr netip.Addr) (auth.Pass, error) {
	return h.door.SignIn(context.Background(), auth.Arrival{Name: name, Password: password, Device: "laptop", Addr: addr})
}

// wait gives how long an error says to wait; anything else fails the test.
func wait(t testing.TB, err error) time.Duration {
	t.Helper()
	var w *auth.WaitError
	require.ErrorAs(t, err, &w)
	require.Positive(t, w.For)
	return w.For
}

// hashed gives how many passwords fn hashes: each takes 19456 KiB of memory at once, and nothing else here takes so much.
func hashed(fn func()) int {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	fn()
	runtime.ReadMemStats(&after)
	return int((after.TotalAlloc - before.TotalAlloc) / (19456 << 10))
}

// fail makes n wrong tries, each as soon as it is compared, and gives the wait for the next.
func (h *house) fail(name string, n int) {
	h.t.Helper()
	for range n {
		_, err := h.signIn(name, guess)
		for isWait(err) {
			h.clock.move(wait(h.t, err))
			_, err = h.signIn(name, guess)
		}
		require.ErrorIs(h.t, err, auth.ErrWrong)
	}
}

func TestSetup(t *testing.T) {
	ctx := context.Background()
	robin := auth.Arrival{Name: "  Robin ", Password: secret, Device: "phone", Addr: here}
	open := func(h *house) string {
		key, ok := h.door.OpenSetup(time.Hour)
		require.True(h.t, ok)
		return key
	}

	t.Run("MakesTheOwner", func(t *testing.T) {
		h := newHouse(t)
		key := open(h)
		require.Regexp(t, `^[a-z2-7]{32}$`, key)
		in := robin
		in.Journal = "00112233445566778899aabbccddeeff"
		p, err := h.door.Setup(ctx, key, in)
		require.NoError(t, err)
		require.Equal(t, "Robin", p.Account.Name)
		require.Equal(t, auth.RoleOwner, p.Account.Role)
		require.True(t, p.Account.HasPassword())
		require.Equal(t, in.Journal, p.Journal, "the journal begun on the device is taken over")
		who := h.caller(p)
		require.Equal(t, p.Device.ID, who.Device.ID)
		require.Equal(t, []auth.Event{{What: auth.WhatSetUp, Device: p.Device.ID, Name: "phone", Address: here}}, h.events(who))

		_, err = h.door.Setup(ctx, key, robin)
		require.ErrorIs(t, err, auth.ErrSetUp, "the key is used up")
		_, ok := h.door.OpenSetup(time.Hour)
		require.False(t, ok, "there is an owner")
		h.restart()
		_, ok = h.door.OpenSetup(time.Hour)
		require.False(t, ok)
		_, err = h.signIn("robin", secret)
		require.NoError(t, err)
	})
	t.Run("RacedByManyOneWins", func(t *testing.T) {
		h := newHouse(t)
		key := open(h)
		errs := make([]error, 8)
		var wg sync.WaitGroup
		for i := range errs {
			wg.Go(func() {
				in := robin
				in.Name = fmt.Sprint("Robin ", i)
				_, errs[i] = h.door.Setup(ctx, key, in)
			})
		}
		wg.Wait()
		won := 0
		for _, err := range errs {
			if err == nil {
				won++
				continue
			}
			require.ErrorIs(t, err, auth.ErrSetUp)
		}
		require.Equal(t, 1, won)
		require.Len(t, h.door.Accounts(), 1)
	})
	t.Run("ErrWrongKey", func(t *testing.T) {
		h := newHouse(t)
		_, err := h.door.Setup(ctx, "", robin)
		require.ErrorIs(t, err, auth.ErrSetUp, "none was made")
		key := open(h)
		for _, wrong := range []string{"", key[:31], key + "a", strings.Repeat("a", 32)} {
			require.Zero(t, hashed(func() { _, err = h.door.Setup(ctx, wrong, robin) }), "no work for strangers")
			require.ErrorIs(t, err, auth.ErrSetUp)
		}
		require.Empty(t, h.door.Accounts())
		_, err = h.door.Setup(ctx, key, robin)
		require.NoError(t, err)
	})
	t.Run("ErrAfterAnHour", func(t *testing.T) {
		h := newHouse(t)
		key := open(h)
		h.clock.move(time.Hour)
		_, err := h.door.Setup(ctx, key, robin)
		require.ErrorIs(t, err, auth.ErrSetUp)
		h.clock.move(-time.Second)
		_, err = h.door.Setup(ctx, key, robin)
		require.NoError(t, err, "a second before, it holds")
	})
	t.Run("ErrOtherStart", func(t *testing.T) {
		h := newHouse(t)
		first := open(h)
		second := open(h)
		_, err := h.door.Setup(ctx, first, robin)
		require.ErrorIs(t, err, auth.ErrSetUp, "a new key ends the one before")
		h.restart()
		_, err = h.door.Setup(ctx, second, robin)
		require.ErrorIs(t, err, auth.ErrSetUp, "it is not stored")
		require.Empty(t, h.door.Accounts())
	})
	t.Run("ARefusalCostsNothing", func(t *testing.T) {
		h := newHouse(t)
		key := open(h)
		for want, in := range map[error]auth.Arrival{
			auth.ErrAccountName: {Name: " ", Password: secret},
			auth.ErrPassword:    {Name: "Robin", Password: "short"},
			auth.ErrName:        {Name: "Robin", Password: secret, Device: "a\x00b"},
		} {
			_, err := h.door.Setup(ctx, key, in)
			require.ErrorIs(t, err, want)
		}
		_, err := h.door.Setup(ctx, key, robin)
		require.NoError(t, err)
	})
	t.Run("NotWithAnOwnerMadeOtherwise", func(t *testing.T) {
		h := newHouse(t)
		key := open(h)
		h.admit() // by the terminal's code: makes the owner
		_, err := h.door.Setup(ctx, key, robin)
		require.ErrorIs(t, err, auth.ErrSetUp)
	})
	t.Run("ErrNameTakenByAMember", func(t *testing.T) {
		h := newHouse(t)
		_, err := h.door.CreateAccount(ctx, "ROBIN", auth.RoleMember)
		require.NoError(t, err)
		_, err = h.door.Setup(ctx, open(h), robin)
		require.ErrorIs(t, err, auth.ErrNameTaken)
		require.False(t, h.door.HasOwner())
	})
}

func TestSignIn(t *testing.T) {
	ctx := context.Background()

	t.Run("OK", func(t *testing.T) {
		s := newSetUp(t)
		for _, name := range []string{"Robin", "rOBIN", "  robin "} {
			p, err := s.signIn(name, secret)
			require.NoError(t, err, name)
			require.Equal(t, s.first.Account.ID, p.Account.ID)
			require.Equal(t, s.first.Journal, p.Journal)
			require.Equal(t, "laptop", p.Device.Name)
			require.Equal(t, p.Device.ID, s.caller(p).Device.ID)
			_, err = s.renew(p.Refresh)
			require.NoError(t, err)
			require.Equal(t, auth.Event{What: auth.WhatSignedIn, Device: p.Device.ID, Name: "laptop", Address: here}, s.newest(s.caller(p), 1)[0])
			s.clock.move(time.Second)
		}
		require.Empty(t, s.counted(), "right tries are given back")
	})
	t.Run("AnAccountWithoutAJournalTakesTheOffered", func(t *testing.T) {
		h := newHouse(t)
		a, err := h.door.CreateAccount(ctx, "Sam", auth.RoleMember)
		require.NoError(t, err)
		h.storePHC(a.ID, foreignHashes[0].phc)
		own := store.Journal("00112233445566778899aabbccddeeff")
		p, err := h.door.SignIn(ctx, auth.Arrival{Name: "Sam", Password: secret, Journal: own, Addr: here})
		require.NoError(t, err)
		require.Equal(t, own, p.Journal)
		require.Equal(t, auth.RoleMember, p.Account.Role)
		require.Equal(t, "Device", p.Device.Name)
	})
	t.Run("WrongNameAndWrongPasswordLookTheSame", func(t *testing.T) {
		s := newSetUp(t)
		created, err := s.door.CreateAccount(ctx, "Sam", auth.RoleMember) // has no password
		require.NoError(t, err)
		for _, row := range []struct{ id, name, password string }{
			{"WrongPassword", "Robin", guess},
			{"TooShort", "Robin", "short"},
			{"NoUTF8", "Robin", "\xff\xff\xff\xff\xff\xff\xff\xff\xff\xff\xff"},
			{"WrongName", "Nobody", secret},
			{"NoName", "", secret},
			{"NoPassword", created.Name, ""},
			{"NoNameAtAll", "a\x00b", secret},
		} {
			s.clock.move(time.Second)
			var err error
			require.Equal(t, 1, hashed(func() { _, err = s.signIn(row.name, row.password) }), row.id)
			require.True(t, err == auth.ErrWrong, "%s: %v", row.id, err)
		}
	})
	t.Run("Audit", func(t *testing.T) {
		s := newSetUp(t)
		who := s.caller(s.first)
		_, err := s.signIn("Robin", guess)
		require.ErrorIs(t, err, auth.ErrWrong)
		_, err = s.signIn("Nobody", guess)
		require.ErrorIs(t, err, auth.ErrWrong)
		require.Equal(t, []auth.Event{
			{What: auth.WhatSignInFailed, Name: "laptop", Address: here},
			{What: auth.WhatSetUp, Device: who.Device.ID, Name: "phone", Address: here},
		}, s.events(who)[:2])
		require.Equal(t, 2, countPrefix(t, s.book, "a"), "nothing is told of a name that is nobody's")
	})
	t.Run("ABadDeviceNameIsNoTry", func(t *testing.T) {
		s := newSetUp(t)
		_, err := s.door.SignIn(ctx, auth.Arrival{Name: "Robin", Password: guess, Device: "a\x00b", Addr: here})
		require.ErrorIs(t, err, auth.ErrName)
		require.Empty(t, s.counted())
	})
	t.Run("WhoGoesAwayIsNotCounted", func(t *testing.T) {
		s := newSetUp(t)
		gone, cancel := context.WithCancel(ctx)
		cancel()
		for range 20 {
			_, err := s.door.SignIn(gone, auth.Arrival{Name: "Robin", Password: secret, Addr: here})
			require.Error(t, err)
			require.NotErrorIs(t, err, auth.ErrWrong)
			s.clock.move(time.Second)
		}
		_, err := s.signIn("Robin", secret)
		require.NoError(t, err)
	})
	t.Run("NothingTypedIsStored", func(t *testing.T) {
		s := newSetUp(t)
		_, err := s.signIn(guess, guess)
		require.ErrorIs(t, err, auth.ErrWrong)
		_, err = s.signIn("Robin", secret)
		require.NoError(t, err)
		for _, rec := range records(t, s.book) {
			require.NotContains(t, rec, guess)
			require.NotContains(t, rec, secret)
		}
	})
}

func TestWrongPasswords(t *testing.T) {
	t.Run("FiveThenLongerAndLonger", func(t *testing.T) {
		for _, row := range callers {
			t.Run(row.id, func(t *testing.T) {
				s := newSetUp(t)
				for range auth.FreeFails {
					require.ErrorIs(t, row.try(s, guess), auth.ErrWrong)
				}
				s.clock.move(time.Nanosecond) // not to be the second of all
				for i, want := range []int{1, 2, 4, 8, 16, 32, 64, 128, 256, 512, 900, 900, 900} {
					if i > 0 { // the first second is that of the five before, too
						s.restart()
					}
					var err error
					require.Zero(t, hashed(func() { err = row.try(s, secret) }), "the right password does not help either")
					full := time.Duration(want) * time.Second
					require.InDelta(t, full, wait(t, err), float64(time.Millisecond))
					s.clock.move(full - time.Millisecond)
					require.LessOrEqual(t, wait(t, row.try(s, guess)), 2*time.Millisecond)
					s.clock.move(time.Millisecond)
					require.ErrorIs(t, row.try(s, guess), auth.ErrWrong, "after %s", full)
				}
			})
		}
	})
	t.Run("TheRightOneClears", func(t *testing.T) {
		for _, row := range callers {
			if row.nobody {
				continue
			}
			t.Run(row.id, func(t *testing.T) {
				s := newSetUp(t)
				for range auth.FreeFails - 1 {
					require.ErrorIs(t, row.try(s, guess), auth.ErrWrong)
				}
				s.clock.move(time.Second)
				require.NoError(t, row.try(s, secret))
				for range auth.FreeFails {
					s.clock.move(time.Second)
					require.ErrorIs(t, row.try(s, guess), auth.ErrWrong, "the count begins anew")
				}
				require.Equal(t, time.Second, wait(t, row.try(s, secret)))
			})
		}
	})
	t.Run("NeverForEver", func(t *testing.T) {
		for _, row := range callers {
			if row.nobody {
				continue
			}
			t.Run(row.id, func(t *testing.T) {
				s := newSetUp(t)
				for range 15 {
					require.ErrorIs(t, row.try(s, guess), auth.ErrWrong)
					s.clock.move(auth.MaxFailWait)
				}
				require.NoError(t, row.try(s, secret))
			})
		}
	})
	t.Run("ANameIsOneInWhateverCase", func(t *testing.T) {
		s := newSetUp(t)
		for _, name := range []string{"Robin", "robin", "ROBIN", " Robin", "rObin"} {
			_, err := s.signInFrom(name, guess, numbered(1))
			require.ErrorIs(t, err, auth.ErrWrong)
		}
		s.clock.move(time.Second - time.Millisecond)
		_, err := s.signInFrom("Robin", secret, numbered(1))
		wait(t, err)
	})
	t.Run("AThousandTriesWithARestart", func(t *testing.T) {
		// Four a second for 250 s: 5, and then after 1, 2, 4 ... 64 s; the next wait would end later.
		const tries, step = 1000, 250 * time.Millisecond
		oneByOne := []int{0, 1, 2, 3, 4, 8, 16, 32, 64, 128, 256, 512}
		for _, row := range callers {
			t.Run(row.id, func(t *testing.T) {
				run := func(restartAt int) (compared []int, s *setUp) {
					s = newSetUp(t)
					for i := range tries {
						if i == restartAt {
							s.restart()
						}
						if err := row.try(s, guess); err == auth.ErrWrong {
							compared = append(compared, i)
						} else {
							wait(t, err)
						}
						s.clock.move(step)
					}
					return compared, s
				}
				var compared []int
				var s *setUp
				hashes := hashed(func() { compared, s = run(tries / 2) })
				require.Equal(t, oneByOne, compared)
				require.InDelta(t, 1+len(compared), hashes, 3, "one for the set-up; the rest was not hashed")
				if row.nobody {
					return
				}
				s.clock.move(wait(t, row.try(s, secret)))
				require.NoError(t, row.try(s, secret), "after the wait the right one works")
			})
		}
		t.Run("EachFromAnotherAddress", func(t *testing.T) {
			s := newSetUp(t)
			compared := 0
			for i := range tries {
				if i == tries/2 {
					s.restart()
				}
				if _, err := s.signInFrom("Robin", guess, numbered(i)); err == auth.ErrWrong {
					compared++
				} else {
					require.LessOrEqual(t, wait(t, err), auth.StrangersPace)
				}
				s.clock.move(step)
			}
			require.Equal(t, auth.StrangersTries+int(tries*step/auth.StrangersPace), compared)
		})
	})
	t.Run("TwentyInTenMinutesFromOneAddress", func(t *testing.T) {
		for id, addr := range map[string]func(int) netip.Addr{
			"IPv4": func(int) netip.Addr { return here },
			"OneNetworkOfIPv6": func(i int) netip.Addr {
				return netip.MustParseAddr(fmt.Sprintf("2001:db8:1:2:%x::%x", i, i+1))
			},
			"IPv4InIPv6": func(i int) netip.Addr {
				if i%2 == 0 {
					return here
				}
				return netip.MustParseAddr("::ffff:" + here.String())
			},
		} {
			t.Run(id, func(t *testing.T) {
				s := newSetUp(t)
				for i := range auth.FailsPerAddress {
					_, err := s.signInFrom(fmt.Sprint("Nobody ", i), guess, addr(i))
					require.ErrorIs(t, err, auth.ErrWrong)
					s.clock.move(time.Second)
				}
				s.restart()
				_, err := s.signInFrom("Robin", secret, addr(50))
				require.Equal(t, auth.FailsWindow-auth.FailsPerAddress*time.Second, wait(t, err))
				p, err := s.signInFrom("Robin", secret, netip.MustParseAddr("2001:db8:1:3::1"))
				require.NoError(t, err, "from elsewhere it works")
				require.Equal(t, s.first.Account.ID, p.Account.ID)

				s.clock.move(auth.FailsWindow)
				_, err = s.signInFrom("Robin", secret, addr(50))
				require.NoError(t, err)
			})
		}
	})
	t.Run("RightOnesDoNotUseUpAnAddress", func(t *testing.T) {
		s := newSetUp(t)
		for range auth.FailsPerAddress + 5 {
			_, err := s.signIn("Robin", secret)
			require.NoError(t, err)
			s.clock.move(time.Second)
		}
	})
	t.Run("AClockSetBackLocksNobody", func(t *testing.T) {
		s := newSetUp(t)
		s.fail("Robin", 15)
		_, err := s.signIn("Robin", secret)
		require.Greater(t, wait(t, err), 10*time.Minute)
		for range 3 {
			s.clock.move(-400 * 24 * time.Hour)
			s.restart()
			_, err = s.signIn("Robin", guess)
			require.ErrorIs(t, err, auth.ErrWrong, "one is free")
		}
		s.clock.move(-time.Hour)
		_, err = s.signIn("Robin", guess)
		require.ErrorIs(t, err, auth.ErrWrong)
		s.clock.move(-wellBack)
		_, err = s.signIn("Robin", secret)
		require.NoError(t, err)
	})
	t.Run("ManyAtOnceAreCountedBeforeTheyAreCompared", func(t *testing.T) {
		s := newSetUp(t)
		var compared, refused atomic.Int32
		var wg sync.WaitGroup
		for i := range 50 {
			wg.Go(func() {
				_, err := s.signInFrom("Robin", guess, numbered(i))
				if errors.Is(err, auth.ErrWrong) {
					compared.Add(1)
				} else if isWait(err) {
					refused.Add(1)
				}
			})
		}
		wg.Wait()
		require.Equal(t, int32(auth.HashesPerSecond), compared.Load(), "of strangers, in a second")
		require.Equal(t, int32(50-auth.HashesPerSecond), refused.Load())
	})
	t.Run("FiveASecondForAll", func(t *testing.T) {
		s := newSetUp(t)
		s.clock.move(time.Minute)
		try := func(i int) error {
			_, err := s.signInFrom(fmt.Sprint("Nobody ", i), guess, numbered(i))
			return err
		}
		for i := range auth.HashesPerSecond {
			require.ErrorIs(t, try(i), auth.ErrWrong)
			s.clock.move(100 * time.Millisecond)
		}
		require.Equal(t, 500*time.Millisecond, wait(t, try(10)))
		s.clock.move(500 * time.Millisecond)
		require.ErrorIs(t, try(10), auth.ErrWrong, "the first is a second ago")
		require.Equal(t, 100*time.Millisecond, wait(t, try(11)))
		s.clock.move(-24 * time.Hour)
		require.ErrorIs(t, try(11), auth.ErrWrong, "a clock set back is no wait")
	})
	t.Run("ForgottenAfterADay", func(t *testing.T) {
		s := newSetUp(t)
		s.fail("Robin", 8)
		require.Len(t, s.counted(), 2, "the name from that address, and the address")
		s.clock.move(24 * time.Hour)
		require.NoError(t, s.door.Keep(context.Background()))
		require.Len(t, s.counted(), 1, "the name from that address; the address had its ten minutes")
		s.clock.move(time.Millisecond)
		require.NoError(t, s.door.Keep(context.Background()))
		require.Empty(t, s.counted())
	})
	t.Run("AFewAreForgottenSooner", func(t *testing.T) {
		s := newSetUp(t)
		for i := range 10 { // a stranger with many addresses
			_, err := s.signInFrom("Robin", guess, numbered(i))
			require.ErrorIs(t, err, auth.ErrWrong)
			s.clock.move(time.Second)
		}
		require.Len(t, s.counted(), 2*10+1)
		s.clock.move(time.Hour)
		require.NoError(t, s.door.Keep(context.Background()))
		require.Empty(t, s.counted())
	})
	t.Run("ForgottenWhenTheClockWasFarAhead", func(t *testing.T) {
		s := newSetUp(t)
		s.fail("Robin", 8)
		s.clock.move(-25 * time.Hour)
		require.NoError(t, s.door.Keep(context.Background()))
		require.Empty(t, s.counted())
	})
}

// wellBack is more than two times told by one server may differ without its clock having been set back.
const wellBack = 2 * auth.Leeway

// numbered gives one of many addresses, each its own network.
func numbered(i int) netip.Addr {
	return netip.MustParseAddr(fmt.Sprintf("2001:db8:%x:%x::1", i/1000+1, i))
}

func TestReauthenticate(t *testing.T) {
	ctx := context.Background()

	t.Run("ByThePassword", func(t *testing.T) {
		s := newSetUp(t)
		who := s.caller(s.first)
		require.NoError(t, s.door.Reauthenticate(ctx, who, secret))
		require.Empty(t, s.counted())
		require.ErrorIs(t, s.door.Reauthenticate(ctx, who, "Robin"), auth.ErrWrong, "the name is not enough")
		require.Equal(t, auth.WhatSignInFailed, s.newest(who, 1)[0].What)
		require.Equal(t, who.Device.ID, s.newest(who, 1)[0].Device)
		require.NotEmpty(t, s.counted())
	})
	t.Run("ByTheNameWithoutOne", func(t *testing.T) {
		h := newHouse(t)
		who := h.caller(h.admit())
		require.NoError(t, h.door.Reauthenticate(ctx, who, "robin "))
		for _, typed := range []string{"", "Robi", secret} {
			require.ErrorIs(t, h.door.Reauthenticate(ctx, who, typed), auth.ErrWrong, typed)
		}
	})
	t.Run("NotForARemovedDevice", func(t *testing.T) {
		s := newSetUp(t)
		who := s.caller(s.first)
		require.NoError(t, s.door.Revoke(ctx, who, who.Device.ID))
		require.ErrorIs(t, s.door.Reauthenticate(ctx, who, secret), auth.ErrRevoked)
		require.ErrorIs(t, s.door.ChangePassword(ctx, who, secret, guess), auth.ErrRevoked)
	})
}

func TestChangePassword(t *testing.T) {
	ctx := context.Background()
	const fresh = "one pear less tonight"

	t.Run("OK", func(t *testing.T) {
		s := newSetUp(t)
		who := s.caller(s.first)
		require.NoError(t, s.door.ChangePassword(ctx, who, secret, fresh))
		require.Equal(t, auth.Event{What: auth.WhatPasswordChanged, Device: who.Device.ID, Name: "phone"}, s.newest(who, 1)[0])
		for range 2 {
			_, err := s.signIn("Robin", secret)
			require.ErrorIs(t, err, auth.ErrWrong)
			_, err = s.signIn("Robin", fresh)
			require.NoError(t, err)
			s.clock.move(time.Second)
			s.restart()
		}
	})
	t.Run("ErrWrongOldIsCounted", func(t *testing.T) {
		s := newSetUp(t)
		who := s.caller(s.first)
		before := s.stored(who.Account.ID).Password
		for range auth.FreeFails {
			require.ErrorIs(t, s.door.ChangePassword(ctx, who, guess, fresh), auth.ErrWrong)
		}
		require.Equal(t, time.Second, wait(t, s.door.ChangePassword(ctx, who, secret, fresh)))
		require.Equal(t, before, s.stored(who.Account.ID).Password)
		s.clock.move(time.Second)
		require.NoError(t, s.door.ChangePassword(ctx, who, secret, fresh))
	})
	t.Run("ABadNewOneIsNoTry", func(t *testing.T) {
		s := newSetUp(t)
		require.ErrorIs(t, s.door.ChangePassword(ctx, s.caller(s.first), guess, "short"), auth.ErrPassword)
		require.Empty(t, s.counted())
	})
	t.Run("TheFirstOneNeedsNone", func(t *testing.T) {
		h := newHouse(t)
		p := h.admit()
		who := h.caller(p)
		require.False(t, p.Account.HasPassword())
		require.NoError(t, h.door.ChangePassword(ctx, who, "", fresh))
		require.True(t, h.caller(p).Account.HasPassword())
		require.ErrorIs(t, h.door.ChangePassword(ctx, who, "", secret), auth.ErrWrong, "the second does")
		h.restart()
		_, err := h.signIn("Robin", fresh)
		require.NoError(t, err)
	})
	t.Run("TheOldOneIsNotLetInMeanwhile", func(t *testing.T) {
		s := newSetUp(t)
		who := s.caller(s.first)
		during := &meanwhile{Context: ctx, do: func() {
			require.NoError(t, s.door.ChangePassword(ctx, who, secret, fresh))
			s.clock.move(time.Second)
		}}
		_, err := s.door.SignIn(during, auth.Arrival{Name: "Robin", Password: secret, Addr: here})
		require.True(t, during.done)
		require.ErrorIs(t, err, auth.ErrWrong)
		require.Len(t, s.door.Devices(who.Account.ID), 1)
		require.Equal(t, auth.WhatSignInFailed, s.newest(who, 1)[0].What)
		_, err = s.signIn("Robin", fresh)
		require.NoError(t, err)
	})
	t.Run("TheSameHashedAnewIsLetIn", func(t *testing.T) {
		s := newSetUp(t)
		s.storePHC(s.first.Account.ID, foreignHashes[1].phc)
		during := &meanwhile{Context: ctx, do: func() {
			_, err := s.signIn("Robin", secret)
			require.NoError(t, err)
		}}
		_, err := s.door.SignIn(during, auth.Arrival{Name: "Robin", Password: secret, Addr: here})
		require.True(t, during.done)
		require.NoError(t, err)
	})
	t.Run("RacedBySignIns", func(t *testing.T) {
		s := newSetUp(t)
		who := s.caller(s.first)
		var late atomic.Int32
		var changed atomic.Bool
		var wg sync.WaitGroup
		wg.Go(func() {
			if s.door.ChangePassword(ctx, who, secret, fresh) == nil {
				changed.Store(true)
			}
		})
		for i := range 3 {
			wg.Go(func() {
				began := changed.Load()
				_, err := s.signInFrom("Robin", secret, numbered(i))
				if began && err == nil {
					late.Add(1)
				}
			})
		}
		wg.Wait()
		require.Zero(t, late.Load())
		require.True(t, changed.Load())
		s.clock.move(time.Minute)
		_, err := s.signIn("Robin", secret)
		require.ErrorIs(t, err, auth.ErrWrong)
	})
}

// meanwhile does something once, when whoever has it begins to wait: a comparison does that after it has read what is
// stored.
type meanwhile struct {
	context.Context
	do   func()
	done bool
}

func (m *meanwhile) Done() <-chan struct{} {
	if !m.done {
		m.done = true
		m.do()
	}
	return m.Context.Done()
}
