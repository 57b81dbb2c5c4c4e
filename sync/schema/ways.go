package schema

import (
	"cmp"
	"math"
	"strings"

	"fairmeasure/journal"
	"fairmeasure/journal/count"
	"fairmeasure/journal/ethanol"
	"fairmeasure/journal/line"
	"fairmeasure/journal/solution"
	"fairmeasure/journal/stock"
	"fairmeasure/journal/unit"
	"fairmeasure/sync/replica"
)

type wayLineJSON struct {
	Keep       string `json:"keep,omitempty"`
	Typed      string `json:"typed"`
	Ingredient string `json:"ingredient,omitempty"`
}

type wayChangeJSON struct {
	Was   string `json:"was"`
	Typed string `json:"typed"`
}

type weighJSON struct {
	Acid  string  `json:"acid"`
	Grams float64 `json:"grams"`
}

type wayJSON struct {
	Way     string          `json:"way"`
	Lines   []wayChangeJSON `json:"lines"`
	All     []wayLineJSON   `json:"all"`
	Balance balanceJSON     `json:"balance"`
	Alcohol alcoholJSON     `json:"alcohol"`
	Weigh   []weighJSON     `json:"weigh"`
	BatchML *float64        `json:"batch_ml"`
	Notes   []string        `json:"notes"`
}

type wayChoiceJSON struct {
	Ingredient  string   `json:"ingredient"`
	Name        string   `json:"name"`
	ABVPercent  *float64 `json:"abv_percent"`
	SugarPer100 *float64 `json:"sugar_g_per_100ml"`
	AcidPercent *float64 `json:"acid_percent"`
	Own         bool     `json:"own"`
	Family      string   `json:"family"`
}

type waysJSON struct {
	Line    string          `json:"line"`
	Name    string          `json:"name"`
	Sort    string          `json:"sort"`
	Family  string          `json:"family"`
	Before  balanceJSON     `json:"before"`
	Choices []wayChoiceJSON `json:"choices"`
	Ways    []wayJSON       `json:"ways"`
}

// held is what something is for the ways to replace it.
type held string

const (
	sweetener held = "sweetener" // sugar and no alcohol
	citrus    held = "citrus"    // an acid juice
	liqueur   held = "liqueur"   // alcohol and sugar
	spirit    held = "spirit"    // alcohol without sugar
	noneHeld  held = "other"
)

// thing is something that may stand in a line: what it holds, and the owner's factor for how sweet it tastes, if any.
type thing struct {
	id       replica.ID
	name     string
	own      bool
	of       stock.Ingredient    // the one it is one of; none when not known
	strength unit.Maybe[float64] // % vol
	sugar    unit.Maybe[float64] // g/L
	acid     unit.Maybe[float64] // g/L, as citric acid
	taste    unit.Maybe[float64]
	family   string // of a kind: gin, whisky; empty when not known
}

func (t *thing) hold(c journal.Content) {
	t.strength = unit.Maybe[float64]{Value: c.Strength.Value.Value.Percent(), Known: c.Strength.Known}
	t.sugar = unit.Maybe[float64]{Value: c.Sugar.Value.Value.GramsPerLitre(), Known: c.Sugar.Known}
	t.acid = unit.Maybe[float64]{Value: c.Acid.Value.Value.GramsPerLitre(), Known: c.Acid.Known}
}

// thingOf gives an ingredient, of the owner's or the stock's.
func (j *Journal) thingOf(i Ingredient) thing {
	t := thing{id: i.ID, name: i.Name, own: !i.Stock}
	if i.Stock {
		t.of, _ = stock.ByID(journal.ID(i.ID))
	} else {
		t.of, _ = j.stockOf(i)
	}
	if t.family = t.of.Family; t.family == "" {
		t.family = i.Family
	}
	c, _ := j.content(Line{Ingredient: i.ID, Line: line.Line{Name: i.Name}})
	t.hold(c)
	if e, ok := j.view.Get(i.ID); ok && !i.Stock {
		bp := intOf(row{e}, "taste_bp")
		t.taste = unit.Maybe[float64]{Value: float64(bp.Value) / 10_000, Known: bp.Known && bp.Value > 0}
	}
	return t
}

