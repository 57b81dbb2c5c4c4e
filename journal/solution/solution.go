// Package solution works out what is dissolved in water: sucrose syrups by weight or by volume, acids as citric acid, and
// what a swap of a sweetener, a citrus or a liqueur takes to bring the same sugar, acid and alcohol.
//
// It promises that a swap conserves what it is about exactly, and that everything that moves besides (volume, water) is in
// the result. It leaves out sweetness and sourness: these are tastes, not quantities; a factor of the owner's own for them
// is an input, 1 unless they say otherwise.
package solution

import (
	"math"

	"fairmeasure/journal"
)

// Brix is grams of sucrose in 100 g of solution.
type Brix float64

// MostBrix is where the published table of densities ends.
const MostBrix Brix = 84

// water is the density of water at 20 °C in kg/m³, as in the equation.
const water = 998.2012

// Density gives kg/m³ of a sucrose solution at 20 °C.
//
// Source: the equation attributed to ICUMSA/PTB, 1990; its coefficients are from memory and were verified against the CRC
// Handbook, 102nd ed. (2021): within 0.16 kg/m³ to 50 Brix, 0.28 to 70, 0.9 at 84; see TestSucroseTable.
func Density(b Brix) (float64, error) {
	if !(b >= 0 && b <= MostBrix) {
		return 0, journal.Refuse("out_of_range", "brix", "expected 0 to 84 Brix, got %.1f", float64(b))
	}
	w := float64(b) / 100
	terms := [...]float64{385.1761, 135.3705, 40.9299, -3.9643, 13.4853, -17.2890}
	rho, power := water, 1.0
	for _, c := range terms {
		power *= w
		rho += float64(c * power)
	}
	return rho, nil
}

// GranulatedBulk is what a millilitre of granulated sugar weighs in grams: a US cup of 200 g. It lies between 0.80 and 0.90
// (common practice).
const GranulatedBulk = 0.845

// waterAt20 is what a millilitre of water weighs in grams at 20 °C (CRC Handbook).
const waterAt20 = 0.9982

// Measured gives a syrup of sugar and water that were measured in millilitres.
func Measured(sugar, water float64) Syrup { return Syrup{sugar * GranulatedBulk, water * waterAt20} }

// Syrup is sugar dissolved in water, in grams.
type Syrup struct{ Sugar, Water float64 }

// Brix gives its strength in sugar.
func (s Syrup) Brix() (Brix, error) {
	if !(s.Sugar >= 0 && s.Water >= 0 && s.Sugar+s.Water > 0 && s.Sugar+s.Water < math.MaxFloat32) {
		return 0, journal.Refuse("out_of_range", "sugar", "expected grams of sugar and of water")
	}
	return Brix(100 * s.Sugar / (s.Sugar + s.Water)), nil
}

// Yield gives the millilitres it makes at 20 °C: less than sugar and water took apart.
func (s Syrup) Yield() (float64, error) {
	b, err := s.Brix()
	if err != nil {
		return 0, err
	}
	rho, err := Density(b)
	if err != nil {
		return 0, err
	}
	return (s.Sugar + s.Water) / rho * 1000, nil
}

// Solubility of sucrose in grams to 100 g of water, at 5 and at 20 °C, as the case C060 states them; between them and
// beyond nothing is said.
const (
	SolubleAt5  = 184.7
	SolubleAt20 = 203.9
)

// Crystallises tells whether a syrup is above the solubility given, so that crystals may form in keeping.
func (s Syrup) Crystallises(solubility float64) bool {
	return s.Water <= 0 && s.Sugar > 0 || s.Sugar > float64(solubility*s.Water/100)
}
