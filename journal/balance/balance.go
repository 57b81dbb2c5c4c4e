// Package balance reckons what is in a glass: volume, strength, alcohol, sugar and acid, before and after the water it
// takes up, each with its band, and where drinks of that family usually lie.
//
// Unknown is never zero. A part of unknown strength leaves the alcohol known from below only, an amount left open leaves
// the volume known from below, and what cannot be bounded is unknown; no unknown ever lowers a total. The band of a
// figure comes from moving one input at a time to its low and its high and adding the changes in quadrature, up and down
// apart. Inputs are taken as independent of each other.
//
// Volumes are added, as the published tables of finished drinks do. The loss by mixing is at most 0.05 % vol in such a
// drink; Contracted gives the strength with it, and a remark says when it shows, as with overproof spirit.
//
// What was measured of the water wins over every estimate, and the owner's calibration corrects the published curve (see
// journal/dilution). Only what met the ice takes up water:
// a top or a float over a shaken drink counts as an ingredient, over ice in the glass it takes up its share. What counts of a
// part, and the alcohol of the whole glass, is as journal/ethanol has it.
package balance

import (
	"slices"

	"fairmeasure/journal"
	"fairmeasure/journal/count"
	"fairmeasure/journal/dilution"
	"fairmeasure/journal/ethanol"
	"fairmeasure/journal/unit"
)

// Figures are the numbers of a drink at one moment.
type Figures struct {
	Volume   Figure // ml
	Strength Figure // % vol
	Ethanol  Figure // ml of pure ethanol at 20 °C
	Sugar    Figure // g per 100 ml
	Acid     Figure // g per 100 ml, as citric acid

	SugarGrams  Figure
	AcidGrams   Figure
	SugarToAcid Figure // grams of sugar for a gram of acid
}

// Dilution is the water a drink took up.
type Dilution struct {
	Water   Figure // ml
	OfStart Figure // % of what met the ice
	OfFinal Figure // % of what is in the glass
	Basis   dilution.Basis
	Row     string // the row of common practice it stands on, if any
}

// Result is the balance of one glass.
type Result struct {
	Alcohol       ethanol.Alcohol // what every total takes; Figures.Ethanol shows it in ml
	Before, After Figures
	Dilution      Dilution
	Coldest       Figure // °C, where the finished glass begins to freeze
	Ranges        Ranges
	Verdicts      Verdicts
	Remarks       []Remark

	lines []line
	water input // µl
}

// Remark is a caution about a balance.
type Remark struct {
	Code string
	Part int    // which part, from 0; -1 for the whole drink
	Name string // the part's name
}

// The codes of remarks, beside those of journal/dilution.
const (
	StrengthUnknown = "part_strength_unknown"
	SugarUnknown    = "part_sugar_unknown"
	AcidUnknown     = "part_acid_unknown"
	AmountOpen      = "part_amount_open"
	Residual        = "part_residual"    // a rinse: only what stays in the glass
	NotCounted      = "part_not_counted" // no amount, and no alcohol that we know of
	Clamped         = "part_clamped"     // a figure below nothing or beyond all sense: unknown, of sugar and acid cut to what can be
	Contraction     = "contraction"      // the loss by mixing shows in the strength
	MeltTooLittle   = "melt_too_little"  // cooling from 20 °C to 0 °C must melt more than was measured
	MeltTooMuch     = "melt_too_much"    // more than twice what met the ice was measured
	NoAlcoholRange  = "no_range_without_alcohol"
)

// mostConcentration is what a part can hold of sugar or acid at most: denser than any sweetener, and small enough that sums of
// products stay whole numbers. Chosen.
const mostConcentration unit.Concentration = 1e7 // ten kilograms per litre

// kind is one of the three contents of a part.
type kind int

const (
	alcohol kind = iota
	sugar
	acid
	kinds
)

// input is one thing that may be otherwise than it is taken to be.
type input struct{ value, low, high float64 }

func (i input) exact() bool { return i.low == i.value && i.high == i.value }

// line is one part, ready to reckon with. Volumes are in µl, alcohol in basis points, sugar and acid in mg/L, all whole
// numbers, so that sums of their products are exact.
type line struct {
	part     int
	name     string
	state    state
	open     journal.Open
	afterIce bool
	volume   input
	content  [kinds]input
	known    [kinds]bool
}

type state int

const (
	counted state = iota
	missing       // an amount left open that would change figures
	ignored       // no amount, and not worth one
)

// none says that the line surely adds nothing of a kind.
func (l *line) none(k kind) bool {
	return l.known[k] && l.content[k].high == 0 || l.state == counted && l.volume.high == 0
}

