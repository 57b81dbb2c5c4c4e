package schema

import (
	"cmp"
	"slices"
	"strings"

	"fairmeasure/journal"
	"fairmeasure/journal/bottles"
	"fairmeasure/journal/count"
	"fairmeasure/journal/dilution"
	"fairmeasure/journal/ethanol"
	"fairmeasure/journal/line"
	"fairmeasure/journal/stock"
	"fairmeasure/journal/unit"
	"fairmeasure/sync/replica"
)

// specTotal gives the alcohol of a share of a glass of a version as it is now; values of its lines that clash with the
// shown ones go along, one at a time.
func (j *Journal) specTotal(v Version, share unit.Share) count.Total {
	of := func(v Version) count.Total { return glassTotal(ethanol.In(j.Glass(v)), share) }
	t := of(v)
	if share == 0 {
		t.Entries = 0
	}
	for i, l := range v.Lines {
		e, ok := j.view.Get(l.ID)
		if !ok || e.Kind != "line" || !replica.ClashGroup(e, Group("line", "typed")) || readLine(e).Typed != l.Typed {
			continue
		}
		for _, other := range replica.Versions(e, Group("line", "typed"))[1:] {
			ul := of(v.with(i, versionLine(other))).UL
			t.LeastUL, t.MostUL = min(t.LeastUL, ul), max(t.MostUL, ul)
		}
	}
	return t
}

// versionLine reads one version of a line.
func versionLine(v replica.Version) Line {
	l, ingredient := lineFrom(version{v})
	return Line{Ingredient: ingredient, Line: l}
}

// specRow sets one spec for a list, with what the pours of its row come to.
func (j *Journal) specRow(s Spec, benchmark bool, t *tally) specRowJSON {
	out := specRowJSON{ID: string(s.ID), Name: j.rowName(s), Benchmark: benchmark, Parent: idJSON(s.Parent), Changed: j.changed(s)}
	if t != nil {
		out.Poured, out.LastDay, out.BestX10 = t.poured, t.lastDay(), t.best()
	}
	if e, ok := j.view.Get(s.ID); ok {
		out.Clash = len(clashingFields(e)) > 0
	}
	for _, l := range j.Lines(s.ID) {
		if e, ok := j.view.Get(l.ID); ok && len(clashingFields(e)) > 0 {
			out.Clash = true
		}
	}
	return out
}

// rows gives the specs that head a row, by the drink they belong to; a spec whose drink is not shown stands alone.
func (j *Journal) rows() map[replica.ID][]Spec {
	shown := map[replica.ID]bool{}
	for _, d := range j.Drinks() {
		shown[d.ID] = true
	}
	rows := map[replica.ID][]Spec{}
	for _, s := range j.Specs() {
		if j.head(s.ID) != s.ID {
			continue
		}
		if shown[s.Drink] {
			rows[s.Drink] = append(rows[s.Drink], s)
		} else {
			rows[""] = append(rows[""], s)
		}
	}
	return rows
}

// specsView answers which drinks and specs there are.
func (j *Journal) specsView(q question) (any, error) {
	out := specsJSON{Drinks: []drinkSpecsJSON{}, Loose: []specRowJSON{}}
	rows, tallies := j.rows(), j.tallies(nil)
	found := func(s Spec, names ...string) bool {
		if q.Text == "" {
			return true
		}
		texts := append(names, s.Name, j.changed(s), s.Note)
		for _, l := range j.Lines(s.ID) {
			texts = append(texts, l.Calls())
		}
		return matches(q.Text, texts...)
	}
	for _, d := range j.Drinks() {
		view := drinkSpecsJSON{ID: string(d.ID), Name: d.Name, Family: d.Family, Specs: []specRowJSON{}}
		benchmark := j.benchmarkOf(d)
		for _, s := range rows[d.ID] {
			if found(s, d.Name, d.Family) {
				view.Specs = append(view.Specs, j.specRow(s, s.ID == benchmark, tallies[s.ID]))
			}
		}
		inOrder(view.Specs, byRow)
		if len(view.Specs) > 0 || matches(q.Text, d.Name, d.Family) {
			out.Drinks = append(out.Drinks, view)
		}
	}
	inOrder(out.Drinks, func(a, b drinkSpecsJSON) int {
		return cmp.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name))
	})
	for _, s := range rows[""] {
		if found(s) {
			out.Loose = append(out.Loose, j.specRow(s, false, tallies[s.ID]))
		}
	}
	inOrder(out.Loose, byRow)
	return out, nil
}

