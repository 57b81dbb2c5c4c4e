package device

import (
	"errors"
	"maps"
	"slices"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/wire"
)

// MostPiece is how large a piece of an export is, save for a single row that is larger.
const MostPiece = 512_000

// ErrChanged says that something was written between two pieces of an export: begin it again.
var ErrChanged = errors.New("device: the journal changed while it was exported")

// Export is everything the device holds, on its way into a file; see wire.Export.
type Export struct {
	d   *Device
	rev int64
	w   *wire.ExportWriter
}

// Export begins a file of copy, queue and what was seen, as they are now. It works whatever keeps the device from its
// server. Parts of rows that this version does not know beside the writes are not in it.
func (d *Device) Export(now int64) (*Export, error) {
	if err := d.usable(); err != nil {
		return nil, err
	}
	x := &wire.Export{
		Journal: d.o.Journal, App: d.o.App, At: min(max(now+d.offset, 0), replica.MaxTime), Me: d.me,
		Devices: d.devices, Seen: d.seen, SeenNext: d.seenNext, Unread: d.odd,
	}
	for _, it := range d.queue {
		x.Queue = append(x.Queue, it.body)
	}
	for _, id := range slices.Sorted(maps.Keys(d.copy)) {
		x.Ents = append(x.Ents, d.copy[id])
	}
	return &Export{d: d, rev: d.rev, w: x.Pieces(MostPiece)}, nil
}

// Next gives the next piece of the file, nil after the last.
func (x *Export) Next() ([]byte, error) {
	if err := x.d.usable(); err != nil {
		return nil, err
	}
	if x.d.rev != x.rev {
		return nil, ErrChanged
	}
	return x.w.Next(), nil
}
