package server_test

import (
	"context"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"net"
	"net/http"
	"path/filepath"
	"runtime/metrics"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fairmeasure/server"
	"fairmeasure/server/auth"
	"fairmeasure/sync/exchange"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/store"
	"fairmeasure/sync/store/badgerstore"
	"fairmeasure/sync/store/memstore"
	"fairmeasure/sync/wire"
)

// What a signed-in member may try against everybody else, on a real server with its store on disk, over loopback. Each
// test makes 200 hostile requests of each kind and then asks for the same: the owner reads and writes as before, memory
// stayed bounded, the folder grew by no more than what was acknowledged, and the server stops at once.

const (
	hostile    = 200
	mostHeap   = 256 << 20
	mostFolder = 4       // times what was acknowledged
	folderBase = 2 << 20 // and what a store writes about itself: tables' indexes, the value log's first blocks
	mostStop   = 5 * time.Second
)

// siege is a house on disk, listening, and what is measured of it.
type siege struct {
	*house
	disk   *badgerstore.Store
	dir    string
	addr   string
	client *http.Client
	served chan error

	owner *device
	words int // of the owner, so far

	mu    sync.Mutex
	acked int64 // bytes of requests that were answered with 200
	peak  uint64
	stop  chan struct{}
	empty int64 // the folder before any of it
}

func besiege(t *testing.T, limits func(*exchange.Limits), change ...func(*server.Config)) *siege {
	t.Helper()
	return besiegeOn(t, nil, limits, change...)
}

// besiegeOn is besiege on a disk of which the test says how much is free.
func besiegeOn(t *testing.T, on *space, limits func(*exchange.Limits), change ...func(*server.Config)) *siege {
	t.Helper()
	s := &siege{dir: t.TempDir(), client: &http.Client{Timeout: time.Minute}, stop: make(chan struct{})}
	s.house = &house{t: t, clock: &clock{now: time.Date(2026, 5, 15, 20, 4, 0, 0, time.UTC)}, store: memstore.New(), log: &lockedBuffer{}}
	log := slog.New(slog.NewJSONHandler(s.log, &slog.HandlerOptions{Level: slog.LevelDebug}))
	var err error
	o := badgerstore.Options{Dir: s.dir, MinFreeBytes: 1, Logger: log}
	if on != nil {
		o.FreeSpace = on.free
	}
	s.disk, err = badgerstore.Open(o)
	require.NoError(t, err)
	s.door, err = auth.Open(context.Background(), auth.Config{Book: s.disk, Now: s.clock.Now, Owner: "Robin"})
	require.NoError(t, err)
	l := exchange.DefaultLimits()
	if limits != nil {
		limits(&l)
	}
	s.cfg = server.Config{
		Door: s.door, Store: s.disk, Rounds: exchange.New(s.disk, exchange.Settings{App: "9.9.9", Limits: l}), Pages: builtApp(), Now: s.clock.Now,
		Log: log, PublicURL: public,
	}
	for _, c := range change {
		c(&s.cfg)
	}
	s.server, err = server.New(s.cfg)
	require.NoError(t, err)
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	s.addr, s.served = ln.Addr().String(), make(chan error, 1)
	go func() { s.served <- s.server.Serve(ln) }()
	go s.weigh()
	s.owner = s.setUp("Robin", "laptop")
	s.ownerIsFine()
	s.empty = folder(t, s.dir)
	return s
}

// weigh keeps the greatest size of the heap: objects that live and those not yet collected, the test's own included.
func (s *siege) weigh() {
	sample := []metrics.Sample{{Name: "/memory/classes/heap/objects:bytes"}}
	for {
		select {
		case <-s.stop:
			return
		case <-time.After(5 * time.Millisecond):
		}
		metrics.Read(sample)
		s.mu.Lock()
		s.peak = max(s.peak, sample[0].Value.Uint64())
		s.mu.Unlock()
	}
}

// folder gives the bytes that a folder takes on the disk. The files that the database lays out in advance are mostly
// holes, so it is blocks that are counted, not lengths.
func folder(t testing.TB, dir string) int64 {
	t.Helper()
	var sum int64
	require.NoError(t, filepath.WalkDir(dir, func(path string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		n, err := allocated(path)
		sum += n
		return err
	}))
	return sum
}

// member lets a member of the household in, who is the attacker.
func (s *siege) member(name string) *device { return s.person(name, auth.RoleMember) }

// another lets one more device of the same account in.
func (s *siege) another(name string) *device {
	return s.recovered(s.account(name).ID, name+"'s other phone")
}

