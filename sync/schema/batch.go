package schema

import (
	"cmp"
	"slices"
	"strings"

	"fairmeasure/journal"
	"fairmeasure/journal/balance"
	"fairmeasure/journal/batch"
	"fairmeasure/journal/bottles"
	"fairmeasure/journal/caution"
	"fairmeasure/journal/dilution"
	"fairmeasure/journal/ethanol"
	"fairmeasure/journal/line"
	"fairmeasure/journal/solution"
	"fairmeasure/journal/unit"
	"fairmeasure/sync/replica"
)

type cautionJSON struct {
	Code    string   `json:"code"`
	Names   []string `json:"names"`
	Marking string   `json:"marking"`
}

type batchTakesJSON struct {
	Bottle  string  `json:"bottle"`
	Name    string  `json:"name"`
	TakesML float64 `json:"takes_ml"`
}

type batchLineJSON struct {
	Line       string           `json:"line"`
	Name       string           `json:"name"`
	OneML      *float64         `json:"one_ml"`
	ML         *float64         `json:"ml"`
	Grams      *float64         `json:"grams"`
	Estimate   bool             `json:"estimate"`
	TasteFirst bool             `json:"taste_first"`
	Bottles    []batchTakesJSON `json:"bottles"`
	ShortML    float64          `json:"short_ml"`
	Pieces     *float64         `json:"pieces"`
}

type freezerJSON struct {
	AtC           int64      `json:"at_c"`
	FreezesC      figureJSON `json:"freezes_c"`
	State         string     `json:"state"`
	MinABVPercent float64    `json:"min_abv_percent"`
}

type batchJSON struct {
	Spec                string          `json:"spec"`
	Name                string          `json:"name"`
	Method              string          `json:"method"`
	Servings            float64         `json:"servings"`
	ServingML           figureJSON      `json:"serving_ml"`
	Lines               []batchLineJSON `json:"lines"`
	WaterML             figureJSON      `json:"water_ml"`
	WaterGrams          *float64        `json:"water_grams"`
	WaterPercentOfStart figureJSON      `json:"water_percent_of_start"`
	TotalML             *float64        `json:"total_ml"`
	BottleML            *float64        `json:"bottle_ml"`
	HeadspaceML         *float64        `json:"headspace_ml"`
	Balance             balanceJSON     `json:"balance"`
	Alcohol             alcoholJSON     `json:"alcohol"`
	Unit                drinkUnitJSON   `json:"unit"`
	Freezer             *freezerJSON    `json:"freezer"`
	Cautions            []cautionJSON   `json:"cautions"`
	Cost                []costJSON      `json:"cost"`
}

type syrupJSON struct {
	SugarG        float64  `json:"sugar_g"`
	WaterG        float64  `json:"water_g"`
	Brix          float64  `json:"brix"`
	SugarPer100   float64  `json:"sugar_g_per_100ml"`
	YieldML       float64  `json:"yield_ml"`
	Crystals5C    bool     `json:"crystals_5c"`
	Crystals20C   bool     `json:"crystals_20c"`
	CostMinor     *float64 `json:"cost_minor"`
	CostPer100Min *float64 `json:"cost_minor_per_100ml"`
}

type infusionJSON struct {
	ABVPercent figureJSON    `json:"abv_percent"`
	MadeML     float64       `json:"made_ml"`
	CostFactor float64       `json:"cost_factor"`
	Assumed    bool          `json:"assumed"`
	Cautions   []cautionJSON `json:"cautions"`
}

// batch answers how to make more of a spec at once.
func (j *Journal) batch(q question) (any, error) {
	v, ok := j.Version(q.Spec)
	if !ok {
		return nil, missing("spec", "spec", q.Spec)
	}
	if given := truth(q.Servings != nil) + truth(q.TotalUL != nil) + truth(q.BottleUL != nil); given != 1 {
		return nil, journal.Refuse("one_of", "servings", "expected one of servings, total_ul and bottle_ul, got %d", given)
	}
	if c := q.FreezerC; c != nil && (*c < -40 || *c > 0) {
		return nil, journal.Refuse("out_of_range", "freezer_c", "expected a freezer of -40 to 0 °C, got %d", *c)
	}
	if err := oneMeasure(v); err != nil {
		return nil, err
	}
	b := batching{j: j, v: v, q: q, glasses: true}
	if unsized(v) {
		if q.Servings != nil {
			return nil, journal.Refuse("parts_without_size", "servings", "these parts have no size: give a total or a bottle")
		}
		b.glasses = false
		b.v.Spec.TotalUL = unit.Known(partsTotal)
	}
	if err := b.scale(); err != nil {
		return nil, err
	}
	return b.answer(), nil
}

