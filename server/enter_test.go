package server_test

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fairmeasure/server"
	"fairmeasure/server/auth"
)

type told struct {
	Journal string
	Device  struct{ ID, Name string }
	Account struct {
		Name, Role  string
		HasPassword *bool `json:"has_password"`
	}
}

func (t told) is(tb testing.TB, name, role string, hasPassword bool) {
	tb.Helper()
	require.Equal(tb, name, t.Account.Name)
	require.Equal(tb, role, t.Account.Role)
	require.NotNil(tb, t.Account.HasPassword)
	require.Equal(tb, hasPassword, *t.Account.HasPassword)
}

// refused holds an answer against a status and a code, and that it carries no way in.
func refused(t testing.TB, a answer, status int, code string) {
	t.Helper()
	require.Equal(t, status, a.Status, a.Body)
	require.Equal(t, code, a.code(t))
	require.Empty(t, a.Header.Values("Set-Cookie"))
}

// setupPage asks for the page on which an owner's account is made, as a browser does.
func (h *house) setupPage(method string) answer {
	req := httptest.NewRequest(method, "/setup", http.NoBody)
	req.Header.Set("Accept", "text/html,application/xhtml+xml;q=0.9")
	return h.do(req)
}

func TestSetUp(t *testing.T) {
	t.Run("OK", func(t *testing.T) {
		h := newHouse(t)
		require.Equal(t, 200, h.setupPage("GET").Status)
		require.Equal(t, builtPage, h.setupPage("GET").Body)
		require.Equal(t, 200, h.setupPage("HEAD").Status)
		key, ok := h.door.OpenSetup(time.Hour)
		require.True(t, ok)
		d := h.stranger()
		a := d.post("/api/v1/auth/setup", obj{"key": key, "name": " Robin ", "password": quiet, "device": "laptop", "journal": "00112233445566778899aabbccddeeff"})
		in := read[told](t, a, 200)
		in.is(t, "Robin", "owner", true)
		require.Equal(t, "laptop", in.Device.Name)
		require.Equal(t, "00112233445566778899aabbccddeeff", in.Journal)
		require.JSONEq(t, a.Body, d.get("/api/v1/auth/me").Body)
		require.Equal(t, 200, d.get("/api/v1/accounts").Status)

		for _, method := range []string{"GET", "HEAD"} {
			require.Equal(t, 404, h.setupPage(method).Status, method)
		}
		require.Equal(t, "not_found", h.setupPage("GET").code(t))
		require.Equal(t, "no-store", h.setupPage("GET").Header.Get("Cache-Control"))
		refused(t, h.do(post(t, "/api/v1/auth/setup", obj{"key": key, "name": "Kim", "password": quiet})), 404, "no_setup")
	})
	t.Run("Refused", func(t *testing.T) {
		h := newHouse(t)
		set := func(change obj) answer {
			key, ok := h.door.OpenSetup(time.Hour)
			require.True(t, ok)
			body := obj{"key": key, "name": "Robin", "password": quiet}
			for k, v := range change {
				body[k] = v
			}
			return h.do(post(t, "/api/v1/auth/setup", body))
		}
		refused(t, set(obj{"key": "x"}), 404, "no_setup")
		refused(t, set(obj{"password": "too short"}), 422, "password")
		refused(t, set(obj{"password": strings.Repeat("x", 257)}), 422, "password")
		refused(t, set(obj{"name": " "}), 422, "account_name")
		refused(t, set(obj{"device": strings.Repeat("x", 61)}), 422, "name")
		require.Empty(t, h.door.Accounts())
		require.Equal(t, 200, set(nil).Status)
	})
	t.Run("WithoutAKey", func(t *testing.T) {
		h := newHouse(t)
		refused(t, h.do(post(t, "/api/v1/auth/setup", obj{"key": "", "name": "Robin", "password": quiet})), 404, "no_setup")
	})
	t.Run("Raced", func(t *testing.T) {
		h := newHouse(t)
		key, ok := h.door.OpenSetup(time.Hour)
		require.True(t, ok)
		answers := make([]answer, 8)
		var all sync.WaitGroup
		for i := range answers {
			all.Go(func() {
				answers[i] = h.do(post(t, "/api/v1/auth/setup", obj{"key": key, "name": "Robin", "password": quiet}))
			})
		}
		all.Wait()
		won := 0
		for _, a := range answers {
			if a.Status == 200 {
				won++
				continue
			}
			refused(t, a, 404, "no_setup")
		}
		require.Equal(t, 1, won)
		require.Len(t, h.door.Accounts(), 1)
		require.Len(t, h.door.Devices(h.account("Robin").ID), 1)
		require.Equal(t, 404, h.setupPage("GET").Status)
	})
	t.Run("AMemberIsNoOwner", func(t *testing.T) {
		h := newHouse(t)
		h.person("Kim", auth.RoleMember)
		require.Equal(t, 200, h.setupPage("GET").Status)
		key, ok := h.door.OpenSetup(time.Hour)
		require.True(t, ok)
		refused(t, h.do(post(t, "/api/v1/auth/setup", obj{"key": key, "name": "KIM", "password": quiet})), 409, "name_taken")
	})
}