// send sends one round over loopback and gives status and body; status 0 when the client gave up.
func (s *siege) send(ctx context.Context, d *device, body string) (int, string) {
	s.t.Helper()
	req, err := http.NewRequestWithContext(ctx, "POST", "http://"+s.addr+d.syncPath(), strings.NewReader(body))
	require.NoError(s.t, err)
	req.Header.Set("Content-Type", "application/json")
	req.Header.Set("Sec-Fetch-Site", "same-origin")
	for name, value := range d.cookies {
		req.AddCookie(&http.Cookie{Name: name, Value: value})
	}
	resp, err := s.client.Do(req)
	if err != nil {
		require.Error(s.t, ctx.Err(), err)
		return 0, ""
	}
	defer resp.Body.Close()
	answer, err := io.ReadAll(resp.Body)
	if err != nil {
		require.Error(s.t, ctx.Err(), err)
		return 0, ""
	}
	if resp.StatusCode == 200 {
		s.mu.Lock()
		s.acked += int64(len(body))
		s.mu.Unlock()
	}
	return resp.StatusCode, string(answer)
}

// tries makes hostile requests and gives how often each code came; "taken" stands for 200. body makes the n-th request
// from the newest mark.
func (s *siege) tries(d *device, body func(n int, mark string) string) map[string]int {
	s.t.Helper()
	codes, mark := map[string]int{}, wire.Start
	for n := range hostile {
		if mark == wire.Start {
			status, answer := s.send(context.Background(), d, d.acting(mark))
			require.Equal(s.t, 200, status, answer)
			a, err := wire.DecodeAnswer([]byte(answer))
			require.NoError(s.t, err)
			mark = a.Ack
		}
		status, answer := s.send(context.Background(), d, body(n, mark))
		if status == 200 {
			a, err := wire.DecodeAnswer([]byte(answer))
			require.NoError(s.t, err)
			mark = a.Ack
			codes["taken"]++
			continue
		}
		p, err := wire.DecodeProblem([]byte(answer))
		require.NoError(s.t, err, answer)
		require.Equal(s.t, status, p.Status)
		require.NotEqual(s.t, "internal", p.Code, s.log.String())
		codes[p.Code]++
	}
	return codes
}

// ownerIsFine has the owner write a word and read it again, and the server say that it is well.
func (s *siege) ownerIsFine() {
	s.t.Helper()
	s.words++
	run, text := fmt.Sprintf("owner%06d", s.words), fmt.Sprintf("word %d", s.words)
	act := note(run, 1, s.clock.Now().UnixMilli(), text)
	if s.words > 1 {
		act.Edits[0].Over = map[string][]replica.Stamp{"note": {{Run: replica.Run(fmt.Sprintf("owner%06d", s.words-1)), N: 1}}}
	}
	status, body := s.send(context.Background(), s.owner, s.owner.request(act))
	require.Equal(s.t, 200, status, body)
	status, body = s.send(context.Background(), s.owner, s.owner.request())
	require.Equal(s.t, 200, status, body)
	a, err := wire.DecodeAnswer([]byte(body))
	require.NoError(s.t, err)
	require.Equal(s.t, []replica.Write{{Stamp: act.Stamp, At: act.At, Value: replica.Text(text)}}, written(a, "note"))
	h, err := s.disk.Health(context.Background())
	require.NoError(s.t, err)
	require.True(s.t, h.OK, h.Reason)
}

// size is what an attacker's journal holds.
func (s *siege) size(d *device) (size store.Size) {
	s.t.Helper()
	require.NoError(s.t, s.disk.View(context.Background(), store.Journal(d.Journal), func(r store.Reader) (err error) {
		_, size, err = r.Head()
		return err
	}))
	return size
}

// lift ends the siege and holds it to its bounds.
func (s *siege) lift() {
	s.t.Helper()
	s.ownerIsFine()
	close(s.stop)
	s.client.CloseIdleConnections()
	guard, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	began := time.Now()
	require.NoError(s.t, s.server.Shutdown(guard))
	require.NoError(s.t, <-s.served)
	require.NoError(s.t, s.disk.Close())
	took := time.Since(began)
	grew := folder(s.t, s.dir) - s.empty
	s.t.Logf("heap at most %d MiB; folder grew by %d kB for %d kB acknowledged; stopped in %v", s.peak>>20, grew>>10, s.acked>>10, took.Round(time.Millisecond))
	require.Less(s.t, s.peak, uint64(mostHeap))
	require.LessOrEqual(s.t, grew, mostFolder*s.acked+folderBase)
	require.Less(s.t, took, mostStop)
}

