package exchange_test

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/exchange"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/store"
	"fairmeasure/sync/store/memstore"
	"fairmeasure/sync/wire"
)

const (
	journal = store.Journal("00112233445566778899aabbccddeeff")
	pour    = replica.ID("01HZZZZZZZ0000000000000001")
	now     = int64(1_790_000_000_000)
)

// server is an exchange on a store, with what a device would keep between two requests.
type server struct {
	t     testing.TB
	store store.Store
	x     *exchange.Exchange
}

func serve(t testing.TB, limits func(*exchange.Limits)) *server {
	t.Helper()
	l := exchange.DefaultLimits()
	if limits != nil {
		limits(&l)
	}
	st := memstore.New()
	tags := 0
	return &server{t, st, exchange.New(st, exchange.Settings{App: "1.5.0", Limits: l, Tag: func() string { tags++; return fmt.Sprintf("tag%05d", tags) }})}
}

func (s *server) round(q wire.Request) (*wire.Answer, *wire.Problem) {
	s.t.Helper()
	q.Proto, q.Journal = wire.Proto, string(journal)
	if q.Cursor == "" {
		q.Cursor = wire.Start
	}
	if q.Ack == "" {
		q.Ack = wire.Start
	}
	a, err := s.x.Round(context.Background(), exchange.Ask{Journal: journal, Device: "p3", Now: now, Body: q.Append(nil),
		DeviceName: func(id string) string { return "the " + id }})
	if err != nil {
		var p *wire.Problem
		require.ErrorAs(s.t, err, &p)
		require.Equal(s.t, string(journal), p.Journal)
		require.Equal(s.t, wire.StatusOf(p.Code), p.Status)
		return nil, p
	}
	return a, nil
}

func (s *server) must(q wire.Request) *wire.Answer {
	s.t.Helper()
	a, p := s.round(q)
	require.Nil(s.t, p)
	return a
}

func (s *server) refuses(code string, q wire.Request) *wire.Problem {
	s.t.Helper()
	before := s.head()
	a, p := s.round(q)
	require.Nil(s.t, a)
	require.Equal(s.t, code, p.Code, p.Detail)
	require.Equal(s.t, before, s.head(), "refused, and yet something was done")
	return p
}

func (s *server) head() store.Mark {
	s.t.Helper()
	m, _ := s.size()
	return m
}

func (s *server) size() (m store.Mark, size store.Size) {
	s.t.Helper()
	require.NoError(s.t, s.store.View(context.Background(), journal, func(r store.Reader) (err error) {
		m, size, err = r.Head()
		return err
	}))
	return m, size
}

func stamp(run string, n uint64) replica.Stamp {
	return replica.Stamp{Run: replica.Run((run + "00000000000")[:11]), N: n}
}

func id(n int) replica.ID { return replica.ID(fmt.Sprintf("01HZZZZZZZ%016d", n)) }

// set is an action that sets one field of a pour.
func set(s replica.Stamp, id replica.ID, field string, v replica.Value, over ...replica.Stamp) replica.Action {
	ed := replica.Edit{ID: id, Kind: "pour", Set: map[string]replica.Value{field: v}}
	if len(over) > 0 {
		ed.Over = map[string][]replica.Stamp{field: over}
	}
	return replica.Action{Stamp: s, At: now, Edits: []replica.Edit{ed}}
}

func acts(a ...replica.Action) wire.Request { return wire.Request{Acts: a} }

func TestMarks(t *testing.T) {
	for _, m := range []store.Mark{{}, {No: 7, Tag: "x8Zk2QAA"}, {No: 7, Tag: "x8Zk2QAA", ID: "set.country"}, {No: 1 << 40, Tag: "a", ID: pour}} {
		got, ok := exchange.ParseMark(exchange.FormatMark(m))
		require.True(t, ok)
		require.Equal(t, m, got)
	}
	require.Equal(t, wire.Start, exchange.FormatMark(store.Mark{}))
	for _, bad := range []string{"", "0", "7.", "0.x", "07.x", "+7.x", "x.x", "0..a", "7.x.", "9223372036854775808.x"} {
		_, ok := exchange.ParseMark(bad)
		require.False(t, ok, bad)
	}
}

