package dilution

import (
	"math"
	"sort"
)

// Calibration is how wet one person's drinks come out: the water of weighed or measured drinks as a share of what the
// published curve says for each of them. The zero Calibration is nothing weighed yet.
//
// Half is the half width of the band of the next drink, of the curve's figure like the rest.
type Calibration struct {
	Drinks             int
	Seen, Factor, Half float64
}

// How far drinks lie from the curve (chosen: no residuals were published). Drinks of one person scatter by 12 % around
// their own mean; for unknown technique 25 % is given, so that the means of different people scatter by the rest.
const (
	eachDrink = 0.12
	anyone    = curveSpread
)

// A drink of less than 0.3 or more than 3 times the curve's water was not weighed as was meant: the tin was left on the
// scale, or another glass (chosen).
const leastSeen, mostSeen = 0.3, 3

// Calibrate makes a calibration of shares of the curve's water, in whatever order. Impossible ones are passed over, and
// one that lies further than three scatters from the median counts as if it lay there, so that a slip at the scale moves
// little. The mean is then drawn towards the curve as far as few drinks cannot tell skill from chance: a mean of normally
// distributed means, known before with the spread between people.
func Calibrate(seen []float64) Calibration {
	var likely sort.Float64Slice
	for _, s := range seen {
		if s >= leastSeen && s <= mostSeen {
			likely = append(likely, s)
		}
	}
	n := len(likely)
	if n == 0 {
		return Calibration{}
	}
	sort.Stable(likely) // so the sum has one order too; slices.Sort would be compiled anew for the browser
	median := (likely[(n-1)/2] + likely[n/2]) / 2
	sum := 0.0
	for _, s := range likely {
		sum += min(max(s, median-3*eachDrink), median+3*eachDrink)
	}
	c := Calibration{Drinks: n, Seen: sum / float64(n)}
	const own, between = eachDrink * eachDrink, anyone*anyone - eachDrink*eachDrink
	told := float64(n) * between
	c.Factor = 1 + float64((c.Seen-1)*told/(told+own))
	c.Half = math.Sqrt(between/(1+told/own) + own)
	return c
}
