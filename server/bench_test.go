package server_test

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/gofiber/fiber/v2"
	"github.com/stretchr/testify/require"

	"fairmeasure/server"
	"fairmeasure/server/auth"
	"fairmeasure/sync/exchange"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/store"
	"fairmeasure/sync/store/badgerstore"
	"fairmeasure/sync/wire"
)

// loadFor is how long each part of the load is measured, three times over; of the three the middle one counts.
const loadFor = 500 * time.Millisecond

// BenchmarkLoad measures rounds over loopback, each pushing one change and reading it back, with the store on disk and
// every commit synced, beside what the machine can do at all in the same run: syncs of one file, and requests of a bare
// Fiber app that answers one line. Clients, server and store share the processors. Numbers are for reports; none is
// asserted.
//
//	go test ./server -run '^$' -bench Load -benchtime 1x
func BenchmarkLoad(b *testing.B) {
	for range b.N {
		syncs := fileSyncs(b)
		hello1, _ := hellos(b, 1)
		hello64, _ := hellos(b, 64)
		one, _ := roundsOver(b, 1, false)
		same, _ := roundsOver(b, 64, false)
		many, spread := roundsOver(b, 64, true)
		b.ReportMetric(0, "ns/op")
		b.ReportMetric(syncs, "fsync/s")
		b.ReportMetric(hello1, "hello1/s")
		b.ReportMetric(hello64, "hello64/s")
		b.ReportMetric(one, "rounds1/s")
		b.ReportMetric(same, "rounds64-one-journal/s")
		b.ReportMetric(many, "rounds64/s")
		b.ReportMetric(float64(spread[len(spread)/2].Microseconds()), "rounds64-p50-us")
		b.ReportMetric(float64(spread[len(spread)*99/100].Microseconds()), "rounds64-p99-us")
		b.ReportMetric(many/syncs, "rounds64-per-fsync")
		b.ReportMetric(100*many/hello64, "rounds64-%-of-hello")
	}
	b.Logf("%d processors, %s/%s, clients and server in one process", runtime.NumCPU(), runtime.GOOS, runtime.GOARCH)
}

// fileSyncs appends 512 bytes and syncs, as one writer on one file.
func fileSyncs(b *testing.B) float64 {
	f, err := os.Create(filepath.Join(b.TempDir(), "syncs"))
	require.NoError(b, err)
	defer f.Close()
	line := bytes.Repeat([]byte("x"), 512)
	perSecond, _ := measure(b, 1, func(int) error {
		if _, err := f.Write(line); err != nil {
			return err
		}
		return f.Sync()
	})
	return perSecond
}

// measure runs op from several goroutines and gives how many were done in a second and how long each took, in order.
func measure(b *testing.B, parallel int, op func(worker int) error) (float64, []time.Duration) {
	type result struct {
		rate float64
		took []time.Duration
	}
	var results []result
	for range 3 {
		took := make([][]time.Duration, parallel)
		errs := make([]error, parallel)
		var wg sync.WaitGroup
		began := time.Now()
		for w := range parallel {
			wg.Go(func() {
				for t := time.Now(); t.Sub(began) < loadFor; {
					if errs[w] = op(w); errs[w] != nil {
						return
					}
					now := time.Now()
					took[w] = append(took[w], now.Sub(t))
					t = now
				}
			})
		}
		wg.Wait()
		r := result{took: slices.Concat(took...)}
		r.rate = float64(len(r.took)) / time.Since(began).Seconds()
		require.NoError(b, errors.Join(errs...))
		slices.Sort(r.took)
		results = append(results, r)
	}
	slices.SortFunc(results, func(x, y result) int { return int(x.rate - y.rate) })
	return results[1].rate, results[1].took
}

func hellos(b *testing.B, parallel int) (float64, []time.Duration) {
	app := fiber.New(fiber.Config{DisableStartupMessage: true})
	app.Get("/", func(c *fiber.Ctx) error { return c.SendString("hello") })
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(b, err)
	served := make(chan error, 1)
	go func() { served <- app.Listener(ln) }()
	clients := dial(b, ln.Addr().String(), parallel)
	perSecond, took := measure(b, parallel, func(w int) error {
		status, _, err := clients[w].do("GET / HTTP/1.1\r\nHost: x\r\n", nil)
		if err == nil && status != 200 {
			err = fmt.Errorf("status %d", status)
		}
		return err
	})
	for _, c := range clients {
		c.conn.Close()
	}
	require.NoError(b, app.ShutdownWithTimeout(10*time.Second))
	require.NoError(b, <-served)
	return perSecond, took
}

// anyJournal takes a round for the journal that its body names, so that many journals can be measured with one account.
type anyJournal struct{ server.Rounds }

func (a anyJournal) Round(ctx context.Context, ask exchange.Ask) (*wire.Answer, error) {
	ask.Journal = store.Journal(between(ask.Body, `"journal":"`))
	return a.Rounds.Round(ctx, ask)
}

