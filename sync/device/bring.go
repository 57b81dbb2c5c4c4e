package device

import (
	"maps"
	"slices"
	"strconv"
	"strings"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/schema"
	"fairmeasure/sync/wire"
)

// How much goes together: chosen so that a refused action sets little aside, that a spec mostly travels with its lines,
// and that a step is over before anyone waits for it.
const (
	togetherEdits  = 50      // edits of an action that brings several things
	togetherBytes  = 32_000  // and its bytes
	togetherSpread = 400_000 // and those of all things it touches
	stepEntities   = 400     // things a step looks at
	stepActions    = 200     // actions a step makes; the last thing is brought whole
	stepBytes      = 512_000
	mostRivals     = 100 // values of one field side by side; beyond that a thing is left out
)

// Bringing makes what an exported file holds again, as new actions of a fresh run of this journal. It goes by what the
// file's device would show, not by who has seen what: a value that is live here already is not made again, so bringing
// twice changes nothing; any other is made without replacing anything, so that what is here stays, and both are shown
// until a person chooses.
//
//	file     a pour with the note "sharp"       and a spec in the trash
//	here     the same pour, its note "round"    and no such spec
//	after    the note is "sharp" or "round"?    and the spec is in the trash
//
// Settings are not brought, except that the lower own limit stays: if the file's is lower it is set here, as if a person
// did it. What was erased stays erased. What is deleted in the file and not here is not deleted here. The bias: a
// question too many rather than a value too few.
type Bringing struct {
	d       *Device
	file    *Device
	order   []replica.ID
	pos     int // of order, so many are done
	begun   bool
	over    bool
	run     replica.Run
	n       uint64
	entries int
	left    int
}

// Bring begins to bring a file, of another journal or of this one at another time.
func (d *Device) Bring(x *wire.Export) (*Bringing, error) {
	if err := d.usable(); err != nil {
		return nil, err
	}
	b := &Bringing{d: d, run: d.o.Run(), left: len(x.Unread)}
	f := New(Options{Journal: x.Journal})
	f.seen = x.Seen
	for _, e := range x.Ents {
		f.copy[e.ID] = e
	}
	for i, a := range x.Acts {
		if replica.CheckAction(a) != nil {
			b.left++
			continue
		}
		f.queue = append(f.queue, &item{key: int64(i), act: a})
	}
	f.linkQueue()
	b.file = f
	b.order = f.inOrder()
	return b, nil
}

// inOrder gives the ids of everything but settings, each thing followed by those that are a part of it.
func (d *Device) inOrder() []replica.ID {
	var whole, all []replica.ID
	parts := map[replica.ID][]replica.ID{}
	note := func(id replica.ID) {
		e, ok := d.Get(id)
		if !ok || e.Kind == "set" {
			return
		}
		of := d.anchor(e)
		if parts[of] == nil {
			whole = append(whole, of)
		}
		parts[of] = append(parts[of], id)
	}
	for id := range d.copy {
		note(id)
	}
	for id := range d.byID {
		if d.copy[id] == nil {
			note(id)
		}
	}
	slices.Sort(whole)
	for _, of := range whole {
		slices.Sort(parts[of])
		all = append(all, parts[of]...)
	}
	return all
}

// mostWithin is how deep parts of things lie within each other: a rating is of a seat, of a flight, of a comparison.
const mostWithin = 4

// anchor is the thing that e travels with: what it is a part of, and that of, or itself.
func (d *Device) anchor(e *replica.Entity) replica.ID {
	id := e.ID
	for range mostWithin {
		field := schema.PartOf(e.Kind)
		if field == "" {
			break
		}
		w, ok := e.Shown(field)
		owner, text := w.Value.AsText()
		if !ok || !text || owner == "" {
			break
		}
		id = replica.ID(owner)
		if e, ok = d.Get(id); !ok {
			break
		}
	}
	return id
}

// Over tells whether everything was brought and is on disk.
func (b *Bringing) Over() bool { return b.over }

// Progress tells of how many things of the file is decided already, once the change given last is written.
func (b *Bringing) Progress() (done, total int) { return b.pos, len(b.order) }

// Brought counts, once the change given last is written: entries, the things of which something was made here, without those
// that are only a part of another (a spec counts, its lines do not; a comparison counts, its flights do not); and left, what
// could not be brought and is only in the file: of another kind than here, too large, not readable.
func (b *Bringing) Brought() (entries, left int) { return b.entries, b.left }

