package schema

import (
	"slices"

	"fairmeasure/journal"
	"fairmeasure/journal/line"
	"fairmeasure/journal/unit"
	"fairmeasure/sync/replica"
)

// mostLines is the most lines of one spec: with them, deleting a spec is still one action.
const mostLines = 60

// readingOptions are the owner's settings for reading a line; a spec that measures in one kind of ounce keeps to it.
func (j *Journal) readingOptions(beside []Line) line.Options {
	s := j.Settings()
	o := line.Options{OunceKind: line.OunceKind(s.OzKind), DashUL: s.Dash, BarspoonUL: s.Barspoon}
	for _, l := range beside {
		if l.OunceKind != "" {
			o.OunceKind = l.OunceKind
			break
		}
	}
	return o
}

// read reads typed text into lines and finds what their names mean.
func (j *Journal) read(typed string, o line.Options) ([]Line, error) {
	read, err := line.Read(typed, o)
	if err != nil {
		return nil, err
	}
	var all []Line
	for _, l := range read {
		all = append(all, Line{Ingredient: j.known(l), Line: l})
	}
	return all, nil
}

func oneOunce(lines []Line) error {
	var plain []line.Line
	for _, l := range lines {
		plain = append(plain, l.Line)
	}
	return line.OneOunce(plain)
}

// specFields are the words of a spec that an intent may give.
func (p *plan) specFields() (values, error) {
	set := values{}
	err := texts("spec", set, map[string]*string{
		"name": p.in.Name, "method": p.in.Method, "ice": p.in.Ice, "glass": p.in.Glass, "garnish": p.in.Garnish,
		"strain": p.in.Strain, "note": p.in.Note,
	})
	if err != nil {
		return nil, err
	}
	return set, optional("spec", set, map[string]*int64{"part_ul": p.in.PartUL, "total_ul": p.in.TotalUL})
}

// spec makes a spec, or changes one that is there.
func (p *plan) spec() error {
	there, err := p.fresh("spec")
	if err != nil {
		return err
	}
	set, err := p.specFields()
	if err != nil {
		return err
	}
	if there {
		return p.rewrite(set)
	}
	if slices.ContainsFunc(p.in.Lines, func(l lineIntent) bool { return l.Was != nil }) {
		return missing("spec", "id", p.in.ID) // it was shown, and is erased by now or not here again yet
	}
	lines, err := p.written()
	if err != nil {
		return err
	}
	if p.in.Parent != "" {
		parent, ok := p.Spec(p.in.Parent)
		if !ok {
			return missing("spec", "parent", p.in.Parent)
		}
		set["parent"] = replica.Text(string(p.in.Parent))
		if p.in.Drink == "" && p.in.DrinkName == "" {
			p.in.Drink = parent.Drink
		}
	}
	drink, err := p.drinkOf()
	if err != nil {
		return err
	}
	if drink != "" {
		set["drink"] = replica.Text(string(drink))
	}
	if len(set) == 0 && len(lines) == 0 {
		return journal.Refuse("empty", "lines", "expected a name or a line")
	}
	if len(set) == 0 {
		set["method"] = replica.Null
	}
	edit, err := Set(p.view, p.in.ID, "spec", set)
	if err != nil {
		return err
	}
	p.add(edit)
	for i, pos := range spread(len(lines)) {
		if err := p.putLine(lines[i].Line, lines[i].id, p.in.ID, pos); err != nil {
			return err
		}
	}
	return nil
}

