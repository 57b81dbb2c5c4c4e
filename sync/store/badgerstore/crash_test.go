package badgerstore_test

import (
	"bufio"
	"context"
	"encoding/base64"
	"encoding/binary"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/store"
	"fairmeasure/sync/store/badgerstore"
)

// writerEnv names the folder in which the test binary, run again as a child, writes until it is killed.
const writerEnv = "FAIRMEASURE_TEST_WRITE_IN"

// keyEnv gives the child an encryption key, or none.
const keyEnv = "FAIRMEASURE_TEST_KEY"

// crashing are the options of child and parent. A small table in memory has tables written and compacted all the time.
func crashing(dir, key string) badgerstore.Options {
	return badgerstore.Options{Dir: dir, EncryptionKey: []byte(key), MemTableBytes: 1 << 20, MinFreeBytes: 1}
}

const (
	crashWriters  = 8
	crashJournals = 3
	crashEntities = 5 // of each commit
)

func crashJournal(n int) store.Journal { return store.Journal(fmt.Sprintf("%032x", n+1)) }

// tagFor derives a tag from a commit's number and writer, so that the parent can tell whose commit it is looking at.
func tagFor(no uint64, writer int) string {
	b := binary.BigEndian.AppendUint64(nil, no<<8|uint64(writer))
	return base64.RawURLEncoding.EncodeToString(b[2:])
}

// crashCommit is commit number no by a writer: a few entities of its own that all say the number, and one that every
// writer changes.
func crashCommit(writer int, run replica.Run, n, no uint64) store.Commit {
	c := store.Commit{
		No: no, Tag: tagFor(no, writer), Size: store.Size{Entities: int(no), Bytes: int64(no)},
		Seen: map[replica.Run]store.SeenAt{run: {N: n, Commit: no, Device: fmt.Sprint("p", writer)}},
	}
	for i := range crashEntities {
		id := replica.ID(fmt.Sprintf("w%d.%d", writer, i))
		if i == 0 {
			id = "shared"
		}
		c.Entities = append(c.Entities, store.Entity{Commit: no, Entity: replica.Entity{ID: id, Kind: "pour", Fields: map[string][]replica.Write{
			"no":   {{Stamp: replica.Stamp{Run: run, N: n}, At: int64(no), Value: replica.Int(int64(no))}},
			"note": {{Stamp: replica.Stamp{Run: run, N: n}, At: int64(no), Value: replica.Text(strings.Repeat("x", int(no%400)))}},
		}}})
	}
	return c
}

// writeUntilKilled is the child: writers on several journals, and a record each, with a line on standard output for
// whatever is durable. It never returns.
func writeUntilKilled(dir string) {
	fail := func(err error) {
		fmt.Fprintln(os.Stderr, "child:", err)
		os.Exit(1)
	}
	s, err := badgerstore.Open(crashing(dir, os.Getenv(keyEnv)))
	if err != nil {
		fail(err)
	}
	start := os.Getpid()
	var out sync.Mutex
	say := func(line string) {
		out.Lock()
		defer out.Unlock()
		fmt.Println(line) // one write to the pipe, so a line is whole or not there
	}
	for w := range crashWriters {
		go func() {
			j := crashJournal(w % crashJournals)
			run := replica.Run(fmt.Sprintf("%03x%08x", w, start))
			for n := uint64(1); ; {
				var on store.Mark
				if err := s.View(ctx, j, func(r store.Reader) (err error) {
					on, _, err = r.Head()
					return err
				}); err != nil {
					fail(err)
				}
				c := crashCommit(w, run, n, on.No+1)
				switch err := s.Commit(ctx, j, on, c); {
				case errors.Is(err, store.ErrMoved):
					continue
				case err != nil:
					fail(err)
				}
				say(fmt.Sprintf("commit %d %d %d %s", w%crashJournals, c.No, w, run+"."+replica.Run(strconv.FormatUint(n, 10))))
				if n%16 == 0 {
					if err := s.Write(ctx, func(tx store.BookWriter) error {
						return tx.Set([]byte(run), []byte(strconv.FormatUint(n, 10)))
					}); err != nil {
						fail(err)
					}
					say(fmt.Sprintf("record %s %d", run, n))
				}
				n++
			}
		}()
	}
	select {}
}

// acknowledged is what a parent knows to be durable.
type acknowledged struct {
	commits map[store.Journal]map[uint64]int // number -> writer
	seen    map[replica.Run]uint64
	records map[string]uint64
}

func (a *acknowledged) read(t *testing.T, line string) {
	t.Helper()
	var j, writer int
	var no, n uint64
	var word, name string
	if _, err := fmt.Sscanf(line, "commit %d %d %d %s", &j, &no, &writer, &name); err == nil {
		at, ok := replica.ParseStamp(name)
		require.True(t, ok, line)
		if a.commits[crashJournal(j)] == nil {
			a.commits[crashJournal(j)] = map[uint64]int{}
		}
		a.commits[crashJournal(j)][no] = writer
		a.seen[at.Run] = max(a.seen[at.Run], at.N)
		return
	}
	_, err := fmt.Sscanf(line, "record %s %d", &word, &n)
	require.NoError(t, err, line)
	a.records[word] = max(a.records[word], n)
}

