package exchange_test

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/exchange"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/store"
	"fairmeasure/sync/wire"
)

// by asks as a device of the same account.
func (s *server) by(device string, q wire.Request) (*wire.Answer, error) {
	s.t.Helper()
	q.Proto, q.Journal = wire.Proto, string(journal)
	if q.Cursor == "" {
		q.Cursor, q.Ack = wire.Start, wire.Start
	}
	return s.x.Round(context.Background(), exchange.Ask{Journal: journal, Device: device, Now: now, Body: q.Append(nil)})
}

func (s *server) mustBy(device string, q wire.Request) *wire.Answer {
	s.t.Helper()
	a, err := s.by(device, q)
	require.NoError(s.t, err)
	return a
}

// fixBy gives a fix of a device on the newest state.
func (s *server) fixBy(device string, f *wire.Fix) (*wire.Answer, error) {
	return s.by(device, wire.Request{Cursor: s.mark(), Ack: s.mark(), Fix: f})
}

// strayed makes a device one that was told it is out of step.
func (s *server) strayed(device string) {
	s.t.Helper()
	_, err := s.by(device, wire.Request{Cursor: "7.AAAAAAAA", Ack: "7.AAAAAAAA"})
	require.ErrorContains(s.t, err, wire.CodeOutOfStep)
}

func (s *server) seen(run replica.Run) store.SeenAt {
	s.t.Helper()
	var at store.SeenAt
	require.NoError(s.t, s.store.View(context.Background(), journal, func(r store.Reader) error {
		found, err := r.Seen([]replica.Run{run})
		at = found[run]
		return err
	}))
	return at
}

func telling(run replica.Run, n uint64, device string) map[replica.Run]wire.Seen {
	return map[replica.Run]wire.Seen{run: {N: n, Device: device}}
}

func oneWrite(id replica.ID, field string, s replica.Stamp, v replica.Value) *replica.Entity {
	return &replica.Entity{ID: id, Kind: "pour", Fields: map[string][]replica.Write{field: {{Stamp: s, At: 1, Value: v}}}}
}

func TestARunOfAnotherDeviceIsRaisedOnlyAsFarAsIsShown(t *testing.T) {
	run := stamp("phone", 1).Run
	for _, c := range []struct {
		name   string
		stray  bool
		shows  uint64
		told   uint64
		raised uint64
	}{
		{"a bare claim", true, 0, 9, 1},
		{"in step", false, 9, 9, 1},
		{"shown in full", true, 9, 9, 9},
		{"shown in part", true, 5, 9, 5},
		{"shown and not told", true, 9, 5, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := serve(t, nil)
			s.mustBy("phone", acts(set(stamp("phone", 1), pour, "note", replica.Int(1))))
			if c.stray {
				s.strayed("tablet")
			}
			if c.shows > 0 { // in an earlier piece than the one that tells
				_, err := s.fixBy("tablet", &wire.Fix{Add: []*replica.Entity{oneWrite(pour, "score_x10", stamp("phone", c.shows), replica.Int(80))}})
				require.NoError(t, err)
			}
			_, err := s.fixBy("tablet", &wire.Fix{Seen: telling(run, c.told, "tablet")})
			require.NoError(t, err)
			at := s.seen(run)
			require.Equal(t, c.raised, at.N)
			require.Equal(t, uint64(1), at.Own())
			require.Equal(t, "phone", at.Device, "whose run it is says who acted")
			if c.raised > 1 {
				require.Equal(t, "tablet", at.By, "it is kept who raised it")
			}
			for _, device := range []string{"phone", "laptop"} {
				require.Equal(t, wire.Seen{N: 1, Device: "phone"}, s.mustBy(device, wire.Request{}).Seen[run], "nobody else is told what one said")
			}
		})
	}
}

