package schema

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"fairmeasure/journal/compare"
	"fairmeasure/journal/unit"
	"fairmeasure/sync/replica"
)

// Pick is what stands in one swapped line of a pairing. A line of the base that names no known ingredient is its own: the
// pick then bears the id of the line. What is added bears the id of its candidate, for it is an amount too, and nothing
// added that of the swap.
type Pick struct {
	Swap       replica.ID
	Ingredient replica.ID
}

// PicksText is the text of picks, as a seat keeps it: "<swap> <what stands there>" for each swap in order, separated by
// line feeds.
func PicksText(all []Pick) string {
	var b strings.Builder
	for i, p := range all {
		if i > 0 {
			b.WriteByte('\n')
		}
		b.WriteString(string(p.Swap) + " " + string(p.Ingredient))
	}
	return b.String()
}

// ParsePicks reads what PicksText wrote, and nothing else.
func ParsePicks(text string) ([]Pick, bool) {
	rows := strings.Split(text, "\n")
	if len(rows) > compare.MostSlots {
		return nil, false
	}
	var all []Pick
	for _, r := range rows {
		swap, ingredient, ok := strings.Cut(r, " ")
		p := Pick{replica.ID(swap), replica.ID(ingredient)}
		if !ok || !replica.ValidID(p.Swap) || !replica.ValidID(p.Ingredient) || slices.ContainsFunc(all, func(o Pick) bool { return o.Swap == p.Swap }) {
			return nil, false
		}
		all = append(all, p)
	}
	return all, true
}

// compared is one comparison as it was put together, read from a journal.
type compared struct {
	id       replica.ID
	name     string
	drink    replica.ID
	base     Version
	slots    []slot
	segments []segment
	flights  []flight // by when they were planned
	trials   []trial
}

// slot is a swapped line of the base, with what may stand in it; the base's own comes first. Or it is an addition: what may
// be put to the drink beside its lines, nothing first.
type slot struct {
	swap       replica.ID
	at         int // of the base's lines; -1 of an addition
	candidates []candidate
}

func (s slot) addition() bool { return s.at < 0 }

// picked gives the candidate that a pick names.
func (s slot) picked(p Pick) int {
	return slices.IndexFunc(s.candidates, func(k candidate) bool {
		switch {
		case !s.addition():
			return k.ingredient == p.Ingredient
		case len(k.ids) == 0:
			return p.Ingredient == s.swap
		}
		return slices.Contains(k.ids, p.Ingredient)
	})
}

// pick is the pick that names a candidate.
func (s slot) pick(k candidate) Pick {
	switch {
	case !s.addition():
		return Pick{s.swap, k.ingredient}
	case len(k.ids) == 0:
		return Pick{s.swap, s.swap}
	}
	return Pick{s.swap, k.id}
}

type candidate struct {
	id, ingredient replica.ID
	ids            []replica.ID // all that are the same, made by several devices
	name           string
	benched        bool
	line           Line   // of an addition
	key            string // of that line
}

type segment struct {
	id     replica.ID
	fromMS int64
	anchor unit.Maybe[int64]
	drunk  bool
}

type flight struct {
	id, comparison     replica.ID
	plannedMS          int64
	startedMS, endedMS unit.Maybe[int64]
	pour               unit.Volume
	sight              string
	seats              []seat // by place
	uncovered          string // half blind: the codes found under the glasses, by place
}

type seat struct {
	id, flight replica.ID
	pos, code  int
	picks, why string
	pour       *drunk // the first glass of it
}

type trial struct{ sort, a, b, outcome string }

// own is what a line of the base itself stands for in a pick.
func own(l Line) replica.ID { return cmp.Or(l.Ingredient, l.ID) }

