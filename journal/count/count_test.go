package count_test

import (
	"fmt"
	"math/big"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fairmeasure/journal"
	"fairmeasure/journal/count"
	"fairmeasure/journal/ethanol"
	"fairmeasure/journal/unit"
)

func TestProfile(t *testing.T) {
	t.Run("Fallback", func(t *testing.T) {
		d := count.Profile("is")
		require.Equal(t, "IS", d.Asked)
		require.Equal(t, count.Fallback, d.Country)
		require.True(t, d.UsedDefault)
		require.Equal(t, 79.0, count.Drinks(1_000_000, d), "a litre of ethanol is 790 g, and a drink 10 g")
	})
	t.Run("Chosen", func(t *testing.T) { require.False(t, count.Profile("who").UsedDefault) })
	t.Run("UK", func(t *testing.T) { require.Equal(t, "GB", count.Profile(" uk").Country) })
	t.Run("VolumeNeverThroughGrams", func(t *testing.T) {
		for country, ul := range map[string]int64{"GB": 10_000, "CA": 17_050, "IN": 12_700, "US": 17_744} {
			require.Equal(t, 14.0, count.Drinks(14*ul, count.Profile(country)), country)
		}
	})
	t.Run("LowEndOfARange", func(t *testing.T) {
		for _, country := range []string{"DE", "CH", "NO", "PT"} {
			d := count.Profile(country)
			require.NotZero(t, d.LowMG, country)
			require.Equal(t, d.LowMG, d.UnitMG, country)
		}
	})
}

func TestShown(t *testing.T) {
	for v, want := range map[float64]float64{0: 0, 0.04: 0, 0.05: 0.1, 0.15: 0.2, 0.35: 0.4, 1.05: 1.1, 1.15: 1.2,
		1.4498: 1.4, 1.4502: 1.5, 9.9: 9.9, 9.95: 10, 2.449999: 2.4, 117.25: 117.3} {
		require.Equal(t, want, count.Shown(v), v)
	}
}

// Every count of whole microlitres rounds as the exact fraction does, and so do grams; half of the draws are multiples of
// a twentieth, where the halves lie.
func TestShownIsExactForEveryUnit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := count.Profile(rapid.SampledFrom(count.Countries()).Draw(t, "country"))
		above, below := int64(d.Density), d.UnitMG*1000
		if d.Basis == count.ByVolume {
			above, below = 1, d.UnitUL
		}
		inGrams := rapid.Bool().Draw(t, "grams")
		if inGrams {
			above, below = int64(d.Density), 1_000_000
		}
		const most = 40_000_000
		ul := rapid.Int64Range(0, most).Draw(t, "ul")
		if rapid.Bool().Draw(t, "twentieth") {
			// The least amount that is a whole number of twentieths.
			least := new(big.Rat).SetFrac64(below, 20*above).Num().Int64()
			ul = least * rapid.Int64Range(0, most/least).Draw(t, "times")
		}
		tenths := new(big.Rat).Add(big.NewRat(ul*above*10, below), big.NewRat(1, 2))
		floor := new(big.Int).Quo(tenths.Num(), tenths.Denom())
		v := count.Drinks(ul, d)
		if inGrams {
			v = count.Grams(ul, d.Density)
		}
		require.Equal(t, float64(floor.Int64())/10, count.Shown(v))
	})
}

func part(ul unit.Volume, bp unit.Strength) journal.Part {
	return journal.Part{Volume: unit.Known(unit.Exact(ul)), Content: strength(unit.Exact(bp))}
}

func strength(b unit.Band[unit.Strength]) journal.Content {
	return journal.Content{Strength: unit.Known(b)}
}

func TestShare(t *testing.T) {
	require.Equal(t, int64(3), count.Share(5, 5000), "halves up")
	require.Equal(t, int64(5), count.Share(5, 20_000))
	require.Zero(t, count.Share(5, -1))
}

