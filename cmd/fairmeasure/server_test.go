package main

import (
	"bufio"
	"context"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fairmeasure/pwa"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/wire"
)

// TestScripts plays testdata/*.txt against the program as a process. A script is requests with what is expected of the
// answers, one thing a line:
//
//	GET /path, POST /path BODY      a request as the app's pages make it; "Name: value" lines change its headers
//	-> 200 TYPE                     the answer's status and, if given, its content type
//	as NAME                         from here on another browser
//	restart, kill                   end the server in order or at once, and start it again on the same data
//	recover NAME                    the same as restart, with accounts recover in between
//	keep NAME                       note the answer's text of that key; $NAME stands for it from then on
//	keep NAME as OTHER              note the value of $NAME under another name
//	not TEXT                        the answer's body does not hold the text
//	TEXT                            it does
//
// $origin, $key of the set-up link, $code that recover printed, and the kept names are replaced everywhere.
func TestScripts(t *testing.T) {
	files, err := filepath.Glob("testdata/*.txt")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".txt"), func(t *testing.T) { playScript(t, file) })
	}
}

type script struct {
	t        *testing.T
	data     string
	listen   string
	p        *process
	browsers map[string]*browser
	who      string
	kept     map[string]string
	req      *http.Request
	status   int
	header   http.Header
	body     string
}

func playScript(t *testing.T, file string) {
	f, err := os.Open(file)
	require.NoError(t, err)
	defer f.Close()
	ln, err := net.Listen("tcp", "127.0.0.1:0") // a port that stays the same over restarts, so that cookies do
	require.NoError(t, err)
	s := &script{t: t, data: t.TempDir(), listen: ln.Addr().String(), browsers: map[string]*browser{}, who: "first", kept: map[string]string{}}
	require.NoError(t, ln.Close())
	s.start()
	lines := bufio.NewScanner(f)
	expected := 0
	for n := 1; lines.Scan(); n++ {
		line := strings.TrimSpace(lines.Text())
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		if s.step(line, fmt.Sprintf("%s:%d: %s", file, n, line)) {
			expected++
		}
	}
	require.NoError(t, lines.Err())
	require.Greater(t, expected, 10)
	require.Zero(t, s.p.stop())
}

func (s *script) start() {
	s.p = serve(s.t, s.data, "--listen", s.listen)
	s.kept["key"], s.kept["origin"] = s.p.key, s.p.url
}

// step does one line and tells whether it expected something of an answer.
func (s *script) step(line, at string) bool {
	for name, value := range s.kept {
		line = strings.ReplaceAll(line, "$"+name, value)
	}
	verb, rest, _ := strings.Cut(line, " ")
	switch verb {
	case "GET", "POST":
		path, body, _ := strings.Cut(rest, " ")
		req, err := http.NewRequest(verb, s.p.url+path, strings.NewReader(body))
		require.NoError(s.t, err, at)
		if verb == "POST" {
			req.Header.Set("Content-Type", "application/json")
			req.Header.Set("Sec-Fetch-Site", "same-origin")
		}
		s.req, s.status = req, 0
	case "->":
		s.send(at)
		var status int
		var kind string
		_, err := fmt.Sscan(rest, &status, &kind)
		require.True(s.t, err == nil || kind == "", at)
		require.Equal(s.t, status, s.status, "%s\n%s", at, s.body)
		if kind != "" {
			require.Equal(s.t, kind, s.header.Get("Content-Type"), at)
		}
		return true
	case "as":
		s.who = rest
	case "restart":
		require.Zero(s.t, s.p.stop(), at)
		s.start()
	case "recover":
		require.Zero(s.t, s.p.stop(), at)
		s.kept["code"] = keeperCode(s.t, s.data, "accounts", "recover", rest)
		s.start()
	case "kill":
		s.p.kill()
		s.start()
	case "keep":
		if from, to, ok := strings.Cut(rest, " as "); ok {
			s.kept[to] = s.kept[from]
			break
		}
		var told map[string]any
		require.NoError(s.t, json.Unmarshal([]byte(s.body), &told), at)
		text, ok := told[rest].(string)
		require.True(s.t, ok, at)
		s.kept[rest] = text
	case "not":
		require.NotContains(s.t, s.body, rest, at)
		return true
	default:
		if name, value, ok := strings.Cut(line, ":"); ok && s.status == 0 {
			if s.req.Header.Set(name, strings.TrimSpace(value)); strings.TrimSpace(value) == "" {
				s.req.Header.Del(name)
			}
			break
		}
		require.NotZero(s.t, s.status, "%s: neither a header nor expected of an answer", at)
		require.Contains(s.t, s.body, line, at)
		return true
	}
	return false
}

