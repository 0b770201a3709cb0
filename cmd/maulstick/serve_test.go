package main

import (
	"bufio"
	"bytes"
	"context"
	"io"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"
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

// On the local network the page is said to be at its fixed port, and being told to
// stop is a good end there too.
func TestServeLAN(t *testing.T) {
	if _, missing := fs.Stat(web.Built(), part.ListFile); missing != nil {
		t.Fatal("the page is not built: run make build")
	}
	t.Setenv("HOME", t.TempDir())
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	ctx, stop := context.WithCancel(t.Context())
	said, out := io.Pipe()
	var stderr bytes.Buffer
	ended := make(chan int, 1)
	go func() {
		ended <- run(ctx, []string{"serve", "-lan", "-address", "127.0.0.1", "-name", "Studio.local", "-port", "0", "-trust-port", "0"}, out, &stderr)
		out.Close()
	}()
	lines := bufio.NewScanner(said)
	if !lines.Scan() || !strings.HasPrefix(lines.Text(), "Maulstick is at https://studio.local:") {
		t.Errorf("it says %q: %s", lines.Text(), stderr.String())
	}
	told := ""
	for !strings.Contains(told, "delete the file.") && lines.Scan() {
		told += lines.Text() + "\n"
	}
	configured, err := os.UserConfigDir()
	if err != nil || !strings.Contains(told, filepath.Join(configured, "maulstick", "authority.pem")) {
		t.Errorf("it does not say where the key lies: %v, %s", err, told)
	}
	stop()
	if status := <-ended; status != exitDone {
		t.Errorf("it ends with %d: %s", status, stderr.String())
	}
}

func TestServeRefusals(t *testing.T) {
	for _, addr := range []string{"0.0.0.0:8088", "192.0.2.1:8088", "8088", "127.0.0.1:99999999"} {
		status, stdout, stderr := ask("serve", "-addr", addr)
		if status == 0 || stdout != "" || !strings.HasPrefix(stderr, "maulstick serve: ") || !strings.Contains(stderr, "\nhint: ") {
			t.Errorf("serving on %s exits with %d and says %q", addr, status, stderr)
		}
	}
	folder := t.TempDir()
	for _, args := range [][]string{
		{"-lan", "-addr", "127.0.0.1:8088"}, {"-name", "studio.local"}, {"-port", "8443"}, {"-renew"},
		{"-lan", "-port", "65536"}, {"-lan", "-trust-port", "-1"}, {"-lan", "-address", "studio"}, {"-lan", "-address", "192.168.1.20,"},
		{"-lan", "-address", "203.0.113.9"}, {"-lan", "-address", "127.0.0.1", "-name", "example.com"},
	} {
		status, stdout, stderr := ask(append([]string{"serve", "-authority", folder}, args...)...)
		if status == 0 || stdout != "" || !strings.HasPrefix(stderr, "maulstick serve: ") || !strings.Contains(stderr, "\nhint: ") {
			t.Errorf("serve %v exits with %d and says %q", args, status, stderr)
		}
	}
}
