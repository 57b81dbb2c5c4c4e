package compare

import "math"

// Choice is how often the first of two was preferred to the second; half a time each when they were called equal.
type Choice struct {
	First, Second int
	Times         float64
}

// Abilities are log-abilities by Bradley and Terry, with what is open about their differences.
type Abilities struct {
	Values  []float64
	inverse square
}

// Apart is one less another, with its standard deviation and the chance that it is better.
func (a Abilities) Apart(i, j int) (mean, sd, better float64) {
	mean = a.Values[i] - a.Values[j]
	sd = math.Sqrt(max(0, a.inverse.at(i, i)+a.inverse.at(j, j)-2*a.inverse.at(i, j)))
	if sd == 0 {
		return mean, 0, 0.5
	}
	return mean, sd, Normal(mean / sd)
}

// PriorAbility is the standard deviation of a log-ability before any choice. It keeps the estimate finite when one side
// always won.
const PriorAbility = 1.0

// Choose estimates abilities of n things from forced choices, with independent normal priors of that standard deviation.
func Choose(n int, choices []Choice, prior float64) (Abilities, bool) {
	const most, near = 30, 1e-10
	values := make([]float64, n)
	for range most {
		h, g := newSquare(n), make([]float64, n)
		for i := range n {
			h.set(i, i, 1/(prior*prior))
			g[i] = -values[i] / (prior * prior)
		}
		for _, c := range choices {
			if c.First < 0 || c.First >= n || c.Second < 0 || c.Second >= n || c.First == c.Second || !(c.Times >= 0) {
				return Abilities{}, false
			}
			p := 1 / (1 + math.Exp(values[c.Second]-values[c.First]))
			g[c.First] += c.Times * (1 - p)
			g[c.Second] -= c.Times * (1 - p)
			w := c.Times * p * (1 - p)
			h.a[c.First*n+c.First] += w
			h.a[c.Second*n+c.Second] += w
			h.a[c.First*n+c.Second] -= w
			h.a[c.Second*n+c.First] -= w
		}
		if !h.factor() {
			return Abilities{}, false
		}
		h.solve(g)
		largest := 0.0
		for i, x := range g {
			values[i] += x
			largest = max(largest, math.Abs(x))
		}
		if !(largest < math.Inf(1)) {
			return Abilities{}, false
		}
		if largest < near {
			return Abilities{values, h.inverse()}, true
		}
	}
	return Abilities{}, false
}

// Met is how often the first of two was preferred, the second, and neither.
type Met struct {
	First, Second int
	For, Against  float64
	Ties          float64
}

// priorTie is the standard deviation of the logarithm of Davidson's ν before any tie.
const priorTie = 2.0

// ChooseOrTie estimates abilities and Davidson's ν, the readiness to call two equal, from choices with ties (Davidson 1970):
// for when more than a tenth are ties, and half a win each would say too little.
func ChooseOrTie(n int, all []Met, prior float64) (Abilities, float64, bool) {
	return davidson(n, all, prior, priorTie)
}

func davidson(n int, all []Met, prior, tie float64) (Abilities, float64, bool) {
	const most, near = 50, 1e-10
	values := make([]float64, n+1) // the last is log ν
	for range most {
		h, g := newSquare(n+1), make([]float64, n+1)
		for i := range values {
			sd := prior
			if i == n {
				sd = tie
			}
			h.set(i, i, 1/(sd*sd))
			g[i] = -values[i] / (sd * sd)
		}
		for _, m := range all {
			i, j := m.First, m.Second
			times := m.For + m.Against + m.Ties
			if i < 0 || i >= n || j < 0 || j >= n || i == j || !(times >= 0) {
				return Abilities{}, 0, false
			}
			p := tieChances(values[i]-values[j], values[n])
			// What each outcome is made of: the first, the second, half of both and ν.
			made := [3]vector{{{i, 1}}, {{j, 1}}, {{i, 0.5}, {j, 0.5}, {n, 1}}}
			mean := vector{}
			for o, seen := range [3]float64{m.For, m.Against, m.Ties} {
				for _, t := range made[o] {
					g[t.at] += seen * t.x
				}
				mean = mean.plus(p[o], made[o])
			}
			for _, t := range mean {
				g[t.at] -= times * t.x
			}
			for o := range made {
				off := made[o].plus(-1, mean)
				for _, t := range off {
					for _, u := range off {
						h.a[t.at*h.n+u.at] += times * p[o] * t.x * u.x
					}
				}
			}
		}
		if !h.factor() {
			return Abilities{}, 0, false
		}
		h.solve(g)
		largest := 0.0
		for i, x := range g {
			values[i] += max(-1, min(1, x)) // a step too long overshoots where hardly anything is known
			largest = max(largest, math.Abs(x))
		}
		if !(largest < math.Inf(1)) {
			return Abilities{}, 0, false
		}
		if largest < near {
			return Abilities{values[:n], h.inverse()}, math.Exp(values[n]), true
		}
	}
	return Abilities{}, 0, false
}

// tieChances are those of the first, of the second and of neither.
func tieChances(apart, logTie float64) [3]float64 {
	a, b, c := math.Exp(apart/2), math.Exp(-apart/2), math.Exp(logTie)
	return [3]float64{a / (a + b + c), b / (a + b + c), c / (a + b + c)}
}
