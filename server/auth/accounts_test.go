package auth_test

import (
	"context"
	"encoding/json"
	"fmt"
	"net/netip"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fairmeasure/server/auth"
	"fairmeasure/sync/store"
)

const passphrase = "three pears in a bowl"

var there = netip.MustParseAddr("2001:db8:7::9")

// owned is a house with an owner's device let in.
type owned struct {
	*house
	owner auth.Caller
}

func newOwned(t testing.TB) *owned {
	h := newHouse(t)
	return &owned{h, h.caller(h.admit())}
}

func (h *house) invite(who auth.Caller) (string, auth.AskedCode) {
	h.t.Helper()
	code, asked, err := h.door.Invite(context.Background(), who)
	require.NoError(h.t, err)
	return code.String(), asked
}

func (h *house) join(code, name string) (auth.Pass, error) {
	return h.door.Join(context.Background(), code, auth.Arrival{Name: name, Password: passphrase, Device: "tablet", Addr: there})
}

// member makes a member's account with a device.
func (o *owned) member(name string) auth.Pass {
	o.t.Helper()
	code, _ := o.invite(o.owner)
	p, err := o.join(code, name)
	require.NoError(o.t, err)
	return p
}

// records gives every record of the book, key and value.
func records(t testing.TB, book store.Book) []string {
	t.Helper()
	var out []string
	require.NoError(t, book.Read(context.Background(), func(r store.BookReader) error {
		out = nil
		return r.Each(nil, func(k, v []byte) bool {
			out = append(out, string(k)+" "+string(v))
			return true
		})
	}))
	return out
}

// setRole writes another role into an account's record, and opens the door anew.
func (h *house) setRole(id auth.AccountID, role auth.Role) {
	h.t.Helper()
	require.NoError(h.t, h.book.Write(context.Background(), func(tx store.BookWriter) error {
		v, _, err := tx.Get([]byte("u" + string(id)))
		if err != nil {
			return err
		}
		rec := map[string]any{}
		if err := json.Unmarshal(v, &rec); err != nil {
			return err
		}
		rec["role"] = string(role)
		if v, err = json.Marshal(rec); err != nil {
			return err
		}
		return tx.Set([]byte("u"+string(id)), v)
	}))
	h.restart()
}

