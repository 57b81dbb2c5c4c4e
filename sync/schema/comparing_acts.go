package schema

import (
	"slices"
	"strings"

	"fairmeasure/journal"
	"fairmeasure/journal/compare"
	"fairmeasure/journal/line"
	"fairmeasure/journal/unit"
	"fairmeasure/sync/replica"
)

// mostAtFirst bounds what is compared at the beginning, so that it goes into one action.
const mostAtFirst = 60

// compare begins a comparison: what may stand in some lines of a spec.
func (p *plan) compare() error {
	if done, err := p.fresh("comparison"); err != nil || done {
		return err
	}
	base, ok := p.Version(p.in.Base)
	if !ok {
		return missing("spec", "base", p.in.Base)
	}
	slots := len(p.in.Lines)
	if len(p.in.Touches) > 0 {
		slots++
	}
	if slots < 1 || slots > compare.MostSlots {
		return journal.Refuse("out_of_range", "lines", "expected 1 to %d lines to swap, an addition counted as one, got %d", compare.MostSlots, slots)
	}
	if n := len(p.in.Candidates) + len(p.in.Touches); n > mostAtFirst {
		return journal.Refuse("too_many", "candidates", "expected at most %d to begin with, got %d", mostAtFirst, n)
	}
	set := values{"base": replica.Text(string(base.Spec.ID))}
	if base.Spec.Drink != "" {
		set["drink"] = replica.Text(string(base.Spec.Drink))
	}
	if err := texts("comparison", set, map[string]*string{"name": p.in.Name}); err != nil {
		return err
	}
	if err := p.put(p.in.ID, "comparison", set); err != nil {
		return err
	}
	swaps := map[replica.ID]replica.ID{}
	for i, l := range p.in.Lines {
		at := slices.IndexFunc(base.Lines, func(o Line) bool { return o.ID == l.Keep })
		switch {
		case at < 0:
			return missing("line", "lines", l.Keep)
		case swaps[l.Keep] != "":
			return journal.Refuse("twice", "lines", "a line is swapped once")
		}
		id := derived(p.in.ID, "swap."+itoa(i))
		swaps[l.Keep] = id
		err := p.put(id, "swap", values{"comparison": replica.Text(string(p.in.ID)), "of": replica.Text(string(l.Keep)), "pos": replica.Int(int64(i))})
		if err == nil {
			err = p.putCandidate(derived(p.in.ID, "own."+itoa(i)), id, own(base.Lines[at]), 0)
		}
		if err != nil {
			return err
		}
	}
	taken := []Pick{}
	for i, c := range p.in.Candidates {
		swap := swaps[c.Line]
		if swap == "" {
			return missing("line", "candidates", c.Line)
		}
		ingredient, err := p.candidateOf(c.Ingredient, c.Name, derived(p.in.ID, "ingredient."+itoa(i)))
		if err != nil {
			return err
		}
		at := slices.IndexFunc(base.Lines, func(o Line) bool { return o.ID == c.Line })
		if one := (Pick{swap, ingredient}); own(base.Lines[at]) != ingredient && !slices.Contains(taken, one) {
			taken = append(taken, one)
			if err := p.putCandidate(derived(p.in.ID, "candidate."+itoa(i)), swap, ingredient, i+1); err != nil {
				return err
			}
		}
	}
	if len(p.in.Touches) == 0 {
		return nil
	}
	swap := derived(p.in.ID, "addition")
	err := p.put(swap, "swap", values{"comparison": replica.Text(string(p.in.ID)), "addition": replica.Bool(true), "pos": replica.Int(int64(len(p.in.Lines)))})
	if err != nil {
		return err
	}
	var added []Line
	for i, text := range p.in.Touches {
		l, err := p.readTouch("touches", text, base.Lines, derived(p.in.ID, "added."+itoa(i)))
		if err != nil {
			return err
		}
		if slices.ContainsFunc(added, func(o Line) bool { return p.sameTouch(o, l) }) {
			continue
		}
		added = append(added, l)
		if err := p.putTouch(derived(p.in.ID, "touch."+itoa(i)), swap, l, i+1); err != nil {
			return err
		}
	}
	return nil
}

