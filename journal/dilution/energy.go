package dilution

import (
	"fairmeasure/journal"
	"fairmeasure/journal/ethanol"
	"fairmeasure/journal/unit"
)

// What is shaken or stirred below the range of the curves, as a balance of energy: 120 J/K and 150 g of ice in a shaker,
// to the balance; 100 J/K in a mixing glass, taken off at -3 °C or where it begins to freeze.
//
// Source: round numbers picked by hand, because with them the balance comes within 0.03 of the curve for shaken sours of
// 20 to 27 % vol and within 0.025 for stirred drinks of 27 to 40 %. That makes them plausible and validates nothing: no
// weighed drink below 15 % stands behind them. At 15 % it goes over into the shaken curve within 6 %; into the stirred curve
// it steps down by a fifth to a quarter. Range: below 15 % vol. Doubt: 25 % of the figure either way, as of the curve.
// Chosen: a drink counts as one of 100 ml, so that twice as much takes up twice the water, as along the curves.
const (
	energyML     = 100
	energySpread = curveSpread

	roomWarm    ethanol.Celsius = 20
	stirredStop ethanol.Celsius = -3
)

// energy gives the ratio of water for a mix that is shaken or stirred; false where it is no solution.
func energy(method journal.Method, mix Dissolved) (Ratio, bool) {
	mix.ML = energyML
	chill := Chill{Parts: []Dissolved{mix}, Start: roomWarm, Vessel: 120, Ice: 150, Cooled: 1, Mixing: true}
	if method == journal.Stirred {
		chill.Vessel, chill.Ice, chill.Cooled = 100, 0, 0
	}
	out, err := chill.Run()
	if err == nil && method == journal.Stirred && out.End < stirredStop {
		chill.Stop = unit.Known(stirredStop)
		out, err = chill.Run()
	}
	return out.Ratio, err == nil
}
