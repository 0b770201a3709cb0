package web_test

import (
	"bytes"
	"context"
	"io"
	"net"
	"net/http"
	"strings"
	"sync"
	"testing"
	"time"

	"maulstick/render/place"
	"maulstick/web"
)

// said is what the server has said so far, safe to read while it runs.
type said struct {
	mutex sync.Mutex
	text  bytes.Buffer
}

func (s *said) Write(p []byte) (int, error) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	return s.text.Write(p)
}

func (s *said) String() string {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	return s.text.String()
}

func TestServeSaysWhereAndStops(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	out, ended := new(said), make(chan error, 1)
	go func() { ended <- web.Serve(ctx, "127.0.0.1:0", out) }()
	address := ""
	for deadline := time.Now().Add(10 * time.Second); address == "" && time.Now().Before(deadline); time.Sleep(10 * time.Millisecond) {
		if line, found := strings.CutPrefix(strings.TrimSuffix(out.String(), "\n"), "Maulstick is at "); found {
			address = line
		}
	}
	if !strings.HasPrefix(address, "http://127.0.0.1:") || !strings.HasSuffix(address, "/") {
		t.Fatalf("it said %q", out)
	}
	response, err := http.Get(address)
	if err != nil {
		t.Fatal(err)
	}
	defer response.Body.Close()
	page, err := io.ReadAll(response.Body)
	if err != nil || response.StatusCode != 200 || !bytes.Contains(page, []byte("<title>Maulstick</title>")) {
		t.Errorf("the page: %d, %v, %.60q", response.StatusCode, err, page)
	}
	stop()
	select {
	case err := <-ended:
		if err != nil {
			t.Errorf("stopped with %v", err)
		}
	case <-time.After(10 * time.Second):
		t.Error("it does not stop")
	}
}

func TestServeRefusesAddresses(t *testing.T) {
	taken, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer taken.Close()
	for _, addr := range []string{
		"0.0.0.0:8088", ":8088", "192.168.1.20:8088", "[::]:8088", "example.org:8088", "127.0.0.1", "", "8088",
		taken.Addr().String(),
	} {
		out := new(said)
		err := web.Serve(t.Context(), addr, out)
		if err == nil || place.Hint(err) == "" {
			t.Errorf("serving on %q: error %v with hint %q, want both", addr, err, place.Hint(err))
		}
		if out.String() != "" {
			t.Errorf("serving on %q: it said %q", addr, out)
		}
	}
}
