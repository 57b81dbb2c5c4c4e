package server

import (
	"context"
	"errors"
	"net/netip"
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
	Name        string `json:"name"`
	Role        string `json:"role"`
	HasPassword bool   `json:"has_password"`
}

func deviceOf(d auth.Device) deviceJSON { return deviceJSON{ID: string(d.ID), Name: d.Name} }

func passOf(a auth.Account, d auth.Device, j store.Journal) passJSON {
	return passJSON{
		Journal: string(j),
		Device:  deviceOf(d),
		Account: accountJSON{Name: a.Name, Role: string(a.Role), HasPassword: a.HasPassword()},
	}
}

func (s *Server) pair(c *fiber.Ctx, who caller) error {
	var in pairJSON
	if err := readJSON(c.BodyRaw(), &in); err != nil {
		return err
	}
	p, err := s.door.Admit(c.UserContext(), auth.Visitor{
		Code: in.Code, Name: in.Name, Journal: s.offered(c.UserContext(), in.Journal), Addr: who.addr,
	})
	if wait := new(auth.WaitingError); errors.As(err, &wait) {
		s.log.Info("a device waits to be confirmed")
		return c.Status(fiber.StatusAccepted).JSON(waitOf(wait.Wait))
	}
	if err != nil {
		s.logTry(err, who)
		return err
	}
	return s.letIn(c, p)
}

// letIn gives a device that was admitted its pass.
func (s *Server) letIn(c *fiber.Ctx, p auth.Pass) error {
	s.log.Info("a device was admitted", "device", p.Device.ID)
	s.cookies.set(c, p)
	return c.JSON(passOf(p.Account, p.Device, p.Journal))
}

// logTry notes that somebody tried in vain to come in, by the address alone: what was typed may be a slip of a secret.
func (s *Server) logTry(err error, who caller) {
	tried := ""
	switch {
	case errors.Is(err, auth.ErrWrong):
		tried = "a wrong name or password"
	case errors.Is(err, auth.ErrCodeUnknown):
		tried = "a wrong code"
	case errors.Is(err, auth.ErrSetUp):
		tried = "a set-up that was refused"
	case errors.As(err, new(*auth.WaitError)):
		tried = "too many wrong tries"
	default:
		return
	}
	s.log.Info(tried, "address", who.addr.String())
}

// offered is the journal a device began on its own, as it says. An erased one is not taken over: the account would be of
// no use, and the device is told so when it asks for that journal.
func (s *Server) offered(ctx context.Context, text string) store.Journal {
	j := store.Journal(text)
	if s.erased(ctx, j) {
		return ""
	}
	return j
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
	Address  string `json:"last_address,omitempty"`
	Ended    int64  `json:"ended_ms,omitempty"`
	End      string `json:"end,omitempty"`
	This     bool   `json:"this"`
}

func (s *Server) devices(c *fiber.Ctx, who caller) error {
	out := []listedJSON{}
	for _, d := range s.door.Devices(who.Account.ID) {
		out = append(out, listedJSON{
			ID: string(d.ID), Name: d.Name, Created: d.Created.UnixMilli(), LastSeen: d.LastSeen.UnixMilli(),
			Address: addrText(d.Address), Ended: unixMilli(d.Ended), End: string(d.End), This: d.ID == who.Device.ID,
		})
	}
	return c.JSON(fiber.Map{"devices": out})
}

// addrText is an address in an answer; empty when it is not known.
func addrText(a netip.Addr) string {
	if !a.IsValid() {
		return ""
	}
	return a.String()
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

type nameJSON struct {
	Name string `json:"name"`
}

func (s *Server) renameDevice(c *fiber.Ctx, who caller) error {
	var in nameJSON
	if err := readJSON(c.BodyRaw(), &in); err != nil {
		return err
	}
	id := auth.DeviceID(c.Params("device"))
	if err := s.door.RenameDevice(c.UserContext(), who.Caller, id, in.Name); err != nil {
		return err
	}
	s.log.Info("a device was renamed", "device", id, "by", who.Device.ID)
	return c.JSON(fiber.Map{"device": deviceJSON{ID: string(id), Name: s.door.DeviceName(who.Account.ID, id)}})
}

func (s *Server) signOut(c *fiber.Ctx, who caller) error {
	if err := s.door.SignOut(c.UserContext(), who.Caller); err != nil {
		return err
	}
	s.log.Info("a device signed out", "device", who.Device.ID)
	s.cookies.clear(c)
	return c.JSON(fiber.Map{"signed_out": who.Device.ID})
}
