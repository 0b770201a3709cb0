package web_test

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"encoding/pem"
	"math/big"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"maulstick/web/authority"
)

// trusting starts a browser for a user whose certificate database holds the
// authority, as the steps have it, or holds nothing. Every name is on this machine.
func trusting(t *testing.T, root *x509.Certificate) *browser {
	t.Helper()
	home := t.TempDir()
	database := filepath.Join(home, ".pki", "nssdb")
	if err := os.MkdirAll(database, 0o700); err != nil {
		t.Fatal(err)
	}
	run := func(args ...string) {
		t.Helper()
		if said, err := exec.Command("certutil", append(args, "-d", "sql:"+database)...).CombinedOutput(); err != nil {
			t.Fatalf("certutil %v: %v: %s (run make tools)", args, err, said)
		}
	}
	run("-N", "--empty-password")
	if root != nil {
		file := filepath.Join(home, "authority.crt")
		if err := os.WriteFile(file, root.Raw, 0o600); err != nil {
			t.Fatal(err)
		}
		run("-A", "-n", "studio", "-t", "C,,", "-i", file)
	}
	return startBrowser(t, filepath.Join(home, "profile"), chromedp.Env("HOME="+home),
		chromedp.Flag("host-resolver-rules", "MAP * 127.0.0.1"))
}

// visit loads an address in a tab of its own and says why the browser would not.
func (b *browser) visit(address string) (*tab, error) {
	ctx, cancel := chromedp.NewContext(b.ctx)
	b.t.Cleanup(cancel)
	p := &tab{t: b.t, ctx: ctx}
	p.must(chromedp.Do(ctx))
	return p, chromedp.Do(ctx, chromedp.Navigate(address))
}

// A tablet that trusts the authority opens the page, keeps it, and has it when the
// laptop is shut; one that does not trust it goes no further.
func TestTrustedPageIsKept(t *testing.T) {
	s := serveStudio(t, here(t.TempDir()))
	_, port, _ := strings.Cut(s.page, ":")
	address := "https://" + net.JoinHostPort(studioName, port) + "/"
	if _, err := trusting(t, nil).visit(address); err == nil || !strings.Contains(err.Error(), "ERR_CERT_AUTHORITY_INVALID") {
		t.Errorf("without trust the browser says %v", err)
	}
	b := trusting(t, s.root())
	p := b.open(landscape, address)
	p.settle()
	p.await("the page is put by", `document.documentElement.dataset.offline === 'ready'`)
	if !eval[bool](p, `isSecureContext && !!crypto.subtle && !!navigator.locks`) {
		t.Error("the page is not in a safe context")
	}
	s.stop()
	p.reload()
	p.settle()
	if complaints := p.complaints(); len(complaints) > 0 {
		t.Errorf("the console says %q", complaints)
	}
	if _, err := b.visit("http://" + s.steps + "/"); err == nil {
		t.Error("the laptop was not shut")
	}
}

// The limits hold in the browser too: a certificate for another name, signed with
// the authority's own key, is refused.
func TestBrowserHoldsTheAuthorityToItsLimits(t *testing.T) {
	folder := t.TempDir()
	own, err := authority.Open(folder, authority.Scope{Name: studioName}, time.Now())
	if err != nil {
		t.Fatal(err)
	}
	root := mustParse(t, own.Certificate())
	b := trusting(t, root)
	for name, want := range map[string]string{studioName: "", "bank.example": "ERR_CERT"} {
		listener, err := tls.Listen("tcp", "127.0.0.1:0", &tls.Config{Certificates: []tls.Certificate{signed(t, folder, name)}})
		if err != nil {
			t.Fatal(err)
		}
		server := &http.Server{Handler: http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(http.StatusNotFound) })}
		go server.Serve(listener)
		t.Cleanup(func() { server.Close() })
		_, port, _ := net.SplitHostPort(listener.Addr().String())
		_, err = b.visit("https://" + net.JoinHostPort(name, port) + "/")
		refused := err != nil && strings.Contains(err.Error(), "ERR_CERT")
		if refused != (want != "") {
			t.Errorf("of %s the browser says %v, want %q", name, err, want)
		}
	}
}

// signed is a server's certificate for any name, made with the key of the file.
func signed(t *testing.T, folder, name string) tls.Certificate {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(folder, authority.File))
	if err != nil {
		t.Fatal(err)
	}
	first, rest := pem.Decode(text)
	second, _ := pem.Decode(rest)
	root := mustParse(t, first.Bytes)
	key, err := x509.ParsePKCS8PrivateKey(second.Bytes)
	if err != nil {
		t.Fatal(err)
	}
	own, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	der, err := x509.CreateCertificate(rand.Reader, &x509.Certificate{
		SerialNumber: big.NewInt(9), NotBefore: time.Now().Add(-time.Minute), NotAfter: time.Now().Add(time.Hour),
		DNSNames: []string{name}, KeyUsage: x509.KeyUsageDigitalSignature, ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
	}, root, &own.PublicKey, key)
	if err != nil {
		t.Fatal(err)
	}
	return tls.Certificate{Certificate: [][]byte{der}, PrivateKey: own}
}
