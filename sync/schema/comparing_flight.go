package schema

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"fairmeasure/journal"
	"fairmeasure/journal/balance"
	"fairmeasure/journal/compare"
	"fairmeasure/journal/count"
	"fairmeasure/journal/ethanol"
	"fairmeasure/journal/unit"
	"fairmeasure/sync/replica"
)

// usualLimitMG is what a flight keeps within unless the owner has a day limit of their own: 20 g of alcohol, the lower of
// the bodies' daily figures for men and the usual bound of one sitting here. Chosen.
const usualLimitMG = 20_000

// The least and the most of one glass of a flight.
const (
	leastGlass = unit.Volume(5_000)
	mostGlass  = unit.Volume(200_000)
)

// limit is what a flight and what was drunk before it may come to together, in microlitres of ethanol.
func (j *Journal) limit() (ul int64, from string) {
	d := count.Profile(j.Settings().Country)
	ownLimit := j.Settings().OwnDayX10
	switch {
	case !ownLimit.Known:
		return usualLimitMG * 1000 / int64(d.Density), "usual"
	case d.Basis == count.ByVolume:
		return d.UnitUL * ownLimit.Value / 10, "own_day"
	}
	return d.UnitMG * 100 * ownLimit.Value / int64(d.Density), "own_day"
}

// budget sets a flight beside what was drunk.
type budget struct {
	flight, today, session count.Total
	limit                  int64
	from                   string
	unknown                []string
	heavy                  bool
}

// fits tells whether it keeps within the limit: with the drinking day's sum, and with the running session's. The larger
// value of one that clashes counts. What has an unknown strength in it cannot be said to fit.
func (b budget) fits() bool {
	_, fits := compare.Fits(float64(max(b.today.UL, b.today.MostUL, b.session.UL, b.session.MostUL)), []float64{float64(b.flight.UL)}, float64(b.limit))
	return fits && len(b.unknown) == 0
}

// drunkToday is the total of the drinking day that it is now, also when something is dated ahead of it.
func (j *Journal) drunkToday(r count.WeekReport) count.Total {
	for _, d := range r.Last7.Days {
		if d.Day == j.today() {
			return d.Total
		}
	}
	return count.Total{}
}

func (j *Journal) budget(glasses []journal.Made) budget {
	all := j.since(j.now.MS - recent)
	r := j.report(all)
	b := budget{today: j.drunkToday(r), session: running(r), heavy: r.Heavy}
	b.limit, b.from = j.limit()
	for _, made := range glasses {
		of := ethanol.In(made)
		b.flight = plus(b.flight, glassTotal(of, unit.Whole))
		for _, i := range of.Unknown {
			b.unknown = append(b.unknown, made.Parts[i].Name)
		}
	}
	in := map[journal.ID]bool{}
	if r.Running.Known {
		for _, id := range r.Running.Value.IDs {
			in[id] = true
		}
	}
	for _, d := range all {
		if d.entry.Unknown > 0 && !d.entry.ForOther && (in[d.entry.ID] || j.Day(d.pour) == j.today()) {
			b.unknown = append(b.unknown, j.called(d.pour))
		}
	}
	slices.Sort(b.unknown)
	b.unknown = slices.Compact(b.unknown)
	return b
}

// scaled is a glass of a version of a comparison made small: so much of each line that the finished glass is of this
// volume. What is added comes on top, in proportion, so that the lines of all glasses can be poured as one. ok is false where
// nothing in it has an amount.
func (j *Journal) scaled(c compared, v Version, to unit.Volume) (journal.Made, bool) {
	made := j.Glass(v)
	without := made
	without.Parts = made.Parts[:min(len(made.Parts), len(c.base.Lines))]
	after := balance.Of(without, j.expected(without)).After.Volume.Value
	if !(after > 0) {
		return made, false
	}
	factor := to.ML() / after
	part := func(x unit.Volume) unit.Volume { return unit.Volume(math.Round(float64(x) * factor)) }
	for i := range made.Parts {
		if p := &made.Parts[i]; p.Volume.Known {
			v := p.Volume.Value
			p.Volume.Value = unit.Band[unit.Volume]{Value: part(v.Value), Low: part(v.Low), High: part(v.High)}
		}
	}
	return made, true
}

func seedOf(text string) (uint64, error) {
	seed, err := strconv.ParseUint(text, 10, 64)
	if err != nil {
		return 0, journal.Refuse("bad_seed", "seed", "expected a whole number of up to 64 bits, got %q", clip(text))
	}
	return seed, nil
}

