package schema

import (
	"reflect"
	"strconv"
	"strings"

	"fairmeasure/journal/count"
	"fairmeasure/journal/unit"
	"fairmeasure/sync/replica"
)

// What a program asks of a journal and no screen does: the screens' rows and figures, in portions of its choice. The
// browser core does not reach this file, so it costs no phone a byte.

const (
	// MostDays is the longest look back of one answer.
	MostDays = mostDays
	// LastMS is the latest instant a journal knows.
	LastMS = mostAtMS
)

// PourPlace is a place in the list of pours, newest first: just after the pour with this instant and id. It keeps its
// meaning when that pour is deleted. The zero PourPlace is the beginning.
type PourPlace struct {
	AtMS int64
	ID   replica.ID
}

func (p PourPlace) String() string { return strconv.FormatInt(p.AtMS, 10) + "." + string(p.ID) }

// ParsePourPlace reads what String wrote.
func ParsePourPlace(text string) (PourPlace, bool) {
	at, id, ok := strings.Cut(text, ".")
	if !ok || !replica.ValidID(replica.ID(id)) {
		return PourPlace{}, false
	}
	ms, err := strconv.ParseInt(at, 10, 64)
	p := PourPlace{ms, replica.ID(id)}
	return p, err == nil && p.String() == text
}

// passes tells whether a pour comes before the place, or at it.
func (p PourPlace) passes(ref pourRef) bool {
	if p == (PourPlace{}) {
		return false
	}
	return ref.atMS > p.AtMS || ref.atMS == p.AtMS && ref.e.ID >= p.ID
}

// PoursAsked says which pours a list has.
type PoursAsked struct {
	Days  int // drinking days, the one of now and those before it; 0 for all
	Limit int // at most so many; 0 for all
	After PourPlace
}

type pourListJSON struct {
	Unit  drinkUnitJSON `json:"unit"`
	Pours []pourRowJSON `json:"pours"`
	Total int           `json:"total"`
	Next  *string       `json:"next"`
}

// Pours lists pours, newest first, as the rows of the journal screen. Its next is the place to go on from, null at the end.
func (r *Reader) Pours(v View, now Now, q PoursAsked) []byte {
	j := Read(v, now)
	j.kept = r.kept
	refs := j.pourRefs()
	out := pourListJSON{Unit: j.drinkUnit(), Pours: []pourRowJSON{}, Total: len(refs)}
	first := j.today() - count.Day(q.Days-1)
	var last PourPlace
	for _, ref := range refs {
		// As in days: offsets move a day by little, so the instants end the walk and the days decide.
		if q.Days > 0 && ref.atMS < (int64(first)-3)*dayMS {
			break
		}
		if q.After.passes(ref) {
			continue
		}
		p := readPour(ref.e)
		if q.Days > 0 && j.Day(p) < first {
			continue
		}
		if q.Limit > 0 && len(out.Pours) == q.Limit {
			next := last.String()
			out.Next = &next
			break
		}
		out.Pours = append(out.Pours, j.pourRow(drunk{ref.e, p, j.entry(ref.e, p)}))
		last = PourPlace{ref.atMS, ref.e.ID}
	}
	return r.shapes.append(nil, reflect.ValueOf(out))
}

type specBalanceJSON struct {
	ID        string        `json:"id"`
	DrinkName string        `json:"drink_name"`
	Name      string        `json:"name"`
	Benchmark bool          `json:"benchmark"`
	Balance   balanceJSON   `json:"balance"`
	Alcohol   alcoholJSON   `json:"alcohol"`
	Unit      drinkUnitJSON `json:"unit"`
}

// Balance weighs one spec as the spec screen does; false when there is no such spec.
func (r *Reader) Balance(v View, spec replica.ID) ([]byte, bool) {
	j := Read(v, Now{}) // nothing in a spec depends on the time
	j.kept = r.kept
	version, ok := j.Version(spec)
	if !ok {
		return nil, false
	}
	s := version.Spec
	return r.shapes.append(nil, reflect.ValueOf(specBalanceJSON{
		ID: string(s.ID), DrinkName: j.drinkName(s), Name: s.Name, Benchmark: j.isBenchmark(s),
		Balance: j.versionBalance(version, j.Glass(version)), Alcohol: j.alcohol(j.specTotal(version, unit.Whole)), Unit: j.drinkUnit(),
	})), true
}
