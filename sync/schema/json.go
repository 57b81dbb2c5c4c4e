package schema

import (
	"errors"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"fairmeasure/sync/replica"
)

// JSON for the shapes in this package, without encoding/json: the library costs the browser more than the whole of this
// package does, and nothing here needs more of it than this file.

// shape is what is known of a struct type: its fields by their key.
type shape struct {
	fields []field
}

type field struct {
	key       string
	at        int
	omitEmpty bool
}

// shapes remembers what reflection found out, for one reader or one intent.
type shapes map[reflect.Type]*shape

func (s shapes) of(t reflect.Type) *shape {
	if known, ok := s[t]; ok {
		return known
	}
	sh := &shape{}
	for i := range t.NumField() {
		if key, option, _ := strings.Cut(t.Field(i).Tag.Get("json"), ","); key != "" {
			sh.fields = append(sh.fields, field{key, i, option == "omitempty"})
		}
	}
	s[t] = sh
	return sh
}

// append writes a value: structs by their json tags, maps with their keys in order. A number that is none (a division by
// zero somewhere) is null.
func (s shapes) append(dst []byte, v reflect.Value) []byte {
	switch v.Kind() {
	case reflect.Bool:
		return strconv.AppendBool(dst, v.Bool())
	case reflect.Int, reflect.Int64:
		return strconv.AppendInt(dst, v.Int(), 10)
	case reflect.Float64:
		f := v.Float()
		if math.IsNaN(f) || math.IsInf(f, 0) {
			return append(dst, "null"...)
		}
		return strconv.AppendFloat(dst, f, 'f', -1, 64)
	case reflect.String:
		return appendText(dst, v.String())
	case reflect.Pointer, reflect.Interface:
		if v.IsNil() {
			return append(dst, "null"...)
		}
		return s.append(dst, v.Elem())
	case reflect.Slice:
		dst = append(dst, '[')
		for i := range v.Len() {
			if i > 0 {
				dst = append(dst, ',')
			}
			dst = s.append(dst, v.Index(i))
		}
		return append(dst, ']')
	case reflect.Map:
		keys := make([]string, 0, v.Len())
		for _, k := range v.MapKeys() {
			keys = append(keys, k.String())
		}
		slices.Sort(keys)
		dst = append(dst, '{')
		for i, k := range keys {
			if i > 0 {
				dst = append(dst, ',')
			}
			dst = append(appendText(dst, k), ':')
			dst = s.append(dst, v.MapIndex(reflect.ValueOf(k)))
		}
		return append(dst, '}')
	case reflect.Struct:
		dst = append(dst, '{')
		first := true
		for _, f := range s.of(v.Type()).fields {
			value := v.Field(f.at)
			if f.omitEmpty && (value.IsZero() || value.Kind() == reflect.Slice && value.Len() == 0) {
				continue
			}
			if !first {
				dst = append(dst, ',')
			}
			first = false
			dst = append(appendText(dst, f.key), ':')
			dst = s.append(dst, value)
		}
		return append(dst, '}')
	}
	panic("schema: no JSON for " + v.Type().String()) // a shape of this package that this file does not know
}

const hex = "0123456789abcdef"

func appendText(dst []byte, s string) []byte {
	dst = append(dst, '"')
	for i := 0; i < len(s); i++ {
		switch c := s[i]; {
		case c == '"' || c == '\\':
			dst = append(dst, '\\', c)
		case c == '\n':
			dst = append(dst, '\\', 'n')
		case c < ' ' || c == 0x7f:
			dst = append(dst, '\\', 'u', '0', '0', hex[c>>4], hex[c&15])
		default:
			dst = append(dst, c)
		}
	}
	return append(dst, '"')
}

// AppendJSON appends Done as JSON.
func (d Done) AppendJSON(dst []byte) []byte {
	return shapes{}.append(dst, reflect.ValueOf(d))
}

// parser reads JSON into the shapes of this package.
type parser struct {
	text   string
	at     int
	depth  int
	shapes shapes
}

