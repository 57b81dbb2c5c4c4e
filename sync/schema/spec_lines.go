package schema

import (
	"maps"
	"slices"

	"fairmeasure/journal"
	"fairmeasure/journal/line"
	"fairmeasure/journal/unit"
	"fairmeasure/sync/replica"
)

// writtenLine is a line that an act makes: its own id, and in Line.ID the line it was copied from, if any.
type writtenLine struct {
	Line
	id replica.ID
}

// written reads the lines of a new spec.
func (p *plan) written() (all []writtenLine, err error) {
	o := p.readingOptions(p.Lines(p.in.Parent))
	for i, in := range p.in.Lines {
		place := "lines." + itoa(i)
		if in.Gone {
			continue // of the parent, and not copied
		}
		if _, _, err := p.ownLine(place, in.ID); err != nil {
			return nil, err
		}
		var of Line
		if in.Keep != "" {
			e, ok := p.view.Get(in.Keep)
			if !ok || e.Kind != "line" {
				return nil, missing("line", place, in.Keep)
			}
			of = readLine(e)
		}
		lines := []Line{of}
		if of.ID == "" || of.Typed != in.Typed || in.Ingredient != "" && of.Ingredient != in.Ingredient {
			if lines, err = p.readAt(place, in, o); err != nil {
				return nil, err
			}
			lines[0].ID = of.ID
		}
		for k, l := range lines {
			id := derived(p.in.ID, "line."+itoa(len(all)))
			if in.ID != "" {
				id = partID(in.ID, k)
			}
			all = append(all, writtenLine{l, id})
		}
	}
	var lines []Line
	for i, l := range all {
		if slices.ContainsFunc(all[:i], func(o writtenLine) bool { return o.id == l.id }) {
			return nil, twice("lines")
		}
		lines = append(lines, l.Line)
	}
	return all, fewLines(lines)
}

// partID is the id of the k-th line that one text was read into, such as "equal parts": the first has the id itself.
func partID(id replica.ID, k int) replica.ID {
	if k == 0 {
		return id
	}
	return derived(id, "part."+itoa(k))
}

func twice(place string) error { return journal.Refuse("twice", place, "a line is named once") }

// fewLines refuses more lines than a spec may have, and two kinds of ounces in one.
func fewLines(lines []Line) error {
	if len(lines) > mostLines {
		return journal.Refuse("too_many_lines", "lines", "expected at most %d lines, got %d", mostLines, len(lines))
	}
	return oneOunce(lines)
}

// readAt reads what was typed in one place of a spec; a refusal names the place.
func (p *plan) readAt(place string, in lineIntent, o line.Options) ([]Line, error) {
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
	return lines, nil
}

// ownLine finds the line of this spec that has an id, deleted or not. An id that stands for anything else is refused.
func (p *plan) ownLine(place string, id replica.ID) (Line, bool, error) {
	if id == "" {
		return Line{}, false, nil
	}
	if !minted(id) {
		return Line{}, false, journal.Refuse("bad_id", place, "expected an id of 26 characters, got %q", clip(string(id)))
	}
	e, ok := p.view.Get(id)
	if !ok {
		return Line{}, false, nil
	}
	if e.Kind != "line" || idOf(row{e}, "owner") != p.in.ID {
		return Line{}, false, journal.Refuse("id_taken", place, "the id stands for something else already")
	}
	return readLine(e), true, nil
}

// lineItem is one line of a spec that is being changed.
type lineItem struct {
	Line            // as it is to be; its ID is empty of a new line that is no copy
	id   replica.ID // its own
	made bool       // by this act

	retyped bool
	unseen  bool // changed elsewhere since the page showed it
	moved   bool // it gets a place of its own, behind the one named before it
	gone    bool
}

