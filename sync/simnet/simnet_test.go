package simnet_test

import (
	"flag"
	"fmt"
	"os"
	"runtime"
	"runtime/debug"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/simnet"
)

var (
	runs  = flag.Int("simnet.runs", 3000, "runs of each mode")
	first = flag.Uint64("simnet.first", 0, "the first seed")
	seed  = flag.Int64("simnet.seed", -1, "play this one seed in every mode and print what happens")
)

// One run makes little garbage, three thousand make much: collecting it more seldom saves a third of the time.
func TestMain(m *testing.M) {
	debug.SetGCPercent(400)
	if rule := os.Getenv(ruleEnv); rule != "" {
		flag.Parse()
		playBroken(rule)
		return
	}
	os.Exit(m.Run())
}

// checks are what every run is held to; a failure begins with the name of the check.
var checks = []string{"Converges", "NoSavedValueLost", "NoGhost", "SeenHonest", "CopyIsServer", "ActionWhole", "StampUnique"}

func TestSimulation(t *testing.T) {
	for _, mode := range simnet.Modes {
		t.Run(mode.Name, func(t *testing.T) {
			if *seed >= 0 {
				_, err := run(uint64(*seed), mode, rules{}, func(format string, args ...any) { fmt.Fprintf(os.Stderr, format+"\n", args...) })
				require.NoError(t, err)
				return
			}
			failed := play(t, mode, rules{})
			for _, check := range checks {
				t.Run(check, func(t *testing.T) { require.Empty(t, failed[check]) })
				delete(failed, check)
			}
			require.Empty(t, failed)
		})
	}
}

// Values that only their owners can read change nothing: every check holds.
func TestOpaque(t *testing.T) {
	few(t)
	for _, mode := range []simnet.Mode{simnet.Plain, simnet.All} {
		t.Run(mode.Name, func(t *testing.T) {
			require.Empty(t, play(t, mode, rules{Sealed: true}))
		})
	}
}

// A server that says more than this version knows: what it said is still in the rows of every device at the end, as are
// kinds and fields the schema does not know, which are among those that people write.
func TestUnknownKept(t *testing.T) {
	few(t)
	for _, mode := range []simnet.Mode{simnet.Plain, simnet.All} {
		t.Run(mode.Name, func(t *testing.T) {
			require.Empty(t, play(t, mode, rules{Rules: simnet.Rules{Later: true}}))
		})
	}
}

// few plays a tenth of the runs.
func few(t *testing.T) {
	t.Helper()
	all := *runs
	*runs = max(all/10, 1)
	t.Cleanup(func() { *runs = all })
}

// play runs many seeds on all processors, and gives for each check that failed in how many runs and in which first.
func play(t *testing.T, mode simnet.Mode, rules rules) map[string]string {
	t.Helper()
	began := time.Now()
	var next atomic.Uint64
	next.Store(*first)
	end := *first + uint64(*runs)
	type failure struct {
		runs  int
		first uint64
		err   error
	}
	var mu sync.Mutex
	var sum simnet.Report
	failed := map[string]failure{}
	var wait sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for {
				n := next.Add(1) - 1
				if n >= end {
					return
				}
				rep, err := run(n, mode, rules, nil)
				mu.Lock()
				sum.Add(rep)
				if err != nil {
					name, _, _ := strings.Cut(err.Error(), ":")
					f := failed[name]
					if f.runs++; f.err == nil || n < f.first {
						f.first, f.err = n, err
					}
					failed[name] = f
				}
				mu.Unlock()
			}
		})
	}
	wait.Wait()
	t.Logf("%d runs in %.1f s: %+v", *runs, time.Since(began).Seconds(), sum)
	require.Positive(t, sum.Edits*sum.Rounds)
	told := map[string]string{}
	for name, f := range failed {
		told[name] = fmt.Sprintf("failed in %d of %d runs; play the first with -simnet.seed=%d: %v", f.runs, *runs, f.first, f.err)
	}
	return told
}

// One seed is one run, to the byte.
func TestOneSeedIsOneRun(t *testing.T) {
	for _, mode := range simnet.Modes {
		for n := range uint64(30) {
			var traces [2]strings.Builder
			for i := range traces {
				_, err := run(n, mode, rules{}, func(format string, args ...any) { fmt.Fprintf(&traces[i], format+"\n", args...) })
				require.NoError(t, err)
			}
			require.Equal(t, traces[0].String(), traces[1].String(), "%s, seed %d", mode.Name, n)
		}
	}
}
