package compare

import "math"

// Trials without scores: forced choices and rankings by one person speak of that person alone.

// Shown is what a forced choice says.
type Shown struct {
	// Chance of so clear an outcome when there is nothing to tell apart.
	Chance float64
	Shown  bool // below one in twenty
	// Low and High hold the share in the long run, by Wilson's 95 % interval.
	Low, High float64
}

const level = 0.05

// Triangle: of n tries the odd glass of three was found so many times (ISO 4120; one taster, so n counts repeats).
func Triangle(n, found int) Shown {
	out := Shown{Chance: atLeast(found, n, 1.0/3)}
	out.Shown = n > 0 && out.Chance <= level
	out.Low, out.High = Wilson(found, n)
	return out
}

// Paired: of n tries the first was preferred so many times; either might have been (ISO 5495, two-sided).
func Paired(n, first int) Shown {
	out := Shown{Chance: min(1, 2*atLeast(max(first, n-first), n, 0.5))}
	out.Shown = n > 0 && out.Chance <= level
	out.Low, out.High = Wilson(first, n)
	return out
}

// LeastFound is the smallest number of n with a chance of at most alpha, when each try succeeds with chance p; false when
// even n of n would not do.
func LeastFound(n int, p, alpha float64) (int, bool) {
	for k := 0; k <= n; k++ {
		if atLeast(k, n, p) <= alpha {
			return k, true
		}
	}
	return 0, false
}

// z975 is the normal 97.5 % point.
const z975 = 1.959963984540054

// Wilson is the 95 % score interval of k of n; everything when n is 0.
func Wilson(k, n int) (low, high float64) {
	if n <= 0 {
		return 0, 1
	}
	m, p := float64(n), float64(k)/float64(n)
	h := z975 * math.Sqrt(p*(1-p)/m+z975*z975/(4*m*m))
	by := 1 + z975*z975/m
	low, high = (p+z975*z975/(2*m)-h)/by, (p+z975*z975/(2*m)+h)/by
	if k == 0 {
		low = 0
	}
	if k == n {
		high = 1
	}
	return low, high
}

// Distance is Thurstone's d′ (case V) of a preference of k in n.
func Distance(k, n int) float64 { return math.Sqrt2 * NormalQuantile(float64(k)/float64(n)) }

// TriangleFound is the chance of finding the odd glass of three at a distance d′ (formula from memory; Ennis 1993 has a
// table), by Simpson's rule.
func TriangleFound(distance float64) float64 {
	const steps, end = 2000, 10.0
	at := func(u float64) float64 {
		return (Normal(-u*math.Sqrt(3)+distance*math.Sqrt(2.0/3)) + Normal(-u*math.Sqrt(3)-distance*math.Sqrt(2.0/3))) * normalDensity(u)
	}
	sum := at(0) + at(end)
	for i := 1; i < steps; i++ {
		w := 2.0
		if i%2 == 1 {
			w = 4
		}
		sum += w * at(end*float64(i)/steps)
	}
	return 2 * sum * end / steps / 3
}

// Ranking is what repeated rankings of the same glasses say, best first or by score: ties share their ranks.
type Ranking struct {
	Sums    []float64
	F       float64
	Degrees int
	Chance  float64
	// Least is how far two rank sums have to lie apart to be told apart at one in twenty.
	Least float64
}

// Friedman ranks each row of scores within itself and compares the sums (ISO 8587, with the correction for ties).
func Friedman(rows [][]float64) (Ranking, bool) {
	j := len(rows)
	if j == 0 || len(rows[0]) < 2 {
		return Ranking{}, false
	}
	p := len(rows[0])
	sums, ties := make([]float64, p), 0.0
	for _, row := range rows {
		if len(row) != p {
			return Ranking{}, false
		}
		ranks, t := ranked(row)
		ties += t
		for i, r := range ranks {
			sums[i] += r
		}
	}
	return friedmanOf(sums, j, ties)
}

func friedmanOf(sums []float64, j int, ties float64) (Ranking, bool) {
	n, p := float64(j), float64(len(sums))
	var squares float64
	for _, s := range sums {
		squares += s * s
	}
	by := 1 - ties/(n*(p*p*p-p))
	if !(by > 0) {
		return Ranking{}, false // everything is tied
	}
	out := Ranking{Sums: sums, F: (12/(n*p*(p+1))*squares - 3*n*(p+1)) / by, Degrees: len(sums) - 1}
	out.Chance = chiSquareAbove(out.F, out.Degrees)
	out.Least = z975 * math.Sqrt(n*p*(p+1)/6)
	return out, true
}

// ranked gives ranks from 1 for the smallest; equal values share the mean of theirs. ties is the sum of t³−t over them.
func ranked(values []float64) (ranks []float64, ties float64) {
	ranks = make([]float64, len(values))
	for i, x := range values {
		below, same := 0, 0
		for _, y := range values {
			switch {
			case y < x:
				below++
			case y == x:
				same++
			}
		}
		ranks[i] = float64(below) + float64(same+1)/2
		ties += float64(same*same - 1) // over all of a tie this adds up to t³−t
	}
	return ranks, ties
}

// Durbin compares rank sums of a balanced incomplete block design: of each of its blocks k of all are ranked, each of them
// r times.
func Durbin(sums []float64, k, r int) (t float64, chance float64) {
	v, kk, rr := float64(len(sums)), float64(k), float64(r)
	for _, s := range sums {
		d := s - rr*(kk+1)/2
		t += d * d
	}
	t *= 12 * (v - 1) / (rr * v * (kk - 1) * (kk + 1))
	return t, chiSquareAbove(t, len(sums)-1)
}

// Discriminated is the share of tries in which a difference was told, beyond luck, with its standard deviation (ISO
// 5495:2005/Amd 1:2016).
func Discriminated(n, first int) (share, sd float64) {
	m, x := float64(n), float64(first)
	return 2*x/m - 1, 2 * math.Sqrt((m*x-x*x)/(m*m*m))
}

// TastingsToShow is how many tastings of each of two it takes to show a difference of so many points, four times in five, at
// one in twenty both ways.
func TastingsToShow(points, sd float64) float64 {
	z := z975 + NormalQuantile(0.8)
	return 2 * z * z * sd * sd / (points * points)
}

// RightOrder is the chance that the better of two comes out ahead after so many tastings of each.
func RightOrder(points, sd, each float64) float64 { return Normal(points / (sd * math.Sqrt(2/each))) }
