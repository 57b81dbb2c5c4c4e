// Package wire is what devices and servers say to each other, as bytes: requests, answers, problems, and the rows a
// device keeps. It promises that what it reads is well-formed JSON within the limits and nothing follows it; that keys it
// does not know are passed over; and that equal messages are equal bytes. It leaves out what a message means: marks are
// opaque here, and whether an action may be stored is asked elsewhere.
package wire

import "fairmeasure/sync/replica"

// Proto is the protocol spoken.
const Proto = 1

// The limits of messages. Sizes in bytes.
const (
	MaxRequest = 512_000 // a request's body
	MaxActs    = 200     // actions of a request
	MaxPiece   = 256_000 // one piece of a fix, as the device cuts it
	// MaxPieceRuns is the most runs that one piece of a fix tells of: more go in pieces of their own at the end.
	MaxPieceRuns = 2000
	MaxAnswer    = 16 << 20  // an answer's body, as the device reads it
	MaxRow       = 256 << 10 // one row on a device
	maxDepth     = 32
	maxMark      = 128
	maxWord      = 256 // names, versions, ids of devices
)

// Start is the mark before everything.
const Start = "0."

// Seen says how far a run was seen, and which device first used it.
type Seen struct {
	N      uint64
	Device string
}

// Drop names a write that is no longer live.
type Drop struct {
	ID    replica.ID
	Field string
	Stamp replica.Stamp
}

// Fix is one piece of what a full comparison found missing on the server: whole entities' writes to add, writes to drop,
// and, in the last piece, what the device has seen.
type Fix struct {
	Add  []*replica.Entity
	Drop []Drop
	Seen map[replica.Run]Seen
}

// Request is what a device sends: how far it has read, and either actions or a piece of a fix.
type Request struct {
	Proto   int
	App     string
	Journal string
	Now     int64  // the device's clock, Unix milliseconds
	Cursor  string // how far it has read
	Ack     string // the newest mark it was ever given
	Acts    []replica.Action
	Fix     *Fix
}

// Answer is what the server says when a round was done.
type Answer struct {
	Journal string
	App     string
	Now     int64 // the server's clock
	Took    int   // so many of the leading actions are dealt with; of a fix always 0
	Ack     string
	Cursor  string
	More    bool
	Ents    []*replica.Entity // changed after the cursor in (commit, id) order, and every entity named in the request; whole
	Raw     []string          // of a decoded answer: Ents[i] as it came, to be kept as it came
	Seen    map[replica.Run]Seen
	Devices map[string]string // id → name, of the devices named in Seen
	You     string            // the id of the device that asked
}

// Problem is any answer but 200. It counts only with the journal it was asked for: anything between the device and the
// server may answer in the server's place.
type Problem struct {
	Status  int
	Code    string
	Detail  string // for a person; never for deciding
	Journal string
	Index   int   // of CodeRefused: which of the request's actions, or of the entities that a fix adds
	RetryS  int64 // of CodeBusy: seconds to wait; 0 when not said
}

func (p *Problem) Error() string { return p.Code + ": " + p.Detail }

// The codes a device decides by.
const (
	CodeMalformed = "malformed"   // 400
	CodeExpired   = "expired"     // 401
	CodeSignedOut = "signed_out"  // 401
	CodeRevoked   = "revoked"     // 403
	CodeNoJournal = "no_journal"  // 404
	CodeOutOfStep = "out_of_step" // 409
	CodeErased    = "erased"      // 410
	CodeTooLarge  = "too_large"   // 413
	CodeRefused   = "refused"     // 422
	CodeTooOld    = "too_old"     // 426
	CodeBusy      = "busy"        // 429, 503
	CodeFull      = "full"        // 507: the journal is over its cap
	CodeNoSpace   = "no_space"    // 507: the server's disk is full
)

// StatusOf gives the HTTP status of a code of a round.
func StatusOf(code string) int {
	switch code {
	case CodeMalformed:
		return 400
	case CodeExpired, CodeSignedOut:
		return 401
	case CodeRevoked:
		return 403
	case CodeNoJournal:
		return 404
	case CodeOutOfStep:
		return 409
	case CodeErased:
		return 410
	case CodeTooLarge:
		return 413
	case CodeRefused:
		return 422
	case CodeTooOld:
		return 426
	case CodeBusy:
		return 503
	case CodeFull, CodeNoSpace:
		return 507
	}
	return 500
}

// NewProblem makes a problem with the status of its code.
func NewProblem(code, detail string) *Problem {
	return &Problem{Status: StatusOf(code), Code: code, Detail: detail}
}
