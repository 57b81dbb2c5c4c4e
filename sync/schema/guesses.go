package schema

import (
	"fairmeasure/journal/balance"
	"fairmeasure/journal/count"
	"fairmeasure/journal/unit"
)

// families are the drinks to guess by when someone else made them of unknown bottles.
//
// Source: those with a row stand in the middle of its finished volume and strength (journal/balance, table_ranges.go); a
// row without a volume has a common measure. The others are common measures and strengths (common practice): a glass of
// wine, a bottle of beer or cider, a small glass of fortified wine.
// Units: microlitres, and hundredths of a per cent by volume.
// Checked: TestGuesses holds the rows against testdata/reference/finished_drink_ranges.csv.
var families = []struct {
	id, name, row string
	volume        unit.Volume
	strength      unit.Strength
}{
	{"shaken", "shaken, served without ice", "shaken", 0, 0},
	{"egg_white", "shaken with egg white", "shaken with egg white", 0, 0},
	{"stirred", "stirred, served without ice", "stirred", 0, 0},
	{"strong", "short and strong, over a large piece of ice", "built (spirit-forward, one large piece of ice)", 0, 0},
	{"long", "long, over ice with a mixer", "built long over ice with mixer (highball), ice melt only", 200_000, 0},
	{"blended", "blended with ice", "blended (ice in the drink)", 0, 0},
	{"sparkling", "mixed and carbonated", "carbonated (pre-diluted, no ice melt)", 0, 0},
	{"wine", "glass of wine", "", 150_000, 1250},
	{"beer", "bottle of beer", "", 330_000, 500},
	{"cider", "bottle of cider", "", 330_000, 450},
	{"fortified", "small glass of fortified wine", "", 75_000, 1800},
}

// guesses answers what drinks of unknown bottles usually come to, by family.
func (j *Journal) guesses(question) (any, error) {
	out := guessesJSON{Unit: j.drinkUnit(), Rows: []guessJSON{}}
	all := j.since(j.now.MS - recent)
	so := running(j.report(all))
	for _, f := range families {
		volume, strength := f.volume, f.strength
		row := guessJSON{ID: f.id, Name: f.name, Marking: "common practice"}
		if r, ok := balance.RangesOf(f.row); ok {
			row.Lo, row.Hi = r.Strength.Low, r.Strength.High
			strength = unit.PercentVol((row.Lo + row.Hi) / 2)
			if r.Volume.Known {
				volume = unit.Millilitres((r.Volume.Low + r.Volume.High) / 2)
			}
			if r.Source == balance.SourceAuthor {
				row.Marking = string(count.Unverified)
			}
		} else {
			row.Lo, row.Hi = strength.Percent(), strength.Percent()
		}
		row.VolumeML, row.ABVPercent = *ml(unit.Known(volume)), *percent(unit.Known(strength))
		total := glassTotal(plainAlcohol(unit.Known(volume), unit.Known(strength)), unit.Whole)
		total.About = true
		row.Alcohol, row.WouldBring, row.Passes = j.alcohol(total), j.alcohol(plus(so, total)), j.passed(all, total)
		out.Rows = append(out.Rows, row)
	}
	return out, nil
}
