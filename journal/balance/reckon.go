package balance

import (
	"math"

	"fairmeasure/journal"
	"fairmeasure/journal/dilution"
	"fairmeasure/journal/ethanol"
	"fairmeasure/journal/unit"
)

// settle finds what is known at all.
func (g *glass) settle() {
	g.scale = 1
	g.amount = [kinds]bool{true, true, true}
	g.metKnown = true
	for i := range g.lines {
		l := &g.lines[i]
		switch l.state {
		case missing:
			g.anyMissing = true
			if !l.afterIce {
				g.metMissing, g.metKnown = true, false
			}
			for k := range g.amount {
				g.amount[k] = g.amount[k] && l.none(kind(k))
			}
		case ignored:
			// Salt to taste changes nothing and honey to taste is sugar without a figure; so is a sugar cube that nobody
			// has described.
			for k := range g.amount {
				g.amount[k] = g.amount[k] && (l.none(kind(k)) || !l.known[k] && l.open == journal.ToTaste)
			}
		case counted:
			for k := range g.amount {
				g.amount[k] = g.amount[k] && (l.known[k] || l.none(kind(k)))
			}
			if !l.afterIce {
				g.met += l.volume.value
				g.metKnown = g.metKnown && (l.known[alcohol] || l.none(alcohol))
			}
			g.overproof = g.overproof || l.known[alcohol] && l.content[alcohol].value > 5000
		}
	}
	g.amount[alcohol] = !g.alcohol.AtLeast()
}

// strengthMet gives the strength of what meets the ice, in % vol.
func (g *glass) strengthMet() unit.Maybe[float64] {
	if !g.metKnown || g.met <= 0 {
		return unit.Maybe[float64]{}
	}
	sum := 0.0
	for i := range g.lines {
		if l := &g.lines[i]; l.state == counted && !l.afterIce {
			sum += float64(l.volume.value * l.content[alcohol].value)
		}
	}
	return unit.Known(sum / g.met / 100)
}

// estimated gives the dilution by what meets the ice.
func (g *glass) estimated(method journal.Method, water dilution.Water) dilution.Estimate {
	return water.Estimate(method, g.strengthMet(), g.mixMet())
}

// mixMet is what meets the ice as one liquid, as far as it is known.
func (g *glass) mixMet() (d dilution.Dissolved) {
	var sums [kinds]float64
	for i := range g.lines {
		l := &g.lines[i]
		if l.state != counted || l.afterIce {
			continue
		}
		for k := range sums {
			sums[k] += float64(l.volume.value * l.content[k].value)
		}
	}
	if g.met <= 0 {
		return d
	}
	d.ML = g.met / 1000
	d.Strength = ethanol.ByVolume(sums[alcohol] / g.met / 10000)
	d.Sugar, d.Acid = sums[sugar]/g.met/1000, sums[acid]/g.met/1000
	return d
}

// The numbers that one reckoning gives.
const (
	volumeBefore = iota // µl
	volumeAfter
	waterAdded
	amounts     // of ethanol, sugar and acid: kinds of them, in the lines' units
	startShare  = amounts + int(kinds)
	finalShare  = startShare + 1
	concBefore  = finalShare + 1 // of ethanol, sugar and acid
	concAfter   = concBefore + int(kinds)
	sugarToAcid = concAfter + int(kinds)
	numbers     = sugarToAcid + 1
)

type reckoned [numbers]float64

// reckon adds up the drink with its inputs as they stand. Where a sum has nothing to be divided by, the share is fallback's.
func (g *glass) reckon(fallback *reckoned) (out reckoned) {
	var met, metAlcohol float64
	for i := range g.lines {
		l := &g.lines[i]
		if l.state != counted {
			continue
		}
		v := l.volume.value
		out[volumeBefore] += v
		for k := range l.content {
			if l.known[k] {
				out[amounts+k] += float64(v * l.content[k].value)
			}
		}
		if !l.afterIce {
			met += v
			metAlcohol += float64(v * l.content[alcohol].value)
		}
	}
	share := func(part, whole float64, number int) float64 {
		if whole > 0 {
			return part / whole
		}
		return fallback[number]
	}
	if g.measured {
		out[waterAdded] = g.water
		out[startShare] = share(g.water, met, startShare)
	} else if g.estimate.Ratio.Known {
		ratio := float64(g.estimate.Ratio.Value.Value)
		if g.metKnown && met > 0 {
			ratio = float64(g.estimate.Near(metAlcohol / met / 100))
		}
		ratio = float64(ratio * g.scale)
		out[waterAdded] = float64(ratio * met)
		out[startShare] = ratio
	}
	out[volumeAfter] = out[volumeBefore] + out[waterAdded]
	out[finalShare] = share(out[waterAdded], out[volumeAfter], finalShare)
	for k := range int(kinds) {
		out[concBefore+k] = share(out[amounts+k], out[volumeBefore], concBefore+k)
		out[concAfter+k] = share(out[amounts+k], out[volumeAfter], concAfter+k)
	}
	out[sugarToAcid] = share(out[amounts+int(sugar)], out[amounts+int(acid)], sugarToAcid)
	return out
}