// versionAt gives a spec with its lines, also when it was deleted: what was tasted of it still counts.
func (j *Journal) versionAt(id replica.ID) (Version, bool) {
	s, ok := j.specAt(id)
	if !ok {
		return Version{}, false
	}
	v := Version{s, j.Lines(id)}
	if len(v.Lines) > 0 {
		return v, true
	}
	e, _ := j.view.Get(id)
	for _, l := range (&plan{Journal: j}).goneWith(e) {
		v.Lines = append(v.Lines, readLine(l))
	}
	inOrder(v.Lines, func(a, b Line) int { return cmp.Or(cmp.Compare(a.Pos, b.Pos), cmp.Compare(a.ID, b.ID)) })
	return v, true
}

// compared reads a comparison. Of candidates that are the same in one line the smallest id counts.
func (j *Journal) compared(e *replica.Entity) compared {
	r := row{e}
	c := compared{id: e.ID, name: textOf(r, "name"), drink: idOf(r, "drink")}
	c.base, _ = j.versionAt(idOf(r, "base"))
	type placed struct {
		pos int64
		*replica.Entity
	}
	in := func(kind, field string, owner func(replica.ID) bool) (all []placed) {
		j.view.Each(kind, func(p *replica.Entity) bool {
			if owner(idOf(row{p}, field)) && !hidden(p) {
				all = append(all, placed{intOf(row{p}, "pos").Value, p})
			}
			return true
		})
		inOrder(all, func(a, b placed) int { return cmp.Or(cmp.Compare(a.pos, b.pos), cmp.Compare(a.ID, b.ID)) })
		return all
	}
	mine := func(id replica.ID) bool { return id == e.ID }
	for _, s := range in("swap", "comparison", mine) {
		of := idOf(row{s.Entity}, "of")
		at := slices.IndexFunc(c.base.Lines, func(l Line) bool { return l.ID == of })
		if added := truthOf(row{s.Entity}, "addition"); added && len(c.slots) < compare.MostSlots && c.addition() < 0 {
			c.slots = append(c.slots, slot{s.ID, -1, []candidate{{}}})
			continue
		}
		if at < 0 || len(c.slots) == compare.MostSlots || slices.ContainsFunc(c.slots, func(o slot) bool { return o.at == at }) {
			continue // its line is gone, or two devices swap the same one
		}
		line := c.base.Lines[at]
		c.slots = append(c.slots, slot{s.ID, at, []candidate{{ingredient: own(line), name: line.Calls()}}})
	}
	of := func(swap replica.ID) int {
		if i := slices.IndexFunc(c.slots, func(s slot) bool { return s.swap == swap }); i >= 0 {
			return i
		}
		// Another device's swap of the same line: its candidates stand here.
		s, ok := j.shown(swap, "swap")
		if !ok || idOf(row{s}, "comparison") != e.ID {
			return -1
		}
		if truthOf(row{s}, "addition") {
			return c.addition()
		}
		return slices.IndexFunc(c.slots, func(o slot) bool { return !o.addition() && c.base.Lines[o.at].ID == idOf(row{s}, "of") })
	}
	for _, k := range in("candidate", "swap", func(id replica.ID) bool { return of(id) >= 0 }) {
		s := &c.slots[of(idOf(row{k.Entity}, "swap"))]
		one := candidate{id: k.ID, ingredient: idOf(row{k.Entity}, "ingredient"), ids: []replica.ID{k.ID}, benched: truthOf(row{k.Entity}, "benched")}
		if s.addition() {
			one.line = addedLine(k.Entity)
			one.name, one.key = one.line.Typed, j.lineKey(one.line)
		} else {
			one.name = j.ingredientName(one.ingredient)
		}
		i := slices.IndexFunc(s.candidates, func(o candidate) bool {
			if s.addition() {
				return o.key == one.key
			}
			return o.ingredient == one.ingredient
		})
		switch {
		case i >= 0:
			had := &s.candidates[i]
			had.benched, had.ids = had.benched || one.benched, append(had.ids, one.id)
			if had.id == "" || one.id < had.id {
				had.id = one.id
			}
		case len(s.candidates) < compare.MostCandidates:
			s.candidates = append(s.candidates, one)
		}
	}
	for _, s := range in("segment", "comparison", mine) {
		g := together(s.Entity, "from_ms")
		c.segments = append(c.segments, segment{s.ID, intOf(g, "from_ms").Value, intOf(g, "anchor_x10"), truthOf(g, "drunk")})
	}
	inOrder(c.segments, func(a, b segment) int { return cmp.Or(cmp.Compare(a.fromMS, b.fromMS), cmp.Compare(a.id, b.id)) })
	for i := len(c.segments) - 1; i > 0; i-- {
		if a, b := c.segments[i-1], c.segments[i]; a.fromMS == b.fromMS { // declared twice at once: the same once, else the later id
			if a.anchor == b.anchor {
				c.segments[i].id = a.id
			}
			c.segments = slices.Delete(c.segments, i-1, i)
		}
	}
	for _, f := range in("flight", "comparison", mine) {
		c.flights = append(c.flights, readFlight(f.Entity))
	}
	inOrder(c.flights, func(a, b flight) int { return cmp.Or(cmp.Compare(a.plannedMS, b.plannedMS), cmp.Compare(a.id, b.id)) })
	if len(c.flights) > 0 {
		j.seat(c.flights)
	}
	for _, t := range in("trial", "comparison", mine) {
		g := together(t.Entity, "outcome")
		c.trials = append(c.trials, trial{textOf(g, "sort"), textOf(g, "a"), textOf(g, "b"), textOf(g, "outcome")})
	}
	return c
}

