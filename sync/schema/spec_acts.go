package schema

import (
	"strconv"

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

// spec makes a spec, or writes an unpoured one anew.
func (p *plan) spec() error {
	there, err := p.fresh("spec")
	if err != nil {
		return err
	}
	set, err := p.specFields()
	if err != nil {
		return err
	}
	old := p.Lines(p.in.ID)
	lines, err := p.written(old)
	if err != nil {
		return err
	}
	if there {
		return p.rewrite(set, old, lines)
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
		if err := p.putLine(lines[i], derived(p.in.ID, "line."+strconv.Itoa(i)), p.in.ID, pos); err != nil {
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

// written reads the lines of an intent. A line that names one to keep and has its text is that line, not read again: what
// was read once stays as it is, whatever the settings are now. Of a spec written anew the lines without a name to keep
// take up, in order, lines with the very same text.
func (p *plan) written(old []Line) ([]Line, error) {
	beside := old
	if len(old) == 0 && p.in.Parent != "" {
		beside = p.Lines(p.in.Parent)
	}
	o := p.readingOptions(beside)
	used := map[replica.ID]bool{}
	for _, l := range p.in.Lines {
		used[l.Keep] = true
	}
	takeUp := func(typed string, of, ingredient replica.ID) (Line, bool) {
		for _, l := range old {
			if !used[l.ID] && l.Typed == typed && (of == "" || l.Of == of) && (ingredient == "" || l.Ingredient == ingredient) {
				used[l.ID] = true
				return l, true
			}
		}
		return Line{}, false
	}
	var all []Line
	for i, in := range p.in.Lines {
		place := "lines." + strconv.Itoa(i)
		var kept Line
		if in.Keep != "" {
			e, ok := p.view.Get(in.Keep)
			if !ok || e.Kind != "line" {
				return nil, missing("line", place, in.Keep)
			}
			kept = readLine(e)
			if kept.Owner != p.in.ID { // a copy of it may have been made before
				if l, ok := takeUp(in.Typed, in.Keep, in.Ingredient); ok {
					all = append(all, l)
					continue
				}
			}
			if kept.Typed == in.Typed && (in.Ingredient == "" || kept.Ingredient == in.Ingredient) {
				all = append(all, kept)
				continue
			}
		} else if l, ok := takeUp(in.Typed, "", in.Ingredient); ok {
			all = append(all, l)
			continue
		}
		lines, err := p.read(in.Typed, o)
		if r, ok := err.(*journal.Refusal); ok {
			return nil, journal.Refuse(r.Code, place, "%s", r.Text)
		}
		if err != nil {
			return nil, err
		}
		if in.Ingredient != "" && len(lines) == 1 {
			if p.Ingredient(in.Ingredient).Missing {
				return nil, missing("ingredient", place, in.Ingredient)
			}
			lines[0].Ingredient = in.Ingredient
		}
		for k, l := range lines {
			if kept.ID == "" { // one of several that a text like "equal parts" was read into
				if was, ok := takeUp(l.Typed, "", in.Ingredient); ok {
					lines[k] = was
				}
			} else if k == 0 {
				l.ID, l.Owner, l.Pos, l.Of = kept.ID, kept.Owner, kept.Pos, kept.Of
				lines[k] = l
			}
		}
		all = append(all, lines...)
	}
	if len(all) > mostLines {
		return nil, journal.Refuse("too_many_lines", "lines", "expected at most %d lines, got %d", mostLines, len(all))
	}
	return all, oneOunce(all)
}

// putLine makes a new line of a spec. A line copied from another remembers it.
func (p *plan) putLine(l Line, id, owner replica.ID, pos string) error {
	set := values(lineFields(l.Line, l.Ingredient))
	set["owner"], set["pos"] = replica.Text(string(owner)), replica.Text(pos)
	if l.ID != "" {
		set["of"] = replica.Text(string(l.ID))
	}
	return p.put(id, "line", set)
}

// rewrite writes a spec anew. One that has been poured keeps its content: it was what those glasses were made from.
func (p *plan) rewrite(set values, old, lines []Line) error {
	id := p.in.ID
	now, ok := p.Version(id)
	if !ok {
		if _, there := p.view.Get(id); there {
			return nil // made before, and deleted since
		}
		return missing("spec", "id", id)
	}
	next := Version{now.Spec, lines}
	for field, into := range map[string]*string{
		"method": &next.Spec.Method, "ice": &next.Spec.Ice, "glass": &next.Spec.Glass, "garnish": &next.Spec.Garnish, "strain": &next.Spec.Strain,
	} {
		if v, given := set[field]; given {
			*into, _ = v.AsText()
		}
	}
	for field, into := range map[string]*unit.Maybe[unit.Volume]{"part_ul": &next.Spec.PartUL, "total_ul": &next.Spec.TotalUL} {
		if v, given := set[field]; given {
			n, _ := v.AsInt()
			*into = unit.Known(unit.Volume(n))
		}
	}
	if !p.in.Slip && p.poured(id) && p.key(now) != p.key(next) {
		return journal.Refuse("poured", "id", "this spec has been poured: write a riff of it, or say that it corrects a slip")
	}
	if err := p.change(id, "spec", set); err != nil {
		return err
	}
	kept := map[replica.ID]bool{}
	positions := p.positions(lines)
	for i, l := range lines {
		if l.ID != "" && l.Owner == id {
			kept[l.ID] = true
			change := values(lineFields(l.Line, l.Ingredient))
			change["pos"] = replica.Text(positions[i])
			if err := p.change(l.ID, "line", change); err != nil {
				return err
			}
			continue
		}
		if err := p.putLine(l, p.unused(id, "line."), id, positions[i]); err != nil {
			return err
		}
	}
	for _, l := range old {
		if !kept[l.ID] {
			if err := p.removeOne(l.ID); err != nil {
				return err
			}
		}
	}
	return nil
}

// positions gives each line of the spec its place: lines that stay in order keep theirs, the others find room between.
func (p *plan) positions(lines []Line) []string {
	all := make([]string, len(lines))
	last := ""
	for i, l := range lines {
		if l.ID == "" || l.Owner != p.in.ID {
			continue
		}
		if l.Pos <= last {
			return spread(len(lines))
		}
		all[i], last = l.Pos, l.Pos
	}
	last = ""
	for i := range all {
		if all[i] == "" {
			next := ""
			for _, pos := range all[i:] {
				if pos != "" {
					next = pos
					break
				}
			}
			all[i] = between(last, next)
		}
		last = all[i]
	}
	return all
}

// unused derives an id that nothing in the journal has had yet, nor anything this plan makes.
func (p *plan) unused(id replica.ID, label string) replica.ID {
	for n := 0; ; n++ {
		d := derived(id, label+strconv.Itoa(n))
		if _, there := p.view.Get(d); there {
			continue
		}
		taken := false
		for _, e := range p.edits {
			taken = taken || e.ID == d
		}
		if !taken {
			return d
		}
	}
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

// findOrMake gives the spec of this content: one that is there, else a riff of `from` under the id given.
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
	set := values{"parent": replica.Text(string(parent.ID))}
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
	if err := p.put(id, "spec", set); err != nil {
		return err
	}
	for i, l := range v.Lines {
		if err := p.putLine(l, derived(id, "line."+strconv.Itoa(i)), id, l.Pos); err != nil {
			return err
		}
	}
	return nil
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
