package web

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"time"

	"maulstick/render/place"
)

const (
	headerPatience = 10 * time.Second // a browser sends its headers at once
	answerPatience = 5 * time.Minute  // for the largest part over a poor network
	idlePatience   = 2 * time.Minute
	closePatience  = 3 * time.Second // for answers under way when asked to stop
	headerMost     = 16 << 10        // bytes
)

// Serve serves the built page on a loopback address such as 127.0.0.1:8088
// until the context ends, and writes to out where the page is. Port 0 takes
// one that is free. An address that others could reach is refused.
func Serve(ctx context.Context, addr string, out io.Writer) error {
	names, err := loopbackNames(addr)
	if err != nil {
		return err
	}
	listener, err := new(net.ListenConfig).Listen(ctx, "tcp", addr)
	if err != nil {
		return &place.Problem{
			Doing: "serving the page on " + addr, What: cause(err).Error(),
			Wanted: "choose another port, as in -addr 127.0.0.1:8089",
		}
	}
	defer listener.Close()
	port := listener.Addr().(*net.TCPAddr).Port
	handler, err := Handler(Built(), hosts(names, port))
	if err != nil {
		return err
	}
	if _, err := fmt.Fprintf(out, "Maulstick is at http://%s/\n", hosts(names[:1], port)[0]); err != nil {
		return fmt.Errorf("saying where the page is: %w", err)
	}
	return serveUntil(ctx, served{newServer(handler), listener})
}

// served is a server and where it is reached.
type served struct {
	server   *http.Server
	listener net.Listener
}

// newServer waits for nobody for ever.
func newServer(handler http.Handler) *http.Server {
	return &http.Server{
		Handler: handler, ReadHeaderTimeout: headerPatience, ReadTimeout: headerPatience,
		WriteTimeout: answerPatience, IdleTimeout: idlePatience, MaxHeaderBytes: headerMost,
	}
}

// serveUntil serves until the context ends, or one of the servers does, and then
// lets answers finish.
func serveUntil(ctx context.Context, all ...served) error {
	ended := make(chan error, len(all))
	for _, one := range all {
		go func() {
			if err := one.server.Serve(one.listener); !errors.Is(err, http.ErrServerClosed) {
				ended <- fmt.Errorf("serving the page on %s: %w", one.listener.Addr(), err)
			}
		}()
	}
	var failed error
	select {
	case failed = <-ended:
	case <-ctx.Done():
	}
	patience, stop := context.WithTimeout(context.WithoutCancel(ctx), closePatience)
	defer stop()
	for _, one := range all {
		if err := one.server.Shutdown(patience); err != nil && !errors.Is(err, context.DeadlineExceeded) {
			failed = errors.Join(failed, fmt.Errorf("closing the page's server: %w", err))
		}
	}
	return failed
}

// loopbackNames are the names under which a browser on this machine may ask
// for the page, the one given first.
func loopbackNames(addr string) ([]string, error) {
	host, _, err := net.SplitHostPort(addr)
	if err != nil {
		return nil, &place.Problem{
			Doing: "serving the page on " + addr, What: "this is no address with a port",
			Wanted: "give host and port, as in -addr 127.0.0.1:8088",
		}
	}
	ip := net.ParseIP(host)
	if host != "localhost" && (ip == nil || !ip.IsLoopback()) {
		return nil, &place.Problem{
			Doing: "serving the page on " + addr, What: "others on the network could reach it there",
			Wanted: "give an address of this machine alone, as in -addr 127.0.0.1:8088",
		}
	}
	names := []string{host}
	for _, name := range []string{"127.0.0.1", "localhost", "::1"} {
		if name != host {
			names = append(names, name)
		}
	}
	return names, nil
}

// hosts are the names with the port, as a browser says them.
func hosts(names []string, port int) []string {
	said := make([]string, 0, len(names))
	for _, name := range names {
		said = append(said, net.JoinHostPort(name, fmt.Sprint(port)))
	}
	return said
}

// cause is what the system said, without the address that is said already.
func cause(err error) error {
	var operation *net.OpError
	if errors.As(err, &operation) {
		return operation.Err
	}
	return err
}