func FuzzParseMark(f *testing.F) {
	f.Add("1044.x8Zk2QAA.01HZZZZZZZ0000000000000001")
	f.Fuzz(func(t *testing.T, text string) {
		if m, ok := exchange.ParseMark(text); ok {
			require.Equal(t, text, exchange.FormatMark(m))
		}
	})
}

func TestRound(t *testing.T) {
	s := serve(t, nil)
	idle := s.must(wire.Request{})
	require.Equal(t, "0.", idle.Cursor)
	require.Equal(t, store.Mark{}, s.head(), "an idle poll writes nothing")

	first := s.must(acts(set(stamp("phone", 1), pour, "score_x10", replica.Int(80)), set(stamp("phone", 2), pour, "note", replica.Text("sharp"))))
	require.Equal(t, 2, first.Took)
	require.False(t, first.More)
	require.Equal(t, first.Cursor, first.Ack)
	require.Len(t, first.Ents, 1)
	require.Equal(t, map[replica.Run]wire.Seen{stamp("phone", 1).Run: {N: 2, Device: "p3"}}, first.Seen)
	require.Equal(t, map[string]string{"p3": "the p3"}, first.Devices)
	require.Equal(t, "p3", first.You)
	head := s.head()
	require.EqualValues(t, 1, head.No, "one request is one commit")

	again := s.must(acts(set(stamp("phone", 1), pour, "score_x10", replica.Int(80)), set(stamp("phone", 2), pour, "note", replica.Text("sharp"))))
	require.Equal(t, head, s.head(), "a repetition writes nothing")
	require.Equal(t, first.Append(nil), again.Append(nil))

	laptop := s.must(wire.Request{Cursor: first.Cursor, Ack: first.Ack,
		Acts: []replica.Action{set(stamp("laptop", 1), pour, "score_x10", replica.Int(85))}})
	require.Len(t, laptop.Ents[0].Fields["score_x10"], 2, "rivals stay side by side")
	require.Len(t, laptop.Ents[0].Fields["note"], 1)
	require.Len(t, laptop.Seen, 1)

	chosen := s.must(wire.Request{Cursor: laptop.Cursor, Ack: laptop.Ack,
		Acts: []replica.Action{set(stamp("laptop", 2), pour, "score_x10", replica.Int(85), stamp("phone", 1), stamp("laptop", 1))}})
	require.Len(t, chosen.Ents[0].Fields["score_x10"], 1)

	all := s.must(wire.Request{})
	require.Equal(t, chosen.Ents, all.Ents)
	require.Len(t, all.Seen, 2)
}

// What the request names comes back whole, also when the page ends before it, and when it was dealt with before.
func TestNamedEntitiesComeBackWhole(t *testing.T) {
	s := serve(t, func(l *exchange.Limits) { l.Page.Entities = 2 })
	for n := range 5 {
		s.must(acts(set(stamp("phone", uint64(n+1)), id(n), "note", replica.Int(int64(n)))))
	}
	for range 2 {
		a := s.must(acts(set(stamp("laptop", 1), id(4), "score_x10", replica.Int(80))))
		require.True(t, a.More)
		require.Len(t, a.Ents, 3)
		require.Equal(t, id(4), a.Ents[2].ID)
		require.Len(t, a.Ents[2].Fields, 2)
		require.NotContains(t, a.Seen, stamp("laptop", 1).Run, "not read that far")
	}
	t.Run("an erased one with an empty list", func(t *testing.T) {
		a := s.must(acts(replica.Action{Stamp: stamp("erase", 1), Edits: []replica.Edit{{ID: id(0), Kind: "pour", Over: map[string][]replica.Stamp{"note": {stamp("phone", 1)}}}}}))
		i := len(a.Ents) - 1
		require.Equal(t, id(0), a.Ents[i].ID)
		require.True(t, a.Ents[i].Empty())
		all := serve(t, nil)
		all.store, all.x = s.store, exchange.New(s.store, exchange.Settings{})
		for _, e := range all.must(wire.Request{}).Ents {
			require.NotEqual(t, id(0), e.ID, "left out of a pull from the start")
		}
	})
	t.Run("one that never was", func(t *testing.T) {
		a := s.must(acts(replica.Action{Stamp: stamp("ghost", 1), Edits: []replica.Edit{{ID: id(9), Kind: "pour"}}}))
		require.True(t, a.Ents[len(a.Ents)-1].Empty())
	})
}

