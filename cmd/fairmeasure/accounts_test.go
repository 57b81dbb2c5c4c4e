package main

import (
	"bytes"
	"context"
	"crypto/ed25519"
	"encoding/json"
	"fmt"
	"net/netip"
	"net/url"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/golang-jwt/jwt/v5"
	"github.com/stretchr/testify/require"

	"fairmeasure/server/auth"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/store"
	"fairmeasure/sync/store/badgerstore"
	"fairmeasure/sync/wire"
)

// keeper runs a command on the data of a server that is stopped.
func keeper(t testing.TB, data string, args ...string) (code int, stdout, stderr string) {
	t.Helper()
	return call(t, map[string]string{"FAIRMEASURE_DATA": data, "FAIRMEASURE_MIN_FREE": "1MiB"}, args...)
}

// keeperCode runs one that prints a code and gives that.
func keeperCode(t testing.TB, data string, args ...string) string {
	t.Helper()
	code, out, errs := keeper(t, data, args...)
	require.Zero(t, code, errs)
	m := regexp.MustCompile(`^open    \S+\ncode    ([0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]{4})\n$`).FindStringSubmatch(out)
	require.NotNil(t, m, out)
	return m[1]
}

// me is what a signed-in browser is told of itself.
type me struct {
	Journal string
	Account struct {
		Name, Role  string
		HasPassword bool `json:"has_password"`
	}
}

func (b *browser) me() (who me) {
	b.t.Helper()
	status, body := b.must("GET", "/api/v1/auth/me", "")
	require.Equal(b.t, 200, status, string(body))
	require.NoError(b.t, json.Unmarshal(body, &who))
	return who
}

// secrets are the values of the cookies the browser holds.
func (b *browser) secrets() (out []string) {
	b.t.Helper()
	u, err := url.Parse(b.url + "/api/v1/auth/refresh")
	require.NoError(b.t, err)
	for _, c := range b.client.Jar.Cookies(u) {
		out = append(out, c.Value)
	}
	require.Len(b.t, out, 3, "an access, a refresh and a known-device token")
	return out
}

// pour is an action that writes one.
func pour(run replica.Run, n uint64, note string) replica.Action {
	return replica.Action{Stamp: replica.Stamp{Run: run, N: n}, At: 1, Edits: []replica.Edit{{
		ID: replica.ID(fmt.Sprintf("01K5R2Q8Z0%016d", n)), Kind: "pour", Set: map[string]replica.Value{"note": replica.Text(note)}}}}
}

func TestSetUp(t *testing.T) {
	data := t.TempDir()
	p := serve(t, data)
	first := p.key
	require.Regexp(t, `^[a-z2-7]{32}$`, first, "20 random bytes")
	require.Equal(t, 1, strings.Count(p.err.String(), first))
	require.NotContains(t, p.err.String(), "accounts recover")
	require.Zero(t, p.stop())

	p = serve(t, data)
	require.NotEqual(t, first, p.key, "new at each start")
	stranger := newBrowser(t)
	stranger.url = p.url
	old := fmt.Sprintf(`{"key":%q,"name":"Kim","password":"a password of theirs"}`, first)
	status, body := stranger.must("POST", "/api/v1/auth/setup", old)
	require.Equal(t, 404, status)
	require.Contains(t, string(body), `"code":"no_setup"`)
	// The right key, by two at once: one wins.
	mine := fmt.Sprintf(`{"key":%q,"name":%q,"password":%q}`, p.key, ownerName, ownerPassword)
	other := newBrowser(t)
	other.url = p.url
	got := make(chan int, 2)
	for _, b := range []*browser{stranger, other} {
		go func() {
			status, _, err := b.do(context.Background(), "POST", "/api/v1/auth/setup", mine)
			if err != nil {
				status = -1
			}
			got <- status
		}()
	}
	require.ElementsMatch(t, []int{200, 404}, []int{<-got, <-got})
	require.Zero(t, p.stop())

	p = serve(t, data)
	require.Empty(t, p.key, "there is an owner")
	require.Contains(t, p.err.String(), "accounts recover NAME")
	b := newBrowser(t)
	b.admit(p)
	require.Equal(t, "owner", b.me().Account.Role)
	require.True(t, b.me().Account.HasPassword)
	status, _ = b.must("POST", "/api/v1/auth/setup", mine)
	require.Equal(t, 404, status)
	status, _ = b.must("GET", "/setup", "")
	require.Equal(t, 404, status)
	require.Zero(t, p.stop())
}

