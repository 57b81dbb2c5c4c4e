package wire

import (
	"errors"
	"strconv"
	"strings"

	"fairmeasure/sync/replica"
)

// DecodeRequest reads a request. What is wrong comes back as CodeMalformed; as CodeRefused with the action's index when
// the body is sound JSON and only that action is not of the form this version knows; as CodeTooLarge for more than
// MaxRequest bytes or MaxActs actions. The request keeps nothing of body.
func DecodeRequest(body []byte) (*Request, *Problem) {
	if len(body) > MaxRequest {
		return nil, NewProblem(CodeTooLarge, "the request is too large")
	}
	text := string(body)
	r := newScanner(text)
	q := &Request{}
	at := -1 // the action being read
	var had uint
	for r.open('{'); r.next('}'); {
		switch r.key() {
		case "proto":
			r.once(&had, 0)
			q.Proto = int(r.int())
		case "app":
			r.once(&had, 1)
			q.App = r.short(maxWord)
		case "journal":
			r.once(&had, 2)
			q.Journal = r.short(maxWord)
		case "now":
			r.once(&had, 3)
			q.Now = r.int()
		case "cursor":
			r.once(&had, 4)
			q.Cursor = r.short(maxMark)
		case "ack":
			r.once(&had, 5)
			q.Ack = r.short(maxMark)
		case "acts":
			r.once(&had, 6)
			for r.open('['); r.next(']'); {
				if at++; at >= MaxActs {
					return nil, NewProblem(CodeTooLarge, "the request holds too many actions")
				}
				q.Acts = append(q.Acts, r.action())
				if r.err != nil {
					break
				}
			}
			if r.err == nil {
				at = -1
			}
		case "fix":
			r.once(&had, 7)
			q.Fix = r.fix()
		default:
			r.skip()
		}
	}
	err := r.end()
	if err == nil && (had&0b111 != 0b111 || had&0b110000 != 0b110000 || q.Fix != nil && len(q.Acts) > 0) {
		r.shape("expected proto, app, journal, cursor, ack and either acts or fix")
		err = r.err
	}
	if err == nil {
		return q, nil
	}
	if at >= 0 && errors.Is(err, errShape) && isJSON(text) {
		p := NewProblem(CodeRefused, err.Error())
		p.Index = at
		return nil, p
	}
	return nil, NewProblem(CodeMalformed, err.Error())
}

func isJSON(text string) bool {
	r := newScanner(text)
	r.skip()
	return r.end() == nil
}

// DecodeAnswer reads an answer with status 200. It shares no memory with body.
func DecodeAnswer(body []byte) (*Answer, error) {
	if len(body) > MaxAnswer {
		return nil, errors.New("wire: the answer is too large")
	}
	r := newScanner(string(body))
	a := &Answer{}
	names := interner{}
	var had uint
	for r.open('{'); r.next('}'); {
		switch r.key() {
		case "journal":
			r.once(&had, 0)
			a.Journal = r.short(maxWord)
		case "app":
			r.once(&had, 1)
			a.App = r.short(maxWord)
		case "now":
			r.once(&had, 2)
			a.Now = r.int()
		case "took":
			r.once(&had, 3)
			if a.Took = int(r.count()); a.Took > MaxActs {
				r.shape("took more than a request holds")
			}
		case "ack":
			r.once(&had, 4)
			a.Ack = r.mark()
		case "cursor":
			r.once(&had, 5)
			a.Cursor = r.mark()
		case "more":
			r.once(&had, 6)
			a.More = r.bool()
		case "ents":
			r.once(&had, 7)
			for r.open('['); r.next(']'); {
				r.space()
				from := r.i
				e := r.entity(names)
				if r.err == nil {
					a.Ents = append(a.Ents, e)
					a.Raw = append(a.Raw, r.s[from:r.i])
				}
			}
		case "seen":
			r.once(&had, 8)
			a.Seen = r.seenMap()
		case "devices":
			r.once(&had, 9)
			a.Devices = r.names()
		case "you":
			r.once(&had, 10)
			a.You = r.short(maxWord)
		default:
			r.skip()
		}
	}
	if err := r.end(); err != nil {
		return nil, err
	}
	if had&0b11111101 != 0b11111101 {
		return nil, errors.New("wire: the answer lacks a part")
	}
	return a, nil
}

// DecodeProblem reads the body of any other answer.
func DecodeProblem(body []byte) (*Problem, error) {
	if len(body) > MaxRow {
		return nil, errors.New("wire: the problem is too large")
	}
	r := newScanner(string(body))
	p := &Problem{}
	var had uint
	for r.open('{'); r.next('}'); {
		switch r.key() {
		case "status":
			r.once(&had, 0)
			p.Status = int(r.int())
		case "code":
			r.once(&had, 1)
			p.Code = r.short(maxWord)
		case "detail":
			r.once(&had, 2)
			p.Detail = r.short(MaxRow)
		case "journal":
			r.once(&had, 3)
			p.Journal = r.short(maxWord)
		case "index":
			r.once(&had, 4)
			p.Index = int(r.count())
		case "retry_s":
			r.once(&had, 5)
			p.RetryS = int64(r.count())
		default:
			r.skip()
		}
	}
	if err := r.end(); err != nil {
		return nil, err
	}
	if p.Code == "" {
		return nil, errors.New("wire: the problem has no code")
	}
	return p, nil
}

// DecodeEntity reads an entity's row. Keys it does not know are passed over, so a row is kept as it came and never
// written from what was read. Only tests read a row by itself: they hold what is stored against what is seen.
func DecodeEntity(row string) (*replica.Entity, error) {
	if len(row) > MaxRow {
		return nil, errors.New("wire: the row is too large")
	}
	r := newScanner(row)
	e := r.entity(interner{})
	return e, r.end()
}

// EntityReader reads many rows and keeps one copy of each name that they share.
type EntityReader struct{ names interner }

// Decode is DecodeEntity.
func (d *EntityReader) Decode(row string) (*replica.Entity, error) {
	if d.names == nil {
		d.names = interner{}
	}
	if len(row) > MaxRow {
		return nil, errors.New("wire: the row is too large")
	}
	r := newScanner(row)
	e := r.entity(d.names)
	return e, r.end()
}

// DecodeAction reads an action's row.
func DecodeAction(row string) (*replica.Action, error) {
	if len(row) > MaxRow {
		return nil, errors.New("wire: the row is too large")
	}
	r := newScanner(row)
	a := r.action()
	return &a, r.end()
}

// DecodeSeen reads a row of what was seen.
func DecodeSeen(row string) (Seen, error) {
	r := newScanner(row)
	s := r.seen()
	return s, r.end()
}

// DecodeNames reads a row of ids and their names.
func DecodeNames(row string) (map[string]string, error) {
	r := newScanner(row)
	m := r.names()
	return m, r.end()
}

// DecodeString reads one text.
func DecodeString(row string) (string, error) {
	r := newScanner(row)
	s := r.text()
	return s, r.end()
}

// DecodeInt reads one whole number.
func DecodeInt(row string) (int64, error) {
	r := newScanner(row)
	n := r.int()
	return n, r.end()
}

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
