package count_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fairmeasure/journal"
	"fairmeasure/journal/bottles"
	"fairmeasure/journal/count"
	"fairmeasure/journal/ethanol"
	"fairmeasure/journal/unit"
	"fairmeasure/testdata"
)

// served is what the check file writes down of a drink.
type served struct {
	ML    float64 `json:"volume_ml"`
	USOz  float64 `json:"volume_us_floz"`
	ABV   float64 `json:"abv"`
	Times int     `json:"n"`
}

func (s served) volume() unit.Volume {
	const usOunce = 29.5735295625 // ml, 1/128 US gallon
	return unit.Millilitres(s.ML + s.USOz*usOunce)
}

func (s served) part() journal.Part {
	return journal.Part{
		Volume:  unit.Known(unit.Exact(s.volume())),
		Content: journal.Content{Strength: unit.Known(unit.Exact(unit.PercentVol(s.ABV)))},
	}
}

func (s served) ul(t testing.TB) int64 {
	t.Helper()
	a := ethanol.In(journal.Made{Parts: []journal.Part{s.part()}})
	require.Empty(t, a.Unknown)
	return int64(a.Volume.Value)
}

// moment reads a time with its offset, by the standard library: a reading of the calendar that is not our own.
func moment(t testing.TB, s string) count.Moment {
	t.Helper()
	at, err := time.Parse(time.RFC3339, s)
	require.NoError(t, err)
	_, seconds := at.Zone()
	return count.Moment{AtMS: at.UnixMilli(), OffsetMin: seconds / 60}
}

func entry(id int, m count.Moment, ul int64) count.Entry {
	return count.Entry{ID: journal.ID(fmt.Sprintf("E%03d", id)), AtMS: m.AtMS, OffsetMin: m.OffsetMin, UL: ul}
}

type inputs struct {
	served
	Op       string
	Country  string
	Density  float64
	Drinks   []served
	Parts    []served
	Water    float64 `json:"water_ml"`
	Fraction *float64
	DayStart string `json:"day_start"`
	Week     string `json:"week_start"`
	Now      string
	Entries  []struct {
		At  string
		Eth float64 `json:"eth_ml"`
	}
	Value, Limit, Weekly float64
}

func (in inputs) settings(t *testing.T) count.Settings {
	t.Helper()
	s := count.Settings{Country: in.Country, Week: map[string]count.WeekStart{
		"": count.Monday, "iso": count.Monday, "mon": count.Monday, "sun": count.Sunday, "sat": count.Saturday}[in.Week]}
	if in.DayStart != "" {
		wall, err := time.Parse("15:04", in.DayStart)
		require.NoError(t, err)
		s.DayStart = count.DayStart(60*wall.Hour() + wall.Minute())
	}
	return s
}

func (in inputs) entries(t *testing.T) (all []count.Entry) {
	t.Helper()
	for i, e := range in.Entries {
		all = append(all, entry(i, moment(t, e.At), int64(unit.Millilitres(e.Eth))))
	}
	return all
}

type sitting struct {
	N              int
	Count, Minutes float64
	Peak           float64  `json:"peak2h"`
	PerHour        *float64 `json:"per_hour"`
}