// readTouch reads what is added: one line with an amount. A name that is not known makes an ingredient under the id given.
func (p *plan) readTouch(field, text string, beside []Line, id replica.ID) (Line, error) {
	lines, err := p.read(text, p.readingOptions(beside))
	if r, ok := err.(*journal.Refusal); ok {
		return Line{}, journal.Refuse(r.Code, field, "%s", r.Text)
	}
	switch {
	case err != nil:
		return Line{}, err
	case len(lines) != 1:
		return Line{}, journal.Refuse("one_line", field, "expected one line, got %d", len(lines))
	}
	l := lines[0]
	switch {
	case l.Open != journal.Measured || !l.Qty.Known:
		return l, journal.Refuse("no_amount", field, "expected how much is added of what, got %q", clip(text))
	case l.Ingredient == "":
		l.Ingredient, err = p.named(l.Line, id)
	}
	if err != nil {
		return l, err
	}
	return l, oneOunce(append(slices.Clone(beside), l))
}

func (p *plan) putTouch(id, swap replica.ID, l Line, pos int) error {
	set := values(lineFields(l.Line, l.Ingredient))
	set["swap"], set["pos"] = replica.Text(string(swap)), replica.Int(int64(pos))
	return p.put(id, "candidate", set)
}

func (p *plan) putCandidate(id, swap, ingredient replica.ID, pos int) error {
	return p.put(id, "candidate", values{"swap": replica.Text(string(swap)), "ingredient": replica.Text(string(ingredient)), "pos": replica.Int(int64(pos))})
}

// candidateOf gives the ingredient meant: the one named, else one of this name, else a new one under the id given. A
// strength behind the name is that of the ingredient.
func (p *plan) candidateOf(ingredient replica.ID, name string, id replica.ID) (replica.ID, error) {
	if ingredient != "" {
		if p.Ingredient(ingredient).Missing {
			return "", missing("ingredient", "ingredient", ingredient)
		}
		return ingredient, nil
	}
	name, err := (rule{}).text("name", name)
	if err != nil {
		return "", err
	}
	if name == "" {
		return "", journal.Refuse("empty", "name", "expected an ingredient or a name")
	}
	l := line.Line{Name: name}
	if read, err := line.Read("30 ml "+name, line.Options{}); err == nil && len(read) == 1 {
		l.Name, l.Strength = read[0].Calls(), read[0].Strength
	}
	known := p.known(l)
	if i := p.Ingredient(known); i.Stock && !same(i.Name, l.Calls()) {
		known = "" // only like a typical one: of those there may be many, and each is its own
	}
	if known != "" && (!l.Strength.Known || p.Ingredient(known).Strength == l.Strength) {
		return known, nil
	}
	return p.named(l, id)
}

// named makes the ingredient that a line calls for, under the id given, unless this very intent has.
func (p *plan) named(l line.Line, id replica.ID) (replica.ID, error) {
	for _, e := range p.edits { // made by this very intent
		if s, _ := e.Set["name"].AsText(); e.Kind == "ingredient" && same(s, l.Calls()) && e.Set["abv_bp"] == number(l.Strength.Known, int64(l.Strength.Value)) {
			return e.ID, nil
		}
	}
	return id, p.put(id, "ingredient", values{"name": replica.Text(l.Calls()), "abv_bp": number(l.Strength.Known, int64(l.Strength.Value))})
}

// candidate puts something more into a swapped line. What stands there already is taken off the bench.
func (p *plan) candidate() error {
	if done, err := p.fresh("candidate"); err != nil || done {
		return err
	}
	swap := p.in.Swap
	if swap == nil {
		return journal.Refuse("empty", "swap", "expected a swapped line")
	}
	e, ok := p.shown(swap.Line, "swap")
	if !ok {
		return missing("swap", "swap", swap.Line)
	}
	c, err := p.comparisonAt("swap", idOf(row{e}, "comparison"))
	if err != nil {
		return err
	}
	at := slices.IndexFunc(c.slots, func(s slot) bool { return s.swap == swap.Line })
	if at < 0 {
		return missing("line", "swap", swap.Line)
	}
	name := ""
	if p.in.Name != nil {
		name = *p.in.Name
	}
	of := c.slots[at]
	var touch Line
	var ingredient replica.ID
	if of.addition() {
		touch, err = p.readTouch("text", p.in.Text, c.base.Lines, derived(p.in.ID, "ingredient"))
	} else {
		ingredient, err = p.candidateOf(p.in.Ingredient, name, derived(p.in.ID, "ingredient"))
	}
	if err != nil {
		return err
	}
	for _, k := range of.candidates {
		if of.addition() && (len(k.ids) == 0 || !p.sameTouch(touch, k.line)) || !of.addition() && k.ingredient != ingredient {
			continue
		}
		p.made = k.id
		for _, id := range k.ids {
			if err := p.change(id, "candidate", values{"benched": replica.Null}); err != nil {
				return err
			}
		}
		return nil
	}
	n := len(of.candidates)
	switch {
	case n >= compare.MostCandidates:
		return journal.Refuse("too_many", "swap", "expected at most %d in one line", compare.MostCandidates)
	case of.addition():
		return p.putTouch(p.in.ID, swap.Line, touch, n)
	}
	return p.putCandidate(p.in.ID, swap.Line, ingredient, n)
}

