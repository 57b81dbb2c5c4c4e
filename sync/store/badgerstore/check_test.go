package badgerstore

import (
	"bytes"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/dgraph-io/badger/v4"
	"github.com/stretchr/testify/require"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/store"
)

// filled makes a store with two journals, a record, and tables on disk, and closes it.
func filled(t testing.TB) (dir string) {
	t.Helper()
	dir = t.TempDir()
	s := openSmall(t, dir, 1<<20)
	for no := uint64(1); no <= 150; no++ {
		for j := 1; j <= 2; j++ {
			on, c := numbered(no, large(replica.ID(fmt.Sprintf("e%03d", no)), 12<<10))
			require.NoError(t, s.Commit(bg, journal(j), on, c))
		}
	}
	require.NoError(t, s.Write(bg, func(tx store.BookWriter) error { return tx.Set([]byte("user"), []byte("owner")) }))
	require.NoError(t, s.Close())
	tables, err := filepath.Glob(filepath.Join(dir, "*.sst"))
	require.NoError(t, err)
	require.NotEmpty(t, tables, "there are tables to damage")
	return dir
}

// complete tells whether a journal of filled is all there; an error is a refusal to show it.
func complete(s *Store, j store.Journal) (bool, error) {
	ok := false
	err := s.View(bg, j, func(r store.Reader) error {
		page, err := r.After(store.Mark{}, store.Limits{})
		if err != nil {
			return err
		}
		ok = page.Next.No == 150 && len(page.Entities) == 150 && len(page.Seen) == 1
		return nil
	})
	return ok, err
}

func health(t testing.TB, s *Store) store.Health {
	t.Helper()
	h, err := s.Health(bg)
	require.NoError(t, err)
	return h
}

// behind changes the database behind the store's back.
func behind(t testing.TB, dir string, change func(txn *badger.Txn) error) {
	t.Helper()
	o, err := Options{Dir: dir, MemTableBytes: 1 << 20}.withDefaults()
	require.NoError(t, err)
	db, err := badger.Open(o.badger())
	require.NoError(t, err)
	require.NoError(t, db.Update(change))
	require.NoError(t, db.Close())
}

// files gives the names in a folder with their sizes.
func files(t testing.TB, dir string) map[string]int64 {
	t.Helper()
	list, err := os.ReadDir(dir)
	require.NoError(t, err)
	sizes := map[string]int64{}
	for _, f := range list {
		info, err := f.Info()
		require.NoError(t, err)
		sizes[f.Name()] = info.Size()
	}
	return sizes
}

func TestALostManifestIsNotAnEmptyStore(t *testing.T) {
	dir := filled(t)
	require.NoError(t, os.Remove(filepath.Join(dir, badger.ManifestFilename)))
	before := files(t, dir)
	for range 2 {
		_, err := Open(Options{Dir: dir, MemTableBytes: 1 << 20, MinFreeBytes: 1})
		require.ErrorIs(t, err, store.ErrDamaged)
		require.ErrorContains(t, err, "MANIFEST")
		require.Equal(t, before, files(t, dir), "nothing was touched, so it can still be saved")
	}
}

func TestACutManifestIsNoticedAndItsTablesAreKept(t *testing.T) {
	whole := filled(t)
	size := files(t, whole)[badger.ManifestFilename]
	opened := 0
	for cut := int64(1); cut < size-16; cut += 3 + size/12 {
		dir := t.TempDir()
		require.NoError(t, os.CopyFS(dir, os.DirFS(whole)))
		require.NoError(t, os.Truncate(filepath.Join(dir, badger.ManifestFilename), size-cut))
		s, err := Open(Options{Dir: dir, MemTableBytes: 1 << 20, MinFreeBytes: 1})
		if err != nil {
			t.Logf("%d bytes cut: %v", cut, err)
			continue
		}
		opened++
		h := health(t, s)
		require.True(t, h.ReadOnly, "%d bytes cut: each table has something that no other has", cut)
		require.Contains(t, h.Reason, suspectDir)
		for j := 1; j <= 2; j++ {
			_, err := complete(s, journal(j))
			require.ErrorIs(t, err, store.ErrDamaged)
		}
		on, c := numbered(151, pour("a", 151))
		require.ErrorIs(t, s.Commit(bg, journal(1), on, c), store.ErrReadOnly)
		kept, lost := files(t, filepath.Join(dir, suspectDir)), 0
		after := files(t, dir)
		for name, size := range files(t, whole) {
			if _, ok := after[name]; !ok && filepath.Ext(name) == ".sst" {
				require.Equal(t, size, kept[name], "the database deleted %s", name)
				lost++
			}
		}
		t.Logf("%d bytes cut, %d tables deleted and kept: %s", cut, lost, h.Reason)
		require.Positive(t, lost)
		require.NoError(t, s.Close())
	}
	require.Positive(t, opened)
}

