package schema_test

import (
	"encoding/csv"
	"encoding/json"
	"maps"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fairmeasure/journal/count"
	"fairmeasure/sync/schema"
	"fairmeasure/testdata"
)

// logged gives what is logged, newest first, as the journal lists it.
func (b *book) logged() (all []obj) {
	b.t.Helper()
	for _, d := range dig(b.t, b.ask(obj{"q": "journal", "days": 3000}), "days").([]any) {
		for _, s := range dig(b.t, d, "sessions").([]any) {
			for _, p := range dig(b.t, s, "pours").([]any) {
				all = append(all, p.(obj))
			}
		}
	}
	return all
}

func (b *book) grams(path ...any) float64 {
	b.t.Helper()
	return dig(b.t, b.ask(obj{"q": "week"}), append(path, "grams")...).(float64)
}

func TestSeveral(t *testing.T) {
	pints := func(id int, n int) obj {
		return obj{"do": "several", "id": newID(id), "n": n, "first_at_ms": evening - 120*minute, "last_at_ms": evening, "name": "pint", "vol_ul": 568_000, "abv_bp": 450, "about": true}
	}
	t.Run("AsOneByOne", func(t *testing.T) {
		together, apart := orchard(t, "phone"), orchard(t, "phone")
		done := together.do(pints(40, 3))
		require.Len(t, done.Touched, 3)
		for i := range 3 {
			apart.do(obj{"do": "plain", "id": newID(50 + i), "name": "pint", "vol_ul": 568_000, "abv_bp": 450, "at_ms": evening - 120*minute + int64(i)*60*minute, "about": true})
		}
		of := func(b *book) []obj {
			all := b.logged()
			for _, p := range all {
				delete(p, "id")
				require.Equal(t, true, p["about"])
			}
			return all
		}
		require.Equal(t, of(apart), of(together))
		require.Equal(t, apart.ask(obj{"q": "week"})["last_seven"], together.ask(obj{"q": "week"})["last_seven"])
	})
	t.Run("OfASpec", func(t *testing.T) {
		b := orchard(t, "phone")
		done := b.do(obj{"do": "several", "id": newID(40), "n": 4, "first_at_ms": evening - 90*minute, "last_at_ms": evening, "spec": sourID})
		one := orchard(t, "phone")
		one.do(obj{"do": "pour", "id": newID(40), "spec": sourID})
		require.InDelta(t, 4*one.grams("session", "alcohol"), b.grams("session", "alcohol"), 0.25)
		times := []string{}
		for _, p := range b.logged() {
			times = append(times, p["time"].(string))
		}
		require.ElementsMatch(t, []string{"20:34", "21:04", "21:34", "22:04"}, times)
		b.do(obj{"do": "delete", "id": done.Touched[0], "also": done.Touched[1:]})
		require.Empty(t, b.logged())
		b.do(obj{"do": "restore", "id": done.Touched[0], "also": done.Touched[1:]})
		require.Len(t, b.logged(), 4)
	})
	t.Run("Twice", func(t *testing.T) {
		b := orchard(t, "phone")
		first := b.do(pints(40, 3))
		require.Equal(t, first.Touched, b.do(pints(40, 3)).Touched)
		require.Len(t, b.logged(), 3)
	})
	t.Run("Refused", func(t *testing.T) {
		b := orchard(t, "phone")
		require.Equal(t, "out_of_range", b.refused(pints(40, 0)))
		require.Equal(t, "out_of_range", b.refused(pints(40, 21)))
		back := pints(40, 2)
		back["last_at_ms"] = evening - 121*minute
		require.Equal(t, "out_of_range", b.refused(back))
		require.Equal(t, "not_found", b.refused(obj{"do": "several", "id": newID(40), "n": 2, "first_at_ms": evening, "last_at_ms": evening, "spec": newID(77)}))
		ahead := pints(40, 2)
		ahead["last_at_ms"] = evening + 400*86_400_000
		require.NotEmpty(t, b.refused(ahead))
	})
}

