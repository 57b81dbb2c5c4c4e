package schema

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"fairmeasure/journal"
	"fairmeasure/journal/bottles"
	"fairmeasure/journal/compare"
	"fairmeasure/journal/count"
	"fairmeasure/journal/unit"
	"fairmeasure/sync/replica"
)

// How sure an interval is, and how many are looked at where all would be too many.
const (
	intervalChance = 0.9
	mostPromising  = 60
	mostTerms      = 5
)

// The benchmark's declared score at which nothing finds room above it, and how far off a hidden pour of it may be before
// the declaration is asked about again (both in tenths).
const (
	topAnchorX10 = 95
	offAnchorX10 = 20
)

// point is a number of points as it is shown.
func point(x float64) *float64 {
	x = points(x)
	return &x
}

func points(x float64) float64 {
	x = round(x, 1)
	if x == 0 {
		return 0 // never -0
	}
	return x
}

func hundredth(share float64) int { return int(round(100*share, 0)) }

// comparisons lists what is compared, and where to begin from.
func (j *Journal) comparisons(question) (any, error) {
	out := comparisonsJSON{Rows: []comparisonRowJSON{}, Drinks: []baseJSON{}}
	j.each("comparison", func(e *replica.Entity) {
		c := j.compared(e)
		s := j.study(c)
		r := comparisonRowJSON{ID: string(c.id), Name: c.name, DrinkName: j.drinkName(c.base.Spec), Candidates: []int{}, Pairings: c.pairings(), Scored: len(s.all)}
		for _, slot := range c.slots {
			r.Candidates = append(r.Candidates, len(slot.candidates))
		}
		r.Tasted = len(distinct(s.all))
		if n := len(s.all); n > 0 {
			day := j.Day(readPour(s.all[n-1].e)).String()
			r.LastDay = &day
		}
		for _, f := range c.flights {
			if f.state(j.now) == "running" {
				r.Running = idJSON(f.id)
			}
		}
		out.Rows = append(out.Rows, r)
	})
	slices.Reverse(out.Rows) // the newest first: ids begin with their time
	for _, d := range j.Drinks() {
		v, ok := j.Version(d.Benchmark)
		if !ok || v.Spec.Drink != d.ID || len(v.Lines) == 0 {
			continue
		}
		b := baseJSON{ID: string(d.ID), Name: d.Name, Base: string(v.Spec.ID), Lines: []baseLineJSON{}}
		for _, l := range v.Lines {
			b.Lines = append(b.Lines, baseLineJSON{string(l.ID), l.Typed, l.Calls()})
		}
		out.Drinks = append(out.Drinks, b)
	}
	inOrder(out.Drinks, func(a, b baseJSON) int { return cmp.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name)) })
	return out, nil
}

// pairings is how many there are; more than anybody could list counts as so many.
func (c compared) pairings() int {
	n := 1
	for _, s := range c.slots {
		n = min(n*len(s.candidates), 1_000_000_000)
	}
	if len(c.slots) == 0 {
		return 0
	}
	return n
}

// distinct gives the pairings that were tasted, in their order.
func distinct(all []tasted) (out []compare.Pairing) {
	for _, t := range all {
		if !slices.Contains(out, t.Pairing) {
			out = append(out, t.Pairing)
		}
	}
	inOrder(out, compare.Pairing.Compare)
	return out
}

// compareCosts is what the lines of the base, and what may stand in them, cost in one glass.
type compareCosts struct {
	rest     []bottles.Taken
	slots    [][]bottles.Taken
	addition int
}

