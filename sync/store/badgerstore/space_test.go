package badgerstore

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/store"
)

const (
	minute = time.Minute
	tick   = time.Millisecond
)

func TestWithTooLittleSpaceWritesAreRefusedAndReadsGoOn(t *testing.T) {
	var free atomic.Uint64
	free.Store(400 << 20)
	s, err := Open(Options{Dir: t.TempDir(), MemTableBytes: 1 << 20, FreeSpace: func(string) (uint64, error) { return free.Load(), nil }})
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, s.Close()) })
	on, c := numbered(1, pour("a", 1))
	require.NoError(t, s.Commit(bg, journal(1), on, c))
	require.Equal(t, uint64(400<<20), health(t, s).FreeBytes)

	free.Store(256<<20 - 1) // just below what is needed by default
	on, c = numbered(2, pour("a", 2))
	require.ErrorIs(t, s.Commit(bg, journal(1), on, c), store.ErrNoSpace)
	require.ErrorIs(t, s.Write(bg, func(tx store.BookWriter) error { return tx.Set([]byte("k"), nil) }), store.ErrNoSpace)
	require.ErrorIs(t, s.Drop(bg, journal(1)), store.ErrNoSpace)
	require.Equal(t, uint64(1), headOf(t, s, journal(1)).No)
	require.NoError(t, s.Read(bg, func(r store.BookReader) error {
		_, ok, err := r.Get([]byte("k"))
		require.False(t, ok)
		return err
	}))
	h := health(t, s)
	require.False(t, h.OK)
	require.True(t, h.ReadOnly)
	require.Contains(t, h.Reason, "256 MiB")

	free.Store(256 << 20)
	require.NoError(t, s.Commit(bg, journal(1), on, c), "space was made, and nobody has to wait to be believed")
	require.True(t, health(t, s).OK)
}

func TestSpaceThatCannotBeMeasured(t *testing.T) {
	no := errors.New("no such disk")
	_, err := Open(Options{Dir: t.TempDir(), FreeSpace: func(string) (uint64, error) { return 0, no }})
	require.ErrorIs(t, err, no)

	free, err := freeSpace(t.TempDir())
	require.NoError(t, err)
	require.Positive(t, free)
	_, err = freeSpace(filepath.Join(t.TempDir(), "not there"))
	require.Error(t, err)
}

func TestTheThresholdGrowsWithTheTableInMemory(t *testing.T) {
	o, err := Options{Dir: "x"}.withDefaults()
	require.NoError(t, err)
	require.Equal(t, uint64(256<<20), o.MinFreeBytes)
	o, err = Options{Dir: "x", MemTableBytes: 64 << 20}.withDefaults()
	require.NoError(t, err)
	require.Equal(t, uint64(384<<20), o.MinFreeBytes)
}

func TestTheBallastIsLaidWhenThereIsSpace(t *testing.T) {
	dir := t.TempDir()
	free := uint64(10 << 20)
	start := func() {
		t.Helper()
		s, err := Open(Options{Dir: dir, MinFreeBytes: 8 << 20, BallastBytes: 2 << 20, FreeSpace: func(string) (uint64, error) { return free, nil }})
		require.NoError(t, err)
		require.NoError(t, s.Close())
	}
	start()
	require.NotContains(t, files(t, dir), ballastFile, "too little space to give any away")
	free = 12 << 20
	start()
	require.Equal(t, int64(2<<20), files(t, dir)[ballastFile])
	require.NoError(t, os.Remove(filepath.Join(dir, ballastFile)))
	start()
	require.Equal(t, int64(2<<20), files(t, dir)[ballastFile], "deleted in need, laid again in plenty")
}

func TestAFileIsWrittenWholeOrNotAtAll(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "file")
	no := errors.New("no")
	require.ErrorIs(t, writeFile(name, func(w io.Writer) error {
		_, _ = w.Write([]byte("half"))
		return no
	}), no)
	require.Empty(t, files(t, dir))
}
