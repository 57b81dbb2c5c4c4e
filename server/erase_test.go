package server_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/store"
	"fairmeasure/testdata"
)

// TestErase: everything of an account goes, and its devices are told, however late.
func TestErase(t *testing.T) {
	for _, row := range testdata.Rows(t, "cases/people_cases.csv") {
		if row["op"] != "wipe_all" {
			continue
		}
		t.Run(row["id"], func(t *testing.T) {
			var in struct {
				Days int `json:"old_phone_returns_days"`
			}
			var want struct {
				HTTP     int
				Code     string
				Accepted bool
				Rows     int  `json:"server_rows"`
				OnTap    bool `json:"phone_offers_export_then_wipes_on_tap"` // the browser story of the late phone holds it
			}
			require.NoError(t, json.Unmarshal([]byte(row["input"]), &in))
			require.NoError(t, json.Unmarshal([]byte(row["expected"]), &want))
			h := newHouse(t)
			laptop := h.setUp("Robin", "laptop")
			h.tick()
			phone := h.come("sign-in", map[string]string{"name": "Robin", "password": quiet, "device": "old phone"})
			kim := h.asked(laptop, "Kim", "Kim's phone")
			require.Equal(t, 200, kim.post(kim.syncPath(), kim.request(note("KKKKKKKKKKK", 1, 1, "of Kim"))).Status)
			require.Equal(t, 200, phone.post(phone.syncPath(), phone.request(note("AAAAAAAAAAA", 1, 1, "from before"))).Status)
			require.Equal(t, 200, laptop.get("/api/v1/journals/"+laptop.Journal+"/pours").Status, "it is held in memory, too")
			require.Equal(t, 1, h.server.Readings())
			account := h.account("Robin")
			before, err := h.everything(kim.Journal)
			require.NoError(t, err)

			h.tick()
			a := laptop.post("/api/v1/journals/"+laptop.Journal+"/erase", obj{"typed": quiet})
			require.Equal(t, 200, a.Status, a.Body)
			require.JSONEq(t, `{"erased":"`+laptop.Journal+`"}`, a.Body)
			require.Empty(t, laptop.cookies)
			require.Zero(t, h.server.Readings())

			h.clock.move(time.Duration(in.Days) * 24 * time.Hour)
			late := phone.post(phone.syncPath(), phone.request(note("AAAAAAAAAAA", 2, 2, "poured on the way")))
			require.Equal(t, want.HTTP, late.Status, late.Body)
			require.Equal(t, want.Code, late.code(t))
			require.False(t, want.Accepted)
			_, err = h.everything(phone.Journal)
			require.ErrorIs(t, err, store.ErrErased)
			rows := h.recordsWith(string(account.ID), "Robin", phone.Journal, phone.ID, laptop.ID, "old phone")
			require.Len(t, rows, want.Rows, "%v", rows)

			renewed := phone.post("/api/v1/auth/refresh", "{}")
			require.Equal(t, 401, renewed.Status, "nothing renews what is gone")
			require.Equal(t, want.HTTP, phone.poll().Status)
			require.Equal(t, want.HTTP, h.stranger().do(h.request("GET /api/v1/journals/:journal/pours", phone.Journal, "")).Status)
			require.Equal(t, "erased", h.stranger().do(h.request("POST /api/v1/journals/:journal/erase", phone.Journal, "")).code(t))

			h.restart()
			require.Equal(t, want.HTTP, phone.poll().Status, "a restart does not forget")
			after, err := h.everything(kim.Journal)
			require.NoError(t, err)
			require.Equal(t, before, after, "a member's journal is as it was")
			require.Equal(t, 200, kim.post("/api/v1/auth/refresh", "{}").Status)
			require.Contains(t, kim.poll().Body, "of Kim")
		})
	}
	t.Run("Refused", func(t *testing.T) {
		h := newHouse(t)
		d := h.setUp("Robin", "laptop")
		require.Equal(t, 200, d.post(d.syncPath(), d.request(note("AAAAAAAAAAA", 1, 1, "kept"))).Status)
		path := "/api/v1/journals/" + d.Journal + "/erase"
		for _, typed := range []string{"", "Robin", "a quiet orchard"} {
			h.tick()
			refused(t, d.post(path, obj{"typed": typed}), 422, "wrong_password")
		}
		for range 2 {
			h.tick()
			refused(t, d.post(path, obj{"typed": "no"}), 422, "wrong_password")
		}
		refused(t, d.post(path, obj{"typed": quiet}), 429, "too_many_tries") // wrong tries count here, too
		require.Contains(t, d.poll().Body, "kept")
		h.tick()
		require.Equal(t, 200, d.post(path, obj{"typed": quiet}).Status)
	})
	t.Run("WithoutAPassword", func(t *testing.T) {
		h := newHouse(t)
		kim := h.person("Kim", "member")
		path := "/api/v1/journals/" + kim.Journal + "/erase"
		refused(t, kim.post(path, obj{"typed": "Robin"}), 422, "wrong_password")
		require.Equal(t, 200, kim.post(path, obj{"typed": "Kim"}).Status)
		refused(t, kim.poll(), 410, "erased")
	})
	t.Run("ANewAccountTakesNoErasedJournal", func(t *testing.T) {
		h := newHouse(t)
		d := h.setUp("Robin", "laptop")
		h.tick()
		require.Equal(t, 200, d.post("/api/v1/journals/"+d.Journal+"/erase", obj{"typed": quiet}).Status)
		h.tick()
		key, ok := h.door.OpenSetup(time.Hour)
		require.True(t, ok, "without an owner there is something to set up again")
		again := h.come("setup", map[string]string{"key": key, "name": "Robin", "password": quiet, "journal": d.Journal})
		require.NotEqual(t, d.Journal, again.Journal)
		require.Equal(t, 200, again.poll().Status)
	})
}

