package server

import (
	"bytes"
	"encoding/json"
	"io"
	"unicode/utf8"
)

// maxDepth is how deep a small request may nest (chosen: they are flat).
const maxDepth = 8

// readJSON reads the body of a small request: one JSON object in valid UTF-8, not deep, nothing after it. Keys it does not
// know are passed over, so that a newer app can talk to an older server.
func readJSON(body []byte, into any) error {
	if !utf8.Valid(body) || depth(body) > maxDepth {
		return errMalformed
	}
	if t := bytes.TrimLeft(body, " \t\r\n"); len(t) == 0 || t[0] != '{' {
		return errMalformed
	}
	d := json.NewDecoder(bytes.NewReader(body))
	if err := d.Decode(into); err != nil {
		return errMalformed
	}
	if _, err := d.Token(); err != io.EOF {
		return errMalformed
	}
	return nil
}

// depth is how deep brackets nest, outside strings.
func depth(body []byte) int {
	deepest, now, inString := 0, 0, false
	for i := 0; i < len(body); i++ {
		switch c := body[i]; {
		case inString && c == '\\':
			i++
		case c == '"':
			inString = !inString
		case inString:
		case c == '{' || c == '[':
			now++
			deepest = max(deepest, now)
		case c == '}' || c == ']':
			now--
		}
	}
	return deepest
}