// The standard library's calendar is the check on ours.
func TestDay(t *testing.T) {
	same := func(t require.TestingT, d count.Day) {
		want := time.Unix(int64(d)*86_400, 0).UTC()
		y, m, day := d.Date()
		require.Equal(t, [3]int{want.Year(), int(want.Month()), want.Day()}, [3]int{int(y), m, day})
		require.Equal(t, d, count.DayOf(y, m, day))
		isoYear, isoWeek := want.ISOWeek()
		gotYear, gotWeek := count.WeekOf(d, count.Monday).ISO()
		require.Equal(t, [2]int{isoYear, isoWeek}, [2]int{int(gotYear), gotWeek})
		for start, weekday := range map[count.WeekStart]time.Weekday{
			count.Monday: time.Monday, count.Sunday: time.Sunday, count.Saturday: time.Saturday} {
			w := count.WeekOf(d, start)
			require.Equal(t, weekday, time.Unix(int64(w.First)*86_400, 0).UTC().Weekday())
			require.True(t, w.First <= d && d <= w.Last())
		}
	}
	t.Run("EveryDayOfFourCenturies", func(t *testing.T) {
		for d := count.DayOf(1999, 12, 31); d <= count.DayOf(2400, 3, 1); d++ {
			same(t, d)
		}
	})
	t.Run("AnyDay", func(t *testing.T) {
		rapid.Check(t, func(t *rapid.T) { same(t, count.Day(rapid.Int64Range(-5_000_000, 5_000_000).Draw(t, "day"))) })
	})
	t.Run("Names", func(t *testing.T) {
		require.Equal(t, "1969-12-31", count.Day(-1).String())
		require.Equal(t, "0000-02-29", count.DayOf(0, 2, 29).String())
		require.Equal(t, "2026-W53", count.WeekOf(count.DayOf(2027, 1, 3), count.Monday).Name())
		require.Equal(t, "2026-12-26", count.WeekOf(count.DayOf(2027, 1, 1), count.Saturday).Name())
		require.Equal(t, "2026-W20", count.WeekOf(count.DayOf(2026, 5, 16), "").Name(), "no choice is Monday")
	})
}

func TestParseDay(t *testing.T) {
	for _, s := range []string{"2026-05-16", "2024-02-29", "0000-01-01", "9999-12-31"} {
		d, err := count.ParseDay(s)
		require.NoError(t, err)
		require.Equal(t, s, d.String())
	}
	for _, s := range []string{"", "2026-5-16", "2026-13-01", "2026-00-01", "2025-02-29", "2026-04-31", "2026-05-00", "2026/05/16", "+026-05-16", "2026-05-16 "} {
		_, err := count.ParseDay(s)
		var r *journal.Refusal
		require.ErrorAs(t, err, &r, s)
		require.Equal(t, "bad_day", r.Code)
	}
}

func FuzzParseDay(f *testing.F) {
	for _, s := range []string{"2026-05-16", "2024-02-29", "", "99-99"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if d, err := count.ParseDay(s); err == nil {
			require.Equal(t, s, d.String())
			_, err := time.Parse(time.DateOnly, s)
			require.NoError(t, err)
		} else {
			_, theirs := time.Parse(time.DateOnly, s)
			require.Error(t, theirs, "refused a date that exists")
		}
	})
}

func at(t testing.TB, s string, ul int64) count.Entry { return entry(0, moment(t, s), ul) }