// chosen reads the glasses of a flight: the benchmark among them, nothing else twice.
func (c compared) chosen(texts []string) ([]compare.Seat, error) {
	if len(texts) < compare.FewestGlasses || len(texts) > compare.MostGlasses {
		return nil, journal.Refuse("out_of_range", "seats", "expected %d to %d glasses, got %d", compare.FewestGlasses, compare.MostGlasses, len(texts))
	}
	var all []compare.Seat
	benchmark := false
	for _, text := range texts {
		p, ok := c.pairing(text)
		if !ok {
			return nil, journal.Refuse("bad_picks", "seats", "%q is no pairing of this comparison", clip(text))
		}
		if slices.ContainsFunc(all, func(s compare.Seat) bool { return s.Pairing == p }) {
			return nil, journal.Refuse("twice", "seats", "a pairing stands in a flight once")
		}
		why := compare.Reason("own")
		if p == (compare.Pairing{}) {
			benchmark, why = true, compare.ForBenchmark
		}
		all = append(all, compare.Seat{Pairing: p, Reason: why})
	}
	if !benchmark {
		return nil, journal.Refuse("no_benchmark", "seats", "a flight holds the benchmark: it ties the evening's scores to the others")
	}
	return all, nil
}

// glasses gives what is poured for each seat.
func (j *Journal) glasses(c compared, seats []compare.Seat, ul int64) ([]journal.Made, error) {
	pour := unit.Volume(ul)
	if pour < leastGlass || pour > mostGlass {
		return nil, journal.Refuse("out_of_range", "pour_ul", "expected %d to %d, got %d", int(leastGlass), int(mostGlass), int(ul))
	}
	var all []journal.Made
	for _, s := range seats {
		v := j.paired(c, s.Pairing)
		if err := oneMeasure(v); err != nil {
			return nil, err
		}
		made, ok := j.scaled(c, v, pour)
		if !ok {
			return nil, journal.Refuse("no_amounts", "seats", "nothing in this drink has an amount, so it cannot be poured small")
		}
		all = append(all, made)
	}
	return all, nil
}

// fit fits a study, or says why it cannot be.
func (j *Journal) fit(s study) (*compare.Fit, error) {
	f, err := compare.Of(s.Study)
	if err != nil {
		return nil, journal.Refuse("too_much_to_compare", "id", "%s", err)
	}
	return f, nil
}

func (c compared) comparable() error {
	if len(c.slots) == 0 {
		return journal.Refuse("nothing_swapped", "id", "no line of the benchmark is swapped any more")
	}
	return nil
}

// planned answers which glasses to taste next, and whether they fit.
func (j *Journal) planned(q question) (any, error) {
	c, err := j.comparisonAt("id", q.ID)
	if err == nil {
		err = c.comparable()
	}
	if err != nil {
		return nil, err
	}
	var seats []compare.Seat
	if q.Seats != nil {
		seats, err = c.chosen(q.Seats)
	} else {
		seats, err = j.next(c, q)
	}
	if err != nil {
		return nil, err
	}
	made, err := j.glasses(c, seats, q.PourUL)
	if err != nil {
		return nil, err
	}
	b := j.budget(made)
	out := planJSON{
		Seats: []planSeatJSON{}, Flight: j.alcohol(b.flight), Today: j.alcohol(b.today), Session: j.alcohol(b.session),
		LimitDrinks: j.limitDrinks(b.limit), LimitFrom: b.from, Fits: b.fits(), Unknown: list(b.unknown), Unit: j.drinkUnit(), Heavy: b.heavy, Quiet: j.Settings().Quiet,
	}
	for i, s := range seats {
		row := planSeatJSON{Why: string(s.Reason), Alcohol: j.alcohol(j.madeTotal(made[i]))}
		row.Picks, row.Names = c.picks(s.Pairing)
		if s.Reason == compare.ForPromise || s.Reason == compare.ForNew {
			row.Gain = point(s.Gain)
		}
		out.Seats = append(out.Seats, row)
	}
	return out, nil
}

func (j *Journal) madeTotal(m journal.Made) count.Total {
	return glassTotal(ethanol.In(m), unit.Whole)
}

func (j *Journal) limitDrinks(ul int64) float64 {
	return count.Shown(count.Drinks(ul, count.Profile(j.Settings().Country)))
}

