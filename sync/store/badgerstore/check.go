package badgerstore

import (
	"bytes"
	"crypto/rand"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/dgraph-io/badger/v4"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/store"
)

const (
	idFile      = "store.id"
	closedFile  = "closed" // how many transactions there were when the store was last closed in order; not there while it is open
	suspectDir  = "suspect"
	newestIndex = 64
)

// found is what the folder holds before the database touches it.
type found struct {
	id      string // in store.id; empty where there is none
	closed  string // in closedFile; empty where there is none, as after a crash
	suspect bool   // tables of the database would be deleted on opening, and are kept in suspectDir
}

// Holds tells whether a folder holds a store, or what is left of one. It touches nothing.
func Holds(dir string) bool {
	for _, name := range []string{idFile, badger.ManifestFilename} {
		if _, err := os.Stat(filepath.Join(dir, name)); err == nil {
			return true
		}
	}
	tables, _ := filepath.Glob(filepath.Join(dir, "*.sst"))
	return len(tables) > 0
}

// inspect looks at the folder before the database opens it, which deletes each table that its manifest does not list.
// A manifest that was lost or cut would so take the tables along.
func inspect(o Options) (found, error) {
	var f found
	for name, text := range map[string]*string{idFile: &f.id, closedFile: &f.closed} {
		b, err := os.ReadFile(filepath.Join(o.Dir, name))
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return f, fmt.Errorf("badgerstore: %w", err)
		}
		*text = strings.TrimSpace(string(b))
	}
	tables, err := filepath.Glob(filepath.Join(o.Dir, "*.sst"))
	if err != nil {
		return f, fmt.Errorf("badgerstore: %w", err)
	}
	manifest, err := os.Open(filepath.Join(o.Dir, badger.ManifestFilename))
	if errors.Is(err, fs.ErrNotExist) {
		if f.id != "" || len(tables) > 0 {
			return f, fmt.Errorf("badgerstore: %s is not empty but has no %s file, nothing was touched: %w", o.Dir, badger.ManifestFilename, store.ErrDamaged)
		}
		return f, nil
	}
	if err != nil {
		return f, fmt.Errorf("badgerstore: %w", err)
	}
	defer manifest.Close()
	listed, end, err := badger.ReplayManifestFile(manifest, 0, o.badger())
	if err != nil {
		return f, fmt.Errorf("badgerstore: the %s file cannot be read (%w), nothing was touched: %w", badger.ManifestFilename, err, store.ErrDamaged)
	}
	var unlisted []string
	for _, name := range tables {
		var no uint64
		if _, err := fmt.Sscanf(filepath.Base(name), "%d.sst", &no); err != nil {
			continue
		}
		if _, ok := listed.Tables[no]; !ok {
			unlisted = append(unlisted, name)
		}
	}
	info, err := manifest.Stat()
	if err != nil {
		return f, fmt.Errorf("badgerstore: %w", err)
	}
	// Both happen in an honest crash too, whose log still has what the table would have held. So they only make a copy.
	f.suspect = len(unlisted) > 0 || end != info.Size()
	if f.suspect {
		if err := keepSuspects(o.Dir, unlisted); err != nil {
			return f, fmt.Errorf("badgerstore: keeping tables that opening would delete: %w", err)
		}
	}
	return f, nil
}

// keepSuspects links the tables into a folder of their own, beside a copy of the manifest. What is there already, from a
// start before, is the older and better copy.
func keepSuspects(dir string, tables []string) error {
	keep := filepath.Join(dir, suspectDir)
	if err := os.Mkdir(keep, 0o700); err != nil && !errors.Is(err, fs.ErrExist) {
		return err
	}
	for _, name := range tables {
		to := filepath.Join(keep, filepath.Base(name))
		if err := os.Link(name, to); err != nil && !errors.Is(err, fs.ErrExist) {
			if err := copyFile(name, to); err != nil { // a file system without links
				return err
			}
		}
	}
	to := filepath.Join(keep, badger.ManifestFilename)
	if _, err := os.Stat(to); !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return copyFile(filepath.Join(dir, badger.ManifestFilename), to)
}

func copyFile(from, to string) error {
	f, err := os.Open(from)
	if err != nil {
		return err
	}
	defer f.Close()
	return writeFile(to, func(w io.Writer) error {
		_, err := io.Copy(w, f)
		return err
	})
}