// spread reckons the drink and the band of every number: one input at a time to its low and to its high, the changes
// added in quadrature, up and down apart.
func (g *glass) spread() [numbers]input {
	var none reckoned
	middle := g.reckon(&none)
	var up, down reckoned
	move := func(at *float64, low, high float64) {
		was := *at
		*at = low
		first := g.reckon(&middle)
		*at = high
		second := g.reckon(&middle)
		*at = was
		for n := range middle {
			a, b := first[n]-middle[n], second[n]-middle[n]
			rise, fall := max(a, b, 0), min(a, b, 0)
			up[n] += float64(rise * rise)
			down[n] += float64(fall * fall)
		}
	}
	for i := range g.lines {
		l := &g.lines[i]
		if l.state != counted {
			continue
		}
		if in := l.volume; !in.exact() {
			move(&l.volume.value, in.low, in.high)
		}
		for k := range l.content {
			if in := l.content[k]; l.known[k] && !in.exact() {
				move(&l.content[k].value, in.low, in.high)
			}
		}
	}
	if ratio := g.estimate.Ratio; ratio.Known && ratio.Value.Value > 0 && ratio.Value.Low < ratio.Value.High {
		middle := float64(ratio.Value.Value)
		move(&g.scale, float64(ratio.Value.Low)/middle, float64(ratio.Value.High)/middle)
	}
	var out [numbers]input
	for n, value := range middle {
		out[n] = input{value, max(0, value-math.Sqrt(down[n])), value + math.Sqrt(up[n])}
	}
	return out
}

// figures turns numbers into figures: what is known of each, in which unit, with how many decimals.
func (g *glass) figures(out [numbers]input, r *Result) {
	waterKnown := g.measured || g.estimate.Ratio.Known && (!g.metMissing || g.estimate.Basis == dilution.NoIce)
	waterBounded := g.measured || g.estimate.Ratio.Known
	figure := func(n int, per float64, decimals int, known, atLeast bool) Figure {
		if !known && !atLeast {
			return Figure{Decimals: decimals}
		}
		in := out[n]
		return Figure{in.value / per, in.low / per, in.high / per, known, !known, false, decimals}
	}
	volume := func(n int, known bool) Figure {
		f := figure(n, 1000, volumeDecimals, known, true)
		if f.Value < smallVolume || f.Low == f.High {
			f.Decimals = exactDecimals
		}
		return f
	}
	// A mg/L of a microlitre is 1e-9 g.
	for side, at := range []*Figures{&r.Before, &r.After} {
		n, known, bounded := volumeBefore, !g.anyMissing, true
		conc := concBefore
		if side == 1 {
			n, known, bounded = volumeAfter, !g.anyMissing && waterKnown, waterBounded
			conc = concAfter
		}
		at.Volume = volume(n, known)
		at.Ethanol = Figure{
			Value: g.alcohol.Volume.Value.ML(), Low: g.alcohol.Volume.Low.ML(), High: g.alcohol.Volume.High.ML(),
			Known: g.amount[alcohol], AtLeast: !g.amount[alcohol], Decimals: ethanolDecimals,
		}
		at.SugarGrams = figure(amounts+int(sugar), 1e9, gramsDecimals, g.amount[sugar], true)
		at.AcidGrams = figure(amounts+int(acid), 1e9, acidDecimals, g.amount[acid], true)
		shares := [kinds]struct {
			to       *Figure
			per      float64
			decimals int
		}{{&at.Strength, 100, strengthDecimals}, {&at.Sugar, 1e4, sugarDecimals}, {&at.Acid, 1e4, acidDecimals}}
		for k, s := range shares {
			whole := known && out[n].value > 0
			*s.to = figure(conc+k, s.per, s.decimals, whole && g.amount[k], whole)
			if g.anyMissing && bounded {
				*s.to = g.between(kind(k), out[conc+k], out[n].value, s.per, s.decimals, side == 1)
			}
		}
		if at.Strength.High > 100 {
			at.Strength.High = 100
		}
		someAcid := g.amount[acid] && out[amounts+int(acid)].low > 0
		at.SugarToAcid = figure(sugarToAcid, 1, ratioDecimals, someAcid && g.amount[sugar], someAcid)
	}
	r.water = out[waterAdded]
	if !waterBounded {
		r.Dilution.Water = Figure{Decimals: volumeDecimals}
	} else {
		r.Dilution.Water = volume(waterAdded, waterKnown)
	}
	r.Dilution.OfStart = figure(startShare, 0.01, percentDecimals, g.estimate.Ratio.Known || g.measured && g.met > 0 && !g.metMissing, false)
	r.Dilution.OfFinal = figure(finalShare, 0.01, percentDecimals, waterKnown && !g.anyMissing && out[volumeAfter].value > 0, false)
}

// between bounds a share while amounts are open: a mixture lies between what it is mixed of.
func (g *glass) between(k kind, rest input, restVolume, per float64, decimals int, after bool) Figure {
	low, high := math.Inf(1), math.Inf(-1)
	if restVolume > 0 {
		low, high = rest.low, rest.high
	}
	for i := range g.lines {
		l := &g.lines[i]
		switch {
		case l.state == ignored:
		case !l.known[k] && !l.none(k):
			return Figure{Decimals: decimals}
		case l.state == missing:
			least, most := l.content[k].low, l.content[k].high
			if after && !g.measured && !l.afterIce {
				least /= 1 + float64(g.estimate.Ratio.Value.High)
				most /= 1 + float64(g.estimate.Ratio.Value.Low)
			}
			low, high = min(low, least), max(high, most)
		}
	}
	return Figure{Low: low / per, High: high / per, Between: true, Decimals: decimals}
}
