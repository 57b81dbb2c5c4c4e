package schema

import (
	"cmp"
	"strings"

	"fairmeasure/journal"
	"fairmeasure/journal/bottles"
	"fairmeasure/journal/unit"
	"fairmeasure/sync/replica"
)

// standings derives what is left in each bottle: its last stock-take less every pour and making since, whoever drank it.
func (j *Journal) standings() map[replica.ID]bottles.Standing {
	if j.stands != nil {
		return j.stands
	}
	readings := map[replica.ID][]bottles.Reading{}
	j.each("level", func(e *replica.Entity) {
		g := together(e, "left_ul")
		bottle, at, left := idOf(g, "bottle"), intOf(g, "at_ms"), volumeOf(g, "left_ul")
		if left.Known {
			readings[bottle] = append(readings[bottle], bottles.Reading{ID: journal.ID(e.ID), AtMS: at.Value, Left: left.Value})
		}
	})
	draws := map[replica.ID][]bottles.Draw{}
	for _, ref := range j.pourRefs() {
		made := textOf(row{ref.e}, "made")
		for _, d := range j.kept.drawn(made) {
			draws[d.bottle] = append(draws[d.bottle], bottles.Draw{ID: journal.ID(ref.e.ID), AtMS: ref.atMS, Volume: d.volume, Unmeasured: d.unmeasured})
		}
	}
	for _, m := range j.makings() {
		for _, d := range m.Draws {
			id := replica.ID(d.Bottle)
			draws[id] = append(draws[id], bottles.Draw{ID: journal.ID(m.ID), AtMS: m.AtMS, Volume: d.Volume})
		}
	}
	j.stands = map[replica.ID]bottles.Standing{}
	for _, b := range j.Bottles() {
		j.stands[b.ID] = bottles.Stand(b.Size, readings[b.ID], draws[b.ID])
	}
	return j.stands
}

// left gives the millilitres left of each ingredient over the bottles that are not empty.
func (j *Journal) left() map[replica.ID]float64 {
	sums := map[replica.ID]unit.Volume{}
	standings := j.standings()
	for _, b := range j.Bottles() {
		if s := standings[b.ID]; s.Left.Known && b.FinishedOn == "" && !b.Archived && b.Ingredient != "" {
			sums[b.Ingredient] += s.Left.Value
		}
	}
	out := map[replica.ID]float64{}
	for id, v := range sums {
		out[id] = round(v.ML(), 0)
	}
	return out
}

// bottlesView answers what stands on the shelf: open ones first, finished ones last.
func (j *Journal) bottlesView(question) (any, error) {
	out := bottlesJSON{Rows: []bottleJSON{}}
	standings := j.standings()
	for _, b := range j.Bottles() {
		if b.Archived {
			continue
		}
		i := j.Ingredient(b.Ingredient)
		r := bottleJSON{
			ID: string(b.ID), Name: i.Name, Ingredient: idJSON(b.Ingredient), SizeML: ml(b.Size), OpenedOn: textJSON(b.OpenedOn),
			FinishedOn: textJSON(b.FinishedOn), PriceMinor: maybe(b.PriceMinor), Currency: b.Currency, ABVPercent: percent(i.Strength),
		}
		if left := standings[b.ID].Left; left.Known {
			v := round(left.Value.ML(), 0)
			r.LeftML = &v
		}
		if e, ok := j.view.Get(b.ID); ok {
			r.Clash = len(clashingFields(e)) > 0
		}
		out.Rows = append(out.Rows, r)
	}
	rank := func(r bottleJSON) int {
		switch {
		case r.FinishedOn != nil:
			return 2
		case r.OpenedOn == nil:
			return 1
		}
		return 0
	}
	inOrder(out.Rows, func(a, b bottleJSON) int {
		return cmp.Or(cmp.Compare(rank(a), rank(b)), cmp.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name)), cmp.Compare(a.ID, b.ID))
	})
	return out, nil
}
