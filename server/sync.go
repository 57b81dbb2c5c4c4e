package server

import (
	"context"

	"github.com/gofiber/fiber/v2"

	"fairmeasure/server/auth"
	"fairmeasure/sync/exchange"
	"fairmeasure/sync/wire"
)

// Rounds takes one request of the sync protocol: an Exchange. An error is a refusal that errors.go knows, with nothing
// done, or a fault.
type Rounds interface {
	Round(ctx context.Context, ask exchange.Ask) (*wire.Answer, error)
}

func (s *Server) sync(c *fiber.Ctx, who caller) error {
	body := c.BodyRaw() // ours to read while the handler runs
	if len(body) > wire.MaxRequest {
		return wire.NewProblem(wire.CodeTooLarge, "the request is too large")
	}
	ctx, cancel := context.WithTimeout(s.working, roundWait)
	defer cancel()
	answer, err := s.rounds.Round(ctx, exchange.Ask{
		Journal: who.journal, Device: string(who.Device.ID), Now: s.now().UnixMilli(), Body: body,
		DeviceName:  func(id string) string { return s.door.DeviceName(who.Account.ID, auth.DeviceID(id)) },
		ClockBehind: s.door.ClockBehind(),
	})
	if err != nil && s.working.Err() != nil {
		return errClosing
	}
	if err != nil {
		return err
	}
	return sendJSON(c, answer.Append(nil))
}
