package compare

// The sorts of trials: which of two is preferred with the glasses hidden or in sight, and which of three is the odd one.
const (
	PairedTrial    = "paired"
	TriangleTrial  = "triangle"
	PreferredTrial = "preferred"
)

// Glass is one glass of a trial: its code, which of the two it holds (a or b), and what choosing it comes to.
type Glass struct {
	Code        int
	Of, Outcome string
}

// trialOrders are the orders of each sort of trial: each comes once before any comes again (ISO 5495, ISO 4120).
var trialOrders = []struct {
	sort   string
	orders []string
}{
	{PairedTrial, []string{"ab", "ba"}},
	{TriangleTrial, []string{"aab", "aba", "baa", "bba", "bab", "abb"}},
	{PreferredTrial, []string{"ab"}},
}

// trialCodes is how many codes are drawn before one may come again; there are 648.
const trialCodes = 400

// DrawTrial returns the glasses of the trial that follows so many others, from left to right. They depend on the seed
// alone, so that after a reload the same glasses stand there. It returns nil when there is no such sort.
func DrawTrial(sort string, seed uint64, after int) []Glass {
	var orders []string
	for _, o := range trialOrders {
		if o.sort == sort {
			orders = o.orders
		}
	}
	if orders == nil {
		return nil
	}
	seeds := Seeds{State: seed}
	used := map[int]bool{}
	var round []int
	for n := 0; ; n++ {
		at := n % len(orders)
		if at == 0 {
			round = seeds.Shuffled(len(orders))
		}
		if len(used) > trialCodes {
			clear(used)
		}
		order := orders[round[at]]
		glasses := make([]Glass, len(order))
		for i := range order {
			glasses[i] = Glass{Code: seeds.trialCode(used), Of: order[i : i+1]}
		}
		if n == after {
			return withOutcomes(sort, glasses)
		}
	}
}

// trialCode draws a code of three different digits, none of those used before.
func (s *Seeds) trialCode(used map[int]bool) int {
	for {
		code := 100 + int(s.Below(900))
		if a, b, c := code/100, code/10%10, code%10; a != b && b != c && a != c && !used[code] {
			used[code] = true
			return code
		}
	}
}

// withOutcomes adds what choosing each glass comes to. The odd glass of three is the one that stands alone.
func withOutcomes(sort string, glasses []Glass) []Glass {
	count := map[string]int{}
	for _, g := range glasses {
		count[g.Of]++
	}
	for i := range glasses {
		g := &glasses[i]
		switch {
		case sort != TriangleTrial:
			g.Outcome = g.Of
		case count[g.Of] == 1:
			g.Outcome = "found"
		default:
			g.Outcome = "missed"
		}
	}
	return glasses
}

// LeastShown returns how many of n trials must agree before chance alone does that less often than once in twenty: for the
// one or for the other of a pair, or odd glasses found. It returns false when not even all of them would do.
func LeastShown(sort string, n int) (int, bool) {
	if sort == TriangleTrial {
		return LeastFound(n, 1.0/3, level)
	}
	return LeastFound(n, 0.5, level/2)
}

// FewestTrials returns the fewest trials that can show anything at all: 6 pairs, 3 triangles.
func FewestTrials(sort string) int {
	for n := 1; ; n++ {
		if _, ok := LeastShown(sort, n); ok {
			return n
		}
	}
}
