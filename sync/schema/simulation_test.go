package schema_test

import (
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fairmeasure/journal"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/schema"
	"fairmeasure/sync/simnet"
)

var (
	actsRuns = flag.Int("acts.runs", defaultRuns(), "runs of each mode with the intents people have")
	actsSeed = flag.Int64("acts.seed", -1, "play this one seed in every mode and print what happens")
)

// TestSimulation lets people do what they do on several devices, over a network and on disks that fail. At the end every
// line that was added and not taken away is there on all devices, and no two acts made different things under one id, beside
// all that simnet holds every run to.
func TestSimulation(t *testing.T) {
	did := map[string]int{}
	for _, mode := range simnet.Modes {
		t.Run(mode.Name, func(t *testing.T) {
			if *actsSeed >= 0 {
				_, err := simulate(uint64(*actsSeed), mode, nil, func(format string, args ...any) { fmt.Fprintf(os.Stderr, format+"\n", args...) })
				require.NoError(t, err)
				return
			}
			began := time.Now()
			var sum simnet.Report
			for seed := range uint64(*actsRuns) {
				rep, err := simulate(seed, mode, did, nil)
				require.NoError(t, err, "play it with -acts.seed=%d", seed)
				sum.Add(rep)
			}
			t.Logf("%d runs in %.1f s: %+v", *actsRuns, time.Since(began).Seconds(), sum)
		})
	}
	if *actsSeed < 0 && *actsRuns >= actsEnough {
		t.Run("every kind of act", func(t *testing.T) {
			t.Log(did)
			for _, word := range schema.ActWords {
				require.Positive(t, did[word], "nobody did %q", word)
			}
		})
	}
}

// defaultRuns are few in WebAssembly, which is slow, and where the same Go runs as here.
func defaultRuns() int {
	if runtime.GOARCH == "wasm" {
		return 3
	}
	return 25
}

// actsEnough are the runs of each mode by which everything that people do has been done.
const actsEnough = 25

func simulate(seed uint64, mode simnet.Mode, did map[string]int, trace func(string, ...any)) (simnet.Report, error) {
	if did == nil {
		did = map[string]int{}
	}
	return simnet.Run(seed, mode, simnet.Cast{
		Group: schema.Group,
		Actor: func(r *rand.Rand) simnet.Actor {
			return &people{r: r, did: did, forms: map[string]*form{}, last: map[string]deed{}}
		},
		First: 7,
		Steps: 60,
	}, simnet.Rules{}, trace)
}

// people act on all devices.
type people struct {
	r     *rand.Rand
	did   map[string]int
	acts  int
	words int
	now   schema.Now
	view  replica.View
	forms map[string]*form // open on a device
	last  map[string]deed  // the last intent of a device
}

// deed is one intent with what the person meant by it.
type deed struct {
	in      obj
	added   []addedLine
	taken   []replica.ID // lines that were retyped or deleted
	ended   []replica.ID // specs that were deleted
	created map[replica.ID]replica.Edit
	raw     string
}

type addedLine struct {
	spec  replica.ID
	typed string
}

// mint makes an id as a page does.
func (p *people) mint() replica.ID {
	const crockford = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
	var b [26]byte
	ms := p.now.MS
	for i := 9; i >= 0; i-- {
		b[i] = crockford[ms&31]
		ms >>= 5
	}
	for i := 10; i < 26; i++ {
		b[i] = crockford[p.r.IntN(32)]
	}
	return replica.ID(b[:])
}

// word is a text that nobody else writes.
func (p *people) word() string {
	p.words++
	return fmt.Sprintf("thing%d", p.words)
}

func (p *people) typed() string {
	if p.r.IntN(4) == 0 {
		return "20 ml honey syrup" // so that equal ones meet
	}
	return fmt.Sprintf("%d ml %s", 5+p.r.IntN(40), p.word())
}

// some gives one thing of a kind that is there, or is in the trash; nil when there is none.
func (p *people) some(kind string, hidden bool) *replica.Entity {
	var all []*replica.Entity
	p.view.Each(kind, func(e *replica.Entity) bool {
		if (replica.Deleted(e) == replica.Hidden) == hidden {
			all = append(all, e)
		}
		return true
	})
	if len(all) == 0 {
		return nil
	}
	return all[p.r.IntN(len(all))]
}

func (p *people) someID(kind string) replica.ID {
	if e := p.some(kind, false); e != nil {
		return e.ID
	}
	return ""
}

func (p *people) firstOf(kind string) (id replica.ID) {
	p.view.Each(kind, func(e *replica.Entity) bool { id = e.ID; return false })
	return id
}

