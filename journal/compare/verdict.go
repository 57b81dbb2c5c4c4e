package compare

// Verdict is what may be said of a pairing beside the benchmark.
type Verdict string

const (
	IsBenchmark   Verdict = "benchmark"
	Better        Verdict = "better"
	Worse         Verdict = "worse"
	Same          Verdict = "about_the_same"
	LikelyBetter  Verdict = "probably_better"
	LikelyWorse   Verdict = "probably_worse"
	WorthTrying   Verdict = "worth_trying" // predicted, not tasted
	Unlikely      Verdict = "unlikely"     // predicted, not tasted
	Predicted     Verdict = "predicted"    // not tasted, and nothing more to say
	NotEnoughData Verdict = "not_enough_data"
)

// Finding is a pairing with its difference, the verdict, and what qualifies it.
type Finding struct {
	Pairing Pairing
	Difference
	Verdict Verdict
	Tasted  int
	Flights int
	// NotBlind: more than half of what it stands on was scored in sight of the labels.
	NotBlind bool
	// Guess: the tastings have settled less than a third of what was open before.
	Guess bool
	// Together: its ingredients are better together than each by itself suggests, confirmed in two flights.
	Together bool
}

const (
	sure, likely     = 0.95, 0.80
	samePoints       = 0.5
	togetherSure     = 0.9
	confirmedFlights = 2
	movedEnough      = 0.3
)

// Find says what may be said of a pairing. In this order: not tasted; better or worse, which takes two tastings in two
// flights; about the same; probably; and otherwise that there is not enough to tell.
func (f *Fit) Find(p Pairing) Finding {
	out := Finding{Pairing: p, Difference: f.Against(p)}
	if it := f.tried[p]; it != nil {
		out.Tasted, out.Flights = it.n, len(it.flights)
		out.NotBlind = it.sighted > it.weight/2
	}
	if p == f.Study.Benchmark {
		out.Verdict = IsBenchmark
		return out
	}
	out.Guess = out.Moved < movedEnough
	if g, ok := f.Together(p); ok && out.Flights >= confirmedFlights {
		out.Together = g.Better() >= togetherSure
	}
	chance := out.Better()
	confirmed := out.Tasted >= 2 && out.Flights >= confirmedFlights
	switch {
	case out.Tasted == 0 && chance >= 0.5:
		out.Verdict = WorthTrying
	case out.Tasted == 0 && chance <= 1-likely:
		out.Verdict = Unlikely
	case out.Tasted == 0:
		out.Verdict = Predicted
	case confirmed && chance >= sure:
		out.Verdict = Better
	case confirmed && chance <= 1-sure:
		out.Verdict = Worse
	case out.Within(samePoints) >= likely:
		out.Verdict = Same
	case chance >= likely:
		out.Verdict = LikelyBetter
	case chance <= 1-likely:
		out.Verdict = LikelyWorse
	default:
		out.Verdict = NotEnoughData
	}
	return out
}

// Groups are the sets of candidates that tastings connect; between two of them nothing was ever compared. Each is named by
// slot and candidate; candidates never tasted are in none.
func (s Study) Groups() [][][2]int {
	index := func(slot, candidate int) int { return slot*MostCandidates + candidate }
	up := map[int]int{}
	var root func(int) int
	root = func(i int) int {
		if up[i] != i {
			up[i] = root(up[i])
		}
		return up[i]
	}
	join := func(p Pairing) {
		for slot := range s.Slots {
			i := index(slot, int(p[slot]))
			if _, ok := up[i]; !ok {
				up[i] = i
			}
			up[root(i)] = root(index(0, int(p[0])))
		}
	}
	for _, t := range s.Tastings {
		join(t.Pairing)
	}
	var out [][][2]int
	place := map[int]int{}
	for slot := range s.Slots {
		for c := range s.Slots[slot].Candidates {
			i := index(slot, c)
			if _, ok := up[i]; !ok {
				continue
			}
			r := root(i)
			at, ok := place[r]
			if !ok {
				at = len(out)
				place[r] = at
				out = append(out, nil)
			}
			out[at] = append(out[at], [2]int{slot, c})
		}
	}
	return out
}