func TestInvitation(t *testing.T) {
	ctx := context.Background()

	t.Run("MakesAMember", func(t *testing.T) {
		o := newOwned(t)
		code, asked := o.invite(o.owner)
		require.Equal(t, o.clock.Now().Add(auth.InvitationLife), asked.Until)
		p, err := o.join(code, "  Kim  Wren ")
		require.NoError(t, err)
		require.Equal(t, "Kim Wren", p.Account.Name)
		require.Equal(t, auth.RoleMember, p.Account.Role)
		require.True(t, p.Account.HasPassword())
		require.Equal(t, "tablet", p.Device.Name)
		require.Equal(t, there, p.Device.Address)
		for range 2 {
			who := o.caller(p)
			require.Equal(t, p.Account, who.Account)
			require.NoError(t, o.door.Owns(who, p.Journal))
			own, ok := o.door.JournalOf(o.owner.Account.ID)
			require.True(t, ok)
			require.NotEqual(t, own, p.Journal)
			require.ErrorIs(t, o.door.Owns(who, own), auth.ErrNoJournal)
			require.ErrorIs(t, o.door.Owns(o.owner, p.Journal), auth.ErrNoJournal)
			o.restart()
		}
		_, err = o.renew(p.Refresh)
		require.NoError(t, err)
	})
	t.Run("BringsTheJournalBegunOnTheDevice", func(t *testing.T) {
		o := newOwned(t)
		begun := store.Journal("00112233445566778899aabbccddeeff")
		code, _ := o.invite(o.owner)
		p, err := o.door.Join(ctx, code, auth.Arrival{Name: "Kim", Password: passphrase, Journal: begun})
		require.NoError(t, err)
		require.Equal(t, begun, p.Journal)

		code, _ = o.invite(o.owner)
		q, err := o.door.Join(ctx, code, auth.Arrival{Name: "Alex", Password: passphrase, Journal: begun})
		require.NoError(t, err)
		require.NotEqual(t, begun, q.Journal, "it is another's")
		require.NoError(t, q.Journal.Validate())
	})
	t.Run("RacedByManyOneJoins", func(t *testing.T) {
		o := newOwned(t)
		code, _ := o.invite(o.owner)
		errs := make([]error, 6)
		var wg sync.WaitGroup
		for i := range errs {
			wg.Go(func() { _, errs[i] = o.join(code, fmt.Sprint("Kim ", i)) })
		}
		wg.Wait()
		won := 0
		for _, err := range errs {
			if err == nil {
				won++
				continue
			}
			require.ErrorIs(t, err, auth.ErrCodeUnknown)
		}
		require.Equal(t, 1, won)
		require.Len(t, o.door.Accounts(), 2)
	})
	t.Run("TwoWithOneNameOneJoins", func(t *testing.T) {
		o := newOwned(t)
		first, _ := o.invite(o.owner)
		second, _ := o.invite(o.owner)
		errs := make([]error, 2)
		var wg sync.WaitGroup
		for i, code := range []string{first, second} {
			wg.Go(func() { _, errs[i] = o.join(code, []string{"Kim", "KIM"}[i]) })
		}
		wg.Wait()
		require.True(t, (errs[0] == nil) != (errs[1] == nil), "%v", errs)
		for _, err := range errs {
			if err != nil {
				require.ErrorIs(t, err, auth.ErrNameTaken)
			}
		}
	})
	t.Run("WhatWillNotDoCostsNothing", func(t *testing.T) {
		o := newOwned(t)
		code, _ := o.invite(o.owner)
		_, err := o.join(code, "robin")
		require.ErrorIs(t, err, auth.ErrNameTaken)
		for range auth.TriesPerAddress + 1 {
			_, err = o.join(code, " ")
			require.ErrorIs(t, err, auth.ErrAccountName)
			_, err = o.door.Join(ctx, code, auth.Arrival{Name: "Kim", Password: "too short", Addr: there})
			require.ErrorIs(t, err, auth.ErrPassword)
			_, err = o.door.Join(ctx, code, auth.Arrival{Name: "Kim", Password: passphrase, Device: "a\x00b", Addr: there})
			require.ErrorIs(t, err, auth.ErrName)
			_, err = o.join("not a code", "Kim")
			require.ErrorIs(t, err, auth.ErrCodeUnreadable)
		}
		require.Len(t, o.door.Accounts(), 1)
		_, err = o.join(code, "Kim")
		require.NoError(t, err)
	})
	t.Run("ShownWhereDevicesComeIn", func(t *testing.T) {
		o := newOwned(t)
		code, _ := o.invite(o.owner)
		for range 2*auth.TriesPerAddress + 1 {
			_, err := o.try(code)
			require.ErrorIs(t, err, auth.ErrInvitation)
		}
		require.Len(t, o.door.Devices(o.owner.Account.ID), 1)
		_, err := o.join(code, "Kim")
		require.NoError(t, err)
	})
	t.Run("ADevicesCodeIsNone", func(t *testing.T) {
		o := newOwned(t)
		asked, _, err := o.door.AskCode(ctx, o.owner)
		require.NoError(t, err)
		printed := o.code(time.Minute).String()
		for range 2*auth.TriesPerAddress + 1 {
			for _, code := range []string{asked.String(), printed} {
				_, err := o.door.Join(ctx, code, auth.Arrival{Name: "Kim", Password: passphrase, Addr: here})
				require.ErrorIs(t, err, auth.ErrNotInvitation)
			}
		}
		require.Len(t, o.door.Accounts(), 1)
		_, err = o.try(printed)
		require.NoError(t, err)
		_, err = o.try(asked.String())
		require.ErrorAs(t, err, new(*auth.WaitingError))
	})
	t.Run("Expired", func(t *testing.T) {
		o := newOwned(t)
		code, _ := o.invite(o.owner)
		o.clock.move(auth.InvitationLife)
		_, err := o.join(code, "Kim")
		require.ErrorIs(t, err, auth.ErrCodeExpired)
		_, err = o.try(code)
		require.ErrorIs(t, err, auth.ErrCodeExpired)
		listed, err := o.door.Invitations(ctx, o.owner)
		require.NoError(t, err)
		require.Empty(t, listed)
		o.clock.move(-time.Second)
		_, err = o.join(code, "Kim")
		require.NoError(t, err, "a second before, it holds")
	})
	t.Run("UsedOnce", func(t *testing.T) {
		o := newOwned(t)
		code, _ := o.invite(o.owner)
		_, err := o.join(code, "Kim")
		require.NoError(t, err)
		_, err = o.join(code, "Alex")
		require.ErrorIs(t, err, auth.ErrCodeUnknown)
		o.restart()
		_, err = o.join(code, "Alex")
		require.ErrorIs(t, err, auth.ErrCodeUnknown)
	})
	t.Run("OutlivesAStart", func(t *testing.T) {
		o := newOwned(t)
		code, _ := o.invite(o.owner)
		o.restart()
		require.NoError(t, o.door.ForgetCodes(ctx))
		_, err := o.join(code, "Kim")
		require.NoError(t, err)
	})
	t.Run("ListedApartFromDeviceCodes", func(t *testing.T) {
		o := newOwned(t)
		_, invited := o.invite(o.owner)
		_, asked, err := o.door.AskCode(ctx, o.owner)
		require.NoError(t, err)
		invitations, err := o.door.Invitations(ctx, o.owner)
		require.NoError(t, err)
		require.Equal(t, []auth.AskedCode{invited}, invitations)
		codes, err := o.door.AskedCodes(ctx, o.owner)
		require.NoError(t, err)
		require.Equal(t, []auth.AskedCode{asked}, codes)

		require.ErrorIs(t, o.door.Cancel(ctx, o.owner, invited.ID), auth.ErrNoCode)
		require.ErrorIs(t, o.door.Confirm(ctx, o.owner, invited.ID, "10"), auth.ErrNoCode)
		require.ErrorIs(t, o.door.CancelInvitation(ctx, o.owner, asked.ID), auth.ErrNoCode)
	})
	t.Run("Cancelled", func(t *testing.T) {
		o := newOwned(t)
		code, asked := o.invite(o.owner)
		require.NoError(t, o.door.CancelInvitation(ctx, o.owner, asked.ID))
		_, err := o.join(code, "Kim")
		require.ErrorIs(t, err, auth.ErrCodeUnknown)
		require.ErrorIs(t, o.door.CancelInvitation(ctx, o.owner, asked.ID), auth.ErrNoCode)
	})
	t.Run("ErrTooManyCodes", func(t *testing.T) {
		o := newOwned(t)
		for range auth.MaxCodes {
			o.invite(o.owner)
			_, _, err := o.door.AskCode(ctx, o.owner)
			require.NoError(t, err, "device codes are counted apart")
			o.code(time.Minute)
		}
		_, _, err := o.door.Invite(ctx, o.owner)
		require.ErrorIs(t, err, auth.ErrTooManyCodes)

		second := o.second("Sam", auth.RoleOwner)
		o.invite(second) // each account has its own
		listed, err := o.door.Invitations(ctx, second)
		require.NoError(t, err)
		require.Len(t, listed, 1)
		o.clock.move(auth.InvitationLife)
		o.invite(o.owner)
	})
	t.Run("OnlyAnOwner", func(t *testing.T) {
		o := newOwned(t)
		member := o.caller(o.member("Kim"))
		_, asked := o.invite(o.owner)
		_, _, err := o.door.Invite(ctx, member)
		require.ErrorIs(t, err, auth.ErrNotOwner)
		_, err = o.door.Invitations(ctx, member)
		require.ErrorIs(t, err, auth.ErrNotOwner)
		require.ErrorIs(t, o.door.CancelInvitation(ctx, member, asked.ID), auth.ErrNotOwner)

		claims := member
		claims.Account.Role = auth.RoleOwner
		_, _, err = o.door.Invite(ctx, claims)
		require.ErrorIs(t, err, auth.ErrNotOwner, "the role is what the account says now")
	})
	t.Run("DeadOnceItsAccountIsNoOwners", func(t *testing.T) {
		o := newOwned(t)
		code, _ := o.invite(o.owner)
		o.setRole(o.owner.Account.ID, auth.RoleMember)
		_, err := o.join(code, "Kim")
		require.ErrorIs(t, err, auth.ErrCodeUnknown)
		o.setRole(o.owner.Account.ID, auth.RoleOwner)
		_, err = o.join(code, "Kim")
		require.NoError(t, err, "an owner again")
	})
	t.Run("DeadOnceItsDeviceIsOut", func(t *testing.T) {
		o := newOwned(t)
		other := o.caller(o.admit())
		code, _ := o.invite(o.owner)
		require.NoError(t, o.door.Revoke(ctx, other, o.owner.Device.ID))
		_, err := o.join(code, "Kim")
		require.ErrorIs(t, err, auth.ErrCodeUnknown)
		_, _, err = o.door.Invite(ctx, o.owner)
		require.ErrorIs(t, err, auth.ErrRevoked)
		listed, err := o.door.Invitations(ctx, other)
		require.NoError(t, err)
		require.Empty(t, listed)
	})
	t.Run("NoSecretInTheBook", func(t *testing.T) {
		o := newOwned(t)
		code, _ := o.invite(o.owner)
		o.member("Kim")
		all := strings.Join(records(t, o.book), "\n")
		for _, secret := range []string{code, strings.ReplaceAll(code, "-", ""), passphrase} {
			require.NotContains(t, all, secret)
		}
	})
}

