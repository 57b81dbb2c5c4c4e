package schema

import (
	"fairmeasure/journal"
	"fairmeasure/journal/compare"
)

const maxTrials = 10_000

type trialJSON struct {
	Glasses []trialGlassJSON  `json:"glasses"`
	Fewest  int               `json:"fewest"`
	Needed  []trialNeededJSON `json:"needed"`
}

type trialGlassJSON struct {
	Code    int    `json:"code"`
	Of      string `json:"of"`
	Outcome string `json:"outcome"`
}

type trialNeededJSON struct {
	Agree int `json:"agree"`
	Of    int `json:"of"`
}

// nextTrial answers what is in the glasses of the trial after n others, and how many trials show anything.
func (j *Journal) nextTrial(q question) (any, error) {
	seed, err := seedOf(q.Seed)
	if err != nil {
		return nil, err
	}
	if q.N < 0 || q.N > maxTrials {
		return nil, journal.Refuse("out_of_range", "n", "expected 0 to %d, got %d", maxTrials, q.N)
	}
	glasses := compare.DrawTrial(q.Of, seed, q.N)
	if glasses == nil {
		return nil, journal.Refuse("unknown_word", "of", "expected paired, triangle or preferred, got %q", clip(q.Of))
	}
	out := trialJSON{Fewest: compare.FewestTrials(q.Of)}
	for _, g := range glasses {
		out.Glasses = append(out.Glasses, trialGlassJSON{g.Code, g.Of, g.Outcome})
	}
	for n := out.Fewest; n <= out.Fewest+4; n += 2 {
		if agree, ok := compare.LeastShown(q.Of, n); ok {
			out.Needed = append(out.Needed, trialNeededJSON{agree, n})
		}
	}
	return out, nil
}