func TestAPourMovesToAnotherEvening(t *testing.T) {
	b := orchard(t, "phone")
	b.do(obj{"do": "plain", "id": newID(40), "name": "pint", "vol_ul": 568_000, "abv_bp": 450})
	b.do(obj{"do": "plain", "id": newID(41), "name": "pint", "vol_ul": 568_000, "abv_bp": 450})
	before := b.grams("last_seven", "totals", "alcohol")
	b.do(obj{"do": "edit", "id": newID(41), "kind": "pour", "set": obj{"at_ms": evening - 2*86_400_000, "offset_min": -240, "zone": "America/New_York"}})
	days := dig(t, b.ask(obj{"q": "week"}), "last_seven", "days").([]any)
	require.Equal(t, 2.0, dig(t, days, 6, "alcohol", "drinks"))
	require.Equal(t, 2.0, dig(t, days, 4, "alcohol", "drinks"), "the day it was lived there")
	require.Equal(t, before, b.grams("last_seven", "totals", "alcohol"))
}

func TestSessionsAreMarked(t *testing.T) {
	b := orchard(t, "phone")
	b.do(obj{"do": "several", "id": newID(40), "n": 2, "first_at_ms": evening - 60*minute, "last_at_ms": evening, "name": "pint", "vol_ul": 568_000, "abv_bp": 450})
	sessions := func() []any { return b.ask(obj{"q": "week"})["sessions"].([]any) }
	require.Len(t, sessions(), 1)
	require.Equal(t, 4.0, dig(t, sessions(), 0, "pace_per_hour"))
	var second any
	for _, p := range b.logged() {
		if p["time"] == "22:04" {
			second = p["id"]
		}
	}
	b.do(obj{"do": "edit", "id": second, "kind": "pour", "set": obj{"join_mark": "split"}})
	require.Len(t, sessions(), 2)
	require.Equal(t, "split", dig(t, sessions(), 0, "mark"))
	require.Nil(t, dig(t, sessions(), 0, "pace_per_hour"))
	b.do(obj{"do": "edit", "id": second, "kind": "pour", "set": obj{"join_mark": nil}})
	require.Len(t, sessions(), 1)
}

func TestOwnLimitBeyondTheGuidance(t *testing.T) {
	b := orchard(t, "phone")
	week := func(country string, tenths any) obj {
		b.do(obj{"do": "set", "name": "country", "value": country})
		return obj{"do": "set", "name": "own_week_drinks_x10", "value": tenths}
	}
	b.do(week("AU", 100))
	_, err := b.plan(week("AU", 105))
	require.ErrorContains(t, err, "NHMRC")
	require.ErrorContains(t, err, "2020")
	require.ErrorContains(t, err, "10 ")
	require.Equal(t, "above_guidance", b.refused(week("AU", 105)))
	sure := week("AU", 105)
	sure["sure"] = true
	b.do(sure)
	require.Equal(t, 105.0, dig(t, b.ask(obj{"q": "keeper"}), "settings", "own_week_drinks_x10"))
	require.Equal(t, "above_guidance", b.refused(week("GB", 150)))
	b.do(week("GB", 140))
	b.do(week("US", 600)) // no number there
	b.do(week("AU", nil))
	require.Equal(t, "above_guidance", b.refused(obj{"do": "set", "name": "own_day_drinks_x10", "value": 45}))
	require.Equal(t, "out_of_range", b.refused(obj{"do": "set", "name": "own_day_drinks_x10", "value": 4500, "sure": true}), "sure is no way past what can be")
}

func TestTheWeekSaysWhatIsKnownOfItsCountry(t *testing.T) {
	b := orchard(t, "phone")
	for country, onFile := range map[string]bool{"AU": true, "GB": true, "US": true, "DE": true, "CA": true, "JP": true, "IS": false} {
		b.do(obj{"do": "set", "name": "country", "value": country})
		a := b.ask(obj{"q": "week"})
		require.Equal(t, onFile, a["on_file"], country)
		require.Equal(t, false, a["checked_old"])
	}
	b.now.MS = int64(count.DayOf(2028, 5, 20)) * 86_400_000
	require.Equal(t, false, b.ask(obj{"q": "week"})["checked_old"], "18 months after November 2026")
	b.now.MS = int64(count.DayOf(2028, 6, 20)) * 86_400_000
	require.Equal(t, true, b.ask(obj{"q": "week"})["checked_old"])
}

