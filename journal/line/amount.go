package line

import (
	"strings"
	"unicode"

	"fairmeasure/journal"
	"fairmeasure/journal/unit"
)

// amount reads the amount of a line into l and gives back the name.
func (l *Line) amount(s string) (string, error) {
	if name, ok, err := l.juiceOf(s); ok || err != nil {
		return name, err
	}
	some, _ := cutWord(s, "a")
	some, _ = cutWord(some, "ein")
	if w, _ := word(some); oneOf("few|couple|several|some|paar|einige|etwas", w) {
		return "", refuse("no_amount", "expected a number, got “%s”", clip(s))
	}
	start := s
	s = l.about(s)
	n, ok, err := cutNumber(s)
	if err != nil {
		return "", err
	}
	if m, _ := cutMark(n.rest); ok && m != noMark {
		ok = false // "40 % gin 45 ml" does not begin with its amount
	}
	if !ok {
		l.Assumed, s = nil, start
		n, ok = cutNumberWord(s)
		if ok && n.rest == "" {
			ok = false
		}
	}
	if !ok {
		return l.withoutNumber(s)
	}
	rest, err := l.quantity(n)
	if err != nil {
		return "", err
	}
	if u, kind, after, ok := cutUnit(rest); ok {
		after, err := l.moreOfUnit(u, after)
		if err != nil {
			return "", err
		}
		if n.thousands && (u == Millilitre || u == Centilitre || u == Gram) {
			return "", refuse("unclear_number", "expected a number read one way only, got “%s”: write it without the point or with fewer decimals", clip(n.text))
		}
		l.Unit, l.OunceKind = u, kind
		return after, nil
	}
	if name, ok, err := l.turned(s); ok || err != nil {
		return name, err
	}
	return l.counted(rest, n)
}

// about takes a word of doubt off the number behind it.
func (l *Line) about(s string) string {
	for _, p := range []string{"about", "approx", "approximately", "circa", "ca", "etwa", "ungefaehr", "~", "≈"} {
		rest, ok := cutWord(s, p)
		if p == "~" || p == "≈" {
			rest, ok = strings.CutPrefix(s, p)
			rest = strings.TrimLeft(rest, " ")
		}
		if ok && numeric(rest) {
			l.Assumed = append(l.Assumed, AssumedAmount)
			return rest
		}
	}
	return s
}

// quantity takes a number, and a second one that makes it a range.
func (l *Line) quantity(n number) (string, error) {
	l.Qty, l.QtyHigh = unit.Known(n.q), unit.Maybe[Qty]{}
	rest := strings.TrimLeft(n.rest, " ")
	for _, joint := range []string{"-", "–", "—", "‑", "to ", "bis ", "or ", "oder "} {
		after, ok := strings.CutPrefix(rest, joint)
		if !ok {
			continue
		}
		high, ok, err := cutNumber(strings.TrimLeft(after, " "))
		if err != nil {
			return "", err
		}
		if !ok {
			break
		}
		if m, _ := cutMark(high.rest); m != noMark {
			break
		}
		return strings.TrimLeft(high.rest, " "), l.upTo(high)
	}
	return rest, nil
}

func (l *Line) upTo(high number) error {
	if high.q <= l.Qty.Value {
		return refuse("range", "expected a range from less to more, got “%s” as its end", clip(high.text))
	}
	l.QtyHigh = unit.Known(high.q)
	if !l.assumed(AssumedAmount) {
		l.Assumed = append(l.Assumed, AssumedAmount)
	}
	return nil
}

// moreOfUnit reads what may follow a unit: the end of a range ("20 ml - 25 ml") or the same amount again in another unit
// ("60 ml / 2 oz"), which becomes a note.
func (l *Line) moreOfUnit(u Unit, rest string) (string, error) {
	for _, joint := range []string{"-", "–", "—", "to ", "bis ", "/", "|"} {
		after, ok := strings.CutPrefix(rest, joint)
		if !ok {
			continue
		}
		n, ok, err := cutNumber(strings.TrimLeft(after, " "))
		if !ok || err != nil {
			return rest, nil
		}
		u2, _, end, ok := cutUnit(strings.TrimLeft(n.rest, " "))
		switch {
		case !ok:
			return rest, nil
		case joint == "/" || joint == "|":
			again := tidy(after[:len(after)-len(end)])
			l.Note = strings.TrimPrefix(l.Note+"; "+again, "; ")
			return end, nil
		case u2 == u && !l.QtyHigh.Known:
			return end, l.upTo(n)
		}
	}
	return rest, nil
}

// juiceOf reads "juice of half a lime", "Saft einer halben Zitrone".
func (l *Line) juiceOf(s string) (name string, ok bool, err error) {
	for _, p := range []string{"fresh juice of", "juice of", "juice from", "saft von", "saft aus", "saft"} {
		rest, ok := cutWord(s, p)
		if !ok {
			continue
		}
		n, ok, err := cutNumber(l.about(rest))
		if err != nil {
			return "", false, err
		}
		if !ok {
			if n, ok = cutNumberWord(rest); !ok {
				return "", false, nil
			}
		}
		if rest, err = l.quantity(n); err != nil {
			return "", false, err
		}
		if _, _, _, isUnit := cutUnit(rest); isUnit {
			return "", false, refuse("unreadable", "expected a count of fruit after “%s”, got “%s”", p, clip(rest))
		}
		l.Unit, l.Form = Fruit, Juice
		return rest, true, nil
	}
	return "", false, nil
}