func TestAStoreSaysHowFarItCameWhenItCloses(t *testing.T) {
	dir := t.TempDir()
	s := openSmall(t, dir, 1<<20)
	on, c := numbered(1, pour("a", 1))
	require.NoError(t, s.Commit(bg, journal(1), on, c))
	require.NotContains(t, files(t, dir), closedFile, "not there while it is open, so not there after a crash")
	require.NoError(t, s.Close())
	word, err := os.ReadFile(filepath.Join(dir, closedFile))
	require.NoError(t, err)
	require.Equal(t, "1\n", string(word))

	// A newer word than the database: its tail is missing. It stays so until the keeper says that this will do.
	for range 2 {
		require.NoError(t, os.WriteFile(filepath.Join(dir, closedFile), []byte("2\n"), 0o600))
		s = openSmall(t, dir, 1<<20)
		require.Contains(t, health(t, s).Reason, "1 transactions of 2")
		_, err = complete(s, journal(1))
		require.ErrorIs(t, err, store.ErrDamaged)
		require.NoError(t, s.Close())
	}
	require.NoError(t, os.Remove(filepath.Join(dir, closedFile)))
	s = openSmall(t, dir, 1<<20)
	require.True(t, health(t, s).OK, health(t, s).Reason)
	require.Equal(t, uint64(1), headOf(t, s, journal(1)).No)
}

func TestATableLeftOverFromACrashIsKeptForOneStart(t *testing.T) {
	running, dir := t.TempDir(), t.TempDir()
	s := openSmall(t, running, 1<<20)
	on, c := numbered(1, pour("a", 1))
	require.NoError(t, s.Commit(bg, journal(1), on, c))
	require.NoError(t, os.CopyFS(dir, os.DirFS(running))) // as a crash leaves it
	require.NoError(t, os.WriteFile(filepath.Join(dir, "000777.sst"), []byte("half a table"), 0o600))

	s = openSmall(t, dir, 1<<20)
	require.True(t, health(t, s).OK, health(t, s).Reason)
	require.Equal(t, uint64(1), headOf(t, s, journal(1)).No)
	require.NotContains(t, files(t, dir), "000777.sst")
	require.Equal(t, int64(len("half a table")), files(t, filepath.Join(dir, suspectDir))["000777.sst"])
	require.NoError(t, s.Close())
	openSmall(t, dir, 1<<20)
	require.NoDirExists(t, filepath.Join(dir, suspectDir))
}

func TestAFlippedByteInATableIsNoticed(t *testing.T) {
	whole := filled(t)
	tables, err := filepath.Glob(filepath.Join(whole, "*.sst"))
	require.NoError(t, err)
	const seed = 20260501
	random := rand.New(rand.NewPCG(seed, 0))
	noticed := 0
	for n := range 12 {
		dir := t.TempDir()
		require.NoError(t, os.CopyFS(dir, os.DirFS(whole)))
		name := filepath.Join(dir, filepath.Base(tables[random.IntN(len(tables))]))
		bytes, err := os.ReadFile(name)
		require.NoError(t, err)
		at := random.IntN(len(bytes) * 9 / 10) // in the blocks; the foot of a table has its own checksum
		bytes[at] ^= 1 << random.IntN(8)
		require.NoError(t, os.WriteFile(name, bytes, 0o600))
		s, err := Open(Options{Dir: dir, MemTableBytes: 1 << 20, MinFreeBytes: 1})
		if err != nil {
			continue
		}
		h := health(t, s)
		for j := 1; j <= 2; j++ {
			ok, err := complete(s, journal(j))
			require.True(t, ok || err != nil, "round %d, byte %d: half a journal was shown", n, at)
			require.True(t, ok || h.ReadOnly, "round %d, byte %d", n, at)
		}
		if h.ReadOnly {
			t.Logf("round %d, byte %d: %s", n, at, h.Reason)
			noticed++
		}
		require.NoError(t, s.Close())
	}
	require.Positive(t, noticed, "seed %d", seed)
}

