package compare

import "slices"

// Seeds is a stream of numbers from one stored seed: SplitMix64 (Steele, Lea and Flood, OOPSLA 2014). A plan made from a
// seed is the same on every machine and for ever.
type Seeds struct{ State uint64 }

// Next gives the next number.
func (s *Seeds) Next() uint64 {
	s.State += 0x9e3779b97f4a7c15
	z := s.State
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// Below gives a number below n, each as likely: draws beyond the last whole multiple of n are thrown again.
func (s *Seeds) Below(n uint64) uint64 {
	over := -n % n // 2⁶⁴ mod n
	for {
		if r := s.Next(); over == 0 || r < -over {
			return r % n
		}
	}
}

// Shuffled gives 0 to n-1 in an order by lot (Fisher and Yates, from the end).
func (s *Seeds) Shuffled(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	for i := n - 1; i > 0; i-- {
		j := int(s.Below(uint64(i + 1)))
		out[i], out[j] = out[j], out[i]
	}
	return out
}

// Codes gives n codes of three different digits, 102 to 987, no two beginning alike, none of those used before. Digits
// differ so that a slip of the pen makes no other code of the flight.
func (s *Seeds) Codes(n int, used func(int) bool) []int {
	out := make([]int, 0, n)
	begun := [10]bool{}
	for len(out) < n {
		// With nine beginnings and 72 codes for each, a drink would have to be tasted for years; then codes come again.
		code, found := 0, false
		for range 10_000 {
			code = 100 + int(s.Below(900))
			a, b, c := code/100, code/10%10, code%10
			if a != b && b != c && a != c && !begun[a] && (used == nil || !used(code)) {
				begun[a], found = true, true
				break
			}
		}
		if !found {
			used = nil
			if len(out) >= 9 {
				begun = [10]bool{}
			}
			continue
		}
		out = append(out, code)
	}
	return out
}

// Williams gives the serving orders of n glasses in which every glass stands in every place equally often and follows
// every other equally often: n of them, of an odd n twice as many (Williams 1949, by the zig-zag construction).
func Williams(n int) [][]int {
	base := make([]int, 0, n)
	for low, high := 0, n-1; len(base) < n; {
		if len(base) == 0 {
			base = append(base, 0)
			low = 1
			continue
		}
		if len(base)%2 == 1 {
			base = append(base, low)
			low++
		} else {
			base = append(base, high)
			high--
		}
	}
	rows := make([][]int, 0, 2*n)
	for i := range n {
		row := make([]int, n)
		for k, x := range base {
			row[k] = (x + i) % n
		}
		rows = append(rows, row)
	}
	if n%2 == 1 && n > 1 {
		for i := range n {
			row := make([]int, n)
			for k, x := range rows[i] {
				row[n-1-k] = x
			}
			rows = append(rows, row)
		}
	}
	return rows
}

// Served is one glass as it was served in an earlier flight.
type Served struct {
	Pairing Pairing
	Place   int // from 0
	Of      int
}

// shuffles is how many orders are looked at.
const shuffles = 50

// Order gives a serving order of a flight, as indexes of its seats. Glasses that were served together before take the next
// row of Williams' design, so that over the repeats none is favoured by its place or by what goes before it. Others are
// drawn by lot: among fifty orders the one that repeats least of what earlier flights did, a pairing in the same third, the
// same neighbours in the same order, an ingredient twice running, and the benchmark last.
func Order(slots int, seats []Seat, benchmark Pairing, earlier [][]Served, seeds *Seeds) []int {
	n := len(seats)
	var first []int // the places of these glasses when they were first together
	again := 0
	for _, flight := range earlier {
		if places := placesOf(seats, flight); places != nil {
			if again == 0 {
				first = places
			}
			again++
		}
	}
	if again > 0 {
		rows := Williams(n)
		order := make([]int, n)
		for k, x := range rows[again%len(rows)] {
			for at, y := range rows[0] {
				if x == y {
					order[k] = first[at]
				}
			}
		}
		return order
	}
	var best []int
	least := -1
	for range shuffles {
		order := seeds.Shuffled(n)
		if p := penalty(slots, seats, benchmark, earlier, order); least < 0 || p < least {
			best, least = order, p
		}
	}
	return best
}

// placesOf gives the seats that an earlier flight had, in its order; nil when it was not of these very glasses.
func placesOf(seats []Seat, flight []Served) []int {
	if len(flight) != len(seats) {
		return nil
	}
	var places []int
	for _, s := range flight {
		for i := range seats {
			if seats[i].Pairing == s.Pairing && !slices.Contains(places, i) {
				places = append(places, i)
			}
		}
	}
	if len(places) != len(seats) {
		return nil
	}
	return places
}

func penalty(slots int, seats []Seat, benchmark Pairing, earlier [][]Served, order []int) (sum int) {
	n := len(order)
	for k, at := range order {
		it := seats[at].Pairing
		if it == benchmark && k == n-1 {
			sum++
		}
		if k > 0 {
			before := seats[order[k-1]].Pairing
			for slot := range slots {
				if before[slot] == it[slot] {
					sum++
				}
			}
			for _, flight := range earlier {
				for j := 1; j < len(flight); j++ {
					if flight[j-1].Pairing == before && flight[j].Pairing == it {
						sum++
					}
				}
			}
		}
		for _, flight := range earlier {
			for _, s := range flight {
				if s.Pairing == it && s.Of > 0 && 3*s.Place/s.Of == 3*k/n {
					sum++
				}
			}
		}
	}
	return sum
}

// Fits says whether a flight keeps within a limit, in one unit for all: what was drunk before it, and its glasses.
func Fits(drunk float64, glasses []float64, limit float64) (sum float64, fits bool) {
	for _, g := range glasses {
		sum += g
	}
	return sum, drunk+sum <= limit
}
