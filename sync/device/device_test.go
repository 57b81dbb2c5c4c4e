package device_test

import (
	"encoding/json"
	"errors"
	"maps"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/device"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/schema"
	"fairmeasure/sync/wire"
)

func TestActAndSync(t *testing.T) {
	s, p := newServer(), newPhone(t)
	require.False(t, p.dev.Status(p.now).Synced)
	p.set(id(1), "note", replica.Text("sharp"))
	require.Equal(t, replica.Text("sharp"), p.value(id(1), "note"))
	require.Equal(t, 1, p.dev.Status(p.now).Unsent)

	require.Equal(t, device.Idle, p.sync(s).What)
	st := p.dev.Status(p.now)
	require.True(t, st.Synced)
	require.Zero(t, st.Unsent)
	require.Empty(t, p.disk[device.StoreQueue])
	require.Len(t, p.disk[device.StoreCopy], 1)
	require.Equal(t, `"1.aaaaaaaa"`, p.disk[device.StoreMeta][`"cursor"`])

	rev := p.rev
	require.Equal(t, device.Idle, p.ask(s).What)
	require.Equal(t, rev, p.rev, "an idle poll writes nothing")

	p.open()
	require.Equal(t, replica.Text("sharp"), p.value(id(1), "note"))
	p.set(id(1), "note", replica.Text("round"))
	p.sync(s)
	e, _ := s.state.Get(id(1))
	require.Len(t, e.Fields["note"], 1)
	require.Equal(t, 2, p.runs, "a fresh run after each start that made an edit")
}

func TestNothingIsSavedBeforeItIsSettled(t *testing.T) {
	p := newPhone(t)
	set := func(schema.View) ([]replica.Edit, error) {
		return []replica.Edit{{ID: id(1), Kind: "pour", Set: map[string]replica.Value{"note": replica.Null}}}, nil
	}
	c, err := p.dev.Act(p.now, set)
	require.NoError(t, err)
	require.True(t, c.Strict)
	require.Equal(t, []replica.ID{id(1)}, c.IDs)
	_, seen := p.dev.Get(id(1))
	require.False(t, seen)
	_, err = p.dev.Act(p.now, set)
	require.ErrorIs(t, err, device.ErrUnsettled)
	_, body := p.dev.Request(p.now, 0)
	require.Nil(t, body)
	require.ErrorIs(t, p.dev.Settle(c.No+1, device.Done), device.ErrUnsettled)

	for _, outcome := range []device.Outcome{device.Failed, device.Raced} {
		p := newPhone(t)
		c, err := p.dev.Act(p.now, set)
		require.NoError(t, err)
		require.ErrorIs(t, p.dev.Settle(c.No, outcome), device.ErrReload)
		_, err = p.dev.Act(p.now, set)
		require.ErrorIs(t, err, device.ErrReload)
		require.ErrorIs(t, p.dev.Settle(c.No, device.Done), device.ErrReload)
	}
}

