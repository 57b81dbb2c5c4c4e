package schema

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"fairmeasure/journal"
	"fairmeasure/journal/count"
	"fairmeasure/sync/replica"
)

// sortOf says what a field holds.
type sortOf int

const (
	words     sortOf = iota // one line of text
	prose                   // text with line breaks
	whole                   // an integer
	yesNo                   // true or false
	date                    // a calendar date as text
	reference               // the id of another thing
)

// rule is what a person may put into a field. The bounds are chosen so that a slip of the finger is refused and nothing
// that anyone pours is.
type rule struct {
	sort     sortOf
	min, max int64
	step     int64    // of whole: values are min, min+step, ...
	list     []string // of words: the closed list, if there is one
}

const (
	mostWords    = 200       // characters of one line of text
	mostVolumeUL = 5_000_000 // one line, one glass
	mostMassMG   = 10_000_000
	mostAtMS     = 4_102_444_800_000 // the year 2100
	dayMS        = 86_400_000
)

var (
	aVolume   = rule{sort: whole, min: 1, max: mostVolumeUL}
	someSize  = rule{sort: whole, min: 1, max: 100_000_000}
	aStrength = rule{sort: whole, min: 0, max: 10_000}
	aShare    = rule{sort: whole, min: 0, max: 10_000}
	aScore    = rule{sort: whole, min: 0, max: 100, step: 5}
	anInstant = rule{sort: whole, min: 1, max: mostAtMS}
	anOffset  = rule{sort: whole, min: -14 * 60, max: 14 * 60}
	aMass     = rule{sort: whole, min: 1, max: mostMassMG}
	aWater    = rule{sort: whole, min: 0, max: mostVolumeUL}
)

// rules are the fields a person sets one by one, by kind. What is not here is set by an intent of its own.
var rules = map[string]map[string]rule{
	"drink": {"name": {}, "also": {}, "family": {}, "benchmark": {sort: reference}, "note": {sort: prose}},
	"spec": {
		"name": {}, "also": {}, "drink": {sort: reference}, "parent": {sort: reference}, "same_as": {sort: reference},
		"method": {}, "ice": {}, "glass": {}, "garnish": {}, "strain": {}, "note": {sort: prose},
		"part_ul": aVolume, "total_ul": aVolume,
	},
	"line": {"pos": {}},
	"ingredient": {
		"name": {}, "also": {}, "sort": {}, "family": {}, "abv_bp": aStrength,
		"sugar_mgl": {sort: whole, max: 1_500_000}, "acid_mgl": {sort: whole, max: 1_000_000},
		"dash_ul": {sort: whole, min: 50, max: 5_000}, "note": {sort: prose},
	},
	"bottle": {
		"ingredient": {sort: reference}, "size_ul": someSize, "price_minor": {sort: whole, max: 1_000_000_000},
		"currency": {}, "bought_on": {sort: date}, "opened_on": {sort: date}, "finished_on": {sort: date}, "storage": {},
		"keep_days_maker": {sort: whole, max: 36_500}, "keep_days_own": {sort: whole, max: 36_500},
		"tare_mg": {sort: whole, max: mostMassMG}, "archived": {sort: yesNo}, "note": {sort: prose},
	},
	"level": {"bottle": {sort: reference}, "at_ms": anInstant, "left_ul": {sort: whole, max: 100_000_000}},
	"pour": {
		"drink": {sort: reference}, "spec": {sort: reference}, "at_ms": anInstant, "offset_min": anOffset, "zone": {},
		"share_bp": aShare, "score_x10": aScore, "scale": {}, "about": {sort: yesNo}, "note": {sort: prose},
		"before_mg": aMass, "after_mg": aMass, "water_ul": aWater, "name": {}, "vol_ul": aVolume, "abv_bp": aStrength,
		"sight": {list: []string{"blind", "half", "sighted"}}, "join_mark": {list: []string{"split", "join"}},
	},
	"water": {"at_ms": anInstant, "offset_min": anOffset, "zone": {}, "vol_ul": aVolume},
	"plain": {"name": {}, "vol_ul": aVolume, "abv_bp": aStrength, "pos": {}},
	"tag":   {"name": {}},
}

