package line

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"fairmeasure/journal"
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