func TestOutOfStep(t *testing.T) {
	s := serve(t, nil)
	a := s.must(acts(set(stamp("phone", 1), pour, "note", replica.Null)))
	for _, c := range []struct {
		name string
		q    wire.Request
	}{
		{"an unknown cursor", wire.Request{Cursor: "1.tag99999", Ack: a.Ack}},
		{"an unknown ack", wire.Request{Cursor: a.Cursor, Ack: "2.tag00001"}},
		{"a cursor that is none", wire.Request{Cursor: "x", Ack: a.Ack}},
		{"a hole in a run", acts(set(stamp("phone", 3), pour, "note", replica.Null))},
		{"a hole behind sound ones", acts(set(stamp("phone", 2), pour, "note", replica.Null), set(stamp("laptop", 2), pour, "note", replica.Null))},
		{"a fix on an older state", wire.Request{Fix: &wire.Fix{}}},
		{"a fix inside a commit", wire.Request{Cursor: a.Cursor + "." + string(pour), Ack: a.Ack, Fix: &wire.Fix{}}},
	} {
		t.Run(c.name, func(t *testing.T) { s.refuses(wire.CodeOutOfStep, c.q) })
	}
}

func TestRefusals(t *testing.T) {
	s := serve(t, nil)
	s.must(acts(set(stamp("phone", 1), pour, "note", replica.Null)))
	big := replica.Text(strings.Repeat("x", replica.MaxText))
	for n := range uint64(7) {
		s.must(acts(set(stamp("big", n+1), id(8), fmt.Sprintf("f%d", n), big)))
	}
	wrong := set(stamp("new", 1), pour, "note", replica.Null)
	wrong.Edits[0].Kind = "line"
	wide := replica.Action{Stamp: stamp("new", 1), Edits: []replica.Edit{{ID: id(7), Kind: "pour", Set: map[string]replica.Value{}}}}
	for n := range replica.MaxFields + 1 {
		wide.Edits[0].Set[fmt.Sprintf("f%d", n)] = replica.Null
	}
	heavy := replica.Action{Stamp: stamp("new", 1), Edits: []replica.Edit{{ID: id(7), Kind: "pour", Set: map[string]replica.Value{}}}}
	for n := range 8 {
		heavy.Edits[0].Set[fmt.Sprintf("f%d", n)] = big
	}
	for _, c := range []struct {
		name string
		a    replica.Action
	}{
		{"another kind", wrong},
		{"a bad field name", set(stamp("new", 1), pour, "Note", replica.Null)},
		{"a text too long", set(stamp("new", 1), pour, "note", replica.Text(strings.Repeat("x", replica.MaxText+1)))},
		{"too many fields", wide},
		{"an action too large", heavy},
		{"an entity too large", set(stamp("new", 1), id(8), "more", big)},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := s.refuses(wire.CodeRefused, acts(c.a))
			require.Zero(t, p.Index)
			require.NotEmpty(t, p.Detail)

			// Behind sound actions it waits until they are taken.
			run := replica.Run((strings.ReplaceAll(c.name, " ", "_") + "00000000000")[:11])
			a := s.must(acts(set(replica.Stamp{Run: run, N: 1}, pour, "score_x10", replica.Int(1)), c.a))
			require.Equal(t, 1, a.Took)
		})
	}
	t.Run("of an action this version cannot read", func(t *testing.T) {
		body := string((&wire.Request{Proto: 1, Journal: string(journal), Cursor: "0.", Ack: "0.",
			Acts: []replica.Action{set(stamp("a", 1), pour, "note", replica.Null), set(stamp("a", 2), pour, "note", replica.Int(7))}}).Append(nil))
		_, err := s.x.Round(context.Background(), exchange.Ask{Journal: journal, Now: now, Body: []byte(strings.Replace(body, `"note":7`, `"note":0.7`, 1))})
		var p *wire.Problem
		require.ErrorAs(t, err, &p)
		require.Equal(t, wire.CodeRefused, p.Code)
		require.Equal(t, 1, p.Index)
	})
	t.Run("another protocol", func(t *testing.T) {
		_, err := s.x.Round(context.Background(), exchange.Ask{Journal: journal, Now: now, Body: []byte(`{"proto":2,"app":"","journal":"` + string(journal) + `","now":0,"cursor":"0.","ack":"0."}`)})
		require.ErrorContains(t, err, wire.CodeTooOld)
	})
	t.Run("another journal", func(t *testing.T) {
		_, err := s.x.Round(context.Background(), exchange.Ask{Journal: journal, Now: now, Body: []byte(`{"proto":1,"app":"","journal":"other","now":0,"cursor":"0.","ack":"0."}`)})
		require.ErrorContains(t, err, wire.CodeNoJournal)
	})
	t.Run("erased", func(t *testing.T) {
		require.NoError(t, s.store.Drop(context.Background(), journal))
		_, p := s.round(wire.Request{})
		require.Equal(t, wire.CodeErased, p.Code)
	})
}