func runNo(n int) replica.Run { return replica.Run(fmt.Sprintf("hostile%04d", n)) }

func entityNo(n int) replica.ID { return replica.ID(fmt.Sprintf("01HZZZZZZZ%016d", n)) }

// acting is the body of actions by one who has read up to a mark.
func (d *device) acting(mark string, acts ...replica.Action) string {
	q := wire.Request{Proto: wire.Proto, App: "0.1.0", Journal: d.Journal, Now: d.h.clock.Now().UnixMilli(), Cursor: mark, Ack: mark, Acts: acts}
	return string(q.Append(nil))
}

// fixed is the body of a piece of a fix.
func (d *device) fixed(mark string, f *wire.Fix) string {
	q := wire.Request{Proto: wire.Proto, App: "0.1.0", Journal: d.Journal, Now: d.h.clock.Now().UnixMilli(), Cursor: mark, Ack: mark, Fix: f}
	return string(q.Append(nil))
}

// adding is a piece that adds these writes to one entity.
func adding(id replica.ID, kind string, fields map[string][]replica.Write) *wire.Fix {
	return &wire.Fix{Add: []*replica.Entity{{ID: id, Kind: kind, Fields: fields}}}
}

func textOf(n int) replica.Value { return replica.Text(strings.Repeat("x", n)) }

// attack is one sort of hostile request, and what may become of it.
type attack struct {
	name string
	body func(d *device) func(n int, mark string) string
	ends []string // codes that may come
	most store.Size
}

func (s *siege) play(t *testing.T, attacks []attack) {
	t.Helper()
	for i, a := range attacks {
		t.Run(a.name, func(t *testing.T) {
			d := s.member(fmt.Sprintf("Member %d", i))
			codes := s.tries(d, a.body(d))
			t.Logf("%v, %+v", codes, s.size(d))
			for code := range codes {
				require.Contains(t, a.ends, code)
			}
			size, most := s.size(d), a.most
			if most == (store.Size{}) {
				most = exchange.DefaultLimits().Journal
			}
			require.LessOrEqual(t, size.Entities, most.Entities)
			require.LessOrEqual(t, size.Bytes, most.Bytes)
			require.LessOrEqual(t, size.Runs, most.Runs)
			s.ownerIsFine()
		})
	}
}

