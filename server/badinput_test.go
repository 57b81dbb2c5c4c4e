package server_test

import (
	"bufio"
	"bytes"
	"cmp"
	"compress/gzip"
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fairmeasure/server"
	"fairmeasure/sync/exchange"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/store"
	"fairmeasure/sync/wire"
)

// raw sends bytes and reads one answer; the second value tells whether the connection was closed after it.
func raw(t *testing.T, addr string, parts ...string) (answer, bool) {
	t.Helper()
	conn, err := net.Dial("tcp", addr)
	require.NoError(t, err)
	defer conn.Close()
	require.NoError(t, conn.SetDeadline(time.Now().Add(20*time.Second)))
	for _, p := range parts {
		if _, err := io.WriteString(conn, p); err != nil {
			break // the server may answer and close before it has read all
		}
	}
	r := bufio.NewReader(conn)
	resp, err := http.ReadResponse(r, nil)
	require.NoError(t, err)
	body, err := io.ReadAll(resp.Body)
	require.NoError(t, err)
	resp.Body.Close()
	_, err = r.ReadByte()
	return answer{resp.StatusCode, resp.Header, string(body)}, err != nil && !isTimeout(err)
}

func isTimeout(err error) bool {
	var n net.Error
	return errors.As(err, &n) && n.Timeout()
}

func (d *device) head(more ...string) string {
	cookie := ""
	for k, v := range d.cookies {
		cookie += k + "=" + v + "; "
	}
	return "POST " + d.syncPath() + " HTTP/1.1\r\nHost: x\r\nSec-Fetch-Site: same-origin\r\nContent-Type: application/json\r\nCookie: " +
		strings.TrimSuffix(cookie, "; ") + "\r\n" + strings.Join(more, "")
}

func TestBodiesOnTheWire(t *testing.T) {
	h := newHouse(t)
	d := h.admit()
	addr := h.listen()

	t.Run("TenMegabytes", func(t *testing.T) {
		a, closed := raw(t, addr, d.head("Content-Length: 10485760\r\n\r\n"), strings.Repeat("x", 10<<20))
		require.Equal(t, 413, a.Status)
		require.Equal(t, "too_large", a.code(t))
		require.Contains(t, a.Body, d.Journal, "a device takes it for an answer")
		require.True(t, closed)
	})
	t.Run("TenMegabytesInChunks", func(t *testing.T) {
		chunk := fmt.Sprintf("%x\r\n%s\r\n", 64<<10, strings.Repeat("x", 64<<10))
		a, _ := raw(t, addr, d.head("Transfer-Encoding: chunked\r\n\r\n"), strings.Repeat(chunk, 160), "0\r\n\r\n")
		require.Equal(t, 413, a.Status)
	})
	t.Run("ABombOfGzip", func(t *testing.T) {
		var packed bytes.Buffer
		w := gzip.NewWriter(&packed)
		_, err := w.Write(make([]byte, 50<<20))
		require.NoError(t, err)
		require.NoError(t, w.Close())
		a, _ := raw(t, addr, d.head("Content-Encoding: gzip\r\n", fmt.Sprintf("Connection: close\r\nContent-Length: %d\r\n\r\n", packed.Len()), packed.String()))
		require.Equal(t, 415, a.Status)
		require.Equal(t, "content_encoding", a.code(t))
	})
	t.Run("BothLengths", func(t *testing.T) {
		a, closed := raw(t, addr, d.head("Content-Length: 2\r\nTransfer-Encoding: chunked\r\n\r\n2\r\n{}\r\n0\r\n\r\nGET /livez HTTP/1.1\r\nHost: x\r\n\r\n"))
		require.Equal(t, 400, a.Status)
		require.True(t, closed, "nothing that follows is taken for a request")
	})
	t.Run("TwoLengths", func(t *testing.T) {
		a, closed := raw(t, addr, d.head("Content-Length: 2\r\nContent-Length: 2\r\n\r\n{}GET /livez HTTP/1.1\r\nHost: x\r\n\r\n"))
		require.Equal(t, 400, a.Status)
		require.True(t, closed)
	})
	t.Run("ChunkedAlone", func(t *testing.T) {
		body := d.request()
		a, _ := raw(t, addr, d.head("Transfer-Encoding: chunked\r\nConnection: close\r\n\r\n", fmt.Sprintf("%x\r\n%s\r\n0\r\n\r\n", len(body), body)))
		require.Equal(t, 200, a.Status)
	})
	t.Run("LongHeaders", func(t *testing.T) {
		a, _ := raw(t, addr, "GET / HTTP/1.1\r\nHost: x\r\nX-Long: "+strings.Repeat("x", 9<<10)+"\r\n\r\n")
		require.Equal(t, 431, a.Status)
	})
	t.Run("NoRequestAtAll", func(t *testing.T) {
		a, closed := raw(t, addr, "\x16\x03\x01\x02\x00\x01\x00\x01\xfc\r\n\r\n")
		require.Equal(t, 400, a.Status)
		require.True(t, closed)
	})
	t.Run("UnknownMethod", func(t *testing.T) {
		a, _ := raw(t, addr, "BREW / HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n")
		require.Equal(t, 400, a.Status)
	})
}

