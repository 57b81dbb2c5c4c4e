package server

import (
	"github.com/gofiber/fiber/v2"

	"fairmeasure/server/auth"
)

// What an owner sees of the accounts of this server, and how others are asked in. Nothing here tells of a journal.

type listedAccountJSON struct {
	Name     string `json:"name"`
	Role     string `json:"role"`
	Created  int64  `json:"created_ms"`
	LastSeen int64  `json:"last_seen_ms,omitempty"`
	Devices  int    `json:"devices"`
}

func (s *Server) accounts(c *fiber.Ctx, _ caller) error {
	out := []listedAccountJSON{}
	for _, a := range s.door.Accounts() {
		row := listedAccountJSON{Name: a.Name, Role: string(a.Role), Created: a.Created.UnixMilli()}
		for _, d := range s.door.Devices(a.ID) {
			row.LastSeen = max(row.LastSeen, unixMilli(d.LastSeen))
			if d.End == auth.EndNone {
				row.Devices++
			}
		}
		out = append(out, row)
	}
	return c.JSON(fiber.Map{"accounts": out})
}

func (s *Server) invite(c *fiber.Ctx, who caller) error {
	if err := readJSON(c.BodyRaw(), &struct{}{}); err != nil {
		return err
	}
	code, asked, err := s.door.Invite(c.UserContext(), who.Caller)
	if err != nil {
		return err
	}
	s.log.Info("an invitation was made", "by", who.Device.ID)
	out := codeOf(asked)
	out.Code = code.String()
	return c.JSON(out)
}

func (s *Server) invitations(c *fiber.Ctx, who caller) error {
	asked, err := s.door.Invitations(c.UserContext(), who.Caller)
	if err != nil {
		return err
	}
	out := []codeJSON{}
	for _, a := range asked {
		out = append(out, codeOf(a))
	}
	return c.JSON(fiber.Map{"invitations": out})
}

func (s *Server) cancelInvitation(c *fiber.Ctx, who caller) error {
	var in answerJSON
	if err := readJSON(c.BodyRaw(), &in); err != nil {
		return err
	}
	if err := s.door.CancelInvitation(c.UserContext(), who.Caller, in.ID); err != nil {
		return err
	}
	s.log.Info("an invitation was ended", "by", who.Device.ID)
	return c.JSON(fiber.Map{"cancelled": in.ID})
}
