package schema

import (
	"fairmeasure/journal"
	"fairmeasure/journal/line"
	"fairmeasure/journal/stock"
	"fairmeasure/journal/unit"
	"fairmeasure/sync/replica"
)

type touchJSON struct {
	Typed   string        `json:"typed"`
	Name    string        `json:"name"`
	Sort    string        `json:"sort"`
	Marking string        `json:"marking"`
	All     []wayLineJSON `json:"all"`
	Balance balanceJSON   `json:"balance"`
	Alcohol alcoholJSON   `json:"alcohol"`
}

type touchesJSON struct {
	Before balanceJSON `json:"before"`
	Rows   []touchJSON `json:"rows"`
}

// touch is a small amount of something strong in taste. The amounts are common practice.
type touch struct {
	sort   string
	dashes int
	ml     []float64
}

var (
	dashes = touch{sort: "dashes", dashes: 2}
	spiced = touch{sort: "spiced", ml: []float64{5, 10}}
	bitter = touch{sort: "bitter", ml: []float64{10, 15}}
)

// touchOf tells which touch a thing is good for, by the stock ingredient it is one of.
func touchOf(of stock.Ingredient) (touch, bool) {
	switch of.ID {
	case "stock.aromatic_bitters", "stock.orange_bitters":
		return dashes, true
	case "stock.allspice_liqueur", "stock.falernum_liqueur":
		return spiced, true
	case "stock.amaro", "stock.red_bitter_aperitif", "stock.orange_aperitif":
		return bitter, true
	}
	return touch{}, false
}

// generalTouches are shown to everyone, by names that the stock reads back.
var generalTouches = []thing{
	{id: "stock.aromatic_bitters", name: "aromatic bitters"}, {id: "stock.allspice_liqueur", name: "allspice liqueur"}, {id: "stock.amaro", name: "amaro"},
}

// mostTouches keeps a full shelf of bitters from slowing the answer.
const mostTouches = 24

// touches answers what a spec would be with a touch of something: common ones, then those of the owner's that are of such
// a kind. What the spec holds already is left out.
func (j *Journal) touches(q question) (any, error) {
	v, ok := j.Version(q.Spec)
	if !ok {
		return nil, missing("spec", "spec", q.Spec)
	}
	out := touchesJSON{Before: j.versionBalance(v, j.Glass(v)), Rows: []touchJSON{}}
	there := map[replica.ID]bool{}
	for _, l := range v.Lines {
		there[l.Ingredient] = true
	}
	add := func(t thing, of touch) {
		if there[t.id] || len(v.Lines) >= mostLines {
			return
		}
		if of.dashes > 0 {
			j.touched(&out, v, of, line.Line{Unit: line.Dash, Qty: unit.Known(line.Qty(of.dashes) * line.One)}, t)
		}
		for _, ml := range of.ml {
			if amount, ok := j.pourable(ml); ok {
				j.touched(&out, v, of, amount, t)
			}
		}
	}
	for _, t := range generalTouches {
		s, _ := stock.ByID(journal.ID(t.id))
		if of, ok := touchOf(s); ok {
			add(t, of)
		}
	}
	for _, i := range j.OwnIngredients() {
		s, _ := j.stockOf(i)
		if of, ok := touchOf(s); ok && len(out.Rows) < mostTouches {
			add(thing{id: i.ID, name: i.Name}, of)
		}
	}
	return out, nil
}

// pourable gives some millilitres in the owner's measure: a small amount in ounces is told by the fraction a jigger has.
func (j *Journal) pourable(ml float64) (line.Line, bool) {
	if s := j.Settings(); s.Units == "oz" {
		read, err := line.Read(line.Amount(unit.Millilitres(ml), line.Ounce, line.OunceKind(s.OzKind))+" x", line.Options{OunceKind: line.OunceKind(s.OzKind)})
		if err == nil && len(read) == 1 {
			return line.Line{Unit: read[0].Unit, OunceKind: read[0].OunceKind, Qty: read[0].Qty}, true
		}
	}
	return line.Line{Unit: line.Millilitre, Qty: unit.Known(line.Qty(ml * float64(line.One)))}, true
}

// touched adds the row of a version with one line more.
func (j *Journal) touched(out *touchesJSON, v Version, of touch, amount line.Line, t thing) {
	a := j.altering(v)
	a.insert(len(a.lines))
	amount.Name = t.name
	a.write(len(a.lines)-1, amount, t.id)
	with := a.version()
	if a.spoiled || oneOunce(with.Lines) != nil {
		return
	}
	out.Rows = append(out.Rows, touchJSON{
		Typed: a.lines[len(a.lines)-1].Typed, Name: t.name, Sort: of.sort, Marking: "common practice", All: a.all(),
		Balance: j.versionBalance(with, j.Glass(with)), Alcohol: j.alcohol(j.specTotal(with, unit.Whole)),
	})
}
