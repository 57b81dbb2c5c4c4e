package main

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fairmeasure/server/auth"
	"fairmeasure/sync/schema"
	"fairmeasure/sync/store/badgerstore"
	"fairmeasure/testdata"
)

// TestWeekOnTheTerminal holds `fairmeasure week` against what a device works out from the same entries, in countries with
// and without guidance. TestOneJournalOneSetOfFigures holds the API against the device.
func TestWeekOnTheTerminal(t *testing.T) {
	ctx, data := context.Background(), filepath.Join(t.TempDir(), "store")
	now := time.Date(2026, 5, 15, 22, 4, 0, 0, time.FixedZone("", 2*3600))
	at := schema.Now{MS: now.UnixMilli(), OffsetMin: 120}
	inside := func(fn func(*badgerstore.Store)) {
		st, err := badgerstore.Open(badgerstore.Options{Dir: data, MinFreeBytes: 1 << 20})
		require.NoError(t, err)
		fn(st)
		require.NoError(t, st.Close())
	}
	var device *scribe
	inside(func(st *badgerstore.Store) {
		door, err := auth.Open(ctx, auth.Config{Book: st, Now: func() time.Time { return now }, Owner: "Demo"})
		require.NoError(t, err)
		_, journal, err := door.Owner(ctx, "")
		require.NoError(t, err)
		n := 0
		require.NoError(t, seedDemo(ctx, st, journal, now, func(string) (string, error) { n++; return []string{"", "d1", "d2"}[n], nil }))
		device = newScribe(st, journal, "a third device", "d3")
		device.sync(ctx, now)
		require.NoError(t, device.err)
	})
	week := func(args ...string) (string, string) {
		code, out, errs := keeper(t, data, append([]string{"week", "--now", now.Format(time.RFC3339)}, args...)...)
		require.Zero(t, code, errs)
		return out, errs
	}
	made := 0
	do := func(t *testing.T, all ...intent) {
		inside(func(st *badgerstore.Store) {
			again := newScribe(st, device.journal, "a third device", "d3")
			again.sync(ctx, now)
			for _, it := range all {
				if it["do"] == "several" {
					it["id"] = again.newID(now.Add(time.Duration(made) * time.Second))
					made++
				}
				again.do(now, it)
			}
			again.sync(ctx, now)
			require.NoError(t, again.err)
			device = again
		})
	}
	for country, unitOf := range map[string]string{
		"AU": "Australia", "US": "United States", "GB": "United Kingdom", "DE": "Germany", "CA": "Canada", "JP": "Japan",
		"IS": "World Health Organization", // without a unit of its own
	} {
		t.Run(country, func(t *testing.T) {
			do(t, intent{"do": "set", "name": "country", "value": country})
			want, err := schema.Ask(device.device.View(), at, []byte(`{"q":"week"}`))
			require.NoError(t, err)
			out, _ := week("--json")
			require.Equal(t, string(want)+"\n", out)

			text, _ := week()
			requireNothingForbidden(t, text)
			requirePrinted(t, out, text)
			require.Contains(t, text, "("+unitOf+")")
		})
	}
	t.Run("Text", func(t *testing.T) {
		do(t, intent{"do": "set", "name": "country", "value": "AU"})
		out, _ := week("--account", "demo")
		golden := filepath.Join("testdata", "week.golden")
		want, err := os.ReadFile(golden)
		require.NoError(t, err)
		require.Equal(t, string(want), out)
	})
	t.Run("Marks", func(t *testing.T) {
		at := func(days, n int, more intent) intent {
			from := now.AddDate(0, 0, -days).Add(-2 * time.Hour).UnixMilli()
			it := intent{"do": "several", "n": n, "first_at_ms": from, "last_at_ms": from + 3_600_000, "name": "Pint", "vol_ul": 500_000, "abv_bp": 500}
			for k, v := range more {
				it[k] = v
			}
			return it
		}
		printed := func(args ...string) string {
			raw, _ := week(append(args, "--json")...)
			text, _ := week(args...)
			requireNothingForbidden(t, text)
			requirePrinted(t, raw, text)
			return text
		}
		do(t, at(1, 1, intent{"abv_bp": nil, "name": "Something unlabelled"}))
		text := printed()
		require.Regexp(t, `last seven days +7\.4 +74\.1 +at least *\n`, text)
		require.Contains(t, text, "week: at least 7.4, as far as is known below 10 standard drinks")
		require.Contains(t, text, "2026-05-14 20:04: at least 0.0\n")
		do(t, at(2, 1, intent{"about": true}))
		require.Regexp(t, `last seven days +\S+ +\S+ +at least, about *\n`, printed())
		require.NotContains(t, text, "Before cutting down")
		do(t, at(3, 20, nil), at(4, 20, nil), at(8, 20, nil), at(9, 20, nil), at(10, 20, nil))
		text = printed()
		require.True(t, strings.HasPrefix(text, "Before cutting down"), text)
		require.Contains(t, text, "week: at least 88.3 is above 10 standard drinks")
		require.Contains(t, text, "Of the last seven days: ")

		do(t, intent{"do": "set", "name": "quiet", "value": true})
		require.NotContains(t, printed(), "Of the last seven days: ")
		do(t, intent{"do": "set", "name": "quiet", "value": false})

		text = printed("--now", "2028-07-01T12:00:00+02:00")
		require.Contains(t, text, "over 18 months ago")
		require.Contains(t, text, "week: nothing logged beside 10 standard drinks")
		require.NotContains(t, text, "0.0 is")
	})
	t.Run("Refused", func(t *testing.T) {
		for _, never := range []string{
			"yesterday", "2026-05-15T22:04:00", "2026-05-15T22:04:00-00:00", "2026-05-15T22:04:00+15:00", "1969-05-15T22:04:00+02:00", "2106-05-15T22:04:00+02:00",
		} {
			code, _, errs := keeper(t, data, "week", "--now", never)
			require.Equal(t, exitCall, code, never)
			require.Contains(t, errs, "2026-05-15T22:04:00+02:00")
		}
		code, _, errs := keeper(t, data, "week", "--account", "Nobody")
		require.Equal(t, exitFailed, code)
		require.Contains(t, errs, "accounts list")
		code, _, errs = keeper(t, filepath.Join(t.TempDir(), "none"), "week")
		require.Equal(t, exitStore, code)
		require.True(t, strings.Contains(errs, "no data"), errs)
		keeperCode(t, data, "accounts", "create", "Kim")
		code, _, errs = keeper(t, data, "week")
		require.Equal(t, exitCall, code)
		require.Contains(t, errs, "Demo, Kim")
	})
}

