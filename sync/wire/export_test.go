package wire_test

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/wire"
)

const exported = `{"format":"fairmeasure/1","journal":"00112233445566778899aabbccddeeff","app":"1.4.0","exported_ms":1790000000000,"me":"me",` +
	`"devices":{"p3":"Kitchen laptop"},"seen":{"Qm3kZ0aT1xV":[7,"p3"]},"seen_next":{"Qm3kZ0aT1xW":[1,"p3"]},` +
	`"queue":[{"s":"Qm3kZ0aT1xX.1","at":5,"edits":[{"id":"x","kind":"k","set":{"a":"½ \"oz\""}}]},{"s":"Qm3kZ0aT1xX.2","at":6,"edits":[]}],` +
	`"unread":[["queue","9","half a row{"]],` +
	`"entities":[{"id":"x","kind":"k","w":[{"s":"Qm3kZ0aT1xV.7","at":1,"f":{"a":1,"b":null}}]},{"id":"y","kind":"k","w":[]}]}` + "\n"

func whole(x *wire.Export, most int) string {
	var b strings.Builder
	for w := x.Pieces(most); ; {
		piece := w.Next()
		if piece == nil {
			return b.String()
		}
		b.Write(piece)
	}
}

func TestExportIsReadBack(t *testing.T) {
	x, err := wire.DecodeExport(exported)
	require.NoError(t, err)
	require.Equal(t, "00112233445566778899aabbccddeeff", x.Journal)
	require.Equal(t, int64(1_790_000_000_000), x.At)
	require.Len(t, x.Acts, 2)
	require.Equal(t, uint64(7), x.Seen["Qm3kZ0aT1xV"].N)
	require.Equal(t, [][3]string{{"queue", "9", "half a row{"}}, x.Unread)
	for _, most := range []int{1, 60, 200, 1 << 20} {
		require.Equal(t, exported, whole(x, most), "in pieces of %d", most)
	}
	for w := x.Pieces(300); ; {
		piece := w.Next()
		if piece == nil {
			break
		}
		require.LessOrEqual(t, len(piece), 300)
	}
}

func TestExportRefuses(t *testing.T) {
	for name, change := range map[string][2]string{
		"another format":      {"fairmeasure/1", "fairmeasure/2"},
		"no journal":          {`"journal":"00112233445566778899aabbccddeeff",`, ""},
		"an entity twice":     {`"id":"y"`, `"id":"x"`},
		"cut off":             {"]}\n", ""},
		"a key twice":         {`"me":"me"`, `"me":"me","me":"me"`},
		"no queue":            {`"queue":`, `"line":`},
		"a row of two":        {`"9","half a row{"`, `"9"`},
		"an action too short": {`"s":"Qm3kZ0aT1xX.2","at":6,`, ""},
	} {
		t.Run(name, func(t *testing.T) {
			require.Contains(t, exported, change[0])
			_, err := wire.DecodeExport(strings.Replace(exported, change[0], change[1], 1))
			require.Error(t, err)
		})
	}
}

func FuzzDecodeExport(f *testing.F) {
	f.Add(exported)
	f.Add(`{"format":"fairmeasure/1","journal":"j","exported_ms":0,"seen":{},"queue":[],"entities":[]}`)
	f.Fuzz(func(t *testing.T, text string) {
		x, err := wire.DecodeExport(text)
		if err != nil {
			require.Nil(t, x)
			return
		}
		require.True(t, json.Valid([]byte(text)))
		once := whole(x, 100)
		again, err := wire.DecodeExport(once)
		require.NoError(t, err)
		require.Equal(t, once, whole(again, 1<<20))
	})
}
