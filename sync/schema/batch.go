package schema

import "fairmeasure/journal"

type cautionJSON struct {
	Code    string   `json:"code"`
	Names   []string `json:"names"`
	Marking string   `json:"marking"`
}

type batchTakesJSON struct {
	Bottle  string  `json:"bottle"`
	Name    string  `json:"name"`
	TakesML float64 `json:"takes_ml"`
}

type batchLineJSON struct {
	Line       string           `json:"line"`
	Name       string           `json:"name"`
	OneML      *float64         `json:"one_ml"`
	ML         *float64         `json:"ml"`
	Grams      *float64         `json:"grams"`
	Estimate   bool             `json:"estimate"`
	TasteFirst bool             `json:"taste_first"`
	Bottles    []batchTakesJSON `json:"bottles"`
	ShortML    float64          `json:"short_ml"`
}

type freezerJSON struct {
	AtC           int64      `json:"at_c"`
	FreezesC      figureJSON `json:"freezes_c"`
	State         string     `json:"state"`
	MinABVPercent float64    `json:"min_abv_percent"`
}

type batchJSON struct {
	Spec                string          `json:"spec"`
	Name                string          `json:"name"`
	Method              string          `json:"method"`
	Servings            float64         `json:"servings"`
	ServingML           figureJSON      `json:"serving_ml"`
	Lines               []batchLineJSON `json:"lines"`
	WaterML             figureJSON      `json:"water_ml"`
	WaterGrams          *float64        `json:"water_grams"`
	WaterPercentOfStart figureJSON      `json:"water_percent_of_start"`
	TotalML             *float64        `json:"total_ml"`
	BottleML            *float64        `json:"bottle_ml"`
	HeadspaceML         *float64        `json:"headspace_ml"`
	Balance             balanceJSON     `json:"balance"`
	Alcohol             alcoholJSON     `json:"alcohol"`
	Unit                drinkUnitJSON   `json:"unit"`
	Freezer             *freezerJSON    `json:"freezer"`
	Cautions            []cautionJSON   `json:"cautions"`
	Cost                []costJSON      `json:"cost"`
}

type syrupJSON struct {
	Brix          float64  `json:"brix"`
	SugarPer100   float64  `json:"sugar_g_per_100ml"`
	YieldML       float64  `json:"yield_ml"`
	Crystals5C    bool     `json:"crystals_5c"`
	Crystals20C   bool     `json:"crystals_20c"`
	CostMinor     *float64 `json:"cost_minor"`
	CostPer100Min *float64 `json:"cost_minor_per_100ml"`
}

type infusionJSON struct {
	ABVPercent figureJSON    `json:"abv_percent"`
	MadeML     float64       `json:"made_ml"`
	CostFactor float64       `json:"cost_factor"`
	Assumed    bool          `json:"assumed"`
	Cautions   []cautionJSON `json:"cautions"`
}

func (j *Journal) batch(question) (any, error) {
	return nil, journal.Refuse("unknown_question", "q", "batches are not answered yet")
}

func (j *Journal) syrup(question) (any, error) {
	return nil, journal.Refuse("unknown_question", "q", "syrups are not answered yet")
}

func (j *Journal) infusion(question) (any, error) {
	return nil, journal.Refuse("unknown_question", "q", "infusions are not answered yet")
}