func TestSlowRequests(t *testing.T) {
	h := newHouse(t, func(c *server.Config) { c.ReadWait = 200 * time.Millisecond })
	d := h.admit()
	addr := h.listen()
	for name, begun := range map[string]string{
		"Headers": "GET /livez HTTP/1.1\r\nHost: x\r\nX-Slow: ",
		"Body":    d.head("Content-Length: 100\r\n\r\n", `{"proto":1`),
	} {
		t.Run(name, func(t *testing.T) {
			a, closed := raw(t, addr, begun)
			require.Equal(t, 408, a.Status)
			require.Equal(t, "timeout", a.code(t))
			require.True(t, closed)
		})
	}
}

func TestSmallBodies(t *testing.T) {
	for name, body := range map[string]string{
		"Empty": "", "Blank": "  \n", "Null": "null", "List": `[{"code":"x"}]`, "Text": `"code"`, "Cut": `{"code":"01`,
		"TrailingGarbage": `{"code":"0123456789AB"} x`, "TwoValues": `{}{}`, "Deep": strings.Repeat(`{"a":`, 10_000) + "1" + strings.Repeat("}", 10_000),
		"DeepLists": `{"a":` + strings.Repeat("[", 9) + strings.Repeat("]", 9) + "}", "BadUTF8": "{\"code\":\"\xff\xfe\"}", "NoText": `{"code":7}`,
		"NaN": `{"code":NaN}`, "SingleQuotes": `{'code':'x'}`, "Comment": `{/* */}`,
	} {
		t.Run(name, func(t *testing.T) {
			h := newHouse(t)
			a := h.do(post(t, "/api/v1/auth/pair", body))
			require.Equal(t, 400, a.Status, a.Body)
			require.Equal(t, "malformed", a.code(t))
		})
	}
	h := newHouse(t)
	a := h.do(post(t, "/api/v1/auth/pair", `{"code":"`+h.code().String()+`","newer":{"x":[1e999]}}`))
	require.Equal(t, 200, a.Status, "keys of a newer app are passed over")
}

func FuzzReadJSON(f *testing.F) {
	f.Add([]byte(`{"code":"x","name":"y"}`))
	f.Add([]byte(`{"a":[[[[[[[[["\"{"]]]]]]]]]}`))
	f.Fuzz(func(t *testing.T, body []byte) {
		var into struct{ Code, Name string }
		if err := server.ReadJSON(body, &into); err != nil {
			return
		}
		require.NoError(t, server.ReadJSON(append([]byte(" \n"), body...), &into), "blanks around it change nothing")
		require.Error(t, server.ReadJSON(append(body[:len(body):len(body)], '{'), &into), "anything after it does")
	})
}