// check is the start-up check. What it finds wrong makes the store read-only; an error means that it could not look. It
// gives the journals that were dropped but not yet cleared away.
func (s *Store) check(f found) (orphans []store.Journal, err error) {
	defer s.recovered(&err)
	fresh, err := s.checkID(f)
	if err != nil || fresh {
		return nil, err
	}
	if err := s.checkTransactions(f); err != nil {
		return nil, err
	}
	if s.reason == "" {
		if orphans, err = s.checkContents(); err != nil {
			return nil, err
		}
	}
	keep := filepath.Join(s.o.Dir, suspectDir)
	switch {
	case s.reason != "":
		if f.suspect {
			s.reason += "; the tables that the manifest did not list are kept in " + keep
		}
	case f.suspect && f.closed == "":
		// So it looks after an honest crash, and all that can be checked is there. Kept until a start that finds nothing.
		s.o.Logger.Warn("badgerstore: the manifest did not list all tables, as after a crash; they are kept", "folder", keep)
	case !s.o.QuickCheck:
		err = os.RemoveAll(keep)
	}
	return orphans, err
}

// checkTransactions compares how many transactions there were with what was noted when the store was last closed. So it
// sees also the loss of a tail, which leaves an older state that is whole in itself.
func (s *Store) checkTransactions(f found) error {
	txn := s.db.NewTransaction(false)
	defer txn.Discard()
	n, err := getNumber(txn, transactionsKey)
	if err != nil {
		return err
	}
	s.transactions = n
	if f.closed == "" {
		return nil
	}
	closed, err := strconv.ParseUint(f.closed, 10, 64)
	if err != nil {
		s.damagedWhole("the file " + closedFile + " cannot be read")
	} else if n < closed {
		s.damagedWhole(fmt.Sprintf("the newest writes are missing (%d transactions of %d are there); to go on with what there is, remove the file %s", n, closed, closedFile))
	}
	return nil
}

// damagedWhole notes damage that concerns everything.
func (s *Store) damagedWhole(reason string) {
	s.fail(reason)
	s.mu.Lock()
	s.whole = true
	s.mu.Unlock()
}

// checkID compares the store id in the database with the one beside it, and makes both for a new store.
func (s *Store) checkID(f found) (fresh bool, err error) {
	txn := s.db.NewTransaction(false)
	defer txn.Discard()
	var version byte
	var id string
	has, err := get(txn, metaKey, func(value []byte) error {
		if len(value) < 2 {
			return errEncoding
		}
		version, id = value[0], string(value[1:])
		return nil
	})
	if err != nil {
		return false, err
	}
	it := txn.NewIterator(badger.IteratorOptions{})
	it.Rewind()
	empty := !it.Valid()
	if !empty && has {
		// The first start may have ended between the two halves of the id: then there is the one key and no file.
		first := it.Item().KeyCopy(nil)
		it.Next()
		empty = bytes.Equal(first, metaKey) && !it.Valid()
	}
	it.Close()

	switch {
	case has && version != layoutVersion:
		return false, fmt.Errorf("badgerstore: the folder has layout %d; this program reads layout %d", version, layoutVersion)
	case has && f.id == id:
		s.id = id
		return false, nil
	case empty && f.id == "":
		if !has {
			if id, err = s.writeMeta(); err != nil {
				return false, err
			}
		}
		s.id = id
		return true, writeFile(filepath.Join(s.o.Dir, idFile), func(w io.Writer) error {
			_, err := fmt.Fprintln(w, id)
			return err
		})
	case !has:
		s.id = f.id
		s.damagedWhole("the database has lost its own id, and what else is not known")
	case f.id == "":
		s.id = id
		s.damagedWhole("the file " + idFile + " is missing: the folder is not whole")
	default:
		s.id = id
		s.damagedWhole("the file " + idFile + " belongs to another store: files of two stores were mixed")
	}
	return false, nil
}

func (s *Store) writeMeta() (id string, err error) {
	var random [16]byte
	_, _ = rand.Read(random[:]) // it never fails
	id = hex.EncodeToString(random[:])
	err = s.db.Update(func(txn *badger.Txn) error {
		return txn.Set(metaKey, append([]byte{layoutVersion}, id...))
	})
	if err != nil {
		return "", fmt.Errorf("badgerstore: beginning a new store: %w", err)
	}
	return id, nil
}

