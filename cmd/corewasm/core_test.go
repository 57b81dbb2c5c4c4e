package main

import (
	"crypto/rand"
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/device"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/wire"
)

const (
	journalID = "0123456789abcdef0123456789abcdef"
	nowMS     = int64(1_778_875_440_000) // 22:04 on 15 May 2026 at +2 h
)

type reply struct {
	OK      map[string]any
	Refusal *struct{ Code, Field, Text string }
	Fault   string
}

func parse(t *testing.T, text string) reply {
	t.Helper()
	require.True(t, json.Valid([]byte(text)), text)
	var r reply
	require.NoError(t, json.Unmarshal([]byte(text), &r))
	return r
}

func newCore() *core {
	return &core{random: func(b []byte) { rand.Read(b) }}
}

// disk is what the carrier keeps, by store and key.
type disk map[string]map[string]any

// write carries a change out as the carrier does.
func (d disk) write(t *testing.T, change any) int64 {
	t.Helper()
	c := change.(map[string]any)
	for _, p := range c["put"].([]any) {
		store, key, value := p.([]any)[0].(string), p.([]any)[1], p.([]any)[2]
		k, err := json.Marshal(key)
		require.NoError(t, err)
		if d[store] == nil {
			d[store] = map[string]any{}
		}
		d[store][string(k)] = value
	}
	for _, p := range c["del"].([]any) {
		k, err := json.Marshal(p.([]any)[1])
		require.NoError(t, err)
		delete(d[p.([]any)[0].(string)], string(k))
	}
	if d["meta"] == nil {
		d["meta"] = map[string]any{}
	}
	d["meta"][`"rev"`] = c["rev"].(float64) + 1
	return int64(c["no"].(float64))
}

// start makes a core and loads the disk into it.
func (d disk) start(t *testing.T) *core {
	t.Helper()
	c := newCore()
	require.Empty(t, parse(t, c.start(`{"journal":"`+journalID+`","app":"1.0.0"}`)).Fault)
	for _, store := range device.Stores {
		rows := []any{}
		for k, v := range d[store] {
			rows = append(rows, []any{json.RawMessage(k), v})
		}
		raw, err := json.Marshal(rows)
		require.NoError(t, err)
		require.Empty(t, parse(t, c.load(store, string(raw))).Fault)
	}
	require.Empty(t, parse(t, c.load("", "[]")).Fault)
	return c
}

// save carries an intent out and writes it.
func (d disk) save(t *testing.T, c *core, intent string) {
	t.Helper()
	acted := parse(t, c.act(nowMS, 120, intent)).OK
	require.NotNil(t, acted["change"])
	require.Empty(t, parse(t, c.settle(d.write(t, acted["change"]), "done")).Fault)
}

const specIntent = `{"do":"spec","id":"01KRPZ00000000000000000001","drink_name":"Orchard Sour","method":"shaken","lines":[{"typed":"45 ml gin, 44 %"},{"typed":"¾ oz lemon juice"}]}`

func TestFromSaveToReload(t *testing.T) {
	d := disk{}
	c := d.start(t)
	require.Equal(t, "local", parse(t, c.settleStateOf(nowMS)).OK["state"])

	acted := parse(t, c.act(nowMS, 120, specIntent)).OK
	require.Equal(t, "01KRPZ00000000000000000001", acted["done"].(map[string]any)["made"])
	require.Equal(t, true, acted["change"].(map[string]any)["strict"])
	require.Contains(t, parse(t, c.act(nowMS, 120, specIntent)).Fault, "not settled", "one change at a time")
	require.Equal(t, reply{Refusal: &struct{ Code, Field, Text string }{"not_found", "id", `there is no spec "01KRPZ00000000000000000001" on this device`}},
		parse(t, c.read(nowMS, 120, `{"q":"spec","id":"01KRPZ00000000000000000001"}`)), "not before it is on disk")
	no := d.write(t, acted["change"])
	settled := parse(t, c.settle(no, "done")).OK
	require.Equal(t, 1.0, settled["state"].(map[string]any)["unsent"])
	spec := parse(t, c.read(nowMS, 120, `{"q":"spec","id":"01KRPZ00000000000000000001"}`)).OK
	require.Equal(t, "Orchard Sour", spec["drink_name"])

	again := parse(t, c.act(nowMS, 120, specIntent)).OK
	require.Nil(t, again["change"], "repeated, it is done already")
	require.Equal(t, acted["done"].(map[string]any)["made"], again["done"].(map[string]any)["made"])

	reloaded := d.start(t)
	require.Equal(t, spec, parse(t, reloaded.read(nowMS, 120, `{"q":"spec","id":"01KRPZ00000000000000000001"}`)).OK)

	asked := parse(t, reloaded.request(nowMS, 32<<10)).OK
	body := asked["body"].(string)
	require.Contains(t, body, journalID)
	require.Contains(t, body, "Orchard Sour")
	ticket := int64(asked["ticket"].(float64))
	answered := parse(t, reloaded.answer(nowMS, ticket, 0, "")).OK
	require.Nil(t, answered["change"])
	next := answered["next"].(map[string]any)
	require.Equal(t, "wait", next["go"])
	require.Greater(t, next["ms"], 1000.0)
	require.Equal(t, []any{}, answered["touched"])
}