// byRow puts the benchmark first, then what was poured last, then what was written last.
func byRow(a, b specRowJSON) int {
	last := func(r specRowJSON) string {
		if r.LastDay == nil {
			return ""
		}
		return *r.LastDay
	}
	if a.Benchmark != b.Benchmark {
		if a.Benchmark {
			return -1
		}
		return 1
	}
	return cmp.Or(cmp.Compare(last(b), last(a)), cmp.Compare(b.ID, a.ID))
}

// specView answers everything about one spec.
func (j *Journal) specView(q question) (any, error) {
	v, ok := j.Version(q.ID)
	if !ok {
		return nil, missing("spec", "id", q.ID)
	}
	return j.versionView(v), nil
}

func (j *Journal) versionView(v Version) specJSON {
	s := v.Spec
	made := j.Glass(v)
	out := specJSON{
		ID: string(s.ID), Drink: idJSON(s.Drink), DrinkName: j.drinkName(s), Name: s.Name, Benchmark: j.isBenchmark(s), Parent: idJSON(s.Parent),
		Method: s.Method, Ice: s.Ice, Glass: s.Glass, Garnish: s.Garnish, Strain: s.Strain, Note: s.Note,
		PartUL: maybe(s.PartUL), TotalUL: maybe(s.TotalUL), Lines: j.versionLines(v),
		Balance: j.versionBalance(v, made), Alcohol: j.alcohol(j.specTotal(v, unit.Whole)), Unit: j.drinkUnit(), Tree: []treeRowJSON{}, Clashes: []clashJSON{},
		Cost: j.cost(made), Cautions: j.cautions(v),
	}
	tallies := j.tallies(&s)
	if t := tallies[j.head(s.ID)]; t != nil {
		out.Poured, out.LastDay = t.poured, t.lastDay()
	}
	out.Tree = j.tree(s, tallies)
	if e, ok := j.view.Get(s.ID); ok {
		out.Clashes = append(out.Clashes, j.clashesOf(e)...)
	}
	for _, l := range v.Lines {
		if e, ok := j.view.Get(l.ID); ok {
			out.Clashes = append(out.Clashes, j.clashesOf(e)...)
		}
	}
	return out
}

// versionBalance weighs a version as it would be made.
func (j *Journal) versionBalance(v Version, made journal.Made) balanceJSON {
	b := j.balance(made, dilution.Water{})
	if unsized(v) {
		b.Remarks = append(b.Remarks, remarkJSON{"parts_without_size", []string{}})
	}
	return b
}

// unsized tells a version with lines in parts that nothing gives a size.
func unsized(v Version) bool {
	return slices.ContainsFunc(v.sized(), func(l line.Line) bool { return l.Unit == line.PartOf && !l.Volume.Known })
}

// tree gives the specs of a drink as a tree of riffs, the benchmark first. A parent that heads another's row stands for it.
func (j *Journal) tree(of Spec, tallies map[replica.ID]*tally) []treeRowJSON {
	var specs []Spec
	for _, s := range j.Specs() {
		if (j.related(s, of) || s.ID == j.head(of.ID)) && j.head(s.ID) == s.ID {
			specs = append(specs, s)
		}
	}
	in := map[replica.ID]bool{}
	for _, s := range specs {
		in[s.ID] = true
	}
	var benchmark replica.ID
	if d, ok := j.Drink(of.Drink); ok {
		benchmark = j.benchmarkOf(d)
	}
	out := []treeRowJSON{}
	done := map[replica.ID]bool{}
	var grow func(s Spec, depth int)
	grow = func(s Spec, depth int) {
		if done[s.ID] {
			return
		}
		done[s.ID] = true
		out = append(out, treeRowJSON{j.specRow(s, s.ID == benchmark, tallies[s.ID]), depth})
		for _, c := range specs {
			if c.Parent != "" && j.head(c.Parent) == s.ID {
				grow(c, depth+1)
			}
		}
	}
	for _, s := range specs {
		if s.ID == benchmark {
			grow(s, 0)
		}
	}
	for _, s := range specs {
		if p := j.head(s.Parent); s.Parent == "" || !in[p] || p == s.ID {
			grow(s, 0)
		}
	}
	for _, s := range specs { // a ring of parents has no root
		grow(s, 0)
	}
	return out
}

