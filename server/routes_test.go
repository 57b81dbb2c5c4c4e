package server_test

import (
	"context"
	"maps"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fairmeasure/server"
	"fairmeasure/server/auth"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/store"
)

// accesses says who may call each route. A new route needs a row here, and then the rows of TestAccess hold for it.
var accesses = map[string]string{
	"GET /livez":               "anyone",
	"GET /readyz":              "anyone",
	"GET /setup":               "anyone",
	"GET /api/v1/openapi.json": "anyone",

	"POST /api/v1/auth/setup":      "visitor",
	"POST /api/v1/auth/sign-in":    "visitor",
	"POST /api/v1/auth/join":       "visitor",
	"POST /api/v1/auth/pair":       "visitor",
	"POST /api/v1/auth/pair/claim": "visitor",
	"POST /api/v1/auth/refresh":    "visitor",

	"GET /api/v1/auth/me":                      "device",
	"GET /api/v1/auth/devices":                 "device",
	"POST /api/v1/auth/devices/:device/revoke": "device",
	"POST /api/v1/auth/devices/:device/name":   "device",
	"POST /api/v1/auth/devices/revoke-others":  "device",
	"POST /api/v1/auth/codes":                  "device",
	"GET /api/v1/auth/codes":                   "device",
	"POST /api/v1/auth/codes/confirm":          "device",
	"POST /api/v1/auth/codes/cancel":           "device",
	"POST /api/v1/auth/password":               "device",
	"GET /api/v1/auth/audit":                   "device",
	"POST /api/v1/auth/sign-out":               "device",
	"GET /api/v1/events":                       "device",

	"POST /api/v1/journals/unknown": "device",

	"POST /api/v1/journals/:journal/sync":               "journal",
	"GET /api/v1/journals/:journal/week":                "journal",
	"GET /api/v1/journals/:journal/sessions":            "journal",
	"GET /api/v1/journals/:journal/pours":               "journal",
	"GET /api/v1/journals/:journal/specs/:spec/balance": "journal",
	"POST /api/v1/journals/:journal/erase":              "journal",

	"GET /api/v1/accounts":                     "owner",
	"POST /api/v1/accounts/invitations":        "owner",
	"GET /api/v1/accounts/invitations":         "owner",
	"POST /api/v1/accounts/invitations/cancel": "owner",
}

func TestEveryRouteIsInTheTable(t *testing.T) {
	h := newHouse(t)
	require.Equal(t, accesses, h.server.Accesses())
	// What Fiber itself has registered, should someone add a route past the table.
	found := map[string]bool{}
	for _, r := range h.server.App().GetRoutes(true) {
		found[r.Method+" "+r.Path] = true
	}
	for r := range found {
		require.Contains(t, accesses, r)
	}
	require.Len(t, found, len(accesses))
}

// noSpec has the form of a spec's id and names none.
const noSpec = "01KRPZ00000000000000000999"

// filled puts ids into a route's path.
func filled(path, journal, device string) string {
	return strings.NewReplacer(":journal", journal, ":device", device, ":spec", noSpec).Replace(path)
}

func (h *house) request(route, journal, device string) *http.Request {
	method, path, _ := strings.Cut(route, " ")
	path = filled(path, journal, device)
	if method == "GET" {
		return httptest.NewRequest(method, path, http.NoBody)
	}
	return post(h.t, path, "{}")
}

// strangersJournal is one that is in the store, with a spec in it, and belongs to nobody who signs in here.
func (h *house) strangersJournal() store.Journal {
	h.t.Helper()
	j := store.Journal(strings.Repeat("5", 32))
	stamp := replica.Stamp{Run: "AAAAAAAAAAA", N: 1}
	spec := store.Entity{Entity: replica.Entity{ID: noSpec, Kind: "spec", Fields: map[string][]replica.Write{
		"name": {{Stamp: stamp, At: 1, Value: replica.Text("A secret of somebody else")}},
	}}, Commit: 1}
	require.NoError(h.t, h.store.Commit(context.Background(), j, store.Mark{}, store.Commit{
		No: 1, Tag: "AAAAAAAA", Entities: []store.Entity{spec}, Size: store.Size{Entities: 1, Bytes: int64(spec.Bytes())},
		Seen: map[replica.Run]store.SeenAt{stamp.Run: {N: 1, Commit: 1, Device: "theirs"}},
	}))
	return j
}

// atTheDoor are the refusals of those who may not call a route, whatever they say to it.
var atTheDoor = []string{"expired", "signed_out", "revoked", "not_owner", "no_journal"}

// refusedTo gives, by what a route demands and by who calls it, the refusal; empty for someone who may.
var refusedTo = map[string]map[string]string{
	"anyone":  {},
	"visitor": {},
	"device": {
		"nobody": "expired", "a forger": "expired", "one with swapped tokens": "expired", "a removed device": "revoked", "a signed-out device": "expired",
	},
	"journal": {
		"nobody": "expired", "a forger": "expired", "one with swapped tokens": "expired", "a removed device": "revoked", "a signed-out device": "expired",
		"a member, of the owner's": "no_journal", "an owner, of a member's": "no_journal",
	},
	"owner": {
		"nobody": "expired", "a forger": "expired", "one with swapped tokens": "expired", "a removed device": "revoked", "a signed-out device": "expired",
		"a member": "not_owner",
	},
}

