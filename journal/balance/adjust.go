package balance

import (
	"slices"

	"fairmeasure/journal"
	"fairmeasure/journal/dilution"
	"fairmeasure/journal/unit"
)

// Wanted are the figures of the finished glass that are to lie in a range; the others may lie where they will. A target is
// a range of one figure.
type Wanted struct{ Volume, Strength, Sugar, Acid Range }

// Met says whether a balance has every wanted figure in its range, as it is shown.
func (w Wanted) Met(r Result) bool {
	for _, one := range []struct {
		want Range
		is   Figure
	}{{w.Volume, r.After.Volume}, {w.Strength, r.After.Strength}, {w.Sugar, r.After.Sugar}, {w.Acid, r.After.Acid}} {
		if !one.want.Known {
			continue
		}
		value := Round(one.is.Value, one.is.Decimals)
		if !one.is.Known || value < one.want.Low || value > one.want.High {
			return false
		}
	}
	return true
}

// Change is one part poured otherwise.
type Change struct {
	Part     int
	From, To unit.Volume
}

// Adjustment is the smallest change that was found, and the glass with it.
type Adjustment struct {
	Changes []Change
	Made    journal.Made
	After   Result
}

// MostSteps bounds what Adjust tries: so many steps in all, over one part or two (chosen: 60 ml by 2.5 ml).
const MostSteps = 24

// Adjust finds the smallest change of one part, or of two, by whole steps of what can be poured, that brings the wanted
// figures into their ranges: the fewest steps, of these the fewest parts, of these the parts named first. It never adds
// alcohol unless moreAlcohol, never takes a part away, and leaves alone what is open or smaller than a step. False when no
// such change does it. When all is met already there is nothing to change.
func Adjust(made journal.Made, water dilution.Water, want Wanted, step unit.Volume, moreAlcohol bool) (Adjustment, bool) {
	before := Of(made, water)
	if want.Met(before) {
		return Adjustment{Made: made, After: before}, true
	}
	if step <= 0 {
		return Adjustment{}, false
	}
	a := search{made: made, water: water, want: want, step: step, before: before, moreAlcohol: moreAlcohol}
	for i, p := range made.Parts {
		if p.Open == journal.Measured && p.Volume.Known && p.Volume.Value.Value >= step {
			a.parts = append(a.parts, i)
		}
	}
	a.quick = quickly(made, water)
	for steps := 1; steps <= MostSteps; steps++ {
		for _, i := range a.parts {
			for _, k := range [2]int{-steps, steps} {
				if found, ok := a.try(i, k, -1, 0); ok {
					return found, true
				}
			}
		}
		for n, i := range a.parts {
			for _, j := range a.parts[n+1:] {
				for first := 1; first < steps; first++ {
					for _, signs := range [4][2]int{{-1, -1}, {-1, 1}, {1, -1}, {1, 1}} {
						if found, ok := a.try(i, signs[0]*first, j, signs[1]*(steps-first)); ok {
							return found, true
						}
					}
				}
			}
		}
	}
	return Adjustment{}, false
}

type search struct {
	made        journal.Made
	water       dilution.Water
	want        Wanted
	step        unit.Volume
	before      Result
	moreAlcohol bool
	parts       []int
	quick       glass
}

// quickly makes the reckoning whose lines are moved to and fro while searching, without bands.
func quickly(made journal.Made, water dilution.Water) glass {
	g := glass{overIce: dilution.OverIce(made.Method)}
	for i, p := range made.Parts {
		g.add(i, p)
	}
	g.settle()
	if v := water.Volume(); v.Known {
		g.measured, g.water = true, float64(v.Value)
	} else {
		g.estimate = g.estimated(made.Method, water)
	}
	return g
}

// try looks at one change: part i by k steps, and part j by l steps when there is a j.
func (a *search) try(i, k, j, l int) (Adjustment, bool) {
	if !a.pourable(i, k) || j >= 0 && !a.pourable(j, l) {
		return Adjustment{}, false
	}
	move := func(part, steps int) {
		if part >= 0 {
			a.quick.lines[part].volume.value += float64(int64(steps) * int64(a.step))
		}
	}
	move(i, k)
	move(j, l)
	if !a.quick.measured { // the water follows the start
		a.quick.met = 0
		a.quick.settle()
		a.quick.estimate = a.quick.estimated(a.made.Method, a.water)
	}
	var none reckoned
	out := a.quick.reckon(&none)
	move(i, -k)
	move(j, -l)
	if !a.near(out) {
		return Adjustment{}, false
	}

	// The quick look said yes: now the whole reckoning decides, and what is returned is its result.
	found := Adjustment{Made: a.made}
	found.Made.Parts = slices.Clone(a.made.Parts)
	change := func(part, steps int) {
		if part < 0 {
			return
		}
		p := &found.Made.Parts[part]
		from := p.Volume.Value.Value
		to := from + unit.Volume(int64(steps)*int64(a.step))
		p.Volume = unit.Known(unit.Exact(to))
		found.Changes = append(found.Changes, Change{part, from, to})
	}
	change(i, k)
	change(j, l)
	found.After = Of(found.Made, a.water)
	if !a.want.Met(found.After) {
		return Adjustment{}, false
	}
	if !a.moreAlcohol && found.After.Before.Ethanol.Value > a.before.Before.Ethanol.Value {
		return Adjustment{}, false
	}
	return found, true
}

func (a *search) pourable(part, steps int) bool {
	return a.made.Parts[part].Volume.Value.Value+unit.Volume(int64(steps)*int64(a.step)) >= a.step
}

// near tells from the bare numbers whether a change can do: within what rounding may hide.
func (a *search) near(out reckoned) bool {
	const slack = 0.51 // of the last decimal shown
	in := func(want Range, value float64, decimals Figure) bool {
		if !want.Known {
			return true
		}
		unit := slack
		for range decimals.Decimals {
			unit /= 10
		}
		return value >= want.Low-unit && value <= want.High+unit
	}
	after := a.before.After
	return in(a.want.Volume, out[volumeAfter]/1000, after.Volume) &&
		in(a.want.Strength, out[concAfter+int(alcohol)]/100, after.Strength) &&
		in(a.want.Sugar, out[concAfter+int(sugar)]/1e4, after.Sugar) &&
		in(a.want.Acid, out[concAfter+int(acid)]/1e4, after.Acid)
}