// A member grows one entity, or makes many, by every way there is.
func TestAttackBySize(t *testing.T) {
	s := besiege(t, nil)
	const one = replica.MaxEntity + 1000
	oneEntity := store.Size{Entities: 1, Bytes: one, Runs: hostile}
	s.play(t, []attack{
		{"OneEntityByFixes", func(d *device) func(int, string) string {
			return func(n int, mark string) string {
				fields := map[string][]replica.Write{}
				for f := range 50 {
					fields[fmt.Sprintf("f%d", f)] = []replica.Write{{Stamp: replica.Stamp{Run: runNo(n), N: 1}, At: 1, Value: textOf(replica.MaxText)}}
				}
				return d.fixed(mark, adding(entityNo(1), "pour", fields))
			}
		}, []string{"refused"}, oneEntity},
		{"OneEntityByFixesEachBelowTheLimit", func(d *device) func(int, string) string {
			return func(n int, mark string) string {
				w := []replica.Write{{Stamp: replica.Stamp{Run: runNo(n), N: 1}, At: 1, Value: textOf(replica.MaxText - 1000)}}
				return d.fixed(mark, adding(entityNo(1), "pour", map[string][]replica.Write{"note": w}))
			}
		}, []string{"taken", "refused"}, oneEntity},
		{"OneEntityByActionsEachBelowTheLimit", func(d *device) func(int, string) string {
			return func(n int, mark string) string {
				return d.acting(mark, note(string(runNo(n)), 1, 1, strings.Repeat("x", replica.MaxText-1000)))
			}
		}, []string{"taken", "refused"}, oneEntity},
		{"ManyFields", func(d *device) func(int, string) string {
			return func(n int, mark string) string {
				fields := map[string][]replica.Write{}
				for f := range 200 {
					fields[fmt.Sprintf("f%d_%d", n, f)] = []replica.Write{{Stamp: replica.Stamp{Run: runNo(n), N: 1}, At: 1}}
				}
				return d.fixed(mark, adding(entityNo(1), "pour", fields))
			}
		}, []string{"taken", "refused"}, oneEntity},
		{"ManyWritesOfOneField", func(d *device) func(int, string) string {
			return func(n int, mark string) string {
				var w []replica.Write
				for i := range 200 {
					w = append(w, replica.Write{Stamp: replica.Stamp{Run: runNo(n), N: uint64(i + 1)}, At: 1})
				}
				return d.fixed(mark, adding(entityNo(1), "pour", map[string][]replica.Write{"note": w}))
			}
		}, []string{"taken", "refused"}, oneEntity},
		{"MoreWritesThanAreRead", func(d *device) func(int, string) string {
			return func(n int, mark string) string {
				var w []replica.Write
				for i := range 6000 {
					w = append(w, replica.Write{Stamp: replica.Stamp{Run: runNo(n), N: uint64(6000 - i)}, At: int64(i)})
				}
				return d.fixed(mark, adding(entityNo(1), "pour", map[string][]replica.Write{"note": w}))
			}
		}, []string{"malformed"}, oneEntity},
		{"TinyEntitiesByFixes", func(d *device) func(int, string) string {
			return func(n int, mark string) string {
				f := &wire.Fix{}
				for i := range 1000 {
					f.Add = append(f.Add, &replica.Entity{ID: entityNo(1000*n + i), Kind: "p", Fields: map[string][]replica.Write{
						"a": {{Stamp: replica.Stamp{Run: runNo(n), N: 1}, At: 1}}}})
				}
				return d.fixed(mark, f)
			}
		}, []string{"taken", "full"}, store.Size{}},
		{"TooManyEntitiesInOnePiece", func(d *device) func(int, string) string {
			return func(n int, mark string) string {
				f := &wire.Fix{}
				for i := range 1100 {
					f.Add = append(f.Add, &replica.Entity{ID: entityNo(i), Kind: "p", Fields: map[string][]replica.Write{
						"a": {{Stamp: replica.Stamp{Run: runNo(n), N: 1}, At: 1}}}})
				}
				return d.fixed(mark, f)
			}
		}, []string{"too_large"}, store.Size{}},
		{"EntitiesOfWhichNothingIsLeft", func(d *device) func(int, string) string {
			return func(n int, mark string) string {
				var acts []replica.Action
				for i := range 5 {
					a := replica.Action{Stamp: replica.Stamp{Run: runNo(n), N: uint64(i + 1)}, At: 1}
					for e := range replica.MaxEdits {
						a.Edits = append(a.Edits, replica.Edit{ID: entityNo((n*5+i)*replica.MaxEdits + e), Kind: "pour"})
					}
					acts = append(acts, a)
				}
				return d.acting(mark, acts...)
			}
		}, []string{"taken"}, store.Size{Entities: 0, Bytes: hostile * store.RunBytes, Runs: hostile}},
		{"EntitiesOfMarksAlone", func(d *device) func(int, string) string {
			return func(n int, mark string) string {
				var acts []replica.Action
				for i := range 5 {
					a := replica.Action{Stamp: replica.Stamp{Run: runNo(n), N: uint64(i + 1)}, At: 1}
					for e := range replica.MaxEdits {
						a.Edits = append(a.Edits, replica.Edit{ID: entityNo((n*5+i)*replica.MaxEdits + e), Kind: "pour",
							Over: map[string][]replica.Stamp{"a": {{Run: runNo(n + 5000), N: 1}}}})
					}
					acts = append(acts, a)
				}
				return d.acting(mark, acts...)
			}
		}, []string{"taken", "full"}, store.Size{}},
		{"LongNames", func(d *device) func(int, string) string {
			return func(n int, mark string) string {
				long := strings.Repeat("a", 200)
				w := []replica.Write{{Stamp: replica.Stamp{Run: runNo(n), N: 1}, At: 1}}
				switch n % 3 {
				case 0:
					return d.fixed(mark, adding(replica.ID("set."+long), "pour", map[string][]replica.Write{"note": w}))
				case 1:
					return d.fixed(mark, adding(entityNo(1), long, map[string][]replica.Write{"note": w}))
				}
				return d.fixed(mark, adding(entityNo(1), "pour", map[string][]replica.Write{long: w}))
			}
		}, []string{"malformed"}, store.Size{}},
		{"UnknownKinds", func(d *device) func(int, string) string {
			return func(n int, mark string) string {
				w := []replica.Write{{Stamp: replica.Stamp{Run: runNo(n), N: 1}, At: 1, Value: textOf(1000)}}
				return d.fixed(mark, adding(entityNo(n), fmt.Sprintf("kind_%d", n), map[string][]replica.Write{"note": w}))
			}
		}, []string{"taken"}, store.Size{}},
		{"OneEntityManyTimesInOnePiece", func(d *device) func(int, string) string {
			return func(n int, mark string) string {
				f := &wire.Fix{}
				for i := range 900 {
					f.Add = append(f.Add, &replica.Entity{ID: entityNo(1), Kind: "p", Fields: map[string][]replica.Write{
						fmt.Sprintf("f%d", i): {{Stamp: replica.Stamp{Run: runNo(n), N: 1}, At: 1}}}})
				}
				return d.fixed(mark, f)
			}
		}, []string{"malformed"}, store.Size{}},
		{"DeepNesting", func(d *device) func(int, string) string {
			return func(_ int, mark string) string {
				return strings.Replace(d.fixed(mark, &wire.Fix{}), `"fix":{`, `"fix":{"later":`+strings.Repeat(`[{"a":`, 30_000)+`1`+strings.Repeat(`}]`, 30_000)+`,`, 1)
			}
		}, []string{"malformed"}, store.Size{}},
		{"AMegabyteOfText", func(d *device) func(int, string) string {
			return func(n int, mark string) string {
				w := []replica.Write{{Stamp: replica.Stamp{Run: runNo(n), N: 1}, At: 1, Value: textOf(480_000)}}
				return d.fixed(mark, adding(entityNo(1), "pour", map[string][]replica.Write{"note": w}))
			}
		}, []string{"malformed"}, store.Size{}},
	})
	s.lift()
}

