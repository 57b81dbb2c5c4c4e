package server_test

import (
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"net/http"
	"net/http/httptest"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fairmeasure/server"
	"fairmeasure/server/auth"
	"fairmeasure/testdata"
)

// description is what the server says of its API.
type description struct {
	t   *testing.T
	all obj
}

func readDescription(t *testing.T, h *house) *description {
	t.Helper()
	a := h.do(httptest.NewRequest("GET", "/api/v1/openapi.json", http.NoBody))
	require.Equal(t, 200, a.Status)
	require.Equal(t, "application/json", a.Header.Get("Content-Type"))
	d := &description{t: t}
	require.NoError(t, json.Unmarshal([]byte(a.Body), &d.all))
	return d
}

// under digs into the description by keys.
func (d *description) under(keys ...string) any {
	var at any = d.all
	for _, k := range keys {
		o, ok := at.(obj)
		require.True(d.t, ok, keys)
		at, ok = o[k]
		require.True(d.t, ok, "no %q of %v", k, keys)
	}
	return at
}

// template turns the path of a route into the one of the description.
func template(path string) string {
	return regexp.MustCompile(`:([a-z]+)`).ReplaceAllString(path, "{$1}")
}

// checkAnswer holds an answer against what is declared for its route and status.
func (d *description) checkAnswer(route string, a answer) {
	d.t.Helper()
	method, path, _ := strings.Cut(route, " ")
	kind := a.Header.Get("Content-Type")
	declared := d.under("paths", template(path), strings.ToLower(method), "responses", fmt.Sprint(a.Status), "content", kind, "schema")
	var body any = a.Body
	if strings.HasSuffix(kind, "json") {
		require.NoError(d.t, json.Unmarshal([]byte(a.Body), &body), a.Body)
	}
	require.NoError(d.t, d.check(declared.(obj), body, "$"), "%s: %s", route, a.Body)
}

// check is a strict reader of the JSON Schema that the description uses: a keyword it does not know is an error, and so is
// a key that an object with declared properties does not declare.
func (d *description) check(schema obj, v any, at string) error {
	bad := func(format string, args ...any) error {
		return fmt.Errorf("%s: %s, got %v", at, fmt.Sprintf(format, args...), v)
	}
	for _, keyword := range slices.Sorted(maps.Keys(schema)) {
		rule := schema[keyword]
		switch keyword {
		case "description", "format", "properties": // properties: see required
		case "$ref":
			name, ok := strings.CutPrefix(rule.(string), "#/components/schemas/")
			if !ok {
				return bad("a reference to %v", rule)
			}
			if err := d.check(d.under("components", "schemas", name).(obj), v, at); err != nil {
				return err
			}
		case "type":
			if one, ok := rule.(string); ok {
				rule = []any{one}
			}
			if !slices.ContainsFunc(rule.([]any), func(r any) bool { return isType(r.(string), v) }) {
				return bad("expected %v", rule)
			}
		case "const":
			if v != rule {
				return bad("expected %v", rule)
			}
		case "enum":
			if !slices.Contains(rule.([]any), v) {
				return bad("expected one of %v", rule)
			}
		case "pattern":
			if s, ok := v.(string); ok && !regexp.MustCompile(rule.(string)).MatchString(s) {
				return bad("expected the form %v", rule)
			}
		case "minLength":
			if s, ok := v.(string); ok && float64(len(s)) < rule.(float64) {
				return bad("expected a longer text")
			}
		case "minimum":
			if n, ok := v.(float64); ok && n < rule.(float64) {
				return bad("expected at least %v", rule)
			}
		case "maximum":
			if n, ok := v.(float64); ok && n > rule.(float64) {
				return bad("expected at most %v", rule)
			}
		case "minItems", "maxItems":
			if l, ok := v.([]any); ok && (keyword == "minItems") == (float64(len(l)) < rule.(float64)) && float64(len(l)) != rule.(float64) {
				return bad("%s is %v", keyword, rule)
			}
		case "items":
			if l, ok := v.([]any); ok {
				for i, item := range l {
					if err := d.check(rule.(obj), item, fmt.Sprintf("%s[%d]", at, i)); err != nil {
						return err
					}
				}
			}
		case "required":
			for _, name := range rule.([]any) {
				if o, ok := v.(obj); ok && !has(o, name.(string)) {
					return bad("there is no %q", name)
				}
			}
			if o, ok := v.(obj); ok {
				declared := schema["properties"].(obj)
				for key, value := range o {
					if !has(declared, key) {
						return bad("%q is not declared", key)
					}
					if err := d.check(declared[key].(obj), value, at+"."+key); err != nil {
						return err
					}
				}
			}
		case "additionalProperties":
			if of, ok := rule.(obj); ok {
				for key, value := range v.(obj) {
					if err := d.check(of, value, at+"."+key); err != nil {
						return err
					}
				}
			} else if rule != true {
				return bad("additionalProperties is %v", rule)
			}
		case "allOf":
			for _, one := range rule.([]any) {
				if err := d.checkPart(one.(obj), v, at); err != nil {
					return err
				}
			}
		case "anyOf":
			var all []error
			for _, one := range rule.([]any) {
				all = append(all, d.check(one.(obj), v, at))
			}
			if !slices.ContainsFunc(all, func(err error) bool { return err == nil }) {
				return bad("none of several: %v", all)
			}
		default:
			return fmt.Errorf("%s: the keyword %q is not known here", at, keyword)
		}
	}
	return nil
}

