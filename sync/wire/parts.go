package wire

import (
	"strconv"
	"strings"

	"fairmeasure/sync/replica"
)

func (r *scanner) action() replica.Action {
	var a replica.Action
	var had uint
	for r.open('{'); r.next('}'); {
		switch r.key() {
		case "s":
			r.once(&had, 0)
			a.Stamp = r.stamp()
		case "at":
			r.once(&had, 1)
			a.At = r.int()
		case "edits":
			r.once(&had, 2)
			for r.open('['); r.next(']'); {
				a.Edits = append(a.Edits, r.edit())
			}
		default:
			r.skip()
		}
	}
	if had != 0b111 {
		r.shape("an action has s, at and edits")
	}
	return a
}

func (r *scanner) edit() replica.Edit {
	var e replica.Edit
	var had uint
	for r.open('{'); r.next('}'); {
		switch r.key() {
		case "id":
			r.once(&had, 0)
			e.ID = replica.ID(r.text())
		case "kind":
			r.once(&had, 1)
			e.Kind = r.text()
		case "set":
			r.once(&had, 2)
			for r.open('{'); r.next('}'); {
				f := r.key()
				v := r.value()
				if e.Set == nil {
					e.Set = map[string]replica.Value{}
				}
				if _, twice := e.Set[f]; twice {
					r.shape("a field is set twice")
				}
				e.Set[f] = v
			}
		case "over":
			r.once(&had, 3)
			for r.open('{'); r.next('}'); {
				f := r.key()
				var stamps []replica.Stamp
				for r.open('['); r.next(']'); {
					stamps = append(stamps, r.stamp())
				}
				if e.Over == nil {
					e.Over = map[string][]replica.Stamp{}
				}
				if _, twice := e.Over[f]; twice {
					r.shape("a field is named twice")
				}
				e.Over[f] = stamps
			}
		default:
			r.skip()
		}
	}
	if had&0b11 != 0b11 {
		r.shape("an edit has id and kind")
	}
	return e
}

// interner keeps one copy of each short name, so that 100,000 writes do not keep 100,000 copies of "score_x10", nor the
// pages they came in.
type interner map[string]string

func (in interner) of(s string) string {
	if in == nil {
		return s
	}
	if c, ok := in[s]; ok {
		return c
	}
	if len(in) > 1<<14 {
		clear(in)
	}
	c := strings.Clone(s)
	in[c] = c
	return c
}

func (r *scanner) entity(names interner) *replica.Entity {
	e := &replica.Entity{Fields: map[string][]replica.Write{}}
	var had uint
	for r.open('{'); r.next('}'); {
		switch r.key() {
		case "id":
			r.once(&had, 0)
			e.ID = replica.ID(r.short(maxWord))
		case "kind":
			r.once(&had, 1)
			e.Kind = names.of(r.short(maxWord))
		case "w":
			r.once(&had, 2)
			for r.open('['); r.next(']'); {
				r.group(e, names)
			}
		default:
			r.skip()
		}
	}
	if had != 0b111 || e.ID == "" || e.Kind == "" {
		r.shape("an entity has id, kind and w")
	}
	return e
}

func (r *scanner) group(e *replica.Entity, names interner) {
	var w replica.Write
	var had uint
	fields := -1 // where they begin, when they come before the stamp
	for r.open('{'); r.next('}'); {
		switch r.key() {
		case "s":
			r.once(&had, 0)
			w.Stamp = r.stamp()
			w.Stamp.Run = replica.Run(names.of(string(w.Stamp.Run)))
		case "at":
			r.once(&had, 1)
			w.At = r.int()
		case "f":
			r.once(&had, 2)
			if had == 0b111 {
				r.fields(e, w, names)
				continue
			}
			r.space()
			fields = r.i
			r.skip()
		default:
			r.skip()
		}
	}
	if had != 0b111 {
		r.shape("a group of writes has s, at and f")
	}
	if r.err == nil && fields >= 0 {
		late := &scanner{s: r.s, i: fields, depth: r.depth, most: r.most}
		late.fields(e, w, names)
		r.err = late.err
	}
}

func (r *scanner) fields(e *replica.Entity, w replica.Write, names interner) {
	for r.open('{'); r.next('}'); {
		f := names.of(r.key())
		w.Value = r.value()
		if r.err != nil {
			return
		}
		if len(f) > maxWord || f == "" {
			r.shape("not a field name")
			return
		}
		if _, twice := e.Find(f, w.Stamp); twice {
			r.shape("a write comes twice")
			return
		}
		if r.most > 0 && len(e.Fields[f]) == r.most {
			r.shape("more than " + strconv.Itoa(r.most) + " writes of one field")
			return
		}
		e.Put(f, w)
	}
}

func (r *scanner) seen() Seen {
	var s Seen
	i := 0
	for r.open('['); r.next(']'); i++ {
		switch i {
		case 0:
			s.N = r.count()
		case 1:
			s.Device = r.short(maxWord)
		default:
			r.skip()
		}
	}
	if i < 2 {
		r.shape("expected a count and a device")
	}
	return s
}

func (r *scanner) seenMap() map[replica.Run]Seen {
	m := map[replica.Run]Seen{}
	for r.open('{'); r.next('}'); {
		run := replica.Run(r.key())
		if r.err == nil && !replica.ValidRun(run) {
			r.shape("not a run")
		}
		if _, twice := m[run]; twice {
			r.shape("a run comes twice")
		}
		m[run] = r.seen()
	}
	return m
}

func (r *scanner) names() map[string]string {
	m := map[string]string{}
	for r.open('{'); r.next('}'); {
		id := r.key()
		if _, twice := m[id]; twice || len(id) > maxWord {
			r.shape("a device comes twice")
		}
		m[id] = r.short(maxWord)
	}
	return m
}

func (r *scanner) fix() *Fix {
	f := &Fix{}
	r.most = replica.MaxWrites
	var had uint
	for r.open('{'); r.next('}'); {
		switch r.key() {
		case "add":
			r.once(&had, 0)
			for r.open('['); r.next(']'); {
				f.Add = append(f.Add, r.entity(nil))
			}
		case "drop":
			r.once(&had, 1)
			for r.open('['); r.next(']'); {
				f.Drop = append(f.Drop, r.drop())
			}
		case "seen":
			r.once(&had, 2)
			f.Seen = r.seenMap()
		default:
			r.skip()
		}
	}
	return f
}

func (r *scanner) drop() Drop {
	var d Drop
	i := 0
	for r.open('['); r.next(']'); i++ {
		switch i {
		case 0:
			d.ID = replica.ID(r.short(maxWord))
		case 1:
			d.Field = r.short(maxWord)
		case 2:
			d.Stamp = r.stamp()
		default:
			r.shape("expected an id, a field and a stamp")
		}
	}
	if i != 3 {
		r.shape("expected an id, a field and a stamp")
	}
	return d
}

// mark reads a mark: a text that says something.
func (r *scanner) mark() string {
	m := r.short(maxMark)
	if m == "" {
		r.shape("expected a mark")
	}
	return m
}