// addition is the place of the slot that is one; -1 for none.
func (c compared) addition() int { return slices.IndexFunc(c.slots, slot.addition) }

// addedLine reads what a candidate of an addition adds.
func addedLine(e *replica.Entity) Line {
	l, ingredient := lineFrom(row{e})
	return Line{Ingredient: ingredient, Line: l}
}

// sameTouch tells whether a line adds as much of the same as a touch. A line that names nothing known goes by its name.
func (j *Journal) sameTouch(l, touch Line) bool {
	if l.Ingredient == "" && same(l.Calls(), touch.Calls()) {
		l.Ingredient = touch.Ingredient
	}
	return j.lineKey(l) == j.lineKey(touch)
}

// lineKey names what a line puts into a glass by itself.
func (j *Journal) lineKey(l Line) string { return j.key(Version{Lines: []Line{l}}) }

func readFlight(e *replica.Entity) flight {
	r := row{e}
	return flight{
		id: e.ID, comparison: idOf(r, "comparison"), plannedMS: intOf(r, "planned_at_ms").Value, startedMS: intOf(r, "started_at_ms"),
		endedMS: intOf(r, "ended_at_ms"), pour: volumeOf(r, "pour_ul").Value, sight: cmp.Or(textOf(r, "sight"), "sighted"),
		uncovered: textOf(r, "uncovered"),
	}
}

// seat gives flights their seats, and each seat the glass that was poured for it first.
func (j *Journal) seat(flights []flight) {
	at := map[replica.ID]int{}
	for i, f := range flights {
		at[f.id] = i
	}
	j.each("seat", func(e *replica.Entity) {
		g := together(e, "picks")
		if i, ok := at[idOf(g, "flight")]; ok {
			flights[i].seats = append(flights[i].seats, seat{
				e.ID, flights[i].id, int(intOf(g, "pos").Value), int(intOf(g, "code").Value), textOf(g, "picks"), textOf(g, "why"), nil,
			})
		}
	})
	of := map[replica.ID]*seat{}
	for i := range flights {
		seats := flights[i].seats
		inOrder(seats, func(a, b seat) int { return cmp.Or(cmp.Compare(a.pos, b.pos), cmp.Compare(a.id, b.id)) })
		if codes, ok := flights[i].codesOf(flights[i].uncovered); ok {
			flights[i].seats = flights[i].under(codes)
			seats = flights[i].seats
		} else {
			flights[i].uncovered = ""
		}
		for k := range seats {
			of[seats[k].id] = &seats[k]
		}
	}
	for _, ref := range j.pourRefs() {
		s := of[idOf(row{ref.e}, "seat")]
		if s != nil && (s.pour == nil || ref.e.ID < s.pour.pour.ID) {
			s.pour = &drunk{e: ref.e, pour: readPour(ref.e)}
		}
	}
}

