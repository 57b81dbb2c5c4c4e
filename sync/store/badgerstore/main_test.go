package badgerstore_test

import (
	"context"
	"os"
	"testing"

	"go.uber.org/goleak"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/store/badgerstore"
	"fairmeasure/sync/store/storetest"
)

var ctx = context.Background()

func TestMain(m *testing.M) {
	if dir := os.Getenv(writerEnv); dir != "" {
		writeUntilKilled(dir)
	}
	// An Open that fails inside Badger leaves these two behind. A database that was left open would have many more.
	goleak.VerifyTestMain(m,
		goleak.IgnoreTopFunction("github.com/dgraph-io/badger/v4.(*DB).monitorCache"),
		goleak.IgnoreTopFunction("github.com/dgraph-io/ristretto/v2/z.(*AllocatorPool).freeupAllocators"))
}

// small are options that open quickly and reach their limits early.
func small(dir string) badgerstore.Options {
	return badgerstore.Options{Dir: dir, MemTableBytes: 16 << 20, MinFreeBytes: 1}
}

func open(t testing.TB, o badgerstore.Options) *badgerstore.Store {
	t.Helper()
	s, err := badgerstore.Open(o)
	require.NoError(t, err)
	t.Cleanup(func() { _ = s.Close() }) // a test may have closed it
	return s
}

func TestStore(t *testing.T) {
	run := func(t *testing.T, key []byte) {
		dirs := map[storetest.Store]string{}
		openIn := func(t testing.TB, dir string) storetest.Store {
			o := small(dir)
			o.EncryptionKey = key
			s := open(t, o)
			dirs[s] = dir
			return s
		}
		storetest.Run(t, func(t testing.TB) storetest.Store { return openIn(t, t.TempDir()) }, storetest.Options{
			Reopen: func(t testing.TB, s storetest.Store) storetest.Store {
				require.NoError(t, s.Close())
				return openIn(t, dirs[s])
			},
		})
	}
	t.Run("Plain", func(t *testing.T) { run(t, nil) })
	t.Run("Encrypted", func(t *testing.T) { run(t, []byte("0123456789abcdef0123456789abcdef")) })
}
