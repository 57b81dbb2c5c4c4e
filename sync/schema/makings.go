package schema

type drawJSON struct {
	Bottle string  `json:"bottle"`
	Name   string  `json:"name"`
	ML     float64 `json:"ml"`
}

type makingJSON struct {
	ID       string     `json:"id"`
	Sort     string     `json:"sort"`
	Name     string     `json:"name"`
	Spec     *string    `json:"spec"`
	On       string     `json:"on"`
	MadeML   *float64   `json:"made_ml"`
	Servings *float64   `json:"servings"`
	Bottle   string     `json:"bottle"`
	LeftML   *float64   `json:"left_ml"`
	KeepBy   *string    `json:"keep_by"`
	Over     bool       `json:"over"`
	Cost     []costJSON `json:"cost"`
	Draws    []drawJSON `json:"draws"`
}

type makingsJSON struct {
	Rows   []makingJSON `json:"rows"`
	NowDay string       `json:"now_day"`
}

func (j *Journal) makingsView(question) (any, error) {
	return makingsJSON{Rows: []makingJSON{}, NowDay: j.today().String()}, nil
}
