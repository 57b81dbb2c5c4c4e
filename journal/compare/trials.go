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
