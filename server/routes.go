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
	// visitor: no sign-in, bounded by address, or by device for one that was let in before. For coming in.
	visitor
	// device: signed in.
	device
	// journal: signed in, and the journal in the path is the account's own.
	journal
	// owner: signed in, and the account's role is owner. The role is looked up each time.
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
	journal store.Journal // of a journal route
}

// routes is every route of the API. A route that is not here does not exist.
func (s *Server) routes() []route {
	return []route{
		{fiber.MethodGet, "/livez", anyone, s.live},
		{fiber.MethodGet, "/readyz", anyone, s.readiness},

		{fiber.MethodGet, setupPath, anyone, s.setupPage},
		{fiber.MethodPost, "/api/v1/auth/setup", visitor, s.setUp},
		{fiber.MethodPost, "/api/v1/auth/sign-in", visitor, s.signIn},
		{fiber.MethodPost, "/api/v1/auth/join", visitor, s.join},
		{fiber.MethodPost, "/api/v1/auth/pair", visitor, s.pair},
		{fiber.MethodPost, "/api/v1/auth/pair/claim", visitor, s.claim},
		{fiber.MethodPost, "/api/v1/auth/refresh", visitor, s.refresh},
		{fiber.MethodGet, "/api/v1/auth/me", device, s.me},
		{fiber.MethodGet, "/api/v1/auth/devices", device, s.devices},
		{fiber.MethodPost, "/api/v1/auth/devices/revoke-others", device, s.revokeOthers},
		{fiber.MethodPost, "/api/v1/auth/devices/:device/revoke", device, s.revoke},
		{fiber.MethodPost, "/api/v1/auth/devices/:device/name", device, s.renameDevice},
		{fiber.MethodPost, "/api/v1/auth/codes", device, s.askCode},
		{fiber.MethodGet, "/api/v1/auth/codes", device, s.codes},
		{fiber.MethodPost, "/api/v1/auth/codes/confirm", device, s.confirmCode},
		{fiber.MethodPost, "/api/v1/auth/codes/cancel", device, s.cancelCode},
		{fiber.MethodPost, "/api/v1/auth/password", device, s.changePassword},
		{fiber.MethodGet, "/api/v1/auth/audit", device, s.audit},
		{fiber.MethodPost, "/api/v1/auth/sign-out", device, s.signOut},

		{fiber.MethodGet, "/api/v1/accounts", owner, s.accounts},
		{fiber.MethodPost, "/api/v1/accounts/invitations", owner, s.invite},
		{fiber.MethodGet, "/api/v1/accounts/invitations", owner, s.invitations},
		{fiber.MethodPost, "/api/v1/accounts/invitations/cancel", owner, s.cancelInvitation},

		{fiber.MethodPost, "/api/v1/journals/unknown", device, s.unknown},
		{fiber.MethodPost, "/api/v1/journals/:journal/sync", journal, s.sync},
		{fiber.MethodGet, "/api/v1/journals/:journal/week", journal, s.week},
		{fiber.MethodGet, "/api/v1/journals/:journal/sessions", journal, s.sessions},
		{fiber.MethodGet, "/api/v1/journals/:journal/pours", journal, s.pours},
		{fiber.MethodGet, "/api/v1/journals/:journal/specs/:spec/balance", journal, s.specBalance},
		{fiber.MethodPost, "/api/v1/journals/:journal/erase", journal, s.erase},
		{fiber.MethodGet, "/api/v1/events", device, s.events},

		{fiber.MethodGet, "/api/v1/openapi.json", anyone, s.openAPI},
	}
}

// admitted asks of a request what its route demands, then hands it on. An erased journal is told to be erased to anyone
// who knows its id: its devices cannot sign in any more, and have to be told.
func (s *Server) admitted(r route) fiber.Handler {
	return func(c *fiber.Ctx) error {
		c.Set(fiber.HeaderCacheControl, "no-store")
		who, err := s.admit(c, r.access)
		if err != nil {
			if r.access == journal && s.erased(c.UserContext(), store.Journal(c.Params("journal"))) {
				return store.ErrErased
			}
			return err
		}
		return r.handle(c, who)
	}
}

func (s *Server) admit(c *fiber.Ctx, may access) (caller, error) {
	who := caller{addr: addr(c)}
	switch may {
	case anyone:
		return who, nil
	case visitor:
		from := auth.Network(who.addr)
		if dev, ok := s.door.Knows(s.cookies.knownIn(c)); ok {
			from = "device " + string(dev.ID) // what strangers send from the same address is not counted against it
		}
		if wait := s.visitRate.take(from); wait > 0 {
			return who, busy(wait)
		}
		return who, nil
	}
	var err error
	if who.Caller, err = s.door.Check(c.Cookies(s.cookies.access)); err != nil {
		return who, err
	}
	who.Caller.Addr = who.addr
	if wait := s.deviceRate.take(string(who.Device.ID)); wait > 0 {
		return who, busy(wait)
	}
	if wait := s.accountRate.take(string(who.Account.ID)); wait > 0 {
		return who, busy(wait)
	}
	s.door.Seen(who.Device.ID, s.now(), who.addr)
	switch may {
	case journal:
		who.journal = store.Journal(c.Params("journal"))
		return who, s.door.Owns(who.Caller, who.journal)
	case owner:
		if who.Account.Role != auth.RoleOwner {
			return who, auth.ErrNotOwner
		}
	}
	return who, nil
}

// addr is the client's address: the connection's, or what a trusted proxy says.
func addr(c *fiber.Ctx) netip.Addr {
	a, err := netip.ParseAddr(c.IP())
	if err != nil {
		return netip.IPv4Unspecified()
	}
	return a.Unmap()
}