// withoutNumber reads a line that does not begin with a number.
func (l *Line) withoutNumber(s string) (string, error) {
	if strings.IndexFunc(s, unicode.IsLetter) < 0 {
		return "", refuse("unreadable", "expected an amount and a name, got “%s”", clip(s))
	}
	if name, ok, err := l.turned(s); ok || err != nil {
		return name, err
	}
	switch l.Open {
	case journal.Top:
		l.Unit = Top
	case journal.Rinse:
		l.Unit = Rinse
	case journal.Float:
		l.Unit = Float
	case journal.ToTaste:
		l.Unit = Taste
	}
	if l.Open != journal.Measured {
		return s, nil
	}
	once := func(u Unit) {
		l.Qty, l.Unit = unit.Known(One), u
		l.Assumed = append(l.Assumed, AssumedQuantity)
	}
	if u, _, rest, ok := cutUnit(s); ok && rest != "" {
		w, _ := word(s)
		if oneOf("dash|splash|barspoon|bar|bsp|pinch|drop|schuss|spritzer|prise|bl|barloeffel", w) {
			once(u)
			return rest, nil
		}
	}
	if single(s) {
		once(Piece)
		return s, nil
	}
	return "", refuse("no_amount", "expected an amount before “%s”, such as “45 ml”, “2 dashes”, “top with” or “rinse”", clip(s))
}

// turned reads a line whose amount stands at its end: "gin 45 ml", "lemon juice: 22,5 ml".
func (l *Line) turned(s string) (name string, ok bool, err error) {
	for i := 1; i < len(s); i++ {
		if s[i-1] != ' ' && s[i-1] != ':' {
			continue
		}
		n, num, err := cutNumber(s[i:])
		if err != nil || !num {
			continue
		}
		if m, _ := cutMark(n.rest); m != noMark {
			continue
		}
		t := Line{Open: l.Open, Note: l.Note}
		rest, err := t.quantity(n)
		if err != nil {
			continue
		}
		u, kind, rest, isUnit := cutUnit(rest)
		if !isUnit || u == Piece || n.thousands {
			continue
		}
		if rest, err = t.moreOfUnit(u, rest); err != nil || rest != "" && rest[0] != ',' {
			continue
		}
		name := tidy(s[:i])
		if strings.IndexFunc(name, unicode.IsLetter) < 0 {
			continue
		}
		t.Unit, t.OunceKind = u, kind
		*l = t
		return name + rest, true, nil
	}
	return "", false, nil
}

// counted decides what a number means that has no unit behind it.
func (l *Line) counted(rest string, n number) (string, error) {
	rest = trimName(rest)
	w, after := word(rest)
	after = strings.TrimLeft(after, " ")
	switch {
	case rest == "":
		return "", refuse("no_name", "expected a unit and a name after %s, got nothing", clip(n.text))
	case w == "":
		return "", refuse("unreadable", "expected a unit or a name after %s, got “%s”", clip(n.text), clip(rest))
	case after != "" && nearest(w) != "":
		return "", refuse("unknown_unit", "expected a unit after %s, got “%s”: did you mean “%s”?", clip(n.text), clip(w), nearest(w))
	case vague(w):
		return "", refuse("unknown_unit", "expected a unit with a size after %s, such as ml, oz, dash or splash, got “%s”", clip(n.text), clip(w))
	}
	l.Unit = Piece
	for _, end := range []string{"juiced", "ausgepresst", "gepresst"} {
		if fruit, ok := cutLast(rest, end); ok {
			l.Unit, l.Form = Fruit, Juice
			return fruit, nil
		}
	}
	if fruit, ok := cutLast(rest, Juice); ok && juiced(fruit) {
		l.Unit, l.Form = Fruit, Juice
		l.Assumed = append(l.Assumed, AssumedUnit)
		return fruit, nil
	}
	for _, end := range []string{"cube", "cubes"} {
		if cube, ok := cutLast(rest, end); ok && head(cube) == "sugar" {
			l.Unit = Cube
			return cube, nil
		}
	}
	if w == "zuckerwuerfel" || w == "wuerfelzucker" {
		l.Unit = Cube
		return rest, nil
	}
	if name, _, _, err := cutStrength(rest); err == nil && liquid(name) {
		return "", refuse("no_unit", "expected a unit such as ml or oz between %s and “%s”", clip(n.text), clip(rest))
	}
	if !countable(rest) {
		l.Assumed = append(l.Assumed, AssumedUnit)
	}
	return rest, nil
}

// measured says whether a unit measures out a liquid.
func measured(u Unit) bool {
	switch u {
	case Piece, Fruit, Gram, Cube, Pinch, Top, Rinse, Float, Taste:
		return false
	}
	return true
}