func text(e *replica.Entity, field string) string {
	w, _ := e.Shown(field)
	s, _ := w.Value.AsText()
	return s
}

func pick[T any](r *rand.Rand, all ...T) T { return all[r.IntN(len(all))] }

func (p *people) Act(at simnet.Scene) (simnet.Deed, error) {
	p.now, p.view = schema.Now{MS: at.Now, OffsetMin: 120, Zone: "Europe/Paris"}, at.View
	d, ok := p.last[at.Device]
	if ok && p.r.IntN(8) == 0 { // pressed again: nobody was sure that it was saved
		d.created = nil
	} else {
		p.acts++
		if d = p.wanted(at.Device); d.in == nil {
			return simnet.Deed{}, nil
		}
		raw, err := json.Marshal(d.in)
		if err != nil {
			return simnet.Deed{}, err
		}
		d.raw = string(raw)
	}
	plan, err := schema.Act(at.View, p.now, []byte(d.raw))
	var r *journal.Refusal
	if errors.As(err, &r) {
		return simnet.Deed{}, nil
	}
	if err != nil {
		return simnet.Deed{}, err
	}
	p.last[at.Device] = d
	if len(plan.Edits) > 0 {
		p.did[d.in["do"].(string)]++
	}
	d.created = map[replica.ID]replica.Edit{}
	for _, ed := range plan.Edits {
		if _, there := at.View.Get(ed.ID); !there {
			d.created[ed.ID] = ed
		}
	}
	return simnet.Deed{Edits: plan.Edits, Note: d}, nil
}

// wanted is what somebody wants to do next on a device.
func (p *people) wanted(device string) deed {
	id := p.mint()
	switch p.acts {
	case 1, 2:
		return p.newSpec(id)
	case 3:
		return deed{in: obj{"do": "spec", "id": id, "name": "base", "method": "shaken", "lines": []obj{{"typed": "45 ml gin, 40 %"}, {"typed": "20 ml lemon juice"}}}}
	case 4:
		return deed{in: obj{"do": "bottle", "id": id, "name": "gin", "abv_bp": 4000, "size_ul": 700_000, "price_minor": 2500, "currency": "EUR"}}
	case 5:
		return p.compared(id)
	case 6:
		return p.flown(id, "half")
	case 7:
		return deed{in: obj{"do": "pour", "id": id, "spec": p.someID("spec"), "score_x10": 70}}
	}
	if p.forms[device] != nil && p.r.IntN(3) == 0 {
		return p.saved(device)
	}
	if p.r.IntN(10) == 0 { // the same note on every device
		return deed{in: obj{"do": "edit", "id": p.firstOf("pour"), "kind": "pour", "set": obj{"note": p.word()}}}
	}
	if p.r.IntN(3) == 0 {
		if d := p.settled(); d.in != nil {
			return d
		}
	}
	if n := p.r.IntN(100); n < 38 {
		return p.specs(id, device, n)
	}
	return p.others(id, p.r.IntN(29))
}

func (p *people) newSpec(id replica.ID) deed {
	var lines []obj
	d := deed{}
	for range 2 + p.r.IntN(3) {
		l := obj{"typed": p.typed()}
		if p.r.IntN(2) == 0 {
			l["id"] = p.mint()
		}
		d.added = append(d.added, addedLine{id, l["typed"].(string)})
		lines = append(lines, l)
	}
	d.in = obj{"do": "spec", "id": id, "drink_name": pick(p.r, "Sour", "Punch"), "method": "shaken", "lines": lines}
	return d
}

// specs are acts on specs and their lines; the most of what people do here, for they are what is written together.
func (p *people) specs(id replica.ID, device string, n int) deed {
	spec := p.some("spec", false)
	if spec == nil {
		return p.newSpec(id)
	}
	lines := schema.Read(p.view, p.now).Lines(spec.ID)
	switch {
	case n < 18 || len(lines) == 0:
		p.forms[device] = p.opened(spec.ID)
		if p.r.IntN(2) == 0 {
			return p.saved(device)
		}
		return deed{}
	case n < 22:
		return p.newSpec(id)
	case n < 25:
		var copied []obj
		for _, l := range lines {
			copied = append(copied, obj{"keep": l.ID, "typed": l.Typed, "id": p.mint()})
		}
		typed := p.typed()
		d := deed{in: obj{"do": "spec", "id": id, "parent": spec.ID, "lines": append(copied, obj{"typed": typed, "id": p.mint()})}}
		d.added = []addedLine{{id, typed}}
		return d
	case n < 29:
		l := lines[p.r.IntN(len(lines))]
		return deed{in: obj{"do": "line", "id": id, "spec": spec.ID, "line": l.ID, "typed": p.typed(), "slip": p.r.IntN(2) == 0}, taken: []replica.ID{l.ID}}
	case n < 31:
		l := lines[p.r.IntN(len(lines))]
		return deed{in: obj{"do": "delete", "id": l.ID}, taken: []replica.ID{l.ID}}
	case n < 33:
		var all []replica.ID
		for _, l := range lines {
			all = append(all, l.ID)
		}
		return deed{in: obj{"do": "delete", "id": spec.ID}, taken: all, ended: []replica.ID{spec.ID}}
	case n < 35:
		return deed{in: obj{"do": "benchmark", "spec": spec.ID}}
	case n < 37:
		return deed{in: obj{"do": "edit", "id": spec.ID, "kind": "spec", "set": obj{"garnish": p.word()}}}
	}
	return deed{in: obj{"do": "edit", "id": lines[0].ID, "kind": "line", "set": obj{"pos": pick(p.r, "V", "V0", "k", "1")}}}
}

