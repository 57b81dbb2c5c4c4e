package main

import (
	"errors"
	"strings"

	"fairmeasure/sync/device"
	"fairmeasure/sync/wire"
)

// readRows reads [[key, value], ...] as the carrier hands rows in: keys as the database has them, values as the device
// gave them out, which is a text; what the carrier keeps itself ("rev") is a number and stays as it is written. It reads
// the one shape it is given and nothing else of JSON, because loading is what the start of the app waits for.
func readRows(text string) ([]device.Row, error) {
	r := rows{text: text}
	var all []device.Row
	if !r.take('[') {
		return nil, errRows
	}
	if r.take(']') {
		return all, r.end()
	}
	for {
		if !r.take('[') {
			return nil, errRows
		}
		key := r.value()
		if key == "" || !r.take(',') {
			return nil, errRows
		}
		value := r.value()
		if value == "" || !r.take(']') {
			return nil, errRows
		}
		if value[0] == '"' {
			s, err := wire.DecodeString(value)
			if err != nil {
				return nil, errRows
			}
			value = s
		}
		all = append(all, device.Row{Key: key, Value: value})
		if r.take(']') {
			return all, r.end()
		}
		if !r.take(',') {
			return nil, errRows
		}
	}
}

var errRows = errors.New("expected rows as [[key, value], ...]")

type rows struct {
	text string
	at   int
}

func (r *rows) take(c byte) bool {
	if r.at < len(r.text) && r.text[r.at] == c {
		r.at++
		return true
	}
	return false
}

func (r *rows) end() error {
	if r.at != len(r.text) {
		return errRows
	}
	return nil
}

// value gives the text of the next value, up to the comma or bracket that ends it; empty where there is none.
func (r *rows) value() string {
	from, depth := r.at, 0
	for r.at < len(r.text) {
		switch c := r.text[r.at]; c {
		case '"':
			if !r.skipString() {
				return ""
			}
			continue
		case '[', '{':
			depth++
		case ']', '}', ',':
			if depth == 0 {
				return r.text[from:r.at]
			}
			if c != ',' {
				depth--
			}
		}
		r.at++
	}
	return ""
}

func (r *rows) skipString() bool {
	for r.at++; ; {
		i := strings.IndexAny(r.text[r.at:], `"\`)
		if i < 0 {
			return false
		}
		r.at += i + 1
		if r.text[r.at-1] == '"' {
			return true
		}
		r.at++ // what the backslash stands before
		if r.at > len(r.text) {
			return false
		}
	}
}
