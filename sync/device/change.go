package device

import (
	"strconv"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/wire"
)

// Change is what to write, all of it in one transaction or nothing: when the database's rev is Rev, put and delete, set
// rev to Rev+1. When it is not Rev, nothing: the outcome is Raced.
type Change struct {
	No     int64
	Rev    int64       // below zero: not looked at (for tests)
	Put    [][3]string // store, key, value
	Del    [][2]string // store, key
	Strict bool        // a person waits for it: on the disk itself before it counts
	IDs    []replica.ID
}

func (c *Change) put(store, key, value string) { c.Put = append(c.Put, [3]string{store, key, value}) }

func (c *Change) del(store, key string) { c.Del = append(c.Del, [2]string{store, key}) }

func (c *Change) empty() bool { return len(c.Put) == 0 && len(c.Del) == 0 }

// AppendJSON appends the change for the carrier: {"no","rev","put":[[store,key,value]],"del":[[store,key]],"strict"}. A
// key is the key itself, a value the row's text.
func (c *Change) AppendJSON(dst []byte) []byte {
	dst = strconv.AppendInt(append(dst, `{"no":`...), c.No, 10)
	dst = strconv.AppendInt(append(dst, `,"rev":`...), c.Rev, 10)
	dst = append(dst, `,"put":[`...)
	for i, p := range c.Put {
		if i > 0 {
			dst = append(dst, ',')
		}
		dst = wire.AppendString(append(dst, '['), p[0])
		dst = append(append(dst, ','), p[1]...)
		dst = wire.AppendString(append(dst, ','), p[2])
		dst = append(dst, ']')
	}
	dst = append(dst, `],"del":[`...)
	for i, p := range c.Del {
		if i > 0 {
			dst = append(dst, ',')
		}
		dst = wire.AppendString(append(dst, '['), p[0])
		dst = append(append(append(dst, ','), p[1]...), ']')
	}
	dst = strconv.AppendBool(append(dst, `],"strict":`...), c.Strict)
	return append(dst, '}')
}

func queueKey(key int64) string { return strconv.FormatInt(key, 10) }

func runKey(r replica.Run) string { return string(wire.AppendString(nil, string(r))) }

func copyKey(kind string, id replica.ID) string {
	b := append(wire.AppendString([]byte{'['}, kind), ',')
	return string(append(wire.AppendString(b, string(id)), ']'))
}

func metaKey(name string) string { return `"` + name + `"` }

func quoted(s string) string { return string(wire.AppendString(nil, s)) }

// pending is a change that is being written, and what it does to the device when it is.
type pending struct {
	no    int64
	apply func()
}

// hand gives a change out; apply happens when it is written.
func (d *Device) hand(c *Change, apply func()) *Change {
	d.changes++
	c.No = d.changes
	c.Rev = d.rev
	d.pending = &pending{c.No, apply}
	return c
}

// Settle says what became of a change. Only Done makes it true: only then may "saved" be shown. After anything else the
// device answers ErrReload to everything: make a new one and load it from the disk; after Raced repeat the intent.
func (d *Device) Settle(no int64, outcome Outcome) error {
	switch {
	case d.phase == dead:
		return ErrReload
	case d.pending == nil || d.pending.no != no:
		return ErrUnsettled
	}
	p := d.pending
	d.pending = nil
	if outcome != Done {
		d.phase, d.run, d.flight, d.cmp = dead, "", nil, nil
		return ErrReload
	}
	d.rev++
	p.apply()
	return nil
}

func (d *Device) usable() error {
	switch {
	case d.phase == loading:
		return ErrLoading
	case d.phase == dead:
		return ErrReload
	case d.pending != nil:
		return ErrUnsettled
	}
	return nil
}