// relined says what an intent makes of the lines of a spec: those that stay in their new order, and those to delete. Only
// what the intent names as changed is changed: lines that came since the page showed the spec stay, and so do texts that
// were changed elsewhere.
//
//	shown    gin, lemon, honey
//	named    gin, lime (which was lemon), a new line; honey is gone
//	by now   gin, lemon, honey, bitters
//	after    gin, lime, the new line, bitters
func (p *plan) relined(old []Line) (lines, gone []*lineItem, err error) {
	for _, l := range old {
		lines = append(lines, &lineItem{Line: l, id: l.ID})
	}
	find := func(id replica.ID) int {
		return slices.IndexFunc(lines, func(it *lineItem) bool { return it.id == id })
	}
	all, err := p.namedLines(old)
	if err != nil {
		return nil, nil, err
	}
	for _, it := range all {
		at := find(it.id)
		switch {
		case it.gone && at >= 0:
			gone = append(gone, it)
		case it.moved:
		case at >= 0:
			lines[at] = it
			continue
		case it.retyped:
			gone = append(gone, it) // hidden, and said anew
		}
		if at >= 0 {
			lines = slices.Delete(lines, at, at+1)
		}
	}
	behind := 0
	for _, it := range all {
		if at := find(it.id); at >= 0 {
			behind = at + 1
		} else if it.moved {
			lines = slices.Insert(lines, behind, it)
			behind++
		}
	}
	arrange(lines)
	return lines, gone, nil
}

// arrange gives each line that was moved its position, and every line that would not stand in order otherwise.
func arrange(lines []*lineItem) {
	last := ""
	for i, it := range lines {
		if !it.moved && (it.Pos > last || it.Pos == last && (i == 0 || !lines[i-1].moved)) {
			last = it.Pos
			continue
		}
		next := ""
		for _, o := range lines[i+1:] {
			if !o.moved && o.Pos > last {
				next = o.Pos
				break
			}
		}
		it.moved, it.Pos = true, between(last, next)
		last = it.Pos
	}
}

// namedLines reads the lines that an intent names of a spec that is there.
func (p *plan) namedLines(old []Line) (all []*lineItem, err error) {
	n := lineNaming{p, old, map[replica.ID]bool{}, p.readingOptions(old)}
	for _, in := range p.in.Lines {
		n.used[in.Keep], n.used[in.ID] = true, true
	}
	for i, in := range p.in.Lines {
		items, err := n.read("lines."+itoa(i), in)
		if err != nil {
			return nil, err
		}
		all = append(all, items...)
	}
	for i, it := range all {
		if slices.ContainsFunc(all[:i], func(o *lineItem) bool { return o.id == it.id }) {
			return nil, twice("lines")
		}
	}
	return all, nil
}

// lineNaming reads the named lines one by one.
type lineNaming struct {
	*plan
	old     []Line
	used    map[replica.ID]bool // lines that are named already
	reading line.Options
}

// namedLine is what a name stands for: a line that is there, or one of another spec that is copied. A line that was erased
// elsewhere, and of which nothing is said here, is passed over.
type namedLine struct {
	now, copied   Line
	there, passed bool
}

// read returns what one named line comes to.
func (n *lineNaming) read(place string, in lineIntent) ([]*lineItem, error) {
	of, err := n.named(place, in)
	if err != nil || of.passed {
		return nil, err
	}
	if in.Gone {
		if !of.there {
			return nil, nil
		}
		return []*lineItem{{Line: of.now, id: of.now.ID, gone: true, unseen: in.Was != nil && *in.Was != of.now.Typed}}, nil
	}
	if !of.there && in.ID == "" {
		of.now, of.there = n.takeUp(in.Typed, in.Keep, in.Ingredient) // the same act again
	}
	if of.there && (in.means(of.now) || in.Was != nil && *in.Was == in.Typed && in.Ingredient == "") {
		return []*lineItem{{Line: of.now, id: of.now.ID, moved: in.Moved && n.shows(of.now.ID)}}, nil
	}
	return n.write(place, in, of)
}

// named finds the line that is named.
func (n *lineNaming) named(place string, in lineIntent) (of namedLine, err error) {
	if of.now, of.there, err = n.ownLine(place, in.ID); err != nil || in.Keep == "" || of.there {
		return of, err
	}
	switch e, ok := n.view.Get(in.Keep); {
	case ok && e.Kind == "line" && idOf(row{e}, "owner") == n.in.ID:
		of.now, of.there = readLine(e), true
	case ok && e.Kind == "line":
		of.copied = readLine(e)
	case in.Was == nil:
		return of, missing("line", place, in.Keep)
	default:
		of.passed = *in.Was == in.Typed || in.Gone
	}
	return of, nil
}

// means reports whether a line reads as the intent says.
func (in lineIntent) means(l Line) bool {
	return l.Typed == in.Typed && (in.Ingredient == "" || l.Ingredient == in.Ingredient)
}

