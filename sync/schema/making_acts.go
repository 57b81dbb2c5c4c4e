package schema

import (
	"slices"
	"strings"

	"fairmeasure/journal"
	"fairmeasure/journal/batch"
	"fairmeasure/journal/count"
	"fairmeasure/journal/unit"
	"fairmeasure/sync/replica"
)

// making keeps something made: itself, the ingredient it yields, and a bottle of that. Their ids follow from its own.
func (p *plan) making() error {
	if done, err := p.fresh("making"); err != nil || done {
		return err
	}
	on, err := p.madeOn()
	if err != nil {
		return err
	}
	set, err := p.when()
	if err != nil {
		return err
	}
	if p.in.MadeUL == nil {
		return journal.Refuse("empty", "made_ul", "expected how much it made")
	}
	err = optional("making", set, map[string]*int64{"made_ul": p.in.MadeUL, "servings_x10": p.in.ServingsX10, "water_ul": p.in.WaterUL, "keep_days": p.in.KeepDays})
	if err != nil {
		return err
	}
	spec := string(p.in.Spec)
	if err := texts("making", set, map[string]*string{"sort": &p.in.Sort, "name": p.in.Name, "spec": &spec}); err != nil {
		return err
	}
	if set["sort"].IsNull() {
		return journal.Refuse("empty", "sort", "expected batch, syrup or infusion")
	}
	if _, known := p.view.Get(p.in.Spec); p.in.Spec != "" && !known {
		return missing("spec", "spec", p.in.Spec)
	}
	if spec, ok := p.specAt(p.in.Spec); ok && p.in.Sort == "batch" {
		if err := oneMeasure(Version{spec, p.Lines(spec.ID)}); err != nil {
			return err
		}
	}
	draws, err := p.draws()
	if err != nil {
		return err
	}
	if len(draws) > 0 {
		text, err := draws.Text()
		if err != nil {
			return err
		}
		set["draws"] = replica.Text(text)
	}
	ingredient, err := p.yielded(draws)
	if err != nil {
		return err
	}
	bottle := derived(p.in.ID, "bottle")
	set["ingredient"], set["bottle"] = replica.Text(string(ingredient)), replica.Text(string(bottle))
	if err := p.put(p.in.ID, "making", set); err != nil {
		return err
	}
	filled := values{"ingredient": set["ingredient"], "opened_on": replica.Text(on.String())}
	err = optional("bottle", filled, map[string]*int64{"size_ul": p.in.MadeUL, "price_minor": p.in.PriceMinor, "keep_days_own": p.in.KeepDays})
	if err != nil {
		return err
	}
	if err := texts("bottle", filled, map[string]*string{"currency": &p.in.Currency}); err != nil {
		return err
	}
	return p.put(bottle, "bottle", filled)
}

// madeOn gives the day of a making and, when it is another than today, moves its instant there: the same time of that day.
func (p *plan) madeOn() (count.Day, error) {
	today := count.Label(p.now.MS, p.now.OffsetMin, 0)
	if p.in.On == "" {
		return today, nil
	}
	on, err := count.ParseDay(p.in.On)
	switch {
	case err != nil:
		return 0, journal.Refuse("bad_day", "on", "expected a date such as 2026-05-16, got %q", clip(p.in.On))
	case on > today+1:
		return 0, journal.Refuse("in_the_future", "on", "expected a day that has come")
	}
	at := p.now.MS + int64(on-today)*dayMS
	p.in.AtMS = &at
	return on, nil
}

// draws gives what is taken from bottles, in canonical order.
func (p *plan) draws() (batch.Draws, error) {
	var all []batch.Draw
	for _, d := range p.in.Draws {
		if e, ok := p.view.Get(d.Bottle); !ok || e.Kind != "bottle" {
			return nil, missing("bottle", "draws", d.Bottle)
		}
		if d.VolUL < 1 || d.VolUL > int64(batch.Most) {
			return nil, journal.Refuse("out_of_range", "draws", "expected to take some volume of at most 100 litres, got %d", d.VolUL)
		}
		all = append(all, batch.Draw{Bottle: journal.ID(d.Bottle), Volume: unit.Volume(d.VolUL)})
	}
	return batch.NewDraws(all), nil
}

// yielded finds or makes the ingredient a making yields: one of this name that holds the same is more of it. A new one takes
// over the allergens of what went in.
func (p *plan) yielded(draws batch.Draws) (replica.ID, error) {
	if p.in.Ingredient != "" {
		if i := p.Ingredient(p.in.Ingredient); i.Missing || i.Stock || i.Hidden {
			return "", missing("ingredient", "ingredient", p.in.Ingredient)
		}
		return p.in.Ingredient, nil
	}
	set := values{}
	err := optional("ingredient", set, map[string]*int64{"abv_bp": p.in.ABVBP, "sugar_mgl": p.in.SugarMGL, "acid_mgl": p.in.AcidMGL})
	if err != nil {
		return "", err
	}
	if err := texts("ingredient", set, map[string]*string{"name": p.in.Name}); err != nil {
		return "", err
	}
	name, _ := set["name"].AsText()
	if name == "" {
		return "", journal.Refuse("empty", "name", "expected a name")
	}
	for _, i := range p.OwnIngredients() {
		e, ok := p.view.Get(i.ID)
		if !ok || !same(i.Name, name) {
			continue
		}
		alike := true
		for _, f := range []string{"abv_bp", "sugar_mgl", "acid_mgl"} {
			if v := set[f]; v != (row{e}).value(f) {
				alike = false
			}
		}
		if alike {
			return i.ID, nil
		}
	}
	for _, c := range p.cautions(p.wentIn(draws)) {
		if strings.HasPrefix(c.Code, "allergen.") {
			set[c.Code] = replica.Bool(true)
		}
	}
	id := derived(p.in.ID, "ingredient")
	return id, p.put(id, "ingredient", set)
}

// wentIn is what went into a making: the lines of its spec, and what its bottles hold.
func (p *plan) wentIn(draws batch.Draws) Version {
	v := Version{Lines: slices.Clone(p.Lines(p.in.Spec))}
	for _, d := range draws {
		if e, ok := p.view.Get(replica.ID(d.Bottle)); ok {
			l := Line{Ingredient: idOf(row{e}, "ingredient")}
			l.Name = p.Ingredient(l.Ingredient).Name
			v.Lines = append(v.Lines, l)
		}
	}
	return v
}

// yields gives what goes with a making: its bottle, and its ingredient if that came with it and nothing else uses it.
func (j *Journal) yields(m Making) (all []replica.ID) {
	if e, ok := j.view.Get(m.Bottle); ok && e.Kind == "bottle" {
		all = append(all, m.Bottle)
	}
	e, ok := j.view.Get(m.Ingredient)
	if !ok || e.Kind != "ingredient" || !minted(m.ID) || m.Ingredient != derived(m.ID, "ingredient") {
		return all
	}
	for _, b := range j.Bottles() {
		if b.Ingredient == m.Ingredient && b.ID != m.Bottle {
			return all
		}
	}
	used := false
	j.each("line", func(l *replica.Entity) {
		used = used || idOf(together(l, "ingredient"), "ingredient") == m.Ingredient
	})
	if used {
		return all
	}
	return append(all, m.Ingredient)
}
