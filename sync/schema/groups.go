// Package schema is the single meeting of drinks and merging: which field of a journal is what, what an intent of a
// person changes, and the answers to the questions the screens ask.
package schema

import "fairmeasure/sync/replica"

// View is what a person sees.
type View = replica.View

// groups are the fields that mean something only together: an edit of one sets all, so that no reader ever mixes one
// device's number with another's unit.
//
// They are a list, not a map: a list of constants is data, a map is code that builds it at every start.
var groups = []grouped{
	{"line", []string{"typed", "unit", "oz_kind", "qty_e6", "qty_high_e6", "vol_ul", "low_ul", "high_ul", "open", "name", "form", "note", "assumed", "ingredient", "abv_bp"}},
	{"bottle", []string{"price_minor", "currency"}},
	{"pour", []string{"at_ms", "offset_min", "zone"}},
	{"pour", []string{"made"}},
	{"pour", []string{"before_mg", "after_mg", "water_ul"}},
	{"pour", []string{"name", "vol_ul", "abv_bp"}},
	{"pour", []string{"score_x10", "scale"}},
	{"plain", []string{"name", "vol_ul", "abv_bp"}},
	{"water", []string{"at_ms", "offset_min", "zone"}},
	{"making", []string{"at_ms", "offset_min", "zone"}},
	{"level", []string{"bottle", "at_ms", "left_ul"}},
	{"segment", []string{"from_ms", "anchor_x10", "drunk"}},
	{"seat", []string{"flight", "pos", "code", "picks", "why"}},
	{"trial", []string{"sort", "a", "b", "outcome", "at_ms"}},
}

type grouped struct {
	kind   string
	fields []string
}

// Group gives the fields that change together with field, itself included, in a fixed order.
func Group(kind, field string) []string {
	for i := range groups {
		if g := &groups[i]; g.kind == kind {
			for _, f := range g.fields {
				if f == field {
					return g.fields
				}
			}
		}
	}
	return []string{field}
}