func TestSignIn(t *testing.T) {
	start := func(t *testing.T) (*house, *device) {
		h := newHouse(t)
		return h, h.setUp("Robin", "laptop")
	}
	try := func(h *house, name, password string) answer {
		h.tick()
		return h.do(post(h.t, "/api/v1/auth/sign-in", obj{"name": name, "password": password, "device": "phone"}))
	}
	t.Run("OK", func(t *testing.T) {
		h, laptop := start(t)
		h.tick()
		phone := h.stranger()
		a := phone.post("/api/v1/auth/sign-in", obj{"name": "ROBIN", "password": quiet, "device": "phone", "journal": strings.Repeat("0", 32)})
		in := read[told](t, a, 200)
		in.is(t, "Robin", "owner", true)
		require.Equal(t, laptop.Journal, in.Journal, "the account's, not the one the device began")
		require.JSONEq(t, a.Body, phone.get("/api/v1/auth/me").Body)
		h.clock.move(time.Hour)
		require.JSONEq(t, a.Body, phone.post("/api/v1/auth/refresh", "{}").Body)
	})
	t.Run("WrongAndUnknownLookTheSame", func(t *testing.T) {
		h, _ := start(t)
		h.person("Kim", auth.RoleMember) // without a password
		wrong := try(h, "Robin", "another orchard")
		refused(t, wrong, 401, "wrong")
		for name, password := range map[string]string{"Sam": quiet, "Kim": quiet, "": quiet, "Robin": "", "\x00": quiet, "robin": strings.Repeat("x", 10_000)} {
			a := try(h, name, password)
			require.Equal(t, wrong.Status, a.Status, name)
			require.Equal(t, wrong.Body, a.Body, name)
			require.Empty(t, a.Header.Values("Set-Cookie"))
		}
	})
	t.Run("TooManyTries", func(t *testing.T) {
		h, laptop := start(t)
		for _, name := range []string{"Robin", "Nobody of this name"} {
			for range auth.FreeFails {
				refused(t, try(h, name, "another orchard"), 401, "wrong")
			}
			h.clock.move(-time.Second) // as soon as that
			a := try(h, name, quiet)
			refused(t, a, 429, "too_many_tries")
			require.Equal(t, "1", a.Header.Get("Retry-After"))
			require.Contains(t, a.Body, `"retry_s":1`)
			require.Contains(t, a.Body, `"detail":"too many wrong tries"`)
		}
		require.Equal(t, 200, laptop.poll().Status, "who is signed in stays so")
		require.Equal(t, 200, try(h, "Robin", quiet).Status, "a second later")
	})
	t.Run("TooManyFromOneAddress", func(t *testing.T) {
		h, _ := start(t)
		for i := range auth.FailsPerAddress {
			refused(t, try(h, "name "+string(rune('a'+i)), quiet), 401, "wrong")
		}
		a := try(h, "Robin", quiet)
		refused(t, a, 429, "too_many_tries")
		require.Equal(t, "580", a.Header.Get("Retry-After"), "ten minutes from the first of twenty, one a second")
	})
	t.Run("DeviceName", func(t *testing.T) {
		h, _ := start(t)
		refused(t, h.do(post(t, "/api/v1/auth/sign-in", obj{"name": "Robin", "password": quiet, "device": strings.Repeat("x", 61)})), 422, "name")
	})
}

