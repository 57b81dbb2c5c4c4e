package testdata

import (
	"slices"
	"testing"
)

// holdings says which room's tests run which rows of a table: from a row to a row, by the column that names them, in the
// order of the table. "" to "" is all of it. journal/held_test.go fails when nobody holds a row.
var holdings = []struct{ table, column, room, from, to string }{
	{"reference/chemistry_checks.csv", "id", "journal/ethanol", "CH01", "CH19"},
	{"reference/chemistry_checks.csv", "id", "journal/line", "CH20", "CH21"},
	{"reference/chemistry_checks.csv", "id", "journal/solution", "CH22", "CH25"},
	{"reference/chemistry_checks.csv", "id", "journal/dilution", "CH27", "CH28"},
	{"reference/chemistry_checks.csv", "id", "journal/solution", "CH29", "CH31"},
	{"reference/chemistry_checks.csv", "id", "journal/dilution", "CH32", "CH33"},
	{"reference/chemistry_checks.csv", "id", "journal/balance", "CH34", "CH42"},
	{"reference/chemistry_checks.csv", "id", "journal/line", "CH43", "CH45"},
	{"reference/chemistry_checks.csv", "id", "journal/dilution", "CH46", "CH52"},
	{"reference/ethanol_water_checks.csv", "id", "journal/ethanol", "", ""},
	{"reference/sucrose_brix_density.csv", "brix_mass_pct", "journal/solution", "", ""},
	{"reference/sucrose_brix_density.csv", "brix_mass_pct", "journal/dilution", "", ""},
	{"reference/freezing_ethanol.csv", "g_ethanol_per_100g_water", "journal/dilution", "", ""},
	{"reference/units.csv", "unit", "journal/line", "", ""},
	{"reference/finished_drink_ranges.csv", "style", "journal/balance", "", "carbonated (pre-diluted, no ice melt)"},
	{"reference/finished_drink_ranges.csv", "style", "journal/dilution", "blended (ice in the drink)", ""},
	{"reference/finished_drink_ranges.csv", "style", "journal/balance", "swizzled with crushed ice, at first sip", ""},
	{"cases/balance_cases.csv", "id", "journal/balance", "", ""},
}

// HeldBy gives, for each table of which every row is to be held, the rooms that hold some.
func HeldBy() map[string][]string {
	by := map[string][]string{}
	for _, h := range holdings {
		if !slices.Contains(by[h.table], h.room) {
			by[h.table] = append(by[h.table], h.room)
		}
	}
	return by
}

// Held gives a room the rows of a table that its tests are to run, each under its name and none left out, with the column
// that names them.
func Held(t testing.TB, room, table string) (rows []map[string]string, column string) {
	t.Helper()
	all := Rows(t, table)
	for _, h := range holdings {
		if h.room != room || h.table != table {
			continue
		}
		column = h.column
		at := func(name string, otherwise int) int {
			i := slices.IndexFunc(all, func(row map[string]string) bool { return row[column] == name })
			switch {
			case name == "":
				return otherwise
			case i < 0:
				t.Fatalf("%s has no row %s", table, name)
			}
			return i
		}
		rows = append(rows, all[at(h.from, 0):at(h.to, len(all)-1)+1]...)
	}
	if len(rows) == 0 {
		t.Fatalf("%s holds no row of %s", room, table)
	}
	return rows, column
}

// Unheld gives the names of a table's rows that no room holds.
func Unheld(t testing.TB, table string) (names []string) {
	t.Helper()
	held := map[string]bool{}
	column := ""
	for _, room := range HeldBy()[table] {
		var rows []map[string]string
		rows, column = Held(t, room, table)
		for _, row := range rows {
			held[row[column]] = true
		}
	}
	for _, row := range Rows(t, table) {
		if !held[row[column]] {
			names = append(names, row[column])
		}
	}
	return names
}
