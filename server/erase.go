package server

import (
	"context"
	"errors"

	"github.com/gofiber/fiber/v2"

	"fairmeasure/server/auth"
	"fairmeasure/sync/store"
)

type typedJSON struct {
	Typed string `json:"typed"`
}

// erase takes a journal away for good, and then its account. In this order: what ends it half-way leaves an account that
// can ask again, or that the next start takes away, and never a journal of nobody.
func (s *Server) erase(c *fiber.Ctx, who caller) error {
	var in typedJSON
	if err := readJSON(c.BodyRaw(), &in); err != nil {
		return err
	}
	ctx, cancel := context.WithTimeout(c.UserContext(), roundWait)
	defer cancel()
	if err := s.door.Reauthenticate(ctx, who.Caller, in.Typed); err != nil {
		return s.askedAgain(err, who)
	}
	ctx = c.UserContext() // what has begun takes the time it takes
	if err := s.store.Drop(ctx, who.journal); err != nil {
		return err
	}
	s.readings.forget(who.journal)
	// Another device of the account may have been quicker.
	if err := s.door.RemoveAccount(ctx, who.Account.ID); err != nil && !errors.Is(err, auth.ErrNoAccount) {
		return err
	}
	s.log.Info("a journal was erased, and its account removed")
	s.cookies.clear(c)
	s.cookies.forget(c)
	return c.JSON(fiber.Map{"erased": who.journal})
}

// erased tells whether a journal was.
func (s *Server) erased(ctx context.Context, j store.Journal) bool {
	return j.Validate() == nil && errors.Is(s.store.View(ctx, j, func(store.Reader) error { return nil }), store.ErrErased)
}
