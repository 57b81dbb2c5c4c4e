package schema

import "fairmeasure/journal/unit"

// The answers as the screens get them: private twins of pwa/src/shared/core.ts, key for key. A number is rounded here to
// what is shown and carries its unit in its key. A slice is never null in JSON: see list.

// list makes a nil slice an empty one, so that a screen always has something to walk over.
func list[T any](s []T) []T {
	if s == nil {
		return []T{}
	}
	return s
}

type figureJSON struct {
	V       *float64 `json:"v"`
	Lo      *float64 `json:"lo"`
	Hi      *float64 `json:"hi"`
	AtLeast bool     `json:"at_least,omitempty"`
	Dec     int      `json:"dec"`
}

type figuresJSON struct {
	VolumeML     figureJSON `json:"volume_ml"`
	ABVPercent   figureJSON `json:"abv_percent"`
	AlcoholG     figureJSON `json:"alcohol_g"`
	SugarPer100  figureJSON `json:"sugar_g_per_100ml"`
	AcidPercent  figureJSON `json:"acid_percent"`
	SugarPerAcid figureJSON `json:"sugar_to_acid"`
}

type usualJSON struct {
	Lo float64 `json:"lo"`
	Hi float64 `json:"hi"`
}

type shareJSON struct {
	Name     string   `json:"name"`
	VolumeML *float64 `json:"volume_ml"`
	PerLitre *float64 `json:"per_litre"`
	Amount   *float64 `json:"amount"`
	Typical  bool     `json:"typical"`
}

type remarkJSON struct {
	Code  string   `json:"code"`
	Names []string `json:"names"`
}

type balanceJSON struct {
	Method              string                 `json:"method"`
	Before              figuresJSON            `json:"before"`
	After               figuresJSON            `json:"after"`
	WaterML             figureJSON             `json:"water_ml"`
	WaterPercentOfStart figureJSON             `json:"water_percent_of_start"`
	Basis               string                 `json:"basis"`
	ColdestC            figureJSON             `json:"coldest_c"`
	Usual               map[string]usualJSON   `json:"usual"`
	Verdict             map[string]string      `json:"verdict"`
	Why                 map[string][]shareJSON `json:"why"`
	Remarks             []remarkJSON           `json:"remarks"`
}

type lineJSON struct {
	ID         string   `json:"id"`
	Amount     string   `json:"amount"`
	Unit       string   `json:"unit"`
	Name       string   `json:"name"`
	Note       string   `json:"note"`
	Typed      string   `json:"typed"`
	VolumeML   *float64 `json:"volume_ml"`
	Estimate   bool     `json:"estimate"`
	Open       string   `json:"open"`
	Ingredient *string  `json:"ingredient"`
	ABVPercent *float64 `json:"abv_percent"`
	Assumed    []string `json:"assumed"`
	Clash      bool     `json:"clash"`
	Or         *string  `json:"or"`
	Changed    bool     `json:"changed"`
}

type alcoholJSON struct {
	Grams    float64  `json:"grams"`
	Drinks   float64  `json:"drinks"`
	AtLeast  bool     `json:"at_least"`
	OrDrinks *float64 `json:"or_drinks"`
	About    bool     `json:"about"`
}

type drinkUnitJSON struct {
	Country  string  `json:"country"`
	Name     string  `json:"name"`
	Grams    float64 `json:"grams"`
	Fallback bool    `json:"fallback"`
}

type pourRowJSON struct {
	ID             string      `json:"id"`
	AtMS           int64       `json:"at_ms"`
	Time           string      `json:"time"`
	UTC            string      `json:"utc"`
	Day            string      `json:"day"`
	Name           string      `json:"name"`
	Version        string      `json:"version"`
	Benchmark      bool        `json:"benchmark"`
	Plain          bool        `json:"plain"`
	ShareBP        int64       `json:"share_bp"`
	ScoreX10       *int64      `json:"score_x10"`
	Alcohol        alcoholJSON `json:"alcohol"`
	Note           string      `json:"note"`
	Tags           []string    `json:"tags"`
	Spec           *string     `json:"spec"`
	Drink          *string     `json:"drink"`
	Clash          bool        `json:"clash"`
	DeletedChanged bool        `json:"deleted_changed"`
	About          bool        `json:"about"`
	Mark           string      `json:"mark"`
}

