package auth_test

import (
	"context"
	"crypto/ed25519"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"net/netip"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/golang-jwt/jwt/v5"
	"github.com/stretchr/testify/require"
	"go.uber.org/goleak"

	"fairmeasure/server/auth"
	"fairmeasure/sync/store"
)

func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }

// clock is a clock that stands until it is moved.
type clock struct {
	mu  sync.Mutex
	now time.Time
}

func newClock() *clock { return &clock{now: time.Date(2026, 9, 22, 20, 15, 0, 0, time.UTC)} }

func (c *clock) Now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.now
}

func (c *clock) move(d time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.now = c.now.Add(d)
}

// house is a door on a book that outlives it.
type house struct {
	t     testing.TB
	book  store.Book
	clock *clock
	door  *auth.Door
}

func newHouse(t testing.TB) *house {
	h := &house{t: t, book: newBook(t), clock: newClock()}
	h.restart()
	return h
}

// restart opens the door anew from what the book holds.
func (h *house) restart() {
	h.t.Helper()
	door, err := auth.Open(context.Background(), auth.Config{Book: h.book, Now: h.clock.Now, Issuer: "fairmeasure", Owner: "Robin"})
	require.NoError(h.t, err)
	h.door = door
}

func (h *house) code(life time.Duration) auth.DeviceCode {
	h.t.Helper()
	c, err := h.door.NewCode(context.Background(), life)
	require.NoError(h.t, err)
	return c
}

var here = netip.MustParseAddr("192.0.2.7")

func (h *house) try(code string) (auth.Pass, error) {
	return h.door.Admit(context.Background(), auth.Visitor{Code: code, Name: "phone", Addr: here})
}

func (h *house) admit() auth.Pass {
	h.t.Helper()
	p, err := h.try(h.code(time.Minute).String())
	require.NoError(h.t, err)
	return p
}

func (h *house) renew(token string) (auth.Pass, error) {
	return h.door.Renew(context.Background(), token, here)
}

func TestCodeIsForgiving(t *testing.T) {
	for _, typed := range []string{
		"0123-4567-89AB", "0123456789ab", " o123 4567 89aB ", "Ol23-4567-89ab", "0i23–4567–89AB", "OI23\u00a04567\u00a089ab\n",
	} {
		got, err := auth.ParseDeviceCode(typed)
		require.NoError(t, err, typed)
		require.Equal(t, "0123-4567-89AB", got.String(), typed)
	}
	for _, typed := range []string{"", "0123-4567-89A", "0123-4567-89AB-C", "U123-4567-89AB", "0123-4567-89A!", "０123-4567-89AB", strings.Repeat("-", 65)} {
		_, err := auth.ParseDeviceCode(typed)
		require.ErrorIs(t, err, auth.ErrCodeUnreadable, typed)
	}
}

func FuzzParseDeviceCode(f *testing.F) {
	f.Add("0123-4567-89AB")
	f.Add("oil")
	f.Fuzz(func(t *testing.T, text string) {
		c, err := auth.ParseDeviceCode(text)
		if err != nil {
			require.Empty(t, c)
			return
		}
		again, err := auth.ParseDeviceCode(c.String())
		require.NoError(t, err)
		require.Equal(t, c, again)
	})
}

