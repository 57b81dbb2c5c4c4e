package badgerstore

import (
	"cmp"
	"encoding/base64"
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/store"
)

// The bytes of values. Numbers are varints and texts have their length in front, except where said. An entity is
//
//	commit (8 bytes) | kind
//	runs:   count, then each run's name
//	groups: count, then for each (stamp, at), ascending:
//	        run (index), n, at minus the at of the group before, count of fields, then each field, ascending:
//	        name, sort of value, value
//	early:  count, then each mark, ascending: field, run (index), n
//
// Writes of one action share one group, so that a field costs its name and value and no more.

var errEncoding = errors.New("badgerstore: a value cannot be read")

// The sorts of value.
const (
	valueNull = iota
	valueText
	valueInt
	valueTrue
	valueFalse
)

// setWrite is one write with its field: an entity's writes as one list.
type setWrite struct {
	field string
	replica.Write
}

func compareGroups(a, b replica.Write) int {
	return cmp.Or(replica.CompareStamps(a.Stamp, b.Stamp), cmp.Compare(a.At, b.At))
}

func compareEarly(a, b store.Early) int {
	return cmp.Or(cmp.Compare(a.Field, b.Field), replica.CompareStamps(a.Stamp, b.Stamp))
}

// appendEntity appends an entity's value. Its id is in the key.
func appendEntity(b []byte, e *store.Entity) []byte {
	var writes []setWrite
	for field, list := range e.Fields {
		for _, w := range list {
			writes = append(writes, setWrite{field, w})
		}
	}
	slices.SortFunc(writes, func(a, b setWrite) int {
		return cmp.Or(compareGroups(a.Write, b.Write), cmp.Compare(a.field, b.field))
	})
	early := slices.SortedFunc(slices.Values(e.Early), compareEarly)
	var runs []replica.Run
	index := map[replica.Run]int{}
	name := func(run replica.Run) {
		if _, ok := index[run]; !ok {
			index[run] = len(runs)
			runs = append(runs, run)
		}
	}
	for _, w := range writes {
		name(w.Stamp.Run)
	}
	for _, mark := range early {
		name(mark.Stamp.Run)
	}
	appendStamp := func(b []byte, s replica.Stamp) []byte {
		b = binary.AppendUvarint(b, uint64(index[s.Run]))
		return binary.AppendUvarint(b, s.N)
	}

	b = binary.BigEndian.AppendUint64(b, e.Commit)
	b = appendText(b, e.Kind)
	b = binary.AppendUvarint(b, uint64(len(runs)))
	for _, run := range runs {
		b = appendText(b, string(run))
	}
	var groups [][]setWrite
	for i, w := range writes {
		if i == 0 || compareGroups(writes[i-1].Write, w.Write) != 0 {
			groups = append(groups, writes[i:i:len(writes)])
		}
		g := &groups[len(groups)-1]
		*g = (*g)[:len(*g)+1]
	}
	b = binary.AppendUvarint(b, uint64(len(groups)))
	at := int64(0)
	for _, g := range groups {
		b = appendStamp(b, g[0].Stamp)
		b = binary.AppendVarint(b, g[0].At-at) // it may wrap around, and wraps back when read
		at = g[0].At
		b = binary.AppendUvarint(b, uint64(len(g)))
		for _, w := range g {
			b = appendText(b, w.field)
			b = appendValue(b, w.Value)
		}
	}
	b = binary.AppendUvarint(b, uint64(len(early)))
	for _, mark := range early {
		b = appendText(b, mark.Field)
		b = appendStamp(b, mark.Stamp)
	}
	return b
}

func appendText(b []byte, s string) []byte {
	return append(binary.AppendUvarint(b, uint64(len(s))), s...)
}

func appendValue(b []byte, v replica.Value) []byte {
	if text, ok := v.AsText(); ok {
		return appendText(append(b, valueText), text)
	}
	if n, ok := v.AsInt(); ok {
		return binary.AppendVarint(append(b, valueInt), n)
	}
	if truth, ok := v.AsBool(); ok {
		if truth {
			return append(b, valueTrue)
		}
		return append(b, valueFalse)
	}
	return append(b, valueNull)
}