// drinkOf finds or makes the drink that a new spec belongs to; the first spec of a new drink is its benchmark.
func (p *plan) drinkOf() (replica.ID, error) {
	name, err := (rule{}).text("drink_name", p.in.DrinkName)
	if err != nil {
		return "", err
	}
	id := p.in.Drink
	if id == "" {
		if name == "" {
			return "", nil
		}
		for _, d := range p.Drinks() {
			if same(d.Name, name) {
				return d.ID, nil
			}
		}
		id = derived(p.in.ID, "drink")
	}
	if e, ok := p.view.Get(id); ok {
		if e.Kind != "drink" {
			return "", journal.Refuse("id_taken", "drink", "the id stands for a %s already", e.Kind)
		}
		return id, nil
	}
	if !minted(id) {
		return "", journal.Refuse("bad_id", "drink", "expected an id of 26 characters, got %q", clip(string(id)))
	}
	if name == "" {
		return "", journal.Refuse("empty", "drink_name", "expected a name for the new drink")
	}
	return id, p.put(id, "drink", values{"name": replica.Text(name), "benchmark": replica.Text(string(p.in.ID))})
}

// putLine makes a new line of a spec. A line copied from another remembers it.
func (p *plan) putLine(l Line, id, owner replica.ID, pos string) error {
	set := newLine(l, pos)
	set["owner"] = replica.Text(string(owner))
	return p.put(id, "line", set)
}

// newLine gives the fields of a new line but its owner.
func newLine(l Line, pos string) values {
	set := values(lineFields(l.Line, l.Ingredient))
	set["pos"] = replica.Text(pos)
	if l.ID != "" {
		set["of"] = replica.Text(string(l.ID))
	}
	return set
}

// poured tells whether a glass of this very spec is on record.
func (j *Journal) poured(spec replica.ID) bool {
	for _, p := range j.pourRefs() {
		if idOf(row{p.e}, "spec") == spec {
			return true
		}
	}
	return false
}

// line changes one line of a spec; of a poured one it finds or makes the riff with that line changed.
func (p *plan) line() error {
	if done, err := p.fresh("spec"); err != nil || done {
		p.riff = p.in.ID
		return err
	}
	version, at, err := p.versionWith(p.in.Spec, p.in.Line)
	if err != nil {
		return err
	}
	old := version.Lines[at]
	p.made = p.in.Spec
	lines, err := p.read(p.in.Typed, p.readingOptions(version.Lines))
	if err != nil {
		return err
	}
	if len(lines) != 1 {
		return journal.Refuse("one_line", "typed", "expected one line, got %d", len(lines))
	}
	if lines[0].Typed == old.Typed {
		return nil
	}
	changed := version.with(at, lines[0])
	if err := oneOunce(changed.Lines); err != nil {
		return err
	}
	if p.in.Slip || !p.poured(p.in.Spec) {
		return p.change(old.ID, "line", values(lineFields(lines[0].Line, lines[0].Ingredient)))
	}
	p.riff, err = p.findOrMake(version, changed, p.in.ID)
	p.made = p.riff
	return err
}

// versionWith finds a spec and the place of one of its lines.
func (p *plan) versionWith(spec, lineID replica.ID) (Version, int, error) {
	v, ok := p.Version(spec)
	if !ok {
		return v, 0, missing("spec", "spec", spec)
	}
	for i, l := range v.Lines {
		if l.ID == lineID {
			return v, i, nil
		}
	}
	return v, 0, missing("line", "line", lineID)
}

// with gives the version with another line in one place. The place keeps its id, so that a riff knows where it differs.
func (v Version) with(at int, l Line) Version {
	old := v.Lines[at]
	l.ID, l.Owner, l.Pos, l.Of = old.ID, old.Owner, old.Pos, old.Of
	lines := append([]Line(nil), v.Lines...)
	lines[at] = l
	return Version{v.Spec, lines}
}

// swapped gives the version with one line's ingredient replaced: amount kept, name and strength those of the ingredient.
func (p *plan) swapped(spec replica.ID, s swapping) (from, to Version, err error) {
	from, at, err := p.versionWith(spec, s.Line)
	if err != nil {
		return from, to, err
	}
	i := p.Ingredient(s.Ingredient)
	if i.Missing {
		return from, to, missing("ingredient", "swap", s.Ingredient)
	}
	return from, from.with(at, swapLine(from.Lines[at], i)), nil
}

