package server

import (
	"net/url"
	"time"

	"github.com/gofiber/fiber/v2"

	"fairmeasure/server/auth"
)

// cookies carry the two tokens. Nothing secret is readable by a script, and nothing is sent from another site.
type cookies struct {
	access, refresh string
	secure          bool
}

const refreshPath = "/api/v1/auth"

// cookiesFor names them. The prefixes make a browser hold us to Secure and to this host. Over http, which is loopback only,
// neither is to be had; there the port is part of the name, because a browser shares cookies between the ports of a host.
func cookiesFor(public *url.URL) cookies {
	if public.Scheme == "https" {
		return cookies{"__Host-at", "__Secure-rt", true}
	}
	suffix := ""
	if p := public.Port(); p != "" {
		suffix = "_" + p
	}
	return cookies{"at" + suffix, "rt" + suffix, false}
}

func (k cookies) set(c *fiber.Ctx, p auth.Pass) {
	k.one(c, k.access, "/", p.Access, auth.AccessLife)
	k.one(c, k.refresh, refreshPath, p.Refresh, auth.RefreshIdle)
}

func (k cookies) clear(c *fiber.Ctx) {
	k.one(c, k.access, "/", "", 0)
	k.one(c, k.refresh, refreshPath, "", 0)
}

func (k cookies) one(c *fiber.Ctx, name, path, value string, life time.Duration) {
	cookie := &fiber.Cookie{
		Name: name, Value: value, Path: path, MaxAge: int(life / time.Second),
		Secure: k.secure, HTTPOnly: true, SameSite: fiber.CookieSameSiteStrictMode,
	}
	if life == 0 {
		cookie.Expires = time.Unix(1, 0)
	}
	c.Cookie(cookie)
}
