package server_test

import (
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fairmeasure/server"
	"fairmeasure/sync/exchange"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/wire"
)

func decoded(t *testing.T, a answer) *wire.Answer {
	t.Helper()
	require.Equal(t, 200, a.Status, a.Body)
	out, err := wire.DecodeAnswer([]byte(a.Body))
	require.NoError(t, err)
	return out
}

// written gives the live writes of a field of the one entity these tests use.
func written(a *wire.Answer, field string) []replica.Write {
	var out []replica.Write
	for _, e := range a.Ents {
		out = append(out, e.Fields[field]...)
	}
	return out
}

func TestARoundOverHTTP(t *testing.T) {
	h := newHouse(t)
	laptop, phone := h.admit(), h.admit()
	a := decoded(t, laptop.post(laptop.syncPath(), laptop.request(note("AAAAAAAAAAA", 1, h.clock.Now().UnixMilli(), "sharp"))))
	require.Equal(t, 1, a.Took)
	require.Equal(t, laptop.Journal, a.Journal)
	require.Equal(t, laptop.ID, a.You)
	require.Equal(t, "9.9.9", a.App)
	require.Equal(t, h.clock.Now().UnixMilli(), a.Now)

	b := decoded(t, phone.poll())
	require.Equal(t, replica.Text("sharp"), written(b, "note")[0].Value)
	require.Equal(t, wire.Seen{N: 1, Device: laptop.ID}, b.Seen["AAAAAAAAAAA"])
	require.Equal(t, map[string]string{laptop.ID: "phone"}, b.Devices)
	require.Equal(t, a.Ack, b.Ack)
	require.False(t, b.More)
}

func TestClockYearsAheadIsCutToTheServers(t *testing.T) {
	h := newHouse(t)
	d := h.admit()
	now := h.clock.Now().UnixMilli()
	ahead := h.clock.Now().Add(3 * 365 * 24 * time.Hour).UnixMilli()
	a := decoded(t, d.post(d.syncPath(), d.request(note("AAAAAAAAAAA", 1, ahead, "from the future"))))
	require.Equal(t, now, written(a, "note")[0].At)

	h.clock.move(-48 * time.Hour) // a server that lost two days is no measure
	require.Equal(t, 401, d.poll().Status, "its tokens are of its own future")
	require.Equal(t, 200, d.post("/api/v1/auth/refresh", "{}").Status)
	a = decoded(t, d.post(d.syncPath(), d.request(note("BBBBBBBBBBB", 1, now, "two days later"))))
	require.Contains(t, written(a, "note"), replica.Write{Stamp: replica.Stamp{Run: "BBBBBBBBBBB", N: 1}, At: now, Value: replica.Text("two days later")})
}

func TestARepeatedPushIsOnePush(t *testing.T) {
	h := newHouse(t)
	d := h.admit()
	body := d.request(note("AAAAAAAAAAA", 1, 1, "sharp"))
	first := decoded(t, d.post(d.syncPath(), body))
	for range 100 {
		a := decoded(t, d.post(d.syncPath(), body))
		require.Equal(t, first.Ack, a.Ack)
		require.Len(t, written(a, "note"), 1)
	}
}

func TestParallelPushes(t *testing.T) {
	const devices, each = 8, 20
	h := newHouse(t)
	var all []*device
	for range devices {
		all = append(all, h.admit())
	}
	var wg sync.WaitGroup
	failed := make(chan string, devices)
	for i, d := range all {
		run := fmt.Sprintf("%011d", i)
		wg.Go(func() {
			for n := range each {
				req := post(t, d.syncPath(), d.request(note(run, uint64(n+1), int64(n+1), fmt.Sprintf("%d/%d", i, n))))
				if a := d.do(req); a.Status != 200 {
					failed <- a.Body
					return
				}
			}
		})
	}
	wg.Wait()
	close(failed)
	for body := range failed {
		t.Error(body)
	}
	// The field is named in no over list, so every write of every device is there.
	want := written(decoded(t, all[0].poll()), "note")
	require.Len(t, want, devices*each)
	for _, d := range all[1:] {
		got := written(decoded(t, d.poll()), "note")
		require.True(t, slices.Equal(want, got), "all see the same")
	}
}