// scored tells how many seats of a flight have a score.
func (f flight) scored() (n int) {
	for _, s := range f.seats {
		if s.pour != nil && s.pour.pour.ScoreX10.Known {
			n++
		}
	}
	return n
}

// state of a flight: one that was begun and forgotten is over the next day.
func (f flight) state(now Now) string {
	switch {
	case f.endedMS.Known, f.startedMS.Known && now.MS > f.startedMS.Value+dayMS:
		return "ended"
	case f.startedMS.Known:
		return "running"
	}
	return "planned"
}

// revealed tells whether it may be known what stands where.
func (f flight) revealed(now Now) bool {
	return f.sight == "sighted" || f.told(now)
}

func (f flight) over(now Now) bool {
	return f.state(now) == "ended" || len(f.seats) > 0 && f.scored() == len(f.seats)
}

// told is over, and of a half-blind flight that what stood where was looked up. One that nothing was tasted of has nothing
// to look up.
func (f flight) told(now Now) bool { return f.over(now) && !f.covered() }

// covered tells that glasses of a half-blind flight were tasted by their places, and which is which is still to be told.
func (f flight) covered() bool {
	return f.sight == "half" && f.uncovered == "" && slices.ContainsFunc(f.seats, func(s seat) bool { return s.pour != nil })
}

// codesOf reads codes as a flight keeps them: all of its own, each once, by place.
func (f flight) codesOf(text string) (codes []int, ok bool) {
	for _, w := range strings.Fields(text) {
		n, err := strconv.Atoi(w)
		if err != nil || slices.Contains(codes, n) || !slices.ContainsFunc(f.seats, func(s seat) bool { return s.code == n }) {
			return nil, false
		}
		codes = append(codes, n)
	}
	return codes, len(codes) == len(f.seats) && len(codes) > 0
}

// under gives the seats with what stood in each place under its code.
func (f flight) under(codes []int) []seat {
	all := slices.Clone(f.seats)
	for i := range all {
		of := f.seats[slices.IndexFunc(f.seats, func(s seat) bool { return s.code == codes[i] })]
		all[i].code, all[i].picks, all[i].why = of.code, of.picks, of.why
	}
	return all
}

func (j *Journal) ingredientName(id replica.ID) string {
	if i := j.Ingredient(id); !i.Missing {
		return i.Name
	}
	return ""
}

// comparisonAt finds a comparison that is not deleted.
func (j *Journal) comparisonAt(field string, id replica.ID) (compared, error) {
	e, ok := j.shown(id, "comparison")
	if !ok {
		return compared{}, missing("comparison", field, id)
	}
	return j.compared(e), nil
}

// pairing reads picks of this comparison.
func (c compared) pairing(text string) (p compare.Pairing, ok bool) {
	picks, ok := ParsePicks(text)
	if !ok || len(picks) != len(c.slots) {
		return p, false
	}
	for i, s := range c.slots {
		at := s.picked(picks[i])
		if at < 0 || picks[i].Swap != s.swap {
			return p, false
		}
		p[i] = int16(at)
	}
	return p, true
}

// picks is the text of a pairing, and the names in it.
func (c compared) picks(p compare.Pairing) (text string, names []string) {
	all := make([]Pick, len(c.slots))
	names = make([]string, len(c.slots))
	for i, s := range c.slots {
		k := s.candidates[p[i]]
		all[i], names[i] = s.pick(k), k.name
	}
	return PicksText(all), names
}

// picked is the base with a pairing's ingredients in its swapped lines, and what is added behind them.
func (j *Journal) picked(c compared, picks []Pick) Version {
	v := c.base
	for _, s := range c.slots {
		for _, p := range picks {
			switch {
			case p.Swap != s.swap:
			case s.addition():
				if l, ok := j.touch(p); ok {
					if n := len(v.Lines); n > 0 {
						l.Pos = between(v.Lines[n-1].Pos, "")
					}
					v.Lines = append(slices.Clone(v.Lines), l)
				}
			case p.Ingredient != own(c.base.Lines[s.at]):
				v = v.with(s.at, swapLine(c.base.Lines[s.at], j.Ingredient(p.Ingredient)))
			}
		}
	}
	return v
}

