package line

import (
	"math/bits"
	"strconv"
	"strings"
	"unicode/utf8"

	"fairmeasure/journal"
)

// maxQty bounds every typed number, far above any amount accepted later.
const maxQty = 1_000_000 * One

func refuse(code, format string, args ...any) error {
	return journal.Refuse(code, "typed", format, args...)
}

// clip shortens what came for a message.
func clip(s string) string {
	const most = 40
	n := 0
	for i := range s {
		if n == most {
			return s[:i] + "…"
		}
		n++
	}
	return s
}

// mulDiv is a*b/c rounded to the nearest, halves up, for values not negative. It saturates where the result would not fit.
func mulDiv(a, b, c int64) int64 {
	hi, lo := bits.Mul64(uint64(a), uint64(b))
	lo, carry := bits.Add64(lo, uint64(c)/2, 0)
	hi += carry
	if hi >= uint64(c) {
		return 1<<63 - 1
	}
	q, _ := bits.Div64(hi, lo, uint64(c))
	if q > 1<<63-1 {
		return 1<<63 - 1
	}
	return int64(q)
}

func digits(s string) int {
	n := 0
	for n < len(s) && s[n] >= '0' && s[n] <= '9' {
		n++
	}
	return n
}

var vulgar = []struct {
	r        rune
	num, den int64
}{
	{'½', 1, 2}, {'¼', 1, 4}, {'¾', 3, 4}, {'⅓', 1, 3}, {'⅔', 2, 3}, {'⅛', 1, 8}, {'⅜', 3, 8}, {'⅝', 5, 8}, {'⅞', 7, 8},
	{'⅙', 1, 6}, {'⅚', 5, 6}, {'⅕', 1, 5}, {'⅖', 2, 5}, {'⅗', 3, 5}, {'⅘', 4, 5}, {'⅐', 1, 7}, {'⅑', 1, 9}, {'⅒', 1, 10},
}

func cutVulgar(s string) (Qty, string, bool) {
	r, n := utf8.DecodeRuneInString(s)
	for _, v := range vulgar {
		if v.r == r {
			return Qty(mulDiv(v.num, int64(One), v.den)), s[n:], true
		}
	}
	return 0, s, false
}

func cutSlash(s string) (string, bool) {
	for _, sl := range []string{"/", "⁄", "∕"} {
		if rest, ok := strings.CutPrefix(s, sl); ok && digits(rest) > 0 {
			return rest, true
		}
	}
	return s, false
}

// number is a number as typed.
type number struct {
	q         Qty
	text      string // as typed
	thousands bool   // "1.000": three decimals after a whole number, so perhaps a thousand
	rest      string
}

// cutNumber reads a number at the start of s; ok is false when there is none. A number it cannot be sure of is refused.
func cutNumber(s string) (n number, ok bool, err error) {
	d := digits(s)
	if d == 0 {
		if q, rest, ok := cutVulgar(s); ok {
			return taken(s, q, rest)
		}
		if decimalMark(s) {
			f := digits(s[1:])
			return taken(s, decimals(s[1:1+f]), s[1+f:])
		}
		return number{}, false, nil
	}
	if d > 9 {
		return number{}, false, refuse("too_much", "expected an amount a glass can hold, got %s", clip(s[:d]))
	}
	whole, rest := Qty(atoi(s[:d]))*One, s[d:]

	if q, after, ok := cutVulgar(strings.TrimLeft(rest, " ")); ok {
		return taken(s, whole+q, after)
	}
	if decimalMark(rest) {
		return cutDecimals(s, whole, rest)
	}
	if after, ok := cutSlash(rest); ok {
		return cutFractionOf(s, d, after)
	}
	if q, end, ok, err := cutJoined(rest); err != nil {
		return number{}, false, err
	} else if ok {
		return taken(s, whole+q, end)
	}
	return taken(s, whole, rest)
}

// decimalMark reports whether a point or a comma with a digit behind it comes next.
func decimalMark(s string) bool {
	return len(s) > 1 && (s[0] == '.' || s[0] == ',') && digits(s[1:]) > 0
}

// cutDecimals reads the decimals of the number that s begins with.
func cutDecimals(s string, whole Qty, rest string) (number, bool, error) {
	f := digits(rest[1:])
	after := rest[1+f:]
	if _, slash := cutSlash(after); slash || decimalMark(after) {
		return number{}, false, refuse("unclear_number", "expected one number such as 22.5 or 22,5, got “%s”", clip(s))
	}
	n, ok, err := taken(s, whole+decimals(rest[1:1+f]), after)
	n.thousands = f == 3 && s[0] != '0'
	return n, ok, err
}

// cutFractionOf reads the fraction that s begins with: after its first d digits and the slash.
func cutFractionOf(s string, d int, after string) (number, bool, error) {
	q, after, err := cutFraction(atoi(s[:d]), after)
	if err != nil {
		return number{}, false, err
	}
	if d > 1 && q > One {
		// "1½" copied as plain text often becomes "11/2".
		return number{}, false, refuse("unclear_number", "expected a number read one way only, got “%s”: write 1 1/2, or 5.5",
			clip(s[:len(s)-len(after)]))
	}
	return taken(s, q, after)
}

