// Package device is a device's half of the protocol: an exact copy of what the server told it, a queue of its own unsent
// actions, and what a person sees, which is the two together. It is a state machine without a clock, a network or a disk:
// it is given rows, times and answers, and returns what to write. It promises that nothing a person did leaves the queue
// but by an answer that dealt with it; that what is written belongs together and is one transaction; and that a person
// sees their journal whatever goes wrong between here and the server. It leaves out who is signed in, drafts, and every
// question about drinks.
//
// How a carrier uses it:
//
//	d := New(options); d.Load(store, rows) for every store, then d.Ready()
//	act:    change := d.Act(now, intent)            → write the change → d.Settle(change.No, outcome)
//	sync:   ticket, body := d.Request(now, most)    → send it
//	        change, next := d.Answer(now, ticket, status, body) → write the change → d.Settle → do next
//
// One change at a time: Act and Answer wait until the last change was settled.
package device

import (
	"errors"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/schema"
	"fairmeasure/sync/wire"
)

// The stores a device keeps its rows in. Keys and values are texts; a key is the JSON of the key in the database.
const (
	StoreMeta     = "meta"      // "cursor", "ack", "devices", "offset_ms", "me" → JSON; "rev" is the carrier's own
	StoreQueue    = "queue"     // whole number → an action's JSON
	StoreSeen     = "seen"      // "run" → [n, device]
	StoreSeenNext = "seen_next" // the same, of pages that are not the last
	StoreCopy     = "copy"      // ["kind","id"] → an entity's JSON as it came
)

// Stores are all of them, in the order of loading; copy rows may come in any number of calls, kind by kind.
var Stores = []string{StoreMeta, StoreQueue, StoreSeen, StoreSeenNext, StoreCopy}

// Row is one row of a store.
type Row struct{ Key, Value string }

// Options are what a Device is made of.
type Options struct {
	Journal string
	App     string             // the app's version, told to the server
	Run     func() replica.Run // makes a run id: 64 bits of the system's random source as 11 base64url characters
}

// Device is one device's state. It is not safe for concurrent use.
type Device struct {
	o Options

	// What is on disk.
	rev             int64
	cursor, ack, me string
	offset          int64
	devices         map[string]string
	copy            map[replica.ID]*replica.Entity
	queue           []*item
	seen, seenNext  map[replica.Run]wire.Seen

	// What follows from it.
	byID    map[replica.ID][]*item
	overlay map[replica.ID]*replica.Entity // what is seen of entities that the queue touches
	kinds   map[string]*idList
	looks   map[replica.ID]bool

	// What only lives here.
	phase     phase
	linked    int // length of the queue when it was laid over the copy
	reader    wire.EntityReader
	damaged   []string    // keys of copy rows that cannot be read
	unread    int         // queue rows that cannot be read; they stay where they are
	unreadKey int64       // the greatest key among them
	odd       [][3]string // store, key, value of rows that could not be read at the start, for the export
	run       replica.Run
	n         uint64
	changes   int64
	pending   *pending
	tickets   int64
	flight    *flight
	batch     int // bytes of a request's actions
	piece     int // bytes of a piece of a fix
	fails     int
	heard     Heard
	refused   string // code of the last refusal, until an answer with a mark
	stopped   string
	full      string // code of a refusal for space
	fullUntil int64
	more      bool  // the last answer had more to come
	answered  int64 // when the last answer with nothing more came; 0 before
	serverApp string
	cmp       *comparison
	wanted    bool // a comparison is due
	starts    []int64
	notBefore int64 // no comparison before
}

type phase uint8

const (
	loading phase = iota
	ready
	dead // a write failed or was raced: everything is to be loaded anew
)

// item is one queued action.
type item struct {
	key    int64
	act    *replica.Action
	body   string
	hidden bool // its stamp is seen: the copy has its effect
	ahead  bool // made while the server was full, to make room
}

// New makes a device without rows.
func New(o Options) *Device {
	return &Device{
		o: o, cursor: wire.Start, ack: wire.Start, devices: map[string]string{},
		copy: map[replica.ID]*replica.Entity{}, seen: map[replica.Run]wire.Seen{}, seenNext: map[replica.Run]wire.Seen{},
		byID: map[replica.ID][]*item{}, overlay: map[replica.ID]*replica.Entity{},
		kinds: map[string]*idList{}, looks: map[replica.ID]bool{},
		batch: firstBatch, piece: firstBatch,
	}
}

// Why a call was not carried out.
var (
	ErrLoading   = errors.New("device: not loaded yet")
	ErrUnsettled = errors.New("device: a change is not settled yet")
	ErrReload    = errors.New("device: a write failed or another tab was quicker: load everything anew")
)

// Outcome is what became of a change.
type Outcome string

// The outcomes. Anything but Done makes the device unusable until it is loaded anew: what is on disk is not known.
const (
	Done   Outcome = "done"
	Failed Outcome = "failed" // it failed, or it is not clear whether it did
	Raced  Outcome = "raced"  // another tab wrote first
)

// Next says what the carrier does after an answer, once its change is written.
type Next struct {
	What string // "again", "idle", "wait" or "stop"
	Wait int64  // of "wait": milliseconds; whatever starts a round meanwhile (a save, the network coming back) may do so
	Code string // of "stop": why. "expired" and "signed_out": sign in, then ask again; the others stay until Resume
}

// The values of Next.What.
const (
	Again = "again"
	Idle  = "idle"
	Wait  = "wait"
	Stop  = "stop"
)

// Heard is what came for the last request, as far as it counts.
type Heard string

// The values of Heard.
const (
	HeardNothing Heard = "nothing" // no answer, or one that is not this journal's: a hotel's sign-in page, whatever its form
	HeardRefusal Heard = "refusal" // the server's own, with a code
	HeardMark    Heard = "mark"    // a round was done: the answer says up to where this device has read
)

// View gives what a person sees: copy and queue together. It may be read at any time, also while loading; what it gives
// must not be changed, and not be kept over the next Settle or Load.
func (d *Device) View() schema.View { return d }

// Loaded tells whether everything was loaded.
func (d *Device) Loaded() bool { return d.phase == ready }
