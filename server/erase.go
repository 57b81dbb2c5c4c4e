package server

import (
	"context"
	"errors"
	"fmt"

	"github.com/gofiber/fiber/v2"

	"fairmeasure/server/auth"
	"fairmeasure/sync/store"
)

type typedJSON struct {
	Typed string `json:"typed"`
}

// EraseAccount takes a person away for good: their journal, then their account with its devices, codes and record of
// sign-ins. In this order: what ends it half-way leaves an account that can ask again, or whose erasing is done again at
// the next start, and never a journal of nobody. What is gone already is passed over.
func EraseAccount(ctx context.Context, st store.Store, door *auth.Door, id auth.AccountID) error {
	if j, ok := door.JournalOf(id); ok {
		if err := st.Drop(ctx, j); err != nil {
			return fmt.Errorf("erasing the journal: %w", err)
		}
	}
	if err := door.RemoveAccount(ctx, id); err != nil && !errors.Is(err, auth.ErrNoAccount) {
		return err
	}
	return nil
}

// remembered is a store that also lets go of what is kept in memory of a journal when it is dropped.
type remembered struct {
	store.Store
	readings *readings
}

func (r remembered) Drop(ctx context.Context, j store.Journal) error {
	err := r.Store.Drop(ctx, j)
	if err == nil {
		r.readings.forget(j)
	}
	return err
}

// erase erases the person who asks for it.
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
	// What has begun takes the time it takes.
	if err := EraseAccount(c.UserContext(), s.store, s.door, who.Account.ID); err != nil {
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