// TestInvitationGuessed: the rules for wrong codes hold for invitations, and the two doors share them.
func TestInvitationGuessed(t *testing.T) {
	ctx := context.Background()
	// A password that will not do: an unknown code is told before any password is looked at, so it costs no hash.
	wrong := func(o *owned, addr string) error {
		_, err := o.door.Join(ctx, "0000-0000-0000", auth.Arrival{Name: "Kim", Password: "short", Addr: netip.MustParseAddr(addr)})
		return err
	}
	t.Run("TenFromOneAddress", func(t *testing.T) {
		o := newOwned(t)
		code, _ := o.invite(o.owner)
		for i := range auth.TriesPerAddress {
			require.ErrorIs(t, wrong(o, there.String()), auth.ErrCodeUnknown)
			if i == 4 {
				o.restart()
			}
		}
		_, err := o.join(code, "Kim")
		require.ErrorAs(t, err, new(*auth.WaitError), "the right one does not help either")
		_, err = o.door.Admit(ctx, auth.Visitor{Code: code, Addr: there})
		require.ErrorAs(t, err, new(*auth.WaitError))
		o.clock.move(time.Hour)
		_, err = o.join(code, "Kim")
		require.NoError(t, err)
	})
	t.Run("TwoHundredFromElsewhereEndNoInvitation", func(t *testing.T) {
		for _, door := range []string{"join", "pair"} {
			t.Run(door, func(t *testing.T) {
				o := newOwned(t)
				code, _ := o.invite(o.owner)
				for i := range 200 {
					addr := fmt.Sprintf("192.0.2.%d", 20+i)
					err := wrong(o, addr)
					if door == "pair" {
						_, err = o.door.Admit(ctx, auth.Visitor{Code: "0000-0000-0000", Addr: netip.MustParseAddr(addr)})
					}
					require.ErrorIs(t, err, auth.ErrCodeUnknown)
				}
				_, err := o.join(code, "Kim")
				require.NoError(t, err)
			})
		}
	})
}

