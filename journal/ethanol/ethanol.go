// Package ethanol knows mixtures of ethanol and water: their density, the two ways of giving a strength, what they
// lose in volume when mixed, and how much water cuts a spirit. It adds up the alcohol of a glass, once for everything that
// shows, sums or limits it.
//
// It promises the density of OIML R 22 inside that formula's range and refuses outside it. It knows nothing of sugar:
// a liqueur is not a mixture of ethanol and water, and its density is not found here. Results are the same on every
// processor: no product is fused with a sum.
package ethanol

import (
	"math"

	"fairmeasure/journal"
	"fairmeasure/journal/unit"
)

// ByMass is the mass of ethanol over the mass of the mixture, 0 to 1.
type ByMass float64

// ByVolume is the volume of pure ethanol over the volume of the mixture, both at one temperature, 0 to 1.
type ByVolume float64

// OfStrength gives the stored strength, which is at 20 °C.
func OfStrength(s unit.Strength) ByVolume { return ByVolume(float64(s) / 10000) }

// Strength rounds to a stored strength. It is one only if q is at 20 °C.
func (q ByVolume) Strength() unit.Strength { return unit.Strength(math.Round(float64(q) * 10000)) }

// Celsius is a temperature.
type Celsius float64

// Density is in kg/m3, the same number as grams per litre.
type Density float64

// The formula's range, and the two densities at 20 °C that arithmetic on drinks needs (OIML R 22).
const (
	Coldest Celsius = -20
	Warmest Celsius = 40
	Legal   Celsius = 20 // the temperature at which strengths and volumes are stated
	Pure    Density = 789.24
	Water   Density = 998.20
)

// The codes of refusals.
const (
	RefusedTemperature = "temperature_outside"
	RefusedStrength    = "strength_outside"
	RefusedFrozen      = "frozen"
	RefusedWeaker      = "weaker_than_wanted"
	RefusedVolume      = "volume_outside"
)

// freezingSlack is chosen: the two published tables of freezing points differ by up to 1.6 K where they meet our range,
// and a drink reckoned at its freezing point must not be refused for the last tenth.
const freezingSlack Celsius = 1.6

func inRange(p ByMass, t Celsius) error {
	switch {
	case !(p >= 0 && p <= 1):
		return journal.Refuse(RefusedStrength, "mass_fraction", "a mass fraction is between 0 and 1, not %g", float64(p))
	case !(t >= Coldest && t <= Warmest):
		return journal.Refuse(RefusedTemperature, "celsius", "the density formula holds from -20 to 40 °C, not at %g", float64(t))
	case t < FreezingPoint(p)-freezingSlack:
		return journal.Refuse(RefusedFrozen, "celsius", "at %g °C a mixture with %.1f %% of mass of ethanol is partly ice", float64(t), 100*float64(p))
	}
	return nil
}

// density is the formula, without asking whether it holds.
func density(p ByMass, t Celsius) Density {
	x, d := float64(p), float64(t-Legal)
	sum := horner(tableA[:], x)
	if d == 0 {
		return Density(sum)
	}
	byTemperature := 0.0
	for i := len(tableB) - 1; i >= 0; i-- {
		c := tableB[i]
		if i < len(tableC) {
			c += float64(x * horner(tableC[i], x))
		}
		byTemperature = float64(byTemperature*d) + c
	}
	return Density(sum + float64(byTemperature*d))
}

// horner sums c[0] + c[1] x + c[2] x² … with the product rounded before each sum.
func horner(c []float64, x float64) float64 {
	sum := 0.0
	for i := len(c) - 1; i >= 0; i-- {
		sum = float64(sum*x) + c[i]
	}
	return sum
}

// FreezingPoint gives the temperature at which the first ice forms. Beyond 32 % of mass it gives the last row's, which
// is below anything the density formula covers.
func FreezingPoint(p ByMass) Celsius {
	percent := float64(100 * float64(p))
	rows := tableFreezing[:]
	for i := 1; i < len(rows); i++ {
		if a, b := rows[i-1], rows[i]; percent <= b.massPercent {
			share := math.Max(0, percent-a.massPercent) / (b.massPercent - a.massPercent)
			return Celsius(a.celsius + float64(share*(b.celsius-a.celsius)))
		}
	}
	return Celsius(rows[len(rows)-1].celsius)
}

func (p ByMass) volume(t Celsius) ByVolume {
	return ByVolume(float64(float64(p)*float64(density(p, t))) / float64(density(1, t)))
}

// Mass gives the strength by mass of a mixture whose strength by volume is stated at t.
func (q ByVolume) Mass(t Celsius) (ByMass, error) {
	if !(q >= 0 && q <= 1) {
		return 0, journal.Refuse(RefusedStrength, "strength", "a strength is between 0 and 100 %% vol, not %g", 100*float64(q))
	}
	if !(t >= Coldest && t <= Warmest) {
		return 0, inRange(0, t)
	}
	p := q.mass(t)
	return p, inRange(p, t)
}

func (q ByVolume) mass(t Celsius) ByMass {
	if q == 0 || q == 1 {
		return ByMass(q)
	}
	pure := float64(density(1, t))
	low, high := 0.0, 1.0
	for range 60 {
		middle := (low + high) / 2
		if float64(middle*float64(density(ByMass(middle), t))) < float64(float64(q)*pure) {
			low = middle
		} else {
			high = middle
		}
	}
	return ByMass((low + high) / 2)
}