func TestAMissingTableIsAnError(t *testing.T) {
	dir := filled(t)
	tables, err := filepath.Glob(filepath.Join(dir, "*.sst"))
	require.NoError(t, err)
	require.NoError(t, os.Remove(tables[0]))
	_, err = Open(Options{Dir: dir, MemTableBytes: 1 << 20, MinFreeBytes: 1})
	require.Error(t, err)
}

// What is missing is named, the journal it is missing from is not shown, and nothing is written any more.
func TestTheStartUpCheckNamesWhatIsMissing(t *testing.T) {
	whole := filled(t)
	k := keysOf(journal(1))
	remove := func(keys ...[]byte) func(*badger.Txn) error {
		return func(txn *badger.Txn) error {
			for _, key := range keys {
				if _, err := txn.Get(key); err != nil {
					return err
				}
				if err := txn.Delete(key); err != nil {
					return err
				}
			}
			return nil
		}
	}
	for name, c := range map[string]struct {
		change func(*badger.Txn) error
		reason string
		whole  bool // all journals and the Book
		quick  bool // found by the quick check too
	}{
		"Head":              {remove(k.head()), "its head is missing", false, true},
		"TagOfTheHead":      {remove(k.tag(150)), "its newest commit has no tag", false, true},
		"OldTag":            {remove(k.tag(3)), "of 150 tags 149 are there", false, false},
		"NewEntity":         {remove(k.entity("e150")), "an entry of its index leads nowhere", false, true},
		"FairlyNewEntity":   {remove(k.entity("e090")), "an entry of its index leads nowhere", false, true},
		"OldEntity":         {remove(k.entity("e003")), "of 150 entities 149 are there", false, false},
		"EntityAndIndex":    {remove(k.entity("e003"), k.change(3, "e003")), "of 150 entities 149 are there", false, false},
		"NewestCommit":      {remove(k.entity("e150"), k.change(150, "e150")), "of the 1 entities of its newest commit 0 are there", false, true},
		"Run":               {remove(k.run(runA)), "an entry of its index leads nowhere", false, true},
		"RunAndIndex":       {remove(k.run(runA), k.move(150, runA)), "of the 1 runs of its newest commit 0 are there", false, true},
		"DroppedButThere":   {func(txn *badger.Txn) error { return txn.Set(erasedKey(journal(1)), nil) }, "it was dropped and yet is there", false, true},
		"Record":            {remove(recordKey([]byte("user"))), "of 1 records 0 are there", true, true},
		"Meta":              {remove(metaKey), "lost its own id", true, true},
		"MetaOfAnotherOnes": {func(txn *badger.Txn) error { return txn.Set(metaKey, []byte("\x01another")) }, "belongs to another store", true, true},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			require.NoError(t, os.CopyFS(dir, os.DirFS(whole)))
			behind(t, dir, c.change)
			for _, quick := range []bool{false, true} {
				if quick && !c.quick {
					continue
				}
				s, err := Open(Options{Dir: dir, MemTableBytes: 1 << 20, MinFreeBytes: 1, QuickCheck: quick})
				require.NoError(t, err)
				h := health(t, s)
				require.True(t, h.ReadOnly)
				require.False(t, h.OK)
				require.Contains(t, h.Reason, c.reason)
				ok, err := complete(s, journal(1))
				require.False(t, ok)
				if name != "DroppedButThere" || err == nil {
					require.ErrorIs(t, err, store.ErrDamaged)
				}
				ok, err = complete(s, journal(2))
				read := s.Read(bg, func(store.BookReader) error { return nil })
				var listed []store.Journal
				list := s.Journals(bg, func(j store.Journal) error {
					listed = append(listed, j)
					return nil
				})
				if c.whole {
					require.ErrorIs(t, err, store.ErrDamaged)
					require.ErrorIs(t, read, store.ErrDamaged, "no account is not the same as no accounts yet")
					require.ErrorIs(t, list, store.ErrDamaged)
				} else {
					require.NoError(t, err)
					require.True(t, ok, "the other journal is whole and is shown")
					require.NoError(t, read)
					require.NoError(t, list)
					require.Equal(t, []store.Journal{journal(1), journal(2)}, listed)
				}
				on, commit := numbered(151, pour("a", 151))
				require.ErrorIs(t, s.Commit(bg, journal(2), on, commit), store.ErrReadOnly)
				require.NoError(t, s.Close())
			}
		})
	}
}

