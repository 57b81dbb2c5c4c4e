package wire

import (
	"errors"
	"strconv"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"fairmeasure/sync/replica"
)

// errShape marks what is JSON but not of the form expected; anything else a scanner reports is not JSON.
var errShape = errors.New("wire: not of the expected form")

// shapeError is errShape with what was wrong, and where.
type shapeError string

func (e shapeError) Error() string { return string(e) }

func (e shapeError) Is(target error) bool { return target == errShape }

// scanner reads one JSON text from front to back. The first error stays; after it every call does nothing, so that a
// reader need not look at each step. Texts without escapes share the input's memory.
type scanner struct {
	s     string
	i     int
	depth int
	first bool // no element of the innermost open object or array was read yet
	most  int  // writes of one field of an entity; 0: as many as there are
	err   error
}

func newScanner(s string) *scanner {
	r := &scanner{s: s}
	if !utf8.ValidString(s) {
		r.fail("not UTF-8")
	}
	return r
}

func (r *scanner) fail(what string) {
	if r.err == nil {
		r.err = errors.New("wire: " + what + " at byte " + strconv.Itoa(r.i))
	}
}

func (r *scanner) shape(what string) {
	if r.err == nil {
		r.err = shapeError(errShape.Error() + ": " + what + ", before byte " + strconv.Itoa(r.i))
	}
}

// end demands that nothing follows.
func (r *scanner) end() error {
	if r.err == nil {
		if r.space(); r.i < len(r.s) {
			r.fail("something follows the value")
		}
	}
	return r.err
}

func (r *scanner) space() {
	for r.i < len(r.s) {
		switch r.s[r.i] {
		case ' ', '\t', '\n', '\r':
			r.i++
		default:
			return
		}
	}
}

// peek gives the first byte of the next value, 0 at the end.
func (r *scanner) peek() byte {
	r.space()
	if r.err != nil || r.i >= len(r.s) {
		return 0
	}
	return r.s[r.i]
}

// open goes into an object or array. Something else in its place is a wrong shape.
func (r *scanner) open(bracket byte) {
	c := r.peek()
	if r.err != nil {
		return
	}
	if c != bracket {
		if c == 0 {
			r.fail("ends too early")
		} else {
			r.shape("expected " + strconv.QuoteRune(rune(bracket)))
		}
		return
	}
	if r.depth++; r.depth > maxDepth {
		r.fail("nested too deeply")
		return
	}
	r.i++
	r.first = true
}

// next tells whether another element follows, and goes out of the object or array when none does.
func (r *scanner) next(bracket byte) bool {
	c := r.peek()
	if r.err != nil {
		return false
	}
	if c == bracket {
		r.i++
		r.depth--
		r.first = false
		return false
	}
	if !r.first {
		if c != ',' {
			r.fail("expected a comma")
			return false
		}
		r.i++
		r.space()
	}
	r.first = false
	return true
}

// key reads a key and its colon.
func (r *scanner) key() string {
	if r.peek() != '"' {
		r.fail("expected a key")
		return ""
	}
	k := r.text()
	if r.peek() != ':' {
		r.fail("expected a colon")
		return ""
	}
	r.i++
	return k
}

// text reads a string. Something else is a wrong shape.
func (r *scanner) text() string {
	c := r.peek()
	if r.err != nil {
		return ""
	}
	if c != '"' {
		if c == 0 {
			r.fail("ends too early")
		} else {
			r.shape("expected a text")
		}
		return ""
	}
	r.i++
	from := r.i
	for r.i < len(r.s) {
		switch c := r.s[r.i]; {
		case c == '"':
			r.i++
			return r.s[from : r.i-1]
		case c == '\\':
			return r.escaped(from)
		case c < ' ':
			r.fail("a control character in a text")
			return ""
		default:
			r.i++
		}
	}
	r.fail("a text without an end")
	return ""
}

func (r *scanner) escaped(from int) string {
	var b strings.Builder
	b.WriteString(r.s[from:r.i])
	for r.i < len(r.s) {
		c := r.s[r.i]
		r.i++
		switch {
		case c == '"':
			return b.String()
		case c < ' ':
			r.fail("a control character in a text")
			return ""
		case c != '\\':
			b.WriteByte(c)
			continue
		}
		if r.i >= len(r.s) {
			break
		}
		c = r.s[r.i]
		r.i++
		switch c {
		case '"', '\\', '/':
			b.WriteByte(c)
		case 'b':
			b.WriteByte('\b')
		case 'f':
			b.WriteByte('\f')
		case 'n':
			b.WriteByte('\n')
		case 'r':
			b.WriteByte('\r')
		case 't':
			b.WriteByte('\t')
		case 'u':
			u := r.hex()
			if utf16.IsSurrogate(u) {
				if !strings.HasPrefix(r.s[r.i:], `\u`) {
					r.fail("half a surrogate pair")
					return ""
				}
				r.i += 2
				if u = utf16.DecodeRune(u, r.hex()); u == utf8.RuneError {
					r.fail("half a surrogate pair")
					return ""
				}
			}
			b.WriteRune(u)
		default:
			r.fail("an unknown escape")
		}
		if r.err != nil {
			return ""
		}
	}
	r.fail("a text without an end")
	return ""
}

