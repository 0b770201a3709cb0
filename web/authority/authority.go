// Package authority makes a certificate authority for one machine on a local
// network, keeps it, and issues the certificates that the machine shows to
// browsers. Whoever trusts the authority trusts it for that machine's names and
// addresses alone: the limits stand in its own certificate (RFC 5280, section
// 4.2.1.10), where whoever checks a certificate finds them.
package authority

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"errors"
	"fmt"
	"math/big"
	"net"
	"net/netip"
	"slices"
	"strings"
	"time"
)

const (
	// Lifetime is how long an authority is good for. After it a new one has to be
	// made and trusted.
	Lifetime = 2 * 365 * 24 * time.Hour
	// LeafLifetime is how long a certificate that it issues is good for: the key
	// never leaves memory, and a new one is made at every start.
	LeafLifetime = 7 * 24 * time.Hour
	// clockSlack is by how much another machine's clock may be behind.
	clockSlack = time.Hour
	// serialBits is the length of a certificate's random number.
	serialBits = 126
)

// Scope is what an authority may vouch for.
type Scope struct {
	Name      string       // in the DNS, lower case, with a dot: studio.local; what lies under it is covered too
	Addresses []netip.Addr // each alone
}

// Covers says whether a name or an address as it is written in a URL, without
// brackets, lies in the scope.
func (s Scope) Covers(host string) bool {
	if addr, err := netip.ParseAddr(host); err == nil {
		return slices.Contains(s.Addresses, addr)
	}
	return host == s.Name || strings.HasSuffix(host, "."+s.Name)
}

// Authority is a certificate with its key.
type Authority struct {
	certificate *x509.Certificate
	key         *ecdsa.PrivateKey
}

// New makes an authority for a scope.
func New(scope Scope, now time.Time) (*Authority, error) {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, fmt.Errorf("making a key for the authority: %w", err)
	}
	template, err := template(scope, now)
	if err != nil {
		return nil, err
	}
	der, err := x509.CreateCertificate(rand.Reader, template, template, &key.PublicKey, key)
	if err != nil {
		return nil, fmt.Errorf("making the authority of %s: %w", scope.Name, err)
	}
	certificate, err := x509.ParseCertificate(der)
	if err != nil {
		return nil, fmt.Errorf("making the authority of %s: %w", scope.Name, err)
	}
	return &Authority{certificate, key}, nil
}

// template is an authority's certificate before it is signed. It can make no other
// authority, and what it signs is for servers alone: neither for mail nor for
// programs.
func template(scope Scope, now time.Time) (*x509.Certificate, error) {
	serial, err := newSerial()
	if err != nil {
		return nil, err
	}
	t := &x509.Certificate{
		SerialNumber:          serial,
		Subject:               pkix.Name{CommonName: "Maulstick authority for " + scope.Name, Organization: []string{"Maulstick"}},
		NotBefore:             now.Add(-clockSlack),
		NotAfter:              now.Add(Lifetime),
		IsCA:                  true,
		BasicConstraintsValid: true,
		MaxPathLenZero:        true,
		KeyUsage:              x509.KeyUsageCertSign | x509.KeyUsageCRLSign,
		ExtKeyUsage:           []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},

		PermittedDNSDomainsCritical: true,
		PermittedDNSDomains:         []string{scope.Name},
	}
	for _, addr := range scope.Addresses {
		bits := addr.BitLen()
		t.PermittedIPRanges = append(t.PermittedIPRanges, &net.IPNet{IP: addr.AsSlice(), Mask: net.CIDRMask(bits, bits)})
	}
	if len(scope.Addresses) == 0 {
		// A kind of name that is not mentioned would not be limited at all.
		t.ExcludedIPRanges = []*net.IPNet{
			{IP: net.IPv4zero.To4(), Mask: net.CIDRMask(0, 32)}, {IP: net.IPv6zero, Mask: net.CIDRMask(0, 128)},
		}
	}
	return t, nil
}

func newSerial() (*big.Int, error) {
	serial, err := rand.Int(rand.Reader, new(big.Int).Lsh(big.NewInt(1), serialBits))
	if err != nil {
		return nil, fmt.Errorf("making a certificate's number: %w", err)
	}
	return serial.Add(serial, big.NewInt(1)), nil
}

// Scope is what the authority may vouch for.
func (a *Authority) Scope() Scope {
	scope := Scope{Name: a.certificate.PermittedDNSDomains[0]}
	for _, one := range a.certificate.PermittedIPRanges {
		if addr, ok := netip.AddrFromSlice(one.IP); ok {
			scope.Addresses = append(scope.Addresses, addr)
		}
	}
	return scope
}

// Certificate is the authority's own certificate, DER: what is to be trusted.
func (a *Authority) Certificate() []byte { return a.certificate.Raw }

// Until is when the authority ends.
func (a *Authority) Until() time.Time { return a.certificate.NotAfter }

// Fingerprint is the SHA-256 of the certificate in pairs of hex digits, as systems
// show it.
func (a *Authority) Fingerprint() string {
	sum := sha256.Sum256(a.certificate.Raw)
	pairs := make([]string, len(sum))
	for i, b := range sum {
		pairs[i] = fmt.Sprintf("%02X", b)
	}
	return strings.Join(pairs, ":")
}

// Issue makes a server's certificate with a key of its own, for names and addresses
// that all lie in the authority's scope. It never outlives the authority.
func (a *Authority) Issue(hosts []string, now time.Time) (*tls.Certificate, error) {
	if len(hosts) == 0 {
		return nil, errors.New("issuing a certificate: there is no name to issue it for")
	}
	serial, err := newSerial()
	if err != nil {
		return nil, err
	}
	leaf := &x509.Certificate{
		SerialNumber: serial,
		Subject:      pkix.Name{CommonName: hosts[0]},
		NotBefore:    later(now.Add(-clockSlack), a.certificate.NotBefore),
		NotAfter:     earlier(now.Add(LeafLifetime), a.certificate.NotAfter),
		KeyUsage:     x509.KeyUsageDigitalSignature,
		ExtKeyUsage:  []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
	}
	scope := a.Scope()
	for _, host := range hosts {
		if !scope.Covers(host) {
			return nil, fmt.Errorf("issuing a certificate for %s: the authority may only vouch for %s", host, scope)
		}
		if addr, err := netip.ParseAddr(host); err == nil {
			leaf.IPAddresses = append(leaf.IPAddresses, addr.AsSlice())
		} else {
			leaf.DNSNames = append(leaf.DNSNames, host)
		}
	}
	return a.sign(leaf)
}

// sign makes a key and has the authority sign a certificate for it.
func (a *Authority) sign(leaf *x509.Certificate) (*tls.Certificate, error) {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, fmt.Errorf("making a key for the server: %w", err)
	}
	der, err := x509.CreateCertificate(rand.Reader, leaf, a.certificate, &key.PublicKey, a.key)
	if err != nil {
		return nil, fmt.Errorf("issuing a certificate for %s: %w", leaf.Subject.CommonName, err)
	}
	signed, err := x509.ParseCertificate(der)
	if err != nil {
		return nil, fmt.Errorf("issuing a certificate for %s: %w", leaf.Subject.CommonName, err)
	}
	return &tls.Certificate{Certificate: [][]byte{der}, PrivateKey: key, Leaf: signed}, nil
}

// String names all that the scope holds.
func (s Scope) String() string {
	said := []string{s.Name}
	for _, addr := range s.Addresses {
		said = append(said, addr.String())
	}
	return strings.Join(said, ", ")
}

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

func earlier(a, b time.Time) time.Time {
	if a.Before(b) {
		return a
	}
	return b
}