// second makes an account at the terminal and lets its first device in.
func (h *house) second(name string, role auth.Role) auth.Caller {
	h.t.Helper()
	h.clock.move(time.Second) // accounts are listed by age
	a, err := h.door.CreateAccount(context.Background(), name, role)
	require.NoError(h.t, err)
	p, err := h.try(h.recover(a.ID, false))
	require.NoError(h.t, err)
	require.Equal(h.t, a.ID, p.Account.ID)
	return h.caller(p)
}

func (h *house) recover(id auth.AccountID, shut bool) string {
	h.t.Helper()
	code, err := h.door.Recover(context.Background(), id, time.Hour, shut)
	require.NoError(h.t, err)
	return code.String()
}

func TestCreateAccount(t *testing.T) {
	ctx := context.Background()
	o := newOwned(t)
	sam := o.second("Sam", auth.RoleOwner)
	kim := o.second("Kim Wren", auth.RoleMember)
	require.False(t, kim.Account.HasPassword())

	journals := map[store.Journal]bool{}
	for range 2 {
		var names []string
		for _, a := range o.door.Accounts() {
			names = append(names, a.Name)
			j, ok := o.door.JournalOf(a.ID)
			require.True(t, ok)
			journals[j] = true
		}
		require.Equal(t, []string{"Robin", "Sam", "Kim Wren"}, names, "oldest first")
		require.Len(t, journals, 3)

		found, ok := o.door.AccountNamed(" kim   WREN")
		require.True(t, ok)
		require.Equal(t, kim.Account, found)
		_, ok = o.door.AccountNamed("Kim")
		require.False(t, ok)
		_, ok = o.door.AccountNamed("")
		require.False(t, ok)

		for range 20 { // of two owners, the oldest is the server's
			owner, journal, err := o.door.Owner(ctx, "")
			require.NoError(t, err)
			require.Equal(t, o.owner.Account, owner)
			require.NoError(t, o.door.Owns(o.owner, journal))
			require.ErrorIs(t, o.door.Owns(sam, journal), auth.ErrNoJournal)
		}
		require.Equal(t, o.owner.Account, o.admit().Account, "a code of the terminal admits to the server's owner")
		o.restart()
	}

	_, err := o.door.CreateAccount(ctx, "KIM WREN", auth.RoleMember)
	require.ErrorIs(t, err, auth.ErrNameTaken)
	_, err = o.door.CreateAccount(ctx, "  ", auth.RoleMember)
	require.ErrorIs(t, err, auth.ErrAccountName)
	_, err = o.door.CreateAccount(ctx, "Alex", "keeper")
	require.ErrorContains(t, err, `not "keeper"`)
	require.Len(t, o.door.Accounts(), 3)
}