func TestCommitStaysWithinItsLimits(t *testing.T) {
	s := serve(t, func(l *exchange.Limits) { l.CommitEntities, l.CommitBytes = 3, 100_000 })
	var many []replica.Action
	for n := range 8 {
		many = append(many, set(stamp("phone", uint64(n+1)), id(n), "note", replica.Null))
	}
	require.Equal(t, 3, s.must(acts(many...)).Took)
	require.Equal(t, 3, s.must(acts(many...)).Took, "what it names counts for a repetition too")
	require.Equal(t, 3, s.must(acts(many[3:]...)).Took)
	require.Equal(t, 2, s.must(acts(many[6:]...)).Took)

	big := replica.Action{Stamp: stamp("big", 1), Edits: []replica.Edit{{ID: id(20), Kind: "pour", Set: map[string]replica.Value{}}}}
	for n := range 6 {
		big.Edits[0].Set[fmt.Sprintf("f%d", n)] = replica.Text(strings.Repeat("x", 8000))
	}
	next := big
	next.Stamp.N = 2
	next.Edits = []replica.Edit{big.Edits[0]}
	next.Edits[0].ID = id(21)
	last := next
	last.Stamp.N = 3
	last.Edits = []replica.Edit{next.Edits[0]}
	last.Edits[0].ID = id(22)
	require.Equal(t, 2, s.must(acts(big, next, last)).Took, "100 kB hold two of 48 kB")

	wide := replica.Action{Stamp: stamp("wide", 1)}
	for n := range 10 {
		wide.Edits = append(wide.Edits, replica.Edit{ID: id(30 + n), Kind: "pour", Set: map[string]replica.Value{"a": replica.Null}})
	}
	require.Equal(t, 1, s.must(acts(wide)).Took, "at least one, whatever its size")
}

