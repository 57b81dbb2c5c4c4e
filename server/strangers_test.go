package server_test

import (
	"fmt"
	"net/http"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fairmeasure/server"
	"fairmeasure/server/auth"
)

// behindAProxy makes the test's connection a proxy that names the client.
func behindAProxy(c *server.Config) { c.TrustedProxies = []string{"0.0.0.0"} }

func from(addr string, req *http.Request) *http.Request {
	req.Header.Set("X-Real-IP", addr)
	return req
}

// TestStrangersShutNobodyOut: whatever is sent without a sign-in, who was let in goes on.
func TestStrangersShutNobodyOut(t *testing.T) {
	const theirs, fresh = "198.51.100.23", "another orchard, 2 quinces"
	elsewhere := func(i int) string { return fmt.Sprintf("2001:db8:0:%x::1", i+1) }
	for id, attack := range map[string]func(h *house){
		"FifteenWrongPasswords": func(h *house) {
			for range 15 {
				h.tick()
				h.do(from(theirs, post(h.t, "/api/v1/auth/sign-in", obj{"name": "Robin", "password": "no orchard at all"})))
				h.clock.move(auth.MaxFailWait) // each is compared
			}
		},
		"TwoHundredFromAsManyAddresses": func(h *house) {
			for i := range 200 {
				h.tick()
				h.do(from(elsewhere(i), post(h.t, "/api/v1/auth/sign-in", obj{"name": "Robin", "password": "no orchard at all"})))
			}
		},
		"TwoHundredAtOnceFromAsManyAddresses": func(h *house) {
			for i := range 200 {
				h.do(from(elsewhere(i), post(h.t, "/api/v1/auth/sign-in", obj{"name": "Robin", "password": "no orchard at all"})))
			}
		},
		"WrongCodes": func(h *house) {
			for i := range 200 {
				for _, way := range []string{"pair", "join"} {
					h.do(from(elsewhere(i), post(h.t, "/api/v1/auth/"+way, obj{"code": "0000-0000-0000", "name": "Robin", "password": quiet})))
				}
			}
		},
		"SetUpKeysAndClaims": func(h *house) {
			for i := range 200 {
				h.do(from(elsewhere(i), post(h.t, "/api/v1/auth/setup", obj{"key": "x", "name": "Robin", "password": quiet})))
				h.do(from(elsewhere(i), post(h.t, "/api/v1/auth/pair/claim", obj{"claim": "x"})))
			}
		},
	} {
		t.Run(id, func(t *testing.T) {
			h := newHouse(t, behindAProxy)
			const home = "192.0.2.7"
			laptop := h.setUp("Robin", "laptop") // at the proxy's own address
			h.tick()
			out := &device{h: h, cookies: map[string]string{}}
			require.Equal(t, 200, out.do(from(home, post(t, "/api/v1/auth/sign-in", obj{"name": "Robin", "password": quiet}))).Status)
			require.Equal(t, 200, out.do(from(home, post(t, "/api/v1/auth/sign-out", "{}"))).Status)
			asked := read[askedCode](t, laptop.post("/api/v1/auth/codes", "{}"), 200)
			invited := laptop.invite()
			attack(h)

			if id != "FifteenWrongPasswords" { // those took hours
				next := &device{h: h, cookies: map[string]string{}}
				require.Equal(t, 202, next.do(from(home, post(t, "/api/v1/auth/pair", obj{"code": asked.Code}))).Status, "a code lives on")
			}
			require.Equal(t, 200, laptop.post("/api/v1/auth/refresh", "{}").Status)
			require.Equal(t, 200, laptop.poll().Status)
			require.Equal(t, 200, out.do(from("203.0.113.9", post(t, "/api/v1/auth/sign-in", obj{"name": "Robin", "password": quiet}))).Status, "known, at a new address")
			unknown := h.stranger()
			require.Equal(t, 200, unknown.do(from(home, post(t, "/api/v1/auth/sign-in", obj{"name": "Robin", "password": quiet}))).Status, "new, at a known address")
			kim := h.stranger()
			require.Equal(t, 200, kim.do(from("203.0.113.10", post(t, "/api/v1/auth/join", obj{"code": invited.Code, "name": "Kim", "password": quiet}))).Status)
			require.Equal(t, 200, laptop.post("/api/v1/auth/password", obj{"old": quiet, "new": fresh}).Status)
			require.Equal(t, 200, laptop.post("/api/v1/journals/"+laptop.Journal+"/erase", obj{"typed": fresh}).Status)
			require.Empty(t, laptop.cookies, "nothing of it is kept here")
			require.Equal(t, 200, kim.get("/api/v1/auth/me").Status)
		})
	}
}

// TestAskedAgainWaitsThereOnly: who gets the password wrong on a signed-in device waits on that device.
func TestAskedAgainWaitsThereOnly(t *testing.T) {
	h := newHouse(t)
	laptop := h.setUp("Robin", "laptop")
	h.tick()
	phone := h.come("sign-in", map[string]string{"name": "Robin", "password": quiet, "device": "phone"})
	erase := "/api/v1/journals/" + phone.Journal + "/erase"
	for range auth.FreeFails {
		h.tick()
		refused(t, phone.post(erase, obj{"typed": "no orchard at all"}), 422, "wrong_password")
	}
	refused(t, phone.post(erase, obj{"typed": quiet}), 429, "too_many_tries")
	refused(t, phone.post("/api/v1/auth/password", obj{"old": quiet, "new": "another orchard"}), 429, "too_many_tries")
	require.Equal(t, 200, laptop.post("/api/v1/auth/password", obj{"old": quiet, "new": "another orchard"}).Status)
	h.come("sign-in", map[string]string{"name": "Robin", "password": "another orchard"})
	require.Equal(t, 200, laptop.post(erase, obj{"typed": "another orchard"}).Status)
}

// TestVisitsAreFair: strangers use up what their network may ask, a /64 of IPv6 as one, and nobody else's.
func TestVisitsAreFair(t *testing.T) {
	h := newHouse(t, behindAProxy, func(c *server.Config) { c.VisitsPerHour = 20 })
	const home = "2001:db8:1:2::7"
	d := h.stranger()
	require.Equal(t, 200, d.do(from(home, post(t, "/api/v1/auth/pair", obj{"code": h.code().String()}))).Status)
	for i := range 200 {
		h.do(from(fmt.Sprintf("2001:db8:1:2:%x::1", i), post(t, "/api/v1/auth/refresh", "{}")))
	}
	refused(t, h.do(from("2001:db8:1:2:ffff::1", post(t, "/api/v1/auth/refresh", "{}"))), 429, "busy")
	require.Equal(t, 401, h.do(from("2001:db8:1:3::1", post(t, "/api/v1/auth/refresh", "{}"))).Status)
	for range 3 {
		require.Equal(t, 200, d.do(from(home, post(t, "/api/v1/auth/refresh", "{}"))).Status)
		h.clock.move(time.Minute)
	}
}