// TestNoOwnerButANameLikeIt: the owner's account is not made under a name that is a member's.
func TestNoOwnerButANameLikeIt(t *testing.T) {
	h := newHouse(t)
	_, err := h.door.CreateAccount(context.Background(), "ROBIN", auth.RoleMember)
	require.NoError(t, err)
	_, err = h.try(h.code(time.Minute).String())
	require.ErrorIs(t, err, auth.ErrNameTaken)
	require.Len(t, h.door.Accounts(), 1)
}

// wrongPassword tries one, and gives the keys of what is counted now.
func (h *house) wrongPassword(name string) []string {
	h.t.Helper()
	_, err := h.door.SignIn(context.Background(), auth.Arrival{Name: name, Password: "no pears at all", Addr: there})
	require.ErrorIs(h.t, err, auth.ErrWrong)
	return h.counted()
}

func (h *house) counted() []string {
	h.t.Helper()
	var keys []string
	for _, rec := range records(h.t, h.book) {
		if key, _, _ := strings.Cut(rec, " "); strings.HasPrefix(key, "f") {
			keys = append(keys, key)
		}
	}
	return keys
}

func TestRecover(t *testing.T) {
	ctx := context.Background()

	t.Run("AdmitsOneDeviceAtOnce", func(t *testing.T) {
		o := newOwned(t)
		member := o.member("Kim")
		code := o.recover(member.Account.ID, false)
		o.restart()
		require.NoError(t, o.door.ForgetCodes(ctx), "as a server does at its start")
		p, err := o.try(code)
		require.NoError(t, err)
		require.Equal(t, member.Account.ID, p.Account.ID)
		require.Equal(t, member.Journal, p.Journal)
		_, err = o.try(code)
		require.ErrorIs(t, err, auth.ErrCodeUnknown)
		o.caller(member) // its devices stay
	})
	t.Run("TakesThePasswordAway", func(t *testing.T) {
		o := newOwned(t)
		member := o.member("Kim")
		require.True(t, o.caller(member).Account.HasPassword())
		o.recover(member.Account.ID, false)
		for range 2 {
			require.False(t, o.caller(member).Account.HasPassword())
			o.restart()
		}
	})
	t.Run("ForgetsWrongPasswords", func(t *testing.T) {
		o := newOwned(t)
		member := o.member("Kim Wren")
		others := o.wrongPassword("Robin")
		require.Len(t, o.wrongPassword("KIM wren"), len(others)+1)
		o.recover(member.Account.ID, false)
		require.Equal(t, others, o.counted())
	})
	t.Run("ShutsDevices", func(t *testing.T) {
		o := newOwned(t)
		member := o.member("Kim")
		who := o.caller(member)
		code := o.recover(member.Account.ID, true)
		for range 2 {
			require.ErrorIs(t, o.door.Still(who), auth.ErrRevoked)
			_, err := o.renew(member.Refresh)
			require.ErrorIs(t, err, auth.ErrRevoked)
			require.NoError(t, o.door.Still(o.owner), "another account's are not touched")
			o.restart()
		}
		_, err := o.try(code)
		require.NoError(t, err)
	})
	t.Run("TheLastCodeHolds", func(t *testing.T) {
		o := newOwned(t)
		member := o.member("Kim")
		asked, _, err := o.door.AskCode(ctx, o.caller(member))
		require.NoError(t, err)
		others := o.recover(o.owner.Account.ID, false)
		var before string
		for range auth.MaxCodes + 1 {
			code := o.recover(member.Account.ID, false)
			if before != "" {
				_, err := o.try(before)
				require.ErrorIs(t, err, auth.ErrCodeUnknown)
			}
			before = code
		}
		p, err := o.try(before)
		require.NoError(t, err)
		require.Equal(t, member.Account.ID, p.Account.ID)
		p, err = o.try(others)
		require.NoError(t, err)
		require.Equal(t, o.owner.Account.ID, p.Account.ID)
		_, err = o.try(asked.String())
		require.ErrorAs(t, err, new(*auth.WaitingError), "codes of its devices are others")
	})
	t.Run("NotInTheHandsOfDevices", func(t *testing.T) {
		o := newOwned(t)
		code := o.recover(o.owner.Account.ID, false)
		codes, err := o.door.AskedCodes(ctx, o.owner)
		require.NoError(t, err)
		require.Empty(t, codes)
		invitations, err := o.door.Invitations(ctx, o.owner)
		require.NoError(t, err)
		require.Empty(t, invitations)
		require.ErrorIs(t, o.door.Cancel(ctx, o.owner, ""), auth.ErrNoCode)
		require.ErrorIs(t, o.door.CancelInvitation(ctx, o.owner, ""), auth.ErrNoCode)
		_, err = o.join(code, "Kim")
		require.ErrorIs(t, err, auth.ErrNotInvitation)
		o.clock.move(time.Hour)
		_, err = o.try(code)
		require.ErrorIs(t, err, auth.ErrCodeExpired)
	})
	t.Run("ErrNoAccount", func(t *testing.T) {
		o := newOwned(t)
		_, err := o.door.Recover(ctx, auth.AccountID(strings.Repeat("0", 32)), time.Hour, true)
		require.ErrorIs(t, err, auth.ErrNoAccount)
		require.NoError(t, o.door.Still(o.owner))
	})
}

