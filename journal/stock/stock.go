// Package stock holds the generic ingredients a journal starts with: what a gin, a lemon juice or a simple syrup holds
// when nothing better is known, each with its band and where the figure comes from.
//
// They are read-only: correcting one makes an ingredient of the owner's. No brand is among them. A name that none of
// them fits is not matched: unknown is honest, and an unknown strength is never counted as zero.
package stock

import (
	"fairmeasure/journal"
	"fairmeasure/journal/unit"
)

// Ingredient is one generic ingredient. Strength, sugar and acid are known for all of them.
type Ingredient struct {
	ID       journal.ID // "stock.lemon_juice"
	Name     string     // "lemon juice, fresh"
	Category string     // a broad shelf: "juice"
	Family   string     // what it may stand beside or in for: "gin", "orange liqueur", "vermouth"
	Content  journal.Content
	Density  unit.Concentration // at 20 °C, as mg in a litre
	Source   string             // what the figures rest on
	Marking  string             // published, computed, common practice or from memory, figure by figure
}

const idMark = "stock."

// All gives every ingredient, in the order of the table.
func All() []Ingredient {
	all := make([]Ingredient, len(rows))
	for i := range rows {
		all[i] = rows[i].ingredient()
	}
	return all
}

// ByID finds an ingredient by its id.
func ByID(id journal.ID) (Ingredient, bool) {
	if len(id) <= len(idMark) || id[:len(idMark)] != idMark {
		return Ingredient{}, false
	}
	return byKey(string(id[len(idMark):]))
}

func byKey(key string) (Ingredient, bool) {
	for i := range rows {
		if rows[i].key == key {
			return rows[i].ingredient(), true
		}
	}
	return Ingredient{}, false
}

func (r *row) ingredient() Ingredient {
	concentration := func(t [3]uint16) unit.Maybe[unit.Band[unit.Concentration]] {
		of := func(tenths uint16) unit.Concentration { return unit.Concentration(tenths) * 100 }
		return unit.Known(unit.Band[unit.Concentration]{Value: of(t[0]), Low: of(t[1]), High: of(t[2])})
	}
	s := r.strength
	return Ingredient{
		ID: journal.ID(idMark + r.key), Name: r.name, Category: categories[r.category], Family: families[r.family],
		Content: journal.Content{
			Strength: unit.Known(unit.Band[unit.Strength]{Value: unit.Strength(s[0]), Low: unit.Strength(s[1]), High: unit.Strength(s[2])}),
			Sugar:    concentration(r.sugar),
			Acid:     concentration(r.acid),
		},
		Density: unit.Concentration(r.density) * 1000,
		Source:  rowSources[r.source],
		Marking: rowMarkings[r.marking],
	}
}
