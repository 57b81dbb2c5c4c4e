package balance

import (
	"strings"

	"fairmeasure/journal"
)

// Source is the key of the words that go with a range.
type Source string

// The sources of ranges. Each key's words are in its comment.
const (
	SourceNone   Source = ""
	SourceAuthor Source = "one_author_from_memory" // where one author's drinks lie, from memory
	SourceHabit  Source = "common_practice"        // seen in ordinary bars; nobody measured it
)

// Range is where a figure usually lies. The zero Range is "no range known".
type Range struct {
	Low, High float64
	Known     bool
}

// Ranges are the usual ranges of a family of drinks: those mixed by one method.
type Ranges struct {
	Row    string // which row of the table, empty if none
	Source Source

	Volume, Strength, Sugar, Acid, Dilution Range
}

// Verdict says where a figure lies against its range. It is empty where there is no range, where the figure is not
// wholly known, or where the range is a single other figure.
type Verdict string

// The verdicts.
const (
	NoVerdict Verdict = ""
	Below     Verdict = "below"
	In        Verdict = "in"
	Above     Verdict = "above"
)

// Verdicts are those of a finished drink. They look at the value as shown, not at its band.
type Verdicts struct {
	Volume, Strength, Sugar, Acid, Dilution Verdict
}

// RangesOf gives a row of the table by its words in the reference file.
func RangesOf(name string) (Ranges, bool) {
	for _, r := range tableRanges {
		if r.name == name {
			return r.ranges(), true
		}
	}
	return Ranges{}, false
}

func (r row) ranges() Ranges {
	get := func(s span, what given) Range {
		if r.given&what == 0 {
			return Range{}
		}
		return Range{s.low, s.high, true}
	}
	return Ranges{
		r.name, r.source,
		get(r.volume, others), get(r.strength, strong), get(r.sugar, others), get(r.acid, others), get(r.melt, melt),
	}
}

// rangesOf finds the row of a family. A drink without alcohol has none: the ranges are of drinks with it.
func rangesOf(made journal.Made, before Figures) Ranges {
	if before.Ethanol.Known && before.Ethanol.Value == 0 {
		return Ranges{}
	}
	name := ""
	switch made.Method {
	case journal.Shaken:
		if hasEggWhite(made.Parts) {
			name = rowEggWhite
		} else {
			name = rowShaken
		}
	case journal.Built:
		if before.Strength.Known && before.Strength.Value >= strongFrom && before.Acid.Known && before.Acid.Value <= strongAcidMax {
			name = rowBuiltStrong
		} else {
			name = rowBuilt
		}
	}
	for _, r := range tableRanges {
		if r.method != made.Method || name != "" && r.name != name {
			continue
		}
		return r.ranges()
	}
	return Ranges{}
}

func hasEggWhite(parts []journal.Part) bool {
	for _, p := range parts {
		if strings.Contains(strings.ToLower(p.Name), "egg white") {
			return true
		}
	}
	return false
}

func (r Range) verdict(f Figure) Verdict {
	if !r.Known || !f.Known {
		return NoVerdict
	}
	switch value := Round(f.Value, f.Decimals); {
	case value >= r.Low && value <= r.High:
		return In
	case r.Low == r.High:
		return NoVerdict // one figure is not a range
	case value < r.Low:
		return Below
	}
	return Above
}