func TestInvitations(t *testing.T) {
	start := func(t *testing.T) (*house, *device) {
		h := newHouse(t)
		return h, h.setUp("Robin", "laptop")
	}
	join := func(h *house, code string, change obj) answer {
		h.tick()
		body := obj{"code": code, "name": "Kim", "password": quiet}
		for k, v := range change {
			body[k] = v
		}
		return h.do(post(h.t, "/api/v1/auth/join", body))
	}
	t.Run("OK", func(t *testing.T) {
		h, owner := start(t)
		asked := owner.invite()
		require.Regexp(t, `^[0-9A-HJKMNP-TV-Z]{4}(-[0-9A-HJKMNP-TV-Z]{4}){2}$`, asked.Code)
		require.Equal(t, h.clock.Now().Add(auth.InvitationLife).UnixMilli(), asked.Expires)
		list := owner.get("/api/v1/accounts/invitations")
		rows := read[struct{ Invitations []askedCode }](t, list, 200).Invitations
		require.Equal(t, []askedCode{{ID: asked.ID, Expires: asked.Expires}}, rows, "the code is told once")
		require.JSONEq(t, `{"codes":[]}`, owner.get("/api/v1/auth/codes").Body, "it is no code for a device")

		h.clock.move(23 * time.Hour)
		kim := h.stranger()
		a := kim.post("/api/v1/auth/join", obj{"code": strings.ToLower(asked.Code), "name": "Kim", "password": quiet, "device": "phone", "journal": owner.Journal})
		in := read[told](t, a, 200)
		in.is(t, "Kim", "member", true)
		require.NotEqual(t, owner.Journal, in.Journal, "somebody else's journal is not taken over")
		require.JSONEq(t, a.Body, kim.get("/api/v1/auth/me").Body)
		kim.ID, kim.Journal = in.Device.ID, in.Journal
		require.Equal(t, 200, kim.poll().Status)

		require.Equal(t, 200, owner.post("/api/v1/auth/refresh", "{}").Status)
		require.JSONEq(t, `{"invitations":[]}`, owner.get("/api/v1/accounts/invitations").Body)
		accounts := read[struct {
			Accounts []struct {
				Name, Role string
				Created    int64 `json:"created_ms"`
				LastSeen   int64 `json:"last_seen_ms"`
				Devices    int
			}
		}](t, owner.get("/api/v1/accounts"), 200).Accounts
		require.Len(t, accounts, 2)
		require.Equal(t, "Robin", accounts[0].Name)
		require.Equal(t, "owner", accounts[0].Role)
		require.Equal(t, "Kim", accounts[1].Name)
		require.Equal(t, "member", accounts[1].Role)
		require.Equal(t, 1, accounts[1].Devices)
		require.Equal(t, h.clock.Now().UnixMilli(), accounts[1].LastSeen)
		require.Less(t, accounts[0].Created, accounts[1].Created)
		require.Equal(t, 200, kim.post("/api/v1/auth/sign-out", "{}").Status)
		require.Contains(t, owner.get("/api/v1/accounts").Body, `"devices":0`, "only those that may come in are counted")

		refused(t, join(h, asked.Code, obj{"name": "Sam"}), 403, "code_unknown")
		require.Len(t, h.door.Accounts(), 2)
	})
	t.Run("RefusedWithoutUsingItUp", func(t *testing.T) {
		h, owner := start(t)
		code := owner.invite().Code
		refused(t, join(h, "x", nil), 422, "code_unreadable")
		refused(t, join(h, code, obj{"name": ""}), 422, "account_name")
		refused(t, join(h, code, obj{"password": "short"}), 422, "password")
		refused(t, join(h, code, obj{"name": "robin"}), 409, "name_taken")
		refused(t, join(h, code, obj{"device": strings.Repeat("x", 61)}), 422, "name")
		refused(t, h.do(post(t, "/api/v1/auth/pair", obj{"code": code})), 422, "invitation")
		ofDevice := read[askedCode](t, owner.post("/api/v1/auth/codes", "{}"), 200)
		refused(t, join(h, ofDevice.Code, nil), 422, "not_invitation")
		require.Equal(t, 200, join(h, code, nil).Status)
	})
	t.Run("Expired", func(t *testing.T) {
		h, owner := start(t)
		asked := owner.invite()
		h.clock.move(auth.InvitationLife)
		refused(t, join(h, asked.Code, nil), 403, "code_expired")
		require.Equal(t, 200, owner.post("/api/v1/auth/refresh", "{}").Status)
		refused(t, owner.post("/api/v1/accounts/invitations/cancel", obj{"id": asked.ID}), 403, "code_expired")
	})
	t.Run("Cancelled", func(t *testing.T) {
		h, owner := start(t)
		asked := owner.invite()
		require.JSONEq(t, `{"cancelled":"`+asked.ID+`"}`, owner.post("/api/v1/accounts/invitations/cancel", obj{"id": asked.ID}).Body)
		refused(t, join(h, asked.Code, nil), 403, "code_unknown")
		refused(t, owner.post("/api/v1/accounts/invitations/cancel", obj{"id": asked.ID}), 404, "no_code")
	})
	t.Run("AtMostThree", func(t *testing.T) {
		_, owner := start(t)
		for range auth.MaxCodes {
			owner.invite()
		}
		refused(t, owner.post("/api/v1/accounts/invitations", "{}"), 409, "too_many_codes")
		require.Equal(t, 200, owner.post("/api/v1/auth/codes", "{}").Status, "codes for devices are counted apart")
	})
	t.Run("Guessed", func(t *testing.T) {
		h, owner := start(t)
		code := owner.invite().Code
		for range auth.TriesPerAddress {
			refused(t, join(h, "000000000000", nil), 403, "code_unknown")
		}
		refused(t, join(h, code, nil), 429, "too_many_tries")
	})
	t.Run("NotForMembers", func(t *testing.T) {
		h, owner := start(t)
		kim := h.asked(owner, "Kim", "phone")
		asked := owner.invite()
		refused(t, kim.post("/api/v1/accounts/invitations", "{}"), 403, "not_owner")
		refused(t, kim.get("/api/v1/accounts/invitations"), 403, "not_owner")
		refused(t, kim.get("/api/v1/accounts"), 403, "not_owner")
		refused(t, kim.post("/api/v1/accounts/invitations/cancel", obj{"id": asked.ID}), 403, "not_owner")
		refused(t, kim.post("/api/v1/accounts/invitations/cancel", obj{"id": "x"}), 403, "not_owner")
	})
}