func TestClockHarmless(t *testing.T) {
	s := serve(t, nil)
	ahead := set(stamp("phone", 1), pour, "note", replica.Null)
	ahead.At = now + 3*365*86_400_000
	behind := set(stamp("phone", 2), pour, "score_x10", replica.Null)
	behind.At = 5
	a := s.must(acts(ahead, behind))
	require.Equal(t, now, a.Ents[0].Fields["note"][0].At, "cut to the time of arrival")
	require.Equal(t, int64(5), a.Ents[0].Fields["score_x10"][0].At)

	late := set(stamp("phone", 3), pour, "note", replica.Null, stamp("phone", 1))
	late.At = now + 9
	q := acts(late)
	q.Proto, q.Journal, q.Cursor, q.Ack = 1, string(journal), "0.", "0."
	b, err := s.x.Round(context.Background(), exchange.Ask{Journal: journal, Now: now, Body: q.Append(nil), ClockBehind: true})
	require.NoError(t, err)
	require.Equal(t, now+9, b.Ents[0].Fields["note"][0].At, "a server that knows its clock to be behind does not cut")
}

func TestCap(t *testing.T) {
	s := serve(t, func(l *exchange.Limits) { l.Journal = store.Size{Entities: 3, Bytes: 2000, Runs: 9} })
	a := s.must(acts(set(stamp("phone", 1), id(1), "note", replica.Null), set(stamp("phone", 2), id(2), "note", replica.Null),
		set(stamp("phone", 3), id(3), "note", replica.Null), set(stamp("phone", 4), id(4), "note", replica.Null)))
	require.Equal(t, 3, a.Took)
	s.refuses(wire.CodeFull, acts(set(stamp("phone", 4), id(4), "note", replica.Null)))
	s.must(acts(set(stamp("laptop", 1), id(1), "note", replica.Int(7), stamp("phone", 1)))) // no larger than before
	s.refuses(wire.CodeFull, acts(set(stamp("laptop", 2), id(1), "more", replica.Text(strings.Repeat("x", 2000)))))

	fix := wire.Request{Cursor: s.mark(), Ack: s.mark(), Fix: &wire.Fix{Add: []*replica.Entity{{ID: id(5), Kind: "pour",
		Fields: map[string][]replica.Write{"note": {{Stamp: stamp("back", 1), At: 1}}}}}}}
	s.refuses(wire.CodeFull, fix) // by the same gate as an action
	fix.Fix.Add[0].ID = id(1)
	s.must(fix) // no more entities than before

	erase := replica.Action{Stamp: stamp("erase", 1), Edits: []replica.Edit{{ID: id(2), Kind: "pour", Over: map[string][]replica.Stamp{"note": {stamp("phone", 2)}}}}}
	s.must(acts(erase))
	_, size := s.size()
	require.Equal(t, 2, size.Entities)
	s.must(acts(set(stamp("phone", 4), id(4), "note", replica.Null)))
}

func (s *server) mark() string { s.t.Helper(); return exchange.FormatMark(s.head()) }