// TestRecover: password and devices are lost; the keeper makes a way back in; the old password is worth nothing then. On
// the way, nothing secret stands in what the server writes.
func TestRecover(t *testing.T) {
	const fresh = "another password entirely"
	data := t.TempDir()
	debug := []string{"--log", "debug"}
	p := serve(t, data, debug...)
	debug = append(debug, "--listen", strings.TrimPrefix(p.url, "http://")) // cookies belong to the port
	key := p.key
	lost := newBrowser(t)
	lost.admit(p)
	status, _ := newBrowserAt(t, p).must("POST", "/api/v1/auth/sign-in", `{"name":"Robin","password":"a wrong password"}`)
	require.Equal(t, 401, status)
	secret := append(lost.secrets(), ownerPassword, "a wrong password")
	require.Zero(t, p.stop())
	require.Equal(t, 1, strings.Count(p.err.String(), key), "printed once")
	log := strings.ReplaceAll(p.err.String(), key, "")

	code, out, errs := keeper(t, data, "accounts", "recover", "ROBIN", "--shut-devices", "--public-url", "https://drinks.example.org/")
	require.Zero(t, code, errs)
	require.Contains(t, errs, "Robin has no password now, and no device that is signed in.")
	m := regexp.MustCompile(`^open    https://drinks\.example\.org/pair#code=(\S+)\ncode    (\S+)\n$`).FindStringSubmatch(out)
	require.NotNil(t, m, out)
	require.Equal(t, m[1], m[2])
	log += errs

	p = serve(t, data, debug...)
	require.Empty(t, p.key, "an owner without a password is an owner")
	status, body := lost.must("GET", "/api/v1/auth/me", "")
	require.Equal(t, 403, status, string(body))
	require.Contains(t, string(body), `"code":"revoked"`)
	signIn := func(password string) int {
		status, _ := newBrowserAt(t, p).must("POST", "/api/v1/auth/sign-in", fmt.Sprintf(`{"name":"Robin","password":%q}`, password))
		return status
	}
	require.Equal(t, 401, signIn(ownerPassword), "before there is a new one")
	back := newBrowser(t)
	p.code = m[2]
	back.admit(p)
	require.Equal(t, lost.journal, back.journal)
	require.False(t, back.me().Account.HasPassword)
	status, body = back.must("POST", "/api/v1/auth/password", fmt.Sprintf(`{"new":%q}`, fresh))
	require.Equal(t, 200, status, string(body))
	require.True(t, back.me().Account.HasPassword)
	require.Equal(t, 401, signIn(ownerPassword))
	require.Equal(t, 200, signIn(fresh))
	status, _ = newBrowserAt(t, p).must("POST", "/api/v1/auth/pair", fmt.Sprintf(`{"code":%q,"name":"late"}`, m[2]))
	require.Equal(t, 403, status, "the code was good once")
	secret = append(append(secret, back.secrets()...), fresh, m[2], strings.ReplaceAll(m[2], "-", ""))
	require.Zero(t, p.stop())

	log += p.err.String()
	require.Contains(t, log, `"level":"DEBUG"`)
	for _, s := range secret {
		require.NotContains(t, log, s)
	}
}

func newBrowserAt(t testing.TB, p *process) *browser {
	b := newBrowser(t)
	b.url = p.url
	return b
}

func TestCreateMember(t *testing.T) {
	data := t.TempDir()
	p := serve(t, data)
	owner := newBrowser(t)
	owner.admit(p)
	_, err := owner.round(context.Background(), wire.Start, pour("AAAAAAAAAAA", 1, "the owner's"))
	require.NoError(t, err)
	require.Zero(t, p.stop())

	code := keeperCode(t, data, "accounts", "create", "Kim at the bar")
	wrong, out, errs := keeper(t, data, "accounts", "create", "kim AT the bar")
	require.Equal(t, 1, wrong)
	require.Empty(t, out)
	require.Contains(t, errs, `there is an account "kim AT the bar" already`)
	require.Contains(t, errs, "hint: ")
	wrong, _, errs = keeper(t, data, "accounts", "create", "\x07")
	require.Equal(t, 2, wrong, errs)

	p = serve(t, data)
	p.code = code
	member := newBrowser(t)
	member.admit(p)
	require.NotEqual(t, owner.journal, member.journal)
	require.Equal(t, "member", member.me().Account.Role)
	require.Equal(t, "Kim at the bar", member.me().Account.Name)
	require.Empty(t, member.pull(wire.Start).Ents)
	status, body := member.must("POST", "/api/v1/accounts/invitations", "{}")
	require.Equal(t, 403, status)
	require.Contains(t, string(body), `"code":"not_owner"`)
	require.Zero(t, p.stop())

	wrong, out, errs = keeper(t, data, "accounts", "list")
	require.Zero(t, wrong, errs)
	require.Empty(t, errs)
	at := `\d{4}-\d\d-\d\dT\d\d:\d\dZ`
	require.Regexp(t, `^name +role +created +devices +last seen\nRobin +owner +`+at+` +1 +`+at+`\nKim at the bar  member +`+at+` +1 +`+at+`\n$`, out)
	require.NotContains(t, out, owner.journal)

	wrong, _, errs = keeper(t, data, "accounts", "recover", "Kim")
	require.Equal(t, 1, wrong)
	require.Contains(t, errs, `accounts recover: there is no account "Kim"`)
	require.Contains(t, errs, "accounts list")
}