// opened is the form of a spec as it is shown now.
func (p *people) opened(spec replica.ID) *form {
	f := &form{spec: spec}
	for _, l := range schema.Read(p.view, p.now).Lines(spec) {
		f.lines = append(f.lines, obj{"keep": l.ID, "typed": l.Typed, "was": l.Typed, "id": p.mint()})
	}
	return f
}

// saved changes the form that is open on a device and saves it: lines are added, retyped, moved and taken out, the name is
// another.
func (p *people) saved(device string) deed {
	f := p.forms[device]
	delete(p.forms, device)
	d := deed{}
	for range 1 + p.r.IntN(3) {
		kept := slices.DeleteFunc(slices.Clone(f.lines), func(l obj) bool { return l["gone"] == true })
		switch n := p.r.IntN(8); {
		case n < 4 || len(kept) < 2:
			typed := p.typed()
			f.add(p.r.IntN(len(kept)+1), p.mint(), typed)
			d.added = append(d.added, addedLine{f.spec, typed})
		case n < 5:
			if l := kept[p.r.IntN(len(kept))]; l["keep"] != nil {
				l["typed"] = p.typed()
				d.taken = append(d.taken, l["keep"].(replica.ID))
			}
		case n < 7:
			f.up(1 + p.r.IntN(len(kept)-1))
		default:
			if at := p.r.IntN(len(kept)); kept[at]["keep"] != nil {
				d.taken = append(d.taken, kept[at]["keep"].(replica.ID))
				kept[at]["typed"] = kept[at]["was"]
				f.remove(at)
			}
		}
	}
	d.in = obj{"do": "spec", "id": f.spec, "lines": f.lines, "slip": true}
	if p.r.IntN(3) == 0 {
		d.in["name"] = p.word()
	}
	return d
}

func (p *people) compared(id replica.ID) deed {
	var base replica.ID
	p.view.Each("spec", func(e *replica.Entity) bool {
		if text(e, "name") == "base" && replica.Deleted(e) != replica.Hidden {
			base = e.ID
		}
		return true
	})
	lines := schema.Read(p.view, p.now).Lines(base)
	if len(lines) == 0 {
		return deed{}
	}
	return deed{in: obj{
		"do": "compare", "id": id, "base": base, "lines": []replica.ID{lines[0].ID},
		"candidates": []obj{{"line": lines[0].ID, "name": p.word() + ", 40 %"}, {"line": lines[0].ID, "ingredient": "stock.overproof_rum"}}, "touches": []string{"5 ml " + p.word() + ", 20 %"},
	}}
}

// flown plans a flight of two glasses: the benchmark, and one with something else in it.
func (p *people) flown(id replica.ID, sight string) deed {
	c := p.some("comparison", false)
	if c == nil {
		return deed{}
	}
	rows := p.pairings(c.ID)
	if len(rows) < 2 {
		return deed{}
	}
	return deed{in: obj{"do": "flight", "id": id, "comparison": c.ID, "pour_ul": 10_000, "seed": fmt.Sprint(p.r.IntN(1000)), "sight": sight, "seats": []obj{
		{"picks": rows[0], "why": "benchmark"}, {"picks": rows[1+p.r.IntN(len(rows)-1)], "why": "own"},
	}}}
}

// pairings gives picks of a comparison: the benchmark's, then those that differ in one swap.
func (p *people) pairings(comparison replica.ID) []string {
	raw, err := schema.Ask(p.view, p.now, fmt.Appendf(nil, `{"q":"comparison","id":%q}`, comparison))
	if err != nil {
		return nil
	}
	var c struct {
		Findings []struct {
			Picks string `json:"picks"`
		} `json:"findings"`
	}
	if json.Unmarshal(raw, &c) != nil {
		return nil
	}
	var all []string
	for _, f := range c.Findings {
		all = append(all, f.Picks)
	}
	return all
}