// next lets the mathematics choose.
func (j *Journal) next(c compared, q question) ([]compare.Seat, error) {
	seed, err := seedOf(q.Seed)
	if err != nil {
		return nil, err
	}
	if q.Glasses < compare.FewestGlasses || q.Glasses > compare.MostGlasses {
		return nil, journal.Refuse("out_of_range", "glasses", "expected %d to %d glasses, got %d", compare.FewestGlasses, compare.MostGlasses, q.Glasses)
	}
	f, err := j.fit(j.study(c))
	if err != nil {
		return nil, err
	}
	tasted := 0
	for _, f := range c.flights {
		if f.scored() > 0 && f.revealed(j.now) {
			tasted++
		}
	}
	seats, err := f.Plan(compare.Asked{Glasses: q.Glasses, Flights: tasted, Seed: seed, Open: func(slot, k int) bool {
		return k == 0 || !c.slots[slot].candidates[k].benched
	}})
	if err != nil {
		return nil, journal.Refuse("too_many_pairings", "id", "%s", err)
	}
	if len(seats) < compare.FewestGlasses {
		return nil, journal.Refuse("too_few_pairings", "id", "there is nothing beside the benchmark to taste")
	}
	return seats, nil
}

// flightOf finds a flight with its comparison; what belongs to a deleted one can still be poured.
func (j *Journal) flightOf(e *replica.Entity) (flight, compared, bool) {
	f := readFlight(e)
	of, ok := j.view.Get(f.comparison)
	if !ok || of.Kind != "comparison" {
		return f, compared{}, false
	}
	c := j.compared(of)
	i := slices.IndexFunc(c.flights, func(o flight) bool { return o.id == f.id })
	if i >= 0 {
		return c.flights[i], c, true
	}
	one := []flight{f} // deleted itself
	j.seat(one)
	return one[0], c, true
}

// flightView answers how a flight stands. Until it is revealed no seat says what is in it.
func (j *Journal) flightView(q question) (any, error) {
	e, ok := j.shown(q.ID, "flight")
	if !ok {
		return nil, missing("flight", "id", q.ID)
	}
	f, c, ok := j.flightOf(e)
	if !ok {
		return nil, missing("comparison", "id", f.comparison)
	}
	left := []journal.Made{}
	if f.state(j.now) == "planned" {
		left = j.unpoured(f, c)
	}
	b := j.budget(left)
	out := flightJSON{
		ID: string(f.id), Comparison: string(c.id), Name: c.name, State: f.state(j.now), Sight: f.sight, PourML: round(f.pour.ML(), 1),
		LimitDrinks: j.limitDrinks(b.limit), Today: j.alcohol(b.today), Unit: j.drinkUnit(), Revealed: f.told(j.now),
		Uncover: f.covered() && f.over(j.now), Fits: b.fits(),
		Batch: []flightBatchJSON{}, Method: c.base.Spec.Method, Seats: []seatJSON{}, Key: []keyJSON{}, Terms: list(j.offeredTerms()),
	}
	ratings := j.ratingsOf(f)
	benchmark := -1
	for i, s := range f.seats {
		p, ok := c.pairing(s.picks)
		if f.revealed(j.now) && ok && p == (compare.Pairing{}) {
			benchmark = i
		}
	}
	for i, s := range f.seats {
		picks, _ := ParsePicks(s.picks)
		names := c.namesOf(j, picks)
		row := seatJSON{ID: string(s.id), Pos: s.pos, Code: s.code, Names: []string{}, Tags: []string{}, Ratings: []ratedJSON{}}
		if f.revealed(j.now) {
			row.Names = names
		}
		if s.pour != nil {
			id := string(s.pour.pour.ID)
			row.Pour, row.ScoreX10, row.Note, row.Tags = &id, maybe(s.pour.pour.ScoreX10), s.pour.pour.Note, tagsOf(s.pour.e)
			if at := s.pour.pour.AtMS; out.LastMS == nil || at > *out.LastMS {
				out.LastMS = &at
			}
		}
		row.Benchmark = i == benchmark
		if benchmark >= 0 && !row.Benchmark {
			row.D = pointsAbove(s, f.seats[benchmark])
		}
		if row.ScoreX10 == nil && out.Next == nil {
			pos := s.pos
			out.Next = &pos
		}
		for _, r := range ratings {
			if r.seat == s.id {
				row.Ratings = append(row.Ratings, ratedJSON{r.taster, maybe(r.score), r.note})
			}
		}
		out.Seats = append(out.Seats, row)
		key := keyJSON{Code: s.code, Names: names, Lines: []keyLineJSON{}}
		if made, ok := j.scaled(c, j.picked(c, picks), f.pour); ok {
			for _, p := range made.Parts {
				key.Lines = append(key.Lines, keyLineJSON{p.Name, round(p.Volume.Value.Value.ML(), 1)})
			}
		}
		out.Key = append(out.Key, key)
	}
	swapped := func(at int) bool { return slices.ContainsFunc(c.slots, func(s slot) bool { return s.at == at }) }
	if made, ok := j.scaled(c, c.base, f.pour); ok {
		for i, p := range made.Parts {
			if v := p.Volume.Value.Value; !swapped(i) && p.Volume.Known {
				out.Batch = append(out.Batch, flightBatchJSON{p.Name, round(v.ML(), 1), round(v.ML()*float64(len(f.seats)), 1), c.base.Lines[i].Typed})
			}
		}
	}
	return out, nil
}