// oneMeasure refuses a version with lines in parts that nothing gives a size beside lines that have one: there is no telling
// how much of the one goes with the other.
func oneMeasure(v Version) error {
	var parts, sizes []string
	for i, l := range v.sized() {
		typed := "“" + clip(v.Lines[i].Typed) + "”"
		switch {
		case l.Unit == line.PartOf && !l.Volume.Known:
			parts = append(parts, typed)
		case l.Open == journal.Measured && (l.Volume.Known || l.Unit == line.Gram && l.Qty.Known):
			sizes = append(sizes, typed)
		}
	}
	if len(parts) == 0 || len(sizes) == 0 {
		return nil
	}
	return journal.Refuse("parts_beside_amounts", "part_ul", "%s in parts cannot be measured beside %s: say how large one part is",
		strings.Join(parts, ", "), strings.Join(sizes, ", "))
}

// partsTotal stands for a glass whose parts have no size while only proportions count: every line is in parts then.
const partsTotal unit.Volume = 1_000_000

// batching is a batch being worked out.
type batching struct {
	j       *Journal
	v       Version
	q       question
	glasses bool // whether a glass has a size

	glass    journal.Made // one glass
	is       []int        // the parts of it that are put in
	one      []unit.Volume
	water    unit.Volume
	doubt    unit.Maybe[balance.Figure] // the drink's own water, in ml a glass
	put      []unit.Volume
	putWater unit.Volume
	times    float64
}

// scale finds how much of each goes in.
func (b *batching) scale() error {
	b.glass = b.j.Glass(b.v)
	for i, p := range b.glass.Parts {
		if batch.Part(p) {
			b.is = append(b.is, i)
			b.one = append(b.one, p.Volume.Value.Value)
		}
	}
	start := batch.Sum(b.one)
	switch b.q.Water {
	case "none":
	case "percent":
		if b.q.PercentBP == nil || *b.q.PercentBP < 0 || *b.q.PercentBP > 30_000 {
			return journal.Refuse("out_of_range", "percent_bp", "expected water of 0 to 300 %%")
		}
		b.water = batch.Percent(start, *b.q.PercentBP)
	case "method":
		own := balance.Of(b.bottled(b.one), b.j.expected(b.glass)).Dilution.Water
		if !own.Known {
			return journal.Refuse("water_unknown", "water", "how much water this takes up is not known: give a percentage")
		}
		b.doubt = unit.Known(own)
		b.water = unit.Millilitres(own.Value)
	default:
		return journal.Refuse("unknown_word", "water", "expected none, method or percent, got %q", clip(b.q.Water))
	}
	all := append(slices.Clone(b.one), b.water)
	var put []unit.Volume
	var err error
	if n := b.q.Servings; n != nil {
		put, err = batch.Times(all, *n)
		b.times = float64(*n)
	} else {
		whole := unit.Volume(0)
		if b.q.TotalUL != nil {
			whole = unit.Volume(*b.q.TotalUL)
		} else {
			whole = unit.Volume(*b.q.BottleUL)
			if b.q.HeadspaceUL != nil {
				if *b.q.HeadspaceUL < 0 || *b.q.HeadspaceUL >= *b.q.BottleUL {
					return journal.Refuse("out_of_range", "headspace_ul", "expected less than the bottle holds")
				}
				whole -= unit.Volume(*b.q.HeadspaceUL)
			}
		}
		put, err = batch.Fit(all, whole)
		if sum := batch.Sum(all); err == nil {
			b.times = float64(whole) / float64(sum)
		}
	}
	if err != nil {
		return err
	}
	if batch.Sum(put) == 0 {
		return journal.Refuse("empty", "spec", "there is nothing in it with an amount")
	}
	b.put, b.putWater = put[:len(b.is)], put[len(b.is)]
	return nil
}