func (j *Journal) costs(c compared) compareCosts {
	prices := j.prices()
	taken := func(p journal.Part) bottles.Taken {
		if price := prices[p.Bottle]; price.known && p.Bottle != "" && p.Volume.Known {
			return bottles.Taken{Volume: p.Volume.Value.Value, Price: unit.Known(price.Price)}
		}
		return bottles.Taken{}
	}
	out := compareCosts{addition: c.addition()}
	base := j.Glass(c.base)
	for i, p := range base.Parts {
		if t := taken(p); t.Price.Known && !slices.ContainsFunc(c.slots, func(s slot) bool { return s.at == i }) {
			out.rest = append(out.rest, t)
		}
	}
	for _, s := range c.slots {
		var one []bottles.Taken
		for _, k := range s.candidates {
			if s.addition() {
				parts := j.Glass(j.picked(c, []Pick{s.pick(k)})).Parts
				one = append(one, taken(append(parts[len(base.Parts):], journal.Part{})[0]))
				continue
			}
			p := base.Parts[s.at]
			p.Bottle = journal.ID(j.bottleOf(k.ingredient))
			one = append(one, taken(p))
		}
		out.slots = append(out.slots, one)
	}
	return out
}

// of prices a pairing: known when all that is swapped has a price and all prices are in one currency.
func (p compareCosts) of(it compare.Pairing) (bottles.Money, bool) {
	all := slices.Clone(p.rest)
	for i, s := range p.slots {
		if it[i] != 0 || i != p.addition { // nothing costs nothing
			all = append(all, s[it[i]])
		}
	}
	c := bottles.CostOf(all)
	total := c.Sum()
	return total.Value, total.Known && c.Unpriced == 0
}

// one prices a candidate by itself: what its line takes of it.
func (p compareCosts) one(slot, k int) (minor *int64, currency string) {
	if c := bottles.CostOf(p.slots[slot][k : k+1]).Sum(); c.Known {
		return &c.Value.Minor, c.Value.Currency
	}
	return nil, ""
}

// looked gives the pairings to say something of: all, or those tasted with the most promising.
func (c compared) looked(f *compare.Fit, s study) []compare.Pairing {
	const most = compare.MostPairings
	grow := func(of func(slot int) []int) []compare.Pairing {
		all := []compare.Pairing{{}}
		for i := range c.slots {
			var grown []compare.Pairing
			for _, p := range all {
				for _, k := range of(i) {
					p[i] = int16(k)
					grown = append(grown, p)
				}
			}
			all = grown
		}
		return all
	}
	every := make([][]int, len(c.slots))
	for i, s := range c.slots {
		for k := range s.candidates {
			every[i] = append(every[i], k)
		}
	}
	if c.pairings() <= most {
		return grow(func(i int) []int { return every[i] })
	}
	each := [compare.MostSlots + 1]int{0, most, 50, 13, 7}[len(c.slots)]
	for i := range every {
		bring := make([]float64, len(every[i]))
		for k := range bring {
			bring[k] = round(f.Brings(i, k).Mean, 9)
		}
		inOrder(every[i], func(a, b int) int { return cmp.Or(cmp.Compare(bring[b], bring[a]), a-b) })
		every[i] = every[i][:min(len(every[i]), each)]
	}
	type one struct {
		p compare.Pairing
		d float64
	}
	var found []one
	out := distinct(s.all)
	if !slices.Contains(out, compare.Pairing{}) {
		out = append(out, compare.Pairing{})
	}
	for _, p := range grow(func(i int) []int { return every[i] }) {
		if !slices.Contains(out, p) {
			found = append(found, one{p, round(f.Against(p).Mean, 9)})
		}
	}
	inOrder(found, func(a, b one) int { return cmp.Or(cmp.Compare(b.d, a.d), a.p.Compare(b.p)) })
	for _, o := range found[:min(len(found), mostPromising)] {
		out = append(out, o.p)
	}
	return out
}

