package schema

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"fairmeasure/journal"
	"fairmeasure/journal/balance"
	"fairmeasure/journal/count"
	"fairmeasure/journal/line"
	"fairmeasure/journal/unit"
	"fairmeasure/sync/replica"
)

// clashKinds are the kinds whose clashes are listed, in the order they are listed in.
var clashKinds = []string{
	"pour", "spec", "line", "drink", "bottle", "ingredient", "making", "plain", "level", "water", "tag", "day", "set",
	"comparison", "swap", "candidate", "segment", "flight", "seat", "taster", "rating", "trial",
}

// clashingFields gives the fields of an entity with values that clash, each group under the first of its fields. Deleting
// against changing is another matter: see replica.Deleted.
func clashingFields(e *replica.Entity) (all []string) {
	for _, g := range groups {
		if g.kind == e.Kind && replica.ClashGroup(e, g.fields) {
			all = append(all, g.fields[0])
		}
	}
	for f, w := range e.Fields {
		if len(w) > 1 && f != replica.Gone && len(Group(e.Kind, f)) == 1 && !slices.Contains(all, f) && e.Clash(f) {
			all = append(all, f)
		}
	}
	slices.Sort(all)
	return all
}

// asked gives the fields of an entity with values that a person may choose from now. What would say what is in a glass
// whose taster is not to know it yet waits until it is told.
func (j *Journal) asked(e *replica.Entity) []string {
	all := clashingFields(e)
	if len(all) == 0 || e.Kind != "seat" && e.Kind != "pour" {
		return all
	}
	f, ok := j.view.Get(idOf(together(e, "flight"), "flight"))
	if !ok || f.Kind != "flight" {
		return all
	}
	flight, _, ok := j.flightOf(f)
	if !ok || flight.revealed(j.now) && !slices.Contains(clashingFields(f), "uncovered") {
		return all // what glasses are follows from what was uncovered, and is chosen with it
	}
	return slices.DeleteFunc(all, func(f string) bool { return e.Kind == "seat" || f == "spec" || f == "made" })
}

// settleUncovered writes the glasses of a half-blind flight again as they are by the codes that were chosen for it: what two
// devices uncovered apart is one question, not one for each glass.
func (p *plan) settleUncovered(e *replica.Entity, text string) error {
	f, c, ok := p.flightOf(e)
	codes, read := f.codesOf(text)
	if !ok || !read {
		return nil
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
			edit, err := Resolve(p.view, ref.e.ID, "pour", set)
			if err != nil {
				return err
			}
			p.add(edit)
		}
	}
	p.riff = ""
	return nil
}

// looking is a view that knows by itself on which entities a person has something to choose.
type looking interface {
	Looks() []replica.ID
}

// clashes gives every entity that has clashes and is shown, by kind.
func (j *Journal) clashes() (all []*replica.Entity) {
	take := func(e *replica.Entity) {
		if len(j.asked(e)) > 0 {
			all = append(all, e)
		}
	}
	if v, ok := j.view.(looking); ok {
		for _, id := range v.Looks() {
			if e, ok := j.view.Get(id); ok && !hidden(e) && slices.Contains(clashKinds, e.Kind) {
				take(e)
			}
		}
		inOrder(all, func(a, b *replica.Entity) int {
			return slices.Index(clashKinds, a.Kind) - slices.Index(clashKinds, b.Kind)
		})
		return all
	}
	for _, kind := range clashKinds {
		j.each(kind, take)
	}
	return all
}

// clash answers what clashes in one thing; in a spec, in its lines too.
func (j *Journal) clash(q question) (any, error) {
	e, ok := j.view.Get(q.ID)
	if !ok {
		return nil, missing("thing", "id", q.ID)
	}
	out := clashesJSON{list(j.clashesOf(e))}
	if e.Kind == "spec" {
		for _, l := range j.Lines(e.ID) {
			if line, ok := j.view.Get(l.ID); ok {
				out.Clashes = append(out.Clashes, j.clashesOf(line)...)
			}
		}
	}
	return out, nil
}

