package count_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fairmeasure/journal"
	"fairmeasure/journal/count"
)

// TestNights holds nights on which clocks change or a date is crossed against the standard library's time zones: what
// day each counts for, and how long they really lasted.
func TestNights(t *testing.T) {
	type glass struct{ zone, wall string }
	for name, row := range map[string]struct {
		glasses []glass
		// Of those with the same wall time twice in one night, the later is the second.
		days    []string
		minutes int64 // from first to last, real time
	}{
		"Berlin25Hours": {[]glass{{"Europe/Berlin", "2026-10-24T23:40"}, {"Europe/Berlin", "2026-10-25T02:30"}, {"Europe/Berlin", "2026-10-25T02:30"}},
			[]string{"2026-10-24", "2026-10-24", "2026-10-24"}, 230},
		"London23Hours": {[]glass{{"Europe/London", "2026-03-28T23:30"}, {"Europe/London", "2026-03-29T02:30"}},
			[]string{"2026-03-28", "2026-03-28"}, 120},
		"NewYork25Hours": {[]glass{{"America/New_York", "2026-11-01T01:30"}, {"America/New_York", "2026-11-01T01:30"}, {"America/New_York", "2026-11-01T05:00"}},
			[]string{"2026-10-31", "2026-10-31", "2026-11-01"}, 270},
		"LordHoweHalfAnHour": {[]glass{{"Australia/Lord_Howe", "2026-10-03T23:30"}, {"Australia/Lord_Howe", "2026-10-04T02:40"}},
			[]string{"2026-10-03", "2026-10-03"}, 160},
		"SantiagoWithoutMidnight": {[]glass{{"America/Santiago", "2026-09-05T23:30"}, {"America/Santiago", "2026-09-06T01:15"}},
			[]string{"2026-09-05", "2026-09-05"}, 45},
		"ADateLivedTwice": {[]glass{{"Pacific/Auckland", "2026-05-15T19:00"}, {"America/Los_Angeles", "2026-05-15T14:00"}},
			[]string{"2026-05-15", "2026-05-15"}, 14 * 60},
		"ADateSkipped": {[]glass{{"America/Los_Angeles", "2026-05-15T21:00"}, {"Pacific/Auckland", "2026-05-17T06:00"}},
			[]string{"2026-05-15", "2026-05-17"}, 14 * 60},
	} {
		t.Run(name, func(t *testing.T) {
			var entries []count.Entry
			seen := map[glass]bool{}
			for i, g := range row.glasses {
				zone, err := time.LoadLocation(g.zone)
				require.NoError(t, err)
				at, err := time.ParseInLocation("2006-01-02T15:04", g.wall, zone)
				require.NoError(t, err)
				if before := at.Add(-time.Hour); before.Format("2006-01-02T15:04") == g.wall {
					at = before // which of the two is given is not promised
				}
				if seen[g] { // the second time the clock shows it
					at = at.Add(time.Hour)
				}
				seen[g] = true
				require.Equal(t, g.wall, at.Format("2006-01-02T15:04"))
				_, east := at.Zone()
				e := count.Entry{ID: journal.ID(rune('A' + i)), AtMS: at.UnixMilli(), OffsetMin: east / 60, UL: 12_000}
				require.Equal(t, row.days[i], count.Label(e.AtMS, e.OffsetMin, count.DefaultDayStart).String())
				entries = append(entries, e)
			}
			first, last := entries[0], entries[len(entries)-1]
			require.Equal(t, row.minutes, (last.AtMS-first.AtMS)/60_000)
			s := settings("GB")
			want := map[string]int64{}
			for i, e := range entries {
				want[row.days[i]] += e.UL
			}
			got := map[string]int64{}
			for day, total := range count.Days(entries, s) {
				got[day.String()] = total.UL
			}
			require.Equal(t, want, got)
			for _, session := range count.Sessions(entries, s) {
				if session.Pace.Known {
					hours := max(1, float64(session.LastMS-session.FirstMS)/3_600_000)
					require.InDelta(t, session.Total.Drinks/hours, session.Pace.Value.Drinks, 1e-9)
				}
			}
		})
	}
}

func TestNoLabelMovesWithThePhone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		entries, s, now := anyEntries(t), anySettings(t), anyNow(t)
		here := count.Week(entries, nil, now, s)
		now.OffsetMin = rapid.SampledFrom([]int{-720, -240, 0, 60, 570, 840}).Draw(t, "elsewhere")
		there := count.Week(entries, nil, now, s)
		// Only which days are the last seven follows the phone; what each holds does not.
		days := map[count.Day]count.Total{}
		for _, d := range here.Last28.Days {
			days[d.Day] = d.Total
		}
		for _, d := range there.Last28.Days {
			if before, ok := days[d.Day]; ok {
				require.Equal(t, before, d.Total)
			}
		}
	})
}

func TestSplittingKeepsTheTotal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		entries, s := anyEntries(t), anySettings(t)
		sum := func() (ul int64, n int) {
			for _, session := range count.Sessions(entries, s) {
				ul += session.Total.UL
				n += len(session.IDs)
			}
			return ul, n
		}
		ul, n := sum()
		require.Equal(t, len(entries), n)
		for i := range entries {
			entries[i].Mark = rapid.SampledFrom([]count.Mark{count.NoMark, count.Split, count.Join}).Draw(t, "mark")
		}
		after, m := sum()
		require.Equal(t, ul, after)
		require.Equal(t, n, m)
	})
}

