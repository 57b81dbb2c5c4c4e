package schema

import (
	"maps"
	"slices"
	"strconv"
	"strings"

	"fairmeasure/journal"
	"fairmeasure/sync/replica"
)

// Plan is what an intent comes to: the edits of one action, and where to go. An intent that was carried out before has
// no edits left; its Done is the same.
type Plan struct {
	Edits []replica.Edit
	Done  Done
}

// Done says what an act made or touched, to go there and to draw it again.
type Done struct {
	Made    replica.ID   `json:"made"`
	Touched []replica.ID `json:"touched"`
	Riff    replica.ID   `json:"riff,omitempty"` // the spec that was found or made for a swap or a changed line
}

// intent is the private twin of Intent in pwa/src/shared/core.ts, all of its forms in one.
type intent struct {
	Do string     `json:"do"`
	ID replica.ID `json:"id"`

	Spec       replica.ID `json:"spec"`
	Line       replica.ID `json:"line"`
	Pour       replica.ID `json:"pour"`
	Drink      replica.ID `json:"drink"`
	Parent     replica.ID `json:"parent"`
	Ingredient replica.ID `json:"ingredient"`
	Swap       *swapping  `json:"swap"`

	DrinkName string       `json:"drink_name"`
	Name      *string      `json:"name"`
	Method    *string      `json:"method"`
	Ice       *string      `json:"ice"`
	Glass     *string      `json:"glass"`
	Garnish   *string      `json:"garnish"`
	Strain    *string      `json:"strain"`
	Note      *string      `json:"note"`
	Lines     []lineIntent `json:"lines"`
	PartUL    *int64       `json:"part_ul"`
	TotalUL   *int64       `json:"total_ul"`
	Typed     string       `json:"typed"`
	Slip      bool         `json:"slip"`

	AtMS      *int64   `json:"at_ms"`
	OffsetMin *int64   `json:"offset_min"`
	Zone      *string  `json:"zone"`
	ShareBP   *int64   `json:"share_bp"`
	ScoreX10  *int64   `json:"score_x10"`
	Tags      []string `json:"tags"`
	WaterUL   *int64   `json:"water_ul"`
	BeforeMG  *int64   `json:"before_mg"`
	AfterMG   *int64   `json:"after_mg"`
	VolUL     *int64   `json:"vol_ul"`
	ABVBP     *int64   `json:"abv_bp"`
	About     bool     `json:"about"`
	Keep      bool     `json:"keep"`

	N         int   `json:"n"`
	FirstAtMS int64 `json:"first_at_ms"`
	LastAtMS  int64 `json:"last_at_ms"`

	TurnsAtMS     *int64 `json:"turns_at_ms"`
	LastOffsetMin *int64 `json:"last_offset_min"`

	SizeUL     *int64 `json:"size_ul"`
	PriceMinor *int64 `json:"price_minor"`
	Currency   string `json:"currency"`
	OpenedOn   string `json:"opened_on"`

	Sort        string       `json:"sort"`
	MadeUL      *int64       `json:"made_ul"`
	ServingsX10 *int64       `json:"servings_x10"`
	Draws       []drawIntent `json:"draws"`
	KeepDays    *int64       `json:"keep_days"`
	SugarMGL    *int64       `json:"sugar_mgl"`
	AcidMGL     *int64       `json:"acid_mgl"`
	On          string       `json:"on"`

	Base       replica.ID        `json:"base"`
	Candidates []candidateIntent `json:"candidates"`
	Touches    []string          `json:"touches"`
	Text       string            `json:"text"`
	Comparison replica.ID        `json:"comparison"`
	AnchorX10  *int64            `json:"anchor_x10"`
	Drunk      bool              `json:"drunk"`
	PourUL     *int64            `json:"pour_ul"`
	Seed       string            `json:"seed"`
	Sight      string            `json:"sight"`
	Seats      []seatIntent      `json:"seats"`
	Seat       replica.ID        `json:"seat"`
	State      string            `json:"state"`
	Codes      []int             `json:"codes"`
	Taster     string            `json:"taster"`
	A          string            `json:"a"`
	B          string            `json:"b"`
	Outcome    string            `json:"outcome"`

	Kind        string                   `json:"kind"`
	Set         map[string]replica.Value `json:"set"`
	Value       *replica.Value           `json:"value"`
	Field       string                   `json:"field"`
	Stamp       string                   `json:"stamp"`
	Day         string                   `json:"day"`
	AlcoholFree *bool                    `json:"alcohol_free"`
	Also        []replica.ID             `json:"also"`
	Sure        bool                     `json:"sure"`
}

