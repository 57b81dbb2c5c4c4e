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
	if j.heads == nil {
		j.heads = j.findHeads()
	}
	if h, ok := j.heads[id]; ok {
		return h
	}
	return id
}

func (j *Journal) findHeads() map[replica.ID]replica.ID {
	heads := map[replica.ID]replica.ID{}
	specs := j.Specs()
	perDrink := map[replica.ID]int{}
	declared := map[replica.ID]replica.ID{}
	for _, s := range specs {
		perDrink[s.Drink]++
		if s.SameAs != "" {
			declared[s.ID] = s.SameAs
		}
	}
	first := map[string]replica.ID{}
	for _, s := range specs { // by id, so the first of a content is the smallest
		if s.Drink == "" || perDrink[s.Drink] < 2 {
			continue
		}
		key := string(s.Drink) + "\n" + j.key(Version{s, j.Lines(s.ID)})
		if h, ok := first[key]; ok {
			heads[s.ID] = h
		} else {
			first[key] = s.ID
		}
	}
	if len(declared) == 0 {
		return heads
	}
	known := map[replica.ID]bool{}
	for _, s := range specs {
		known[s.ID] = true
	}
	step := func(id replica.ID) (replica.ID, bool) {
		if to, ok := declared[id]; ok && known[to] && to != id {
			return to, true
		}
		to, ok := heads[id]
		return to, ok
	}
	linked := map[replica.ID]replica.ID{}
	for _, s := range specs {
		path := []replica.ID{s.ID}
		for at := s.ID; ; {
			to, ok := step(at)
			if !ok {
				linked[s.ID] = at
				break
			}
			if i := slices.Index(path, to); i >= 0 {
				linked[s.ID] = slices.Min(path[i:])
				break
			}
			path = append(path, to)
			at = to
		}
	}
	return linked
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

// versionName gives the name of a version within its drink: "benchmark", its own name, or how it differs from its parent.
func (j *Journal) versionName(s Spec) string {
	if j.isBenchmark(s) {
		return benchmarkWord
	}
	if s.Name != "" && s.Name != j.drinkName(s) {
		return s.Name
	}
	return j.changed(s)
}

// rowName is versionName for a list of specs, where the benchmark goes by its own name.
func (j *Journal) rowName(s Spec) string { return cmp.Or(s.Name, j.changed(s), j.drinkName(s)) }

// changed says in a few words how a riff differs from its parent.
func (j *Journal) changed(s Spec) string {
	parent, ok := j.specAt(s.Parent)
	if !ok {
		return ""
	}
	before, after := j.Lines(parent.ID), j.Lines(s.ID)
	var said []string
	kept := map[replica.ID]bool{}
	for _, l := range after {
		from, ok := counterpart(l, before)
		switch {
		case !ok:
			said = append(said, "with "+l.Typed)
			continue
		case j.sameLine(l, from):
		case strings.EqualFold(l.Calls(), from.Calls()):
			said = append(said, l.Typed)
		default:
			said = append(said, j.calledWithStrength(l))
		}
		kept[from.ID] = true
	}
	for _, l := range before {
		if !kept[l.ID] {
			said = append(said, "without "+l.Calls())
		}
	}
	for _, pair := range [][2]string{{parent.Method, s.Method}, {parent.Ice, s.Ice}, {parent.Glass, s.Glass}, {parent.Garnish, s.Garnish}, {parent.Strain, s.Strain}} {
		if pair[0] != pair[1] && pair[1] != "" {
			said = append(said, pair[1])
		}
	}
	const most = 2
	if len(said) > most {
		said = append(said[:most], "…")
	}
	return strings.Join(said, "; ")
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

// tallies adds up the pours by the head of their spec, in one pass.
func (j *Journal) tallies() map[replica.ID]*tally {
	all := map[replica.ID]*tally{}
	start := j.Settings().DayStart
	for _, ref := range j.pourRefs() {
		spec := idOf(row{ref.e}, "spec")
		if spec == "" {
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
