package line

import (
	"strconv"

	"fairmeasure/journal"
	"fairmeasure/journal/unit"
)

// Print is the line in its plain form: "45 ml gin, 40 % vol", "top with soda", "juice of ½ lime". Read gives the same
// amount again when its Options have the line's kind of ounce and the sizes it was read with.
func Print(l Line) string {
	thing := l.Name
	if l.Strength.Known {
		thing += ", " + decimal(int64(l.Strength.Value), 2) + " % vol"
	}
	if l.Note != "" {
		thing += " (" + l.Note + ")"
	}
	switch {
	case l.Unit == Fruit:
		thing = "juice of " + l.quantityText() + " " + thing
	case l.Qty.Known && l.Unit == Piece:
		thing = l.pieces(thing)
	case l.Qty.Known:
		thing = l.AmountTyped() + " " + thing
	}
	switch l.Open {
	case journal.Top:
		return "top with " + thing
	case journal.Rinse:
		return "rinse: " + thing
	case journal.Float:
		return "float of " + thing
	case journal.ToTaste:
		return "to taste: " + thing
	}
	return thing
}

// pieces leaves the word away where a bare number is read as a count.
func (l Line) pieces(thing string) string {
	plain := l.quantityText() + " " + thing
	var again Line
	if name, err := again.amount(l.quantityText() + " " + l.Name); err == nil && again.Unit == Piece && trimName(name) == l.Name {
		return plain
	}
	return l.quantityText() + " " + plural("piece", l) + " " + thing
}

func (l Line) quantityText() string {
	s := l.Qty.Value.printed(l.Unit)
	if l.QtyHigh.Known {
		return s + "-" + l.QtyHigh.Value.printed(l.Unit)
	}
	if l.assumed(AssumedAmount) {
		return "about " + s
	}
	return s
}

// AmountTyped is the amount as it was typed, in plain form: "2 oz", "1½ barspoons", "8-10"; empty for an open amount.
func (l Line) AmountTyped() string {
	if !l.Qty.Known {
		return ""
	}
	switch l.Unit {
	case Piece, Fruit:
		return l.quantityText()
	}
	return l.quantityText() + " " + plural(string(l.Unit), l)
}

func plural(word string, l Line) string {
	if l.Qty.Value <= One && !l.QtyHigh.Known {
		return abbreviated(word)
	}
	switch word {
	case string(Dash), string(Splash), string(Pinch):
		return word + "es"
	case string(Pony):
		return "ponies"
	case string(Millilitre), string(Centilitre), string(Decilitre), string(Litre), string(Ounce), string(Gram), string(Teaspoon), string(Tablespoon):
		return abbreviated(word)
	}
	return word + "s"
}

func abbreviated(word string) string {
	switch Unit(word) {
	case Teaspoon:
		return "tsp"
	case Tablespoon:
		return "tbsp"
	}
	return word
}

// nearEnough is how far a fraction of an ounce may be from the volume it stands for, in per mille: the US ounce is 1.4 %
// below the bar's 30 ml, and no jigger is read closer. Chosen.
const nearEnough = 15

// Amount is a volume as it is poured: millilitres in halves, or in tenths below ten; ounces in the fractions a jigger
// has. A volume that no such fraction meets has the nearest eighth with ≈ before it, or below an eighth, millilitres.
// Units other than ounces and centilitres show millilitres.
func Amount(v unit.Volume, as Unit, kind OunceKind) string {
	switch as {
	case Ounce:
		if whole, num, den, exact, ok := ounces(v, kind); ok {
			s := fraction(whole, num, den) + " oz"
			if !exact {
				return "≈ " + s
			}
			return s
		}
	case Centilitre:
		return decimal(step(int64(v), poured(v)), 4) + " cl"
	}
	return decimal(step(int64(v), poured(v)), 3) + " ml"
}

func poured(v unit.Volume) int64 {
	if v < 10_000 {
		return 100
	}
	return 500
}

func step(v, by int64) int64 {
	if v < 0 {
		return -step(-v, by)
	}
	return (v + by/2) / by * by
}

// ounces is v as whole ounces and a fraction of them.
func ounces(v unit.Volume, kind OunceKind) (whole, num, den int64, exact, ok bool) {
	s, _, _ := sizeOf(Ounce, kind, Options{})
	size := s.value / 1000 // nanolitres, for room
	if v <= 0 || v > MaxVolume*10 {
		return 0, 0, 0, false, false
	}
	n := int64(v) * 1000
	for _, den = range []int64{1, 4, 3, 8, 6} {
		k := (n*den + size/2) / size
		off := k*size - n*den
		if off < 0 {
			off = -off
		}
		if k > 0 && off*1000 <= n*den*nearEnough {
			whole, num, den = lowest(k, den)
			return whole, num, den, true, true
		}
	}
	k := (n*8 + size/2) / size
	if k == 0 {
		return 0, 0, 0, false, false
	}
	whole, num, den = lowest(k, 8)
	return whole, num, den, false, n*8 >= size*9/10
}

func lowest(k, den int64) (whole, num, d int64) {
	whole, num, d = k/den, k%den, den
	for num > 0 && num%2 == 0 && d%2 == 0 {
		num, d = num/2, d/2
	}
	if num > 0 && num%3 == 0 && d%3 == 0 {
		num, d = num/3, d/3
	}
	return whole, num, d
}

func fraction(whole, num, den int64) string {
	s := ""
	if whole > 0 || num == 0 {
		s = strconv.FormatInt(whole, 10)
	}
	for _, v := range vulgar {
		if num > 0 && v.num == num && v.den == den {
			return s + string(v.r)
		}
	}
	return s
}
