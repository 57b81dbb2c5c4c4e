package schema

import (
	"fairmeasure/journal"
	"fairmeasure/journal/balance"
	"fairmeasure/journal/unit"
)

// adjust answers which change of one line or two, small enough to pour, brings figures of a spec into its family's usual
// ranges.
func (j *Journal) adjust(q question) (any, error) {
	v, ok := j.Version(q.Spec)
	if !ok {
		return nil, missing("spec", "spec", q.Spec)
	}
	made := j.Glass(v)
	water := j.expected(made)
	before := balance.Of(made, water)
	var want balance.Wanted
	for _, key := range q.Keys {
		into := map[string]struct {
			to *balance.Range
			is balance.Range
		}{
			"abv_percent":       {&want.Strength, before.Ranges.Strength},
			"sugar_g_per_100ml": {&want.Sugar, before.Ranges.Sugar},
			"acid_percent":      {&want.Acid, before.Ranges.Acid},
			"volume_ml":         {&want.Volume, before.Ranges.Volume},
		}[key]
		if into.to == nil || !into.is.Known {
			return nil, journal.Refuse("unknown_word", "keys", "expected figures with a usual range, got %q", clip(key))
		}
		*into.to = into.is
	}
	if len(q.Keys) == 0 {
		return nil, journal.Refuse("empty", "keys", "expected a figure to bring into its range")
	}
	out := adjustJSON{StepML: j.step().ML(), Changes: []changeJSON{}}
	found, ok := balance.Adjust(made, water, want, j.step(), q.MoreAlcohol)
	if !ok {
		return out, nil
	}
	out.Found = true
	b := j.balance(found.Made, water)
	out.Balance = &b
	for _, c := range found.Changes {
		out.Changes = append(out.Changes, changeJSON{string(v.Lines[c.Part].ID), found.Made.Parts[c.Part].Name, c.From.ML(), c.To.ML()})
	}
	return out, nil
}

// step is what the owner's measure pours at least: 2.5 ml, or a quarter of an ounce.
func (j *Journal) step() unit.Volume {
	s := j.Settings()
	if s.Units != "oz" {
		return 2_500
	}
	switch s.OzKind {
	case "us":
		return 7_393
	case "imperial":
		return 7_103
	}
	return 7_500
}
