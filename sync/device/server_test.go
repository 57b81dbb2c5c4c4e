package device_test

import (
	"fmt"
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

const (
	journal = "00112233445566778899aabbccddeeff"
	now     = int64(1_790_000_000_000)
)

// server is the least a device can talk to: one state, all of it in every answer to one who has not read the newest.
type server struct {
	state    *replica.State
	no       int
	tag      string
	problems []*wire.Problem // answered first, one a request
	asked    []*wire.Request
	doubts   bool // it believes nothing that it is told to have seen
}

func newServer() *server { return &server{state: replica.NewState(), tag: "aaaaaaaa"} }

func (s *server) mark() string {
	if s.no == 0 {
		return wire.Start
	}
	return fmt.Sprintf("%d.%s", s.no, s.tag)
}

func (s *server) round(t testing.TB, body []byte) (status int, answer []byte) {
	t.Helper()
	q, p := wire.DecodeRequest(body)
	require.Nil(t, p)
	s.asked = append(s.asked, q)
	if len(s.problems) > 0 {
		p, s.problems = s.problems[0], s.problems[1:]
		return p.Status, p.Append(nil)
	}
	known := func(m string) bool {
		no, tag, _ := strings.Cut(m, ".")
		n, err := strconv.Atoi(no)
		return m == wire.Start || err == nil && n <= s.no && tag == s.tag
	}
	if !known(q.Cursor) || !known(q.Ack) || q.Fix != nil && q.Cursor != s.mark() {
		return problem(wire.CodeOutOfStep)
	}
	a := &wire.Answer{Journal: journal, Now: now, You: "me", Seen: map[replica.Run]wire.Seen{}, Devices: map[string]string{"p3": "Kitchen laptop"}}
	before := string(s.state.AppendCanon(nil))
	for i := range q.Acts {
		if s.state.Apply(&q.Acts[i]) == replica.Ahead {
			return problem(wire.CodeOutOfStep)
		}
		a.Took++
	}
	named := map[replica.ID]string{}
	for _, act := range q.Acts {
		for _, ed := range act.Edits {
			named[ed.ID] = ed.Kind
		}
	}
	if q.Fix != nil {
		for _, add := range q.Fix.Add {
			e, ok := s.state.Get(add.ID)
			if !ok {
				e = &replica.Entity{ID: add.ID, Kind: add.Kind, Fields: map[string][]replica.Write{}}
			}
			for f, writes := range add.Fields {
				for _, w := range writes {
					e.Put(f, w)
				}
			}
			s.state.Adopt(e)
		}
		for r, n := range q.Fix.Seen {
			if !s.doubts {
				s.state.RaiseSeen(r, n.N)
			}
		}
	}
	if string(s.state.AppendCanon(nil)) != before {
		s.no++
	}
	for e := range s.state.Entities() {
		_, asked := named[e.ID]
		delete(named, e.ID)
		if asked || q.Cursor != s.mark() {
			a.Ents = append(a.Ents, e)
		}
	}
	for _, id := range slices.Sorted(maps.Keys(named)) {
		a.Ents = append(a.Ents, &replica.Entity{ID: id, Kind: named[id]})
	}
	for r, n := range s.state.Runs() {
		a.Seen[r] = wire.Seen{N: n, Device: "p3"}
	}
	a.Cursor, a.Ack = s.mark(), s.mark()
	return 200, a.Append(nil)
}

func problem(code string) (int, []byte) {
	p := wire.NewProblem(code, "as the test wants it")
	p.Journal = journal
	return p.Status, p.Append(nil)
}

// phone is a device with its disk.
type phone struct {
	t    testing.TB
	dev  *device.Device
	disk map[string]map[string]string
	rev  int64
	runs int
	now  int64
}

func newPhone(t testing.TB) *phone {
	t.Helper()
	p := &phone{t: t, disk: map[string]map[string]string{}, now: now}
	p.open()
	return p
}

// open starts a core on what is on the disk.
func (p *phone) open() {
	p.t.Helper()
	p.dev = device.New(device.Options{Journal: journal, App: "1.4.0", Run: func() replica.Run {
		p.runs++
		return replica.Run(fmt.Sprintf("run%08d", p.runs))
	}})
	for _, store := range device.Stores {
		var rows []device.Row
		for _, key := range slices.Sorted(maps.Keys(p.disk[store])) {
			rows = append(rows, device.Row{Key: key, Value: p.disk[store][key]})
		}
		if store == device.StoreMeta {
			rows = append(rows, device.Row{Key: `"rev"`, Value: fmt.Sprint(p.rev)})
		}
		require.NoError(p.t, p.dev.Load(store, rows))
	}
	require.NoError(p.t, p.dev.Ready())
}

func (p *phone) write(c *device.Change) {
	p.t.Helper()
	require.Equal(p.t, p.rev, c.Rev)
	for _, d := range c.Del {
		require.Contains(p.t, p.disk[d[0]], d[1], "deletes what is not there")
		delete(p.disk[d[0]], d[1])
	}
	for _, r := range c.Put {
		if p.disk[r[0]] == nil {
			p.disk[r[0]] = map[string]string{}
		}
		p.disk[r[0]][r[1]] = r[2]
	}
	p.rev++
	require.NoError(p.t, p.dev.Settle(c.No, device.Done))
}

func (p *phone) act(edits ...replica.Edit) *device.Change {
	p.t.Helper()
	c, err := p.dev.Act(p.now, func(schema.View) ([]replica.Edit, error) { return edits, nil })
	require.NoError(p.t, err)
	require.NotNil(p.t, c)
	p.write(c)
	return c
}

// set does what a person does: sets one field, naming what is on screen.
func (p *phone) set(id replica.ID, field string, v replica.Value) {
	p.t.Helper()
	ed, err := schema.Set(p.dev, id, "pour", map[string]replica.Value{field: v})
	require.NoError(p.t, err)
	p.act(ed)
}

// ask does one round and gives what comes next.
func (p *phone) ask(s *server) device.Next {
	p.t.Helper()
	ticket, body := p.dev.Request(p.now, 0)
	require.NotNil(p.t, body)
	status, answer := s.round(p.t, body)
	c, next := p.dev.Answer(p.now, ticket, status, answer)
	if c != nil {
		p.write(c)
	}
	return next
}

// sync asks until there is nothing more to say.
func (p *phone) sync(s *server) device.Next {
	p.t.Helper()
	for range 100 {
		if next := p.ask(s); next.What != device.Again {
			return next
		}
	}
	p.t.Fatal("it never comes to an end")
	return device.Next{}
}

func (p *phone) value(id replica.ID, field string) replica.Value {
	p.t.Helper()
	e, ok := p.dev.Get(id)
	require.True(p.t, ok, "%s is not there", id)
	w, ok := e.Shown(field)
	require.True(p.t, ok, "%s has no %s", id, field)
	return w.Value
}

func id(n int) replica.ID { return replica.ID(fmt.Sprintf("01HZZZZZZZ%016d", n)) }
