package compare

import (
	"errors"
	"math"
	"slices"
)

// Reason is why a glass is in a flight.
type Reason string

const (
	ForBenchmark Reason = "benchmark" // every flight holds it: it ties the evening's scores to the others
	ForLeader    Reason = "leader"    // the best so far, again: to confirm it or not
	ForNew       Reason = "new"       // an ingredient that was not tasted yet
	ForPromise   Reason = "promise"   // it may turn out better than the best so far
)

// Seat is one glass of a planned flight.
type Seat struct {
	Pairing Pairing
	Reason  Reason
	// Gain is what is expected of it: points over the best so far, or with ForNew how much it settles.
	Gain float64
}

// Asked is what a plan is asked for.
type Asked struct {
	// Glasses in all, with the benchmark. How many and how large they are is the taster's word, never the planner's.
	Glasses int
	// Flights tasted of this drink before: from the third flight on the leader has a place.
	Flights int
	Seed    uint64
	// Open says which candidates may stand in a slot; nil: all. What is benched stays in the fit and out of the flight.
	Open func(slot, candidate int) bool
}

// The fewest and the most glasses of one flight.
const (
	FewestGlasses = 2
	MostGlasses   = 6
)

var (
	ErrGlasses  = errors.New("compare: expected 2 to 6 glasses in a flight")
	ErrPairings = errors.New("compare: too many pairings to look at: expected at most 2500; put some ingredients on the bench")
)

// Plan chooses the glasses of the next flight: the benchmark; from the third flight on the leader; then, for up to half of
// the places after the benchmark, ingredients not tasted yet, each in the pairing that settles most; the rest by how much
// better than the leader they may be expected to be. There may be fewer glasses than asked for when there are too few
// pairings.
func (f *Fit) Plan(a Asked) ([]Seat, error) {
	if a.Glasses < FewestGlasses || a.Glasses > MostGlasses {
		return nil, ErrGlasses
	}
	all, err := f.pairings(a.Open)
	if err != nil {
		return nil, err
	}
	p := f.planning(a.Seed)
	leader, best := f.Study.Benchmark, 0.0
	for pairing := range f.tried {
		d := rounded(f.Against(pairing).Mean)
		if d > best || d == best && pairing != leader && leader != f.Study.Benchmark && pairing.Compare(leader) < 0 {
			leader, best = pairing, d
		}
	}
	p.take(f.Study.Benchmark, ForBenchmark, 0)
	if a.Flights >= 2 && leader != f.Study.Benchmark && slices.Contains(all, leader) {
		p.take(leader, ForLeader, 0)
	}
	for len(p.seats)-1 < a.Glasses/2 && len(p.seats) < a.Glasses {
		if !p.best(all, ForNew, p.settles) {
			break
		}
	}
	for len(p.seats) < a.Glasses {
		if !p.best(all, ForPromise, func(it Pairing) float64 { return p.promise(it, leader) }) {
			break
		}
	}
	return p.seats, nil
}

// pairings lists every pairing of open candidates; the benchmark is always among them.
func (f *Fit) pairings(open func(slot, candidate int) bool) ([]Pairing, error) {
	all := []Pairing{{}}
	for i, slot := range f.Study.Slots {
		var grown []Pairing
		for _, p := range all {
			for c := range slot.Candidates {
				if open != nil && !open(i, c) {
					continue
				}
				p[i] = int16(c)
				grown = append(grown, p)
			}
			if len(grown) > MostPairings {
				return nil, ErrPairings
			}
		}
		all = grown
	}
	return all, nil
}

type planning struct {
	*Fit
	cov     square
	next    int
	seeds   *Seeds
	seats   []Seat
	touched [MostSlots][]bool // the candidates that were tasted, or are in this flight
}

func (f *Fit) planning(seed uint64) *planning {
	n := len(f.ratios)
	p := &planning{Fit: f, cov: newSquare(n + 1), next: n, seeds: &Seeds{seed}}
	for i := range n {
		copy(p.cov.a[i*(n+1):], f.inverse.a[i*n:(i+1)*n])
	}
	// The next flight is a segment of its own, of which nothing is known yet.
	p.cov.set(n, n, f.priors.Declared)
	for i, slot := range f.Study.Slots {
		p.touched[i] = make([]bool, slot.Candidates)
	}
	for it := range f.tried {
		p.touch(it)
	}
	return p
}

func (p *planning) touch(it Pairing) {
	for i := range p.Study.Slots {
		p.touched[i][it[i]] = true
	}
}

// take puts a pairing into the flight and reckons as if it had been scored: what is uncertain shrinks, what is expected
// stays.
func (p *planning) take(it Pairing, why Reason, gain float64) {
	p.seats = append(p.seats, Seat{it, why, gain})
	p.touch(it)
	x := p.glass(it, p.next)
	noise := 1.0
	if _, ok := p.together[it]; !ok {
		noise += p.priors.Together
	}
	through := x.times(p.cov)
	by := noise + x.dot(through)
	for i, a := range through {
		if a == 0 {
			continue
		}
		row := p.cov.a[i*p.cov.n : (i+1)*p.cov.n]
		for j, b := range through {
			row[j] -= a * b / by
		}
	}
}

func (p *planning) taken(it Pairing) bool {
	return slices.ContainsFunc(p.seats, func(s Seat) bool { return s.Pairing == it })
}

// untouched tells whether a pairing holds a candidate that nothing in the journal or in this flight has.
func (p *planning) untouched(it Pairing) bool {
	for i := range p.Study.Slots {
		if !p.touched[i][it[i]] {
			return true
		}
	}
	return false
}

// settles is how much scoring a pairing would settle.
func (p *planning) settles(it Pairing) float64 {
	gain := p.glass(it, p.next).within(p.cov)
	if _, ok := p.together[it]; !ok {
		gain += p.priors.Together
	}
	return gain
}

// promise is how far above the leader a pairing may be expected to lie, where it lies above.
func (p *planning) promise(it, leader Pairing) float64 {
	unseen := 0.0
	if _, ok := p.together[it]; !ok {
		unseen = p.priors.Together
	}
	d := p.made(it)
	for _, t := range p.made(leader) {
		d = append(d, term{t.at, -t.x})
	}
	return ExpectedGain(d.dot(p.effects), math.Sqrt(p.variance*(d.within(p.cov)+unseen)))
}

// ExpectedGain is the mean of what a normal quantity has above nought.
func ExpectedGain(mean, sd float64) float64 {
	if !(sd > 0) {
		return max(mean, 0)
	}
	t := mean / sd
	return sd * (normalDensity(t) + t*Normal(t))
}

// best takes the pairing with the greatest gain; of equal ones the one tasted least, and of these one by lot. False when
// none is left.
func (p *planning) best(all []Pairing, why Reason, gain func(Pairing) float64) bool {
	var found []Pairing
	most, least := math.Inf(-1), 0
	for _, it := range all {
		if p.taken(it) || why == ForNew && !p.untouched(it) {
			continue
		}
		g, n := rounded(gain(it)), 0
		if t := p.tried[it]; t != nil {
			n = t.n
		}
		switch {
		case g > most || g == most && n < least:
			found, most, least = append(found[:0], it), g, n
		case g == most && n == least:
			found = append(found, it)
		}
	}
	if len(found) == 0 {
		return false
	}
	it := found[0]
	if len(found) > 1 {
		it = found[p.seeds.Below(uint64(len(found)))]
	}
	p.take(it, why, most)
	return true
}

// rounded makes a figure the same on every machine: the last digits of a float are not.
func rounded(x float64) float64 { return math.Round(x*1e9) / 1e9 }