func TestRemoveAccount(t *testing.T) {
	ctx := context.Background()

	t.Run("NothingOfItIsLeft", func(t *testing.T) {
		o := newOwned(t)
		_, ownersCode := o.invite(o.owner)
		before := o.member("Alex Finch")
		gone := o.member("Kim Wren")
		o.setRole(gone.Account.ID, auth.RoleOwner) // so that it has invitations too
		who := o.caller(gone)
		who.Addr = netip.MustParseAddr("198.51.100.23")

		token := gone.Refresh
		for range 3 {
			p, err := o.door.Renew(ctx, token, who.Addr)
			require.NoError(t, err)
			token = p.Refresh
		}
		latest := o.recover(gone.Account.ID, false)
		q, err := o.try(latest)
		require.NoError(t, err)
		invitation, _ := o.invite(who)
		asked, _, err := o.door.AskCode(ctx, who)
		require.NoError(t, err)
		_, err = o.door.Admit(ctx, auth.Visitor{Code: asked.String(), Name: "pantry phone", Journal: "00112233445566778899aabbccddeeff", Addr: there})
		require.ErrorAs(t, err, new(*auth.WaitingError))
		recovery := o.recover(gone.Account.ID, false)
		o.door.Seen(q.Device.ID, o.clock.Now().Add(time.Minute), netip.MustParseAddr("198.51.100.24"))
		require.NoError(t, o.door.Keep(ctx))
		require.NoError(t, o.door.RenameDevice(ctx, who, gone.Device.ID, "larder"))
		for i := range 600 { // more than one transaction of the clearing
			require.NoError(t, o.door.RenameDevice(ctx, who, q.Device.ID, fmt.Sprint("cellar ", i)))
		}
		require.NoError(t, o.door.RenameDevice(ctx, o.owner, o.owner.Device.ID, "laptop"))
		o.door.Seen(q.Device.ID, o.clock.Now().Add(2*time.Minute), who.Addr)
		marks := []string{
			string(gone.Account.ID), string(gone.Device.ID), string(q.Device.ID), string(gone.Journal), "Kim Wren", "larder", "cellar",
			"pantry phone", "198.51.100.2", "00112233445566778899aabbccddeeff",
		}
		others := o.wrongPassword("Robin")
		require.Len(t, o.wrongPassword("KIM wren"), len(others)+2, "for the name from there, and for the name from wherever")
		all := strings.Join(records(t, o.book), "\n")
		for _, m := range marks {
			require.Contains(t, all, m)
		}

		require.NoError(t, o.door.RemoveAccount(ctx, gone.Account.ID))
		require.Equal(t, others, o.counted())
		for range 2 {
			for _, rec := range records(t, o.book) {
				for _, m := range marks {
					require.NotContains(t, rec, m)
				}
			}
			_, err = o.door.Check(gone.Access)
			require.ErrorIs(t, err, auth.ErrExpired)
			require.ErrorIs(t, o.door.Still(who), auth.ErrExpired)
			_, err = o.renew(token)
			require.ErrorIs(t, err, auth.ErrSignedOut)
			require.ErrorIs(t, o.door.Owns(who, gone.Journal), auth.ErrNoJournal)
			_, ok := o.door.JournalOf(gone.Account.ID)
			require.False(t, ok)
			_, ok = o.door.AccountNamed("Kim Wren")
			require.False(t, ok)
			require.Empty(t, o.door.Devices(gone.Account.ID))
			require.Len(t, o.door.Accounts(), 2)

			require.NoError(t, o.door.Still(o.owner))
			o.caller(before)
			listed, err := o.door.Invitations(ctx, o.owner)
			require.NoError(t, err)
			require.Equal(t, []auth.AskedCode{ownersCode}, listed)
			require.NoError(t, o.door.Keep(ctx), "what was seen of it is not written down again")
			o.restart()
		}
		for _, code := range []string{asked.String(), recovery, invitation} {
			_, err := o.try(code)
			require.ErrorIs(t, err, auth.ErrCodeUnknown)
		}
		require.ErrorIs(t, o.door.RemoveAccount(ctx, gone.Account.ID), auth.ErrNoAccount)
		_, err = o.door.Recover(ctx, gone.Account.ID, time.Hour, false)
		require.ErrorIs(t, err, auth.ErrNoAccount)
	})
	t.Run("ItsNameIsFree", func(t *testing.T) {
		o := newOwned(t)
		first := o.member("Kim")
		require.NoError(t, o.door.RemoveAccount(ctx, first.Account.ID))
		second := o.member("KIM")
		require.NotEqual(t, first.Account.ID, second.Account.ID)
		require.NotEqual(t, first.Journal, second.Journal)
		_, err := o.door.Check(first.Access)
		require.ErrorIs(t, err, auth.ErrExpired)
	})
	t.Run("TheOwnerGoesMembersStay", func(t *testing.T) {
		o := newOwned(t)
		code, _ := o.invite(o.owner)
		member := o.member("Kim")
		require.NoError(t, o.door.RemoveAccount(ctx, o.owner.Account.ID))
		for range 2 {
			accounts := o.door.Accounts()
			require.Len(t, accounts, 1)
			require.Equal(t, auth.RoleMember, accounts[0].Role)
			require.NoError(t, o.door.Owns(o.caller(member), member.Journal))
			_, err := o.door.Invitations(ctx, o.caller(member))
			require.ErrorIs(t, err, auth.ErrNotOwner, "nobody inherits the role")
			o.restart()
		}
		_, err := o.join(code, "Alex")
		require.ErrorIs(t, err, auth.ErrCodeUnknown)
	})
	t.Run("CutOffHalfway", func(t *testing.T) {
		o := newOwned(t)
		member := o.member("Kim")
		next, err := o.renew(member.Refresh)
		require.NoError(t, err)
		_, err = o.renew(next.Refresh)
		require.NoError(t, err)
		nobody := strings.Repeat("ef", 16)
		require.NoError(t, o.book.Write(ctx, func(tx store.BookWriter) error {
			for k, v := range map[string]string{
				"x" + strings.Repeat("0", 64): `{"account":"` + nobody + `","device":"zzzzzzzz","until":9999999999999}`,
				"a" + nobody + fmt.Sprintf("%016x", o.clock.Now().UnixMilli()) + "00000000": `{"what":"joined"}`,
			} {
				if err := tx.Set([]byte(k), []byte(v)); err != nil {
					return err
				}
			}
			return nil
		}))
		kept := countPrefix(t, o.book, "a"+string(member.Account.ID))
		require.NoError(t, o.door.Keep(ctx))
		require.NotContains(t, strings.Join(records(t, o.book), "\n"), nobody)
		require.Equal(t, 1, countPrefix(t, o.book, "x"), "the living account's used token stays")
		require.Equal(t, kept, countPrefix(t, o.book, "a"+string(member.Account.ID)))
	})
}