// TestSpread is C093: 15.2 units on two days are above 14, and the issuer asks to spread them over three or more.
func TestSpread(t *testing.T) {
	for _, row := range testdata.Rows(t, "cases/count_cases.csv") {
		if row["id"] != "C093" {
			continue
		}
		t.Run(row["id"], func(t *testing.T) {
			b := orchard(t, "phone")
			b.do(obj{"do": "set", "name": "country", "value": "GB"})
			for day := range int64(2) { // 76 ml of ethanol a day: 7.6 units
				b.do(obj{"do": "plain", "id": newID(40 + int(day)), "name": "wine", "vol_ul": 760_000, "abv_bp": 1000, "at_ms": evening - day*86_400_000})
			}
			var weekly obj
			for _, g := range b.ask(obj{"q": "week"})["guidance"].([]any) {
				if g := g.(obj); g["year"] == 2016.0 && g["period"] == "week" {
					weekly = g
				}
			}
			require.Equal(t, 15.2, weekly["amount"])
			require.Equal(t, "above", weekly["state"])
			require.Equal(t, 3.0, weekly["spread_days"])
		})
	}
}

// TestDaysWithoutAlcohol is C092: a day with nothing logged is no proof of a day without alcohol.
func TestDaysWithoutAlcohol(t *testing.T) {
	row := testdata.Row(t, "cases/count_cases.csv", "id", "C092")
	t.Run(row["id"], func(t *testing.T) {
		var in struct{ Days []string }
		var want struct {
			Free     float64 `json:"alcohol_free"`
			Nothing  float64 `json:"unknown"`
			Drinking float64
		}
		require.NoError(t, json.Unmarshal([]byte(row["input"]), &in))
		require.NoError(t, json.Unmarshal([]byte(row["expected"]), &want))
		b := orchard(t, "phone")
		b.now.MS += 2 * 86_400_000 // Sunday 17 May
		monday := count.DayOf(2026, 5, 11)
		for i, what := range in.Days {
			switch day := monday + count.Day(i); what {
			case "drink":
				b.do(obj{"do": "plain", "id": newID(40 + i), "name": "pint", "vol_ul": 568_000, "abv_bp": 450, "at_ms": int64(day)*86_400_000 + 20*3_600_000})
			case "none, confirmed":
				b.do(obj{"do": "day", "day": day.String(), "alcohol_free": true})
			}
		}
		a := b.ask(obj{"q": "week"})
		for _, span := range []string{"last_seven", "calendar"} {
			for key, n := range map[string]float64{"free": want.Free, "nothing": want.Nothing, "drinking": want.Drinking} {
				require.Equal(t, n, dig(t, a, span, key), "%s %s", span, key)
			}
		}
	})
}

// TestPortionsAndGuests are C095 and C096 through the whole journal: a sip counts as a sip, a guest's glass for nothing.
func TestPortionsAndGuests(t *testing.T) {
	t.Run("C095", func(t *testing.T) {
		b := orchard(t, "phone")
		b.do(obj{"do": "plain", "id": newID(40), "name": "measure", "vol_ul": 60_000, "abv_bp": 4000, "share_bp": 3300}) // 18.9 g in all
		require.InDelta(t, 6.2, b.grams("session", "alcohol"), 0.1)
	})
	t.Run("C096", func(t *testing.T) {
		b := orchard(t, "phone")
		left := func() any { return dig(t, b.ask(obj{"q": "bottles"}), "rows", 0, "left_ml") }
		full := left()
		b.do(obj{"do": "pour", "id": newID(40), "spec": sourID, "share_bp": 0})
		require.Zero(t, b.grams("last_seven", "totals", "alcohol"))
		require.Less(t, left(), full, "the bottle is down all the same")
	})
}

func TestEveningsWithoutAlcohol(t *testing.T) {
	b := orchard(t, "phone")
	first := func() obj { return dig(t, b.ask(obj{"q": "tonight"}), "plains", 0).(obj) }
	require.NotEqual(t, 0.0, first()["abv_percent"])
	b.do(obj{"do": "set", "name": "quiet", "value": true})
	a := b.ask(obj{"q": "tonight"})
	require.Equal(t, true, a["quiet"])
	require.Equal(t, 0.0, first()["abv_percent"], "what has no alcohol comes first")
	require.Equal(t, 0.0, dig(t, first(), "would_bring", "grams"))
	b.do(obj{"do": "plain", "id": newID(40), "name": "soda", "vol_ul": 250_000, "abv_bp": 0})
	require.Zero(t, dig(t, b.ask(obj{"q": "tonight"}), "session", "totals", "alcohol", "grams"))
}

