package schema

import (
	"math"
	"slices"
	"strings"

	"fairmeasure/journal"
	"fairmeasure/journal/line"
	"fairmeasure/journal/unit"
	"fairmeasure/sync/replica"
)

// altered is a spec being written otherwise, for a riff: what is typed is read as the intent of the riff will read it, so
// that every figure is that of the riff. A line that does not read back as it is meant spoils it.
type altered struct {
	j       *Journal
	spec    Spec
	o       line.Options
	lines   []alteredLine
	spoiled bool
}

type alteredLine struct {
	Line           // its ID is that of the line it stands for, none for a new one
	was     string // what was typed before
	changed bool
	gone    bool
}

// altering begins with the lines as they are. Lines in parts are told by volume once they have one, since the size of a
// part may hang on the others.
func (j *Journal) altering(v Version) *altered {
	a := &altered{j: j, spec: v.Spec, o: j.readingOptions(v.Lines)}
	sized := v.sized()
	parts := false
	for _, l := range v.Lines {
		a.lines = append(a.lines, alteredLine{Line: l, was: l.Typed})
	}
	for i := range a.lines {
		if a.lines[i].Unit != line.PartOf {
			continue
		}
		if !sized[i].Volume.Known {
			parts = true
			continue
		}
		a.lines[i].Volume = sized[i].Volume
		a.resize(i, sized[i].Volume.Value.Value.ML())
	}
	if !parts {
		a.spec.PartUL, a.spec.TotalUL = unit.Maybe[unit.Volume]{}, unit.Maybe[unit.Volume]{}
	}
	return a
}

// halfML is what a line in millilitres is rounded to. One in ounces is rounded to eighths where these are within a tenth;
// less than half an ounce is often nearer in millilitres. Chosen.
const (
	halfML    = 0.5
	eighthOff = 0.1
)

// measured gives an amount in the measure of a line, rounded to what it pours; false when that is nothing.
func (a *altered) measured(as Line, ml float64) (line.Line, bool) {
	if !(ml > 0 && ml <= line.MaxVolume.ML()) {
		return line.Line{}, false
	}
	u := as.Unit
	if u != line.Millilitre && u != line.Centilitre && u != line.Ounce {
		u = line.Millilitre
		if a.j.Settings().Units == "oz" {
			u = line.Ounce
		}
	}
	qty := func(q float64) unit.Maybe[line.Qty] { return unit.Known(line.Qty(math.Round(q * float64(line.One)))) }
	if u == line.Ounce {
		kind := line.OunceKind("")
		if as.Unit == line.Ounce {
			kind = as.OunceKind
		}
		kind = ounceOr(kind, a.o.OunceKind)
		eighth := ounceML(kind) / 8
		if n := math.Round(ml / eighth); math.Abs(n*eighth-ml) <= float64(eighthOff*ml) {
			return line.Line{Unit: u, OunceKind: kind, Qty: qty(n / 8)}, true
		}
		u = line.Millilitre
	}
	rounded := math.Round(ml/halfML) * halfML
	if rounded == 0 {
		return line.Line{}, false
	}
	if u == line.Centilitre {
		return line.Line{Unit: u, Qty: qty(rounded / 10)}, true
	}
	return line.Line{Unit: u, Qty: qty(rounded)}, true
}

func ounceOr(kind, otherwise line.OunceKind) line.OunceKind {
	if kind != "" {
		return kind
	}
	if otherwise != "" {
		return otherwise
	}
	return line.Bar
}

// ounceML is the size of an ounce of a kind.
func ounceML(kind line.OunceKind) float64 {
	l, err := line.Read("1 oz x", line.Options{OunceKind: kind})
	if err != nil {
		return 30
	}
	return l[0].Volume.Value.Value.ML()
}

// write types a line in the place of another, whose id it keeps. An ingredient given is what its name means.
func (a *altered) write(i int, l line.Line, ingredient replica.ID) {
	at := &a.lines[i]
	id, was := at.ID, at.was
	got, ok := a.reread(l, ingredient)
	if !ok {
		a.spoiled = true
		return
	}
	*at = alteredLine{Line: got, was: was, changed: got.Typed != was || got.Ingredient != at.Ingredient}
	at.ID = id
}

