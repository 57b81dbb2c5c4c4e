package wire

import (
	"errors"

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
