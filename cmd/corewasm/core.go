package main

import (
	"cmp"
	"errors"
	"strconv"

	"fairmeasure/journal"
	"fairmeasure/sync/device"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/schema"
	"fairmeasure/sync/wire"
)

// core is what the browser talks to: one device's state, and a reader for what is asked of it. Every function takes and
// gives texts, {"ok": ...}, {"refusal": {code, field, text}} or {"fault": text}, and none of them panics: after a fault
// of its own the core asks to be started and loaded anew.
type core struct {
	random func([]byte) // fills from the system's random source
	device *device.Device
	reader *schema.Reader
	export *device.Export // of which this many pieces were given
	pieces int64
	bring  *device.Bringing // of which this many steps were given
	steps  int64
}

var errNotStarted = errors.New("core: not started")

// start forgets everything and begins, for {"journal", "app"}: loading follows.
func (c *core) start(raw string) string {
	return c.guard(func() ([]byte, error) {
		config, err := wire.DecodeNames(raw)
		if err != nil {
			return nil, errors.New("core: start: " + err.Error())
		}
		if config["journal"] == "" {
			return nil, errors.New("core: start: expected the id of a journal")
		}
		c.device = device.New(device.Options{Journal: config["journal"], App: config["app"], Run: c.run})
		c.reader = schema.NewReader()
		c.export, c.bring = nil, nil
		return nil, nil
	})
}

// run makes the id of a run: 64 random bits as base64url.
func (c *core) run() replica.Run {
	const alphabet = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_"
	bits := make([]byte, 9) // one more than needed, so that every character has its six
	c.random(bits[:8])
	out := make([]byte, 11)
	for i := range out {
		at := i * 6
		two := uint(bits[at/8])<<8 | uint(bits[at/8+1])
		out[i] = alphabet[two>>(10-uint(at%8))&63]
	}
	return replica.Run(out)
}

// load takes rows of a store in; an empty store ends loading, and then it says how the device stands.
func (c *core) load(store, rows string) string {
	return c.guard(func() ([]byte, error) {
		if c.device == nil {
			return nil, errNotStarted
		}
		if store == "" {
			if err := c.device.Ready(); err != nil {
				return nil, err
			}
			return append(c.appendState([]byte(`{"state":`), 0), '}'), nil
		}
		read, err := readRows(rows)
		if err != nil {
			return nil, errors.New("core: load " + store + ": " + err.Error())
		}
		return nil, c.device.Load(store, read)
	})
}

// act carries out an intent.
func (c *core) act(nowMS int64, offsetMin int, intent string) string {
	return c.guard(func() ([]byte, error) {
		if c.device == nil {
			return nil, errNotStarted
		}
		var done schema.Done
		change, err := c.device.Act(nowMS, func(v schema.View) ([]replica.Edit, error) {
			plan, err := schema.Act(v, schema.Now{MS: nowMS, OffsetMin: offsetMin}, []byte(intent))
			done = plan.Done
			return plan.Edits, err
		})
		if err != nil {
			return nil, err
		}
		out := appendChange([]byte(`{"change":`), change)
		out = done.AppendJSON(append(out, `,"done":`...))
		return append(c.appendState(append(out, `,"state":`...), nowMS), '}'), nil
	})
}

// settle says what became of a change.
func (c *core) settle(no int64, outcome string) string {
	return c.guard(func() ([]byte, error) {
		if c.device == nil {
			return nil, errNotStarted
		}
		err := c.device.Settle(no, device.Outcome(outcome))
		if errors.Is(err, device.ErrReload) && device.Outcome(outcome) != device.Done {
			err = nil // as told: the carrier loads everything anew
		}
		if err != nil {
			return nil, err
		}
		return append(c.appendState([]byte(`{"state":`), 0), '}'), nil
	})
}

// request gives the next request, or null when there is nothing to do. Whoever asks after a stop wants it tried again.
func (c *core) request(nowMS int64, most int) string {
	return c.guard(func() ([]byte, error) {
		if c.device == nil {
			return nil, errNotStarted
		}
		if c.device.Status(nowMS).Stopped != "" {
			c.device.Resume()
		}
		ticket, body := c.device.Request(nowMS, most)
		if body == nil {
			return nil, nil
		}
		out := strconv.AppendInt([]byte(`{"ticket":`), ticket, 10)
		out = wire.AppendString(append(out, `,"body":`...), string(body))
		return append(out, '}'), nil
	})
}