func TestHolds(t *testing.T) {
	dir := t.TempDir()
	require.False(t, Holds(filepath.Join(dir, "none")))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "letter.txt"), []byte("dear"), 0o600))
	require.False(t, Holds(dir))
	whole := filled(t)
	require.True(t, Holds(whole))
	for _, lost := range []string{idFile, badger.ManifestFilename} {
		require.NoError(t, os.Remove(filepath.Join(whole, lost)))
	}
	tables, err := filepath.Glob(filepath.Join(whole, "*.sst"))
	require.NoError(t, err)
	require.NotEmpty(t, tables)
	require.True(t, Holds(whole), "what is left of a store is one")
}

func TestTheStoreIDBelongsToTheFolder(t *testing.T) {
	whole := filled(t)
	for name, c := range map[string]struct {
		spoil  func(file string) error
		reason string
	}{
		"Missing": {os.Remove, "store.id is missing"},
		"Another": {func(file string) error { return os.WriteFile(file, []byte("another\n"), 0o600) }, "belongs to another store"},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			require.NoError(t, os.CopyFS(dir, os.DirFS(whole)))
			require.NoError(t, c.spoil(filepath.Join(dir, idFile)))
			s := openSmall(t, dir, 1<<20)
			require.Contains(t, health(t, s).Reason, c.reason)
			_, err := complete(s, journal(1))
			require.ErrorIs(t, err, store.ErrDamaged)
		})
	}
	t.Run("TheFirstStartWasCutShort", func(t *testing.T) {
		dir := t.TempDir()
		s := openSmall(t, dir, 1<<20)
		id := health(t, s).StoreID
		require.NoError(t, s.Close())
		require.NoError(t, os.Remove(filepath.Join(dir, idFile)))
		s = openSmall(t, dir, 1<<20)
		require.True(t, health(t, s).OK, "nothing was stored yet, so nothing can be missing")
		require.Equal(t, id, health(t, s).StoreID)
		file, err := os.ReadFile(filepath.Join(dir, idFile))
		require.NoError(t, err)
		require.Equal(t, id+"\n", string(file))
	})
	t.Run("LaterLayout", func(t *testing.T) {
		dir := t.TempDir()
		require.NoError(t, os.CopyFS(dir, os.DirFS(whole)))
		behind(t, dir, func(txn *badger.Txn) error { return txn.Set(metaKey, []byte("\x02later")) })
		_, err := Open(Options{Dir: dir, MinFreeBytes: 1})
		require.ErrorContains(t, err, "layout 2")
	})
}

func TestADropThatWasCutShortIsFinishedAtTheNextStart(t *testing.T) {
	dir := filled(t)
	k := keysOf(journal(1))
	behind(t, dir, func(txn *badger.Txn) error {
		if err := txn.Delete(k.head()); err != nil {
			return err
		}
		return txn.Set(erasedKey(journal(1)), nil)
	})
	s := openSmall(t, dir, 1<<20)
	require.True(t, health(t, s).OK, health(t, s).Reason)
	require.ErrorIs(t, s.View(bg, journal(1), func(store.Reader) error { return nil }), store.ErrErased)
	require.Eventually(t, func() bool {
		left, err := s.someKeys(journal(1))
		require.NoError(t, err)
		return len(left) == 0
	}, minute, tick)
	ok, err := complete(s, journal(2))
	require.NoError(t, err)
	require.True(t, ok)
}