// Whatever another device told, an action is taken when it comes for the first time, and it is right.
func TestWhatIsToldKeepsNoActionOut(t *testing.T) {
	s := serve(t, nil)
	run := stamp("phone", 1).Run
	s.mustBy("phone", acts(set(stamp("phone", 1), id(1), "note", replica.Text("1"))))
	s.strayed("tablet")
	_, err := s.fixBy("tablet", &wire.Fix{Add: []*replica.Entity{
		oneWrite(id(3), "note", stamp("phone", 3), replica.Text("forged")), oneWrite(id(9), "note", stamp("phone", 9), replica.Text("forged"))},
		Seen: telling(run, 9, "phone")})
	require.NoError(t, err)
	require.Equal(t, uint64(9), s.seen(run).N)
	for n := uint64(2); n <= 12; n++ {
		a := s.mustBy("phone", acts(set(stamp("phone", n), id(int(n)), "note", replica.Text(fmt.Sprint(n)))))
		require.Equal(t, 1, a.Took)
		w, live := a.Ents[len(a.Ents)-1].Find("note", stamp("phone", n))
		require.True(t, live, n)
		require.Equal(t, replica.Text(fmt.Sprint(n)), w.Value)
		require.Equal(t, n, s.seen(run).Own())
	}
	require.Equal(t, store.SeenAt{N: 12, Commit: s.head().No, Device: "phone"}, s.seen(run), "all of it came by now")
	head := s.head()
	s.mustBy("phone", acts(set(stamp("phone", 5), id(5), "note", replica.Text("5"))))
	require.Equal(t, head, s.head(), "a repetition still is one")
}

// After a restore: what one device gives back of another's, and replaced, does not come back when the other sends it again.
func TestWhatWasGivenBackAndReplacedStaysReplaced(t *testing.T) {
	s := serve(t, nil)
	run := stamp("phone", 1).Run
	s.strayed("laptop")
	_, err := s.fixBy("laptop", &wire.Fix{Add: []*replica.Entity{oneWrite(pour, "note", stamp("phone", 1), replica.Text("old"))}, Seen: telling(run, 1, "phone")})
	require.NoError(t, err)
	require.Equal(t, "laptop", s.seen(run).Device, "until its own device comes")
	s.mustBy("laptop", acts(set(stamp("laptop", 1), pour, "note", replica.Text("new"), stamp("phone", 1))))

	// Another that never saw the replacement gives the old value back once more.
	s.strayed("tablet")
	_, err = s.fixBy("tablet", &wire.Fix{Add: []*replica.Entity{oneWrite(pour, "note", stamp("phone", 1), replica.Text("old"))}, Seen: telling(run, 1, "phone")})
	require.NoError(t, err)
	// And the one that wrote it sends it again, because it never had an answer.
	a := s.mustBy("phone", acts(set(stamp("phone", 1), pour, "note", replica.Text("old"))))
	require.Equal(t, 1, a.Took)
	require.Equal(t, []replica.Write{{Stamp: stamp("laptop", 1), At: now, Value: replica.Text("new")}}, a.Ents[0].Fields["note"])
	require.Equal(t, "phone", s.seen(run).Device)
	found := map[replica.ID]store.Entity{}
	require.NoError(t, s.store.View(context.Background(), journal, func(r store.Reader) (err error) {
		found, err = r.Entities([]replica.ID{pour})
		return err
	}))
	require.Nil(t, found[pour].Early, "the mark is gone once its action came")
}

// A device goes on with its own run after a restore, by its own word, also against what others told of it.
func TestADeviceGoesOnWithItsOwnRun(t *testing.T) {
	for name, others := range map[string]func(s *server, run replica.Run){
		"nobody came before": func(*server, replica.Run) {},
		"another told less": func(s *server, run replica.Run) {
			_, err := s.fixBy("laptop", &wire.Fix{Seen: telling(run, 3, "phone")})
			require.NoError(s.t, err)
		},
		"another told more": func(s *server, run replica.Run) {
			_, err := s.fixBy("laptop", &wire.Fix{Seen: telling(run, 1<<50, "laptop")})
			require.NoError(s.t, err)
		},
		"it acted before": func(s *server, run replica.Run) {
			s.mustBy("phone", acts(set(stamp("phone", 1), pour, "note", replica.Int(1))))
		},
	} {
		t.Run(name, func(t *testing.T) {
			s := serve(t, nil)
			run := stamp("phone", 1).Run
			others(s, run)
			a, err := s.fixBy("phone", &wire.Fix{Seen: telling(run, 7, "phone")})
			require.NoError(t, err)
			require.Equal(t, uint64(7), a.Seen[run].N)
			head := s.head()
			s.mustBy("phone", acts(set(stamp("phone", 6), pour, "note", replica.Int(6))))
			require.Equal(t, head, s.head(), "what it says it has had answered is not taken again")
			a = s.mustBy("phone", acts(set(stamp("phone", 8), pour, "note", replica.Int(8))))
			require.Equal(t, wire.Seen{N: 8, Device: "phone"}, s.mustBy("tablet", wire.Request{}).Seen[run])
			require.Equal(t, 1, a.Took)
		})
	}
}

