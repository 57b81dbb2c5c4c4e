package schema

import (
	"cmp"
	"slices"
	"strings"

	"fairmeasure/journal"
	"fairmeasure/journal/count"
	"fairmeasure/sync/replica"
)

func sortByPos(all []*replica.Entity) {
	inOrder(all, func(a, b *replica.Entity) int {
		return cmp.Or(cmp.Compare(textOf(row{a}, "pos"), textOf(row{b}, "pos")), cmp.Compare(a.ID, b.ID))
	})
}

// makeable are the kinds a person may make by setting fields of a new id; the others have an intent of their own.
var makeable = []string{"drink", "ingredient", "level", "plain", "tag"}

// edit sets fields of one thing as the model names them.
func (p *plan) edit() error {
	kind := p.in.Kind
	if !editable(kind) {
		return journal.Refuse("unknown_kind", "kind", "there is no kind %q to edit", clip(kind))
	}
	e, there := p.view.Get(p.in.ID)
	switch {
	case there && e.Kind != kind:
		return journal.Refuse("id_taken", "kind", "expected a %s, the id stands for a %s", kind, e.Kind)
	case !there && !slices.Contains(makeable, kind):
		return missing(kind, "id", p.in.ID)
	case !there && !minted(p.in.ID):
		return journal.Refuse("bad_id", "id", "expected an id of 26 characters, got %q", clip(string(p.in.ID)))
	case len(p.in.Set) == 0:
		return journal.Refuse("empty", "set", "expected a field to set")
	}
	p.made = p.in.ID
	set := values{}
	for field, given := range p.in.Set {
		r, ok := ruleOf(kind, field)
		if !ok {
			return journal.Refuse("unknown_field", field, "a %s has no field %q to edit", kind, clip(field))
		}
		v, err := r.check(field, given)
		if err != nil {
			return err
		}
		set[field] = v
	}
	if err := p.allowed(kind, e, set); err != nil {
		return err
	}
	if !there {
		return p.put(p.in.ID, kind, set)
	}
	return p.change(p.in.ID, kind, set)
}

// allowed refuses what a field by itself cannot show to be wrong.
func (p *plan) allowed(kind string, e *replica.Entity, set values) error {
	if at, given := set["at_ms"]; given {
		if n, _ := at.AsInt(); n > p.now.MS+dayMS {
			return journal.Refuse("in_the_future", "at_ms", "expected a time at most a day ahead")
		}
		if at.IsNull() {
			return journal.Refuse("empty", "at_ms", "expected a time")
		}
	}
	switch kind {
	case "pour":
		pour := readPour(e)
		for _, f := range []string{"name", "vol_ul", "abv_bp"} {
			if v, given := set[f]; given && !pour.Plain() {
				return journal.Refuse("not_plain", f, "only a plain drink has its own %s; this glass has lines", f)
			} else if given && v.IsNull() && f != "abv_bp" {
				return journal.Refuse("empty", f, "expected a %s", f)
			}
		}
		number := func(field string, now int64, known bool) (int64, bool) {
			if v, given := set[field]; given {
				return v.AsInt()
			}
			return now, known
		}
		before, hasBefore := number("before_mg", pour.BeforeMG.Value, pour.BeforeMG.Known)
		after, hasAfter := number("after_mg", pour.AfterMG.Value, pour.AfterMG.Known)
		if hasBefore && hasAfter && after < before {
			return journal.Refuse("lighter_after", "after_mg", "expected the strained drink to weigh at least what went in, got less")
		}
	case "spec":
		for _, f := range []string{"method", "ice", "part_ul", "total_ul"} {
			if v, given := set[f]; given && v != (row{e}).value(f) && !p.in.Slip && p.poured(e.ID) {
				return journal.Refuse("poured", f, "this spec has been poured: write a riff of it, or say that it corrects a slip")
			}
		}
	case "line":
		if pos, _ := set["pos"].AsText(); strings.Trim(pos, base62) != "" || pos == "" {
			return journal.Refuse("bad_position", "pos", "expected letters and digits, got %q", clip(pos))
		}
	case "level":
		_, noBottle := set["bottle"]
		_, noLevel := set["left_ul"]
		if e == nil && (!noBottle || !noLevel) {
			return journal.Refuse("empty", "left_ul", "a stock-take names a bottle and what is left in it")
		}
	}
	return nil
}

