package schema

import (
	"maps"
	"strings"

	"fairmeasure/journal"
	"fairmeasure/journal/unit"
	"fairmeasure/sync/replica"
)

// pour records one glass of a spec. What was in it is written down here, once: nothing done to the spec or its
// ingredients afterwards changes it.
func (p *plan) pour() error {
	done, err := p.fresh("pour")
	if err != nil {
		return err
	}
	if done {
		if e, _ := p.view.Get(p.in.ID); idOf(row{e}, "spec") != p.in.Spec {
			p.riff = idOf(row{e}, "spec")
		}
		return nil
	}
	version, ok := p.Version(p.in.Spec)
	if !ok {
		return missing("spec", "spec", p.in.Spec)
	}
	if p.in.Swap != nil {
		from, to, err := p.swapped(p.in.Spec, *p.in.Swap)
		if err != nil {
			return err
		}
		id, err := p.findOrMake(from, to, derived(p.in.ID, "riff"))
		if err != nil {
			return err
		}
		if id != from.Spec.ID {
			to.Spec.ID, p.riff = id, id
		}
		version = to
	}
	set, err := p.glassFields()
	if err != nil {
		return err
	}
	if err := p.glassOf(version, set); err != nil {
		return err
	}
	return p.put(p.in.ID, "pour", set)
}

// glassOf adds what a glass of a version is to the fields of a pour.
func (p *plan) glassOf(version Version, set values) error {
	if len(version.Lines) == 0 {
		return journal.Refuse("empty", "spec", "a spec without lines cannot be poured")
	}
	made, err := p.Glass(version).Text()
	if err != nil {
		return err
	}
	set["made"], set["spec"] = replica.Text(made), replica.Text(string(version.Spec.ID))
	if version.Spec.Drink != "" {
		set["drink"] = replica.Text(string(version.Spec.Drink))
	}
	return nil
}

// The most pours of one action, and the most text of what was in their glasses: the action has to fit into its limit.
const (
	mostAtOnce = 20
	mostOfMade = replica.MaxAction * 3 / 4
)

// several records the same drink a number of times, evenly from the first time to the last. The first pour has the id of
// the intent and the others follow from it.
func (p *plan) several() error {
	n, first, last := p.in.N, p.in.FirstAtMS, p.in.LastAtMS
	switch {
	case n < 1 || n > mostAtOnce:
		return journal.Refuse("out_of_range", "n", "expected 1 to %d, got %d", mostAtOnce, n)
	case last < first && n > 1:
		return journal.Refuse("out_of_range", "last_at_ms", "expected a time not before the first")
	case (p.in.TurnsAtMS == nil) != (p.in.LastOffsetMin == nil):
		return journal.Refuse("empty", "turns_at_ms", "expected when the clocks change together with the offset after it")
	case p.in.TurnsAtMS != nil && (*p.in.TurnsAtMS <= first || *p.in.TurnsAtMS > last):
		return journal.Refuse("out_of_range", "turns_at_ms", "expected the clocks to change between the first time and the last")
	}
	done, err := p.fresh("pour")
	if err != nil {
		return err
	}
	ids := []replica.ID{p.in.ID}
	for i := 1; i < n; i++ {
		ids = append(ids, derived(p.in.ID, "pour."+itoa(i)))
	}
	if done {
		p.touched = ids
		return nil
	}
	if n == 1 {
		last = first
	}
	p.in.AtMS = &last // the latest is the one that could lie ahead
	set, err := p.glassFields()
	if err != nil {
		return err
	}
	if p.in.Spec == "" {
		drink, err := p.plainGlass()
		if err != nil {
			return err
		}
		maps.Copy(set, drink)
	} else {
		version, ok := p.Version(p.in.Spec)
		if !ok {
			return missing("spec", "spec", p.in.Spec)
		}
		if err := p.glassOf(version, set); err != nil {
			return err
		}
	}
	if made, _ := set["made"].AsText(); len(made)*n > mostOfMade {
		return journal.Refuse("too_much_at_once", "n", "so many of this drink do not go together: record fewer at a time")
	}
	for i, id := range ids {
		at := first
		if n > 1 {
			at += (last - first) * int64(i) / int64(n-1)
		}
		one := maps.Clone(set)
		lived := map[string]*int64{"at_ms": &at}
		if turn := p.in.TurnsAtMS; turn != nil && at >= *turn {
			lived["offset_min"] = p.in.LastOffsetMin
		}
		if err := optional("pour", one, lived); err != nil {
			return err
		}
		if err := p.put(id, "pour", one); err != nil {
			return err
		}
	}
	return nil
}