func TestChangePassword(t *testing.T) {
	const fresh = "another orchard, 2 quinces"
	t.Run("OK", func(t *testing.T) {
		h := newHouse(t)
		laptop := h.setUp("Robin", "laptop")
		h.tick()
		phone := h.come("sign-in", map[string]string{"name": "Robin", "password": quiet, "device": "phone"})
		h.tick()
		require.JSONEq(t, `{"changed":true,"revoked":[]}`, laptop.post("/api/v1/auth/password", obj{"old": quiet, "new": fresh}).Body)
		require.Equal(t, 200, phone.poll().Status, "the others stay")
		h.tick()
		refused(t, h.do(post(t, "/api/v1/auth/sign-in", obj{"name": "Robin", "password": quiet})), 401, "wrong")
		h.tick()
		a := laptop.post("/api/v1/auth/password", obj{"old": fresh, "new": quiet, "sign_out_others": true})
		require.JSONEq(t, `{"changed":true,"revoked":["`+phone.ID+`"]}`, a.Body)
		refused(t, phone.poll(), 403, "revoked")
		require.Equal(t, 200, laptop.poll().Status)
		h.come("sign-in", map[string]string{"name": "Robin", "password": quiet})
	})
	t.Run("TheFirst", func(t *testing.T) {
		h := newHouse(t)
		d := h.admit()
		read[told](t, d.get("/api/v1/auth/me"), 200).is(t, "Robin", "owner", false)
		require.Equal(t, 200, d.post("/api/v1/auth/password", obj{"new": fresh}).Status)
		read[told](t, d.get("/api/v1/auth/me"), 200).is(t, "Robin", "owner", true)
		h.tick()
		h.come("sign-in", map[string]string{"name": "robin", "password": fresh})
	})
	t.Run("Refused", func(t *testing.T) {
		h := newHouse(t)
		d := h.setUp("Robin", "laptop")
		refused(t, d.post("/api/v1/auth/password", obj{"old": quiet, "new": "short"}), 422, "password")
		for range auth.FreeFails {
			h.tick()
			refused(t, d.post("/api/v1/auth/password", obj{"old": "no orchard at all", "new": fresh, "sign_out_others": true}), 422, "wrong_password")
		}
		a := d.post("/api/v1/auth/password", obj{"old": quiet, "new": fresh})
		refused(t, a, 429, "too_many_tries")
		require.Equal(t, "1", a.Header.Get("Retry-After"))
		h.tick()
		h.come("sign-in", map[string]string{"name": "Robin", "password": quiet})
	})
}

