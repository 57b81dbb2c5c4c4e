package server

import (
	"errors"
	"time"

	"github.com/gofiber/fiber/v2"

	"fairmeasure/server/auth"
	"fairmeasure/sync/store"
)

type pairJSON struct {
	Code    string `json:"code"`
	Name    string `json:"name"`
	Journal string `json:"journal"`
}

type passJSON struct {
	Journal string      `json:"journal"`
	Device  deviceJSON  `json:"device"`
	Account accountJSON `json:"account"`
}

type deviceJSON struct {
	ID   string `json:"id"`
	Name string `json:"name"`
}

type accountJSON struct {
	Name string `json:"name"`
}

func passOf(a auth.Account, d auth.Device, j store.Journal) passJSON {
	return passJSON{
		Journal: string(j),
		Device:  deviceJSON{ID: string(d.ID), Name: d.Name},
		Account: accountJSON{Name: a.Name},
	}
}

func (s *Server) pair(c *fiber.Ctx, who caller) error {
	var in pairJSON
	if err := readJSON(c.BodyRaw(), &in); err != nil {
		return err
	}
	p, err := s.door.Admit(c.UserContext(), auth.Visitor{
		Code: in.Code, Name: in.Name, Journal: store.Journal(in.Journal), Addr: who.addr,
	})
	if wait := new(auth.WaitingError); errors.As(err, &wait) {
		s.log.Info("a device waits to be confirmed")
		return c.Status(fiber.StatusAccepted).JSON(waitOf(wait.Wait))
	}
	if err != nil {
		if errors.Is(err, auth.ErrCodeUnknown) || errors.As(err, new(*auth.WaitError)) {
			s.log.Info("a wrong device code", "address", who.addr.String())
		}
		return err
	}
	s.log.Info("a device was admitted", "device", p.Device.ID)
	s.cookies.set(c, p)
	return c.JSON(passOf(p.Account, p.Device, p.Journal))
}

func (s *Server) refresh(c *fiber.Ctx, who caller) error {
	p, err := s.door.Renew(c.UserContext(), c.Cookies(s.cookies.refresh), who.addr)
	switch {
	case errors.Is(err, auth.ErrReused):
		s.log.Warn("a superseded refresh token was shown: the device is revoked", "device", p.Device.ID)
	case errors.Is(err, auth.ErrSignedOut):
		s.cookies.clear(c)
	}
	if err != nil {
		return err
	}
	s.cookies.set(c, p)
	return c.JSON(passOf(p.Account, p.Device, p.Journal))
}

func (s *Server) me(c *fiber.Ctx, who caller) error {
	j, _ := s.door.JournalOf(who.Account.ID)
	return c.JSON(passOf(who.Account, who.Device, j))
}

type listedJSON struct {
	ID       string `json:"id"`
	Name     string `json:"name"`
	Created  int64  `json:"created_ms"`
	LastSeen int64  `json:"last_seen_ms"`
	Ended    int64  `json:"ended_ms,omitempty"`
	End      string `json:"end,omitempty"`
	This     bool   `json:"this"`
}

func (s *Server) devices(c *fiber.Ctx, who caller) error {
	out := []listedJSON{}
	for _, d := range s.door.Devices(who.Account.ID) {
		out = append(out, listedJSON{
			ID: string(d.ID), Name: d.Name, Created: d.Created.UnixMilli(), LastSeen: d.LastSeen.UnixMilli(),
			Ended: unixMilli(d.Ended), End: string(d.End), This: d.ID == who.Device.ID,
		})
	}
	return c.JSON(fiber.Map{"devices": out})
}

func unixMilli(t time.Time) int64 {
	if t.IsZero() {
		return 0
	}
	return t.UnixMilli()
}

func (s *Server) revoke(c *fiber.Ctx, who caller) error {
	id := auth.DeviceID(c.Params("device"))
	if err := s.door.Revoke(c.UserContext(), who.Caller, id); err != nil {
		return err
	}
	s.log.Info("a device was revoked", "device", id, "by", who.Device.ID)
	return c.JSON(fiber.Map{"revoked": id})
}

func (s *Server) signOut(c *fiber.Ctx, who caller) error {
	if err := s.door.SignOut(c.UserContext(), who.Caller); err != nil {
		return err
	}
	s.log.Info("a device signed out", "device", who.Device.ID)
	s.cookies.clear(c)
	return c.JSON(fiber.Map{"signed_out": who.Device.ID})
}