// reread gives a line as it will be read once it is typed.
func (a *altered) reread(l line.Line, ingredient replica.ID) (Line, bool) {
	typed := line.Print(l)
	read, err := a.j.read(typed, a.o)
	if err != nil || len(read) != 1 || read[0].Unit != l.Unit || read[0].Qty != l.Qty || read[0].Open != l.Open {
		return Line{}, false
	}
	got := read[0]
	if ingredient != "" {
		got.Ingredient = ingredient
	}
	return got, true
}

// resize gives a line another amount of what it calls for.
func (a *altered) resize(i int, ml float64) {
	l := a.lines[i].Line
	amount, ok := a.measured(l, ml)
	if !ok {
		a.spoiled = true
		return
	}
	again := line.Line{Unit: amount.Unit, OunceKind: amount.OunceKind, Qty: amount.Qty, Name: l.Name, Form: l.Form, Note: l.Note, Strength: l.Strength}
	a.write(i, again, l.Ingredient)
}

// pour puts so much of something in the place of a line, in the measure of another.
func (a *altered) pour(i int, as Line, ml float64, t thing) {
	amount, ok := a.measured(as, ml)
	if !ok {
		a.spoiled = true
		return
	}
	amount.Name = t.name
	a.write(i, amount, t.id)
}

// insert makes room for a new line before i.
func (a *altered) insert(i int) {
	a.lines = slices.Insert(a.lines, i, alteredLine{changed: true})
}

// remove takes a line out.
func (a *altered) remove(i int) {
	a.lines[i].gone = true
	a.lines[i].changed = true
}

// ml is the amount of a line as it is now.
func (a *altered) ml(i int) float64 { return a.lines[i].Volume.Value.Value.ML() }

// water puts so much water in, after line i at the latest place, or takes it out of the water that is there. Less than
// half a measure is left as it is.
func (a *altered) water(i int, as Line, ml float64) {
	at := slices.IndexFunc(a.lines, func(l alteredLine) bool {
		return !l.gone && l.Volume.Known && l.Open == journal.Measured && (strings.EqualFold(l.Calls(), "water") || strings.EqualFold(l.Calls(), "Wasser"))
	})
	if at >= 0 {
		if _, ok := a.measured(as, math.Abs(ml)); !ok {
			return
		}
		left := a.ml(at) + ml
		if _, ok := a.measured(a.lines[at].Line, left); !ok {
			a.remove(at)
			return
		}
		a.resize(at, left)
		return
	}
	if ml <= 0 {
		return
	}
	if _, ok := a.measured(as, ml); ok {
		a.insert(i + 1)
		a.pour(i+1, as, ml, thing{id: "stock.water", name: "water"})
	}
}

// weigh puts so many grams of a dry thing in after line i.
func (a *altered) weigh(i int, grams float64, name string) {
	a.insert(i + 1)
	a.write(i+1, line.Line{Unit: line.Gram, Qty: unit.Known(line.Qty(math.Round(grams * float64(line.One)))), Name: name}, "")
}

// version gives the spec as it would be.
func (a *altered) version() Version {
	v := Version{Spec: a.spec}
	for _, l := range a.lines {
		if !l.gone {
			l.ID = "" // no longer the line that it was: what clashes with that one does not touch it
			v.Lines = append(v.Lines, l.Line)
		}
	}
	return v
}

// all gives the lines as an intent takes them.
func (a *altered) all() []wayLineJSON {
	out := []wayLineJSON{}
	for _, l := range a.lines {
		if l.gone {
			continue
		}
		w := wayLineJSON{Keep: string(l.ID), Typed: l.Typed}
		if l.changed {
			w.Ingredient = string(l.Ingredient)
		}
		out = append(out, w)
	}
	return out
}

// changes gives what is typed otherwise.
func (a *altered) changes() []wayChangeJSON {
	out := []wayChangeJSON{}
	for _, l := range a.lines {
		switch {
		case l.gone:
			out = append(out, wayChangeJSON{l.was, ""})
		case l.changed:
			out = append(out, wayChangeJSON{l.was, l.Typed})
		}
	}
	return out
}