// others are acts on everything else.
func (p *people) others(id replica.ID, n int) deed {
	do := func(in obj) deed { return deed{in: in} }
	spec, pour, bottle := p.someID("spec"), p.someID("pour"), p.someID("bottle")
	j := schema.Read(p.view, p.now)
	switch n {
	case 0:
		return do(obj{"do": "pour", "id": id, "spec": spec, "note": p.word()})
	case 1, 2:
		lines := j.Lines(spec)
		if len(lines) == 0 {
			return deed{}
		}
		return do(obj{"do": "pour", "id": id, "spec": spec, "swap": obj{"line": lines[p.r.IntN(len(lines))].ID, "ingredient": pick[any](p.r, "stock.gin", "stock.verjus")}})
	case 3:
		return do(obj{"do": "several", "id": id, "n": 1 + p.r.IntN(3), "spec": spec, "first_at_ms": p.now.MS - 60*minute, "last_at_ms": p.now.MS})
	case 4:
		return do(obj{"do": "again", "id": id, "pour": pour})
	case 5:
		return do(obj{"do": "plain", "id": id, "name": p.word(), "vol_ul": 330_000, "abv_bp": 500, "keep": true})
	case 6:
		return do(obj{"do": "water", "id": id, "vol_ul": 250_000})
	case 7, 8:
		first := p.firstOf("pour") // so that two devices change the same one
		return do(obj{"do": "edit", "id": first, "kind": "pour", "set": obj{"score_x10": 5 * p.r.IntN(20), "note": p.word()}})
	case 9:
		return do(obj{"do": "bottle", "id": id, "name": p.word(), "abv_bp": 3000 + p.r.IntN(1000), "size_ul": 500_000})
	case 10:
		return do(obj{"do": "edit", "id": id, "kind": "level", "set": obj{"bottle": bottle, "at_ms": p.now.MS, "left_ul": 100_000}})
	case 11, 12:
		return do(obj{"do": "making", "id": id, "sort": "syrup", "name": p.word(), "made_ul": 500_000, "sugar_mgl": 600_000, "draws": []obj{}})
	case 13:
		return do(obj{"do": "set", "name": "dash_ul", "value": 600 + p.r.IntN(300)})
	case 14:
		return do(obj{"do": "day", "day": pick(p.r, "2026-09-20", "2026-09-21"), "alcohol_free": p.r.IntN(3) > 0})
	case 15:
		return p.settled()
	case 16:
		kind := pick(p.r, "pour", "bottle", "making", "flight", "plain")
		return do(obj{"do": "delete", "id": p.someID(kind)})
	case 17:
		for _, kind := range []string{"pour", "bottle", "making", "plain", "flight", "spec", "line"} {
			if e := p.some(kind, true); e != nil {
				return do(obj{"do": pick(p.r, "restore", "restore", "erase"), "id": e.ID})
			}
		}
	case 18:
		if p.r.IntN(3) == 0 {
			return p.compared(id)
		}
		return do(obj{"do": "anchor", "id": id, "comparison": p.someID("comparison"), "anchor_x10": 70, "drunk": true})
	case 19:
		if e := p.some("swap", false); e != nil {
			in := obj{"do": "candidate", "id": id, "swap": e.ID, "name": p.word() + ", 35 %"}
			if w, _ := e.Shown("addition"); w.Value == replica.Bool(true) {
				in = obj{"do": "candidate", "id": id, "swap": e.ID, "text": "5 ml " + p.word()}
			}
			return do(in)
		}
	case 20:
		return p.flown(id, pick(p.r, "half", "blind"))
	case 21, 22:
		return do(obj{"do": "taste", "id": id, "seat": p.someID("seat"), "score_x10": 5 * p.r.IntN(20)})
	case 23:
		return do(obj{"do": "flight_state", "id": p.someID("flight"), "state": pick(p.r, "start", "end", "end", "resume")})
	case 24, 27, 28:
		return p.uncovered()
	case 25:
		return do(obj{"do": "rate", "id": id, "seat": p.someID("seat"), "taster": pick(p.r, "Kim", "Robin"), "score_x10": 60})
	case 26:
		if c := p.some("comparison", false); c != nil {
			if rows := p.pairings(c.ID); len(rows) > 1 {
				return do(obj{"do": "trial", "id": id, "comparison": c.ID, "sort": "paired", "a": rows[0], "b": rows[1], "outcome": "a"})
			}
		}
	}
	return deed{}
}

