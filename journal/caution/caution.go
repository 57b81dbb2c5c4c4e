// Package caution reads from the names of things what to be careful about: allergens, raw egg, quinine, grapefruit,
// caffeine, charcoal and liquorice, and what is not to be put into a spirit.
//
// It matches whole words of its fixed tables and nothing else. It promises no completeness: a thing that hides an allergen
// behind its name is not found, so what the owner noted of an ingredient goes before the words.
package caution

import (
	"slices"
	"strings"
	"unicode"
)

// Caution is one of them, with the names it was read from.
type Caution struct {
	Code    string
	Names   []string
	Marking string
}

// row is one entry of a table. words and unless hold terms separated by "|", each of one word or several in a row.
type row struct{ code, words, unless, marking string }

// In gives the cautions of things by their names, in the order of the table.
func In(names []string) []Caution { return read(tableGlass[:], names) }

// Putting gives the cautions of putting something into a spirit or a syrup: what is not to be, then those of any glass.
func Putting(what string) []Caution {
	return append(read(tableInfuse[:], []string{what}), In([]string{what})...)
}

// RawEgg tells a thing of raw egg.
func RawEgg(name string) bool {
	return slices.ContainsFunc(In([]string{name}), func(c Caution) bool { return c.Code == "raw_egg" })
}

func read(table []row, names []string) (all []Caution) {
	texts := make([]string, len(names))
	for i, n := range names {
		texts[i] = spaced(n)
	}
	for _, r := range table {
		c := Caution{Code: r.code, Marking: r.marking}
		for i, text := range texts {
			if has(text, r.words) && !has(text, r.unless) && !slices.Contains(c.Names, names[i]) {
				c.Names = append(c.Names, names[i])
			}
		}
		if len(c.Names) > 0 {
			all = append(all, c)
		}
	}
	return all
}

// spaced gives the words of a text in small letters with one blank around each.
func spaced(s string) string {
	return " " + strings.Join(strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return !unicode.IsLetter(r) }), " ") + " "
}

func has(text, terms string) bool {
	for term := range strings.SplitSeq(terms, "|") {
		if term != "" && strings.Contains(text, " "+term+" ") {
			return true
		}
	}
	return false
}
