package wire

import (
	"maps"
	"slices"
	"sort"
	"strconv"
	"unicode/utf8"

	"fairmeasure/sync/replica"
)

// AppendRequest appends a request. Its actions are bodies, each as AppendAction wrote it once, in place of r.Acts.
func AppendRequest(dst []byte, r *Request, bodies []string) []byte {
	dst = appendHead(dst, r)
	if r.Fix != nil {
		dst = appendFix(append(dst, `,"fix":`...), r.Fix)
		return append(dst, '}')
	}
	dst = append(dst, `,"acts":[`...)
	for i, b := range bodies {
		if i > 0 {
			dst = append(dst, ',')
		}
		dst = append(dst, b...)
	}
	return append(dst, "]}"...)
}

// Append appends the request in the one form equal requests have.
func (r *Request) Append(dst []byte) []byte {
	bodies := make([]string, len(r.Acts))
	for i := range r.Acts {
		bodies[i] = string(AppendAction(nil, &r.Acts[i]))
	}
	return AppendRequest(dst, r, bodies)
}

func appendHead(dst []byte, r *Request) []byte {
	dst = strconv.AppendInt(append(dst, `{"proto":`...), int64(r.Proto), 10)
	dst = appendString(append(dst, `,"app":`...), r.App)
	dst = appendString(append(dst, `,"journal":`...), r.Journal)
	dst = strconv.AppendInt(append(dst, `,"now":`...), r.Now, 10)
	dst = appendString(append(dst, `,"cursor":`...), r.Cursor)
	return appendString(append(dst, `,"ack":`...), r.Ack)
}

func appendFix(dst []byte, f *Fix) []byte {
	dst = append(dst, `{"add":[`...)
	for i, e := range f.Add {
		if i > 0 {
			dst = append(dst, ',')
		}
		dst = AppendEntity(dst, e)
	}
	dst = append(dst, `],"drop":[`...)
	for i, d := range f.Drop {
		if i > 0 {
			dst = append(dst, ',')
		}
		dst = appendString(append(dst, '['), string(d.ID))
		dst = appendString(append(dst, ','), d.Field)
		dst = appendStamp(append(dst, ','), d.Stamp)
		dst = append(dst, ']')
	}
	dst = appendSeenMap(append(dst, `],"seen":`...), f.Seen)
	return append(dst, '}')
}

// AppendAction appends an action in the one form equal actions have: fields in order.
func AppendAction(dst []byte, a *replica.Action) []byte {
	dst = appendStamp(append(dst, `{"s":`...), a.Stamp)
	dst = strconv.AppendInt(append(dst, `,"at":`...), a.At, 10)
	dst = append(dst, `,"edits":[`...)
	for i := range a.Edits {
		e := &a.Edits[i]
		if i > 0 {
			dst = append(dst, ',')
		}
		dst = appendString(append(dst, `{"id":`...), string(e.ID))
		dst = appendString(append(dst, `,"kind":`...), e.Kind)
		if len(e.Set) > 0 {
			dst = append(dst, `,"set":{`...)
			for i, f := range slices.Sorted(maps.Keys(e.Set)) {
				if i > 0 {
					dst = append(dst, ',')
				}
				dst = appendValue(append(appendString(dst, f), ':'), e.Set[f])
			}
			dst = append(dst, '}')
		}
		if len(e.Over) > 0 {
			dst = append(dst, `,"over":{`...)
			for i, f := range slices.Sorted(maps.Keys(e.Over)) {
				if i > 0 {
					dst = append(dst, ',')
				}
				dst = append(appendString(dst, f), ":["...)
				for i, s := range e.Over[f] {
					if i > 0 {
						dst = append(dst, ',')
					}
					dst = appendStamp(dst, s)
				}
				dst = append(dst, ']')
			}
			dst = append(dst, '}')
		}
		dst = append(dst, '}')
	}
	return append(dst, "]}"...)
}

type fieldWrite struct {
	field string
	replica.Write
}

// AppendEntity appends an entity, its writes grouped by stamp and time. Equal entities are equal bytes.
func AppendEntity(dst []byte, e *replica.Entity) []byte {
	var few [24]fieldWrite
	all := few[:0]
	for f, writes := range e.Fields {
		for _, w := range writes {
			all = append(all, fieldWrite{f, w})
		}
	}
	sort.Slice(all, func(i, j int) bool { // as replica.SortStamps, for the size of the browser's core
		a, b := &all[i], &all[j]
		if c := replica.CompareStamps(a.Stamp, b.Stamp); c != 0 {
			return c < 0
		}
		if a.At != b.At {
			return a.At < b.At
		}
		return a.field < b.field
	})
	dst = appendString(append(dst, `{"id":`...), string(e.ID))
	dst = appendString(append(dst, `,"kind":`...), e.Kind)
	dst = append(dst, `,"w":[`...)
	for i, w := range all {
		if i == 0 || w.Stamp != all[i-1].Stamp || w.At != all[i-1].At {
			if i > 0 {
				dst = append(dst, "}},"...)
			}
			dst = appendStamp(append(dst, `{"s":`...), w.Stamp)
			dst = strconv.AppendInt(append(dst, `,"at":`...), w.At, 10)
			dst = append(dst, `,"f":{`...)
		} else {
			dst = append(dst, ',')
		}
		dst = appendValue(append(appendString(dst, w.field), ':'), w.Value)
	}
	if len(all) > 0 {
		dst = append(dst, "}}"...)
	}
	return append(dst, "]}"...)
}

