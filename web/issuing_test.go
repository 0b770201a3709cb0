package web

import (
	"testing"
	"time"

	"maulstick/web/authority"
)

// A server that runs for weeks shows a certificate that is good, and not a new one
// for every visit.
func TestCertificateIsIssuedAnewInTime(t *testing.T) {
	start := time.Now()
	own, err := authority.New(authority.Scope{Name: "studio.local"}, start)
	if err != nil {
		t.Fatal(err)
	}
	i := &issuing{authority: own, hosts: []string{"studio.local"}}
	issued := map[string]bool{}
	for hour := range 24 * 28 {
		now := start.Add(time.Duration(hour) * time.Hour)
		leaf, err := i.certificate(now)
		if err != nil {
			t.Fatal(err)
		}
		if left := leaf.Leaf.NotAfter.Sub(now); left < 48*time.Hour || leaf.Leaf.NotBefore.After(now) {
			t.Fatalf("after %d hours the certificate is good from %v to %v", hour, leaf.Leaf.NotBefore, leaf.Leaf.NotAfter)
		}
		issued[leaf.Leaf.SerialNumber.String()] = true
	}
	if len(issued) < 4 || len(issued) > 8 {
		t.Errorf("in four weeks %d certificates were issued", len(issued))
	}
}