// An early mark outlives the pieces of a fix that meet it: the action itself may still come.
func TestEarlyMarkOutlivesAFix(t *testing.T) {
	s := serve(t, nil)
	s.mustBy("laptop", acts(set(stamp("laptop", 1), pour, "note", replica.Text("new"), stamp("phone", 1))))
	for range 3 {
		a, err := s.fixBy("tablet", &wire.Fix{Add: []*replica.Entity{oneWrite(pour, "note", stamp("phone", 1), replica.Text("old"))}})
		require.NoError(t, err)
		require.Len(t, a.Ents[0].Fields["note"], 1)
	}
	a := s.mustBy("phone", acts(set(stamp("phone", 1), pour, "note", replica.Text("old"))))
	require.Len(t, a.Ents[0].Fields["note"], 1)
	require.Equal(t, replica.Text("new"), a.Ents[0].Fields["note"][0].Value)
}

// One gate: whatever an action may not make of an entity or a journal, a fix may not either, and the other way round; and
// by no number of small steps.
func TestOneGate(t *testing.T) {
	text := replica.Text(strings.Repeat("x", 4000))
	steps := map[string]func(n int) (f string, v replica.Value, over []replica.Stamp){
		"bytes":  func(n int) (string, replica.Value, []replica.Stamp) { return fmt.Sprintf("f%d", n%7), text, nil },
		"fields": func(n int) (string, replica.Value, []replica.Stamp) { return fmt.Sprintf("f%d", n), replica.Null, nil },
		"writes": func(n int) (string, replica.Value, []replica.Stamp) { return "note", replica.Null, nil },
	}
	for name, step := range steps {
		for _, way := range []string{"actions", "fixes", "both"} {
			t.Run(name+" by "+way, func(t *testing.T) {
				s := serve(t, nil)
				refused := 0
				for n := range 2 * replica.MaxFields {
					f, v, _ := step(n)
					d := stamp(fmt.Sprintf("run%d_", n), 1)
					var err error
					if way == "fixes" || way == "both" && n%2 == 0 {
						_, err = s.fixBy("p", &wire.Fix{Add: []*replica.Entity{oneWrite(id(1000+n), "a", d, replica.Null), oneWrite(pour, f, d, v)}})
					} else {
						_, err = s.by("p", acts(set(d, pour, f, v)))
					}
					if err != nil {
						p, ok := err.(*wire.Problem)
						require.True(t, ok)
						require.Equal(t, wire.CodeRefused, p.Code, p.Detail)
						require.Equal(t, way == "fixes" || way == "both" && n%2 == 0, p.Index == 1, "which it is about is told")
						refused++
					}
				}
				require.Positive(t, refused)
				require.NoError(t, s.store.View(context.Background(), journal, func(r store.Reader) error {
					found, err := r.Entities([]replica.ID{pour})
					e := found[pour]
					require.LessOrEqual(t, e.Bytes(), replica.MaxEntity)
					require.LessOrEqual(t, len(e.Fields), replica.MaxFields)
					for _, w := range e.Fields {
						require.LessOrEqual(t, len(w), replica.MaxWrites)
					}
					return err
				}))
			})
		}
	}
	t.Run("runs", func(t *testing.T) {
		s := serve(t, func(l *exchange.Limits) { l.Journal.Runs = 3; l.FixRuns = 2 })
		s.refuses(wire.CodeTooLarge, wire.Request{Fix: &wire.Fix{Seen: map[replica.Run]wire.Seen{stamp("a", 1).Run: {N: 1}, stamp("b", 1).Run: {N: 1}, stamp("c", 1).Run: {N: 1}}}})
		_, err := s.fixBy("p", &wire.Fix{Seen: map[replica.Run]wire.Seen{stamp("a", 1).Run: {N: 1}, stamp("b", 1).Run: {N: 1}}})
		require.NoError(t, err)
		s.must(acts(set(stamp("c", 1), pour, "a", replica.Null)))
		s.refuses(wire.CodeFull, acts(set(stamp("d", 1), pour, "a", replica.Null)))
		s.refuses(wire.CodeFull, wire.Request{Cursor: s.mark(), Ack: s.mark(), Fix: &wire.Fix{Seen: telling(stamp("e", 1).Run, 1, "p")}})
		s.must(acts(set(stamp("c", 2), pour, "a", replica.Null, stamp("c", 1))))
		_, size := s.size()
		require.Equal(t, 3, size.Runs)
	})
	t.Run("early marks", func(t *testing.T) {
		s := serve(t, nil)
		var over []replica.Stamp
		for n := range replica.MaxEarly + 1 {
			over = append(over, stamp("lost", uint64(n+1)))
		}
		s.refuses(wire.CodeRefused, acts(set(stamp("phone", 1), pour, "note", replica.Null, over...)))
		before, _ := s.size()
		require.Zero(t, before.No)
		s.must(acts(set(stamp("phone", 1), pour, "note", replica.Null, over[1:]...)))
		_, size := s.size()
		require.Greater(t, size.Bytes, int64(30*replica.MaxEarly), "they count")
		s.refuses(wire.CodeRefused, acts(set(stamp("phone", 2), pour, "spec", replica.Null, stamp("other", 1))))
	})
	t.Run("what was never there", func(t *testing.T) {
		s := serve(t, nil)
		for n := range uint64(50) {
			s.must(acts(replica.Action{Stamp: stamp("ghost", n+1), Edits: []replica.Edit{{ID: id(int(n)), Kind: "pour"}}}))
		}
		_, size := s.size()
		require.Equal(t, store.Size{Bytes: store.RunBytes, Runs: 1}, size)
		require.Empty(t, s.must(wire.Request{}).Ents)
		require.NoError(t, s.store.View(context.Background(), journal, func(r store.Reader) error {
			found, err := r.Entities([]replica.ID{id(0), id(49)})
			require.Empty(t, found, "nothing is written down of it")
			return err
		}))
	})
	t.Run("what was erased still counts a little", func(t *testing.T) {
		s := serve(t, nil)
		for n := range uint64(50) {
			s.must(acts(set(stamp("a", 2*n+1), id(int(n)), "note", text)))
			s.must(acts(replica.Action{Stamp: stamp("a", 2*n+2), Edits: []replica.Edit{{ID: id(int(n)), Kind: "pour", Over: map[string][]replica.Stamp{"note": {stamp("a", 2*n+1)}}}}}))
		}
		_, size := s.size()
		require.Zero(t, size.Entities)
		require.Greater(t, size.Bytes, int64(50*100))
		require.Less(t, size.Bytes, int64(50*200))
	})
}

