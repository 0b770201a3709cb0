package authority_test

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"math/big"
	"net"
	"net/netip"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"maulstick/web/authority"
)

var (
	now    = time.Now().Truncate(time.Second)
	studio = authority.Scope{Name: "studio.local", Addresses: []netip.Addr{
		netip.MustParseAddr("192.168.1.20"), netip.MustParseAddr("fd12:3456::20"),
	}}
	hosts = []string{"studio.local", "192.168.1.20", "fd12:3456::20"}
)

// made is an authority in a folder of its own.
func made(t *testing.T, scope authority.Scope) (*authority.Authority, string) {
	t.Helper()
	folder := filepath.Join(t.TempDir(), "kept")
	a, err := authority.Open(folder, scope, now)
	if err != nil {
		t.Fatal(err)
	}
	return a, folder
}

// issued is a certificate as a browser gets it.
func issued(t *testing.T, a *authority.Authority, hosts []string) *x509.Certificate {
	t.Helper()
	leaf, err := a.Issue(hosts, now)
	if err != nil {
		t.Fatal(err)
	}
	return leaf.Leaf
}

// stolen signs a certificate for anything with the key of the file, as a thief of
// the file would.
func stolen(t *testing.T, folder string, change func(*x509.Certificate)) *x509.Certificate {
	t.Helper()
	root, key := opened(t, folder)
	signed, _ := signedBy(t, root, key, change)
	return signed
}

// opened is what lies in the file.
func opened(t *testing.T, folder string) (*x509.Certificate, any) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(folder, authority.File))
	if err != nil {
		t.Fatal(err)
	}
	first, rest := pem.Decode(text)
	second, _ := pem.Decode(rest)
	root, err := x509.ParseCertificate(first.Bytes)
	if err != nil {
		t.Fatal(err)
	}
	key, err := x509.ParsePKCS8PrivateKey(second.Bytes)
	if err != nil {
		t.Fatal(err)
	}
	return root, key
}

// signedBy makes a certificate with a key of its own.
func signedBy(t *testing.T, root *x509.Certificate, key any, change func(*x509.Certificate)) (*x509.Certificate, *ecdsa.PrivateKey) {
	t.Helper()
	own, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	leaf := &x509.Certificate{
		SerialNumber: big.NewInt(7), Subject: pkix.Name{CommonName: "stolen"}, NotBefore: now, NotAfter: now.Add(time.Hour),
		KeyUsage: x509.KeyUsageDigitalSignature, ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
	}
	change(leaf)
	der, err := x509.CreateCertificate(rand.Reader, leaf, root, &own.PublicKey, key)
	if err != nil {
		t.Fatal(err)
	}
	signed, err := x509.ParseCertificate(der)
	if err != nil {
		t.Fatal(err)
	}
	return signed, own
}

// goVerifies asks Go whether a browser that trusts the authority alone would take
// the certificate for a host.
func goVerifies(t *testing.T, a *authority.Authority, leaf *x509.Certificate, host string, chain ...*x509.Certificate) error {
	t.Helper()
	root, err := x509.ParseCertificate(a.Certificate())
	if err != nil {
		t.Fatal(err)
	}
	options := x509.VerifyOptions{Roots: x509.NewCertPool(), Intermediates: x509.NewCertPool(), DNSName: host, CurrentTime: now}
	options.Roots.AddCert(root)
	for _, one := range chain {
		options.Intermediates.AddCert(one)
	}
	if strings.Contains(host, ":") {
		options.DNSName = "[" + host + "]"
	}
	_, err = leaf.Verify(options)
	return err
}

// opensslVerifies asks another implementation the same, and what it says. Without a
// host only the chain is looked at.
func opensslVerifies(t *testing.T, a *authority.Authority, leaf *x509.Certificate, host string, chain ...*x509.Certificate) (bool, string) {
	t.Helper()
	folder := t.TempDir()
	write := func(name string, certificates ...[]byte) string {
		var text []byte
		for _, der := range certificates {
			text = append(text, pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: der})...)
		}
		path := filepath.Join(folder, name)
		if err := os.WriteFile(path, text, 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	args := []string{"verify", "-x509_strict", "-purpose", "sslserver", "-CAfile", write("root", a.Certificate())}
	for _, one := range chain {
		args = append(args, "-untrusted", write("between", one.Raw))
	}
	switch {
	case net.ParseIP(host) != nil:
		args = append(args, "-verify_ip", host)
	case host != "":
		args = append(args, "-verify_hostname", host)
	}
	said, err := exec.Command("openssl", append(args, write("leaf", leaf.Raw))...).CombinedOutput()
	if len(said) == 0 {
		t.Fatalf("openssl said nothing: %v (run make tools)", err)
	}
	return err == nil, string(said)
}