func TestWhatTheFloorsBelowRefuse(t *testing.T) {
	for name, row := range map[string]struct {
		err    error
		status int
		code   string
		retry  string
	}{
		"Erased":    {fmt.Errorf("exchange: %w", store.ErrErased), 410, "erased", ""},
		"NoSpace":   {fmt.Errorf("exchange: %w", store.ErrNoSpace), 507, "no_space", "60"},
		"Closed":    {store.ErrClosed, 503, "busy", "5"},
		"Moved":     {store.ErrMoved, 503, "busy", "2"},
		"ReadOnly":  {fmt.Errorf("badgerstore: no marks: %w", store.ErrReadOnly), 503, "busy", "60"},
		"Damaged":   {store.ErrDamaged, 503, "busy", "300"},
		"OutOfStep": {wire.NewProblem(wire.CodeOutOfStep, "a mark is not of this journal"), 409, "out_of_step", ""},
		"TooOld":    {wire.NewProblem(wire.CodeTooOld, "version 1 is spoken"), 426, "too_old", ""},
		"Busy":      {wire.NewProblem(wire.CodeBusy, "the journal is in much use"), 503, "busy", "5"},
		"Full":      {wire.NewProblem(wire.CodeFull, "the journal is full"), 507, "full", ""},
		"AnyFault":  {errors.New("badgerstore: reading: input/output error on /var/lib/x"), 500, "internal", ""},
		"TooSlow":   {context.DeadlineExceeded, 500, "internal", ""},
	} {
		t.Run(name, func(t *testing.T) {
			h := newHouse(t, func(c *server.Config) {
				c.Rounds = rounds(func(context.Context, exchange.Ask) (*wire.Answer, error) { return nil, row.err })
			})
			d := h.admit()
			a := d.post(d.syncPath(), "{}")
			require.Equal(t, row.status, a.Status)
			require.Equal(t, row.code, a.code(t))
			require.Equal(t, row.retry, a.Header.Get("Retry-After"))
			require.Contains(t, a.Body, `"journal":"`+d.Journal+`"`)
			p, err := wire.DecodeProblem([]byte(a.Body))
			require.NoError(t, err, "a device reads it")
			require.Equal(t, row.code, p.Code)
			require.Equal(t, d.Journal, p.Journal)
			require.Equal(t, cmp.Or(row.retry, "0"), strconv.FormatInt(p.RetryS, 10))
			require.NotContains(t, a.Body, "/var/lib", "a visitor reads one neutral sentence")
			if row.status == 500 {
				require.Contains(t, h.log.String(), row.err.Error(), "the log has it all")
			}
		})
	}
	t.Run("Panic", func(t *testing.T) {
		h := newHouse(t, func(c *server.Config) {
			c.Rounds = rounds(func(context.Context, exchange.Ask) (*wire.Answer, error) { panic("a table was cut short") })
		})
		d := h.admit()
		a := d.post(d.syncPath(), "{}")
		require.Equal(t, 500, a.Status)
		require.Equal(t, "internal", a.code(t))
		require.NotContains(t, a.Body, "table")
		require.Contains(t, h.log.String(), "a table was cut short")
		require.Equal(t, 200, d.get("/api/v1/auth/me").Status, "the server goes on")
	})
}

func TestTheAskComesFromTheSignIn(t *testing.T) {
	var got exchange.Ask
	h := newHouse(t, func(c *server.Config) {
		c.Rounds = rounds(func(_ context.Context, ask exchange.Ask) (*wire.Answer, error) { got = ask; return &wire.Answer{}, nil })
	})
	d, other := h.admit(), h.admit()
	body := `{"journal":"x","device":"` + other.ID + `","you":"` + other.ID + `","now":1}`
	require.Equal(t, 200, d.post(d.syncPath(), body).Status)
	require.Equal(t, d.ID, got.Device)
	require.Equal(t, store.Journal(d.Journal), got.Journal)
	require.Equal(t, h.clock.Now().UnixMilli(), got.Now)
	require.Equal(t, body, string(got.Body))
	require.False(t, got.ClockBehind)
	require.Equal(t, "phone", got.DeviceName(other.ID))
	require.Empty(t, got.DeviceName("zzzzzzzz"))
}

func TestAnswersAreCompressed(t *testing.T) {
	long := &wire.Answer{Ents: []*replica.Entity{{ID: "01K5R2Q8Z0000000000000000A", Kind: "pour", Fields: map[string][]replica.Write{
		"note": {{Stamp: replica.Stamp{Run: "AAAAAAAAAAA", N: 1}, At: 1, Value: replica.Text(strings.Repeat("quince ", 1000))}},
	}}}}
	send := long
	h := newHouse(t, func(c *server.Config) {
		c.Rounds = rounds(func(context.Context, exchange.Ask) (*wire.Answer, error) { return send, nil })
	})
	d := h.admit()
	ask := func(encoding string) answer {
		req := post(t, d.syncPath(), "{}")
		req.Header.Set("Accept-Encoding", encoding)
		return d.do(req)
	}
	want := string(long.Append(nil))
	a := ask("gzip, br")
	require.Equal(t, "gzip", a.Header.Get("Content-Encoding"))
	require.Equal(t, "application/json", a.Header.Get("Content-Type"))
	require.Equal(t, "Accept-Encoding", a.Header.Get("Vary"))
	require.Less(t, len(a.Body), len(want)/10)
	r, err := gzip.NewReader(strings.NewReader(a.Body))
	require.NoError(t, err)
	body, err := io.ReadAll(r)
	require.NoError(t, err)
	require.Equal(t, want, string(body))
	for _, encoding := range []string{"", "br", "gzip;q=0"} {
		a := ask(encoding)
		require.Empty(t, a.Header.Get("Content-Encoding"), encoding)
		require.Equal(t, want, a.Body)
	}
	send = &wire.Answer{}
	require.Empty(t, ask("gzip").Header.Get("Content-Encoding"), "a short answer is not worth it")
}