type guidelineJSON struct {
	Issuer     string   `json:"issuer"`
	Year       int      `json:"year"`
	Status     string   `json:"status"`
	Comparator string   `json:"comparator"`
	Limit      float64  `json:"limit"`
	Amount     *float64 `json:"amount"`
	AtLeast    bool     `json:"at_least"`
	Unit       string   `json:"unit"`
	Period     string   `json:"period"`
	Group      string   `json:"group"`
	State      string   `json:"state"`
	Reached    bool     `json:"reached"`
	Note       string   `json:"note"`
	SpreadDays int      `json:"spread_days"`
}

type totalsJSON struct {
	Alcohol alcoholJSON `json:"alcohol"`
	Pours   int         `json:"pours"`
}

type sessionJSON struct {
	SinceMS      int64         `json:"since_ms"`
	Since        string        `json:"since"`
	Totals       totalsJSON    `json:"totals"`
	PacePerHour  *float64      `json:"pace_per_hour"`
	PeakTwoHours float64       `json:"peak_two_hours"`
	SinceLastMin int64         `json:"since_last_min"`
	Pours        []pourRowJSON `json:"pours"`
	GapsMin      []int64       `json:"gaps_min"`
}

type endedJSON struct {
	Since  string     `json:"since"`
	Until  string     `json:"until"`
	Totals totalsJSON `json:"totals"`
}

type againJSON struct {
	Pour       string          `json:"pour"`
	Spec       *string         `json:"spec"`
	Name       string          `json:"name"`
	Version    string          `json:"version"`
	Plain      bool            `json:"plain"`
	WouldBring alcoholJSON     `json:"would_bring"`
	Passes     []guidelineJSON `json:"passes"`
}

type plainJSON struct {
	ID         string      `json:"id"`
	Name       string      `json:"name"`
	VolumeML   float64     `json:"volume_ml"`
	ABVPercent *float64    `json:"abv_percent"`
	WouldBring alcoholJSON `json:"would_bring"`

	Passes []guidelineJSON `json:"passes"`
}

type specChoiceJSON struct {
	ID         string      `json:"id"`
	Name       string      `json:"name"`
	Version    string      `json:"version"`
	WouldBring alcoholJSON `json:"would_bring"`

	Passes []guidelineJSON `json:"passes"`
}

type labelJSON struct {
	Day string `json:"day"`
}

type tonightJSON struct {
	Unit    drinkUnitJSON    `json:"unit"`
	NowDay  string           `json:"now_day"`
	Session *sessionJSON     `json:"session"`
	Ended   *endedJSON       `json:"ended"`
	Quiet   bool             `json:"quiet"`
	Heavy   bool             `json:"heavy"`
	WaterML float64          `json:"water_ml"`
	Again   *againJSON       `json:"again"`
	Plains  []plainJSON      `json:"plains"`
	Specs   []specChoiceJSON `json:"specs"`
	Clashes int              `json:"clashes"`
}

type journalSessionJSON struct {
	Since   string        `json:"since"`
	Until   string        `json:"until"`
	Alcohol alcoholJSON   `json:"alcohol"`
	Pours   []pourRowJSON `json:"pours"`
}

type journalDayJSON struct {
	Day      string               `json:"day"`
	Alcohol  alcoholJSON          `json:"alcohol"`
	Sessions []journalSessionJSON `json:"sessions"`
}

type journalJSON struct {
	Unit     drinkUnitJSON    `json:"unit"`
	Days     []journalDayJSON `json:"days"`
	Total    int              `json:"total"`
	More     bool             `json:"more"`
	Counting bool             `json:"counting"`
}

