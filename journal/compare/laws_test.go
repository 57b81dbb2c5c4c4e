package compare

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// anyStudy makes one up: one to three slots, families at times, segments with and without a declaration.
func anyStudy(r *rand.Rand) Study {
	s := Study{}
	for range 1 + r.IntN(3) {
		slot := Slot{Candidates: 1 + r.IntN(5), Touch: r.IntN(4) == 0}
		if r.IntN(3) == 0 {
			for range slot.Candidates {
				slot.Families = append(slot.Families, r.IntN(min(2, slot.Candidates)))
			}
		}
		s.Slots = append(s.Slots, slot)
	}
	for range 1 + r.IntN(4) {
		s.Segments = append(s.Segments, Segment{Declared: float64(r.IntN(20)) / 2, Known: r.IntN(4) > 0, Anchor: []float64{0, AnchorRecalled, AnchorDrunk}[r.IntN(3)]})
	}
	s.Benchmark = anyPairing(r, s)
	for range r.IntN(20) {
		of := 1 + r.IntN(6)
		t := Tasting{Pairing: anyPairing(r, s), Segment: r.IntN(len(s.Segments)), Of: of, Place: r.IntN(of + 1), Score: float64(r.IntN(21)) / 2, Weight: []float64{Blind, HalfBlind, Sighted}[r.IntN(3)]}
		t.Flight = t.Segment
		s.Tastings = append(s.Tastings, t)
	}
	return s
}

func anyPairing(r *rand.Rand, s Study) (p Pairing) {
	for i, slot := range s.Slots {
		p[i] = int16(r.IntN(slot.Candidates))
	}
	return p
}

func studies(t *testing.T, each func(t *testing.T, r *rand.Rand, s Study, f *Fit)) {
	for seed := range uint64(300) {
		r := rand.New(rand.NewPCG(seed, 6))
		s := anyStudy(r)
		f, err := Of(s)
		require.NoError(t, err, "seed %d", seed)
		each(t, r, s, f)
	}
}

func TestRenamingTheBenchmarkChangesNoContrast(t *testing.T) {
	studies(t, func(t *testing.T, r *rand.Rand, s Study, _ *Fit) {
		for i := range s.Segments {
			s.Segments[i].Anchor = 0 // a declaration is a tasting of the benchmark it is of
		}
		f, err := Of(s)
		require.NoError(t, err)
		s.Benchmark = anyPairing(r, s)
		g, err := Of(s)
		require.NoError(t, err)
		p, q := anyPairing(r, s), anyPairing(r, s)
		a, b := f.Between(p, q), g.Between(p, q)
		require.InDelta(t, a.Mean, b.Mean, 1e-9)
		require.InDelta(t, a.SD, b.SD, 1e-9)
	})
}

func TestShiftingASegmentWithItsDeclarationChangesNothing(t *testing.T) {
	studies(t, func(t *testing.T, r *rand.Rand, s Study, _ *Fit) {
		for i := range s.Segments {
			s.Segments[i].Known = true
		}
		f, err := Of(s)
		require.NoError(t, err)
		at, by := r.IntN(len(s.Segments)), float64(r.IntN(9)-4)/2
		moved := s
		moved.Segments, moved.Tastings = slices.Clone(s.Segments), slices.Clone(s.Tastings)
		moved.Segments[at].Declared += by
		for i := range moved.Tastings {
			if moved.Tastings[i].Segment == at {
				moved.Tastings[i].Score += by
			}
		}
		g, err := Of(moved)
		require.NoError(t, err)
		p := anyPairing(r, s)
		require.InDelta(t, f.Against(p).Mean, g.Against(p).Mean, 1e-9)
		require.InDelta(t, f.Against(p).SD, g.Against(p).SD, 1e-9)
	})
}