func TestTheSessionThatEnded(t *testing.T) {
	b := orchard(t, "phone")
	b.do(obj{"do": "plain", "id": newID(40), "name": "pint", "vol_ul": 568_000, "abv_bp": 450})
	require.Nil(t, b.ask(obj{"q": "tonight"})["ended"], "it runs")
	b.now.MS += 8 * 60 * minute
	a := b.ask(obj{"q": "tonight"})
	require.Nil(t, a["session"])
	require.Equal(t, "22:04", dig(t, a, "ended", "until"))
	require.Equal(t, 2.0, dig(t, a, "ended", "totals", "alcohol", "drinks"))
	b.now.MS += 5 * 60 * minute
	require.Nil(t, b.ask(obj{"q": "tonight"})["ended"])
}

func TestWeeksOfTheJournal(t *testing.T) {
	b := orchard(t, "phone")
	for weeks := range int64(3) {
		b.do(obj{"do": "plain", "id": newID(40 + int(weeks)), "name": "pint", "vol_ul": 568_000, "abv_bp": 450, "at_ms": evening - 7*weeks*86_400_000})
	}
	a := b.ask(obj{"q": "weeks", "n": 53})
	weeks := a["weeks"].([]any)
	require.Len(t, weeks, 53)
	require.Equal(t, "2026-W20", dig(t, weeks, 52, "name"))
	require.Equal(t, 2.0, dig(t, weeks, 52, "totals", "alcohol", "drinks"))
	require.Equal(t, 1.0, dig(t, weeks, 51, "drinking"))
	require.Equal(t, 7.0, dig(t, weeks, 0, "nothing"))
	require.Equal(t, 2.0, dig(t, a, "mean", "drinks"), "over the two complete weeks since the first pour")
	require.Equal(t, "out_of_range", b.askRefused(obj{"q": "weeks", "n": 0}))
	require.Equal(t, "out_of_range", b.askRefused(obj{"q": "weeks", "n": 54}))
	require.Nil(t, orchard(t, "phone").ask(obj{"q": "weeks", "n": 4})["mean"])
}

// TestGuesses holds the families against the ranges they are the middle of.
func TestGuesses(t *testing.T) {
	b := orchard(t, "phone")
	rows := b.ask(obj{"q": "guesses"})["rows"].([]any)
	require.Len(t, rows, 11)
	byFamily := map[string]map[string]string{}
	for _, row := range testdata.Rows(t, "reference/finished_drink_ranges.csv") {
		byFamily[row["style"]] = row
	}
	number := func(text string) float64 {
		n, err := strconv.ParseFloat(text, 64)
		require.NoError(t, err, text)
		return n
	}
	held := 0
	for id, family := range map[string]string{
		"shaken": "shaken", "egg_white": "shaken with egg white", "stirred": "stirred",
		"strong": "built (spirit-forward, one large piece of ice)", "blended": "blended (ice in the drink)",
	} {
		for _, r := range rows {
			if dig(t, r, "id") != id {
				continue
			}
			row := byFamily[family]
			require.NotEmpty(t, row, family)
			lo, hi := number(row["finished_abv_low"]), number(row["finished_abv_high"])
			require.Equal(t, lo, dig(t, r, "lo"), id)
			require.Equal(t, hi, dig(t, r, "hi"), id)
			require.InDelta(t, (lo+hi)/2, dig(t, r, "abv_percent"), 0.051, id)
			require.Equal(t, true, dig(t, r, "alcohol", "about"))
			held++
		}
	}
	require.Equal(t, 5, held)
	for _, r := range rows {
		grams := dig(t, r, "volume_ml").(float64) * dig(t, r, "abv_percent").(float64) / 100 * 0.789
		require.InDelta(t, grams, dig(t, r, "alcohol", "grams"), 0.06, "%v", r)
		require.LessOrEqual(t, dig(t, r, "lo"), dig(t, r, "abv_percent"))
		require.GreaterOrEqual(t, dig(t, r, "hi"), dig(t, r, "abv_percent"))
	}
}

