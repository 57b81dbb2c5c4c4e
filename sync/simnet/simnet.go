// Package simnet plays many devices on a bad network against one server, in one process, from one seed: real devices on
// disks that fail, real rounds against a store, and in between lost, repeated and late messages, closed apps, cloned
// profiles, and backups put back on either side. It promises that one seed is one run, and that what it checks holds at
// the end of a run or the run names what does not. It is for tests.
package simnet

import (
	"fmt"
	"math/rand/v2"

	"fairmeasure/sync/device"
	"fairmeasure/sync/exchange"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/store"
	"fairmeasure/sync/store/memstore"
)

// Mode says which disasters happen besides an ordinary bad network.
type Mode struct {
	Name          string
	Clones        bool // a device's disk is copied, and both go on
	DeviceRestore bool // a device's disk is put back to an earlier state, or emptied
	ServerRestore bool // the server is put back to an earlier state
}

// The modes.
var (
	Plain         = Mode{Name: "plain"}
	Clones        = Mode{Name: "clones", Clones: true}
	DeviceRestore = Mode{Name: "device restore", DeviceRestore: true}
	ServerRestore = Mode{Name: "server restore", ServerRestore: true}
	All           = Mode{Name: "all at once", Clones: true, DeviceRestore: true, ServerRestore: true}
)

// Modes are all of them.
var Modes = []Mode{Plain, Clones, DeviceRestore, ServerRestore, All}

// Rules changes what is run. The zero Rules is the protocol as it is.
type Rules struct {
	KeepRun     bool // a device is given the same run id at every start
	TornAnswers bool // the queue is dropped in an earlier transaction than the copy is written
	Later       bool // the server says things this version does not know
}

// Report counts what happened in a run.
type Report struct {
	Edits       int // saved actions
	Rounds      int // requests
	Lost        int // requests or answers that did not arrive
	Failed      int // writes that failed, or seemed to
	Raced       int // writes that another tab was before
	Comparisons int // full comparisons begun
	Pieces      int // pieces of a fix sent
	Aside       int // refused actions set aside
	Ghosts      int // replaced values that came back as rivals after a server restore
}

// Add adds up.
func (r *Report) Add(o Report) {
	r.Edits += o.Edits
	r.Rounds += o.Rounds
	r.Lost += o.Lost
	r.Failed += o.Failed
	r.Raced += o.Raced
	r.Comparisons += o.Comparisons
	r.Pieces += o.Pieces
	r.Aside += o.Aside
	r.Ghosts += o.Ghosts
}

const (
	journal = store.Journal("00112233445566778899aabbccddeeff")
	start   = int64(1_790_000_000_000)
	hour    = int64(3_600_000)
)

// world is one run.
type world struct {
	r     *rand.Rand
	mode  Mode
	rules Rules
	rep   Report
	trace func(format string, args ...any)

	now      int64
	runs     int
	cast     Cast
	actor    Actor
	mem      *memstore.Store
	server   *exchange.Exchange
	backups  []*memstore.Store
	late     []message
	disks    []*disk
	quiet    bool // no more faults
	violated error

	saved   map[replica.Stamp]*saved
	order   []replica.Stamp
	acts    map[string]*replica.Action // decoded rows
	ents    map[string]*replica.Entity
	between bool                 // the server was restored while a device was between two pages
	doubted map[replica.Run]bool // what the server knows of them by hearsay alone did not keep a replaced value out
}

type message struct {
	device string
	body   []byte
}

// saved is one action that was on a disk, and what is known of its fate.
type saved struct {
	act     *replica.Action
	body    string
	deed    Deed
	emptied bool // set aside: refused by the server
	reached bool // the server has had it
	lost    bool // after some disaster it existed nowhere
}

// Run plays one seed. The error says what did not hold.
func Run(seed uint64, m Mode, cast Cast, rules Rules, trace func(format string, args ...any)) (Report, error) {
	if trace == nil {
		trace = func(string, ...any) {}
	}
	w := &world{
		r: rand.New(rand.NewPCG(seed, 3)), mode: m, cast: cast, rules: rules, trace: trace, now: start,
		mem: memstore.New(), saved: map[replica.Stamp]*saved{},
		acts: map[string]*replica.Action{}, ents: map[string]*replica.Entity{}, doubted: map[replica.Run]bool{},
	}
	tags := rand.New(rand.NewPCG(seed, 4))
	w.server = exchange.New(w.mem, exchange.Settings{
		App: "1.5.0",
		Limits: exchange.Limits{
			Page: store.Limits{Entities: 3, Runs: 2}, CommitEntities: 4, CommitBytes: 100_000,
			Journal: store.Size{Entities: 1000, Bytes: 1_000_000, Runs: 1000},
		},
		Tag: func() string { return letters(tags, 8) },
	})
	w.actor = cast.Actor(w.r)
	for range 3 + w.r.IntN(3) {
		w.disks = append(w.disks, w.newDisk(fmt.Sprintf("p%d", len(w.disks))))
	}
	if cast.First > 0 {
		w.first()
	}
	w.backups = append(w.backups, w.mem.Snapshot())
	for range max(25, cast.Steps*2/3) + w.r.IntN(max(25, cast.Steps*2/3)) {
		w.step()
		if w.violated != nil {
			return w.rep, w.violated
		}
	}
	w.settle()
	if w.violated == nil {
		w.verify()
		w.acted()
	}
	return w.rep, w.violated
}