// glassFields are what a pour may say of itself besides what was in it.
func (p *plan) glassFields() (values, error) {
	set, err := p.when()
	if err != nil {
		return nil, err
	}
	err = optional("pour", set, map[string]*int64{
		"share_bp": p.in.ShareBP, "score_x10": p.in.ScoreX10, "water_ul": p.in.WaterUL, "before_mg": p.in.BeforeMG, "after_mg": p.in.AfterMG,
	})
	if err != nil {
		return nil, err
	}
	if err := texts("pour", set, map[string]*string{"note": p.in.Note}); err != nil {
		return nil, err
	}
	if p.in.BeforeMG != nil && p.in.AfterMG != nil && *p.in.AfterMG < *p.in.BeforeMG {
		return nil, journal.Refuse("lighter_after", "after_mg", "expected the strained drink to weigh at least what went in, got less")
	}
	for _, tag := range p.in.Tags {
		field, ok := tagField(tag)
		if !ok {
			return nil, journal.Refuse("bad_tag", "tags", "%q is no flavour term", clip(tag))
		}
		set[field] = replica.Bool(true)
	}
	if p.in.About {
		set["about"] = replica.Bool(true)
	}
	return set, nil
}

// tagField gives the field that holds a flavour term: its words with underscores between.
func tagField(term string) (string, bool) {
	field := "tag." + strings.ReplaceAll(strings.ToLower(strings.TrimSpace(term)), " ", "_")
	return field, replica.ValidField(field) && len(field) > len("tag.")
}

// again records the same glass once more: what was in it, and how much of it was drunk. What was measured or thought of
// the first is not copied.
func (p *plan) again() error {
	if done, err := p.fresh("pour"); err != nil || done {
		return err
	}
	from, ok := p.Pour(p.in.Pour)
	if !ok {
		return missing("pour", "pour", p.in.Pour)
	}
	set, err := p.when()
	if err != nil {
		return err
	}
	for field, id := range map[string]replica.ID{"drink": from.Drink, "spec": from.Spec} {
		if id != "" {
			set[field] = replica.Text(string(id))
		}
	}
	if from.Plain() {
		for f, v := range plainFields(from.Name, from.Volume, from.Strength) {
			set[f] = v
		}
	} else {
		set["made"] = replica.Text(from.Made)
	}
	if v, veiled := p.veil(from.ID); veiled { // the same glass, whatever it turns out to be
		set["flight"], set["seat"] = replica.Text(string(v.flight)), replica.Text(string(v.seat))
	}
	if from.Share != unit.Whole {
		set["share_bp"] = replica.Int(int64(from.Share))
	}
	if from.About {
		set["about"] = replica.Bool(true)
	}
	return p.put(p.in.ID, "pour", set)
}

func plainFields(name string, volume unit.Maybe[unit.Volume], strength unit.Maybe[unit.Strength]) values {
	set := values{
		"name": replica.Null, "vol_ul": number(volume.Known, int64(volume.Value)), "abv_bp": number(strength.Known, int64(strength.Value)),
	}
	if name != "" {
		set["name"] = replica.Text(name)
	}
	return set
}

// plain records a drink that is no cocktail, and keeps it for the next time if asked.
func (p *plan) plain() error {
	if done, err := p.fresh("pour"); err != nil || done {
		return err
	}
	kept, err := p.plainGlass()
	if err != nil {
		return err
	}
	set, err := p.glassFields()
	if err != nil {
		return err
	}
	maps.Copy(set, kept)
	if err := p.put(p.in.ID, "pour", set); err != nil || !p.in.Keep {
		return err
	}
	last := ""
	for _, preset := range p.plains() {
		if (row{preset}).value("name") == kept["name"] && (row{preset}).value("vol_ul") == kept["vol_ul"] && (row{preset}).value("abv_bp") == kept["abv_bp"] {
			return nil
		}
		last = max(last, textOf(row{preset}, "pos"))
	}
	kept["pos"] = replica.Text(between(last, ""))
	return p.put(derived(p.in.ID, "plain"), "plain", kept)
}

