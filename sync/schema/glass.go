package schema

import (
	"strconv"
	"strings"

	"fairmeasure/journal"
	"fairmeasure/journal/line"
	"fairmeasure/journal/solution"
	"fairmeasure/journal/stock"
	"fairmeasure/journal/unit"
	"fairmeasure/sync/replica"
)

// Version is a spec with its lines in order: a stored one, or one that is only being thought of.
type Version struct {
	Spec  Spec
	Lines []Line
}

// Version gives a spec that is not deleted with its lines.
func (j *Journal) Version(id replica.ID) (Version, bool) {
	s, ok := j.Spec(id)
	if !ok {
		return Version{}, false
	}
	return Version{s, j.Lines(id)}, true
}

// content gives what a line holds. typical says that a figure of it is a default of the stock.
//
// A strength typed on the line wins. An ingredient of the owner's gives its own figures; where it gives no sugar or acid,
// those of the stock ingredient it is one of stand in, with their band. Its strength stays unknown until it is given:
// unknown is never zero, and a guess would hide that the owner left it open. A name that only the stock knows has the
// stock's figures; a name nobody knows has none.
func (j *Journal) content(l Line) (c journal.Content, typical bool) {
	if _, c, ok := weighedIn(l); ok {
		return c, false
	}
	var from Ingredient
	if l.Ingredient != "" {
		from = j.Ingredient(l.Ingredient)
	}
	if from.ID != "" && !from.Stock && !from.Missing {
		if from.Strength.Known {
			c.Strength = unit.Known(unit.Exact(from.Strength.Value))
		}
		if from.Sugar.Known {
			c.Sugar = unit.Known(unit.Exact(from.Sugar.Value))
		}
		if from.Acid.Known {
			c.Acid = unit.Known(unit.Exact(from.Acid.Value))
		}
		if s, ok := j.stockOf(from); ok {
			if !c.Sugar.Known {
				c.Sugar, typical = s.Content.Sugar, true
			}
			if !c.Acid.Known {
				c.Acid, typical = s.Content.Acid, true
			}
		}
	} else if s, ok := stockFor(l); ok {
		c, typical = s.Content, true
	}
	if l.Strength.Known {
		c.Strength = unit.Known(unit.Exact(l.Strength.Value))
	}
	return c, typical
}

// weighedIn gives what a line of so many grams of a dry acid is once it is dissolved.
func weighedIn(l Line) (ml float64, c journal.Content, ok bool) {
	if l.Unit != line.Gram || !l.Qty.Known || l.Open != journal.Measured {
		return 0, c, false
	}
	a, ok := solution.Named(l.Calls())
	if !ok {
		return 0, c, false
	}
	grams := float64(l.Qty.Value) / float64(line.One)
	acid, err := solution.AsCitric(a, 1)
	if err != nil {
		return 0, c, false
	}
	c.Strength, c.Sugar = unit.Known(unit.Exact(unit.Strength(0))), unit.Known(unit.Exact(unit.Concentration(0)))
	c.Acid = unit.Known(unit.Exact(unit.GPerL(acid / solution.AcidVolume * 1000)))
	return grams * solution.AcidVolume, c, true
}

// stockOf gives the stock ingredient that one of the owner's is one of: by its family, else by its name.
func (j *Journal) stockOf(i Ingredient) (stock.Ingredient, bool) {
	for _, id := range []string{i.Family, "stock." + i.Family} {
		if s, ok := stock.ByID(journal.ID(id)); ok {
			return s, true
		}
	}
	return stock.Match(i.Name)
}

// stockFor gives the stock ingredient a line calls for when it names none of the owner's.
func stockFor(l Line) (stock.Ingredient, bool) {
	if s, ok := stock.ByID(journal.ID(l.Ingredient)); ok {
		return s, true
	}
	return stock.Match(l.Calls())
}