// Step gives the next change, nil when nothing is to be written for the next few things. Other changes may be made
// between steps. When one fails or is raced, begin again with a loaded device.
func (b *Bringing) Step(now int64, offsetMin int) (*Change, error) {
	d := b.d
	if err := d.usable(); err != nil {
		return nil, err
	}
	s := &step{b: b, at: min(max(now+d.offset, 0), replica.MaxTime), n: b.n}
	if !b.begun {
		s.limits(schema.Now{MS: now, OffsetMin: offsetMin})
	}
	pos, first := b.pos, b.pos
	for pos < len(b.order) && pos-first < stepEntities && len(s.items) < stepActions && s.bytes < stepBytes {
		next := pos + 1
		for next < len(b.order) && next-pos < togetherEdits && b.together(pos, next) {
			next++
		}
		s.add(b.order[pos:next])
		pos = next
	}
	s.close()
	// If the change is not written the device is not used again, and b neither.
	b.begun, b.pos, b.n = true, pos, s.n
	b.entries += s.entries
	b.left += s.left
	if len(s.items) == 0 {
		b.over = pos == len(b.order)
		return nil, nil
	}
	c := &Change{Strict: true}
	queue, moved := d.insert(c, len(d.queue), s.items...)
	for _, it := range s.items {
		for i := range it.act.Edits {
			c.IDs = append(c.IDs, it.act.Edits[i].ID)
		}
	}
	return d.hand(c, func() {
		rekey(moved)
		d.queue = queue
		for _, it := range s.items {
			d.link(it)
			for i := range it.act.Edits {
				d.append(it.act.Edits[i].ID, it)
			}
		}
		b.over = pos == len(b.order)
	}), nil
}

func (b *Bringing) together(i, j int) bool {
	one, _ := b.file.Get(b.order[i])
	two, _ := b.file.Get(b.order[j])
	return b.file.anchor(one) == b.file.anchor(two)
}

// step is one step on its way: the actions it makes.
type step struct {
	b       *Bringing
	at      int64
	n       uint64
	items   []*item
	bytes   int
	open    *replica.Action // takes more things in
	size    int             // its bytes
	spread  int
	entries int
	left    int
}

// planned is what is to be done for one thing.
type planned struct {
	layers []replica.Edit // each in an action of its own; the last holds what is shown
	gone   bool           // it is to be in the trash
	bytes  []int          // of an action that holds nothing but this layer
	spread int            // bytes of the thing, once all layers are on it
}

// add brings things that belong together: in one action when they fit.
func (s *step) add(ids []replica.ID) {
	var plans []*planned
	bytes, spread := 0, 0
	for _, id := range ids {
		e, _ := s.b.file.Get(id)
		p, ok := s.b.plan(e, s.at)
		if !ok {
			s.left++
		}
		if !ok || len(p.layers) == 0 {
			continue
		}
		if schema.PartOf(e.Kind) == "" {
			s.entries++
		}
		plans = append(plans, p)
		bytes += p.bytes[len(p.bytes)-1]
		spread += p.spread
	}
	if !s.room(len(plans), bytes, spread) {
		s.close()
	}
	for _, p := range plans {
		s.put(p)
	}
}

func (s *step) put(p *planned) {
	last := len(p.layers) - 1
	if last > 0 || !s.room(1, p.bytes[last], p.spread) {
		s.close()
	}
	var stamps []replica.Stamp
	for i, layer := range p.layers {
		if s.open == nil {
			s.n++
			s.open = &replica.Action{Stamp: replica.Stamp{Run: s.b.run, N: s.n}, At: s.at}
		}
		stamps = append(stamps, s.open.Stamp)
		if i == last && p.gone {
			layer.Set[replica.Gone] = replica.Text(replica.FormatList(slices.Clone(stamps)))
		}
		s.open.Edits = append(s.open.Edits, layer)
		s.size += p.bytes[i]
		s.spread += p.spread
		if i < last {
			s.close()
		}
	}
}

// room tells whether so much more goes into the open action.
func (s *step) room(edits, bytes, spread int) bool {
	return s.open == nil || len(s.open.Edits)+edits <= togetherEdits && s.size+bytes <= togetherBytes && s.spread+spread <= togetherSpread
}

// close ends the open action.
func (s *step) close() {
	if s.open == nil {
		return
	}
	it := &item{act: s.open, body: string(wire.AppendAction(nil, s.open))}
	if own, err := wire.DecodeAction(it.body); err == nil {
		it.act = own // shares no memory with the file, which may be large
	}
	s.items = append(s.items, it)
	s.bytes += len(it.body)
	s.open, s.size, s.spread = nil, 0, 0
}