// A round whose caller has gone does nothing more, also while it waits its turn.
func TestARoundEndsWithItsContext(t *testing.T) {
	base := serve(t, nil)
	first := make(chan struct{})
	proceed := make(chan struct{})
	st := &moving{Store: base.store, moves: 1, step: func() { close(first); <-proceed }}
	s := &server{t, st, exchange.New(st, exchange.Settings{})}
	done := make(chan error, 1)
	go func() {
		q := acts(set(stamp("phone", 1), pour, "note", replica.Null))
		q.Proto, q.Journal, q.Cursor, q.Ack = wire.Proto, string(journal), wire.Start, wire.Start
		_, err := s.x.Round(context.Background(), exchange.Ask{Journal: journal, Now: now, Body: q.Append(nil)})
		done <- err
	}()
	<-first
	gone, leave := context.WithCancel(context.Background())
	leave()
	q := acts(set(stamp("laptop", 1), pour, "note", replica.Null))
	q.Proto, q.Journal, q.Cursor, q.Ack = wire.Proto, string(journal), wire.Start, wire.Start
	_, err := s.x.Round(gone, exchange.Ask{Journal: journal, Now: now, Body: q.Append(nil)})
	require.ErrorIs(t, err, context.Canceled)
	close(proceed)
	require.NoError(t, <-done)
	require.EqualValues(t, 1, s.head().No)
	s.must(acts(set(stamp("laptop", 1), pour, "note", replica.Null)))
}
