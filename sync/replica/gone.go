package replica

import (
	"slices"
	"strings"
)

// Gone is the field that deletes: a list of the writes its author saw when deleting, or null for "restored".
const Gone = "gone"

// Deletion is what became of an entity between deleting, restoring and changing.
//
//	phone   deletes a pour (its list names every write the phone sees)
//	laptop  meanwhile changes the note
//	both    the pour is shown, with "deleted on phone, changed on laptop: keep or delete?"
//
// The bias is towards showing: hiding needs a list that knew of every live write, and nobody who restored.
type Deletion uint8

// The states of deletion.
const (
	NotDeleted         Deletion = iota
	Hidden                      // deleted, and nothing speaks against it
	DeletedAndChanged           // shown: deleted on one device, changed on another
	DeletedAndRestored          // shown: deleted on one device, restored on another
)

// Shown tells whether an entity in this state belongs in ordinary lists.
func (d Deletion) Shown() bool { return d != Hidden }

// Asks tells whether a person has to choose between keeping and deleting.
func (d Deletion) Asks() bool { return d == DeletedAndChanged || d == DeletedAndRestored }

// Deleted tells what became of e. A value of gone that is neither a text nor null counts as a list without entries.
func Deleted(e *Entity) Deletion {
	list, restored := false, false
	for _, w := range e.Fields[Gone] {
		if w.Value.IsNull() {
			restored = true
		} else {
			list = true
		}
	}
	switch {
	case !list:
		return NotDeleted
	case restored:
		return DeletedAndRestored
	}
	var known []Stamp
	for _, w := range e.Fields[Gone] {
		text, _ := w.Value.AsText()
		known = append(known, ParseList(text)...)
	}
	SortStamps(known)
	for f, writes := range e.Fields {
		if f == Gone {
			continue
		}
		for _, w := range writes {
			if _, listed := slices.BinarySearchFunc(known, w.Stamp, CompareStamps); !listed {
				return DeletedAndChanged
			}
		}
	}
	return Hidden
}

// ListOf gives the value that deletes e as it is now: the distinct stamps of the live writes of all other fields, sorted.
// False when it would be longer than a value may be.
func ListOf(e *Entity) (Value, bool) {
	var stamps []Stamp
	for f, writes := range e.Fields {
		if f == Gone {
			continue
		}
		for _, w := range writes {
			stamps = append(stamps, w.Stamp)
		}
	}
	text := FormatList(stamps)
	return Text(text), len(text) <= MaxText
}

// FormatList writes distinct stamps, sorted and separated by single blanks. It sorts its argument.
func FormatList(stamps []Stamp) string {
	SortStamps(stamps)
	var b strings.Builder
	for i, s := range slices.Compact(stamps) {
		if i > 0 {
			b.WriteByte(' ')
		}
		b.WriteString(s.String())
	}
	return b.String()
}

// ParseList reads what FormatList wrote; what is no stamp is passed over.
func ParseList(text string) []Stamp {
	var stamps []Stamp
	for word := range strings.SplitSeq(text, " ") {
		if s, ok := ParseStamp(word); ok {
			stamps = append(stamps, s)
		}
	}
	return stamps
}
