package server_test

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fairmeasure/server/auth"
)

type askedCode struct {
	ID      string
	Code    string
	Expires int64 `json:"expires_ms"`
	Waits   *struct {
		Name  string
		Since int64 `json:"since_ms"`
	}
}

type wait struct {
	Waiting       bool
	Number, Claim string
}

func read[T any](t testing.TB, a answer, status int) T {
	t.Helper()
	require.Equal(t, status, a.Status, a.Body)
	var out T
	require.NoError(t, json.Unmarshal([]byte(a.Body), &out))
	return out
}

func (h *house) stranger() *device { return &device{h: h, cookies: map[string]string{}} }

func TestPairingFromADevice(t *testing.T) {
	h := newHouse(t)
	laptop := h.admit()
	asked := read[askedCode](t, laptop.post("/api/v1/auth/codes", "{}"), 200)
	require.Regexp(t, `^[0-9A-HJKMNP-TV-Z]{4}(-[0-9A-HJKMNP-TV-Z]{4}){2}$`, asked.Code)
	require.Equal(t, h.clock.Now().Add(auth.CodeLife).UnixMilli(), asked.Expires)

	phone := h.stranger()
	w := read[wait](t, phone.post("/api/v1/auth/pair", map[string]string{"code": asked.Code, "name": "new phone"}), 202)
	require.True(t, w.Waiting)
	require.Regexp(t, `^[1-9][0-9]$`, w.Number)
	require.Empty(t, phone.cookies, "it is not in yet")
	require.Equal(t, w, read[wait](t, phone.post("/api/v1/auth/pair/claim", map[string]string{"claim": w.Claim}), 202))

	other := h.stranger().post("/api/v1/auth/pair", map[string]string{"code": asked.Code})
	require.Equal(t, 403, other.Status)
	require.Equal(t, "code_unknown", other.code(t))

	list := laptop.get("/api/v1/auth/codes")
	codes := read[struct{ Codes []askedCode }](t, list, 200).Codes
	require.Len(t, codes, 1)
	require.Equal(t, asked.ID, codes[0].ID)
	require.Equal(t, "new phone", codes[0].Waits.Name)
	require.Equal(t, h.clock.Now().UnixMilli(), codes[0].Waits.Since)
	require.NotContains(t, list.Body, `"`+w.Number+`"`, "the number is read off the new device, not here")
	require.NotContains(t, list.Body, asked.Code)

	require.Equal(t, 200, laptop.post("/api/v1/auth/codes/confirm", map[string]string{"id": asked.ID, "number": w.Number}).Status)
	in := phone.post("/api/v1/auth/pair/claim", map[string]string{"claim": w.Claim})
	told := read[struct {
		Journal string
		Device  struct{ ID, Name string }
	}](t, in, 200)
	require.Equal(t, laptop.Journal, told.Journal)
	require.Equal(t, "new phone", told.Device.Name)
	phone.ID, phone.Journal = told.Device.ID, told.Journal
	require.JSONEq(t, in.Body, phone.get("/api/v1/auth/me").Body)
	require.Equal(t, 200, phone.poll().Status)

	again := phone.post("/api/v1/auth/pair/claim", map[string]string{"claim": w.Claim})
	require.Equal(t, 410, again.Status)
	require.Equal(t, "claim_gone", again.code(t))
	used := h.stranger().post("/api/v1/auth/pair", map[string]string{"code": asked.Code})
	require.Equal(t, 403, used.Status, "C121: used twice")
	require.Equal(t, "code_unknown", used.code(t))

	require.NotEmpty(t, h.log.String())
	for _, secret := range []string{asked.Code, strings.ReplaceAll(asked.Code, "-", ""), w.Claim, `"` + w.Number + `"`} {
		require.NotContains(t, h.log.String(), secret)
	}
}