// thingIn gives what stands in a line.
func (j *Journal) thingIn(l Line) thing {
	t := thing{id: l.Ingredient, name: l.Calls()}
	if i := j.Ingredient(l.Ingredient); l.Ingredient != "" && !i.Stock && !i.Missing {
		t = j.thingOf(i)
	} else {
		t.of, _ = stockFor(l)
		t.family = t.of.Family
	}
	c, _ := j.content(l)
	t.hold(c)
	return t
}

// What tells sorts apart where the stock does not know a thing, in % vol and g/L: a liqueur has 15 % vol and 100 g/L of
// sugar at least (Reg (EU) 2019/787 Annex I cat. 33), a sweetener more sugar than any juice, a citrus at least the acid of
// orange juice. Chosen, but for the liqueur.
const (
	leastStrength    = 15
	leastSugar       = 100
	leastSyrup       = 250
	leastAcid        = 5
	sweetnessOfJuice = 20 // grams of sugar to one of acid, at most
)

// sort tells what a thing is for the ways. What its shelf does not tell, its figures do; what is unknown tells nothing.
func (t thing) sort() held {
	switch t.of.Category {
	case "spirit":
		return spirit
	case "liqueur":
		return liqueur
	case "syrup and sweetener":
		return sweetener
	case "juice":
		if t.acid.Known && t.acid.Value >= leastAcid {
			return citrus
		}
		return noneHeld
	case "":
	default:
		return noneHeld
	}
	switch {
	case !t.strength.Known || !t.sugar.Known:
		return noneHeld
	case t.strength.Value >= leastStrength && t.sugar.Value >= leastSugar:
		return liqueur
	case t.strength.Value >= leastStrength && t.sugar.Value < leastSugar/10:
		return spirit
	case t.strength.Value > 0:
		return noneHeld
	case t.acid.Known && t.acid.Value >= leastAcid && t.sugar.Value <= t.acid.Value*sweetnessOfJuice:
		return citrus
	case t.sugar.Value >= leastSyrup:
		return sweetener
	}
	return noneHeld
}

func (t thing) choice() wayChoiceJSON {
	figure := func(m unit.Maybe[float64], by float64, decimals int) *float64 {
		if !m.Known {
			return nil
		}
		n := round(m.Value*by, decimals)
		return &n
	}
	return wayChoiceJSON{string(t.id), t.name, figure(t.strength, 1, 2), figure(t.sugar, 0.1, 1), figure(t.acid, 0.1, 2), t.own, t.family}
}

// ways answers how another ingredient fits in a line.
func (j *Journal) ways(q question) (any, error) {
	v, at, err := (&plan{Journal: j}).versionWith(q.Spec, q.Line)
	if err != nil {
		return nil, err
	}
	l := v.Lines[at]
	in := j.thingIn(l)
	out := waysJSON{
		Line: string(l.ID), Name: l.Calls(), Sort: string(in.sort()), Family: in.family, Before: j.versionBalance(v, j.Glass(v)),
		Choices: j.wayChoices(v, at, in), Ways: []wayJSON{},
	}
	w := wayFinder{j: j, v: v, at: at, from: in}
	if sized := v.sized()[at].Volume; sized.Known && l.Open == journal.Measured && l.Unit != line.Gram {
		w.ml = sized.Value.Value.ML()
	}
	w.before = j.startOf(j.Glass(v))
	if q.Ingredient != "" {
		i := j.Ingredient(q.Ingredient)
		if i.Missing {
			return nil, missing("ingredient", "ingredient", q.Ingredient)
		}
		w.to = j.thingOf(i)
		w.find()
	} else if in.sort() == liqueur {
		w.apart(j.thingOf(j.Ingredient("stock.vodka")))
	}
	out.Ways = list(w.found)
	return out, nil
}

