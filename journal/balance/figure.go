package balance

import "math"

// Figure is one number of a balance with the doubt it deserves.
//
// A known figure has a value inside its band. A figure that is only known from below says AtLeast: value and band are
// then those of the parts that are known, and what is unknown comes on top. A figure of a glass with an open amount may
// say Between: it lies from Low to High whatever that amount is, and has no value. Anything else is unknown: then Value,
// Low and High are zero and mean nothing.
type Figure struct {
	Value, Low, High float64

	Known   bool
	AtLeast bool
	Between bool

	Decimals int // how many to show
}

// Rounded rounds to the decimals shown, halves away from zero. Two machines may differ in the last bit of a figure, not
// in what is shown of it.
func (f Figure) Rounded() Figure {
	f.Value, f.Low, f.High = Round(f.Value, f.Decimals), Round(f.Low, f.Decimals), Round(f.High, f.Decimals)
	return f
}

// Exact says that a known figure has no doubt.
func (f Figure) Exact() bool { return f.Known && f.Low == f.Value && f.High == f.Value }

var powers = [...]float64{1, 10, 100, 1000, 10000}

// Round rounds to so many decimals, at most four, halves away from zero.
func Round(x float64, decimals int) float64 {
	power := powers[min(max(decimals, 0), len(powers)-1)]
	rounded := math.Round(x*power) / power
	if rounded == 0 {
		return 0 // never -0
	}
	return rounded
}

// Decimals shown. A balance of bar measures is not known better.
const (
	volumeDecimals   = 0
	exactDecimals    = 1 // of a volume that is small or has no band
	smallVolume      = 20
	strengthDecimals = 1
	ethanolDecimals  = 1
	gramsDecimals    = 1
	sugarDecimals    = 1
	acidDecimals     = 2
	percentDecimals  = 0
	ratioDecimals    = 1
	coldDecimals     = 1
)