// The rows are described in their file's columns source and marking: 77 of published figures, the rest computed twice by
// independent code.
func TestServingChecks(t *testing.T) {
	all := testdata.Rows(t, "reference/serving_checks.csv")
	require.Len(t, all, 143)
	for _, row := range all {
		t.Run(row["id"], func(t *testing.T) {
			var in inputs
			require.NoError(t, json.Unmarshal([]byte(row["inputs"]), &in))
			tolerance, err := strconv.ParseFloat(row["tolerance"], 64)
			require.NoError(t, err)
			expected := []byte(row["expected"])
			numbers := func() map[string]float64 {
				var m map[string]float64
				require.NoError(t, json.Unmarshal(expected, &m))
				return m
			}
			near := func(want, got float64, what string) {
				t.Helper()
				require.InDelta(t, want, got, tolerance, what)
			}
			d := count.Profile(in.Country)
			require.Equal(t, in.Country == "", d.UsedDefault)
			switch in.Op {
			case "grams":
				near(numbers()["grams"], count.Grams(in.ul(t), count.Density(in.Density*1000+0.5)), "grams")
			case "drinks":
				near(numbers()["count"], count.Drinks(in.ul(t), d), "count")
			case "sum":
				var entries []count.Entry
				for _, s := range in.Drinks {
					for range s.Times {
						entries = append(entries, entry(len(entries), count.Moment{}, s.ul(t)))
					}
				}
				days := count.Days(entries, in.settings(t))
				require.Len(t, days, 1)
				near(numbers()["count"], days[0].Drinks, "count")
				require.Equal(t, len(entries), days[0].Entries)
			case "mixed":
				var made journal.Made
				volume := unit.Millilitres(in.Water)
				for _, p := range in.Parts {
					made.Parts = append(made.Parts, p.part())
					volume += p.volume()
				}
				share := unit.Whole
				if in.Fraction != nil {
					share = unit.Share(*in.Fraction * float64(unit.Whole))
				}
				a := ethanol.In(made)
				whole := a.Volume.Value
				require.Equal(t, unit.Exact(whole), a.Volume, "exact inputs have no band")
				require.Empty(t, a.Unknown)
				near(numbers()["abv"], 100*float64(whole)/float64(volume), "abv")
				near(numbers()["count"], count.Drinks(count.Share(int64(whole), share), d), "count")
			case "days":
				got := map[string]float64{}
				for day, total := range count.Days(in.entries(t), in.settings(t)) {
					got[day.String()] = total.Drinks
				}
				nearAll(t, numbers(), got, tolerance)
			case "weeks":
				s := in.settings(t)
				got := map[string]float64{}
				for day, total := range count.Days(in.entries(t), s) {
					got[count.WeekOf(day, s.Week).Name()] += total.Drinks
				}
				nearAll(t, numbers(), got, tolerance)
				for _, e := range in.entries(t) { // the report's own week, seen from each entry
					r := count.Week(in.entries(t), nil, count.Moment{AtMS: e.AtMS, OffsetMin: e.OffsetMin}, s)
					near(numbers()[r.Week.Name()], r.Calendar.Total.Drinks, r.Week.Name())
				}
			case "rolling7":
				var want struct {
					End   string
					Count float64
				}
				require.NoError(t, json.Unmarshal(expected, &want))
				r := count.Week(in.entries(t), nil, moment(t, in.Now), in.settings(t))
				require.Equal(t, want.End, r.Last7.Last.String())
				near(want.Count, r.Last7.Total.Drinks, "count")
			case "sittings":
				var want struct{ Sittings []sitting }
				require.NoError(t, json.Unmarshal(expected, &want))
				got := count.Sessions(in.entries(t), in.settings(t))
				require.Len(t, got, len(want.Sittings))
				for i, w := range want.Sittings {
					require.Equal(t, w.N, got[i].Total.Entries)
					near(w.Count, got[i].Total.Drinks, "count")
					near(w.Minutes, float64(got[i].LastMS-got[i].FirstMS)/60000, "minutes")
					near(w.Peak, got[i].Peak.Drinks, "peak")
					require.Equal(t, w.PerHour != nil, got[i].Pace.Known)
					if w.PerHour != nil {
						near(*w.PerHour, got[i].Pace.Value.Drinks, "pace")
					}
				}
			case "against":
				require.Equal(t, word(t, expected, "state"), string(count.Against(in.Value, in.Limit)))
			case "band":
				band, ok := count.Band(in.Country, in.Weekly)
				require.True(t, ok)
				require.Equal(t, word(t, expected, "band"), band)
			default:
				t.Fatalf("no such op: %s", in.Op)
			}
		})
	}
}