// takeUp finds an old line that reads like this and is not named yet.
func (n *lineNaming) takeUp(typed string, of, ingredient replica.ID) (Line, bool) {
	for _, l := range n.old {
		if !n.used[l.ID] && l.Typed == typed && (of == "" || l.Of == of) && (ingredient == "" || l.Ingredient == ingredient) {
			n.used[l.ID] = true
			return l, true
		}
	}
	return Line{}, false
}

// write reads the text of a line anew; a text may hold several, of which the first takes the place of the named one.
func (n *lineNaming) write(place string, in lineIntent, of namedLine) (all []*lineItem, err error) {
	lines := []Line{of.copied}
	if of.copied.ID == "" || !in.means(of.copied) {
		if lines, err = n.readAt(place, in, n.reading); err != nil {
			return nil, err
		}
		lines[0].ID = of.copied.ID
	}
	for k, l := range lines {
		it := &lineItem{Line: l, made: true, moved: true}
		was, again := of.now, of.there && k == 0
		switch {
		case again:
		case in.ID == "":
			if was, again = n.takeUp(l.Typed, "", in.Ingredient); !again {
				return nil, journal.Refuse("bad_id", place, "expected an id for the line that is added")
			}
		default:
			it.id = partID(in.ID, k)
			if was, again, err = n.ownLine(place, it.id); err != nil {
				return nil, err
			}
		}
		if again {
			it = &lineItem{Line: l, id: was.ID, retyped: l.Typed != was.Typed || l.Ingredient != was.Ingredient, moved: in.Moved && k == 0 && n.shows(was.ID)}
			it.unseen = k == 0 && in.Was != nil && *in.Was != was.Typed
			it.Line.ID, it.Owner, it.Pos, it.Of = was.ID, was.Owner, was.Pos, was.Of
		}
		all = append(all, it)
	}
	return all, nil
}

// shows tells whether a thing is there and not deleted.
func (p *plan) shows(id replica.ID) bool {
	e, ok := p.view.Get(id)
	return ok && !hidden(e)
}

// rewrite changes a spec. One that has been poured keeps its content: it was what those glasses were made from.
func (p *plan) rewrite(set values) error {
	id := p.in.ID
	now, ok := p.Version(id)
	if !ok {
		return p.sayDeleted(set)
	}
	lines, gone, err := p.relined(now.Lines)
	if err != nil {
		return err
	}
	next := Version{Spec: now.Spec}
	said := false
	for _, it := range lines {
		next.Lines = append(next.Lines, it.Line)
		said = said || it.made || it.retyped
	}
	if said {
		if err := fewLines(next.Lines); err != nil {
			return err
		}
	}
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
	for _, it := range append(lines, gone...) {
		if err := p.putItem(it); err != nil {
			return err
		}
	}
	return nil
}

// sayDeleted refuses to change a spec that is deleted by now. The act that made it may be repeated: it says nothing new.
func (p *plan) sayDeleted(set values) error {
	e, _ := p.view.Get(p.in.ID)
	for f, v := range set {
		if (row{e}).value(f) != v {
			return missing("spec", "id", p.in.ID)
		}
	}
	for _, in := range p.in.Lines {
		_, made := p.view.Get(in.ID)
		if in.Gone || in.Moved || in.Was != nil && *in.Was != in.Typed || in.ID != "" && in.Keep == "" && !made {
			return missing("spec", "id", p.in.ID)
		}
	}
	return nil
}

// putItem writes what was changed of one line.
func (p *plan) putItem(it *lineItem) error {
	switch {
	case it.made:
		return p.putLine(it.Line, it.id, p.in.ID, it.Pos)
	case it.gone && it.unseen:
		edit, err := deleteUnseen(p.view, it.id, "typed")
		if err != nil {
			return err
		}
		p.add(edit)
		return nil
	case it.gone:
		return p.removeOne(it.id)
	}
	set := values{}
	if it.moved {
		set["pos"] = replica.Text(it.Pos)
	}
	if it.retyped && !it.unseen {
		maps.Copy(set, lineFields(it.Line.Line, it.Ingredient))
	}
	if !it.unseen || !it.retyped {
		return p.change(it.id, "line", set)
	}
	edit, err := Set(p.view, it.id, "line", set)
	if err != nil {
		return err
	}
	maps.Copy(edit.Set, lineFields(it.Line.Line, it.Ingredient)) // it replaces nothing: both texts stay, to choose from
	p.add(edit)
	return nil
}