// checkPart checks one of several shapes that hold together: what it says of some keys says nothing of the others.
func (d *description) checkPart(schema obj, v any, at string) error {
	some, ok := schema["properties"].(obj)
	if !ok || has(schema, "required") {
		return d.check(schema, v, at)
	}
	for key, of := range some {
		if value, ok := v.(obj)[key]; ok {
			if err := d.check(of.(obj), value, at+"."+key); err != nil {
				return err
			}
		}
	}
	return nil
}

func has(o obj, key string) bool { _, ok := o[key]; return ok }

func isType(name string, v any) bool {
	switch v := v.(type) {
	case nil:
		return name == "null"
	case bool:
		return name == "boolean"
	case string:
		return name == "string"
	case float64:
		return name == "number" || name == "integer" && v == math.Trunc(v)
	case []any:
		return name == "array"
	case obj:
		return name == "object"
	}
	return false
}

// TestTheCheckIsStrict: a check that accepts everything would hold nothing.
func TestTheCheckIsStrict(t *testing.T) {
	d := readDescription(t, newHouse(t))
	row := obj{"alcohol": obj{"grams": 1.5, "drinks": 0.2, "at_least": false, "or_drinks": nil, "about": false}, "pours": 2.0}
	totals := d.under("components", "schemas", "Totals").(obj)
	require.NoError(t, d.check(totals, row, "$"))
	for name, change := range map[string]func(){
		"missing":        func() { delete(row, "pours") },
		"not declared":   func() { row["more"] = 1.0 },
		"another type":   func() { row["pours"] = "2" },
		"not whole":      func() { row["pours"] = 2.5 },
		"deeper":         func() { row["alcohol"].(obj)["grams"] = nil },
		"deeper, more":   func() { row["alcohol"].(obj)["x"] = 1.0 },
		"nullable, text": func() { row["alcohol"].(obj)["or_drinks"] = "2.4" },
	} {
		saved, err := json.Marshal(row)
		require.NoError(t, err)
		change()
		require.Error(t, d.check(totals, row, "$"), name)
		row = obj{}
		require.NoError(t, json.Unmarshal(saved, &row))
	}
	require.Error(t, d.check(obj{"multipleOf": 2.0}, 4.0, "$"), "a keyword nobody reads")
}

func TestEveryRouteIsDescribed(t *testing.T) {
	h := newHouse(t)
	d := readDescription(t, h)
	require.Equal(t, "3.1.0", d.all["openapi"])
	described := map[string]string{}
	ids := map[string]bool{}
	for path, methods := range d.under("paths").(obj) {
		for method, of := range methods.(obj) {
			op := of.(obj)
			access := "open"
			if len(op["security"].([]any)) > 0 {
				access = "signed in"
			}
			described[strings.ToUpper(method)+" "+path] = access
			id := op["operationId"].(string)
			require.False(t, ids[id] || id == "", id)
			ids[id] = true
			require.NotEmpty(t, op["summary"])
			require.Equal(t, method == "post", has(op, "requestBody"))

			inPath := regexp.MustCompile(`\{([a-z]+)\}`).FindAllStringSubmatch(path, -1)
			var named int
			for _, p := range asList(op["parameters"]) {
				if p := p.(obj); p["in"] == "path" {
					named++
					require.True(t, p["required"].(bool))
					require.Contains(t, path, "{"+p["name"].(string)+"}")
				}
				require.NotEmpty(t, p.(obj)["description"])
			}
			require.Len(t, inPath, named, path)
			for status, r := range op["responses"].(obj) {
				require.NotEmpty(t, r.(obj)["description"])
				for _, line := range strings.Split(r.(obj)["description"].(string), "\n") {
					require.False(t, strings.HasSuffix(line, ": "), "%s %s: %s says nothing", path, status, line)
				}
			}
		}
	}
	routes := map[string]string{}
	for route, access := range accesses {
		routes[template(route)] = map[string]string{"anyone": "open", "visitor": "open", "device": "signed in", "journal": "signed in", "owner": "signed in"}[access]
	}
	require.Equal(t, routes, described)
}