// comparison answers what is known of every pairing.
func (j *Journal) comparison(q question) (any, error) {
	c, err := j.comparisonAt("id", q.ID)
	if err != nil {
		return nil, err
	}
	out := comparisonJSON{
		ID: string(c.id), Name: c.name, DrinkName: j.drinkName(c.base.Spec), Base: string(c.base.Spec.ID), Anchors: []anchorJSON{}, Swaps: []comparedSwapJSON{},
		Pairings: c.pairings(), Findings: []findingJSON{}, Say: []sayJSON{}, Families: []familyEffectJSON{}, Groups: [][]string{}, Interactions: []interactionJSON{},
		Flights: j.flightRows(c), Panel: j.panel(c), Trials: []trialsJSON{}, Choices: []choiceJSON{}, Unit: j.drinkUnit(),
	}
	for _, s := range c.segments {
		if s.anchor.Known {
			day := count.Label(s.fromMS, j.now.OffsetMin, j.Settings().DayStart).String()
			out.Anchors = append(out.Anchors, anchorJSON{string(s.id), s.fromMS, day, s.anchor.Value})
			out.AnchorX10 = &out.Anchors[len(out.Anchors)-1].AnchorX10
		}
	}
	if len(c.slots) == 0 {
		return out, nil
	}
	s := j.study(c)
	f, err := j.fit(s)
	if err != nil {
		return nil, err
	}
	out.Scored = len(s.all)
	prices := j.costs(c)
	for i := range c.slots {
		out.Swaps = append(out.Swaps, j.effects(c, s, f, prices, i))
	}
	found := j.found(c, s, f, prices)
	for _, one := range found {
		out.Findings = append(out.Findings, one.findingJSON)
		if one.Together {
			d, _ := f.Together(one.pairing)
			out.Interactions = append(out.Interactions, interactionJSON{one.Picks, one.Names, points(d.Mean)})
		}
	}
	out.Families, out.Groups = familiesOf(c, s, f), groupsOf(c, s)
	out.Say = say(c, s, found, out.Groups)
	out.Trials, out.Choices = c.tried()
	out.Ranks = c.ranks(j.now)
	out.CSV = findingsTable(out.Findings)
	return out, nil
}

// effects says what each candidate of a slot brings.
func (j *Journal) effects(c compared, s study, f *compare.Fit, prices compareCosts, slot int) comparedSwapJSON {
	of := c.slots[slot]
	out := comparedSwapJSON{ID: string(of.swap), Addition: of.addition(), Effects: []bringsJSON{}}
	if !out.Addition {
		line := c.base.Lines[of.at]
		out.LineName, out.Amount = line.Calls(), amountOf(line.Line)
	}
	for k, one := range of.candidates {
		d := f.Brings(slot, k)
		low, high := d.Interval(intervalChance)
		e := bringsJSON{
			Ingredient: string(one.ingredient), Candidate: string(one.id), Name: one.name, Family: j.familyOf(one.ingredient), Benched: one.benched, Benchmark: k == 0,
			D: points(d.Mean), Lo: points(low), Hi: points(high), BetterPercent: hundredth(d.Better()), Terms: []termCountJSON{},
		}
		for _, t := range s.all {
			if int(t.Pairing[slot]) != k {
				continue
			}
			e.Tasted++
			for _, term := range tagsOf(t.e) {
				at := slices.IndexFunc(e.Terms, func(o termCountJSON) bool { return o.Term == term })
				if at < 0 {
					at = len(e.Terms)
					e.Terms = append(e.Terms, termCountJSON{term, 0})
				}
				e.Terms[at].N++
			}
		}
		inOrder(e.Terms, func(a, b termCountJSON) int { return cmp.Or(b.N-a.N, strings.Compare(a.Term, b.Term)) })
		e.Terms = e.Terms[:min(len(e.Terms), mostTerms)]
		e.PriceMinor, e.Currency = prices.one(slot, k)
		out.Effects = append(out.Effects, e)
	}
	inOrder(out.Effects[1:], func(a, b bringsJSON) int {
		return cmp.Or(cmp.Compare(b.D, a.D), strings.Compare(a.Ingredient, b.Ingredient), strings.Compare(a.Candidate, b.Candidate))
	})
	return out
}

// found is a finding with what it was made from.
type found struct {
	findingJSON
	pairing compare.Pairing
	chance  float64
}