// TestTables reads them back with the standard library's reader of RFC 4180.
func TestTables(t *testing.T) {
	b := orchard(t, "phone")
	b.do(obj{"do": "plain", "id": newID(40), "name": "=HYPERLINK(\"x\")", "vol_ul": 568_000, "abv_bp": 450, "note": "a \"quoted\" word,\nand a second line"})
	b.do(obj{"do": "plain", "id": newID(41), "name": "punch", "vol_ul": 100_000, "abv_bp": nil, "at_ms": evening - 86_400_000})
	b.do(obj{"do": "day", "day": "2026-05-13", "alcohol_free": true})
	table := func(of string) []map[string]string {
		text := dig(t, b.ask(obj{"q": "table", "of": of, "from": "2026-05-12", "to": "2026-05-15"}), "csv").(string)
		require.NotContains(t, strings.ReplaceAll(text, "\r\n", ""), "\r")
		require.True(t, strings.HasSuffix(text, "\r\n"))
		all, err := csv.NewReader(strings.NewReader(text)).ReadAll()
		require.NoError(t, err)
		var rows []map[string]string
		for _, cells := range all[1:] {
			row := map[string]string{}
			for i, key := range all[0] {
				row[key] = cells[i]
			}
			rows = append(rows, row)
		}
		return rows
	}
	days := table("days")
	require.Len(t, days, 4)
	require.Equal(t, []string{"nothing", "free", "drunk", "drunk"}, []string{days[0]["state"], days[1]["state"], days[2]["state"], days[3]["state"]})
	require.Equal(t, "", days[0]["alcohol_g"], "nothing logged is not nought")
	require.Equal(t, "0.0", days[1]["alcohol_g"])
	require.Equal(t, "yes", days[2]["at_least"])
	require.Equal(t, "20.2", days[3]["alcohol_g"], "568 ml at 4.5 % by 0.789")
	require.Equal(t, "2.0", days[3]["standard_drinks"])
	require.Equal(t, "AU", days[3]["country"])
	pours := table("pours")
	require.Len(t, pours, 2)
	require.Equal(t, "'=HYPERLINK(\"x\")", pours[1]["name"], "a spreadsheet must not run it")
	require.Equal(t, "a \"quoted\" word,\nand a second line", pours[1]["note"])
	require.Equal(t, "2026-05-15T22:04:00+02:00", pours[1]["at"])
	require.Equal(t, "", pours[0]["abv_percent"])
	require.Equal(t, "yes", pours[0]["at_least"])
	for code, q := range map[string]obj{
		"bad_day":      {"q": "table", "of": "days", "from": "2026-02-30", "to": "2026-05-15"},
		"out_of_range": {"q": "table", "of": "days", "from": "2026-05-15", "to": "2026-05-14"},
		"unknown_word": {"q": "table", "of": "bottles", "from": "2026-05-14", "to": "2026-05-15"},
	} {
		require.Equal(t, code, b.askRefused(q))
	}
}

// TestEachDeviceCountsTheSame: two devices that log apart, merged in either order, count what one would have counted.
func TestEachDeviceCountsTheSame(t *testing.T) {
	phone, laptop, alone := orchard(t, "phone"), newBook(t, "laptop"), orchard(t, "alone")
	phone.join(laptop)
	log := func(b *book, id int, ago int64) {
		b.do(obj{"do": "plain", "id": newID(id), "name": "pint", "vol_ul": 568_000, "abv_bp": 450, "at_ms": evening - ago*minute})
	}
	for i := range 6 {
		log(alone, 60+i, int64(i)*50)
		if i%2 == 0 {
			log(phone, 60+i, int64(i)*50)
		} else {
			log(laptop, 60+i, int64(i)*50)
		}
	}
	laptop.join(phone)
	for _, q := range []string{"week", "tonight"} {
		want, err := json.Marshal(alone.ask(obj{"q": q}))
		require.NoError(t, err)
		for _, b := range []*book{phone, laptop} {
			got, err := json.Marshal(b.ask(obj{"q": q}))
			require.NoError(t, err)
			require.JSONEq(t, string(want), string(got))
		}
	}
}