func TestSessions(t *testing.T) {
	evening := func() []count.Entry {
		a, b, c := at(t, "2026-05-15T20:00:00+02:00", 20_000), at(t, "2026-05-15T21:00:00+02:00", 20_000), at(t, "2026-05-16T01:01:00+02:00", 20_000)
		a.ID, b.ID, c.ID = "A", "B", "C"
		return []count.Entry{a, b, c}
	}
	ids := func(entries []count.Entry) (all [][]journal.ID) {
		for _, s := range count.Sessions(entries, settings("AU")) {
			all = append(all, s.IDs)
		}
		return all
	}
	t.Run("FourHoursAndAMinuteSplit", func(t *testing.T) {
		require.Equal(t, [][]journal.ID{{"A", "B"}, {"C"}}, ids(evening()))
	})
	t.Run("JoinMark", func(t *testing.T) {
		e := evening()
		e[2].Mark = count.Join
		require.Equal(t, [][]journal.ID{{"A", "B", "C"}}, ids(e))
	})
	t.Run("SplitMark", func(t *testing.T) {
		e := evening()
		e[1].Mark = count.Split
		require.Equal(t, [][]journal.ID{{"A"}, {"B"}, {"C"}}, ids(e))
	})
	t.Run("JoinOnTheFirstEntry", func(t *testing.T) {
		e := evening()
		e[0].Mark = count.Join
		require.Equal(t, [][]journal.ID{{"A", "B"}, {"C"}}, ids(e))
	})
	t.Run("ListedUnderItsFirstEntry", func(t *testing.T) {
		e := []count.Entry{at(t, "2026-05-16T04:30:00+02:00", 10_000), at(t, "2026-05-16T05:30:00+02:00", 10_000)}
		s := count.Sessions(e, settings("AU"))
		require.Len(t, s, 1)
		require.Equal(t, "2026-05-15", s[0].Day.String())
		require.Len(t, count.Days(e, settings("AU")), 2)
	})
	t.Run("PaceIgnoresWhatHadNoAlcohol", func(t *testing.T) {
		e := evening()[:2]
		e = append(e, at(t, "2026-05-15T23:00:00+02:00", 0)) // a soda two hours on must not slow the pace
		guest := at(t, "2026-05-15T23:30:00+02:00", 20_000)
		guest.ForOther = true
		s := count.Sessions(append(e, guest), settings("GB"))
		require.Len(t, s, 1)
		require.Equal(t, 3, s[0].Total.Entries)
		require.Equal(t, 4.0, s[0].Pace.Value.Drinks)
		require.Len(t, s[0].IDs, 4, "the guest's glass stands in the session")
		require.Equal(t, int64(40_000), s[0].Total.UL, "and counts for nothing")
	})
	t.Run("AtLeastAnHour", func(t *testing.T) {
		e := []count.Entry{at(t, "2026-05-15T20:00:00+02:00", 10_000), at(t, "2026-05-15T20:10:00+02:00", 10_000)}
		require.Equal(t, 2.0, count.Sessions(e, settings("GB"))[0].Pace.Value.Drinks)
	})
	t.Run("None", func(t *testing.T) { require.Empty(t, count.Sessions(nil, settings("AU"))) })
}