// found says what may be said of every pairing, the best first.
func (j *Journal) found(c compared, s study, f *compare.Fit, prices compareCosts) []found {
	specs := map[compare.Pairing]replica.ID{{}: j.head(c.base.Spec.ID)}
	m := j.matcher(c)
	for _, spec := range j.Specs() { // by id: the first stands for all that are the same
		if p, ok := m.of(spec.ID); ok && specs[p] == "" {
			specs[p] = spec.ID
		}
	}
	var all []found
	var on []compare.Priced
	var of []int
	last := len(s.Segments) - 1
	priceOf := func(p compare.Pairing) (float64, bool) {
		m, ok := prices.of(p)
		return float64(m.Minor), ok
	}
	reach := compare.StudentQuantile((1+intervalChance)/2, f.Degrees) // of all intervals
	benchmark, benchmarkPriced := priceOf(compare.Pairing{})
	for _, p := range c.looked(f, s) {
		one := found{pairing: p}
		one.Picks, one.Names = c.picks(p)
		v := f.Find(p)
		one.Benchmark, one.Tasted, one.Flights, one.Verdict = p == compare.Pairing{}, v.Tasted, v.Flights, string(v.Verdict)
		if v.Verdict == compare.WorthTrying && j.Settings().Quiet {
			one.Verdict = string(compare.Predicted) // nothing is suggested
		}
		one.NotBlind, one.Guess, one.Together, one.chance = v.NotBlind, v.Guess, v.Together, v.Better()
		one.ScoresX10, one.TodaysX10, one.Spec = []int64{}, []int64{}, idJSON(specs[p])
		if len(s.all) > 0 {
			half := reach * v.SD
			one.D, one.Lo, one.Hi = point(v.Mean), point(v.Mean-half), point(v.Mean+half)
			if !one.Benchmark {
				n := hundredth(one.chance)
				one.BetterPercent = &n
			}
		} else if !one.Benchmark {
			one.Verdict, one.Guess = string(compare.Predicted), true
		}
		if one.Tasted > 0 {
			for _, t := range s.all {
				if t.Pairing == p {
					one.ScoresX10 = append(one.ScoresX10, t.score)
					one.TodaysX10 = append(one.TodaysX10, int64(math.Round(10*f.OnTodaysScale(t.Score, t.Segment, last))))
					one.AtCeiling = one.AtCeiling || t.score >= 100 || t.score <= 0
				}
			}
		}
		if m, ok := prices.of(p); ok {
			one.PriceMinor, one.Currency = &m.Minor, m.Currency
			if one.Tasted > 0 {
				on, of = append(on, compare.Priced{Price: float64(m.Minor), Score: round(v.Mean, 9)}), append(of, len(all))
			}
			if per, ok := compare.PerPoint(float64(m.Minor), benchmark, v.Difference); ok && benchmarkPriced && one.Tasted > 0 && !one.Benchmark {
				n := int64(math.Round(per))
				one.PerPointMinor = &n
			}
		}
		all = append(all, one)
	}
	for _, i := range compare.Front(on, compare.EqualPoints) {
		all[of[i]].OnFront = true
	}
	inOrder(all, func(a, b found) int {
		if a.D != nil && *a.D != *b.D {
			return cmp.Compare(*b.D, *a.D)
		}
		return cmp.Or(b.Tasted-a.Tasted, a.pairing.Compare(b.pairing))
	})
	return all
}

// familiesOf says what the families of a slot bring beside the benchmark's.
func familiesOf(c compared, s study, f *compare.Fit) []familyEffectJSON {
	out := []familyEffectJSON{}
	for i, names := range s.families {
		if len(names) == 0 {
			continue
		}
		than := s.Slots[i].Families[0]
		for k, name := range names {
			d, ok := f.FamilyBrings(i, k, than)
			if !ok || strings.HasPrefix(name, "\x00") || strings.HasPrefix(names[than], "\x00") {
				continue
			}
			low, high := d.Interval(intervalChance)
			out = append(out, familyEffectJSON{string(c.slots[i].swap), name, names[than], points(d.Mean), points(low), points(high)})
		}
	}
	return out
}