// TestDeclaringIsNotTasting: stretches in which no glass was scored, however many, declared or not, wherever they lie, change
// no finding, no chance, no price of a plan and no seat of it.
func TestDeclaringIsNotTasting(t *testing.T) {
	studies(t, func(t *testing.T, r *rand.Rand, s Study, f *Fit) {
		more := s
		more.Segments, more.Tastings = nil, slices.Clone(s.Tastings)
		empty := func() {
			for range r.IntN(4) {
				more.Segments = append(more.Segments, Segment{
					Declared: float64(r.IntN(21)) / 2, Known: r.IntN(5) > 0, Anchor: []float64{AnchorRecalled, AnchorDrunk}[r.IntN(2)],
				})
			}
		}
		for i, g := range s.Segments {
			empty()
			for k := range more.Tastings {
				if s.Tastings[k].Segment == i {
					more.Tastings[k].Segment = len(more.Segments)
				}
			}
			more.Segments = append(more.Segments, g)
		}
		empty()
		if r.IntN(10) == 0 {
			more.Segments = append(more.Segments, slices.Repeat([]Segment{{Declared: 7, Known: true, Anchor: AnchorDrunk}}, 2*MostEffects)...)
		}
		g, err := Of(more)
		require.NoError(t, err)
		for _, p := range everyPairing(f) {
			require.Equal(t, f.Find(p), g.Find(p))
		}
		require.Equal(t, [3]float64{f.variance, f.LogEvidence, float64(f.Rows)}, [3]float64{g.variance, g.LogEvidence, float64(g.Rows)})
		ask := Asked{Glasses: 2 + r.IntN(5), Flights: r.IntN(4), Seed: r.Uint64()}
		one, err := f.Plan(ask)
		require.NoError(t, err)
		two, err := g.Plan(ask)
		require.NoError(t, err)
		require.Equal(t, one, two)
	})
}

// TestAnAnchorStandsBesideAScoredGlass: in a stretch with a scored glass the declaration does count.
func TestAnAnchorStandsBesideAScoredGlass(t *testing.T) {
	studies(t, func(t *testing.T, r *rand.Rand, s Study, f *Fit) {
		scored := map[int]bool{}
		for _, taken := range s.Tastings {
			scored[taken.Segment] = true
		}
		want := len(s.Tastings)
		for i, g := range s.Segments {
			if scored[i] && g.Known && g.Anchor > 0 {
				want++
			}
		}
		require.Equal(t, want, f.Rows)
	})
}

func TestOrderOfEntryDoesNotMatter(t *testing.T) {
	studies(t, func(t *testing.T, r *rand.Rand, s Study, f *Fit) {
		mixed := s
		mixed.Tastings = slices.Clone(s.Tastings)
		r.Shuffle(len(mixed.Tastings), func(i, j int) { mixed.Tastings[i], mixed.Tastings[j] = mixed.Tastings[j], mixed.Tastings[i] })
		g, err := Of(mixed)
		require.NoError(t, err)
		for _, p := range everyPairing(f) {
			a, b := f.Find(p), g.Find(p)
			require.InDelta(t, a.Mean, b.Mean, 1e-9)
			require.InDelta(t, a.SD, b.SD, 1e-9)
			require.Equal(t, a.Verdict, b.Verdict)
		}
		ask := Asked{Glasses: 2 + r.IntN(5), Flights: r.IntN(4), Seed: r.Uint64()}
		one, err := f.Plan(ask)
		require.NoError(t, err)
		two, err := g.Plan(ask)
		require.NoError(t, err)
		require.Equal(t, pairingsOf(one), pairingsOf(two))
	})
}

func pairingsOf(seats []Seat) (out []Pairing) {
	for _, s := range seats {
		out = append(out, s.Pairing)
	}
	return out
}

// A plan holds what it promises for any input: the benchmark once and first, no pairing twice, never more glasses than
// asked for, nothing that is benched, and the same for the same seed.
func TestAPlanHolds(t *testing.T) {
	studies(t, func(t *testing.T, r *rand.Rand, s Study, f *Fit) {
		benched := map[[2]int]bool{}
		for slot := range s.Slots {
			for c := range s.Slots[slot].Candidates {
				benched[[2]int{slot, c}] = r.IntN(4) == 0 && int(s.Benchmark[slot]) != c
			}
		}
		ask := Asked{Glasses: 2 + r.IntN(5), Flights: r.IntN(4), Seed: r.Uint64(), Open: func(slot, c int) bool { return !benched[[2]int{slot, c}] }}
		seats, err := f.Plan(ask)
		require.NoError(t, err)
		require.LessOrEqual(t, len(seats), ask.Glasses)
		require.Equal(t, s.Benchmark, seats[0].Pairing)
		seen := map[Pairing]bool{}
		for _, seat := range seats {
			require.False(t, seen[seat.Pairing])
			seen[seat.Pairing] = true
			require.True(t, s.has(seat.Pairing))
			for slot := range s.Slots {
				require.False(t, benched[[2]int{slot, int(seat.Pairing[slot])}])
			}
			require.False(t, math.IsNaN(seat.Gain) || math.IsInf(seat.Gain, 0))
		}
		again, err := f.Plan(ask)
		require.NoError(t, err)
		require.Equal(t, seats, again)

		seeds := &Seeds{ask.Seed}
		order := Order(len(s.Slots), seats, s.Benchmark, nil, seeds)
		require.ElementsMatch(t, indexes(len(seats)), order)
		require.Equal(t, order, Order(len(s.Slots), seats, s.Benchmark, nil, &Seeds{ask.Seed}))
		codes := seeds.Codes(len(seats), nil)
		first := map[int]bool{}
		for _, code := range codes {
			require.True(t, code >= 102 && code <= 987)
			require.False(t, first[code/100])
			first[code/100] = true
		}
	})
}

