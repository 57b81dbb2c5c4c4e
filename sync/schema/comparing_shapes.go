package schema

type comparisonRowJSON struct {
	ID         string  `json:"id"`
	Name       string  `json:"name"`
	DrinkName  string  `json:"drink_name"`
	Candidates []int   `json:"candidates"`
	Pairings   int     `json:"pairings"`
	Tasted     int     `json:"tasted"`
	Scored     int     `json:"scored"`
	LastDay    *string `json:"last_day"`
	Running    *string `json:"running"`
}

type baseLineJSON struct {
	Line string `json:"line"`
	Text string `json:"text"`
	Name string `json:"name"`
}

type baseJSON struct {
	ID    string         `json:"id"`
	Name  string         `json:"name"`
	Base  string         `json:"base"`
	Lines []baseLineJSON `json:"lines"`
}

type comparisonsJSON struct {
	Rows   []comparisonRowJSON `json:"rows"`
	Drinks []baseJSON          `json:"drinks"`
}

type findingJSON struct {
	Picks         string   `json:"picks"`
	Names         []string `json:"names"`
	Benchmark     bool     `json:"benchmark"`
	Tasted        int      `json:"tasted"`
	Flights       int      `json:"flights"`
	ScoresX10     []int64  `json:"scores_x10"`
	TodaysX10     []int64  `json:"todays_x10"`
	D             *float64 `json:"d"`
	Lo            *float64 `json:"lo"`
	Hi            *float64 `json:"hi"`
	BetterPercent *int     `json:"better_percent"`
	Verdict       string   `json:"verdict"`
	NotBlind      bool     `json:"not_blind"`
	Guess         bool     `json:"guess"`
	Together      bool     `json:"together"`
	AtCeiling     bool     `json:"at_ceiling"`
	PriceMinor    *int64   `json:"price_minor"`
	Currency      string   `json:"currency"`
	OnFront       bool     `json:"on_front"`
	PerPointMinor *int64   `json:"per_point_minor"`
	Spec          *string  `json:"spec"`
}

type termCountJSON struct {
	Term string `json:"term"`
	N    int    `json:"n"`
}

type bringsJSON struct {
	Ingredient    string          `json:"ingredient"`
	Candidate     string          `json:"candidate"`
	Name          string          `json:"name"`
	Family        string          `json:"family"`
	Benched       bool            `json:"benched"`
	Benchmark     bool            `json:"benchmark"`
	D             float64         `json:"d"`
	Lo            float64         `json:"lo"`
	Hi            float64         `json:"hi"`
	BetterPercent int             `json:"better_percent"`
	Tasted        int             `json:"tasted"`
	Terms         []termCountJSON `json:"terms"`
	PriceMinor    *int64          `json:"price_minor"`
	Currency      string          `json:"currency"`
}

type anchorJSON struct {
	ID        string `json:"id"`
	FromMS    int64  `json:"from_ms"`
	Day       string `json:"day"`
	AnchorX10 int64  `json:"anchor_x10"`
}

type comparedSwapJSON struct {
	ID       string       `json:"id"`
	LineName string       `json:"line_name"`
	Amount   string       `json:"amount"`
	Addition bool         `json:"addition"`
	Effects  []bringsJSON `json:"effects"`
}

type sayJSON struct {
	Code  string   `json:"code"`
	Names []string `json:"names"`
	D     *float64 `json:"d"`
	Lo    *float64 `json:"lo"`
	Hi    *float64 `json:"hi"`
}

type familyEffectJSON struct {
	Swap   string  `json:"swap"`
	Family string  `json:"family"`
	Than   string  `json:"than"`
	D      float64 `json:"d"`
	Lo     float64 `json:"lo"`
	Hi     float64 `json:"hi"`
}

type interactionJSON struct {
	Picks string   `json:"picks"`
	Names []string `json:"names"`
	D     float64  `json:"d"`
}

type flightRowJSON struct {
	ID     string `json:"id"`
	Day    string `json:"day"`
	Seats  int    `json:"seats"`
	Scored int    `json:"scored"`
	State  string `json:"state"`
	Sight  string `json:"sight"`
}

type panelJSON struct {
	Taster string `json:"taster"`
	N      int    `json:"n"`
	Top    string `json:"top"`
}

type trialsJSON struct {
	Sort          string `json:"sort"`
	A             string `json:"a"`
	B             string `json:"b"`
	N             int    `json:"n"`
	First         int    `json:"first"`
	ChancePercent int    `json:"chance_percent"`
	Shown         bool   `json:"shown"`
	LoPercent     int    `json:"lo_percent"`
	HiPercent     int    `json:"hi_percent"`
}

