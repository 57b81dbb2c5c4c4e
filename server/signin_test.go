package server_test

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fairmeasure/server"
	"fairmeasure/server/auth"
)

func TestPairing(t *testing.T) {
	t.Run("OK", func(t *testing.T) {
		h := newHouse(t)
		d := &device{h: h, cookies: map[string]string{}}
		a := d.post("/api/v1/auth/pair", map[string]string{"code": strings.ToLower(string(h.code())), "name": " Kitchen  laptop"})
		require.Equal(t, 200, a.Status)
		require.Equal(t, "no-store", a.Header.Get("Cache-Control"))
		var told struct {
			Journal string
			Device  struct{ ID, Name string }
			Account struct{ Name string }
		}
		require.NoError(t, json.Unmarshal([]byte(a.Body), &told))
		require.Len(t, told.Journal, 32)
		require.Equal(t, "Kitchen laptop", told.Device.Name)
		require.Equal(t, "Robin", told.Account.Name)

		me := d.get("/api/v1/auth/me")
		require.Equal(t, 200, me.Status)
		require.JSONEq(t, a.Body, me.Body)
		for _, secret := range d.cookies {
			require.NotContains(t, a.Body, secret, "a script never sees a token")
		}
	})
	t.Run("JournalOfTheDevice", func(t *testing.T) {
		h := newHouse(t)
		d := &device{h: h, cookies: map[string]string{}}
		a := d.post("/api/v1/auth/pair", map[string]string{"code": h.code().String(), "journal": "00112233445566778899aabbccddeeff"})
		require.Contains(t, a.Body, `"journal":"00112233445566778899aabbccddeeff"`)
	})
	t.Run("Expired", func(t *testing.T) {
		h := newHouse(t)
		c := h.code()
		h.clock.move(10 * time.Minute)
		a := h.do(post(t, "/api/v1/auth/pair", map[string]string{"code": c.String()}))
		require.Equal(t, 403, a.Status)
		require.Equal(t, "code_expired", a.code(t))
		require.Empty(t, a.Header.Values("Set-Cookie"))
	})
	t.Run("UsedTwice", func(t *testing.T) {
		h := newHouse(t)
		c := h.code().String()
		require.Equal(t, 200, h.do(post(t, "/api/v1/auth/pair", map[string]string{"code": c})).Status)
		a := h.do(post(t, "/api/v1/auth/pair", map[string]string{"code": c}))
		require.Equal(t, 403, a.Status)
		require.Equal(t, "code_unknown", a.code(t))
	})
	t.Run("Unreadable", func(t *testing.T) {
		h := newHouse(t)
		a := h.do(post(t, "/api/v1/auth/pair", map[string]string{"code": "hello"}))
		require.Equal(t, 422, a.Status)
		require.Equal(t, "code_unreadable", a.code(t))
	})
	t.Run("Guessed", func(t *testing.T) {
		h := newHouse(t)
		c := h.code().String()
		for range auth.TriesPerAddress {
			require.Equal(t, 403, h.do(post(t, "/api/v1/auth/pair", map[string]string{"code": "000000000000"})).Status)
		}
		a := h.do(post(t, "/api/v1/auth/pair", map[string]string{"code": c}))
		require.Equal(t, 429, a.Status)
		require.Equal(t, "too_many_tries", a.code(t))
		require.Equal(t, "3600", a.Header.Get("Retry-After"))
	})
	t.Run("NameTooLong", func(t *testing.T) {
		h := newHouse(t)
		a := h.do(post(t, "/api/v1/auth/pair", map[string]string{"code": h.code().String(), "name": strings.Repeat("x", 61)}))
		require.Equal(t, 422, a.Status)
		require.Equal(t, "name", a.code(t))
	})
}

func TestCookies(t *testing.T) {
	for name, row := range map[string]struct {
		public          string
		access, refresh string
		secure          bool
	}{
		"https":          {"https://drinks.example.org", "__Host-at", "__Secure-rt", true},
		"http, loopback": {"http://127.0.0.1:8080", "at_8080", "rt_8080", false},
		"http, by name":  {"http://localhost", "at", "rt", false},
	} {
		t.Run(name, func(t *testing.T) {
			h := newHouse(t, func(c *server.Config) { c.PublicURL = row.public })
			resp, err := h.server.App().Test(post(t, "/api/v1/auth/pair", map[string]string{"code": h.code().String()}), -1)
			require.NoError(t, err)
			defer resp.Body.Close()
			byName := map[string]*http.Cookie{}
			for _, c := range resp.Cookies() {
				byName[c.Name] = c
				require.True(t, c.HttpOnly)
				require.Equal(t, http.SameSiteStrictMode, c.SameSite)
				require.Equal(t, row.secure, c.Secure)
				require.Empty(t, c.Domain)
			}
			require.Len(t, byName, 3)
			require.Equal(t, "/", byName[row.access].Path)
			require.Equal(t, 600, byName[row.access].MaxAge)
			require.Equal(t, "/api/v1/auth", byName[row.refresh].Path)
			require.Equal(t, 90*24*3600, byName[row.refresh].MaxAge)
		})
	}
}

func TestPublicURL(t *testing.T) {
	for _, bad := range []string{"", "drinks.example.org", "ftp://x", "http://drinks.example.org", "http://192.168.1.4:8080", "https://x/path", "https://"} {
		h := newHouse(t)
		_, err := server.New(server.Config{Door: h.door, Store: h.store, Now: h.clock.Now, PublicURL: bad})
		require.Error(t, err, bad)
	}
	h := newHouse(t, func(c *server.Config) { c.PublicURL = "http://127.0.0.1:8080" })
	for origin, status := range map[string]int{
		"http://127.0.0.1:8080": 422, "http://localhost:8080": 422, "http://[::1]:8080": 422,
		"http://localhost:8081": 403, "https://localhost:8080": 403, "null": 403,
	} {
		req := post(t, "/api/v1/auth/pair", "{}")
		req.Header.Del("Sec-Fetch-Site")
		req.Header.Set("Origin", origin)
		require.Equal(t, status, h.do(req).Status, origin)
	}
}