// settleStateOf gives how the core stands, as settle would say it.
func (c *core) settleStateOf(now int64) string {
	return `{"ok":` + string(c.appendState(nil, now)) + `}`
}

func TestStopsAndGoesOn(t *testing.T) {
	c := disk{}.start(t)
	ticket := int64(parse(t, c.request(nowMS, 0)).OK["ticket"].(float64))
	revoked := `{"type":"about:blank","title":"revoked","status":403,"code":"revoked","journal":"` + journalID + `"}`
	answered := parse(t, c.answer(nowMS, ticket, 403, revoked)).OK
	require.Equal(t, map[string]any{"go": "stop", "code": "revoked"}, answered["next"])
	require.Equal(t, "stopped", answered["state"].(map[string]any)["state"])
	require.Equal(t, "revoked", answered["state"].(map[string]any)["code"])
	require.NotNil(t, parse(t, c.request(nowMS, 0)).OK, "whoever asks again wants it tried again")
	stale := parse(t, c.answer(nowMS, ticket, 403, revoked)).OK
	require.Equal(t, "idle", stale["next"].(map[string]any)["go"], "an old ticket is ignored")
}

func TestExported(t *testing.T) {
	d := disk{}
	c := d.start(t)
	d.save(t, c, specIntent)
	var file strings.Builder
	cursor := int64(0)
	for {
		got := parse(t, c.exported(nowMS, cursor)).OK
		file.WriteString(got["piece"].(string))
		if got["next"] == nil {
			break
		}
		cursor = int64(got["next"].(float64))
	}
	x, err := wire.DecodeExport(file.String())
	require.NoError(t, err)
	require.Equal(t, journalID, x.Journal)
	require.Equal(t, "1.0.0", x.App)
	require.Len(t, x.Queue, 1)
	require.Contains(t, x.Queue[0], "Orchard Sour")
	require.Contains(t, parse(t, c.exported(nowMS, cursor)).Fault, "in order", "it is over")

	parse(t, c.exported(nowMS, 0))
	require.Contains(t, parse(t, c.exported(nowMS, 7)).Fault, "in order")
	d.save(t, c, `{"do":"water","id":"01KRPZ00000000000000000002","vol_ul":250000}`)
	require.Contains(t, parse(t, c.exported(nowMS, 1)).Fault, "changed")
	require.NotEmpty(t, parse(t, c.exported(nowMS, 0)).OK, "and begun again")
}

// fileOf is everything of a core as one file.
func fileOf(t *testing.T, c *core) string {
	t.Helper()
	var file strings.Builder
	for cursor := any(0.0); cursor != nil; {
		got := parse(t, c.exported(nowMS, int64(cursor.(float64)))).OK
		file.WriteString(got["piece"].(string))
		cursor = got["next"]
	}
	return file.String()
}

