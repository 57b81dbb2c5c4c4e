package compare

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// simulated is one way of choosing flights, over many made-up drinkers: how far what the model picks falls short of the
// truly best, how often it is the best, how often a 90 % interval holds the truth, and how often "better" is said of what
// is not.
type simulated struct {
	shortfall, best, covered, falseBetter float64
}

// The world of the simulation: ten ingredients by two, flights of four and the benchmark, half-point scores.
const (
	worldA, worldB = 10, 2
	worldSD        = 0.8
	worldTogether  = 0.4
	worldSegment   = 0.5
	worldGlasses   = 5
)

type chooser func(f *Fit, flight int, seeds *Seeds) []Pairing

func planned(f *Fit, flight int, seeds *Seeds) []Pairing {
	seats, err := f.Plan(Asked{Glasses: worldGlasses, Flights: flight, Seed: seeds.Next()})
	if err != nil {
		panic(err)
	}
	return pairingsOf(seats)
}

func atRandom(f *Fit, _ int, seeds *Seeds) []Pairing {
	out := []Pairing{f.Study.Benchmark}
	for len(out) < worldGlasses {
		p := Pairing{int16(seeds.Below(worldA)), int16(seeds.Below(worldB))}
		if !slices.Contains(out, p) {
			out = append(out, p)
		}
	}
	return out
}

// oneAtATime goes through the first slot with the benchmark's second, then the second with the benchmark's first.
func oneAtATime(f *Fit, flight int, _ *Seeds) []Pairing {
	var all []Pairing
	for a := int16(1); a < worldA; a++ {
		all = append(all, Pairing{a, 0})
	}
	all = append(all, Pairing{0, 1})
	out := []Pairing{f.Study.Benchmark}
	for i := range worldGlasses - 1 {
		out = append(out, all[(flight*(worldGlasses-1)+i)%len(all)])
	}
	return out
}

func simulate(choose chooser, tastings, runs int, seed uint64) (out simulated) {
	said := 0.0
	for run := range runs {
		seeds := &Seeds{seed + uint64(run)*7919}
		truth := map[Pairing]float64{}
		a, b := make([]float64, worldA), make([]float64, worldB)
		for i := range a {
			a[i] = worldSD * seeds.normal()
		}
		for i := range b {
			b[i] = worldSD * seeds.normal()
		}
		for i := range a {
			for j := range b {
				truth[Pairing{int16(i), int16(j)}] = a[i] + b[j] + worldTogether*seeds.normal()
			}
		}
		s := Study{Slots: []Slot{{Candidates: worldA}, {Candidates: worldB}}}
		f, err := Of(s)
		if err != nil {
			panic(err)
		}
		for flight := 0; len(s.Tastings) < tastings; flight++ {
			off := worldSegment * seeds.normal()
			s.Segments = append(s.Segments, Segment{Declared: 7, Known: true, Anchor: AnchorDrunk})
			for place, p := range choose(f, flight, seeds) {
				score := 7 + off + truth[p] - truth[s.Benchmark] + usualSD*seeds.normal()
				s.Tastings = append(s.Tastings, Tasting{
					Pairing: p, Segment: flight, Flight: flight, Place: place + 1, Of: worldGlasses, Weight: Blind, Score: math.Round(2*score) / 2,
				})
			}
			if f, err = Of(s); err != nil {
				panic(err)
			}
		}
		best, picked := Pairing{}, Pairing{}
		most, expected := math.Inf(-1), math.Inf(-1)
		for i := range a {
			for j := range b {
				p := Pairing{int16(i), int16(j)}
				if truth[p] > most {
					best, most = p, truth[p]
				}
				it := f.Find(p)
				if it.Mean > expected {
					picked, expected = p, it.Mean
				}
				if p == s.Benchmark {
					continue
				}
				low, high := it.Interval(0.9)
				if d := truth[p] - truth[s.Benchmark]; low <= d && d <= high {
					out.covered++
				}
				if it.Verdict == Better {
					said++
					if truth[p] <= truth[s.Benchmark] {
						out.falseBetter++
					}
				}
			}
		}
		out.shortfall += most - truth[picked]
		if picked == best {
			out.best++
		}
	}
	n := float64(runs)
	out.shortfall, out.best, out.covered = out.shortfall/n, out.best/n, out.covered/n/(worldA*worldB-1)
	if said > 0 {
		out.falseBetter /= said
	}
	return out
}

// TestThePlanLearnsFaster reproduces by simulation what the rule was chosen for: at 25 and at 40 tastings it falls short of
// the best by less than picks at random, or one ingredient after the other, and by more than chance between runs; 90 %
// intervals hold the truth 85 to 95 times in a hundred. It runs as often as the table it is held against.
func TestThePlanLearnsFaster(t *testing.T) {
	const runs, room = 300, 0.06 // the error of a difference of two such figures is about 0.04
	// Section 3.4: shortfall in points with 25 and with 40 tastings, the benchmark among them; its error is about 0.03.
	for _, row := range []struct {
		tastings               int
		plan, random, oneByOne float64
	}{{25, 0.22, 0.35, 0.42}, {40, 0.11, 0.31, 0.34}} {
		plan := simulate(planned, row.tastings, runs, 11)
		random := simulate(atRandom, row.tastings, runs, 11)
		single := simulate(oneAtATime, row.tastings, runs, 11)
		t.Logf("%d tastings, %d runs: the plan %+v; at random %+v; one at a time %+v", row.tastings, runs, plan, random, single)
		require.InDelta(t, row.plan, plan.shortfall, room)
		require.InDelta(t, row.random, random.shortfall, room)
		require.InDelta(t, row.oneByOne, single.shortfall, room)
		require.Less(t, plan.shortfall, random.shortfall-room)
		require.Less(t, plan.shortfall, single.shortfall-room)
		require.Greater(t, plan.best, random.best)
		require.Greater(t, plan.best, single.best)
		for _, way := range []simulated{plan, random, single} {
			require.InDelta(t, 0.90, way.covered, 0.05)
		}
		require.Less(t, plan.falseBetter, 0.05, "of what is called better, so much is not")
	}
}
