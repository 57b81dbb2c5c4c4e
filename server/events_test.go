package server_test

import (
	"bufio"
	"context"
	"io"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fairmeasure/server"
	"fairmeasure/sync/store"
)

// stream opens the pokes over a connection of its own.
type stream struct {
	t    *testing.T
	conn net.Conn
	r    *bufio.Reader
	resp *http.Response
}

func (d *device) stream(t *testing.T, addr string) *stream {
	t.Helper()
	conn, err := net.Dial("tcp", addr)
	require.NoError(t, err)
	t.Cleanup(func() { conn.Close() })
	require.NoError(t, conn.SetDeadline(time.Now().Add(30*time.Second)))
	_, err = io.WriteString(conn, "GET /api/v1/events HTTP/1.1\r\nHost: x\r\nCookie: __Host-at="+d.cookies["__Host-at"]+"\r\n\r\n")
	require.NoError(t, err)
	resp, err := http.ReadResponse(bufio.NewReader(conn), nil)
	require.NoError(t, err)
	return &stream{t, conn, bufio.NewReader(resp.Body), resp}
}

// next reads the next block of lines.
func (s *stream) next() string {
	s.t.Helper()
	var out strings.Builder
	for {
		line, err := s.r.ReadString('\n')
		require.NoError(s.t, err)
		if line == "\n" {
			return out.String()
		}
		out.WriteString(line)
	}
}

// ended reads on until the stream ends.
func (s *stream) ended() {
	s.t.Helper()
	_, err := io.Copy(io.Discard, s.r)
	require.NoError(s.t, err, "the last chunk is written: the stream ended, it was not torn")
}

func quick(c *server.Config) {
	c.Streams = server.Streams{PerAccount: 3, InAll: 5, Heartbeat: 50 * time.Millisecond, Life: time.Minute, WriteWait: 300 * time.Millisecond}
}

func slow(c *server.Config) { c.Streams = server.Streams{Heartbeat: time.Minute, Life: time.Minute} }

// write makes one commit in a journal.
func (h *house) write(journal string) {
	h.t.Helper()
	var on store.Mark
	j := store.Journal(journal)
	require.NoError(h.t, h.store.View(context.Background(), j, func(r store.Reader) (err error) {
		on, _, err = r.Head()
		return err
	}))
	require.NoError(h.t, h.store.Commit(context.Background(), j, on, store.Commit{No: on.No + 1, Tag: "AAAAAAAA"}))
}

func TestPokes(t *testing.T) {
	h := newHouse(t, slow)
	d := h.admit()
	addr := h.listen()
	s := d.stream(t, addr)
	require.Equal(t, 200, s.resp.StatusCode)
	require.Equal(t, "text/event-stream", s.resp.Header.Get("Content-Type"))
	require.Equal(t, "no-store", s.resp.Header.Get("Cache-Control"))
	require.Equal(t, "no", s.resp.Header.Get("X-Accel-Buffering"))
	require.Empty(t, s.resp.Header.Get("Content-Encoding"))
	require.Equal(t, "retry: 5000\n", s.next())
	require.Equal(t, "event: poke\ndata:\n", s.next(), "come and ask, whatever was missed")

	require.Eventually(t, func() bool { h.write(d.Journal); return s.r.Buffered() > 0 || s.peek() }, 10*time.Second, 20*time.Millisecond)
	require.Equal(t, "event: poke\ndata:\n", s.next())
}

// peek waits a little for the next byte.
func (s *stream) peek() bool {
	s.t.Helper()
	require.NoError(s.t, s.conn.SetReadDeadline(time.Now().Add(100*time.Millisecond)))
	_, err := s.r.Peek(1)
	require.NoError(s.t, s.conn.SetReadDeadline(time.Now().Add(30*time.Second)))
	return err == nil
}

func TestHeartbeatsFindOutWhoLeft(t *testing.T) {
	h := newHouse(t, quick)
	d := h.admit()
	addr := h.listen()
	s := d.stream(t, addr)
	s.next()
	s.next()
	require.Equal(t, ":\n", s.next())
	require.Equal(t, 1, h.server.OpenStreams())
	s.conn.Close()
	require.Eventually(t, func() bool { return h.server.OpenStreams() == 0 }, 10*time.Second, 10*time.Millisecond)
}

