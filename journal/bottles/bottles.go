// Package bottles derives what stands on the shelf from what was written down: what is left in a bottle, how many pours
// that makes, what a stock-take could not explain, and what a part or a drink cost.
//
// A level is never stored as a counter. It is the last reading less everything drawn since, so pours made apart on two
// devices both count, and order of arrival does not matter.
package bottles

import (
	"slices"
	"sort"

	"fairmeasure/journal"
	"fairmeasure/journal/unit"
)

// Reading is a stock-take: someone looked, or weighed, and wrote down what is left.
type Reading struct {
	ID   journal.ID
	AtMS int64
	Left unit.Volume
}

// Draw is what a pour or a making took from the bottle, whoever drank it.
type Draw struct {
	ID         journal.ID
	AtMS       int64
	Volume     unit.Volume
	Unmeasured int // takings without an amount, not in Volume
}

// Gap is what a stock-take found against what was logged. Missing is what should have been there and was not; below zero,
// more was found than the log allows.
type Gap struct {
	Reading journal.ID
	AtMS    int64
	Missing unit.Volume
}

// Standing is how a bottle stands.
type Standing struct {
	Left   unit.Maybe[unit.Volume] // unknown where there is neither a reading nor a size
	Over   unit.Volume             // drawn beyond what was there: the log or the reading is wrong
	AtMost bool                    // something was drawn without an amount, so less may be left
	Gaps   []Gap                   // one for each reading with a level to compare, in order
}

// Stand derives how a bottle stands. A bottle without a reading began full; a reading resets the level, and the
// difference to what was logged stays on show as a Gap. Draws at the very instant of a reading came before it. Of two
// readings at one instant the one with the greater id is the later.
func Stand(size unit.Maybe[unit.Volume], readings []Reading, draws []Draw) Standing {
	rs, ds := slices.Clone(readings), slices.Clone(draws)
	sort.SliceStable(rs, func(i, j int) bool { return rs[i].AtMS < rs[j].AtMS || rs[i].AtMS == rs[j].AtMS && rs[i].ID < rs[j].ID })
	sort.SliceStable(ds, func(i, j int) bool { return ds[i].AtMS < ds[j].AtMS })

	var s Standing
	level := size
	drawn := 0
	take := func(until func(Draw) bool) {
		for ; drawn < len(ds) && until(ds[drawn]); drawn++ {
			level.Value -= ds[drawn].Volume
			s.AtMost = s.AtMost || ds[drawn].Unmeasured > 0
		}
	}
	for _, r := range rs {
		take(func(d Draw) bool { return d.AtMS <= r.AtMS })
		if level.Known {
			s.Gaps = append(s.Gaps, Gap{r.ID, r.AtMS, level.Value - r.Left})
		}
		level, s.AtMost = unit.Known(r.Left), false
	}
	take(func(Draw) bool { return true })
	if level.Known {
		s.Over = max(0, -level.Value)
		s.Left = unit.Known(max(0, level.Value))
	}
	return s
}

// Drawn gives what one glass took from a bottle: the amounts of its lines that name it, and how many of those lines have
// none. A rinse without a figure is one of the latter: what the glass kept is known roughly, what was tipped away is not.
func Drawn(made journal.Made, bottle journal.ID) (v unit.Volume, unmeasured int) {
	for _, p := range made.Parts {
		switch {
		case p.Bottle != bottle || bottle == "":
		case p.Volume.Known:
			v += p.Volume.Value.Value
		default:
			unmeasured++
		}
	}
	return v, unmeasured
}

// Take takes so much from bottles in their order and lowers what is left in them. From a bottle whose level is not known
// it takes what the others lack: short is what no bottle has.
func Take(need unit.Volume, left []unit.Maybe[unit.Volume]) (takes []unit.Volume, short unit.Volume) {
	takes = make([]unit.Volume, len(left))
	for i := range left {
		if left[i].Known {
			takes[i] = max(0, min(need, left[i].Value))
			left[i].Value -= takes[i]
			need -= takes[i]
		}
	}
	for i := range left {
		if !left[i].Known {
			takes[i], need = need, 0
			break
		}
	}
	return takes, need
}