// known finds what a name on a line means: an ingredient of the owner's by its name or a former one, else one of the
// stock, else nothing. Of several with one name it takes the one with the strength typed, else the oldest.
func (j *Journal) known(l line.Line) replica.ID {
	var found replica.ID
	for _, i := range j.OwnIngredients() {
		if !same(i.Name, l.Calls()) && (i.Also == "" || !same(i.Also, l.Calls())) {
			continue
		}
		if found == "" || l.Strength.Known && i.Strength == l.Strength {
			found = i.ID
		}
		if !l.Strength.Known || i.Strength == l.Strength {
			break
		}
	}
	if found != "" {
		return found
	}
	if s, ok := stock.Match(l.Calls()); ok {
		return replica.ID(s.ID)
	}
	return ""
}

// sized gives the lines with the volumes of those in parts, once the spec says how large a part or the whole is. Without
// that they stay without a volume.
func (v Version) sized() []line.Line {
	all := make([]line.Line, len(v.Lines))
	for i, l := range v.Lines {
		all[i] = l.Line
	}
	sized, err := line.Resolve(all, line.Parts{PartUL: v.Spec.PartUL.Value, TotalUL: v.Spec.TotalUL.Value})
	if err != nil {
		return all
	}
	return sized
}

// Glass gives what is in a glass of a version as it is now: every line with its volume, its content, and the bottle it
// comes from.
func (j *Journal) Glass(v Version) journal.Made {
	made := journal.Made{Method: journal.Method(v.Spec.Method), Ice: v.Spec.Ice}
	for i, sized := range v.sized() {
		l := v.Lines[i]
		part := sized.Part()
		if sized.Dry() {
			part.Volume = unit.Known(unit.Exact(unit.Volume(0)))
		}
		if ml, _, ok := weighedIn(l); ok {
			part.Volume = unit.Known(unit.Exact(unit.Millilitres(ml)))
		}
		part.Content, _ = j.content(l)
		part.Ingredient = journal.ID(l.Ingredient)
		part.Bottle = journal.ID(j.bottleOf(l.Ingredient))
		made.Parts = append(made.Parts, part)
	}
	return made
}

// bottleOf gives the bottle an ingredient is poured from: an open one, the longest open first, else the oldest closed one.
func (j *Journal) bottleOf(ingredient replica.ID) replica.ID {
	if ingredient == "" {
		return ""
	}
	var best Bottle
	for _, b := range j.Bottles() {
		if b.Ingredient != ingredient || b.FinishedOn != "" || b.Archived {
			continue
		}
		better := best.ID == ""
		if !better && (b.OpenedOn != "") != (best.OpenedOn != "") {
			better = b.OpenedOn != ""
		} else if !better {
			better = b.OpenedOn < best.OpenedOn
		}
		if better {
			best = b
		}
	}
	return best.ID
}

// key is the resolved content of a version: two of one drink with equal keys are one and the same, whoever made them and
// however they were typed.
func (j *Journal) key(v Version) string {
	var b strings.Builder
	s := v.Spec
	for _, word := range []string{s.Method, s.Ice, s.Glass, s.Garnish, s.Strain} {
		b.WriteString(strings.ToLower(word))
		b.WriteByte(0)
	}
	number := func(known bool, n int64) {
		if known {
			b.WriteString(strconv.FormatInt(n, 10))
		}
		b.WriteByte(0)
	}
	for i, sized := range v.sized() {
		l := v.Lines[i]
		if !minted(l.Ingredient) {
			b.WriteString(strings.ToLower(l.Calls()))
		} else {
			b.WriteString(string(l.Ingredient))
		}
		b.WriteByte(0)
		b.WriteString(string(l.Open))
		b.WriteByte(0)
		c, _ := j.content(l)
		number(c.Strength.Known, int64(c.Strength.Value.Value))
		number(sized.Volume.Known, int64(sized.Volume.Value.Value))
		if !sized.Volume.Known {
			b.WriteString(string(l.Unit))
			number(l.Qty.Known, int64(l.Qty.Value))
			number(l.QtyHigh.Known, int64(l.QtyHigh.Value))
		}
		b.WriteByte('\n')
	}
	return b.String()
}
