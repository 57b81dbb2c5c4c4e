package server

import (
	"bytes"
	"crypto/rand"
	"encoding/hex"
	"fmt"
	"log/slog"
	"mime"
	"runtime/debug"
	"strings"
	"time"

	"github.com/gofiber/fiber/v2"
)

// first sees every request before its route: it bounds how long the answer may take, refuses what no honest client of ours
// sends, catches panics, and writes the log.
func (s *Server) first(c *fiber.Ctx) error {
	began := time.Now()
	id := requestID()
	c.Set(fiber.HeaderXRequestID, id)
	if err := c.Context().Conn().SetWriteDeadline(began.Add(answerWait)); err != nil {
		return fmt.Errorf("server: write deadline: %w", err)
	}
	if err := s.checkedNext(c); err != nil {
		if err := s.problem(c, err); err != nil {
			return err
		}
	}
	s.logRequest(c, id, time.Since(began))
	return nil
}

// checkedNext goes on to the route, if the request is one to go on with. A panic becomes a fault.
func (s *Server) checkedNext(c *fiber.Ctx) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("server: panic: %v\n%s", p, debug.Stack())
		}
	}()
	if err := plainFraming(c); err != nil {
		return err
	}
	if c.Method() != fiber.MethodGet && c.Method() != fiber.MethodHead {
		if err := s.sameOrigin(c); err != nil {
			return err
		}
		if err := jsonBody(c); err != nil {
			return err
		}
	}
	return c.Next()
}

// plainFraming refuses a request that gives its length in two ways: two readers in a row could disagree on where it ends.
func plainFraming(c *fiber.Ctx) error {
	var length, coding int
	for line := range bytes.Lines(c.Request().Header.RawHeaders()) {
		name, _, _ := bytes.Cut(line, []byte(":"))
		switch name = bytes.TrimSpace(name); {
		case bytes.EqualFold(name, []byte(fiber.HeaderContentLength)):
			length++
		case bytes.EqualFold(name, []byte(fiber.HeaderTransferEncoding)):
			coding++
		}
	}
	if length > 0 && coding > 0 || length > 1 || coding > 1 {
		c.Context().SetConnectionClose()
		return errTwoLengths
	}
	return nil
}

// sameOrigin refuses what another site makes a browser send.
func (s *Server) sameOrigin(c *fiber.Ctx) error {
	switch c.Get("Sec-Fetch-Site") {
	case "same-origin", "none":
		return nil
	case "":
		if s.origins[c.Get(fiber.HeaderOrigin)] {
			return nil
		}
	}
	return errCrossSite
}

// jsonBody refuses coded bodies, which have no bound once unpacked, and everything that is not said to be JSON.
func jsonBody(c *fiber.Ctx) error {
	if c.Get(fiber.HeaderContentEncoding) != "" {
		return errCoded
	}
	kind, params, err := mime.ParseMediaType(c.Get(fiber.HeaderContentType))
	if err != nil || kind != fiber.MIMEApplicationJSON {
		return errNotJSON
	}
	if charset, ok := params["charset"]; ok && !strings.EqualFold(charset, "utf-8") {
		return errNotJSON
	}
	return nil
}

func requestID() string {
	var b [8]byte
	rand.Read(b[:])
	return hex.EncodeToString(b[:])
}

// logRequest notes a request by its route, never by its path, its query or anything it carried.
func (s *Server) logRequest(c *fiber.Ctx, id string, took time.Duration) {
	status := c.Response().StatusCode()
	level := slog.LevelDebug
	switch {
	case status == fiber.StatusInsufficientStorage || status == fiber.StatusServiceUnavailable:
		level = slog.LevelWarn
	case status >= 500:
		level = slog.LevelError
	case status == fiber.StatusTooManyRequests:
		level = slog.LevelInfo
	}
	if !s.log.Enabled(c.UserContext(), level) {
		return
	}
	s.log.Log(c.UserContext(), level, "request", "method", c.Method(), "route", c.Route().Path, "status", status,
		"took", took.Round(time.Microsecond).String(), "request", id)
}
