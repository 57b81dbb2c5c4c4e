package count

import "fairmeasure/journal/unit"

// Status says what a guideline is. A definition describes a pattern of risk and a clinical one tells services when to
// offer help; neither is advice to a drinker, and a screen labels them as what they are.
type Status string

// The statuses. Superseded guidance is not in the table.
const (
	Current      Status = "current"
	CurrentDated Status = "current_dated"        // old, nothing newer found
	UnderReview  Status = "current_under_review" // its issuer is at work on a new one
	Definition   Status = "definition"
	Clinical     Status = "clinical"
)

// Comparator says how a limit is meant.
type Comparator string

// The comparators.
const (
	AtMost    Comparator = "at_most"
	LessThan  Comparator = "less_than"
	AtLeast   Comparator = "at_least"   // this many or more is the pattern described
	RiskLevel Comparator = "risk_level" // from here on the issuer speaks of risk
	BandLow   Comparator = "band_low"   // lower edge of a band, see Band
	BandHigh  Comparator = "band_high"  // upper edge of a band, see Band
	NoNumber  Comparator = "none"       // no number given, or a reference value of zero
)

// Period is the span a limit speaks of.
type Period string

// The periods.
const (
	PerDay      Period = "day"
	PerWeek     Period = "week"
	PerOccasion Period = "occasion"
	PerTwoHours Period = "about 2 hours"
	Ever        Period = "any"
	NoPeriod    Period = "none"
)

// Limit is the number of a guideline, in its own unit and as the mass its issuer's unit makes of it.
type Limit struct {
	Units int64
	MG    int64
}

// Guideline is one published line of guidance.
type Guideline struct {
	Country    string
	Group      string
	Limit      unit.Maybe[Limit] // unknown where the issuer gives no number
	Unit       string            // the issuer's unit, or "g"
	Period     Period
	Comparator Comparator
	Status     Status
	Year       int
	SpreadDays int // the issuer asks to spread an amount near the limit over this many days, else 0
	Issuer     string
}

// Guidance gives the lines in force for a country, those of the World Health Organization where it has none. A country
// may split them by sex: both lines are shown, and the app never asks.
func Guidance(country string) []Guideline {
	of := func(country string) (lines []Guideline) {
		for _, g := range guidance {
			if g.Country == country {
				lines = append(lines, g)
			}
		}
		return lines
	}
	if lines := of(code(country)); len(lines) > 0 {
		return lines
	}
	return of(Fallback)
}

// OnFile says whether a country has guidance of its own here; else Guidance gives the fallback's.
func OnFile(country string) bool { return Guidance(country)[0].Country == code(country) }

// Beyond gives the lowest line of a country's guidance for adults in general that a limit of the owner's own, in tenths of
// its standard drink, would go beyond, for a day (or occasion) or a week. A line that is a definition is no advice and is
// passed over; of a band with a number its upper edge counts.
func Beyond(country string, tenths int64, period Period) (lowest Guideline, beyond bool) {
	d := Profile(country)
	for _, g := range Guidance(country) {
		if !g.Limit.Known || !general(g.Group) || g.Status == Definition {
			continue
		}
		if g.Period != period && !(period == PerDay && g.Period == PerOccasion) {
			continue
		}
		own := float64(tenths) / 10
		if g.Unit == "g" {
			own = float64(tenths*d.UnitMG) / 1e4
		}
		state := Against(own, float64(g.Limit.Value.Units))
		over := g.Reached(state) || g.Comparator == BandHigh && g.Limit.Value.Units > 0 && state == Above
		if over && (!beyond || g.Limit.Value.MG < lowest.Limit.Value.MG) {
			lowest, beyond = g, true
		}
	}
	return lowest, beyond
}

// State is where an amount stands to a limit. Equal is a state of its own, because issuers differ in what they make of it.
type State string

// The states.
const (
	Below State = "below"
	At    State = "at"
	Above State = "above"
)