// verify opens the store and looks for everything acknowledged, and that what is there is whole.
func (a *acknowledged) verify(t *testing.T, dir, key string) {
	t.Helper()
	s := open(t, crashing(dir, key))
	h, err := s.Health(ctx)
	require.NoError(t, err)
	require.True(t, h.OK, h.Reason)
	seenIn := map[replica.Run]uint64{}
	for j, commits := range a.commits {
		require.NoError(t, s.View(ctx, j, func(r store.Reader) error {
			head, size, err := r.Head()
			require.NoError(t, err)
			require.Equal(t, store.Size{Entities: int(head.No), Bytes: int64(head.No), Runs: size.Runs}, size)
			known, err := r.Known(head)
			require.NoError(t, err)
			require.True(t, known, "the head has its tag")
			for no, writer := range commits {
				known, err := r.Known(store.Mark{No: no, Tag: tagFor(no, writer)})
				require.NoError(t, err)
				require.True(t, known, "commit %d of writer %d was acknowledged", no, writer)
			}
			page, err := r.After(store.Mark{}, store.Limits{})
			require.NoError(t, err)
			require.Equal(t, head, page.Next)
			newest := map[uint64]int{}
			for _, e := range page.Entities {
				value, _ := e.Fields["no"][0].Value.AsInt()
				require.Equal(t, e.Commit, uint64(value), "an entity is as its commit left it")
				note, _ := e.Fields["note"][0].Value.AsText()
				require.Len(t, note, int(value)%400)
				newest[e.Commit]++
			}
			// A writer's own entities all changed together, and the newest commit changed the shared one as well.
			for no, n := range newest {
				require.Contains(t, []int{1, crashEntities - 1, crashEntities}, n, "commit %d", no)
			}
			require.Equal(t, crashEntities, newest[head.No])
			for run, at := range page.Seen {
				seenIn[run] = at.N
			}
			return nil
		}))
	}
	for run, n := range a.seen {
		require.GreaterOrEqual(t, seenIn[run], n, "run %s", run)
	}
	require.NoError(t, s.Read(ctx, func(r store.BookReader) error {
		for key, n := range a.records {
			value, ok, err := r.Get([]byte(key))
			require.NoError(t, err)
			require.True(t, ok, key)
			got, err := strconv.ParseUint(string(value), 10, 64)
			require.NoError(t, err)
			require.GreaterOrEqual(t, got, n)
		}
		return nil
	}))
	require.NoError(t, s.Close())
}

// TestAckIsDurableThroughKills kills a writing process twenty times, each time in another place, and looks after each for
// everything that was acknowledged before. A killed process leaves the operating system's cache intact, so this shows
// that what is stored is whole and answered only when stored; that it is synced before, TestEveryTransactionIsSynced.
func TestAckIsDurableThroughKills(t *testing.T) {
	for name, c := range map[string]struct {
		kills int
		key   string
	}{
		"Plain":     {20, ""},
		"Encrypted": {5, "0123456789abcdef0123456789abcdef"},
	} {
		t.Run(name, func(t *testing.T) {
			seed := rand.Uint64()
			t.Logf("seed %d", seed)
			random := rand.New(rand.NewPCG(seed, 0))
			dir := t.TempDir()
			all := &acknowledged{commits: map[store.Journal]map[uint64]int{}, seen: map[replica.Run]uint64{}, records: map[string]uint64{}}
			lines := 0
			for range c.kills {
				lines += killOnce(t, dir, c.key, all, 50+random.IntN(600), time.Duration(random.IntN(20))*time.Millisecond)
				all.verify(t, dir, c.key)
			}
			t.Logf("%d acknowledged", lines)
		})
	}
}

// killOnce starts a writer, waits for so many lines and a moment more, kills it, and reads what it had said by then.
func killOnce(t *testing.T, dir, key string, all *acknowledged, after int, more time.Duration) (lines int) {
	t.Helper()
	limit, cancel := context.WithTimeout(ctx, time.Minute)
	defer cancel()
	child := exec.CommandContext(limit, os.Args[0])
	child.Env = append(os.Environ(), writerEnv+"="+dir, keyEnv+"="+key)
	var complaint strings.Builder
	child.Stderr = &complaint
	out, err := child.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, child.Start())
	in := bufio.NewScanner(out)
	for in.Scan() {
		all.read(t, in.Text())
		if lines++; lines == after {
			time.AfterFunc(more, func() { _ = child.Process.Kill() }) // SIGKILL
		}
	}
	require.Error(t, child.Wait())
	require.Empty(t, complaint.String())
	require.GreaterOrEqual(t, lines, after, "it wrote until it was killed")
	return lines
}
