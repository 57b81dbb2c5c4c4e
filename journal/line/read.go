package line

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"fairmeasure/journal"
	"fairmeasure/journal/unit"
)

// Read reads one typed line. A line such as "equal parts gin, sweet vermouth" gives several; each of them then has what
// it would have been typed as alone in Typed.
//
// Every refusal is a *journal.Refusal on the field "typed". A line that would not read the same once printed is
// refused as unreadable: it says two things at once, such as two amounts.
func Read(text string, opt Options) ([]Line, error) {
	opt, err := opt.settled()
	if err != nil {
		return nil, err
	}
	lines, err := read(text, opt)
	if err != nil {
		return nil, err
	}
	for _, l := range lines {
		if n := utf8.RuneCountInString(Print(l)); n > MaxLength {
			return nil, refuse("too_long", "expected a line of at most %d characters, got %d once written plainly", MaxLength, n)
		}
		if !l.readsAgain(opt) {
			return nil, refuse("unreadable", "expected one amount and one name, got “%s”", clip(l.Typed))
		}
	}
	return lines, nil
}

// readsAgain says whether the line, printed and read, is the same.
func (l Line) readsAgain(opt Options) bool {
	if l.OunceKind != "" {
		opt.OunceKind = l.OunceKind
	}
	lines, err := read(Print(l), opt)
	if err != nil || len(lines) != 1 {
		return false
	}
	a := lines[0]
	return a.Qty == l.Qty && a.QtyHigh == l.QtyHigh && a.Unit == l.Unit && a.OunceKind == l.OunceKind && a.Volume == l.Volume && a.Open == l.Open &&
		a.Name == l.Name && a.Form == l.Form && a.Note == l.Note && a.Strength == l.Strength && a.Estimate == l.Estimate
}

func read(text string, opt Options) ([]Line, error) {
	typed, err := clean(text)
	if err != nil {
		return nil, err
	}
	s, err := bare(typed)
	if err != nil {
		return nil, err
	}
	amount, items, shared, err := cutShared(s)
	if err != nil {
		return nil, err
	}
	if !shared {
		l, err := parse(s, opt)
		if err != nil {
			return nil, err
		}
		l.Typed = typed
		return []Line{l}, nil
	}
	lines := make([]Line, 0, len(items))
	for _, item := range items {
		alone := amount + " " + item
		l, err := parse(alone, opt)
		if err != nil {
			return nil, err
		}
		l.Typed = alone
		lines = append(lines, l)
	}
	return lines, nil
}

// clean is the text as typed, with pasted spaces made plain.
func clean(text string) (string, error) {
	if !utf8.ValidString(text) {
		return "", refuse("unreadable", "expected text, got bytes that are no UTF-8")
	}
	if len(text) > 16*MaxLength {
		return "", refuse("too_long", "expected a line of at most %d characters, got more", MaxLength)
	}
	var b strings.Builder
	space := false
	for _, r := range strings.TrimFunc(text, blank) {
		switch {
		case r == '\n' || r == '\r' || r == '\u2028' || r == '\u2029' || unicode.IsControl(r) && r != '\t':
			return "", refuse("unreadable", "expected one line, got a line break or control character in it")
		case invisible(r):
		case unicode.IsSpace(r):
			space = true
		default:
			if space {
				b.WriteByte(' ')
			}
			b.WriteRune(r)
			space = false
		}
	}
	s := b.String()
	if s == "" {
		return "", refuse("empty", "expected a line such as “45 ml gin”, got nothing")
	}
	if n := utf8.RuneCountInString(s); n > MaxLength {
		return "", refuse("too_long", "expected a line of at most %d characters, got %d", MaxLength, n)
	}
	return s, nil
}

func blank(r rune) bool { return unicode.IsSpace(r) || invisible(r) }

// invisible runes have no width: nothing a person typed.
func invisible(r rune) bool {
	switch r {
	case '\u200b', '\u200e', '\u200f', '\u2060', '\ufeff', '\u00ad':
		return true
	}
	return false
}

const bullets = "•·●○◦▪▫‣⁃∙■□☐☑✓✔➤*+>—"

// bare takes off what a list puts before and after its lines.
func bare(s string) (string, error) {
	for {
		was := s
		s = strings.TrimLeft(s, " ")
		if r, n := utf8.DecodeRuneInString(s); strings.ContainsRune(bullets, r) {
			s = s[n:]
			continue
		}
		if r, n := utf8.DecodeRuneInString(s); strings.ContainsRune("-–−‐‑", r) {
			if numeric(s[n:]) {
				return "", refuse("negative", "expected an amount above zero, got “%s”; a list dash needs a space behind it", clip(s))
			}
			s = s[n:]
			continue
		}
		// "1. 45 ml gin", "2) ¾ oz lime"
		if d := digits(s); d > 0 && d <= 2 && len(s) > d+2 && (s[d] == '.' || s[d] == ')') && s[d+1] == ' ' {
			rest := strings.TrimLeft(s[d+2:], " ")
			if numeric(rest) {
				s = rest
			}
		}
		if s == was {
			break
		}
	}
	if rest, ok := cutWord(s, "minus"); ok {
		if numeric(rest) {
			return "", refuse("negative", "expected an amount above zero, got “%s”", clip(s))
		}
	}
	return tidy(s), nil
}

