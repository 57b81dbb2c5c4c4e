package schema

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"fairmeasure/journal/count"
	"fairmeasure/sync/replica"
)

func itoa(n int) string { return strconv.Itoa(n) }

// benchmarkWord stands where a riff has its name.
const benchmarkWord = "benchmark"

// head gives the spec under whose row a spec stands. Specs of one drink with the same content are one row, headed by the
// smallest id; what the owner declared to be the same follows its link, and in a ring of links the smallest id heads.
func (j *Journal) head(id replica.ID) replica.ID {
	if h, ok := j.heads[id]; ok {
		return h
	}
	if j.heads == nil {
		j.heads = map[replica.ID]replica.ID{}
	}
	path := []replica.ID{id}
	for {
		at := path[len(path)-1]
		to, ok := j.sameRow(at)
		if !ok {
			j.heads[id] = at
			return at
		}
		if i := slices.Index(path, to); i >= 0 {
			j.heads[id] = slices.Min(path[i:])
			return j.heads[id]
		}
		path = append(path, to)
	}
}

// sameRow gives the spec whose row a spec joins: the one it is declared to be the same as, else the smallest of its drink
// with its content, if that is another.
func (j *Journal) sameRow(id replica.ID) (replica.ID, bool) {
	s, ok := j.specByID()[id]
	if !ok {
		return "", false
	}
	if _, here := j.specByID()[s.SameAs]; here && s.SameAs != id {
		return s.SameAs, true
	}
	of := j.byDrink[s.Drink]
	if s.Drink == "" || len(of) < 2 {
		return "", false
	}
	first, done := j.rowsOf[s.Drink]
	if !done {
		first = map[replica.ID]replica.ID{}
		smallest := map[string]replica.ID{}
		for _, other := range of { // by id, so the first of a content is the smallest
			key := j.key(Version{other, j.Lines(other.ID)})
			if h, ok := smallest[key]; ok {
				first[other.ID] = h
			} else {
				smallest[key] = other.ID
			}
		}
		j.rowsOf[s.Drink] = first
	}
	to, ok := first[id]
	return to, ok
}

// specByID indexes the shown specs, by id and by drink.
func (j *Journal) specByID() map[replica.ID]Spec {
	if j.byID == nil {
		j.byID, j.byDrink, j.rowsOf = map[replica.ID]Spec{}, map[replica.ID][]Spec{}, map[replica.ID]map[replica.ID]replica.ID{}
		for _, s := range j.Specs() {
			j.byID[s.ID] = s
			j.byDrink[s.Drink] = append(j.byDrink[s.Drink], s)
		}
	}
	return j.byID
}

// benchmarkOf gives the head of a drink's benchmark; none if it has none, or a deleted one.
func (j *Journal) benchmarkOf(d Drink) replica.ID {
	if d.Benchmark == "" {
		return ""
	}
	if s, ok := j.Spec(d.Benchmark); !ok || s.Drink != d.ID {
		return ""
	}
	return j.head(d.Benchmark)
}

// isBenchmark tells whether a spec stands in the row of its drink's benchmark.
func (j *Journal) isBenchmark(s Spec) bool {
	d, ok := j.Drink(s.Drink)
	return ok && j.benchmarkOf(d) == j.head(s.ID)
}

// specAt finds a spec, deleted or not: what was poured from it still has its name.
func (j *Journal) specAt(id replica.ID) (Spec, bool) {
	e, ok := j.view.Get(id)
	if !ok || e.Kind != "spec" {
		return Spec{}, false
	}
	return readSpec(e), true
}

// drinkName gives the name a spec goes by: its drink's, else its own, else what is in it.
func (j *Journal) drinkName(s Spec) string {
	if e, ok := j.view.Get(s.Drink); ok && e.Kind == "drink" {
		if name := textOf(row{e}, "name"); name != "" {
			return name
		}
	}
	return cmp.Or(s.Name, j.linesName(j.Lines(s.ID)))
}

// linesName names a drink that has no name by what leads it.
func (j *Journal) linesName(lines []Line) string {
	var names []string
	for _, l := range lines {
		if len(names) < 2 {
			names = append(names, l.Calls())
		}
	}
	return strings.Join(names, ", ")
}

// versionName gives the name of a version within its drink: "benchmark", its own name, or how it differs from the benchmark.
func (j *Journal) versionName(s Spec) string {
	if j.isBenchmark(s) {
		return benchmarkWord
	}
	return j.nameIn(s)
}

// rowName is versionName for a list of specs, where the benchmark goes by its own name.
func (j *Journal) rowName(s Spec) string {
	if j.isBenchmark(s) {
		return cmp.Or(s.Name, j.drinkName(s))
	}
	return cmp.Or(j.nameIn(s), j.drinkName(s))
}

// calledWithStrength names what a line calls for, with its strength where that is its own and not nothing.
func (j *Journal) calledWithStrength(l Line) string {
	s := l.Strength
	if !s.Known && l.Ingredient != "" {
		s = j.Ingredient(l.Ingredient).Strength
	}
	if !s.Known || s.Value == 0 || strings.Contains(l.Calls(), "%") {
		return l.Calls()
	}
	return l.Calls() + ", " + strconv.FormatFloat(s.Value.Percent(), 'f', -1, 64) + " %"
}

// tally is what the pours of a spec's row come to.
type tally struct {
	poured int
	last   count.Day
	any    bool
	scores []int64 // newest first
}

func (t tally) lastDay() *string {
	if !t.any {
		return nil
	}
	s := t.last.String()
	return &s
}

func (t tally) best() *int64 {
	if len(t.scores) == 0 {
		return nil
	}
	best := slices.Max(t.scores)
	return &best
}

// tallies adds up the pours by the head of their spec, in one pass; given a spec, only those of its drink.
func (j *Journal) tallies(of *Spec) map[replica.ID]*tally {
	specs := j.specByID()
	all := map[replica.ID]*tally{}
	start := j.Settings().DayStart
	for _, ref := range j.pourRefs() {
		spec := idOf(row{ref.e}, "spec")
		if _, veiled := j.veil(ref.e.ID); veiled || spec == "" {
			continue
		}
		if s, ok := specs[spec]; of != nil && (!ok || !j.related(s, *of)) {
			continue
		}
		h := j.head(spec)
		t := all[h]
		if t == nil {
			t = &tally{}
			all[h] = t
		}
		t.poured++
		if !t.any { // newest first
			t.any = true
			t.last = count.Label(ref.atMS, int(intOf(together(ref.e, "offset_min"), "offset_min").Value), start)
		}
		if score := intOf(together(ref.e, "score_x10"), "score_x10"); score.Known {
			t.scores = append(t.scores, score.Value)
		}
	}
	return all
}
