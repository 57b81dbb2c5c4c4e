package device_test

import (
	"maps"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/device"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/wire"
)

func (p *phone) merge(x *wire.Export) (device.Merged, bool) {
	p.t.Helper()
	c, m, err := p.dev.Merge(x)
	require.NoError(p.t, err)
	if c == nil {
		return m, false
	}
	require.True(p.t, c.Strict)
	p.write(c)
	return m, true
}

// apart makes a device whose runs are its own.
func apart(t testing.TB, runs int) *phone {
	p := newPhone(t)
	p.runs = runs
	return p
}

// TestMergeIsWhole: two devices hold three pours alike and each one that is unsent; a third of another server merges both.
func TestMergeIsWhole(t *testing.T) {
	s, phone, tablet := newServer(), apart(t, 0), apart(t, 100)
	for n := range 3 {
		phone.set(id(n), "note", replica.Text("alike"))
	}
	phone.sync(s)
	tablet.sync(s)
	phone.set(id(0), "note", replica.Text("changed, and sent"))
	phone.set(id(7), "note", replica.Text("unsent on the phone"))
	tablet.set(id(8), "note", replica.Text("unsent on the tablet"))
	phoneFile, tabletFile := fileOf(t, phone), fileOf(t, tablet)

	s = newServer()
	s.tag = "bbbbbbbb"
	next := apart(t, 200)
	next.set(id(9), "note", replica.Text("already here"))
	next.sync(s)
	m, wrote := next.merge(phoneFile)
	require.True(t, wrote)
	require.Equal(t, device.Merged{Entries: 4}, m)
	require.Equal(t, 2, next.dev.Status(next.now).Unsent, "the queue came along as a queue")
	require.Equal(t, replica.Text("changed, and sent"), next.value(id(0), "note"), "at once, before any server says so")
	next.open()
	require.False(t, next.dev.Status(next.now).Synced)
	_, wrote = next.merge(phoneFile)
	require.False(t, wrote, "twice is once")
	require.Equal(t, device.Idle, next.sync(s).What)
	require.True(t, next.dev.Status(next.now).Synced)
	_, wrote = next.merge(phoneFile)
	require.False(t, wrote, "also when the server has it")

	second := apart(t, 300)
	second.sync(s)
	m, _ = second.merge(tabletFile)
	require.Equal(t, 1, m.Entries, "only what it has besides")
	second.sync(s)
	next.sync(s)
	require.Equal(t, shown(next), shown(second))
	require.Len(t, shown(second), 6)
	require.Empty(t, second.dev.Looks(), "nothing is asked")
	require.Equal(t, replica.Text("changed, and sent"), second.value(id(0), "note"), "what was replaced is not back")
	require.Equal(t, replica.Text("unsent on the tablet"), next.value(id(8), "note"))
}

// TestMergeBringsWhatBringLeaves: settings and deletions are of the same person, so they come.
func TestMergeBringsWhatBringLeaves(t *testing.T) {
	s, phone, tablet := newServer(), apart(t, 0), apart(t, 100)
	phone.act(replica.Edit{ID: "set.country", Kind: "set", Set: map[string]replica.Value{"value": replica.Text("GB")}})
	phone.set(id(1), "note", replica.Text("a slip"))
	phone.sync(s)
	tablet.sync(s)
	erase := replica.Edit{ID: id(1), Kind: "pour", Over: map[string][]replica.Stamp{}}
	e, _ := phone.dev.Get(id(1))
	for f, writes := range e.Fields {
		for _, w := range writes {
			erase.Over[f] = append(erase.Over[f], w.Stamp)
		}
	}
	phone.act(erase)
	phone.sync(s)

	next := apart(t, 200)
	m, _ := next.merge(fileOf(t, tablet))
	require.Equal(t, 1, m.Entries)
	next.merge(fileOf(t, phone))
	require.Equal(t, replica.Text("GB"), next.value("set.country", "value"))
	_, there := next.dev.Get(id(1))
	require.False(t, there, "erased on one device of the journal, which had seen it")
}