func (s *script) send(at string) {
	b := s.browsers[s.who]
	if b == nil {
		b = newBrowser(s.t)
		s.browsers[s.who] = b
	}
	resp, err := b.client.Do(s.req)
	require.NoError(s.t, err, at)
	defer resp.Body.Close()
	var body strings.Builder
	_, err = bufio.NewReader(resp.Body).WriteTo(&body)
	require.NoError(s.t, err, at)
	s.status, s.header, s.body = resp.StatusCode, resp.Header, body.String()
}

func TestServeSaysWhereItsDataIs(t *testing.T) {
	data := filepath.Join(t.TempDir(), "deep", "journal")
	p := serve(t, data)
	require.Contains(t, p.err.String(), "data    "+data)
	require.Contains(t, p.err.String(), p.url+"/setup#key="+p.key)
	require.Empty(t, p.out.String())
	info, err := os.Stat(data)
	require.NoError(t, err)
	require.Equal(t, fs.FileMode(0o700), info.Mode().Perm(), "for its owner alone")

	code, _, errs := call(t, nil, "serve", "--data", data, "--listen", "127.0.0.1:0")
	require.Equal(t, 3, code)
	require.Contains(t, errs, "already running")
	require.Contains(t, errs, "hint: ")
	code, _, errs = call(t, nil, "serve", "--data", t.TempDir(), "--listen", strings.TrimPrefix(p.url, "http://"))
	require.Equal(t, 1, code)
	require.Contains(t, errs, "address already in use")

	code, _, _ = call(t, nil, "health", "--url", p.url)
	require.Zero(t, code)
	require.Zero(t, p.stop())
	code, _, _ = call(t, nil, "health", "--url", p.url)
	require.Equal(t, 1, code)
}

func TestThePageOfTheBinary(t *testing.T) {
	p := serve(t, t.TempDir())
	b := newBrowser(t)
	b.url = p.url
	status, body := b.must("GET", "/", "")
	if _, err := fs.Stat(pwa.Dist(), "index.html"); err != nil {
		require.Equal(t, 503, status, "the app was not built into this binary")
		require.Contains(t, string(body), "run go generate ./...")
		return
	}
	require.Equal(t, 200, status)
	require.Contains(t, string(body), "<!doctype html>")
}

func TestServeEndsWithOpenStreams(t *testing.T) {
	p := serve(t, t.TempDir())
	b := newBrowser(t)
	b.admit(p)
	for range 5 {
		resp, err := b.client.Get(p.url + "/api/v1/events")
		require.NoError(t, err)
		defer resp.Body.Close()
		require.Equal(t, 200, resp.StatusCode)
	}
	require.Zero(t, p.stop())
	require.Contains(t, p.err.String(), `"msg":"stopping"`)
}

// TestServeWithoutSpace: what is there is read, nothing is written, and everybody is told.
func TestServeWithoutSpace(t *testing.T) {
	const never = "4000000000GiB"
	code, _, errs := call(t, nil, "serve", "--data", t.TempDir(), "--listen", "127.0.0.1:0", "--min-free", never)
	require.Equal(t, 3, code, "a first start has to write")
	require.Contains(t, errs, "--min-free")

	data := t.TempDir()
	p := serve(t, data)
	b := newBrowser(t)
	b.admit(p)
	run := replica.Run("AAAAAAAAAAA")
	action := func(n uint64) replica.Action {
		return replica.Action{Stamp: replica.Stamp{Run: run, N: n}, At: 1, Edits: []replica.Edit{{
			ID: "01K5R2Q8Z0000000000000000A", Kind: "pour", Set: map[string]replica.Value{"note": replica.Text("sharp")}}}}
	}
	_, err := b.round(context.Background(), wire.Start, action(1))
	require.NoError(t, err)
	require.Zero(t, p.stop())

	p = start(t, "serve", "--data", data, "--listen", strings.TrimPrefix(p.url, "http://"), "--min-free", never, "--ballast", "0")
	p.await(p.err, `(Nothing can be written)`)
	require.NotContains(t, p.err.String(), "accounts recover")
	a, err := b.round(context.Background(), wire.Start)
	require.NoError(t, err)
	require.Len(t, a.Ents, 1)
	_, err = b.round(context.Background(), wire.Start, action(2))
	require.ErrorContains(t, err, "status 507")
	require.ErrorContains(t, err, `"code":"no_space"`)
	status, _ := b.must("GET", "/readyz", "")
	require.Equal(t, 503, status)
	status, _ = b.must("GET", "/livez", "")
	require.Equal(t, 200, status)
	require.Zero(t, p.stop())
}

