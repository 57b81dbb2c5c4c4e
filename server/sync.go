package server

import (
	"context"
	"time"

	"github.com/gofiber/fiber/v2"

	"fairmeasure/server/auth"
	"fairmeasure/sync/store"
)

// Rounds takes one request of the sync protocol and gives its answer, bytes in and bytes out. An error that is not one of
// the refusals known to errors.go is a fault, and nothing was taken down.
type Rounds interface {
	Round(ctx context.Context, ask Ask) ([]byte, error)
}

// Ask is one sync request: whose it is (never taken from the body), when it came, and what it says.
type Ask struct {
	Journal store.Journal
	Device  string
	Now     time.Time
	Body    []byte
	// DeviceName names a device of the same account; empty when there is none.
	DeviceName func(id string) string
}

func (s *Server) sync(c *fiber.Ctx, who caller) error {
	ctx, cancel := context.WithTimeout(c.UserContext(), roundWait)
	defer cancel()
	answer, err := s.rounds.Round(ctx, Ask{
		Journal: who.journal, Device: string(who.Device.ID), Now: s.now(),
		Body:       c.BodyRaw(), // ours to keep while the handler runs; Immutable makes it a copy
		DeviceName: func(id string) string { return s.door.DeviceName(who.Account.ID, auth.DeviceID(id)) },
	})
	if err != nil {
		return err
	}
	return sendJSON(c, answer)
}
