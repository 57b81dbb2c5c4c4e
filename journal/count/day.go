package count

import (
	"strconv"

	"fairmeasure/journal"
)

// Day is a civil date, the label a drinking day goes by: the number of days since 1970-01-01 in the Gregorian calendar of
// ISO 8601, carried backwards and forwards without end.
type Day int64

// DayStart is the local time at which a drinking day begins, in minutes after midnight.
type DayStart int

// DefaultDayStart is 05:00 (chosen): midnight would cut an evening in two and hide what was had on it.
const DefaultDayStart DayStart = 5 * 60

const (
	dayMS    = 24 * 60 * 60 * 1000
	minuteMS = 60 * 1000
)

// Label gives the drinking day of an instant, in milliseconds since 1970 in UTC, lived at an offset in minutes east of
// UTC: the date of the local wall time less the day start. The first millisecond of the day start opens the new day. No
// local midnight is ever built, so a date whose midnight does not exist is like any other.
func Label(atMS int64, offsetMin int, start DayStart) Day {
	return Day(floorDiv(atMS+(int64(offsetMin)-int64(start))*minuteMS, dayMS))
}

func floorDiv(a, b int64) int64 {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}

// A calendar year is counted from March here, so that the leap day is the last of its year and every month begins after
// the same number of days. epoch is the number of days from 1 March of the year 0 to 1 January 1970:
// 1969 x 365 + 492 - 19 + 4 leap days to 1 March 1969, and 306 days on.
const epoch = 719468

var monthStart = [12]int64{0, 31, 61, 92, 122, 153, 184, 214, 245, 275, 306, 337} // March first

// Date gives year, month (1 to 12) and day of the month.
func (d Day) Date() (year int64, month, day int) {
	const (
		days400 = 400*365 + 97
		days100 = 100*365 + 24
		days4   = 4*365 + 1
	)
	n := int64(d) + epoch
	era := floorDiv(n, days400)
	n -= era * days400
	hundreds := min(n/days100, 3) // the last day of an era is the leap day of its fourth hundred, not of a fifth
	n -= hundreds * days100
	fours := n / days4
	n -= fours * days4
	ones := min(n/365, 3) // likewise of the fourth year
	n -= ones * 365
	m := 11
	for monthStart[m] > n {
		m--
	}
	year = era*400 + hundreds*100 + fours*4 + ones
	month, day = m+3, int(n-monthStart[m])+1
	if month > 12 {
		year, month = year+1, month-12
	}
	return year, month, day
}

// DayOf gives the Day of a date that exists.
func DayOf(year int64, month, day int) Day {
	m := month - 3
	if m < 0 {
		year, m = year-1, m+12
	}
	leapDays := floorDiv(year, 4) - floorDiv(year, 100) + floorDiv(year, 400)
	return Day(year*365 + leapDays + monthStart[m] + int64(day) - 1 - epoch)
}

// String spells the day as in "2026-05-16".
func (d Day) String() string {
	y, m, day := d.Date()
	return padded(y, 4) + "-" + padded(int64(m), 2) + "-" + padded(int64(day), 2)
}

// ParseDay reads a date of the years 0000 to 9999 spelt as in "2026-05-16".
func ParseDay(s string) (Day, error) {
	refuse := func() (Day, error) {
		return 0, journal.Refuse("bad_day", "day", "expected a date such as 2026-05-16, got %q", clip(s))
	}
	if len(s) != 10 || s[4] != '-' || s[7] != '-' {
		return refuse()
	}
	y, okY := digits(s[:4])
	m, okM := digits(s[5:7])
	d, okD := digits(s[8:])
	if !okY || !okM || !okD || m < 1 || m > 12 || d < 1 {
		return refuse()
	}
	day := DayOf(int64(y), m, d)
	if _, m2, d2 := day.Date(); m2 != m || d2 != d { // 30 February
		return refuse()
	}
	return day, nil
}

// Valid says whether the day may start then.
func (s DayStart) Valid() bool { return s >= 0 && s <= 6*60 && s%30 == 0 }

// padded spells a number with noughts in front, as %04d does.
func padded(n int64, width int) string {
	s, sign := strconv.FormatInt(n, 10), ""
	if n < 0 {
		s, sign = s[1:], "-"
	}
	for len(sign)+len(s) < width {
		s = "0" + s
	}
	return sign + s
}

func digits(s string) (n int, ok bool) {
	for _, c := range []byte(s) {
		if c < '0' || c > '9' {
			return 0, false
		}
		n = n*10 + int(c-'0')
	}
	return n, len(s) > 0
}

// clip keeps a refusal short however long the text was.
func clip(s string) string {
	if len(s) > 32 {
		return s[:32]
	}
	return s
}