// touch is the line that a pick of an addition adds; false for nothing. A candidate that was taken away still says it.
func (j *Journal) touch(p Pick) (Line, bool) {
	e, ok := j.view.Get(p.Ingredient)
	if !ok || e.Kind != "candidate" {
		return Line{}, false
	}
	return addedLine(e), true
}

func (j *Journal) paired(c compared, p compare.Pairing) Version {
	text, _ := c.picks(p)
	picks, _ := ParsePicks(text)
	return j.picked(c, picks)
}

// content names what a version is made of: lines, method and ice, whatever it is served in.
func (j *Journal) contentKey(v Version) string {
	v.Spec.Glass, v.Spec.Garnish, v.Spec.Strain = "", "", ""
	return j.key(v)
}

// matcher finds the pairing of a spec: the base with nothing changed but the ingredients of swapped lines, and with one of
// the additions or none.
type matcher struct {
	*Journal
	c     compared
	known map[replica.ID]unit.Maybe[compare.Pairing]
}

func (j *Journal) matcher(c compared) *matcher {
	return &matcher{j, c, map[replica.ID]unit.Maybe[compare.Pairing]{}}
}

func (m *matcher) of(spec replica.ID) (compare.Pairing, bool) {
	got, done := m.known[spec]
	if !done {
		p, ok := m.find(spec)
		got = unit.Maybe[compare.Pairing]{Value: p, Known: ok}
		m.known[spec] = got
	}
	return got.Value, got.Known
}

func (m *matcher) find(spec replica.ID) (p compare.Pairing, ok bool) {
	if spec == m.c.base.Spec.ID {
		return p, true
	}
	s, ok := m.specAt(spec)
	if !ok || !m.related(s, m.c.base.Spec) {
		return p, false
	}
	v, _ := m.versionAt(spec)
	if len(v.Lines) == len(m.c.base.Lines) {
		return m.plain(v)
	}
	slot := m.c.addition()
	if len(v.Lines) != len(m.c.base.Lines)+1 || slot < 0 {
		return p, false
	}
	for at, l := range v.Lines { // wherever it was written
		key := m.lineKey(l)
		for k, one := range m.c.slots[slot].candidates {
			if one.key != key && (l.Ingredient != "" || !same(l.Calls(), one.line.Calls()) || !m.sameTouch(l, one.line)) {
				continue
			}
			if p, ok := m.plain(Version{v.Spec, slices.Delete(slices.Clone(v.Lines), at, at+1)}); ok {
				p[slot] = int16(k)
				return p, true
			}
		}
	}
	return p, false
}

// plain finds the pairing of a version with nothing added.
func (m *matcher) plain(v Version) (p compare.Pairing, ok bool) {
	for i, s := range m.c.slots {
		if s.addition() {
			continue
		}
		l, base := v.Lines[s.at], m.c.base.Lines[s.at]
		at := slices.IndexFunc(s.candidates, func(k candidate) bool { return k.ingredient == l.Ingredient })
		if l.Ingredient == "" && base.Ingredient == "" && same(l.Calls(), base.Calls()) {
			at = 0
		}
		if at < 0 {
			return p, false
		}
		p[i] = int16(at)
	}
	return p, m.contentKey(v) == m.contentKey(m.paired(m.c, p))
}

// tasted is one scored glass of a comparison.
type tasted struct {
	compare.Tasting
	e     *replica.Entity
	score int64
	atMS  int64
	sight string
}

// study is what was tasted for a comparison, put as compare wants it.
type study struct {
	compare.Study
	all      []tasted // oldest first
	families [][]string
	first    int // the segment of the first declaration: 1 when something was scored before
}

// weightOf is what a score counts by what its taster saw.
func weightOf(sight string) float64 {
	switch sight {
	case "blind":
		return compare.Blind
	case "half":
		return compare.HalfBlind
	}
	return compare.Sighted
}