// bottled is what goes in, so much of each, with its bands scaled along.
func (b *batching) bottled(volumes []unit.Volume) journal.Made {
	made := journal.Made{Method: b.glass.Method, Ice: b.glass.Ice}
	for k, i := range b.is {
		p := b.glass.Parts[i]
		was, to := p.Volume.Value, volumes[k]
		band := unit.Exact(to)
		if was.Value > 0 {
			by := float64(to) / float64(was.Value)
			band.Low, band.High = min(to, unit.Volume(float64(was.Low)*by)), max(to, unit.Volume(float64(was.High)*by))
		}
		p.Volume = unit.Known(band)
		made.Parts = append(made.Parts, p)
	}
	return made
}

func shownVolume(v unit.Volume) *float64 {
	n := shownAmount(v.ML())
	return &n
}

// shownAmount rounds ml or g to what is shown: a tenth below 100, else whole.
func shownAmount(x float64) float64 {
	if x < 100 {
		return round(x, 1)
	}
	return round(x, 0)
}

func (b *batching) answer() batchJSON {
	j, s := b.j, b.v.Spec
	made := b.bottled(b.put)
	total := batch.Sum(b.put) + b.putWater
	out := batchJSON{
		Spec: string(s.ID), Name: j.drinkName(s), Method: s.Method, Lines: []batchLineJSON{}, Unit: j.drinkUnit(),
		TotalML: shownVolume(total), ServingML: figureJSON{}, Cautions: j.cautions(b.v),
	}
	w := balance.Figure{Known: true, Value: b.putWater.ML(), Low: b.putWater.ML(), High: b.putWater.ML(), Decimals: 1}
	if d := b.doubt; d.Known {
		w.Low, w.High = d.Value.Low*b.times, d.Value.High*b.times
	}
	if w.Value >= 100 {
		w.Decimals = 0
	}
	out.WaterML = figureOf(w)
	grams := shownAmount(batch.WaterWeight(b.putWater))
	out.WaterGrams = &grams
	if start := batch.Sum(b.put); start > 0 {
		of := 100 / start.ML()
		out.WaterPercentOfStart = figureOf(balance.Figure{Known: true, Value: w.Value * of, Low: w.Low * of, High: w.High * of})
	}
	if b.glasses {
		out.Servings = round(b.times, 1)
		one := total.ML() / b.times
		out.ServingML = figureOf(balance.Figure{Known: true, Value: one, Low: one, High: one})
	}
	if b.q.BottleUL != nil {
		out.BottleML = shownVolume(unit.Volume(*b.q.BottleUL))
		out.HeadspaceML = shownVolume(unit.Volume(*b.q.BottleUL) - total)
	}
	lines, takings, partial := b.lines()
	out.Lines, out.Cost = lines, costsJSON(bottles.CostOf(takings), partial)

	water, _ := dilution.Poured(b.water)
	if b.q.Water == "none" {
		water = dilution.Water{}
	}
	out.Balance = j.balance(b.glass, water)
	out.Balance.Method = string(b.glass.Method)
	out.Alcohol = j.alcohol(glassTotal(ethanol.In(made), unit.Whole))
	out.Cautions = append(out.Cautions, b.ofParts()...)
	b.freeze(&out, made)
	return out
}

// ofParts tells what is not in the batch.
func (b *batching) ofParts() (all []cautionJSON) {
	var open, glass []string
	for _, p := range b.glass.Parts {
		switch {
		case batch.Part(p):
		case p.Open != journal.Measured:
			glass = append(glass, p.Name)
		default:
			open = append(open, p.Name)
		}
	}
	if len(glass) > 0 {
		all = append(all, cautionJSON{"in_glass", glass, ""})
	}
	if len(open) > 0 {
		all = append(all, cautionJSON{"open_amount", open, ""})
	}
	return all
}

// freeze answers about the freezer. A carbonated batch has no answer: its bottle may burst.
func (b *batching) freeze(out *batchJSON, made journal.Made) {
	if b.q.FreezerC == nil {
		return
	}
	add := func(code string) { out.Cautions = append(out.Cautions, cautionJSON{code, []string{}, ""}) }
	if b.q.Carbonated {
		add("carbonated_freezer")
		return
	}
	f, known := batch.Freezes(made, b.putWater)
	least, err := batch.LeastStrength(ethanol.Celsius(*b.q.FreezerC))
	if !known || err != nil {
		add("freezer_unknown")
		return
	}
	out.Freezer = &freezerJSON{AtC: *b.q.FreezerC, FreezesC: figureOf(f), State: "liquid", MinABVPercent: round(least, 1)}
	if float64(*b.q.FreezerC) < f.Value {
		out.Freezer.State = "slush"
		add("slush")
	}
}