// entityCommit reads only the commit of an entity's value.
func entityCommit(b []byte) (uint64, error) {
	if len(b) < 8 {
		return 0, errEncoding
	}
	return binary.BigEndian.Uint64(b), nil
}

// decodeEntity reads an entity's value. It takes nothing that appendEntity would not have written, but for numbers
// written longer than needed.
func decodeEntity(id replica.ID, value []byte) (store.Entity, error) {
	d := decoder{rest: string(value)} // one copy; every text is a piece of it
	e := store.Entity{Entity: replica.Entity{ID: id, Fields: map[string][]replica.Write{}}}
	commit := d.take(8)
	if d.failed {
		return store.Entity{}, fmt.Errorf("an entity: %w", errEncoding)
	}
	e.Commit = binary.BigEndian.Uint64([]byte(commit))
	e.Kind = d.text()
	runs := make([]replica.Run, d.count(1))
	for i := range runs {
		runs[i] = replica.Run(d.text())
	}
	if len(runs) > 1 {
		d.check(len(slices.Compact(slices.Sorted(slices.Values(runs)))) == len(runs))
	}
	stamp := func() replica.Stamp {
		i := d.uvarint()
		if i >= uint64(len(runs)) {
			d.failed = true
			return replica.Stamp{}
		}
		return replica.Stamp{Run: runs[i], N: d.uvarint()}
	}

	var last replica.Write
	for i := range d.count(5) {
		w := replica.Write{Stamp: stamp(), At: last.At + d.varint()}
		d.check(i == 0 || compareGroups(last, w) < 0)
		fields := d.count(2)
		d.check(fields > 0)
		field := ""
		for k := range fields {
			next := d.text()
			d.check(k == 0 || field < next)
			field = next
			w.Value = d.value()
			have := e.Fields[field]
			d.check(len(have) == 0 || replica.CompareStamps(have[len(have)-1].Stamp, w.Stamp) < 0)
			if d.failed {
				return store.Entity{}, fmt.Errorf("an entity: %w", errEncoding)
			}
			e.Fields[field] = append(have, w)
		}
		last = w
	}
	for i := range d.count(3) {
		mark := store.Early{Field: d.text(), Stamp: stamp()}
		d.check(i == 0 || compareEarly(e.Early[i-1], mark) < 0)
		if d.failed {
			break
		}
		e.Early = append(e.Early, mark)
	}
	if !d.done() {
		return store.Entity{}, fmt.Errorf("an entity: %w", errEncoding)
	}
	return e, nil
}

// decoder reads numbers and texts one after the other. After the first that is not there it only gives zeros, so a
// caller may look once, at the end; what it allocates is bounded by what is left to read.
type decoder struct {
	rest   string
	failed bool
}

func (d *decoder) check(ok bool) { d.failed = d.failed || !ok }

func (d *decoder) done() bool { return !d.failed && d.rest == "" }

func (d *decoder) take(n uint64) string {
	if d.failed || n > uint64(len(d.rest)) {
		d.failed = true
		return ""
	}
	taken := d.rest[:n]
	d.rest = d.rest[n:]
	return taken
}

func (d *decoder) uvarint() uint64 {
	head := d.rest[:min(len(d.rest), binary.MaxVarintLen64)]
	v, n := binary.Uvarint([]byte(head))
	if d.failed || n <= 0 {
		d.failed = true
		return 0
	}
	d.rest = d.rest[n:]
	return v
}

func (d *decoder) varint() int64 {
	v := d.uvarint()
	return int64(v>>1) ^ -int64(v&1)
}

func (d *decoder) text() string { return d.take(d.uvarint()) }

// count reads how many things follow, each of at least size bytes.
func (d *decoder) count(size uint64) int {
	n := d.uvarint()
	if d.failed || n > uint64(len(d.rest))/size {
		d.failed = true
		return 0
	}
	return int(n)
}