// TestMergeLeavesWhatCannotBeRead: it says how much, so that where it lies is kept; and nothing is taken for seen that a
// damaged row may have held.
func TestMergeLeavesWhatCannotBeRead(t *testing.T) {
	s, phone := newServer(), apart(t, 0)
	phone.set(id(1), "note", replica.Text("a"))
	phone.set(id(2), "note", replica.Text("b"))
	phone.sync(s)
	phone.set(id(3), "note", replica.Text("c"))
	for _, store := range []string{device.StoreCopy, device.StoreQueue} {
		for key := range maps.Keys(phone.disk[store]) {
			phone.disk[store][key] = "{half"
			break
		}
	}
	phone.open()
	require.Equal(t, 2, phone.dev.Status(phone.now).Unreadable)
	require.Equal(t, 1, phone.dev.Status(phone.now).Unsent)

	next := apart(t, 200)
	next.sync(s)
	before := shown(next)
	m, _ := next.merge(fileOf(t, phone))
	require.Equal(t, 2, m.Left)
	require.Equal(t, before, shown(next))
}

// TestSyncedOnlyAfterAMark: whatever else comes in place of an answer with a mark, nothing is called synced, and what the
// server said is kept until one comes.
func TestSyncedOnlyAfterAMark(t *testing.T) {
	s, p := newServer(), newPhone(t)
	p.set(id(1), "note", replica.Text("a"))
	p.sync(s)
	require.True(t, p.dev.Status(p.now).Synced)
	p.open()
	require.False(t, p.dev.Status(p.now).Synced, "not heard of since the start")

	mine := func(code string) []byte { _, b := problem(code); return b }
	answers := []struct {
		name   string
		status int
		body   string
		heard  device.Heard
		code   string
	}{
		{"no answer", 0, "", device.HeardNothing, ""},
		{"a page", 200, "<!doctype html>", device.HeardNothing, ""},
		{"an empty object", 200, "{}", device.HeardNothing, ""},
		{"somebody else's object", 200, `{"status":"ok","login":"https://example.test/"}`, device.HeardNothing, ""},
		{"the journal and no mark", 200, `{"journal":"` + journal + `"}`, device.HeardNothing, ""},
		{"an answer without a mark", 200, `{"journal":"` + journal + `","app":"1","now":1,"took":0,"ack":"","cursor":"","more":false,"ents":[],"seen":{}}`, device.HeardNothing, ""},
		{"an answer of another journal", 200, `{"journal":"ff","app":"1","now":1,"took":0,"ack":"0.","cursor":"0.","more":false,"ents":[],"seen":{}}`, device.HeardNothing, ""},
		{"a problem of no journal", 503, `{"status":503,"code":"busy"}`, device.HeardNothing, ""},
		{"busy", 503, string(mine(wire.CodeBusy)), device.HeardRefusal, wire.CodeBusy},
		{"no space", 507, string(mine(wire.CodeNoSpace)), device.HeardRefusal, wire.CodeNoSpace},
		{"full", 507, string(mine(wire.CodeFull)), device.HeardRefusal, wire.CodeFull},
		{"a code of later", 500, string(mine("of_later")), device.HeardRefusal, "of_later"},
	}
	for _, begun := range []bool{false, true} {
		for _, it := range answers {
			p.open()
			if begun {
				p.sync(s)
				require.True(t, p.dev.Status(p.now).Synced)
			}
			for range 3 {
				ticket, _ := p.dev.Request(p.now, 0)
				c, _ := p.dev.Answer(p.now, ticket, it.status, []byte(it.body))
				require.Nil(t, c, it.name)
			}
			st := p.dev.Status(p.now)
			require.False(t, st.Synced, it.name)
			require.Equal(t, it.heard, st.Heard, it.name)
			require.Equal(t, it.code, st.Refused, it.name)
			p.sync(s)
			st = p.dev.Status(p.now)
			require.True(t, st.Synced, it.name)
			require.Equal(t, device.HeardMark, st.Heard)
			require.Empty(t, st.Refused+st.Full, it.name)
		}
	}
}