type swapping struct {
	Line       replica.ID `json:"line"`
	Ingredient replica.ID `json:"ingredient"`
}

// lineIntent is one line as it is to be. Of a spec that is there already it is a change made to what the page showed: what
// is not named stays as it is by now.
type lineIntent struct {
	Keep       replica.ID `json:"keep"` // the line that it is, or is a copy of
	ID         replica.ID `json:"id"`   // of a line that this act makes, minted for it
	Typed      string     `json:"typed"`
	Was        *string    `json:"was"` // its text as the page showed it first: where it still says so, nobody changed it
	Ingredient replica.ID `json:"ingredient"`
	Moved      bool       `json:"moved"` // it was put behind the one named before it
	Gone       bool       `json:"gone"`
}

type drawIntent struct {
	Bottle replica.ID `json:"bottle"`
	VolUL  int64      `json:"vol_ul"`
}

type candidateIntent struct {
	Line       replica.ID `json:"line"`
	Ingredient replica.ID `json:"ingredient"`
	Name       string     `json:"name"`
}

type seatIntent struct {
	Picks string `json:"picks"`
	Why   string `json:"why"`
}

type acting struct {
	word string
	act  func(*plan) error
}

// acts are what a person can do, by the word of the intent.
var acts = []acting{
	{"spec", (*plan).spec},
	{"line", (*plan).line},
	{"pour", (*plan).pour},
	{"several", (*plan).several},
	{"again", (*plan).again},
	{"plain", (*plan).plain},
	{"water", (*plan).water},
	{"edit", (*plan).edit},
	{"bottle", (*plan).bottle},
	{"making", (*plan).making},
	{"choose", (*plan).choose},
	{"keep_both", (*plan).keepBoth},
	{"delete", (*plan).remove},
	{"restore", (*plan).restore},
	{"erase", (*plan).erase},
	{"benchmark", (*plan).benchmark},
	{"set", (*plan).setting},
	{"day", (*plan).day},
	{"compare", (*plan).compare},
	{"candidate", (*plan).candidate},
	{"anchor", (*plan).anchor},
	{"flight", (*plan).flight},
	{"taste", (*plan).taste},
	{"flight_state", (*plan).flightState},
	{"uncover", (*plan).uncover},
	{"rate", (*plan).rate},
	{"trial", (*plan).trial},
}

// Act says what an intent of a person changes in what they see. Text is expected in Unicode form NFC, as the browser hands
// it in. What is not acceptable comes back as a *journal.Refusal. An intent that is repeated makes the same things with the
// same ids, or nothing.
func Act(v View, now Now, raw []byte) (Plan, error) {
	var in intent
	if err := decode(raw, &in); err != nil {
		return Plan{}, err
	}
	p := &plan{Journal: Read(v, now), in: in}
	if err := p.act(); err != nil {
		return Plan{}, err
	}
	if len(p.edits) > replica.MaxEdits {
		return Plan{}, journal.Refuse("too_much_at_once", "", "this changes %d things at once; at most %d go together", len(p.edits), replica.MaxEdits)
	}
	return Plan{p.edits, Done{p.made, list(p.touched), p.riff}}, nil
}

func (p *plan) act() error {
	for _, a := range acts {
		if a.word == p.in.Do {
			return a.act(p)
		}
	}
	return journal.Refuse("unknown_intent", "do", "there is no intent %q", clip(p.in.Do))
}

// decode reads an intent or a question. A key that is not known is refused: the pages and the core come out of one build,
// so it is a mistake, not a newer version.
func decode(raw []byte, into any) error {
	if err := unmarshal(string(raw), into); err != nil {
		return journal.Refuse("malformed", "", "cannot be read: %s", err)
	}
	return nil
}

// values are fields and what they are set to.
type values map[string]replica.Value

// text gives the fields in a form that is the same for equal values and no others.
func (v values) text() string {
	var b strings.Builder
	for _, f := range slices.Sorted(maps.Keys(v)) {
		b.WriteString(f)
		b.WriteByte('=')
		text, isText := v[f].AsText()
		n, isInt := v[f].AsInt()
		yes, isBool := v[f].AsBool()
		switch {
		case isText:
			b.WriteString(strconv.Quote(text))
		case isInt:
			b.WriteString(strconv.FormatInt(n, 10))
		case isBool:
			b.WriteString(strconv.FormatBool(yes))
		}
		b.WriteByte('\n')
	}
	return b.String()
}