// choose settles a clash for one of the values listed.
func (p *plan) choose() error {
	e, err := p.existing(p.in.ID)
	if err != nil {
		return err
	}
	p.made = e.ID
	stamp, ok := replica.ParseStamp(p.in.Stamp)
	if !ok {
		return journal.Refuse("bad_stamp", "stamp", "%q names no value", clip(p.in.Stamp))
	}
	group := Group(e.Kind, p.in.Field)
	if len(replica.Versions(e, group)) < 2 {
		return nil // settled already
	}
	edit, err := Choose(p.view, e.ID, p.in.Field, stamp)
	if err != nil {
		return err
	}
	p.add(edit)
	if e.Kind == "flight" && p.in.Field == "uncovered" {
		codes, _ := edit.Set["uncovered"].AsText()
		return p.settleUncovered(e, codes)
	}
	return nil
}

// keepBoth settles a clash of notes by joining them, the older first.
func (p *plan) keepBoth() error {
	e, err := p.existing(p.in.ID)
	if err != nil {
		return err
	}
	p.made = e.ID
	if !joinable(e.Kind, p.in.Field) {
		return journal.Refuse("not_joinable", "field", "two values of %q cannot both be kept", clip(p.in.Field))
	}
	versions := replica.Versions(e, []string{p.in.Field})
	if len(versions) < 2 {
		return nil
	}
	slices.Reverse(versions)
	var texts []string
	for _, v := range versions {
		value, _ := v.Value(p.in.Field)
		if s, _ := value.AsText(); s != "" && !slices.Contains(texts, s) {
			texts = append(texts, s)
		}
	}
	joined, err := rule{sort: prose}.check(p.in.Field, replica.Text(strings.Join(texts, "\n\n")))
	if err != nil {
		return err
	}
	edit, err := Resolve(p.view, e.ID, e.Kind, values{p.in.Field: joined})
	if err != nil {
		return err
	}
	p.add(edit)
	return nil
}

// joinable tells whether two values of a field may stand one below the other.
func joinable(kind, field string) bool {
	r, ok := ruleOf(kind, field)
	return ok && r.sort == prose
}

// eachNamed carries something out for what an intent names and all that it names beside it.
func (p *plan) eachNamed(do func(*replica.Entity) error) error {
	for _, id := range append([]replica.ID{p.in.ID}, p.in.Also...) {
		e, err := p.existing(id)
		if err != nil {
			return err
		}
		if err := do(e); err != nil {
			return err
		}
	}
	p.made = p.in.ID
	return nil
}

// remove deletes things; a spec takes its lines along, a making what it yielded.
func (p *plan) remove() error {
	return p.eachNamed(func(e *replica.Entity) error {
		if e.Kind == "spec" {
			for _, l := range p.Lines(e.ID) {
				if err := p.removeOne(l.ID); err != nil {
					return err
				}
			}
		}
		if e.Kind == "making" {
			for _, id := range p.yields(readMaking(e)) {
				if err := p.removeOne(id); err != nil {
					return err
				}
			}
		}
		for _, part := range p.partsOf(e) {
			if err := p.removeOne(part.ID); err != nil {
				return err
			}
		}
		return p.removeOne(e.ID)
	})
}

func (p *plan) removeOne(id replica.ID) error {
	if e, ok := p.view.Get(id); !ok || replica.Deleted(e) == replica.Hidden || slices.Contains(p.touched, id) {
		return nil
	}
	edit, err := Delete(p.view, id)
	if err != nil {
		return err
	}
	p.add(edit)
	return nil
}

// restore takes things out of the trash again; a spec or a making brings what went with it.
func (p *plan) restore() error {
	return p.eachNamed(func(e *replica.Entity) error {
		if replica.Deleted(e) == replica.NotDeleted {
			return nil
		}
		all := []*replica.Entity{e}
		if e.Kind == "spec" {
			all = append(p.goneWith(e), e)
		}
		for _, part := range p.partsOf(e) {
			if hidden(part) && goneTogether(e, part) {
				all = append(all, part)
			}
		}
		if e.Kind == "making" {
			m := readMaking(e)
			for _, id := range []replica.ID{m.Ingredient, m.Bottle} {
				if y, ok := p.view.Get(id); ok && hidden(y) && goneTogether(e, y) {
					all = append(all, y)
				}
			}
		}
		for _, e := range all {
			if slices.Contains(p.touched, e.ID) {
				continue
			}
			edit, err := Restore(p.view, e.ID)
			if err != nil {
				return err
			}
			p.add(edit)
		}
		return nil
	})
}

