package server

import (
	"cmp"
	"encoding/json"
	"fmt"
	"maps"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"github.com/gofiber/fiber/v2"

	"fairmeasure/sync/wire"
)

// The description of the API that the server gives of itself, as OpenAPI 3.1. What stands here is held against the table of
// routes and against real answers by a test. Shapes are in shapes.go.

// doc is a piece of JSON.
type doc = map[string]any

// operation tells of one route.
type operation struct {
	id, does string
	tells    string // more than does says, if there is more
	asks     []parameter
	takes    doc      // of the body; nil: an empty object
	gives    doc      // of the answer with status 200
	kind     string   // its media type; empty: JSON
	waits    doc      // of the answer with status 202; nil if it gives none
	refuses  []string // besides what all routes of its access do: "404 no_spec"
}

// parameter is one part of an address.
type parameter struct {
	name, tells string
	needed      bool
	shape       doc
}

const setsCookies = "The answer sets three cookies: the access token, good for ten minutes, the refresh token for renewing it, and one by which the device is known again, so that wrong tries of strangers do not make it wait."

var nowTells = "The local date and time with its offset from UTC, RFC 3339: 2026-05-15T22:04:00+02:00. The server knows no time zones: " +
	"which day and week it is follows from this offset alone. A plus sign in an address is %2B, or may stand as it is. " +
	"Refused are a time without an offset and the offset -00:00."

var (
	askNow    = parameter{"now", nowTells, true, doc{"type": "string", "format": "date-time"}}
	askDays   = parameter{"days", "So many drinking days: the one that now falls in and those before it.", false, doc{"type": "integer", "minimum": 1, "maximum": 40_000}}
	askLimit  = parameter{"limit", "At most so many pours; " + strconv.Itoa(usualPours) + " unless given.", false, doc{"type": "integer", "minimum": 1, "maximum": mostPours}}
	askBefore = parameter{"before", "The next of the list before: what is older follows.", false, doc{"type": "string"}}
)

