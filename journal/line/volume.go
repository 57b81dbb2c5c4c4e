package line

import (
	"fairmeasure/journal"
	"fairmeasure/journal/unit"
)

// picolitresPerMicrolitreAndOne divides a quantity in millionths times a size in picolitres into microlitres.
const picolitresPerMicrolitreAndOne = 1_000_000 * int64(One)

func (q Qty) of(size int64) unit.Volume {
	return unit.Volume(mulDiv(int64(q), size, picolitresPerMicrolitreAndOne))
}

// sizeOf is the size of a unit under the settled options; estimate says that it is common practice and not a definition.
func sizeOf(u Unit, kind OunceKind, opt Options) (s size, estimate, ok bool) {
	us := kind == US
	pick := func(us bool, a, b size) size {
		if us {
			return a
		}
		return b
	}
	switch u {
	case Millilitre:
		return exactly(millilitre), false, true
	case Centilitre:
		return exactly(10 * millilitre), false, true
	case Decilitre:
		return exactly(100 * millilitre), false, true
	case Litre:
		return exactly(1000 * millilitre), false, true
	case Ounce:
		switch kind {
		case US:
			return exactly(usOunce), false, true
		case Imperial:
			return exactly(imperialOunce), false, true
		}
		return exactly(barOunce), false, true
	case Teaspoon:
		return pick(us, sizeTeaspoonUS, sizeTeaspoon), false, true
	case Tablespoon:
		return pick(us, sizeTableUS, sizeTablespoon), false, true
	case Cup:
		return pick(us, sizeCupUS, sizeCup), true, true
	case Jigger:
		return pick(us, sizeJiggerUS, sizeJigger), true, true
	case Pony:
		return pick(us, sizePonyUS, sizePony), true, true
	case Dash:
		return around(sizeDash, opt.DashUL), true, true
	case Barspoon:
		return around(sizeBarspoon, opt.BarspoonUL), true, true
	case Drop:
		return sizeDrop, true, true
	case Splash:
		return sizeSplash, true, true
	case Shot:
		return sizeShot, true, true
	case Single:
		return sizeSingle, true, true
	}
	return size{}, false, false
}

// kindMatters says whether the size of a unit depends on the kind of ounce.
func kindMatters(u Unit) bool {
	switch u {
	case Ounce, Jigger, Pony, Teaspoon, Tablespoon, Cup:
		return true
	}
	return false
}

// around moves a size to the owner's own value, its band in proportion. Chosen: who measured a spoon or a dash once
// still pours it with the same doubt, and no source says how much less.
func around(s size, own unit.Volume) size {
	pl := int64(own) * 1_000_000
	return size{pl, mulDiv(s.low, pl, s.value), mulDiv(s.high, pl, s.value)}
}

// measure fills in the volume of a line that has its name and quantity, and refuses what no glass holds.
func (l *Line) measure(opt Options) error {
	if l.Qty.Known && l.Qty.Value <= 0 {
		return refuse("zero", "expected an amount above zero, got 0 %s", l.Unit)
	}
	if kindMatters(l.Unit) && l.OunceKind == "" {
		l.OunceKind = opt.OunceKind
	}
	top := l.Qty.Value
	if l.QtyHigh.Known {
		top = l.QtyHigh.Value
	}
	most := Qty(0)
	switch l.Unit {
	case Piece, Fruit, Cube, Pinch:
		most = 200 * One
	case PartOf:
		most = 1000 * One
		if l.QtyHigh.Known {
			return refuse("range", "expected one number of parts, got a range")
		}
	case Gram:
		most = 5000 * One
	}
	if most > 0 && top > most {
		return refuse("too_much", "expected at most %s %s in a line, got %s", most.printed(l.Unit), l.Unit, top.printed(l.Unit))
	}

	s, estimate, ok := sizeOf(l.Unit, l.OunceKind, opt)
	switch l.Unit {
	case Fruit:
		s, ok = fruitSize(l.Name)
		estimate = ok
	case Piece:
		s, ok = countedSize(l.Name)
		estimate = ok
	case Rinse:
		l.Volume, l.Estimate = unit.Known(One.band(sizeRinse)), true
		return nil
	}
	if dry, _ := solid(l.Name); !ok || dry {
		l.Estimate = l.assumed(AssumedAmount)
		return nil
	}
	v := unit.Band[unit.Volume]{Value: ((l.Qty.Value + top) / 2).of(s.value), Low: l.Qty.Value.of(s.low), High: top.of(s.high)}
	l.Estimate = estimate
	if l.assumed(AssumedAmount) {
		l.Estimate = true
		if !l.QtyHigh.Known {
			v.Low, v.High = v.Low*(100-aboutShare)/100, v.High*(100+aboutShare)/100
		}
	}
	if v.High > MaxVolume && v.Value > MaxVolume {
		return refuse("too_much", "expected at most %s ml in a line, got %s ml", decimal(int64(MaxVolume), 3), decimal(int64(v.Value), 3))
	}
	if v.Value == 0 {
		return refuse("zero", "expected an amount that can be measured, got %s %s", l.Qty.Value.printed(l.Unit), l.Unit)
	}
	if l.Open == journal.Rinse {
		v = rinsed(v)
		l.Estimate = true
	}
	l.Volume = unit.Known(v)
	return nil
}

func (q Qty) band(s size) unit.Band[unit.Volume] {
	return unit.Band[unit.Volume]{Value: q.of(s.value), Low: q.of(s.low), High: q.of(s.high)}
}

// rinsed is what stays in a glass rinsed with v: the rest is discarded, and no more can stay than went in.
func rinsed(v unit.Band[unit.Volume]) unit.Band[unit.Volume] {
	r := One.band(sizeRinse)
	return unit.Band[unit.Volume]{Value: min(r.Value, v.Value), Low: min(r.Low, v.Low), High: min(r.High, v.High)}
}
