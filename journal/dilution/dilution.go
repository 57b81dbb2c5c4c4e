// Package dilution knows how much water a drink takes up on its way to the glass.
//
// What was measured always wins and has no band. Without a measurement the method decides: two published curves for
// stirred and shaken drinks inside their range, corrected by the owner's calibration if there is one; a balance of energy
// below that range; else a row of common practice, said to be habit and given with the whole row as its band. Stored
// dilution is water in volume; a percentage is derived and says of what. A method it does not know gives no figure:
// unknown, never none.
package dilution

import (
	"math"

	"fairmeasure/journal"
	"fairmeasure/journal/ethanol"
	"fairmeasure/journal/unit"
)

// Basis says what a dilution rests on.
type Basis string

// The bases. Their text is stable.
const (
	Unknown  Basis = ""
	Measured Basis = "measured"
	Own      Basis = "own calibration" // the published curve times the owner's factor
	Curve    Basis = "published curve"
	Energy   Basis = "heat balance" // below the range of the curve
	Habit    Basis = "habit"
	NoIce    Basis = "no ice" // neat, dry or carbonated: exactly none
)

// Remark is a caution about a dilution, as a stable code.
type Remark string

// The remarks.
const (
	BelowCurve      Remark = "below_curve"      // too weak a start for the published curve, and nothing to balance
	AboveCurve      Remark = "above_curve"      // too strong a start
	StrengthUnknown Remark = "strength_unknown" // no curve without the strength of the start
	MethodUnknown   Remark = "method_unknown"
	OneFigure       Remark = "one_figure" // the row is a single figure, so its doubt is not known
)

// The codes of refusals.
const (
	RefusedNegative = "water_negative"
	RefusedLighter  = "lighter_after"
	RefusedMass     = "mass_missing"
)

// Water is what was found out about the water in a glass: its measure, or else how the owner's drinks compare with the
// curve. The zero Water is nothing: the method decides.
type Water struct {
	volume   unit.Volume
	measured bool
	own      Calibration
}

// Poured is water that was measured by volume: what a batch was given, or what was found in the glass.
func Poured(v unit.Volume) (Water, error) {
	if v < 0 {
		return Water{}, journal.Refuse(RefusedNegative, "water_ul", "water is not negative, got %g ml", v.ML())
	}
	return Water{volume: v, measured: true}, nil
}

// Weighed is the melt by two weighings: the mix before it meets ice, and the same mix strained off. A gram of melt is
// taken as 1/0.9982 ml, its volume at 20 °C.
func Weighed(before, after unit.Mass) (Water, error) {
	switch {
	case before <= 0:
		return Water{}, journal.Refuse(RefusedMass, "before_mg", "a mix weighs something before it meets ice, got %g g", before.Grams())
	case after < before:
		return Water{}, journal.Refuse(RefusedLighter, "after_mg", "a drink that took up water weighs at least its %g g from before, got %g g", before.Grams(), after.Grams())
	}
	// milligrams over g/ml are microlitres
	return Water{volume: unit.Volume(math.Round(float64(after-before) / (float64(ethanol.Water) / 1000))), measured: true}, nil
}

// Water is not measured, but expected as this person's drinks have it.
func (c Calibration) Water() Water { return Water{own: c} }

// Volume gives the measured water, if any.
func (w Water) Volume() unit.Maybe[unit.Volume] {
	return unit.Maybe[unit.Volume]{Value: w.volume, Known: w.measured}
}

// Ratio is ml of water for one ml of what met the ice.
type Ratio float64

// StirredCurve is the published curve for stirred drinks at a starting strength in % vol, whether or not it holds there.
func StirredCurve(percentVol float64) Ratio {
	return curve(percentVol, stirredSquare, stirredSlope, stirredBase)
}

// ShakenCurve is the published curve for shaken drinks.
func ShakenCurve(percentVol float64) Ratio {
	return curve(percentVol, shakenSquare, shakenSlope, shakenBase)
}

func curve(percentVol, square, slope, base float64) Ratio {
	a := percentVol / 100
	return Ratio(float64((float64(square*a)+slope)*a) + base)
}