func TestDevicesAreRenamed(t *testing.T) {
	h := newHouse(t)
	laptop, phone := h.admit(), h.admit()
	a := laptop.post("/api/v1/auth/devices/"+phone.ID+"/name", obj{"name": "  Kitchen   phone "})
	require.JSONEq(t, `{"device":{"id":"`+phone.ID+`","name":"Kitchen phone"}}`, a.Body)
	require.Equal(t, "Kitchen phone", read[told](t, phone.get("/api/v1/auth/me"), 200).Device.Name)
	refused(t, laptop.post("/api/v1/auth/devices/"+phone.ID+"/name", obj{"name": strings.Repeat("x", 61)}), 422, "name")
	refused(t, laptop.post("/api/v1/auth/devices/zzzzzzzz/name", obj{"name": "x"}), 404, "no_device")
	refused(t, laptop.post("/api/v1/auth/devices/"+phone.ID+"/name", "[]"), 400, "malformed")
	require.Contains(t, laptop.get("/api/v1/auth/devices").Body, `"last_address":"0.0.0.0"`, "the address of a test's connection")
}

func TestAudit(t *testing.T) {
	h := newHouse(t, func(c *server.Config) { c.TrustedProxies = []string{"0.0.0.0"} })
	laptop := h.setUp("Robin", "laptop")
	h.tick()
	req := post(t, "/api/v1/auth/sign-in", obj{"name": "Robin", "password": "no orchard at all", "device": "a thief's"})
	req.Header.Set("X-Real-IP", "192.0.2.7")
	require.Equal(t, 401, h.do(req).Status)
	h.tick()
	phone := h.come("sign-in", map[string]string{"name": "Robin", "password": quiet, "device": "phone"})
	h.tick()
	require.Equal(t, 200, laptop.post("/api/v1/auth/devices/"+phone.ID+"/name", obj{"name": "old phone"}).Status)
	h.tick()
	require.Equal(t, 200, laptop.post("/api/v1/auth/devices/"+phone.ID+"/revoke", "{}").Status)

	type event struct {
		At                              int64 `json:"at_ms"`
		What, Device, Name, By, Address string
	}
	a := laptop.get("/api/v1/auth/audit")
	events := read[struct{ Events []event }](t, a, 200).Events
	require.Len(t, events, 5)
	now := h.clock.Now().UnixMilli()
	require.Equal(t, event{now, "revoked", phone.ID, "old phone", laptop.ID, "0.0.0.0"}, events[0])
	require.Equal(t, event{now - 1000, "renamed", phone.ID, "old phone", laptop.ID, "0.0.0.0"}, events[1])
	require.Equal(t, event{now - 2000, "signed_in", phone.ID, "phone", "", "0.0.0.0"}, events[2])
	require.Equal(t, event{now - 3000, "sign_in_failed", "", "a thief's", "", "192.0.2.7"}, events[3])
	require.Equal(t, event{now - 4000, "set_up", laptop.ID, "laptop", "", "0.0.0.0"}, events[4])
	require.NotContains(t, a.Body, "orchard")
}