// groupsOf names the candidates that nothing connects.
func groupsOf(c compared, s study) [][]string {
	out := [][]string{}
	groups := s.Groups()
	if len(groups) < 2 {
		return out
	}
	for _, g := range groups {
		var names []string
		for _, at := range g {
			names = append(names, c.slots[at[0]].candidates[at[1]].name)
		}
		out = append(out, names)
	}
	return out
}

// say sums up, by codes that the screen puts into words.
func say(c compared, s study, all []found, groups [][]string) []sayJSON {
	out := []sayJSON{}
	add := func(code string, f *found) {
		one := sayJSON{Code: code, Names: []string{}}
		if f != nil {
			one.Names, one.D, one.Lo, one.Hi = f.Names, f.D, f.Lo, f.Hi
		}
		out = append(out, one)
	}
	var best *found
	open := false
	for i := range all {
		f := &all[i]
		if f.Benchmark || f.Tasted == 0 {
			continue
		}
		if best == nil {
			best = f
		}
		open = open || f.Verdict == string(compare.NotEnoughData)
	}
	switch {
	case best == nil:
		add("none_yet", nil)
	case best.Verdict == string(compare.Better):
		add("confirmed", best)
	case best.Verdict == string(compare.LikelyBetter):
		add("ahead", best)
		if best.Flights < 2 {
			add("needs_more", best)
		}
	case open:
		add("needs_more", best)
	default:
		add("no_better", best)
	}
	if len(groups) > 0 {
		add("apart", nil)
	}
	if off, ask := c.asksAnchor(s); ask {
		add("ask_anchor", nil)
		out[len(out)-1].D = off
	}
	return out
}

// asksAnchor tells that the declared score should be looked at again: it leaves no room above, or a pour of the benchmark
// that its taster did not know came out far off it. Then so much is how far.
func (c compared) asksAnchor(s study) (*float64, bool) {
	if len(c.segments) == 0 {
		return nil, false
	}
	at := len(c.segments) - 1
	declared := c.segments[at].anchor
	if !declared.Known {
		return nil, false
	}
	for _, t := range slices.Backward(s.all) {
		if t.Pairing == (compare.Pairing{}) && t.Segment == at+s.first && t.sight != "sighted" && t.sight != "" {
			if off := t.score - declared.Value; off >= offAnchorX10 || off <= -offAnchorX10 {
				return point(float64(off) / 10), true
			}
		}
	}
	return nil, declared.Value >= topAnchorX10
}

// flightRows lists the flights, the newest first.
func (j *Journal) flightRows(c compared) []flightRowJSON {
	out := []flightRowJSON{}
	for _, f := range slices.Backward(c.flights) {
		day := count.Label(f.plannedMS, j.now.OffsetMin, j.Settings().DayStart).String()
		out = append(out, flightRowJSON{string(f.id), day, len(f.seats), f.scored(), f.state(j.now), f.sight})
	}
	return out
}

// panel says what each of the others liked most, of flights whose glasses are known.
func (j *Journal) panel(c compared) []panelJSON {
	type liked struct {
		picks string
		sum   int64
		n     int
	}
	out := []panelJSON{}
	var of [][]liked
	for _, f := range c.flights {
		if !f.revealed(j.now) {
			continue
		}
		for _, r := range j.ratingsOf(f) {
			if !r.score.Known {
				continue
			}
			at := slices.IndexFunc(out, func(p panelJSON) bool { return same(p.Taster, r.taster) })
			if at < 0 {
				at = len(out)
				out, of = append(out, panelJSON{Taster: r.taster}), append(of, nil)
			}
			out[at].N++
			for _, s := range f.seats {
				if s.id != r.seat {
					continue
				}
				picks := s.picks
				if p, ok := c.pairing(picks); ok {
					picks, _ = c.picks(p)
				}
				k := slices.IndexFunc(of[at], func(l liked) bool { return l.picks == picks })
				if k < 0 {
					k = len(of[at])
					of[at] = append(of[at], liked{picks: picks})
				}
				of[at][k].sum += r.score.Value
				of[at][k].n++
			}
		}
	}
	for i, all := range of {
		inOrder(all, func(a, b liked) int {
			return cmp.Or(cmp.Compare(b.sum*int64(a.n), a.sum*int64(b.n)), b.n-a.n, strings.Compare(a.picks, b.picks))
		})
		if len(all) > 0 {
			picks, _ := ParsePicks(all[0].picks)
			out[i].Top = pairingName(c.namesOf(j, picks))
		}
	}
	inOrder(out, func(a, b panelJSON) int { return strings.Compare(a.Taster, b.Taster) })
	return out
}