const alphabet = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_"

func letters(r *rand.Rand, n int) string {
	b := make([]byte, n)
	for i := range b {
		b[i] = alphabet[r.IntN(len(alphabet))]
	}
	return string(b)
}

func (w *world) fail(name, format string, args ...any) {
	if w.violated == nil {
		w.violated = fmt.Errorf("%s: %s", name, fmt.Sprintf(format, args...))
	}
}

// step does one thing at random.
func (w *world) step() {
	w.now += w.r.Int64N(20 * 60_000)
	d := w.disks[w.r.IntN(len(w.disks))]
	c := d.cores[w.r.IntN(len(d.cores))]
	switch what := w.r.IntN(100); {
	case what < 40:
		w.person(c)
	case what < 68:
		w.round(c)
	case what < 72:
		for range 6 {
			if w.round(c) {
				break
			}
		}
	case what < 77:
		w.trace("%s: restart", d.name)
		d.restart(d.core(c))
	case what < 81:
		if len(d.cores) == 1 {
			w.trace("%s: a second tab", d.name)
			d.cores = append(d.cores, nil)
			d.restart(1)
		} else {
			w.trace("%s: one tab closed", d.name)
			i := d.core(c)
			d.cores = append(d.cores[:i:i], d.cores[i+1:]...)
		}
	case what < 85:
		if len(w.late) > 0 {
			m := w.late[w.r.IntN(len(w.late))]
			w.trace("an old request of %s arrives", m.device)
			w.deliver(m)
		}
	default:
		w.disaster(d)
	}
}

func (w *world) disaster(d *disk) {
	var able []func()
	if w.mode.Clones && len(w.disks) < 7 {
		able = append(able, func() {
			c := w.newDisk(d.id)
			c.name = fmt.Sprintf("%s'%d", d.name, len(w.disks))
			c.stores, c.rev = copied(d.stores), d.rev
			c.backup, c.backupRev = copied(d.backup), d.backupRev
			w.trace("%s: cloned as %s", d.name, c.name)
			w.disks = append(w.disks, c)
			c.restart(0)
		})
	}
	if w.mode.DeviceRestore {
		able = append(able, func() {
			w.trace("%s: backed up", d.name)
			d.backup, d.backupRev = copied(d.stores), d.rev
		}, func() {
			w.trace("%s: put back to its backup", d.name)
			d.stores, d.rev = copied(d.backup), d.backupRev
			for i := range d.cores {
				d.restart(i)
			}
			w.mourn()
		})
	}
	if w.mode.ServerRestore {
		able = append(able, func() {
			n := len(w.backups) - 1
			if w.r.IntN(3) == 0 {
				n = w.r.IntN(len(w.backups))
			}
			w.trace("server: put back to backup %d of %d", n, len(w.backups))
			for _, d := range w.disks {
				// A device caught between two pages has part of what it has not yet seen: what that replaced may come back.
				meta := d.stores[device.StoreMeta]
				w.between = w.between || meta[`"cursor"`] != meta[`"ack"`]
			}
			w.noteTold()
			w.mem.Restore(w.backups[n])
			w.backups = w.backups[:n+1]
			w.mourn()
		})
	}
	if len(able) > 0 {
		able[w.r.IntN(len(able))]()
	}
}

// settle ends all faults and lets everyone talk until there is nothing left to say.
func (w *world) settle() {
	w.quiet = true
	w.trace("quiet")
	const passes = 60
	for pass := 0; ; pass++ {
		if pass == passes {
			w.fail("Converges", "still not quiet after %d passes", passes)
			return
		}
		w.now += hour / 2
		done := true
		for _, d := range w.disks {
			for i := 0; i < len(d.cores); i++ {
				for n := 0; !w.round(d.cores[i]); n++ {
					done = false
					if n > 300 {
						w.fail("Converges", "%s never comes to an end", d.name)
					}
					if w.violated != nil {
						return
					}
				}
			}
		}
		if done && pass > 0 {
			return
		}
	}
}