func TestASecondOpenIsToldThatItIsRunning(t *testing.T) {
	dir := t.TempDir()
	s := openSmall(t, dir, 1<<20)
	_, err := Open(Options{Dir: dir, MinFreeBytes: 1})
	require.ErrorIs(t, err, ErrRunning)
	require.ErrorContains(t, err, "already running")
	require.NoError(t, s.Close())
	openSmall(t, dir, 1<<20)
}

func TestAnotherKeyIsErrKey(t *testing.T) {
	key, other := bytes.Repeat([]byte{1}, 32), bytes.Repeat([]byte{2}, 32)
	encrypted, plain := t.TempDir(), t.TempDir()
	s, err := Open(Options{Dir: encrypted, EncryptionKey: key, MinFreeBytes: 1})
	require.NoError(t, err)
	on, c := numbered(1, large("a", 20<<10))
	require.NoError(t, s.Commit(bg, journal(1), on, c))
	require.NoError(t, s.Close())
	for name := range files(t, encrypted) {
		b, err := os.ReadFile(filepath.Join(encrypted, name))
		require.NoError(t, err)
		require.NotContains(t, string(b), "xxxxxxxx", name)
		require.NotContains(t, string(b), "sharp, more pear", name)
	}
	for _, k := range [][]byte{nil, other} {
		_, err = Open(Options{Dir: encrypted, EncryptionKey: k, MinFreeBytes: 1})
		require.ErrorIs(t, err, ErrKey)
	}
	require.NoError(t, openSmall(t, plain, 1<<20).Close())
	_, err = Open(Options{Dir: plain, EncryptionKey: key, MinFreeBytes: 1})
	require.ErrorIs(t, err, ErrKey)
	_, err = Open(Options{Dir: encrypted, EncryptionKey: key[:16], MinFreeBytes: 1})
	require.ErrorContains(t, err, "32 bytes")
	_, err = Open(Options{})
	require.ErrorContains(t, err, "no folder")
}

// A write-ahead log damaged in the middle loses its tail without a word. What is left is an older state that is whole in
// itself, and the marks of what was lost are not known any more: that is how the devices find out.
func TestALostTailIsAnOlderStateWhoseMarksAreUnknown(t *testing.T) {
	running, dir := t.TempDir(), t.TempDir()
	s := openSmall(t, running, 8<<20)
	for no := uint64(1); no <= 100; no++ {
		on, c := numbered(no, pour(replica.ID(fmt.Sprintf("e%03d", no)), no))
		require.NoError(t, s.Commit(bg, journal(1), on, c))
	}
	// As a crash leaves it: copied while it is open.
	require.NoError(t, os.CopyFS(dir, os.DirFS(running)))
	logs, err := filepath.Glob(filepath.Join(dir, "*.mem"))
	require.NoError(t, err)
	require.Len(t, logs, 1)
	log, err := os.OpenFile(logs[0], os.O_RDWR, 0)
	require.NoError(t, err)
	b, err := io.ReadAll(log)
	require.NoError(t, err)
	at := bytes.Index(b, []byte("e070"))
	require.Positive(t, at)
	_, err = log.WriteAt([]byte{b[at] ^ 0xff}, int64(at))
	require.NoError(t, err)
	require.NoError(t, log.Close())

	damaged := openSmall(t, dir, 8<<20)
	require.True(t, health(t, damaged).OK, health(t, damaged).Reason)
	require.NoError(t, damaged.View(bg, journal(1), func(r store.Reader) error {
		head, _, err := r.Head()
		require.NoError(t, err)
		require.Equal(t, uint64(69), head.No)
		page, err := r.After(store.Mark{}, store.Limits{})
		require.NoError(t, err)
		require.Len(t, page.Entities, 69)
		on, c := numbered(100, pour("a", 100))
		for _, lost := range []store.Mark{on, {No: c.No, Tag: c.Tag}} {
			known, err := r.Known(lost)
			require.NoError(t, err)
			require.False(t, known)
		}
		return nil
	}))
}
