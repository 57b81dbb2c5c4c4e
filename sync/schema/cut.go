package schema

import (
	"fairmeasure/journal"
	"fairmeasure/journal/batch"
	"fairmeasure/journal/ethanol"
	"fairmeasure/journal/unit"
)

type cutJSON struct {
	WaterML float64 `json:"water_ml"`
	MadeML  float64 `json:"made_ml"`
	LostML  float64 `json:"lost_ml"`
}

// cut answers how much water brings a spirit to a lower strength. What comes of it is less than the two poured together.
func (j *Journal) cut(q question) (any, error) {
	if q.VolUL < 1 || q.VolUL > int64(batch.Most) {
		return nil, journal.Refuse("out_of_range", "vol_ul", "expected a volume of at most 100 litres")
	}
	if q.ABVBP < 1 || q.ABVBP > 10_000 || q.ToBP < 1 {
		return nil, journal.Refuse("out_of_range", "abv_bp", "expected strengths above 0 and up to 100 %%")
	}
	spirit := ethanol.Liquid{Volume: unit.Volume(q.VolUL), Strength: unit.Strength(q.ABVBP)}
	water, made, err := ethanol.Cut(spirit, unit.Strength(q.ToBP))
	if err != nil {
		return nil, err
	}
	lost := spirit.Volume.ML() + water.ML() - made.Volume.ML()
	return cutJSON{shownAmount(water.ML()), shownAmount(made.Volume.ML()), round(lost, 1)}, nil
}