func between(body []byte, key string) string {
	_, rest, _ := bytes.Cut(body, []byte(key))
	value, _, _ := bytes.Cut(rest, []byte(`"`))
	return string(value)
}

// roundsOver measures rounds of so many devices, of one journal or each of its own.
func roundsOver(b *testing.B, parallel int, apart bool) (float64, []time.Duration) {
	st, err := badgerstore.Open(badgerstore.Options{Dir: b.TempDir(), MinFreeBytes: 1})
	require.NoError(b, err)
	h := &house{t: b, clock: &clock{now: time.Date(2026, 5, 15, 20, 4, 0, 0, time.UTC)}}
	h.door, err = auth.Open(context.Background(), auth.Config{Book: st, Now: h.clock.Now})
	require.NoError(b, err)
	h.server, err = server.New(server.Config{
		Door: h.door, Store: st, Rounds: anyJournal{exchange.New(st, exchange.Settings{})}, Now: h.clock.Now,
		Log: slog.New(slog.DiscardHandler), PublicURL: public,
	})
	require.NoError(b, err)
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(b, err)
	served := make(chan error, 1)
	go func() { served <- h.server.Serve(ln) }()

	type writer struct {
		head    string
		journal string
		cursor  string
		run     replica.Run
		n       uint64
	}
	clients := dial(b, ln.Addr().String(), parallel)
	writers := make([]*writer, parallel)
	for i := range writers {
		d := h.admit()
		w := &writer{journal: d.Journal, cursor: wire.Start, run: replica.Run(fmt.Sprintf("%011d", i))}
		if apart {
			w.journal = fmt.Sprintf("%032x", i)
		}
		w.head = "POST " + d.syncPath() + " HTTP/1.1\r\nHost: x\r\nSec-Fetch-Site: same-origin\r\nContent-Type: application/json\r\nCookie: __Host-at=" + d.cookies["__Host-at"] + "\r\n"
		writers[i] = w
	}
	perSecond, took := measure(b, parallel, func(i int) error {
		w := writers[i]
		w.n++
		a := note(string(w.run), w.n, int64(w.n), "a little sharper than the last")
		a.Edits[0].ID = replica.ID(fmt.Sprintf("01K5R2Q8Z0%04d%012d", i, w.n%20))
		if w.n > 20 {
			a.Edits[0].Over = map[string][]replica.Stamp{"note": {{Run: w.run, N: w.n - 20}}}
		}
		q := wire.Request{Proto: wire.Proto, App: "0.1.0", Journal: w.journal, Now: 1, Cursor: w.cursor, Ack: w.cursor, Acts: []replica.Action{a}}
		status, body, err := clients[i].do(w.head, q.Append(nil))
		if err != nil {
			return err
		}
		w.cursor = between(body, `"cursor":"`)
		if status != 200 || !bytes.Contains(body, []byte(a.Edits[0].ID)) {
			return fmt.Errorf("status %d: %s", status, body)
		}
		return nil
	})
	for _, c := range clients {
		c.conn.Close()
	}
	require.NoError(b, h.server.Shutdown(context.Background()))
	require.NoError(b, <-served)
	require.NoError(b, st.Close())
	return perSecond, took
}

// client speaks as little HTTP as will do, so that measuring costs little of what is measured.
type client struct {
	conn net.Conn
	r    *bufio.Reader
	out  []byte
	in   []byte
}

func dial(b *testing.B, addr string, n int) []*client {
	var out []*client
	for range n {
		conn, err := net.Dial("tcp", addr)
		require.NoError(b, err)
		out = append(out, &client{conn: conn, r: bufio.NewReaderSize(conn, 64<<10)})
	}
	return out
}

func (c *client) do(head string, body []byte) (int, []byte, error) {
	c.out = append(c.out[:0], head...)
	if body != nil {
		c.out = append(c.out, "Content-Length: "...)
		c.out = strconv.AppendInt(c.out, int64(len(body)), 10)
		c.out = append(c.out, "\r\n"...)
	}
	c.out = append(append(c.out, "\r\n"...), body...)
	if _, err := c.conn.Write(c.out); err != nil {
		return 0, nil, err
	}
	status, length := 0, 0
	for first := true; ; first = false {
		line, err := c.r.ReadSlice('\n')
		if err != nil {
			return 0, nil, err
		}
		text := strings.TrimSpace(string(line))
		if first {
			if status, err = strconv.Atoi(strings.Fields(text)[1]); err != nil {
				return 0, nil, err
			}
			continue
		}
		if text == "" {
			break
		}
		if v, ok := strings.CutPrefix(text, "Content-Length: "); ok {
			if length, err = strconv.Atoi(v); err != nil {
				return 0, nil, err
			}
		}
	}
	c.in = slices.Grow(c.in[:0], length)[:length]
	_, err := io.ReadFull(c.r, c.in)
	return status, c.in, err
}

func BenchmarkCheckAToken(b *testing.B) {
	h := newHouse(b)
	token := h.admit().cookies["__Host-at"]
	for b.Loop() {
		if _, err := h.door.Check(token); err != nil {
			b.Fatal(err)
		}
	}
}
