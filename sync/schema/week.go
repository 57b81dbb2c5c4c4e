package schema

import (
	"fairmeasure/journal/count"
)

// checked is when the guidance in the core was last compared with its issuers (journal/count, table_guidance.go).
const checked = "2026-11"

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
	mean := count.Shown(r.Mean.Drinks)
	out := weekJSON{
		Unit: j.drinkUnit(), NowDay: j.today().String(), LastSeven: j.window(r.Last7, r.Today, names), Calendar: j.window(r.Calendar, r.Today, names),
		FourWeekMean: alcoholJSON{Grams: count.Shown(r.Mean.Grams), Drinks: mean, AtLeast: r.Last28.Total.AtLeast(), About: r.Last28.Total.About},
		Guidance:     j.allGuidance(r), DayStartMin: int(j.Settings().DayStart), Checked: checked,
	}
	out.Calendar.Name = r.Week.Name()
	if r.Running.Known {
		s := r.Running.Value
		out.Session = &totalsJSON{j.alcohol(s.Total), len(s.IDs)}
	}
	return out, nil
}

func (j *Journal) window(w count.Window, today count.Day, names map[count.Day]map[string]int) windowJSON {
	out := windowJSON{From: w.First.String(), To: w.Last.String(), Totals: totalsJSON{j.alcohol(w.Total), w.Total.Entries}, Days: []dayRowJSON{}}
	for _, d := range w.Days {
		row := dayRowJSON{Day: d.Day.String(), Weekday: weekday(d.Day), State: "nothing", What: []drunkJSON{}, Future: d.Day > today}
		switch d.State {
		case count.Logged:
			row.State = "drunk"
		case count.AlcoholFree:
			row.State = "free"
		}
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
