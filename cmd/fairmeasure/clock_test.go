package main

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// evening is when tests and demos take place: a Friday in spring, some weeks from any change of the clocks.
const evening = "2026-05-15T22:04:00+02:00"

// moments are hours, zones and days at which what goes by the machine's clock says something else.
func moments(t *testing.T) []time.Time {
	t.Helper()
	dates := []struct {
		year  int
		month time.Month
		day   int
	}{{2026, 12, 1}, {2026, 12, 31}, {2027, 3, 28}, {2028, 2, 29}}
	minutes := []int{30, 4*60 + 30, 5*60 + 10, 12 * 60, 23*60 + 50}
	var out []time.Time
	for _, name := range []string{"UTC", "America/New_York", "Pacific/Kiritimati", "Europe/Berlin"} {
		zone, err := time.LoadLocation(name)
		require.NoError(t, err)
		for _, m := range minutes {
			d := dates[len(out)%len(dates)]
			out = append(out, time.Date(d.year, d.month, d.day, 0, m, 0, 0, zone))
		}
	}
	return out
}

func TestTheClockBeginsWhereItIsTold(t *testing.T) {
	for _, machine := range moments(t) {
		now := machine
		p := &program{now: func() time.Time { return now }, env: func(name string) string {
			return map[string]string{clockName: evening}[name]
		}}
		require.NoError(t, p.setClock())
		require.Equal(t, evening, p.now().Format(time.RFC3339))
		now = now.Add(90 * time.Second)
		require.Equal(t, "2026-05-15T22:05:30+02:00", p.now().Format(time.RFC3339), "and goes on")
	}
	now := time.Date(2026, 12, 1, 4, 30, 0, 0, time.UTC)
	p := &program{now: func() time.Time { return now }, env: func(string) string { return "" }}
	require.NoError(t, p.setClock())
	require.Equal(t, now, p.now(), "untold it is the machine's")
}

// TestADemoIsTheSameWheneverItIsStarted holds a demo to the moment it was told, and the terminal to the demo.
func TestADemoIsTheSameWheneverItIsStarted(t *testing.T) {
	week := func(zone string, args ...string) string {
		data := t.TempDir()
		p := startIn(t, map[string]string{"TZ": zone, clockName: evening}, "demo", "--data", data, "--listen", "127.0.0.1:0")
		p.await(p.out, `phone\s+(\S+)`)
		require.Contains(t, p.err.String(), `"msg":"this server goes by a clock of its own","from":"`+evening+`"`)
		require.Zero(t, p.stop())
		env := map[string]string{clockName: evening, "FAIRMEASURE_DATA": demoStore(data)}
		code, out, errs := call(t, env, append([]string{"week"}, args...)...)
		require.Zero(t, code, errs)
		return out
	}
	said := week("UTC")
	require.Contains(t, said, "2026-05-15")
	require.Equal(t, said, week("Pacific/Kiritimati", "--now", evening))
}

// waiting are files that read the machine's clock to wait or to measure, and nothing else.
var waiting = []string{
	"server/first.go", "server/events.go", // how long an answer may take, and took
	"pwa/internal/steps/steps.go",                                                                                      // prints how long a step took
	"server/bench_test.go", "sync/simnet/bars_test.go", "sync/simnet/simnet_test.go", "sync/schema/simulation_test.go", // report times
	"server/events_test.go", "server/badinput_test.go", // deadlines of a connection
	"server/attack_test.go",   // how long a besieged server takes to stop
	"cmd/fairmeasure/main.go", // the one clock there is
	"pwa/e2e/clock.ts",        // the one clock of the stories
}

var (
	readsGo     = regexp.MustCompile(`\btime\.Now\b`)
	readsScript = regexp.MustCompile(`\bDate\.now\b|\bnew Date\(\)|\bDate\(\)`)
	bareStory   = regexp.MustCompile(`import \{[^}]*\btest\b[^}]*\} from '@playwright/test'`)
)

// TestNobodyReadsTheMachinesClock but the program, and in the page the app itself: rooms are told the time, Go tests and
// units choose theirs, and every story has the clock of pwa/e2e/clock.ts because it takes its test from story.ts.
func TestNobodyReadsTheMachinesClock(t *testing.T) {
	root, err := filepath.Abs("../..")
	require.NoError(t, err)
	found, stories := map[string]bool{}, 0
	require.NoError(t, filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, _ := filepath.Rel(root, path)
		rel = filepath.ToSlash(rel)
		if d.IsDir() {
			if d.Name() == "node_modules" || d.Name() == "dist" || strings.HasPrefix(d.Name(), ".") && rel != "." {
				return filepath.SkipDir
			}
			return nil
		}
		ext := filepath.Ext(rel)
		story := strings.HasPrefix(rel, "pwa/e2e/") && ext == ".ts"
		unit := strings.HasPrefix(rel, "pwa/src/") && strings.Contains(rel, ".test.")
		if ext != ".go" && !story && !unit {
			return nil
		}
		text, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		if strings.HasSuffix(rel, ".story.ts") {
			stories++
			if bareStory.Match(text) {
				t.Errorf("%s: takes test from Playwright itself, so its clock is the machine's: take it from ./story.ts", rel)
			}
		}
		if ext == ".go" && readsGo.Match(text) || ext != ".go" && readsScript.Match(text) {
			found[rel] = true
			if !slices.Contains(waiting, rel) {
				t.Errorf("%s reads the machine's clock", rel)
			}
		}
		return nil
	}))
	for _, rel := range waiting {
		if !found[rel] {
			t.Errorf("%s is listed and reads no clock", rel)
		}
	}
	require.Greater(t, stories, 10)
}