func indexes(n int) (out []int) {
	for i := range n {
		out = append(out, i)
	}
	return out
}

// An interval holds its estimate, a chance is one, and the more is tasted of a pairing the less is open about it.
// TestRepeatedFlightsAreBalanced: the same glasses served again and again stand in every place equally often, and follow
// each other equally often (Williams 1949), whatever was served between.
func TestRepeatedFlightsAreBalanced(t *testing.T) {
	for n := 2; n <= MostGlasses; n++ {
		seeds := &Seeds{uint64(n)}
		seats := make([]Seat, n)
		for i := range seats {
			seats[i].Pairing = Pairing{int16(i)}
		}
		other := []Served{{Pairing: Pairing{0}, Of: 2}, {Pairing: Pairing{9}, Place: 1, Of: 2}}
		var earlier [][]Served
		places, pairs := map[[2]int]int{}, map[[2]int]int{}
		flights := len(Williams(n))
		for range flights {
			order := Order(1, seats, Pairing{}, earlier, seeds)
			var flight []Served
			for place, at := range order {
				places[[2]int{at, place}]++
				if place > 0 {
					pairs[[2]int{order[place-1], at}]++
				}
				flight = append(flight, Served{Pairing: seats[at].Pairing, Place: place, Of: n})
			}
			earlier = append(earlier, flight, other)
		}
		require.Len(t, places, n*n)
		require.Len(t, pairs, n*(n-1))
		for _, often := range places {
			require.Equal(t, flights/n, often)
		}
		for _, often := range pairs {
			require.Equal(t, flights/n, often)
		}
	}
}

func TestWhatIsSaidHangsTogether(t *testing.T) {
	studies(t, func(t *testing.T, r *rand.Rand, s Study, f *Fit) {
		p := anyPairing(r, s)
		d := f.Against(p)
		low, high := d.Interval(0.9)
		require.True(t, low <= d.Mean && d.Mean <= high)
		for _, chance := range []float64{d.Better(), d.Within(samePoints)} {
			require.True(t, chance >= 0 && chance <= 1, chance)
		}
		require.True(t, d.Moved >= 0 && d.Moved <= 1)
		if p == s.Benchmark {
			require.Zero(t, d.SD)
			return
		}
		more := s
		more.Tastings = append(slices.Clone(s.Tastings), Tasting{Pairing: p, Segment: 0, Weight: Blind, Score: 7}, Tasting{Pairing: s.Benchmark, Segment: 0, Weight: Blind, Score: 7})
		g, err := Of(more)
		require.NoError(t, err)
		e := g.Against(p)
		require.Less(t, e.SD/math.Sqrt(g.variance), d.SD/math.Sqrt(f.variance)+1e-12)
	})
}