// answer takes in what came for a request.
func (c *core) answer(nowMS, ticket int64, status int, body string) string {
	return c.guard(func() ([]byte, error) {
		if c.device == nil {
			return nil, errNotStarted
		}
		change, next := c.device.Answer(nowMS, ticket, status, []byte(body))
		out := appendChange([]byte(`{"change":`), change)
		out = wire.AppendString(append(out, `,"next":{"go":`...), next.What)
		switch next.What {
		case device.Wait:
			out = strconv.AppendInt(append(out, `,"ms":`...), next.Wait, 10)
		case device.Stop:
			out = wire.AppendString(append(out, `,"code":`...), next.Code)
		}
		var touched []replica.ID
		if change != nil {
			touched = change.IDs
		}
		out = appendIDs(append(out, `},"touched":`...), touched)
		out = wire.AppendString(append(out, `,"heard":`...), string(c.device.Status(nowMS).Heard))
		return append(c.appendState(append(out, `,"state":`...), nowMS), '}'), nil
	})
}

// read answers a question.
func (c *core) read(nowMS int64, offsetMin int, question string) string {
	return c.guard(func() ([]byte, error) {
		if c.device == nil {
			return nil, errNotStarted
		}
		return c.reader.Ask(c.device.View(), schema.Now{MS: nowMS, OffsetMin: offsetMin}, []byte(question))
	})
}

// exported gives one piece of a file that holds everything: cursor 0 begins it, then each answer names the next; null,
// after the last.
func (c *core) exported(nowMS, cursor int64) string {
	return c.guard(func() (out []byte, err error) {
		if c.device == nil {
			return nil, errNotStarted
		}
		if cursor == 0 {
			c.pieces = 0
			if c.export, err = c.device.Export(nowMS); err != nil {
				return nil, err
			}
		}
		if c.export == nil || cursor != c.pieces {
			return nil, errors.New("core: exported: expected the pieces in order")
		}
		piece, err := c.export.Next()
		if err != nil {
			c.export = nil
			return nil, err
		}
		c.pieces++
		out = wire.AppendString([]byte(`{"piece":`), string(piece))
		out = append(out, `,"next":`...)
		if piece == nil {
			c.export = nil
			return append(out, "null}"...), nil
		}
		return append(strconv.AppendInt(out, c.pieces, 10), '}'), nil
	})
}

// brought gives one change that brings an exported file in: cursor 0 begins it and needs the file, then each answer names
// the next, to be asked for when the change was settled. The last answer has no change and no next; its counts are final.
func (c *core) brought(nowMS int64, offsetMin int, cursor int64, file string) string {
	return c.guard(func() (out []byte, err error) {
		if c.device == nil {
			return nil, errNotStarted
		}
		if cursor == 0 {
			c.bring, c.steps = nil, 0
			x, err := exportIn(file)
			if err != nil {
				return nil, err
			}
			if c.bring, err = c.device.Bring(x); err != nil {
				return nil, err
			}
		}
		if c.bring == nil || cursor != c.steps {
			return nil, errors.New("core: brought: expected the steps in order")
		}
		var change *device.Change
		for change == nil && !c.bring.Over() {
			if change, err = c.bring.Step(nowMS, offsetMin); err != nil {
				c.bring = nil
				return nil, err
			}
		}
		c.steps++
		done, total := c.bring.Progress()
		entries, left := c.bring.Brought()
		out = appendChange([]byte(`{"change":`), change)
		out = strconv.AppendInt(append(out, `,"done":`...), int64(done), 10)
		out = strconv.AppendInt(append(out, `,"total":`...), int64(total), 10)
		out = strconv.AppendInt(append(out, `,"entries":`...), int64(entries), 10)
		out = strconv.AppendInt(append(out, `,"left":`...), int64(left), 10)
		out = append(out, `,"next":`...)
		if change == nil {
			c.bring = nil
			return append(out, "null}"...), nil
		}
		out = append(strconv.AppendInt(out, c.steps, 10), `,"touched":`...)
		return append(appendIDs(out, change.IDs), '}'), nil
	})
}

