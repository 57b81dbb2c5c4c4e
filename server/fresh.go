package server

import (
	"net"
	"sync"
)

// freshListener knows the connections on which nothing has come yet. Browsers open some ahead of need; the HTTP library
// counts them as busy for their first five seconds, which would hold up a shutdown for so long.
type freshListener struct {
	net.Listener
	mu    sync.Mutex
	fresh map[*freshConn]struct{}
}

func newFreshListener(ln net.Listener) *freshListener {
	return &freshListener{Listener: ln, fresh: map[*freshConn]struct{}{}}
}

func (l *freshListener) Accept() (net.Conn, error) {
	c, err := l.Listener.Accept()
	if err != nil {
		return nil, err
	}
	f := &freshConn{Conn: c, listener: l}
	l.mu.Lock()
	l.fresh[f] = struct{}{}
	l.mu.Unlock()
	return f, nil
}

// closeFresh closes the connections on which nothing has come.
func (l *freshListener) closeFresh() {
	l.mu.Lock()
	defer l.mu.Unlock()
	for f := range l.fresh {
		f.Conn.Close()
	}
}

func (l *freshListener) forget(f *freshConn) {
	l.mu.Lock()
	defer l.mu.Unlock()
	delete(l.fresh, f)
}

type freshConn struct {
	net.Conn
	listener *freshListener
	once     sync.Once
}

func (f *freshConn) Read(b []byte) (int, error) {
	n, err := f.Conn.Read(b)
	f.once.Do(func() { f.listener.forget(f) })
	return n, err
}

func (f *freshConn) Close() error {
	f.once.Do(func() { f.listener.forget(f) })
	return f.Conn.Close()
}
