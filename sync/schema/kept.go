package schema

import (
	"slices"

	"fairmeasure/journal"
	"fairmeasure/journal/bottles"
	"fairmeasure/journal/ethanol"
	"fairmeasure/journal/unit"
	"fairmeasure/sync/replica"
)

// kept is what is worth remembering between questions: the alcohol of a glass by the very text of what was in it, and how
// its measured water compares. The text never changes its meaning, so nothing here ever goes stale.
type kept struct {
	sums  map[string]ethanol.Alcohol
	draws map[string][]drawn
	wet   map[weighed]wetness
}

// weighed is a glass with its measured water.
type weighed struct {
	made  string
	water unit.Volume
}

// mostKept bounds the memory: about three times the pours of the largest journal foreseen.
const mostKept = 20_000

func newKept() *kept {
	return &kept{map[string]ethanol.Alcohol{}, map[string][]drawn{}, map[weighed]wetness{}}
}

// of gives the alcohol of a glass from its text. What cannot be read is unknown, not nothing.
func (k *kept) of(made string) ethanol.Alcohol {
	if s, ok := k.sums[made]; ok {
		return s
	}
	s := ethanol.Alcohol{Unknown: []int{0}}
	if m, err := journal.ParseMade(made); err == nil {
		s = ethanol.In(m)
	}
	if len(k.sums) >= mostKept {
		clear(k.sums)
	}
	k.sums[made] = s
	return s
}

// drawn is what one glass took from one bottle.
type drawn struct {
	bottle     replica.ID
	volume     unit.Volume
	unmeasured int
}

// drawn gives what a glass took from each bottle it names.
func (k *kept) drawn(made string) []drawn {
	if made == "" {
		return nil
	}
	if d, ok := k.draws[made]; ok {
		return d
	}
	var all []drawn
	if m, err := journal.ParseMade(made); err == nil {
		for _, p := range m.Parts {
			id := replica.ID(p.Bottle)
			if id == "" || slices.ContainsFunc(all, func(d drawn) bool { return d.bottle == id }) {
				continue
			}
			volume, unmeasured := bottles.Drawn(m, p.Bottle)
			all = append(all, drawn{id, volume, unmeasured})
		}
	}
	if len(k.draws) >= mostKept {
		clear(k.draws)
	}
	k.draws[made] = all
	return all
}

// plainAlcohol gives the alcohol of a plain drink.
func plainAlcohol(volume unit.Maybe[unit.Volume], strength unit.Maybe[unit.Strength]) ethanol.Alcohol {
	return ethanol.In(plainGlass("", volume, strength))
}

// plainGlass is a plain drink as what was in the glass.
func plainGlass(name string, volume unit.Maybe[unit.Volume], strength unit.Maybe[unit.Strength]) journal.Made {
	part := journal.Part{Name: name}
	if volume.Known {
		part.Volume = unit.Known(unit.Exact(volume.Value))
	}
	if strength.Known {
		part.Content.Strength = unit.Known(unit.Exact(strength.Value))
	}
	return journal.Made{Method: journal.Neat, Parts: []journal.Part{part}}
}