func asList(v any) []any {
	l, _ := v.([]any)
	return l
}

// TestReferencesLead follows every reference, and finds every named shape used.
func TestReferencesLead(t *testing.T) {
	d := readDescription(t, newHouse(t))
	used := map[string]bool{}
	walk(d.all, func(key string, v any) {
		if key == "$ref" {
			used[strings.TrimPrefix(v.(string), "#/components/schemas/")] = true
		}
	})
	require.Equal(t, slices.Sorted(maps.Keys(d.under("components", "schemas").(obj))), slices.Sorted(maps.Keys(used)))
}

// walk calls fn for every key of every object, and with an empty key for every item of a list.
func walk(v any, fn func(key string, v any)) {
	switch v := v.(type) {
	case obj:
		for key, in := range v {
			fn(key, in)
			walk(in, fn)
		}
	case []any:
		for _, in := range v {
			fn("", in)
			walk(in, fn)
		}
	}
}

// TestEveryRefusalIsDescribed: what the server can answer stands in its description, by status and code.
func TestEveryRefusalIsDescribed(t *testing.T) {
	d := readDescription(t, newHouse(t))
	described := map[string]bool{}
	for _, methods := range d.under("paths").(obj) {
		for _, op := range methods.(obj) {
			for status, r := range op.(obj)["responses"].(obj) {
				for _, line := range strings.Split(r.(obj)["description"].(string), "\n") {
					code, _, _ := strings.Cut(line, ": ")
					described[status+" "+code] = true
				}
			}
		}
	}
	refusals := server.Refusals()
	require.Greater(t, len(refusals), 20)
	for _, r := range refusals {
		require.True(t, described[r], r)
	}
}