// wayChoices gives what may take the place of a line: the owner's first, then by family, then by name.
func (j *Journal) wayChoices(v Version, at int, in thing) []wayChoiceJSON {
	of := in.sort()
	sweet := j.sweetenerBeside(v, at) >= 0
	fits := func(t thing) bool {
		if t.id == v.Lines[at].Ingredient {
			return false
		}
		switch s := t.sort(); of {
		case noneHeld:
			return s == noneHeld && t.of.Category == in.of.Category
		case liqueur:
			return s == liqueur || s == spirit
		case spirit:
			return s == spirit || s == liqueur && sweet
		default:
			return s == of
		}
	}
	var all []thing
	for _, i := range j.OwnIngredients() {
		if t := j.thingOf(i); fits(t) {
			all = append(all, t)
		}
	}
	for _, s := range stock.All() {
		if t := j.thingOf(Ingredient{ID: replica.ID(s.ID), Name: s.Name, Stock: true}); fits(t) {
			all = append(all, t)
		}
	}
	rank := func(t thing) int {
		switch {
		case t.of.Family != "" && t.of.Family == in.of.Family:
			return 0
		case t.sort() == of:
			return 1
		}
		return 2
	}
	inOrder(all, func(a, b thing) int {
		return cmp.Or(truth(b.own)-truth(a.own), rank(a)-rank(b), cmp.Compare(strings.ToLower(a.name), strings.ToLower(b.name)), cmp.Compare(a.id, b.id))
	})
	out := []wayChoiceJSON{}
	for _, t := range all {
		out = append(out, t.choice())
	}
	return out
}

// sweetenerBeside gives the nearest line of a sweetener with an amount, those behind the line first; -1 when there is none.
func (j *Journal) sweetenerBeside(v Version, at int) int {
	sized := v.sized()
	is := func(i int) bool {
		return i != at && v.Lines[i].Open == journal.Measured && sized[i].Volume.Known && j.thingIn(v.Lines[i]).sort() == sweetener
	}
	for i := at + 1; i < len(v.Lines); i++ {
		if is(i) {
			return i
		}
	}
	for i := at - 1; i >= 0; i-- {
		if is(i) {
			return i
		}
	}
	return -1
}

// start is what a drink comes to before ice, of what is known: a line that does not change adds the same either way.
type start struct{ ml, ethanol, sugar, acid float64 } // ml and grams

func (j *Journal) startOf(made journal.Made) (w start) {
	w.ethanol = count.Grams(int64(ethanol.In(made).Volume.Value), count.Profile(j.Settings().Country).Density)
	for _, p := range made.Parts {
		ml := p.Volume.Value.Value.ML()
		w.ml += ml
		w.sugar += ml * p.Content.Sugar.Value.Value.GramsPerLitre() / 1000
		w.acid += ml * p.Content.Acid.Value.Value.GramsPerLitre() / 1000
	}
	return w
}

// wayFinder finds the ways to put one thing in the place of another.
type wayFinder struct {
	j        *Journal
	v        Version
	at       int
	ml       float64 // of the line; 0 when it has no amount
	from, to thing
	before   start
	found    []wayJSON
}

// find finds the ways that fit what both things hold. Without a figure that a way needs there is no such way.
func (w *wayFinder) find() {
	w.sameVolume()
	if w.ml <= 0 {
		return
	}
	from, to := w.from.sort(), w.to.sort()
	switch {
	case from == sweetener && to == sweetener:
		w.equalSugar()
		w.asItTastes()
	case from == citrus && to == citrus:
		w.citrus()
	case from == liqueur && to == liqueur:
		w.equalSugar()
	case from == liqueur && to == spirit:
		w.apart(w.to)
	case from == spirit && to == spirit:
		w.equalAlcohol()
		w.split()
	case from == spirit && to == liqueur:
		w.back()
		w.split()
	}
}

