package dilution

import "fairmeasure/journal"

// Water taken up where there is no measurement to lean on, in percent of the volume before.
//
// Source: common practice, bar teaching summaries without a measured source; the blended row is D. Arnold, Liquid
// Intelligence (W. W. Norton, 2014), pp. 125-126, from memory and not re-read. Range: one row for each method, whatever
// the strength; the middle is the figure and the row its band. Nothing is interpolated.
// Checked: equal to testdata/reference/finished_drink_ranges.csv, columns dilution_pct_low and dilution_pct_high.
var tableHabit = []struct {
	method    journal.Method
	row       string
	low, high float64
}{
	{journal.Stirred, "stirred, range seen in ordinary bars", 20, 50},
	{journal.Shaken, "shaken, range seen in ordinary bars", 25, 65},
	{journal.Built, "built over ice and stirred briefly (rocks)", 10, 25},
	{journal.Long, "built long over ice with mixer (highball), ice melt only", 5, 15},
	{journal.Thrown, "thrown / rolled between tins", 25, 45},
	{journal.Swizzled, "swizzled with crushed ice, at first sip", 35, 65},
	{journal.Flash, "flash-blended 3-5 s with crushed ice, poured unstrained, at first sip", 40, 80},
	{journal.Blended, "blended (ice in the drink)", 90, 90},
	{journal.Whipped, "whip shake (few pieces of pebble ice, all melted)", 10, 30},
	{journal.Dry, "dry shake only (no ice)", 0, 0},
	{journal.Freezer, "freezer-batched (measured water)", 20, 30},
	{journal.Carbonated, "carbonated (pre-diluted, no ice melt)", 0, 0},
}
