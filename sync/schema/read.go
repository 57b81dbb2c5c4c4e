package schema

import (
	"cmp"
	"slices"

	"fairmeasure/journal"
	"fairmeasure/journal/bottles"
	"fairmeasure/journal/count"
	"fairmeasure/journal/dilution"
	"fairmeasure/journal/line"
	"fairmeasure/journal/stock"
	"fairmeasure/journal/unit"
	"fairmeasure/sync/replica"
)

// Now is the moment a question or an intent is read at. The core knows no clock and loads no time zone: the caller brings
// the instant, the offset in force, and the zone's name for information.
type Now struct {
	MS        int64
	OffsetMin int
	Zone      string
}

// row reads the fields of one entity as they are shown. Fields of a group are read together: the greatest stamp among the
// group's live writes gives all of them, so that no amount ever carries another device's unit.
type row struct {
	e *replica.Entity
}

func (r row) value(field string) replica.Value {
	group := Group(r.e.Kind, field)
	if len(group) == 1 {
		w, _ := r.e.Shown(field)
		return w.Value
	}
	return together(r.e, field).value(field)
}

// version is one version of a group of fields; a field it lacks reads as null.
type version struct{ replica.Version }

func (v version) value(field string) replica.Value {
	value, _ := v.Value(field)
	return value
}

// together gives the shown version of the group that a field belongs to.
func together(e *replica.Entity, field string) version {
	v, _ := replica.ShownGroup(e, Group(e.Kind, field))
	return version{v}
}

func hidden(e *replica.Entity) bool { return replica.Deleted(e) == replica.Hidden }

// valued is anything that gives the shown value of a field.
type valued interface {
	value(field string) replica.Value
}

func textOf(from valued, field string) string {
	s, _ := from.value(field).AsText()
	return s
}

func idOf(from valued, field string) replica.ID { return replica.ID(textOf(from, field)) }

func truthOf(from valued, field string) bool {
	b, _ := from.value(field).AsBool()
	return b
}

func intOf(from valued, field string) unit.Maybe[int64] {
	n, ok := from.value(field).AsInt()
	return unit.Maybe[int64]{Value: n, Known: ok}
}

func volumeOf(from valued, field string) unit.Maybe[unit.Volume] {
	n := intOf(from, field)
	return unit.Maybe[unit.Volume]{Value: unit.Volume(n.Value), Known: n.Known}
}

func strengthOf(from valued, field string) unit.Maybe[unit.Strength] {
	n := intOf(from, field)
	return unit.Maybe[unit.Strength]{Value: unit.Strength(n.Value), Known: n.Known}
}

// Drink is the idea with a name.
type Drink struct {
	ID        replica.ID
	Name      string
	Family    string
	Benchmark replica.ID // empty when none is set
	Note      string
}

// Spec is one exact version of a drink, without its lines: see Journal.Lines.
type Spec struct {
	ID                                        replica.ID
	Drink                                     replica.ID // empty when it stands alone
	Parent                                    replica.ID // the spec it is a riff of, empty when of none
	SameAs                                    replica.ID // declared by the owner to be the same
	Name                                      string
	Method, Ice, Glass, Garnish, Strain, Note string
	PartUL, TotalUL                           unit.Maybe[unit.Volume] // for lines in parts
}

// Line is one measured thing of a spec: as it was typed, and as it was read from that once.
type Line struct {
	ID         replica.ID
	Owner      replica.ID // its spec
	Of         replica.ID // the line it was copied from
	Pos        string
	Ingredient replica.ID // empty when the name is of nothing known
	line.Line
}

// Ingredient is what a line calls for.
type Ingredient struct {
	ID       replica.ID
	Name     string
	Also     string // a former name
	Sort     string
	Family   string // the stock ingredient it is one of, if the owner said so
	Strength unit.Maybe[unit.Strength]
	Sugar    unit.Maybe[unit.Concentration]
	Acid     unit.Maybe[unit.Concentration]
	Dash     unit.Maybe[unit.Volume]
	Stock    bool // one of the defaults built in
	Hidden   bool // deleted
	Missing  bool // named by something, but not here: the other half may still be on another phone
}

