package server_test

import (
	"context"
	"fmt"
	"runtime"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/server"
	"fairmeasure/sync/exchange"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/store"
	"fairmeasure/sync/store/badgerstore"
)

// BenchmarkWeek asks for the week of a journal of 20,000 pours on a disk: with the journal to be read first, and once it is
// kept. heap/byte is what a kept journal holds of the heap for each logical byte of the store. None of it is asserted.
//
//	go test ./server -run '^$' -bench Week
func BenchmarkWeek(b *testing.B) {
	const pours = 20_000
	st, err := badgerstore.Open(badgerstore.Options{Dir: b.TempDir()})
	require.NoError(b, err)
	b.Cleanup(func() { st.Close() })
	h := newHouse(b, func(c *server.Config) {
		c.Store, c.Rounds = st, exchange.New(st, exchange.Settings{App: "9.9.9"})
	})
	w := h.writer()
	w.evenings()
	first, ok := w.Get(replica.ID(newID(10)))
	require.True(b, ok)
	ctx, j := context.Background(), store.Journal(w.Journal)
	var size store.Size
	for at := 0; at < pours; {
		var on store.Mark
		require.NoError(b, st.View(ctx, j, func(r store.Reader) (err error) { on, size, err = r.Head(); return err }))
		c := store.Commit{No: on.No + 1, Tag: "AAAAAAAA", Size: size}
		for range 500 {
			e := store.Entity{Entity: *first.Clone(), Commit: c.No}
			e.ID = replica.ID(newID(1000 + at))
			for field, writes := range e.Fields {
				for i := range writes {
					switch field {
					case "at_ms":
						writes[i].Value = replica.Int(w.now.MS - int64(pours-at)*3*3_600_000)
					case "note":
						writes[i].Value = replica.Text(fmt.Sprintf("Glass no. %d: pear first, then dry.", at))
					}
				}
			}
			c.Size.Entities++
			c.Size.Bytes += int64(e.Bytes())
			c.Entities = append(c.Entities, e)
			at++
		}
		require.NoError(b, st.Commit(ctx, j, on, c))
		size = c.Size
	}
	week := w.path("/week", "now", evening)

	b.Run("first", func(b *testing.B) {
		for b.Loop() {
			h.server.Forget(j)
			require.Equal(b, 200, w.get(week).Status)
		}
	})
	b.Run("again", func(b *testing.B) {
		for b.Loop() {
			require.Equal(b, 200, w.get(week).Status)
		}
	})
	heap := func() float64 {
		runtime.GC()
		runtime.GC()
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		return float64(m.HeapAlloc)
	}
	b.Run("heap", func(b *testing.B) {
		for range b.N {
			kept := heap()
			h.server.Forget(j)
			b.ReportMetric((kept-heap())/float64(size.Bytes), "heap/byte")
			require.Equal(b, 200, w.get(week).Status)
		}
		b.ReportMetric(float64(size.Bytes)/1e6, "MB")
	})
}