// add keeps a way, unless it cannot be written or is one that was found before.
func (w *wayFinder) add(way string, a *altered, weigh []weighJSON, notes ...string) {
	changes := a.changes()
	if a.spoiled || len(a.lines) > mostLines || len(changes) == 0 {
		return
	}
	all := a.all()
	for _, f := range w.found {
		if sameAll(f.All, all) {
			return
		}
	}
	v := a.version()
	if oneOunce(v.Lines) != nil {
		return
	}
	made := w.j.Glass(v)
	notes = append(notes, w.moved(w.j.startOf(made))...)
	weigh = list(weigh)
	w.found = append(w.found, wayJSON{
		Way: way, Lines: changes, All: all, Balance: w.j.versionBalance(v, made), Alcohol: w.j.alcohol(w.j.specTotal(v, unit.Whole)),
		Weigh: weigh, Notes: list(notes),
	})
}

func sameAll(a, b []wayLineJSON) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i].Typed != b[i].Typed || a[i].Keep != b[i].Keep {
			return false
		}
	}
	return true
}

// What is told of a drink that moves: by more than a millilitre, half a gram of alcohol, a gram of sugar, a tenth of acid.
const (
	tellML      = 1
	tellAlcohol = 0.5
	tellSugar   = 1
	tellAcid    = 0.1
)

// moved tells what else a way moves. Of a figure that one of the two things lacks it tells only that.
func (w *wayFinder) moved(after start) (notes []string) {
	if math.Abs(after.ml-w.before.ml) > tellML {
		notes = append(notes, "total_changes")
	}
	to := w.to
	if to.id == "" {
		to = w.from // taken apart into what is all known
	}
	for _, of := range []struct {
		word      string
		known     bool
		by, least float64
		unknown   string
	}{
		{"alcohol", w.from.strength.Known && to.strength.Known, after.ethanol - w.before.ethanol, tellAlcohol, "strength_unknown"},
		{"sugar", w.from.sugar.Known && to.sugar.Known, after.sugar - w.before.sugar, tellSugar, "sugar_unknown"},
		{"acid", w.from.acid.Known && to.acid.Known, after.acid - w.before.acid, tellAcid, "acid_unknown"},
	} {
		switch {
		case !of.known:
			notes = append(notes, of.unknown)
		case of.by > of.least:
			notes = append(notes, of.word+"_more")
		case of.by < -of.least:
			notes = append(notes, of.word+"_less")
		}
	}
	return notes
}

// sameVolume puts as much of the other in.
func (w *wayFinder) sameVolume() {
	a := w.j.altering(w.v)
	swapped := swapLine(a.lines[w.at].Line, Ingredient{ID: w.to.id, Name: w.to.name})
	a.write(w.at, swapped.Line, w.to.id)
	w.add("same_volume", a, nil)
}

// equalSugar brings the same sugar, and water for the rest of the size.
func (w *wayFinder) equalSugar() {
	if w.from.sugar.Known && w.to.sugar.Known {
		w.sweeten("equal_sugar", solution.Sweetener{PerLitre: w.from.sugar.Value, Taste: 1}, solution.Sweetener{PerLitre: w.to.sugar.Value, Taste: 1})
	}
}

// asItTastes brings as much sweetness by the owner's own factors, where there is one.
func (w *wayFinder) asItTastes() {
	if !w.from.sugar.Known || !w.to.sugar.Known || !w.from.taste.Known && !w.to.taste.Known {
		return
	}
	factor := func(t thing) float64 {
		if t.taste.Known {
			return t.taste.Value
		}
		return 1
	}
	w.sweeten("as_it_tastes", solution.Sweetener{PerLitre: w.from.sugar.Value, Taste: factor(w.from)},
		solution.Sweetener{PerLitre: w.to.sugar.Value, Taste: factor(w.to)}, "factor_used")
}