// goneWith gives the hidden lines of a spec that were deleted in the same action as the spec.
func (p *plan) goneWith(spec *replica.Entity) (all []*replica.Entity) {
	p.view.Each("line", func(l *replica.Entity) bool {
		if hidden(l) && idOf(row{l}, "owner") == spec.ID && goneTogether(spec, l) {
			all = append(all, l)
		}
		return true
	})
	return all
}

// goneTogether tells whether two things were deleted in one action.
func goneTogether(a, b *replica.Entity) bool {
	for _, w := range a.Fields[replica.Gone] {
		if _, ok := b.Find(replica.Gone, w.Stamp); ok {
			return true
		}
	}
	return false
}

// erase takes a thing out of the trash for good; a spec takes its deleted lines along.
func (p *plan) erase() error {
	e, ok := p.view.Get(p.in.ID)
	p.made = p.in.ID
	if !ok {
		return nil // erased already
	}
	if !hidden(e) {
		return journal.Refuse("not_in_trash", "id", "only what is in the trash can be erased for good")
	}
	gone := []*replica.Entity{e}
	if e.Kind == "spec" {
		p.view.Each("line", func(l *replica.Entity) bool {
			if hidden(l) && idOf(row{l}, "owner") == e.ID {
				gone = append(gone, l)
			}
			return true
		})
	}
	for _, part := range p.partsOf(e) {
		if hidden(part) {
			gone = append(gone, part)
		}
	}
	for _, g := range gone {
		edit, err := Erase(p.view, g.ID)
		if err != nil {
			return err
		}
		p.add(edit)
	}
	return nil
}

// setting changes one of the owner's choices.
func (p *plan) setting() error {
	name := ""
	if p.in.Name != nil {
		name = *p.in.Name
	}
	r, ok := ruleOf("set", name)
	if !ok {
		return journal.Refuse("unknown_setting", "name", "there is no setting %q", clip(name))
	}
	if p.in.Value == nil {
		return journal.Refuse("empty", "value", "expected a value, or null to take the choice back")
	}
	v, err := r.check(name, *p.in.Value)
	if err != nil {
		return err
	}
	if country, _ := v.AsText(); name == "country" && country != "" && !isCountry(country) {
		return journal.Refuse("unknown_country", name, "expected a country code of two letters, got %q", clip(country))
	}
	if err := p.ownLimit(name, v); err != nil && !p.in.Sure {
		return err
	}
	id := replica.ID("set." + name)
	p.made = id
	return p.change(id, "set", values{"value": v})
}

// ownLimit refuses a limit of the owner's own that goes beyond the country's guidance.
func (p *plan) ownLimit(name string, v replica.Value) error {
	tenths, given := v.AsInt()
	period := count.PerWeek
	switch name {
	case "own_day_drinks_x10":
		period = count.PerDay
	case "own_week_drinks_x10":
	default:
		return nil
	}
	g, beyond := count.Beyond(p.Settings().Country, tenths, period)
	if !given || !beyond {
		return nil
	}
	return journal.Refuse("above_guidance", name, "this is above the guidance of %s (%d): %d %s a %s", g.Issuer, g.Year, int(g.Limit.Value.Units), g.Unit, string(g.Period))
}

// isCountry tells a code of two capital letters, or that of the World Health Organization.
func isCountry(s string) bool {
	return s == count.Fallback || len(s) == 2 && s[0] >= 'A' && s[0] <= 'Z' && s[1] >= 'A' && s[1] <= 'Z'
}

// day confirms, or no longer confirms, that nothing with alcohol was drunk on a day.
func (p *plan) day() error {
	day, err := count.ParseDay(p.in.Day)
	if err != nil {
		return err
	}
	if p.in.AlcoholFree == nil {
		return journal.Refuse("empty", "alcohol_free", "expected yes or no")
	}
	if day > count.Label(p.now.MS, p.now.OffsetMin, p.Settings().DayStart)+1 {
		return journal.Refuse("in_the_future", "day", "expected a day that has come")
	}
	id := replica.ID("day." + day.String())
	p.made = id
	v := replica.Null
	if *p.in.AlcoholFree {
		v = replica.Bool(true)
	}
	return p.change(id, "day", values{"alcohol_free": v})
}