func TestFix(t *testing.T) {
	s := serve(t, nil)
	s.must(acts(set(stamp("phone", 1), pour, "note", replica.Text("old"))))
	replaced := set(stamp("phone", 2), pour, "note", replica.Text("new"), stamp("phone", 1))
	s.must(acts(replaced))
	// A device names a write that this server has not seen: it is marked.
	s.must(acts(set(stamp("laptop", 1), pour, "score_x10", replica.Int(85), stamp("lost", 1))))

	add := &replica.Entity{ID: pour, Kind: "pour", Fields: map[string][]replica.Write{
		"note":      {{Stamp: stamp("phone", 1), At: now, Value: replica.Text("old")}},   // seen here, and replaced
		"score_x10": {{Stamp: stamp("lost", 1), At: now + 99, Value: replica.Int(80)}},   // marked early
		"spec":      {{Stamp: stamp("lost", 1), At: now + 99, Value: replica.Text("x")}}, // forgotten here
	}}
	a := s.must(wire.Request{Cursor: s.mark(), Ack: s.mark(), Fix: &wire.Fix{Add: []*replica.Entity{add}}})
	e := a.Ents[0]
	require.Equal(t, []replica.Write{{Stamp: stamp("phone", 2), At: now, Value: replica.Text("new")}}, e.Fields["note"])
	require.Equal(t, []replica.Write{{Stamp: stamp("laptop", 1), At: now, Value: replica.Int(85)}}, e.Fields["score_x10"])
	require.Equal(t, []replica.Write{{Stamp: stamp("lost", 1), At: now, Value: replica.Text("x")}}, e.Fields["spec"])
	require.NotContains(t, a.Seen, stamp("lost", 1).Run)

	head := s.head()
	a = s.must(wire.Request{Cursor: s.mark(), Ack: s.mark(), Fix: &wire.Fix{
		Drop: []wire.Drop{{ID: pour, Field: "note", Stamp: stamp("phone", 2)}, {ID: pour, Field: "note", Stamp: stamp("phone", 9)}, {ID: id(9), Field: "x", Stamp: stamp("a", 1)}},
		Seen: map[replica.Run]wire.Seen{stamp("lost", 1).Run: {N: 4, Device: "p9"}, stamp("phone", 1).Run: {N: 1}}}})
	require.NotEqual(t, head, s.head())
	require.Empty(t, a.Ents[0].Fields["note"])
	require.Equal(t, map[replica.Run]wire.Seen{stamp("lost", 1).Run: {N: 4, Device: "p3"}, stamp("phone", 1).Run: {N: 2, Device: "p3"},
		stamp("laptop", 1).Run: {N: 1, Device: "p3"}}, s.must(wire.Request{}).Seen)
	a = s.must(acts(set(stamp("lost", 5), pour, "note", replica.Null)))
	require.Equal(t, 1, a.Took, "the run goes on from what the device had seen")

	head = s.head()
	s.must(wire.Request{Cursor: s.mark(), Ack: s.mark(), Fix: &wire.Fix{Seen: map[replica.Run]wire.Seen{stamp("lost", 1).Run: {N: 2}}}})
	require.Equal(t, head, s.head(), "nothing new, nothing written")

	t.Run("malformed", func(t *testing.T) {
		for _, e := range []*replica.Entity{
			{ID: "no id", Kind: "pour"},
			{ID: pour, Kind: "Pour"},
			{ID: pour, Kind: "pour", Fields: map[string][]replica.Write{"A": {{Stamp: stamp("a", 1)}}}},
			{ID: pour, Kind: "pour", Fields: map[string][]replica.Write{"a": {{Stamp: stamp("a", 1), Value: replica.Text(strings.Repeat("x", 9000))}}}},
		} {
			s.refuses(wire.CodeMalformed, wire.Request{Cursor: s.mark(), Ack: s.mark(), Fix: &wire.Fix{Add: []*replica.Entity{e}}})
		}
	})
}

// A replacement that comes before what it replaces, over two rounds.
func TestEarlyMarkIsKeptUntilItIsMet(t *testing.T) {
	s := serve(t, nil)
	s.must(acts(set(stamp("laptop", 1), pour, "note", replica.Text("new"), stamp("phone", 1))))
	late := set(stamp("phone", 1), pour, "note", replica.Text("old"))
	late.Edits[0].Set["spec"] = replica.Text("x")
	a := s.must(acts(late))
	require.Len(t, a.Ents[0].Fields["note"], 1)
	require.Len(t, a.Ents[0].Fields["spec"], 1)
	require.NoError(t, s.store.View(context.Background(), journal, func(r store.Reader) error {
		found, err := r.Entities([]replica.ID{pour})
		require.Nil(t, found[pour].Early)
		return err
	}))
}

// moving is a store whose journal moves on between the reading and the commit, a few times.
type moving struct {
	store.Store
	moves int
	step  func()
}

func (m *moving) Commit(ctx context.Context, j store.Journal, on store.Mark, c store.Commit) error {
	if m.moves > 0 {
		m.moves--
		m.step()
	}
	return m.Store.Commit(ctx, j, on, c)
}