func (w *wayFinder) sweeten(way string, from, to solution.Sweetener, notes ...string) {
	s, err := solution.SwapSweetener(w.ml, from, to)
	if err != nil {
		return
	}
	w.exchange(way, s.ML, notes...)
}

// exchange puts so much of the other in and keeps the size with water.
func (w *wayFinder) exchange(way string, ml float64, notes ...string) {
	a := w.j.altering(w.v)
	l := a.lines[w.at].Line
	a.pour(w.at, l, ml, w.to)
	if a.spoiled {
		return
	}
	a.water(w.at, l, w.ml-a.ml(w.at))
	w.add(way, a, nil, notes...)
}

// citrus brings the same acid: by juice alone; a weaker one with acid weighed into it, citric alone or as the trade
// adjusts juices; a sharper one with syrup and water for what it lacks. Acid that was weighed in behind the old juice is
// part of what it brought, and goes with it.
func (w *wayFinder) citrus() {
	if !w.from.acid.Known || !w.to.acid.Known {
		return
	}
	grams, after := 0.0, w.at+1
	for ; after < len(w.v.Lines); after++ {
		ml, c, ok := weighedIn(w.v.Lines[after])
		if !ok {
			break
		}
		grams += ml * c.Acid.Value.Value.GramsPerLitre() / 1000
	}
	s, err := solution.SwapCitrus(w.ml, w.from.acid.Value+grams/w.ml*1000, w.to.acid.Value)
	if err != nil {
		return
	}
	poured := func(ml float64) *altered {
		a := w.j.altering(w.v)
		for i := w.at + 1; i < after; i++ {
			a.remove(i)
		}
		a.pour(w.at, a.lines[w.at].Line, ml, w.to)
		return a
	}
	w.add("juice_only", poured(s.JuiceML), nil)
	if s.AddGrams > 0 {
		for _, sharper := range []struct {
			way   string
			doses []solution.Dose
		}{
			{"juice_and_acid", solution.Adjusting("", "", s.AddGrams/w.ml*1000)},
			{"acid_adjusted", solution.Adjusting(juiceOf(w.to), juiceOf(w.from), s.AddGrams/w.ml*1000)},
		} {
			w.sharpen(sharper.way, poured(w.ml), sharper.doses)
		}
		return
	}
	missing := (w.ml*w.from.sugar.Value - s.JuiceML*w.to.sugar.Value) / 1000
	if w.from.sugar.Known && w.to.sugar.Known && missing > tellSugar {
		a := poured(s.JuiceML)
		as := w.v.Lines[w.at]
		rich := w.j.rich()
		a.insert(w.at + 1)
		if a.pour(w.at+1, as, missing/rich.sugar.Value*1000, rich); !a.spoiled {
			a.water(w.at+1, as, w.ml-a.ml(w.at)-a.ml(w.at+1))
			w.add("juice_and_sugar", a, nil)
		}
	}
}

// juiceOf is the juice a thing is, by the stock's key.
func juiceOf(t thing) string { return strings.TrimPrefix(string(t.of.ID), "stock.") }

// scaleStep is what a kitchen scale for spices shows, in grams.
const scaleStep = 0.1

// sharpen weighs acid into the juice that was poured.
func (w *wayFinder) sharpen(way string, a *altered, doses []solution.Dose) {
	if a.spoiled {
		return
	}
	var weigh []weighJSON
	at := w.at
	for _, d := range solution.Adjust(a.ml(w.at), doses, scaleStep) {
		grams := round(d.Grams, 1)
		if grams <= 0 {
			continue
		}
		a.weigh(at, grams, string(d.Acid)+" acid")
		at++
		weigh = append(weigh, weighJSON{string(d.Acid), grams})
	}
	if len(weigh) == 0 {
		return
	}
	n := len(w.found)
	w.add(way, a, weigh)
	if len(w.found) > n {
		batch := math.Ceil(solution.SmallestBatch(doses, scaleStep))
		w.found[n].BatchML = &batch
	}
}