// lines sets each line for measuring, weighing and taking from its bottles.
func (b *batching) lines() (out []batchLineJSON, takings []bottles.Taken, partial bool) {
	j := b.j
	left := map[replica.ID][]unit.Maybe[unit.Volume]{}
	sized := b.v.sized()
	prices := j.prices()
	for i, l := range b.v.Lines {
		r := batchLineJSON{Line: string(l.ID), Name: l.Calls(), Estimate: l.Estimate, Bottles: []batchTakesJSON{}}
		if s := sized[i].Volume; s.Known && b.glasses {
			r.OneML = shownVolume(s.Value.Value)
		}
		switch l.Unit {
		case line.Dash, line.Drop, line.Barspoon, line.Pinch:
			r.TasteFirst = true
		}
		k := slices.Index(b.is, i)
		if l.Unit == line.Gram && l.Qty.Known && l.Open == journal.Measured {
			grams := shownAmount(float64(l.Qty.Value) / float64(line.One) * b.times)
			r.Grams = &grams
		}
		if k < 0 || sized[i].Dry() {
			if l.Unit == line.Piece && l.Qty.Known && l.Open == journal.Measured && b.glasses {
				n := round(float64(l.Qty.Value)/float64(line.One)*b.times, 1)
				r.Pieces = &n
			}
			out = append(out, r)
			continue
		}
		need := b.put[k]
		if l.Unit != line.Gram {
			r.ML = shownVolume(need)
			if grams, ok := batch.Weight(need, b.glass.Parts[i].Content); ok {
				grams = shownAmount(grams)
				r.Grams = &grams
			}
			shelf := j.shelfOf(l.Ingredient)
			if _, seen := left[l.Ingredient]; !seen {
				for _, bottle := range shelf {
					left[l.Ingredient] = append(left[l.Ingredient], j.standings()[bottle.ID].Left)
				}
			}
			takes, short := bottles.Take(need, left[l.Ingredient])
			for n, taken := range takes {
				if taken == 0 {
					continue
				}
				bottle := shelf[n]
				r.Bottles = append(r.Bottles, batchTakesJSON{string(bottle.ID), j.Ingredient(bottle.Ingredient).Name, *shownVolume(taken)})
				p := prices[journal.ID(bottle.ID)]
				takings = append(takings, bottles.Taken{Volume: taken, Price: unit.Maybe[bottles.Price]{Value: p.Price, Known: p.known}})
				partial = partial || p.partial
			}
			r.ShortML = *shownVolume(short)
			if short > 0 {
				takings = append(takings, bottles.Taken{Volume: short})
			}
		}
		out = append(out, r)
	}
	return list(out), takings, partial
}

// shelfOf gives the bottles an ingredient is taken from, in the order they are: the longest open first, then the shut ones,
// the oldest first.
func (j *Journal) shelfOf(ingredient replica.ID) (all []Bottle) {
	if ingredient == "" {
		return nil
	}
	for _, b := range j.Bottles() {
		if b.Ingredient == ingredient && b.FinishedOn == "" && !b.Archived {
			all = append(all, b)
		}
	}
	inOrder(all, func(a, b Bottle) int {
		return cmp.Or(truth(b.OpenedOn != "")-truth(a.OpenedOn != ""), strings.Compare(a.OpenedOn, b.OpenedOn), cmp.Compare(a.ID, b.ID))
	})
	return all
}

// cautions gives what to be careful about in a version: by the words of its lines, and by what the owner noted of their
// ingredients, which goes before the words.
func (j *Journal) cautions(v Version) []cautionJSON {
	var names []string
	noted, free := map[string][]string{}, map[string][]string{}
	for _, l := range v.Lines {
		name := l.Calls()
		names = append(names, name)
		i := j.Ingredient(l.Ingredient)
		if l.Ingredient == "" || i.Missing || i.Stock {
			continue
		}
		e, ok := j.view.Get(l.Ingredient)
		if !ok {
			continue
		}
		if i.Name != "" && !same(i.Name, name) {
			names = append(names, i.Name)
		}
		for field := range e.Fields {
			if !strings.HasPrefix(field, "allergen.") {
				continue
			}
			if yes, known := (row{e}).value(field).AsBool(); known && yes {
				noted[field] = append(noted[field], name)
			} else if known {
				free[field] = append(free[field], name, i.Name)
			}
		}
	}
	out := []cautionJSON{}
	for _, c := range caution.In(names) {
		said := slices.DeleteFunc(c.Names, func(n string) bool { return slices.Contains(free[c.Code], n) })
		for _, n := range noted[c.Code] {
			if !slices.Contains(said, n) {
				said = append(said, n)
			}
		}
		delete(noted, c.Code)
		if len(said) > 0 {
			out = append(out, cautionJSON{c.Code, said, c.Marking})
		}
	}
	var more []string
	for code := range noted {
		more = append(more, code)
	}
	slices.Sort(more)
	for _, code := range more {
		out = append(out, cautionJSON{code, noted[code], "own"})
	}
	return out
}