// Estimate is a dilution that nobody measured.
type Estimate struct {
	Basis   Basis
	Row     string // which row of common practice, empty for a curve
	Ratio   unit.Maybe[unit.Band[Ratio]]
	Remarks []Remark

	method journal.Method
	factor float64 // of the curve
}

// Estimate estimates from the method and from the strength in % vol of what meets the ice: along the curve or by habit,
// with the owner's calibration along the curve, and with what is in the mix where the curve does not reach down to it. What the mix is not known to hold counts as water there: it moves the heat little.
func (w Water) Estimate(method journal.Method, percentVol unit.Maybe[float64], mix Dissolved) Estimate {
	return w.estimate(method, percentVol, &mix)
}

func (w Water) estimate(method journal.Method, percentVol unit.Maybe[float64], mix *Dissolved) Estimate {
	e := Estimate{method: method, factor: 1}
	switch method {
	case journal.Neat:
		e.Basis, e.Ratio = NoIce, unit.Known(unit.Exact(Ratio(0)))
		return e
	case journal.Stirred, journal.Shaken:
		switch inside := onCurve(percentVol.Value); {
		case !percentVol.Known:
			e.Remarks = append(e.Remarks, StrengthUnknown)
		case inside == 0:
			e.Basis = Curve
			curve, half := e.at(percentVol.Value), curveSpread
			if w.own.Drinks > 0 {
				e.Basis, e.factor, half = Own, w.own.Factor, w.own.Half
			}
			of := func(factor float64) Ratio { return Ratio(float64(curve) * factor) }
			e.Ratio = unit.Known(unit.Band[Ratio]{Value: of(e.factor), Low: of(e.factor - half), High: of(e.factor + half)})
			return e
		case inside < 0:
			if mix != nil {
				if value, ok := energy(method, *mix); ok {
					e.Basis = Energy
					e.Ratio = unit.Known(unit.Band[Ratio]{
						Value: value, Low: Ratio(float64(value) * (1 - energySpread)), High: Ratio(float64(value) * (1 + energySpread)),
					})
					return e
				}
			}
			e.Remarks = append(e.Remarks, BelowCurve)
		default:
			e.Remarks = append(e.Remarks, AboveCurve)
		}
	}
	for _, row := range tableHabit {
		if row.method != method {
			continue
		}
		e.Basis, e.Row = Habit, row.row
		if row.high == 0 {
			e.Basis = NoIce
		} else if row.low == row.high {
			e.Remarks = append(e.Remarks, OneFigure)
		}
		e.Ratio = unit.Known(unit.Band[Ratio]{
			Value: Ratio((row.low + row.high) / 200), Low: Ratio(row.low / 100), High: Ratio(row.high / 100),
		})
		return e
	}
	e.Remarks = append(e.Remarks, MethodUnknown)
	return e
}

// onCurve says whether a start is below (-1), inside (0) or above (1) the curves' range. It looks at whole basis points,
// so that the last bit of a sum decides nothing.
func onCurve(percentVol float64) int {
	switch bp := math.Round(percentVol * 100); {
	case bp >= curveFrom*100 && bp <= curveTo*100:
		return 0
	case bp > curveTo*100:
		return 1
	}
	return -1
}

// at reads the method's published curve at the nearest strength inside its range.
func (e Estimate) at(percentVol float64) Ratio {
	percentVol = min(max(percentVol, curveFrom), curveTo)
	if e.method == journal.Stirred {
		return StirredCurve(percentVol)
	}
	return ShakenCurve(percentVol)
}

// Near gives the middle of the same estimate had the start another strength: along the curve and not past its ends, or
// the same middle of the row or of the balance, whose band is wider than that. It is for asking how much a doubtful
// strength matters.
func (e Estimate) Near(percentVol float64) Ratio {
	if e.Basis == Curve || e.Basis == Own {
		return Ratio(float64(e.at(percentVol)) * e.factor)
	}
	return e.Ratio.Value.Value
}

// OverIce says whether a method's ice is in the glass, so that a top or a float takes up water as well. Otherwise only
// what was mixed with ice does, and what is added afterwards counts as an ingredient.
func OverIce(method journal.Method) bool { return method == journal.Built || method == journal.Long }