func TestRenameDevice(t *testing.T) {
	ctx := context.Background()
	o := newOwned(t)
	phone := o.admit()
	stranger := o.caller(o.member("Kim"))
	name := func() string { return o.door.DeviceName(o.owner.Account.ID, phone.Device.ID) }
	for typed, kept := range map[string]string{"  Kitchen   laptop ": "Kitchen laptop", "Caf\u0065\u0301": "Caf\u00e9", "": "Device"} {
		require.NoError(t, o.door.RenameDevice(ctx, o.owner, phone.Device.ID, typed))
		require.Equal(t, kept, name())
		o.restart()
		require.Equal(t, kept, name())
	}
	require.NoError(t, o.door.RenameDevice(ctx, o.owner, phone.Device.ID, "shelf"))
	for _, typed := range []string{strings.Repeat("x", 61), "a\u202eb", "\xff"} {
		require.ErrorIs(t, o.door.RenameDevice(ctx, o.owner, phone.Device.ID, typed), auth.ErrName)
	}
	require.ErrorIs(t, o.door.RenameDevice(ctx, o.owner, "zzzzzzzz", "x"), auth.ErrNoDevice)
	require.ErrorIs(t, o.door.RenameDevice(ctx, stranger, phone.Device.ID, "x"), auth.ErrNoDevice)
	require.Equal(t, "shelf", name())

	o.caller(phone) // its sign-in goes on
	require.NoError(t, o.door.Revoke(ctx, o.owner, phone.Device.ID))
	require.ErrorIs(t, o.door.RenameDevice(ctx, auth.Caller{Account: phone.Account, Device: phone.Device}, phone.Device.ID, "x"), auth.ErrRevoked)
	require.NoError(t, o.door.RenameDevice(ctx, o.owner, phone.Device.ID, "the old phone"), "a journal names it still")
	_, err := o.door.Check(phone.Access)
	require.ErrorIs(t, err, auth.ErrRevoked)
}