// tried says what choices without scores come to: each sort and pair together, whichever of them stood first.
func (c compared) tried() ([]trialsJSON, []choiceJSON) {
	type pair struct {
		sort         string
		a, b         compare.Pairing
		first, other int
		ties         int
	}
	var all []pair
	items := []compare.Pairing{{}}
	for _, t := range c.trials {
		a, okA := c.pairing(t.a)
		b, okB := c.pairing(t.b)
		if !okA || !okB || a == b {
			continue
		}
		for _, p := range []compare.Pairing{a, b} {
			if t.sort == "preferred" && !slices.Contains(items, p) {
				items = append(items, p)
			}
		}
		outcome := t.outcome
		if b.Compare(a) < 0 {
			a, b = b, a
			switch outcome {
			case "a":
				outcome = "b"
			case "b":
				outcome = "a"
			}
		}
		at := slices.IndexFunc(all, func(p pair) bool { return p.sort == t.sort && p.a == a && p.b == b })
		if at < 0 {
			at = len(all)
			all = append(all, pair{sort: t.sort, a: a, b: b})
		}
		switch outcome {
		case "a", "found":
			all[at].first++
		case "b", "missed":
			all[at].other++
		case "tie":
			all[at].ties++
		}
	}
	inOrder(all, func(a, b pair) int {
		return cmp.Or(strings.Compare(a.sort, b.sort), a.a.Compare(b.a), a.b.Compare(b.b))
	})
	rows, choices := []trialsJSON{}, []choiceJSON{}
	var met []compare.Met
	ties, times := 0, 0
	inOrder(items, compare.Pairing.Compare)
	for _, p := range all {
		n := p.first + p.other
		shown := compare.Paired(n, p.first)
		if p.sort == "triangle" {
			shown = compare.Triangle(n, p.first)
		}
		_, a := c.picks(p.a)
		_, b := c.picks(p.b)
		rows = append(rows, trialsJSON{
			Sort: p.sort, A: pairingName(a), B: pairingName(b), N: n, First: p.first, ChancePercent: hundredth(shown.Chance), Shown: shown.Shown,
			LoPercent: hundredth(shown.Low), HiPercent: hundredth(shown.High),
		})
		if p.sort == "preferred" {
			met = append(met, compare.Met{
				First: slices.Index(items, p.a), Second: slices.Index(items, p.b), For: float64(p.first), Against: float64(p.other), Ties: float64(p.ties),
			})
			ties, times = ties+p.ties, times+n+p.ties
		}
	}
	if len(met) == 0 {
		return rows, choices
	}
	var abilities compare.Abilities
	var ok bool
	if 10*ties > times {
		abilities, _, ok = compare.ChooseOrTie(len(items), met, compare.PriorAbility)
	} else {
		var plain []compare.Choice
		for _, m := range met {
			plain = append(plain, compare.Choice{First: m.First, Second: m.Second, Times: m.For + m.Ties/2}, compare.Choice{First: m.Second, Second: m.First, Times: m.Against + m.Ties/2})
		}
		abilities, ok = compare.Choose(len(items), plain, compare.PriorAbility)
	}
	if !ok {
		return rows, choices
	}
	for i, p := range items {
		one := choiceJSON{}
		one.Picks, one.Names = c.picks(p)
		if i > 0 { // beside the benchmark, which is the first
			mean, sd, _ := abilities.Apart(i, 0)
			h := -compare.NormalQuantile((1-intervalChance)/2) * sd
			one.Ability, one.Lo, one.Hi = points(mean), points(mean-h), points(mean+h)
		}
		choices = append(choices, one)
	}
	inOrder(choices, func(a, b choiceJSON) int {
		return cmp.Or(cmp.Compare(b.Ability, a.Ability), strings.Compare(a.Picks, b.Picks))
	})
	return rows, choices
}

