package server

import (
	"encoding/json"
	"errors"
	"log/slog"
	"net/http"
	"strconv"
	"strings"
	"time"

	"github.com/gofiber/fiber/v2"

	"fairmeasure/server/auth"
	"fairmeasure/sync/store"
	"fairmeasure/sync/wire"
)

// refusal is an answer that is not the one asked for: a status, a code for the program and a sentence for the person.
type refusal struct {
	status int
	code   string
	detail string
	retry  time.Duration // Retry-After, when not 0
	index  *int          // of the action that cannot be stored, when it is about one
}

func (r *refusal) Error() string { return r.code + ": " + r.detail }

// problemJSON is a refusal as RFC 9457 writes it, with our code. On the sync route it names the journal, because a device
// counts only what names its journal as an answer.
type problemJSON struct {
	Type    string `json:"type"`
	Title   string `json:"title"`
	Status  int    `json:"status"`
	Code    string `json:"code"`
	Detail  string `json:"detail,omitempty"`
	Journal string `json:"journal,omitempty"`
	Index   *int   `json:"index,omitempty"`
	Retry   int64  `json:"retry_s,omitempty"` // as Retry-After
}

var (
	errNotFound   = &refusal{status: 404, code: "not_found", detail: "there is nothing at this address"}
	errMethod     = &refusal{status: 405, code: "method", detail: "this address is only read"}
	errTwoLengths = &refusal{status: 400, code: "malformed", detail: "the request gives its length more than once"}
	errCrossSite  = &refusal{status: 403, code: "cross_site", detail: "this request did not come from the app's own pages"}
	errCoded      = &refusal{status: 415, code: "content_encoding", detail: "requests are not compressed"}
	errNotJSON    = &refusal{status: 415, code: "media_type", detail: "expected application/json in UTF-8"}
	errMalformed  = &refusal{status: 400, code: "malformed", detail: "the body is not the JSON expected here"}
	errNotBuilt   = &refusal{status: 503, code: "not_built", detail: "the app is not built into this server: run go generate ./... and build again"}
	errStreams    = &refusal{status: 429, code: "too_many_streams", detail: "too many open streams", retry: time.Minute}
	errClosing    = &refusal{status: 503, code: "busy", detail: "the server is closing", retry: 5 * time.Second}
	errNotReady   = &refusal{status: 503, code: "not_ready", detail: "the server cannot take anything down at the moment", retry: 30 * time.Second}
	errHashing    = &refusal{status: 503, code: "busy", detail: "the password could not be looked at in time", retry: 5 * time.Second}
	// errNotPassword is not auth.ErrWrong's: a device that is signed in would take a 401 for a sign-in to renew.
	errNotPassword = &refusal{status: 422, code: "wrong_password", detail: "this is not what was asked for again: the password, or the account's name when it has none"}
	errInternal    = &refusal{status: 500, code: "internal", detail: "something went wrong on the server; nothing was taken down"}
)

func busy(wait time.Duration) *refusal {
	return &refusal{status: 429, code: "busy", detail: "too many requests", retry: wait}
}

const tooManyTries = "too many wrong tries"