// study derives the tastings from the pours of the journal. What was scored in a flight whose glasses are still unknown to
// the taster waits until they are not.
func (j *Journal) study(c compared) study {
	out := study{}
	flights, seats := map[replica.ID]int{}, map[replica.ID]seat{}
	for i, f := range c.flights {
		flights[f.id] = i
		for _, s := range f.seats {
			seats[s.id] = s
		}
	}
	m := j.matcher(c)
	days := map[string]int{}
	for _, ref := range slices.Backward(j.pourRefs()) {
		if !intOf(together(ref.e, "score_x10"), "score_x10").Known {
			continue
		}
		pairing, ok := m.of(idOf(row{ref.e}, "spec"))
		p := readPour(ref.e)
		if !ok || p.Share == 0 || p.Scale != "" {
			continue
		}
		t := tasted{e: ref.e, score: p.ScoreX10.Value, atMS: p.AtMS, sight: textOf(row{ref.e}, "sight")}
		t.Pairing, t.Score = pairing, float64(t.score)/10
		if i, in := flights[idOf(row{ref.e}, "flight")]; in {
			f := c.flights[i]
			s, seated := seats[idOf(row{ref.e}, "seat")]
			if !f.revealed(j.now) || seated && s.pour != nil && s.pour.pour.ID != p.ID {
				continue
			}
			if under, ok := c.pairing(s.picks); ok && f.uncovered != "" {
				t.Pairing = under // also of a glass that was written down where it was not known yet
			}
			t.Flight, t.sight = i, cmp.Or(t.sight, f.sight)
			if seated && s.pos >= 1 && s.pos <= len(f.seats) {
				t.Place, t.Of = s.pos, len(f.seats)
			}
		} else {
			day := j.Day(p).String()
			if _, had := days[day]; !had {
				days[day] = len(c.flights) + len(days)
			}
			t.Flight = days[day]
		}
		t.Weight = weightOf(t.sight)
		out.all = append(out.all, t)
	}
	out.all = out.all[max(0, len(out.all)-compare.MostTastings):]
	if len(c.segments) == 0 || len(out.all) > 0 && out.all[0].atMS < c.segments[0].fromMS {
		out.Segments, out.first = append(out.Segments, compare.Segment{}), 1
	}
	for _, s := range c.segments {
		g := compare.Segment{Declared: float64(s.anchor.Value) / 10, Known: s.anchor.Known, Anchor: compare.AnchorRecalled}
		if s.drunk {
			g.Anchor = compare.AnchorDrunk
		}
		out.Segments = append(out.Segments, g)
	}
	for i := range out.all {
		t := &out.all[i]
		for k, s := range c.segments {
			if s.fromMS <= t.atMS {
				t.Segment = k + out.first
			}
		}
		out.Tastings = append(out.Tastings, t.Tasting)
	}
	for _, s := range c.slots {
		one, families := j.slotOf(s)
		out.Slots, out.families = append(out.Slots, one), append(out.families, families)
	}
	return out
}

// slotOf numbers the families of a slot's candidates, when these say something: some of one family, and another beside it.
func (j *Journal) slotOf(s slot) (compare.Slot, []string) {
	out := compare.Slot{Candidates: len(s.candidates), Touch: s.addition()}
	if out.Touch {
		return out, nil
	}
	var names []string
	for i, k := range s.candidates {
		name := j.familyOf(k.ingredient)
		at := slices.Index(names, name)
		if name == "" {
			name, at = "\x00"+itoa(i), -1 // of none that is known: one of its own
		}
		if at < 0 {
			at = len(names)
			names = append(names, name)
		}
		out.Families = append(out.Families, at)
	}
	if len(names) < 2 || len(names) == len(s.candidates) {
		out.Families, names = nil, nil
	}
	return out, names
}

func (j *Journal) familyOf(id replica.ID) string {
	i := j.Ingredient(id)
	if i.Missing {
		return ""
	}
	if s, ok := j.stockOf(i); ok {
		return s.Family
	}
	return i.Family
}