func TestPairingRefusals(t *testing.T) {
	start := func(t *testing.T) (h *house, laptop *device, asked askedCode, w wait) {
		h = newHouse(t)
		laptop = h.admit()
		asked = read[askedCode](t, laptop.post("/api/v1/auth/codes", "{}"), 200)
		w = read[wait](t, h.do(post(t, "/api/v1/auth/pair", map[string]string{"code": asked.Code})), 202)
		return h, laptop, asked, w
	}
	refused := func(t *testing.T, a answer, status int, code string) {
		t.Helper()
		require.Equal(t, status, a.Status, a.Body)
		require.Equal(t, code, a.code(t))
		require.Empty(t, a.Header.Values("Set-Cookie"))
	}
	t.Run("WrongNumber", func(t *testing.T) {
		h, laptop, asked, w := start(t)
		refused(t, laptop.post("/api/v1/auth/codes/confirm", map[string]string{"id": asked.ID, "number": "0"}), 422, "number")
		refused(t, laptop.post("/api/v1/auth/codes/confirm", map[string]string{"id": asked.ID, "number": w.Number}), 409, "not_waiting")
		refused(t, h.do(post(t, "/api/v1/auth/pair/claim", map[string]string{"claim": w.Claim})), 403, "refused")
	})
	t.Run("Cancelled", func(t *testing.T) {
		h, laptop, asked, w := start(t)
		require.Equal(t, 200, laptop.post("/api/v1/auth/codes/cancel", map[string]string{"id": asked.ID}).Status)
		refused(t, h.do(post(t, "/api/v1/auth/pair/claim", map[string]string{"claim": w.Claim})), 403, "refused")
		refused(t, laptop.post("/api/v1/auth/codes/cancel", map[string]string{"id": "none"}), 404, "no_code")
	})
	t.Run("ExpiredWhileWaiting", func(t *testing.T) {
		h, laptop, asked, w := start(t)
		h.clock.move(auth.CodeLife)
		refused(t, h.do(post(t, "/api/v1/auth/pair/claim", map[string]string{"claim": w.Claim})), 403, "code_expired")
		laptop.post("/api/v1/auth/refresh", "{}")
		refused(t, laptop.post("/api/v1/auth/codes/confirm", map[string]string{"id": asked.ID, "number": w.Number}), 403, "code_expired")
	})
	t.Run("TooManyCodes", func(t *testing.T) {
		_, laptop, _, _ := start(t)
		for range auth.MaxCodes - 1 {
			require.Equal(t, 200, laptop.post("/api/v1/auth/codes", "{}").Status)
		}
		refused(t, laptop.post("/api/v1/auth/codes", "{}"), 409, "too_many_codes")
	})
	t.Run("Malformed", func(t *testing.T) {
		h, laptop, _, _ := start(t)
		for _, path := range []string{"codes", "codes/confirm", "codes/cancel", "devices/revoke-others", "pair/claim"} {
			refused(t, laptop.post("/api/v1/auth/"+path, "[]"), 400, "malformed")
		}
		refused(t, h.do(post(t, "/api/v1/auth/pair/claim", "{}")), 410, "claim_gone")
	})
}

func TestRevokeOthers(t *testing.T) {
	h := newHouse(t)
	laptop, phone, tablet := h.admit(), h.admit(), h.admit()
	gone := read[struct{ Revoked []string }](t, laptop.post("/api/v1/auth/devices/revoke-others", "{}"), 200).Revoked
	require.ElementsMatch(t, []string{phone.ID, tablet.ID}, gone)
	for _, d := range []*device{phone, tablet} {
		a := d.poll()
		require.Equal(t, 403, a.Status)
		require.Equal(t, "revoked", a.code(t))
	}
	require.Equal(t, 200, laptop.poll().Status)
	a := laptop.post("/api/v1/auth/devices/revoke-others", "{}")
	require.JSONEq(t, `{"revoked":[]}`, a.Body)
}

// TestARevokedDevicesPushAddsNothing is C117: revocation beats an access token that still holds.
func TestARevokedDevicesPushAddsNothing(t *testing.T) {
	h := newHouse(t)
	laptop, phone := h.admit(), h.admit()
	act := func(d *device, run, text string) string {
		return d.request(note(run, 1, h.clock.Now().UnixMilli(), text))
	}
	require.Equal(t, 200, laptop.post(laptop.syncPath(), act(laptop, "AAAAAAAAAAA", "from the laptop")).Status)
	require.Contains(t, laptop.poll().Body, "from the laptop", "what is added can be seen so")
	require.Equal(t, 200, laptop.post("/api/v1/auth/devices/"+phone.ID+"/revoke", "{}").Status)
	h.clock.move(time.Second)
	a := phone.post(phone.syncPath(), act(phone, "BBBBBBBBBBB", "from the lost phone"))
	require.Equal(t, 403, a.Status)
	require.Equal(t, "revoked", a.code(t))
	require.NotContains(t, laptop.poll().Body, "from the lost phone")

	again := h.admit()
	require.Equal(t, 200, again.post(again.syncPath(), act(again, "BBBBBBBBBBB", "from the lost phone")).Status)
	require.Contains(t, laptop.poll().Body, "from the lost phone", "paired again, the same push is taken")
}