// known pairs what the floors below refuse with what that is in HTTP. The first that matches holds.
var known = []struct {
	err error
	refusal
}{
	{auth.ErrCodeUnreadable, refusal{status: 422, code: "code_unreadable", detail: "a device code is twelve letters and digits"}},
	{auth.ErrCodeUnknown, refusal{status: 403, code: "code_unknown", detail: "this code was never given out, was mistyped, or has been used"}},
	{auth.ErrCodeExpired, refusal{status: 403, code: "code_expired", detail: "this code is too old: ask for a new one"}},
	{auth.ErrTooManyCodes, refusal{status: 409, code: "too_many_codes", detail: "three codes are unused: use one, cancel one or wait"}},
	{auth.ErrNoCode, refusal{status: 404, code: "no_code", detail: "there is no such code"}},
	{auth.ErrNotWaiting, refusal{status: 409, code: "not_waiting", detail: "no device waits with this code"}},
	{auth.ErrNumber, refusal{status: 422, code: "number", detail: "the device shows another number: it was refused, and the code is used up"}},
	{auth.ErrRefused, refusal{status: 403, code: "refused", detail: "the signed-in device did not let this one in"}},
	{auth.ErrClaimGone, refusal{status: 410, code: "claim_gone", detail: "this wait has ended: ask for a new code"}},
	{auth.ErrInvitation, refusal{status: 422, code: "invitation", detail: "this code is an invitation: it makes an account of its own"}},
	{auth.ErrNotInvitation, refusal{status: 422, code: "not_invitation", detail: "this code lets in a device, and is no invitation"}},
	{auth.ErrSetUp, refusal{status: 404, code: "no_setup", detail: "there is nothing to set up: the link is old, or there is an owner already"}},
	{auth.ErrWrong, refusal{status: 401, code: "wrong", detail: "no account of this name has this password"}},
	{auth.ErrPassword, refusal{status: 422, code: "password", detail: "a password is 10 to 256 characters"}},
	{auth.ErrAccountName, refusal{status: 422, code: "account_name", detail: "the name of an account is 1 to 60 printable characters"}},
	{auth.ErrNameTaken, refusal{status: 409, code: "name_taken", detail: "another account here has this name"}},
	{auth.ErrNotOwner, refusal{status: 403, code: "not_owner", detail: "only an owner of this server may"}},
	{auth.ErrName, refusal{status: 422, code: "name", detail: "a device name is up to 60 printable characters"}},
	{auth.ErrExpired, refusal{status: 401, code: "expired", detail: "the sign-in has to be renewed"}},
	{auth.ErrSignedOut, refusal{status: 401, code: "signed_out", detail: "this device is not signed in"}},
	{auth.ErrParallel, refusal{status: 409, code: "renewed", detail: "renewed a moment ago", retry: 2 * time.Second}},
	{auth.ErrRevoked, refusal{status: 403, code: "revoked", detail: "this device was removed"}},
	{auth.ErrNoJournal, refusal{status: 404, code: "no_journal", detail: "there is no such journal, or it is not yours"}},
	{auth.ErrNoDevice, refusal{status: 404, code: "no_device", detail: "there is no such device"}},
	{store.ErrErased, refusal{status: 410, code: "erased", detail: "this journal was erased for good"}},
	{store.ErrNoSpace, refusal{status: 507, code: "no_space", detail: "the server's disk is full", retry: time.Minute}},
	{store.ErrClosed, refusal{status: 503, code: "busy", detail: "the server is closing", retry: 5 * time.Second}},
	{store.ErrReadOnly, refusal{status: 503, code: "busy", detail: "the server can only read at the moment", retry: time.Minute}},
	{store.ErrDamaged, refusal{status: 503, code: "busy", detail: "the server cannot read this journal at the moment", retry: 5 * time.Minute}},
	{store.ErrMoved, refusal{status: 503, code: "busy", detail: "the journal is in much use", retry: 2 * time.Second}},
}

// busyFor is what a device is told to wait when a round says only that it is busy.
const busyFor = 5 * time.Second

// refusalOf turns any error into the refusal a visitor may see. Only errInternal hides something.
func refusalOf(err error) *refusal {
	var r *refusal
	if errors.As(err, &r) {
		return r
	}
	var round *wire.Problem
	if errors.As(err, &round) {
		r := &refusal{status: round.Status, code: round.Code, detail: round.Detail, retry: time.Duration(round.RetryS) * time.Second}
		if round.Code == wire.CodeRefused {
			r.index = &round.Index
		}
		if r.retry == 0 && (round.Code == wire.CodeBusy || round.Code == wire.CodeNoSpace) {
			r.retry = busyFor
		}
		return r
	}
	var wait *auth.WaitError
	if errors.As(err, &wait) {
		return &refusal{status: 429, code: "too_many_tries", detail: tooManyTries, retry: wait.For}
	}
	for i := range known {
		if errors.Is(err, known[i].err) {
			return &known[i].refusal
		}
	}
	var f *fiber.Error
	if errors.As(err, &f) {
		code := map[int]string{400: "malformed", 404: "not_found", 405: "method", 408: "timeout", 413: "too_large", 431: "headers_too_large"}[f.Code]
		if code != "" {
			return &refusal{status: f.Code, code: code, detail: http.StatusText(f.Code)}
		}
	}
	return errInternal
}

// problem writes an error as the answer, and logs it when it is a fault.
func (s *Server) problem(c *fiber.Ctx, err error) error {
	r := refusalOf(err)
	if r == errInternal {
		s.log.LogAttrs(c.UserContext(), slog.LevelError, "fault", slog.String("error", err.Error()),
			slog.String("request", string(c.Response().Header.Peek(fiber.HeaderXRequestID))))
	}
	seconds := int64((r.retry + time.Second - 1) / time.Second)
	body, err := json.Marshal(problemJSON{
		Type: "about:blank", Title: http.StatusText(r.status), Status: r.status,
		Code: r.code, Detail: r.detail, Journal: journalInPath(c.Path()), Index: r.index, Retry: seconds,
	})
	if err != nil {
		return err
	}
	c.Set(fiber.HeaderCacheControl, "no-store")
	c.Set(fiber.HeaderXContentTypeOptions, "nosniff")
	if seconds > 0 {
		c.Set(fiber.HeaderRetryAfter, strconv.FormatInt(seconds, 10))
	}
	c.Set(fiber.HeaderContentType, "application/problem+json")
	return c.Status(r.status).Send(body)
}

// journalInPath gives the journal a sync request names, in a form that can be one.
func journalInPath(path string) string {
	id, ok := strings.CutPrefix(path, "/api/v1/journals/")
	if !ok {
		return ""
	}
	id, _, _ = strings.Cut(id, "/")
	if store.Journal(id).Validate() != nil {
		return ""
	}
	return id
}
