package main

import (
	"context"
	"fmt"
	"log/slog"
	"net"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"strings"
	"time"

	"fairmeasure/server"
	"fairmeasure/server/auth"
)

// serveConfig is what serve is told. Each field is an option; its text in options below is the manual.
type serveConfig struct {
	// Data is the folder of the store; it is made when missing, for its owner alone.
	Data string
	// Listen is the address to answer on. Loopback unless told otherwise.
	Listen string
	// PublicURL is what people type: https, or http on a loopback name.
	PublicURL string
	// TrustedProxies are addresses of proxies that may name the client in X-Real-IP.
	TrustedProxies []string
	// RequestsPerHour bounds one device, and four times as many one account; 0 is no bound.
	RequestsPerHour int
	// VisitsPerHour bounds one address that wants to come in or renews; 0 is no bound.
	VisitsPerHour int
	// EncryptionKeyFile holds 32 bytes that encrypt the store; it belongs somewhere else than Data. Empty: not encrypted.
	EncryptionKeyFile string
	// MinFree is the free space below which writes are refused; 0 lets the store choose.
	MinFree int64
	// Ballast is the size of a file that may be deleted at once when the disk is full.
	Ballast int64
	// QuickCheck leaves the reading of the whole database out of the start.
	QuickCheck bool
	// MemoryLimit is the soft limit given to the garbage collector; 0 is none.
	MemoryLimit int64
	// Log is the least level that is logged.
	Log string

	key   []byte // what EncryptionKeyFile holds
	owner string // what the account is called that the demo's first code opens
}

const (
	defaultListen  = "127.0.0.1:8080"
	defaultMinFree = 256 << 20
	publicURLHint  = "--public-url is what people type: https://drinks.example.org"
)

var serveCommand = command{
	name: "serve",
	does: "keep journals and answer their devices",
	help: `
Starts on this machine's loopback address and opens or makes the store. While there is no owner it prints a link that makes
the owner's account: good once, for 60 minutes, new at each start. Everybody else comes in by what that account gives out,
or by fairmeasure accounts. Ctrl-C or SIGTERM ends it in order.

A phone runs the app offline only when it came over https: put this behind a proxy or tunnel that has a certificate and
say so with --public-url. The proxy must not buffer /api/v1/events and must set X-Real-IP itself.`,
	options: func(o *options) {
		cfg := &serveConfig{MinFree: defaultMinFree, Ballast: 64 << 20, MemoryLimit: 128 << 20}
		o.cfg = cfg
		f := o.flags
		f.StringVar(&cfg.Data, "data", dataHome(o.env), "`DIR` of the store. It is made when missing, readable by its owner alone.")
		f.StringVar(&cfg.Listen, "listen", defaultListen, "`ADDR` to answer on: host:port. Port 0 takes a free one.")
		f.StringVar(&cfg.PublicURL, "public-url", "", "`URL` that people type: https://host, or http on localhost. Default: http and what --listen says.")
		f.Var(listValue{&cfg.TrustedProxies}, "trusted-proxy", "`IP` of a proxy that names the client in X-Real-IP. May be given more than once.")
		f.IntVar(&cfg.RequestsPerHour, "requests-per-hour", 600, "`N` requests of one device an hour, and of one account four times as many; 0 for no bound.")
		f.IntVar(&cfg.VisitsPerHour, "visits-per-hour", 1200, "`N` tries an hour of one address to come in or to renew; 0 for no bound. Wrong codes are counted apart: ten an hour.")
		f.StringVar(&cfg.EncryptionKeyFile, "encryption-key-file", "", "`FILE` of exactly 32 random bytes that encrypt the store. Only from the first start on, and then always. Keep it apart from the data, and keep a copy.")
		f.Var(bytesValue{&cfg.Ballast}, "ballast", "`SIZE` of a file beside the store that may be deleted at once when the disk is full; 0 for none.")
		f.BoolVar(&cfg.QuickCheck, "quick-check", false, "Do not read the whole database at the start to check it.")
		f.Var(bytesValue{&cfg.MinFree}, "min-free", "`SIZE` of free disk space below which nothing more is written. Reading goes on.")
		f.Var(bytesValue{&cfg.MemoryLimit}, "memory-limit", "`SIZE` of memory to aim for; 0 for none.")
		f.StringVar(&cfg.Log, "log", "info", "`LEVEL` from which to log: debug, info, warn, error. Lines are JSON on standard error.")
	},
	run: func(ctx context.Context, p *program, o *options) error {
		cfg := o.cfg.(*serveConfig)
		r, err := p.open(ctx, *cfg)
		if err != nil {
			return err
		}
		if err := p.greet(ctx, r, cfg.Data); err != nil {
			return r.closeAfter(err)
		}
		return r.serve(ctx)
	},
}

