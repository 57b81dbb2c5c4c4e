package schema

import (
	"strings"

	"fairmeasure/journal"
	"fairmeasure/journal/count"
	"fairmeasure/journal/ethanol"
	"fairmeasure/journal/unit"
	"fairmeasure/sync/replica"
)

// counting gives the owner's choices the totals depend on.
func (j *Journal) counting() count.Settings {
	s := j.Settings()
	return count.Settings{Country: s.Country, DayStart: s.DayStart, Week: s.WeekStart}
}

func (j *Journal) moment() count.Moment {
	return count.Moment{AtMS: j.now.MS, OffsetMin: j.now.OffsetMin}
}

func (j *Journal) drinkUnit() drinkUnitJSON {
	d := count.Profile(j.Settings().Country)
	grams := float64(d.UnitMG) / 1000
	return drinkUnitJSON{d.Country, d.Unit, round(grams, 2), d.UsedDefault}
}

// alcohol sets a total for reading. It is rounded here, once.
func (j *Journal) alcohol(t count.Total) alcoholJSON {
	d := count.Profile(j.Settings().Country)
	a := alcoholJSON{
		Grams: count.Shown(count.Grams(t.UL, d.Density)), Drinks: count.Shown(count.Drinks(t.UL, d)),
		AtLeast: t.AtLeast(), About: t.About,
	}
	for _, rival := range []int64{t.MostUL, t.LeastUL} {
		if or := count.Shown(count.Drinks(rival, d)); rival != t.UL && or != a.Drinks {
			a.OrDrinks = &or
			break
		}
	}
	return a
}

// glassTotal is one glass, or a share of one, as a total.
func glassTotal(of ethanol.Alcohol, share unit.Share) count.Total {
	ul := count.Share(int64(of.Volume.Value), share)
	t := count.Total{UL: ul, Entries: 1, LeastUL: ul, MostUL: ul}
	if share > 0 {
		t.Unknown = len(of.Unknown)
	}
	return t
}

// plus adds two totals.
func plus(a, b count.Total) count.Total {
	a.UL += b.UL
	a.Entries += b.Entries
	a.Unknown += b.Unknown
	a.About = a.About || b.About
	a.LeastUL += b.LeastUL
	a.MostUL += b.MostUL
	return a
}

// alcoholOf gives the alcohol of a whole glass.
func (j *Journal) alcoholOf(p Pour) ethanol.Alcohol {
	if p.Plain() {
		return plainAlcohol(p.Volume, p.Strength)
	}
	return j.kept.of(p.Made)
}

// entry is a pour as the totals need it. Values that clash with the shown ones and would change the alcohol go along.
func (j *Journal) entry(e *replica.Entity, p Pour) count.Entry {
	total := glassTotal(j.alcoholOf(p), p.Share)
	return count.Entry{
		ID: journal.ID(p.ID), AtMS: p.AtMS, OffsetMin: p.OffsetMin, UL: total.UL, Unknown: total.Unknown, About: p.About,
		Mark: p.Mark, ForOther: p.Share == 0, Rivals: j.rivals(e, p),
	}
}

// rivals gives the alcohol drunk by each value that clashes with a shown one: what was in the glass, how much of it was
// drunk, what the plain drink was.
func (j *Journal) rivals(e *replica.Entity, p Pour) (all []int64) {
	for _, field := range []string{"made", "share_bp", "vol_ul"} {
		group := Group("pour", field)
		if !replica.ClashGroup(e, group) {
			continue
		}
		for _, v := range replica.Versions(e, group)[1:] {
			other := p
			from := version{v}
			switch field {
			case "made":
				other.Made = textOf(from, "made")
			case "share_bp":
				other.Share = unit.Whole
				if n := intOf(from, "share_bp"); n.Known {
					other.Share = unit.Share(n.Value)
				}
			default:
				other.Volume, other.Strength = volumeOf(from, "vol_ul"), strengthOf(from, "abv_bp")
			}
			all = append(all, glassTotal(j.alcoholOf(other), other.Share).UL)
		}
	}
	return all
}

// drunk is a pour together with what the totals need of it.
type drunk struct {
	e     *replica.Entity
	pour  Pour
	entry count.Entry
}

// since gives the pours from an instant on, newest first.
func (j *Journal) since(atMS int64) (all []drunk) {
	for _, ref := range j.pourRefs() {
		if ref.atMS < atMS {
			break
		}
		p := readPour(ref.e)
		all = append(all, drunk{ref.e, p, j.entry(ref.e, p)})
	}
	return all
}

func entries(all []drunk) []count.Entry {
	out := make([]count.Entry, len(all))
	for i, d := range all {
		out[i] = d.entry
	}
	return out
}

// recent reaches over the four weeks that the longest total needs, and the day and offset on either side.
const recent = 31 * dayMS

// report counts a moment's totals, with one more glass if there is one to think of.
func (j *Journal) report(all []drunk, more ...count.Entry) count.WeekReport {
	return count.Week(append(entries(all), more...), j.confirmed(), j.moment(), j.counting())
}

// confirmed gives the days the owner has confirmed as free of alcohol.
func (j *Journal) confirmed() (days []count.Day) {
	j.each("day", func(e *replica.Entity) {
		if truthOf(row{e}, "alcohol_free") {
			if d, err := count.ParseDay(strings.TrimPrefix(string(e.ID), "day.")); err == nil {
				days = append(days, d)
			}
		}
	})
	return days
}