// requireNothingForbidden looks through what is ours of a text: not a title of an issuer's, and not the caution, which names
// what the figures are never for.
func requireNothingForbidden(t *testing.T, text string) {
	t.Helper()
	require.Contains(t, text, weekCaution)
	ours := strings.NewReplacer("No level of alcohol consumption is safe for our health", "", weekCaution, "").Replace(text)
	require.Empty(t, testdata.NeverSaid(t, ours), text)
}

// requirePrinted holds what is printed against the answer it is of: each day, total, session and line of guidance.
func requirePrinted(t *testing.T, raw, text string) {
	t.Helper()
	var w weekAnswer
	require.NoError(t, json.Unmarshal([]byte(raw), &w))
	figures := func(name string, a weekAlcohol) {
		var marks []string
		if a.AtLeast {
			marks = append(marks, "at least")
		}
		if a.About {
			marks = append(marks, "about")
		}
		require.Regexp(t, fmt.Sprintf(`(?m)^%s +%s +%s +%s`, regexp.QuoteMeta(name), regexp.QuoteMeta(fmt.Sprintf("%.1f", a.Drinks)),
			regexp.QuoteMeta(fmt.Sprintf("%.1f", a.Grams)), strings.Join(marks, ", ")), text)
	}
	require.Len(t, w.LastSeven.Days, 7)
	for _, d := range w.LastSeven.Days {
		switch d.State {
		case "drunk":
			figures(d.Day, *d.Alcohol)
		case "free":
			require.Regexp(t, `(?m)^`+d.Day+` +0 +0 +no alcohol, confirmed`, text)
		default:
			require.Regexp(t, `(?m)^`+d.Day+` +- +- +nothing logged`, text)
		}
	}
	figures("last seven days", w.LastSeven.Totals.Alcohol)
	figures("week "+w.Calendar.Name, w.Calendar.Totals.Alcohol)
	figures("four-week mean", w.Mean)
	require.Equal(t, len(w.Sessions), len(regexp.MustCompile(`(?m)^  \d{4}-\d\d-\d\d \d\d:\d\d.*: .*\d+\.\d`).FindAllString(text, -1)))
	require.NotEmpty(t, w.Guidance)
	for _, g := range w.Guidance {
		require.Contains(t, text, "  "+g.Issuer)
		if g.Comparator != "band" && g.Amount != nil && w.LastSeven.Totals.Pours > 0 {
			require.Contains(t, text, fmt.Sprintf("%.1f", *g.Amount))
			require.Contains(t, text, fmt.Sprintf("%s %g %s", g.State, g.Limit, g.Unit))
		}
	}
}