func TestActRefuses(t *testing.T) {
	s, p := newServer(), newPhone(t)
	p.set(id(1), "note", replica.Text("sharp"))
	p.sync(s)
	long := replica.Text(strings.Repeat("x", replica.MaxText))
	wide := map[string]replica.Value{}
	for n := range replica.MaxFields {
		wide["f"+strconv.Itoa(n)] = replica.Null
	}
	heavy := map[string]replica.Value{}
	for n := range 8 {
		heavy["f"+strconv.Itoa(n)] = long
	}
	var many []replica.Edit
	for n := range replica.MaxEdits + 1 {
		many = append(many, replica.Edit{ID: id(100 + n), Kind: "pour", Set: map[string]replica.Value{"note": replica.Null}})
	}
	for _, c := range []struct {
		code  string
		edits []replica.Edit
	}{
		{"wrong_kind", []replica.Edit{{ID: id(1), Kind: "bottle", Set: map[string]replica.Value{"note": replica.Null}}}},
		{"claims_unseen", []replica.Edit{{ID: id(1), Kind: "pour", Over: map[string][]replica.Stamp{"note": {{Run: "abcdefghijk", N: 1}}}}}},
		{"bad_field", []replica.Edit{{ID: id(1), Kind: "pour", Set: map[string]replica.Value{"Note": replica.Null}}}},
		{"bad_id", []replica.Edit{{ID: "x", Kind: "pour", Set: map[string]replica.Value{"note": replica.Null}}}},
		{"text_too_long", []replica.Edit{{ID: id(1), Kind: "pour", Set: map[string]replica.Value{"note": replica.Text(strings.Repeat("x", 8193))}}}},
		{"too_many_edits", many},
		{"entity_too_large", []replica.Edit{{ID: id(1), Kind: "pour", Set: wide}}},
		{"entity_too_large", []replica.Edit{{ID: id(2), Kind: "pour", Set: heavy}}},
		{"action_too_large", []replica.Edit{
			{ID: id(2), Kind: "pour", Set: map[string]replica.Value{"a": long, "b": long, "c": long, "d": long}},
			{ID: id(3), Kind: "pour", Set: map[string]replica.Value{"a": long, "b": long, "c": long, "d": long}}}},
	} {
		t.Run(c.code, func(t *testing.T) {
			ch, err := p.dev.Act(p.now, func(schema.View) ([]replica.Edit, error) { return c.edits, nil })
			require.Nil(t, ch)
			var r *replica.Refusal
			require.ErrorAs(t, err, &r)
			require.Equal(t, c.code, r.Code)
		})
	}
	t.Run("the intent's own refusal comes back", func(t *testing.T) {
		own := errors.New("no such drink")
		_, err := p.dev.Act(p.now, func(schema.View) ([]replica.Edit, error) { return nil, own })
		require.ErrorIs(t, err, own)
	})
	t.Run("nothing to do", func(t *testing.T) {
		ch, err := p.dev.Act(p.now, func(schema.View) ([]replica.Edit, error) { return []replica.Edit{{ID: id(1), Kind: "pour"}}, nil })
		require.NoError(t, err)
		require.Nil(t, ch)
	})
	t.Run("two edits of one entity are one", func(t *testing.T) {
		p.act(replica.Edit{ID: id(4), Kind: "pour", Set: map[string]replica.Value{"a": replica.Int(1), "b": replica.Int(1)}},
			replica.Edit{ID: id(4), Kind: "pour", Set: map[string]replica.Value{"b": replica.Int(2)}})
		require.Equal(t, replica.Int(2), p.value(id(4), "b"))
		p.sync(s)
	})
}

func TestAnswersThatAreNone(t *testing.T) {
	s, p := newServer(), newPhone(t)
	p.set(id(1), "note", replica.Text("sharp"))
	last := int64(0)
	for i, answer := range []struct {
		status int
		body   string
	}{
		{0, ""}, {200, "<html>Welcome</html>"}, {200, `{"ok":true}`}, {502, "bad gateway"}, {401, `{"code":"expired"}`},
		{410, `{"code":"erased","journal":"another"}`}, {409, ""},
	} {
		ticket, body := p.dev.Request(p.now, 0)
		require.NotNil(t, body)
		c, next := p.dev.Answer(p.now, ticket, answer.status, []byte(answer.body))
		require.Nil(t, c)
		require.Equal(t, device.Wait, next.What, answer.body)
		require.Greater(t, next.Wait, last/2, "answer %d", i)
		require.LessOrEqual(t, next.Wait, int64(375_000))
		last = next.Wait
	}
	require.Equal(t, 7, p.dev.Status(p.now).Failing)
	require.Equal(t, device.Idle, p.sync(s).What)
	require.Zero(t, p.dev.Status(p.now).Failing)

	t.Run("the answer to an older ticket changes nothing", func(t *testing.T) {
		p.set(id(1), "note", replica.Text("round"))
		old, body := p.dev.Request(p.now, 0)
		_, answer := s.round(t, body)
		ticket, again := p.dev.Request(p.now, 0)
		c, next := p.dev.Answer(p.now, old, 200, answer)
		require.Nil(t, c)
		require.Equal(t, device.Idle, next.What)
		_, answer = s.round(t, again)
		c, _ = p.dev.Answer(p.now, ticket, 200, answer)
		require.NotNil(t, c)
		p.write(c)
		require.Zero(t, p.dev.Status(p.now).Unsent)
	})
}