// thought is a glass that is only being thought of, had now.
func (j *Journal) thought(t count.Total) count.Entry {
	return count.Entry{ID: "thought", AtMS: j.now.MS, OffsetMin: j.now.OffsetMin, UL: t.UL, Unknown: t.Unknown, ForOther: t.Entries == 0}
}

// passed gives the guidance, and the owner's own limits, that the totals are at or above once a glass is counted in. It
// answers about this glass; it never says how much would go before.
func (j *Journal) passed(all []drunk, t count.Total) []guidelineJSON {
	var out []guidelineJSON
	r := j.report(all, j.thought(t))
	for _, g := range append(j.findings(r), j.ownLimits(r)...) {
		if g.State == string(count.At) || g.State == string(count.Above) {
			out = append(out, g)
		}
	}
	return list(out)
}

// running gives the total of the session that runs now; an empty one if none does.
func running(r count.WeekReport) count.Total {
	if r.Running.Known {
		return r.Running.Value.Total
	}
	return count.Total{}
}

// findings sets what was drunk beside the country's guidance, each line named by its issuer and year.
func (j *Journal) findings(r count.WeekReport) (out []guidelineJSON) {
	for _, f := range count.Findings(r) {
		g := f.Guideline
		shown := count.Shown(f.Amount)
		line := guidelineJSON{
			Issuer: g.Issuer, Year: g.Year, Status: string(g.Status), Comparator: string(g.Comparator), Unit: g.Unit,
			Limit: float64(g.Limit.Value.Units), Amount: &shown, AtLeast: f.AtLeast, Period: periodOf(g.Period), Group: g.Group, State: string(f.State),
			Reached: f.Reached,
		}
		if f.Spread {
			line.SpreadDays = g.SpreadDays
		}
		out = append(out, line)
	}
	return out
}

func periodOf(p count.Period) string {
	switch p {
	case count.PerDay, count.PerWeek, count.PerOccasion:
		return string(p)
	case count.PerTwoHours:
		return "two_hours"
	}
	return ""
}

// ownLimits compares the totals with the limits the owner has set: below, at, or above, and nothing more.
func (j *Journal) ownLimits(r count.WeekReport) (out []guidelineJSON) {
	own := func(limit unit.Maybe[int64], period string, t count.Total) {
		if !limit.Known {
			return
		}
		drinks := count.Drinks(t.UL, r.Drink)
		most, shown := float64(limit.Value)/10, count.Shown(drinks)
		state := count.Against(drinks, most)
		out = append(out, guidelineJSON{
			Issuer: "own", Status: "own", Comparator: string(count.AtMost), Limit: most, Amount: &shown, AtLeast: t.AtLeast(),
			Unit: r.Drink.Unit, Period: period, State: string(state), Reached: state == count.Above,
		})
	}
	s := j.Settings()
	own(s.OwnDayX10, "day", today(r).Total)
	own(s.OwnWeekX10, "week", r.Last7.Total)
	return out
}

// today is the drinking day of the report.
func today(r count.WeekReport) count.DayTotal { return r.Last7.Days[len(r.Last7.Days)-1] }

// allGuidance is every line of the country's guidance: compared where it can be, else as the issuer's word.
func (j *Journal) allGuidance(r count.WeekReport) []guidelineJSON {
	out := append(j.ownLimits(r), j.findings(r)...)
	for _, g := range count.Guidance(r.Drink.Asked) {
		if g.Comparator != count.NoNumber {
			continue
		}
		out = append(out, guidelineJSON{
			Issuer: g.Issuer, Year: g.Year, Status: string(g.Status), Comparator: string(g.Comparator), Unit: g.Unit,
			Period: periodOf(g.Period), Group: g.Group,
		})
	}
	amount, unit := count.Drinks(r.Last7.Total.UL, r.Drink), r.Drink.Unit
	if r.Drink.GramsFirst {
		amount, unit = count.Grams(r.Last7.Total.UL, r.Drink.Density), "g"
	}
	if band, ok := count.Band(r.Drink.Asked, amount); ok {
		for _, g := range count.Guidance(r.Drink.Asked) {
			if g.Comparator == count.BandLow || g.Comparator == count.BandHigh {
				shown := count.Shown(amount)
				out = append(out, guidelineJSON{
					Issuer: g.Issuer, Year: g.Year, Status: string(g.Status), Comparator: "band", Unit: unit, Amount: &shown,
					AtLeast: r.Last7.Total.AtLeast(), Period: "week", Group: g.Group, Note: band,
				})
				break
			}
		}
	}
	return list(out)
}

// clock gives the local time of an instant where it was lived, "22:04".
func clock(atMS int64, offsetMin int) string {
	minute := atMS/60_000 + int64(offsetMin)
	minute = (minute%1440 + 1440) % 1440
	two := func(n int64) string { return string([]byte{'0' + byte(n/10), '0' + byte(n%10)}) }
	return two(minute/60) + ":" + two(minute%60)
}

// weekday gives 1 for Monday to 7 for Sunday.
func weekday(d count.Day) int { return int(d-count.WeekOf(d, count.Monday).First) + 1 }