type pourJSON struct {
	Pour       pourRowJSON   `json:"pour"`
	Unit       drinkUnitJSON `json:"unit"`
	Lines      []lineJSON    `json:"lines"`
	Method     string        `json:"method"`
	Ice        string        `json:"ice"`
	Balance    *balanceJSON  `json:"balance"`
	VolumeML   *float64      `json:"volume_ml"`
	ABVPercent *float64      `json:"abv_percent"`
	Clashes    []clashJSON   `json:"clashes"`
	OffsetMin  int64         `json:"offset_min"`
	Zone       string        `json:"zone"`
	Mark       string        `json:"mark"`
	ScoreScale string        `json:"score_scale"`
	Terms      []string      `json:"terms"`
}

type specRowJSON struct {
	ID        string  `json:"id"`
	Name      string  `json:"name"`
	Benchmark bool    `json:"benchmark"`
	Parent    *string `json:"parent"`
	Poured    int     `json:"poured"`
	LastDay   *string `json:"last_day"`
	BestX10   *int64  `json:"best_x10"`
	Clash     bool    `json:"clash"`
	Changed   string  `json:"changed"`
}

type drinkSpecsJSON struct {
	ID     string        `json:"id"`
	Name   string        `json:"name"`
	Family string        `json:"family"`
	Specs  []specRowJSON `json:"specs"`
}

type specsJSON struct {
	Drinks []drinkSpecsJSON `json:"drinks"`
	Loose  []specRowJSON    `json:"loose"`
}

type treeRowJSON struct {
	Row   specRowJSON `json:"row"`
	Depth int         `json:"depth"`
}

type costJSON struct {
	Currency string `json:"currency"`
	Minor    int64  `json:"minor"`
	Partial  bool   `json:"partial"`
}

type specJSON struct {
	ID        string        `json:"id"`
	Drink     *string       `json:"drink"`
	DrinkName string        `json:"drink_name"`
	Name      string        `json:"name"`
	Benchmark bool          `json:"benchmark"`
	Parent    *string       `json:"parent"`
	Method    string        `json:"method"`
	Ice       string        `json:"ice"`
	Glass     string        `json:"glass"`
	Garnish   string        `json:"garnish"`
	Strain    string        `json:"strain"`
	Note      string        `json:"note"`
	PartUL    *unit.Volume  `json:"part_ul"`
	TotalUL   *unit.Volume  `json:"total_ul"`
	Lines     []lineJSON    `json:"lines"`
	Balance   balanceJSON   `json:"balance"`
	Alcohol   alcoholJSON   `json:"alcohol"`
	Unit      drinkUnitJSON `json:"unit"`
	Poured    int           `json:"poured"`
	LastDay   *string       `json:"last_day"`
	Tree      []treeRowJSON `json:"tree"`
	Clashes   []clashJSON   `json:"clashes"`
	Cost      []costJSON    `json:"cost"`
	Cautions  []cautionJSON `json:"cautions"`
}

type draftLineJSON struct {
	OK      bool         `json:"ok"`
	Lines   []lineJSON   `json:"lines,omitempty"`
	Refusal *refusalJSON `json:"refusal,omitempty"`
}

type draftJSON struct {
	Lines   []draftLineJSON `json:"lines"`
	Balance *balanceJSON    `json:"balance"`
	Alcohol *alcoholJSON    `json:"alcohol"`
	Unit    drinkUnitJSON   `json:"unit"`
}

type swapChoiceJSON struct {
	Ingredient string   `json:"ingredient"`
	Name       string   `json:"name"`
	ABVPercent *float64 `json:"abv_percent"`
	LeftML     *float64 `json:"left_ml"`
	AsWritten  bool     `json:"as_written"`
}

type swapJSON struct {
	Line     string           `json:"line"`
	LineName string           `json:"line_name"`
	Amount   string           `json:"amount"`
	Unit     string           `json:"unit"`
	Choices  []swapChoiceJSON `json:"choices"`
}

