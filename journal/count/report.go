package count

import "fairmeasure/journal/unit"

// Settings are the owner's choices the totals depend on.
type Settings struct {
	Country  string
	DayStart DayStart
	Week     WeekStart
}

// Moment is an instant and the offset lived at; the caller brings both.
type Moment struct {
	AtMS      int64
	OffsetMin int
}

// DayState says what is known of a day.
type DayState string

// The states of a day. Nothing logged is no proof of a day without alcohol.
const (
	Nothing     DayState = "nothing"      // nothing logged
	Logged      DayState = "logged"       // something is logged, if only drinks without alcohol
	AlcoholFree DayState = "alcohol_free" // confirmed by the owner, and no alcohol is logged
	Ahead       DayState = "ahead"        // not yet come, and nothing logged
)

// DayTotal is one drinking day.
type DayTotal struct {
	Day   Day
	State DayState
	Total Total
	// The owner confirmed the day as free of alcohol, and alcohol is logged on it: it counts as logged.
	Contradicted bool
}

// Window is a run of days and their sum.
type Window struct {
	First, Last Day
	Days        []DayTotal // every day from First to Last
	Total       Total
	// How many of the days have alcohol logged, are confirmed free of it, and have nothing logged. Days with only
	// drinks without alcohol logged, and days ahead, are in none of them.
	Drinking, AlcoholFree, Nothing int
}

// WeekReport is what the Week and Tonight screens count from.
type WeekReport struct {
	Drink     StandardDrink
	Settings  Settings
	Today     Day // the last of the last seven labels, see End
	Last7     Window
	Calendar  Window
	Week      CalendarWeek
	Last28    Window
	Mean      Rate                // of a week, over the last 28 labels
	Heavy     bool                // see HeavyUL; a screen says that stopping suddenly can be dangerous, and never asks for it
	Sessions  []Session           // those with an entry in Last7, in order
	Running   unit.Maybe[Session] // the session that now would join by its gap
	SinceLast unit.Maybe[int64]   // milliseconds since the last alcoholic entry; never below zero
}

// HeavyUL is the ethanol of 15 UK units of 10 ml, 118.35 g by 0.789: who regularly has more a day should talk to a doctor
// before cutting down (Alcohol Change UK; NHS Gateshead).
const HeavyUL = 15 * 10_000

// heavy says whether the days with alcohol come to HeavyUL or more, one with another. A day of which no alcohol is known
// is no such day, so that it cannot lower the mean.
func heavy(w Window) bool {
	var ul, days int64
	for _, d := range w.Days {
		if d.Total.UL > 0 {
			ul += d.Total.UL
			days++
		}
	}
	return days > 0 && ul >= HeavyUL*days
}

// End gives the last of the last seven labels: the label of now, or the day after it if an entry bears that (a flight
// back over the date line). Entries dated further ahead do not move it.
func End(entries []Entry, now Moment, start DayStart) Day {
	end := Label(now.AtMS, now.OffsetMin, start)
	for _, e := range entries {
		if Label(e.AtMS, e.OffsetMin, start) == end+1 {
			return end + 1
		}
	}
	return end
}

// Days sums entries by their label.
func Days(entries []Entry, s Settings) map[Day]Total {
	return daysIn(entries, s.DayStart, Profile(s.Country))
}

func daysIn(entries []Entry, start DayStart, d StandardDrink) map[Day]Total {
	days := map[Day]Total{}
	for _, e := range entries {
		if e.ForOther {
			continue
		}
		label := Label(e.AtMS, e.OffsetMin, start)
		t := days[label]
		t.add(e.total())
		days[label] = t
	}
	for label, t := range days {
		days[label] = t.in(d)
	}
	return days
}

