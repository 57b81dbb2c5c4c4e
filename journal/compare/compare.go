// Package compare works out from few honest sips what made a drink better: which ingredient in which swapped line, by how
// much beside the benchmark, and how sure that is; what to taste next; and in which order to serve it unseen.
//
// It promises that renaming the benchmark changes no fit, that a segment shifted together with its declaration changes
// nothing, that the order of entry does not matter, and that one seed gives one plan. It leaves out what a score means to
// anybody else, and it never says how much more may be drunk: a flight of a size that was asked for fits, or it does not.
//
// The model, its priors and the rule for the next flight are our own, described with their sources in DEVELOPERS.md.
package compare

import (
	"cmp"
	"errors"
)

// Bounds of one study. They keep a fit within a second in the browser.
const (
	MostSlots      = 4
	MostCandidates = 200 // of one slot
	MostTastings   = 2000
	MostEffects    = 800
	MostPairings   = 2500 // that a plan looks at
)

// Pairing is one choice for each slot, by its number; slots that a study does not have are 0.
type Pairing [MostSlots]int16

// Compare orders pairings by their choices, slot by slot.
func (p Pairing) Compare(q Pairing) int {
	for i := range p {
		if c := cmp.Compare(p[i], q[i]); c != 0 {
			return c
		}
	}
	return 0
}

// Slot is a swapped line with what may stand in it.
type Slot struct {
	Candidates int
	// Families numbers the family of each candidate from 0; empty when they are not grouped. Candidates of a family share
	// what the family brings, so one that was never tasted is predicted from its kin.
	Families []int
	// Touch: the slot is a riff's addition (none, a dash, a spoon), of which less is expected than of a whole ingredient.
	Touch bool
}

// Segment is a stretch of scoring with one declared score of the benchmark. A re-anchoring begins a new one, even within an
// evening; the scores given stay as they were.
type Segment struct {
	// Declared is the benchmark's score as its owner says it; without one that of the segment before stands, less sure.
	Declared float64
	Known    bool
	// Anchor is the weight of the declaration as a tasting of its own, once a glass was scored in the segment: 0.5 when the
	// benchmark was drunk in it, 0.25 from memory, 0 for none.
	Anchor float64
}

// The weights of a tasting by what the taster saw.
const (
	Blind     = 1.0
	HalfBlind = 0.75 // knows the set, not which is which
	Sighted   = 0.5

	AnchorDrunk    = 0.5
	AnchorRecalled = 0.25
)

// Tasting is one scored glass.
type Tasting struct {
	Pairing Pairing
	Segment int
	// Flight tells sittings apart: what was found in one alone is not yet confirmed.
	Flight int
	// Place is its number in the serving order, 1 to Of; 0 when it had none.
	Place, Of int
	Score     float64
	// Weight by sight, divided by the square of a stretch.
	Weight float64
}

// Study is one question with all that was tasted for it.
type Study struct {
	Slots     []Slot
	Benchmark Pairing
	Segments  []Segment
	Tastings  []Tasting
}

// The refusals of a study that cannot be fitted.
var (
	ErrSlots    = errors.New("compare: expected one to four slots with at least one candidate each")
	ErrTastings = errors.New("compare: expected at most 2000 tastings of candidates that are there")
	ErrSegments = errors.New("compare: expected every tasting in a segment that is there")
	ErrEffects  = errors.New("compare: too many ingredients and pairings at once: expected at most 800 effects")
	ErrNumbers  = errors.New("compare: a score or a weight is no number that can be reckoned with")
)

func (s Study) check() error {
	if len(s.Slots) == 0 || len(s.Slots) > MostSlots {
		return ErrSlots
	}
	for _, slot := range s.Slots {
		if slot.Candidates < 1 || slot.Candidates > MostCandidates || len(slot.Families) != 0 && len(slot.Families) != slot.Candidates {
			return ErrSlots
		}
		for _, f := range slot.Families {
			if f < 0 || f >= slot.Candidates {
				return ErrSlots
			}
		}
	}
	if len(s.Tastings) > MostTastings || !s.has(s.Benchmark) {
		return ErrTastings
	}
	for _, t := range s.Tastings {
		if !s.has(t.Pairing) || t.Place < 0 || t.Place > t.Of {
			return ErrTastings
		}
		if t.Segment < 0 || t.Segment >= len(s.Segments) {
			return ErrSegments
		}
		if !(t.Weight > 0 && t.Weight <= 100) || !(t.Score >= -1000 && t.Score <= 1000) {
			return ErrNumbers
		}
	}
	for _, g := range s.Segments {
		if !(g.Declared >= -1000 && g.Declared <= 1000) || !(g.Anchor >= 0 && g.Anchor <= 100) {
			return ErrNumbers
		}
	}
	return nil
}

// has tells whether a pairing is one of the study's.
func (s Study) has(p Pairing) bool {
	for i, c := range p {
		if c < 0 || i < len(s.Slots) && int(c) >= s.Slots[i].Candidates || i >= len(s.Slots) && c != 0 {
			return false
		}
	}
	return true
}