// Bottle is one physical bottle of an ingredient.
type Bottle struct {
	ID         replica.ID
	Ingredient replica.ID
	Size       unit.Maybe[unit.Volume]
	PriceMinor unit.Maybe[int64]
	Currency   string
	BoughtOn   string
	OpenedOn   string
	FinishedOn string
	Archived   bool
}

// Pour is one glass actually made.
type Pour struct {
	ID          replica.ID
	Drink, Spec replica.ID
	Made        string // the canonical text of what was in the glass; empty for a plain drink
	Name        string // of a plain drink
	Volume      unit.Maybe[unit.Volume]
	Strength    unit.Maybe[unit.Strength]
	AtMS        int64
	OffsetMin   int
	Zone        string
	Share       unit.Share
	BeforeMG    unit.Maybe[int64]
	AfterMG     unit.Maybe[int64]
	WaterUL     unit.Maybe[int64]
	ScoreX10    unit.Maybe[int64]
	Scale       string
	About       bool
	Note        string
	Mark        count.Mark
}

// Plain tells a drink that is no cocktail.
func (p Pour) Plain() bool { return p.Made == "" }

// Settings are the owner's choices, with what stands where none was made.
type Settings struct {
	Country    string
	Units      string
	OzKind     string
	DayStart   count.DayStart
	WeekStart  count.WeekStart
	Dash       unit.Volume
	Barspoon   unit.Volume
	OwnDayX10  unit.Maybe[int64]
	OwnWeekX10 unit.Maybe[int64]
	Quiet      bool
}

// Journal is a view read as what it means. It serves one question or one intent: what it has indexed it does not notice
// changing.
type Journal struct {
	view View
	now  Now
	kept *kept

	settings *Settings
	owned    map[replica.ID][]*replica.Entity // the shown lines of each spec
	lines    map[replica.ID][]Line            // those that were read, in order
	own      []Ingredient                     // shown ones, by id
	specs    []Spec                           // shown ones, by id
	byID     map[replica.ID]Spec
	byDrink  map[replica.ID][]Spec
	rowsOf   map[replica.ID]map[replica.ID]replica.ID // by drink: specs that have the content of a smaller id
	heads    map[replica.ID]replica.ID
	named    map[replica.ID]naming // by drink
	pours    []pourRef             // shown ones, newest first
	bottles  []Bottle
	stands   map[replica.ID]bottles.Standing
	makes    []Making
	priced   map[journal.ID]priced
	wet      map[wet]dilution.Calibration
	veils    map[replica.ID]veil
}

// Read reads a view at a moment.
func Read(v View, now Now) *Journal { return &Journal{view: v, now: now, kept: newKept()} }

// each calls fn for the shown entities of a kind.
func (j *Journal) each(kind string, fn func(*replica.Entity)) {
	j.view.Each(kind, func(e *replica.Entity) bool {
		if !hidden(e) {
			fn(e)
		}
		return true
	})
}

// shown finds an entity of a kind that is not deleted.
func (j *Journal) shown(id replica.ID, kind string) (*replica.Entity, bool) {
	e, ok := j.view.Get(id)
	return e, ok && e.Kind == kind && !hidden(e)
}

// Settings gives the owner's choices.
func (j *Journal) Settings() Settings {
	if j.settings != nil {
		return *j.settings
	}
	at := func(name string) valued {
		if e, ok := j.view.Get(replica.ID("set." + name)); ok && !hidden(e) {
			return row{e}
		}
		return row{&replica.Entity{}}
	}
	text := func(name, otherwise string) string { return cmp.Or(textOf(at(name), "value"), otherwise) }
	number := func(name string, otherwise int64) int64 {
		if n := intOf(at(name), "value"); n.Known {
			return n.Value
		}
		return otherwise
	}
	s := Settings{
		Country:    text("country", count.Fallback),
		Units:      text("units", "ml"),
		OzKind:     text("oz_kind", "bar"),
		DayStart:   count.DayStart(number("day_start_min", int64(count.DefaultDayStart))),
		WeekStart:  count.Monday,
		Dash:       unit.Volume(number("dash_ul", int64(line.DefaultDash))),
		Barspoon:   unit.Volume(number("barspoon_ul", int64(line.DefaultBarspoon))),
		OwnDayX10:  intOf(at("own_day_drinks_x10"), "value"),
		OwnWeekX10: intOf(at("own_week_drinks_x10"), "value"),
		Quiet:      truthOf(at("quiet"), "value"),
	}
	if !s.DayStart.Valid() {
		s.DayStart = count.DefaultDayStart
	}
	switch text("week_start", "iso") {
	case "sun":
		s.WeekStart = count.Sunday
	case "sat":
		s.WeekStart = count.Saturday
	}
	j.settings = &s
	return s
}