// Week gives the totals of a journal as they stand at a moment. entries may be in any order; confirmed are the days the
// owner has confirmed as free of alcohol.
func Week(entries []Entry, confirmed []Day, now Moment, s Settings) WeekReport {
	ordered := inOrder(entries)
	r := WeekReport{Drink: Profile(s.Country), Settings: s, Today: End(ordered, now, s.DayStart)}
	r.Week = WeekOf(r.Today, s.Week)
	free := set(confirmed)
	days := daysIn(ordered, s.DayStart, r.Drink)
	window := func(first, last Day) Window {
		return window(days, free, first, last, r.Today, r.Drink)
	}
	r.Last7 = window(r.Today-6, r.Today)
	r.Calendar = window(r.Week.First, r.Week.Last())
	r.Last28 = window(r.Today-27, r.Today)
	r.Mean = Rate{r.Last28.Total.Grams / 4, r.Last28.Total.Drinks / 4}
	r.Heavy = heavy(r.Last28)

	byID := 0 // sessions are runs of ordered, so one pass matches them
	for _, session := range sessions(ordered, r.Drink, s.DayStart) {
		run := ordered[byID : byID+len(session.IDs)]
		byID += len(session.IDs)
		for _, e := range run {
			if l := Label(e.AtMS, e.OffsetMin, s.DayStart); l >= r.Last7.First && l <= r.Last7.Last {
				r.Sessions = append(r.Sessions, session)
				break
			}
		}
		// A phone's clock may run a little ahead: a session that begins after now runs too, unless an earlier one does.
		if now.AtMS >= session.FirstMS && now.AtMS-session.LastMS <= Gap ||
			!r.Running.Known && session.FirstMS > now.AtMS && session.FirstMS-now.AtMS <= Gap {
			r.Running = unit.Known(session)
		}
	}
	for _, e := range ordered {
		if e.alcoholic() && e.AtMS <= now.AtMS {
			r.SinceLast = unit.Known(now.AtMS - e.AtMS)
		}
	}
	return r
}

// Span gives the days from first to last and their sum, as they stand at a moment.
func Span(entries []Entry, confirmed []Day, now Moment, s Settings, first, last Day) Window {
	d := Profile(s.Country)
	return window(daysIn(entries, s.DayStart, d), set(confirmed), first, last, End(entries, now, s.DayStart), d)
}

// WeekTotal is a calendar week and what it comes to.
type WeekTotal struct {
	Week CalendarWeek
	Window
}

// Weeks gives the last n calendar weeks, the oldest first and the running one last.
func Weeks(entries []Entry, confirmed []Day, now Moment, s Settings, n int) []WeekTotal {
	d := Profile(s.Country)
	days, free, today := daysIn(entries, s.DayStart, d), set(confirmed), End(entries, now, s.DayStart)
	all := make([]WeekTotal, 0, n)
	for w := WeekOf(today-Day(7*(n-1)), s.Week); w.First <= today; w.First += 7 {
		all = append(all, WeekTotal{w, window(days, free, w.First, w.Last(), today, d)})
	}
	return all
}

// MeanOfWeeks gives what a week comes to, and the sum that is the mean of: all but the running week, from the one on that
// from lies in. Weeks before the first entry of a journal tell nothing of its owner. ok is false where no week is left.
func MeanOfWeeks(weeks []WeekTotal, from Day, d StandardDrink) (mean Rate, of Total, ok bool) {
	n := 0.0
	for _, w := range weeks[:max(0, len(weeks)-1)] {
		if w.Last >= from {
			n++
			of.add(w.Total)
		}
	}
	if n == 0 {
		return Rate{}, Total{}, false
	}
	of = of.in(d)
	return Rate{of.Grams / n, of.Drinks / n}, of, true
}

func set(days []Day) map[Day]bool {
	all := make(map[Day]bool, len(days))
	for _, d := range days {
		all[d] = true
	}
	return all
}

func window(days map[Day]Total, free map[Day]bool, first, last, today Day, d StandardDrink) Window {
	w := Window{First: first, Last: last}
	for day := first; day <= last; day++ {
		t, logged := days[day]
		one := DayTotal{Day: day, State: Nothing, Total: t}
		alcoholic := t.UL > 0 || t.Unknown > 0
		switch {
		case alcoholic:
			one.State, one.Contradicted = Logged, free[day]
			w.Drinking++
		case free[day]:
			one.State = AlcoholFree
			w.AlcoholFree++
		case logged:
			one.State = Logged
		case day > today:
			one.State = Ahead
		default:
			w.Nothing++
		}
		w.Days = append(w.Days, one)
		w.Total.add(t)
	}
	w.Total = w.Total.in(d)
	return w
}