func TestEncryptedServe(t *testing.T) {
	key := filepath.Join(t.TempDir(), "key")
	require.NoError(t, os.WriteFile(key, []byte("0123456789abcdef0123456789abcdef"), 0o600))
	data := t.TempDir()
	code, _, errs := keeper(t, data, "accounts", "create", "Hidden Name", "--role", "owner", "--encryption-key-file", key)
	require.Zero(t, code, errs)
	p := serve(t, data, "--encryption-key-file", key)
	require.Empty(t, p.key)
	require.Zero(t, p.stop())
	code, _, errs = keeper(t, data, "accounts", "list")
	require.Equal(t, 3, code)
	require.Contains(t, errs, "hint: --encryption-key-file")
	code, _, errs = call(t, nil, "serve", "--data", data, "--listen", "127.0.0.1:0")
	require.Equal(t, 3, code)
	require.Contains(t, errs, "--encryption-key-file")
	require.NoError(t, filepath.WalkDir(data, func(path string, d fs.DirEntry, err error) error {
		if err == nil && d.Type().IsRegular() {
			var b []byte
			b, err = os.ReadFile(path)
			require.NotContains(t, string(b), "Hidden Name", path)
		}
		return err
	}))
	p = serve(t, data, "--encryption-key-file", key)
	require.Zero(t, p.stop())
}

func TestDemo(t *testing.T) {
	data := filepath.Join(t.TempDir(), "demo")
	demo := func(more ...string) (p *process, open, phone string) {
		p = start(t, append([]string{"demo", "--data", data, "--listen", "127.0.0.1:0"}, more...)...)
		link := p.await(p.out, `(?m)^open    (http://127\.0\.0\.1:\d+/pair#code=[0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]{4})$`)
		phone = p.await(p.out, `(?m)^phone   ([0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]{4})$`)
		p.url, open, _ = strings.Cut(link, "/pair#code=")
		p.answers()
		return p, open, phone
	}
	count := func(b *browser) int {
		a := b.pull(wire.Start)
		for n := len(a.Ents); ; n += len(a.Ents) {
			if !a.More {
				return n
			}
			a = b.pull(a.Cursor)
		}
	}
	p, open, phone := demo()
	laptop, second := newBrowser(t), newBrowser(t)
	p.code = open
	laptop.admit(p)
	p.code = phone
	second.admit(p)
	require.Equal(t, laptop.journal, second.journal)
	entities := count(laptop)
	require.Positive(t, entities, "the invented journal is there")
	require.Equal(t, 2, strings.Count(p.out.String(), "\n"), "exactly two lines for a program to read")
	code, _, errs := keeper(t, data, "compare")
	require.Equal(t, exitStore, code, errs)
	require.Contains(t, errs, "stop the server")
	require.Zero(t, p.stop())
	before := files(t, data)
	code, out, errs := keeper(t, data, "compare")
	require.Zero(t, code, errs)
	require.Contains(t, out, demoQuestion, "the folder that the demo prints is taken for its store")
	require.Equal(t, before, files(t, data), "and nothing is made beside it")

	again, open, _ := demo()
	require.NotContains(t, p.out.String(), open, "new codes")
	third := newBrowser(t)
	again.code = open
	third.admit(again)
	require.Equal(t, laptop.journal, third.journal, "the same journal")
	require.Equal(t, entities, count(third), "not written twice")

	code, _, errs = call(t, nil, "demo", "--data", data, "--listen", "127.0.0.1:0", "--fresh")
	require.Equal(t, 3, code, errs)
	require.Contains(t, errs, "already running", "a running demo is not emptied under its feet")
	require.Zero(t, again.stop())

	fresh, open, _ := demo("--fresh")
	fourth := newBrowser(t)
	fresh.code = open
	fourth.admit(fresh)
	require.NotEqual(t, laptop.journal, fourth.journal)
	require.Equal(t, entities, count(fourth))
}

// files lists what a folder holds, not what is within folders in it.
func files(t testing.TB, dir string) (names []string) {
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	for _, e := range entries {
		names = append(names, e.Name())
	}
	return names
}