func TestRefused(t *testing.T) {
	whole := func() Study {
		return Study{Slots: []Slot{{Candidates: 2}}, Segments: []Segment{{Declared: 7, Known: true}}, Tastings: []Tasting{{Weight: 1, Score: 7}}}
	}
	_, err := Of(whole())
	require.NoError(t, err)
	for name, c := range map[string]struct {
		spoil func(*Study)
		want  error
	}{
		"no slot":             {func(s *Study) { s.Slots = nil }, ErrSlots},
		"five slots":          {func(s *Study) { s.Slots = slices.Repeat([]Slot{{Candidates: 2}}, 5) }, ErrSlots},
		"no candidate":        {func(s *Study) { s.Slots[0].Candidates = 0 }, ErrSlots},
		"families short":      {func(s *Study) { s.Slots[0].Families = []int{0} }, ErrSlots},
		"a family too far":    {func(s *Study) { s.Slots[0].Families = []int{0, 2} }, ErrSlots},
		"benchmark not there": {func(s *Study) { s.Benchmark = Pairing{2} }, ErrTastings},
		"candidate not there": {func(s *Study) { s.Tastings[0].Pairing = Pairing{0, 1} }, ErrTastings},
		"segment not there":   {func(s *Study) { s.Tastings[0].Segment = 1 }, ErrSegments},
		"place beyond":        {func(s *Study) { s.Tastings[0].Place = 1 }, ErrTastings},
		"score is no number":  {func(s *Study) { s.Tastings[0].Score = math.NaN() }, ErrNumbers},
		"weight is none":      {func(s *Study) { s.Tastings[0].Weight = 0 }, ErrNumbers},
		"declared is none":    {func(s *Study) { s.Segments[0].Declared = math.Inf(1) }, ErrNumbers},
		"too many":            {func(s *Study) { s.Tastings = slices.Repeat(s.Tastings, MostTastings+1) }, ErrTastings},
		"too wide": {func(s *Study) {
			s.Slots = slices.Repeat([]Slot{{Candidates: 200}}, 4)
		}, ErrEffects},
	} {
		t.Run(name, func(t *testing.T) {
			s := whole()
			c.spoil(&s)
			_, err := Of(s)
			require.ErrorIs(t, err, c.want)
		})
	}
	f, err := Of(whole())
	require.NoError(t, err)
	for _, n := range []int{-1, 0, 1, 7} {
		_, err := f.Plan(Asked{Glasses: n})
		require.ErrorIs(t, err, ErrGlasses)
	}
	wide := Study{Slots: []Slot{{Candidates: 60}, {Candidates: 60}}, Segments: []Segment{{}}}
	f, err = Of(wide)
	require.NoError(t, err)
	_, err = f.Plan(Asked{Glasses: 3})
	require.ErrorIs(t, err, ErrPairings)
}

// TestVerdicts: the words follow the rule of the table, in its order.
func TestVerdicts(t *testing.T) {
	base := Study{Slots: []Slot{{Candidates: 3}}, Segments: []Segment{{Declared: 7, Known: true, Anchor: AnchorDrunk}, {Declared: 7, Known: true, Anchor: AnchorDrunk}}}
	taste := func(candidate int16, score float64, n int, weight float64) (out []Tasting) {
		for i := range n {
			out = append(out, Tasting{Pairing: Pairing{candidate}, Segment: i % 2, Flight: i % 2, Score: score, Weight: weight})
		}
		return out
	}
	with := func(all ...[]Tasting) *Fit {
		s := base
		s.Tastings = slices.Concat(all...)
		return fitted(t, s)
	}
	require.Equal(t, IsBenchmark, with().Find(Pairing{0}).Verdict)
	require.Equal(t, WorthTrying, with(taste(0, 7, 2, Blind)).Find(Pairing{1}).Verdict)
	require.Equal(t, Better, with(taste(0, 7, 4, Blind), taste(1, 9.5, 4, Blind)).Find(Pairing{1}).Verdict)
	require.Equal(t, Worse, with(taste(0, 7, 4, Blind), taste(1, 4, 4, Blind)).Find(Pairing{1}).Verdict)
	once := with(taste(0, 7, 4, Blind), taste(1, 10, 1, Blind)).Find(Pairing{1})
	require.Equal(t, LikelyBetter, once.Verdict, "one tasting is never enough to say better")
	require.Equal(t, Same, with(taste(0, 7, 20, Blind), taste(1, 7, 20, Blind)).Find(Pairing{1}).Verdict)
	thin := with(taste(1, 7, 1, Sighted)).Find(Pairing{1})
	require.Equal(t, NotEnoughData, thin.Verdict)
	require.True(t, thin.NotBlind)
	require.False(t, once.NotBlind)
}

// A flight that is said to fit never goes over its limit, whatever was drunk and however many glasses it has.
func TestAFlightThatFitsKeepsItsLimit(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	both := map[bool]int{}
	for range 5000 {
		drunk, limit := float64(r.IntN(40)), float64(r.IntN(60))
		var glasses []float64
		want := drunk
		for range r.IntN(8) {
			g := float64(r.IntN(100)) / 10
			glasses, want = append(glasses, g), want+g
		}
		sum, fits := Fits(drunk, glasses, limit)
		require.InDelta(t, want, drunk+sum, 1e-9)
		require.Equal(t, drunk+sum <= limit, fits)
		both[fits]++
	}
	require.Greater(t, both[true], 500)
	require.Greater(t, both[false], 500)
}
