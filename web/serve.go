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
	idlePatience   = 2 * time.Minute
	closePatience  = 3 * time.Second // for answers under way when asked to stop
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
	server := &http.Server{Handler: handler, ReadHeaderTimeout: headerPatience, IdleTimeout: idlePatience}
	if _, err := fmt.Fprintf(out, "Maulstick is at http://%s/\n", hosts(names[:1], port)[0]); err != nil {
		return fmt.Errorf("saying where the page is: %w", err)
	}
	return serveUntil(ctx, server, listener)
}

// serveUntil serves until the context ends and then lets answers finish.
func serveUntil(ctx context.Context, server *http.Server, listener net.Listener) error {
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(listener) }()
	select {
	case err := <-ended:
		return fmt.Errorf("serving the page on %s: %w", listener.Addr(), err)
	case <-ctx.Done():
	}
	patience, stop := context.WithTimeout(context.WithoutCancel(ctx), closePatience)
	defer stop()
	if err := server.Shutdown(patience); err != nil && !errors.Is(err, context.DeadlineExceeded) {
		return fmt.Errorf("closing the page's server: %w", err)
	}
	return nil
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