// clashesOf sets the clashes of one entity for reading and choosing: every different value once, the shown one first.
func (j *Journal) clashesOf(e *replica.Entity) (all []clashJSON) {
	for _, field := range j.asked(e) {
		group := Group(e.Kind, field)
		c := clashJSON{ID: string(e.ID), Kind: e.Kind, Field: field, Title: j.title(e), Values: []clashValueJSON{}, Joinable: joinable(e.Kind, field)}
		var listed []replica.Version
		for i, v := range replica.Versions(e, group) {
			if slices.ContainsFunc(listed, func(o replica.Version) bool { return o.Same(v, group) }) {
				continue
			}
			listed = append(listed, v)
			c.Values = append(c.Values, clashValueJSON{
				Stamp: v.Stamp.String(), Text: j.valueText(e, field, version{v}), Device: j.view.DeviceOf(v.Stamp.Run), AtMS: v.At,
				Shown: i == 0, Effect: j.effect(e, field, v),
			})
		}
		all = append(all, c)
	}
	return all
}

// title gives what a thing is called.
func (j *Journal) title(e *replica.Entity) string {
	r := row{e}
	switch e.Kind {
	case "pour":
		p := readPour(e)
		name, version := j.pourName(p)
		return joined(name, version, j.Day(p).String())
	case "spec":
		s := readSpec(e)
		return joined(j.drinkName(s), j.versionName(s))
	case "line":
		l := readLine(e)
		if s, ok := j.specAt(l.Owner); ok {
			return joined(j.drinkName(s), l.Calls())
		}
		return l.Calls()
	case "bottle":
		return j.Ingredient(idOf(r, "ingredient")).Name
	case "level":
		if b, ok := j.view.Get(idOf(together(e, "bottle"), "bottle")); ok && b.Kind == "bottle" {
			return j.title(b)
		}
		return ""
	case "water":
		return clock(intOf(together(e, "at_ms"), "at_ms").Value, int(intOf(together(e, "at_ms"), "offset_min").Value))
	case "set", "day":
		_, name, _ := strings.Cut(string(e.ID), ".")
		return name
	case "comparison":
		if name := textOf(r, "name"); name != "" {
			return name
		}
		if base, ok := j.specAt(idOf(r, "base")); ok {
			return j.drinkName(base)
		}
		return ""
	}
	if whole := wholeOf(e); whole != "" {
		return joined(j.titleAt(whole), j.partText(e))
	}
	return textOf(r, "name")
}

// titleAt gives what the thing with an id is called; empty when it is not here.
func (j *Journal) titleAt(id replica.ID) string {
	if e, ok := j.view.Get(id); ok {
		return j.title(e)
	}
	return ""
}

// partText tells a part of a comparison from the others of its kind.
func (j *Journal) partText(e *replica.Entity) string {
	r := row{e}
	switch e.Kind {
	case "swap":
		if l, ok := j.view.Get(idOf(r, "of")); ok && l.Kind == "line" {
			return readLine(l).Calls()
		}
		return ""
	case "candidate":
		return cmp.Or(textOf(r, "typed"), j.ingredientName(idOf(r, "ingredient")))
	case "seat":
		return itoa(int(intOf(together(e, "code"), "code").Value))
	case "rating":
		return j.tasterName(idOf(r, "taster"))
	}
	for _, field := range []string{"from_ms", "planned_at_ms", "at_ms"} {
		if at := j.momentText(together(e, field), field); at != "" {
			return at
		}
	}
	return ""
}

// momentText sets an instant that was kept without an offset: by the offset of now.
func (j *Journal) momentText(v version, field string) string {
	at := intOf(v, field)
	if !at.Known {
		return ""
	}
	return count.Label(at.Value, j.now.OffsetMin, 0).String() + " " + clock(at.Value, j.now.OffsetMin)
}