// uncovered tells which code stood where, of a half-blind flight: not always the same.
func (p *people) uncovered() deed {
	f := p.some("flight", false)
	if f == nil {
		return deed{}
	}
	var codes []int64
	p.view.Each("seat", func(e *replica.Entity) bool {
		if code, _ := e.Shown("code"); text(e, "flight") == string(f.ID) {
			n, _ := code.Value.AsInt()
			codes = append(codes, n)
		}
		return true
	})
	if w, _ := f.Shown("ended_at_ms"); w.Value.IsNull() {
		return deed{in: obj{"do": "flight_state", "id": f.ID, "state": "end"}}
	}
	p.r.Shuffle(len(codes), func(i, k int) { codes[i], codes[k] = codes[k], codes[i] })
	return deed{in: obj{"do": "uncover", "id": f.ID, "codes": codes}}
}

// settled chooses one value of a clash, or keeps both.
func (p *people) settled() deed {
	var all []obj
	for _, kind := range []string{"pour", "spec", "line", "flight", "set", "drink"} {
		p.view.Each(kind, func(e *replica.Entity) bool {
			for _, f := range e.Names() {
				group := schema.Group(kind, f)
				if f == replica.Gone || !replica.ClashGroup(e, group) {
					continue
				}
				versions := replica.Versions(e, group)
				all = append(all, obj{"do": "choose", "id": e.ID, "field": f, "stamp": versions[p.r.IntN(len(versions))].Stamp.String()})
				if f == "note" {
					all = append(all, obj{"do": "keep_both", "id": e.ID, "field": f}, obj{"do": "keep_both", "id": e.ID, "field": f})
				}
			}
			return true
		})
	}
	if len(all) == 0 {
		return deed{}
	}
	return deed{in: all[p.r.IntN(len(all))]}
}

// Check holds the end against what people did.
func (p *people) Check(done []simnet.Done, seen []replica.View) error {
	if err := oneMeaning(done); err != nil {
		return err
	}
	for _, v := range seen {
		if err := p.linesThere(done, v); err != nil {
			return err
		}
	}
	return nil
}

// oneMeaning: an id stands for what one act made. What is fixed by its content is made by many, and is the same.
func oneMeaning(done []simnet.Done) error {
	first := map[replica.ID]deed{}
	for _, a := range done {
		d := a.Note.(deed)
		for id, ed := range d.created {
			o, made := first[id]
			switch was := o.created[id]; {
			case !made:
				first[id] = d
			case o.raw == d.raw || strings.HasPrefix(string(id), "set.") || strings.HasPrefix(string(id), "day."):
			case slices.Contains([]any{"uncover", "choose"}, d.in["do"]) && was.Kind == ed.Kind && maps.Equal(was.Set, ed.Set):
			default:
				return fmt.Errorf("AnIdMeansOneThing: %s %s was made by %s and by %s", ed.Kind, id, o.raw, d.raw)
			}
		}
	}
	return nil
}

// linesThere: every line that was added, and that nobody retyped or took away, is among the lines of its spec.
func (p *people) linesThere(done []simnet.Done, v replica.View) error {
	ended, taken := map[replica.ID]bool{}, map[replica.ID]bool{}
	for _, a := range done {
		d := a.Note.(deed)
		for _, id := range d.ended {
			ended[id] = true
		}
		for _, id := range d.taken {
			taken[id] = true
		}
	}
	want := map[addedLine]int{}
	counted := map[string]bool{}
	for _, a := range done {
		d := a.Note.(deed)
		if a.Lost || counted[d.raw] {
			continue
		}
		counted[d.raw] = true
		for _, l := range d.added {
			want[l]++
		}
	}
	for _, a := range done { // those that somebody retyped or took away are not looked for
		for id, ed := range a.Note.(deed).created {
			typed, _ := ed.Set["typed"].AsText()
			owner, _ := ed.Set["owner"].AsText()
			if taken[id] {
				want[addedLine{replica.ID(owner), typed}]--
			}
		}
	}
	j := schema.Read(v, p.now)
	have := map[addedLine]int{}
	for l := range want {
		if _, counted := have[l]; counted {
			continue
		}
		have[l] = 0
		for _, o := range j.Lines(l.spec) {
			if o.Typed == l.typed {
				have[l]++
			}
		}
	}
	for l, n := range want {
		if n > have[l] && !ended[l.spec] {
			return fmt.Errorf("EveryLineThere: %q was added %d times to %s and is there %d times", l.typed, n, l.spec, have[l])
		}
	}
	return nil
}