// greet says where the server is and how someone comes in; all in one write, so that a program reads it whole.
func (p *program) greet(ctx context.Context, r *running, data string) error {
	var out strings.Builder
	fmt.Fprintf(&out, "data    %s\nserving %s\n\n", data, r.url)
	health, err := r.store.Health(ctx)
	if err != nil {
		return fmt.Errorf("asking the store how it is: %w", err)
	}
	key, toSetUp := "", false
	if health.OK {
		if err := r.door.ForgetCodes(ctx); err != nil {
			return err
		}
		key, toSetUp = r.door.OpenSetup(wayInLife)
	}
	switch {
	case !health.OK:
		fmt.Fprintln(&out, "Nothing can be written at the moment, so no new device can come in. What is here can be read.")
	case toSetUp:
		link := r.url + "/setup#key=" + key
		if terminal(p.stderr) {
			if err := paintCode(&out, link); err != nil {
				return err
			}
		}
		fmt.Fprintf(&out, "There is no owner yet. Open this link to make the owner's account:\n%s\nIt is good once, for %s; each start prints a new one.\n", link, spoken(wayInLife))
	default:
		fmt.Fprintln(&out, "A new device signs in with name and password, or with a code from a device that is signed in.\nLost both? Stop the server, then: fairmeasure accounts recover NAME")
	}
	_, err = fmt.Fprintln(p.stderr, out.String())
	return err
}

// dataHome is where the store stands unless told otherwise: where this kind of machine keeps a user's data.
func dataHome(env func(string) string) string {
	if d := env("XDG_DATA_HOME"); filepath.IsAbs(d) {
		return filepath.Join(d, "fairmeasure")
	}
	if home := env("HOME"); home != "" && runtime.GOOS != "darwin" && runtime.GOOS != "windows" {
		return filepath.Join(home, ".local", "share", "fairmeasure")
	}
	if d, err := os.UserConfigDir(); err == nil {
		return filepath.Join(d, "fairmeasure")
	}
	return "fairmeasure-data"
}

// running is an open store with its server, listening.
type running struct {
	store  openedStore
	door   *auth.Door
	server *server.Server
	ln     net.Listener
	url    string
	log    *slog.Logger

	program *program
}

// open takes the address, then the store, then makes the server; what is open is closed again when the next step fails.
func (p *program) open(ctx context.Context, cfg serveConfig) (*running, error) {
	log, err := p.logger(cfg.Log)
	if err != nil {
		return nil, err
	}
	host, _, err := net.SplitHostPort(cfg.Listen)
	if err != nil {
		return nil, &callError{fmt.Sprintf("--listen %q: expected host:port", cfg.Listen), "for example " + defaultListen}
	}
	if cfg.PublicURL == "" && !server.Loopback(host) {
		return nil, &callError{
			fmt.Sprintf("--listen %s reaches beyond this machine, so --public-url has to say what people type", cfg.Listen),
			"--public-url https://drinks.example.org, or http://localhost:8080 when only this machine gets there",
		}
	}
	if cfg.PublicURL != "" {
		if err := server.CheckPublicURL(cfg.PublicURL); err != nil {
			return nil, &callError{err.Error(), publicURLHint}
		}
	}
	if err := p.checkClock(cfg.Listen, cfg.PublicURL); err != nil {
		return nil, err
	}
	if p.clock != "" {
		log.Warn("this server goes by a clock of its own", "from", p.clock)
	}
	if cfg.key, err = encryptionKey(cfg.EncryptionKeyFile); err != nil {
		return nil, err
	}
	if cfg.MemoryLimit > 0 {
		debug.SetMemoryLimit(cfg.MemoryLimit)
	}
	ln, err := net.Listen("tcp", cfg.Listen)
	if err != nil {
		return nil, &hinted{fmt.Errorf("listening on %s: %w", cfg.Listen, err), "--listen takes another address; 127.0.0.1:0 any free port"}
	}
	r := &running{ln: ln, log: log, program: p, url: strings.TrimSuffix(cfg.PublicURL, "/")}
	if r.url == "" {
		r.url = "http://" + net.JoinHostPort(host, fmt.Sprint(ln.Addr().(*net.TCPAddr).Port))
	}
	if err := r.openInside(ctx, cfg); err != nil {
		return nil, r.closeAfter(err)
	}
	return r, nil
}

func (p *program) logger(level string) (*slog.Logger, error) {
	var l slog.Level
	if err := l.UnmarshalText([]byte(level)); err != nil {
		return nil, &callError{fmt.Sprintf("--log %q: expected debug, info, warn or error", level), ""}
	}
	return slog.New(slog.NewJSONHandler(p.stderr, &slog.HandlerOptions{Level: l})), nil
}

// keepEvery is how often the door's housekeeping is done.
const keepEvery = time.Hour

// serve answers until ctx ends or the listener fails, then closes everything in the reverse order of opening.
func (r *running) serve(ctx context.Context) error {
	served := make(chan error, 1)
	go func() { served <- r.server.Serve(r.ln) }()
	keep := time.NewTicker(keepEvery)
	defer keep.Stop()
	for {
		select {
		case <-keep.C:
			r.keep(ctx)
			continue
		case err := <-served:
			return r.closeAfter(err)
		case <-ctx.Done():
		}
		r.log.Info("stopping")
		err := r.server.Shutdown(context.WithoutCancel(ctx))
		if e := <-served; err == nil {
			err = e
		}
		r.keep(context.WithoutCancel(ctx))
		return r.closeAfter(err)
	}
}

// keep does the door's housekeeping. Nothing depends on it, so a full disk does not end the server, nor its orderly end.
func (r *running) keep(ctx context.Context) {
	if err := r.door.Keep(ctx); err != nil {
		r.log.Warn("housekeeping was not done", "error", err)
	}
}

// closeAfter closes what is open; err, if any, is the news, else what closing says.
func (r *running) closeAfter(err error) error {
	r.ln.Close() // closed already after a Shutdown
	if r.store != nil {
		if e := r.store.Close(); err == nil && e != nil {
			err = fmt.Errorf("closing the store: %w", e)
		}
	}
	return err
}