// A member makes the journal hold what is no entity: runs, and marks of what never came.
func TestAttackByRunsAndMarks(t *testing.T) {
	s := besiege(t, nil)
	s.play(t, []attack{
		{"RunsByFixes", func(d *device) func(int, string) string {
			return func(n int, mark string) string {
				f := &wire.Fix{Seen: map[replica.Run]wire.Seen{}}
				for i := range wire.MaxPieceRuns {
					f.Seen[replica.Run(fmt.Sprintf("r%010d", n*wire.MaxPieceRuns+i))] = wire.Seen{N: 1 << 50, Device: "of somebody"}
				}
				return d.fixed(mark, f)
			}
		}, []string{"taken", "full"}, store.Size{}},
		{"MoreRunsThanOnePieceTellsOf", func(d *device) func(int, string) string {
			return func(n int, mark string) string {
				f := &wire.Fix{Seen: map[replica.Run]wire.Seen{}}
				for i := range 12_000 {
					f.Seen[replica.Run(fmt.Sprintf("r%010d", n*12_000+i))] = wire.Seen{N: 1}
				}
				return d.fixed(mark, f)
			}
		}, []string{"too_large"}, store.Size{}},
		{"RunsByActions", func(d *device) func(int, string) string {
			return func(n int, mark string) string {
				var acts []replica.Action
				for i := range wire.MaxActs {
					acts = append(acts, replica.Action{Stamp: replica.Stamp{Run: replica.Run(fmt.Sprintf("r%010d", n*wire.MaxActs+i)), N: 1}})
				}
				return d.acting(mark, acts...)
			}
		}, []string{"taken", "full"}, store.Size{}},
		{"MarksByActions", func(d *device) func(int, string) string {
			return func(n int, mark string) string {
				var acts []replica.Action
				for i := range 4 {
					a := note(string(runNo(n)), uint64(i+1), 1, "x")
					a.Edits[0].ID = entityNo(n*10 + i)
					for k := range 3000 {
						a.Edits[0].Over = map[string][]replica.Stamp{"note": append(a.Edits[0].Over["note"], replica.Stamp{Run: replica.Run(fmt.Sprintf("m%d_%d", n%10, k) + "00000000000")[:11], N: 1 << 50})}
					}
					acts = append(acts, a)
				}
				return d.acting(mark, acts...)
			}
		}, []string{"refused"}, store.Size{}},
		{"MarksEachBelowTheLimit", func(d *device) func(int, string) string {
			return func(n int, mark string) string {
				a := note(string(runNo(n)), 1, 1, "x")
				for k := range 900 {
					a.Edits[0].Over = map[string][]replica.Stamp{"note": append(a.Edits[0].Over["note"], replica.Stamp{Run: replica.Run(fmt.Sprintf("m%d_%d_", n, k) + "00000000000")[:11], N: 7})}
				}
				return d.acting(mark, a)
			}
		}, []string{"taken", "refused"}, store.Size{Entities: 1, Bytes: replica.MaxEntity + hostile*store.RunBytes + 1000, Runs: hostile}},
		{"Drops", func(d *device) func(int, string) string {
			return func(n int, mark string) string {
				f := &wire.Fix{}
				for i := range 5000 {
					f.Drop = append(f.Drop, wire.Drop{ID: entityNo(i % 900), Field: "note", Stamp: replica.Stamp{Run: runNo(n), N: uint64(i + 1)}})
				}
				return d.fixed(mark, f)
			}
		}, []string{"taken"}, store.Size{}},
		{"MarksOfTheFuture", func(d *device) func(int, string) string {
			return func(n int, _ string) string {
				return d.fixed(fmt.Sprintf("%d.AAAAAAAA", uint64(1)<<62+uint64(n)), &wire.Fix{})
			}
		}, []string{"out_of_step"}, store.Size{}},
	})
	s.lift()
}

