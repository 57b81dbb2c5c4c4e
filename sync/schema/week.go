package schema

import (
	"slices"

	"fairmeasure/journal"
	"fairmeasure/journal/count"
)

// checked is when the guidance in the core was last compared with its issuers (journal/count, table_guidance.go).
const checked = "2026-11"

// checkedOld tells whether that is more than 18 months ago.
func (j *Journal) checkedOld() bool {
	then, err := count.ParseDay(checked + "-01")
	year, month, _ := j.today().Date()
	thenYear, thenMonth, _ := then.Date()
	return err != nil || (year-thenYear)*12+int64(month-thenMonth) > 18
}

// week answers what the week comes to.
func (j *Journal) week(question) (any, error) {
	all := j.since(j.now.MS - recent)
	r := j.report(all)
	names := map[count.Day]map[string]int{}
	for _, d := range all {
		if d.entry.ForOther {
			continue
		}
		day := j.Day(d.pour)
		if names[day] == nil {
			names[day] = map[string]int{}
		}
		names[day][j.called(d.pour)]++
	}
	out := weekJSON{
		Unit: j.drinkUnit(), NowDay: j.today().String(), LastSeven: j.window(r.Last7, r.Today, names), Calendar: j.window(r.Calendar, r.Today, names),
		FourWeekMean: meanJSON(r.Mean, r.Last28.Total), Sessions: j.sessionRows(r, all), Heavy: r.Heavy,
		Guidance: j.allGuidance(r), Country: r.Drink.Asked, OnFile: count.OnFile(r.Drink.Asked), Quiet: j.Settings().Quiet, DayStartMin: int(j.Settings().DayStart),
		Checked: checked, CheckedOld: j.checkedOld(),
	}
	out.Calendar.Name = r.Week.Name()
	if r.Running.Known {
		s := r.Running.Value
		out.Session = &totalsJSON{j.alcohol(s.Total), len(s.IDs)}
	}
	return out, nil
}

// meanJSON sets a mean for reading, with what is open in the sum it is of.
func meanJSON(mean count.Rate, of count.Total) alcoholJSON {
	return alcoholJSON{Grams: count.Shown(mean.Grams), Drinks: count.Shown(mean.Drinks), AtLeast: of.AtLeast(), About: of.About}
}

// sessionRows lists the sessions of a report, newest first.
func (j *Journal) sessionRows(r count.WeekReport, all []drunk) []sessionRowJSON {
	out := []sessionRowJSON{}
	places := placesOf(all)
	for _, s := range slices.Backward(r.Sessions) {
		in := inSession(s, all, places)
		row := sessionRowJSON{
			ID: string(s.IDs[0]), Day: s.Day.String(), Alcohol: j.alcohol(s.Total), Pours: len(s.IDs), PacePerHour: paceJSON(s),
			PeakTwoHours: count.Shown(s.Peak.Drinks), Mark: string(in[0].pour.Mark), Hours: round(float64(s.LastMS-s.FirstMS)/3_600_000, 1),
		}
		row.Since, row.Until = spanOf(in)
		out = append(out, row)
	}
	return out
}

func paceJSON(s count.Session) *float64 {
	if !s.Pace.Known {
		return nil
	}
	pace := count.Shown(s.Pace.Value.Drinks)
	return &pace
}

// mostWeeks is a year, with the running week.
const mostWeeks = 53

// weeks answers what the calendar weeks up to now come to.
func (j *Journal) weeks(q question) (any, error) {
	if q.N < 1 || q.N > mostWeeks {
		return nil, journal.Refuse("out_of_range", "n", "expected 1 to %d weeks, got %d", mostWeeks, q.N)
	}
	// The running week and the day and offset on either side lie within the week more.
	weeks := count.Weeks(entries(j.since(j.now.MS-int64(q.N*7+7)*dayMS)), j.confirmed(), j.moment(), j.counting(), q.N)
	out := weeksJSON{Unit: j.drinkUnit(), DayStartMin: int(j.Settings().DayStart), Weeks: []windowJSON{}}
	for _, w := range weeks {
		row := j.span(w.Window)
		row.Name = w.Week.Name()
		out.Weeks = append(out.Weeks, row)
	}
	for _, ref := range slices.Backward(j.pourRefs()) {
		if ref.atMS == 0 {
			continue // a fragment without a time
		}
		if mean, of, ok := count.MeanOfWeeks(weeks, j.Day(readPour(ref.e)), count.Profile(j.Settings().Country)); ok {
			a := meanJSON(mean, of)
			out.Mean = &a
		}
		break
	}
	return out, nil
}

// span sets a run of days for reading, without its days.
func (j *Journal) span(w count.Window) windowJSON {
	return windowJSON{
		From: w.First.String(), To: w.Last.String(), Totals: totalsJSON{j.alcohol(w.Total), w.Total.Entries},
		Drinking: w.Drinking, Free: w.AlcoholFree, Nothing: w.Nothing,
	}
}

func (j *Journal) window(w count.Window, today count.Day, names map[count.Day]map[string]int) windowJSON {
	out := j.span(w)
	for _, d := range w.Days {
		row := dayRowJSON{Day: d.Day.String(), Weekday: weekday(d.Day), State: stateOf(d), What: []drunkJSON{}, Future: d.Day > today}
		if d.State == count.Logged || d.State == count.AlcoholFree {
			a := j.alcohol(d.Total)
			row.Alcohol = &a
		}
		for name, n := range names[d.Day] {
			row.What = append(row.What, drunkJSON{name, n})
		}
		inOrder(row.What, func(a, b drunkJSON) int {
			if a.N != b.N {
				return b.N - a.N
			}
			if a.Name < b.Name {
				return -1
			}
			return 1
		})
		out.Days = append(out.Days, row)
	}
	return out
}

func stateOf(d count.DayTotal) string {
	switch d.State {
	case count.Logged:
		return "drunk"
	case count.AlcoholFree:
		return "free"
	}
	return "nothing"
}