// cutJoined reads a proper fraction after a whole number: "1 1/2", "1-1/2", "1 and 1/2".
func cutJoined(rest string) (q Qty, end string, ok bool, err error) {
	for _, joint := range []string{" and ", " und ", " & ", " + ", " ", "-"} {
		after, ok := strings.CutPrefix(rest, joint)
		if !ok {
			continue
		}
		if q, end, ok := cutVulgar(after); ok {
			return q, end, true, nil
		}
		f := digits(after)
		if f == 0 || f > 3 {
			continue
		}
		den, ok := cutSlash(after[f:])
		if !ok {
			continue
		}
		q, end, err := cutFraction(atoi(after[:f]), den)
		if err != nil || q > 0 && q < One {
			return q, end, err == nil, err
		}
	}
	return 0, rest, false, nil
}

// taken is the number q read from s, of which rest is left.
func taken(s string, q Qty, rest string) (number, bool, error) {
	text := s[:len(s)-len(rest)]
	if q > maxQty {
		return number{}, false, refuse("too_much", "expected an amount a glass can hold, got %s", clip(text))
	}
	return number{q: q, text: text, rest: rest}, true, nil
}

func cutFraction(num int64, s string) (Qty, string, error) {
	d := digits(s)
	if d > 4 || atoi(s[:d]) == 0 {
		return 0, s, refuse("unclear_number", "expected a fraction such as 3/4, got %d/%s", num, clip(s[:d]))
	}
	return Qty(mulDiv(num, int64(One), atoi(s[:d]))), s[d:], nil
}

// atoi reads at most nine digits.
func atoi(s string) int64 {
	n, _ := strconv.ParseInt(s, 10, 64)
	return n
}

// decimals reads the digits behind the point, rounding to millionths.
func decimals(s string) Qty {
	if len(s) > 9 {
		s = s[:9]
	}
	for len(s) < 9 {
		s += "0"
	}
	return Qty((atoi(s) + 500) / 1000)
}

// cutNumberWord reads a number written as a word: "half a", "two", "eine halbe", "one and a half".
func cutNumberWord(s string) (number, bool) {
	done := func(q Qty, rest string) (number, bool) {
		return number{q: q, text: strings.TrimSpace(s[:len(s)-len(rest)]), rest: rest}, true
	}
	article := func(s string) string {
		if rest, ok := cutWord(s, "of"); ok {
			s = rest
		}
		for _, a := range []string{"a", "an", "one", "einer", "eine", "ein", "einen"} {
			if rest, ok := cutWord(s, a); ok {
				return rest
			}
		}
		return s
	}
	w, rest := word(s)
	rest = strings.TrimLeft(rest, " ")
	if digits(rest) > 0 && w != "" && !strings.HasSuffix(s[:len(s)-len(rest)], " ") {
		return number{}, false
	}
	if q := share(w); q > 0 {
		return done(q, article(rest))
	}
	n := count(w)
	if n == 0 {
		return number{}, false
	}
	next, after := word(rest)
	after = strings.TrimLeft(after, " ")
	if q := share(next); q > 0 {
		return done(Qty(n)*q, article(after))
	}
	for _, half := range []string{"and a half", "und eine halbe", "und ein halb"} {
		if after, ok := cutWord(rest, half); ok {
			return done(Qty(n)*One+One/2, after)
		}
	}
	return done(Qty(n)*One, rest)
}

func share(w string) Qty {
	switch {
	case w == "":
	case oneOf("half|halb|halbe|halber|halben|halbes", w):
		return One / 2
	case oneOf("quarter|quarters|viertel", w):
		return One / 4
	case oneOf("third|thirds|drittel", w):
		return 333_333
	case w == "dreiviertel":
		return One * 3 / 4
	case oneOf("anderthalb|eineinhalb", w):
		return One * 3 / 2
	}
	return 0
}

func count(w string) int64 {
	if w == "" {
		return 0
	}
	for n, words := range [...]string{"a|an|one|ein|eine|einen|einer|eines|einem", "two|zwei", "three|drei", "four|vier", "five|fuenf", "six|sechs", "seven|sieben",
		"eight|acht", "nine|neun", "ten|zehn", "eleven|elf", "twelve|zwoelf"} {
		if oneOf(words, w) {
			return int64(n) + 1
		}
	}
	return 0
}

// decimal prints n of 10^places without trailing zeros.
func decimal(n int64, places int) string {
	sign := ""
	if n < 0 {
		sign, n = "-", -n
	}
	s := strconv.FormatInt(n, 10)
	for len(s) <= places {
		s = "0" + s
	}
	whole, frac := s[:len(s)-places], strings.TrimRight(s[len(s)-places:], "0")
	if frac == "" {
		return sign + whole
	}
	return sign + whole + "." + frac
}

// printed is q as a person writes it beside the unit u: kitchen fractions with ounces and spoons, decimals with litres
// and grams.
func (q Qty) printed(u Unit) string {
	whole, frac := int64(q/One), q%One
	switch u {
	case Millilitre, Centilitre, Decilitre, Litre, Gram:
		s := decimal(int64(q), 6)
		if i := strings.IndexByte(s, '.'); i > 0 && len(s)-i == 4 && whole > 0 {
			s += "0" // "10.125" could be read as ten thousand
		}
		return s
	}
	if frac == 0 {
		return strconv.FormatInt(whole, 10)
	}
	for _, v := range vulgar[:11] {
		if Qty(mulDiv(v.num, int64(One), v.den)) == frac {
			if whole == 0 {
				return string(v.r)
			}
			return strconv.FormatInt(whole, 10) + string(v.r)
		}
	}
	return decimal(int64(q), 6)
}
