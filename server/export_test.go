package server

import (
	"context"
	"strconv"
	"time"

	"github.com/gofiber/fiber/v2"

	"fairmeasure/sync/schema"
	"fairmeasure/sync/store"
)

// App is the Fiber app, for tests that need no network.
func (s *Server) App() *fiber.App { return s.app }

// Accesses gives what each route demands, by "METHOD path".
func (s *Server) Accesses() map[string]string {
	names := map[access]string{anyone: "anyone", visitor: "visitor", device: "device", journal: "journal", owner: "owner"}
	out := map[string]string{}
	for _, r := range s.routes() {
		out[r.method+" "+r.path] = names[r.access]
	}
	return out
}

// OpenStreams counts the streams that are open.
func (s *Server) OpenStreams() int {
	s.open.mu.Lock()
	defer s.open.mu.Unlock()
	return s.open.all
}

// Rate is a bound by key.
type Rate struct{ *rate }

// NewRate makes one.
func NewRate(perHour int, now func() time.Time) Rate { return Rate{newRate(perHour, now)} }

// Take uses one request.
func (r Rate) Take(key string) time.Duration { return r.take(key) }

// Keys counts what is remembered.
func (r Rate) Keys() int { return len(r.buckets) }

var (
	ReadJSON      = readJSON
	AcceptsCoding = acceptsCoding
)

// Readings counts the journals kept in memory.
func (s *Server) Readings() int {
	s.readings.mu.Lock()
	defer s.readings.mu.Unlock()
	return len(s.readings.kept)
}

// Read asks nothing of a journal, but reads it as if something were asked.
func (s *Server) Read(j store.Journal) error {
	_, err := s.readings.ask(context.Background(), j, func(string) string { return "" }, func(*schema.Reader, schema.View) ([]byte, error) { return nil, nil })
	return err
}

// Refusals gives status and code of everything the API refuses with, without what only pages and unknown addresses do.
func Refusals() []string {
	var all []string
	for key := range refusals() {
		all = append(all, key)
	}
	for _, r := range known {
		all = append(all, strconv.Itoa(r.status)+" "+r.code)
	}
	return all
}

// Forget lets go of a journal kept in memory.
func (s *Server) Forget(j store.Journal) { s.readings.forget(j) }
