package server

import (
	"bytes"
	"compress/gzip"
	"strconv"
	"strings"
	"sync"

	"github.com/gofiber/fiber/v2"
)

// acceptsCoding tells whether an Accept-Encoding header takes a coding: named or by "*", and not with q=0.
func acceptsCoding(header, coding string) bool {
	star := false
	for part := range strings.SplitSeq(header, ",") {
		name, params, _ := strings.Cut(part, ";")
		name = strings.TrimSpace(name)
		q := 1.0
		if k, v, ok := strings.Cut(strings.TrimSpace(params), "="); ok && strings.EqualFold(strings.TrimSpace(k), "q") {
			var err error
			if q, err = strconv.ParseFloat(strings.TrimSpace(v), 64); err != nil {
				q = 0
			}
		}
		if strings.EqualFold(name, coding) {
			return q > 0
		}
		if name == "*" {
			star = q > 0
		}
	}
	return star
}

// worthCoding is the size from which an answer is compressed; below it the frame costs more than it saves.
const worthCoding = 1 << 10

var gzipWriters = sync.Pool{New: func() any {
	w, err := gzip.NewWriterLevel(nil, 5) // chosen: within 2 % of the default's size on sync pages, in two thirds of its time
	if err != nil {
		panic(err) // 5 is a level
	}
	return w
}}

// sendJSON sends an answer that is JSON already, compressed when it is worth it and wanted.
func sendJSON(c *fiber.Ctx, body []byte) error {
	c.Set(fiber.HeaderContentType, fiber.MIMEApplicationJSON)
	c.Set(fiber.HeaderVary, fiber.HeaderAcceptEncoding)
	if len(body) <= worthCoding || !acceptsCoding(c.Get(fiber.HeaderAcceptEncoding), "gzip") {
		return c.Send(body)
	}
	packed, err := gzipped(body)
	if err != nil {
		return err
	}
	c.Set(fiber.HeaderContentEncoding, "gzip")
	return c.Send(packed)
}

func gzipped(body []byte) ([]byte, error) {
	var out bytes.Buffer
	out.Grow(len(body) / 4)
	w := gzipWriters.Get().(*gzip.Writer)
	defer gzipWriters.Put(w)
	w.Reset(&out)
	if _, err := w.Write(body); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}