// anchor declares the benchmark's score from a moment on. Scores given before stay as they are.
func (p *plan) anchor() error {
	if done, err := p.fresh("segment"); err != nil || done {
		return err
	}
	if _, ok := p.shown(p.in.Comparison, "comparison"); !ok {
		return missing("comparison", "comparison", p.in.Comparison)
	}
	from := p.now.MS
	if p.in.AtMS != nil {
		from = *p.in.AtMS
	}
	if from > p.now.MS+dayMS {
		return journal.Refuse("in_the_future", "at_ms", "expected a time at most a day ahead")
	}
	set := values{"comparison": replica.Text(string(p.in.Comparison)), "drunk": replica.Bool(p.in.Drunk)}
	if p.in.AnchorX10 == nil {
		return journal.Refuse("empty", "anchor_x10", "expected the benchmark's score")
	}
	if err := optional("segment", set, map[string]*int64{"anchor_x10": p.in.AnchorX10, "from_ms": &from}); err != nil {
		return err
	}
	return p.put(p.in.ID, "segment", set)
}

var sights = rule{list: "blind half sighted"}

// flight stores a plan that was made: its glasses in the order they are served, each under a code. It is never made again.
func (p *plan) flight() error {
	if done, err := p.fresh("flight"); err != nil || done {
		return err
	}
	c, err := p.comparisonAt("comparison", p.in.Comparison)
	if err == nil {
		err = c.comparable()
	}
	if err != nil {
		return err
	}
	state, err := seedOf(p.in.Seed)
	if err != nil {
		return err
	}
	sight, err := sights.text("sight", p.in.Sight)
	if err != nil {
		return err
	}
	if sight == "" || p.in.PourUL == nil {
		return journal.Refuse("empty", "sight", "expected what is seen of the glasses and how large they are")
	}
	var texts []string
	for _, s := range p.in.Seats {
		texts = append(texts, s.Picks)
	}
	seats, err := c.chosen(texts)
	if err != nil {
		return err
	}
	for i, s := range p.in.Seats {
		switch why := compare.Reason(s.Why); why {
		case compare.ForLeader, compare.ForNew, compare.ForPromise, "own":
			if seats[i].Reason != compare.ForBenchmark {
				seats[i].Reason = why
			}
		case compare.ForBenchmark:
		default:
			return journal.Refuse("unknown_word", "seats", "expected benchmark, leader, new, promise or own, got %q", clip(s.Why))
		}
	}
	made, err := p.glasses(c, seats, *p.in.PourUL)
	if err != nil {
		return err
	}
	b := p.budget(made)
	if err := p.within(b); err != nil {
		return err
	}
	seeds := &compare.Seeds{State: state}
	order := compare.Order(len(c.slots), seats, compare.Pairing{}, c.served(), seeds)
	used := map[int]bool{}
	for _, f := range c.flights {
		for _, s := range f.seats {
			used[s.code] = true
		}
	}
	codes := seeds.Codes(len(seats), func(code int) bool { return used[code] })
	err = p.put(p.in.ID, "flight", values{
		"comparison": replica.Text(string(c.id)), "planned_at_ms": replica.Int(p.now.MS), "budget_mg": replica.Int(b.limitMG(p.Journal)),
		"pour_ul": replica.Int(*p.in.PourUL), "seed": replica.Text(p.in.Seed), "sight": replica.Text(sight),
	})
	if err != nil {
		return err
	}
	for place, at := range order {
		text, _ := c.picks(seats[at].Pairing)
		err := p.put(derived(p.in.ID, "seat."+itoa(place)), "seat", values{
			"flight": replica.Text(string(p.in.ID)), "pos": replica.Int(int64(place + 1)), "code": replica.Int(int64(codes[place])),
			"picks": replica.Text(text), "why": replica.Text(string(seats[at].Reason)),
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// within refuses a flight that goes beyond the limit, with both sums, or that cannot be said to keep within it.
func (j *Journal) within(b budget) error {
	if len(b.unknown) > 0 {
		return journal.Refuse("strength_unknown", "seats", "the strength of %s is not known, so it cannot be said whether this fits", joined(b.unknown...))
	}
	if !b.fits() {
		drinks := func(ul int64) string { return decimal(j.limitDrinks(ul)) }
		return journal.Refuse("over_limit", "seats", "this flight comes to %s standard drinks; %s today and %s this session are on record, and the limit is %s",
			drinks(b.flight.UL), drinks(b.today.UL), drinks(b.session.UL), drinks(b.limit))
	}
	return nil
}

// served gives what earlier flights served, for the order of the next.
func (c compared) served() (all [][]compare.Served) {
	for _, f := range c.flights {
		var one []compare.Served
		for i, s := range f.seats {
			if p, ok := c.pairing(s.picks); ok {
				one = append(one, compare.Served{Pairing: p, Place: i, Of: len(f.seats)})
			}
		}
		all = append(all, one)
	}
	return all
}

// taste records the glass of a seat, or what was thought of it when it is on record already. Nothing ever keeps a glass
// that was drunk from being written down.
func (p *plan) taste() error {
	if !minted(p.in.ID) {
		return journal.Refuse("bad_id", "id", "expected an id of 26 characters, got %q", clip(string(p.in.ID)))
	}
	s, ok := p.view.Get(p.in.Seat)
	if !ok || s.Kind != "seat" {
		return missing("seat", "seat", p.in.Seat)
	}
	g := together(s, "picks")
	e, ok := p.view.Get(idOf(g, "flight"))
	if !ok || e.Kind != "flight" {
		return missing("flight", "seat", idOf(g, "flight"))
	}
	f, c, ok := p.flightOf(e)
	if !ok || len(c.base.Lines) == 0 {
		return missing("comparison", "seat", f.comparison)
	}
	set, err := p.glassFields()
	if err != nil {
		return err
	}
	one := seat{id: p.in.Seat, picks: textOf(g, "picks")} // as it was planned, should it be deleted
	if at := slices.IndexFunc(f.seats, func(s seat) bool { return s.id == p.in.Seat }); at >= 0 {
		one = f.seats[at]
	}
	if one.pour != nil {
		return p.tasteAgain(one.pour, set)
	}
	if done, err := p.fresh("pour"); err != nil || done {
		return err
	}
	riff := func(Version) replica.ID { return derived(p.in.ID, "riff") }
	if err := p.seated(f, c, one, riff, set); err != nil {
		return err
	}
	set["sight"], set["flight"], set["seat"] = replica.Text(f.sight), replica.Text(string(f.id)), replica.Text(string(p.in.Seat))
	if c.base.Spec.Drink != "" {
		set["drink"] = replica.Text(string(c.base.Spec.Drink))
	}
	if err := p.put(p.in.ID, "pour", set); err != nil {
		return err
	}
	if !f.startedMS.Known {
		return p.put(f.id, "flight", values{"started_at_ms": set["at_ms"]})
	}
	return nil
}

// seated adds what stands in a seat to the fields of its glass: the riff of its picks, which is made under the id that riff
// gives if there is none, and what it is made of.
func (p *plan) seated(f flight, c compared, s seat, riff func(Version) replica.ID, set values) error {
	picks, ok := ParsePicks(s.picks)
	if !ok {
		return journal.Refuse("bad_picks", "seat", "this seat was written by another version of this program")
	}
	to := p.picked(c, picks)
	spec, err := p.findOrMake(c.base, to, riff(to))
	if err != nil {
		return err
	}
	if spec != c.base.Spec.ID {
		p.riff = spec
	}
	made, _ := p.scaled(c, to, f.pour)
	text, err := made.Text()
	set["made"], set["spec"] = replica.Text(text), replica.Text(string(spec))
	return err
}

// uncover tells which code stood under each glass of a half-blind flight. What was scored by its place is from then on of
// what stood there. All glasses are written, so that of two devices' words one holds for all of them.
func (p *plan) uncover() error {
	e, ok := p.shown(p.in.ID, "flight")
	if !ok {
		return missing("flight", "id", p.in.ID)
	}
	p.made = e.ID
	f, c, ok := p.flightOf(e)
	if !ok || len(c.base.Lines) == 0 {
		return missing("comparison", "id", f.comparison)
	}
	if f.sight != "half" {
		return journal.Refuse("not_half", "id", "only the glasses of a half-blind flight are uncovered")
	}
	var words []string
	for _, code := range p.in.Codes {
		words = append(words, itoa(code))
	}
	text := strings.Join(words, " ")
	codes, ok := f.codesOf(text)
	switch {
	case !ok:
		return journal.Refuse("codes_wrong", "codes", "expected each of the flight's codes once, in the order of the glasses")
	case text == f.uncovered:
		return nil
	case f.uncovered == "" && (!f.covered() || !f.over(p.now)):
		return journal.Refuse("still_tasting", "id", "expected all glasses to have a score, or the flight to be ended")
	}
	if err := p.put(e.ID, "flight", values{"uncovered": replica.Text(text)}); err != nil {
		return err
	}
	for _, s := range f.under(codes) {
		for _, ref := range p.pourRefs() {
			if idOf(row{ref.e}, "seat") != s.id {
				continue
			}
			set := values{}
			if err := p.seated(f, c, s, p.uncoveredRiff(f, c), set); err != nil {
				return err
			}
			if err := p.put(ref.e.ID, "pour", set); err != nil {
				return err
			}
		}
	}
	p.riff = ""
	return nil
}

// uncoveredRiff gives riffs of a flight that is uncovered their ids: by all that is in them. Two devices that tell the same
// of one flight write the same glasses again, so what these glasses are made of is the same thing too, and nobody is asked.
// Where that id was used before and the riff is not that any more, it is counted on.
func (p *plan) uncoveredRiff(f flight, c compared) func(Version) replica.ID {
	return func(v Version) replica.ID {
		set, lines := riffFields(c.base.Spec, v)
		label := "riff\n" + set.text()
		for _, l := range lines {
			label += "\n" + l.text()
		}
		for n := 0; ; n++ {
			id := derived(f.id, label+"\n"+itoa(n))
			if _, there := p.view.Get(id); !there {
				return id
			}
		}
	}
}

// tasteAgain changes the glass on record to what is given now; what is not given stays.
func (p *plan) tasteAgain(had *drunk, set values) error {
	p.made = had.pour.ID
	if p.in.AtMS == nil && p.in.OffsetMin == nil && p.in.Zone == nil {
		for _, f := range []string{"at_ms", "offset_min", "zone"} {
			delete(set, f)
		}
	}
	if p.in.Tags != nil {
		for _, term := range tagsOf(had.e) {
			if field, ok := tagField(term); ok && set[field].IsNull() {
				set[field] = replica.Null
			}
		}
	}
	if v, given := set["score_x10"]; given {
		set["score_x10"], set["scale"] = v, replica.Null
	}
	return p.change(had.pour.ID, "pour", set)
}

// flightState begins a flight, ends it, or takes the end back.
func (p *plan) flightState() error {
	e, ok := p.shown(p.in.ID, "flight")
	if !ok {
		return missing("flight", "id", p.in.ID)
	}
	p.made = e.ID
	field := map[string]string{"start": "started_at_ms", "end": "ended_at_ms", "resume": "ended_at_ms"}[p.in.State]
	if field == "" {
		return journal.Refuse("unknown_word", "state", "expected start, end or resume, got %q", clip(p.in.State))
	}
	if p.in.State == "resume" {
		if !intOf(row{e}, field).Known {
			return nil
		}
		return p.put(e.ID, "flight", values{field: replica.Null})
	}
	if intOf(row{e}, field).Known {
		return nil
	}
	if f, c, ok := p.flightOf(e); ok && p.in.State == "start" {
		b := p.budget(p.unpoured(f, c))
		if err := p.within(b); err != nil {
			return err
		}
	}
	return p.put(e.ID, "flight", values{field: replica.Int(p.now.MS)})
}

// rate keeps a friend's score. What they drank is theirs: it is in no total, and in no fit.
func (p *plan) rate() error {
	done, err := p.fresh("rating")
	if err != nil || done {
		return err
	}
	seat, ok := p.shown(p.in.Seat, "seat")
	if !ok {
		return missing("seat", "seat", p.in.Seat)
	}
	name, err := (rule{}).text("taster", p.in.Taster)
	if err != nil {
		return err
	}
	if name == "" {
		return journal.Refuse("empty", "taster", "expected a name")
	}
	set := values{}
	if err := optional("rating", set, map[string]*int64{"score_x10": p.in.ScoreX10}); err != nil {
		return err
	}
	if err := texts("rating", set, map[string]*string{"note": p.in.Note}); err != nil {
		return err
	}
	var taster, had replica.ID
	p.each("taster", func(e *replica.Entity) {
		if taster == "" && same(textOf(row{e}, "name"), name) {
			taster = e.ID
		}
	})
	p.each("rating", func(e *replica.Entity) {
		if had == "" && idOf(row{e}, "seat") == seat.ID && same(p.tasterName(idOf(row{e}, "taster")), name) {
			had = e.ID
		}
	})
	if had != "" {
		p.made = had
		return p.change(had, "rating", set)
	}
	if taster == "" {
		taster = derived(p.in.ID, "taster")
		if err := p.put(taster, "taster", values{"name": replica.Text(name)}); err != nil {
			return err
		}
	}
	set["taster"], set["seat"] = replica.Text(string(taster)), replica.Text(string(seat.ID))
	return p.put(p.in.ID, "rating", set)
}

// trial keeps a choice that was made without a score.
func (p *plan) trial() error {
	if done, err := p.fresh("trial"); err != nil || done {
		return err
	}
	c, err := p.comparisonAt("comparison", p.in.Comparison)
	if err != nil {
		return err
	}
	outcomes := rule{list: "a b tie"}
	switch p.in.Sort {
	case "paired", "preferred":
	case "triangle":
		outcomes.list = "found missed"
	default:
		return journal.Refuse("unknown_word", "sort", "expected paired, triangle or preferred, got %q", clip(p.in.Sort))
	}
	outcome, err := outcomes.text("outcome", p.in.Outcome)
	if err != nil {
		return err
	}
	a, okA := c.pairing(p.in.A)
	b, okB := c.pairing(p.in.B)
	switch {
	case outcome == "":
		return journal.Refuse("empty", "outcome", "expected an outcome")
	case !okA || !okB || a == b:
		return journal.Refuse("bad_picks", "a", "expected two different pairings of this comparison")
	}
	at := p.now.MS
	if p.in.AtMS != nil {
		at = *p.in.AtMS
	}
	if at > p.now.MS+dayMS {
		return journal.Refuse("in_the_future", "at_ms", "expected a time at most a day ahead")
	}
	when, err := anInstant.check("at_ms", replica.Int(at))
	if err != nil {
		return err
	}
	return p.put(p.in.ID, "trial", values{
		"comparison": replica.Text(string(c.id)), "sort": replica.Text(p.in.Sort), "a": replica.Text(p.in.A), "b": replica.Text(p.in.B),
		"outcome": replica.Text(outcome), "at_ms": when,
	})
}

// owned are the kinds that go with another thing and come back with it: the field that names it.
var owned = []struct{ kind, of, field string }{
	{"swap", "comparison", "comparison"}, {"segment", "comparison", "comparison"}, {"trial", "comparison", "comparison"}, {"flight", "comparison", "comparison"},
	{"candidate", "swap", "swap"}, {"seat", "flight", "flight"}, {"rating", "seat", "seat"},
}

// partsOf gives what belongs to a comparison or a flight, hidden things too. Glasses that were drunk are nobody's parts.
func (j *Journal) partsOf(e *replica.Entity) (all []*replica.Entity) {
	whole := map[replica.ID]string{e.ID: e.Kind}
	for _, o := range owned {
		j.view.Each(o.kind, func(part *replica.Entity) bool {
			if whole[idOf(row{part}, o.field)] == o.of {
				whole[part.ID] = part.Kind
				all = append(all, part)
			}
			return true
		})
	}
	if len(all) > replica.MaxEdits/2 {
		return nil // without the whole nothing shows them
	}
	return all
}

// limitMG is the limit in milligrams, as the flight keeps it.
func (b budget) limitMG(j *Journal) int64 {
	d := unit.Volume(b.limit)
	return int64(d) * int64(j.density()) / 1000
}