func TestCertificateIsTakenForItsHosts(t *testing.T) {
	for _, scope := range []authority.Scope{studio, {Name: "studio.local"}} {
		a, _ := made(t, scope)
		named := hosts[:1+len(scope.Addresses)]
		leaf := issued(t, a, named)
		for _, host := range named {
			if err := goVerifies(t, a, leaf, host); err != nil {
				t.Errorf("%s: Go refuses %s: %v", scope, host, err)
			}
			if ok, said := opensslVerifies(t, a, leaf, host); !ok {
				t.Errorf("%s: openssl refuses %s: %s", scope, host, said)
			}
		}
		for _, host := range []string{"other.local", "studio.example", "192.168.1.21", "127.0.0.1"} {
			if goVerifies(t, a, leaf, host) == nil {
				t.Errorf("%s: Go takes it for %s", scope, host)
			}
			if ok, _ := opensslVerifies(t, a, leaf, host); ok {
				t.Errorf("%s: openssl takes it for %s", scope, host)
			}
		}
		if life := leaf.NotAfter.Sub(leaf.NotBefore); life > 8*24*time.Hour || len(leaf.DNSNames)+len(leaf.IPAddresses) != len(named) {
			t.Errorf("%s: the certificate lasts %v, for %v and %v", scope, life, leaf.DNSNames, leaf.IPAddresses)
		}
	}
}

// Whoever steals the key gains the machine's own names with it, and no others:
// that is what may be said to those who are to trust the authority.
func TestStolenKeyGainsNothingElse(t *testing.T) {
	byName := func(name string) func(*x509.Certificate) {
		return func(c *x509.Certificate) { c.DNSNames = []string{name} }
	}
	byAddress := func(addr string) func(*x509.Certificate) {
		return func(c *x509.Certificate) { c.IPAddresses = []net.IP{net.ParseIP(addr)} }
	}
	for _, scope := range []authority.Scope{studio, {Name: "studio.local"}} {
		a, folder := made(t, scope)
		for host, change := range map[string]func(*x509.Certificate){
			"bank.example":      byName("bank.example"),
			"evilstudio.local":  byName("evilstudio.local"),
			"local":             byName("local"),
			"any.local":         byName("*.local"),
			"192.168.1.1":       byAddress("192.168.1.1"),
			"10.0.0.1":          byAddress("10.0.0.1"),
			"fd12:3456::21":     byAddress("fd12:3456::21"),
			"two names.example": func(c *x509.Certificate) { c.DNSNames = []string{"studio.local", "bank.example"} },
		} {
			leaf := stolen(t, folder, change)
			if host == "two names.example" {
				host = "studio.local"
			}
			if err := goVerifies(t, a, leaf, host); err == nil || !strings.Contains(err.Error(), "not permitted") && !strings.Contains(err.Error(), "excluded") {
				t.Errorf("%s: of a certificate for %s Go says %v, want its name not permitted", scope, host, err)
			}
			if ok, said := opensslVerifies(t, a, leaf, ""); ok || !strings.Contains(said, "subtree violation") {
				t.Errorf("%s: of a certificate for %s openssl says %s, want a subtree violation", scope, host, said)
			}
		}
		if err := goVerifies(t, a, stolen(t, folder, byName("studio.local")), "studio.local"); err != nil {
			t.Errorf("%s: the thief's own way of signing is at fault: %v", scope, err)
		}
	}
}

func TestAuthorityMakesNoOtherAuthorityAndSignsForServersAlone(t *testing.T) {
	a, folder := made(t, studio)
	root, key := opened(t, folder)
	named := func(c *x509.Certificate) { c.DNSNames = []string{"studio.local"} }
	between, betweenKey := signedBy(t, root, key, func(c *x509.Certificate) {
		c.Subject.CommonName = "between"
		c.IsCA, c.BasicConstraintsValid, c.KeyUsage = true, true, x509.KeyUsageCertSign
	})
	leaf, _ := signedBy(t, between, betweenKey, named)
	if err := goVerifies(t, a, leaf, "studio.local", between); err == nil || !strings.Contains(err.Error(), "too many intermediates") {
		t.Errorf("of an authority under it Go says %v", err)
	}
	if ok, said := opensslVerifies(t, a, leaf, "studio.local", between); ok || !strings.Contains(said, "path length") {
		t.Errorf("of an authority under it openssl says %s", said)
	}
	mail := stolen(t, folder, func(c *x509.Certificate) {
		c.ExtKeyUsage = []x509.ExtKeyUsage{x509.ExtKeyUsageEmailProtection}
		c.EmailAddresses = []string{"painter@studio.local"}
	})
	pool := x509.NewCertPool()
	pool.AddCert(root)
	if _, err := mail.Verify(x509.VerifyOptions{Roots: pool, CurrentTime: now, KeyUsages: []x509.ExtKeyUsage{x509.ExtKeyUsageEmailProtection}}); err == nil {
		t.Error("Go takes its signature under a letter")
	}
}

func TestIssueRefusesWhatIsOutOfScope(t *testing.T) {
	a, _ := made(t, studio)
	for _, hosts := range [][]string{{}, {"bank.example"}, {"studio.local", "bank.example"}, {"192.168.1.21"}, {"evilstudio.local"}} {
		if leaf, err := a.Issue(hosts, now); err == nil {
			t.Errorf("%q is issued %v %v", hosts, leaf.Leaf.DNSNames, leaf.Leaf.IPAddresses)
		}
	}
	late := a.Until().Add(-time.Hour)
	leaf, err := a.Issue(hosts, late)
	if err != nil || leaf.Leaf.NotAfter.After(a.Until()) {
		t.Errorf("an hour before its end the authority issues for %v: %v", leaf.Leaf.NotAfter, err)
	}
}