// AppendSeen appends a row of what was seen: [n, device].
func AppendSeen(dst []byte, s Seen) []byte {
	dst = strconv.AppendUint(append(dst, '['), s.N, 10)
	dst = appendString(append(dst, ','), s.Device)
	return append(dst, ']')
}

func appendSeenMap(dst []byte, seen map[replica.Run]Seen) []byte {
	dst = append(dst, '{')
	for i, r := range slices.Sorted(maps.Keys(seen)) {
		if i > 0 {
			dst = append(dst, ',')
		}
		dst = AppendSeen(append(appendString(dst, string(r)), ':'), seen[r])
	}
	return append(dst, '}')
}

// AppendNames appends ids and their names: {"p3":"Kitchen laptop"}.
func AppendNames(dst []byte, names map[string]string) []byte {
	dst = append(dst, '{')
	for i, id := range slices.Sorted(maps.Keys(names)) {
		if i > 0 {
			dst = append(dst, ',')
		}
		dst = appendString(append(appendString(dst, id), ':'), names[id])
	}
	return append(dst, '}')
}

// Append appends the answer in the one form equal answers have.
func (a *Answer) Append(dst []byte) []byte {
	dst = appendString(append(dst, `{"journal":`...), a.Journal)
	dst = appendString(append(dst, `,"app":`...), a.App)
	dst = strconv.AppendInt(append(dst, `,"now":`...), a.Now, 10)
	dst = strconv.AppendInt(append(dst, `,"took":`...), int64(a.Took), 10)
	dst = appendString(append(dst, `,"ack":`...), a.Ack)
	dst = appendString(append(dst, `,"cursor":`...), a.Cursor)
	dst = strconv.AppendBool(append(dst, `,"more":`...), a.More)
	dst = append(dst, `,"ents":[`...)
	for i, e := range a.Ents {
		if i > 0 {
			dst = append(dst, ',')
		}
		dst = AppendEntity(dst, e)
	}
	dst = appendSeenMap(append(dst, `],"seen":`...), a.Seen)
	dst = AppendNames(append(dst, `,"devices":`...), a.Devices)
	if a.You != "" {
		dst = appendString(append(dst, `,"you":`...), a.You)
	}
	return append(dst, '}')
}

// Append appends the problem as RFC 9457 writes one, with our code and the journal.
func (p *Problem) Append(dst []byte) []byte {
	dst = append(dst, `{"type":"about:blank","title":`...)
	dst = appendString(dst, p.Code)
	dst = strconv.AppendInt(append(dst, `,"status":`...), int64(p.Status), 10)
	dst = appendString(append(dst, `,"code":`...), p.Code)
	dst = appendString(append(dst, `,"detail":`...), p.Detail)
	dst = appendString(append(dst, `,"journal":`...), p.Journal)
	if p.Code == CodeRefused {
		dst = strconv.AppendInt(append(dst, `,"index":`...), int64(p.Index), 10)
	}
	if p.RetryS > 0 {
		dst = strconv.AppendInt(append(dst, `,"retry_s":`...), p.RetryS, 10)
	}
	return append(dst, '}')
}

func appendStamp(dst []byte, s replica.Stamp) []byte {
	dst = append(append(append(dst, '"'), s.Run...), '.')
	return append(strconv.AppendUint(dst, s.N, 10), '"')
}

func appendValue(dst []byte, v replica.Value) []byte {
	if text, ok := v.AsText(); ok {
		return appendString(dst, text)
	}
	if n, ok := v.AsInt(); ok {
		return strconv.AppendInt(dst, n, 10)
	}
	if b, ok := v.AsBool(); ok {
		return strconv.AppendBool(dst, b)
	}
	return append(dst, "null"...)
}

// AppendString appends a text as JSON.
func AppendString(dst []byte, s string) []byte { return appendString(dst, s) }

func appendString(dst []byte, s string) []byte {
	const hex = "0123456789abcdef"
	dst = append(dst, '"')
	from := 0
	for i := 0; i < len(s); {
		c := s[i]
		if c >= ' ' && c != '"' && c != '\\' && c < utf8.RuneSelf {
			i++
			continue
		}
		if c >= utf8.RuneSelf {
			r, n := utf8.DecodeRuneInString(s[i:])
			if r == utf8.RuneError && n == 1 {
				dst = append(append(dst, s[from:i]...), "\uFFFD"...)
				i++
				from = i
				continue
			}
			i += n
			continue
		}
		dst = append(dst, s[from:i]...)
		switch c {
		case '"', '\\':
			dst = append(dst, '\\', c)
		case '\n':
			dst = append(dst, '\\', 'n')
		case '\t':
			dst = append(dst, '\\', 't')
		default:
			dst = append(dst, '\\', 'u', '0', '0', hex[c>>4], hex[c&15])
		}
		i++
		from = i
	}
	return append(append(dst, s[from:]...), '"')
}
