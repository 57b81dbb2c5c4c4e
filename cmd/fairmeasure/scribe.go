package main

import (
	"context"
	"crypto/rand"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
	"time"

	"fairmeasure/sync/device"
	"fairmeasure/sync/exchange"
	"fairmeasure/sync/replica"
	"fairmeasure/sync/schema"
	"fairmeasure/sync/store"
	"fairmeasure/sync/wire"
)

// scribe is a device without a browser: it keeps nothing on a disk, takes intents as the app does and meets the store in
// rounds. Its first failure ends it and stays in err.
type scribe struct {
	name    string
	id      string // as the server knows the device
	device  *device.Device
	rounds  *exchange.Exchange
	journal store.Journal
	minted  int
	err     error
}

func newScribe(st store.Store, j store.Journal, name, id string) *scribe {
	s := &scribe{name: name, id: id, rounds: exchange.New(st, exchange.Settings{App: version}), journal: j}
	s.device = device.New(device.Options{Journal: string(j), App: version, Run: newRun})
	s.fault("starting", s.device.Ready())
	return s
}

// fault keeps the first failure, with what was attempted.
func (s *scribe) fault(what string, err error) {
	if s.err == nil && err != nil {
		s.err = fmt.Errorf("%s, %s: %w", s.name, what, err)
	}
}

// newRun names this start: 64 random bits.
func newRun() replica.Run {
	var b [8]byte
	rand.Read(b[:])
	return replica.Run(base64.RawURLEncoding.EncodeToString(b[:]))
}

const crockford = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"

// newID mints an id of that moment. It need not be random: the journal it goes into is new.
func (s *scribe) newID(at time.Time) replica.ID {
	s.minted++
	id := make([]byte, 26)
	ms, n := uint64(at.UnixMilli()), uint64(s.minted)
	for i := 9; i >= 0; i-- {
		id[i] = crockford[ms%32]
		ms /= 32
	}
	for i := 25; i > 10; i-- {
		id[i] = crockford[n%32]
		n /= 32
	}
	id[10] = crockford[len(s.name)%32] // two scribes never mint the same
	return replica.ID(id)
}

// do carries out an intent as of at.
func (s *scribe) do(at time.Time, in intent) {
	if s.err != nil {
		return
	}
	raw, err := json.Marshal(in)
	if err != nil {
		s.fault("writing an intent", err)
		return
	}
	_, offset := at.Zone()
	now := schema.Now{MS: at.UnixMilli(), OffsetMin: offset / 60}
	change, err := s.device.Act(now.MS, func(v schema.View) ([]replica.Edit, error) {
		plan, err := schema.Act(v, now, raw)
		return plan.Edits, err
	})
	if err != nil {
		s.fault(string(raw), err)
	} else if change != nil {
		s.fault("settling", s.device.Settle(change.No, device.Done))
	}
}

// linesOf gives the ids of a spec's lines in order.
func (s *scribe) linesOf(spec replica.ID) []replica.ID {
	v, ok := schema.Read(s.device.View(), schema.Now{}).Version(spec)
	if !ok {
		s.fault("reading "+string(spec), errors.New("there is no such spec"))
	}
	ids := make([]replica.ID, len(v.Lines))
	for i, l := range v.Lines {
		ids[i] = l.ID
	}
	return ids
}

// asked puts a question to what the device holds.
func (s *scribe) asked(q intent, into any) {
	if s.err != nil {
		return
	}
	raw, err := json.Marshal(q)
	if err == nil {
		raw, err = schema.Ask(s.device.View(), schema.Now{}, raw)
	}
	if err == nil {
		err = json.Unmarshal(raw, into)
	}
	s.fault("asking", err)
}

// picksOf names a pairing of a comparison by its ingredients, as a seat does.
func (s *scribe) picksOf(comparison replica.ID, ingredients ...replica.ID) string {
	var a struct {
		Swaps []struct {
			ID replica.ID `json:"id"`
		} `json:"swaps"`
	}
	s.asked(intent{"q": "comparison", "id": comparison}, &a)
	var picks []schema.Pick
	for i, swap := range a.Swaps {
		picks = append(picks, schema.Pick{Swap: swap.ID, Ingredient: ingredients[i]})
	}
	return schema.PicksText(picks)
}

// seated is a seat of a flight, with what stands in it.
type seated struct {
	id    replica.ID
	picks string
}

// seatsOf gives the seats of a flight in order.
func (s *scribe) seatsOf(flight replica.ID) (all []seated) {
	var a struct {
		Seats []struct {
			ID replica.ID `json:"id"`
		} `json:"seats"`
	}
	s.asked(intent{"q": "flight", "id": flight}, &a)
	for _, seat := range a.Seats {
		if e, ok := s.device.View().Get(seat.ID); ok {
			w, _ := e.Shown("picks")
			picks, _ := w.Value.AsText()
			all = append(all, seated{seat.ID, picks})
		}
	}
	return all
}

// sync goes round after round until nothing is left to send or to read.
func (s *scribe) sync(ctx context.Context, now time.Time) {
	for s.err == nil {
		ms := now.UnixMilli()
		ticket, body := s.device.Request(ms, wire.MaxRequest)
		if body == nil {
			return
		}
		answer, err := s.rounds.Round(ctx, exchange.Ask{Journal: s.journal, Device: s.id, Now: ms, Body: body})
		if err != nil {
			s.fault("a round", err)
			return
		}
		change, next := s.device.Answer(ms, ticket, 200, answer.Append(nil))
		if change != nil {
			s.fault("settling an answer", s.device.Settle(change.No, device.Done))
		}
		switch next.What {
		case device.Again:
		case device.Idle:
			return
		default:
			s.fault("a round", errors.New(next.What+" "+next.Code+" "+strconv.FormatInt(next.Wait, 10)))
		}
	}
}