// operations are told by method and path, as in the table of routes.
var operations = map[string]operation{
	"GET /livez":  {id: "live", does: "Whether the process answers", gives: object(prop("live", yes("Always true.")))},
	"GET /readyz": {id: "ready", does: "Whether a round could be taken down now", gives: object(prop("ready", yes("Always true."))), refuses: []string{"503 not_ready"}},

	"GET /api/v1/openapi.json": {id: "describe", does: "This description", gives: doc{"type": "object", "additionalProperties": true}},

	"GET /setup": {
		id: "setupPage", does: "The page on which the first owner's account is made", kind: kinds[".html"], gives: doc{"type": "string"},
		tells: "There while there is no owner, and only for who accepts HTML.", refuses: []string{"404 not_found", "503 not_built"},
	},
	"POST /api/v1/auth/setup": {
		id: "setUp", does: "Make the first owner's account, and come in", tells: "Takes the key that the server printed when it was started. " + setsCookies,
		takes: ref("SetupRequest"), gives: ref("Pass"), refuses: []string{"404 no_setup", "409 name_taken", "422 account_name", "422 name", "422 password"},
	},
	"POST /api/v1/auth/sign-in": {
		id: "signIn", does: "Come in by name and password", tells: "A name that is not there and a password that is not the one look the same. Wrong tries are counted by name and address, and those of a device that was let in before by that device. " + setsCookies,
		takes: ref("SignInRequest"), gives: ref("Pass"), refuses: []string{"401 wrong", "422 name", "429 too_many_tries"},
	},
	"POST /api/v1/auth/join": {
		id: "join", does: "Make a member's account by an invitation, and come in", tells: setsCookies,
		takes: ref("JoinRequest"), gives: ref("Pass"),
		refuses: []string{
			"403 code_unknown", "403 code_expired", "409 name_taken", "422 account_name", "422 code_unreadable", "422 name", "422 not_invitation",
			"422 password", "429 too_many_tries",
		},
	},
	"POST /api/v1/auth/password": {
		id: "changePassword", does: "Set the account's password", tells: "An account that has one says it as old. Wrong ones are counted by device.",
		takes:   object(maybe("old", text("The password until now.")), prop("new", password), maybe("sign_out_others", yes("Shut out every device of the account but this one as well."))),
		gives:   object(prop("changed", yes("Always true.")), prop("revoked", list(ref("DeviceID")))),
		refuses: []string{"422 password", "422 wrong_password", "429 too_many_tries"},
	},
	"GET /api/v1/auth/audit": {
		id: "audit", does: "Sign-ins of the account and what was done to its devices, the newest first", gives: object(prop("events", list(ref("Event")))),
	},
	"POST /api/v1/auth/pair": {
		id: "pair", does: "Admit a device by its one-time code",
		tells: setsCookies,
		takes: ref("PairRequest"), gives: ref("Pass"), waits: ref("Wait"),
		refuses: []string{"403 code_unknown", "403 code_expired", "422 code_unreadable", "422 invitation", "422 name", "429 too_many_tries"},
	},
	"POST /api/v1/auth/pair/claim": {
		id: "claim", does: "Come in, once a signed-in device has confirmed it", takes: object(prop("claim", claim)), gives: ref("Pass"), waits: ref("Wait"),
		refuses: []string{"403 refused", "403 code_expired", "410 claim_gone"},
	},
	"POST /api/v1/auth/codes": {
		id: "askCode", does: "A new code for another device, which this account then confirms", gives: ref("DeviceCode"), refuses: []string{"409 too_many_codes"},
	},
	"GET /api/v1/auth/codes": {id: "codes", does: "The account's codes that live", gives: object(prop("codes", list(ref("DeviceCode"))))},
	"POST /api/v1/auth/codes/confirm": {
		id: "confirmCode", does: "Let in the device that waits with a code", tells: "A wrong number refuses the device and ends the code.",
		takes: object(prop("id", codeID), prop("number", waitNumber)), gives: object(prop("confirmed", codeID)),
		refuses: []string{"403 code_expired", "404 no_code", "409 not_waiting", "422 number"},
	},
	"POST /api/v1/auth/codes/cancel": {
		id: "cancelCode", does: "End a code; a device that waits with it is refused", takes: object(prop("id", codeID)), gives: object(prop("cancelled", codeID)),
		refuses: []string{"403 code_expired", "404 no_code", "409 not_waiting"},
	},
	"POST /api/v1/auth/devices/revoke-others": {
		id: "revokeOthers", does: "Shut out every device of the account but this one", gives: object(prop("revoked", list(ref("DeviceID")))), refuses: []string{"404 no_device"},
	},
	"POST /api/v1/auth/refresh": {
		id: "refresh", does: "Renew the sign-in",
		tells: "Takes the refresh cookie and sets all three anew. A refresh token that was superseded and is shown again shuts its device.",
		gives: ref("Pass"), refuses: []string{"401 signed_out", "403 revoked", "409 renewed"},
	},
	"GET /api/v1/auth/me": {id: "me", does: "Which device and account this is", gives: ref("Pass")},
	"GET /api/v1/auth/devices": {
		id: "devices", does: "The account's devices, those that were shut too",
		gives: object(prop("devices", list(ref("ListedDevice")))),
	},
	"POST /api/v1/auth/devices/:device/revoke": {
		id: "revoke", does: "Shut a device out", gives: object(prop("revoked", ref("DeviceID"))), refuses: []string{"404 no_device"},
	},
	"POST /api/v1/auth/devices/:device/name": {
		id: "renameDevice", does: "Give a device another name", tells: "One that was shut too: journals name devices.",
		takes: object(prop("name", deviceName)), gives: object(prop("device", ref("Device"))), refuses: []string{"404 no_device", "422 name"},
	},
	"POST /api/v1/auth/sign-out": {id: "signOut", does: "Sign this device out", gives: object(prop("signed_out", ref("DeviceID")))},

	"POST /api/v1/journals/unknown": {
		id: "unknownJournals", does: "Which of these journals this server has never heard of, or has erased",
		tells: "For a device that holds journals of accounts which were signed in on it before: the server may have been lost and set up anew. " +
			"At most " + strconv.Itoa(mostAsked) + " at once. The others are this account's or another's; which, is not said.",
		takes: object(prop("journals", list(ref("JournalID")))),
		gives: object(prop("unknown", list(ref("JournalID"))), prop("erased", list(ref("JournalID")))),
	},
	"POST /api/v1/journals/:journal/sync": {
		id: "sync", does: "One round: a device says what was done on it, and reads what changed",
		tells: "A request is one commit or none. Asking again changes nothing. The body is at most " + strconv.Itoa(wire.MaxRequest) + " bytes.",
		takes: ref("RoundRequest"), gives: ref("RoundAnswer"),
		refuses: []string{"409 out_of_step", "422 refused", "426 too_old", "507 full", "507 no_space"},
	},
	"POST /api/v1/journals/:journal/erase": {
		id: "erase", does: "Erase a journal and remove its account, for good",
		tells: "Nothing of either is kept but a digest of the journal's id, by which a device that comes late is told.",
		takes: object(prop("typed", text("The account's password; its name, when it has none."))), gives: object(prop("erased", ref("JournalID"))),
		refuses: []string{"422 wrong_password", "429 too_many_tries", "507 no_space"},
	},

	"GET /api/v1/accounts": {id: "accounts", does: "Every account of this server; nothing of what they wrote", gives: object(prop("accounts", list(ref("ListedAccount"))))},
	"POST /api/v1/accounts/invitations": {
		id: "invite", does: "A new invitation, by which somebody makes an account", gives: ref("Invitation"), refuses: []string{"409 too_many_codes"},
	},
	"GET /api/v1/accounts/invitations": {
		id: "invitations", does: "The account's invitations that live", gives: object(prop("invitations", list(ref("Invitation")))),
	},
	"POST /api/v1/accounts/invitations/cancel": {
		id: "cancelInvitation", does: "End an invitation", takes: object(prop("id", codeID)), gives: object(prop("cancelled", codeID)),
		refuses: []string{"403 code_expired", "404 no_code"},
	},

	"GET /api/v1/events": {
		id: "events", does: "A stream of pokes: the journal may have changed, come and ask", kind: "text/event-stream",
		tells: "Server-sent events of the type poke without data, one at the start and one after each change. Pokes may be lost or doubled.",
		gives: doc{"type": "string"}, refuses: []string{"404 no_journal", "429 too_many_streams"},
	},

	"GET /api/v1/journals/:journal/week": {
		id: "week", does: "What the last seven days and the calendar week come to, beside the country's guidance",
		asks: []parameter{askNow}, gives: ref("Week"), refuses: []string{"400 now_with_offset", "400 query"},
	},
	"GET /api/v1/journals/:journal/sessions": {
		id: "sessions", does: "Sessions by drinking day, the newest day first",
		tells: "A session is pours close together in time: a gap of 240 minutes or less joins. Without days: the last 30.",
		asks:  []parameter{askNow, askDays}, gives: ref("Sessions"), refuses: []string{"400 now_with_offset", "400 days", "400 query"},
	},
	"GET /api/v1/journals/:journal/pours": {
		id: "pours", does: "Pours, the newest first, in portions", tells: "With days, now is needed as well.",
		asks: []parameter{{askNow.name, askNow.tells, false, askNow.shape}, askDays, askLimit, askBefore}, gives: ref("Pours"),
		refuses: []string{"400 now_with_offset", "400 days", "400 limit", "400 before", "400 query"},
	},
	"GET /api/v1/journals/:journal/specs/:spec/balance": {
		id: "balance", does: "Strength, sugar, acid, dilution and volume of a spec as it would be made",
		gives: ref("SpecBalance"), refuses: []string{"400 query", "404 no_spec"},
	},
}

