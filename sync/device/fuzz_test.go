package device_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/device"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/wire"
)

// Whatever comes back for a request: no panic, and nothing leaves the queue that an answer did not say it took.
func FuzzAnswer(f *testing.F) {
	good := wire.Answer{Journal: journal, Now: now, Took: 1, Ack: "1.aaaaaaaa", Cursor: "1.aaaaaaaa", Seen: map[replica.Run]wire.Seen{"run00000001": {N: 1}}}
	f.Add(200, good.Append(nil))
	good.More, good.Took = true, 0
	f.Add(200, good.Append(nil))
	for _, code := range []string{wire.CodeOutOfStep, wire.CodeRefused, wire.CodeTooLarge, wire.CodeFull, wire.CodeErased} {
		status, body := problem(code)
		f.Add(status, body)
	}
	f.Add(0, []byte(nil))
	f.Fuzz(func(t *testing.T, status int, body []byte) {
		p := newPhone(t)
		p.set(id(1), "note", replica.Text("sharp"))
		p.set(id(2), "note", replica.Text("thin"))
		ticket, _ := p.dev.Request(p.now, 0)
		change, next := p.dev.Answer(p.now, ticket, status, body)
		if change != nil {
			p.write(change)
		}
		took := 0
		if a, err := wire.DecodeAnswer(body); err == nil && status == 200 && a.Journal == journal {
			took = a.Took
		}
		require.GreaterOrEqual(t, p.dev.Status(p.now).Unsent, 2-took)
		require.Equal(t, len(p.disk[device.StoreQueue]), p.dev.Status(p.now).Unsent)
		require.NotEmpty(t, next.What)
		p.open()
		require.Equal(t, len(p.disk[device.StoreQueue]), p.dev.Status(p.now).Unsent, "what was written can be read")
		if next.What != device.Stop {
			_, body := p.dev.Request(p.now, 0)
			require.NotNil(t, body)
		}
	})
}
