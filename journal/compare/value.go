package compare

import (
	"cmp"
	"math"
	"sort"
)

// Priced is one pairing with its price and how far it lies above the benchmark.
type Priced struct {
	Price, Score float64
}

// EqualPoints is how close scores count as equal on a front: then the cheaper one is kept.
const EqualPoints = 0.25

// Front gives the indexes of what no other is both as cheap as and as good as, the cheapest first: sorted by price, each
// that is better than all before by more than least.
func Front(all []Priced, least float64) []int {
	order := make([]int, len(all))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(a, b int) bool {
		i, j := order[a], order[b]
		return cmp.Or(cmp.Compare(all[i].Price, all[j].Price), cmp.Compare(all[j].Score, all[i].Score)) < 0
	})
	front, best := []int{}, math.Inf(-1)
	for _, i := range order {
		if all[i].Score > best+least {
			front, best = append(front, i), all[i].Score
		}
	}
	return front
}

// PerPoint is what a point above the benchmark costs more than the benchmark does. It is known only for what is probably
// better; a price over a score alone would hang on where the scale begins.
func PerPoint(price, benchmark float64, d Difference) (float64, bool) {
	if d.Better() < likely || d.Mean <= 0 {
		return 0, false
	}
	return (price - benchmark) / d.Mean, true
}

// Shrunk is the mean of scores drawn towards a usual one, as if so many more had been given that: one lucky evening does
// not beat six good ones. For lists of a journal only; what the model says is better founded.
func Shrunk(scores []float64, usual, weight float64) float64 {
	sum := usual * weight
	for _, s := range scores {
		sum += s
	}
	return sum / (weight + float64(len(scores)))
}
