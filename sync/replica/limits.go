package replica

import "unicode/utf8"

// The limits of one action and one entity. Sizes in bytes of an encoded action or entity are checked where they are
// encoded.
const (
	MaxText   = 8 << 10 // bytes of one text value
	MaxEdits  = 200     // edits of one action
	MaxFields = 256     // fields of one entity
	MaxWrites = 256     // writes of one field that live side by side
	MaxEarly  = 1000    // early marks of one entity
	MaxAction = 64_000  // bytes of one action, as JSON
	MaxEntity = 64_000  // bytes of one entity, as JSON
	// MaxSpread bounds all entities that one action touches, whole, together: they must fit into one commit. Chosen: the
	// size at which a commit stops taking more actions.
	MaxSpread = 1_000_000
	MaxTime   = MaxInt
)

// Refusal says why something cannot be stored. It is safe to show. Code is stable, Field the place.
type Refusal struct {
	Code  string
	Field string
	Text  string
}

func (r *Refusal) Error() string { return r.Text }

// Refuse makes a Refusal. Its text is put together from format and args as fill says.
func Refuse(code, field, format string, args ...any) *Refusal {
	return &Refusal{code, field, fill(format, args...)}
}

// ValidID tells whether id is a minted id (26 characters of Crockford base 32) or a fixed one: a word, a dot and a name.
func ValidID(id ID) bool {
	if len(id) == 26 && id[0] >= '0' && id[0] <= '7' {
		ok := true
		for i := 0; i < len(id) && ok; i++ {
			c := id[i]
			ok = c >= '0' && c <= '9' || c >= 'A' && c <= 'Z' && c != 'I' && c != 'L' && c != 'O' && c != 'U'
		}
		if ok {
			return true
		}
	}
	return validFixed(id)
}

func validFixed(id ID) bool {
	word := 0
	for word < len(id) && id[word] >= 'a' && id[word] <= 'z' {
		word++
	}
	if word == 0 || word > 16 || len(id) < word+2 || len(id) > 64 || id[word] != '.' {
		return false
	}
	for i := word + 1; i < len(id); i++ {
		c := id[i]
		if !(c >= 'a' && c <= 'z' || c >= '0' && c <= '9' || c == '_' || c == '.' || c == '-') {
			return false
		}
	}
	return true
}

// ValidKind tells whether kind is one word: a small letter, then small letters, digits and underscores, 24 at most.
func ValidKind(kind string) bool { return validName(kind, 24, false) }

// ValidField tells whether field is a field name: a small letter, then small letters, digits, underscores and dots, 40
// at most.
func ValidField(field string) bool { return validName(field, 40, true) }

func validName(s string, most int, dots bool) bool {
	if s == "" || len(s) > most || s[0] < 'a' || s[0] > 'z' {
		return false
	}
	for i := 1; i < len(s); i++ {
		c := s[i]
		if !(c >= 'a' && c <= 'z' || c >= '0' && c <= '9' || c == '_' || c == '.' && dots) {
			return false
		}
	}
	return true
}

// ValidRun tells whether run is 11 base64url characters.
func ValidRun(run Run) bool {
	_, ok := ParseStamp(string(run) + ".1")
	return ok
}

// CheckValue refuses a value beyond the limits. That a text is NFC is seen to where it is typed.
func CheckValue(field string, v Value) *Refusal {
	if text, ok := v.AsText(); ok {
		if len(text) > MaxText {
			return Refuse("text_too_long", field, "%s: expected at most %d bytes of text, came %d", field, MaxText, len(text))
		}
		if !utf8.ValidString(text) {
			return Refuse("text_not_utf8", field, "%s: the text is not UTF-8", field)
		}
	}
	if n, ok := v.AsInt(); ok && (n > MaxInt || n < -MaxInt) {
		return Refuse("number_too_big", field, "%s: expected a whole number within ±%d, came %d", field, int64(MaxInt), n)
	}
	return nil
}

// CheckAction refuses an action that no journal may store, whatever it holds: bad names, values, counts, two edits of one
// entity, a claim to replace itself. Whether it fits the entities it meets is not asked.
func CheckAction(a *Action) *Refusal {
	if !ValidRun(a.Stamp.Run) || a.Stamp.N == 0 || a.Stamp.N > MaxInt {
		return Refuse("bad_stamp", "", "%q is not a stamp", a.Stamp)
	}
	if a.At < 0 || a.At > MaxTime {
		return Refuse("bad_time", "", "expected a time within 0 and %d, came %d", int64(MaxTime), a.At)
	}
	if len(a.Edits) > MaxEdits {
		return Refuse("too_many_edits", "", "expected at most %d edits, came %d", MaxEdits, len(a.Edits))
	}
	var ids map[ID]bool
	if len(a.Edits) > 1 {
		ids = make(map[ID]bool, len(a.Edits))
	}
	for i := range a.Edits {
		e := &a.Edits[i]
		switch {
		case !ValidID(e.ID):
			return Refuse("bad_id", "", "%q is not an id", e.ID)
		case !ValidKind(e.Kind):
			return Refuse("bad_kind", "", "%q is not a kind", e.Kind)
		case ids[e.ID]:
			return Refuse("edited_twice", "", "%s is edited twice in one action", e.ID)
		}
		if ids != nil {
			ids[e.ID] = true
		}
		if r := checkEdit(a.Stamp, e); r != nil {
			return r
		}
	}
	return nil
}

func checkEdit(s Stamp, e *Edit) *Refusal {
	if len(e.Set) > MaxFields || len(e.Over) > MaxFields {
		return Refuse("too_many_fields", "", "%s: expected at most %d fields", e.ID, MaxFields)
	}
	for f, v := range e.Set {
		if !ValidField(f) {
			return Refuse("bad_field", f, "%q is not a field name", f)
		}
		if r := CheckValue(f, v); r != nil {
			return r
		}
	}
	for f, stamps := range e.Over {
		if !ValidField(f) {
			return Refuse("bad_field", f, "%q is not a field name", f)
		}
		for _, d := range stamps {
			switch {
			case !ValidRun(d.Run) || d.N == 0 || d.N > MaxInt:
				return Refuse("bad_stamp", f, "%s: %q is not a stamp", f, d)
			case d == s:
				return Refuse("replaces_itself", f, "%s: the action names its own write", f)
			}
		}
	}
	return nil
}
