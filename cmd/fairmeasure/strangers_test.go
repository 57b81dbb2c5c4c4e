package main

import (
	"context"
	"fmt"
	"net/http"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/wire"
)

// at is a browser whose proxy names an address for it.
func at(t testing.TB, p *process, addr string) *browser {
	b := newBrowserAt(t, p)
	b.client.Transport = named{b.client.Transport, addr}
	return b
}

type named struct {
	http.RoundTripper
	addr string
}

func (n named) RoundTrip(req *http.Request) (*http.Response, error) {
	req = req.Clone(req.Context())
	req.Header.Set("X-Real-IP", n.addr)
	return n.RoundTripper.RoundTrip(req)
}

// TestStrangersShutNobodyOut sends a running server two hundred requests of each kind that needs no sign-in. After them
// the owner reads, writes, signs in, changes the password and deletes as before, and the server has not grown.
func TestStrangersShutNobodyOut(t *testing.T) {
	const requests, most, fresh = 200, 256 << 20, "eight lemons in two rows"
	const home, theirs = "192.0.2.7", "198.51.100.23"
	p := serve(t, t.TempDir(), "--trusted-proxy", "127.0.0.1")
	owner := at(t, p, home)
	owner.entered("/api/v1/auth/setup", fmt.Sprintf(`{"key":%q,"name":%q,"password":%q}`, p.key, ownerName, ownerPassword))
	out := at(t, p, home)
	signIn := func(password string) string { return fmt.Sprintf(`{"name":%q,"password":%q}`, ownerName, password) }
	out.entered("/api/v1/auth/sign-in", signIn(ownerPassword))
	status, _ := out.must("POST", "/api/v1/auth/sign-out", "{}")
	require.Equal(t, 200, status)
	status, answer := owner.must("POST", "/api/v1/auth/codes", "{}")
	require.Equal(t, 200, status)
	code := regexp.MustCompile(`[0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]{4}`).FindString(string(answer))
	require.NotEmpty(t, code)

	for kind, attack := range map[string]func(i int) (path, body string){
		"wrong passwords": func(int) (string, string) { return "sign-in", signIn("no lemons at all") },
		"wrong names": func(i int) (string, string) {
			return "sign-in", fmt.Sprintf(`{"name":"%d","password":"no lemons at all"}`, i)
		},
		"wrong codes": func(int) (string, string) { return "pair", `{"code":"0000-0000-0000"}` },
		"invitations": func(int) (string, string) {
			return "join", `{"code":"0000-0000-0000","name":"Kim","password":"no lemons at all"}`
		},
		"set-up keys":  func(int) (string, string) { return "setup", `{"key":"x","name":"Robin","password":"no lemons at all"}` },
		"claims":       func(int) (string, string) { return "pair/claim", `{"claim":"x"}` },
		"renewals":     func(int) (string, string) { return "refresh", "{}" },
		"large bodies": func(int) (string, string) { return "sign-in", signIn(strings.Repeat("x", 64<<10)) },
	} {
		for _, addr := range []func(i int) string{
			func(int) string { return theirs },
			func(i int) string { return fmt.Sprintf("2001:db8:0:%x::1", i) },
		} {
			b := newBrowserAt(t, p)
			transport := b.client.Transport
			for i := range requests {
				b.client.Transport = named{transport, addr(i)}
				path, body := attack(i)
				status, answer := b.must("POST", "/api/v1/auth/"+path, body)
				require.Contains(t, []int{401, 403, 404, 410, 429}, status, "%s: %s", kind, answer)
			}
		}
	}

	status, answer = owner.must("POST", "/api/v1/auth/refresh", "{}")
	require.Equal(t, 200, status, string(answer))
	_, err := owner.round(context.Background(), wire.Start, pour("AAAAAAAAAAA", 1, "as before"))
	require.NoError(t, err)
	status, answer = at(t, p, home).must("POST", "/api/v1/auth/pair", fmt.Sprintf(`{"code":%q,"name":"tablet"}`, code))
	require.Equal(t, 202, status, string(answer), "the code lives")
	at(t, p, home).entered("/api/v1/auth/sign-in", signIn(ownerPassword))
	out.client.Transport = named{out.client.Transport, "203.0.113.9"}
	out.entered("/api/v1/auth/sign-in", signIn(ownerPassword))
	status, answer = owner.must("POST", "/api/v1/auth/password", fmt.Sprintf(`{"old":%q,"new":%q}`, ownerPassword, fresh))
	require.Equal(t, 200, status, string(answer))
	grown := memory(t, p)
	t.Logf("%d MiB at most", grown>>20)
	require.Less(t, grown, most)
	status, answer = owner.must("POST", "/api/v1/journals/"+owner.journal+"/erase", fmt.Sprintf(`{"typed":%q}`, fresh))
	require.Equal(t, 200, status, string(answer))
	require.Zero(t, p.stop())
}

// memory is the most that a process ever held, in bytes, as Linux tells it.
func memory(t testing.TB, p *process) int {
	t.Helper()
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", p.cmd.Process.Pid))
	require.NoError(t, err)
	m := regexp.MustCompile(`VmHWM:\s+(\d+) kB`).FindSubmatch(text)
	require.NotNil(t, m)
	kib, err := strconv.Atoi(string(m[1]))
	require.NoError(t, err)
	return kib << 10
}
