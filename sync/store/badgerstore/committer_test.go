package badgerstore

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/dgraph-io/badger/v4"
	"github.com/stretchr/testify/require"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/store"
)

var bg = context.Background()

func openSmall(t testing.TB, dir string, memTable int64) *Store {
	t.Helper()
	s, err := Open(Options{Dir: dir, MemTableBytes: memTable, MinFreeBytes: 1})
	require.NoError(t, err)
	t.Cleanup(func() { _ = s.Close() }) // a test may have closed it
	return s
}

func journal(n int) store.Journal { return store.Journal(fmt.Sprintf("%032x", n)) }

// numbered is commit no on the numbered commit before it; it sets one entity.
func numbered(no uint64, e store.Entity) (on store.Mark, c store.Commit) {
	mark := func(no uint64) store.Mark {
		if no == 0 {
			return store.Mark{}
		}
		return store.Mark{No: no, Tag: fmt.Sprintf("%08d", no)}
	}
	e.Commit = no
	m := mark(no)
	return mark(no - 1), store.Commit{
		No: no, Tag: m.Tag, Entities: []store.Entity{e},
		Seen: map[replica.Run]store.SeenAt{runA: {N: no, Commit: no, Device: "p1"}},
	}
}

func headOf(t testing.TB, s *Store, j store.Journal) store.Mark {
	t.Helper()
	var m store.Mark
	require.NoError(t, s.View(bg, j, func(r store.Reader) (err error) {
		m, _, err = r.Head()
		return err
	}))
	return m
}

// standstill keeps the committer busy until release is called, so that what is written meanwhile queues up.
func standstill(t testing.TB, s *Store) (release func()) {
	t.Helper()
	begun, proceed := make(chan struct{}), make(chan struct{})
	ended := make(chan error)
	var once sync.Once
	go func() {
		ended <- s.Write(bg, func(store.BookWriter) error {
			once.Do(func() { close(begun) })
			<-proceed
			return nil
		})
	}()
	<-begun
	return func() {
		close(proceed)
		require.NoError(t, <-ended)
	}
}

// queued runs write beside the test and returns when it waits in the queue as the n-th.
func queued(t testing.TB, s *Store, n int, write func() error) chan error {
	t.Helper()
	done := make(chan error, 1)
	go func() { done <- write() }()
	for len(s.queue) < n {
		time.Sleep(50 * time.Microsecond)
	}
	return done
}

func TestWhatQueuesUpSharesATransaction(t *testing.T) {
	s := openSmall(t, t.TempDir(), 8<<20)
	const journals, each = 20, 10
	before := s.Stats()
	release := standstill(t, s)
	var waiting []chan error
	for no := uint64(1); no <= each; no++ {
		for j := range journals {
			// Each commit of a journal is made on the one before it, which is still in the queue.
			on, c := numbered(no, pour("a", no))
			waiting = append(waiting, queued(t, s, len(waiting)+1, func() error { return s.Commit(bg, journal(j), on, c) }))
		}
	}
	release()
	for _, done := range waiting {
		require.NoError(t, <-done)
	}
	after := s.Stats()
	require.Equal(t, uint64(journals*each), after.Writes-before.Writes)
	require.Equal(t, uint64(1), after.Transactions-before.Transactions, "one transaction, one sync")
	for j := range journals {
		require.Equal(t, uint64(each), headOf(t, s, journal(j)).No)
	}
}

func TestOneThatFailsDoesNotFailTheRest(t *testing.T) {
	s := openSmall(t, t.TempDir(), 8<<20)
	on, c := numbered(1, pour("a", 1))
	require.NoError(t, s.Commit(bg, journal(1), on, c))
	no := errors.New("no")
	gone, leave := context.WithCancel(bg)
	release := standstill(t, s)

	var waiting []chan error
	add := func(write func() error) { waiting = append(waiting, queued(t, s, len(waiting)+1, write)) }
	commit := func(ctx context.Context, no uint64, id replica.ID) func() error {
		on, c := numbered(no, pour(id, no))
		return func() error { return s.Commit(ctx, journal(1), on, c) }
	}
	set := func(key string, result error) func() error {
		return func() error {
			return s.Write(bg, func(tx store.BookWriter) error {
				if err := tx.Set([]byte(key), []byte(key)); err != nil {
					return err
				}
				if key == "panics" {
					panic("the caller's own")
				}
				return result
			})
		}
	}
	add(commit(bg, 2, "b"))
	add(commit(gone, 3, "left"))
	add(commit(bg, 2, "late"))
	add(commit(bg, 3, "c"))
	add(set("fine", nil))
	add(set("refused", no))
	add(set("panics", nil))
	add(commit(bg, 4, "d"))
	leave()
	require.ErrorIs(t, <-waiting[1], context.Canceled, "it was still waiting, so it is not done")
	release()

	require.NoError(t, <-waiting[0])
	require.ErrorIs(t, <-waiting[2], store.ErrMoved)
	require.NoError(t, <-waiting[3])
	require.NoError(t, <-waiting[4])
	require.Equal(t, no, <-waiting[5])
	require.ErrorContains(t, <-waiting[6], "the caller's own")
	require.NoError(t, <-waiting[7])
	require.NoError(t, s.View(bg, journal(1), func(r store.Reader) error {
		page, err := r.After(store.Mark{}, store.Limits{})
		var got []replica.ID
		for _, e := range page.Entities {
			got = append(got, e.ID)
		}
		require.Equal(t, []replica.ID{"a", "b", "c", "d"}, got)
		return err
	}))
	require.NoError(t, s.Read(bg, func(r store.BookReader) error {
		var got []string
		err := r.Each(nil, func(key, _ []byte) bool {
			got = append(got, string(key))
			return true
		})
		require.Equal(t, []string{"fine"}, got)
		return err
	}))
	h, err := s.Health(bg)
	require.NoError(t, err)
	require.True(t, h.OK, h.Reason)
}