// picksText names what picks of a comparison hold.
func (j *Journal) picksText(comparison replica.ID, text string) string {
	e, ok := j.view.Get(comparison)
	picks, read := ParsePicks(text)
	if !ok || !read || e.Kind != "comparison" {
		return ""
	}
	return pairingName(j.compared(e).namesOf(j, picks))
}

// trialText sets a trial for reading: what was chosen before what was not, = for a tie; of a triangle whether the odd one
// was found.
func (j *Journal) trialText(e *replica.Entity, v version) string {
	of := idOf(row{e}, "comparison")
	a, b := j.picksText(of, textOf(v, "a")), j.picksText(of, textOf(v, "b"))
	said, outcome := a+" / "+b, textOf(v, "outcome")
	switch outcome {
	case "a":
		said = a + " > " + b
	case "b":
		said = b + " > " + a
	case "tie":
		said = a + " = " + b
	default:
		said += ": " + outcome
	}
	return joined(said, j.momentText(v, "at_ms"))
}

// joined puts names side by side that are not empty, each once.
func joined(names ...string) string {
	var said []string
	for _, n := range names {
		if n != "" && !slices.Contains(said, n) {
			said = append(said, n)
		}
	}
	return strings.Join(said, ", ")
}

// valueText sets one version of a field, or of its group, for reading. A cleared value is empty.
func (j *Journal) valueText(e *replica.Entity, field string, v version) string {
	kind := e.Kind
	switch {
	case field == "typed":
		return textOf(v, field)
	case kind == "segment" && field == "from_ms":
		drunk := ""
		if truthOf(v, "drunk") {
			drunk = "drunk"
		}
		return joined(tenths(intOf(v, "anchor_x10")), j.momentText(v, field), drunk)
	case kind == "seat" && field == "flight":
		of := replica.ID("")
		if f, ok := j.view.Get(idOf(v, field)); ok {
			of = idOf(row{f}, "comparison")
		}
		return joined(itoa(int(intOf(v, "pos").Value)), itoa(int(intOf(v, "code").Value)), j.picksText(of, textOf(v, "picks")))
	case kind == "trial" && field == "sort":
		return j.trialText(e, v)
	case kind == "candidate" && field == "ingredient":
		return j.ingredientName(idOf(v, field))
	case field == "score_x10":
		return tenths(intOf(v, field))
	case field == "made":
		return madeText(textOf(v, field))
	case field == "at_ms":
		at, offset := intOf(v, "at_ms"), intOf(v, "offset_min")
		if !at.Known {
			return ""
		}
		return count.Label(at.Value, int(offset.Value), 0).String() + " " + clock(at.Value, int(offset.Value))
	case field == "name" && (kind == "pour" || kind == "plain"):
		return joined(textOf(v, "name"), volumeText(volumeOf(v, "vol_ul")), strengthText(strengthOf(v, "abv_bp")))
	case field == "before_mg":
		if w := volumeOf(v, "water_ul"); w.Known {
			return volumeText(w)
		}
		return joined(massText(intOf(v, "before_mg")), massText(intOf(v, "after_mg")))
	case field == "price_minor":
		return priceText(intOf(v, "price_minor"), textOf(v, "currency"))
	case kind == "level":
		return volumeText(volumeOf(v, "left_ul"))
	case strings.HasSuffix(field, "_at_ms"):
		return j.momentText(v, field)
	}
	value := v.value(field)
	if s, ok := value.AsText(); ok {
		if e, ok := j.view.Get(replica.ID(s)); ok && minted(replica.ID(s)) {
			return j.title(e)
		}
		return s
	}
	if b, ok := value.AsBool(); ok {
		if b {
			return "yes"
		}
		return "no"
	}
	n, ok := value.AsInt()
	switch {
	case !ok:
		return ""
	case strings.HasSuffix(field, "_ul"):
		return volumeText(unit.Known(unit.Volume(n)))
	case strings.HasSuffix(field, "_bp"):
		return strengthText(unit.Known(unit.Strength(n)))
	case strings.HasSuffix(field, "_mgl"):
		return decimal(float64(n)/1000) + " g/l"
	case strings.HasSuffix(field, "_mg"):
		return massText(unit.Known(n))
	case strings.HasSuffix(field, "_x10"):
		return tenths(unit.Known(n))
	}
	return strconv.FormatInt(n, 10)
}