// inPaths are the parts of a path that are filled in.
var inPaths = map[string]parameter{
	"journal": {"journal", "The id of a journal; a device is told its own when it is admitted.", true, ref("JournalID")},
	"device":  {"device", "The id of a device.", true, ref("DeviceID")},
	"spec":    {"spec", "The id of a spec.", true, ref("ID")},
}

// everyRoute is what any route may refuse with, and the others what those of an access may besides.
var (
	everyRoute = []string{"400 malformed", "408 timeout", "413 too_large", "431 headers_too_large", "500 internal", "503 busy"}
	everyPost  = []string{"403 cross_site", "415 content_encoding", "415 media_type"}
	everyOf    = map[access][]string{
		visitor: {"429 busy"},
		device:  {"401 expired", "403 revoked", "429 busy"},
		journal: {"401 expired", "403 revoked", "404 no_journal", "410 erased", "429 busy"},
		owner:   {"401 expired", "403 revoked", "403 not_owner", "429 busy"},
	}
)

// refusals says what each refusal means, by status and code.
func refusals() map[string]string {
	all := map[string]string{
		"408 timeout":           "the request took too long to come",
		"409 out_of_step":       "the marks are not of this journal's history: the device compares everything",
		"413 too_large":         "the body is too large",
		"422 refused":           "one of the actions cannot be stored; index says which",
		"426 too_old":           "the device speaks a version of the protocol that this server does not",
		"429 busy":              "too many requests",
		"429 too_many_tries":    tooManyTries,
		"431 headers_too_large": "the headers are too large",
		"507 full":              "the journal is as large as a journal may be",
	}
	add := func(r *refusal) {
		if key := strconv.Itoa(r.status) + " " + r.code; all[key] == "" {
			all[key] = r.detail
		}
	}
	for _, r := range []*refusal{
		errTwoLengths, errCrossSite, errCoded, errNotJSON, errMalformed, errStreams, errClosing, errNotReady, errInternal,
		errNow, errDays, errLimit, errBefore, errQuery, errNoSpec, errNotFound, errNotBuilt, errHashing, errNotPassword,
	} {
		add(r)
	}
	for i := range known {
		add(&known[i].refusal)
	}
	return all
}

// prepared is an answer that was made before anybody asked, plain and compressed.
type prepared struct{ plain, gzip []byte }

