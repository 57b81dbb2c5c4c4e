// Package unit holds the measured quantities of a journal as scaled integers: what is stored, merged or sent is never
// a float. Floats live inside a calculation only, and leave it through the rounding functions here.
package unit

import "math"

// Volume is a volume at 20 °C in microlitres (1 ml = 1,000).
type Volume int64

// ML gives the volume in millilitres.
func (v Volume) ML() float64 { return float64(v) / 1000 }

// Millilitres rounds a number of millilitres to a Volume, halves away from zero.
func Millilitres(ml float64) Volume { return Volume(math.Round(ml * 1000)) }

// Strength is alcohol by volume at 20 °C in basis points: 40 % vol is 4,000, pure ethanol 10,000.
type Strength int64

// Percent gives the strength in % vol.
func (s Strength) Percent() float64 { return float64(s) / 100 }

// PercentVol rounds % vol to a Strength.
func PercentVol(p float64) Strength { return Strength(math.Round(p * 100)) }

// Concentration is grams of sugar, or of acid as citric acid, in milligrams per litre (1 g/L = 1,000).
type Concentration int64

// GramsPerLitre gives the concentration in g/L.
func (c Concentration) GramsPerLitre() float64 { return float64(c) / 1000 }

// GPerL rounds g/L to a Concentration.
func GPerL(g float64) Concentration { return Concentration(math.Round(g * 1000)) }

// Mass is a mass in milligrams.
type Mass int64

// Grams gives the mass in grams.
func (m Mass) Grams() float64 { return float64(m) / 1000 }

// Share is a part of a whole in basis points: 10,000 is all of it.
type Share int64

// Whole is the share of a glass drunk to the end.
const Whole Share = 10000

// Maybe is a value that may be unknown. The zero Maybe is unknown; unknown is never zero.
type Maybe[T any] struct {
	Value T
	Known bool
}

// Known wraps a known value.
func Known[T any](v T) Maybe[T] { return Maybe[T]{v, true} }

// Band is a quantity with the lowest and highest value it may well have. An exact quantity has all three equal.
type Band[T any] struct {
	Value, Low, High T
}

// Exact is a band without doubt.
func Exact[T any](v T) Band[T] { return Band[T]{v, v, v} }
