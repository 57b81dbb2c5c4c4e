package main

import (
	"context"
	"os"
	"path/filepath"
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
	for _, country := range []string{"AU", "US", "GB", "DE", "CA", "JP", "IS"} {
		t.Run(country, func(t *testing.T) {
			inside(func(st *badgerstore.Store) {
				again := newScribe(st, device.journal, "a third device", "d3")
				again.sync(ctx, now)
				again.do(now, intent{"do": "set", "name": "country", "value": country})
				again.sync(ctx, now)
				require.NoError(t, again.err)
				device = again
			})
			want, err := schema.Ask(device.device.View(), at, []byte(`{"q":"week"}`))
			require.NoError(t, err)
			out, _ := week("--json")
			require.Equal(t, string(want)+"\n", out)

			out, _ = week()
			ours := strings.ReplaceAll(out, "No level of alcohol consumption is safe for our health", "") // a title of the issuer's
			require.Empty(t, testdata.NeverSaid(t, ours), out)
			if country == "IS" {
				country = "WHO" // without a unit of its own
			}
			require.Contains(t, out, "("+country+")")
		})
	}
	t.Run("Text", func(t *testing.T) {
		inside(func(st *badgerstore.Store) {
			again := newScribe(st, device.journal, "a third device", "d3")
			again.sync(ctx, now)
			again.do(now, intent{"do": "set", "name": "country", "value": "AU"})
			again.sync(ctx, now)
			require.NoError(t, again.err)
		})
		out, _ := week("--account", "demo")
		golden := filepath.Join("testdata", "week.golden")
		want, err := os.ReadFile(golden)
		require.NoError(t, err)
		require.Equal(t, string(want), out)
	})
	t.Run("Refused", func(t *testing.T) {
		code, _, errs := keeper(t, data, "week", "--now", "yesterday")
		require.Equal(t, exitCall, code)
		require.Contains(t, errs, "2026-05-15T22:04:00+02:00")
		code, _, errs = keeper(t, data, "week", "--account", "Nobody")
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