func TestBrought(t *testing.T) {
	from := disk{}
	f := from.start(t)
	from.save(t, f, specIntent)
	from.save(t, f, `{"do":"water","id":"01KRPZ00000000000000000002","vol_ul":250000}`)
	from.save(t, f, `{"do":"set","name":"own_day_drinks_x10","value":20}`)
	file := fileOf(t, f)

	d := disk{}
	c := d.start(t)
	first := parse(t, c.brought(nowMS, 120, 0, file)).OK
	require.Equal(t, true, first["change"].(map[string]any)["strict"])
	require.Equal(t, 1.0, first["next"])
	require.Equal(t, 3.0, first["entries"], "once it is written")
	require.Contains(t, first["touched"], "01KRPZ00000000000000000001")
	require.Contains(t, parse(t, c.brought(nowMS, 120, 1, "")).Fault, "not settled")

	c = d.start(t)
	require.Contains(t, parse(t, c.brought(nowMS, 120, 1, "")).Fault, "in order", "after a fresh start it is begun again")
	first = parse(t, c.brought(nowMS, 120, 0, file)).OK
	require.Empty(t, parse(t, c.settle(d.write(t, first["change"]), "done")).Fault)
	last := parse(t, c.brought(nowMS, 120, 1, "")).OK
	require.Nil(t, last["change"])
	require.Nil(t, last["next"])
	require.Equal(t, last["total"], last["done"])
	require.Equal(t, 3.0, last["entries"], "a drink, its spec and a glass of water")
	require.Equal(t, 0.0, last["left"])
	spec := parse(t, d.start(t).read(nowMS, 120, `{"q":"spec","id":"01KRPZ00000000000000000001"}`)).OK
	require.Equal(t, "Orchard Sour", spec["drink_name"])
	require.Contains(t, parse(t, c.brought(nowMS, 120, 2, "")).Fault, "in order", "it is over")

	again := parse(t, c.brought(nowMS, 120, 0, file)).OK
	require.Nil(t, again["change"])
	require.Nil(t, again["next"])
	require.Equal(t, 0.0, again["entries"])

	for _, text := range []string{"", "{}", file[:len(file)/2], `{"format":"another/1"}`} {
		r := parse(t, c.brought(nowMS, 120, 0, text)).Refusal
		require.NotNil(t, r, text)
		require.Equal(t, "not_an_export", r.Code)
	}
	r := parse(t, c.brought(nowMS, 120, 0, strings.Repeat(" ", wire.MaxExport+1))).Refusal
	require.NotNil(t, r)
	require.Equal(t, "file_too_large", r.Code)
	require.Contains(t, parse(t, newCore().brought(nowMS, 120, 0, file)).Fault, "not started")
}

func TestMerged(t *testing.T) {
	from := disk{}
	f := from.start(t)
	from.save(t, f, specIntent)
	from.save(t, f, `{"do":"set","name":"own_day_drinks_x10","value":20}`)
	file := fileOf(t, f)

	d := disk{}
	c := d.start(t)
	first := parse(t, c.merged(file)).OK
	require.Equal(t, true, first["change"].(map[string]any)["strict"])
	require.Equal(t, 2.0, first["entries"], "a drink and its spec")
	require.Equal(t, 0.0, first["left"])
	require.Empty(t, parse(t, c.settle(d.write(t, first["change"]), "done")).Fault)
	spec := parse(t, d.start(t).read(nowMS, 120, `{"q":"spec","id":"01KRPZ00000000000000000001"}`)).OK
	require.Equal(t, "Orchard Sour", spec["drink_name"])
	again := parse(t, d.start(t).merged(file)).OK
	require.Nil(t, again["change"])
	require.Equal(t, 0.0, again["entries"])

	for _, text := range []string{"", "{}", file[:len(file)/2], `{"format":"another/1"}`} {
		r := parse(t, c.merged(text)).Refusal
		require.NotNil(t, r, text)
		require.Equal(t, "not_an_export", r.Code)
	}
	require.Contains(t, parse(t, newCore().merged(file)).Fault, "not started")
}

// TestStateSaysWhy: what is no answer with a mark is told apart, and the server's code is there to be put into words.
func TestStateSaysWhy(t *testing.T) {
	d := disk{}
	c := d.start(t)
	for _, it := range []struct {
		status            int
		body, heard, code string
	}{
		{0, "", "nothing", ""},
		{200, `{"ok":true}`, "nothing", ""},
		{503, `{"status":503,"code":"busy","journal":"` + journalID + `"}`, "refusal", "busy"},
		{500, `{"status":500,"code":"internal","journal":"` + journalID + `"}`, "refusal", "internal"},
	} {
		asked := parse(t, c.request(nowMS, 0)).OK
		a := parse(t, c.answer(nowMS, int64(asked["ticket"].(float64)), it.status, it.body)).OK
		require.Equal(t, it.heard, a["heard"], it.body)
		state := a["state"].(map[string]any)
		require.Equal(t, "local", state["state"])
		require.Equal(t, 0.0, state["unreadable"])
		if it.code == "" {
			require.Nil(t, state["code"])
		} else {
			require.Equal(t, it.code, state["code"])
		}
	}
}

func TestErasedOnTheServer(t *testing.T) {
	c := disk{}.start(t)
	ticket := int64(parse(t, c.request(nowMS, 0)).OK["ticket"].(float64))
	erased := `{"type":"about:blank","title":"erased","status":410,"code":"erased","journal":"` + journalID + `"}`
	answered := parse(t, c.answer(nowMS, ticket, 410, erased)).OK
	require.Equal(t, map[string]any{"go": "stop", "code": "erased"}, answered["next"])
	require.Equal(t, "erased", answered["state"].(map[string]any)["code"])
	require.Nil(t, answered["change"], "what is here stays here")
}