func TestCodes(t *testing.T) {
	for code, want := range map[string]device.Next{
		wire.CodeMalformed: {What: device.Stop, Code: "malformed"},
		wire.CodeRevoked:   {What: device.Stop, Code: "revoked"},
		wire.CodeNoJournal: {What: device.Stop, Code: "no_journal"},
		wire.CodeErased:    {What: device.Stop, Code: "erased"},
		wire.CodeTooOld:    {What: device.Stop, Code: "too_old"},
	} {
		t.Run(code, func(t *testing.T) {
			s, p := newServer(), newPhone(t)
			p.set(id(1), "note", replica.Text("sharp"))
			ticket, _ := p.dev.Request(p.now, 0)
			status, body := problem(code)
			c, next := p.dev.Answer(p.now, ticket, status, body)
			require.Nil(t, c)
			require.Equal(t, want, next)
			st := p.dev.Status(p.now)
			require.Equal(t, code, st.Stopped)
			require.Equal(t, 1, st.Unsent, "the queue is kept")
			_, body = p.dev.Request(p.now, 0)
			require.Nil(t, body)
			p.set(id(2), "note", replica.Text("offline goes on"))
			p.dev.Resume()
			require.Equal(t, device.Idle, p.sync(s).What)
			require.Zero(t, p.dev.Status(p.now).Unsent)
		})
	}
	t.Run("expired", func(t *testing.T) {
		s, p := newServer(), newPhone(t)
		p.set(id(1), "note", replica.Text("sharp"))
		ticket, first := p.dev.Request(p.now, 0)
		status, body := problem(wire.CodeExpired)
		_, next := p.dev.Answer(p.now, ticket, status, body)
		require.Equal(t, device.Next{What: device.Stop, Code: "expired"}, next)
		_, second := p.dev.Request(p.now, 0)
		require.Equal(t, first, second, "after renewing, the same body again")
		p.sync(s)
	})
	t.Run("busy", func(t *testing.T) {
		p := newPhone(t)
		ticket, _ := p.dev.Request(p.now, 0)
		busy := wire.Problem{Status: 503, Code: wire.CodeBusy, Journal: journal, RetryS: 30}
		_, next := p.dev.Answer(p.now, ticket, 503, busy.Append(nil))
		require.Equal(t, device.Wait, next.What)
		require.GreaterOrEqual(t, next.Wait, int64(30_000))
		require.LessOrEqual(t, next.Wait, int64(37_500))
	})
}

// A queue of many actions goes in batches that double, and that halve when nothing comes back.
func TestBatches(t *testing.T) {
	s, p := newServer(), newPhone(t)
	for n := range 1000 {
		p.set(id(n%40), "note", replica.Text(strings.Repeat("x", 150)+strconv.Itoa(n)))
	}
	ticket, body := p.dev.Request(p.now, 0)
	require.Greater(t, len(body), 30_000)
	require.LessOrEqual(t, len(body), 33_000)
	_, next := p.dev.Answer(p.now, ticket, 0, nil)
	require.Equal(t, device.Wait, next.What)
	ticket, body = p.dev.Request(p.now, 0)
	require.LessOrEqual(t, len(body), 17_000)
	status, answer := problem(wire.CodeTooLarge)
	_, next = p.dev.Answer(p.now, ticket, status, answer)
	require.Equal(t, device.Again, next.What)
	_, body = p.dev.Request(p.now, 2_000)
	require.LessOrEqual(t, len(body), 2_000)

	p.sync(s)
	most := 0
	for _, q := range s.asked {
		most = max(most, len(q.Acts))
	}
	require.Equal(t, wire.MaxActs, most)
	require.Less(t, len(s.asked), 15)
	require.Zero(t, p.dev.Status(p.now).Unsent)
}

