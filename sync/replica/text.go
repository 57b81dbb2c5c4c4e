package replica

import (
	"errors"
	"strconv"
	"strings"
)

// fill puts values into a format, as fmt.Sprintf does, for what this package and those above it say: %s, %d and %q of
// texts, ids, runs, stamps and whole numbers. The core is downloaded by every phone, and fmt alone would be a twelfth of it.
func fill(format string, args ...any) string {
	var b strings.Builder
	for {
		text, rest, more := strings.Cut(format, "%")
		b.WriteString(text)
		if !more || rest == "" {
			return b.String()
		}
		verb := rest[0]
		format = rest[1:]
		if len(args) == 0 {
			continue
		}
		s := plainly(args[0])
		args = args[1:]
		if verb == 'q' {
			s = strconv.Quote(s)
		}
		b.WriteString(s)
	}
}

func plainly(a any) string {
	switch a := a.(type) {
	case string:
		return a
	case ID:
		return string(a)
	case Run:
		return string(a)
	case int:
		return strconv.Itoa(a)
	case int64:
		return strconv.FormatInt(a, 10)
	case uint64:
		return strconv.FormatUint(a, 10)
	case error:
		return a.Error()
	case interface{ String() string }:
		return a.String()
	}
	return "?"
}

// errorf makes an error out of a format that fill knows.
func errorf(format string, args ...any) error { return errors.New(fill(format, args...)) }