func nearAll(t *testing.T, want, got map[string]float64, tolerance float64) {
	t.Helper()
	require.Len(t, got, len(want))
	for key, w := range want {
		require.Contains(t, got, key)
		require.InDelta(t, w, got[key], tolerance, key)
	}
}

func word(t *testing.T, expected []byte, key string) string {
	t.Helper()
	var m map[string]string
	require.NoError(t, json.Unmarshal(expected, &m))
	require.Contains(t, m, key)
	return m[key]
}

func TestCases(t *testing.T) {
	run := map[string]func(t *testing.T, input, expected string, tolerance float64){
		"standard_drinks":   caseStandardDrinks,
		"week_total":        caseWeekTotal,
		"alcohol_free_days": caseAlcoholFreeDays,
		"guideline_line":    caseGuidelineLine,
		"pace":              casePace,
		"portion":           casePortion,
		"whose":             caseWhose,
	}
	all := testdata.Rows(t, "cases/count_cases.csv")
	require.Len(t, all, 7)
	for _, row := range all {
		t.Run(row["id"], func(t *testing.T) {
			var tolerance float64
			if row["tolerance"] != "exact" {
				var err error
				tolerance, err = strconv.ParseFloat(row["tolerance"], 64)
				require.NoError(t, err)
			}
			require.Contains(t, run, row["op"])
			run[row["op"]](t, row["input"], row["expected"], tolerance)
		})
	}
}

func read[T any](t *testing.T, text string) (v T) {
	t.Helper()
	require.NoError(t, json.Unmarshal([]byte(text), &v))
	return v
}

func caseStandardDrinks(t *testing.T, input, expected string, tolerance float64) {
	in := read[struct{ ML, ABV float64 }](t, input)
	want := read[map[string]float64](t, expected)
	ul := served{ML: in.ML, ABV: in.ABV}.ul(t)
	require.InDelta(t, want["ethanol_ml"], float64(ul)/1000, tolerance)
	require.InDelta(t, want["ethanol_g"], count.Grams(ul, count.Profile("US").Density), tolerance)
	for _, country := range []string{"US", "GB", "AU"} {
		require.InDelta(t, want[country], count.Drinks(ul, count.Profile(country)), tolerance, country)
	}
}

func caseWeekTotal(t *testing.T, input, expected string, tolerance float64) {
	in := read[struct {
		inputs
		Entries [][2]any
	}](t, input)
	want := read[struct {
		Days   map[string]float64
		WeekOf string  `json:"week_of"`
		Total  float64 `json:"week_total"`
	}](t, expected)
	s := in.settings(t)
	var entries []count.Entry
	for i, e := range in.Entries {
		unitUL := count.Profile(s.Country).UnitUL
		entries = append(entries, entry(i, moment(t, e[0].(string)), int64(e[1].(float64)*float64(unitUL)+0.5)))
	}
	r := count.Week(entries, nil, moment(t, in.Now), s)
	require.Equal(t, want.WeekOf, r.Week.First.String())
	require.InDelta(t, want.Total, r.Calendar.Total.Drinks, tolerance)
	days := count.Days(entries, s)
	for text, drinks := range want.Days {
		day, err := count.ParseDay(text)
		require.NoError(t, err)
		require.InDelta(t, drinks, days[day].Drinks, tolerance, text)
	}
}

func caseAlcoholFreeDays(t *testing.T, input, expected string, _ float64) {
	in := read[struct{ Days []string }](t, input)
	want := read[map[string]int](t, expected)
	monday := count.DayOf(2026, 5, 11)
	var entries []count.Entry
	var confirmed []count.Day
	for i, what := range in.Days {
		switch what {
		case "drink":
			entries = append(entries, entry(i, noon(monday+count.Day(i)), 10_000))
		case "none, confirmed":
			confirmed = append(confirmed, monday+count.Day(i))
		default:
			require.Equal(t, "no record", what)
		}
	}
	r := count.Week(entries, confirmed, noon(monday+6), settings("GB"))
	require.Equal(t, want, map[string]int{
		"alcohol_free": r.Last7.AlcoholFree, "unknown": r.Last7.Nothing, "drinking": r.Last7.Drinking})
}