func cautionsJSON(all []caution.Caution) []cautionJSON {
	out := []cautionJSON{}
	for _, c := range all {
		out = append(out, cautionJSON(c))
	}
	return out
}

func costsJSON(c bottles.Cost, partial bool) []costJSON {
	out := []costJSON{}
	for _, t := range c.Totals {
		out = append(out, costJSON{t.Currency, t.Minor, partial || c.Unpriced > 0})
	}
	return out
}

// syrup answers what sugar and water make.
func (j *Journal) syrup(q question) (any, error) {
	const most = int64(batch.Most) // a hundred kilograms, in mg
	within := func(n int64) bool { return n >= 0 && n <= most }
	if !within(q.SugarMG) || !within(q.WaterMG) {
		return nil, journal.Refuse("out_of_range", "sugar_mg", "expected grams of sugar and of water")
	}
	s := solution.Syrup{Sugar: float64(q.SugarMG) / 1000, Water: float64(q.WaterMG) / 1000}
	if q.SugarUL != nil {
		if q.WaterUL == nil || !within(*q.SugarUL) || !within(*q.WaterUL) {
			return nil, journal.Refuse("out_of_range", "sugar_ul", "expected millilitres of sugar and of water")
		}
		s = solution.Measured(unit.Volume(*q.SugarUL).ML(), unit.Volume(*q.WaterUL).ML())
	}
	yield, err := s.Yield()
	if err != nil {
		return nil, err
	}
	brix, _ := s.Brix()
	if q.MadeUL != nil {
		if *q.MadeUL < 1 || *q.MadeUL > most {
			return nil, journal.Refuse("out_of_range", "made_ul", "expected what it made, at most 100 litres")
		}
		yield = unit.Volume(*q.MadeUL).ML()
	}
	out := syrupJSON{
		SugarG: shownAmount(s.Sugar), WaterG: shownAmount(s.Water),
		Brix: round(float64(brix), 1), SugarPer100: round(s.Sugar/yield*100, 1), YieldML: shownAmount(yield),
		Crystals5C: s.Crystallises(solution.SolubleAt5), Crystals20C: s.Crystallises(solution.SolubleAt20),
	}
	if price := q.SugarPrice; price != nil {
		if *price < 0 || *price > 1_000_000_000 {
			return nil, journal.Refuse("out_of_range", "sugar_price_minor_per_kg", "expected a price")
		}
		cost := s.Sugar / 1000 * float64(*price)
		whole, per := round(cost, 1), round(cost/yield*100, 2)
		out.CostMinor, out.CostPer100Min = &whole, &per
	}
	return out, nil
}

// infusion answers what putting something into a spirit does to it.
func (j *Journal) infusion(q question) (any, error) {
	of := func(v *int64) (m unit.Maybe[float64]) {
		if v != nil {
			m = unit.Known(unit.Volume(*v).ML())
		}
		return m
	}
	what, err := rule{}.text("what", q.What)
	if err != nil {
		return nil, err
	}
	made, err := batch.Infusion{
		ML: unit.Volume(q.VolUL).ML(), Percent: unit.Strength(q.ABVBP).Percent(), Given: of(q.WaterUL), Made: of(q.MadeUL),
	}.Run()
	if err != nil {
		return nil, err
	}
	return infusionJSON{
		ABVPercent: figureOf(balance.Figure{Known: true, Value: made.Percent, Low: made.Percent, High: made.Percent, Decimals: 1}),
		MadeML:     shownAmount(made.ML), CostFactor: round(made.CostFactor, 3), Assumed: made.Assumed,
		Cautions: cautionsJSON(caution.Putting(what)),
	}, nil
}