// TestRealAnswersAreAsDescribed asks every route for real, and holds each answer, refusals too, against its shape.
func TestRealAnswersAreAsDescribed(t *testing.T) {
	h := newHouse(t)
	d := readDescription(t, h)
	w := h.writer()
	w.evenings()
	other := h.admit()
	require.Equal(t, 200, w.post("/api/v1/auth/devices/"+other.ID+"/revoke", "{}").Status)
	w.now.MS++
	w.act(obj{"do": "edit", "id": newID(10), "kind": "pour", "set": obj{"note": "Once more."}})

	asked := map[string]bool{}
	check := func(route string, a answer) {
		t.Helper()
		d.checkAnswer(route, a)
		if a.Status == 200 {
			asked[route] = true
		}
	}
	query := map[string]string{
		"GET /api/v1/journals/:journal/week":     "?now=" + evening,
		"GET /api/v1/journals/:journal/sessions": "?now=" + evening + "&days=30",
		"GET /api/v1/journals/:journal/pours":    "?limit=6",
	}
	for route := range accesses {
		method, path, _ := strings.Cut(route, " ")
		if method != "GET" || path == "/api/v1/events" || path == "/setup" { // a stream does not end here; it is text; for the other see below
			continue
		}
		path = strings.NewReplacer(":journal", w.Journal, ":spec", sour).Replace(path) + query[route]
		a := w.get(path)
		require.Equal(t, 200, a.Status, "%s: %s", path, a.Body)
		check(route, a)
		if slices.Contains([]string{"device", "journal", "owner"}, accesses[route]) {
			check(route, h.do(httptest.NewRequest("GET", path, http.NoBody)))
			check(route, other.get(path))
		}
		if strings.Contains(route, ":journal") {
			a := w.get(strings.Replace(path, w.Journal, strings.Repeat("0", 32), 1))
			require.Equal(t, 404, a.Status)
			check(route, a)
			check(route, w.get(path+"?x=y&x=z"))
		}
	}
	check("GET /api/v1/journals/:journal/week", w.get(w.path("/week")))
	check("GET /api/v1/journals/:journal/specs/:spec/balance", w.get(w.path("/specs/"+noSpec+"/balance")))

	unknown := "POST /api/v1/journals/unknown"
	check(unknown, w.post("/api/v1/journals/unknown", obj{"journals": []string{w.Journal, strings.Repeat("e", 32)}}))
	check(unknown, w.post("/api/v1/journals/unknown", obj{"journals": []string{"x"}}))
	sync := "POST /api/v1/journals/:journal/sync"
	check(sync, w.post(w.syncPath(), w.request(w.queue...)))
	check(sync, w.post(w.syncPath(), "{"))
	check(sync, w.post(w.syncPath(), strings.Replace(w.request(note("BBBBBBBBBBB", 1, 1, "x")), `"x"`, "0.5", 1)))
	pair := "POST /api/v1/auth/pair"
	check(pair, (&device{h: h, cookies: map[string]string{}}).post("/api/v1/auth/pair", obj{"code": h.code().String(), "name": "laptop"}))
	check(pair, w.post("/api/v1/auth/pair", obj{"code": "0000-0000-0000", "name": "laptop"}))
	check(pair, w.post("/api/v1/auth/pair", obj{"code": "x", "name": "laptop"}))
	var asking struct{ ID, Code string }
	a := w.post("/api/v1/auth/codes", "{}")
	check("POST /api/v1/auth/codes", a)
	require.NoError(t, json.Unmarshal([]byte(a.Body), &asking))
	waiting := &device{h: h, cookies: map[string]string{}}
	a = waiting.post("/api/v1/auth/pair", obj{"code": asking.Code, "name": "tablet"})
	require.Equal(t, 202, a.Status, a.Body)
	check(pair, a)
	var told struct{ Number, Claim string }
	require.NoError(t, json.Unmarshal([]byte(a.Body), &told))
	check("GET /api/v1/auth/codes", w.get("/api/v1/auth/codes"))
	claim := "POST /api/v1/auth/pair/claim"
	check(claim, waiting.post("/api/v1/auth/pair/claim", obj{"claim": told.Claim}))
	check(claim, waiting.post("/api/v1/auth/pair/claim", obj{"claim": "x"}))
	check("POST /api/v1/auth/codes/confirm", w.post("/api/v1/auth/codes/confirm", obj{"id": "x", "number": "00"}))
	check("POST /api/v1/auth/codes/confirm", w.post("/api/v1/auth/codes/confirm", obj{"id": asking.ID, "number": told.Number}))
	check(claim, waiting.post("/api/v1/auth/pair/claim", obj{"claim": told.Claim}))
	check("POST /api/v1/auth/codes/cancel", w.post("/api/v1/auth/codes/cancel", obj{"id": "x"}))
	check("POST /api/v1/auth/codes", w.post("/api/v1/auth/codes", "{}"))
	require.NoError(t, json.Unmarshal([]byte(w.post("/api/v1/auth/codes", "{}").Body), &asking))
	check("POST /api/v1/auth/codes/cancel", w.post("/api/v1/auth/codes/cancel", obj{"id": asking.ID}))
	check("POST /api/v1/auth/devices/revoke-others", w.post("/api/v1/auth/devices/revoke-others", "{}"))

	check("POST /api/v1/auth/refresh", w.post("/api/v1/auth/refresh", "{}"))
	revoke := "POST /api/v1/auth/devices/:device/revoke"
	check(revoke, w.post("/api/v1/auth/devices/zzzzzzzz/revoke", "{}"))
	check(revoke, w.post("/api/v1/auth/devices/"+h.admit().ID+"/revoke", "{}"))
	name := "POST /api/v1/auth/devices/:device/name"
	check(name, w.post("/api/v1/auth/devices/"+w.ID+"/name", obj{"name": "Bar phone"}))
	check(name, w.post("/api/v1/auth/devices/"+w.ID+"/name", obj{"name": strings.Repeat("x", 61)}))
	check(name, w.post("/api/v1/auth/devices/zzzzzzzz/name", obj{"name": "x"}))
	password := "POST /api/v1/auth/password"
	check(password, w.post("/api/v1/auth/password", obj{"new": quiet}))
	check(password, w.post("/api/v1/auth/password", obj{"old": "another one", "new": quiet}))
	check(password, w.post("/api/v1/auth/password", obj{"old": quiet, "new": "short"}))
	invite, cancel := "POST /api/v1/accounts/invitations", "POST /api/v1/accounts/invitations/cancel"
	for range auth.MaxCodes {
		check(invite, w.post("/api/v1/accounts/invitations", "{}"))
	}
	check(invite, w.post("/api/v1/accounts/invitations", "{}"))
	check("GET /api/v1/accounts/invitations", w.get("/api/v1/accounts/invitations"))
	var living struct{ Invitations []struct{ ID string } }
	require.NoError(t, json.Unmarshal([]byte(w.get("/api/v1/accounts/invitations").Body), &living))
	check(cancel, w.post("/api/v1/accounts/invitations/cancel", obj{"id": living.Invitations[0].ID}))
	check(cancel, w.post("/api/v1/accounts/invitations/cancel", obj{"id": "x"}))
	join, code := "POST /api/v1/auth/join", w.invite().Code
	h.tick()
	check(join, h.do(post(t, "/api/v1/auth/join", obj{"code": code, "name": "Robin", "password": quiet})))
	check(pair, h.do(post(t, "/api/v1/auth/pair", obj{"code": code, "name": "x"})))
	kim := &device{h: h, cookies: map[string]string{}}
	check(join, kim.post("/api/v1/auth/join", obj{"code": code, "name": "Kim", "password": quiet}))
	check(join, kim.post("/api/v1/auth/join", obj{"code": "0000-0000-0000", "name": "Kim", "password": quiet}))
	for _, route := range []string{invite, cancel, "GET /api/v1/accounts", "GET /api/v1/accounts/invitations"} {
		check(route, kim.do(h.request(route, "", "")))
	}
	signIn := "POST /api/v1/auth/sign-in"
	h.tick()
	check(signIn, h.do(post(t, "/api/v1/auth/sign-in", obj{"name": "kim", "password": quiet})))
	for range auth.FreeFails + 1 {
		h.tick()
		check(signIn, h.do(post(t, "/api/v1/auth/sign-in", obj{"name": "kim", "password": "another one"})))
		check(signIn, h.do(post(t, "/api/v1/auth/sign-in", obj{"name": "kim", "password": "another one"})))
	}
	erase := "POST /api/v1/journals/:journal/erase"
	check(erase, w.post("/api/v1/journals/"+w.Journal+"/erase", obj{"typed": "x"}))
	check("POST /api/v1/auth/sign-out", w.post("/api/v1/auth/sign-out", "{}"))
	h.tick()
	again := h.come("sign-in", map[string]string{"name": "Robin", "password": quiet})
	h.tick()
	check(erase, again.post("/api/v1/journals/"+again.Journal+"/erase", obj{"typed": quiet}))
	for route := range accesses {
		if strings.Contains(route, ":journal") {
			check(route, again.do(h.request(route, again.Journal, ""))) // erased
		}
	}

	fresh := newHouse(t)
	check("GET /setup", fresh.setupPage("GET"))
	check("POST /api/v1/auth/setup", fresh.do(post(t, "/api/v1/auth/setup", obj{"key": "x", "name": "Robin", "password": quiet})))
	key, ok := fresh.door.OpenSetup(time.Hour)
	require.True(t, ok)
	check("POST /api/v1/auth/setup", fresh.do(post(t, "/api/v1/auth/setup", obj{"key": key, "name": "Robin", "password": "short"})))
	check("POST /api/v1/auth/setup", fresh.do(post(t, "/api/v1/auth/setup", obj{"key": key, "name": "Robin", "password": quiet})))
	check("GET /setup", fresh.setupPage("GET"))

	for route := range accesses {
		require.True(t, asked[route] || route == "GET /api/v1/events", route)
	}
}

// TestNothingForbiddenIsSaid looks for ideas that have no place here, in English and in German, as words of keys and of
// sentences.
func TestNothingForbiddenIsSaid(t *testing.T) {
	h := newHouse(t)
	d := readDescription(t, h)
	w := h.writer()
	w.evenings()
	n := 0
	check := func(text string) {
		n++
		require.Empty(t, testdata.NeverSaid(t, text), text)
	}
	walk(d.all, func(key string, v any) {
		check(key)
		if s, ok := v.(string); ok {
			check(s)
		}
	})
	require.Greater(t, n, 1000)
	for _, path := range []string{w.path("/week", "now", evening), w.path("/sessions", "now", evening), w.path("/pours"), w.path("/specs/" + sour + "/balance")} {
		var body any
		a := w.get(path)
		require.Equal(t, 200, a.Status)
		require.NoError(t, json.Unmarshal([]byte(a.Body), &body))
		walk(body, func(key string, _ any) { check(key) })
	}
	for _, r := range server.Refusals() {
		check(r)
	}
}
