package schema

import (
	"strings"

	"fairmeasure/journal/line"
	"fairmeasure/journal/unit"
)

type differenceJSON struct {
	A        specRowJSON          `json:"a"`
	B        specRowJSON          `json:"b"`
	Rows     []differenceRowJSON  `json:"rows"`
	Words    []differentWordsJSON `json:"words"`
	BalanceA balanceJSON          `json:"balance_a"`
	BalanceB balanceJSON          `json:"balance_b"`
}

type differenceRowJSON struct {
	Name string `json:"name"`
	A    string `json:"a"`
	B    string `json:"b"`
	Sort string `json:"sort"`
}

type differentWordsJSON struct {
	Field string `json:"field"`
	A     string `json:"a"`
	B     string `json:"b"`
}

// difference answers how two specs differ, line by line.
func (j *Journal) difference(q question) (any, error) {
	a, ok := j.Version(q.A)
	if !ok {
		return nil, missing("spec", "a", q.A)
	}
	b, ok := j.Version(q.B)
	if !ok {
		return nil, missing("spec", "b", q.B)
	}
	tallies := j.tallies(nil)
	row := func(s Spec) specRowJSON { return j.specRow(s, j.isBenchmark(s), tallies[j.head(s.ID)]) }
	out := differenceJSON{
		A: row(a.Spec), B: row(b.Spec), Rows: []differenceRowJSON{}, Words: []differentWordsJSON{},
		BalanceA: j.versionBalance(a, j.Glass(a)), BalanceB: j.versionBalance(b, j.Glass(b)),
	}
	ofA, ofB := a.measured(), b.measured()
	other := pairs(ofA, ofB)
	taken := make([]bool, len(ofB))
	for i, l := range ofA {
		r := differenceRowJSON{Name: l.Calls(), A: l.Typed, Sort: "only_a"}
		if k := other[i]; k >= 0 {
			taken[k] = true
			r.B, r.Sort = ofB[k].Typed, "changed"
			if j.sameLine(l, ofB[k]) {
				r.Sort = ""
			}
		}
		out.Rows = append(out.Rows, r)
	}
	for k, l := range ofB {
		if !taken[k] {
			out.Rows = append(out.Rows, differenceRowJSON{Name: l.Calls(), B: l.Typed, Sort: "only_b"})
		}
	}
	for _, w := range []differentWordsJSON{
		{"method", a.Spec.Method, b.Spec.Method}, {"ice", a.Spec.Ice, b.Spec.Ice}, {"glass", a.Spec.Glass, b.Spec.Glass},
		{"garnish", a.Spec.Garnish, b.Spec.Garnish}, {"strain", a.Spec.Strain, b.Spec.Strain},
	} {
		if !strings.EqualFold(w.A, w.B) {
			out.Words = append(out.Words, w)
		}
	}
	return out, nil
}

// measured gives the lines with the volume each has in its spec, so that a part of one spec can be told from one of another.
func (v Version) measured() []Line {
	lines := append([]Line(nil), v.Lines...)
	for i, sized := range v.sized() {
		if lines[i].Volume = sized.Volume; sized.Volume.Known && lines[i].Unit == line.PartOf {
			lines[i].Unit, lines[i].Qty = line.Millilitre, unit.Known(line.Qty(int64(sized.Volume.Value.Value)*int64(line.One)/1000))
		}
	}
	return lines
}

// pairs gives for each line of a its counterpart among those of b, or -1: the line it was copied from or to, a copy of the
// same line, the same ingredient, the same name.
func pairs(a, b []Line) []int {
	of := make([]int, len(a))
	for i := range of {
		of[i] = -1
	}
	taken := make([]bool, len(b))
	for _, match := range []func(a, b Line) bool{
		func(a, b Line) bool { return a.ID == b.ID || a.Of == b.ID || b.Of == a.ID },
		func(a, b Line) bool { return a.Of != "" && a.Of == b.Of },
		func(a, b Line) bool { return a.Ingredient != "" && a.Ingredient == b.Ingredient },
		func(a, b Line) bool { return same(a.Calls(), b.Calls()) },
	} {
		for i := range a {
			for k := range b {
				if of[i] < 0 && !taken[k] && match(a[i], b[k]) {
					of[i], taken[k] = k, true
				}
			}
		}
	}
	return of
}