// checkContents looks at every journal and at the Book.
func (s *Store) checkContents() (orphans []store.Journal, err error) {
	txn := s.db.NewTransaction(false)
	defer txn.Discard()
	for last := store.Journal(""); ; {
		j, begun, err := s.journalFrom(txn, last)
		if err != nil {
			return nil, err
		}
		if j == "" {
			break
		}
		last = j
		c := checker{txn: txn, keys: keysOf(j)}
		wrong := ""
		dropped, err := get(txn, erasedKey(j), func([]byte) error { return nil })
		if err != nil {
			return nil, err
		}
		switch {
		case dropped && !begun:
			orphans = append(orphans, j)
		case dropped:
			wrong = "it was dropped and yet is there"
		case !begun:
			wrong = "its head is missing"
		default:
			wrong = c.newest()
			if wrong == "" && !s.o.QuickCheck {
				wrong = c.counts()
			}
		}
		if wrong != "" {
			s.broken[j] = wrong
			s.fail(fmt.Sprintf("journal %s: %s", j, wrong))
		}
	}
	records, err := getNumber(txn, bookCountKey)
	if err != nil {
		return nil, err
	}
	if n := count(txn, []byte{worldBook}); n != records {
		s.damagedWhole(fmt.Sprintf("of %d records %d are there", records, n))
	}
	return orphans, nil
}

// checker checks one journal. Each check says what is wrong, in words; empty when nothing is.
type checker struct {
	txn  *badger.Txn
	keys keys
}

// newest checks that the head's commit is whole and that the newest index entries lead somewhere.
func (c checker) newest() string {
	h, err := getHead(c.txn, c.keys)
	if err != nil {
		return err.Error()
	}
	r := reader{txn: c.txn, keys: c.keys}
	tagged := false
	if _, err := get(c.txn, c.keys.tag(h.no), func(tag []byte) error {
		tagged = bytes.Equal(tag, h.tag[:])
		return nil
	}); err != nil {
		return err.Error()
	}
	if !tagged {
		return "its newest commit has no tag"
	}
	if n := count(c.txn, c.keys.changes(h.no)); n != h.changed {
		return fmt.Sprintf("of the %d entities of its newest commit %d are there", h.changed, n)
	}
	if n := count(c.txn, c.keys.moves(h.no)); n != h.moved {
		return fmt.Sprintf("of the %d runs of its newest commit %d are there", h.moved, n)
	}
	wrong := c.resolve(sortChange, func(commit uint64, name string) (bool, error) {
		e, ok, err := r.entity(replica.ID(name))
		return ok && e.Commit == commit && commit <= h.no, err
	})
	if wrong == "" {
		wrong = c.resolve(sortMove, func(commit uint64, name string) (bool, error) {
			at, ok, err := r.seen(replica.Run(name))
			return ok && at.Commit == commit && commit <= h.no, err
		})
	}
	return wrong
}

// resolve walks an index from its newest entry back.
func (c checker) resolve(sort byte, ok func(commit uint64, name string) (bool, error)) string {
	prefix := c.keys.sort(sort)
	it := c.txn.NewIterator(badger.IteratorOptions{Prefix: prefix, Reverse: true})
	defer it.Close()
	it.Seek(bytes.Join([][]byte{prefix, bytes.Repeat([]byte{math.MaxUint8}, 9)}, nil))
	for n := 0; n < newestIndex && it.Valid(); n++ {
		commit, name, fine := c.keys.place(it.Item().Key())
		var err error
		if fine {
			fine, err = ok(commit, name)
		}
		if err != nil {
			return err.Error()
		}
		if !fine {
			return fmt.Sprintf("an entry of its index leads nowhere, of commit %d", commit)
		}
		it.Next()
	}
	return ""
}

// counts checks that there are as many keys of each sort as the head says.
func (c checker) counts() string {
	h, err := getHead(c.txn, c.keys)
	if err != nil {
		return err.Error()
	}
	for _, want := range []struct {
		what string
		sort byte
		n    uint64
	}{
		{"entities", sortEntity, h.held.entities},
		{"entries of its index", sortChange, h.held.entities},
		{"runs", sortRun, h.held.runs},
		{"entries of its run index", sortMove, h.held.runs},
		{"tags", sortTag, h.held.commits},
	} {
		if n := count(c.txn, c.keys.sort(want.sort)); n != want.n {
			return fmt.Sprintf("of %d %s %d are there", want.n, want.what, n)
		}
	}
	return ""
}

// count counts keys without looking at their values.
func count(txn *badger.Txn, prefix []byte) (n uint64) {
	it := txn.NewIterator(badger.IteratorOptions{Prefix: prefix})
	defer it.Close()
	for it.Rewind(); it.Valid(); it.Next() {
		n++
	}
	return n
}
