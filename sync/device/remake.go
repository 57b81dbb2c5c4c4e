package device

import (
	"hash/fnv"
	"slices"
	"strconv"
	"unicode/utf8"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/wire"
)

// remade looks for actions that the server can never take, because it has not seen the beginning of their run, and makes
// them again under a fresh run. Wherever a queued action names the old stamps it names the new ones. To claim that the
// missing stamps were seen would cost data; this costs at most a question. It writes the changed rows and gives what is
// to be done when they are written.
func (d *Device) remade(c *Change, seen map[replica.Run]wire.Seen) func(touched map[replica.ID]bool) {
	next := map[replica.Run]uint64{}
	fresh := map[replica.Stamp]replica.Stamp{}
	var run replica.Run
	for _, it := range d.queue {
		s := it.act.Stamp
		n, ok := next[s.Run]
		if !ok {
			n = seen[s.Run].N
		}
		if s.N > n+1 {
			if run == "" {
				run = d.o.Run()
			}
			fresh[s] = replica.Stamp{Run: run, N: uint64(len(fresh)) + 1}
			continue
		}
		next[s.Run] = max(n, s.N)
	}
	if len(fresh) == 0 {
		return func(map[replica.ID]bool) {}
	}
	type remaking struct {
		it   *item
		act  *replica.Action
		body string
	}
	var all []remaking
	for _, it := range d.queue {
		if a, changed := renamed(it.act, fresh); changed {
			body := string(wire.AppendAction(nil, a))
			c.put(StoreQueue, queueKey(it.key), body)
			all = append(all, remaking{it, a, body})
		}
	}
	return func(touched map[replica.ID]bool) {
		for _, r := range all {
			if r.it.act.Stamp.Run == d.run {
				d.run, d.n = "", 0 // the run is not gone on with: its beginning is missing
			}
			r.it.act, r.it.body = r.act, r.body
			for i := range r.act.Edits {
				touched[r.act.Edits[i].ID] = true
			}
		}
	}
}

// renamed gives the action with every stamp that has a fresh one put in its place.
func renamed(a *replica.Action, fresh map[replica.Stamp]replica.Stamp) (*replica.Action, bool) {
	out := &replica.Action{Stamp: a.Stamp, At: a.At}
	s, changed := fresh[a.Stamp]
	if changed {
		out.Stamp = s
	}
	rename := func(list []replica.Stamp) []replica.Stamp {
		list = slices.Clone(list)
		for i := range list {
			if s, ok := fresh[list[i]]; ok {
				list[i], changed = s, true
			}
		}
		return list
	}
	for _, ed := range a.Edits {
		e := replica.Edit{ID: ed.ID, Kind: ed.Kind}
		for f, v := range ed.Set {
			if text, ok := v.AsText(); ok && f == replica.Gone {
				was := replica.ParseList(text)
				if now := rename(was); !slices.Equal(was, now) {
					v = replica.Text(replica.FormatList(now))
				}
			}
			if e.Set == nil {
				e.Set = make(map[string]replica.Value, len(ed.Set))
			}
			e.Set[f] = v
		}
		for f, stamps := range ed.Over {
			if e.Over == nil {
				e.Over = make(map[string][]replica.Stamp, len(ed.Over))
			}
			e.Over[f] = rename(stamps)
		}
		out.Edits = append(out.Edits, e)
	}
	return out, changed
}

// The kind of an entity that holds an action no server took, and its fields.
const (
	AsideKind   = "aside"
	AsideAction = "action" // its stamp
	AsideReason = "reason"
	AsidePart   = "part." // and a number: its JSON in pieces, over all entities of one action
)

const (
	partBytes = 8_000 // of a piece, as JSON
	partsEach = 3     // of one entity, so that its action stays below the first batch
)