// pull asks for a page.
func (b *browser) pull(cursor string) *wire.Answer {
	b.t.Helper()
	a, err := b.round(context.Background(), cursor)
	require.NoError(b.t, err)
	return a
}

// round does one round; an error means that there was no whole 200.
func (b *browser) round(ctx context.Context, cursor string, acts ...replica.Action) (*wire.Answer, error) {
	q := wire.Request{Proto: wire.Proto, App: version, Journal: b.journal, Now: 1, Cursor: cursor, Ack: cursor, Acts: acts}
	status, body, err := b.do(ctx, "POST", "/api/v1/journals/"+b.journal+"/sync", string(q.Append(nil)))
	if err != nil {
		return nil, err
	}
	if status != 200 {
		return nil, fmt.Errorf("status %d: %s", status, body)
	}
	return wire.DecodeAnswer(body)
}

// TestAckIsDurableOverHTTP kills the server, as kill -9 does, again and again while four writers push, and looks after each
// start whether every write that was acknowledged is there. This shows that an answer comes after the commit and that a
// commit is whole; it does not show that a disk keeps what it was given when the power goes.
func TestAckIsDurableOverHTTP(t *testing.T) {
	const kills, writers, slots = 20, 4, 20
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	listen := ln.Addr().String()
	require.NoError(t, ln.Close())
	data := t.TempDir()
	more := []string{"--listen", listen, "--requests-per-hour", "0"}
	p := serve(t, data, more...)
	b := newBrowser(t)
	b.admit(p)

	// A writer's life is one run: it overwrites its slots in turn. acked holds, by entity, the newest stamp that was
	// acknowledged; live what a reader that keeps its mark over all kills has been told.
	acked, live := map[replica.ID]replica.Stamp{}, map[replica.ID]replica.Stamp{}
	cursor, total := wire.Start, 0
	for kill := range kills {
		ctx, cancel := context.WithCancel(context.Background())
		var mu sync.Mutex
		var writing sync.WaitGroup
		for w := range writers {
			var random [8]byte
			for i := range random {
				random[i] = byte(rand.Uint32())
			}
			run := replica.Run(base64.RawURLEncoding.EncodeToString(random[:]))
			writing.Go(func() {
				for n := uint64(1); ; n++ {
					id := replica.ID(fmt.Sprintf("01K5R2Q8Z0%02d%02d%012d", kill, w, n%slots))
					edit := replica.Edit{ID: id, Kind: "pour", Set: map[string]replica.Value{"note": replica.Text(fmt.Sprint(n))}}
					if n > slots {
						edit.Over = map[string][]replica.Stamp{"note": {{Run: run, N: n - slots}}}
					}
					stamp := replica.Stamp{Run: run, N: n}
					a, err := b.round(ctx, cursor, replica.Action{Stamp: stamp, At: int64(n), Edits: []replica.Edit{edit}})
					if err != nil || a.Took != 1 {
						return // killed, or on the way to it
					}
					mu.Lock()
					acked[id] = stamp
					total++
					mu.Unlock()
				}
			})
		}
		time.Sleep(time.Duration(50+rand.IntN(250)) * time.Millisecond)
		p.kill()
		cancel()
		writing.Wait()
		p = serve(t, data, more...)
		cursor = b.readOn(cursor, live)
		for id, stamp := range acked {
			require.Equal(t, stamp.Run, live[id].Run, id)
			require.GreaterOrEqual(t, live[id].N, stamp.N, "%s was acknowledged", stamp)
		}
	}
	require.Greater(t, total, kills*writers, "there was load")
	whole := map[replica.ID]replica.Stamp{}
	b.readOn(wire.Start, whole)
	require.Equal(t, whole, live, "what was read piece by piece is what is there")
	require.Zero(t, p.stop())
	t.Logf("%d kills, %d writes acknowledged, none lost", kills, total)
}

// readOn reads from a mark to the end and notes each entity's one live stamp.
func (b *browser) readOn(cursor string, live map[replica.ID]replica.Stamp) string {
	b.t.Helper()
	for {
		a := b.pull(cursor)
		for _, e := range a.Ents {
			require.Len(b.t, e.Fields["note"], 1, "what was replaced is gone: %s", e.ID)
			live[e.ID] = e.Fields["note"][0].Stamp
		}
		if cursor = a.Cursor; !a.More {
			return cursor
		}
	}
}
