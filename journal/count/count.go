// Package count adds up what was drunk: grams and a country's standard drinks for a pour, a session, a drinking day,
// the last seven days, the calendar week and four weeks, beside that country's published guidance.
//
// Alcohol is summed as whole microlitres of ethanol, of a glass as journal/ethanol adds it up, and turned into a country's
// unit only to be shown, so a sum is rounded once. Every total is a pure function of the set of entries: neither their order of arrival nor the place where
// they are read matters. An unknown strength makes a total "at least"; it never makes it smaller.
//
// The day an entry counts for is fixed by its own instant, its own offset and the day start. The package knows no time
// zone and no clock.
//
// It leaves out on purpose: any blood-alcohol figure, fitness to drive, an amount still allowed, and runs of days.
package count

import (
	"math"
	"strings"

	"fairmeasure/journal/unit"
)

// Basis says what a standard drink is defined by.
type Basis int

// The two bases.
const (
	ByMass   Basis = iota // so many grams
	ByVolume              // so many millilitres; never converted through the rounded grams
)

// Density is grams of ethanol in a litre, which is also micrograms in a microlitre. Authorities print 0.789, 0.79 or 0.8
// g/ml for the same liquid; a country's counts use what that country prints.
type Density int64

// Marking says how well a figure of a table is attested.
type Marking string

// The markings.
const (
	Published     Marking = "published"
	SecondaryCopy Marking = "published (secondary copy)"
	Unverified    Marking = "from memory (unverified)"
)

// Fallback is the country whose row serves every country without one.
const Fallback = "WHO"

// StandardDrink is a country's unit of alcohol.
type StandardDrink struct {
	Asked       string // the country asked for, in capitals
	Country     string // the country of the row in use; Fallback where there is none for Asked
	Unit        string // what the unit is called there
	Basis       Basis
	UnitMG      int64 // one unit in milligrams; a rounded figure where the basis is a volume
	UnitUL      int64 // one unit in microlitres of ethanol where the basis is a volume, else 0
	Density     Density
	LowMG       int64 // where the issuer prints a range: its low end, else 0
	HighMG      int64 // and its high end
	GramsFirst  bool  // guidance there works in grams: show grams before units
	Year        int
	Marking     Marking
	Source      string
	UsedDefault bool // no row for Asked: the screen must say so
}

// Profile gives the standard drink of a country by its two-letter code (ISO 3166-1; UK is read as GB). A country without
// a row has the unit of the World Health Organization, and UsedDefault says so. Where a range is printed the unit is the
// figure of the row, in DE, CH, NO and PT its low end: that counts more drinks, the safer error.
func Profile(country string) StandardDrink {
	asked := code(country)
	row := standardDrinks[len(standardDrinks)-1]
	for _, d := range standardDrinks {
		if d.Country == asked {
			row = d
			break
		}
	}
	row.Asked = asked
	row.UsedDefault = row.Country != asked
	return row
}

func code(country string) string {
	c := strings.ToUpper(strings.TrimSpace(country))
	if c == "UK" {
		return "GB"
	}
	return c
}

// Countries lists the codes that have a row, the fallback last.
func Countries() []string {
	var all []string
	for _, d := range standardDrinks {
		all = append(all, d.Country)
	}
	return all
}

// Drinks gives an amount of ethanol in standard drinks, unrounded: one division of two whole numbers, so it is the same
// on every machine.
func Drinks(ethanolUL int64, d StandardDrink) float64 {
	if d.Basis == ByVolume {
		return float64(ethanolUL) / float64(d.UnitUL)
	}
	return float64(ethanolUL*int64(d.Density)) / float64(d.UnitMG*1000)
}

// Share takes a share of an amount of ethanol, rounded to whole microlitres, halves up. A share below nothing is nothing
// and one above the whole is the whole.
func Share(ul int64, share unit.Share) int64 {
	share = min(max(share, 0), unit.Whole)
	return (ul*int64(share) + int64(unit.Whole)/2) / int64(unit.Whole)
}

// Grams gives an amount of ethanol in grams by a density, unrounded.
func Grams(ethanolUL int64, density Density) float64 {
	return float64(ethanolUL*int64(density)) / 1e6
}

// Shown rounds a count for the screen: one decimal, halves up. It is the only rounding of a total. A count of whole
// microlitres that is a half in exact arithmetic is rounded as a half: at the sizes of a journal its ten-fold is one in
// binary too, which TestShownIsExactForEveryUnit holds against fractions.
func Shown(v float64) float64 {
	return math.Floor(float64(v*10)+0.5) / 10
}
