package journal

import (
	"reflect"
	"strconv"
	"strings"
)

// fill puts values into a format, as fmt.Sprintf does, for the few verbs that refusals are written with: %s, %d, %q, %g,
// %.1f to %.9f, and %% for a percent sign. The core is downloaded by every phone, and fmt alone would be a twelfth of it.
func fill(format string, args ...any) string {
	var b strings.Builder
	for {
		text, rest, more := strings.Cut(format, "%")
		b.WriteString(text)
		if !more || rest == "" {
			return b.String()
		}
		verb, decimals := rest[0], -1
		format = rest[1:]
		if verb == '.' && len(rest) > 2 {
			verb, decimals, format = rest[2], int(rest[1]-'0'), rest[3:]
		}
		if verb == '%' {
			b.WriteByte('%')
			continue
		}
		if len(args) == 0 {
			continue // a mistake of the caller's that TestFill finds in no refusal
		}
		switch verb {
		case 'q':
			b.WriteString(strconv.Quote(plainly(args[0])))
		case 'f', 'g':
			b.WriteString(strconv.FormatFloat(reflect.ValueOf(args[0]).Float(), verb, decimals, 64))
		default:
			b.WriteString(plainly(args[0]))
		}
		args = args[1:]
	}
}

// plainly gives a text, a whole number, or whatever says of itself what it is.
func plainly(a any) string {
	switch a := a.(type) {
	case string:
		return a
	case error:
		return a.Error()
	case interface{ String() string }:
		return a.String()
	}
	switch v := reflect.ValueOf(a); v.Kind() {
	case reflect.String:
		return v.String()
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		return strconv.FormatInt(v.Int(), 10)
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		return strconv.FormatUint(v.Uint(), 10)
	default:
		return v.String() // its type, as a hint to whoever wrote the call
	}
}
