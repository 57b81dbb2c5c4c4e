package replica

import (
	"iter"
	"maps"
	"slices"
	"strconv"
)

// State is a whole journal: the live writes, the stamps it has seen, and the marks of writes that were replaced before
// they arrived. It is the plain statement of the merge, against which stores and devices are tested, and what a full
// comparison joins. The zero State is empty and ready.
type State struct {
	ents  map[ID]*Entity
	seen  map[Run]uint64             // 1..n of the run
	loose map[Stamp]bool             // seen beyond that; empty wherever the server's rule holds
	early map[Stamp]map[place]string // → the entity's kind
}

type place struct {
	id    ID
	field string
}

// Outcome is what became of an action.
type Outcome uint8

// The outcomes of Apply.
const (
	Taken    Outcome = iota
	Repeated         // its stamp was seen before; nothing changed
	Ahead            // stamps of its run before it are missing; nothing changed
)

// NewState makes an empty state.
func NewState() *State { return &State{} }

func (s *State) init() {
	if s.ents == nil {
		s.ents, s.seen, s.loose, s.early = map[ID]*Entity{}, map[Run]uint64{}, map[Stamp]bool{}, map[Stamp]map[place]string{}
	}
}

// Seen gives how far a run was seen without a hole.
func (s *State) Seen(r Run) uint64 { return s.seen[r] }

// HasSeen tells whether the action with this stamp was applied, here or in a state that was joined.
func (s *State) HasSeen(d Stamp) bool { return d.N > 0 && d.N <= s.seen[d.Run] || s.loose[d] }

// RaiseSeen says that the run was seen up to n, as one who tells of a journal says it.
func (s *State) RaiseSeen(r Run, n uint64) {
	s.init()
	if n > s.seen[r] {
		s.seen[r] = n
	}
	for d := range s.loose {
		if d.Run == r && d.N <= s.seen[r] {
			delete(s.loose, d)
		}
	}
	s.settle(r)
	for d := range s.early {
		if s.HasSeen(d) {
			delete(s.early, d)
		}
	}
}

// settle moves stamps that follow on without a hole from loose into seen.
func (s *State) settle(r Run) {
	for s.loose[Stamp{r, s.seen[r] + 1}] {
		s.seen[r]++
		delete(s.loose, Stamp{r, s.seen[r]})
	}
}

// Apply takes an action in by the server's rule: the next of its run, and no other. The state keeps nothing of a.
func (s *State) Apply(a *Action) Outcome {
	s.init()
	switch n := s.seen[a.Stamp.Run]; {
	case a.Stamp.N <= n:
		return Repeated
	case a.Stamp.N > n+1:
		return Ahead
	}
	return s.ApplyAny(a)
}

// ApplyAny takes an action in at any place of its run. The result is the same in any order and with any repetition:
//
//	phone    a: score = 80                  b over a: score = 85
//	laptop   b, then a: b finds nothing to replace and leaves a mark; a meets the mark and is dropped
//	server   a, then b: b takes a away
//	all      score = 85, no mark
func (s *State) ApplyAny(a *Action) Outcome {
	s.init()
	if s.HasSeen(a.Stamp) {
		return Repeated
	}
	for i := range a.Edits {
		ed := &a.Edits[i]
		e := s.entity(ed.ID, ed.Kind)
		for f, stamps := range ed.Over {
			for _, d := range stamps {
				if !e.Drop(f, d) && !s.HasSeen(d) {
					s.mark(d, place{ed.ID, f}, e.Kind)
				}
			}
		}
	}
	for i := range a.Edits {
		ed := &a.Edits[i]
		for f, v := range ed.Set {
			if _, early := s.early[a.Stamp][place{ed.ID, f}]; !early {
				s.ents[ed.ID].Put(f, Write{a.Stamp, a.At, v})
			}
		}
	}
	delete(s.early, a.Stamp)
	if a.Stamp.N == s.seen[a.Stamp.Run]+1 {
		s.seen[a.Stamp.Run]++
		s.settle(a.Stamp.Run)
	} else {
		s.loose[a.Stamp] = true
	}
	return Taken
}

func (s *State) entity(id ID, kind string) *Entity {
	e := s.ents[id]
	if e == nil {
		e = &Entity{ID: id, Kind: kind, Fields: map[string][]Write{}}
		s.ents[id] = e
	}
	return e
}

func (s *State) mark(d Stamp, p place, kind string) {
	if s.early[d] == nil {
		s.early[d] = map[place]string{}
	}
	s.early[d][p] = kind
}

// Adopt puts a whole entity in place of what was there, as a device does with what a server sends. Without a write left
// the entity is forgotten. The state keeps e.
func (s *State) Adopt(e *Entity) {
	s.init()
	if e.Empty() {
		delete(s.ents, e.ID)
		return
	}
	s.ents[e.ID] = e
}

// Get gives an entity that has at least one live write. The caller must not change it.
func (s *State) Get(id ID) (*Entity, bool) {
	e := s.ents[id]
	if e == nil || e.Empty() {
		return nil, false
	}
	return e, true
}

// Entities gives the entities that have at least one live write, in id order. The caller must not change them.
func (s *State) Entities() iter.Seq[*Entity] {
	return func(yield func(*Entity) bool) {
		for _, id := range slices.Sorted(maps.Keys(s.ents)) {
			if e := s.ents[id]; !e.Empty() && !yield(e) {
				return
			}
		}
	}
}

