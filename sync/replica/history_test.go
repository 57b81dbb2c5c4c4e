package replica_test

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"runtime"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/replica"
)

var histories = flag.Int("replica.histories", defaultHistories(), "random histories a law is tried on")

// defaultHistories are thousands, and fewer where the processor is a browser's.
func defaultHistories() int {
	if runtime.GOOS == "js" {
		return 150
	}
	return 2000
}

// forEachHistory runs fn on that many seeded random histories and names the seed of one that fails.
func forEachHistory(t *testing.T, fn func(t require.TestingT, r *rand.Rand, log []replica.Action)) {
	t.Helper()
	for seed := range uint64(*histories) {
		r := rand.New(rand.NewPCG(seed, 1))
		log := causalHistory(t, r)
		caught := &catch{}
		func() {
			defer func() {
				if p := recover(); p != nil && p != caught {
					panic(p)
				}
			}()
			fn(caught, r, log)
		}()
		if caught.text != "" {
			t.Fatalf("seed %d, %d actions: %s", seed, len(log), caught.text)
		}
	}
}

// catch turns a failed requirement into a text, so that the seed can be named beside it.
type catch struct{ text string }

func (c *catch) Errorf(format string, args ...any) { c.text = fmt.Sprintf(format, args...) }
func (c *catch) FailNow()                          { panic(c) }

var (
	ids    = []replica.ID{"01HZZZZZZZ0000000000000001", "01HZZZZZZZ0000000000000002", "01HZZZZZZZ0000000000000003", "set.country"}
	kinds  = []string{"pour", "line", "spec", "set"}
	fields = []string{"a", "b", "c", "tag.smoky"}
)

func run(i int) replica.Run { return replica.Run(fmt.Sprintf("run%08d", i)) }

// causalHistory plays two to four devices that write, delete, restore, erase, start anew and tell each other part of what
// they know, and gives all actions in the order in which they were made.
func causalHistory(t testing.TB, r *rand.Rand) []replica.Action {
	t.Helper()
	type device struct {
		state *replica.State
		run   replica.Run
		n     uint64
	}
	devices := make([]*device, 2+r.IntN(3))
	runs := 0
	start := func(d *device) {
		d.run, d.n = run(runs), 0
		runs++
	}
	for i := range devices {
		devices[i] = &device{state: replica.NewState()}
		start(devices[i])
	}
	var log []replica.Action
	count := 5 + r.IntN(41)
	for len(log) < count {
		d := devices[r.IntN(len(devices))]
		switch r.IntN(10) {
		case 0:
			start(d)
		case 1, 2, 3:
			for i := range log {
				if r.IntN(3) > 0 {
					d.state.ApplyAny(&log[i])
				}
			}
		default:
			d.n++
			a := randomAction(r, d.state, replica.Stamp{Run: d.run, N: d.n})
			log = append(log, a)
			require.Equal(t, replica.Taken, d.state.ApplyAny(&a))
		}
		require.NoError(t, d.state.Check())
	}
	return log
}

func randomAction(r *rand.Rand, s *replica.State, stamp replica.Stamp) replica.Action {
	a := replica.Action{Stamp: stamp, At: 1_790_000_000_000 + int64(r.IntN(1000))}
	for _, i := range r.Perm(len(ids))[:1+r.IntN(2)] {
		ed := replica.Edit{ID: ids[i], Kind: kinds[i], Set: map[string]replica.Value{}, Over: map[string][]replica.Stamp{}}
		e, found := s.Get(ids[i])
		if !found {
			e = &replica.Entity{ID: ids[i], Kind: kinds[i]}
		}
		switch what := r.IntN(12); {
		case what == 0 && found: // delete
			list, _ := replica.ListOf(e)
			ed.Set[replica.Gone], ed.Over[replica.Gone] = list, stampsOf(e, replica.Gone)
		case what == 1 && found: // restore
			ed.Set[replica.Gone], ed.Over[replica.Gone] = replica.Null, stampsOf(e, replica.Gone)
		case what == 2 && found: // erase
			for _, f := range e.Names() {
				ed.Over[f] = stampsOf(e, f)
			}
		default:
			for _, j := range r.Perm(len(fields))[:1+r.IntN(3)] {
				f := fields[j]
				ed.Set[f] = randomValue(r)
				for _, d := range stampsOf(e, f) { // partial lists: all, some or none of what is live
					if r.IntN(4) > 0 {
						ed.Over[f] = append(ed.Over[f], d)
					}
				}
			}
		}
		a.Edits = append(a.Edits, ed)
	}
	return a
}

func stampsOf(e *replica.Entity, field string) []replica.Stamp {
	var all []replica.Stamp
	for _, w := range e.Fields[field] {
		all = append(all, w.Stamp)
	}
	return all
}

func randomValue(r *rand.Rand) replica.Value {
	switch r.IntN(6) {
	case 0:
		return replica.Null
	case 1:
		return replica.Bool(r.IntN(2) == 0)
	case 2:
		return replica.Text(fmt.Sprintf("note %d", r.IntN(4)))
	}
	return replica.Int(int64(r.IntN(5)))
}

// applied gives the state after these actions, taken in at any order.
func applied(t require.TestingT, log []replica.Action, order []int) *replica.State {
	s := replica.NewState()
	for _, i := range order {
		s.ApplyAny(&log[i])
	}
	require.NoError(t, s.Check())
	return s
}

func canon(s *replica.State) string { return string(s.AppendCanon(nil)) }

func inOrder(n int) []int {
	all := make([]int, n)
	for i := range all {
		all[i] = i
	}
	return all
}