// cost prices a glass by what its bottles cost, each currency apart.
func (j *Journal) cost(made journal.Made) []costJSON {
	known := j.prices()
	prices, partial := map[journal.ID]bottles.Price{}, false
	for _, p := range made.Parts {
		if price := known[p.Bottle]; price.known && p.Bottle != "" {
			prices[p.Bottle] = price.Price
			partial = partial || price.partial
		}
	}
	return costsJSON(bottles.CostOfGlass(made, prices), partial)
}

// side answers, drink by drink, how its versions were scored.
func (j *Journal) side(question) (any, error) {
	out := sideJSON{Drinks: []sideDrinkJSON{}}
	rows, tallies := j.rows(), j.tallies(nil)
	for _, d := range j.Drinks() {
		view := sideDrinkJSON{ID: string(d.ID), Name: d.Name, Rows: []sideRowJSON{}}
		benchmark := j.benchmarkOf(d)
		for _, s := range rows[d.ID] {
			r := sideRowJSON{Spec: string(s.ID), Name: j.rowName(s), Benchmark: s.ID == benchmark, ScoresX10: []int64{}}
			if t := tallies[s.ID]; t != nil {
				r.Tasted, r.ScoresX10, r.LastDay = len(t.scores), list(t.scores), t.lastDay()
			}
			view.Rows = append(view.Rows, r)
		}
		if len(view.Rows) > 1 {
			inOrder(view.Rows, func(a, b sideRowJSON) int {
				return cmp.Or(cmp.Compare(truth(b.Benchmark), truth(a.Benchmark)), cmp.Compare(b.Tasted, a.Tasted), cmp.Compare(a.Name, b.Name))
			})
			out.Drinks = append(out.Drinks, view)
		}
	}
	inOrder(out.Drinks, func(a, b sideDrinkJSON) int {
		return cmp.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name))
	})
	return out, nil
}

func truth(b bool) int {
	if b {
		return 1
	}
	return 0
}

// draft reads and weighs lines while they are typed.
func (j *Journal) draft(q question) (any, error) {
	if len(q.Lines) > mostLines {
		return nil, journal.Refuse("too_many_lines", "lines", "expected at most %d lines, got %d", mostLines, len(q.Lines))
	}
	out := draftJSON{Lines: []draftLineJSON{}, Unit: j.drinkUnit()}
	v := Version{Spec: Spec{Method: q.Method}}
	var beside []Line
	if q.Spec != "" {
		beside = j.Lines(q.Spec)
		if s, ok := j.Spec(q.Spec); ok {
			v.Spec.PartUL, v.Spec.TotalUL = s.PartUL, s.TotalUL
		}
	}
	if q.PartUL != nil {
		v.Spec.PartUL, v.Spec.TotalUL = unit.Known(unit.Volume(*q.PartUL)), unit.Maybe[unit.Volume]{}
	}
	if q.TotalUL != nil {
		v.Spec.TotalUL, v.Spec.PartUL = unit.Known(unit.Volume(*q.TotalUL)), unit.Maybe[unit.Volume]{}
	}
	o := j.readingOptions(beside)
	type span struct{ from, to int }
	spans := make([]span, len(q.Lines))
	for i, typed := range q.Lines {
		from := len(v.Lines)
		if strings.TrimSpace(typed) == "" {
			out.Lines = append(out.Lines, draftLineJSON{OK: true})
			continue
		}
		lines, err := j.read(typed, o)
		if r, ok := err.(*journal.Refusal); ok {
			out.Lines = append(out.Lines, draftLineJSON{Refusal: &refusalJSON{r.Code, r.Field, r.Text}})
			continue
		}
		if err != nil {
			return nil, err
		}
		for k := range lines {
			lines[k].ID = replica.ID("draft." + itoa(from+k))
		}
		v.Lines = append(v.Lines, lines...)
		spans[i] = span{from, len(v.Lines)}
		out.Lines = append(out.Lines, draftLineJSON{OK: true})
	}
	views := j.versionLines(v)
	for i, s := range spans {
		if out.Lines[i].OK {
			out.Lines[i].Lines = views[s.from:s.to]
		}
	}
	if len(v.Lines) > 0 {
		b := j.balance(j.Glass(v), dilution.Water{})
		if unsized(v) {
			b.Remarks = append(b.Remarks, remarkJSON{"parts_without_size", []string{}})
		}
		a := j.alcohol(j.specTotal(v, unit.Whole))
		out.Balance, out.Alcohol = &b, &a
	}
	return out, nil
}