// Drink finds a drink that is not deleted.
func (j *Journal) Drink(id replica.ID) (Drink, bool) {
	e, ok := j.shown(id, "drink")
	if !ok {
		return Drink{}, false
	}
	return readDrink(e), true
}

func readDrink(e *replica.Entity) Drink {
	r := row{e}
	return Drink{e.ID, textOf(r, "name"), textOf(r, "family"), idOf(r, "benchmark"), textOf(r, "note")}
}

// Drinks gives the drinks that are not deleted, by id.
func (j *Journal) Drinks() (all []Drink) {
	j.each("drink", func(e *replica.Entity) { all = append(all, readDrink(e)) })
	return all
}

// Spec finds a spec that is not deleted.
func (j *Journal) Spec(id replica.ID) (Spec, bool) {
	e, ok := j.shown(id, "spec")
	if !ok {
		return Spec{}, false
	}
	return readSpec(e), true
}

func readSpec(e *replica.Entity) Spec {
	r := row{e}
	return Spec{
		ID: e.ID, Drink: idOf(r, "drink"), Parent: idOf(r, "parent"), SameAs: idOf(r, "same_as"), Name: textOf(r, "name"),
		Method: textOf(r, "method"), Ice: textOf(r, "ice"), Glass: textOf(r, "glass"), Garnish: textOf(r, "garnish"),
		Strain: textOf(r, "strain"), Note: textOf(r, "note"), PartUL: volumeOf(r, "part_ul"), TotalUL: volumeOf(r, "total_ul"),
	}
}

// Specs gives the specs that are not deleted, by id.
func (j *Journal) Specs() []Spec {
	if j.specs == nil {
		j.each("spec", func(e *replica.Entity) { j.specs = append(j.specs, readSpec(e)) })
	}
	return j.specs
}

// Lines gives the lines of a spec in order. The first call finds out in one pass whose every line is.
func (j *Journal) Lines(spec replica.ID) []Line {
	if j.owned == nil {
		j.owned, j.lines = map[replica.ID][]*replica.Entity{}, map[replica.ID][]Line{}
		j.each("line", func(e *replica.Entity) {
			owner := idOf(row{e}, "owner")
			j.owned[owner] = append(j.owned[owner], e)
		})
	}
	lines, ok := j.lines[spec]
	if !ok {
		for _, e := range j.owned[spec] {
			lines = append(lines, readLine(e))
		}
		inOrder(lines, func(a, b Line) int {
			return cmp.Or(cmp.Compare(a.Pos, b.Pos), cmp.Compare(a.ID, b.ID))
		})
		j.lines[spec] = lines
	}
	return lines
}

func readLine(e *replica.Entity) Line {
	r := row{e}
	as, ingredient := lineFrom(together(e, "typed"))
	return Line{ID: e.ID, Owner: idOf(r, "owner"), Of: idOf(r, "of"), Pos: textOf(r, "pos"), Ingredient: ingredient, Line: as}
}

// Ingredient finds an ingredient: one of the owner's, or of the stock. One that is not here comes back as Missing and one
// that is deleted as Hidden; both still stand for something.
func (j *Journal) Ingredient(id replica.ID) Ingredient {
	if e, ok := j.view.Get(id); ok && e.Kind == "ingredient" {
		return readIngredient(e)
	}
	if s, ok := stock.ByID(journal.ID(id)); ok {
		return Ingredient{ID: id, Name: s.Name, Family: string(s.ID), Stock: true}
	}
	return Ingredient{ID: id, Missing: true}
}

