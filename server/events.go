package server

import (
	"bufio"
	"context"
	"fmt"
	"runtime/debug"
	"sync"
	"time"

	"github.com/gofiber/fiber/v2"

	"fairmeasure/server/auth"
)

// openStreams counts them.
type openStreams struct {
	mu       sync.Mutex
	all      int
	accounts map[auth.AccountID]int
}

func (o *openStreams) enter(a auth.AccountID, max Streams) bool {
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.all >= max.InAll || o.accounts[a] >= max.PerAccount {
		return false
	}
	o.all++
	o.accounts[a]++
	return true
}

func (o *openStreams) leave(a auth.AccountID) {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.all--
	if o.accounts[a]--; o.accounts[a] == 0 {
		delete(o.accounts, a)
	}
}

// A poke says that the journal may have changed, and nothing else: come and ask. "data:" is there and empty, because
// without it a browser passes the event over (WHATWG HTML, server-sent events, dispatch).
const (
	hello = "retry: 5000\n\n"
	poke  = "event: poke\ndata:\n\n"
	beat  = ":\n\n"
)

// events holds a stream open and pokes the device when its journal may have changed, once at the start, then after each
// change. Pokes may be lost or doubled; nothing depends on one.
func (s *Server) events(c *fiber.Ctx, who caller) error {
	select {
	case <-s.stop:
		return errClosing
	default:
	}
	journal, ok := s.door.JournalOf(who.Account.ID)
	if !ok {
		return auth.ErrNoJournal
	}
	if !s.open.enter(who.Account.ID, s.streams) {
		return errStreams
	}
	conn := c.Context().Conn()
	c.Set(fiber.HeaderContentType, "text/event-stream")
	c.Set("X-Accel-Buffering", "no")

	ctx, cancel := context.WithCancel(context.Background())
	hint := make(chan struct{}, 1)
	s.watches.Go(func() {
		// A watch that fails ends the hints, not the stream: the device asks from time to time in any case.
		err := s.store.Watch(ctx, journal, func() {
			select {
			case hint <- struct{}{}:
			default:
			}
		})
		if err != nil && ctx.Err() == nil {
			s.log.Warn("watching a journal ended", "error", err)
		}
	})
	// The writer runs when this handler has returned, so it must not touch c.
	c.Context().SetBodyStreamWriter(func(w *bufio.Writer) {
		defer s.open.leave(who.Account.ID)
		defer cancel()
		defer func() {
			if p := recover(); p != nil { // nobody above would: it would end the program
				s.log.Error("fault", "error", fmt.Sprintf("server: panic in a stream: %v\n%s", p, debug.Stack()))
			}
		}()
		heartbeat := time.NewTicker(s.streams.Heartbeat)
		defer heartbeat.Stop()
		end := time.NewTimer(s.streams.Life)
		defer end.Stop()
		for text := hello + poke; ; {
			if conn.SetWriteDeadline(time.Now().Add(s.streams.WriteWait)) != nil {
				return
			}
			if _, err := w.WriteString(text); err != nil {
				return
			}
			if err := w.Flush(); err != nil {
				return
			}
			select {
			case <-s.stop:
				return
			case <-end.C:
				return
			case <-hint:
				text = poke
			case <-heartbeat.C:
				text = beat
			}
			if s.door.Still(who.Caller) != nil {
				return
			}
		}
	})
	return nil
}
