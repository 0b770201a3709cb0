package main

import (
	"bufio"
	"bytes"
	"context"
	"io"
	"io/fs"
	"net/http"
	"strings"
	"testing"
	"time"

	"maulstick/web"
	"maulstick/web/part"
)

// The page's address is said, a browser is answered there, and being told to
// stop is a good end. A program that the page was not built into says how to
// build it.
func TestServe(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	said, out := io.Pipe()
	var stderr bytes.Buffer
	ended := make(chan int, 1)
	go func() {
		ended <- run(ctx, []string{"serve", "-addr", "127.0.0.1:0"}, out, &stderr)
		out.Close()
	}()
	line, err := bufio.NewReader(said).ReadString('\n')
	if _, missing := fs.Stat(web.Built(), part.ListFile); missing != nil {
		if status := <-ended; status != exitFailed || !strings.Contains(stderr.String(), "\nhint: run make build") {
			t.Errorf("without a built page it ends with %d: %s", status, stderr.String())
		}
		return
	}
	if err != nil {
		t.Fatalf("it ends at once with %d: %s", <-ended, stderr.String())
	}
	response, err := http.Get(strings.TrimSpace(strings.TrimPrefix(line, "Maulstick is at ")))
	if err != nil {
		t.Fatalf("after %q: %v", line, err)
	}
	response.Body.Close()
	if policy := response.Header.Get("Content-Security-Policy"); response.StatusCode != http.StatusOK || !strings.Contains(policy, "default-src 'none'") {
		t.Errorf("the answer is %s with policy %q", response.Status, policy)
	}
	stop()
	select {
	case status := <-ended:
		if status != exitDone {
			t.Errorf("it ends with %d: %s", status, stderr.String())
		}
	case <-time.After(10 * time.Second):
		t.Fatal("it does not stop")
	}
}

func TestServeRefusals(t *testing.T) {
	for _, addr := range []string{"0.0.0.0:8088", "192.0.2.1:8088", "8088", "127.0.0.1:99999999"} {
		status, stdout, stderr := ask("serve", "-addr", addr)
		if status == 0 || stdout != "" || !strings.HasPrefix(stderr, "maulstick serve: ") || !strings.Contains(stderr, "\nhint: ") {
			t.Errorf("serving on %s exits with %d and says %q", addr, status, stderr)
		}
	}
}
