package schema

import (
	"cmp"
	"slices"

	"fairmeasure/journal"
	"fairmeasure/journal/batch"
	"fairmeasure/journal/bottles"
	"fairmeasure/journal/count"
	"fairmeasure/journal/unit"
	"fairmeasure/sync/replica"
)

type drawJSON struct {
	Bottle string  `json:"bottle"`
	Name   string  `json:"name"`
	ML     float64 `json:"ml"`
}

type makingJSON struct {
	ID       string     `json:"id"`
	Sort     string     `json:"sort"`
	Name     string     `json:"name"`
	Spec     *string    `json:"spec"`
	On       string     `json:"on"`
	MadeML   *float64   `json:"made_ml"`
	Servings *float64   `json:"servings"`
	Bottle   string     `json:"bottle"`
	LeftML   *float64   `json:"left_ml"`
	KeepBy   *string    `json:"keep_by"`
	Over     bool       `json:"over"`
	Cost     []costJSON `json:"cost"`
	Draws    []drawJSON `json:"draws"`
}

type makingsJSON struct {
	Rows   []makingJSON `json:"rows"`
	NowDay string       `json:"now_day"`
}

// Making is something made to keep: a batch, a syrup, an infusion.
type Making struct {
	ID                 replica.ID
	Sort, Name         string
	Spec               replica.ID
	Ingredient, Bottle replica.ID // what it yields
	AtMS               int64
	OffsetMin          int
	Made               unit.Maybe[unit.Volume]
	ServingsX10        unit.Maybe[int64]
	KeepDays           unit.Maybe[int64]
	Draws              batch.Draws
}

func readMaking(e *replica.Entity) Making {
	r, at := row{e}, together(e, "at_ms")
	m := Making{
		ID: e.ID, Sort: textOf(r, "sort"), Name: textOf(r, "name"), Spec: idOf(r, "spec"), Ingredient: idOf(r, "ingredient"),
		Bottle: idOf(r, "bottle"), AtMS: intOf(at, "at_ms").Value, OffsetMin: int(intOf(at, "offset_min").Value),
		Made: volumeOf(r, "made_ul"), ServingsX10: intOf(r, "servings_x10"), KeepDays: intOf(r, "keep_days"),
	}
	if d, err := batch.ParseDraws(textOf(r, "draws")); err == nil {
		m.Draws = d
	}
	return m
}

// on is the date it was made on, where it was made.
func (m Making) on() count.Day { return count.Label(m.AtMS, m.OffsetMin, 0) }

// makings gives the shown makings, the oldest first.
func (j *Journal) makings() []Making {
	if j.makes == nil {
		j.makes = []Making{}
		j.each("making", func(e *replica.Entity) { j.makes = append(j.makes, readMaking(e)) })
		inOrder(j.makes, func(a, b Making) int { return cmp.Or(cmp.Compare(a.AtMS, b.AtMS), cmp.Compare(a.ID, b.ID)) })
	}
	return j.makes
}

// priced is what a bottle cost: its own price, or that of what was drawn into it. partial: something drawn had none.
type priced struct {
	bottles.Price
	known, partial bool
}

// prices gives what each bottle that has a size cost. The price of a bottle that was made is derived from those of the
// bottles it was drawn from, also where these were made; it is never stored.
func (j *Journal) prices() map[journal.ID]priced {
	if j.priced != nil {
		return j.priced
	}
	j.priced = map[journal.ID]priced{}
	sizes := map[replica.ID]unit.Volume{}
	for _, b := range j.Bottles() {
		if b.Size.Known {
			sizes[b.ID] = b.Size.Value
			if b.PriceMinor.Known {
				j.priced[journal.ID(b.ID)] = priced{bottles.Price{Minor: b.PriceMinor.Value, Currency: b.Currency, Size: b.Size.Value}, true, false}
			}
		}
	}
	for _, m := range j.makings() {
		id := journal.ID(m.Bottle)
		if size, ok := sizes[m.Bottle]; ok && !j.priced[id].known {
			if c, partial := j.drawnCost(m); len(c.Totals) == 1 {
				j.priced[id] = priced{bottles.Price{Minor: c.Totals[0].Minor, Currency: c.Totals[0].Currency, Size: size}, true, partial}
			}
		}
	}
	return j.priced
}

// drawnCost prices what a making drew.
func (j *Journal) drawnCost(m Making) (c bottles.Cost, partial bool) {
	var takings []bottles.Taken
	for _, d := range m.Draws {
		p := j.priced[d.Bottle]
		partial = partial || p.partial
		takings = append(takings, bottles.Taken{Volume: d.Volume, Price: unit.Maybe[bottles.Price]{Value: p.Price, Known: p.known}})
	}
	c = bottles.CostOf(takings)
	return c, partial || c.Unpriced > 0
}

// makingsView answers what was made to keep, the newest first.
func (j *Journal) makingsView(question) (any, error) {
	today := count.Label(j.now.MS, j.now.OffsetMin, 0)
	out := makingsJSON{Rows: []makingJSON{}, NowDay: today.String()}
	prices, standings := j.prices(), j.standings()
	for _, m := range slices.Backward(j.makings()) {
		r := makingJSON{
			ID: string(m.ID), Sort: m.Sort, Name: m.Name, Spec: idJSON(m.Spec), On: m.on().String(), MadeML: ml(m.Made), Bottle: string(m.Bottle),
			Cost: []costJSON{}, Draws: []drawJSON{},
		}
		if m.ServingsX10.Known {
			n := round(float64(m.ServingsX10.Value)/10, 1)
			r.Servings = &n
		}
		if left := standings[m.Bottle].Left; left.Known {
			n := round(left.Value.ML(), 0)
			r.LeftML = &n
		}
		if m.KeepDays.Known {
			last := m.on() + count.Day(m.KeepDays.Value)
			text := last.String()
			r.KeepBy, r.Over = &text, today > last
		}
		if c, partial := j.drawnCost(m); len(c.Totals) > 0 {
			r.Cost = costsJSON(c, partial)
		} else if p := prices[journal.ID(m.Bottle)]; p.known && len(m.Draws) == 0 {
			r.Cost = append(r.Cost, costJSON{p.Currency, p.Minor, false})
		}
		for _, d := range m.Draws {
			name := ""
			if e, ok := j.view.Get(replica.ID(d.Bottle)); ok && e.Kind == "bottle" {
				name = j.title(e)
			}
			r.Draws = append(r.Draws, drawJSON{string(d.Bottle), name, *shownVolume(d.Volume)})
		}
		out.Rows = append(out.Rows, r)
	}
	return out, nil
}