func (d *decoder) value() replica.Value {
	sort := d.take(1)
	if d.failed {
		return replica.Null
	}
	switch sort[0] {
	case valueNull:
		return replica.Null
	case valueText:
		return replica.Text(d.text())
	case valueInt:
		return replica.Int(d.varint())
	case valueTrue:
		return replica.Bool(true)
	case valueFalse:
		return replica.Bool(false)
	}
	d.failed = true
	return replica.Null
}

// headValue is a journal's head: its mark and size, and how many keys of each sort the journal has, so that a start can
// tell whether some were lost.
type headValue struct {
	no      uint64
	tag     [6]byte
	size    store.Size
	changed uint64 // entities of the newest commit
	moved   uint64 // runs of the newest commit
	held    held
}

// held counts the keys of a journal by sort.
type held struct{ entities, runs, commits uint64 }

func (h *headValue) mark() store.Mark {
	if h.no == 0 {
		return store.Mark{}
	}
	return store.Mark{No: h.no, Tag: tagText(h.tag[:])}
}

func appendHead(b []byte, h *headValue) []byte {
	b = binary.BigEndian.AppendUint64(b, h.no)
	b = append(b, h.tag[:]...)
	b = binary.AppendVarint(b, int64(h.size.Entities))
	b = binary.AppendVarint(b, h.size.Bytes)
	for _, n := range []uint64{h.changed, h.moved, h.held.entities, h.held.runs, h.held.commits} {
		b = binary.AppendUvarint(b, n)
	}
	return b
}

func decodeHead(value []byte) (headValue, error) {
	d := decoder{rest: string(value)}
	var h headValue
	fixed := d.take(8 + 6)
	if !d.failed {
		h.no = binary.BigEndian.Uint64([]byte(fixed))
		copy(h.tag[:], fixed[8:])
	}
	entities := d.varint()
	d.check(entities >= math.MinInt && entities <= math.MaxInt)
	h.size = store.Size{Entities: int(entities), Bytes: d.varint()}
	for _, n := range []*uint64{&h.changed, &h.moved, &h.held.entities, &h.held.runs, &h.held.commits} {
		*n = d.uvarint()
	}
	d.check(h.no > 0)
	if !d.done() {
		return headValue{}, fmt.Errorf("head: %w", errEncoding)
	}
	return h, nil
}

func appendSeen(b []byte, at store.SeenAt) []byte {
	b = binary.BigEndian.AppendUint64(b, at.Commit)
	b = binary.AppendUvarint(b, at.N)
	b = append(b, at.Device...)
	if at.By == "" {
		return b
	}
	b = binary.AppendUvarint(append(b, 0), at.Came) // no device's id holds a zero byte
	return append(b, at.By...)
}

func decodeSeen(value []byte) (store.SeenAt, error) {
	commit, err := entityCommit(value)
	if err != nil {
		return store.SeenAt{}, fmt.Errorf("seen: %w", err)
	}
	d := decoder{rest: string(value[8:])}
	at := store.SeenAt{Commit: commit, N: d.uvarint()}
	device, told, ok := strings.Cut(d.rest, "\x00")
	at.Device = strings.Clone(device)
	if ok {
		d.rest = told
		at.Came = d.uvarint()
		at.By = strings.Clone(d.rest)
		d.check(at.By != "" && at.Came <= at.N && !strings.Contains(at.By, "\x00"))
	}
	if d.failed {
		return store.SeenAt{}, fmt.Errorf("seen: %w", errEncoding)
	}
	return at, nil
}

func tagText(tag []byte) string { return base64.RawURLEncoding.EncodeToString(tag) }

// tagBytes is for tags that were validated; any other gives a tag that equals none.
func tagBytes(tag string) (b [6]byte, ok bool) {
	n, err := base64.RawURLEncoding.Decode(b[:], []byte(tag)[:min(len(tag), 8)])
	return b, err == nil && n == len(b) && len(tag) == 8
}
