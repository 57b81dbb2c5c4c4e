package server_test

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"io/fs"
	"log/slog"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"testing/fstest"
	"time"

	"github.com/stretchr/testify/require"
	"go.uber.org/goleak"

	"fairmeasure/server"
	"fairmeasure/server/auth"
	"fairmeasure/sync/exchange"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/store/memstore"
	"fairmeasure/sync/wire"
)

func TestMain(m *testing.M) {
	goleak.VerifyTestMain(m,
		// These two of fasthttp's stay after Shutdown: the clock of the Date header, and the worker pool's sweeper.
		goleak.IgnoreAnyFunction("github.com/valyala/fasthttp.updateServerDate.func1"),
		goleak.IgnoreAnyFunction("github.com/valyala/fasthttp.(*workerPool).Start.func2"),
	)
}

const public = "https://drinks.example.org"

// clock stands until it is moved.
type clock struct {
	mu  sync.Mutex
	now time.Time
}

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

// rounds is a Rounds that does what a test says.
type rounds func(ctx context.Context, ask exchange.Ask) (*wire.Answer, error)

func (r rounds) Round(ctx context.Context, ask exchange.Ask) (*wire.Answer, error) {
	return r(ctx, ask)
}

// house is a server on an in-memory store.
type house struct {
	t      testing.TB
	clock  *clock
	store  *memstore.Store
	door   *auth.Door
	server *server.Server
	log    *lockedBuffer
	cfg    server.Config
}

type lockedBuffer struct {
	mu  sync.Mutex
	buf bytes.Buffer
}

func (b *lockedBuffer) Write(p []byte) (int, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.buf.Write(p)
}

func (b *lockedBuffer) String() string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.buf.String()
}

func newHouse(t testing.TB, change ...func(*server.Config)) *house {
	t.Helper()
	h := &house{t: t, clock: &clock{now: time.Date(2026, 5, 15, 20, 4, 0, 0, time.UTC)}, store: memstore.New(), log: &lockedBuffer{}}
	t.Cleanup(func() { h.store.Close() })
	var err error
	h.door, err = auth.Open(context.Background(), auth.Config{Book: h.store, Now: h.clock.Now, Owner: "Robin"})
	require.NoError(t, err)
	cfg := server.Config{
		Door: h.door, Store: h.store, Rounds: exchange.New(h.store, exchange.Settings{App: "9.9.9"}), Pages: builtApp(), Now: h.clock.Now,
		Log: slog.New(slog.NewJSONHandler(h.log, &slog.HandlerOptions{Level: slog.LevelDebug})), PublicURL: public,
	}
	for _, c := range change {
		c(&cfg)
	}
	h.cfg = cfg
	h.server, err = server.New(cfg)
	require.NoError(t, err)
	return h
}

// restart opens the door anew on what is in the store, with another server before it.
func (h *house) restart() {
	h.t.Helper()
	var err error
	h.door, err = auth.Open(context.Background(), auth.Config{Book: h.store, Now: h.clock.Now, Owner: "Robin"})
	require.NoError(h.t, err)
	h.cfg.Door = h.door
	h.server, err = server.New(h.cfg)
	require.NoError(h.t, err)
}

const builtPage = "<!doctype html><title>app</title>"

func builtApp() fs.FS {
	return fstest.MapFS{
		"index.html":           {Data: []byte(builtPage)},
		"index.html.br":        {Data: []byte("brotli page")},
		"index.html.gz":        {Data: []byte("gzip page")},
		"sw.js":                {Data: []byte("const VERSION=1")},
		"manifest.webmanifest": {Data: []byte("{}")},
		"icon.svg":             {Data: []byte("<svg/>")},
		"assets/main-abc.js":   {Data: []byte("plain script")},
		"assets/main-abc.js.gz": {
			Data: []byte("gzip script"),
		},
		"assets/core-def.wasm": {Data: []byte("\x00asm")},
		".placeholder":         {Data: []byte("kept")},
	}
}

// device is an admitted browser: its cookies and what it was told.
type device struct {
	h       *house
	cookies map[string]string
	ID      string
	Journal string
}

func (h *house) code() auth.DeviceCode {
	h.t.Helper()
	c, err := h.door.NewCode(context.Background(), 10*time.Minute)
	require.NoError(h.t, err)
	return c
}

func (h *house) admit() *device {
	h.t.Helper()
	return h.come("pair", map[string]string{"code": h.code().String(), "name": "phone"})
}