func TestWeek(t *testing.T) {
	t.Run("Empty", func(t *testing.T) {
		r := count.Week(nil, nil, moment(t, "2026-05-16T12:00:00+10:00"), settings("AU"))
		require.Equal(t, "2026-05-16", r.Today.String())
		require.Equal(t, "2026-W20", r.Week.Name())
		require.False(t, r.Running.Known)
		require.False(t, r.SinceLast.Known)
		require.Equal(t, 7, r.Last7.Nothing)
		require.Equal(t, 6, r.Calendar.Nothing)
		require.Equal(t, count.Ahead, r.Calendar.Days[6].State)
		require.Len(t, r.Last28.Days, 28)
	})
	t.Run("DayStates", func(t *testing.T) {
		friday := count.DayOf(2026, 5, 15)
		unknown := entry(2, noon(friday-2), 0)
		unknown.Unknown = 1
		soda := entry(3, noon(friday-3), 0)
		guest := entry(4, noon(friday-4), 20_000)
		guest.ForOther = true
		r := count.Week([]count.Entry{entry(1, noon(friday), 20_000), unknown, soda, guest},
			[]count.Day{friday, friday - 1, friday - 3}, noon(friday), settings("AU"))
		got := map[string]string{}
		for _, d := range r.Last7.Days {
			got[d.Day.String()] = fmt.Sprint(d.State, " ", d.Contradicted, " ", d.Total.AtLeast())
		}
		require.Equal(t, map[string]string{
			"2026-05-15": "logged true false", // confirmed, but alcohol is logged
			"2026-05-14": "alcohol_free false false",
			"2026-05-13": "logged false true",
			"2026-05-12": "alcohol_free false false",
			"2026-05-11": "nothing false false", // a glass made for a guest
			"2026-05-10": "nothing false false",
			"2026-05-09": "nothing false false",
		}, got)
		require.Equal(t, [3]int{2, 2, 3}, [3]int{r.Last7.Drinking, r.Last7.AlcoholFree, r.Last7.Nothing})
		require.True(t, r.Last7.Total.AtLeast())
	})
	t.Run("SodaAloneIsLogged", func(t *testing.T) {
		r := count.Week([]count.Entry{entry(1, noon(20_000), 0)}, nil, noon(20_000), settings("AU"))
		require.Equal(t, count.Logged, r.Last7.Days[6].State)
		require.Equal(t, [3]int{0, 0, 6}, [3]int{r.Last7.Drinking, r.Last7.AlcoholFree, r.Last7.Nothing})
	})
	t.Run("FourWeekMean", func(t *testing.T) {
		r := count.Week([]count.Entry{entry(1, noon(20_000), 40_000), entry(2, noon(19_973), 80_000), entry(3, noon(19_972), 80_000)},
			nil, noon(20_000), settings("GB"))
		require.Equal(t, 3.0, r.Mean.Drinks)
		require.InDelta(t, 3*7.89, r.Mean.Grams, 1e-12)
	})
	t.Run("Rivals", func(t *testing.T) {
		e, other := entry(1, noon(20_000), 20_000), entry(2, noon(20_000), 10_000)
		e.Rivals, other.Rivals = []int64{24_000, 18_000}, []int64{5_000}
		total := count.Week([]count.Entry{e, other}, nil, noon(20_000), settings("GB")).Last7.Total
		require.Equal(t, [3]int64{30_000, 23_000, 34_000}, [3]int64{total.UL, total.LeastUL, total.MostUL})
	})
	t.Run("Running", func(t *testing.T) {
		e := []count.Entry{at(t, "2026-05-15T21:00:00+02:00", 20_000)}
		running := func(now string) bool {
			return count.Week(e, nil, moment(t, now), settings("AU")).Running.Known
		}
		require.True(t, running("2026-05-16T01:00:00+02:00"))
		require.False(t, running("2026-05-16T01:00:01+02:00"))
		require.True(t, running("2026-05-15T20:58:00+02:00"), "another device's clock runs ahead")
		require.False(t, running("2026-05-15T16:59:00+02:00"))
		r := count.Week(e, nil, moment(t, "2026-05-15T23:30:00+02:00"), settings("AU"))
		require.Equal(t, unit.Known[int64](150*60_000), r.SinceLast)
		require.False(t, count.Week(e, nil, moment(t, "2026-05-15T20:58:00+02:00"), settings("AU")).SinceLast.Known)
	})
	t.Run("EarlierSessionRunsBeforeOneAhead", func(t *testing.T) {
		a, b := at(t, "2026-05-15T20:00:00+02:00", 20_000), at(t, "2026-05-15T22:00:00+02:00", 20_000)
		a.ID, b.ID, b.Mark = "A", "B", count.Split
		r := count.Week([]count.Entry{b, a}, nil, moment(t, "2026-05-15T21:00:00+02:00"), settings("AU"))
		require.Equal(t, []journal.ID{"A"}, r.Running.Value.IDs)
	})
	t.Run("SessionsThatTouchTheWindow", func(t *testing.T) {
		// Over the boundary: the first entry's label is outside the last seven, the second's inside.
		e := []count.Entry{entry(1, moment(t, "2026-05-09T04:30:00+00:00"), 10_000), entry(2, moment(t, "2026-05-09T05:30:00+00:00"), 10_000),
			entry(3, moment(t, "2026-05-08T05:30:00+00:00"), 10_000)}
		r := count.Week(e, nil, moment(t, "2026-05-15T12:00:00+00:00"), settings("AU"))
		require.Len(t, r.Sessions, 1)
		require.Equal(t, "2026-05-08", r.Sessions[0].Day.String())
	})
}

