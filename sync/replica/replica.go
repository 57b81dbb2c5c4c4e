// Package replica is the merge: writes, actions, and how a state takes them in. It knows nothing of drinks, of bytes on
// a wire, of stores or of clocks. Two rules carry all of it: an action takes away the writes it names and puts its own
// in (Apply), and two whole states join by what each has seen (Join). Clocks choose what is shown first, never what
// survives.
package replica

import (
	"cmp"
	"slices"
	"sort"
	"strconv"
	"strings"
)

// ID names an entity: 26 characters of Crockford base 32, or a fixed id such as "set.country".
type ID string

// Run names one start of one device's core that made an edit: 11 base64url characters.
type Run string

// Stamp names one action, and every write it made: the run and a count from 1 without holes.
type Stamp struct {
	Run Run
	N   uint64
}

func (s Stamp) String() string { return string(s.Run) + "." + strconv.FormatUint(s.N, 10) }

// IsZero tells the zero Stamp, which names nothing.
func (s Stamp) IsZero() bool { return s == Stamp{} }

// ParseStamp reads "run.n".
func ParseStamp(text string) (Stamp, bool) {
	run, n, ok := strings.Cut(text, ".")
	if !ok || len(run) != 11 || n == "" || n[0] == '0' || n[0] == '+' {
		return Stamp{}, false
	}
	for i := 0; i < len(run); i++ {
		c := run[i]
		if !(c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '-' || c == '_') {
			return Stamp{}, false
		}
	}
	v, err := strconv.ParseUint(n, 10, 53)
	return Stamp{Run(run), v}, err == nil
}

// SortStamps sorts by CompareStamps. It is one sort for all of its kind: slices.SortFunc is compiled anew for every type,
// 20 kB each in the browser.
func SortStamps(all []Stamp) {
	sort.Slice(all, func(i, j int) bool { return CompareStamps(all[i], all[j]) < 0 })
}

// CompareStamps orders by run, then by count: a fixed order for storing, not for showing.
func CompareStamps(a, b Stamp) int {
	return cmp.Or(cmp.Compare(a.Run, b.Run), cmp.Compare(a.N, b.N))
}

// Value is one scalar: a text, an integer within ±(2^53−1), true, false, or null (cleared). The zero Value is null.
type Value struct {
	sort valueSort
	text string
	num  int64
}

type valueSort uint8

const (
	sortNull valueSort = iota
	sortText
	sortInt
	sortBool
)

// MaxInt is the largest magnitude of an integer value.
const MaxInt = 1<<53 - 1

// Null is the cleared value.
var Null = Value{}

// Text makes a text value; the caller hands in NFC.
func Text(s string) Value { return Value{sort: sortText, text: s} }

// Int makes an integer value.
func Int(n int64) Value { return Value{sort: sortInt, num: n} }

// Bool makes a truth value.
func Bool(b bool) Value {
	if b {
		return Value{sort: sortBool, num: 1}
	}
	return Value{sort: sortBool}
}

// IsNull tells whether the value is cleared.
func (v Value) IsNull() bool { return v.sort == sortNull }

// AsText gives the text, if it is one.
func (v Value) AsText() (string, bool) { return v.text, v.sort == sortText }

// AsInt gives the integer, if it is one.
func (v Value) AsInt() (int64, bool) { return v.num, v.sort == sortInt }

// AsBool gives the truth value, if it is one.
func (v Value) AsBool() (value, ok bool) { return v.num != 0, v.sort == sortBool }

// Write is one live value of one field: who set it, when by the device's clock, and to what.
type Write struct {
	Stamp Stamp
	At    int64 // Unix milliseconds
	Value Value
}

// CompareShown orders writes by what is shown: the greatest (at, run, n) is the shown one.
func CompareShown(a, b Write) int {
	return cmp.Or(cmp.Compare(a.At, b.At), CompareStamps(a.Stamp, b.Stamp))
}

// Entity is one thing of a journal: for each field its live writes, in the order of CompareStamps.
type Entity struct {
	ID     ID
	Kind   string
	Fields map[string][]Write
}

// Shown gives the write of a field that is shown; false when the field has none.
func (e *Entity) Shown(field string) (Write, bool) {
	w := e.Fields[field]
	if len(w) == 0 {
		return Write{}, false
	}
	return slices.MaxFunc(w, CompareShown), true
}

// Clash tells whether a field's live writes hold at least two different values.
func (e *Entity) Clash(field string) bool {
	w := e.Fields[field]
	for i := 1; i < len(w); i++ {
		if w[i].Value != w[0].Value {
			return true
		}
	}
	return false
}

// Edit is what an action does to one entity: the fields it sets, and for each field the writes it replaces.
type Edit struct {
	ID   ID
	Kind string
	Set  map[string]Value
	Over map[string][]Stamp
}

// Action is one thing a person did, all fields together: stored, sent and applied whole.
type Action struct {
	Stamp Stamp
	At    int64
	Edits []Edit
}