// sheet answers what the pour sheet needs: the spec, perhaps with one ingredient swapped, and what could be swapped in.
func (j *Journal) sheet(q question) (any, error) {
	v, ok := j.Version(q.Spec)
	if !ok {
		return nil, missing("spec", "spec", q.Spec)
	}
	share := unit.Whole
	if q.ShareBP != nil {
		if _, err := aShare.check("share_bp", replica.Int(*q.ShareBP)); err != nil {
			return nil, err
		}
		share = unit.Share(*q.ShareBP)
	}
	written := v
	if q.Swap != nil {
		p := &plan{Journal: j}
		var err error
		if _, v, err = p.swapped(q.Spec, *q.Swap); err != nil {
			return nil, err
		}
	}
	out := sheetJSON{Spec: j.versionView(v), Swaps: j.swaps(written), Terms: list(j.offeredTerms())}
	t := j.specTotal(v, share)
	out.Alcohol = j.alcohol(t)
	all := j.since(j.now.MS - recent)
	out.WouldBring = j.alcohol(plus(running(j.report(all)), t))
	out.Passes = j.passed(all, t)
	return out, nil
}

// mostChoices is as many as a hand can look through behind a bar.
const mostChoices = 30

// swaps gives, for each line, what could stand in it: first as it is written, then what the owner has of the same family and
// shelf, what stands open first, then the stock's. Of things no one knows the shelf of, those on the owner's own shelf.
func (j *Journal) swaps(v Version) []swapJSON {
	type candidate struct {
		choice           swapChoiceJSON
		family, category string
		own              bool
	}
	left := j.left()
	choice := func(i Ingredient) swapChoiceJSON {
		c := swapChoiceJSON{Ingredient: string(i.ID), Name: i.Name, ABVPercent: percent(i.Strength)}
		if ml, ok := left[i.ID]; ok {
			c.LeftML = &ml
		}
		return c
	}
	var all []candidate
	for _, i := range j.OwnIngredients() {
		s, _ := j.stockOf(i)
		all = append(all, candidate{choice(i), s.Family, s.Category, true})
	}
	for _, s := range stock.All() {
		i := j.Ingredient(replica.ID(s.ID))
		i.Strength = unit.Known(s.Content.Strength.Value.Value)
		all = append(all, candidate{choice(i), s.Family, s.Category, false})
	}
	out := []swapJSON{}
	for _, l := range v.Lines {
		written := Ingredient{ID: l.Ingredient, Name: l.Calls()}
		c, _ := j.content(l)
		written.Strength = unit.Maybe[unit.Strength]{Value: c.Strength.Value.Value, Known: c.Strength.Known}
		first := choice(written)
		first.AsWritten = true
		var of stock.Ingredient
		if own := j.Ingredient(l.Ingredient); l.Ingredient != "" && !own.Stock && !own.Missing {
			of, _ = j.stockOf(own)
		} else {
			of, _ = stockFor(l)
		}
		rank := func(c candidate) int {
			switch {
			case c.category == "" && of.Category == "", c.category == "" && c.choice.LeftML != nil:
				return 2
			case c.category != of.Category || c.category == "":
				return -1
			case c.family == of.Family:
				return 0
			}
			return 1
		}
		var fits []candidate
		for _, c := range all {
			if c.choice.Ingredient != string(l.Ingredient) && rank(c) >= 0 {
				fits = append(fits, c)
			}
		}
		inOrder(fits, func(a, b candidate) int {
			return cmp.Or(truth(b.own)-truth(a.own), rank(a)-rank(b), truth(b.choice.LeftML != nil)-truth(a.choice.LeftML != nil),
				cmp.Compare(strings.ToLower(a.choice.Name), strings.ToLower(b.choice.Name)))
		})
		view := swapJSON{Line: string(l.ID), LineName: l.Calls(), Amount: amountOf(l.Line), Unit: string(l.Unit), Choices: []swapChoiceJSON{first}}
		for _, c := range fits[:min(len(fits), mostChoices)] {
			view.Choices = append(view.Choices, c.choice)
		}
		out = append(out, view)
	}
	return out
}