func TestRefusedActionIsSetAside(t *testing.T) {
	for _, code := range []string{wire.CodeRefused, wire.CodeTooLarge} {
		t.Run(code, func(t *testing.T) {
			s, p := newServer(), newPhone(t)
			p.set(id(1), "note", replica.Text("before"))
			p.sync(s)
			long := strings.Repeat(`a "quoted" word and ½ `, 300)
			set := map[string]replica.Value{"note": replica.Text("refused")}
			for n := range 6 {
				set["long."+strconv.Itoa(n)] = replica.Text(long)
			}
			ed, err := schema.Set(p.dev, id(1), "pour", set)
			require.NoError(t, err)
			p.act(ed)
			var body string
			for _, row := range p.disk[device.StoreQueue] {
				body = row
			}
			refusal := wire.NewProblem(code, "this field is not known here")
			refusal.Journal = journal
			s.problems = []*wire.Problem{refusal}
			ticket, q := p.dev.Request(p.now, 0)
			status, answer := s.round(t, q)
			c, next := p.dev.Answer(p.now, ticket, status, answer)
			require.Equal(t, device.Again, next.What)
			require.True(t, c.Strict)
			p.write(c)
			require.Equal(t, replica.Text("before"), p.value(id(1), "note"), "what was refused is not shown as if it were there")
			p.set(id(1), "note", replica.Text("after"))
			p.open() // and all of it outlives a restart
			require.Equal(t, device.Idle, p.sync(s).What)
			require.Zero(t, p.dev.Status(p.now).Unsent)

			parts := map[int]string{}
			for e := range s.state.Entities() {
				if e.Kind != device.AsideKind {
					continue
				}
				w, _ := e.Shown(device.AsideAction)
				require.Equal(t, replica.Text("run00000001.2"), w.Value)
				for f := range e.Fields {
					if no, ok := strings.CutPrefix(f, device.AsidePart); ok {
						n, err := strconv.Atoi(no)
						require.NoError(t, err)
						w, _ := e.Shown(f)
						parts[n], _ = w.Value.AsText()
					}
				}
			}
			require.Greater(t, len(parts), 3, "split over several entities")
			whole := ""
			for n := range len(parts) {
				whole += parts[n]
			}
			require.Equal(t, body, whole)
			require.Equal(t, replica.Text("after"), p.value(id(1), "note"))
			require.EqualValues(t, 3, s.state.Seen("run00000001"), "its run went on")
		})
	}
	t.Run("of many, the one", func(t *testing.T) {
		s, p := newServer(), newPhone(t)
		for n := range 5 {
			p.set(id(n), "note", replica.Int(int64(n)))
		}
		refusal := wire.NewProblem(wire.CodeRefused, "")
		refusal.Journal, refusal.Index = journal, 3
		s.problems = []*wire.Problem{refusal}
		p.sync(s)
		for n := range 5 {
			_, ok := s.state.Get(id(n))
			require.Equal(t, n != 3, ok)
		}
	})
	t.Run("what cannot even be set aside stops", func(t *testing.T) {
		s, p := newServer(), newPhone(t)
		p.set(id(1), "note", replica.Null)
		refusal := wire.NewProblem(wire.CodeRefused, "")
		refusal.Journal = journal
		s.problems = []*wire.Problem{refusal, refusal}
		require.Equal(t, device.Next{What: device.Stop, Code: "refused"}, p.sync(s))
		require.Equal(t, 2, p.dev.Status(p.now).Unsent)
	})
}