func caseGuidelineLine(t *testing.T, input, expected string, _ float64) {
	in := read[struct {
		Country string
		Units   float64 `json:"week_units"`
		Days    int     `json:"drinking_days"`
	}](t, input)
	want := read[struct {
		Limit  int64
		Over   bool
		Spread bool `json:"spread_note"`
	}](t, expected)
	today := count.DayOf(2026, 5, 17)
	var entries []count.Entry
	for i := range in.Days {
		entries = append(entries, entry(i, noon(today-count.Day(i)), int64(in.Units*10_000)/int64(in.Days)))
	}
	found := count.Findings(count.Week(entries, nil, noon(today), settings(in.Country)))
	require.Len(t, found, 1)
	require.Equal(t, want.Limit, found[0].Guideline.Limit.Value.Units)
	require.Equal(t, want.Over, found[0].Reached)
	require.Equal(t, want.Spread, found[0].Spread)
	require.Contains(t, found[0].Guideline.Issuer, "UK Chief Medical Officers")
	require.Equal(t, 2016, found[0].Guideline.Year)
}

func casePace(t *testing.T, input, expected string, tolerance float64) {
	in := read[struct {
		Country string
		Entries [][2]any
	}](t, input)
	want := read[struct {
		Hours   float64 `json:"hours_first_to_last"`
		Drinks  float64 `json:"std_drinks"`
		Reached map[string]bool
	}](t, expected)
	var entries []count.Entry
	for i, e := range in.Entries {
		at := moment(t, "2026-05-15T"+e[0].(string)+":00-04:00")
		entries = append(entries, entry(i, at, int64(e[1].(float64)/0.789*1000)))
	}
	now := moment(t, "2026-05-15T22:05:00-04:00")
	r := count.Week(entries, nil, now, settings(in.Country))
	require.True(t, r.Running.Known)
	s := r.Running.Value
	require.InDelta(t, want.Hours, float64(s.LastMS-s.FirstMS)/3_600_000, tolerance)
	require.InDelta(t, want.Drinks, s.Total.Drinks, tolerance)
	require.InDelta(t, want.Drinks/want.Hours, s.Pace.Value.Drinks, tolerance)
	require.Equal(t, unit.Known[int64](5*60_000), r.SinceLast)
	got := map[string]bool{}
	for _, f := range count.Findings(r) {
		if f.Guideline.Period == count.PerTwoHours {
			require.Equal(t, count.Definition, f.Guideline.Status)
			got[f.Guideline.Group] = f.Reached
		}
	}
	require.Equal(t, want.Reached, got)
}

func casePortion(t *testing.T, input, expected string, tolerance float64) {
	in := read[map[string]float64](t, input)
	want := read[map[string]float64](t, expected)
	const density = 0.789
	glass := int64(in["ethanol_g"] / density * 1000)
	drunk := count.Share(glass, unit.Share(in["drunk_fraction"]*float64(unit.Whole)))
	require.InDelta(t, want["ethanol_g"], count.Grams(drunk, 789), tolerance)
}

func caseWhose(t *testing.T, input, expected string, _ float64) {
	in := read[struct {
		ML, ABV float64
		Share   unit.Share
	}](t, input)
	want := read[map[string]float64](t, expected)
	part := served{ML: in.ML, ABV: in.ABV}.part()
	part.Bottle = "gin"
	made := journal.Made{Parts: []journal.Part{part}}
	ul := count.Share(int64(ethanol.In(made).Volume.Value), in.Share)
	require.NotZero(t, served{ML: in.ML, ABV: in.ABV}.ul(t), "there is alcohol in the glass")
	require.Equal(t, want["owner_alcohol_g"], count.Grams(ul, 789))
	drawn, _ := bottles.Drawn(made, "gin")
	require.Equal(t, want["bottle_drawn_ml"], drawn.ML())
}