func TestFindings(t *testing.T) {
	t.Run("AustraliaAboveBoth", func(t *testing.T) {
		// 3 and 3 standard drinks before and after midnight are 6 on one day, and 12 in the last seven days.
		e := []count.Entry{entry(1, moment(t, "2026-05-15T22:00:00+10:00"), 38_023), entry(2, moment(t, "2026-05-16T00:30:00+10:00"), 38_023),
			entry(3, moment(t, "2026-05-10T20:00:00+10:00"), 76_046)}
		e[2].Unknown = 1
		found := count.Findings(count.Week(e, nil, moment(t, "2026-05-16T10:00:00+10:00"), settings("AU")))
		require.Len(t, found, 2)
		for _, f := range found {
			require.True(t, f.Reached)
			require.True(t, f.AtLeast)
			require.Equal(t, 2020, f.Guideline.Year)
		}
		require.Equal(t, 12.0, count.Shown(found[0].Amount))
		require.Equal(t, 6.0, count.Shown(found[1].Amount))
	})
	t.Run("SpreadIsSaidNearTheLimitOnly", func(t *testing.T) {
		spread := func(ul int64, days int64) bool {
			var e []count.Entry
			for i := range days {
				e = append(e, entry(int(i), noon(count.Day(20_000-i)), ul/days))
			}
			return count.Findings(count.Week(e, nil, noon(20_000), settings("GB")))[0].Spread
		}
		require.False(t, spread(60_000, 1))
		require.True(t, spread(140_000, 2))
		require.False(t, spread(150_000, 3))
	})
	t.Run("SwedenTenIsReachedAndNineIsNot", func(t *testing.T) {
		week := func(drinks int64) count.Finding {
			e := []count.Entry{entry(1, noon(20_000), 12_000*1000/789*drinks+1)}
			return count.Findings(count.Week(e, nil, noon(20_000), settings("SE")))[0]
		}
		require.Equal(t, count.Clinical, week(10).Guideline.Status)
		require.True(t, week(10).Reached)
		require.False(t, week(9).Reached)
	})
	t.Run("GermanyInGrams", func(t *testing.T) {
		e := []count.Entry{entry(1, noon(20_000), 33_750)} // 27 g by 0.8
		found := count.Findings(count.Week(e, nil, noon(20_000), settings("DE")))
		require.Len(t, found, 1)
		require.Equal(t, 27.0, found[0].Amount)
		require.True(t, found[0].Reached, "low risk is below 27 g")
	})
	t.Run("BothLinesWhereSexesAreSplit", func(t *testing.T) {
		groups := map[string]int{}
		for _, f := range count.Findings(count.Week(nil, nil, noon(20_000), settings("NZ"))) {
			groups[f.Guideline.Group]++
			require.False(t, f.Reached)
			require.Equal(t, count.Below, f.State)
		}
		require.Equal(t, map[string]int{"women": 3, "men": 3}, groups)
	})
	t.Run("CountryWithoutGuidance", func(t *testing.T) {
		require.Equal(t, "WHO", count.Guidance("MX")[0].Country)
		require.Empty(t, count.Findings(count.Week(nil, nil, noon(20_000), settings("MX"))))
	})
	t.Run("NoBandElsewhere", func(t *testing.T) {
		_, ok := count.Band("AU", 3)
		require.False(t, ok)
	})
	t.Run("GermanyNone", func(t *testing.T) {
		band, _ := count.Band("DE", 0)
		require.Equal(t, "0", band)
	})
	t.Run("NothingSuperseded", func(t *testing.T) {
		for _, country := range append(count.Countries(), "NORDIC") {
			for _, g := range count.Guidance(country) {
				require.Contains(t, []count.Status{count.Current, count.CurrentDated, count.UnderReview, count.Definition, count.Clinical}, g.Status)
				require.NotEmpty(t, g.Issuer)
				require.NotZero(t, g.Year)
			}
		}
	})
}

const base = 1_778_000_000_000 // an instant in May 2026

