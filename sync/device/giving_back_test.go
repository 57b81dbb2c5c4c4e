package device_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/device"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/wire"
)

// What of an entity cannot be given back, because there would be too much in it, goes into the journal as something set
// aside; the comparison goes on with the rest, and nothing that was on the device is nowhere afterwards.
func TestWhatCannotBeGivenBackIsSetAside(t *testing.T) {
	s, p := newServer(), newPhone(t)
	for n := range 3 {
		p.set(id(n), "note", replica.Text(fmt.Sprintf("note %d", n)))
	}
	p.sync(s)
	s.state, s.no, s.tag = replica.NewState(), 1, "bbbbbbbb" // another history
	p.dev.Compare()
	require.Equal(t, device.Again, p.ask(s).What, "all of the server is read")
	refusal := wire.NewProblem(wire.CodeRefused, "there would be too much in it")
	refusal.Journal, refusal.Index = journal, 1
	s.problems = []*wire.Problem{refusal}
	require.Equal(t, device.Again, p.ask(s).What)
	require.Equal(t, device.Idle, p.sync(s).What)
	require.Zero(t, p.dev.Status(p.now).Unsent)
	require.Empty(t, p.dev.Status(p.now).Stopped)

	for _, n := range []int{0, 2} {
		require.Equal(t, replica.Text(fmt.Sprintf("note %d", n)), p.value(id(n), "note"))
	}
	_, ok := s.state.Get(id(1))
	require.False(t, ok)
	var aside []string
	for e := range s.state.Entities() {
		if e.Kind == device.AsideKind {
			w, _ := e.Shown(device.AsidePart + "0")
			text, _ := w.Value.AsText()
			aside = append(aside, text)
		}
	}
	require.Len(t, aside, 1)
	e, err := wire.DecodeEntity(aside[0])
	require.NoError(t, err)
	require.Equal(t, id(1), e.ID)
	w, _ := e.Shown("note")
	require.Equal(t, replica.Text("note 1"), w.Value)

	p.open()
	require.Equal(t, device.Idle, p.sync(s).What)
}

// A device that has seen more runs than one piece tells of tells them in several, after all it gives back.
func TestManyRunsAreToldInPieces(t *testing.T) {
	s, p := newServer(), newPhone(t)
	p.set(id(1), "note", replica.Text("a"))
	p.sync(s)
	const runs = 2*wire.MaxPieceRuns + 100
	for n := range runs {
		p.disk[device.StoreSeen][fmt.Sprintf(`"old%08d"`, n)] = `[1,"p9"]`
	}
	p.open()
	s.state, s.no, s.tag = replica.NewState(), 1, "bbbbbbbb"
	p.dev.Compare()
	require.Equal(t, device.Idle, p.sync(s).What)
	told, pieces := 0, 0
	for _, q := range s.asked {
		if q.Fix == nil {
			continue
		}
		require.LessOrEqual(t, len(q.Fix.Seen), wire.MaxPieceRuns)
		require.True(t, pieces == 0 || len(q.Fix.Add) == 0, "what is given back goes first")
		told += len(q.Fix.Seen)
		pieces++
	}
	require.Equal(t, runs+1, told)
	require.Equal(t, 3, pieces)
	require.EqualValues(t, 1, s.state.Seen(replica.Run(fmt.Sprintf("old%08d", runs-1))))
}

// A server need not believe what it is told to have seen. A queue that goes on from there is made again under a fresh run.
func TestAQueueThatTheServerDoesNotTakeIsMadeAgain(t *testing.T) {
	s, p := newServer(), newPhone(t)
	p.set(id(1), "note", replica.Text("a"))
	p.set(id(2), "note", replica.Text("b"))
	p.sync(s)
	p.set(id(1), "note", replica.Text("unsent"))
	s.doubts = true
	s.state, s.no, s.tag = replica.NewState(), 1, "bbbbbbbb"
	require.Equal(t, device.Idle, p.sync(s).What)
	require.Zero(t, p.dev.Status(p.now).Unsent)
	require.Equal(t, replica.Text("unsent"), p.value(id(1), "note"))
	require.Equal(t, replica.Text("b"), p.value(id(2), "note"))
	require.Equal(t, 2, p.runs, "made again, once")
}