// come lets a new device in by one of the ways there are.
func (h *house) come(way string, body map[string]string) *device {
	h.t.Helper()
	d := &device{h: h, cookies: map[string]string{}}
	a := d.post("/api/v1/auth/"+way, body)
	require.Equal(h.t, 200, a.Status, a.Body)
	var told struct {
		Journal string
		Device  struct{ ID string }
	}
	require.NoError(h.t, json.Unmarshal([]byte(a.Body), &told))
	d.ID, d.Journal = told.Device.ID, told.Journal
	return d
}

// answer is a response that was read to its end.
type answer struct {
	Status int
	Header http.Header
	Body   string
}

func (a answer) code(t testing.TB) string {
	t.Helper()
	require.Equal(t, "application/problem+json", a.Header.Get("Content-Type"), a.Body)
	var p struct {
		Status int
		Code   string
	}
	require.NoError(t, json.Unmarshal([]byte(a.Body), &p))
	require.Equal(t, a.Status, p.Status)
	return p.Code
}

func (h *house) do(req *http.Request) answer {
	h.t.Helper()
	resp, err := h.server.App().Test(req, -1)
	require.NoError(h.t, err)
	defer resp.Body.Close()
	body, err := io.ReadAll(resp.Body)
	require.NoError(h.t, err)
	return answer{resp.StatusCode, resp.Header, string(body)}
}

func (d *device) do(req *http.Request) answer {
	d.h.t.Helper()
	for name, value := range d.cookies {
		req.AddCookie(&http.Cookie{Name: name, Value: value})
	}
	resp, err := d.h.server.App().Test(req, -1)
	require.NoError(d.h.t, err)
	defer resp.Body.Close()
	for _, c := range resp.Cookies() {
		if d.cookies[c.Name] = c.Value; c.MaxAge < 0 || c.Value == "" {
			delete(d.cookies, c.Name)
		}
	}
	body, err := io.ReadAll(resp.Body)
	require.NoError(d.h.t, err)
	return answer{resp.StatusCode, resp.Header, string(body)}
}

func (d *device) get(path string) answer {
	d.h.t.Helper()
	return d.do(httptest.NewRequest("GET", path, http.NoBody))
}

func (d *device) post(path string, body any) answer {
	d.h.t.Helper()
	return d.do(post(d.h.t, path, body))
}

// post makes a request as the app's own pages make it. A string is sent as it is.
func post(t testing.TB, path string, body any) *http.Request {
	t.Helper()
	text, ok := body.(string)
	if !ok {
		b, err := json.Marshal(body)
		require.NoError(t, err)
		text = string(b)
	}
	req := httptest.NewRequest("POST", path, strings.NewReader(text))
	req.Header.Set("Content-Type", "application/json")
	req.Header.Set("Sec-Fetch-Site", "same-origin")
	return req
}

func (d *device) syncPath() string { return "/api/v1/journals/" + d.Journal + "/sync" }

// request is a round's body: some actions of this device, read from the start.
func (d *device) request(acts ...replica.Action) string {
	r := wire.Request{Proto: wire.Proto, App: "0.1.0", Journal: d.Journal, Now: d.h.clock.Now().UnixMilli(), Cursor: wire.Start, Ack: wire.Start, Acts: acts}
	return string(r.Append(nil))
}

// poll asks without anything to say.
func (d *device) poll() answer {
	d.h.t.Helper()
	return d.post(d.syncPath(), d.request())
}

// note is an action that sets one text field of one entity.
func note(run string, n uint64, at int64, text string) replica.Action {
	return replica.Action{
		Stamp: replica.Stamp{Run: replica.Run(run), N: n}, At: at,
		Edits: []replica.Edit{{ID: "01K5R2Q8Z0000000000000000A", Kind: "pour", Set: map[string]replica.Value{"note": replica.Text(text)}}},
	}
}

// listen runs the server on loopback until the test ends, and gives its address.
func (h *house) listen() string {
	h.t.Helper()
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(h.t, err)
	return h.listenOn(ln)
}

func (h *house) listenOn(ln net.Listener) string {
	h.t.Helper()
	served := make(chan error, 1)
	go func() { served <- h.server.Serve(ln) }()
	h.t.Cleanup(func() {
		require.NoError(h.t, h.server.Shutdown(context.Background()))
		require.NoError(h.t, <-served)
	})
	return ln.Addr().String()
}
