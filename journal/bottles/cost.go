package bottles

import (
	"math/bits"
	"sort"

	"fairmeasure/journal"
	"fairmeasure/journal/unit"
)

// Money is an amount in the minor unit of a currency (cents, pence, yen).
type Money struct {
	Minor    int64
	Currency string
}

// Price is what a size of something cost: a bottle, or a litre of house syrup.
type Price struct {
	Minor    int64
	Currency string
	Size     unit.Volume
}

// Taken is an amount of something that has a price.
type Taken struct {
	Volume unit.Volume
	Price  unit.Maybe[Price]
}

// Cost is a sum in each currency, in the order of their codes. Two currencies are never added: no rate is known here.
type Cost struct {
	Totals   []Money
	Unpriced int // takings not in the totals: no price, no size, or no amount
}

// Sum is the one total of a cost in a single currency. Of nothing, or of several currencies, there is none.
func (c Cost) Sum() unit.Maybe[Money] {
	if len(c.Totals) != 1 {
		return unit.Maybe[Money]{}
	}
	return unit.Known(c.Totals[0])
}

// millionths is the fineness a part is priced in before the sum is rounded once to whole minor units.
const millionths = 1_000_000

// CostOf prices takings, each by its share of what it was taken from, and rounds each currency's sum once, halves up.
func CostOf(takings []Taken) Cost {
	sums := map[string]int64{}
	var c Cost
	for _, t := range takings {
		fine, ok := t.cost()
		if !ok {
			c.Unpriced++
			continue
		}
		sums[t.Price.Value.Currency] += fine
	}
	for currency, fine := range sums {
		c.Totals = append(c.Totals, Money{(fine + millionths/2) / millionths, currency})
	}
	sort.SliceStable(c.Totals, func(i, j int) bool { return c.Totals[i].Currency < c.Totals[j].Currency })
	return c
}

// The largest figures taken at their word (chosen): a price of ten thousand million minor units, a volume of 1,000 litres.
const (
	mostMinor  = 10_000_000_000
	mostVolume = unit.Volume(1000 * 1000 * 1000)
)

// cost gives the price of a taking in millionths of a minor unit, rounded halves up.
func (t Taken) cost() (fine int64, ok bool) {
	p := t.Price.Value
	if !t.Price.Known || p.Size <= 0 || p.Minor < 0 || t.Volume < 0 || p.Minor > mostMinor || t.Volume > mostVolume {
		return 0, false
	}
	// price x volume / size: the product needs more than 64 bits, the quotient may too.
	high, low := bits.Mul64(uint64(p.Minor)*millionths, uint64(t.Volume))
	low, carry := bits.Add64(low, uint64(p.Size)/2, 0)
	high += carry
	if high >= uint64(p.Size) {
		return 0, false
	}
	q, _ := bits.Div64(high, low, uint64(p.Size))
	if q > 1<<53 { // nine thousand million minor units for one taking
		return 0, false
	}
	return int64(q), true
}

// CostOfGlass prices a glass by what its bottles cost. prices says what a bottle cost; lines without a bottle, a price or
// an amount are counted in Unpriced.
func CostOfGlass(made journal.Made, prices map[journal.ID]Price) Cost {
	var takings []Taken
	for _, p := range made.Parts {
		var t Taken
		if price, ok := prices[p.Bottle]; ok && p.Bottle != "" && p.Volume.Known {
			t = Taken{p.Volume.Value.Value, unit.Known(price)}
		}
		takings = append(takings, t)
	}
	return CostOf(takings)
}