func (s *Server) openAPI(c *fiber.Ctx, _ caller) error {
	c.Set(fiber.HeaderContentType, fiber.MIMEApplicationJSON)
	c.Set(fiber.HeaderVary, fiber.HeaderAcceptEncoding)
	if !acceptsCoding(c.Get(fiber.HeaderAcceptEncoding), "gzip") {
		return c.Send(s.openapi.plain)
	}
	c.Set(fiber.HeaderContentEncoding, "gzip")
	return c.Send(s.openapi.gzip)
}

// describe writes the description down, once.
func (s *Server) describe() (prepared, error) {
	accesses := map[string]access{}
	for _, r := range s.routes() {
		accesses[r.method+" "+r.path] = r.access
	}
	said := refusals()
	paths := map[string]doc{}
	for _, route := range slices.Sorted(maps.Keys(operations)) {
		method, path, _ := strings.Cut(route, " ")
		path, filled := templateOf(path)
		if paths[path] == nil {
			paths[path] = doc{}
		}
		paths[path][strings.ToLower(method)] = operations[route].describe(method, accesses[route], filled, said)
	}
	plain, err := json.Marshal(doc{
		"openapi": "3.1.0",
		"info": doc{
			"title": "Fair Measure", "version": "1",
			"description": "Every key that carries a number says its unit, or its description does. Times of day and dates are local to where they " +
				"were lived. Refusals are problem documents (RFC 9457) whose code a program can act on. Amounts of alcohol are worked out from " +
				"what was written down; no figure here tells what anyone may do.",
		},
		"servers": []doc{{"url": "/"}},
		"paths":   paths,
		"components": doc{
			"schemas": shapes,
			"securitySchemes": doc{"device": doc{
				"type": "apiKey", "in": "cookie", "name": s.cookies.access, "description": "The access token of an admitted device.",
			}},
		},
	})
	if err != nil {
		return prepared{}, fmt.Errorf("server: writing the description of the API: %w", err)
	}
	packed, err := gzipped(plain)
	return prepared{plain, packed}, err
}

// templateOf turns ":journal" into "{journal}", and gives the names.
func templateOf(path string) (string, []string) {
	parts := strings.Split(path, "/")
	var filled []string
	for i, p := range parts {
		if name, ok := strings.CutPrefix(p, ":"); ok {
			filled = append(filled, name)
			parts[i] = "{" + name + "}"
		}
	}
	return strings.Join(parts, "/"), filled
}

func (o operation) describe(method string, may access, filled []string, said map[string]string) doc {
	out := doc{"operationId": o.id, "summary": o.does, "security": []doc{}}
	if o.tells != "" {
		out["description"] = o.tells
	}
	if may == device || may == journal || may == owner {
		out["security"] = []doc{{"device": []string{}}}
	}
	var asks []doc
	for _, name := range filled {
		p := inPaths[name]
		asks = append(asks, doc{"name": name, "in": "path", "required": true, "description": p.tells, "schema": p.shape})
	}
	for _, p := range o.asks {
		asks = append(asks, doc{"name": p.name, "in": "query", "required": p.needed, "description": p.tells, "schema": p.shape})
	}
	if asks != nil {
		out["parameters"] = asks
	}
	codes := slices.Concat(everyRoute, everyOf[may], o.refuses)
	if method == http.MethodPost {
		codes = append(codes, everyPost...)
		takes := o.takes
		if takes == nil {
			takes = doc{"type": "object"}
		}
		out["requestBody"] = doc{"required": true, "content": doc{fiber.MIMEApplicationJSON: doc{"schema": takes}}}
	}
	responses := doc{"200": doc{
		"description": o.does + ".", "content": doc{cmp.Or(o.kind, fiber.MIMEApplicationJSON): doc{"schema": o.gives}},
	}}
	if o.waits != nil {
		responses["202"] = doc{
			"description": "Not yet: a signed-in device has to confirm it.", "content": doc{fiber.MIMEApplicationJSON: doc{"schema": o.waits}},
		}
	}
	slices.Sort(codes)
	byStatus := map[string][]string{}
	for _, c := range slices.Compact(codes) {
		status, code, _ := strings.Cut(c, " ")
		byStatus[status] = append(byStatus[status], code)
	}
	for status, codes := range byStatus {
		var lines []string
		for _, code := range codes {
			lines = append(lines, code+": "+said[status+" "+code])
		}
		responses[status] = doc{
			"description": strings.Join(lines, "\n"),
			"content": doc{"application/problem+json": doc{"schema": doc{"allOf": []doc{
				ref("Problem"), {"properties": doc{"code": doc{"enum": codes}}},
			}}}},
		}
	}
	out["responses"] = responses
	return out
}
