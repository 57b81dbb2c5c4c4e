package main

import (
	"context"
	"errors"
	"fmt"
	"os"

	"fairmeasure/pwa"
	"fairmeasure/server"
	"fairmeasure/server/auth"
	"fairmeasure/sync/exchange"
	"fairmeasure/sync/store"
	"fairmeasure/sync/store/badgerstore"
)

// openedStore is a store with its book, as one database holds both.
type openedStore interface {
	store.Store
	store.Book
}

// openInside opens what is behind the listener: the store, the door, the server.
func (r *running) openInside(ctx context.Context, cfg serveConfig) error {
	st, err := badgerstore.Open(badgerstore.Options{
		Dir: cfg.Data, EncryptionKey: cfg.key, MinFreeBytes: uint64(cfg.MinFree), BallastBytes: cfg.Ballast,
		QuickCheck: cfg.QuickCheck, Logger: r.log,
	})
	if err != nil {
		return &storeError{fmt.Errorf("opening the data in %s: %w", cfg.Data, err), storeHint(err)}
	}
	r.store = st
	health, err := st.Health(ctx)
	if err != nil {
		return fmt.Errorf("asking the store how it is: %w", err)
	}
	if !health.OK {
		r.log.Error("the store can only be read", "reason", health.Reason)
	}
	if r.door, err = auth.Open(ctx, auth.Config{Book: st, Now: r.now, Owner: cfg.Owner}); err != nil {
		return &storeError{fmt.Errorf("opening the data in %s: %w", cfg.Data, err), storeHint(err)}
	}
	if r.door.ClockBehind() {
		r.log.Warn("this machine's clock is over a day behind what was written down here before: times of devices are taken as they come")
	}
	r.server, err = server.New(server.Config{
		Door: r.door, Store: st, Rounds: exchange.New(st, exchange.Settings{App: version}), Pages: pwa.Dist(),
		Now: r.now, Log: r.log, PublicURL: r.url, TrustedProxies: cfg.TrustedProxies,
		RequestsPerHour: cfg.RequestsPerHour, VisitsPerHour: cfg.VisitsPerHour,
	})
	if err != nil {
		return err
	}
	return nil
}

// notRunning makes sure that no process has a store open, before its folder is taken away.
func notRunning(dir string) error {
	if _, err := os.Stat(dir); err != nil {
		return nil
	}
	st, err := badgerstore.Open(badgerstore.Options{Dir: dir, QuickCheck: true})
	if errors.Is(err, badgerstore.ErrRunning) {
		return &storeError{fmt.Errorf("emptying %s: %w", dir, err), "end the other one first"}
	}
	if err == nil {
		return st.Close()
	}
	return nil // it cannot be opened: one more reason to take it away
}

func storeHint(err error) string {
	switch {
	case errors.Is(err, badgerstore.ErrRunning):
		return "end the other one, or give this one another --data"
	case errors.Is(err, badgerstore.ErrKey):
		return "--encryption-key-file is the file this data was made with; data made without one needs none"
	case errors.Is(err, store.ErrNoSpace):
		return "make space on the disk, or let --min-free say how much has to stay free"
	case errors.Is(err, store.ErrDamaged), errors.Is(err, store.ErrReadOnly):
		return "keep a copy of the folder as it is, then put a backup in its place; devices give back what it lacks"
	}
	return ""
}