func settings(country string) count.Settings {
	return count.Settings{Country: country, DayStart: count.DefaultDayStart, Week: count.Monday}
}

func noon(d count.Day) count.Moment { return count.Moment{AtMS: int64(d)*86_400_000 + 43_200_000} }

func TestStandardDrinks(t *testing.T) {
	all := testdata.Rows(t, "reference/standard_drinks.csv")
	require.Len(t, all, 29)
	var countries []string
	for _, row := range all {
		countries = append(countries, row["country"])
		t.Run(row["country"], func(t *testing.T) {
			d := count.Profile(row["country"])
			thousandths := func(text string) int64 {
				if text == "" {
					return 0
				}
				v, err := strconv.ParseFloat(text, 64)
				require.NoError(t, err)
				return int64(v*1000 + 0.5)
			}
			want := count.StandardDrink{
				Asked: row["country"], Country: row["country"], Unit: row["unit_name"],
				UnitMG: thousandths(row["grams"]), Density: count.Density(thousandths(row["density_g_per_ml"])),
				LowMG: thousandths(row["grams_low"]), HighMG: thousandths(row["grams_high"]),
				GramsFirst: slices.Contains([]string{"JP", "DE", "KR"}, row["country"]),
				Marking:    count.Marking(row["marking"]), Source: row["source"],
			}
			if row["basis"] == "volume" {
				want.Basis, want.UnitUL = count.ByVolume, thousandths(row["ml_ethanol"])
			} else {
				require.Equal(t, "mass", row["basis"])
			}
			year, err := strconv.Atoi(row["year"])
			require.NoError(t, err)
			want.Year = year
			require.Equal(t, want, d)
			require.Equal(t, row["use"] == "fallback", row["country"] == count.Fallback)
		})
	}
	require.Equal(t, countries, count.Countries())
}

func TestGuidance(t *testing.T) {
	perCountry := map[string][]count.Guideline{}
	inForce := 0
	all := testdata.Rows(t, "reference/low_risk_guidance.csv")
	require.Len(t, all, 83)
	for i, row := range all {
		country := row["country"]
		if row["status"] == "superseded" {
			t.Run(fmt.Sprintf("%s-%d-superseded", country, i+2), func(t *testing.T) {
				for _, g := range count.Guidance(country) {
					require.False(t, g.Group == row["group"] && string(g.Period) == row["period"] && g.Issuer == row["source"])
				}
			})
			continue
		}
		inForce++
		t.Run(fmt.Sprintf("%s-%d", country, i+2), func(t *testing.T) { // the line of the file
			year, err := strconv.Atoi(row["year"])
			require.NoError(t, err)
			want := count.Guideline{
				Country: country, Group: row["group"], Unit: row["unit"], Period: count.Period(row["period"]),
				Comparator: count.Comparator(row["comparator"]), Status: count.Status(row["status"]), Year: year, Issuer: row["source"],
			}
			if row["limit"] != "" {
				units, err := strconv.ParseInt(row["limit"], 10, 64)
				require.NoError(t, err)
				grams, err := strconv.ParseFloat(row["limit_grams"], 64)
				require.NoError(t, err)
				want.Limit = unit.Known(count.Limit{Units: units, MG: int64(grams*1000 + 0.5)})
			}
			if country == "GB" && row["period"] == "week" {
				require.Contains(t, row["note"], "spread over 3 or more days")
				want.SpreadDays = 3
			}
			have := count.Guidance(country)
			n := len(perCountry[country])
			require.Less(t, n, len(have))
			require.Equal(t, want, have[n])
			perCountry[country] = append(perCountry[country], have[n])
		})
	}
	require.Equal(t, 66, inForce)
	for country, lines := range perCountry {
		require.Len(t, count.Guidance(country), len(lines), country)
	}
}