// narrow makes the buffers of accepted connections small, so that a reader who does not read is noticed soon.
type narrow struct{ net.Listener }

func (n narrow) Accept() (net.Conn, error) {
	c, err := n.Listener.Accept()
	if err == nil {
		err = c.(*net.TCPConn).SetWriteBuffer(2048)
	}
	return c, err
}

func TestAStuckReaderIsDropped(t *testing.T) {
	h := newHouse(t, func(c *server.Config) {
		c.Streams = server.Streams{Heartbeat: time.Hour, Life: time.Hour, WriteWait: 200 * time.Millisecond}
	})
	d := h.admit()
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	h.listenOn(narrow{ln})
	conn, err := net.Dial("tcp", ln.Addr().String())
	require.NoError(t, err)
	defer conn.Close()
	require.NoError(t, conn.(*net.TCPConn).SetReadBuffer(2048))
	_, err = io.WriteString(conn, "GET /api/v1/events HTTP/1.1\r\nHost: x\r\nCookie: __Host-at="+d.cookies["__Host-at"]+"\r\n\r\n")
	require.NoError(t, err)
	require.Eventually(t, func() bool { return h.server.OpenStreams() == 1 }, 10*time.Second, time.Millisecond)
	require.Eventually(t, func() bool {
		for range 50 { // nobody reads, and every commit pokes
			h.write(d.Journal)
			time.Sleep(20 * time.Microsecond)
		}
		return h.server.OpenStreams() == 0
	}, 60*time.Second, time.Millisecond)
}

func TestARevokedDevicesStreamEnds(t *testing.T) {
	h := newHouse(t, quick)
	laptop, phone := h.admit(), h.admit()
	addr := h.listen()
	s := phone.stream(t, addr)
	s.next()
	require.Equal(t, 200, laptop.post("/api/v1/auth/devices/"+phone.ID+"/revoke", "{}").Status)
	s.ended()
	require.Equal(t, 403, phone.stream(t, addr).resp.StatusCode)
}

func TestAStreamEndsAfterItsLife(t *testing.T) {
	h := newHouse(t, func(c *server.Config) {
		quick(c)
		c.Streams.Life = 100 * time.Millisecond
	})
	d := h.admit()
	d.stream(t, h.listen()).ended()
}

func TestStreamsAreCapped(t *testing.T) {
	h := newHouse(t, slow, func(c *server.Config) { c.Streams.PerAccount = 3 })
	d := h.admit()
	addr := h.listen()
	var open []*stream
	for range 3 {
		s := d.stream(t, addr)
		require.Equal(t, 200, s.resp.StatusCode)
		open = append(open, s)
	}
	refused := d.stream(t, addr)
	require.Equal(t, 429, refused.resp.StatusCode)
	require.Equal(t, "60", refused.resp.Header.Get("Retry-After"))
	open[0].conn.Close()
	require.Eventually(t, func() bool {
		h.write(d.Journal) // a poke finds out that nobody listens
		return h.server.OpenStreams() < 3
	}, 10*time.Second, 10*time.Millisecond)
	require.Equal(t, 200, d.stream(t, addr).resp.StatusCode)
}

func TestShutdownEndsStreamsFirst(t *testing.T) {
	h := newHouse(t, slow)
	d := h.admit()
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	served := make(chan error, 1)
	go func() { served <- h.server.Serve(ln) }()
	var open []*stream
	for range 20 {
		open = append(open, d.stream(t, ln.Addr().String()))
	}
	idle, err := net.Dial("tcp", ln.Addr().String())
	require.NoError(t, err)
	defer idle.Close()

	// In the other order Shutdown waits out its whole time, 10 s, and reports an error: the bound here is far from both.
	ctx, cancel := context.WithTimeout(context.Background(), 2*time.Second)
	defer cancel()
	require.NoError(t, h.server.Shutdown(ctx))
	require.NoError(t, <-served)
	for _, s := range open {
		s.ended()
	}
	require.Zero(t, h.server.OpenStreams())
	require.NoError(t, h.server.Shutdown(context.Background()), "twice is once")
}
