package compare

import (
	"math"
	"slices"
)

// Priors are what is believed before any tasting: variances as multiples of that of one score, and how that variance
// itself is distributed. All are our own choice; see DEVELOPERS.md.
type Priors struct {
	Mean, Declared, Undeclared float64
	Slot, Touch                float64
	Family, InFamily           float64
	Together                   float64 // what a pairing brings beyond its ingredients
	Place                      float64
	A0, B0                     float64
}

// usualSD is the spread of one score of one taster: half points on a scale of ten, half of it used.
const usualSD = 0.8

// Usual are the priors used everywhere.
var Usual = Priors{
	Mean: ratio(3), Declared: ratio(0.5), Undeclared: ratio(2),
	Slot: ratio(0.8), Touch: ratio(0.5), Family: ratio(0.5), InFamily: ratio(0.6),
	Together: ratio(0.4), Place: ratio(0.1), A0: 2, B0: 2 * usualSD * usualSD,
}

func ratio(sd float64) float64 { return sd * sd / (usualSD * usualSD) }

// Fit is what the tastings say. Its Study has only the segments in which a glass was scored. Effects are columns: the mean, one for each segment, one for each candidate (and family),
// one for each tasted pairing, one for the place in the serving.
type Fit struct {
	Study       Study
	Degrees     int
	LogEvidence float64
	Rows        int
	priors      Priors
	ratios      []float64
	effects     []float64
	inverse     square
	variance    float64
	segments    int // the column of the first
	slots       [MostSlots]struct{ first, family int }
	together    map[Pairing]int
	place       int
	tried       map[Pairing]*tried
	scale       []float64 // the benchmark's score in each segment that was declared, scored in or not
}

// tried is how often a pairing was tasted, in how many flights and how openly.
type tried struct {
	n               int
	flights         []int
	weight, sighted float64
	scores          []float64
}

// Of fits a study.
func Of(s Study) (*Fit, error) { return With(s, Usual) }

// With fits a study with other priors.
func With(s Study, p Priors) (*Fit, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	f := &Fit{priors: p, together: map[Pairing]int{}, tried: map[Pairing]*tried{}, scale: s.declared()}
	s = s.scored()
	f.Study = s
	f.columns()
	if len(f.ratios) > MostEffects {
		return nil, ErrEffects
	}
	n := len(f.ratios)
	k, r := newSquare(n), make([]float64, n)
	for i, x := range f.ratios {
		k.set(i, i, 1/x)
	}
	var zwz, logWeights float64
	add := func(x vector, z, w float64) {
		for _, t := range x {
			r[t.at] += w * t.x * z
			for _, u := range x {
				k.a[t.at*n+u.at] += w * t.x * u.x
			}
		}
		zwz += w * z * z
		logWeights += math.Log(w)
		f.Rows++
	}
	declared := s.declared()
	for _, t := range s.Tastings {
		add(f.row(t), t.Score-declared[t.Segment], t.Weight)
	}
	for i, g := range s.Segments {
		if g.Anchor > 0 && g.Known {
			add(f.glass(s.Benchmark, f.segments+i), 0, g.Anchor)
		}
	}
	if !k.factor() {
		return nil, ErrNumbers
	}
	f.effects = slices.Clone(r)
	k.solve(f.effects)
	var fitted, logRatios float64
	for i, x := range f.effects {
		fitted += x * r[i]
		logRatios += math.Log(1 / f.ratios[i])
	}
	rows := float64(f.Rows)
	a, b := p.A0+rows/2, p.B0+(zwz-fitted)/2
	if !(b > 0) {
		return nil, ErrNumbers
	}
	f.variance, f.Degrees = b/a, int(math.Round(2*a))
	ga, _ := math.Lgamma(a)
	g0, _ := math.Lgamma(p.A0)
	f.LogEvidence = -rows/2*math.Log(2*math.Pi) + logWeights/2 + logRatios/2 - k.logDet()/2 + p.A0*math.Log(p.B0) - a*math.Log(b) + ga - g0
	f.inverse = k.inverse()
	return f, nil
}