// plan says what is to be made here of a thing of the file; false when it cannot be, and then nothing of it is.
func (b *Bringing) plan(e *replica.Entity, at int64) (*planned, bool) {
	word, _, fixed := strings.Cut(string(e.ID), ".")
	if fixed && word != e.Kind || len(wire.AppendEntity(nil, e)) > replica.MaxEntity {
		return nil, false
	}
	here, ok := b.d.Get(e.ID)
	if !ok {
		here = &replica.Entity{ID: e.ID, Kind: e.Kind}
	}
	if here.Kind != e.Kind {
		return nil, false
	}
	p := &planned{layers: missing(e, here)}
	if len(p.layers) == 0 {
		return p, true
	}
	if len(p.layers) > mostRivals {
		return nil, false
	}
	p.gone = replica.Deleted(e) == replica.Hidden && (!ok || replica.Deleted(here) == replica.Hidden)
	after := here.Clone()
	var stamps []replica.Stamp
	for i, layer := range p.layers {
		// The stamp is as long as any that the action can get: sizes are bounds, not guesses.
		a := &replica.Action{Stamp: replica.Stamp{Run: b.run, N: replica.MaxInt - uint64(i)}, At: at, Edits: []replica.Edit{layer}}
		stamps = append(stamps, a.Stamp)
		if i == len(p.layers)-1 && p.gone {
			layer.Set[replica.Gone] = replica.Text(replica.FormatList(slices.Clone(stamps)))
		}
		size := len(wire.AppendAction(nil, a))
		if replica.CheckAction(a) != nil || size > replica.MaxAction {
			return nil, false
		}
		p.bytes = append(p.bytes, size)
		apply(after, &layer, a, nil)
	}
	p.spread = len(wire.AppendEntity(nil, after))
	return p, p.spread <= mostEntity && len(after.Fields) <= replica.MaxFields
}

// missing gives the versions of e's groups that here does not have, as edits without over: the last one holds what e
// shows, those before it its rivals.
func missing(e, here *replica.Entity) []replica.Edit {
	var lack [][]replica.Edit // of each group, the shown version first
	most := 0
	done := map[string]bool{replica.Gone: true}
	for _, field := range e.Names() {
		if done[field] {
			continue
		}
		group := schema.Group(e.Kind, field)
		for _, f := range group {
			done[f] = true
		}
		have := replica.Versions(here, group)
		var versions []replica.Edit
		for _, v := range replica.Versions(e, group) {
			same := func(o replica.Version) bool { return o.Same(v, group) }
			if slices.ContainsFunc(have, same) {
				continue
			}
			have = append(have, v)
			ed := replica.Edit{Set: map[string]replica.Value{}}
			for _, f := range group {
				if value, live := v.Value(f); live {
					ed.Set[f] = value
				}
			}
			versions = append(versions, ed)
		}
		lack = append(lack, versions)
		most = max(most, len(versions))
	}
	layers := make([]replica.Edit, most)
	for i := range layers {
		layers[i] = replica.Edit{ID: e.ID, Kind: e.Kind, Set: map[string]replica.Value{}}
		for _, versions := range lack {
			if k := most - 1 - i; k < len(versions) {
				maps.Copy(layers[i].Set, versions[k].Set)
			}
		}
	}
	return layers
}

// limits sets the own limits of the file that are lower than those here, or where there are none here.
func (s *step) limits(now schema.Now) {
	here, there := schema.Read(s.b.d, now).Settings(), schema.Read(s.b.file, now).Settings()
	if l, own := there.OwnDayX10, here.OwnDayX10; l.Known && (!own.Known || l.Value < own.Value) {
		s.limit(now, "own_day_drinks_x10", l.Value)
	}
	if l, own := there.OwnWeekX10, here.OwnWeekX10; l.Known && (!own.Known || l.Value < own.Value) {
		s.limit(now, "own_week_drinks_x10", l.Value)
	}
}

func (s *step) limit(now schema.Now, name string, value int64) {
	intent := `{"do":"set","name":"` + name + `","value":` + strconv.FormatInt(value, 10) + `}`
	plan, err := schema.Act(s.b.d, now, []byte(intent))
	if err != nil {
		s.left++
		return
	}
	a := &replica.Action{Stamp: replica.Stamp{Run: s.b.run, N: s.n + 1}, At: s.at, Edits: folded(plan.Edits)}
	it, r := s.b.d.checked(a)
	if r != nil {
		s.left++
		return
	}
	s.n++
	s.items = append(s.items, it)
}
