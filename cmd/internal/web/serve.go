package web

import (
	"context"
	"errors"
	"log"
	"net"
	"net/http"
	"time"

	"steepbook/cmd/internal/book"
)

// Limits of a connection: a request is small and its answer quick, so that whoever is
// slow on purpose is let go.
const (
	headerTime = 5 * time.Second
	readTime   = 15 * time.Second
	writeTime  = 60 * time.Second
	idleTime   = 2 * time.Minute
	stopTime   = 10 * time.Second
	headerSize = 16 << 10
	mostOpen   = 256 // connections
)

// Serve answers on the listeners until the context ends, and then finishes what it is
// at. The error is of the operating system.
func Serve(ctx context.Context, on []net.Listener, c Config) error {
	srv := &http.Server{
		Handler: Handler(c), ErrorLog: log.New(quiet{}, "", 0),
		ReadHeaderTimeout: headerTime, ReadTimeout: readTime, WriteTimeout: writeTime, IdleTimeout: idleTime,
		MaxHeaderBytes: headerSize,
	}
	warm, cool := context.WithCancel(ctx)
	defer cool()
	go keepWarm(warm, c.Book, c.Now)
	failed := make(chan error, len(on))
	slots := make(chan struct{}, mostOpen)
	for _, l := range on {
		go func() { failed <- srv.Serve(&counted{l, slots}) }()
	}
	var err error
	select {
	case <-ctx.Done():
	case err = <-failed:
	}
	stop, cancel := context.WithTimeout(context.WithoutCancel(ctx), stopTime)
	defer cancel()
	return errors.Join(err, srv.Shutdown(stop))
}

// keepWarm looks at the book from time to time, so that no page has to wait for all of it.
func keepWarm(ctx context.Context, k *book.Kept, now func() time.Time) {
	tick := time.NewTicker(40 * time.Second)
	defer tick.Stop()
	for {
		if st, err := k.At(now()); err == nil {
			st.Refresh()
		}
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
	}
}

// counted lets only so many connections be open at once; the others wait.
type counted struct {
	net.Listener
	slots chan struct{}
}

func (l *counted) Accept() (net.Conn, error) {
	l.slots <- struct{}{}
	c, err := l.Listener.Accept()
	if err != nil {
		<-l.slots
		return nil, err
	}
	return &countedConn{Conn: c, slots: l.slots}, nil
}

type countedConn struct {
	net.Conn
	slots  chan struct{}
	closed bool
}

func (c *countedConn) Close() error {
	err := c.Conn.Close()
	if !c.closed { // the server closes a connection from one goroutine
		c.closed = true
		<-c.slots
	}
	return err
}

// quiet drops what a strange client makes the server say of it.
type quiet struct{}

func (quiet) Write(p []byte) (int, error) { return len(p), nil }
