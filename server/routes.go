package server

import (
	"net/netip"

	"github.com/gofiber/fiber/v2"

	"fairmeasure/server/auth"
	"fairmeasure/sync/store"
)

// access is who may call a route.
type access int

const (
	// anyone: no sign-in and no bound. For health, and for what was made before anybody asked.
	anyone access = iota
	// visitor: no sign-in, bounded by address. For coming in.
	visitor
	// device: signed in.
	device
	// owner: signed in, and the journal in the path is the account's own.
	owner
)

type route struct {
	method, path string
	access       access
	handle       func(*fiber.Ctx, caller) error
}

// caller is who a request comes from, as far as its route demands to know.
type caller struct {
	auth.Caller
	addr    netip.Addr
	journal store.Journal // of an owner route
}

// routes is every route of the API. A route that is not here does not exist.
func (s *Server) routes() []route {
	return []route{
		{fiber.MethodGet, "/livez", anyone, s.live},
		{fiber.MethodGet, "/readyz", anyone, s.readiness},

		{fiber.MethodPost, "/api/v1/auth/pair", visitor, s.pair},
		{fiber.MethodPost, "/api/v1/auth/pair/claim", visitor, s.claim},
		{fiber.MethodPost, "/api/v1/auth/refresh", visitor, s.refresh},
		{fiber.MethodGet, "/api/v1/auth/me", device, s.me},
		{fiber.MethodGet, "/api/v1/auth/devices", device, s.devices},
		{fiber.MethodPost, "/api/v1/auth/devices/revoke-others", device, s.revokeOthers},
		{fiber.MethodPost, "/api/v1/auth/devices/:device/revoke", device, s.revoke},
		{fiber.MethodPost, "/api/v1/auth/codes", device, s.askCode},
		{fiber.MethodGet, "/api/v1/auth/codes", device, s.codes},
		{fiber.MethodPost, "/api/v1/auth/codes/confirm", device, s.confirmCode},
		{fiber.MethodPost, "/api/v1/auth/codes/cancel", device, s.cancelCode},
		{fiber.MethodPost, "/api/v1/auth/sign-out", device, s.signOut},

		{fiber.MethodPost, "/api/v1/journals/:journal/sync", owner, s.sync},
		{fiber.MethodGet, "/api/v1/journals/:journal/week", owner, s.week},
		{fiber.MethodGet, "/api/v1/journals/:journal/sessions", owner, s.sessions},
		{fiber.MethodGet, "/api/v1/journals/:journal/pours", owner, s.pours},
		{fiber.MethodGet, "/api/v1/journals/:journal/specs/:spec/balance", owner, s.specBalance},
		{fiber.MethodGet, "/api/v1/events", device, s.events},

		{fiber.MethodGet, "/api/v1/openapi.json", anyone, s.openAPI},
	}
}

// admitted asks of a request what its route demands, then hands it on.
func (s *Server) admitted(r route) fiber.Handler {
	return func(c *fiber.Ctx) error {
		c.Set(fiber.HeaderCacheControl, "no-store")
		who := caller{addr: addr(c)}
		switch r.access {
		case visitor:
			if wait := s.visitRate.take(who.addr.String()); wait > 0 {
				return busy(wait)
			}
		case device, owner:
			var err error
			if who.Caller, err = s.door.Check(c.Cookies(s.cookies.access)); err != nil {
				return err
			}
			who.Caller.Addr = who.addr
			if wait := s.deviceRate.take(string(who.Device.ID)); wait > 0 {
				return busy(wait)
			}
			s.door.Seen(who.Device.ID, s.now(), who.addr)
		}
		if r.access == owner {
			who.journal = store.Journal(c.Params("journal"))
			if err := s.door.Owns(who.Caller, who.journal); err != nil {
				return err
			}
		}
		return r.handle(c, who)
	}
}

// addr is the client's address: the connection's, or what a trusted proxy says.
func addr(c *fiber.Ctx) netip.Addr {
	a, err := netip.ParseAddr(c.IP())
	if err != nil {
		return netip.IPv4Unspecified()
	}
	return a.Unmap()
}
