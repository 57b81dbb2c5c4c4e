package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"net"
	"os"
	"path/filepath"
	"time"

	"fairmeasure/server"
	"fairmeasure/server/auth"
	"fairmeasure/sync/store"
)

type demoConfig struct {
	// Data is the demo's folder. Never one that holds something else.
	Data string
	// Listen is the address to answer on.
	Listen string
	// Fresh empties the folder first.
	Fresh bool
}

var demoCommand = command{
	name: "demo",
	does: "start with an invented journal, ready to look at",
	help: `
Prints two lines on standard output: "open" and a link that opens the app in a browser, and "phone" and a code that admits
a second one. Both are good once, for a day. Start it again for new ones: the journal and its devices stay.

FAIRMEASURE_CLOCK=2026-05-15T22:04:00+02:00 in the environment lets the clock begin at that moment, for tests and pictures:
a demo looks the same then, whenever it is started. The browser's clock should be set to the same.`,
	options: func(o *options) {
		cfg := &demoConfig{}
		o.cfg = cfg
		o.flags.StringVar(&cfg.Data, "data", demoHome(), "`DIR` of the demo. It is made when missing; a folder that holds anything else is refused.")
		o.flags.StringVar(&cfg.Listen, "listen", defaultListen, "`ADDR` to answer on: host:port, on this machine.")
		o.flags.BoolVar(&cfg.Fresh, "fresh", false, "Begin with an emptied folder.")
		o.local["data"] = true // FAIRMEASURE_DATA is a real journal's
		o.local["fresh"] = true
	},
	run: func(ctx context.Context, p *program, o *options) error { return p.demo(ctx, *o.cfg.(*demoConfig)) },
}

func demoHome() string {
	d, err := os.UserCacheDir()
	if err != nil {
		d = os.TempDir()
	}
	return filepath.Join(d, "fairmeasure", "demo")
}

// demoCodeLife is how long the demo's codes wait (chosen: it listens on this machine only).
const demoCodeLife = 24 * time.Hour

func (p *program) demo(ctx context.Context, cfg demoConfig) error {
	if host, _, err := net.SplitHostPort(cfg.Listen); err == nil && !server.Loopback(host) {
		return &callError{fmt.Sprintf("demo: --listen %s: the demo answers on this machine only", cfg.Listen), "fairmeasure serve is for more than one machine"}
	}
	made, err := demoFolder(cfg.Data, cfg.Fresh)
	if err != nil {
		return err
	}
	r, err := p.open(ctx, serveConfig{
		Data: demoStore(cfg.Data), Listen: cfg.Listen, owner: "Demo", Log: "warn",
		MinFree: 64 << 20, MemoryLimit: 256 << 20,
	})
	if err != nil {
		return err
	}
	_, journal, err := r.door.Owner(ctx, "")
	if err != nil {
		return r.closeAfter(err)
	}
	if !made {
		fmt.Fprintln(p.stderr, "writing the invented journal ...")
		if err := p.makeDemo(ctx, r, journal, cfg.Data); err != nil {
			return r.closeAfter(err)
		}
	}
	if err := r.door.ForgetCodes(ctx); err != nil { // of earlier starts
		return r.closeAfter(err)
	}
	open, err := r.door.NewCode(ctx, demoCodeLife)
	if err != nil {
		return r.closeAfter(err)
	}
	phone, err := r.door.NewCode(ctx, demoCodeLife)
	if err != nil {
		return r.closeAfter(err)
	}
	fmt.Fprintf(p.stderr, "data    %s\nOpen the link in a browser. In a second browser open %s/pair and type the phone's code.\nCtrl-C ends the demo; the next start goes on with the same journal.\n\n", cfg.Data, r.url)
	if _, err := fmt.Fprintf(p.stdout, "open    %s/pair#code=%s\nphone   %s\n", r.url, open, phone); err != nil {
		return r.closeAfter(err)
	}
	return r.serve(ctx)
}

// The demo's folder is marked, so that no other folder is ever emptied or written into. The mark says whether the journal
// was written to its end; a folder where it was not is made anew.
const (
	demoMark     = "demo.txt"
	demoComplete = "The invented journal of fairmeasure demo. Delete this folder when you like.\n"
	demoBegun    = "The invented journal of fairmeasure demo, not finished.\n"
)

// demoStore is where a demo's folder has its store.
func demoStore(dir string) string { return filepath.Join(dir, "store") }

// demoFolder makes the folder ready and tells whether it holds a finished journal.
func demoFolder(dir string, fresh bool) (bool, error) {
	mark, err := os.ReadFile(filepath.Join(dir, demoMark))
	switch {
	case err == nil && string(mark) == demoComplete && !fresh:
		return true, nil
	case err == nil && (string(mark) == demoComplete || string(mark) == demoBegun):
		if err := notRunning(demoStore(dir)); err != nil {
			return false, err
		}
		if err := os.RemoveAll(demoStore(dir)); err != nil {
			return false, fmt.Errorf("emptying the demo's folder: %w", err)
		}
	case err == nil || errors.Is(err, fs.ErrNotExist):
		entries, err := os.ReadDir(dir)
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return false, fmt.Errorf("reading the demo's folder: %w", err)
		}
		if len(entries) > 0 {
			return false, &callError{
				fmt.Sprintf("demo: %s holds something else than a demo", dir),
				"--data takes another folder, or fairmeasure serve opens a journal of your own",
			}
		}
	default:
		return false, fmt.Errorf("reading the demo's folder: %w", err)
	}
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return false, fmt.Errorf("making the demo's folder: %w", err)
	}
	if err := os.WriteFile(filepath.Join(dir, demoMark), []byte(demoBegun), 0o600); err != nil {
		return false, fmt.Errorf("marking the demo's folder: %w", err)
	}
	return false, nil
}

func (p *program) makeDemo(ctx context.Context, r *running, j store.Journal, dir string) error {
	admit := func(name string) (string, error) {
		code, err := r.door.NewCode(ctx, time.Minute)
		if err != nil {
			return "", err
		}
		pass, err := r.door.Admit(ctx, auth.Visitor{Code: code.String(), Name: name})
		return string(pass.Device.ID), err
	}
	if err := p.seed(ctx, r.store, j, p.now(), admit); err != nil {
		return fmt.Errorf("writing the demo's journal: %w", err)
	}
	if err := os.WriteFile(filepath.Join(dir, demoMark), []byte(demoComplete), 0o600); err != nil {
		return fmt.Errorf("marking the demo's folder: %w", err)
	}
	return nil
}