// TestTheLogKeepsSecretsOfSignIn: what was typed is in no line of the log, and a wrong try is noted by its address.
func TestTheLogKeepsSecretsOfSignIn(t *testing.T) {
	h := newHouse(t)
	key, _ := h.door.OpenSetup(time.Hour)
	d := h.come("setup", map[string]string{"key": key, "name": "Robin of the house", "password": quiet, "device": "laptop"})
	asked := d.invite()
	refused(t, h.do(post(t, "/api/v1/auth/setup", obj{"key": "a key I found", "name": "Thief", "password": quiet})), 404, "no_setup")
	for range auth.FreeFails {
		h.tick()
		refused(t, h.do(post(t, "/api/v1/auth/sign-in", obj{"name": "Thief", "password": "guess no. 1", "device": "theirs"})), 401, "wrong")
	}
	refused(t, h.do(post(t, "/api/v1/auth/sign-in", obj{"name": "Thief", "password": "guess no. 2"})), 429, "too_many_tries")
	h.tick()
	refused(t, d.post("/api/v1/auth/password", obj{"old": "guess no. 3", "new": "guess no. 4"}), 422, "wrong_password")
	h.tick()
	require.Equal(t, 200, d.post("/api/v1/auth/password", obj{"old": quiet, "new": "a louder orchard"}).Status)
	h.asked(d, "Kim of the house", "phone")
	refused(t, h.do(post(t, "/api/v1/auth/join", obj{"code": "0000-0000-0000", "name": "Thief", "password": quiet})), 403, "code_unknown")
	require.Equal(t, 200, d.post("/api/v1/journals/"+d.Journal+"/erase", obj{"typed": "a louder orchard"}).Status)

	log := h.log.String()
	for _, hidden := range []string{"orchard", "guess", "Thief", "theirs", "Robin", "Kim", "laptop", "a key I found", key, asked.Code, strings.ReplaceAll(asked.Code, "-", ""), "0000-0000", d.Journal} {
		require.NotContains(t, log, hidden)
	}
	lines := map[string]map[string]any{}
	for line := range strings.Lines(log) {
		var l map[string]any
		require.NoError(t, json.Unmarshal([]byte(line), &l))
		lines[l["msg"].(string)] = l
	}
	for _, msg := range []string{"a wrong name or password", "a wrong code", "too many wrong tries", "a set-up that was refused"} {
		require.Contains(t, lines, msg)
		require.Equal(t, "INFO", lines[msg]["level"], msg)
		require.Equal(t, "0.0.0.0", lines[msg]["address"], msg)
		require.Len(t, lines[msg], 4, "time, level, words and the address: nothing else")
	}
}