// ranks compares flights of the same glasses, all scored: of several such sets the one tasted most often.
func (c compared) ranks(now Now) *ranksJSON {
	type set struct {
		items []compare.Pairing
		rows  [][]float64
	}
	var all []set
	for _, f := range c.flights {
		if !f.revealed(now) || f.scored() < len(f.seats) {
			continue
		}
		type cell struct {
			p     compare.Pairing
			score float64
		}
		var cells []cell
		for _, s := range f.seats {
			if p, ok := c.pairing(s.picks); ok {
				cells = append(cells, cell{p, float64(s.pour.pour.ScoreX10.Value)})
			}
		}
		inOrder(cells, func(a, b cell) int { return a.p.Compare(b.p) })
		if len(cells) < 2 || len(cells) < len(f.seats) {
			continue
		}
		var items []compare.Pairing
		var scores []float64
		for _, c := range cells {
			items, scores = append(items, c.p), append(scores, c.score)
		}
		at := slices.IndexFunc(all, func(s set) bool { return slices.Equal(s.items, items) })
		if at < 0 {
			at = len(all)
			all = append(all, set{items: items})
		}
		all[at].rows = append(all[at].rows, scores)
	}
	best := -1
	for i, s := range all {
		if len(s.rows) >= 2 && (best < 0 || len(s.rows) > len(all[best].rows)) {
			best = i
		}
	}
	if best < 0 {
		return nil
	}
	r, ok := compare.Friedman(all[best].rows)
	if !ok {
		return nil
	}
	out := &ranksJSON{ChancePercent: hundredth(r.Chance), Shown: r.Chance <= 0.05, Flights: len(all[best].rows), Rows: []rankJSON{}}
	for i, p := range all[best].items {
		_, names := c.picks(p)
		out.Rows = append(out.Rows, rankJSON{names, points(r.Sums[i])})
	}
	inOrder(out.Rows, func(a, b rankJSON) int { return cmp.Compare(b.Sum, a.Sum) })
	return out
}

// pairingName names a pairing by what is in it; what is not added has no name.
func pairingName(names []string) string {
	return strings.Join(slices.DeleteFunc(slices.Clone(names), func(s string) bool { return s == "" }), " + ")
}

// findingsTable gives the findings as comma-separated values by RFC 4180.
func findingsTable(all []findingJSON) string {
	var t csv
	t.row("pairing", "benchmark", "tasted", "flights", "scores", "scores_on_todays_scale", "points_to_benchmark", "low", "high", "better_percent", "verdict",
		"not_blind", "guess", "price_minor", "currency")
	number := func(x *float64) string {
		if x == nil {
			return ""
		}
		return decimal(*x)
	}
	scores := func(all []int64) string {
		var out []string
		for _, s := range all {
			out = append(out, decimal(float64(s)/10))
		}
		return strings.Join(out, " ")
	}
	for _, f := range all {
		better, price := "", ""
		if f.BetterPercent != nil {
			better = itoa(*f.BetterPercent)
		}
		if f.PriceMinor != nil {
			price = itoa(int(*f.PriceMinor))
		}
		t.row(cmp.Or(pairingName(f.Names), "nothing added"), yesNoCell(f.Benchmark), itoa(f.Tasted), itoa(f.Flights), scores(f.ScoresX10), scores(f.TodaysX10),
			number(f.D), number(f.Lo), number(f.Hi), better, f.Verdict, yesNoCell(f.NotBlind), yesNoCell(f.Guess), price, f.Currency)
	}
	return t.String()
}