// scored is the study without the segments in which no glass was scored. To say what the benchmark is worth tells nothing
// of any glass: it is held against the glasses scored after it, and until there is one nothing is known that was not before.
func (s Study) scored() Study {
	at := make([]int, len(s.Segments)) // each segment's new number and one
	for _, t := range s.Tastings {
		at[t.Segment] = 1
	}
	all := s.Segments
	s.Segments, s.Tastings = nil, slices.Clone(s.Tastings)
	for i, g := range all {
		if at[i] > 0 {
			s.Segments = append(s.Segments, g)
			at[i] = len(s.Segments)
		}
	}
	for i := range s.Tastings {
		s.Tastings[i].Segment = at[s.Tastings[i].Segment] - 1
	}
	return s
}

// declared gives the benchmark's score of each segment: its own, else that of the last before that has one, else of the
// first that has.
func (s Study) declared() []float64 {
	out := make([]float64, len(s.Segments))
	last, known := 0.0, false
	for i := len(s.Segments) - 1; i >= 0; i-- {
		if s.Segments[i].Known {
			last, known = s.Segments[i].Declared, true
		}
	}
	if !known && len(s.Tastings) > 0 { // nobody ever said: the mean of the scores stands for it
		for _, t := range s.Tastings {
			last += t.Score / float64(len(s.Tastings))
		}
	}
	for i, g := range s.Segments {
		if g.Known {
			last = g.Declared
		}
		out[i] = last
	}
	return out
}

func (f *Fit) columns() {
	p := f.priors
	add := func(ratio float64) int {
		f.ratios = append(f.ratios, ratio)
		return len(f.ratios) - 1
	}
	add(p.Mean)
	f.segments = len(f.ratios)
	for _, g := range f.Study.Segments {
		if g.Known {
			add(p.Declared)
		} else {
			add(p.Undeclared)
		}
	}
	for i, slot := range f.Study.Slots {
		each := p.Slot
		switch {
		case len(slot.Families) > 0:
			each = p.InFamily
		case slot.Touch:
			each = p.Touch
		}
		f.slots[i].first, f.slots[i].family = len(f.ratios), -1
		for range slot.Candidates {
			add(each)
		}
		if len(slot.Families) > 0 {
			f.slots[i].family = len(f.ratios)
			for range slices.Max(slot.Families) + 1 {
				add(p.Family)
			}
		}
	}
	tasted := func(pairing Pairing) {
		if _, ok := f.together[pairing]; !ok {
			f.together[pairing] = -1
		}
	}
	for _, t := range f.Study.Tastings {
		tasted(t.Pairing)
		it := f.tried[t.Pairing]
		if it == nil {
			it = &tried{}
			f.tried[t.Pairing] = it
		}
		it.n++
		it.weight += t.Weight
		if t.Weight <= Sighted {
			it.sighted += t.Weight
		}
		it.scores = append(it.scores, t.Score)
		if !slices.Contains(it.flights, t.Flight) {
			it.flights = append(it.flights, t.Flight)
		}
	}
	for _, g := range f.Study.Segments {
		if g.Anchor > 0 && g.Known {
			tasted(f.Study.Benchmark)
		}
	}
	// In an order of their own, so that the order of entry does not matter.
	all := make([]Pairing, 0, len(f.together))
	for pairing := range f.together {
		i := len(all)
		all = append(all, pairing)
		for ; i > 0 && pairing.Compare(all[i-1]) < 0; i-- {
			all[i] = all[i-1]
		}
		all[i] = pairing
	}
	for _, pairing := range all {
		f.together[pairing] = add(p.Together)
	}
	f.place = add(p.Place)
}

// row is what a tasting is made of.
func (f *Fit) row(t Tasting) vector {
	v := f.glass(t.Pairing, f.segments+t.Segment)
	if t.Place > 0 {
		v = append(v, term{f.place, float64(t.Place) - float64(t.Of+1)/2})
	}
	return v
}

// glass is a pairing in a segment, at no place.
func (f *Fit) glass(p Pairing, segment int) vector {
	return append(f.made(p), term{0, 1}, term{segment, 1})
}

// made is what a pairing brings: its ingredients, and what they bring together when it was tasted.
func (f *Fit) made(p Pairing) vector {
	v := make(vector, 0, 2*MostSlots+3)
	for i, slot := range f.Study.Slots {
		v = append(v, term{f.slots[i].first + int(p[i]), 1})
		if f.slots[i].family >= 0 {
			v = append(v, term{f.slots[i].family + slot.Families[p[i]], 1})
		}
	}
	if at, ok := f.together[p]; ok {
		v = append(v, term{at, 1})
	}
	return v
}

