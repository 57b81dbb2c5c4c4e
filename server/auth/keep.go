package auth

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"slices"
	"time"

	"fairmeasure/sync/store"
)

func sortDevices(devices []Device) {
	slices.SortFunc(devices, func(a, b Device) int {
		return cmp.Or(a.Created.Compare(b.Created), cmp.Compare(a.ID, b.ID))
	})
}

// Keep does what is due from time to time: it writes down when devices were last seen, rotates an old signing key, and
// clears away what has run out. The server calls it hourly and before it closes the store. Nothing depends on it being
// called: every expiry is checked against the clock when it matters.
func (d *Door) Keep(ctx context.Context) error {
	if err := d.writeSeen(ctx); err != nil {
		return fmt.Errorf("auth: writing down last-seen times: %w", err)
	}
	d.mu.RLock()
	due := d.now().Sub(d.keys[0].notBefore) >= KeyLife
	d.mu.RUnlock()
	if due {
		if err := d.RotateKeys(ctx); err != nil {
			return err
		}
	}
	if err := d.sweep(ctx); err != nil {
		return fmt.Errorf("auth: clearing away: %w", err)
	}
	return nil
}

// writeBatch bounds a transaction of Keep (chosen: far below what a store takes).
const writeBatch = 500

func (d *Door) writeSeen(ctx context.Context) error {
	d.writing.Lock()
	defer d.writing.Unlock()
	d.mu.Lock()
	seen := d.seen
	d.seen = map[DeviceID]time.Time{}
	devices := make(map[DeviceID]Device, len(seen))
	for id := range seen {
		devices[id] = d.devices[id]
	}
	d.mu.Unlock()
	for ids := range slices.Chunk(slices.Sorted(maps.Keys(seen)), writeBatch) {
		err := d.book.Write(ctx, func(tx store.BookWriter) error {
			for _, id := range ids {
				var rec deviceRecord
				dev := devices[id]
				k := deviceKey(dev.Account, id)
				known, err := get(tx, k, &rec)
				if err != nil {
					return err
				}
				if at := millis(seen[id]); known && at >= rec.LastSeen {
					rec.LastSeen, rec.Address = at, addrText(dev.Address)
					if err := put(tx, k, rec); err != nil {
						return err
					}
				}
			}
			return nil
		})
		if err != nil {
			return err
		}
	}
	return nil
}

func (d *Door) sweep(ctx context.Context) error {
	now := d.now()
	var gone [][]byte
	var left map[AccountID][][]byte
	err := d.book.Read(ctx, func(r store.BookReader) error {
		gone = nil
		err := each(r, prefixUsed, func(k []byte, rec usedRecord) {
			if now.After(fromMillis(rec.Until)) {
				gone = append(gone, fullKey(prefixUsed, k))
			}
		})
		if err != nil {
			return err
		}
		err = each(r, prefixCode, func(k []byte, rec codeRecord) {
			if now.Sub(fromMillis(rec.Until)) > codeKeptFor {
				gone = append(gone, fullKey(prefixCode, k))
			}
		})
		if err != nil {
			return err
		}
		err = each(r, prefixTries, func(k []byte, rec triesRecord) {
			if now.Sub(fromMillis(rec.From)) > triesFor {
				gone = append(gone, fullKey(prefixTries, k))
			}
		})
		if err != nil {
			return err
		}
		fails, err := oldFails(r, now)
		if err != nil {
			return err
		}
		gone = append(gone, fails...)
		old, err := oldEvents(r, now)
		gone = append(gone, old...)
		if err != nil {
			return err
		}
		left, err = d.leftovers(r)
		return err
	})
	if err != nil {
		return err
	}
	d.writing.Lock()
	defer d.writing.Unlock()
	d.mu.RLock()
	for a, keys := range left {
		if _, ok := d.accounts[a]; !ok {
			gone = append(gone, keys...)
		}
	}
	var kept []key
	for _, k := range d.keys {
		if k.retireAt.IsZero() || now.Before(k.retireAt) {
			kept = append(kept, k)
		} else {
			gone = append(gone, keyKey(k.id))
		}
	}
	d.mu.RUnlock()
	if err := d.dropAll(ctx, gone); err != nil {
		return err
	}
	d.mu.Lock()
	d.keys = kept
	d.mu.Unlock()
	return nil
}