// TestCreateFirst: a server can be set up without its set-up link.
func TestCreateFirst(t *testing.T) {
	data := filepath.Join(t.TempDir(), "new")
	code := keeperCode(t, data, "accounts", "create", "Robin", "--role", "owner")
	p := serve(t, data)
	require.Empty(t, p.key)
	p.code = code
	b := newBrowser(t)
	b.admit(p)
	require.Equal(t, "owner", b.me().Account.Role)
	require.Zero(t, p.stop())
}

func TestKeeperWhileRunning(t *testing.T) {
	data := t.TempDir()
	p := serve(t, data)
	newBrowser(t).admit(p)
	for _, args := range [][]string{
		{"accounts", "list"}, {"accounts", "create", "Kim"}, {"accounts", "recover", "Robin"}, {"accounts", "remove", "Robin", "--yes"}, {"keys", "rotate"},
	} {
		code, out, errs := keeper(t, data, args...)
		require.Equal(t, 3, code, args)
		require.Empty(t, out)
		require.Contains(t, errs, "already running")
		require.Contains(t, errs, "hint: stop the server")
	}
	newBrowser(t).admit(p) // with the password: nothing was recovered or removed
	require.Zero(t, p.stop())
}

func TestRemoveAccount(t *testing.T) {
	data := t.TempDir()
	code := keeperCode(t, data, "accounts", "create", "Kim")
	p := serve(t, data)
	owner, member := newBrowser(t), newBrowser(t)
	owner.admit(p)
	p.code = code
	member.admit(p)
	_, err := member.round(context.Background(), wire.Start, pour("AAAAAAAAAAA", 1, "sharp"))
	require.NoError(t, err)
	_, err = owner.round(context.Background(), wire.Start, pour("BBBBBBBBBBB", 1, "round"))
	require.NoError(t, err)
	require.Zero(t, p.stop())

	wrong, out, errs := keeper(t, data, "accounts", "remove", "Kim", "--yes")
	require.Zero(t, wrong, errs)
	require.Empty(t, out)
	require.Contains(t, errs, "Gone from this server: the journal, the account, 1 device of Kim")
	require.NotContains(t, errs, "No owner is left")
	_, out, _ = keeper(t, data, "accounts", "list")
	require.NotContains(t, out, "Kim")
	require.Contains(t, out, "Robin")
	wrong, _, errs = keeper(t, data, "accounts", "remove", "Kim", "--yes")
	require.Equal(t, 1, wrong)
	require.Contains(t, errs, "there is no account")

	p = serve(t, data, "--listen", strings.TrimPrefix(p.url, "http://")) // cookies belong to the port
	_, err = member.round(context.Background(), wire.Start)
	require.ErrorContains(t, err, "status 410")
	require.ErrorContains(t, err, `"code":"erased"`)
	require.Len(t, owner.pull(wire.Start).Ents, 1, "the other journal is untouched")
	require.Zero(t, p.stop())

	wrong, _, errs = keeper(t, data, "accounts", "remove", "Robin", "--yes")
	require.Zero(t, wrong, errs)
	require.Contains(t, errs, "No owner is left")
	wrong, out, errs = keeper(t, data, "accounts", "list")
	require.Zero(t, wrong)
	require.Empty(t, out)
	require.Contains(t, errs, "Nobody has an account here")
	p = serve(t, data)
	require.NotEmpty(t, p.key, "the server can be set up again")
	require.Zero(t, p.stop())
}

// TestRemovalCutShort: the journal was erased and then the power went. The next start does the rest.
func TestRemovalCutShort(t *testing.T) {
	data := t.TempDir()
	code := keeperCode(t, data, "accounts", "create", "Kim")
	p := serve(t, data)
	newBrowser(t).admit(p)
	p.code = code
	member := newBrowser(t)
	member.admit(p)
	_, err := member.round(context.Background(), wire.Start, pour("AAAAAAAAAAA", 1, "sharp"))
	require.NoError(t, err)
	require.Zero(t, p.stop())

	st, err := badgerstore.Open(badgerstore.Options{Dir: data, MinFreeBytes: 1 << 20})
	require.NoError(t, err)
	require.NoError(t, st.Drop(context.Background(), store.Journal(member.journal)))
	door, err := auth.Open(context.Background(), auth.Config{Book: st, Now: func() time.Time { return time.Date(2026, 5, 15, 20, 0, 0, 0, time.UTC) }})
	require.NoError(t, err)
	_, there := door.AccountNamed("Kim")
	require.True(t, there, "the account outlived its journal")
	require.NoError(t, st.Close())

	p = serve(t, data, "--listen", strings.TrimPrefix(p.url, "http://"))
	require.Contains(t, p.err.String(), "an account whose journal was erased is removed")
	require.NotContains(t, p.err.String(), "Kim")
	_, err = member.round(context.Background(), wire.Start)
	require.ErrorContains(t, err, "status 410")
	require.Zero(t, p.stop())
	_, out, _ := keeper(t, data, "accounts", "list")
	require.NotContains(t, out, "Kim")
	require.Contains(t, out, "Robin")
}