// While the server is full a device goes on reading; what makes room goes ahead of the rest.
func TestFull(t *testing.T) {
	s, p := newServer(), newPhone(t)
	p.set(id(1), "note", replica.Text("old"))
	p.sync(s)
	del, err := schema.Delete(p.dev, id(1))
	require.NoError(t, err)
	p.act(del)
	p.sync(s)
	p.set(id(2), "note", replica.Text("one more"))
	full := wire.NewProblem(wire.CodeFull, "")
	full.Journal = journal
	s.problems = []*wire.Problem{full}
	next := p.sync(s)
	require.Equal(t, device.Wait, next.What)
	require.Equal(t, "full", p.dev.Status(p.now).Full)
	require.Empty(t, s.asked[len(s.asked)-1].Acts, "it goes on reading")

	erase, err := schema.Erase(p.dev, id(1))
	require.NoError(t, err)
	p.act(erase)
	n := len(s.asked)
	require.Equal(t, device.Idle, p.sync(s).What)
	require.Len(t, s.asked[n].Acts, 1)
	require.NotEqual(t, s.asked[n].Acts[0].Stamp.Run, s.asked[n+1].Acts[0].Stamp.Run)
	require.Empty(t, s.asked[n].Acts[0].Edits[0].Set, "the erasing goes first")
	require.Empty(t, p.dev.Status(p.now).Full)
	_, ok := s.state.Get(id(1))
	require.False(t, ok)
	_, ok = s.state.Get(id(2))
	require.True(t, ok)

	t.Run("however many there are, in their order", func(t *testing.T) {
		s, p := newServer(), newPhone(t)
		const many = 25
		for n := range many {
			p.set(id(n), "note", replica.Int(int64(n)))
			del, err := schema.Delete(p.dev, id(n))
			require.NoError(t, err)
			p.act(del)
		}
		p.sync(s)
		for n := range 3 {
			p.set(id(100+n), "note", replica.Int(int64(n)))
		}
		s.problems = []*wire.Problem{full}
		require.Equal(t, device.Wait, p.sync(s).What)
		for n := range many {
			erase, err := schema.Erase(p.dev, id(n))
			require.NoError(t, err)
			p.act(erase)
		}
		require.Equal(t, many+3, p.dev.Status(p.now).Unsent)
		p.open() // the order is on the disk
		n := len(s.asked)
		require.Equal(t, device.Idle, p.sync(s).What)
		acts := s.asked[n].Acts
		require.Len(t, acts, many+3)
		for n := range many {
			require.Equal(t, id(n), acts[n].Edits[0].ID)
		}
		require.Len(t, p.disk[device.StoreCopy], 3)
	})
	t.Run("and is tried again after a while", func(t *testing.T) {
		p.set(id(3), "note", replica.Text("later"))
		s.problems = []*wire.Problem{full}
		require.Equal(t, device.Wait, p.sync(s).What)
		p.now += 600_001
		require.Equal(t, device.Idle, p.sync(s).What)
		require.Zero(t, p.dev.Status(p.now).Unsent)
	})
}

// A queue whose beginning the server never saw (here: rows lost to damage) is made again under a fresh run after the
// comparison, with every stamp that later actions name.
func TestGapAfterAComparison(t *testing.T) {
	s, p := newServer(), newPhone(t)
	p.set(id(9), "note", replica.Text("lost with its row"))
	p.set(id(1), "note", replica.Text("first"))
	p.set(id(1), "note", replica.Text("second")) // replaces "first", both stuck
	keys := slices.Sorted(maps.Keys(p.disk[device.StoreQueue]))
	p.disk[device.StoreQueue][keys[0]] = "torn by a bad disk"
	p.open()
	require.Equal(t, 1, p.dev.Status(p.now).Unreadable)
	del, err := schema.Delete(p.dev, id(1))
	require.NoError(t, err)
	p.act(del) // another run, whose list names the stuck stamps

	require.Equal(t, device.Idle, p.sync(s).What)
	st := p.dev.Status(p.now)
	require.Equal(t, 1, st.Unsent, "the row that cannot be read was never sent")
	require.False(t, st.Synced)
	require.Equal(t, map[string]string{keys[0]: "torn by a bad disk"}, p.disk[device.StoreQueue])
	e, ok := s.state.Get(id(1))
	require.True(t, ok)
	require.Len(t, e.Fields["note"], 1)
	require.Equal(t, replica.Hidden, replica.Deleted(e), "the list names the new stamps")
	require.Zero(t, s.state.Seen("run00000001"), "what is missing is not claimed as seen")
	require.NoError(t, s.state.Check())

	p.set(id(2), "note", replica.Text("goes on"))
	p.sync(s)
	require.Equal(t, 1, p.dev.Status(p.now).Unsent)
}