// Of reckons the balance of what was made, with what is known of its water.
func Of(made journal.Made, water dilution.Water) Result {
	g := glass{overIce: dilution.OverIce(made.Method), alcohol: ethanol.In(made)}
	for i, p := range made.Parts {
		g.add(i, p)
	}
	g.settle()

	r := Result{Alcohol: g.alcohol, lines: g.lines, Remarks: g.remarks}
	if v := water.Volume(); v.Known {
		g.measured = true
		g.water = float64(v.Value)
		r.Dilution.Basis = dilution.Measured
		if code := g.doubt(made.Method); code != "" {
			r.Remarks = append(r.Remarks, Remark{Code: code, Part: -1})
		}
	} else {
		g.estimate = g.estimated(made.Method, water)
		r.Dilution.Basis, r.Dilution.Row = g.estimate.Basis, g.estimate.Row
		for _, remark := range g.estimate.Remarks {
			if g.met > 0 || g.metMissing {
				r.Remarks = append(r.Remarks, Remark{Code: string(remark), Part: -1})
			}
		}
	}
	outs := g.spread()
	g.figures(outs, &r)
	r.Coldest = coldest(r.After)

	r.Ranges = rangesOf(made, r.Before)
	if r.Before.Ethanol.Known && r.Before.Ethanol.Value == 0 && len(made.Parts) > 0 {
		r.Remarks = append(r.Remarks, Remark{Code: NoAlcoholRange, Part: -1})
	}
	r.Verdicts = Verdicts{
		Volume:   r.Ranges.Volume.verdict(r.After.Volume),
		Strength: r.Ranges.Strength.verdict(r.After.Strength),
		Sugar:    r.Ranges.Sugar.verdict(r.After.Sugar),
		Acid:     r.Ranges.Acid.verdict(r.After.Acid),
	}
	switch r.Dilution.Basis {
	case dilution.Measured, dilution.Own, dilution.Curve, dilution.Energy: // a habit held against itself would say nothing
		r.Verdicts.Dilution = r.Ranges.Dilution.verdict(r.Dilution.OfStart)
	}
	if g.overproof && r.contractionShows() {
		r.Remarks = append(r.Remarks, Remark{Code: Contraction, Part: -1})
	}
	return r
}

// AlcoholGrams gives the alcohol in grams, by the density that a country prints.
func (r Result) AlcoholGrams(density count.Density) Figure {
	v := r.Alcohol.Volume
	grams := func(ul unit.Volume) float64 { return count.Grams(int64(ul), density) }
	return Figure{
		Value: grams(v.Value), Low: grams(v.Low), High: grams(v.High),
		Known: !r.Alcohol.AtLeast(), AtLeast: r.Alcohol.AtLeast(), Decimals: gramsDecimals,
	}
}

// glass is the reckoning of one drink.
type glass struct {
	alcohol ethanol.Alcohol
	lines   []line
	remarks []Remark

	overIce    bool // the ice is in the glass, so a top meets it too
	overproof  bool // some part is strong enough for contraction to matter
	met        float64
	metMissing bool // some of what meets the ice has no amount
	anyMissing bool
	amount     [kinds]bool // whether the whole amount of each kind is known
	metKnown   bool        // whether the strength of what meets the ice is known

	measured bool
	water    float64
	estimate dilution.Estimate
	scale    float64 // moves the estimate along its band: 1 is its middle
}

func (g *glass) remark(code string, l *line) {
	g.remarks = append(g.remarks, Remark{code, l.part, l.name})
}

// add takes a part in.
func (g *glass) add(i int, p journal.Part) {
	l := line{part: i, name: p.Name, open: p.Open}
	volume, strength := ethanol.Counted(p)
	clamped := p.Volume.Known && !volume.Known || p.Content.Strength.Known && !strength.Known
	if v := volume.Value; volume.Known {
		l.volume = input{float64(v.Value), float64(v.Low), float64(v.High)}
	}
	if s := strength.Value; strength.Known {
		l.content[alcohol], l.known[alcohol] = input{float64(s.Value), float64(s.Low), float64(s.High)}, true
	}
	if s := p.Content.Sugar; s.Known {
		l.content[sugar], l.known[sugar] = within(s.Value, mostConcentration, &clamped), true
	}
	if a := p.Content.Acid; a.Known {
		l.content[acid], l.known[acid] = within(a.Value, mostConcentration, &clamped), true
	}
	l.afterIce = p.Open == journal.Rinse || (p.Open == journal.Top || p.Open == journal.Float) && !g.overIce
	if !volume.Known {
		l.state = missing
		if p.Open == journal.ToTaste || p.Open == journal.Measured && l.none(alcohol) {
			l.state = ignored
		}
	}
	if clamped {
		g.remark(Clamped, &l)
	}
	if p.Open == journal.Rinse {
		g.remark(Residual, &l)
	}
	switch l.state {
	case missing:
		g.remark(AmountOpen, &l)
	case ignored:
		switch {
		case !slices.Contains(g.alcohol.Unknown, i):
			if !l.none(alcohol) || !l.none(sugar) || !l.none(acid) {
				g.remark(NotCounted, &l)
			}
		case l.known[alcohol]:
			g.remark(AmountOpen, &l)
		default:
			g.remark(StrengthUnknown, &l)
		}
	}
	if l.state != ignored {
		for k, code := range [kinds]string{StrengthUnknown, SugarUnknown, AcidUnknown} {
			if !l.known[k] && !l.none(kind(k)) {
				g.remark(code, &l)
			}
		}
	}
	g.lines = append(g.lines, l)
}

// within makes an input of a band, cut to what can be.
func within[T ~int64](b unit.Band[T], most T, clamped *bool) input {
	cut := func(v T) float64 {
		if v < 0 || v > most {
			*clamped = true
		}
		return float64(min(max(v, 0), most))
	}
	in := input{cut(b.Value), cut(b.Low), cut(b.High)}
	in.low, in.high = min(in.low, in.value), max(in.high, in.value)
	return in
}