func TestRefusalsAndFaults(t *testing.T) {
	c := newCore()
	for name, call := range map[string]func() string{
		"load":    func() string { return c.load("meta", "[]") },
		"act":     func() string { return c.act(nowMS, 0, "{}") },
		"settle":  func() string { return c.settle(1, "done") },
		"request": func() string { return c.request(nowMS, 0) },
		"answer":  func() string { return c.answer(nowMS, 1, 200, "") },
		"read":    func() string { return c.read(nowMS, 0, "{}") },
		"export":  func() string { return c.exported(nowMS, 0) },
		"start":   func() string { return c.start(`{"journal":""}`) },
		"start2":  func() string { return c.start(`[]`) },
	} {
		require.NotEmpty(t, parse(t, call()).Fault, name)
	}
	d := disk{}
	c = d.start(t)
	for code, call := range map[string]func() string{
		"malformed":        func() string { return c.act(nowMS, 0, `{"do":`) },
		"unknown_intent":   func() string { return c.act(nowMS, 0, `{"do":"dance"}`) },
		"unknown_question": func() string { return c.read(nowMS, 0, `{"q":"\u2028\"why"}`) },
		"in_the_future": func() string {
			return c.act(0, 0, `{"do":"water","id":"01KRPZ00000000000000000001","vol_ul":1,"at_ms":99999999999}`)
		},
	} {
		r := parse(t, call()).Refusal
		require.NotNil(t, r, code)
		require.Equal(t, code, r.Code)
		require.NotEmpty(t, r.Text)
	}
	require.NotEmpty(t, parse(t, c.load("copy", "[]")).Fault, "loading is over")
	require.NotEmpty(t, parse(t, d.start(t).settle(7, "done")).Fault, "no such change")

	acted := parse(t, c.act(nowMS, 120, specIntent)).OK
	require.Empty(t, parse(t, c.settle(int64(acted["change"].(map[string]any)["no"].(float64)), "raced")).Fault, "told as it was")
	require.NotEmpty(t, parse(t, c.act(nowMS, 120, specIntent)).Fault, "and now everything is to be loaded anew")
}

func TestAPanicCostsOneCall(t *testing.T) {
	for _, p := range []any{"broken", fmt.Errorf("a fault"), 7} {
		c := disk{}.start(t)
		r := parse(t, c.guard(func() ([]byte, error) { panic(p) }))
		require.True(t, strings.HasPrefix(r.Fault, "core: "), r.Fault)
		require.Contains(t, parse(t, c.read(nowMS, 0, `{"q":"week"}`)).Fault, "not started")
	}
}

func TestRunIDs(t *testing.T) {
	c := newCore()
	seen := map[replica.Run]bool{}
	for range 1000 {
		r := c.run()
		require.True(t, replica.ValidRun(r), r)
		require.False(t, seen[r])
		seen[r] = true
	}
	c.random = func(b []byte) {
		for i := range b {
			b[i] = 0xff
		}
	}
	require.Equal(t, replica.Run("__________8"), c.run(), "64 bits: the last character has four of them")
}

// FuzzRows: rows are read as the library reads them, or not at all.
func FuzzRows(f *testing.F) {
	for _, s := range []string{
		`[]`, `[["cursor","\"1.ab\""],["rev",5]]`, `[[["pour","01K"],"{\"id\":\"x\"}"]]`, `[[1024,"a\\\"b"]]`, `[[1,2]`, `[[1]]`, `[["a","\u00bd]"]]`, `[["a",[1,{"b":"]"}]]]`, `[[,]]`, `[["a","b"]]x`, `[["a"`, `[["\`,
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if !utf8.ValidString(text) || strings.Contains(strings.ToLower(text), `\ud`) {
			t.Skip("no browser hands in half a character")
		}
		rows, err := readRows(text)
		var theirs [][]json.RawMessage
		if json.Unmarshal([]byte(text), &theirs) != nil {
			return // it may be read or not; the device looks at each row again
		}
		compact := !strings.ContainsAny(text, " \t\r\n")
		if err != nil {
			for _, r := range theirs {
				if len(r) != 2 {
					return
				}
			}
			require.False(t, compact && theirs != nil, "%q: %v", text, err)
			return
		}
		require.Len(t, rows, len(theirs))
		for i, r := range theirs {
			require.Len(t, r, 2)
			require.Equal(t, string(r[0]), rows[i].Key)
			var s string
			if r[1][0] == '"' {
				require.NoError(t, json.Unmarshal(r[1], &s))
			} else {
				s = string(r[1])
			}
			require.Equal(t, s, rows[i].Value)
		}
	})
}