// A full journal stays full by whatever way it is written to, and many devices of one account may not ask for more than
// a few.
func TestAttackOnAFullJournal(t *testing.T) {
	small := store.Size{Entities: 300, Bytes: 100_000, Runs: 250}
	s := besiege(t, func(l *exchange.Limits) { l.Journal = small }, func(c *server.Config) { c.RequestsPerHour = 600 })
	s.play(t, []attack{
		{"ByFixes", func(d *device) func(int, string) string {
			return func(n int, mark string) string {
				f := &wire.Fix{}
				for i := range 20 {
					f.Add = append(f.Add, &replica.Entity{ID: entityNo(n*20 + i), Kind: "pour", Fields: map[string][]replica.Write{
						"note": {{Stamp: replica.Stamp{Run: runNo(n), N: 1}, At: 1, Value: textOf(500)}}}})
				}
				return d.fixed(mark, f)
			}
		}, []string{"taken", "full"}, small},
		{"ByActions", func(d *device) func(int, string) string {
			return func(n int, mark string) string {
				a := note(string(runNo(n)), 1, 1, strings.Repeat("x", 900))
				a.Edits[0].ID = entityNo(n)
				return d.acting(mark, a)
			}
		}, []string{"taken", "full"}, small},
		{"ByRuns", func(d *device) func(int, string) string {
			return func(n int, mark string) string {
				f := &wire.Fix{Seen: map[replica.Run]wire.Seen{}}
				for i := range 30 {
					f.Seen[replica.Run(fmt.Sprintf("r%010d", n*30+i))] = wire.Seen{N: 1}
				}
				return d.fixed(mark, f)
			}
		}, []string{"taken", "full"}, small},
	})
	t.Run("ByManyDevices", func(t *testing.T) {
		first := s.member("Quinn")
		devices := []*device{first}
		for range 7 {
			devices = append(devices, s.another("Quinn"))
		}
		taken, refused := 0, 0
		for _, d := range devices { // one hour's worth of each, by the clock of the house
			for range 600 {
				switch a := d.get("/api/v1/auth/me"); a.Status {
				case 200:
					taken++
				case 429:
					require.Equal(t, "busy", a.code(t))
					refused++
				default:
					t.Fatal(a.Status, a.Body)
				}
			}
		}
		require.LessOrEqual(t, taken, 4*600)
		require.Equal(t, len(devices)*600, taken+refused)
		s.ownerIsFine()
	})
	s.lift()
}

// A request that its client leaves in the middle takes nothing along, and no place that another needs.
func TestAttackByLeaving(t *testing.T) {
	s := besiege(t, nil)
	d := s.member("Quinn")
	body := d.request(note("AAAAAAAAAAA", 1, 1, strings.Repeat("x", 8000)))
	var all sync.WaitGroup
	for w := range 8 {
		all.Go(func() {
			for n := range hostile / 8 {
				ctx, leave := context.WithTimeout(context.Background(), time.Duration(w*n)*20*time.Microsecond)
				s.send(ctx, d, body)
				leave()
				conn, err := net.Dial("tcp", s.addr)
				if err != nil {
					t.Error(err)
					return
				}
				_, _ = io.WriteString(conn, d.head(fmt.Sprintf("Content-Length: %d\r\n\r\n", len(body)), body[:len(body)/2]))
				conn.Close()
			}
		})
	}
	all.Wait()
	status, answer := s.send(context.Background(), d, body)
	require.Equal(t, 200, status, answer)
	s.lift()
}