var (
	errJSON  = errors.New("no JSON")
	errShape = errors.New("another kind of value was expected")
	errDeep  = errors.New("too deep")
)

// unmarshal reads one value and nothing after it into what into points to. Keys are matched letter by letter; one that
// is not known is an error, null leaves a field as it is, and whole numbers only are numbers.
func unmarshal(text string, into any) error {
	if !utf8.ValidString(text) {
		return errors.New("it is not UTF-8")
	}
	p := parser{text: text, shapes: shapes{}}
	if err := p.value(reflect.ValueOf(into).Elem()); err != nil {
		return err
	}
	p.space()
	if p.at != len(text) {
		return errors.New("something follows the first value")
	}
	return nil
}

func (p *parser) space() {
	for p.at < len(p.text) && strings.IndexByte(" \t\r\n", p.text[p.at]) >= 0 {
		p.at++
	}
}

// take takes one character, after blanks.
func (p *parser) take(c byte) bool {
	p.space()
	if p.at < len(p.text) && p.text[p.at] == c {
		p.at++
		return true
	}
	return false
}

func (p *parser) word(w string) bool {
	if strings.HasPrefix(p.text[p.at:], w) {
		p.at += len(w)
		return true
	}
	return false
}

func (p *parser) value(into reflect.Value) error {
	p.space()
	if p.at >= len(p.text) {
		return errJSON
	}
	const deepest = 8
	if p.depth++; p.depth > deepest {
		return errDeep
	}
	defer func() { p.depth-- }()
	if into.Type() == valueType {
		v, err := p.scalar()
		into.Set(reflect.ValueOf(v))
		return err
	}
	null := into.Kind() != reflect.Pointer || into.Type().Elem() != valueType // there null is a value of its own
	if null && p.word("null") {
		return nil
	}
	switch into.Kind() {
	case reflect.Pointer:
		if into.IsNil() {
			into.Set(reflect.New(into.Type().Elem()))
		}
		return p.value(into.Elem())
	case reflect.String:
		s, err := p.quoted()
		into.SetString(s)
		return err
	case reflect.Int, reflect.Int64:
		n, err := p.number()
		into.SetInt(n)
		return err
	case reflect.Bool:
		switch {
		case p.word("true"):
			into.SetBool(true)
		case p.word("false"):
			into.SetBool(false)
		default:
			return errShape
		}
		return nil
	case reflect.Slice:
		return p.list(into)
	case reflect.Map, reflect.Struct:
		if p.text[p.at] == '"' && slices.Contains(named, into.Type()) {
			return p.value(into.Field(0))
		}
		return p.object(into)
	}
	return errShape
}

// named are the shapes of which an id alone may stand for the whole: it is their first field.
var named = []reflect.Type{reflect.TypeFor[lineIntent](), reflect.TypeFor[swapping]()}

var valueType = reflect.TypeFor[replica.Value]()

// scalar reads a value as a field holds it.
func (p *parser) scalar() (replica.Value, error) {
	switch {
	case p.word("null"):
		return replica.Null, nil
	case p.word("true"):
		return replica.Bool(true), nil
	case p.word("false"):
		return replica.Bool(false), nil
	case p.text[p.at] == '"':
		s, err := p.quoted()
		return replica.Text(s), err
	}
	n, err := p.number()
	return replica.Int(n), err
}

func (p *parser) number() (int64, error) {
	from := p.at
	if p.at < len(p.text) && p.text[p.at] == '-' {
		p.at++
	}
	digits := p.at
	for p.at < len(p.text) && p.text[p.at] >= '0' && p.text[p.at] <= '9' {
		p.at++
	}
	if p.at == digits || p.text[digits] == '0' && p.at > digits+1 {
		return 0, errShape
	}
	if p.at < len(p.text) && strings.IndexByte(".eE", p.text[p.at]) >= 0 {
		return 0, errors.New("a whole number was expected")
	}
	n, err := strconv.ParseInt(p.text[from:p.at], 10, 64)
	if err != nil || n > replica.MaxInt || n < -replica.MaxInt {
		return 0, errors.New("the number is too large")
	}
	return n, nil
}

