package count

// WeekStart is the first day of a calendar week.
type WeekStart string

// The week starts. The zero WeekStart is read as Monday.
const (
	Monday   WeekStart = "mon" // ISO 8601
	Sunday   WeekStart = "sun"
	Saturday WeekStart = "sat"
)

// CalendarWeek is seven days from its first.
type CalendarWeek struct {
	First Day
	Start WeekStart
}

// WeekOf gives the calendar week a day lies in.
func WeekOf(d Day, start WeekStart) CalendarWeek {
	// 1970-01-01 was a Thursday: three days after Monday, four after Sunday, five after Saturday.
	since := int64(3)
	switch start {
	case Sunday:
		since = 4
	case Saturday:
		since = 5
	default:
		start = Monday
	}
	n := int64(d) + since
	return CalendarWeek{Day(floorDiv(n, 7)*7 - since), start}
}

// Last is the week's last day.
func (w CalendarWeek) Last() Day { return w.First + 6 }

// ISO gives the year and number of a week from Monday: week 1 is the one with the year's first Thursday.
func (w CalendarWeek) ISO() (year int64, week int) {
	thursday := w.First + 3
	year, _, _ = thursday.Date()
	return year, int(thursday-DayOf(year, 1, 1))/7 + 1
}

// Name is the ISO name ("2026-W20") for weeks from Monday and the first date for the others.
func (w CalendarWeek) Name() string {
	if w.Start != Monday {
		return w.First.String()
	}
	year, week := w.ISO()
	return padded(year, 4) + "-W" + padded(int64(week), 2)
}
