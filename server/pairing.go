package server

import (
	"errors"

	"github.com/gofiber/fiber/v2"

	"fairmeasure/server/auth"
)

// Pairing from a signed-in device. Codes, claims and numbers are never logged.

// waitJSON is told to a device that has to be confirmed.
type waitJSON struct {
	Waiting bool   `json:"waiting"`
	Number  string `json:"number"`
	Claim   string `json:"claim"`
}

func waitOf(w auth.Wait) waitJSON { return waitJSON{Waiting: true, Number: w.Number, Claim: w.Claim} }

type claimJSON struct {
	Claim string `json:"claim"`
}

func (s *Server) claim(c *fiber.Ctx, _ caller) error {
	var in claimJSON
	if err := readJSON(c.BodyRaw(), &in); err != nil {
		return err
	}
	p, err := s.door.Claim(c.UserContext(), in.Claim)
	if wait := new(auth.WaitingError); errors.As(err, &wait) {
		return c.Status(fiber.StatusAccepted).JSON(waitOf(wait.Wait))
	}
	if err != nil {
		return err
	}
	return s.letIn(c, p)
}

type codeJSON struct {
	ID      string `json:"id"`
	Expires int64  `json:"expires_ms"`
	// Code stands only in the answer to the device that asked.
	Code  string     `json:"code,omitempty"`
	Waits *waitsJSON `json:"waits,omitempty"`
}

type waitsJSON struct {
	Name  string `json:"name"`
	Since int64  `json:"since_ms"`
}

func codeOf(a auth.AskedCode) codeJSON {
	out := codeJSON{ID: a.ID, Expires: a.Until.UnixMilli()}
	if !a.Since.IsZero() {
		out.Waits = &waitsJSON{Name: a.Name, Since: a.Since.UnixMilli()}
	}
	return out
}

func (s *Server) askCode(c *fiber.Ctx, who caller) error {
	if err := readJSON(c.BodyRaw(), &struct{}{}); err != nil {
		return err
	}
	code, asked, err := s.door.AskCode(c.UserContext(), who.Caller)
	if err != nil {
		return err
	}
	s.log.Info("a device asked for a code", "device", who.Device.ID)
	out := codeOf(asked)
	out.Code = code.String()
	return c.JSON(out)
}

func (s *Server) codes(c *fiber.Ctx, who caller) error {
	asked, err := s.door.AskedCodes(c.UserContext(), who.Caller)
	if err != nil {
		return err
	}
	out := []codeJSON{}
	for _, a := range asked {
		out = append(out, codeOf(a))
	}
	return c.JSON(fiber.Map{"codes": out})
}

type answerJSON struct {
	ID     string `json:"id"`
	Number string `json:"number"`
}

func (s *Server) confirmCode(c *fiber.Ctx, who caller) error {
	var in answerJSON
	if err := readJSON(c.BodyRaw(), &in); err != nil {
		return err
	}
	err := s.door.Confirm(c.UserContext(), who.Caller, in.ID, in.Number)
	if errors.Is(err, auth.ErrNumber) {
		s.log.Warn("a device that waited was refused: not its number", "by", who.Device.ID)
	}
	if err != nil {
		return err
	}
	s.log.Info("a device that waits was confirmed", "by", who.Device.ID)
	return c.JSON(fiber.Map{"confirmed": in.ID})
}

func (s *Server) cancelCode(c *fiber.Ctx, who caller) error {
	var in answerJSON
	if err := readJSON(c.BodyRaw(), &in); err != nil {
		return err
	}
	if err := s.door.Cancel(c.UserContext(), who.Caller, in.ID); err != nil {
		return err
	}
	s.log.Info("a code was cancelled", "by", who.Device.ID)
	return c.JSON(fiber.Map{"cancelled": in.ID})
}

func (s *Server) revokeOthers(c *fiber.Ctx, who caller) error {
	if err := readJSON(c.BodyRaw(), &struct{}{}); err != nil {
		return err
	}
	gone, err := s.door.RevokeOthers(c.UserContext(), who.Caller)
	if err != nil {
		return err
	}
	s.log.Info("the other devices were revoked", "devices", gone, "by", who.Device.ID)
	if gone == nil {
		gone = []auth.DeviceID{}
	}
	return c.JSON(fiber.Map{"revoked": gone})
}