func TestRefresh(t *testing.T) {
	t.Run("AfterTheAccessTokenRanOut", func(t *testing.T) {
		h := newHouse(t)
		d := h.admit()
		h.clock.move(time.Hour)
		a := d.poll()
		require.Equal(t, 401, a.Status)
		require.Equal(t, "expired", a.code(t))
		require.Contains(t, a.Body, d.Journal)
		require.Equal(t, 200, d.post("/api/v1/auth/refresh", "{}").Status)
		require.Equal(t, 200, d.poll().Status)
	})
	t.Run("ParallelTab", func(t *testing.T) {
		h := newHouse(t)
		d := h.admit()
		second := &device{h: h, cookies: map[string]string{"__Secure-rt": d.cookies["__Secure-rt"]}}
		require.Equal(t, 200, d.post("/api/v1/auth/refresh", "{}").Status)
		a := second.post("/api/v1/auth/refresh", "{}")
		require.Equal(t, 409, a.Status)
		require.Equal(t, "renewed", a.code(t))
		require.Equal(t, "2", a.Header.Get("Retry-After"))
		require.Empty(t, a.Header.Values("Set-Cookie"), "the other tab's cookie is in the jar: leave it")
	})
	t.Run("Superseded", func(t *testing.T) {
		h := newHouse(t)
		d := h.admit()
		thief := &device{h: h, cookies: map[string]string{"__Secure-rt": d.cookies["__Secure-rt"]}}
		require.Equal(t, 200, d.post("/api/v1/auth/refresh", "{}").Status)
		require.Equal(t, 200, d.post("/api/v1/auth/refresh", "{}").Status)
		a := thief.post("/api/v1/auth/refresh", "{}")
		require.Equal(t, 403, a.Status)
		require.Equal(t, "revoked", a.code(t))
		require.Equal(t, 403, d.get("/api/v1/auth/me").Status)
		require.Contains(t, h.log.String(), d.ID, "the log says which device")
	})
	t.Run("Nothing", func(t *testing.T) {
		h := newHouse(t)
		a := h.do(post(t, "/api/v1/auth/refresh", "{}"))
		require.Equal(t, 401, a.Status)
		require.Equal(t, "signed_out", a.code(t))
	})
	t.Run("GarbageIsCleared", func(t *testing.T) {
		h := newHouse(t)
		d := &device{h: h, cookies: map[string]string{"__Secure-rt": "garbage"}}
		require.Equal(t, 401, d.post("/api/v1/auth/refresh", "{}").Status)
		require.NotContains(t, d.cookies, "__Secure-rt")
	})
}

func TestDevicesAndSignOut(t *testing.T) {
	h := newHouse(t)
	laptop := h.admit()
	h.clock.move(time.Minute)
	phone := h.admit()
	h.clock.move(time.Minute)
	a := laptop.get("/api/v1/auth/devices")
	require.Equal(t, 200, a.Status)
	var list struct {
		Devices []struct {
			ID       string
			Name     string
			LastSeen int64 `json:"last_seen_ms"`
			Created  int64 `json:"created_ms"`
			This     bool
			End      string
		}
	}
	require.NoError(t, json.Unmarshal([]byte(a.Body), &list))
	require.Len(t, list.Devices, 2)
	require.Equal(t, laptop.ID, list.Devices[0].ID)
	require.True(t, list.Devices[0].This)
	require.Equal(t, h.clock.Now().UnixMilli(), list.Devices[0].LastSeen, "seen just now")
	require.Equal(t, phone.ID, list.Devices[1].ID)
	require.False(t, list.Devices[1].This)

	require.Equal(t, 200, phone.post("/api/v1/auth/sign-out", "{}").Status)
	require.Len(t, phone.cookies, 1, "both tokens of the sign-in are taken back")
	require.Contains(t, phone.cookies, "__Secure-kd", "the device is known again")
	a = laptop.get("/api/v1/auth/devices")
	require.Contains(t, a.Body, `"end":"signed_out"`)
}

func TestSecurityHeaders(t *testing.T) {
	h := newHouse(t)
	for _, path := range []string{"/", "/assets/main-abc.js", "/sw.js", "/livez", "/api/v1/auth/me", "/assets/none.js"} {
		a := h.do(httptest.NewRequest("GET", path, http.NoBody))
		require.Equal(t, "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; worker-src 'self'; connect-src 'self'; style-src 'self'; "+
			"img-src 'self' data: blob:; font-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
			a.Header.Get("Content-Security-Policy"), path)
		require.Equal(t, "DENY", a.Header.Get("X-Frame-Options"), path)
		require.Equal(t, "nosniff", a.Header.Get("X-Content-Type-Options"), path)
		require.Equal(t, "no-referrer", a.Header.Get("Referrer-Policy"), path)
		require.Len(t, a.Header.Get("X-Request-Id"), 16, path)
		require.Empty(t, a.Header.Values("Access-Control-Allow-Origin"), path)
	}
	req := httptest.NewRequest("GET", "/livez", http.NoBody)
	req.Header.Set("X-Request-Id", "chosen by the client")
	require.NotEqual(t, "chosen by the client", h.do(req).Header.Get("X-Request-Id"))
}