func TestTheLogKeepsSecrets(t *testing.T) {
	h := newHouse(t)
	c := h.code().String()
	d := h.admit()
	require.Equal(t, 200, d.post("/api/v1/auth/refresh", "{}").Status)
	require.Equal(t, 200, d.post(d.syncPath(), d.request(note("AAAAAAAAAAA", 1, 1, "a secret about quince"))).Status)
	require.Equal(t, 200, h.do(post(t, "/api/v1/auth/pair", map[string]string{"code": c})).Status)
	require.Equal(t, 403, h.do(post(t, "/api/v1/auth/pair", map[string]string{"code": "0000-0000-0000"})).Status)
	h.do(httptest.NewRequest("GET", "/pair?code="+c, http.NoBody))
	log := h.log.String()
	require.Contains(t, log, "/api/v1/journals/:journal/sync", "requests are logged by their route")
	for _, hidden := range append([]string{c, strings.ReplaceAll(c, "-", ""), "quince", "0000-0000", d.Journal}, d.cookies["__Host-at"], d.cookies["__Secure-rt"]) {
		require.NotContains(t, log, hidden)
	}
}

func TestReadiness(t *testing.T) {
	h := newHouse(t)
	require.Equal(t, 200, h.do(httptest.NewRequest("GET", "/readyz", http.NoBody)).Status)
	require.NoError(t, h.store.Close())
	require.NotEqual(t, 200, h.do(httptest.NewRequest("GET", "/readyz", http.NoBody)).Status)
	require.Equal(t, 200, h.do(httptest.NewRequest("GET", "/livez", http.NoBody)).Status)
}

func TestClientAddress(t *testing.T) {
	wrong := func(h *house, ip string) int {
		req := post(t, "/api/v1/auth/pair", map[string]string{"code": "0000-0000-0000"})
		req.Header.Set("X-Real-IP", ip)
		req.Header.Set("X-Forwarded-For", ip)
		return h.do(req).Status
	}
	t.Run("NobodyIsTrusted", func(t *testing.T) {
		h := newHouse(t)
		h.code()
		for i := range 10 {
			require.Equal(t, 403, wrong(h, fmt.Sprintf("192.0.2.%d", i)))
		}
		require.Equal(t, 429, wrong(h, "192.0.2.99"), "a header changes no address")
	})
	t.Run("TheProxyIsTrusted", func(t *testing.T) {
		h := newHouse(t, func(c *server.Config) { c.TrustedProxies = []string{"0.0.0.0"} }) // the test connection's address
		h.code()
		for range 10 {
			require.Equal(t, 403, wrong(h, "192.0.2.1"))
		}
		require.Equal(t, 429, wrong(h, "192.0.2.1"))
		require.Equal(t, 403, wrong(h, "192.0.2.2"))
	})
}

func TestRate(t *testing.T) {
	c := &clock{now: time.Unix(1_790_000_000, 0)}
	r := server.NewRate(60, c.Now)
	for range 60 {
		require.Zero(t, r.Take("a"))
	}
	require.Equal(t, time.Minute, r.Take("a"))
	c.move(time.Minute)
	require.Zero(t, r.Take("a"))
	require.NotZero(t, r.Take("a"))
	c.move(-24 * time.Hour)
	require.NotZero(t, r.Take("a"), "a clock set back gives nothing")
	c.move(time.Minute)
	require.Zero(t, r.Take("a"), "and takes nothing for long")
	require.Zero(t, server.NewRate(0, c.Now).Take("a"), "0 is no bound")

	for i := range 10_000 {
		c.move(time.Minute)
		r.Take(fmt.Sprint(i))
	}
	require.Less(t, r.Keys(), 5000, "those that are full again are forgotten")
}