// pointsAbove returns by how many points one glass was scored above another; nil when either has no score.
func pointsAbove(s, than seat) *float64 {
	if s.pour == nil || than.pour == nil || !s.pour.pour.ScoreX10.Known || !than.pour.pour.ScoreX10.Known {
		return nil
	}
	return point(float64(s.pour.pour.ScoreX10.Value-than.pour.pour.ScoreX10.Value) / 10)
}

// unpoured gives what is still to be poured in a flight.
func (j *Journal) unpoured(f flight, c compared) (all []journal.Made) {
	for _, s := range f.seats {
		if picks, ok := ParsePicks(s.picks); ok && s.pour == nil {
			made, _ := j.scaled(c, j.picked(c, picks), f.pour)
			all = append(all, made)
		}
	}
	return all
}

// namesOf gives the names of picks, also of what is no candidate any more.
func (c compared) namesOf(j *Journal, picks []Pick) []string {
	names := []string{}
	for _, p := range picks {
		name := j.ingredientName(p.Ingredient)
		for _, s := range c.slots {
			switch {
			case p.Swap != s.swap:
			case s.addition():
				l, _ := j.touch(p)
				name = l.Typed
			case own(c.base.Lines[s.at]) == p.Ingredient:
				name = c.base.Lines[s.at].Calls()
			}
		}
		names = append(names, name)
	}
	return names
}

// veil is what a glass goes by as long as its flight keeps what is in it from the taster.
type veil struct {
	flight, seat  replica.ID
	name, version string
	pour          unit.Volume
}

// veil gives what a pour goes by when nobody is to know yet what is in it.
func (j *Journal) veil(pour replica.ID) (veil, bool) {
	if j.veils == nil {
		j.veils = j.veiled()
	}
	v, ok := j.veils[pour]
	return v, ok
}

// veiled finds the glasses of flights that are not told yet.
func (j *Journal) veiled() map[replica.ID]veil {
	all := map[replica.ID]veil{}
	var flights []flight
	j.each("flight", func(e *replica.Entity) {
		f := readFlight(e)
		if f.sight != "sighted" && (f.sight == "half" || f.state(j.now) != "ended") {
			flights = append(flights, f)
		}
	})
	if len(flights) == 0 {
		return all
	}
	j.seat(flights)
	flights = slices.DeleteFunc(flights, func(f flight) bool { return f.revealed(j.now) })
	j.view.Each("pour", func(p *replica.Entity) bool { // those in the trash too
		r := row{p}
		at := slices.IndexFunc(flights, func(f flight) bool { return f.id == idOf(r, "flight") })
		if at < 0 {
			return true
		}
		f := flights[at]
		v := veil{flight: f.id, seat: idOf(r, "seat"), pour: f.pour}
		if e, ok := j.view.Get(f.comparison); ok {
			if s, ok := j.specAt(idOf(row{e}, "base")); ok {
				v.name = j.drinkName(s)
			}
		}
		for _, s := range f.seats {
			switch {
			case s.id != v.seat:
			case f.sight == "half":
				v.version = "glass " + itoa(s.pos)
			default:
				v.version = "glass " + itoa(s.code)
			}
		}
		all[p.ID] = v
		return true
	})
	return all
}

// rated is a friend's score of a seat.
type rated struct {
	seat   replica.ID
	taster string
	score  unit.Maybe[int64]
	note   string
}

// ratingsOf gives the scores of others in a flight: of two of one taster for one seat the smallest id.
func (j *Journal) ratingsOf(f flight) (all []rated) {
	seats := map[replica.ID]bool{}
	for _, s := range f.seats {
		seats[s.id] = true
	}
	j.each("rating", func(e *replica.Entity) {
		r := rated{idOf(row{e}, "seat"), j.tasterName(idOf(row{e}, "taster")), intOf(row{e}, "score_x10"), textOf(row{e}, "note")}
		if seats[r.seat] && !slices.ContainsFunc(all, func(o rated) bool { return o.seat == r.seat && same(o.taster, r.taster) }) {
			all = append(all, r)
		}
	})
	inOrder(all, func(a, b rated) int { return strings.Compare(a.taster, b.taster) })
	return all
}

func (j *Journal) tasterName(id replica.ID) string {
	if e, ok := j.view.Get(id); ok && e.Kind == "taster" {
		return textOf(row{e}, "name")
	}
	return ""
}

func (j *Journal) density() count.Density { return count.Profile(j.Settings().Country).Density }
