package wire_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/wire"
)

// What is accepted is JSON by the standard library's reading, and the canonical form of it is read back as the same.

func FuzzDecodeRequest(f *testing.F) {
	f.Add([]byte(vector(f, "request-pour.json")))
	f.Add([]byte(vector(f, "request-fix.json")))
	f.Add([]byte(`{"proto":1,"app":"a","journal":"j","now":1,"cursor":"0.","ack":"0.","acts":[{"s":"Qm3kZ0aT1xV.1","at":1,"edits":[{"id":"x","kind":"k","set":{"a":"\ud83c\udf4b"}}]}]}`))
	f.Fuzz(func(t *testing.T, body []byte) {
		q, p := wire.DecodeRequest(body)
		if p != nil {
			require.Nil(t, q)
			require.NotEmpty(t, p.Code)
			return
		}
		require.True(t, json.Valid(body))
		again, p := wire.DecodeRequest(q.Append(nil))
		if p != nil {
			require.Equal(t, wire.CodeTooLarge, p.Code, p.Detail) // escapes may make it longer
			return
		}
		require.Equal(t, string(q.Append(nil)), string(again.Append(nil)))
	})
}

func FuzzDecodeAnswer(f *testing.F) {
	f.Add([]byte(vector(f, "answer.json")))
	f.Fuzz(func(t *testing.T, body []byte) {
		a, err := wire.DecodeAnswer(body)
		if err != nil {
			return
		}
		require.True(t, json.Valid(body))
		again, err := wire.DecodeAnswer(a.Append(nil))
		require.NoError(t, err)
		require.Equal(t, string(a.Append(nil)), string(again.Append(nil)))
		for i, raw := range a.Raw {
			e, err := wire.DecodeEntity(raw)
			require.NoError(t, err)
			require.True(t, e.Equal(a.Ents[i]))
		}
	})
}

func FuzzDecodeProblem(f *testing.F) {
	f.Add([]byte(vector(f, "problem-refused.json")))
	f.Add([]byte(vector(f, "problem-busy.json")))
	f.Fuzz(func(t *testing.T, body []byte) {
		p, err := wire.DecodeProblem(body)
		if err == nil {
			require.True(t, json.Valid(body))
			require.NotEmpty(t, p.Code)
		}
	})
}

func FuzzDecodeRow(f *testing.F) {
	f.Add(`{"id":"x","kind":"k","w":[{"f":{"a":1},"s":"Qm3kZ0aT1xV.1","at":1}]}`)
	f.Add(`{"s":"Qm3kZ0aT1xV.1","at":1,"edits":[]}`)
	f.Add(`[1,"p3"]`)
	f.Add(`{"p3":"Kitchen laptop"}`)
	f.Add(`"1044.x8Zk2QAA"`)
	f.Add(`-5`)
	f.Fuzz(func(t *testing.T, row string) {
		if e, err := wire.DecodeEntity(row); err == nil {
			again, err := wire.DecodeEntity(string(wire.AppendEntity(nil, e)))
			require.NoError(t, err)
			require.True(t, e.Equal(again))
		}
		if a, err := wire.DecodeAction(row); err == nil {
			again, err := wire.DecodeAction(string(wire.AppendAction(nil, a)))
			require.NoError(t, err)
			require.Equal(t, string(wire.AppendAction(nil, a)), string(wire.AppendAction(nil, again)))
		}
		if s, err := wire.DecodeSeen(row); err == nil {
			again, err := wire.DecodeSeen(string(wire.AppendSeen(nil, s)))
			require.NoError(t, err)
			require.Equal(t, s, again)
		}
		if m, err := wire.DecodeNames(row); err == nil {
			again, err := wire.DecodeNames(string(wire.AppendNames(nil, m)))
			require.NoError(t, err)
			require.Equal(t, m, again)
		}
		if s, err := wire.DecodeString(row); err == nil {
			again, err := wire.DecodeString(string(wire.AppendString(nil, s)))
			require.NoError(t, err)
			require.Equal(t, s, again)
		}
		_, _ = wire.DecodeInt(row)
	})
}
