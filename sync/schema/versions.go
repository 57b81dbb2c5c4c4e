package schema

import (
	"cmp"
	"slices"
	"strings"

	"fairmeasure/journal/line"
	"fairmeasure/sync/replica"
)

// naming is how the versions of one drink are called, so that two which differ never have one name.
type naming struct {
	base  replica.ID
	names map[string]string // by content
}

// shortName is as many differences as a name tells, unless more are needed to tell two versions apart.
const shortName = 4

// nameIn gives the name of a version among those of its drink: its own, or how it differs from the benchmark. One that stands
// alone is named by how it differs from its parent.
func (j *Journal) nameIn(s Spec) string {
	if s.Drink == "" {
		parent, ok := j.specAt(s.Parent)
		return cmp.Or(j.ownName(s), j.differs(s, parent, ok))
	}
	if _, shown := j.specByID()[s.ID]; shown {
		if h, ok := j.specAt(j.head(s.ID)); ok && h.Drink == s.Drink {
			s = h
		}
	}
	return j.versionsOf(s.Drink).names[j.key(Version{s, j.Lines(s.ID)})]
}

// ownName is the name that a version was given, unless that is its drink's.
func (j *Journal) ownName(s Spec) string {
	if s.Name == j.drinkName(s) {
		return ""
	}
	return s.Name
}

// changed says how a version differs from its drink's benchmark, one that stands alone from its parent.
func (j *Journal) changed(s Spec) string {
	from := s.Parent
	if s.Drink != "" {
		from = j.versionsOf(s.Drink).base
	}
	base, ok := j.specAt(from)
	return j.differs(s, base, ok)
}

func (j *Journal) differs(s, from Spec, known bool) string {
	if !known {
		return ""
	}
	said := j.differences(s, from)
	return shortened(said, shortName)
}

func shortened(said []string, n int) string {
	if len(said) > n {
		said = append(slices.Clone(said[:n]), "…")
	}
	return strings.Join(said, "; ")
}

// versionsOf names the versions of a drink, those in the trash too: old pours are of them. They are held against its benchmark,
// of a drink without one against its oldest version.
func (j *Journal) versionsOf(drink replica.ID) naming {
	if n, done := j.named[drink]; done {
		return n
	}
	if j.named == nil {
		j.named = map[replica.ID]naming{}
	}
	var all, trash []Spec // by id, so that every device names alike
	j.view.Each("spec", func(e *replica.Entity) bool {
		if s := readSpec(e); s.Drink == drink {
			if hidden(e) {
				trash = append(trash, s)
			} else {
				all = append(all, s)
			}
		}
		return true
	})
	all = append(all, trash...)
	n := naming{names: map[string]string{}}
	if e, ok := j.view.Get(drink); ok && e.Kind == "drink" {
		if s, ok := j.specAt(idOf(row{e}, "benchmark")); ok && s.Drink == drink {
			n.base = s.ID
		}
	}
	if n.base == "" && len(all) > 0 {
		n.base = all[0].ID
	}
	type version struct {
		Spec
		key  string
		said []string
	}
	base, _ := j.specAt(n.base)
	var versions []version
	seen := map[string]bool{}
	begins := map[string]int{} // how many versions begin with so many differences
	for _, s := range all {
		v := version{Spec: s, key: j.key(Version{s, j.Lines(s.ID)})}
		if seen[v.key] || j.head(s.ID) != s.ID && j.specShown(s.ID) {
			continue
		}
		seen[v.key] = true
		v.said = j.differences(s, base)
		for i := range v.said {
			begins[strings.Join(v.said[:i+1], "; ")]++
		}
		versions = append(versions, v)
	}
	taken := map[string]bool{benchmarkWord: true}
	same := j.key(Version{base, j.Lines(base.ID)})
	for _, v := range versions {
		if v.key == same { // goes by its own name in a list, else as the benchmark
			n.names[v.key] = j.ownName(v.Spec)
			taken[strings.ToLower(cmp.Or(v.Name, j.drinkName(v.Spec)))] = true
		}
	}
	for _, v := range versions {
		if v.key == same {
			continue
		}
		most := shortName
		for most < len(v.said) && begins[strings.Join(v.said[:most], "; ")] > 1 {
			most++
		}
		differs := shortened(v.said, most)
		name := cmp.Or(j.ownName(v.Spec), differs)
		if own := j.ownName(v.Spec); own != "" && taken[strings.ToLower(name)] && differs != "" {
			name = own + ": " + differs
		}
		for i, plain := 2, name; taken[strings.ToLower(name)] && name != ""; i++ {
			name = plain + " (" + itoa(i) + ")"
		}
		taken[strings.ToLower(name)] = true
		n.names[v.key] = name
	}
	j.named[drink] = n
	return n
}