type choiceJSON struct {
	Picks   string   `json:"picks"`
	Names   []string `json:"names"`
	Ability float64  `json:"ability"`
	Lo      float64  `json:"lo"`
	Hi      float64  `json:"hi"`
}

type rankJSON struct {
	Names []string `json:"names"`
	Sum   float64  `json:"sum"`
}

type ranksJSON struct {
	ChancePercent int        `json:"chance_percent"`
	Shown         bool       `json:"shown"`
	Flights       int        `json:"flights"`
	Rows          []rankJSON `json:"rows"`
}

type comparisonJSON struct {
	ID           string             `json:"id"`
	Name         string             `json:"name"`
	DrinkName    string             `json:"drink_name"`
	Base         string             `json:"base"`
	AnchorX10    *int64             `json:"anchor_x10"`
	Anchors      []anchorJSON       `json:"anchors"`
	Swaps        []comparedSwapJSON `json:"swaps"`
	Pairings     int                `json:"pairings"`
	Findings     []findingJSON      `json:"findings"`
	Say          []sayJSON          `json:"say"`
	Families     []familyEffectJSON `json:"families"`
	Groups       [][]string         `json:"groups"`
	Interactions []interactionJSON  `json:"interactions"`
	Flights      []flightRowJSON    `json:"flights"`
	Panel        []panelJSON        `json:"panel"`
	Trials       []trialsJSON       `json:"trials"`
	Choices      []choiceJSON       `json:"choices"`
	Ranks        *ranksJSON         `json:"ranks"`
	Scored       int                `json:"scored"`
	Unit         drinkUnitJSON      `json:"unit"`
	CSV          string             `json:"csv"`
}

type planSeatJSON struct {
	Picks   string      `json:"picks"`
	Names   []string    `json:"names"`
	Why     string      `json:"why"`
	Gain    *float64    `json:"gain"`
	Alcohol alcoholJSON `json:"alcohol"`
}

type planJSON struct {
	Seats       []planSeatJSON `json:"seats"`
	Flight      alcoholJSON    `json:"flight"`
	Today       alcoholJSON    `json:"today"`
	Session     alcoholJSON    `json:"session"`
	LimitDrinks float64        `json:"limit_drinks"`
	LimitFrom   string         `json:"limit_from"`
	Fits        bool           `json:"fits"`
	Unknown     []string       `json:"unknown"`
	Unit        drinkUnitJSON  `json:"unit"`
	Heavy       bool           `json:"heavy"`
	Quiet       bool           `json:"quiet"`
}

type flightBatchJSON struct {
	Name  string  `json:"name"`
	OneML float64 `json:"one_ml"`
	ML    float64 `json:"ml"`
	Typed string  `json:"typed"`
}

type ratedJSON struct {
	Taster   string `json:"taster"`
	ScoreX10 *int64 `json:"score_x10"`
	Note     string `json:"note"`
}

type seatJSON struct {
	ID        string      `json:"id"`
	Pos       int         `json:"pos"`
	Code      int         `json:"code"`
	Names     []string    `json:"names"`
	ScoreX10  *int64      `json:"score_x10"`
	Benchmark bool        `json:"benchmark"`
	D         *float64    `json:"d"`
	Note      string      `json:"note"`
	Tags      []string    `json:"tags"`
	Pour      *string     `json:"pour"`
	Ratings   []ratedJSON `json:"ratings"`
}

type keyLineJSON struct {
	Name string  `json:"name"`
	ML   float64 `json:"ml"`
}

type keyJSON struct {
	Code  int           `json:"code"`
	Names []string      `json:"names"`
	Lines []keyLineJSON `json:"lines"`
}

type flightJSON struct {
	ID          string            `json:"id"`
	Comparison  string            `json:"comparison"`
	Name        string            `json:"name"`
	State       string            `json:"state"`
	Sight       string            `json:"sight"`
	PourML      float64           `json:"pour_ml"`
	LimitDrinks float64           `json:"limit_drinks"`
	Today       alcoholJSON       `json:"today"`
	Unit        drinkUnitJSON     `json:"unit"`
	Revealed    bool              `json:"revealed"`
	Uncover     bool              `json:"uncover"`
	Fits        bool              `json:"fits"`
	LastMS      *int64            `json:"last_ms"`
	Batch       []flightBatchJSON `json:"batch"`
	Method      string            `json:"method"`
	Seats       []seatJSON        `json:"seats"`
	Key         []keyJSON         `json:"key"`
	Terms       []string          `json:"terms"`
	Next        *int              `json:"next"`
}
