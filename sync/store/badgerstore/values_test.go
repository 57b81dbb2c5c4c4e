package badgerstore

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/store"
)

const (
	runA replica.Run = "AAAAAAAAAAA"
	runB replica.Run = "BBBBBBBBBBB"
)

func write(run replica.Run, n uint64, at int64, v replica.Value) replica.Write {
	return replica.Write{Stamp: replica.Stamp{Run: run, N: n}, At: at, Value: v}
}

// pour is an entity as a pour has it: twelve fields of one action.
func pour(id replica.ID, commit uint64) store.Entity {
	const at = 1790000000000
	one := func(v replica.Value) []replica.Write { return []replica.Write{write(runA, 17, at, v)} }
	return store.Entity{Commit: commit, Entity: replica.Entity{ID: id, Kind: "pour", Fields: map[string][]replica.Write{
		"drink": one(replica.Text("01K00000000000000000000001")), "spec": one(replica.Text("01K00000000000000000000002")),
		"made": one(replica.Null), "at_ms": one(replica.Int(at)), "offset_min": one(replica.Int(120)), "zone": one(replica.Text("")),
		"share_bp": one(replica.Int(10000)), "scale_bp": one(replica.Int(10000)), "score_x10": one(replica.Int(80)),
		"about": one(replica.Bool(false)), "tag.smoky": one(replica.Bool(true)), "note": one(replica.Text("sharp, more pear")),
	}}}
}

func TestEntitiesComeBackAsTheyWere(t *testing.T) {
	for name, e := range map[string]store.Entity{
		"Pour":   pour("a", 7),
		"Erased": {Commit: 1, Entity: replica.Entity{ID: "b", Kind: "drink"}},
		"NoKind": {Commit: math.MaxUint64, Entity: replica.Entity{ID: "b"}},
		"OnlyEarly": {Commit: 1, Entity: replica.Entity{ID: "b", Kind: "drink"}, Early: []store.Early{
			{Field: "", Stamp: replica.Stamp{Run: runB, N: 1}}, {Field: "name", Stamp: replica.Stamp{Run: runA, N: math.MaxUint64}},
		}},
		"Rivals": {Commit: 9, Entity: replica.Entity{ID: "c", Kind: "spec", Fields: map[string][]replica.Write{
			"name": {write(runA, 1, math.MaxInt64, replica.Text("\x00“")), write(runA, 2, math.MinInt64, replica.Int(replica.MaxInt)), write(runB, 1, 0, replica.Int(-replica.MaxInt))},
			"note": {write(runA, 2, math.MinInt64, replica.Null), write(runB, 1, 5, replica.Bool(true))},
			"same": {write(runB, 1, 0, replica.Text(strings.Repeat("x", 8<<10)))},
		}}, Early: []store.Early{{Field: "name", Stamp: replica.Stamp{Run: runB, N: 7}}}},
	} {
		t.Run(name, func(t *testing.T) {
			got, err := decodeEntity(e.ID, appendEntity(nil, &e))
			require.NoError(t, err)
			require.Equal(t, e.Clone(), got)
		})
	}
}

// A pour that costs about 470 bytes in the JSON of the wire: its fields share one stamp, and no key is written twice.
func TestAnEntityIsCompact(t *testing.T) {
	e := pour("01K00000000000000000000003", 7)
	n := len(appendEntity(nil, &e))
	t.Logf("%d bytes stored, %d counted", n, e.Bytes())
	require.Less(t, n, 260)
	require.Less(t, n, e.Bytes())
}