func decimal(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

func tenths(n unit.Maybe[int64]) string {
	if !n.Known {
		return ""
	}
	return decimal(float64(n.Value) / 10)
}

func volumeText(v unit.Maybe[unit.Volume]) string {
	if !v.Known {
		return ""
	}
	return decimal(v.Value.ML()) + " ml"
}

func strengthText(s unit.Maybe[unit.Strength]) string {
	if !s.Known {
		return ""
	}
	return decimal(s.Value.Percent()) + " %"
}

func massText(mg unit.Maybe[int64]) string {
	if !mg.Known {
		return ""
	}
	return decimal(float64(mg.Value)/1000) + " g"
}

// priceText sets a price for reading, also an unknown one.
func priceText(minor unit.Maybe[int64], currency string) string {
	if !minor.Known {
		return currency
	}
	return PriceText(minor.Value, currency)
}

// PriceText sets a price for reading. Currencies without a minor unit (ISO 4217) are whole numbers.
func PriceText(minor int64, currency string) string {
	switch currency {
	case "JPY", "KRW", "CLP", "ISK", "VND":
		return strings.TrimSpace(strconv.FormatInt(minor, 10) + " " + currency)
	}
	return strings.TrimSpace(strconv.FormatFloat(float64(minor)/100, 'f', 2, 64) + " " + currency)
}

// madeText says in short what was in a glass: each part with its amount.
func madeText(made string) string {
	m, err := journal.ParseMade(made)
	if err != nil {
		return ""
	}
	var said []string
	for _, p := range m.Parts {
		if p.Volume.Known && p.Volume.Value.Value > 0 {
			said = append(said, line.Amount(p.Volume.Value.Value, line.Millilitre, "")+" "+p.Name)
		} else {
			said = append(said, p.Name)
		}
	}
	return strings.Join(said, ", ")
}

// effect says what a value would make of the glass: the acid and the alcohol of the spec for a line, the alcohol drunk for
// a pour.
func (j *Journal) effect(e *replica.Entity, field string, v replica.Version) (out effectJSON) {
	density := count.Profile(j.Settings().Country).Density
	switch {
	case e.Kind == "line" && field == "typed":
		spec, ok := j.Version(idOf(row{e}, "owner"))
		if !ok {
			return out
		}
		at := slices.IndexFunc(spec.Lines, func(l Line) bool { return l.ID == e.ID })
		if at < 0 {
			return out
		}
		made := j.Glass(spec.with(at, versionLine(v)))
		r := balance.Of(made, j.expected(made))
		if acid := r.After.Acid.Rounded(); acid.Known {
			out.AcidPercent = &acid.Value
		}
		if !r.Alcohol.AtLeast() {
			grams := count.Shown(count.Grams(int64(r.Alcohol.Volume.Value), density))
			out.AlcoholG = &grams
		}
	case e.Kind == "pour":
		p := readPour(e)
		switch field {
		case "made":
			p.Made = textOf(version{v}, "made")
		case "share_bp":
			p.Share = unit.Whole
			if n := intOf(version{v}, "share_bp"); n.Known {
				p.Share = unit.Share(n.Value)
			}
		case "name":
			p.Volume, p.Strength = volumeOf(version{v}, "vol_ul"), strengthOf(version{v}, "abv_bp")
		default:
			return out
		}
		if t := glassTotal(j.alcoholOf(p), p.Share); !t.AtLeast() {
			grams := count.Shown(count.Grams(t.UL, density))
			out.AlcoholG = &grams
		}
	}
	return out
}