// A server that was put back to nothing gets everything back from the device, and the device goes on as before.
func TestServerThatForgotEverything(t *testing.T) {
	s, p := newServer(), newPhone(t)
	p.set(id(1), "note", replica.Text("a"))
	p.sync(s)
	s.state, s.no, s.tag = replica.NewState(), 1, "bbbbbbbb" // another history
	p.dev.Compare()
	p.sync(s)
	require.EqualValues(t, 1, s.state.Seen("run00000001"), "the comparison gave back what the server forgot")
	p.set(id(1), "note", replica.Text("b"))
	require.Equal(t, device.Idle, p.sync(s).What)
	require.Equal(t, 1, p.runs, "no need to begin anew")
	e, _ := s.state.Get(id(1))
	require.Len(t, e.Fields["note"], 1)
}

// Rows of the copy that cannot be read are fetched again, and nothing is taken for seen and gone.
func TestDamagedCopy(t *testing.T) {
	s, p := newServer(), newPhone(t)
	for n := range 3 {
		p.set(id(n), "note", replica.Int(int64(n)))
	}
	p.sync(s)
	bad, gone := `["pour","`+string(id(1))+`"]`, `["pour","`+string(id(7))+`"]`
	p.disk[device.StoreCopy][bad] = "x"
	p.disk[device.StoreCopy][gone] = "y" // of an entity that nobody has any more
	p.open()
	_, ok := p.dev.Get(id(1))
	require.False(t, ok)
	require.True(t, p.dev.Status(p.now).Comparing)
	require.Equal(t, device.Idle, p.sync(s).What)
	require.Equal(t, replica.Int(1), p.value(id(1), "note"))
	e, err := wire.DecodeEntity(p.disk[device.StoreCopy][bad])
	require.NoError(t, err)
	require.Equal(t, id(1), e.ID)
	require.NotContains(t, p.disk[device.StoreCopy], gone)
	p.open()
	require.False(t, p.dev.Status(p.now).Comparing)
	require.EqualValues(t, 3, p.dev.Seen("run00000001"))
}

func TestComparisonsAreNotEndless(t *testing.T) {
	p := newPhone(t)
	var next device.Next
	for range 100 {
		ticket, body := p.dev.Request(p.now, 0)
		require.NotNil(t, body)
		status, answer := problem(wire.CodeOutOfStep)
		if _, next = p.dev.Answer(p.now, ticket, status, answer); next.What != device.Again {
			break
		}
	}
	require.Equal(t, device.Wait, next.What)
	require.Equal(t, int64(3_600_000), next.Wait)
	_, body := p.dev.Request(p.now, 0)
	require.Nil(t, body)
	require.True(t, p.dev.Status(p.now).Paused)
	p.set(id(1), "note", replica.Text("one writes on"))
	p.now += 3_600_000
	require.Equal(t, device.Idle, p.sync(newServer()).What)
}