func TestAdmission(t *testing.T) {
	ctx := context.Background()

	t.Run("TheFirstMakesAccountAndJournal", func(t *testing.T) {
		h := newHouse(t)
		p := h.admit()
		require.Equal(t, "Robin", p.Account.Name)
		require.Equal(t, auth.RoleOwner, p.Account.Role)
		require.NoError(t, p.Journal.Validate())
		require.Equal(t, "phone", p.Device.Name)

		second := h.admit()
		require.Equal(t, p.Account.ID, second.Account.ID)
		require.Equal(t, p.Journal, second.Journal)
		require.NotEqual(t, p.Device.ID, second.Device.ID)
		require.Len(t, h.door.Devices(p.Account.ID), 2)
	})
	t.Run("TakesOverTheJournalBegunOnTheDevice", func(t *testing.T) {
		h := newHouse(t)
		own := store.Journal("00112233445566778899aabbccddeeff")
		p, err := h.door.Admit(ctx, auth.Visitor{Code: string(h.code(time.Minute)), Journal: own, Addr: here})
		require.NoError(t, err)
		require.Equal(t, own, p.Journal)
		require.Equal(t, "Device", p.Device.Name)

		other, err := h.door.Admit(ctx, auth.Visitor{Code: string(h.code(time.Minute)), Journal: "ffeeddccbbaa99887766554433221100", Addr: here})
		require.NoError(t, err)
		require.Equal(t, own, other.Journal, "the account has a journal: the device joins it")
	})
	t.Run("AnUnlikelyJournalIdIsNotTaken", func(t *testing.T) {
		h := newHouse(t)
		p, err := h.door.Admit(ctx, auth.Visitor{Code: string(h.code(time.Minute)), Journal: "../../etc", Addr: here})
		require.NoError(t, err)
		require.NoError(t, p.Journal.Validate())
	})
	t.Run("ErrNoCodeAlive", func(t *testing.T) {
		h := newHouse(t)
		_, err := h.try("0123-4567-89AB")
		require.ErrorIs(t, err, auth.ErrCodeUnknown)
		require.Empty(t, h.door.Devices("anyone"))
	})
	t.Run("ErrExpired", func(t *testing.T) {
		h := newHouse(t)
		c := h.code(10 * time.Minute)
		h.clock.move(10 * time.Minute)
		_, err := h.try(string(c))
		require.ErrorIs(t, err, auth.ErrCodeExpired)
		h.clock.move(-time.Second)
		_, err = h.try(string(c))
		require.NoError(t, err, "a second before, it holds")
	})
	t.Run("ErrUsedTwice", func(t *testing.T) {
		h := newHouse(t)
		c := string(h.code(time.Minute))
		_, err := h.try(c)
		require.NoError(t, err)
		_, err = h.try(c)
		require.ErrorIs(t, err, auth.ErrCodeUnknown)
		h.restart()
		_, err = h.try(c)
		require.ErrorIs(t, err, auth.ErrCodeUnknown)
	})
	t.Run("RacedByManyOneWins", func(t *testing.T) {
		h := newHouse(t)
		c := string(h.code(time.Minute))
		errs := make([]error, 8)
		var wg sync.WaitGroup
		for i := range errs {
			wg.Go(func() { _, errs[i] = h.try(c) })
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
		account, _, err := h.door.Owner(ctx, "")
		require.NoError(t, err)
		require.Len(t, h.door.Devices(account.ID), 1)
	})
	t.Run("ErrTooManyCodes", func(t *testing.T) {
		h := newHouse(t)
		for range auth.MaxCodes {
			h.code(time.Minute)
		}
		_, err := h.door.NewCode(ctx, time.Minute)
		require.ErrorIs(t, err, auth.ErrTooManyCodes)
		h.clock.move(time.Minute)
		h.code(time.Minute) // the old ones are dead
		require.NoError(t, h.door.ForgetCodes(ctx))
		h.code(time.Minute)
	})
	t.Run("ForgottenCodesAreDead", func(t *testing.T) {
		h := newHouse(t)
		c := h.code(time.Minute)
		require.NoError(t, h.door.ForgetCodes(ctx))
		_, err := h.try(string(c))
		require.ErrorIs(t, err, auth.ErrCodeUnknown)
	})
	t.Run("Names", func(t *testing.T) {
		h := newHouse(t)
		for typed, kept := range map[string]string{
			"":                      "Device",
			"  Kitchen   laptop ":   "Kitchen laptop",
			"Caf\u0065\u0301":       "Caf\u00e9",
			strings.Repeat("ü", 60): strings.Repeat("ü", 60),
		} {
			p, err := h.door.Admit(ctx, auth.Visitor{Code: string(h.code(time.Minute)), Name: typed, Addr: here})
			require.NoError(t, err)
			require.Equal(t, kept, p.Device.Name)
		}
		c := string(h.code(time.Minute))
		for _, typed := range []string{strings.Repeat("x", 61), "a\u202eb", "a\x00b", "\xff"} {
			_, err := h.door.Admit(ctx, auth.Visitor{Code: c, Name: typed, Addr: here})
			require.ErrorIs(t, err, auth.ErrName, "%q", typed)
		}
		_, err := h.try(c)
		require.NoError(t, err, "a refused name costs no code")
	})
}

func TestGuessedCodes(t *testing.T) {
	ctx := context.Background()
	wrong := func(h *house, addr string) error {
		_, err := h.door.Admit(ctx, auth.Visitor{Code: "0000-0000-0000", Addr: netip.MustParseAddr(addr)})
		return err
	}
	t.Run("TenAnHourFromOneAddress", func(t *testing.T) {
		h := newHouse(t)
		right := string(h.code(24 * time.Hour))
		for i := range auth.TriesPerAddress {
			require.ErrorIs(t, wrong(h, "192.0.2.7"), auth.ErrCodeUnknown)
			if i == 4 {
				h.restart() // a restart forgives nothing
			}
		}
		var wait *auth.WaitError
		require.ErrorAs(t, wrong(h, "192.0.2.7"), &wait)
		require.Equal(t, time.Hour, wait.For)
		_, err := h.try(right)
		require.ErrorAs(t, err, &wait, "the right code does not help either")
		require.ErrorIs(t, wrong(h, "192.0.2.8"), auth.ErrCodeUnknown, "another address is free to err")

		h.clock.move(time.Hour)
		_, err = h.try(right)
		require.NoError(t, err)
	})
	t.Run("AnIPv6NetworkIsOneAddress", func(t *testing.T) {
		h := newHouse(t)
		h.code(time.Hour)
		for i := range auth.TriesPerAddress {
			require.ErrorIs(t, wrong(h, fmt.Sprintf("2001:db8:1:2::%x", i+1)), auth.ErrCodeUnknown)
		}
		require.ErrorAs(t, wrong(h, "2001:db8:1:2:ffff::1"), new(*auth.WaitError))
		require.ErrorIs(t, wrong(h, "2001:db8:1:3::1"), auth.ErrCodeUnknown)
	})
	t.Run("TwoHundredFromElsewhereEndNoCode", func(t *testing.T) {
		h := newHouse(t)
		first, second := string(h.code(time.Hour)), string(h.code(time.Hour))
		for i := range 200 {
			require.ErrorIs(t, wrong(h, fmt.Sprintf("192.0.2.%d", 20+i)), auth.ErrCodeUnknown)
		}
		h.restart()
		for _, c := range []string{first, second, string(h.code(time.Hour))} {
			_, err := h.try(c)
			require.NoError(t, err)
		}
	})
	t.Run("ACountOfAnEarlierVersion", func(t *testing.T) {
		h := newHouse(t)
		right := string(h.code(time.Hour))
		from := h.clock.Now().UnixMilli()
		require.NoError(t, h.book.Write(ctx, func(tx store.BookWriter) error {
			if err := tx.Set([]byte("w"), []byte(`{"from":0,"n":19}`)); err != nil { // of all addresses together
				return err
			}
			return tx.Set([]byte("w"+here.String()), fmt.Appendf(nil, `{"from":%d,"n":10}`, from))
		}))
		h.restart()
		require.ErrorIs(t, wrong(h, "192.0.2.8"), auth.ErrCodeUnknown)
		_, err := h.try(right)
		require.ErrorAs(t, err, new(*auth.WaitError), "what was counted by address goes on")
		require.NoError(t, h.door.Keep(ctx))
		require.Equal(t, 2, countPrefix(t, h.book, "w"), "the addresses; the count of all is cleared away")
		h.clock.move(time.Hour - time.Second)
		_, err = h.try(right)
		require.ErrorAs(t, err, new(*auth.WaitError))
	})
	t.Run("AThousandTriesWithRestarts", func(t *testing.T) {
		h := newHouse(t)
		h.code(time.Hour)
		unknown := 0
		for i := range 1000 {
			if i%100 == 50 {
				h.restart()
			}
			if err := wrong(h, "192.0.2.7"); err != nil && !isWait(err) {
				unknown++
			}
		}
		require.Equal(t, auth.TriesPerAddress, unknown)
	})
	t.Run("AnUnreadableCodeIsNoTry", func(t *testing.T) {
		h := newHouse(t)
		right := string(h.code(time.Hour))
		for range 50 {
			_, err := h.try("not a code")
			require.ErrorIs(t, err, auth.ErrCodeUnreadable)
		}
		_, err := h.try(right)
		require.NoError(t, err)
	})
}

func isWait(err error) bool {
	_, ok := err.(*auth.WaitError)
	return ok
}

func TestForgedTokens(t *testing.T) {
	h := newHouse(t)
	p := h.admit()
	who, err := h.door.Check(p.Access)
	require.NoError(t, err)
	require.Equal(t, p.Device.ID, who.Device.ID)
	require.Equal(t, p.Account, who.Account)

	now := h.clock.Now()
	good := func() jwt.MapClaims {
		return jwt.MapClaims{
			"iss": "fairmeasure", "aud": []string{"sync"}, "sub": string(p.Account.ID), "dev": string(p.Device.ID), "av": 1,
			"jti": "x", "iat": now.Unix(), "exp": now.Add(time.Minute).Unix(),
		}
	}
	with := func(key string, value any) jwt.MapClaims {
		c := good()
		if value == nil {
			delete(c, key)
		} else {
			c[key] = value
		}
		return c
	}
	kid, private := signingKey(t, h.book)
	public := private.Public().(ed25519.PublicKey)
	sign := func(method jwt.SigningMethod, kid any, c jwt.Claims, key any) string {
		tok := jwt.NewWithClaims(method, c)
		if kid != nil {
			tok.Header["kid"] = kid
		}
		s, err := tok.SignedString(key)
		require.NoError(t, err)
		return s
	}
	_, stranger, err := ed25519.GenerateKey(nil)
	require.NoError(t, err)

	_, err = h.door.Check(sign(jwt.SigningMethodEdDSA, kid, good(), private))
	require.NoError(t, err, "the rows below differ from a good token in one thing each")

	forged := map[string]string{
		"Empty":                 "",
		"Garbage":               "abc.def.ghi",
		"AlgNone":               sign(jwt.SigningMethodNone, kid, good(), jwt.UnsafeAllowNoneSignatureType),
		"HS256WithThePublicKey": sign(jwt.SigningMethodHS256, kid, good(), []byte(public)),
		"UnknownKeyId":          sign(jwt.SigningMethodEdDSA, "other", good(), private),
		"NoKeyId":               sign(jwt.SigningMethodEdDSA, nil, good(), private),
		"KeyIdIsNoText":         sign(jwt.SigningMethodEdDSA, 7, good(), private),
		"StrangersKey":          sign(jwt.SigningMethodEdDSA, kid, good(), stranger),
		"WrongAudience":         sign(jwt.SigningMethodEdDSA, kid, with("aud", []string{"admin"}), private),
		"NoAudience":            sign(jwt.SigningMethodEdDSA, kid, with("aud", nil), private),
		"WrongIssuer":           sign(jwt.SigningMethodEdDSA, kid, with("iss", "else"), private),
		"NoIssuer":              sign(jwt.SigningMethodEdDSA, kid, with("iss", nil), private),
		"Expired":               sign(jwt.SigningMethodEdDSA, kid, with("exp", now.Add(-auth.Leeway-time.Second).Unix()), private),
		"NoExpiry":              sign(jwt.SigningMethodEdDSA, kid, with("exp", nil), private),
		"IssuedInTheFuture":     sign(jwt.SigningMethodEdDSA, kid, with("iat", now.Add(time.Minute).Unix()), private),
		"UnknownDevice":         sign(jwt.SigningMethodEdDSA, kid, with("dev", "zzzzzzzz"), private),
		"AnothersDevice":        sign(jwt.SigningMethodEdDSA, kid, with("sub", strings.Repeat("0", 32)), private),
		"OlderSignIn":           sign(jwt.SigningMethodEdDSA, kid, with("av", 0), private),
		"Oversize":              sign(jwt.SigningMethodEdDSA, kid, with("pad", strings.Repeat("x", 3000)), private),
		"ChangedBody":           changedBody(t, p.Access),
		"SignatureCut":          p.Access[:len(p.Access)-2],
		"TwoTokens":             p.Access + "." + p.Access,
	}
	for name, token := range forged {
		t.Run(name, func(t *testing.T) {
			_, err := h.door.Check(token)
			require.ErrorIs(t, err, auth.ErrExpired)
		})
	}
}

// signingKey reads the newest signing key out of the book, as someone could who stole it.
func signingKey(t *testing.T, book store.Book) (kid string, key ed25519.PrivateKey) {
	err := book.Read(context.Background(), func(r store.BookReader) error {
		return r.Each([]byte("k"), func(k, v []byte) bool {
			var rec struct{ Seed []byte }
			require.NoError(t, json.Unmarshal(v, &rec))
			kid, key = string(k[1:]), ed25519.NewKeyFromSeed(rec.Seed)
			return true
		})
	})
	require.NoError(t, err)
	require.NotEmpty(t, kid)
	return kid, key
}

func changedBody(t *testing.T, token string) string {
	parts := strings.Split(token, ".")
	body, err := base64.RawURLEncoding.DecodeString(parts[1])
	require.NoError(t, err)
	parts[1] = base64.RawURLEncoding.EncodeToString([]byte(strings.Replace(string(body), `"av":1`, `"av":2`, 1)))
	return strings.Join(parts, ".")
}

func TestAccessTokenRunsOut(t *testing.T) {
	h := newHouse(t)
	p := h.admit()
	h.clock.move(auth.AccessLife + auth.Leeway - time.Second)
	_, err := h.door.Check(p.Access)
	require.NoError(t, err)
	h.clock.move(2 * time.Second)
	_, err = h.door.Check(p.Access)
	require.ErrorIs(t, err, auth.ErrExpired)
}

// TestARememberedTokenIsLookedAtEachTime: a token that was checked before is refused for every reason a new one is.
func TestARememberedTokenIsLookedAtEachTime(t *testing.T) {
	ctx := context.Background()
	checked := func(t *testing.T) (*house, auth.Pass) {
		h := newHouse(t)
		p := h.admit()
		for range 2 {
			_, err := h.door.Check(p.Access)
			require.NoError(t, err)
		}
		return h, p
	}
	t.Run("Expired", func(t *testing.T) {
		h, p := checked(t)
		h.clock.move(auth.AccessLife + auth.Leeway + time.Second)
		_, err := h.door.Check(p.Access)
		require.ErrorIs(t, err, auth.ErrExpired)
	})
	t.Run("OfTheFuture", func(t *testing.T) {
		h, p := checked(t)
		h.clock.move(-time.Hour)
		_, err := h.door.Check(p.Access)
		require.ErrorIs(t, err, auth.ErrExpired)
	})
	t.Run("KeyGone", func(t *testing.T) {
		h, p := checked(t)
		require.NoError(t, h.door.RotateKeys(ctx))
		require.NoError(t, h.door.RotateKeys(ctx))
		_, err := h.door.Check(p.Access)
		require.ErrorIs(t, err, auth.ErrExpired)
	})
	t.Run("Revoked", func(t *testing.T) {
		h, p := checked(t)
		who, err := h.door.Check(p.Access)
		require.NoError(t, err)
		require.NoError(t, h.door.Revoke(ctx, who, p.Device.ID))
		_, err = h.door.Check(p.Access)
		require.ErrorIs(t, err, auth.ErrRevoked)
	})
	t.Run("OneLetterOff", func(t *testing.T) {
		h, p := checked(t)
		_, err := h.door.Check(changedBody(t, p.Access))
		require.ErrorIs(t, err, auth.ErrExpired)
	})
	t.Run("Many", func(t *testing.T) {
		h, _ := checked(t)
		var tokens []string
		token := h.admit().Refresh
		for range 300 {
			h.clock.move(time.Second)
			p, err := h.renew(token)
			require.NoError(t, err)
			token = p.Refresh
			tokens = append(tokens, p.Access)
		}
		for range 20 {
			for _, a := range tokens {
				_, err := h.door.Check(a)
				require.NoError(t, err)
			}
		}
	})
}

func TestClockJumps(t *testing.T) {
	for _, jump := range []time.Duration{time.Hour, -time.Hour, 365 * 24 * time.Hour, -365 * 24 * time.Hour} {
		t.Run(jump.String(), func(t *testing.T) {
			h := newHouse(t)
			p := h.admit()
			next, err := h.renew(p.Refresh)
			require.NoError(t, err)
			h.clock.move(jump)
			after, err := h.renew(next.Refresh)
			if jump > auth.RefreshIdle {
				require.ErrorIs(t, err, auth.ErrSignedOut)
				return
			}
			require.NoError(t, err)
			_, err = h.door.Check(after.Access)
			require.NoError(t, err)
			_, err = h.door.Check(p.Access)
			require.ErrorIs(t, err, auth.ErrExpired, "an access token holds near its own time only")
		})
	}
}

func TestKeys(t *testing.T) {
	ctx := context.Background()
	h := newHouse(t)
	p := h.admit()
	require.NoError(t, h.door.RotateKeys(ctx))
	_, err := h.door.Check(p.Access)
	require.NoError(t, err, "the key before still verifies")
	h.restart()
	_, err = h.door.Check(p.Access)
	require.NoError(t, err, "after a restart too")

	newer, err := h.renew(p.Refresh)
	require.NoError(t, err)
	require.NoError(t, h.door.RotateKeys(ctx))
	_, err = h.door.Check(p.Access)
	require.ErrorIs(t, err, auth.ErrExpired, "two keys live, not three")
	_, err = h.door.Check(newer.Access)
	require.NoError(t, err)
	require.Equal(t, 2, countKeys(t, h.book))

	h.clock.move(auth.KeyLinger)
	require.NoError(t, h.door.Keep(ctx))
	require.Equal(t, 1, countKeys(t, h.book))
	h.clock.move(auth.KeyLife)
	require.NoError(t, h.door.Keep(ctx))
	require.Equal(t, 2, countKeys(t, h.book), "an old key is rotated")
}

func countKeys(t *testing.T, book store.Book) int {
	n := 0
	require.NoError(t, book.Read(context.Background(), func(r store.BookReader) error {
		return r.Each([]byte("k"), func(_, _ []byte) bool { n++; return true })
	}))
	return n
}

func TestRenewal(t *testing.T) {
	t.Run("Confirmed", func(t *testing.T) {
		h := newHouse(t)
		token := h.admit().Refresh
		for range 5 {
			p, err := h.renew(token)
			require.NoError(t, err)
			require.NotEqual(t, token, p.Refresh)
			_, err = h.door.Check(p.Access)
			require.NoError(t, err)
			token = p.Refresh
			h.clock.move(auth.AccessLife)
			h.restart()
		}
	})
	t.Run("ThirtyTwoAtOnce", func(t *testing.T) {
		for _, shown := range []string{"cur", "next"} {
			t.Run(shown, func(t *testing.T) {
				h := newHouse(t)
				token := h.admit().Refresh
				if shown == "next" {
					p, err := h.renew(token)
					require.NoError(t, err)
					token = p.Refresh
				}
				errs := make([]error, 32)
				var wg sync.WaitGroup
				for i := range errs {
					wg.Go(func() { _, errs[i] = h.renew(token) })
				}
				wg.Wait()
				renewed := 0
				for _, err := range errs {
					if err == nil {
						renewed++
						continue
					}
					require.ErrorIs(t, err, auth.ErrParallel)
				}
				require.Equal(t, 1, renewed)
			})
		}
	})
	t.Run("LostReply", func(t *testing.T) {
		h := newHouse(t)
		first := h.admit().Refresh
		lost, err := h.renew(first)
		require.NoError(t, err)
		_, err = h.renew(first)
		require.ErrorIs(t, err, auth.ErrParallel, "at once it looks like a parallel tab")
		h.clock.move(auth.ParallelRenewal)
		again, err := h.renew(first)
		require.NoError(t, err)
		_, err = h.renew(again.Refresh)
		require.NoError(t, err)

		_, err = h.renew(lost.Refresh)
		require.ErrorIs(t, err, auth.ErrReused, "the reply that was given up is used up")
	})
	t.Run("SupersededTokenRevokes", func(t *testing.T) {
		h := newHouse(t)
		p := h.admit()
		h.clock.move(time.Second) // devices are listed by age
		other := h.admit()
		next, err := h.renew(p.Refresh)
		require.NoError(t, err)
		latest, err := h.renew(next.Refresh) // confirms next: the first is used up
		require.NoError(t, err)
		h.restart()

		thief, err := h.renew(p.Refresh)
		require.ErrorIs(t, err, auth.ErrReused)
		require.ErrorIs(t, err, auth.ErrRevoked)
		require.Equal(t, p.Device.ID, thief.Device.ID, "for the log")
		require.Empty(t, thief.Access)
		_, err = h.door.Check(latest.Access)
		require.ErrorIs(t, err, auth.ErrRevoked, "at once")
		_, err = h.renew(latest.Refresh)
		require.ErrorIs(t, err, auth.ErrRevoked)
		_, err = h.door.Check(other.Access)
		require.NoError(t, err, "the other device is not touched")

		devices := h.door.Devices(p.Account.ID)
		require.Equal(t, auth.EndReused, devices[0].End, "the other device can say why")
		require.Equal(t, auth.EndNone, devices[1].End)
	})
	t.Run("ThiefFirst", func(t *testing.T) {
		h := newHouse(t)
		p := h.admit()
		stolen, err := h.renew(p.Refresh)
		require.NoError(t, err)
		_, err = h.renew(stolen.Refresh)
		require.NoError(t, err)
		_, err = h.renew(p.Refresh) // the owner comes with what the thief has used up
		require.ErrorIs(t, err, auth.ErrReused)
	})
	t.Run("GarbageRevokesNobody", func(t *testing.T) {
		h := newHouse(t)
		p := h.admit()
		secret := base64.RawURLEncoding.EncodeToString(make([]byte, 32))
		for _, token := range []string{"", ".", "x", string(p.Device.ID) + "." + secret, string(p.Device.ID) + ".", "zzzzzzzz." + secret,
			p.Refresh + "A", strings.Repeat("x", 1000), string(p.Device.ID) + "." + secret + "="} {
			_, err := h.renew(token)
			require.ErrorIs(t, err, auth.ErrSignedOut, token)
		}
		_, err := h.renew(p.Refresh)
		require.NoError(t, err)
	})
	t.Run("IdleTooLong", func(t *testing.T) {
		h := newHouse(t)
		p := h.admit()
		h.clock.move(auth.RefreshIdle + time.Second)
		_, err := h.renew(p.Refresh)
		require.ErrorIs(t, err, auth.ErrSignedOut)
		require.Equal(t, auth.EndNone, h.door.Devices(p.Account.ID)[0].End, "signed out is not revoked")
	})
	t.Run("UsedTokensAreSwept", func(t *testing.T) {
		h := newHouse(t)
		p := h.admit()
		token := p.Refresh
		for range 3 {
			next, err := h.renew(token)
			require.NoError(t, err)
			token = next.Refresh
		}
		require.Equal(t, 2, countPrefix(t, h.book, "x"))
		h.clock.move(auth.RefreshIdle - time.Hour)
		_, err := h.renew(token)
		require.NoError(t, err)
		h.clock.move(2 * time.Hour)
		require.NoError(t, h.door.Keep(context.Background()))
		require.Equal(t, 1, countPrefix(t, h.book, "x"))
	})
}

func countPrefix(t *testing.T, book store.Book, prefix string) int {
	n := 0
	require.NoError(t, book.Read(context.Background(), func(r store.BookReader) error {
		return r.Each([]byte(prefix), func(_, _ []byte) bool { n++; return true })
	}))
	return n
}

func TestRevoke(t *testing.T) {
	ctx := context.Background()
	h := newHouse(t)
	laptop, phone := h.admit(), h.admit()
	who, err := h.door.Check(laptop.Access)
	require.NoError(t, err)
	gone, err := h.door.Check(phone.Access)
	require.NoError(t, err)

	require.NoError(t, h.door.Still(gone))
	require.NoError(t, h.door.Revoke(ctx, who, phone.Device.ID))
	require.ErrorIs(t, h.door.Still(gone), auth.ErrRevoked, "at once, without a restart")
	_, err = h.door.Check(phone.Access)
	require.ErrorIs(t, err, auth.ErrRevoked)
	_, err = h.renew(phone.Refresh)
	require.ErrorIs(t, err, auth.ErrRevoked)
	h.restart()
	_, err = h.door.Check(phone.Access)
	require.ErrorIs(t, err, auth.ErrRevoked)

	require.NoError(t, h.door.Revoke(ctx, who, phone.Device.ID), "twice is once")
	require.ErrorIs(t, h.door.Revoke(ctx, who, "zzzzzzzz"), auth.ErrNoDevice)
	stranger := auth.Caller{Account: auth.Account{ID: auth.AccountID(strings.Repeat("0", 32))}}
	require.ErrorIs(t, h.door.Revoke(ctx, stranger, laptop.Device.ID), auth.ErrNoDevice)
	require.Equal(t, "phone", h.door.DeviceName(who.Account.ID, phone.Device.ID), "a journal still names it")
	require.Empty(t, h.door.DeviceName(stranger.Account.ID, phone.Device.ID))
}

func TestSignOut(t *testing.T) {
	ctx := context.Background()
	h := newHouse(t)
	p := h.admit()
	who, err := h.door.Check(p.Access)
	require.NoError(t, err)
	require.NoError(t, h.door.SignOut(ctx, who))
	_, err = h.door.Check(p.Access)
	require.ErrorIs(t, err, auth.ErrExpired)
	_, err = h.renew(p.Refresh)
	require.ErrorIs(t, err, auth.ErrSignedOut)
	require.Equal(t, auth.EndSignedOut, h.door.Devices(p.Account.ID)[0].End)
}

func TestOwnership(t *testing.T) {
	h := newHouse(t)
	p := h.admit()
	who, err := h.door.Check(p.Access)
	require.NoError(t, err)
	require.NoError(t, h.door.Owns(who, p.Journal))
	for _, other := range []store.Journal{"", "00000000000000000000000000000000", p.Journal[:31], p.Journal + "0"} {
		require.ErrorIs(t, h.door.Owns(who, other), auth.ErrNoJournal)
	}
	stranger := who
	stranger.Account.ID = auth.AccountID(strings.Repeat("0", 32))
	require.ErrorIs(t, h.door.Owns(stranger, p.Journal), auth.ErrNoJournal)
	require.ErrorIs(t, h.door.Owns(auth.Caller{}, p.Journal), auth.ErrNoJournal)
}

func TestLastSeenIsWrittenByKeep(t *testing.T) {
	ctx := context.Background()
	h := newHouse(t)
	p := h.admit()
	at := h.clock.Now().Add(time.Hour)
	h.door.Seen(p.Device.ID, at, here)
	require.True(t, h.door.Devices(p.Account.ID)[0].LastSeen.Equal(at))
	require.NoError(t, h.door.Keep(ctx))
	h.restart()
	require.True(t, h.door.Devices(p.Account.ID)[0].LastSeen.Equal(at))
}

func TestClockBehind(t *testing.T) {
	h := newHouse(t)
	p := h.admit()
	require.False(t, h.door.ClockBehind())
	h.clock.move(-23 * time.Hour)
	require.False(t, h.door.ClockBehind(), "an hour of a wrong time zone is no reason")
	h.clock.move(-2 * time.Hour)
	require.True(t, h.door.ClockBehind())
	h.restart()
	require.True(t, h.door.ClockBehind())
	h.clock.move(25 * time.Hour)
	h.door.Seen(p.Device.ID, h.clock.Now().Add(48*time.Hour), here)
	require.True(t, h.door.ClockBehind())
}

func TestNothingSecretIsStored(t *testing.T) {
	h := newHouse(t)
	c := h.code(time.Hour)
	p := h.admit()
	_, secret, _ := strings.Cut(p.Refresh, ".")
	raw, err := base64.RawURLEncoding.DecodeString(secret)
	require.NoError(t, err)
	require.NoError(t, h.book.Read(context.Background(), func(r store.BookReader) error {
		return r.Each(nil, func(k, v []byte) bool {
			for _, hidden := range []string{string(c), secret, string(raw), p.Access, base64.StdEncoding.EncodeToString(raw)} {
				require.NotContains(t, string(k)+string(v), hidden)
			}
			return true
		})
	}))
}

func TestADamagedBookIsSaid(t *testing.T) {
	for key, value := range map[string]string{"u": "{}", "dshort": "{}", "k1": `{"seed":"AA=="}`, "m1": "{}", "u" + strings.Repeat("0", 32): "{"} {
		h := newHouse(t)
		require.NoError(t, h.book.Write(context.Background(), func(tx store.BookWriter) error { return tx.Set([]byte(key), []byte(value)) }))
		_, err := auth.Open(context.Background(), auth.Config{Book: h.book, Now: h.clock.Now})
		require.ErrorContains(t, err, "auth: reading the book", key)
	}
}