// refusedRenewal is for the one open route that looks at who it is: by the refresh token.
var refusedRenewal = map[string]string{
	"nobody": "signed_out", "a forger": "signed_out", "one with swapped tokens": "signed_out", "a removed device": "revoked", "a signed-out device": "signed_out",
}

// TestAccess calls every route as everybody.
func TestAccess(t *testing.T) {
	for route, access := range accesses {
		t.Run(route, func(t *testing.T) {
			h := newHouse(t, brief)
			mine, removed, left := h.admit(), h.admit(), h.admit()
			member := h.person("Kim", auth.RoleMember)
			require.Equal(t, 200, mine.post("/api/v1/auth/devices/"+removed.ID+"/revoke", "{}").Status)
			gone := &device{h: h, cookies: maps.Clone(left.cookies)}
			require.Equal(t, 200, left.post("/api/v1/auth/sign-out", "{}").Status)
			refused, known := refusedTo[access]
			require.True(t, known, access)
			if route == "POST /api/v1/auth/refresh" {
				refused = refusedRenewal
			}
			for _, row := range []struct {
				who string
				as  *device
				of  *device
			}{
				{"nobody", h.stranger(), mine},
				{"a forger", &device{h: h, cookies: map[string]string{"__Host-at": "a.b.c", "__Secure-rt": "zzzzzzzz." + strings.Repeat("A", 43)}}, mine},
				{"one with swapped tokens", &device{h: h, cookies: map[string]string{"__Host-at": mine.cookies["__Secure-rt"], "__Secure-rt": mine.cookies["__Host-at"]}}, mine},
				{"a removed device", removed, mine},
				{"a signed-out device", gone, mine},
				{"a member, of the owner's", member, mine},
				{"an owner, of a member's", mine, member},
				{"a member", member, member}, // last: they may end themselves
				{"an owner", mine, mine},
			} {
				if strings.Contains(row.who, ", of ") && !strings.Contains(route, ":") {
					continue // there is nothing in the path to be of somebody
				}
				a := row.as.do(h.request(route, row.of.Journal, row.of.ID))
				code := ""
				if a.Status >= 400 {
					code = a.code(t)
				}
				if want := refused[row.who]; want != "" {
					require.Equal(t, want, code, row.who)
				} else {
					require.NotContains(t, atTheDoor, code, row.who)
				}
				status := map[string]int{"expired": 401, "signed_out": 401, "revoked": 403, "not_owner": 403, "no_journal": 404}[code]
				require.True(t, status == 0 || status == a.Status, "%s: %d %s", row.who, a.Status, code)
			}
		})
	}
}

// TestTheRoleIsTheAccounts: a token says nothing of a role, so one from before a change is judged by what the account is now.
func TestTheRoleIsTheAccounts(t *testing.T) {
	h := newHouse(t)
	owner, member := h.admit(), h.person("Kim", auth.RoleMember)
	require.Equal(t, 200, owner.get("/api/v1/accounts").Status)
	require.Equal(t, 403, member.get("/api/v1/accounts").Status)
	h.swapRoles()
	a := owner.get("/api/v1/accounts")
	require.Equal(t, 403, a.Status, a.Body)
	require.Equal(t, "not_owner", a.code(t))
	require.Contains(t, owner.get("/api/v1/auth/me").Body, `"role":"member"`)
	require.Equal(t, 200, owner.poll().Status, "it is signed in as before")
	require.Equal(t, 200, member.get("/api/v1/accounts").Status)
	require.Contains(t, member.get("/api/v1/auth/me").Body, `"role":"owner"`)
}

// TestIDsThatLeadNowhere holds paths with ids of nothing, and of what is somebody else's, against each other.
func TestIDsThatLeadNowhere(t *testing.T) {
	for route := range accesses {
		if !strings.Contains(route, ":") {
			continue
		}
		t.Run(route, func(t *testing.T) {
			h := newHouse(t)
			mine := h.admit()
			if strings.Contains(route, ":journal") {
				for _, other := range []string{strings.Repeat("0", 32), "x", mine.Journal[:31], strings.ToUpper(mine.Journal) + "0", mine.Journal + "%2f"} {
					a := mine.do(h.request(route, other, mine.ID))
					require.Equal(t, 404, a.Status, other)
				}
				a := mine.do(h.request(route, strings.Repeat("0", 32), mine.ID))
				require.Equal(t, "no_journal", a.code(t))
				theirs := h.strangersJournal()
				b := mine.do(h.request(route, string(theirs), mine.ID))
				require.Equal(t, strings.ReplaceAll(a.Body, strings.Repeat("0", 32), string(theirs)), b.Body, "a journal that is there and one that is not look the same")
				require.Contains(t, a.Body, `"journal":"`+strings.Repeat("0", 32)+`"`, "an answer names the journal asked for")
			}
			if strings.Contains(route, ":spec") {
				a := mine.do(h.request(route, mine.Journal, mine.ID))
				require.Equal(t, 404, a.Status)
				require.Equal(t, "no_spec", a.code(t))
			}
			if strings.Contains(route, ":device") {
				a := mine.do(h.request(route, mine.Journal, "zzzzzzzz"))
				require.Equal(t, 404, a.Status)
				require.Equal(t, "no_device", a.code(t))
			}
		})
	}
}

