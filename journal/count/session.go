package count

import (
	"slices"
	"sort"

	"fairmeasure/journal"
	"fairmeasure/journal/unit"
)

// Mark is a person's word on where a session begins, kept on its entry.
type Mark string

// The marks.
const (
	NoMark Mark = ""
	Split  Mark = "split" // a session begins here, however close the entry before
	Join   Mark = "join"  // belongs with the entry before, however far
)

// Entry is one thing drunk, as the totals need it.
type Entry struct {
	ID        journal.ID
	AtMS      int64 // the instant it was drunk, milliseconds since 1970 in UTC
	OffsetMin int   // the offset lived at, minutes east of UTC
	UL        int64 // ethanol drunk, in microlitres: a share of what is known of the glass
	Unknown   int   // parts whose alcohol is unknown
	About     bool  // estimated
	Mark      Mark
	ForOther  bool    // made for someone else: stands in its session, counts for nothing
	Rivals    []int64 // UL by the values that clash with the shown ones, if any
}

func (e Entry) alcoholic() bool { return !e.ForOther && (e.UL > 0 || e.Unknown > 0) }

// Total is a sum of entries. Grams and Drinks are exact; Shown rounds them, once.
type Total struct {
	UL      int64
	Grams   float64
	Drinks  float64
	Entries int
	Unknown int  // parts whose alcohol is unknown
	About   bool // an entry was estimated
	// The least and the most the sum can be by choice among clashing values; both UL where nothing clashes.
	LeastUL, MostUL int64
}

// AtLeast says that the sum may be more: a strength in it is unknown.
func (t Total) AtLeast() bool { return t.Unknown > 0 }

func (t *Total) add(o Total) {
	t.UL += o.UL
	t.Entries += o.Entries
	t.Unknown += o.Unknown
	t.About = t.About || o.About
	t.LeastUL += o.LeastUL
	t.MostUL += o.MostUL
}

// total is what one entry adds to a sum.
func (e Entry) total() Total {
	if e.ForOther {
		return Total{}
	}
	t := Total{UL: e.UL, Entries: 1, Unknown: e.Unknown, About: e.About, LeastUL: e.UL, MostUL: e.UL}
	for _, r := range e.Rivals {
		t.LeastUL, t.MostUL = min(t.LeastUL, r), max(t.MostUL, r)
	}
	return t
}

// in fills in the figures of the sum in a country's unit.
func (t Total) in(d StandardDrink) Total {
	t.Grams, t.Drinks = Grams(t.UL, d.Density), Drinks(t.UL, d)
	return t
}

func sum(entries []Entry, d StandardDrink) Total {
	var t Total
	for _, e := range entries {
		t.add(e.total())
	}
	return t.in(d)
}

// Gap is the longest time between two entries of one session, four hours (chosen): long enough for a slow dinner.
const Gap = 240 * minuteMS

// peakMS is the span of the peak, two hours, as in the definition of the US National Institute on Alcohol Abuse and Alcoholism.
const peakMS = 120 * minuteMS

// Rate is a pace per hour. Entries are starts, not ends, of drinking, so it is a rough upper figure.
type Rate struct {
	Grams, Drinks float64
}

// Session is entries close together in time, across midnight if need be. Its span is real elapsed time, which a change of
// clocks cannot stretch.
type Session struct {
	IDs             []journal.ID // in order of instant
	Day             Day          // the first entry's label; each entry still counts for its own day
	FirstMS, LastMS int64
	Total           Total
	Pace            unit.Maybe[Rate] // total by the time from first to last alcoholic entry, at least an hour; unknown below two
	Peak            Total            // the most in any 120 minutes, both ends included
}

// Sessions groups entries: a gap of 240 minutes or less joins, more splits, and a mark on an entry overrules both.
func Sessions(entries []Entry, s Settings) []Session {
	return sessions(inOrder(entries), Profile(s.Country), s.DayStart)
}

func sessions(ordered []Entry, d StandardDrink, start DayStart) []Session {
	var all []Session
	for from := 0; from < len(ordered); {
		to := from + 1
		for to < len(ordered) && joins(ordered[to-1], ordered[to]) {
			to++
		}
		all = append(all, session(ordered[from:to], d, start))
		from = to
	}
	return all
}

func joins(before, e Entry) bool {
	switch e.Mark {
	case Split:
		return false
	case Join:
		return true
	}
	return e.AtMS-before.AtMS <= Gap
}

func session(run []Entry, d StandardDrink, start DayStart) Session {
	first, last := run[0], run[len(run)-1]
	s := Session{
		Day:     Label(first.AtMS, first.OffsetMin, start),
		FirstMS: first.AtMS,
		LastMS:  last.AtMS,
		Total:   sum(run, d),
	}
	var alcoholic []Entry
	for _, e := range run {
		s.IDs = append(s.IDs, e.ID)
		if e.alcoholic() {
			alcoholic = append(alcoholic, e)
		}
	}
	if n := len(alcoholic); n > 1 {
		const hourMS = 60 * minuteMS
		span := float64(max(alcoholic[n-1].AtMS-alcoholic[0].AtMS, hourMS)) / hourMS
		s.Pace = unit.Known(Rate{s.Total.Grams / span, s.Total.Drinks / span})
	}
	// A window can only be fullest when it opens on an entry.
	for i, opening := range run {
		var t Total
		for _, e := range run[i:] {
			if e.AtMS-opening.AtMS > peakMS {
				break
			}
			t.add(e.total())
		}
		if i == 0 || t.UL > s.Peak.UL {
			s.Peak = t
		}
	}
	s.Peak = s.Peak.in(d)
	return s
}

// inOrder gives the entries by instant, then id: an order that does not depend on their arrival.
func inOrder(entries []Entry) []Entry {
	ordered := slices.Clone(entries)
	sort.SliceStable(ordered, func(i, j int) bool { // slices.SortFunc is compiled anew for every type: 20 kB in the browser
		a, b := &ordered[i], &ordered[j]
		return a.AtMS < b.AtMS || a.AtMS == b.AtMS && a.ID < b.ID
	})
	return ordered
}
