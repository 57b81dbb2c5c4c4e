package exchange

import (
	"fmt"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/store"
	"fairmeasure/sync/wire"
)

// The one gate. Whatever comes into a journal, as an action or as a piece of a fix, passes fits for each entity it
// changes and room for the journal as a whole. What makes nothing larger always passes, so that one can get out of a
// limit that was lowered or passed in some other way.

// fits refuses an entity that would be larger than one may be.
func fits(was, e *entity) *wire.Problem {
	before := 0
	if was != nil {
		before = was.bytes
	}
	refuse := func(format string, args ...any) *wire.Problem {
		return wire.NewProblem(wire.CodeRefused, string(e.ID)+fmt.Sprintf(format, args...))
	}
	if e.bytes > before && e.bytes > replica.MaxEntity {
		return refuse(" would have %d bytes, and an entry has at most %d", e.bytes, replica.MaxEntity)
	}
	if n := len(e.Fields); n > replica.MaxFields && (was == nil || n > len(was.Fields)) {
		return refuse(" would have %d fields, and an entry has at most %d", n, replica.MaxFields)
	}
	if n := len(e.Early); n > replica.MaxEarly && (was == nil || n > len(was.Early)) {
		return refuse(" would replace %d values that never came here; %d are the most", n, replica.MaxEarly)
	}
	for f, writes := range e.Fields {
		if n := len(writes); n > replica.MaxWrites && (was == nil || n > len(was.Fields[f])) {
			return refuse(" would have %d values side by side in %s; %d are the most", n, f, replica.MaxWrites)
		}
	}
	return nil
}

// room refuses what would bring the journal over its cap.
func (w *work) room(before, after store.Size) *wire.Problem {
	most := w.x.set.Limits.Journal
	if after.Entities > most.Entities && after.Entities > before.Entities ||
		after.Bytes > most.Bytes && after.Bytes > before.Bytes ||
		after.Runs > most.Runs && after.Runs > before.Runs {
		return wire.NewProblem(wire.CodeFull, fmt.Sprintf("a journal holds at most %d entries, %d bytes and %d starts of a device here", most.Entities, most.Bytes, most.Runs))
	}
	return nil
}

// A journal's size counts as entities what has a write left, so that erasing makes it smaller. Of what was erased some
// bytes stay: its name, what it was, and that it changed.
const erasedBytes = 100

func plus(s store.Size, e *entity) store.Size {
	s.Bytes += int64(e.bytes)
	if e.Erased() {
		s.Bytes += erasedBytes
	} else {
		s.Entities++
	}
	return s
}

func less(s store.Size, e *entity) store.Size {
	s.Bytes -= int64(e.bytes)
	if e.Erased() {
		s.Bytes -= erasedBytes
	} else {
		s.Entities--
	}
	s.Bytes = max(s.Bytes, 0) // journals of before counted less
	return s
}