// Runs gives how far each run was seen.
func (s *State) Runs() iter.Seq2[Run, uint64] { return maps.All(s.seen) }

// Survives is the one rule by which two states join: a write that both have lives; a write that one has lives unless the
// other has seen it, and so knows it replaced, or marked it early.
func survives(w Stamp, place place, other *State) bool {
	if other.HasSeen(w) {
		return false
	}
	_, early := other.early[w][place]
	return !early
}

// Join merges two whole states. It changes neither.
//
//	phone    saw a, b     has b           (b replaced a)
//	laptop   saw a        has a
//	server   saw c        has c
//	joined   saw a, b, c  has b and c     (a is dead: the phone saw it and no longer has it)
func Join(a, b *State) *State {
	j := NewState()
	j.init()
	for _, s := range []*State{a, b} {
		for r, n := range s.seen {
			j.seen[r] = max(j.seen[r], n)
		}
	}
	for _, s := range []*State{a, b} {
		for d := range s.loose {
			if d.N > j.seen[d.Run] {
				j.loose[d] = true
			}
		}
	}
	for r := range j.seen {
		j.settle(r)
	}
	for d := range j.loose { // of runs that only loose stamps are known of
		j.settle(d.Run)
	}
	half := func(from, other *State) {
		for id, e := range from.ents {
			into := j.entity(id, e.Kind)
			into.Kind = min(into.Kind, e.Kind) // one kind an id; if ever two, the same one on every side
			for f, writes := range e.Fields {
				for _, w := range writes {
					have := false
					if o := other.ents[id]; o != nil {
						_, have = o.Find(f, w.Stamp)
					}
					if have || survives(w.Stamp, place{id, f}, other) {
						into.Put(f, w)
					}
				}
			}
		}
		for d, places := range from.early {
			if !j.HasSeen(d) {
				for p, kind := range places {
					j.mark(d, p, kind)
				}
			}
		}
	}
	half(a, b)
	half(b, a)
	return j
}

// Check looks for a state that no history can have made, and says what is wrong with it.
func (s *State) Check() error {
	for id, e := range s.ents {
		if e.ID != id {
			return errorf("replica: %s is kept under %s", e.ID, id)
		}
		for f, writes := range e.Fields {
			if len(writes) == 0 {
				return errorf("replica: %s %s: an empty list is kept", id, f)
			}
			for i, w := range writes {
				if i > 0 && CompareStamps(writes[i-1].Stamp, w.Stamp) >= 0 {
					return errorf("replica: %s %s: %s is out of order", id, f, w.Stamp)
				}
				if w.Stamp.N == 0 || !s.HasSeen(w.Stamp) {
					return errorf("replica: %s %s: %s is live and was never seen", id, f, w.Stamp)
				}
			}
		}
	}
	for d := range s.loose {
		if d.N <= s.seen[d.Run]+1 {
			return errorf("replica: %s is kept apart though it follows on", d)
		}
	}
	for d, places := range s.early {
		if s.HasSeen(d) || len(places) == 0 {
			return errorf("replica: %s is marked early and was seen", d)
		}
	}
	return nil
}

// AppendCanon appends the state in a form that is the same for equal states and no others: entities with their live
// writes, then what was seen, then the early marks. It is for comparing and hashing, not for storing.
func (s *State) AppendCanon(dst []byte) []byte {
	for e := range s.Entities() {
		dst = e.AppendCanon(dst)
	}
	for _, r := range slices.Sorted(maps.Keys(s.seen)) {
		if s.seen[r] > 0 {
			dst = append(append(dst, "seen "...), Stamp{r, s.seen[r]}.String()...)
			dst = append(dst, '\n')
		}
	}
	for _, d := range sortedStamps(maps.Keys(s.loose)) {
		dst = append(append(append(dst, "loose "...), d.String()...), '\n')
	}
	for _, d := range sortedStamps(maps.Keys(s.early)) {
		var lines []string
		for p := range s.early[d] {
			lines = append(lines, "early "+d.String()+" "+string(p.id)+" "+p.field+"\n")
		}
		slices.Sort(lines)
		for _, l := range lines {
			dst = append(dst, l...)
		}
	}
	return dst
}

// AppendCanon appends the entity in a form that is the same for equal entities and no others.
func (e *Entity) AppendCanon(dst []byte) []byte {
	dst = append(append(append(append(dst, e.ID...), ' '), e.Kind...), '\n')
	for _, f := range e.Names() {
		for _, w := range e.Fields[f] {
			dst = append(append(append(dst, '\t'), f...), ' ')
			dst = append(dst, w.Stamp.String()...)
			dst = strconv.AppendInt(append(dst, ' '), w.At, 10)
			dst = w.Value.appendCanon(append(dst, ' '))
			dst = append(dst, '\n')
		}
	}
	return dst
}

func (v Value) appendCanon(dst []byte) []byte {
	switch v.sort {
	case sortText:
		return strconv.AppendQuote(dst, v.text)
	case sortInt:
		return strconv.AppendInt(dst, v.num, 10)
	case sortBool:
		return strconv.AppendBool(dst, v.num != 0)
	}
	return append(dst, "null"...)
}

func sortedStamps(all iter.Seq[Stamp]) []Stamp {
	stamps := slices.Collect(all)
	SortStamps(stamps)
	return stamps
}
