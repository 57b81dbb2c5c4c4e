package badgerstore

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/store"
)

// The keys of the database. The first byte says what world a key belongs to, and with it the version of the layout: a
// later layout takes other first bytes. All numbers are big-endian, so that byte order is number order.
//
//	0x01 | journal (16 bytes) | 'h'                     head: mark, size, and how many keys of each sort there are
//	0x01 | journal | 'e' | id                           entity: commit of its last change, kind, writes, early marks
//	0x01 | journal | 'c' | commit (8 bytes) | id        index: entity last changed in this commit; moves with it
//	0x01 | journal | 't' | commit                       tag of that commit (6 bytes), kept for ever
//	0x01 | journal | 's' | run                          n, commit in which it last moved, device that first used it
//	0x01 | journal | 'v' | commit | run                 index: run last moved in this commit
//	0x02 | record key                                   a record of the Book
//	0x03 | "meta"                                       layout version and store id
//	0x03 | "book"                                       how many records the Book has
//	0x03 | "txns"                                       how many transactions there were
//	0x03 | "x" | SHA-256 of the journal's name          the journal was dropped
//
// Early marks are part of the entity's value: they change only with it, and a commit carries the two together.
const (
	worldJournal = 0x01
	worldBook    = 0x02
	worldMeta    = 0x03

	sortHead   = 'h'
	sortEntity = 'e'
	sortChange = 'c'
	sortTag    = 't'
	sortRun    = 's'
	sortMove   = 'v'
)

// layoutVersion is what this code writes and the only one it reads.
const layoutVersion = 1

var (
	metaKey         = []byte("\x03meta")
	bookCountKey    = []byte("\x03book")
	transactionsKey = []byte("\x03txns")
)

const journalKeyLen = 1 + 16

// journalKey begins every key of a journal; its name was validated.
func journalKey(j store.Journal) []byte {
	key := make([]byte, 0, journalKeyLen+1+8+32)
	key = append(key, worldJournal)
	key, _ = hex.AppendDecode(key, []byte(j))
	return key
}

// journalOf names the journal a key belongs to.
func journalOf(key []byte) (store.Journal, bool) {
	if len(key) <= journalKeyLen || key[0] != worldJournal {
		return "", false
	}
	return store.Journal(hex.EncodeToString(key[1:journalKeyLen])), true
}

// keys spells the keys of one journal. Each call makes a key of its own, as a transaction keeps what it is given.
type keys struct{ journal []byte }

func keysOf(j store.Journal) keys { return keys{journalKey(j)} }

func (k keys) sort(sort byte) []byte {
	return append(append(make([]byte, 0, len(k.journal)+1+8+32), k.journal...), sort)
}

func (k keys) head() []byte                { return k.sort(sortHead) }
func (k keys) entity(id replica.ID) []byte { return append(k.sort(sortEntity), id...) }
func (k keys) run(run replica.Run) []byte  { return append(k.sort(sortRun), run...) }
func (k keys) tag(commit uint64) []byte {
	return binary.BigEndian.AppendUint64(k.sort(sortTag), commit)
}
func (k keys) changes(commit uint64) []byte {
	return binary.BigEndian.AppendUint64(k.sort(sortChange), commit)
}
func (k keys) moves(commit uint64) []byte {
	return binary.BigEndian.AppendUint64(k.sort(sortMove), commit)
}

func (k keys) change(commit uint64, id replica.ID) []byte { return append(k.changes(commit), id...) }
func (k keys) move(commit uint64, run replica.Run) []byte { return append(k.moves(commit), run...) }

// place reads the commit and the name, of an entity or of a run, from an index key.
func (k keys) place(key []byte) (commit uint64, name string, ok bool) {
	rest := key[min(len(key), len(k.journal)+1):]
	if len(rest) <= 8 {
		return 0, "", false
	}
	return binary.BigEndian.Uint64(rest), string(rest[8:]), true
}

func recordKey(key []byte) []byte {
	return append(append(make([]byte, 0, 1+len(key)), worldBook), key...)
}

func erasedKey(j store.Journal) []byte {
	sum := sha256.Sum256([]byte(j))
	return append([]byte("\x03x"), sum[:]...)
}

// whatIs says of a key what it is kept for, without saying the key: it holds names that people or devices made.
func whatIs(key []byte) string {
	switch {
	case len(key) > journalKeyLen && key[0] == worldJournal:
		switch key[journalKeyLen] {
		case sortHead:
			return "a head"
		case sortEntity:
			return "an entity"
		case sortTag:
			return "a tag"
		case sortRun:
			return "a run"
		}
		return "an index"
	case len(key) > 0 && key[0] == worldBook:
		return "a record"
	}
	return "a note of the store's own"
}