// swapLine puts another ingredient in a line. What the line then says is what it would have been typed as; an amount that
// only makes sense for the old name ("juice of half a lime") is told in millilitres.
func swapLine(old Line, i Ingredient) Line {
	l := old
	l.Ingredient = i.ID
	l.Name, l.Form, l.Note, l.Strength = i.Name, "", "", unit.Maybe[unit.Strength]{}
	l.Assumed = nil
	l.Typed = line.Print(l.Line)
	if again, err := line.Read(l.Typed, line.Options{OunceKind: l.OunceKind}); err == nil && len(again) == 1 &&
		again[0].Unit == l.Unit && again[0].Qty == l.Qty && again[0].Calls() == l.Calls() {
		return l
	}
	if l.Volume.Known && l.Volume.Value.Value > 0 {
		l.Unit, l.OunceKind, l.Qty, l.QtyHigh = line.Millilitre, "", unit.Known(line.Qty(int64(l.Volume.Value.Value)*int64(line.One)/1000)), unit.Maybe[line.Qty]{}
		l.Typed = line.Print(l.Line)
	}
	return l
}

// findOrMake gives the spec of this content: one that is there or that this plan makes already, else a riff of `from` under
// the id given.
func (p *plan) findOrMake(from, to Version, id replica.ID) (replica.ID, error) {
	want := p.key(to)
	if want == p.key(from) {
		return from.Spec.ID, nil
	}
	for _, s := range p.Specs() {
		if p.related(s, from.Spec) && p.key(Version{s, p.Lines(s.ID)}) == want {
			return s.ID, nil
		}
	}
	key := riffKey{from.Spec.ID, want}
	if made, ok := p.riffs[key]; ok {
		return made, nil
	}
	if p.riffs == nil {
		p.riffs = map[riffKey]replica.ID{}
	}
	p.riffs[key] = id
	return id, p.makeRiff(from.Spec, to, id)
}

// related tells whether two specs are versions of one drink, or of one spec that stands alone.
func (j *Journal) related(a, b Spec) bool {
	if a.Drink != "" || b.Drink != "" {
		return a.Drink == b.Drink
	}
	return a.ID == b.ID || a.Parent == b.ID || b.Parent == a.ID || a.Parent != "" && a.Parent == b.Parent
}

// makeRiff writes a full copy of a version as a spec of its own.
func (p *plan) makeRiff(parent Spec, v Version, id replica.ID) error {
	set, _ := riffFields(parent, v)
	if err := p.put(id, "spec", set); err != nil {
		return err
	}
	for i, l := range v.Lines {
		if err := p.putLine(l, derived(id, "line."+itoa(i)), id, l.Pos); err != nil {
			return err
		}
	}
	return nil
}

// riffFields gives the fields of a riff, and of its lines but their owner.
func riffFields(parent Spec, v Version) (set values, lines []values) {
	set = values{"parent": replica.Text(string(parent.ID))}
	for field, s := range map[string]string{
		"drink": string(parent.Drink), "method": v.Spec.Method, "ice": v.Spec.Ice, "glass": v.Spec.Glass,
		"garnish": v.Spec.Garnish, "strain": v.Spec.Strain,
	} {
		if s != "" {
			set[field] = replica.Text(s)
		}
	}
	for field, n := range map[string]unit.Maybe[unit.Volume]{"part_ul": v.Spec.PartUL, "total_ul": v.Spec.TotalUL} {
		if n.Known {
			set[field] = replica.Int(int64(n.Value))
		}
	}
	for _, l := range v.Lines {
		lines = append(lines, newLine(l, l.Pos))
	}
	return set, lines
}

// benchmark makes a spec the one its drink is compared with.
func (p *plan) benchmark() error {
	s, ok := p.Spec(p.in.Spec)
	if !ok {
		return missing("spec", "spec", p.in.Spec)
	}
	p.made = s.ID
	if _, ok := p.Drink(s.Drink); !ok {
		return journal.Refuse("no_drink", "spec", "a spec without a drink is no benchmark")
	}
	return p.change(s.Drink, "drink", values{"benchmark": replica.Text(string(s.ID))})
}