// Against compares an exact amount with a limit in the same unit. Within 0.005 it is at the limit: a tenth is shown, and
// no one pours finer.
func Against(value, limit float64) State {
	const slack = 0.005 // chosen: half of the second decimal, which is never shown
	switch d := value - limit; {
	case d > slack:
		return Above
	case d < -slack:
		return Below
	}
	return At
}

// Reached says whether an amount in this state is what the guideline warns of. Band edges and lines without a number
// never are: bands have Band.
func (g Guideline) Reached(s State) bool {
	switch g.Comparator {
	case AtMost:
		return s == Above
	case LessThan, AtLeast, RiskLevel:
		return s != Below
	}
	return false
}

// Amount gives an amount of ethanol in the guideline's own unit: grams by the country's density, or its standard drinks.
func (g Guideline) Amount(ethanolUL int64, d StandardDrink) float64 {
	if g.Unit == "g" {
		return Grams(ethanolUL, d.Density)
	}
	return Drinks(ethanolUL, d)
}

// Band names the band of a week's amount: in Canada by standard drinks ("0", "1-2", "3-6", "7+"), in Germany by grams
// ("0", "low", "moderate", "high"). The Canadian bands are whole numbers, so a fraction above a band's top belongs to the
// next band (our rule); the German ones are below 27 g, 27 to 81 g, and above. Other countries have none.
func Band(country string, weekly float64) (band string, ok bool) {
	up := func(limit float64) bool { return Against(weekly, limit) == Above }
	switch code(country) {
	case "CA":
		switch {
		case up(6):
			return "7+", true
		case up(2):
			return "3-6", true
		case up(0):
			return "1-2", true
		}
		return "0", true
	case "DE":
		switch {
		case up(81):
			return "high", true
		case Against(weekly, 27) != Below:
			return "moderate", true
		case up(0):
			return "low", true
		}
		return "0", true
	}
	return "", false
}

// Finding sets one guideline beside what was drunk. Amount and limit are in the guideline's unit.
type Finding struct {
	Guideline Guideline
	Amount    float64
	State     State
	Reached   bool
	AtLeast   bool            // a strength in the amount is unknown: it may be more
	Day       unit.Maybe[Day] // the day meant, for a guideline by day; the first entry's label for an occasion
	Spread    bool            // the amount is at or above the limit and on fewer days than the issuer asks for
}

// Findings sets a report beside its country's guidance for adults in general: a week against the last seven days, a day
// against the fullest of them, an occasion against the fullest session that touches them, two hours against the fullest
// two hours of such a session. Lines for others (pregnancy, under age, older people) and lines without a number to
// compare are not here; a screen shows them as they are.
func Findings(r WeekReport) []Finding {
	var found []Finding
	for _, g := range Guidance(r.Drink.Asked) {
		if !g.Limit.Known || !general(g.Group) {
			continue
		}
		switch g.Comparator {
		case BandLow, BandHigh, NoNumber:
			continue
		}
		var fullest Total
		var day unit.Maybe[Day]
		var atLeast bool
		take := func(t Total, d Day) {
			if !day.Known || t.UL > fullest.UL {
				fullest, day = t, unit.Known(d)
			}
			atLeast = atLeast || t.AtLeast() // the one not known may be the fullest
		}
		switch g.Period {
		case PerWeek:
			take(r.Last7.Total, r.Last7.Last)
		case PerDay:
			for _, d := range r.Last7.Days {
				take(d.Total, d.Day)
			}
		case PerOccasion:
			for _, s := range r.Sessions {
				take(s.Total, s.Day)
			}
		case PerTwoHours:
			for _, s := range r.Sessions {
				take(s.Peak, s.Day)
			}
		default:
			continue
		}
		f := Finding{Guideline: g, Amount: g.Amount(fullest.UL, r.Drink), AtLeast: atLeast, Day: day}
		f.State = Against(f.Amount, float64(g.Limit.Value.Units))
		f.Reached = g.Reached(f.State)
		f.Spread = f.State != Below && r.Last7.Drinking < g.SpreadDays
		found = append(found, f)
	}
	return found
}

func general(group string) bool {
	switch group {
	case "adults", "adults 18+", "women", "men", "everyone":
		return true
	}
	return false
}