var anyEntry = rapid.Custom(func(t *rapid.T) count.Entry {
	e := count.Entry{
		ID: journal.ID(fmt.Sprintf("E%08d", rapid.IntRange(0, 99_999_999).Draw(t, "id"))),
		// Thirds of an hour over three weeks, so that equal instants and exact gaps come up.
		AtMS:      base + rapid.Int64Range(-1200, 300).Draw(t, "third")*20*60_000,
		OffsetMin: rapid.SampledFrom([]int{0, 60, 120, -240, -420, 570, 780, 840, -600}).Draw(t, "offset"),
		UL:        rapid.Int64Range(0, 60_000).Draw(t, "ul"),
		Unknown:   rapid.SampledFrom([]int{0, 0, 0, 1, 2}).Draw(t, "unknown"),
		About:     rapid.Bool().Draw(t, "about"),
		Mark:      rapid.SampledFrom([]count.Mark{count.NoMark, count.NoMark, count.NoMark, count.Split, count.Join}).Draw(t, "mark"),
		ForOther:  rapid.SampledFrom([]bool{false, false, false, true}).Draw(t, "other"),
	}
	e.Rivals = rapid.SliceOfN(rapid.Int64Range(0, 60_000), 0, 2).Draw(t, "rivals")
	return e
})

func anyEntries(t *rapid.T) []count.Entry {
	return rapid.SliceOfNDistinct(anyEntry, 0, 30, func(e count.Entry) journal.ID { return e.ID }).Draw(t, "entries")
}

func anySettings(t *rapid.T) count.Settings {
	return count.Settings{
		Country:  rapid.SampledFrom(append(count.Countries(), "IS")).Draw(t, "country"),
		DayStart: count.DayStart(30 * rapid.IntRange(0, 12).Draw(t, "start")),
		Week:     rapid.SampledFrom([]count.WeekStart{count.Monday, count.Sunday, count.Saturday}).Draw(t, "week"),
	}
}

func anyNow(t *rapid.T) count.Moment {
	return count.Moment{AtMS: base + rapid.Int64Range(-86_400_000, 86_400_000).Draw(t, "now"), OffsetMin: 60}
}

func TestOrderDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		entries, s, now := anyEntries(t), anySettings(t), anyNow(t)
		confirmed := rapid.SliceOf(rapid.Map(rapid.Int64Range(20_570, 20_585), func(d int64) count.Day { return count.Day(d) })).Draw(t, "confirmed")
		before := fmt.Sprint(entries)
		r := count.Week(entries, confirmed, now, s)
		require.Equal(t, before, fmt.Sprint(entries), "the caller's slice is left as it was")
		again := count.Week(rapid.Permutation(entries).Draw(t, "other order"), rapid.Permutation(confirmed).Draw(t, "other days"), now, s)
		require.Equal(t, r, again)
		require.Equal(t, count.Findings(r), count.Findings(again))
	})
}

func TestEverySumIsTheSumOfItsEntries(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		entries, s := anyEntries(t), anySettings(t)
		var all, least, most int64
		var n, unknown int
		for _, e := range entries {
			if e.ForOther {
				continue
			}
			all += e.UL
			n++
			unknown += e.Unknown
			lo, hi := e.UL, e.UL
			for _, r := range e.Rivals {
				lo, hi = min(lo, r), max(hi, r)
			}
			least, most = least+lo, most+hi
		}
		want := [5]int64{all, int64(n), int64(unknown), least, most}
		sum := func(t count.Total) [5]int64 {
			return [5]int64{t.UL, int64(t.Entries), int64(t.Unknown), t.LeastUL, t.MostUL}
		}
		var days, sessions [5]int64
		for _, total := range count.Days(entries, s) {
			for i, v := range sum(total) {
				days[i] += v
			}
		}
		require.Equal(t, want, days)
		var ids []journal.ID
		for _, session := range count.Sessions(entries, s) {
			for i, v := range sum(session.Total) {
				sessions[i] += v
			}
			ids = append(ids, session.IDs...)
			require.LessOrEqual(t, session.Peak.UL, session.Total.UL)
			require.Equal(t, count.Drinks(session.Total.UL, count.Profile(s.Country)), session.Total.Drinks)
		}
		require.Equal(t, want, sessions)
		require.Len(t, ids, len(entries), "every entry is in one session")

		// Wherever the marks are, the total stays.
		moved := append([]count.Entry(nil), entries...)
		for i := range moved {
			moved[i].Mark = rapid.SampledFrom([]count.Mark{count.NoMark, count.Split, count.Join}).Draw(t, "mark")
		}
		var split int64
		for _, session := range count.Sessions(moved, s) {
			split += session.Total.UL
		}
		require.Equal(t, all, split)
	})
}

