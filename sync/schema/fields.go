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
	step     int64  // of whole: values are min, min+step, ...
	list     string // of words: the closed list, if there is one, with blanks between
}

const (
	mostWords    = 200       // characters of one line of text
	mostVolumeUL = 5_000_000 // one line, one glass
	mostMassMG   = 10_000_000
	mostAtMS     = 4_102_444_800_000 // the year 2100
	dayMS        = 86_400_000
)

// entry is one row of the tables below. They are lists, not maps: a list of constants is data, a map is code that builds it
// at every start.
type entry struct {
	kind, field string
	rule        rule
}

// rules are the fields a person sets one by one, by kind. What is not here is set by an intent of its own.
var rules = []entry{
	{"drink", "name", aLine}, {"drink", "also", aLine}, {"drink", "family", aLine}, {"drink", "benchmark", anID}, {"drink", "note", aNote},

	{"spec", "name", aLine}, {"spec", "also", aLine}, {"spec", "drink", anID}, {"spec", "parent", anID}, {"spec", "same_as", anID},
	{"spec", "method", aLine}, {"spec", "ice", aLine}, {"spec", "glass", aLine}, {"spec", "garnish", aLine}, {"spec", "strain", aLine},
	{"spec", "note", aNote}, {"spec", "part_ul", aVolume}, {"spec", "total_ul", aVolume},

	{"line", "pos", aLine},

	{"ingredient", "name", aLine}, {"ingredient", "also", aLine}, {"ingredient", "sort", aLine}, {"ingredient", "family", aLine},
	{"ingredient", "abv_bp", aStrength}, {"ingredient", "sugar_mgl", rule{sort: whole, max: 1_500_000}},
	{"ingredient", "acid_mgl", rule{sort: whole, max: 1_000_000}}, {"ingredient", "dash_ul", rule{sort: whole, min: 50, max: 5_000}},
	{"ingredient", "taste_bp", rule{sort: whole, min: 1, max: 30_000}}, {"ingredient", "note", aNote},

	{"bottle", "ingredient", anID}, {"bottle", "size_ul", rule{sort: whole, min: 1, max: 100_000_000}},
	{"bottle", "price_minor", rule{sort: whole, max: 1_000_000_000}}, {"bottle", "currency", aLine}, {"bottle", "bought_on", aDate},
	{"bottle", "opened_on", aDate}, {"bottle", "finished_on", aDate}, {"bottle", "storage", aLine},
	{"bottle", "keep_days_maker", rule{sort: whole, max: 36_500}}, {"bottle", "keep_days_own", rule{sort: whole, max: 36_500}},
	{"bottle", "tare_mg", rule{sort: whole, max: mostMassMG}}, {"bottle", "archived", yesOrNo}, {"bottle", "note", aNote},

	{"level", "bottle", anID}, {"level", "at_ms", anInstant}, {"level", "left_ul", rule{sort: whole, max: 100_000_000}},

	{"making", "sort", rule{list: "batch syrup infusion"}}, {"making", "name", aLine}, {"making", "spec", anID}, {"making", "at_ms", anInstant},
	{"making", "offset_min", anOffset}, {"making", "zone", aLine}, {"making", "made_ul", rule{sort: whole, min: 1, max: 100_000_000}},
	{"making", "servings_x10", rule{sort: whole, min: 1, max: 1_000_000}}, {"making", "water_ul", rule{sort: whole, max: 100_000_000}},
	{"making", "keep_days", rule{sort: whole, max: 36_500}},

	{"pour", "drink", anID}, {"pour", "spec", anID}, {"pour", "at_ms", anInstant}, {"pour", "offset_min", anOffset}, {"pour", "zone", aLine},
	{"pour", "share_bp", aShare}, {"pour", "score_x10", aScore}, {"pour", "scale", aLine}, {"pour", "about", yesOrNo}, {"pour", "note", aNote},
	{"pour", "before_mg", aMass}, {"pour", "after_mg", aMass}, {"pour", "water_ul", rule{sort: whole, max: mostVolumeUL}},
	{"pour", "name", aLine}, {"pour", "vol_ul", aVolume}, {"pour", "abv_bp", aStrength},
	{"pour", "sight", rule{list: "blind half sighted"}}, {"pour", "join_mark", rule{list: "split join"}},

	{"water", "at_ms", anInstant}, {"water", "offset_min", anOffset}, {"water", "zone", aLine}, {"water", "vol_ul", aVolume},

	{"plain", "name", aLine}, {"plain", "vol_ul", aVolume}, {"plain", "abv_bp", aStrength}, {"plain", "pos", aLine},

	{"tag", "name", aLine},

	{"comparison", "name", aLine}, {"comparison", "note", aNote}, {"candidate", "benched", yesOrNo},
	{"segment", "from_ms", anInstant}, {"segment", "anchor_x10", aScore}, {"segment", "drunk", yesOrNo},
	{"taster", "name", aLine}, {"rating", "score_x10", aScore}, {"rating", "note", aNote},

	// The owner's choices, kept under set.<name>.
	{"set", "country", aLine}, {"set", "units", rule{list: "ml oz"}}, {"set", "oz_kind", rule{list: "bar us imperial"}},
	{"set", "day_start_min", rule{sort: whole, max: 360, step: 30}}, {"set", "week_start", rule{list: "iso sun sat"}},
	{"set", "dash_ul", rule{sort: whole, min: 50, max: 5_000}}, {"set", "barspoon_ul", rule{sort: whole, min: 500, max: 20_000}},
	{"set", "own_day_drinks_x10", rule{sort: whole, max: 1_000}}, {"set", "own_week_drinks_x10", rule{sort: whole, max: 7_000}},
	{"set", "quiet", yesOrNo},
}

var (
	aLine     = rule{}
	aNote     = rule{sort: prose}
	anID      = rule{sort: reference}
	aDate     = rule{sort: date}
	yesOrNo   = rule{sort: yesNo}
	aVolume   = rule{sort: whole, min: 1, max: mostVolumeUL}
	aStrength = rule{sort: whole, max: 10_000}
	aShare    = rule{sort: whole, max: 10_000}
	aScore    = rule{sort: whole, max: 100, step: 5}
	anInstant = rule{sort: whole, min: 1, max: mostAtMS}
	anOffset  = rule{sort: whole, min: -14 * 60, max: 14 * 60}
	aMass     = rule{sort: whole, min: 1, max: mostMassMG}
)

// editable tells whether a person may set fields of this kind.
func editable(kind string) bool {
	return kind != "set" && slices.ContainsFunc(rules, func(e entry) bool { return e.kind == kind })
}

// ruleOf finds what may be put into a field of a kind; flavour terms and allergens are one truth value each.
func ruleOf(kind, field string) (rule, bool) {
	for i := range rules {
		if e := &rules[i]; e.kind == kind && e.field == field {
			return e.rule, true
		}
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
		if r.list != "" && !slices.Contains(strings.Fields(r.list), s) {
			return "", journal.Refuse("unknown_word", field, "%s: expected one of %s, got %q", field, r.list, clip(s))
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