func TestADecoderRefusesWhatWasNotWrittenByUs(t *testing.T) {
	e := pour("a", 7)
	whole := appendEntity(nil, &e)
	for n := range whole {
		_, err := decodeEntity("a", whole[:n])
		require.ErrorIs(t, err, errEncoding, "cut to %d", n)
	}
	_, err := decodeEntity("a", append(whole, 0))
	require.ErrorIs(t, err, errEncoding)
	for name, value := range map[string]string{
		"RunTwice":          "\x00\x00\x00\x00\x00\x00\x00\x01\x00\x02\x01a\x01a\x00\x00",
		"NoSuchRun":         "\x00\x00\x00\x00\x00\x00\x00\x01\x00\x00\x01\x00\x01\x00\x01\x01f\x00\x00",
		"EmptyGroup":        "\x00\x00\x00\x00\x00\x00\x00\x01\x00\x01\x01a\x01\x00\x01\x00\x00\x00",
		"GroupTwice":        "\x00\x00\x00\x00\x00\x00\x00\x01\x00\x01\x01a\x02\x00\x01\x00\x01\x01f\x00\x00\x01\x00\x01\x01g\x00\x00",
		"FieldsOutOfOrder":  "\x00\x00\x00\x00\x00\x00\x00\x01\x00\x01\x01a\x01\x00\x01\x00\x02\x01g\x00\x01f\x00\x00",
		"UnknownValue":      "\x00\x00\x00\x00\x00\x00\x00\x01\x00\x01\x01a\x01\x00\x01\x00\x01\x01f\x09\x00",
		"EarlyTwice":        "\x00\x00\x00\x00\x00\x00\x00\x01\x00\x01\x01a\x00\x02\x01f\x00\x01\x01f\x00\x01",
		"MoreThanIsThere":   "\x00\x00\x00\x00\x00\x00\x00\x01\x00\xff\xff\xff\xff\xff\xff\xff\xff\x7f",
		"LongerThanANumber": "\x00\x00\x00\x00\x00\x00\x00\x01\xff\xff\xff\xff\xff\xff\xff\xff\xff\xff\xff\x01",
	} {
		_, err := decodeEntity("a", []byte(value))
		require.ErrorIs(t, err, errEncoding, name)
	}
}

func FuzzDecodeEntity(f *testing.F) {
	e := pour("a", 7)
	f.Add(appendEntity(nil, &e))
	e.Early = []store.Early{{Field: "name", Stamp: replica.Stamp{Run: runB, N: 7}}}
	e.Fields["note"] = append(e.Fields["note"], write(runB, 1, -1, replica.Text("")))
	f.Add(appendEntity(nil, &e))
	f.Add([]byte("\x00\x00\x00\x00\x00\x00\x00\x01\x00\x00\x00\x00"))
	f.Fuzz(func(t *testing.T, value []byte) {
		e, err := decodeEntity("a", value)
		if err != nil {
			return
		}
		// What can be read is a valid entity, and written again it is read as the same.
		c := store.Commit{No: e.Commit, Tag: "AAAAAAAA", Entities: []store.Entity{e}}
		if e.Commit > 0 {
			require.NoError(t, c.Validate(store.Mark{}))
		}
		got, err := decodeEntity("a", appendEntity(nil, &e))
		require.NoError(t, err)
		require.Equal(t, e, got)
	})
}

func FuzzDecodeHead(f *testing.F) {
	f.Add(appendHead(nil, &headValue{no: 1, tag: [6]byte{1, 2, 3}, size: store.Size{Entities: 5, Bytes: 1 << 40}, changed: 5, moved: 1, held: held{5, 1, 1}}))
	f.Add([]byte{})
	f.Fuzz(func(t *testing.T, value []byte) {
		h, err := decodeHead(value)
		if err != nil {
			return
		}
		again, err := decodeHead(appendHead(nil, &h))
		require.NoError(t, err)
		require.Equal(t, h, again)
		require.NotZero(t, h.mark().No)
	})
}

func FuzzDecodeSeen(f *testing.F) {
	f.Add(appendSeen(nil, store.SeenAt{N: 17, Commit: 1044, Device: "p3"}))
	f.Add(appendSeen(nil, store.SeenAt{N: 17, Commit: 1044, Device: "p3", Came: 5, By: "p9"}))
	f.Add([]byte{})
	f.Fuzz(func(t *testing.T, value []byte) {
		at, err := decodeSeen(value)
		if err != nil {
			return
		}
		again, err := decodeSeen(appendSeen(nil, at))
		require.NoError(t, err)
		require.Equal(t, at, again)
	})
}

func TestKeysKeepTheOrderOfNumbers(t *testing.T) {
	k := keysOf("00112233445566778899aabbccddeeff")
	places := []struct {
		commit uint64
		id     replica.ID
	}{{1, "a"}, {1, "aa"}, {1, "b"}, {2, "a"}, {255, "a"}, {256, "a"}, {1 << 40, "a"}, {math.MaxUint64, "z"}}
	for i, p := range places {
		key := k.change(p.commit, p.id)
		commit, name, ok := k.place(key)
		require.True(t, ok)
		require.Equal(t, p.commit, commit)
		require.Equal(t, string(p.id), name)
		j, ok := journalOf(key)
		require.True(t, ok)
		require.Equal(t, store.Journal("00112233445566778899aabbccddeeff"), j)
		if i > 0 {
			require.Less(t, string(k.change(places[i-1].commit, places[i-1].id)), string(key))
		}
	}
	_, _, ok := k.place(k.changes(1))
	require.False(t, ok, "a place without a name")
}