// TestAdjustQuestion: a sour with too much honey is told to pour less of it; what cannot be is said so.
func TestAdjustQuestion(t *testing.T) {
	b := orchard(t, "phone")
	sweet := newID(60)
	b.do(obj{"do": "spec", "id": sweet, "method": "shaken", "lines": []obj{
		{"typed": "60 ml gin, 40 %"}, {"typed": "22.5 ml lemon juice"}, {"typed": "35 ml honey syrup"},
	}})
	require.Equal(t, "above", dig(t, b.ask(obj{"q": "spec", "id": sweet}), "balance", "verdict", "sugar_g_per_100ml"))
	a := b.ask(obj{"q": "adjust", "spec": sweet, "keys": []string{"sugar_g_per_100ml"}})
	require.Equal(t, true, a["found"])
	require.Equal(t, 2.5, a["step_ml"])
	require.Equal(t, "honey syrup", dig(t, a, "changes", 0, "name"))
	require.Equal(t, 35.0, dig(t, a, "changes", 0, "from_ml"))
	require.Less(t, dig(t, a, "changes", 0, "to_ml"), 35.0)
	require.Equal(t, "in", dig(t, a, "balance", "verdict", "sugar_g_per_100ml"))
	b.do(obj{"do": "line", "id": newID(61), "spec": sweet, "line": dig(t, a, "changes", 0, "line"), "typed": "25 ml honey syrup"})
	b.do(obj{"do": "set", "name": "units", "value": "oz"})
	require.Equal(t, 7.5, b.ask(obj{"q": "adjust", "spec": sweet, "keys": []string{"sugar_g_per_100ml"}})["step_ml"])

	b.do(obj{"do": "spec", "id": newID(62), "method": "shaken", "lines": []obj{{"typed": "60 ml gin, 40 %"}}})
	none := b.ask(obj{"q": "adjust", "spec": newID(62), "keys": []string{"acid_percent"}})
	require.Equal(t, false, none["found"])
	require.Empty(t, none["changes"])
	require.Nil(t, none["balance"])
	require.Equal(t, "unknown_word", b.askRefused(obj{"q": "adjust", "spec": sweet, "keys": []string{"colour"}}))
	require.Equal(t, "empty", b.askRefused(obj{"q": "adjust", "spec": sweet}))
	require.Equal(t, "not_found", b.askRefused(obj{"q": "adjust", "spec": newID(77), "keys": []string{"acid_percent"}}))
}

// TestANightTheClocksGoBack: 02:30 comes twice. Several in one go are lived at the offset of their own moment, lists tell
// the two apart, and the hours of the session are those that passed.
func TestANightTheClocksGoBack(t *testing.T) {
	midnight := int64(count.DayOf(2026, 10, 24))*86_400_000 + 22*60*minute // 25 October, 00:00 at UTC+2
	turn := midnight + 180*minute                                          // 03:00 becomes 02:00
	b := newBook(t, "phone")
	b.now = schema.Now{MS: midnight + 400*minute, OffsetMin: 60, Zone: "Europe/Berlin"}
	pints := obj{
		"do": "several", "id": newID(40), "n": 3, "first_at_ms": midnight + 90*minute, "last_at_ms": midnight + 210*minute, "offset_min": 120,
		"turns_at_ms": turn, "last_offset_min": 60, "name": "pint", "vol_ul": 568_000, "abv_bp": 450,
	}
	b.do(pints)
	lived := [][]any{}
	session := b.ask(obj{"q": "tonight"})["session"]
	for _, p := range dig(t, session, "pours").([]any) {
		lived = append(lived, []any{dig(t, p, "time"), dig(t, p, "utc"), dig(t, p, "day")})
	}
	require.Equal(t, [][]any{{"01:30", "UTC+2", "2026-10-24"}, {"02:30", "UTC+2", "2026-10-24"}, {"02:30", "UTC+1", "2026-10-24"}}, lived)
	days := b.ask(obj{"q": "journal", "days": 3})["days"].([]any)
	require.Equal(t, "UTC+1", dig(t, days, 0, "sessions", 0, "pours", 2, "utc"))
	second := dig(t, days, 0, "sessions", 0, "pours", 1, "id").(string)
	require.Equal(t, "UTC+2", dig(t, b.ask(obj{"q": "pour", "id": second}), "pour", "utc"))
	require.Equal(t, 2.0, dig(t, b.ask(obj{"q": "week"}), "sessions", 0, "hours"))

	last := dig(t, days, 0, "sessions", 0, "pours", 2, "id").(string)
	b.do(obj{"do": "edit", "id": last, "kind": "pour", "set": obj{"join_mark": "split"}})
	days = b.ask(obj{"q": "journal", "days": 3})["days"].([]any)
	require.Len(t, dig(t, days, 0, "sessions"), 2)
	require.Equal(t, "split", dig(t, days, 0, "sessions", 1, "pours", 0, "mark"))
	require.Equal(t, "UTC+1", dig(t, days, 0, "sessions", 1, "pours", 0, "utc"), "the list of a day tells them apart, also where a session was split")
	require.Equal(t, "UTC+2", dig(t, days, 0, "sessions", 0, "pours", 0, "utc"))

	for _, spoil := range []obj{{"turns_at_ms": nil}, {"last_offset_min": nil}, {"turns_at_ms": midnight + 90*minute}, {"turns_at_ms": midnight + 211*minute}, {"last_offset_min": 15 * 60}} {
		in := maps.Clone(pints)
		in["id"] = newID(41)
		for k, v := range spoil {
			if in[k] = v; v == nil {
				delete(in, k)
			}
		}
		_, err := b.plan(in)
		require.Error(t, err, spoil)
	}

	other := newBook(t, "phone")
	other.do(obj{"do": "several", "id": newID(40), "n": 2, "first_at_ms": evening - 60*minute, "last_at_ms": evening, "name": "pint", "vol_ul": 568_000, "abv_bp": 450})
	require.Empty(t, dig(t, other.ask(obj{"q": "tonight"}), "session", "pours", 0, "utc"), "one offset needs no word")
}

