package dilution

import (
	"math"

	"fairmeasure/journal"
	"fairmeasure/journal/unit"
)

// What tests look at, and nothing else does.

// By estimates from the method and from the strength in % vol of what meets the ice: along the curve or by habit.
func By(method journal.Method, percentVol unit.Maybe[float64]) Estimate {
	return Water{}.estimate(method, percentVol, nil)
}

// Water gives the water for a volume that meets the ice.
func (e Estimate) Water(start unit.Volume) unit.Maybe[unit.Band[unit.Volume]] {
	if !e.Ratio.Known || start < 0 {
		return unit.Maybe[unit.Band[unit.Volume]]{}
	}
	of := func(r Ratio) unit.Volume { return unit.Volume(math.Round(float64(start) * float64(r))) }
	band := e.Ratio.Value
	return unit.Known(unit.Band[unit.Volume]{Value: of(band.Value), Low: of(band.Low), High: of(band.High)})
}

// Of names the volume that a percentage of water is taken from.
type Of string

// The two meanings of "25 % dilution".
const (
	OfStart Of = "start" // of what met the ice
	OfFinal Of = "final" // of what is in the glass
)

// Percent gives the water in percent; unknown if there is nothing to take it from.
func Percent(water, start unit.Volume, of Of) unit.Maybe[float64] {
	whole := float64(start)
	if of == OfFinal {
		whole += float64(water)
	}
	if whole <= 0 {
		return unit.Maybe[float64]{}
	}
	return unit.Known(100 * float64(water) / whole)
}
