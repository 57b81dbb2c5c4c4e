package journal

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"fairmeasure/journal/unit"
)

// The canonical text of a Made, version 1:
//
//	made 1 <TAB> method <TAB> ice
//	name <TAB> ingredient <TAB> bottle <TAB> open <TAB> volume <TAB> strength <TAB> sugar <TAB> acid
//
// one row for each part, rows separated by a line feed, none behind the last. Volume in microlitres, strength in basis
// points, sugar and acid in mg/L. A number is "?" when unknown, "45000" when exact, and "900~400~1200" with its lowest
// and highest value. There is one text for each Made and one Made for each text: two devices that mean the same write
// the same bytes.
//
// Names are the bytes given; callers hand in Unicode form NFC.
const (
	madeMark    = "made "
	madeVersion = 1
	unknown     = "?"
	between     = "~"
)

// MaxMade is the most bytes a Made may take as text.
const MaxMade = 8 << 10

// The most a number of a part may be: a bowl of 100 litres, pure ethanol, and more sugar or acid than a litre holds.
const (
	maxPartVolume        = int64(100_000_000)
	maxPartStrength      = int64(10_000)
	maxPartConcentration = int64(2_000_000)
)

// Text is the canonical text of m. Codes of refusals: made_too_long, made_text (a control character or no UTF-8),
// made_number (below zero, too large, or outside its own band), made_open (an unknown open amount).
func (m Made) Text() (string, error) {
	var b strings.Builder
	b.WriteString(madeMark)
	b.WriteString(strconv.Itoa(madeVersion))
	var err error
	text := func(before byte, field, s string) {
		if err == nil && !plain(s) {
			err = Refuse("made_text", field, "expected text without tabs, line breaks or other control characters, got %q", clip(s))
		}
		b.WriteByte(before)
		b.WriteString(s)
	}
	number := func(field string, known bool, v, low, high, most int64) {
		b.WriteByte('\t')
		switch {
		case !known:
			b.WriteString(unknown)
			return
		case err == nil && (low < 0 || low > v || v > high || high > most):
			err = Refuse("made_number", field, "expected a number from 0 to %d within its band, got %d in %d to %d", most, v, low, high)
		}
		b.WriteString(strconv.FormatInt(v, 10))
		if low != v || high != v {
			b.WriteString(between + strconv.FormatInt(low, 10) + between + strconv.FormatInt(high, 10))
		}
	}
	text('\t', "method", string(m.Method))
	text('\t', "ice", m.Ice)
	for _, p := range m.Parts {
		if err != nil {
			return "", err
		}
		text('\n', "name", p.Name)
		text('\t', "ingredient", string(p.Ingredient))
		text('\t', "bottle", string(p.Bottle))
		switch p.Open {
		case Measured, Top, Rinse, Float, ToTaste:
		default:
			return "", Refuse("made_open", "open", "expected top, rinse, float, taste or nothing, got %q", clip(string(p.Open)))
		}
		text('\t', "open", string(p.Open))
		v, c := p.Volume.Value, p.Content
		number("volume", p.Volume.Known, int64(v.Value), int64(v.Low), int64(v.High), maxPartVolume)
		st := c.Strength.Value
		number("strength", c.Strength.Known, int64(st.Value), int64(st.Low), int64(st.High), maxPartStrength)
		su := c.Sugar.Value
		number("sugar", c.Sugar.Known, int64(su.Value), int64(su.Low), int64(su.High), maxPartConcentration)
		ac := c.Acid.Value
		number("acid", c.Acid.Known, int64(ac.Value), int64(ac.Low), int64(ac.High), maxPartConcentration)
		if b.Len() > MaxMade {
			break
		}
	}
	if err != nil {
		return "", err
	}
	if b.Len() > MaxMade {
		return "", Refuse("made_too_long", "parts", "expected what was in a glass to take at most %d bytes, got more", MaxMade)
	}
	return b.String(), nil
}

// ParseMade reads a canonical text, and refuses any other. Codes of refusals: newer_made (written by a later version of
// this program), made_too_long, made_form, and those of Text.
func ParseMade(text string) (Made, error) {
	if len(text) > MaxMade {
		return Made{}, Refuse("made_too_long", "made", "expected what was in a glass to take at most %d bytes, got %d", MaxMade, len(text))
	}
	head, rest, more := strings.Cut(text, "\n")
	fields := strings.Split(head, "\t")
	version, ok := strings.CutPrefix(fields[0], madeMark)
	n, err := strconv.ParseUint(version, 10, 31)
	switch {
	case !ok || err != nil || n == 0:
		return Made{}, Refuse("made_form", "made", "expected the text of what was in a glass, got %q", clip(head))
	case n > madeVersion:
		return Made{}, Refuse("newer_made", "made", "expected version %d of what was in a glass, got version %d: this was written by a newer app", madeVersion, n)
	case len(fields) != 3:
		return Made{}, Refuse("made_form", "made", "expected a method and an ice in the first row, got %d fields", len(fields))
	}
	m := Made{Method: Method(fields[1]), Ice: fields[2]}
	for more {
		var row string
		row, rest, more = strings.Cut(rest, "\n")
		p, err := parsePart(row)
		if err != nil {
			return Made{}, err
		}
		m.Parts = append(m.Parts, p)
	}
	again, err := m.Text()
	if err != nil {
		return Made{}, err
	}
	if again != text {
		return Made{}, Refuse("made_form", "made", "expected the canonical text of what was in a glass, got another spelling of it")
	}
	return m, nil
}

func parsePart(row string) (Part, error) {
	f := strings.Split(row, "\t")
	if len(f) != 8 {
		return Part{}, Refuse("made_form", "parts", "expected 8 fields in a part, got %d", len(f))
	}
	p := Part{Name: f[0], Ingredient: ID(f[1]), Bottle: ID(f[2]), Open: Open(f[3])}
	ok := banded(f[4], &p.Volume) && banded(f[5], &p.Content.Strength) && banded(f[6], &p.Content.Sugar) && banded(f[7], &p.Content.Acid)
	if !ok {
		return Part{}, Refuse("made_form", "parts", "expected numbers in a part, got %q", clip(strings.Join(f[4:], " ")))
	}
	return p, nil
}

func banded[T ~int64](s string, to *unit.Maybe[unit.Band[T]]) bool {
	if s == unknown {
		return true
	}
	values := strings.Split(s, between)
	if len(values) != 1 && len(values) != 3 {
		return false
	}
	var n [3]T
	for i := range n {
		v, err := strconv.ParseInt(values[min(i, len(values)-1)], 10, 64)
		if err != nil {
			return false
		}
		n[i] = T(v)
	}
	*to = unit.Known(unit.Band[T]{Value: n[0], Low: n[1], High: n[2]})
	return true
}

// plain says whether a text is UTF-8 without control characters or line separators.
func plain(s string) bool {
	return utf8.ValidString(s) && strings.IndexFunc(s, func(r rune) bool { return unicode.IsControl(r) || r == '\u2028' || r == '\u2029' }) < 0
}

// clip shortens what came for a message.
func clip(s string) string {
	const most = 40
	for n := range s {
		if n >= most {
			return s[:n] + "…"
		}
	}
	return s
}
