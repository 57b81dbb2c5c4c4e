package server

import (
	"context"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/gofiber/fiber/v2"

	"fairmeasure/server/auth"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/schema"
)

// The server's own answers about a journal: the figures a device works out, worked out by the same core from the same
// entities. What a device has not sent yet is not in them.

// The portions of a list of pours.
const (
	usualPours = 50
	mostPours  = 500
)

var (
	errNow     = &refusal{status: 400, code: "now_with_offset", detail: "now: expected the local date and time with its offset from UTC, such as 2026-05-15T22:04:00+02:00"}
	errDays    = &refusal{status: 400, code: "days", detail: "days: expected a whole number from 1 to " + strconv.Itoa(schema.MostDays)}
	errLimit   = &refusal{status: 400, code: "limit", detail: "limit: expected a whole number from 1 to " + strconv.Itoa(mostPours)}
	errBefore  = &refusal{status: 400, code: "before", detail: "before: expected what the list before gave as next"}
	errQuery   = &refusal{status: 400, code: "query", detail: "the address asks for something this route does not know, or for one thing twice"}
	errReading = &refusal{status: 503, code: "busy", detail: "the journal could not be read in time", retry: 5 * time.Second}
	errNoSpec  = &refusal{status: 404, code: "no_spec", detail: "there is no such spec in this journal"}
)

func (s *Server) week(c *fiber.Ctx, who caller) error {
	q, err := queryOf(c, "now")
	if err != nil {
		return err
	}
	now, err := q.now()
	if err != nil {
		return err
	}
	return s.answer(c, who, func(r *schema.Reader, v schema.View) ([]byte, error) {
		return r.Ask(v, now, []byte(`{"q":"week"}`))
	})
}

func (s *Server) sessions(c *fiber.Ctx, who caller) error {
	q, err := queryOf(c, "now", "days")
	if err != nil {
		return err
	}
	now, err := q.now()
	if err != nil {
		return err
	}
	days, err := q.number("days", schema.MostDays, errDays)
	if err != nil {
		return err
	}
	return s.answer(c, who, func(r *schema.Reader, v schema.View) ([]byte, error) {
		return r.Ask(v, now, []byte(`{"q":"journal","days":`+strconv.Itoa(days)+`}`)) // 0 is the screen's own look back
	})
}

// pours needs to know the time only to count days back from it.
func (s *Server) pours(c *fiber.Ctx, who caller) error {
	q, err := queryOf(c, "now", "days", "limit", "before")
	if err != nil {
		return err
	}
	var asked schema.PoursAsked
	if asked.Days, err = q.number("days", schema.MostDays, errDays); err != nil {
		return err
	}
	if asked.Limit, err = q.number("limit", mostPours, errLimit); err != nil {
		return err
	}
	if asked.Limit == 0 {
		asked.Limit = usualPours
	}
	var now schema.Now
	if q["now"] != "" || asked.Days > 0 {
		if now, err = q.now(); err != nil {
			return err
		}
	}
	if text, given := q["before"]; given {
		var ok bool
		if asked.After, ok = schema.ParsePourPlace(text); !ok {
			return errBefore
		}
	}
	return s.answer(c, who, func(r *schema.Reader, v schema.View) ([]byte, error) {
		return r.Pours(v, now, asked), nil
	})
}

func (s *Server) specBalance(c *fiber.Ctx, who caller) error {
	if _, err := queryOf(c); err != nil {
		return err
	}
	spec := replica.ID(c.Params("spec"))
	return s.answer(c, who, func(r *schema.Reader, v schema.View) ([]byte, error) {
		body, ok := r.Balance(v, spec)
		if !ok {
			return nil, errNoSpec
		}
		return body, nil
	})
}

// answer sends what is asked of the caller's journal as it is now.
func (s *Server) answer(c *fiber.Ctx, who caller, ask func(*schema.Reader, schema.View) ([]byte, error)) error {
	ctx, cancel := context.WithTimeout(s.working, roundWait)
	defer cancel()
	names := func(id string) string { return s.door.DeviceName(who.Account.ID, auth.DeviceID(id)) }
	body, err := s.readings.ask(ctx, who.journal, names, ask)
	if err != nil {
		return err
	}
	return sendJSON(c, body)
}

// query is the part of an address after the question mark, each name once.
type query map[string]string

// queryOf reads it. A name that the route does not know is refused: a slip would change a figure without a word.
func queryOf(c *fiber.Ctx, known ...string) (query, error) {
	q := query{}
	for name, value := range c.Context().QueryArgs().All() {
		name := string(name)
		if _, twice := q[name]; twice || !slices.Contains(known, name) {
			return nil, errQuery
		}
		q[name] = string(value)
	}
	return q, nil
}

// number reads a whole number from 1 to most; 0 when it is not given.
func (q query) number(name string, most int, refused error) (int, error) {
	text, given := q[name]
	if !given {
		return 0, nil
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 || n > most || strconv.Itoa(n) != text {
		return 0, refused
	}
	return n, nil
}

// now reads the instant and the offset it is lived at. In an address a plus sign may stand for a blank; a time has none,
// so the blank was a plus sign.
func (q query) now() (schema.Now, error) {
	now, ok := ParseNow(strings.Replace(q["now"], " ", "+", 1))
	if !ok {
		return schema.Now{}, errNow
	}
	return now, nil
}

// ParseNow reads local date and time with their offset from UTC (RFC 3339): an offset of whole minutes within 14 hours, an
// instant that a journal can hold.
func ParseNow(text string) (schema.Now, bool) {
	t, err := time.Parse(time.RFC3339, text)
	if err != nil || strings.HasSuffix(text, "-00:00") { // which says that the offset is not known (RFC 3339, 4.3)
		return schema.Now{}, false
	}
	const farthest, day = 14 * 60, 24 * 60 * 60_000
	_, offset := t.Zone()
	ms, offsetMin := t.UnixMilli(), offset/60
	if offset%60 != 0 || offsetMin < -farthest || offsetMin > farthest || ms < day || ms > schema.LastMS {
		return schema.Now{}, false
	}
	return schema.Now{MS: ms, OffsetMin: offsetMin}, true
}
