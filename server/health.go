package server

import "github.com/gofiber/fiber/v2"

// live says that the process answers.
func (s *Server) live(c *fiber.Ctx, _ caller) error {
	return c.JSON(fiber.Map{"live": true})
}

// readiness says that a round could be taken down now.
func (s *Server) readiness(c *fiber.Ctx, _ caller) error {
	if !s.ready.Load() {
		return errClosing
	}
	h, err := s.store.Health(c.UserContext())
	if err != nil {
		return err
	}
	if !h.OK || h.ReadOnly {
		if !s.unwell.Swap(true) { // anybody may ask, as often as they like: it is said once
			s.log.Warn("the store is not well", "reason", h.Reason, "free_bytes", h.FreeBytes)
		}
		return errNotReady
	}
	if s.unwell.Swap(false) {
		s.log.Info("the store is well again", "free_bytes", h.FreeBytes)
	}
	return c.JSON(fiber.Map{"ready": true})
}