// TestLabel: before it is saved it can be asked which drinking day a moment counts for; once saved it is that.
func TestLabel(t *testing.T) {
	b := newBook(t, "phone")
	for i, c := range []struct {
		at     int64
		offset int
		day    string
	}{
		{evening, 120, "2026-05-15"},
		{evening + 6*60*minute + 55*minute, 120, "2026-05-15"}, // 04:59
		{evening + 6*60*minute + 56*minute, 120, "2026-05-16"}, // 05:00
		{evening + 6*60*minute + 56*minute, 60, "2026-05-15"},
	} {
		require.Equal(t, c.day, b.ask(obj{"q": "label", "at_ms": c.at, "offset_min": c.offset})["day"])
		id := newID(60 + i)
		b.do(obj{"do": "plain", "id": id, "name": "pint", "vol_ul": 568_000, "abv_bp": 450, "at_ms": c.at, "offset_min": c.offset})
		require.Equal(t, c.day, dig(t, b.ask(obj{"q": "pour", "id": id}), "pour", "day"))
	}
	for _, q := range []obj{{"q": "label"}, {"q": "label", "at_ms": evening}, {"q": "label", "at_ms": evening, "offset_min": 15 * 60}, {"q": "label", "at_ms": -1, "offset_min": 0}} {
		raw, err := json.Marshal(q)
		require.NoError(t, err)
		_, err = schema.Ask(b, b.now, raw)
		require.Error(t, err, q)
	}
}

// TestEveryOfferSaysWhatItPasses: a preset, a spec and a guess carry the lines that one of them would bring the owner to, as
// the same glass does once it is poured.
func TestEveryOfferSaysWhatItPasses(t *testing.T) {
	b := orchard(t, "phone")
	b.do(obj{"do": "set", "name": "own_day_drinks_x10", "value": 17})
	tonight := b.ask(obj{"q": "tonight"})
	own := func(of any) bool {
		for _, line := range dig(t, of, "passes").([]any) {
			if dig(t, line, "issuer") == "own" {
				return true
			}
		}
		return false
	}
	drinks := func(of any) float64 { return dig(t, of, "would_bring", "drinks").(float64) }
	seen := map[bool]int{}
	for _, offers := range []any{tonight["plains"], tonight["specs"], b.ask(obj{"q": "guesses"})["rows"]} {
		require.NotEmpty(t, offers)
		for _, of := range offers.([]any) {
			require.Equal(t, drinks(of) >= 1.7, own(of), "%v", of)
			seen[own(of)]++
		}
	}
	require.NotZero(t, seen[true])
	require.NotZero(t, seen[false])
}

