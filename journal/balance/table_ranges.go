package balance

import "fairmeasure/journal"

// Where finished drinks usually lie, by method.
//
// Source: the rows of SourceAuthor are D. Arnold, Liquid Intelligence (W. W. Norton, 2014), pp. 125-126, from memory and
// not re-read; each passes the test start / (1 + dilution) = finished. The rows of SourceHabit are common practice without
// a measurement. They say where drinks lie, never what is right.
// Units: ml, % vol, g sugar per 100 ml, g acid per 100 ml as citric acid, % of the volume before. A missing span is a
// range nobody has given. Nothing is interpolated.
// Checked: equal to testdata/reference/finished_drink_ranges.csv, see TestRangesTable.
var tableRanges = []row{
	{rowBuiltStrong, journal.Built, SourceAuthor, span{88, 93}, span{27, 32}, span{7.2, 8.0}, span{0, 0}, span{24, 24}, author},
	{rowStirred, journal.Stirred, SourceAuthor, span{130, 142}, span{21, 29}, span{3.7, 5.6}, span{0.10, 0.14}, span{41, 49}, author},
	{rowShaken, journal.Shaken, SourceAuthor, span{156, 178}, span{15.0, 19.7}, span{5.0, 8.9}, span{0.76, 0.94}, span{51, 60}, author},
	{rowEggWhite, journal.Shaken, SourceAuthor, span{198, 209}, span{12.1, 15.2}, span{6.7, 9.0}, span{0.49, 0.68}, span{46, 49}, author},
	{rowBlended, journal.Blended, SourceAuthor, span{157, 158}, span{15.0, 15.0}, span{7.9, 7.9}, span{0.57, 0.57}, span{90, 90}, author},
	{rowCarbonated, journal.Carbonated, SourceAuthor, span{150, 150}, span{14, 16}, span{5.0, 7.5}, span{0.38, 0.51}, span{0, 0}, author},
	{rowSwizzled, journal.Swizzled, SourceHabit, span{}, span{12, 20}, span{}, span{}, span{35, 65}, habit},
	{rowFlash, journal.Flash, SourceHabit, span{}, span{10, 18}, span{}, span{}, span{40, 80}, habit},
	{rowBuilt, journal.Built, SourceHabit, span{}, span{22, 34}, span{}, span{}, span{10, 25}, habit},
	{rowLong, journal.Long, SourceHabit, span{}, span{6, 14}, span{}, span{}, span{5, 15}, habit},
	{rowThrown, journal.Thrown, SourceHabit, span{}, span{12, 24}, span{}, span{}, span{25, 45}, habit},
	{rowDry, journal.Dry, SourceHabit, span{}, span{}, span{}, span{}, span{0, 0}, melt},
	{rowWhipped, journal.Whipped, SourceHabit, span{}, span{}, span{}, span{}, span{10, 30}, melt},
	{rowFreezer, journal.Freezer, SourceHabit, span{}, span{22, 32}, span{}, span{}, span{20, 30}, habit},
}

// The rows, in the words of the reference file.
const (
	rowBuiltStrong = "built (spirit-forward, one large piece of ice)"
	rowStirred     = "stirred"
	rowShaken      = "shaken"
	rowEggWhite    = "shaken with egg white"
	rowBlended     = "blended (ice in the drink)"
	rowCarbonated  = "carbonated (pre-diluted, no ice melt)"
	rowSwizzled    = "swizzled with crushed ice, at first sip"
	rowFlash       = "flash-blended 3-5 s with crushed ice, poured unstrained, at first sip"
	rowBuilt       = "built over ice and stirred briefly (rocks)"
	rowLong        = "built long over ice with mixer (highball), ice melt only"
	rowThrown      = "thrown / rolled between tins"
	rowDry         = "dry shake only (no ice)"
	rowWhipped     = "whip shake (few pieces of pebble ice, all melted)"
	rowFreezer     = "freezer-batched (measured water)"
)

// A built drink counts as spirit-forward from the weakest start and up to the sharpest start of the author's stirred
// drinks (29 % vol and 0.20 % acid, same pages): chosen, for want of a definition.
const (
	strongFrom    = 29   // % vol before
	strongAcidMax = 0.20 // % before
)

type span struct{ low, high float64 }

type row struct {
	name     string
	method   journal.Method
	source   Source
	volume   span
	strength span
	sugar    span
	acid     span
	melt     span
	given    given
}

// given says which spans of a row are given at all: a span of nothing but zeros may be a figure.
type given uint8

const (
	melt   given = 1 << iota
	strong       // strength
	others       // volume, sugar and acid
	habit  = melt | strong
	author = melt | strong | others
)
