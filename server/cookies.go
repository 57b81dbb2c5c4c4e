package server

import (
	"net/url"
	"time"

	"github.com/gofiber/fiber/v2"

	"fairmeasure/server/auth"
)

// cookies carry the two tokens of a sign-in, and the one by which the device is known again after it. Nothing secret is
// readable by a script, and nothing is sent from another site.
type cookies struct {
	access, refresh, known string
	secure                 bool
}

const refreshPath = "/api/v1/auth"

// cookiesFor names them. The prefixes make a browser hold us to Secure and to this host. Over http, which is loopback only,
// neither is to be had; there the port is part of the name, because a browser shares cookies between the ports of a host.
func cookiesFor(public *url.URL) cookies {
	if public.Scheme == "https" {
		return cookies{"__Host-at", "__Secure-rt", "__Secure-kd", true}
	}
	suffix := ""
	if p := public.Port(); p != "" {
		suffix = "_" + p
	}
	return cookies{"at" + suffix, "rt" + suffix, "kd" + suffix, false}
}

func (k cookies) set(c *fiber.Ctx, p auth.Pass) {
	k.one(c, k.access, "/", p.Access, auth.AccessLife)
	k.one(c, k.refresh, refreshPath, p.Refresh, auth.RefreshIdle)
	k.one(c, k.known, refreshPath, p.Known, auth.KnownFor)
}

func (k cookies) knownIn(c *fiber.Ctx) string { return c.Cookies(k.known) }

// clear takes away the tokens. The known-device token stays.
func (k cookies) clear(c *fiber.Ctx) {
	k.one(c, k.access, "/", "", 0)
	k.one(c, k.refresh, refreshPath, "", 0)
}

// forget takes away the known-device token, when its account is gone.
func (k cookies) forget(c *fiber.Ctx) { k.one(c, k.known, refreshPath, "", 0) }

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