func TestCrossSiteRequestsAreRefused(t *testing.T) {
	h := newHouse(t)
	d := h.admit()
	for route := range accesses {
		if !strings.HasPrefix(route, "POST") {
			continue
		}
		for name, row := range map[string]struct {
			header map[string]string
			status int
		}{
			"another site":           {map[string]string{"Sec-Fetch-Site": "cross-site"}, 403},
			"a sister site":          {map[string]string{"Sec-Fetch-Site": "same-site"}, 403},
			"no word and no origin":  {map[string]string{"Sec-Fetch-Site": ""}, 403},
			"another origin":         {map[string]string{"Sec-Fetch-Site": "", "Origin": "https://evil.example"}, 403},
			"our name over http":     {map[string]string{"Sec-Fetch-Site": "", "Origin": "http://drinks.example.org"}, 403},
			"the word outweighs it":  {map[string]string{"Sec-Fetch-Site": "cross-site", "Origin": public}, 403},
			"a form":                 {map[string]string{"Content-Type": "application/x-www-form-urlencoded"}, 415},
			"plain text":             {map[string]string{"Content-Type": "text/plain"}, 415},
			"no type":                {map[string]string{"Content-Type": ""}, 415},
			"another character set":  {map[string]string{"Content-Type": "application/json; charset=utf-16"}, 415},
			"a compressed body":      {map[string]string{"Content-Encoding": "gzip"}, 415},
			"a body coded by nobody": {map[string]string{"Content-Encoding": "identity"}, 415},
		} {
			req := h.request(route, d.Journal, d.ID)
			for k, v := range row.header {
				if req.Header.Set(k, v); v == "" {
					req.Header.Del(k)
				}
			}
			a := d.do(req)
			require.Equal(t, row.status, a.Status, "%s, %s: %s", route, name, a.Body)
		}
	}
	req := post(t, d.syncPath(), d.request())
	req.Header.Del("Sec-Fetch-Site")
	req.Header.Set("Origin", public)
	req.Header.Set("Content-Type", "application/json; charset=UTF-8")
	require.Equal(t, 200, d.do(req).Status, "an older browser names its origin only")
	require.Equal(t, 200, d.get("/api/v1/auth/me").Status, "nothing of this signed the device out")
}

func TestUnknownAddressesOfTheAPI(t *testing.T) {
	h := newHouse(t)
	for _, path := range []string{"/api", "/api/", "/api/v1", "/api/v1/journals", "/api/v2/auth/me", "/api/v1/auth/me/", "/api/v1/Auth/me"} {
		req := httptest.NewRequest("GET", path, http.NoBody)
		req.Header.Set("Accept", "text/html")
		a := h.do(req)
		require.Equal(t, 404, a.Status, path)
		require.Equal(t, "not_found", a.code(t), path)
		require.Equal(t, "no-store", a.Header.Get("Cache-Control"), path)
	}
	require.Equal(t, 404, h.do(post(t, "/api/v1/auth/me", "{}")).Status, "a route is a method and a path")
}

func TestRequestsAreBounded(t *testing.T) {
	h := newHouse(t, func(c *server.Config) { c.RequestsPerHour, c.VisitsPerHour = 5, 3 })
	d := h.admit()
	other := h.admit()
	for range 5 {
		require.Equal(t, 200, d.poll().Status)
	}
	a := d.poll()
	require.Equal(t, 429, a.Status)
	require.Equal(t, "busy", a.code(t))
	require.Equal(t, "720", a.Header.Get("Retry-After"))
	require.Equal(t, 200, other.poll().Status, "each device has its own")

	for range 3 {
		require.Equal(t, 200, other.post("/api/v1/auth/refresh", "{}").Status)
		h.clock.move(time.Second)
	}
	require.Equal(t, 429, other.post("/api/v1/auth/refresh", "{}").Status, "what a known device asks is counted by itself")
	require.Equal(t, 200, d.post("/api/v1/auth/refresh", "{}").Status)
	stranger := func() int { return h.do(post(t, "/api/v1/auth/refresh", "{}")).Status }
	require.Equal(t, 401, stranger(), "two came in before")
	require.Equal(t, 429, stranger(), "visits of strangers are counted by address")
	require.Equal(t, 200, d.post("/api/v1/auth/refresh", "{}").Status)
}
