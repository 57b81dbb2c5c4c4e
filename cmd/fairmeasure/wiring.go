package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
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
	st, door, err := r.program.openData(ctx, badgerstore.Options{
		Dir: cfg.Data, EncryptionKey: cfg.key, MinFreeBytes: uint64(cfg.MinFree), BallastBytes: cfg.Ballast,
		QuickCheck: cfg.QuickCheck, Logger: r.log,
	}, cfg.owner)
	if err != nil {
		return err
	}
	r.store, r.door = st, door
	if r.door.ClockBehind() {
		r.log.Warn("this machine's clock is over a day behind what was written down here before: times of devices are taken as they come")
	}
	r.server, err = server.New(server.Config{
		Door: r.door, Store: st, Rounds: exchange.New(st, exchange.Settings{App: version}), Pages: pwa.Dist(),
		Now: r.program.now, Log: r.log, PublicURL: r.url, TrustedProxies: cfg.TrustedProxies,
		RequestsPerHour: cfg.RequestsPerHour, VisitsPerHour: cfg.VisitsPerHour,
	})
	if err != nil {
		return err
	}
	return nil
}

// openData opens a store and the door of its book; owner is what an account is called that a code without one makes.
func (p *program) openData(ctx context.Context, o badgerstore.Options, owner string) (openedStore, *auth.Door, error) {
	st, err := badgerstore.Open(o)
	if err != nil {
		return nil, nil, &storeError{fmt.Errorf("opening the data in %s: %w", o.Dir, err), storeHint(err)}
	}
	door, err := openDoor(ctx, st, auth.Config{Book: st, Now: p.now, Owner: owner}, o.Logger)
	if err != nil {
		err = errors.Join(err, st.Close())
		return nil, nil, &storeError{fmt.Errorf("opening the data in %s: %w", o.Dir, err), storeHint(err)}
	}
	return st, door, nil
}

func openDoor(ctx context.Context, st openedStore, cfg auth.Config, log *slog.Logger) (*auth.Door, error) {
	health, err := st.Health(ctx)
	if err != nil {
		return nil, fmt.Errorf("asking the store how it is: %w", err)
	}
	if !health.OK {
		log.Error("the store can only be read", "reason", health.Reason)
	}
	door, err := auth.Open(ctx, cfg)
	if err != nil {
		return nil, err
	}
	return door, finishRemovals(ctx, st, door, log)
}

// finishRemovals takes away the accounts whose journal was erased: a removal erases the journal first, and may have been
// cut short after that. Where nothing can be written it is left to the next start.
func finishRemovals(ctx context.Context, st store.Store, door *auth.Door, log *slog.Logger) error {
	for _, a := range door.Accounts() {
		j, ok := door.JournalOf(a.ID)
		if !ok {
			continue
		}
		err := st.View(ctx, j, func(store.Reader) error { return nil })
		if !errors.Is(err, store.ErrErased) {
			continue // there, or damaged: then its devices are told so
		}
		switch err := server.EraseAccount(ctx, st, door, a.ID); {
		case errors.Is(err, store.ErrNoSpace), errors.Is(err, store.ErrReadOnly):
			log.Warn("an account whose journal was erased could not be removed", "error", err)
		case err != nil:
			return err
		default:
			log.Info("an account whose journal was erased is removed")
		}
	}
	return nil
}

// encryptionKey reads what --encryption-key-file names; no file, no key.
func encryptionKey(file string) ([]byte, error) {
	if file == "" {
		return nil, nil
	}
	key, err := os.ReadFile(file)
	if err != nil {
		return nil, fmt.Errorf("reading the encryption key: %w", err)
	}
	if len(key) != 32 {
		return nil, &callError{
			fmt.Sprintf("--encryption-key-file %s: expected exactly 32 bytes, found %d", file, len(key)),
			"head -c 32 /dev/urandom makes them",
		}
	}
	return key, nil
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
