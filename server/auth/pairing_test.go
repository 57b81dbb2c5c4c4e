package auth_test

import (
	"context"
	"errors"
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

// pairing is a house with one device let in, which asked for a code.
type pairing struct {
	*house
	first auth.Caller
	code  string
	asked auth.AskedCode
}

func newPairing(t testing.TB) *pairing {
	p := &pairing{house: newHouse(t)}
	p.first = p.caller(p.admit())
	p.code, p.asked = p.ask()
	return p
}

func (h *house) caller(p auth.Pass) auth.Caller {
	h.t.Helper()
	who, err := h.door.Check(p.Access)
	require.NoError(h.t, err)
	return who
}

func (p *pairing) ask() (string, auth.AskedCode) {
	p.t.Helper()
	code, asked, err := p.door.AskCode(context.Background(), p.first)
	require.NoError(p.t, err)
	return code.String(), asked
}

// show shows the code at the door and gives what the device is told.
func (p *pairing) show() auth.Wait {
	p.t.Helper()
	_, err := p.try(p.code)
	var wait *auth.WaitingError
	require.ErrorAs(p.t, err, &wait)
	return wait.Wait
}

func (p *pairing) confirm(number string) error {
	return p.door.Confirm(context.Background(), p.first, p.asked.ID, number)
}

func (p *pairing) claim(w auth.Wait) (auth.Pass, error) {
	return p.door.Claim(context.Background(), w.Claim)
}

func (p *pairing) devices() int { return len(p.door.Devices(p.first.Account.ID)) }

func other(number string) string {
	if number == "47" {
		return "48"
	}
	return "47"
}

func TestPairingFromADevice(t *testing.T) {
	ctx := context.Background()
	waits := func(t *testing.T, err error) {
		t.Helper()
		require.ErrorAs(t, err, new(*auth.WaitingError))
	}

	t.Run("ConfirmedThenIn", func(t *testing.T) {
		p := newPairing(t)
		require.Equal(t, p.clock.Now().Add(auth.CodeLife), p.asked.Until)
		w := p.show()
		require.Regexp(t, `^[1-9][0-9]$`, w.Number)
		require.Equal(t, 1, p.devices(), "a code alone lets nobody in")
		_, err := p.claim(w)
		waits(t, err)

		listed, err := p.door.AskedCodes(ctx, p.first)
		require.NoError(t, err)
		require.Equal(t, []auth.AskedCode{{ID: p.asked.ID, Until: p.asked.Until, Name: "phone", Since: p.clock.Now()}}, listed)

		require.NoError(t, p.confirm(w.Number))
		pass, err := p.claim(w)
		require.NoError(t, err)
		require.Equal(t, p.first.Account, pass.Account)
		require.Equal(t, "phone", pass.Device.Name)
		require.Equal(t, pass.Device.ID, p.caller(pass).Device.ID)
		_, err = p.renew(pass.Refresh)
		require.NoError(t, err)
		require.Equal(t, 2, p.devices())
	})
	t.Run("JoinsTheAccountsJournal", func(t *testing.T) {
		p := newPairing(t)
		journal, ok := p.door.JournalOf(p.first.Account.ID)
		require.True(t, ok)
		_, err := p.door.Admit(ctx, auth.Visitor{Code: p.code, Journal: "00112233445566778899aabbccddeeff", Addr: here})
		var wait *auth.WaitingError
		require.ErrorAs(t, err, &wait)
		require.NoError(t, p.confirm(wait.Number))
		pass, err := p.claim(wait.Wait)
		require.NoError(t, err)
		require.Equal(t, journal, pass.Journal)
	})
	t.Run("C121/CodeShownTwice", func(t *testing.T) {
		p := newPairing(t)
		w := p.show()
		_, err := p.try(p.code)
		require.ErrorIs(t, err, auth.ErrCodeUnknown, "while one waits")
		require.NoError(t, p.confirm(w.Number))
		_, err = p.try(p.code)
		require.ErrorIs(t, err, auth.ErrCodeUnknown, "once confirmed")
		_, err = p.claim(w)
		require.NoError(t, err)
		_, err = p.try(p.code)
		require.ErrorIs(t, err, auth.ErrCodeUnknown, "once used")
		require.Equal(t, 2, p.devices())
	})
	t.Run("C121/ClaimShownTwice", func(t *testing.T) {
		p := newPairing(t)
		w := p.show()
		require.NoError(t, p.confirm(w.Number))
		errs := make([]error, 8)
		var wg sync.WaitGroup
		for i := range errs {
			wg.Go(func() { _, errs[i] = p.claim(w) })
		}
		wg.Wait()
		won := 0
		for _, err := range errs {
			if err == nil {
				won++
				continue
			}
			require.ErrorIs(t, err, auth.ErrClaimGone)
		}
		require.Equal(t, 1, won)
		require.Equal(t, 2, p.devices())
	})
	t.Run("RacedByManyOneWaits", func(t *testing.T) {
		p := newPairing(t)
		errs := make([]error, 8)
		var wg sync.WaitGroup
		for i := range errs {
			wg.Go(func() { _, errs[i] = p.try(p.code) })
		}
		wg.Wait()
		waiting := 0
		for _, err := range errs {
			if errors.As(err, new(*auth.WaitingError)) {
				waiting++
				continue
			}
			require.ErrorIs(t, err, auth.ErrCodeUnknown)
		}
		require.Equal(t, 1, waiting)
		require.Equal(t, 1, p.devices())
	})
	t.Run("WrongNumberEndsIt", func(t *testing.T) {
		for _, wrong := range []string{"other", "", "0", "047", "１２"} {
			p := newPairing(t)
			w := p.show()
			if wrong == "other" {
				wrong = other(w.Number)
			}
			require.ErrorIs(t, p.confirm(wrong), auth.ErrNumber)
			require.ErrorIs(t, p.confirm(w.Number), auth.ErrNotWaiting, "there is one try")
			_, err := p.claim(w)
			require.ErrorIs(t, err, auth.ErrRefused)
			_, err = p.try(p.code)
			require.ErrorIs(t, err, auth.ErrCodeUnknown)
			require.Equal(t, 1, p.devices())
			listed, err := p.door.AskedCodes(ctx, p.first)
			require.NoError(t, err)
			require.Empty(t, listed)
		}
	})
	t.Run("ConfirmedBeforeAnyoneWaits", func(t *testing.T) {
		p := newPairing(t)
		require.ErrorIs(t, p.confirm(""), auth.ErrNotWaiting)
		w := p.show()
		require.NoError(t, p.confirm(w.Number), "that was no try")
	})
	t.Run("Cancelled", func(t *testing.T) {
		p := newPairing(t)
		require.NoError(t, p.door.Cancel(ctx, p.first, p.asked.ID))
		_, err := p.try(p.code)
		require.ErrorIs(t, err, auth.ErrCodeUnknown)
		require.ErrorIs(t, p.door.Cancel(ctx, p.first, p.asked.ID), auth.ErrNoCode)

		p = newPairing(t)
		w := p.show()
		require.NoError(t, p.door.Cancel(ctx, p.first, p.asked.ID))
		_, err = p.claim(w)
		require.ErrorIs(t, err, auth.ErrRefused)
		require.ErrorIs(t, p.confirm(w.Number), auth.ErrNotWaiting)
	})
	t.Run("ExpiredUnused", func(t *testing.T) {
		p := newPairing(t)
		p.clock.move(auth.CodeLife)
		_, err := p.try(p.code)
		require.ErrorIs(t, err, auth.ErrCodeExpired)
	})
	t.Run("ExpiredWhileWaiting", func(t *testing.T) {
		p := newPairing(t)
		w := p.show()
		p.clock.move(auth.CodeLife - time.Second)
		_, err := p.claim(w)
		waits(t, err)
		p.clock.move(time.Second)
		_, err = p.claim(w)
		require.ErrorIs(t, err, auth.ErrCodeExpired)
		require.ErrorIs(t, p.confirm(w.Number), auth.ErrCodeExpired)
		p.clock.move(48 * time.Hour)
		require.NoError(t, p.door.Keep(ctx))
		_, err = p.claim(w)
		require.ErrorIs(t, err, auth.ErrClaimGone)
		require.Equal(t, 1, p.devices())
	})
	t.Run("ConfirmedLateTheClaimHasTime", func(t *testing.T) {
		p := newPairing(t)
		w := p.show()
		p.clock.move(auth.CodeLife - time.Second)
		require.NoError(t, p.confirm(w.Number))
		p.clock.move(auth.CodeLife - time.Second)
		_, err := p.claim(w)
		require.NoError(t, err)
	})
	t.Run("ConfirmedAndNeverClaimed", func(t *testing.T) {
		p := newPairing(t)
		w := p.show()
		require.NoError(t, p.confirm(w.Number))
		p.clock.move(auth.CodeLife)
		_, err := p.claim(w)
		require.ErrorIs(t, err, auth.ErrCodeExpired)
		require.Equal(t, 1, p.devices())
	})
	t.Run("RestartsInTheMiddle", func(t *testing.T) {
		p := newPairing(t)
		restart := func() {
			p.restart()
			require.NoError(t, p.door.ForgetCodes(ctx), "as a server does at its start")
		}
		printed := p.house.code(time.Minute).String()
		restart()
		_, err := p.try(printed)
		require.ErrorIs(t, err, auth.ErrCodeUnknown, "only the codes of the terminal are forgotten")
		w := p.show()
		restart()
		_, err = p.claim(w)
		waits(t, err)
		require.NoError(t, p.confirm(w.Number))
		restart()
		_, err = p.claim(w)
		require.NoError(t, err)
		restart()
		_, err = p.claim(w)
		require.ErrorIs(t, err, auth.ErrClaimGone)
		require.Equal(t, 2, p.devices())
	})
	t.Run("ErrTooManyCodes", func(t *testing.T) {
		p := newPairing(t)
		for range auth.MaxCodes - 1 {
			p.ask()
		}
		_, _, err := p.door.AskCode(ctx, p.first)
		require.ErrorIs(t, err, auth.ErrTooManyCodes)
		p.house.code(time.Minute) // the terminal's are counted apart
		require.NoError(t, p.door.Cancel(ctx, p.first, p.asked.ID))
		p.ask()
	})
	t.Run("AnotherAccountsDeviceCannot", func(t *testing.T) {
		p := newPairing(t)
		stranger := p.stranger()
		w := p.show()
		require.ErrorIs(t, p.door.Confirm(ctx, stranger, p.asked.ID, w.Number), auth.ErrNoCode)
		require.ErrorIs(t, p.door.Cancel(ctx, stranger, p.asked.ID), auth.ErrNoCode)
		listed, err := p.door.AskedCodes(ctx, stranger)
		require.NoError(t, err)
		require.Empty(t, listed)
		_, err = p.claim(w)
		waits(t, err)

		// What the stranger pairs is the stranger's, not the owner's.
		code, asked, err := p.door.AskCode(ctx, stranger)
		require.NoError(t, err)
		_, err = p.try(code.String())
		var wait *auth.WaitingError
		require.ErrorAs(t, err, &wait)
		require.ErrorIs(t, p.door.Confirm(ctx, p.first, asked.ID, wait.Number), auth.ErrNoCode)
		require.NoError(t, p.door.Confirm(ctx, stranger, asked.ID, wait.Number))
		pass, err := p.claim(wait.Wait)
		require.NoError(t, err)
		require.Equal(t, stranger.Account.ID, pass.Account.ID)
		require.ErrorIs(t, p.door.Owns(p.caller(pass), p.journal()), auth.ErrNoJournal)
	})
	t.Run("AnotherDeviceOfTheAccountCan", func(t *testing.T) {
		p := newPairing(t)
		second := p.caller(p.admit())
		w := p.show()
		require.NoError(t, p.door.Confirm(ctx, second, p.asked.ID, w.Number))
		_, err := p.claim(w)
		require.NoError(t, err)
	})
	t.Run("ARevokedDevicesCodesAreDead", func(t *testing.T) {
		p := newPairing(t)
		second := p.caller(p.admit())
		w := p.show()
		unused, _ := p.ask()
		require.NoError(t, p.door.Revoke(ctx, second, p.first.Device.ID))
		_, err := p.try(unused)
		require.ErrorIs(t, err, auth.ErrCodeUnknown)
		_, err = p.claim(w)
		require.ErrorIs(t, err, auth.ErrRefused)
		require.ErrorIs(t, p.confirm(w.Number), auth.ErrRevoked, "nor does it confirm anything")
		require.ErrorIs(t, p.door.Confirm(ctx, second, p.asked.ID, w.Number), auth.ErrNoCode)
		require.Equal(t, 2, p.devices())
	})
	t.Run("GarbageForAClaim", func(t *testing.T) {
		p := newPairing(t)
		w := p.show()
		for _, claim := range []string{"", "x", w.Claim[1:], w.Claim + "A", strings.Repeat("A", 43), strings.Repeat("A", 10_000)} {
			_, err := p.door.Claim(ctx, claim)
			require.ErrorIs(t, err, auth.ErrClaimGone, claim)
		}
		_, err := p.claim(w)
		waits(t, err)
	})
	t.Run("NoSecretInTheBook", func(t *testing.T) {
		p := newPairing(t)
		w := p.show()
		require.NoError(t, p.book.Read(ctx, func(r store.BookReader) error {
			return r.Each(nil, func(k, v []byte) bool {
				for _, secret := range []string{w.Claim, p.code, strings.ReplaceAll(p.code, "-", "")} {
					require.NotContains(t, string(k)+string(v), secret)
				}
				return true
			})
		}))
	})
}

// TestAskedCodeGuessed: the rules for wrong codes hold for codes asked for by devices.
func TestAskedCodeGuessed(t *testing.T) {
	wrong := func(p *pairing, addr string) error {
		_, err := p.door.Admit(context.Background(), auth.Visitor{Code: "0000-0000-0000", Addr: netip.MustParseAddr(addr)})
		return err
	}
	t.Run("TenFromOneAddress", func(t *testing.T) {
		p := newPairing(t)
		for range auth.TriesPerAddress {
			require.ErrorIs(t, wrong(p, here.String()), auth.ErrCodeUnknown)
		}
		_, err := p.try(p.code)
		require.ErrorAs(t, err, new(*auth.WaitError))
	})
	t.Run("TwoHundredFromElsewhereEndNoCode", func(t *testing.T) {
		p := newPairing(t)
		for i := range 200 {
			require.ErrorIs(t, wrong(p, fmt.Sprintf("192.0.2.%d", 20+i)), auth.ErrCodeUnknown)
			if i == 10 {
				p.restart()
				require.NoError(t, p.door.ForgetCodes(context.Background()))
			}
		}
		p.show()
	})
	t.Run("AUsedCodeIsAWrongTry", func(t *testing.T) {
		p := newPairing(t)
		p.show()
		for range auth.TriesPerAddress {
			_, err := p.try(p.code)
			require.ErrorIs(t, err, auth.ErrCodeUnknown)
		}
		_, err := p.try(p.code)
		require.ErrorAs(t, err, new(*auth.WaitError))
	})
}

func TestRevokeOthers(t *testing.T) {
	ctx := context.Background()
	p := newPairing(t)
	second, third := p.admit(), p.admit()
	out := p.admit()
	require.NoError(t, p.door.SignOut(ctx, p.caller(out)))
	strangers := p.stranger()

	gone, err := p.door.RevokeOthers(ctx, p.first)
	require.NoError(t, err)
	require.ElementsMatch(t, []auth.DeviceID{second.Device.ID, third.Device.ID}, gone)
	for _, restarted := range []bool{false, true} {
		if restarted {
			p.restart()
		}
		for _, pass := range []auth.Pass{second, third} {
			_, err := p.door.Check(pass.Access)
			require.ErrorIs(t, err, auth.ErrRevoked)
			_, err = p.renew(pass.Refresh)
			require.ErrorIs(t, err, auth.ErrRevoked)
		}
		_, err = p.renew(out.Refresh)
		require.ErrorIs(t, err, auth.ErrSignedOut, "it had left by itself")
		require.NoError(t, p.door.Still(p.first))
		require.NoError(t, p.door.Still(strangers))
	}
	gone, err = p.door.RevokeOthers(ctx, p.first)
	require.NoError(t, err)
	require.Empty(t, gone)
}

// TestRevokeOthersRaced: of two devices that remove each other, one stays.
func TestRevokeOthersRaced(t *testing.T) {
	h := newHouse(t)
	two := []auth.Caller{h.caller(h.admit()), h.caller(h.admit())}
	errs := make([]error, len(two))
	var wg sync.WaitGroup
	for i, who := range two {
		wg.Go(func() { _, errs[i] = h.door.RevokeOthers(context.Background(), who) })
	}
	wg.Wait()
	won := 0
	for i, err := range errs {
		if err == nil {
			won++
			require.NoError(t, h.door.Still(two[i]))
			continue
		}
		require.ErrorIs(t, err, auth.ErrRevoked)
	}
	require.Equal(t, 1, won)
}

func (p *pairing) journal() store.Journal {
	p.t.Helper()
	j, ok := p.door.JournalOf(p.first.Account.ID)
	require.True(p.t, ok)
	return j
}

// stranger writes a second account with a journal and a device into the book, and opens the door anew.
func (p *pairing) stranger() auth.Caller {
	p.t.Helper()
	id := strings.Repeat("ab", 16)
	require.NoError(p.t, p.book.Write(context.Background(), func(tx store.BookWriter) error {
		for k, v := range map[string]string{
			"u" + id:                            `{"name":"Kim","role":"member"}`,
			"m" + strings.Repeat("cd", 16) + id: `{"role":"owner"}`,
			"d" + id + "zzzzzzzz":               `{"name":"tablet","version":1}`,
		} {
			if err := tx.Set([]byte(k), []byte(v)); err != nil {
				return err
			}
		}
		return nil
	}))
	p.restart()
	devices := p.door.Devices(auth.AccountID(id))
	require.Len(p.t, devices, 1)
	return auth.Caller{Account: auth.Account{ID: auth.AccountID(id)}, Device: devices[0]}
}