type sheetJSON struct {
	Spec       specJSON        `json:"spec"`
	Swaps      []swapJSON      `json:"swaps"`
	Alcohol    alcoholJSON     `json:"alcohol"`
	WouldBring alcoholJSON     `json:"would_bring"`
	Passes     []guidelineJSON `json:"passes"`
	Terms      []string        `json:"terms"`
}

type drunkJSON struct {
	Name string `json:"name"`
	N    int    `json:"n"`
}

type dayRowJSON struct {
	Day     string       `json:"day"`
	Weekday int          `json:"weekday"`
	Alcohol *alcoholJSON `json:"alcohol"`
	State   string       `json:"state"`
	What    []drunkJSON  `json:"what"`
	Future  bool         `json:"future"`
}

// windowJSON is a Span of the screens: with its days, except among many weeks.
type windowJSON struct {
	Name     string       `json:"name,omitempty"`
	From     string       `json:"from"`
	To       string       `json:"to"`
	Totals   totalsJSON   `json:"totals"`
	Drinking int          `json:"drinking"`
	Free     int          `json:"free"`
	Nothing  int          `json:"nothing"`
	Days     []dayRowJSON `json:"days,omitempty"`
}

type sessionRowJSON struct {
	ID           string      `json:"id"`
	Day          string      `json:"day"`
	Since        string      `json:"since"`
	Until        string      `json:"until"`
	Hours        float64     `json:"hours"`
	Alcohol      alcoholJSON `json:"alcohol"`
	Pours        int         `json:"pours"`
	PacePerHour  *float64    `json:"pace_per_hour"`
	PeakTwoHours float64     `json:"peak_two_hours"`
	Mark         string      `json:"mark"`
}

type weekJSON struct {
	Unit         drinkUnitJSON    `json:"unit"`
	NowDay       string           `json:"now_day"`
	Session      *totalsJSON      `json:"session"`
	LastSeven    windowJSON       `json:"last_seven"`
	Calendar     windowJSON       `json:"calendar"`
	FourWeekMean alcoholJSON      `json:"four_week_mean"`
	Sessions     []sessionRowJSON `json:"sessions"`
	Heavy        bool             `json:"heavy"`
	Guidance     []guidelineJSON  `json:"guidance"`
	Country      string           `json:"country"`
	OnFile       bool             `json:"on_file"`
	Quiet        bool             `json:"quiet"`
	DayStartMin  int              `json:"day_start_min"`
	Checked      string           `json:"checked"`
	CheckedOld   bool             `json:"checked_old"`
}

type changeJSON struct {
	Line   string  `json:"line"`
	Name   string  `json:"name"`
	FromML float64 `json:"from_ml"`
	ToML   float64 `json:"to_ml"`
}

type adjustJSON struct {
	Found   bool         `json:"found"`
	StepML  float64      `json:"step_ml"`
	Changes []changeJSON `json:"changes"`
	Balance *balanceJSON `json:"balance"`
}

type calibrationRowJSON struct {
	Method      string  `json:"method"`
	Ice         string  `json:"ice"`
	Drinks      int     `json:"drinks"`
	Percent     float64 `json:"percent"`
	Lo          float64 `json:"lo"`
	Hi          float64 `json:"hi"`
	SeenPercent float64 `json:"seen_percent"`
}

type calibrationJSON struct {
	Rows []calibrationRowJSON `json:"rows"`
}

type weeksJSON struct {
	Unit        drinkUnitJSON `json:"unit"`
	DayStartMin int           `json:"day_start_min"`
	Weeks       []windowJSON  `json:"weeks"`
	Mean        *alcoholJSON  `json:"mean"`
}

type guessJSON struct {
	ID         string      `json:"id"`
	Name       string      `json:"name"`
	VolumeML   float64     `json:"volume_ml"`
	ABVPercent float64     `json:"abv_percent"`
	Lo         float64     `json:"lo"`
	Hi         float64     `json:"hi"`
	Alcohol    alcoholJSON `json:"alcohol"`
	WouldBring alcoholJSON `json:"would_bring"`
	Marking    string      `json:"marking"`

	Passes []guidelineJSON `json:"passes"`
}