// plainGlass gives the fields of a drink that is no cocktail.
func (p *plan) plainGlass() (values, error) {
	set := values{}
	if p.in.Name == nil || p.in.VolUL == nil {
		return nil, journal.Refuse("empty", "name", "expected a name and a volume")
	}
	if err := texts("plain", set, map[string]*string{"name": p.in.Name}); err != nil {
		return nil, err
	}
	if set["name"].IsNull() {
		return nil, journal.Refuse("empty", "name", "expected a name")
	}
	if err := optional("plain", set, map[string]*int64{"vol_ul": p.in.VolUL, "abv_bp": p.in.ABVBP}); err != nil {
		return nil, err
	}
	if _, known := set["abv_bp"]; !known {
		set["abv_bp"] = replica.Null
	}
	return set, nil
}

// plains gives the owner's presets in order.
func (j *Journal) plains() (all []*replica.Entity) {
	j.each("plain", func(e *replica.Entity) { all = append(all, e) })
	sortByPos(all)
	return all
}

// water adds to the tally of water.
func (p *plan) water() error {
	if done, err := p.fresh("water"); err != nil || done {
		return err
	}
	set, err := p.when()
	if err != nil {
		return err
	}
	if p.in.VolUL == nil {
		return journal.Refuse("empty", "vol_ul", "expected a volume")
	}
	if err := optional("water", set, map[string]*int64{"vol_ul": p.in.VolUL}); err != nil {
		return err
	}
	return p.put(p.in.ID, "water", set)
}

// bottle puts a bottle on the shelf. What it holds is an ingredient: the one named, or one found or made by its name.
func (p *plan) bottle() error {
	if done, err := p.fresh("bottle"); err != nil || done {
		return err
	}
	set := values{}
	err := optional("bottle", set, map[string]*int64{"size_ul": p.in.SizeUL, "price_minor": p.in.PriceMinor})
	if err != nil {
		return err
	}
	if err := texts("bottle", set, map[string]*string{"currency": &p.in.Currency, "opened_on": &p.in.OpenedOn}); err != nil {
		return err
	}
	ingredient, err := p.ingredientOf()
	if err != nil {
		return err
	}
	set["ingredient"] = replica.Text(string(ingredient))
	return p.put(p.in.ID, "bottle", set)
}

func (p *plan) ingredientOf() (replica.ID, error) {
	strength := values{}
	if err := optional("ingredient", strength, map[string]*int64{"abv_bp": p.in.ABVBP}); err != nil {
		return "", err
	}
	name := ""
	if p.in.Name != nil {
		var err error
		if name, err = (rule{}).text("name", *p.in.Name); err != nil {
			return "", err
		}
	}
	typed := unit.Maybe[unit.Strength]{}
	if p.in.ABVBP != nil {
		typed = unit.Known(unit.Strength(*p.in.ABVBP))
	}
	if p.in.Ingredient != "" {
		i := p.Ingredient(p.in.Ingredient)
		switch {
		case i.Missing:
			return "", missing("ingredient", "ingredient", p.in.Ingredient)
		case !i.Stock && (!typed.Known || i.Strength == typed) && (name == "" || same(name, i.Name)):
			return i.ID, nil
		}
		if name == "" {
			name = i.Name
		}
		if i.Family != "" {
			strength["family"] = replica.Text(i.Family)
		}
	}
	if name == "" {
		return "", journal.Refuse("empty", "name", "expected a name")
	}
	for _, i := range p.OwnIngredients() {
		if same(i.Name, name) && (!typed.Known || i.Strength == typed) {
			return i.ID, nil
		}
	}
	set := values{"name": replica.Text(name)}
	for f, v := range strength {
		set[f] = v
	}
	id := derived(p.in.ID, "ingredient")
	return id, p.put(id, "ingredient", set)
}