func TestWindowsAgreeWithDays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		entries, s, now := anyEntries(t), anySettings(t), anyNow(t)
		r := count.Week(entries, nil, now, s)
		days := count.Days(entries, s)
		for _, w := range []count.Window{r.Last7, r.Calendar, r.Last28} {
			var ul int64
			var states int
			for d := w.First; d <= w.Last; d++ {
				ul += days[d].UL
			}
			require.Equal(t, ul, w.Total.UL)
			for _, d := range w.Days {
				require.Equal(t, days[d.Day], d.Total)
				if d.State == count.Nothing || d.Total.UL > 0 || d.Total.Unknown > 0 {
					states++
				}
			}
			require.Equal(t, states, w.Drinking+w.Nothing)
		}
		require.LessOrEqual(t, r.Last7.Total.UL, r.Last28.Total.UL)
		require.Equal(t, r.Calendar.First, count.WeekOf(r.Today, s.Week).First)
	})
}

func TestUnknownNeverLowersATotal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		parts := rapid.SliceOf(rapid.Custom(func(t *rapid.T) journal.Part {
			return part(unit.Volume(rapid.Int64Range(0, 200_000).Draw(t, "volume")), unit.Strength(rapid.Int64Range(0, 9600).Draw(t, "strength")))
		})).Draw(t, "parts")
		open := rapid.SampledFrom([]journal.Part{
			{}, {Open: journal.Top}, {Open: journal.Rinse}, {Volume: unit.Known(unit.Exact[unit.Volume](30_000))},
			{Open: journal.Float, Content: strength(unit.Exact[unit.Strength](4000))},
		}).Draw(t, "open")
		share := unit.Share(rapid.Int64Range(1, 10_000).Draw(t, "share"))
		without := ethanol.In(journal.Made{Parts: parts})
		with := ethanol.In(journal.Made{Parts: append(parts[:len(parts):len(parts)], open)})
		require.Empty(t, without.Unknown)
		require.Equal(t, []int{len(parts)}, with.Unknown)
		of := func(a ethanol.Alcohol) int64 { return count.Share(int64(a.Volume.Value), share) }
		require.GreaterOrEqual(t, of(with), of(without))

		entries, s, now := anyEntries(t), anySettings(t), anyNow(t)
		before := count.Week(entries, nil, now, s)
		for i := range entries {
			entries[i].Unknown++
		}
		after := count.Week(entries, nil, now, s)
		require.GreaterOrEqual(t, after.Last7.Total.UL, before.Last7.Total.UL)
		require.Equal(t, after.Last7.Total.Entries > 0, after.Last7.Total.AtLeast())
	})
}

func TestLabelDependsOnItsOwnInstantAlone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		entries, s := anyEntries(t), anySettings(t)
		labels := map[count.Day]bool{}
		for _, e := range entries {
			label := count.Label(e.AtMS, e.OffsetMin, s.DayStart)
			// By the standard library: the date of the wall clock, the day start taken off as a duration.
			wall := time.UnixMilli(e.AtMS).UTC().Add(time.Duration(e.OffsetMin-int(s.DayStart)) * time.Minute)
			require.Equal(t, wall.Format(time.DateOnly), label.String())
			// Alone or among others, it counts for the same day.
			e.ForOther = false
			alone := count.Days([]count.Entry{e}, s)
			require.Len(t, alone, 1)
			require.Contains(t, alone, label)
			labels[label] = true
		}
		for day := range count.Days(entries, s) {
			require.Contains(t, labels, day)
		}
	})
}

func ExampleDrinks() {
	// One pour of 60 ml at 40 % by three countries: 24 ml of ethanol.
	for _, country := range []string{"US", "GB", "AU"} {
		d := count.Profile(country)
		fmt.Println(d.Country, count.Shown(count.Drinks(24_000, d)), d.Unit)
	}
	// Output:
	// US 1.4 standard drink (alcoholic drink-equivalent)
	// GB 2.4 unit
	// AU 1.9 standard drink
}