// numeric says whether s begins with a number.
func numeric(s string) bool {
	r, n := utf8.DecodeRuneInString(s)
	return unicode.IsNumber(r) || (r == '.' || r == ',') && digits(s[n:]) > 0
}

// tidy takes off loose punctuation and doubled spaces.
func tidy(s string) string {
	s = strings.Join(strings.Fields(s), " ")
	s = strings.TrimRight(s, " .,;:…!-–—")
	return strings.TrimLeft(s, " ,;:…!–—")
}

// cutShared reads an amount shared by a list: "equal parts gin, vermouth", "30 ml each gin and vermouth", "je 3 cl Gin, Wermut".
func cutShared(s string) (amount string, items []string, ok bool, err error) {
	list := ""
	for _, p := range []string{"equal parts of", "equal parts", "equal amounts of", "zu gleichen teilen", "gleiche teile", "gleich viel"} {
		if rest, cut := cutWord(s, p); cut {
			amount, list, ok = "1 part", rest, true
			break
		}
	}
	if !ok {
		for _, p := range []string{"je", "jeweils", "each"} {
			rest, cut := cutWord(s, p)
			if !cut {
				continue
			}
			n, num, err := cutNumber(rest)
			if err != nil || !num {
				continue
			}
			if _, _, after, unit := cutUnit(strings.TrimLeft(n.rest, " ")); unit {
				amount, list, ok = strings.TrimSpace(rest[:len(rest)-len(after)]), after, true
			}
		}
	}
	if !ok {
		n, num, err := cutNumber(s)
		if err != nil || !num {
			return "", nil, false, nil // the line itself says it better
		}
		_, _, after, isUnit := cutUnit(strings.TrimLeft(n.rest, " "))
		if !isUnit {
			return "", nil, false, nil
		}
		for _, p := range []string{"each of", "each"} {
			if rest, cut := cutWord(after, p); cut {
				amount, list, ok = strings.TrimSpace(s[:len(s)-len(after)]), rest, true
				break
			}
		}
	}
	if !ok {
		return "", nil, false, nil
	}
	items = split(list)
	if len(items) == 0 {
		return "", nil, false, refuse("no_name", "expected names after “%s”, got none", clip(s))
	}
	return amount, items, true, nil
}

// split takes a list apart at commas, semicolons and "and", not inside brackets or numbers. A piece that is only a
// strength belongs to the one before it.
func split(list string) []string {
	var items []string
	depth, from := 0, 0
	add := func(to int) {
		item := tidy(list[from:to])
		if item == "" {
			return
		}
		if start, _, m, end := nextMark(item, 0); m != noMark && start == 0 && end == len(item) && len(items) > 0 {
			items[len(items)-1] += ", " + item
			return
		}
		items = append(items, item)
	}
	for i := 0; i < len(list); i++ {
		switch c := list[i]; {
		case c == '(' || c == '[':
			depth++
		case c == ')' || c == ']':
			depth--
		case depth > 0:
		case c == ',' && i > 0 && digits(list[i-1:]) > 0 && digits(list[i+1:]) > 0:
		case c == ',' || c == ';':
			add(i)
			from = i + 1
		case c == ' ':
			for _, joint := range []string{" and ", " und ", " & ", " + ", " plus "} {
				if strings.HasPrefix(list[i:], joint) {
					add(i)
					from = i + len(joint)
					break
				}
			}
		}
	}
	add(len(list))
	return items
}

