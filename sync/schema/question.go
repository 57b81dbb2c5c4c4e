package schema

import (
	"reflect"

	"fairmeasure/journal"
	"fairmeasure/sync/replica"
)

// question is the private twin of Question in pwa/src/shared/core.ts, all of its forms in one.
type question struct {
	Q       string     `json:"q"`
	ID      replica.ID `json:"id"`
	N       int        `json:"n"`
	Of      string     `json:"of"`
	From    string     `json:"from"`
	To      string     `json:"to"`
	Days    int        `json:"days"`
	Text    string     `json:"text"`
	Lines   []string   `json:"lines"`
	Method  string     `json:"method"`
	Spec    replica.ID `json:"spec"`
	PartUL  *int64     `json:"part_ul"`
	TotalUL *int64     `json:"total_ul"`
	Swap    *swapping  `json:"swap"`
	ShareBP *int64     `json:"share_bp"`
	Keys    []string   `json:"keys"`
	Line    replica.ID `json:"line"`
	A       replica.ID `json:"a"`
	B       replica.ID `json:"b"`

	Ingredient replica.ID `json:"ingredient"`

	MoreAlcohol bool `json:"more_alcohol"`

	AtMS      *int64 `json:"at_ms"`
	OffsetMin *int64 `json:"offset_min"`

	Servings    *int64 `json:"servings"`
	BottleUL    *int64 `json:"bottle_ul"`
	HeadspaceUL *int64 `json:"headspace_ul"`
	Water       string `json:"water"`
	PercentBP   *int64 `json:"percent_bp"`
	FreezerC    *int64 `json:"freezer_c"`
	Carbonated  bool   `json:"carbonated"`

	SugarMG    int64  `json:"sugar_mg"`
	WaterMG    int64  `json:"water_mg"`
	SugarUL    *int64 `json:"sugar_ul"`
	SugarPrice *int64 `json:"sugar_price_minor_per_kg"`
	MadeUL     *int64 `json:"made_ul"`
	VolUL      int64  `json:"vol_ul"`
	ABVBP      int64  `json:"abv_bp"`
	WaterUL    *int64 `json:"water_ul"`
	What       string `json:"what"`
	ToBP       int64  `json:"to_bp"`

	Glasses int      `json:"glasses"`
	PourUL  int64    `json:"pour_ul"`
	Seed    string   `json:"seed"`
	Seats   []string `json:"seats"`
}

type answering struct {
	word   string
	answer func(*Journal, question) (any, error)
}

// asked are the questions by their word.
var asked = []answering{
	{"tonight", (*Journal).tonight},
	{"journal", (*Journal).days},
	{"pour", (*Journal).pourView},
	{"specs", (*Journal).specsView},
	{"spec", (*Journal).specView},
	{"draft", (*Journal).draft},
	{"sheet", (*Journal).sheet},
	{"adjust", (*Journal).adjust},
	{"ways", (*Journal).ways},
	{"touches", (*Journal).touches},
	{"difference", (*Journal).difference},
	{"week", (*Journal).week},
	{"weeks", (*Journal).weeks},
	{"guesses", (*Journal).guesses},
	{"label", (*Journal).label},
	{"table", (*Journal).table},
	{"bottles", (*Journal).bottlesView},
	{"side", (*Journal).side},
	{"calibration", (*Journal).calibration},
	{"batch", (*Journal).batch},
	{"syrup", (*Journal).syrup},
	{"infusion", (*Journal).infusion},
	{"makings", (*Journal).makingsView},
	{"cut", (*Journal).cut},
	{"comparisons", (*Journal).comparisons},
	{"comparison", (*Journal).comparison},
	{"plan", (*Journal).planned},
	{"flight", (*Journal).flightView},
	{"trial", (*Journal).nextTrial},
	{"clash", (*Journal).clash},
	{"keeper", (*Journal).keeper},
}

// Reader answers questions and remembers between them what cannot have changed. It is not for several at once.
type Reader struct {
	kept   *kept
	shapes shapes
}

// NewReader makes a reader that remembers nothing yet.
func NewReader() *Reader { return &Reader{newKept(), shapes{}} }

// Ask answers one question about what a person sees, as JSON. What is not there, or not acceptable, comes back as a
// *journal.Refusal.
func (r *Reader) Ask(v View, now Now, raw []byte) ([]byte, error) {
	var q question
	if err := decode(raw, &q); err != nil {
		return nil, err
	}
	j := Read(v, now)
	j.kept = r.kept
	for _, a := range asked {
		if a.word != q.Q {
			continue
		}
		answer, err := a.answer(j, q)
		if err != nil {
			return nil, err
		}
		return r.shapes.append(nil, reflect.ValueOf(answer)), nil
	}
	return nil, journal.Refuse("unknown_question", "q", "there is no question %q", clip(q.Q))
}

// Ask answers one question with a reader of its own.
func Ask(v View, now Now, raw []byte) ([]byte, error) { return NewReader().Ask(v, now, raw) }