func (p *parser) list(into reflect.Value) error {
	if !p.take('[') {
		return errShape
	}
	into.SetLen(0)
	if p.take(']') {
		return nil
	}
	for {
		one := reflect.New(into.Type().Elem()).Elem()
		if err := p.value(one); err != nil {
			return err
		}
		into.Set(reflect.Append(into, one))
		if p.take(']') {
			return nil
		}
		if !p.take(',') {
			return errJSON
		}
	}
}

func (p *parser) object(into reflect.Value) error {
	if !p.take('{') {
		return errShape
	}
	isMap := into.Kind() == reflect.Map
	if isMap && into.IsNil() {
		into.Set(reflect.MakeMap(into.Type()))
	}
	if p.take('}') {
		return nil
	}
	for {
		p.space()
		key, err := p.quoted()
		if err != nil {
			return err
		}
		if !p.take(':') {
			return errJSON
		}
		if isMap {
			one := reflect.New(into.Type().Elem()).Elem()
			if err := p.value(one); err != nil {
				return err
			}
			into.SetMapIndex(reflect.ValueOf(key), one)
		} else {
			fields := p.shapes.of(into.Type()).fields
			i := slices.IndexFunc(fields, func(f field) bool { return f.key == key })
			if i < 0 {
				return errors.New("there is no key " + strconv.Quote(clip(key)))
			}
			if err := p.value(into.Field(fields[i].at)); err != nil {
				return err
			}
		}
		if p.take('}') {
			return nil
		}
		if !p.take(',') {
			return errJSON
		}
	}
}

// quoted reads a text. Half of a surrogate pair becomes the replacement character, as browsers and libraries do.
func (p *parser) quoted() (string, error) {
	if p.at >= len(p.text) || p.text[p.at] != '"' {
		return "", errShape
	}
	p.at++
	if i := strings.IndexAny(p.text[p.at:], "\"\\"); i >= 0 && p.text[p.at+i] == '"' { // nearly always
		s := p.text[p.at : p.at+i]
		p.at += i + 1
		return s, plainText(s)
	}
	var out []byte
	for p.at < len(p.text) {
		c := p.text[p.at]
		p.at++
		switch {
		case c == '"':
			return string(out), nil
		case c < ' ':
			return "", errJSON
		case c != '\\':
			out = append(out, c)
			continue
		}
		if p.at >= len(p.text) {
			return "", errJSON
		}
		c = p.text[p.at]
		p.at++
		switch c {
		case '"', '\\', '/':
			out = append(out, c)
		case 'b':
			out = append(out, '\b')
		case 'f':
			out = append(out, '\f')
		case 'n':
			out = append(out, '\n')
		case 'r':
			out = append(out, '\r')
		case 't':
			out = append(out, '\t')
		case 'u':
			r, ok := p.hex4()
			if !ok {
				return "", errJSON
			}
			if utf16.IsSurrogate(r) {
				second := rune(utf8.RuneError)
				if at := p.at; p.word(`\u`) {
					low, ok := p.hex4()
					if !ok {
						return "", errJSON
					}
					if second = utf16.DecodeRune(r, low); second == utf8.RuneError {
						p.at = at // the next one stands for itself
					}
				}
				r = second
			}
			out = utf8.AppendRune(out, r)
		default:
			return "", errJSON
		}
	}
	return "", errJSON
}

// plainText refuses a text with raw control characters: in JSON they are written as escapes.
func plainText(s string) error {
	for i := 0; i < len(s); i++ {
		if s[i] < ' ' {
			return errJSON
		}
	}
	return nil
}

func (p *parser) hex4() (rune, bool) {
	if p.at+4 > len(p.text) {
		return 0, false
	}
	n, err := strconv.ParseUint(p.text[p.at:p.at+4], 16, 16)
	p.at += 4
	return rune(n), err == nil && !strings.ContainsAny(p.text[p.at-4:p.at], "+_")
}