func (r *scanner) hex() rune {
	if len(r.s)-r.i < 4 {
		r.fail("ends too early")
		return 0
	}
	n, err := strconv.ParseUint(r.s[r.i:r.i+4], 16, 16)
	if err != nil {
		r.fail("not a hexadecimal escape")
		return 0
	}
	r.i += 4
	return rune(n)
}

// number reads the text of a number as JSON writes them.
func (r *scanner) number() (text string, whole bool) {
	from := r.i
	digits := func() bool {
		start := r.i
		for r.i < len(r.s) && r.s[r.i] >= '0' && r.s[r.i] <= '9' {
			r.i++
		}
		return r.i > start
	}
	at := func(set string) bool { return r.i < len(r.s) && strings.IndexByte(set, r.s[r.i]) >= 0 }
	whole = true
	if at("-") {
		r.i++
	}
	zero := at("0")
	start := r.i
	if !digits() || zero && r.i > start+1 {
		r.fail("not a number")
		return "", false
	}
	if at(".") {
		whole = false
		r.i++
		if !digits() {
			r.fail("not a number")
			return "", false
		}
	}
	if at("eE") {
		whole = false
		r.i++
		if at("+-") {
			r.i++
		}
		if !digits() {
			r.fail("not a number")
			return "", false
		}
	}
	return r.s[from:r.i], whole
}

func isNumber(c byte) bool { return c == '-' || c >= '0' && c <= '9' }

// int reads a whole number within ±(2^53−1). Anything else is a wrong shape.
func (r *scanner) int() int64 {
	c := r.peek()
	if r.err != nil {
		return 0
	}
	if !isNumber(c) {
		r.shape("expected a whole number")
		return 0
	}
	text, whole := r.number()
	if r.err != nil {
		return 0
	}
	n, err := strconv.ParseInt(text, 10, 64)
	if !whole || err != nil || n > replica.MaxInt || n < -replica.MaxInt {
		r.shape("expected a whole number within ±(2^53−1)")
		return 0
	}
	return n
}

// count reads a whole number from 0.
func (r *scanner) count() uint64 {
	n := r.int()
	if n < 0 {
		r.shape("expected a number from 0")
		return 0
	}
	return uint64(n)
}

func (r *scanner) word(w string) bool {
	if !strings.HasPrefix(r.s[r.i:], w) {
		return false
	}
	r.i += len(w)
	return true
}

func (r *scanner) bool() bool {
	switch c := r.peek(); {
	case r.err != nil:
	case c == 't' && r.word("true"):
		return true
	case c == 'f' && r.word("false"):
	default:
		r.shape("expected true or false")
	}
	return false
}

// value reads one scalar.
func (r *scanner) value() replica.Value {
	switch c := r.peek(); {
	case r.err != nil:
	case c == '"':
		return replica.Text(r.text())
	case isNumber(c):
		return replica.Int(r.int())
	case c == 't' && r.word("true"):
		return replica.Bool(true)
	case c == 'f' && r.word("false"):
		return replica.Bool(false)
	case c == 'n' && r.word("null"):
	case c == '{' || c == '[':
		r.shape("expected one scalar")
	default:
		r.fail("not a value")
	}
	return replica.Null
}

// skip passes over any value.
func (r *scanner) skip() {
	switch c := r.peek(); {
	case r.err != nil:
	case c == '{':
		for r.open('{'); r.next('}'); {
			r.key()
			r.skip()
		}
	case c == '[':
		for r.open('['); r.next(']'); {
			r.skip()
		}
	case c == '"':
		r.text()
	case isNumber(c):
		r.number()
	case r.word("true"), r.word("false"), r.word("null"):
	default:
		r.fail("not a value")
	}
}

// stamp reads a stamp.
func (r *scanner) stamp() replica.Stamp {
	text := r.text()
	s, ok := replica.ParseStamp(text)
	if !ok {
		r.shape("not a stamp")
	}
	return s
}

// short reads a text of at most this many bytes.
func (r *scanner) short(most int) string {
	text := r.text()
	if len(text) > most {
		r.shape("a text of more than " + strconv.Itoa(most) + " bytes")
		return ""
	}
	return text
}

// once refuses a key that comes twice in one object.
func (r *scanner) once(had *uint, key uint) {
	if *had&(1<<key) != 0 {
		r.shape("a key comes twice")
	}
	*had |= 1 << key
}