// TestTwoAccounts walks every route as one person with everything of another that has an id: journal, device, code,
// invitation, claim. Nothing of the other is told, and nothing of theirs changes.
func TestTwoAccounts(t *testing.T) {
	h := newHouse(t, brief)
	robin := h.setUp("Robin", "Robin's laptop")
	kim := h.asked(robin, "Kim", "Kim's phone")
	// An owner beside the first one: so both have everything there is.
	theirs, mine := h.person("Alex", "owner"), h.person("Sam", "owner")
	const secret = "Alex's quince, nobody else's"
	require.Equal(t, 200, theirs.post(theirs.syncPath(), theirs.request(note("AAAAAAAAAAA", 1, 1, secret))).Status)
	asked := read[askedCode](t, theirs.post("/api/v1/auth/codes", "{}"), 200)
	waiting := read[wait](t, h.stranger().post("/api/v1/auth/pair", obj{"code": asked.Code, "name": "Alex's tablet"}), 202)
	invited := theirs.invite()
	account := h.account("Alex")

	state := func() string {
		page, err := h.everything(theirs.Journal)
		require.NoError(t, err)
		codes := theirs.get("/api/v1/auth/codes").Body + theirs.get("/api/v1/accounts/invitations").Body
		return fmt.Sprint(page) + theirs.get("/api/v1/auth/devices").Body + theirs.get("/api/v1/auth/audit").Body + codes
	}
	before := state()
	hidden := []string{secret, "Alex's", string(account.ID), theirs.Journal, theirs.ID, asked.Code, asked.ID, invited.Code, invited.ID, waiting.Claim}
	bodies := []string{
		"{}", fmt.Sprintf(`{"id":%q,"number":%q}`, asked.ID, waiting.Number), fmt.Sprintf(`{"id":%q}`, asked.ID), fmt.Sprintf(`{"id":%q}`, invited.ID),
		`{"name":"mine now"}`, `{"typed":"Alex"}`, theirs.request(note("SSSSSSSSSSS", 1, 2, "slipped in")),
		fmt.Sprintf(`{"account":%q,"user":%q,"sub":%q,"device":%q,"journal":%q}`, account.ID, account.ID, account.ID, theirs.ID, theirs.Journal),
	}
	for _, who := range []*device{mine, kim} {
		for route, access := range accesses {
			if access == "anyone" || access == "visitor" || route == "POST /api/v1/auth/sign-out" {
				continue // the same for everybody, or only about oneself
			}
			method, path, _ := strings.Cut(route, " ")
			own := filled(path, strings.Repeat("0", 32), "zzzzzzzz")
			path = filled(path, theirs.Journal, theirs.ID)
			if method == http.MethodGet {
				a := who.get(path)
				for _, word := range hidden {
					if !strings.Contains(path, word) && !strings.Contains(route, "GET /api/v1/accounts") {
						require.NotContains(t, a.Body, word, route)
					}
				}
				continue
			}
			for _, body := range bodies {
				if route == "POST /api/v1/auth/devices/revoke-others" || route == "POST /api/v1/auth/password" {
					body = "{}"
				}
				a := who.post(path, body)
				for _, word := range hidden {
					if !strings.Contains(path, word) && !strings.Contains(body, word) {
						require.NotContains(t, a.Body, word, "%s %s", route, body)
					}
				}
				if own != path {
					nothing := who.post(own, strings.ReplaceAll(body, theirs.Journal, strings.Repeat("0", 32)))
					same := strings.NewReplacer(theirs.Journal, "x", strings.Repeat("0", 32), "x", theirs.ID, "d", "zzzzzzzz", "d")
					require.Equal(t, same.Replace(nothing.Body), same.Replace(a.Body), "%s %s: theirs and none look the same", route, body)
				}
			}
		}
	}
	require.Equal(t, before, state(), "nothing of theirs has changed")
	require.NotContains(t, robin.get("/api/v1/accounts").Body, theirs.Journal, "who has an account says nothing of journals")
}