func TestRoundIsComputedAgainWhenTheJournalMoved(t *testing.T) {
	base := serve(t, nil)
	n := uint64(0)
	st := &moving{Store: base.store, moves: 3, step: func() {
		n++
		base.must(acts(set(stamp("other", n), pour, "note", replica.Int(int64(n)))))
	}}
	s := &server{t, st, exchange.New(st, exchange.Settings{})}
	a := s.must(acts(set(stamp("phone", 1), pour, "score_x10", replica.Int(80))))
	require.Equal(t, 1, a.Took)
	require.Len(t, a.Ents[0].Fields["note"], 3)
	require.EqualValues(t, 4, s.head().No)

	st.moves = 100
	_, p := s.round(acts(set(stamp("phone", 2), pour, "score_x10", replica.Int(80))))
	require.Equal(t, wire.CodeBusy, p.Code)
}

type full struct{ store.Store }

func (full) Commit(context.Context, store.Journal, store.Mark, store.Commit) error {
	return fmt.Errorf("full: commit: %w", store.ErrNoSpace)
}

type broken struct{ store.Store }

var errDisk = errors.New("the disk is gone")

func (broken) Commit(context.Context, store.Journal, store.Mark, store.Commit) error { return errDisk }

func TestStoreThatCannot(t *testing.T) {
	base := serve(t, nil)
	s := &server{t, full{base.store}, exchange.New(full{base.store}, exchange.Settings{})}
	s.refuses(wire.CodeNoSpace, acts(set(stamp("phone", 1), pour, "note", replica.Null)))
	s.must(wire.Request{})

	x := exchange.New(broken{base.store}, exchange.Settings{})
	q := acts(set(stamp("phone", 1), pour, "note", replica.Null))
	q.Proto, q.Journal, q.Cursor, q.Ack = 1, string(journal), "0.", "0."
	_, err := x.Round(context.Background(), exchange.Ask{Journal: journal, Now: now, Body: q.Append(nil)})
	require.ErrorIs(t, err, errDisk)
	var p *wire.Problem
	require.NotErrorAs(t, err, &p)
}

// Ten thousand overwrites of fields that are there leave the journal as large as it was, and cost little for each commit.
func TestGrowthBounded(t *testing.T) {
	s := serve(t, nil)
	const entities, overwrites = 150, 10_000
	var all []replica.Action
	last := map[replica.ID]replica.Stamp{}
	n := uint64(0)
	write := func(id replica.ID, v int64) {
		n++
		a := set(stamp("phone", n), id, "left_ul", replica.Int(v))
		if d, ok := last[id]; ok {
			a.Edits[0].Over = map[string][]replica.Stamp{"left_ul": {d}}
		}
		last[id] = a.Stamp
		all = append(all, a)
	}
	send := func() {
		for len(all) > 0 {
			a := s.must(acts(all[:min(len(all), wire.MaxActs)]...))
			all = all[a.Took:]
		}
	}
	for i := range entities {
		write(id(i), 700_000)
	}
	send()
	head, before := s.size()
	for i := range overwrites {
		write(id(i%entities), 700_000-int64(i))
	}
	send()
	after, size := s.size()
	const tagBytes = 20
	commits := after.No - head.No
	require.EqualValues(t, overwrites/wire.MaxActs, commits)
	require.Equal(t, before.Entities, size.Entities)
	require.Less(t, size.Bytes-before.Bytes+int64(commits)*tagBytes, int64(20_000))
}

func TestManyDevicesAtOnce(t *testing.T) {
	s := serve(t, nil)
	var wait sync.WaitGroup
	const devices, each = 8, 25
	for d := range devices {
		wait.Go(func() {
			for n := range uint64(each) {
				a, p := s.round(acts(set(stamp(fmt.Sprintf("dev%d", d), n+1), pour, fmt.Sprintf("f%d", d), replica.Int(int64(n)))))
				if p != nil || a.Took != 1 {
					t.Errorf("device %d, action %d: %v", d, n+1, p)
					return
				}
			}
		})
	}
	wait.Wait()
	a := s.must(wire.Request{})
	require.Len(t, a.Seen, devices)
	for d := range devices {
		require.Len(t, a.Ents[0].Fields[fmt.Sprintf("f%d", d)], each)
	}
	require.EqualValues(t, devices*each, s.head().No)
}
