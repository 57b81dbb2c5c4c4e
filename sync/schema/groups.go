// Package schema is the single meeting of drinks and merging: which field of a journal is what, what an intent of a
// person changes, and the answers to the questions the screens ask.
package schema

import "fairmeasure/sync/replica"

// View is what a person sees: the server's copy with the device's own queue on top.
type View interface {
	// Get gives an entity that has at least one live write, also when it is hidden as deleted.
	Get(replica.ID) (*replica.Entity, bool)
	// Each calls fn for every entity of a kind in id order, hidden ones too, until fn returns false.
	Each(kind string, fn func(*replica.Entity) bool)
	// DeviceOf names the device that first used a run; empty when it is not known (or is this device).
	DeviceOf(replica.Run) string
}

// groups are the fields that mean something only together: an edit of one sets all, so that no reader ever mixes one
// device's number with another's unit.
var groups = map[string][][]string{
	"line": {
		{"typed", "unit", "oz_kind", "qty_e6", "qty_high_e6", "vol_ul", "low_ul", "high_ul", "open", "name", "form", "note", "assumed", "ingredient", "abv_bp"},
	},
	"bottle": {{"price_minor", "currency"}},
	"pour": {
		{"at_ms", "offset_min", "zone"},
		{"made"},
		{"before_mg", "after_mg", "water_ul"},
		{"name", "vol_ul", "abv_bp"},
		{"score_x10", "scale"},
	},
	"plain":  {{"name", "vol_ul", "abv_bp"}},
	"water":  {{"at_ms", "offset_min", "zone"}},
	"making": {{"at_ms", "offset_min", "zone"}},
	"level":  {{"bottle", "at_ms", "left_ul"}},
	"candidate": {
		{"typed", "unit", "oz_kind", "qty_e6", "qty_high_e6", "vol_ul", "low_ul", "high_ul", "open", "name", "form", "note", "assumed", "abv_bp"},
	},
	"segment": {{"from_ms", "anchor_x10", "drunk"}},
	"seat":    {{"flight", "pos", "code", "picks", "why"}},
	"trial":   {{"sort", "a", "b", "outcome", "at_ms"}},
}

// Group gives the fields that change together with field, itself included, in a fixed order.
func Group(kind, field string) []string {
	for _, g := range groups[kind] {
		for _, f := range g {
			if f == field {
				return g
			}
		}
	}
	return []string{field}
}