// large is an entity of about so many bytes in texts of 8 KiB.
func large(id replica.ID, bytes int) store.Entity {
	e := pour(id, 0)
	for i := 0; bytes > 0; i++ {
		e.Fields[fmt.Sprintf("part.%d", i)] = []replica.Write{write(runA, 1, 1, replica.Text(strings.Repeat("x", min(bytes, 8<<10))))}
		bytes -= 8 << 10
	}
	return e
}

func TestTooMuchForOneTransactionIsSplit(t *testing.T) {
	s := openSmall(t, t.TempDir(), 1<<20) // a transaction takes 157 kB
	before := s.Stats()
	release := standstill(t, s)
	const commits = 12
	var waiting []chan error
	for no := uint64(1); no <= commits; no++ {
		on, c := numbered(no, large("a", 60<<10))
		waiting = append(waiting, queued(t, s, len(waiting)+1, func() error { return s.Commit(bg, journal(1), on, c) }))
	}
	// One that no transaction takes, in the midst of them.
	_, huge := numbered(1, large("a", 60<<10))
	for _, id := range []replica.ID{"b", "c"} {
		e := large(id, 60<<10)
		e.Commit = 1
		huge.Entities = append(huge.Entities, e)
	}
	tooLarge := queued(t, s, len(waiting)+1, func() error { return s.Commit(bg, journal(2), store.Mark{}, huge) })
	on, c := numbered(commits+1, large("a", 60<<10))
	waiting = append(waiting, queued(t, s, len(waiting)+2, func() error { return s.Commit(bg, journal(1), on, c) }))
	release()
	for _, done := range waiting {
		require.NoError(t, <-done)
	}
	require.ErrorIs(t, <-tooLarge, store.ErrTooLarge)
	after := s.Stats()
	require.Equal(t, uint64(commits+1), after.Writes-before.Writes)
	require.GreaterOrEqual(t, after.Transactions-before.Transactions, uint64(commits/2))
	require.Equal(t, uint64(commits+1), headOf(t, s, journal(1)).No)
	require.Zero(t, headOf(t, s, journal(2)).No)
	on, last := numbered(commits+2, pour("a", 0))
	require.NoError(t, s.Commit(bg, journal(1), on, last))
}

func TestManyWritersTakeFewerTransactionsThanCommits(t *testing.T) {
	s := openSmall(t, t.TempDir(), 8<<20)
	const writers, each = 64, 10
	var all sync.WaitGroup
	for w := range writers {
		all.Go(func() {
			for no := uint64(1); no <= each; no++ {
				on, c := numbered(no, pour("a", no))
				if err := s.Commit(bg, journal(w), on, c); err != nil {
					t.Error(err)
				}
			}
		})
	}
	all.Wait()
	got := s.Stats()
	t.Logf("%d commits in %d transactions", got.Writes, got.Transactions)
	require.Equal(t, uint64(writers*each), got.Writes)
	require.Less(t, got.Transactions, got.Writes/2)
}

func TestAFailedWriteIsTheLast(t *testing.T) {
	s := openSmall(t, t.TempDir(), 8<<20)
	on, c := numbered(1, pour("a", 1))
	require.NoError(t, s.Commit(bg, journal(1), on, c))
	require.NoError(t, s.db.Close()) // as near to a disk that fails as can be had here
	err := s.submit(bg, &request{plan: func(*badger.Txn) ([]entry, error) { return []entry{{key: []byte("\x03test")}}, nil }})
	require.ErrorContains(t, err, "badgerstore: commit")
	require.NotErrorIs(t, err, store.ErrReadOnly, "the first one tells what happened")
	on, c = numbered(2, pour("a", 2))
	require.ErrorIs(t, s.Commit(bg, journal(1), on, c), store.ErrReadOnly)
	require.ErrorIs(t, s.Write(bg, func(store.BookWriter) error { return nil }), store.ErrReadOnly)
	h, err := s.Health(bg)
	require.NoError(t, err)
	require.True(t, h.ReadOnly)
	require.False(t, h.OK)
	require.Contains(t, h.Reason, "a write failed")
}

func TestAPanicOfTheDatabaseEndsWritingNotTheProcess(t *testing.T) {
	s := openSmall(t, t.TempDir(), 8<<20)
	on, c := numbered(1, pour("a", 1))
	require.NoError(t, s.Commit(bg, journal(1), on, c))
	err := s.submit(bg, &request{plan: func(*badger.Txn) ([]entry, error) { panic("a damaged table") }})
	require.ErrorContains(t, err, "a panic of the kind string, in committer_test.go:")
	require.NotContains(t, err.Error(), "a damaged table", "it may hold what people wrote")
	require.ErrorIs(t, s.Commit(bg, journal(1), on, c), store.ErrReadOnly)
	require.Equal(t, uint64(1), headOf(t, s, journal(1)).No, "reads go on")
}

// The database syncs once for each of its transactions when told to, and that is not its default.
func TestEveryTransactionIsSynced(t *testing.T) {
	s := openSmall(t, t.TempDir(), 8<<20)
	require.True(t, s.db.Opts().SyncWrites)
	before := s.db.MaxVersion() // Badger numbers its transactions
	for no := uint64(1); no <= 10; no++ {
		on, c := numbered(no, pour("a", no))
		require.NoError(t, s.Commit(bg, journal(1), on, c))
	}
	require.Equal(t, s.Stats().Transactions, s.db.MaxVersion()-before, "a transaction we count is one of the database")
	require.Equal(t, uint64(10), s.Stats().Transactions)
}