func TestLooksAndDevices(t *testing.T) {
	s, p := newServer(), newPhone(t)
	p.set(id(1), "note", replica.Text("sharp"))
	p.set(id(2), "note", replica.Text("x"))
	require.Empty(t, p.dev.Looks())
	s.state.Apply(&replica.Action{Stamp: replica.Stamp{Run: "laptop00000", N: 1}, At: now + 5, Edits: []replica.Edit{
		{ID: id(1), Kind: "pour", Set: map[string]replica.Value{"note": replica.Text("thin")}}}})
	s.no = 1
	p.sync(s)
	require.Equal(t, []replica.ID{id(1)}, p.dev.Looks())
	require.Equal(t, replica.Text("thin"), p.value(id(1), "note"))
	require.Equal(t, "Kitchen laptop", p.dev.DeviceOf("laptop00000"))
	require.Empty(t, p.dev.DeviceOf("run00000099"))

	ed, err := schema.Choose(p.dev, id(1), "note", replica.Stamp{Run: "run00000001", N: 1})
	require.NoError(t, err)
	p.act(ed)
	require.Empty(t, p.dev.Looks(), "chosen, before anything is sent")
	p.sync(s)
	require.Empty(t, p.dev.Looks())

	del, err := schema.Delete(p.dev, id(2))
	require.NoError(t, err)
	p.act(del)
	s.state.Apply(&replica.Action{Stamp: replica.Stamp{Run: "laptop00000", N: 2}, At: now, Edits: []replica.Edit{
		{ID: id(2), Kind: "pour", Set: map[string]replica.Value{"score_x10": replica.Int(80)}}}})
	s.no++
	p.dev.Compare()
	p.sync(s)
	require.Equal(t, []replica.ID{id(2)}, p.dev.Looks(), "deleted here, changed there")

	require.Equal(t, []string{"pour"}, p.dev.Kinds())
	var order []replica.ID
	p.dev.Each("pour", func(e *replica.Entity) bool { order = append(order, e.ID); return true })
	require.Equal(t, []replica.ID{id(1), id(2)}, order)
}

// While the copy still loads, what is queued is seen already.
func TestQueueIsSeenWhileLoading(t *testing.T) {
	s, p := newServer(), newPhone(t)
	p.set(id(1), "note", replica.Text("on the server"))
	p.sync(s)
	p.set(id(2), "note", replica.Text("unsent"))
	d := device.New(device.Options{Journal: journal})
	rows := func(store string) (all []device.Row) {
		for key, value := range p.disk[store] {
			all = append(all, device.Row{Key: key, Value: value})
		}
		return all
	}
	for _, store := range device.Stores {
		require.NoError(t, d.Load(store, rows(store)))
	}
	_, ok := d.Get(id(1))
	require.True(t, ok)
	_, ok = d.Get(id(2))
	require.True(t, ok)
	_, err := d.Act(now, nil)
	require.ErrorIs(t, err, device.ErrLoading)
	require.NoError(t, d.Ready())
	require.Error(t, d.Load(device.StoreCopy, nil))
	require.Error(t, device.New(device.Options{}).Load("draft", []device.Row{{}}))
}

func TestClockOffset(t *testing.T) {
	s, p := newServer(), newPhone(t)
	p.now = now - 90_000 // a minute and a half slow
	p.sync(s)
	require.EqualValues(t, 90_000, p.dev.Status(p.now).OffsetMS)
	require.Equal(t, "90000", p.disk[device.StoreMeta][`"offset_ms"`])
	p.set(id(1), "note", replica.Null)
	e, _ := p.dev.Get(id(1))
	require.Equal(t, now, e.Fields["note"][0].At)
	rev := p.rev
	p.sync(s)
	p.now += 500
	p.ask(s)
	require.Equal(t, rev+1, p.rev, "half a second is not worth a write")
}

func TestChangeAsJSON(t *testing.T) {
	p := newPhone(t)
	c, err := p.dev.Act(now, func(schema.View) ([]replica.Edit, error) {
		return []replica.Edit{{ID: id(1), Kind: "pour", Set: map[string]replica.Value{"note": replica.Text("a \"b\"")}}}, nil
	})
	require.NoError(t, err)
	c.Del = append(c.Del, [2]string{device.StoreCopy, `["pour","x"]`})
	var got struct {
		No, Rev int64
		Put     [][3]any
		Del     [][2]any
		Strict  bool
	}
	require.NoError(t, json.Unmarshal(c.AppendJSON(nil), &got))
	require.Equal(t, c.No, got.No)
	require.True(t, got.Strict)
	require.Equal(t, "queue", got.Put[0][0])
	require.EqualValues(t, 1024, got.Put[0][1])
	require.Equal(t, c.Put[0][2], got.Put[0][2])
	require.Equal(t, [][2]any{{"copy", []any{"pour", "x"}}}, got.Del)
}