// plan collects what one intent changes.
type plan struct {
	*Journal
	in      intent
	edits   []replica.Edit
	made    replica.ID
	touched []replica.ID
	riff    replica.ID
	riffs   map[riffKey]replica.ID // the riffs this plan makes
}

// riffKey is what tells a riff from another: what it is made from, and its content.
type riffKey struct {
	from    replica.ID
	content string
}

// put sets fields of a thing that is there already or is made by it. Fields without a value to clear are left out.
func (p *plan) put(id replica.ID, kind string, set values) error {
	e, there := p.view.Get(id)
	for f, v := range set {
		if v.IsNull() && len(Group(kind, f)) == 1 && (!there || len(e.Fields[f]) == 0) {
			delete(set, f)
		}
	}
	if len(set) == 0 {
		return nil
	}
	edit, err := Set(p.view, id, kind, set)
	if err != nil {
		return err
	}
	p.add(edit)
	return nil
}

// add takes an edit into the plan.
func (p *plan) add(e replica.Edit) {
	p.edits = append(p.edits, e)
	p.touched = append(p.touched, e.ID)
}

// change is put for what differs from what is shown: a group is set whole or not at all.
func (p *plan) change(id replica.ID, kind string, set values) error {
	e, ok := p.view.Get(id)
	if ok {
		differs := values{}
		for f, v := range set {
			for _, g := range Group(kind, f) {
				if (row{e}).value(f) != v {
					differs[g] = set[g]
				}
			}
		}
		for f := range differs {
			if _, given := set[f]; !given {
				delete(differs, f)
			}
		}
		set = differs
	}
	return p.put(id, kind, set)
}

// fresh checks the id that the page minted for a new thing. done means that this intent was carried out before.
func (p *plan) fresh(kind string) (done bool, err error) {
	if !minted(p.in.ID) {
		return false, journal.Refuse("bad_id", "id", "expected an id of 26 characters, got %q", clip(string(p.in.ID)))
	}
	p.made = p.in.ID
	e, ok := p.view.Get(p.in.ID)
	if ok && e.Kind != kind {
		return false, journal.Refuse("id_taken", "id", "the id stands for a %s already", e.Kind)
	}
	return ok, nil
}

// existing finds what an intent is about, deleted or not.
func (p *plan) existing(id replica.ID) (*replica.Entity, error) {
	e, ok := p.view.Get(id)
	if !ok {
		return nil, missing("thing", "id", id)
	}
	return e, nil
}

func missing(kind, field string, id replica.ID) error {
	return journal.Refuse("not_found", field, "there is no %s %q on this device", kind, clip(string(id)))
}

// optional checks numbers that may be left out, by the rules of their kind.
func optional(kind string, into values, given map[string]*int64) error {
	for f, n := range given {
		if n == nil {
			continue
		}
		r, _ := ruleOf(kind, f)
		v, err := r.check(f, replica.Int(*n))
		if err != nil {
			return err
		}
		into[f] = v
	}
	return nil
}

// texts checks texts that may be left out, by the rules of their kind. An empty one clears.
func texts(kind string, into values, given map[string]*string) error {
	for f, s := range given {
		if s == nil {
			continue
		}
		r, _ := ruleOf(kind, f)
		v, err := r.check(f, replica.Text(*s))
		if err != nil {
			return err
		}
		into[f] = v
	}
	return nil
}

// when gives the instant, offset and zone of an intent: its own, or those of now. They are set together.
func (p *plan) when() (values, error) {
	at, offset, zone := p.now.MS, int64(p.now.OffsetMin), p.now.Zone
	if p.in.AtMS != nil {
		at = *p.in.AtMS
	}
	if p.in.OffsetMin != nil {
		offset = *p.in.OffsetMin
	}
	if p.in.Zone != nil {
		zone = *p.in.Zone
	}
	if at > p.now.MS+dayMS {
		return nil, journal.Refuse("in_the_future", "at_ms", "expected a time at most a day ahead")
	}
	set := values{}
	if err := optional("pour", set, map[string]*int64{"at_ms": &at, "offset_min": &offset}); err != nil {
		return nil, err
	}
	zone, err := (rule{}).text("zone", zone)
	if err != nil {
		return nil, err
	}
	set["zone"] = replica.Null
	if zone != "" {
		set["zone"] = replica.Text(zone)
	}
	return set, nil
}

// same compares names as people do.
func same(a, b string) bool { return strings.EqualFold(strings.TrimSpace(a), strings.TrimSpace(b)) }