// What people wrote comes into no line of the log and into no answer to anybody else, whatever goes wrong on the way.
func TestAttackOnTheLog(t *testing.T) {
	const marker = "plumjam"
	free := &space{left: 1 << 40}
	s := besiegeOn(t, free, nil)
	d := s.member("Quinn")
	run := replica.Run("plumjam0000")
	id := replica.ID("set.plumjam")
	bodies := []func(n int, mark string) string{
		func(n int, mark string) string {
			fields := map[string][]replica.Write{}
			for f := range 40 {
				fields[fmt.Sprintf("plumjam.%d", f)] = []replica.Write{{Stamp: replica.Stamp{Run: run, N: uint64(n + 1)}, At: 1, Value: replica.Text(strings.Repeat(marker, 1000))}}
			}
			return d.fixed(mark, adding(id, "plumjam", fields))
		},
		func(_ int, mark string) string {
			return d.fixed(mark, &wire.Fix{Seen: map[replica.Run]wire.Seen{run: {N: 9, Device: marker}}, Drop: []wire.Drop{{ID: id, Field: marker, Stamp: replica.Stamp{Run: run, N: 1}}}})
		},
		func(n int, _ string) string {
			a := note(string(run), uint64(n+1), 1, marker)
			a.Edits[0].ID, a.Edits[0].Kind = id, marker
			return d.request(a)
		},
		func(_ int, mark string) string { return `{"plumjam":` + marker },
		func(_ int, mark string) string {
			return strings.Replace(d.fixed(mark, &wire.Fix{}), mark, "7."+marker, 2)
		},
	}
	for _, body := range bodies {
		s.tries(d, body)
	}
	s.ownerIsFine()

	free.set(0) // the disk is full: every write is refused, and anybody may ask whether the server is well
	status, _ := s.send(context.Background(), d, d.request(note("plumjam0001", 1, 1, marker)))
	require.Equal(t, 507, status)
	for range hostile {
		for _, path := range []string{"/readyz", "/livez", "/api/v1/openapi.json"} {
			resp, err := s.client.Get("http://" + s.addr + path)
			require.NoError(t, err)
			answer, err := io.ReadAll(resp.Body)
			require.NoError(t, err)
			require.NoError(t, resp.Body.Close())
			require.NotContains(t, string(answer), marker)
			require.Equal(t, path == "/readyz", resp.StatusCode == 503)
		}
	}
	require.Equal(t, 1, strings.Count(s.log.String(), "the store is not well"), "once, however often it is asked")
	free.set(1 << 40)
	require.Eventually(t, func() bool {
		resp, err := s.client.Get("http://" + s.addr + "/readyz")
		return err == nil && resp.Body.Close() == nil && resp.StatusCode == 200
	}, 30*time.Second, 50*time.Millisecond)
	s.lift()
	require.NotContains(t, strings.ToLower(s.log.String()), marker)
	require.NotContains(t, s.log.String(), fmt.Sprintf("%x", marker), "nor as a database writes its keys")
}

// space is a disk whose free space a test sets.
type space struct {
	mu   sync.Mutex
	left uint64
}

func (d *space) set(n uint64) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.left = n
}

func (d *space) free(string) (uint64, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.left, nil
}