type guessesJSON struct {
	Unit drinkUnitJSON `json:"unit"`
	Rows []guessJSON   `json:"rows"`
}

type tableJSON struct {
	CSV string `json:"csv"`
}

type bottleJSON struct {
	ID         string   `json:"id"`
	Name       string   `json:"name"`
	Ingredient *string  `json:"ingredient"`
	SizeML     *float64 `json:"size_ml"`
	LeftML     *float64 `json:"left_ml"`
	OpenedOn   *string  `json:"opened_on"`
	FinishedOn *string  `json:"finished_on"`
	PriceMinor *int64   `json:"price_minor"`
	Currency   string   `json:"currency"`
	ABVPercent *float64 `json:"abv_percent"`
	Clash      bool     `json:"clash"`
}

type bottlesJSON struct {
	Rows []bottleJSON `json:"rows"`
}

type sideRowJSON struct {
	Spec      string  `json:"spec"`
	Name      string  `json:"name"`
	Benchmark bool    `json:"benchmark"`
	Tasted    int     `json:"tasted"`
	ScoresX10 []int64 `json:"scores_x10"`
	LastDay   *string `json:"last_day"`
}

type sideDrinkJSON struct {
	ID   string        `json:"id"`
	Name string        `json:"name"`
	Rows []sideRowJSON `json:"rows"`
}

type sideJSON struct {
	Drinks []sideDrinkJSON `json:"drinks"`
}

type clashValueJSON struct {
	Stamp  string     `json:"stamp"`
	Text   string     `json:"text"`
	Device string     `json:"device"`
	AtMS   int64      `json:"at_ms"`
	Shown  bool       `json:"shown"`
	Effect effectJSON `json:"effect"`
}

type effectJSON struct {
	AcidPercent *float64 `json:"acid_percent,omitempty"`
	AlcoholG    *float64 `json:"alcohol_g,omitempty"`
}

type clashJSON struct {
	ID       string           `json:"id"`
	Kind     string           `json:"kind"`
	Field    string           `json:"field"`
	Title    string           `json:"title"`
	Values   []clashValueJSON `json:"values"`
	Joinable bool             `json:"joinable"`
}

type clashesJSON struct {
	Clashes []clashJSON `json:"clashes"`
}

type countryJSON struct {
	Code  string  `json:"code"`
	Name  string  `json:"name"`
	Unit  string  `json:"unit"`
	Grams float64 `json:"grams"`
}

type countsJSON struct {
	Drinks  int `json:"drinks"`
	Specs   int `json:"specs"`
	Pours   int `json:"pours"`
	Bottles int `json:"bottles"`
}

type needsLookJSON struct {
	ID    string `json:"id"`
	Kind  string `json:"kind"`
	Title string `json:"title"`
	Code  string `json:"code"`
}

type trashJSON struct {
	ID    string `json:"id"`
	Kind  string `json:"kind"`
	Title string `json:"title"`
	Day   string `json:"day"`
}

type keeperJSON struct {
	Settings  settingsJSON    `json:"settings"`
	Countries []countryJSON   `json:"countries"`
	Counts    countsJSON      `json:"counts"`
	Clashes   []clashJSON     `json:"clashes"`
	NeedsLook []needsLookJSON `json:"needs_look"`
	Trash     []trashJSON     `json:"trash"`
}

type settingsJSON struct {
	Country          string `json:"country"`
	Units            string `json:"units"`
	OzKind           string `json:"oz_kind"`
	DayStartMin      int    `json:"day_start_min"`
	WeekStart        string `json:"week_start"`
	DashUL           int64  `json:"dash_ul"`
	BarspoonUL       int64  `json:"barspoon_ul"`
	OwnDayDrinksX10  *int64 `json:"own_day_drinks_x10"`
	OwnWeekDrinksX10 *int64 `json:"own_week_drinks_x10"`
	Quiet            bool   `json:"quiet"`
}

type refusalJSON struct {
	Code  string `json:"code"`
	Field string `json:"field"`
	Text  string `json:"text"`
}