func readIngredient(e *replica.Entity) Ingredient {
	r := row{e}
	concentration := func(field string) unit.Maybe[unit.Concentration] {
		n := intOf(r, field)
		return unit.Maybe[unit.Concentration]{Value: unit.Concentration(n.Value), Known: n.Known}
	}
	return Ingredient{
		ID: e.ID, Name: textOf(r, "name"), Also: textOf(r, "also"), Sort: textOf(r, "sort"), Family: textOf(r, "family"), Strength: strengthOf(r, "abv_bp"),
		Sugar: concentration("sugar_mgl"), Acid: concentration("acid_mgl"), Dash: volumeOf(r, "dash_ul"), Hidden: hidden(e),
	}
}

// OwnIngredients gives the owner's ingredients that are not deleted, by id.
func (j *Journal) OwnIngredients() []Ingredient {
	if j.own == nil {
		j.each("ingredient", func(e *replica.Entity) { j.own = append(j.own, readIngredient(e)) })
	}
	return j.own
}

// Bottles gives the bottles that are not deleted, by id.
func (j *Journal) Bottles() []Bottle {
	if j.bottles == nil {
		j.each("bottle", func(e *replica.Entity) { j.bottles = append(j.bottles, readBottle(e)) })
	}
	return j.bottles
}

func readBottle(e *replica.Entity) Bottle {
	r := row{e}
	return Bottle{
		ID: e.ID, Ingredient: idOf(r, "ingredient"), Size: volumeOf(r, "size_ul"), PriceMinor: intOf(r, "price_minor"),
		Currency: textOf(r, "currency"), BoughtOn: textOf(r, "bought_on"), OpenedOn: textOf(r, "opened_on"),
		FinishedOn: textOf(r, "finished_on"), Archived: truthOf(r, "archived"),
	}
}

// pourRef is a pour and its instant: what ordering and choosing needs, before the rest is read.
type pourRef struct {
	e    *replica.Entity
	atMS int64
}

// pourRefs gives the shown pours, newest first.
func (j *Journal) pourRefs() []pourRef {
	if j.pours == nil {
		j.each("pour", func(e *replica.Entity) {
			j.pours = append(j.pours, pourRef{e, intOf(together(e, "at_ms"), "at_ms").Value})
		})
		slices.Reverse(j.pours) // ids begin with their time, so this is nearly the order
		inOrder(j.pours, func(a, b pourRef) int {
			return cmp.Or(cmp.Compare(b.atMS, a.atMS), cmp.Compare(b.e.ID, a.e.ID))
		})
	}
	return j.pours
}

// Pour finds a pour that is not deleted.
func (j *Journal) Pour(id replica.ID) (Pour, bool) {
	e, ok := j.shown(id, "pour")
	if !ok {
		return Pour{}, false
	}
	return readPour(e), true
}

func readPour(e *replica.Entity) Pour {
	r := row{e}
	at := together(e, "at_ms")
	plain := together(e, "vol_ul")
	weighed := together(e, "before_mg")
	score := together(e, "score_x10")
	share := unit.Whole
	if n := intOf(r, "share_bp"); n.Known {
		share = unit.Share(min(max(n.Value, 0), int64(unit.Whole)))
	}
	return Pour{
		ID: e.ID, Drink: idOf(r, "drink"), Spec: idOf(r, "spec"), Made: textOf(r, "made"),
		Name: textOf(plain, "name"), Volume: volumeOf(plain, "vol_ul"), Strength: strengthOf(plain, "abv_bp"),
		AtMS: intOf(at, "at_ms").Value, OffsetMin: int(intOf(at, "offset_min").Value), Zone: textOf(at, "zone"), Share: share,
		BeforeMG: intOf(weighed, "before_mg"), AfterMG: intOf(weighed, "after_mg"), WaterUL: intOf(weighed, "water_ul"),
		ScoreX10: intOf(score, "score_x10"), Scale: textOf(score, "scale"),
		About: truthOf(r, "about"), Note: textOf(r, "note"), Mark: count.Mark(textOf(r, "join_mark")),
	}
}

// Day gives the drinking day a pour counts for.
func (j *Journal) Day(p Pour) count.Day {
	return count.Label(p.AtMS, p.OffsetMin, j.Settings().DayStart)
}