func TestHeavy(t *testing.T) {
	now := count.Moment{AtMS: base}
	on := func(day int64, ul int64) count.Entry {
		return count.Entry{ID: journal.ID(rune('A' + day)), AtMS: base - day*86_400_000, UL: ul}
	}
	heavy := func(entries ...count.Entry) bool { return count.Week(entries, nil, now, settings("GB")).Heavy }
	// 15 UK units of 10 ml: the amount a day from which to talk to a doctor before cutting down (Alcohol Change UK, NHS Gateshead).
	require.True(t, heavy(on(1, 150_000)))
	require.False(t, heavy(on(1, 149_999)))
	require.True(t, heavy(on(1, 100_000), on(2, 200_000)), "one day with another")
	require.False(t, heavy(on(1, 100_000), on(2, 190_000)))
	require.True(t, heavy(on(1, 150_000), on(27, 150_000)), "days with nothing logged do not lower it")
	require.False(t, heavy(on(28, 300_000)), "only the last 28 days")
	require.False(t, heavy())
	unknown := on(3, 0)
	unknown.Unknown = 2
	require.True(t, heavy(on(1, 150_000), unknown), "a day of which nothing is known does not lower it")
	guest := on(4, 500_000)
	guest.ForOther = true
	require.False(t, heavy(on(1, 100_000), guest))

	rapid.Check(t, func(t *rapid.T) {
		entries, s, now := anyEntries(t), anySettings(t), anyNow(t)
		if !count.Week(entries, nil, now, s).Heavy || len(entries) == 0 {
			return
		}
		i := rapid.IntRange(0, len(entries)-1).Draw(t, "which")
		if entries[i].UL == 0 || entries[i].ForOther {
			return // a day without alcohol that gets some is a new day in the mean
		}
		entries[i].UL += rapid.Int64Range(0, 60_000).Draw(t, "more")
		require.True(t, count.Week(entries, nil, now, s).Heavy)
	})
}

func TestWeeksOfAYear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		entries, s, now := anyEntries(t), anySettings(t), anyNow(t)
		r := count.Week(entries, nil, now, s)
		weeks := count.Weeks(entries, nil, now, s, 5)
		require.Len(t, weeks, 5)
		running := weeks[4]
		require.Equal(t, r.Week, running.Week)
		require.Equal(t, r.Calendar, running.Window, "the running week is the report's own")
		days := count.Days(entries, s)
		for i, w := range weeks {
			require.Equal(t, w.Week.Last(), w.Last)
			if i > 0 {
				require.Equal(t, weeks[i-1].Last+1, w.First, "no day between, none twice")
			}
			var sum int64
			for d := w.First; d <= w.Last; d++ {
				sum += days[d].UL
			}
			require.Equal(t, sum, w.Total.UL)
			require.Equal(t, count.Span(entries, nil, now, s, w.First, w.Last), w.Window)
		}
	})
	t.Run("Mean", func(t *testing.T) {
		now := count.Moment{AtMS: base}
		entries := []count.Entry{{ID: "A", AtMS: base - 21*86_400_000, UL: 40_000}, {ID: "B", AtMS: base - 7*86_400_000, UL: 20_000}, {ID: "C", AtMS: base, UL: 90_000}}
		s := settings("GB")
		weeks := count.Weeks(entries, nil, now, s, 6)
		first := count.Label(entries[0].AtMS, 0, s.DayStart)
		mean, of, ok := count.MeanOfWeeks(weeks, first, count.Profile("GB"))
		require.True(t, ok)
		require.EqualValues(t, 60_000, of.UL, "without the running week")
		require.InDelta(t, 2.0, mean.Drinks, 1e-9, "6 units in the three weeks since the first entry")
		_, _, ok = count.MeanOfWeeks(weeks[5:], first, count.Profile("GB"))
		require.False(t, ok, "no week is complete")
	})
}

func TestBeyondTheGuidance(t *testing.T) {
	for _, row := range []struct {
		country string
		tenths  int64
		period  count.Period
		beyond  bool
		year    int
	}{
		{"AU", 100, count.PerWeek, false, 0},
		{"AU", 101, count.PerWeek, true, 2020},
		{"AU", 40, count.PerDay, false, 0},
		{"AU", 45, count.PerDay, true, 2020},
		{"GB", 140, count.PerWeek, false, 0},
		{"GB", 141, count.PerWeek, true, 2016},
		{"GB", 500, count.PerDay, false, 0}, // no number for one day, on purpose
		{"IE", 111, count.PerWeek, true, 0}, // the lower of the two lines
		{"US", 900, count.PerWeek, false, 0},
		{"SE", 99, count.PerWeek, false, 0}, // 10 or more is the risk
		{"SE", 100, count.PerWeek, true, 2023},
	} {
		g, beyond := count.Beyond(row.country, row.tenths, row.period)
		require.Equal(t, row.beyond, beyond, "%s %d %s: %v", row.country, row.tenths, row.period, g)
		if row.year != 0 {
			require.Equal(t, row.year, g.Year)
		}
	}
}