// merged gives the one change that joins an exported file with what is here, and counts: null when all of it is here.
func (c *core) merged(file string) string {
	return c.guard(func() ([]byte, error) {
		if c.device == nil {
			return nil, errNotStarted
		}
		x, err := exportIn(file)
		if err != nil {
			return nil, err
		}
		change, m, err := c.device.Merge(x)
		if err != nil {
			return nil, err
		}
		out := appendChange([]byte(`{"change":`), change)
		out = strconv.AppendInt(append(out, `,"entries":`...), int64(m.Entries), 10)
		out = strconv.AppendInt(append(out, `,"left":`...), int64(m.Left), 10)
		return append(out, '}'), nil
	})
}

// exportIn reads an exported file.
func exportIn(file string) (*wire.Export, error) {
	if len(file) > wire.MaxExport {
		return nil, replica.Refuse("file_too_large", "file", "the file is %d bytes, at most %d are read", len(file), wire.MaxExport)
	}
	x, err := wire.DecodeExport(file)
	if err != nil {
		return nil, replica.Refuse("not_an_export", "file", "this is no exported file: %s", err.Error())
	}
	return x, nil
}

// appendState says how the device stands with its server: SyncState of pwa/src/shared/core.ts without what only the page
// knows.
func (c *core) appendState(dst []byte, nowMS int64) []byte {
	s := c.device.Status(nowMS)
	state, code := "unsent", s.Stopped
	switch {
	case s.Stopped != "":
		state = "stopped"
	case s.Comparing:
		state = "comparing"
	case s.CatchingUp:
		state = "catching_up"
	case s.Synced:
		state = "synced"
	case s.Unsent == 0:
		state = "local" // nothing to send, and the last thing heard from a server, if any, was no answer with a mark
	}
	if code == "" {
		code = cmp.Or(s.Full, s.Refused)
	}
	dst = wire.AppendString(append(dst, `{"state":`...), state)
	dst = strconv.AppendInt(append(dst, `,"unsent":`...), int64(s.Unsent), 10)
	dst = strconv.AppendInt(append(dst, `,"unreadable":`...), int64(s.Unreadable), 10)
	dst = append(dst, `,"code":`...)
	if code == "" {
		dst = append(dst, "null"...)
	} else {
		dst = wire.AppendString(dst, code)
	}
	return append(strconv.AppendInt(append(dst, `,"clock_off_ms":`...), s.OffsetMS, 10), '}')
}

// appendChange gives a change for the carrier, null for none.
func appendChange(dst []byte, c *device.Change) []byte {
	if c == nil {
		return append(dst, "null"...)
	}
	return c.AppendJSON(dst)
}

func appendIDs(dst []byte, ids []replica.ID) []byte {
	dst = append(dst, '[')
	for i, id := range ids {
		if i > 0 {
			dst = append(dst, ',')
		}
		dst = wire.AppendString(dst, string(id))
	}
	return append(dst, ']')
}

// guard runs one call and gives its result as JSON; nothing is null. A panic is a mistake of ours: it costs this call and
// a fresh start, never the page.
func (c *core) guard(call func() ([]byte, error)) (out string) {
	defer func() {
		if p := recover(); p != nil {
			c.device = nil // what it holds may be half of a change
			out = fault("core: " + said(p))
		}
	}()
	result, err := call()
	if code, field, text, ok := refused(err); ok {
		dst := wire.AppendString([]byte(`{"refusal":{"code":`), code)
		dst = wire.AppendString(append(dst, `,"field":`...), field)
		dst = wire.AppendString(append(dst, `,"text":`...), text)
		return string(append(dst, "}}"...))
	}
	if err != nil {
		return fault(err.Error())
	}
	if result == nil {
		return `{"ok":null}`
	}
	return `{"ok":` + string(result) + `}`
}

// said is what a panic was about.
func said(p any) string {
	switch p := p.(type) {
	case error:
		return p.Error()
	case string:
		return p
	}
	return "panic"
}

func refused(err error) (code, field, text string, ok bool) {
	var j *journal.Refusal
	if errors.As(err, &j) {
		return j.Code, j.Field, j.Text, true
	}
	var r *replica.Refusal
	if errors.As(err, &r) {
		return r.Code, r.Field, r.Text, true
	}
	return "", "", "", false
}

func fault(text string) string {
	return string(append(wire.AppendString([]byte(`{"fault":`), text), '}'))
}