// TestRotateKeys: what the key before signed is taken for an hour more, and not at all after a second rotation. Access
// tokens live ten minutes, so the test signs longer ones with that key.
func TestRotateKeys(t *testing.T) {
	ctx := context.Background()
	data := t.TempDir()
	now := time.Date(2026, 5, 15, 20, 0, 0, 0, time.UTC)
	p := &program{stdin: strings.NewReader(""), now: func() time.Time { return now }, env: func(k string) string {
		return map[string]string{"FAIRMEASURE_DATA": data, "FAIRMEASURE_MIN_FREE": "1MiB"}[k]
	}}
	run := func(args ...string) (out string) {
		t.Helper()
		var stdout, stderr bytes.Buffer
		p.stdout, p.stderr = &stdout, &stderr
		require.Zero(t, p.run(ctx, args), stderr.String())
		return stdout.String() + stderr.String()
	}
	// inside calls fn with the data open, as a server has it.
	inside := func(fn func(*offline)) {
		t.Helper()
		p.stderr = &bytes.Buffer{}
		off, err := p.openOffline(ctx, offlineConfig{Data: data, MinFree: 1 << 20}, false)
		require.NoError(t, err)
		fn(off)
		require.NoError(t, off.closeAfter(nil))
	}
	code := regexp.MustCompile(`code    (\S+)`).FindStringSubmatch(run("accounts", "create", "Robin", "--role", "owner"))[1]
	var token, refresh string
	var seed []byte
	inside(func(off *offline) {
		pass, err := off.door.Admit(ctx, auth.Visitor{Code: code, Name: "Phone"})
		require.NoError(t, err)
		token, refresh = pass.Access, pass.Refresh
		require.NoError(t, off.store.Read(ctx, func(r store.BookReader) error {
			return r.Each([]byte("k"), func(_, v []byte) bool {
				var rec struct{ Seed []byte }
				require.NoError(t, json.Unmarshal(v, &rec))
				seed = bytes.Clone(rec.Seed)
				return true
			})
		}))
	})
	require.Len(t, seed, ed25519.SeedSize)
	// signed is the token as if it had been given out now.
	signed := func() string {
		t.Helper()
		claims := jwt.MapClaims{}
		read, _, err := jwt.NewParser().ParseUnverified(token, claims)
		require.NoError(t, err)
		claims["iat"], claims["exp"] = now.Unix(), now.Add(auth.AccessLife).Unix()
		again := jwt.NewWithClaims(jwt.SigningMethodEdDSA, claims)
		again.Header["kid"] = read.Header["kid"]
		text, err := again.SignedString(ed25519.NewKeyFromSeed(seed))
		require.NoError(t, err)
		return text
	}
	check := func(text string) (err error) {
		t.Helper()
		inside(func(off *offline) { _, err = off.door.Check(text) })
		return err
	}
	require.NoError(t, check(token))

	require.Contains(t, run("keys", "rotate"), "A new key signs from now on. The one before is taken for 60 minutes more")
	rotated := now
	require.NoError(t, check(token), "nobody is signed out")
	now = rotated.Add(auth.AccessLife - time.Second)
	require.NoError(t, check(token))
	now = rotated.Add(auth.KeyLinger - time.Second)
	require.ErrorIs(t, check(token), auth.ErrExpired, "its own ten minutes are over")
	require.NoError(t, check(signed()))
	now = rotated.Add(auth.KeyLinger)
	require.ErrorIs(t, check(signed()), auth.ErrExpired)

	inside(func(off *offline) { // the device renews as ever, with the new key
		pass, err := off.door.Renew(ctx, refresh, netip.Addr{})
		require.NoError(t, err)
		token, refresh = pass.Access, pass.Refresh
	})
	require.NoError(t, check(token))
	run("keys", "rotate")
	require.NoError(t, check(token))
	run("keys", "rotate")
	require.ErrorIs(t, check(token), auth.ErrExpired, "the second rotation ends it at once")
	inside(func(off *offline) {
		_, err := off.door.Renew(ctx, refresh, netip.Addr{})
		require.NoError(t, err)
	})
}