// settings are the choices kept under set.<name>, by name.
var settings = map[string]rule{
	"country":             {},
	"units":               {list: []string{"ml", "oz"}},
	"oz_kind":             {list: []string{"bar", "us", "imperial"}},
	"day_start_min":       {sort: whole, max: 360, step: 30},
	"week_start":          {list: []string{"iso", "sun", "sat"}},
	"dash_ul":             {sort: whole, min: 50, max: 5_000},
	"barspoon_ul":         {sort: whole, min: 500, max: 20_000},
	"own_day_drinks_x10":  {sort: whole, max: 1_000},
	"own_week_drinks_x10": {sort: whole, max: 7_000},
	"quiet":               {sort: yesNo},
	"locale":              {},
}

// ruleOf finds what may be put into a field of a kind; flavour terms and allergens are one truth value each.
func ruleOf(kind, field string) (rule, bool) {
	if r, ok := rules[kind][field]; ok {
		return r, true
	}
	if kind == "pour" && strings.HasPrefix(field, "tag.") || kind == "ingredient" && strings.HasPrefix(field, "allergen.") {
		return rule{sort: yesNo}, replica.ValidField(field)
	}
	return rule{}, false
}

// check gives a value as it is stored, or refuses it. Null clears and is always accepted.
func (r rule) check(field string, v replica.Value) (replica.Value, error) {
	if v.IsNull() {
		return v, nil
	}
	switch r.sort {
	case whole:
		n, ok := v.AsInt()
		if !ok {
			return v, journal.Refuse("not_a_number", field, "%s: expected a whole number", field)
		}
		if n < r.min || n > r.max {
			return v, journal.Refuse("out_of_range", field, "%s: expected %d to %d, got %d", field, r.min, r.max, n)
		}
		if r.step > 1 && (n-r.min)%r.step != 0 {
			return v, journal.Refuse("wrong_step", field, "%s: expected steps of %d, got %d", field, r.step, n)
		}
		return v, nil
	case yesNo:
		if _, ok := v.AsBool(); !ok {
			return v, journal.Refuse("not_yes_or_no", field, "%s: expected yes or no", field)
		}
		return v, nil
	}
	s, ok := v.AsText()
	if !ok {
		return v, journal.Refuse("not_a_text", field, "%s: expected a text", field)
	}
	s, err := r.text(field, s)
	if s == "" {
		return replica.Null, err
	}
	return replica.Text(s), err
}

// text gives a text as it is stored: without blanks at its ends.
func (r rule) text(field, s string) (string, error) {
	s = strings.TrimSpace(s)
	if s == "" {
		return "", nil
	}
	if !utf8.ValidString(s) {
		return "", journal.Refuse("bad_text", field, "%s: the text is not valid UTF-8", field)
	}
	for _, c := range s {
		if (unicode.IsControl(c) || c == '\u2028' || c == '\u2029') && !(r.sort == prose && (c == '\n' || c == '\t')) {
			return "", journal.Refuse("bad_text", field, "%s: the text holds a control character", field)
		}
	}
	switch r.sort {
	case prose:
		if len(s) > replica.MaxText {
			return "", journal.Refuse("too_long", field, "%s: expected at most %d bytes, got %d", field, replica.MaxText, len(s))
		}
	case date:
		if _, err := count.ParseDay(s); err != nil {
			return "", journal.Refuse("bad_day", field, "%s: expected a date such as 2026-05-16, got %q", field, clip(s))
		}
	case reference:
		if !replica.ValidID(replica.ID(s)) {
			return "", journal.Refuse("bad_id", field, "%s: %q is no id", field, clip(s))
		}
	default:
		if n := utf8.RuneCountInString(s); n > mostWords {
			return "", journal.Refuse("too_long", field, "%s: expected at most %d characters, got %d", field, mostWords, n)
		}
		if r.list != nil && !slices.Contains(r.list, s) {
			return "", journal.Refuse("unknown_word", field, "%s: expected one of %s, got %q", field, strings.Join(r.list, ", "), clip(s))
		}
	}
	return s, nil
}

// clip keeps a refusal short however long the text was.
func clip(s string) string {
	const most = 40
	n := 0
	for i := range s {
		if n == most {
			return s[:i] + "…"
		}
		n++
	}
	return s
}
