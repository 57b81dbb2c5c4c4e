package simnet_test

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// ruleEnv names the rule that a binary built from patched sources breaks.
const ruleEnv = "SIMNET_BROKEN"

// patch puts another text in the place of one that stands once in a source file.
type patch struct{ file, old, new string }

// patches break the rules of devices and of the server, each when its name is asked for. What is shipped holds none of
// this: a copy of the sources is patched and tested. Where a text no longer stands in its file, the test fails.
var patches = []patch{
	// run id kept across restarts, going on where the rows say
	{"device/load.go", `
		d.wanted = true
	}
	return nil
}

// linkQueue`, `
		d.wanted = true
	}
	if broken("run id kept across restarts") {
		d.run = d.o.Run()
		d.n = d.seen[d.run].N
		for _, it := range d.queue {
			if it.act.Stamp.Run == d.run {
				d.n = max(d.n, it.act.Stamp.N)
			}
		}
	}
	return nil
}

// linkQueue`},

	// an answer written whatever another tab wrote meanwhile; own actions applied to the copy in place of what the server sent
	{"device/answer.go", `
	taken := f.sent[:a.Took]
`, `
	taken := f.sent[:a.Took]
	if broken("stored marks not compared") {
		c.Rev = -1
	}
	if broken("copy changed by own actions") {
		a = d.acted(taken, a)
	}
`},
	{"device/change.go", `
	c.Rev = d.rev
`, `
	if c.Rev == 0 {
		c.Rev = d.rev
	}
`},

	// the stamps of own actions that were taken not raised
	{"device/answer.go", `
	for _, it := range taken {
		device := a.You
`, `
	for _, it := range taken {
		if broken("own stamps not raised") {
			break
		}
		device := a.You
`},

	// seen adopted before the last page
	{"device/answer.go", `
	if a.More {
		for r, s := range a.Seen {
`, `
	if a.More && !broken("seen adopted before the last page") {
		for r, s := range a.Seen {
`},
	{"device/answer.go", `
		if a.More {
			for r, s := range seenNext {
`, `
		if a.More && !broken("seen adopted before the last page") {
			for r, s := range seenNext {
`},

	// a comparison that overwrites the copy before the last piece of the fix is in
	{"device/compare.go", `
		c.join(d)
	}
`, `
		c.join(d)
		if broken("copy overwritten before the last piece") && c.due(d) {
			return c.finish(d, now), Next{What: Again}
		}
	}
`},
	{"device/compare.go", `
		d.cmp, d.damaged, d.more, d.answered, d.full = nil, nil, false, now, ""
`, `
		if !broken("copy overwritten before the last piece") || !c.due(d) {
			d.cmp, d.damaged, d.more, d.answered, d.full = nil, nil, false, now, ""
		}
`},

	// the first piece of a fix raising seen; a fix that only raises seen not sent
	{"device/compare.go", `
	if d.flight.last {
`, `
	if d.flight.last || broken("seen raised by the first piece") {
`},
	{"device/compare.go", `
	return len(c.patches) > 0 || c.untold && len(c.raise) > 0
`, `
	return len(c.patches) > 0 || c.untold && len(c.raise) > 0 && !broken("a fix with only seen not sent")
`},

	// ack not looked at; a page without the entities that the request names
	{"exchange/exchange.go", `
	for _, m := range []store.Mark{cursor, ack} {
`, `
	for _, m := range []store.Mark{cursor, ack} {
		if broken("ack not checked") && m == ack && m != cursor {
			continue
		}
`},
	{"exchange/exchange.go", `
	if err := addNamed(a, r, w.named); err != nil {
`, `
	if broken("answer without the named entities") {
	} else if err := addNamed(a, r, w.named); err != nil {
`},

	// a piece of a fix taken although the journal has moved on
	{"exchange/fix.go", `
	if !cursor.Same(w.head) || cursor.ID != "" {
`, `
	if (!cursor.Same(w.head) || cursor.ID != "") && !broken("fix taken although the server moved on") {
`},
}

const brokenRule = `
import "os"

var brokenRule = os.Getenv("` + ruleEnv + `")

func broken(rule string) bool { return rule == brokenRule }
`

// added are files that the patched sources have besides.
var added = map[string]string{
	"exchange/broken.go": "package exchange\n" + brokenRule,
	"device/broken.go": "package device\n" + strings.Replace(brokenRule, `import "os"`, `import (
	"os"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/wire"
)`, 1) + `
// acted gives an answer with the device's own actions applied to the copy, in place of what the server sent.
func (d *Device) acted(taken []*item, a *wire.Answer) *wire.Answer {
	own := map[replica.ID]*replica.Entity{}
	for _, it := range taken {
		for _, ed := range it.act.Edits {
			e := own[ed.ID]
			if e == nil {
				if was := d.copy[ed.ID]; was != nil {
					e = was.Clone()
				} else {
					e = &replica.Entity{ID: ed.ID, Kind: ed.Kind, Fields: map[string][]replica.Write{}}
				}
				own[ed.ID] = e
			}
			for f, stamps := range ed.Over {
				for _, s := range stamps {
					e.Drop(f, s)
				}
			}
			for f, v := range ed.Set {
				e.Put(f, replica.Write{Stamp: it.act.Stamp, At: it.act.At, Value: v})
			}
		}
	}
	all := *a
	all.Ents, all.Raw = nil, nil
	for i, e := range a.Ents {
		raw := a.Raw[i]
		if own[e.ID] != nil {
			e, raw = own[e.ID], ""
		}
		all.Ents, all.Raw = append(all.Ents, e), append(all.Raw, raw)
	}
	return &all
}
`,
}

// buildBroken builds these tests from patched sources.
func buildBroken(t *testing.T) (binary string) {
	t.Helper()
	dir := t.TempDir()
	sources, err := filepath.Abs("..")
	require.NoError(t, err)
	patched := map[string]string{}
	for file, text := range added {
		patched[file] = text
	}
	for _, p := range patches {
		text, known := patched[p.file]
		if !known {
			raw, err := os.ReadFile(filepath.Join(sources, p.file))
			require.NoError(t, err)
			text = string(raw)
		}
		require.Equal(t, 1, strings.Count(text, p.old), "in %s this no longer stands once, so it breaks nothing:%s", p.file, p.old)
		patched[p.file] = strings.Replace(text, p.old, p.new, 1)
	}
	overlay := struct{ Replace map[string]string }{map[string]string{}}
	for file, text := range patched {
		at := filepath.Join(dir, strings.ReplaceAll(file, "/", "_"))
		require.NoError(t, os.WriteFile(at, []byte(text), 0o600))
		overlay.Replace[filepath.Join(sources, file)] = at
	}
	raw, err := json.Marshal(overlay)
	require.NoError(t, err)
	list := filepath.Join(dir, "overlay.json")
	require.NoError(t, os.WriteFile(list, raw, 0o600))
	binary = filepath.Join(dir, "broken.test")
	out, err := exec.Command("go", "test", "-c", "-overlay", list, "-o", binary, ".").CombinedOutput()
	require.NoError(t, err, "%s", out)
	return binary
}