// parse reads one line that names one thing.
func parse(s string, opt Options) (Line, error) {
	s, note := cutNotes(s)
	if s = tidy(s); s == "" {
		return Line{}, refuse("unreadable", "expected an amount and a name, got only a note")
	}
	l := Line{Note: note}
	l.Open, s = cutOpen(s)
	if s == "" {
		return Line{}, refuse("no_name", "expected the name of an ingredient, got none")
	}

	name, err := l.amount(s)
	if err != nil {
		return Line{}, err
	}
	name, l.Strength, note, err = cutStrength(trimName(name))
	if err != nil {
		return Line{}, err
	}
	l.Name = trimName(name)
	if note != "" {
		l.Note = strings.TrimPrefix(l.Note+"; "+note, "; ")
	}
	if strings.IndexFunc(l.Name, unicode.IsLetter) < 0 {
		return Line{}, refuse("no_name", "expected the name of an ingredient after the amount, got “%s”", clip(s))
	}
	if iced(l.Name) {
		return Line{}, refuse("ice", "expected an ingredient, got “%s”: ice melts by method and has its own place beside the lines", clip(l.Name))
	}
	if err := oneAmount(l.Name); err != nil {
		return Line{}, err
	}
	if measured(l.Unit) && juiced(l.Name) {
		l.Form, l.Assumed = Juice, append(l.Assumed, AssumedForm)
	}
	if err := l.measure(opt); err != nil {
		return Line{}, err
	}
	return l, nil
}

// oneAmount refuses a name that holds an amount of something more: "2 oz gin 2 oz vermouth".
func oneAmount(name string) error {
	for i := 0; i < len(name); i++ {
		if i > 0 && name[i-1] != ' ' {
			continue
		}
		n, ok, err := cutNumber(name[i:])
		if err != nil || !ok {
			continue
		}
		if u, _, _, ok := cutUnit(strings.TrimLeft(n.rest, " ")); ok && measured(u) {
			return refuse("two_amounts", "expected one amount to a line, got “%s” as well", clip(name[i:]))
		}
	}
	return nil
}

func trimName(s string) string {
	for {
		was := s
		s = tidy(strings.TrimLeft(s, "-/|=~. "))
		for _, p := range []string{"of", "von", "vom"} {
			s, _ = cutWord(s, p)
		}
		if s == was {
			return s
		}
	}
}

// cutNotes takes the bracketed text out of s.
func cutNotes(s string) (rest, note string) {
	if !strings.ContainsAny(s, "()[]") {
		return s, ""
	}
	var out, in strings.Builder
	var notes []string
	depth := 0
	end := func() {
		if n := tidy(in.String()); n != "" {
			notes = append(notes, n)
		}
		in.Reset()
	}
	for _, r := range s {
		switch {
		case r == '(' || r == '[':
			if depth++; depth > 1 {
				in.WriteByte('(')
			}
		case (r == ')' || r == ']') && depth > 0:
			if depth--; depth > 0 {
				in.WriteByte(')')
			} else {
				end()
				out.WriteByte(' ')
			}
		case r == ')' || r == ']':
			out.WriteByte(' ')
		case depth > 0:
			in.WriteRune(r)
		default:
			out.WriteRune(r)
		}
	}
	for ; depth > 1; depth-- {
		in.WriteByte(')')
	}
	end()
	rest = strings.Join(strings.Fields(out.String()), " ")
	return strings.ReplaceAll(rest, " ,", ","), strings.Join(notes, "; ")
}

// cutOpen takes off the words of an amount left open: "top with", "rinse:", "float of", "to taste".
func cutOpen(s string) (journal.Open, string) {
	start := []struct {
		open   journal.Open
		phrase string
	}{
		{journal.Top, "top up with|top off with|top it with|top with|topped up with|topped with|top up|top off|top|fill up with|fill with|lengthen with|auffuellen mit|aufgefuellt mit|aufgiessen mit"},
		{journal.Rinse, "rinse with|rinse of|rinse glass with|rinse the glass with|rinse|glas mit|ausspuelen mit|ausschwenken mit|spuelen mit"},
		{journal.Float, "float of|float with|float|floated"},
		{journal.ToTaste, "to taste|nach geschmack"},
	}
	finish := []struct {
		open   journal.Open
		phrase string
	}{
		{journal.Top, "to top up|to top off|to top|to fill|auffuellen|aufgiessen|zum auffuellen"},
		{journal.Rinse, "to rinse|rinse|zum ausspuelen|ausspuelen|ausschwenken"},
		{journal.Float, "float|floated"},
		{journal.ToTaste, "to taste|nach geschmack"},
	}
	for _, o := range start {
		for p := range strings.SplitSeq(o.phrase, "|") {
			rest, ok := cutWord(s, p)
			if !ok {
				continue
			}
			if p == "glas mit" { // only "Glas mit Absinth ausspülen"
				end, ok := cutLast(rest, "ausspuelen")
				if !ok {
					end, ok = cutLast(rest, "ausschwenken")
				}
				if !ok {
					continue
				}
				rest = end
			}
			return o.open, tidy(rest)
		}
	}
	for _, o := range finish {
		for p := range strings.SplitSeq(o.phrase, "|") {
			if rest, ok := cutLast(s, p); ok {
				rest, _ = cutWord(rest, "mit")
				return o.open, tidy(rest)
			}
		}
	}
	return journal.Measured, s
}

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