func (j *Journal) specShown(id replica.ID) bool {
	_, ok := j.specByID()[id]
	return ok
}

// differences says all in which a version differs from another, in the order of that one's lines, then what was added, then
// how it is made and served.
func (j *Journal) differences(s, from Spec) (said []string) {
	before, after := j.traced(from), j.traced(s)
	partner := pairs(after, before)
	last, moved := -1, false
	words := make([]string, len(before))
	for k, l := range before {
		i := slices.Index(partner, k)
		if i < 0 {
			words[k] = "without " + l.Calls()
			continue
		}
		moved = moved || i < last
		last = max(last, i)
		words[k] = j.otherwise(after[i], l)
	}
	for i, l := range after {
		if partner[i] < 0 {
			words = append(words, "with "+l.Typed)
		}
	}
	for _, of := range [][3]string{
		{from.Method, s.Method, "method"}, {from.Ice, s.Ice, "ice"}, {from.Glass, s.Glass, "glass"}, {from.Garnish, s.Garnish, "garnish"}, {from.Strain, s.Strain, "strainer"},
	} {
		if !strings.EqualFold(of[0], of[1]) {
			words = append(words, cmp.Or(of[1], "no "+of[2]))
		}
	}
	for _, w := range words {
		if w != "" {
			said = append(said, w)
		}
	}
	if len(said) == 0 && moved {
		said = append(said, "in another order")
	}
	return said
}

// traced gives the lines of a version with the volume each has there, under the id of the first line they were copied from,
// riff after riff.
func (j *Journal) traced(s Spec) []Line {
	lines := Version{s, j.Lines(s.ID)}.measured()
	for i := range lines {
		l := &lines[i]
		for range mostLines { // a ring of copies has no first line
			e, ok := j.view.Get(l.Of)
			if l.Of == "" || !ok || e.Kind != "line" {
				break
			}
			of := readLine(e)
			l.ID, l.Of = of.ID, of.Of
		}
	}
	return lines
}

// otherwise says what a line is instead of another; nothing where both put the same into the glass.
func (j *Journal) otherwise(l, was Line) string {
	if j.sameLine(l, was) {
		return ""
	}
	amount := func(l Line) string {
		return string(l.Open) + j.amountKey(l)
	}
	switch {
	case !strings.EqualFold(l.Calls(), was.Calls()) && amount(l) == amount(was):
		return j.calledWithStrength(l)
	case l.Typed == was.Typed && amount(l) != amount(was): // a part of another size
		return line.Print(line.Line{Unit: l.Unit, Qty: l.Qty, Name: l.Name, Form: l.Form, Note: l.Note, Strength: l.Strength})
	case l.Typed == was.Typed:
		return j.calledWithStrength(l)
	}
	return l.Typed
}

// amountKey tells one amount from another: by its volume, without one as it was typed.
func (j *Journal) amountKey(l Line) string {
	if l.Volume.Known {
		return itoa(int(l.Volume.Value.Value))
	}
	return string(l.Unit) + itoa(int(l.Qty.Value)) + "-" + itoa(int(l.QtyHigh.Value))
}
