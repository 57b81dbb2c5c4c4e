package server

import (
	"github.com/gofiber/fiber/v2"
)

type eventJSON struct {
	At      int64  `json:"at_ms"`
	What    string `json:"what"`
	Device  string `json:"device,omitempty"`
	Name    string `json:"name,omitempty"`
	By      string `json:"by,omitempty"`
	Address string `json:"address,omitempty"`
}

func (s *Server) audit(c *fiber.Ctx, who caller) error {
	events, err := s.door.Audit(c.UserContext(), who.Caller)
	if err != nil {
		return err
	}
	out := []eventJSON{}
	for _, e := range events {
		out = append(out, eventJSON{
			At: e.At.UnixMilli(), What: string(e.What), Device: string(e.Device), Name: e.Name, By: string(e.By), Address: addrText(e.Address),
		})
	}
	return c.JSON(fiber.Map{"events": out})
}