// Difference is an estimate of a difference in points, with Student's t about it.
type Difference struct {
	Mean, SD float64
	Degrees  int
	// Moved is how much of what was open before any tasting the data have settled, 0 to 1.
	Moved float64
}

// Better is the chance that the difference is above nought.
func (d Difference) Better() float64 {
	if d.SD == 0 {
		switch {
		case d.Mean > 0:
			return 1
		case d.Mean < 0:
			return 0
		}
		return 0.5
	}
	return Student(d.Mean/d.SD, d.Degrees)
}

// Within is the chance that it is less than so many points either way.
func (d Difference) Within(points float64) float64 {
	if d.SD == 0 {
		if math.Abs(d.Mean) < points {
			return 1
		}
		return 0
	}
	return Student((points-d.Mean)/d.SD, d.Degrees) - Student((-points-d.Mean)/d.SD, d.Degrees)
}

// Interval holds it with that chance, the same on both sides.
func (d Difference) Interval(chance float64) (low, high float64) {
	h := StudentQuantile((1+chance)/2, d.Degrees) * d.SD
	return d.Mean - h, d.Mean + h
}

// difference of a sparse combination of effects, with unseen pairings in it as so much more variance.
func (f *Fit) difference(c vector, unseen float64) Difference {
	after, before := c.within(f.inverse)+unseen, unseen
	for _, t := range c {
		before += t.x * t.x * f.ratios[t.at]
	}
	d := Difference{Mean: c.dot(f.effects), Degrees: f.Degrees}
	if after > 0 {
		d.SD = math.Sqrt(f.variance * after)
	}
	if before > 0 {
		d.Moved = max(0, 1-after/before)
	}
	return d
}

// Between is one pairing less another.
func (f *Fit) Between(p, q Pairing) Difference {
	if p == q {
		return Difference{Degrees: f.Degrees, Moved: 1}
	}
	c, unseen := f.apart(p, q)
	return f.difference(c, unseen)
}

func (f *Fit) apart(p, q Pairing) (vector, float64) {
	unseen := 0.0
	for _, it := range [2]Pairing{p, q} {
		if _, ok := f.together[it]; !ok {
			unseen += f.priors.Together
		}
	}
	return f.made(p).plus(-1, f.made(q)), unseen
}

// Against is a pairing less the benchmark.
func (f *Fit) Against(p Pairing) Difference { return f.Between(p, f.Study.Benchmark) }

// Brings is what a candidate brings of itself to its slot, less what the benchmark's own there brings.
func (f *Fit) Brings(slot, candidate int) Difference {
	own := int(f.Study.Benchmark[slot])
	if candidate == own {
		return Difference{Degrees: f.Degrees, Moved: 1}
	}
	at := f.slots[slot]
	c := vector{{at.first + candidate, 1}, {at.first + own, -1}}
	if at.family >= 0 {
		fs := f.Study.Slots[slot].Families
		c = c.plus(1, vector{{at.family + fs[candidate], 1}}).plus(-1, vector{{at.family + fs[own], 1}})
	}
	return f.difference(c, 0)
}

// FamilyBrings is what one family of a slot brings less another.
func (f *Fit) FamilyBrings(slot, family, than int) (Difference, bool) {
	at := f.slots[slot].family
	if at < 0 || family == than {
		return Difference{Degrees: f.Degrees}, false
	}
	return f.difference(vector{{at + family, 1}, {at + than, -1}}, 0), true
}

// Together is what a tasted pairing brings beyond its ingredients; false when it was not tasted.
func (f *Fit) Together(p Pairing) (Difference, bool) {
	at, ok := f.together[p]
	if !ok {
		return Difference{}, false
	}
	return f.difference(vector{{at, 1}}, 0), true
}

// OnTodaysScale gives a score of one segment as it would stand in another, by the numbers the segments have in the study that
// was fitted.
func (f *Fit) OnTodaysScale(score float64, from, to int) float64 {
	return score - f.scale[from] + f.scale[to]
}