// setAside deals with one action that the server will not take as it is. In one change it is emptied under its own stamp,
// so that its run goes on, and what it said goes into the journal as entities of kind aside, by actions of a fresh run in
// front of it: on every device, in every export, whatever happens to this one.
func (d *Device) setAside(it *item, p *wire.Problem) (*Change, Next) {
	pos := slices.Index(d.queue, it)
	if pos < 0 || len(it.act.Edits) == 0 || it.act.Edits[0].Kind == AsideKind {
		return nil, d.stop(p.Code) // even that is refused
	}
	items := d.asideItems(it.act, "", it.body, p.Detail)
	for _, new := range items {
		new.ahead = it.ahead
	}
	empty := &replica.Action{Stamp: it.act.Stamp, At: it.act.At}
	body := string(wire.AppendAction(nil, empty))
	c := &Change{Strict: true}
	queue, moved := d.insert(c, pos, items...)
	key := it.key
	if k, ok := moved[it]; ok {
		key = k
	}
	c.Put = slices.DeleteFunc(c.Put, func(p [3]string) bool { return p[0] == StoreQueue && p[1] == queueKey(key) })
	c.put(StoreQueue, queueKey(key), body)
	touched := map[replica.ID]bool{}
	for i := range it.act.Edits {
		touched[it.act.Edits[i].ID] = true
	}
	for _, new := range items {
		touched[new.act.Edits[0].ID] = true
	}
	for id := range touched {
		c.IDs = append(c.IDs, id)
	}
	slices.Sort(c.IDs)
	return d.hand(c, func() {
		rekey(moved)
		d.queue = queue
		d.unlink(it, touched)
		it.act, it.body = empty, body
		for _, new := range items {
			d.link(new)
		}
		d.rebuilt(touched)
	}), Next{What: Again}
}

// asideItems makes the actions of a fresh run that keep a text as entities of kind aside: what an action said, or what of
// an entity, named by its id, was to be given back.
func (d *Device) asideItems(of *replica.Action, entity, body, reason string) []*item {
	if len(reason) > 500 {
		reason = reason[:500]
		for !utf8.ValidString(reason) {
			reason = reason[:len(reason)-1]
		}
	}
	run := d.o.Run()
	var items []*item
	parts := split(body)
	for i := 0; i < len(parts); i += partsEach {
		set := map[string]replica.Value{
			AsideAction: replica.Text(of.Stamp.String()),
			AsideReason: replica.Text(reason),
		}
		for j := i; j < min(i+partsEach, len(parts)); j++ {
			set[AsidePart+strconv.Itoa(j)] = replica.Text(parts[j])
		}
		a := &replica.Action{
			Stamp: replica.Stamp{Run: run, N: uint64(len(items)) + 1}, At: of.At,
			Edits: []replica.Edit{{ID: asideID(of, entity, len(items)), Kind: AsideKind, Set: set}},
		}
		items = append(items, &item{act: a, body: string(wire.AppendAction(nil, a))})
	}
	return items
}

// split cuts a text between characters into pieces that stay within partBytes as JSON.
func split(text string) []string {
	var parts []string
	from, size := 0, 0
	for i, r := range text {
		n := utf8.RuneLen(r)
		switch {
		case r == '"' || r == '\\' || r == '\n' || r == '\t':
			n = 2
		case r < ' ':
			n = 6
		}
		if size += n; size > partBytes {
			parts = append(parts, text[from:i])
			from, size = i, n
		}
	}
	return append(parts, text[from:])
}

// asideID gives the id under which an action is set aside: the same on two devices that hold the same action, with the
// action's own time in front.
func asideID(a *replica.Action, entity string, part int) replica.ID {
	const crockford = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
	h := fnv.New128a()
	h.Write([]byte(a.Stamp.String() + entity))
	h.Write([]byte{0, byte(part), byte(part >> 8)})
	h.Write(make([]byte, 16)) // lets the last bytes reach every bit
	sum := h.Sum(nil)
	var out [26]byte
	at := uint64(a.At) & (1<<48 - 1)
	for i := 9; i >= 0; i-- {
		out[i] = crockford[at&31]
		at >>= 5
	}
	for i := range 16 {
		bit := i * 5
		two := uint(sum[bit/8])<<8 | uint(sum[bit/8+1])
		out[10+i] = crockford[two>>(11-uint(bit%8))&31]
	}
	return replica.ID(out[:])
}
