package badgerstore

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/store"
)

// BenchmarkFsync is the yardstick: 300 bytes appended to one file and synced, which is what a commit would cost on its
// own. Compare the commits with it in the same run only.
func BenchmarkFsync(b *testing.B) {
	f, err := os.Create(filepath.Join(b.TempDir(), "file"))
	require.NoError(b, err)
	line := bytes.Repeat([]byte("x"), 300)
	for b.Loop() {
		_, err := f.Write(line)
		require.NoError(b, err)
		require.NoError(b, f.Sync())
	}
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "syncs/s")
	require.NoError(b, f.Close())
}

func BenchmarkCommit(b *testing.B) {
	for _, writers := range []int{1, 64} {
		b.Run(fmt.Sprintf("writers=%d", writers), func(b *testing.B) {
			s, err := Open(Options{Dir: b.TempDir(), MinFreeBytes: 1})
			require.NoError(b, err)
			before := s.Stats()
			var left atomic.Int64
			left.Store(int64(b.N))
			b.ResetTimer()
			var all sync.WaitGroup
			for w := range writers {
				all.Go(func() {
					for no := uint64(1); left.Add(-1) >= 0; no++ {
						on, c := numbered(no, pour(replica.ID(fmt.Sprintf("01K%023d", no)), no))
						if err := s.Commit(bg, journal(w), on, c); err != nil {
							b.Error(err)
						}
					}
				})
			}
			all.Wait()
			b.StopTimer()
			after := s.Stats()
			b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "commits/s")
			b.ReportMetric(float64(after.Writes-before.Writes)/float64(after.Transactions-before.Transactions), "commits/txn")
			require.NoError(b, s.Close())
		})
	}
}

// household is a journal of 8,000 pours, made in full commits.
func household(b *testing.B, dir string) *Store {
	s, err := Open(Options{Dir: dir, MinFreeBytes: 1})
	require.NoError(b, err)
	const commits, each = 40, 200
	for no := uint64(1); no <= commits; no++ {
		on, c := numbered(no, pour("x", no))
		c.Entities = nil
		for i := range uint64(each) {
			c.Entities = append(c.Entities, pour(replica.ID(fmt.Sprintf("01K%023d", no*each+i)), no))
		}
		require.NoError(b, s.Commit(bg, journal(1), on, c))
	}
	return s
}

func BenchmarkFirstPull(b *testing.B) {
	s := household(b, b.TempDir())
	for b.Loop() {
		n, cursor := 0, store.Mark{}
		for more := true; more; {
			require.NoError(b, s.View(bg, journal(1), func(r store.Reader) error {
				page, err := r.After(cursor, store.Limits{Entities: 500, Bytes: 512 << 10})
				n += len(page.Entities)
				cursor, more = page.Next, page.More
				return err
			}))
		}
		require.Equal(b, 8000, n)
	}
	require.NoError(b, s.Close())
}

func BenchmarkIdlePoll(b *testing.B) {
	s := household(b, b.TempDir())
	head := headOf(b, s, journal(1))
	for b.Loop() {
		require.NoError(b, s.View(bg, journal(1), func(r store.Reader) error {
			page, err := r.After(head, store.Limits{Entities: 500})
			require.False(b, page.More)
			return err
		}))
	}
	require.NoError(b, s.Close())
}

// BenchmarkOpen opens and closes a store of 8,000 entities: two thirds of it are the check of everything.
func BenchmarkOpen(b *testing.B) {
	dir := b.TempDir()
	require.NoError(b, household(b, dir).Close())
	for b.Loop() {
		s, err := Open(Options{Dir: dir, MinFreeBytes: 1})
		require.NoError(b, err)
		require.NoError(b, s.Close())
	}
}
