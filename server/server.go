// Package server is the way in from the network: sign-in routes, the sync route, pokes, totals worked out by the core the
// app uses, a description of all that, and the app's files, on Fiber.
//
// It promises that every refusal is a problem document with a code that a program can act on, that nothing a visitor sends
// is trusted before it was measured and checked, and that it stops in order: streams first, then requests, then its own
// goroutines. What is decided about sign-in is decided in auth, what is decided about a round in exchange; here is only
// HTTP. It logs no token, no cookie, no code and no line of a journal.
package server

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"net"
	"net/url"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"github.com/gofiber/fiber/v2"
	"github.com/gofiber/fiber/v2/middleware/helmet"

	"fairmeasure/server/auth"
	"fairmeasure/sync/store"
)

// Config is what a server is made of. Door, Store, Rounds, Pages, Now, Log and PublicURL must be given.
type Config struct {
	Door   *auth.Door
	Store  store.Store
	Rounds Rounds
	// Pages is the built app, index.html at its root. Without an index.html every page answers 503 with what to do.
	Pages fs.FS
	// Now is the server's clock. Deadlines of connections alone use the machine's own.
	Now func() time.Time
	Log *slog.Logger
	// PublicURL is what people type: https://host, or http on a loopback name. Links and the origin check use it, and
	// with https the cookies are Secure.
	PublicURL string
	// TrustedProxies are the addresses that may name the client in X-Real-IP.
	TrustedProxies []string
	// RequestsPerHour bounds one device's signed-in requests, and those of an account to four times as many, however many
	// devices it has; 0 for no bound.
	RequestsPerHour int
	// VisitsPerHour bounds one address's requests to come in or renew; 0 for no bound.
	VisitsPerHour int
	// ReadWait is how long a request's headers and body may take; 0 is 15 s.
	ReadWait time.Duration
	// Streams bound the pokes.
	Streams Streams
}

// Streams bounds the poke streams. Zero fields take the values given here.
type Streams struct {
	PerAccount int           // at once, 20
	InAll      int           // at once, 2,000
	Heartbeat  time.Duration // between comments that find out whether anyone listens, 20 s
	Life       time.Duration // then the browser opens a new one, 30 min
	WriteWait  time.Duration // how long one flush may take, 10 s
}

func (s *Streams) fill() {
	set := func(d *time.Duration, v time.Duration) {
		if *d == 0 {
			*d = v
		}
	}
	if s.PerAccount == 0 {
		s.PerAccount = 20
	}
	if s.InAll == 0 {
		s.InAll = 2000
	}
	set(&s.Heartbeat, 20*time.Second)
	set(&s.Life, 30*time.Minute)
	set(&s.WriteWait, 10*time.Second)
}

// The limits of a connection.
const (
	bodyLimit   = 1 << 20
	readWait    = 15 * time.Second
	idleWait    = 60 * time.Second
	answerWait  = 30 * time.Second // an ordinary answer has to be taken within
	roundWait   = 25 * time.Second // a round has to be done within
	shutdownFor = 10 * time.Second
	lastRounds  = 2 * time.Second // what is under way may take so long once the server closes

	accountShare = 4 // an account may ask as often as so many of its devices
)

// contentPolicy was proven with the worker, the core and the service worker; see the table in the browser's folder.
const contentPolicy = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; worker-src 'self'; connect-src 'self'; " +
	"style-src 'self'; img-src 'self' data: blob:; font-src 'self'; manifest-src 'self'; base-uri 'none'; " +
	"form-action 'none'; frame-ancestors 'none'"

// Server answers HTTP. Make it with New, run it with Serve, end it with Shutdown.
type Server struct {
	app     *fiber.App
	door    *auth.Door
	store   store.Store
	rounds  Rounds
	pages   *pages
	now     func() time.Time
	log     *slog.Logger
	origins map[string]bool
	cookies cookies

	readings *readings
	openapi  prepared

	deviceRate  *rate
	accountRate *rate
	visitRate   *rate

	streams Streams
	open    openStreams
	stop    chan struct{} // closed when streams are to end
	working context.Context
	endAll  context.CancelFunc // ends the rounds that are under way
	stopped sync.Once
	watches sync.WaitGroup
	ready   atomic.Bool
	unwell  atomic.Bool // the store was not well when it was last asked

	listener atomic.Pointer[freshListener]
}