func TestRoundsThatCannotBe(t *testing.T) {
	h := newHouse(t)
	d := h.admit()
	good := d.request(note("AAAAAAAAAAA", 1, 1, "x"))
	big := d.request(note("AAAAAAAAAAA", 1, 1, "x"))
	big = strings.Replace(big, `"x"`, `"`+strings.Repeat("x", wire.MaxRequest)+`"`, 1)
	for name, row := range map[string]struct {
		body   string
		status int
		code   string
	}{
		"Empty":           {"", 400, "malformed"},
		"NotJSON":         {"<html>", 400, "malformed"},
		"Cut":             {good[:len(good)-1], 400, "malformed"},
		"TrailingGarbage": {good + "x", 400, "malformed"},
		"BadUTF8":         {strings.Replace(good, `"x"`, "\"\xff\"", 1), 400, "malformed"},
		"Deep":            {`{"proto":1,"later":` + strings.Repeat("[", 10_000) + strings.Repeat("]", 10_000) + "}", 400, "malformed"},
		"HugeNumber":      {strings.Replace(good, `"x"`, "9007199254740993", 1), 422, "refused"},
		"Fraction":        {strings.Replace(good, `"x"`, "0.5", 1), 422, "refused"},
		"NewProtocol":     {strings.Replace(good, `"proto":1`, `"proto":99`, 1), 426, "too_old"},
		"OtherJournal":    {strings.Replace(good, d.Journal, strings.Repeat("0", 32), 1), 404, "no_journal"},
		"Gap":             {d.request(note("AAAAAAAAAAA", 2, 1, "x")), 409, "out_of_step"},
		"MarkOfNobody":    {strings.Replace(good, `"ack":"0."`, `"ack":"7.AAAAAAAA"`, 1), 409, "out_of_step"},
		"HalfAMegabyte":   {big, 413, "too_large"},
	} {
		t.Run(name, func(t *testing.T) {
			a := d.post(d.syncPath(), row.body)
			require.Equal(t, row.status, a.Status, a.Body)
			require.Equal(t, row.code, a.code(t))
			p, err := wire.DecodeProblem([]byte(a.Body))
			require.NoError(t, err)
			require.Equal(t, d.Journal, p.Journal)
		})
	}
	require.Empty(t, written(decoded(t, d.poll()), "note"), "nothing of these was taken down")
}

func TestAnActionThatCannotBeStoredIsNamed(t *testing.T) {
	h := newHouse(t)
	d := h.admit()
	other := note("AAAAAAAAAAA", 2, 1, "x")
	other.Edits[0].Kind = "spec" // another kind for an id that is there
	a := d.post(d.syncPath(), d.request(note("AAAAAAAAAAA", 1, 1, "x"), other))
	require.Equal(t, 1, decoded(t, a).Took, "what is before it is taken")
	a = d.post(d.syncPath(), d.request(other))
	require.Equal(t, 422, a.Status, a.Body)
	require.Equal(t, "refused", a.code(t))
	require.Contains(t, a.Body, `"index":0`)
}

func TestAQueueOfFiveThousand(t *testing.T) {
	h := newHouse(t, func(c *server.Config) { c.RequestsPerHour = 600 })
	d := h.admit()
	var queue []replica.Action
	for n := range 5000 {
		queue = append(queue, note("AAAAAAAAAAA", uint64(n+1), int64(n+1), fmt.Sprint(n)))
		if n > 0 {
			queue[n].Edits[0].Over = map[string][]replica.Stamp{"note": {queue[n-1].Stamp}}
		}
	}
	rounds := 0
	for len(queue) > 0 {
		rounds++
		a := decoded(t, d.post(d.syncPath(), d.request(queue[:min(wire.MaxActs, len(queue))]...)))
		require.Positive(t, a.Took)
		queue = queue[a.Took:]
	}
	require.LessOrEqual(t, rounds, 5000/wire.MaxActs+1)
	got := written(decoded(t, d.poll()), "note")
	require.Len(t, got, 1)
	require.Equal(t, replica.Text("4999"), got[0].Value)
}

var _ server.Rounds = (*exchange.Exchange)(nil)