// rich is the syrup that brings sugar into a drink without much water, by a name that is short and read back as it.
func (j *Journal) rich() thing {
	t := j.thingOf(j.Ingredient("stock.rich_syrup"))
	t.name = "rich syrup"
	return t
}

// apart takes a liqueur apart into a spirit, syrup and water.
func (w *wayFinder) apart(base thing) {
	if w.ml <= 0 || !w.from.strength.Known || !w.from.sugar.Known || !base.strength.Known {
		return
	}
	rich := w.j.rich()
	parts, err := solution.TakeApart(w.ml, w.from.strength.Value, w.from.sugar.Value, base.strength.Value, rich.sugar.Value)
	if err != nil {
		return
	}
	a := w.j.altering(w.v)
	l := a.lines[w.at].Line
	a.pour(w.at, l, parts.SpiritML, base)
	a.insert(w.at + 1)
	a.pour(w.at+1, l, parts.SyrupML, rich)
	if a.spoiled {
		return
	}
	a.water(w.at+1, l, w.ml-a.ml(w.at)-a.ml(w.at+1))
	w.add("apart", a, nil, "flavour")
}

// back puts a liqueur in the place of a spirit and a sweetener, as far as both go. What is left of them stays, unless it
// is less than a millilitre.
func (w *wayFinder) back() {
	with := w.j.sweetenerBeside(w.v, w.at)
	if with < 0 {
		return
	}
	sweet := w.j.thingIn(w.v.Lines[with])
	if !w.from.strength.Known || !w.to.strength.Known || !w.to.sugar.Known || !sweet.sugar.Known {
		return
	}
	a := w.j.altering(w.v)
	l := a.lines[w.at].Line
	sweetML := a.ml(with)
	t, err := solution.PutTogether(w.ml, w.from.strength.Value, sweetML, sweet.sugar.Value, w.to.strength.Value, w.to.sugar.Value)
	if err != nil {
		return
	}
	put, ok := a.measured(l, t.LiqueurML)
	if !ok {
		return
	}
	got, ok := a.reread(line.Line{Unit: put.Unit, OunceKind: put.OunceKind, Qty: put.Qty, Name: w.to.name}, w.to.id)
	if !ok {
		return
	}
	share := got.Volume.Value.Value.ML() / t.LiqueurML
	const leastLeft = 1
	spirit, syrup := w.ml-share*t.SpiritML, sweetML-share*t.SyrupML
	at := w.at
	total := w.ml + sweetML
	after := got.Volume.Value.Value.ML()
	if syrup < leastLeft {
		a.remove(with)
	} else {
		a.resize(with, syrup)
		if a.spoiled {
			return
		}
		after += a.ml(with)
	}
	if spirit >= leastLeft {
		a.resize(w.at, spirit)
		if a.spoiled {
			return
		}
		after += a.ml(w.at)
		a.insert(w.at + 1)
		at++
	}
	a.pour(at, l, t.LiqueurML, w.to)
	if a.spoiled {
		return
	}
	a.water(at, l, total-after)
	w.add("back", a, nil)
}

// equalAlcohol brings the same alcohol, and water for the rest of the size.
func (w *wayFinder) equalAlcohol() {
	if !w.from.strength.Known || !w.to.strength.Known {
		return
	}
	ml, err := solution.SwapSpirit(w.ml, w.from.strength.Value, w.to.strength.Value)
	if err != nil {
		return
	}
	w.exchange("equal_alcohol", ml)
}

// split pours half of the old and half of the new.
func (w *wayFinder) split() {
	a := w.j.altering(w.v)
	l := a.lines[w.at].Line
	a.resize(w.at, w.ml/2)
	if a.spoiled {
		return
	}
	a.insert(w.at + 1)
	a.pour(w.at+1, l, w.ml-a.ml(w.at), w.to)
	w.add("split", a, nil)
}