// New makes a server that is not listening yet.
func New(cfg Config) (*Server, error) {
	origin, origins, err := originsOf(cfg.PublicURL)
	if err != nil {
		return nil, err
	}
	pages, err := readPages(cfg.Pages)
	if err != nil {
		return nil, fmt.Errorf("server: reading the app's files: %w", err)
	}
	s := &Server{
		door: cfg.Door, rounds: cfg.Rounds, pages: pages, now: cfg.Now, log: cfg.Log,
		origins: origins, cookies: cookiesFor(origin),
		deviceRate: newRate(cfg.RequestsPerHour, cfg.Now), accountRate: newRate(accountShare*cfg.RequestsPerHour, cfg.Now),
		visitRate: newRate(cfg.VisitsPerHour, cfg.Now),
		streams:   cfg.Streams, open: openStreams{accounts: map[auth.AccountID]int{}},
		stop: make(chan struct{}),
	}
	s.working, s.endAll = context.WithCancel(context.Background())
	s.readings = newReadings(cfg.Store)
	s.store = remembered{cfg.Store, s.readings}
	if s.openapi, err = s.describe(); err != nil {
		return nil, err
	}
	s.streams.fill()
	s.ready.Store(true)
	s.app = fiber.New(fiber.Config{
		Immutable:                 true,
		BodyLimit:                 bodyLimit,
		ReadTimeout:               cmp.Or(cfg.ReadWait, readWait),
		IdleTimeout:               idleWait,
		WriteTimeout:              0, // set once per answer it would end a stream; see first
		ReadBufferSize:            8 << 10,
		Concurrency:               4096,
		CaseSensitive:             true,
		StrictRouting:             true,
		DisableStartupMessage:     true,
		DisableDefaultContentType: true,
		ErrorHandler:              s.problem,
		ProxyHeader:               "X-Real-IP",
		EnableTrustedProxyCheck:   true,
		TrustedProxies:            cfg.TrustedProxies,
		EnableIPValidation:        true,
	})
	s.app.Use(helmet.New(helmet.Config{
		XFrameOptions: "DENY", ReferrerPolicy: "no-referrer", ContentSecurityPolicy: contentPolicy,
		HSTSMaxAge: 365 * 24 * 3600, HSTSExcludeSubdomains: true,
		PermissionPolicy: "camera=(), geolocation=(), microphone=()",
	}))
	s.app.Use(s.first)
	for _, r := range s.routes() {
		s.app.Add(r.method, r.path, s.admitted(r))
	}
	s.app.Use("/api", func(*fiber.Ctx) error { return errNotFound })
	s.app.Use(s.page)
	return s, nil
}

// CheckPublicURL tells whether a server can be made with a public URL.
func CheckPublicURL(public string) error {
	_, _, err := originsOf(public)
	return err
}

// originsOf checks the public URL and gives the origins a request may come from. A loopback name stands for all of them.
func originsOf(public string) (*url.URL, map[string]bool, error) {
	u, err := url.Parse(public)
	if err != nil || u.Host == "" || u.Scheme != "https" && u.Scheme != "http" || strings.Trim(u.Path, "/") != "" {
		return nil, nil, fmt.Errorf("server: public url %q: expected https://host or http://localhost:port", public)
	}
	origins := map[string]bool{u.Scheme + "://" + u.Host: true}
	if u.Scheme == "https" {
		return u, origins, nil
	}
	if !Loopback(u.Hostname()) {
		return nil, nil, fmt.Errorf("server: public url %q: browsers keep an app only from https, or from http on localhost", public)
	}
	for _, h := range []string{"localhost", "127.0.0.1", "[::1]"} {
		if p := u.Port(); p != "" {
			h += ":" + p
		}
		origins["http://"+h] = true
	}
	return u, origins, nil
}

// Loopback tells whether a host name or address reaches this machine only.
func Loopback(host string) bool {
	ip := net.ParseIP(strings.Trim(host, "[]"))
	return host == "localhost" || ip != nil && ip.IsLoopback()
}

// Serve answers on ln until Shutdown.
func (s *Server) Serve(ln net.Listener) error {
	fresh := newFreshListener(ln)
	s.listener.Store(fresh)
	select {
	case <-s.stop: // ended before it began
		return ln.Close()
	default:
	}
	if err := s.app.Listener(fresh); err != nil {
		return fmt.Errorf("server: %w", err)
	}
	return nil
}

// Shutdown ends the streams, lets running requests finish, and waits for everything it started. The caller closes the
// door's book and the store after it.
func (s *Server) Shutdown(ctx context.Context) error {
	s.stopped.Do(func() {
		s.ready.Store(false)
		close(s.stop) // before the listener: it would wait for the streams otherwise
	})
	ctx, cancel := context.WithTimeout(ctx, shutdownFor)
	defer cancel()
	if l := s.listener.Load(); l != nil {
		l.Close()
		l.closeFresh()
	}
	defer time.AfterFunc(lastRounds, s.endAll).Stop()
	err := s.app.ShutdownWithContext(ctx)
	s.endAll()
	if err != nil && !errors.Is(err, net.ErrClosed) {
		return fmt.Errorf("server: shutting down: %w", err)
	}
	s.watches.Wait()
	return nil
}