// A device of an account claims to have seen what another has not sent yet, signs as that other, and is then removed: what
// the other had not sent arrives all the same.
func TestAttackOnAnothersUnsentWork(t *testing.T) {
	s := besiege(t, nil)
	phone := s.member("Quinn")
	tablet := s.another("Quinn")
	now := s.clock.Now().UnixMilli()
	run := replica.Run("phone000000")
	send := func(n uint64, text string) *wire.Answer {
		a := note(string(run), n, now, text)
		a.Edits[0].ID = entityNo(int(n))
		status, body := s.send(context.Background(), phone, phone.request(a))
		require.Equal(t, 200, status, body)
		answer, err := wire.DecodeAnswer([]byte(body))
		require.NoError(t, err)
		require.Equal(t, 1, answer.Took)
		return answer
	}
	send(1, "sent before")
	pieces := []func(n int) *wire.Fix{
		func(n int) *wire.Fix { // a bare claim
			return &wire.Fix{Seen: map[replica.Run]wire.Seen{run: {N: uint64(n + 2), Device: phone.ID}}}
		},
		func(n int) *wire.Fix { // with a write forged under the other's stamp to show for it
			f := adding(entityNo(n+2), "pour", map[string][]replica.Write{"note": {{Stamp: replica.Stamp{Run: run, N: uint64(n + 2)}, At: now, Value: replica.Text("forged")}}})
			f.Seen = map[replica.Run]wire.Seen{run: {N: 1 << 50, Device: tablet.ID}}
			return f
		},
		func(n int) *wire.Fix { // one far ahead
			f := adding("01HZZZZZZZZZZZZZZZZZZZZZZZ", "pour", map[string][]replica.Write{"note": {{Stamp: replica.Stamp{Run: run, N: 1 << 50}, At: now, Value: replica.Text("forged")}}})
			f.Seen = map[replica.Run]wire.Seen{run: {N: 1 << 50, Device: tablet.ID}}
			return f
		},
	}
	for k, piece := range pieces {
		codes := s.tries(tablet, func(n int, mark string) string {
			if n%20 == 0 { // out of step, or so it says
				return tablet.fixed("7.AAAAAAAA", nil)
			}
			return tablet.fixed(mark, piece(n))
		})
		t.Logf("%d: %v", k, codes)
	}
	status, body := s.send(context.Background(), phone, phone.request())
	require.Equal(t, 200, status, body)
	told, err := wire.DecodeAnswer([]byte(body))
	require.NoError(t, err)
	require.Equal(t, wire.Seen{N: 1, Device: phone.ID}, told.Seen[run], "what one device says of another's run is not passed on")

	for n := uint64(2); n <= hostile/4; n++ {
		send(n, fmt.Sprintf("unsent %d", n))
	}
	require.Equal(t, 200, phone.post("/api/v1/auth/devices/"+tablet.ID+"/revoke", "{}").Status)
	for n := uint64(hostile/4 + 1); n <= hostile+50; n++ {
		send(n, fmt.Sprintf("unsent %d", n))
	}
	found := map[replica.ID]store.Entity{}
	require.NoError(t, s.disk.View(context.Background(), store.Journal(phone.Journal), func(r store.Reader) error {
		var ids []replica.ID
		for n := 2; n <= hostile+50; n++ {
			ids = append(ids, entityNo(n))
		}
		var err error
		found, err = r.Entities(ids)
		return err
	}))
	for n := uint64(2); n <= hostile+50; n++ {
		e := found[entityNo(int(n))]
		w, live := e.Find("note", replica.Stamp{Run: run, N: n})
		require.True(t, live, n)
		require.Equal(t, replica.Text(fmt.Sprintf("unsent %d", n)), w.Value)
	}
	s.lift()
}

// A large journal and a long queue are no attack: 39,000 entities come in and go out again, and 5,000 unsent actions.
func TestALargeJournalIsNoAttack(t *testing.T) {
	s := besiege(t, nil)
	d := s.member("Quinn")
	const entities, each = 39_000, 190
	made, mark := 0, wire.Start
	follow := func(acts ...replica.Action) (took int) {
		status, body := s.send(context.Background(), d, d.acting(mark, acts...))
		require.Equal(t, 200, status, body)
		a, err := wire.DecodeAnswer([]byte(body))
		require.NoError(t, err)
		require.Positive(t, a.Took)
		mark = a.Cursor
		return a.Took
	}
	for n := 0; made < entities; {
		var acts []replica.Action
		for len(acts) < 5 && made < entities {
			n++
			a := replica.Action{Stamp: replica.Stamp{Run: "AAAAAAAAAAA", N: uint64(n)}, At: 1}
			for ; len(a.Edits) < each && made < entities; made++ {
				a.Edits = append(a.Edits, replica.Edit{ID: entityNo(made), Kind: "pour", Set: map[string]replica.Value{"note": textOf(100), "score_x10": replica.Int(80)}})
			}
			acts = append(acts, a)
		}
		for len(acts) > 0 {
			acts = acts[follow(acts...):]
		}
	}
	var queue []replica.Action
	for n := range 5000 {
		a := note("BBBBBBBBBBB", uint64(n+1), 1, fmt.Sprint(n))
		a.Edits[0].ID = entityNo(n)
		a.Edits[0].Over = map[string][]replica.Stamp{"note": {{Run: "AAAAAAAAAAA", N: uint64(n/each + 1)}}}
		queue = append(queue, a)
	}
	for len(queue) > 0 {
		queue = queue[follow(queue[:min(wire.MaxActs, len(queue))]...):]
	}
	got, cursor := map[replica.ID]bool{}, wire.Start
	for more := true; more; {
		status, body := s.send(context.Background(), d, d.acting(cursor))
		require.Equal(t, 200, status)
		a, err := wire.DecodeAnswer([]byte(body))
		require.NoError(t, err)
		for _, e := range a.Ents {
			got[e.ID] = true
			require.Len(t, e.Fields["note"], 1)
		}
		cursor, more = a.Cursor, a.More
	}
	require.Len(t, got, entities)
	s.lift()
}
