package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"fairmeasure/server"
	"fairmeasure/server/auth"
	"fairmeasure/sync/store"
	"fairmeasure/sync/store/badgerstore"
)

// offlineConfig is what a command is told that works on the data of a server that is stopped.
type offlineConfig struct {
	// Data is the folder of the store.
	Data string
	// EncryptionKeyFile is the one the store was made with.
	EncryptionKeyFile string
	// MinFree is the free space below which writes are refused; 0 lets the store choose.
	MinFree int64
	// PublicURL is what people type, for the link beside a code. Empty: no link.
	PublicURL string
}

// declare adds the options that every such command has.
func (c *offlineConfig) declare(o *options) {
	c.MinFree = defaultMinFree
	o.flags.StringVar(&c.Data, "data", dataHome(o.env), "`DIR` of the store, as serve prints it at its start.")
	o.flags.StringVar(&c.EncryptionKeyFile, "encryption-key-file", "", "`FILE` that the store was encrypted with, if it was.")
	o.flags.Var(bytesValue{&c.MinFree}, "min-free", "`SIZE` of free disk space below which nothing more is written.")
}

func (c *offlineConfig) declareURL(o *options) {
	o.flags.StringVar(&c.PublicURL, "public-url", "", "`URL` that people type, as for serve: the link begins with it. Without it only the code is printed.")
}

// offline is an open store with its door and no server.
type offline struct {
	store openedStore
	door  *auth.Door
	url   string
}

// openOffline opens data that is there, a demo's too; with mayMake also data that is not yet.
func (p *program) openOffline(ctx context.Context, cfg offlineConfig, mayMake bool) (*offline, error) {
	if cfg.PublicURL != "" {
		if err := server.CheckPublicURL(cfg.PublicURL); err != nil {
			return nil, &callError{err.Error(), publicURLHint}
		}
	}
	key, err := encryptionKey(cfg.EncryptionKeyFile)
	if err != nil {
		return nil, err
	}
	if _, err := os.Stat(filepath.Join(cfg.Data, demoMark)); err == nil {
		cfg.Data = demoStore(cfg.Data)
	}
	if _, err := os.ReadDir(cfg.Data); !mayMake && !badgerstore.Holds(cfg.Data) && (err == nil || errors.Is(err, fs.ErrNotExist)) {
		return nil, &storeError{fmt.Errorf("there is no data in %s", cfg.Data), "--data is the folder that serve prints at its start"}
	}
	log, err := p.logger("warn")
	if err != nil {
		return nil, err
	}
	st, door, err := p.openData(ctx, badgerstore.Options{Dir: cfg.Data, EncryptionKey: key, MinFreeBytes: uint64(cfg.MinFree), Logger: log}, "")
	if err != nil {
		if errors.Is(err, badgerstore.ErrRunning) {
			return nil, &storeError{err, "stop the server, then do this, then start the server again"}
		}
		return nil, err
	}
	o := &offline{store: st, door: door, url: strings.TrimSuffix(cfg.PublicURL, "/")}
	return o, nil
}

// closeAfter closes the store; err, if any, is the news, else what closing says.
func (o *offline) closeAfter(err error) error {
	if e := o.store.Close(); err == nil && e != nil {
		err = fmt.Errorf("closing the store: %w", e)
	}
	if errors.Is(err, store.ErrNoSpace) || errors.Is(err, store.ErrReadOnly) {
		return &hinted{err, storeHint(err)}
	}
	return err
}

// account finds an account by its name as it was typed.
func (o *offline) account(command, name string) (auth.Account, error) {
	a, ok := o.door.AccountNamed(name)
	if !ok {
		return a, &hinted{fmt.Errorf("%s: there is no account %q", command, name), "fairmeasure accounts list shows who is there"}
	}
	return a, nil
}
