package badgerstore

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/dgraph-io/badger/v4"
	"github.com/stretchr/testify/require"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/store"
)

// logicalBytes adds up all keys and values of a journal, by sort of key.
func logicalBytes(t testing.TB, s *Store, j store.Journal) (total int64, bySort map[byte]int64) {
	t.Helper()
	txn := s.db.NewTransaction(false)
	defer txn.Discard()
	o := badger.DefaultIteratorOptions
	o.Prefix = journalKey(j)
	it := txn.NewIterator(o)
	defer it.Close()
	bySort = map[byte]int64{}
	for it.Rewind(); it.Valid(); it.Next() {
		require.NoError(t, it.Item().Value(func(value []byte) error {
			n := int64(len(it.Item().Key()) + len(value))
			total += n
			bySort[it.Item().Key()[journalKeyLen]] += n
			return nil
		}))
	}
	return total, bySort
}

// TestGrowthBounded overwrites existing fields ten thousand times, in full batches of 200 actions a commit. A replaced
// write leaves nothing behind: what remains is at most 20 kB, and 60 bytes for each commit.
func TestGrowthBounded(t *testing.T) {
	const entities, overwrites, batch = 200, 10_000, 200
	s := openSmall(t, t.TempDir(), 8<<20)
	j := journal(1)
	state := map[replica.ID]store.Entity{}
	no := uint64(0)
	mark := func(no uint64) store.Mark {
		if no == 0 {
			return store.Mark{}
		}
		return store.Mark{No: no, Tag: fmt.Sprintf("%08d", no)}
	}
	commit := func(changed map[replica.ID]bool, run replica.Run, n uint64) {
		c := store.Commit{No: no + 1, Tag: mark(no + 1).Tag, Seen: map[replica.Run]store.SeenAt{run: {N: n, Commit: no + 1, Device: "p1"}}}
		for i := range entities {
			id := replica.ID(fmt.Sprintf("01K%023d", i))
			if changed[id] {
				e := state[id]
				e.Commit = c.No
				state[id] = e
				c.Entities = append(c.Entities, e)
			}
		}
		require.NoError(t, s.Commit(bg, j, mark(no), c))
		no++
	}
	all := map[replica.ID]bool{}
	for i := range entities {
		id := replica.ID(fmt.Sprintf("01K%023d", i))
		state[id] = pour(id, 1)
		all[id] = true
	}
	commit(all, runA, entities)
	before, sortsBefore := logicalBytes(t, s, j)
	first := no

	random := rand.New(rand.NewPCG(1, 2))
	fields := []string{"score_x10", "share_bp", "note", "about"}
	for n := uint64(1); n <= overwrites; {
		changed := map[replica.ID]bool{}
		for range batch {
			id := replica.ID(fmt.Sprintf("01K%023d", random.IntN(entities)))
			field := fields[random.IntN(len(fields))]
			old := state[id].Fields[field][0].Value
			state[id].Fields[field] = []replica.Write{write(runB, n, 1790000000000+int64(n)*60_000, old)}
			changed[id] = true
			n++
		}
		commit(changed, runB, n-1)
	}
	after, sortsAfter := logicalBytes(t, s, j)
	commits := int64(no - first)
	grown := after - before
	perCommit := (sortsAfter[sortTag] - sortsBefore[sortTag]) / commits
	t.Logf("%d bytes before, %d more after %d overwrites in %d commits; %d bytes a commit", before, grown, overwrites, commits, perCommit)
	for _, sort := range []byte{sortHead, sortEntity, sortChange, sortTag, sortRun, sortMove} {
		t.Logf("  %c: %d -> %d", sort, sortsBefore[sort], sortsAfter[sort])
	}
	require.Equal(t, int64(overwrites/batch), commits)
	require.Less(t, grown, int64(20_000)+60*commits)
	require.LessOrEqual(t, perCommit, int64(60))
	require.Equal(t, sortsBefore[sortChange], sortsAfter[sortChange], "the index moves and does not grow")
}