// TestOneAlcoholOnEveryRoute: the balance of a glass, its standard drinks, what it would bring the evening to, the evening,
// the week, the list of pours and the tables say the same grams, and where one says "at least" all do.
func TestOneAlcoholOnEveryRoute(t *testing.T) {
	pool := []string{
		"45 ml gin, 44 %", "½ oz pear eau-de-vie, 42 %", "2 dashes orange bitters", "20-30 ml dark rum", "about 10 ml absinthe, 60 %", "22.5 ml lemon juice",
		"15 ml zzyx tincture", "zzyx tincture to taste", "gin to taste", "salt to taste", "a pinch of salt", "rinse: absinthe, 60 %", "rinse: zzyx tincture",
		"top with soda", "top with sparkling wine", "top with zzyx", "float of dark rum", "1 part gin", "2 parts lime juice", "1 egg white", "4 mint leaves",
		"1 sugar cube", "10 g sugar", "3 g citric acid", "juice of 1 lime", "60 ml gin or vodka",
	}
	least := map[any]int{}
	rapid.Check(t, func(rt *rapid.T) {
		typed := rapid.SliceOfNDistinct(rapid.SampledFrom(pool), 1, 6, rapid.ID).Draw(rt, "lines")
		method := rapid.SampledFrom([]string{"shaken", "stirred", "built", "neat", ""}).Draw(rt, "method")
		lines := []obj{}
		for _, l := range typed {
			lines = append(lines, obj{"typed": l})
		}
		b := newBook(t, "phone")
		b.do(obj{"do": "set", "name": "country", "value": rapid.SampledFrom([]string{"AU", "FR", "WHO", "GB"}).Draw(rt, "country")})
		spec := obj{"do": "spec", "id": newID(10), "drink_name": "any", "method": method, "lines": lines}
		size := rapid.SampledFrom([]string{"", "part_ul"}).Draw(rt, "size")
		if size != "" {
			spec[size] = 20_000
		}
		b.do(spec)
		a := b.ask(obj{"q": "spec", "id": newID(10)})
		want := []any{dig(t, a, "alcohol", "grams"), dig(t, a, "alcohol", "at_least")}
		least[want[1]]++
		same := func(of any, grams string) {
			rt.Helper()
			at := dig(t, of, "at_least")
			require.Equal(rt, want, []any{dig(t, of, grams), at}, "%v", of)
		}
		figure := func(of any, side string) {
			rt.Helper()
			f := dig(t, of, side, "alcohol_g").(obj)
			at, _ := f["at_least"].(bool)
			same(obj{"v": f["v"], "at_least": at}, "v")
		}
		figure(a["balance"], "before")
		figure(a["balance"], "after")
		if size == "" {
			d := b.ask(obj{"q": "draft", "lines": typed, "method": method})
			figure(d["balance"], "before")
			same(d["alcohol"], "grams")
		}
		sheet := b.ask(obj{"q": "sheet", "spec": newID(10)})
		same(sheet["alcohol"], "grams")
		same(sheet["would_bring"], "grams")
		b.do(obj{"do": "pour", "id": newID(11), "spec": newID(10)})
		tonight := b.ask(obj{"q": "tonight"})
		same(dig(t, tonight, "session", "totals", "alcohol"), "grams")
		same(dig(t, tonight, "session", "pours", 0, "alcohol"), "grams")
		same(dig(t, b.ask(obj{"q": "week"}), "last_seven", "totals", "alcohol"), "grams")
		same(dig(t, b.ask(obj{"q": "pour", "id": newID(11)}), "pour", "alcohol"), "grams")
		figure(b.ask(obj{"q": "pour", "id": newID(11)})["balance"], "before")
		for _, of := range []string{"pours", "days"} {
			rows, err := csv.NewReader(strings.NewReader(b.ask(obj{"q": "table", "of": of, "from": "2026-05-15", "to": "2026-05-15"})["csv"].(string))).ReadAll()
			require.NoError(rt, err)
			cell := func(key string) string { return rows[1][slices.Index(rows[0], key)] }
			grams, err := strconv.ParseFloat(cell("alcohol_g"), 64)
			require.NoError(rt, err)
			same(obj{"g": grams, "at_least": cell("at_least") == "yes"}, "g")
		}
	})
	require.Greater(t, least[true], 10)
	require.Greater(t, least[false], 10)
}
