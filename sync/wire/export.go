package wire

import (
	"errors"
	"maps"
	"slices"
	"strconv"

	"fairmeasure/sync/replica"
)

// ExportFormat names the form of an exported file, and its version.
const ExportFormat = "fairmeasure/1"

// MaxExport is the size of a file that is read at all.
const MaxExport = 128 << 20

// Export is all that one device holds of a journal, as a file: what the server told it, its own unsent actions, and how
// far it has seen each run. Two devices' files can be joined like two states.
type Export struct {
	Journal  string
	App      string
	At       int64  // when it was written, Unix milliseconds
	Me       string // the device's id with its server; empty before pairing
	Devices  map[string]string
	Seen     map[replica.Run]Seen
	SeenNext map[replica.Run]Seen // of pages after which more were to come: the writes may be here, they are not all here
	Queue    []string             // actions as they lie on the device, oldest first
	Acts     []*replica.Action    // of a decoded file: Queue[i] as an action
	Unread   [][3]string          // store, key, value of rows this app could not read
	Ents     []*replica.Entity
}

// ExportWriter gives an export's bytes in pieces, so that a large journal is never in memory twice.
type ExportWriter struct {
	parts  []exportPart
	part   int
	opened bool // what stands before the items of the part was given
	item   int
	most   int
	row    []byte
}

// exportPart is one list or map of the document: what stands before its items, and each item.
type exportPart struct {
	open  string
	items int
	row   func(dst []byte, i int) []byte
}

// Pieces begins to write the export in pieces of most bytes. A row that is larger is a piece of its own.
func (x *Export) Pieces(most int) *ExportWriter {
	head := []byte(`{"format":"` + ExportFormat + `","journal":`)
	head = appendString(head, x.Journal)
	head = appendString(append(head, `,"app":`...), x.App)
	head = strconv.AppendInt(append(head, `,"exported_ms":`...), x.At, 10)
	head = appendString(append(head, `,"me":`...), x.Me)
	head = append(head, `,"devices":{`...)
	devices := slices.Sorted(maps.Keys(x.Devices))
	seen, next := slices.Sorted(maps.Keys(x.Seen)), slices.Sorted(maps.Keys(x.SeenNext))
	seenRow := func(of map[replica.Run]Seen, runs []replica.Run) func([]byte, int) []byte {
		return func(dst []byte, i int) []byte {
			return AppendSeen(append(appendString(dst, string(runs[i])), ':'), of[runs[i]])
		}
	}
	return &ExportWriter{most: most, parts: []exportPart{
		{string(head), len(devices), func(dst []byte, i int) []byte {
			return appendString(append(appendString(dst, devices[i]), ':'), x.Devices[devices[i]])
		}},
		{`},"seen":{`, len(seen), seenRow(x.Seen, seen)},
		{`},"seen_next":{`, len(next), seenRow(x.SeenNext, next)},
		{`},"queue":[`, len(x.Queue), func(dst []byte, i int) []byte { return append(dst, x.Queue[i]...) }},
		{`],"unread":[`, len(x.Unread), func(dst []byte, i int) []byte {
			dst = appendString(append(dst, '['), x.Unread[i][0])
			dst = appendString(append(dst, ','), x.Unread[i][1])
			return append(appendString(append(dst, ','), x.Unread[i][2]), ']')
		}},
		{`],"entities":[`, len(x.Ents), func(dst []byte, i int) []byte { return AppendEntity(dst, x.Ents[i]) }},
		{"]}\n", 0, nil},
	}}
}

// Next gives the next piece, nil after the last.
func (w *ExportWriter) Next() []byte {
	var piece []byte
	for w.part < len(w.parts) {
		p := &w.parts[w.part]
		if !w.opened {
			w.opened = true
			piece = append(piece, p.open...)
		}
		for w.item < p.items {
			w.row = w.row[:0]
			if w.item > 0 {
				w.row = append(w.row, ',')
			}
			w.row = p.row(w.row, w.item)
			if len(piece)+len(w.row) > w.most && len(piece) > 0 {
				return piece
			}
			piece = append(piece, w.row...)
			w.item++
		}
		w.part, w.item, w.opened = w.part+1, 0, false
	}
	return piece
}

// DecodeExport reads a file back. Keys it does not know are passed over; its texts share memory with it.
func DecodeExport(text string) (*Export, error) {
	if len(text) > MaxExport {
		return nil, errors.New("wire: the file is too large")
	}
	r := newScanner(text)
	x := &Export{}
	names := interner{}
	known := map[replica.ID]bool{}
	format := ""
	var had uint
	for r.open('{'); r.next('}'); {
		switch r.key() {
		case "format":
			r.once(&had, 0)
			format = r.short(maxWord)
		case "journal":
			r.once(&had, 1)
			x.Journal = r.short(maxWord)
		case "app":
			r.once(&had, 2)
			x.App = r.short(maxWord)
		case "exported_ms":
			r.once(&had, 3)
			x.At = r.int()
		case "me":
			r.once(&had, 4)
			x.Me = r.short(maxWord)
		case "devices":
			r.once(&had, 5)
			x.Devices = r.names()
		case "seen":
			r.once(&had, 6)
			x.Seen = r.seenMap()
		case "seen_next":
			r.once(&had, 7)
			x.SeenNext = r.seenMap()
		case "queue":
			r.once(&had, 8)
			for r.open('['); r.next(']'); {
				r.space()
				from := r.i
				a := r.action()
				if r.err == nil {
					x.Queue, x.Acts = append(x.Queue, r.s[from:r.i]), append(x.Acts, &a)
				}
			}
		case "unread":
			r.once(&had, 9)
			for r.open('['); r.next(']'); {
				x.Unread = append(x.Unread, r.unread())
			}
		case "entities":
			r.once(&had, 10)
			for r.open('['); r.next(']'); {
				e := r.entity(names)
				if known[e.ID] {
					r.shape("an entity comes twice")
				}
				known[e.ID] = true
				x.Ents = append(x.Ents, e)
			}
		default:
			r.skip()
		}
	}
	if err := r.end(); err != nil {
		return nil, err
	}
	if format != ExportFormat {
		return nil, errors.New("wire: expected a file of format " + ExportFormat + ", got " + strconv.Quote(format))
	}
	if had&0b10101001011 != 0b10101001011 || x.Journal == "" {
		return nil, errors.New("wire: the file lacks a part")
	}
	return x, nil
}

func (r *scanner) unread() (row [3]string) {
	i := 0
	for r.open('['); r.next(']'); i++ {
		if i == len(row) {
			r.shape("expected a store, a key and a value")
			break
		}
		row[i] = r.text()
	}
	if i != len(row) {
		r.shape("expected a store, a key and a value")
	}
	return row
}