func TestLastAddress(t *testing.T) {
	ctx := context.Background()
	h := newHouse(t)
	p := h.admit()
	last := func() string {
		devices := h.door.Devices(p.Account.ID)
		require.NotEmpty(t, devices)
		if !devices[0].Address.IsValid() {
			return ""
		}
		return devices[0].Address.String()
	}
	seen := func(text string) {
		var addr netip.Addr
		if text != "" {
			addr = netip.MustParseAddr(text)
		}
		h.clock.move(time.Second)
		h.door.Seen(p.Device.ID, h.clock.Now(), addr)
	}
	require.Equal(t, "192.0.2.7", last())
	seen("::ffff:198.51.100.1")
	require.Equal(t, "198.51.100.1", last(), "an IPv4 address looks like one")
	seen("fe80::1%en0")
	require.Equal(t, "fe80::1", last())
	seen("")
	require.Equal(t, "fe80::1", last(), "unknown is no news")
	h.door.Seen(p.Device.ID, h.clock.Now().Add(-time.Minute), here)
	require.Equal(t, "fe80::1", last(), "late news is no news")
	require.NoError(t, h.door.Keep(ctx))
	h.restart()
	require.Equal(t, "fe80::1", last())

	renewed, err := h.door.Renew(ctx, p.Refresh, there)
	require.NoError(t, err)
	require.Equal(t, there, renewed.Device.Address)
	require.Equal(t, there.String(), last())
	h.restart()
	require.Equal(t, there.String(), last())

	seen("198.51.100.1")
	who := h.caller(renewed)
	require.NoError(t, h.door.RenameDevice(ctx, who, p.Device.ID, "shelf"))
	require.Equal(t, "198.51.100.1", last(), "what is not written down yet is not forgotten over another change")
	require.NoError(t, h.door.Keep(ctx))
	h.restart()
	require.Equal(t, "198.51.100.1", last())
	require.Equal(t, "shelf", h.door.DeviceName(p.Account.ID, p.Device.ID))

	q, err := h.door.Admit(ctx, auth.Visitor{Code: h.code(time.Minute).String()})
	require.NoError(t, err)
	require.False(t, q.Device.Address.IsValid())
	h.restart()
}

// TestLastAddressOfAClaim: a device that waited was last seen where it showed its code.
func TestLastAddressOfAClaim(t *testing.T) {
	p := newPairing(t)
	w := p.show()
	require.NoError(t, p.confirm(w.Number))
	pass, err := p.claim(w)
	require.NoError(t, err)
	require.Equal(t, here, pass.Device.Address)
}
