package server

import (
	"context"
	"errors"

	"github.com/gofiber/fiber/v2"

	"fairmeasure/sync/store"
)

// mostAsked is how many journals one request may ask about.
const mostAsked = 50

// unknown tells a device which of the journals it holds this server has forgotten: there is nothing of them, and nobody
// owns them. Who asks has the journal itself, or what names it; that it is known here is all that is told of the others.
func (s *Server) unknown(c *fiber.Ctx, _ caller) error {
	var in struct {
		Journals []string `json:"journals"`
	}
	if err := readJSON(c.BodyRaw(), &in); err != nil {
		return err
	}
	if len(in.Journals) > mostAsked {
		return errMalformed
	}
	unknown, erased := []string{}, []string{}
	for _, id := range in.Journals {
		j := store.Journal(id)
		if j.Validate() != nil {
			return errMalformed
		}
		empty, err := s.empty(c.UserContext(), j)
		switch {
		case errors.Is(err, store.ErrErased):
			erased = append(erased, id)
		case err != nil:
			return err
		case empty && !s.door.HasJournal(j):
			unknown = append(unknown, id)
		}
	}
	return c.JSON(fiber.Map{"unknown": unknown, "erased": erased})
}

// empty tells whether nothing was ever stored of a journal.
func (s *Server) empty(ctx context.Context, j store.Journal) (empty bool, err error) {
	err = s.store.View(ctx, j, func(r store.Reader) error {
		head, _, err := r.Head()
		empty = head.No == 0
		return err
	})
	return empty, err
}
