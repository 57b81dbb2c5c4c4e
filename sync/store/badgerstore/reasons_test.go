package badgerstore

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"strings"
	"syscall"
	"testing"

	"github.com/dgraph-io/badger/v4"
	"github.com/stretchr/testify/require"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/store"
)

const marker = "plumjam"

// What the database itself says of a value it will not take prints the value. Nobody gets to read that.
func TestReasonsHoldNothingOfAJournal(t *testing.T) {
	s := openSmall(t, t.TempDir(), 8<<20)
	txn := s.db.NewTransaction(true)
	defer txn.Discard()
	told := txn.Set(bytes.Repeat([]byte(marker), 10_000), nil)
	require.ErrorContains(t, told, marker, "else there would be nothing to hide")

	for _, err := range []error{told, errors.New(marker), fmt.Errorf("a: %w", errors.New(marker)), errors.Join(errors.New(marker), errors.New(marker))} {
		require.NotContains(t, plainly(err), marker)
		require.NotContains(t, plainly(err), fmt.Sprintf("%x", marker)[:4])
	}
	require.Equal(t, "write 000001.vlog: no space left on device",
		plainly(fmt.Errorf("while writing: %w", &fs.PathError{Op: "write", Path: "/var/lib/000001.vlog", Err: syscall.ENOSPC})), "what an operator needs is said")
	require.Equal(t, badger.ErrDBClosed.Error(), plainly(fmt.Errorf("x: %w", badger.ErrDBClosed)))

	var log bytes.Buffer
	l := logger{slog.New(slog.NewTextHandler(&log, &slog.HandlerOptions{Level: slog.LevelDebug}))}
	l.Errorf("Unable to read: Key: %v, Version: %v", []byte(marker), 7)
	l.Warningf("While running doCompact: %v", told)
	l.Infof("of %+v", struct{ left []byte }{[]byte(marker)})
	require.NotContains(t, log.String(), marker)
	require.NotContains(t, log.String(), fmt.Sprint([]byte(marker))[1:8])
	require.Contains(t, log.String(), "Version: 7")
}

// A write that the database refuses for what it is takes nothing else of its batch along, and ends no writing.
func TestWhatIsNotSetIsRefusedAlone(t *testing.T) {
	var log bytes.Buffer
	s, err := Open(Options{Dir: t.TempDir(), MemTableBytes: 8 << 20, MinFreeBytes: 1, Logger: slog.New(slog.NewTextHandler(&log, nil))})
	require.NoError(t, err)
	t.Cleanup(func() { _ = s.Close() })
	on, c := numbered(1, pour("a", 1))
	require.NoError(t, s.Commit(bg, journal(1), on, c))
	release := standstill(t, s)
	on, second := numbered(2, pour("b", 2))
	waiting := []chan error{queued(t, s, 1, func() error { return s.Commit(bg, journal(1), on, second) })}
	for name, e := range map[string]entry{
		"a long key":    {key: []byte(strings.Repeat(marker, 10_000))},
		"a large value": {key: []byte("\x03test"), value: []byte(strings.Repeat(marker, 100_000))},
		"no key":        {},
		"their own":     {key: []byte("!badger!" + marker)},
	} {
		done := queued(t, s, len(waiting)+1, func() error {
			err := s.submit(bg, &request{plan: func(*badger.Txn) ([]entry, error) {
				return []entry{{key: []byte("\x03half"), value: []byte("of it")}, e}, nil
			}})
			if err == nil {
				return errors.New(name + " was taken")
			}
			if strings.Contains(err.Error(), marker) || strings.Contains(err.Error(), fmt.Sprintf("%x", marker)) {
				return errors.New(name + " is told")
			}
			return nil
		})
		waiting = append(waiting, done)
	}
	release()
	for _, done := range waiting {
		require.NoError(t, <-done)
	}
	require.Equal(t, uint64(2), headOf(t, s, journal(1)).No, "the others went through")
	txn := s.db.NewTransaction(false)
	defer txn.Discard()
	_, err = txn.Get([]byte("\x03half"))
	require.ErrorIs(t, err, badger.ErrKeyNotFound, "nothing of what was refused is there")
	h, err := s.Health(bg)
	require.NoError(t, err)
	require.True(t, h.OK, h.Reason)
	require.NotContains(t, log.String(), marker)
}

// Only a fault of the disk ends writing; whatever is too large for this store's small transactions does not.
func TestATransactionTooSmallIsNoFault(t *testing.T) {
	s := openSmall(t, t.TempDir(), 1<<20)
	e := large("a", 100<<10)
	for i := range 3 {
		more := large(replica.ID(fmt.Sprint("b", i)), 100<<10)
		on, c := numbered(1, e)
		more.Commit = 1
		c.Entities = append(c.Entities, more)
		require.ErrorIs(t, s.Commit(bg, journal(i), on, c), store.ErrTooLarge)
	}
	on, c := numbered(1, pour("a", 1))
	require.NoError(t, s.Commit(bg, journal(9), on, c))
}
