package authority

import (
	"bytes"
	"crypto/ecdsa"
	"crypto/x509"
	"encoding/pem"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"time"

	"maulstick/render/place"
)

// File is the name of the file in an authority's folder: certificate and key
// together, so that neither can be lost or exchanged alone.
const File = "authority.pem"

// The kinds of what is in the file.
const (
	kindCertificate = "CERTIFICATE"
	kindKey         = "PRIVATE KEY"
)

// Open is the authority that is kept in a folder, or a new one for the scope, kept
// there, where there is none yet or the one there has ended. One that others on the
// machine could read, or that is damaged, is a place.Problem: it is never replaced
// unasked, since others trust it.
func Open(folder string, scope Scope, now time.Time) (*Authority, error) {
	name := filepath.Join(folder, File)
	info, err := os.Stat(name)
	if errors.Is(err, fs.ErrNotExist) {
		return Renew(folder, scope, now)
	}
	if err != nil {
		return nil, fmt.Errorf("opening the authority: %w", err)
	}
	// Windows keeps who may read a file elsewhere; the folder is the user's own there.
	if runtime.GOOS != "windows" && info.Mode().Perm()&0o077 != 0 {
		return nil, &place.Problem{
			Doing:  "opening the authority " + name,
			What:   "others on this machine can read its key",
			Wanted: "make a new one with -renew, and take the old one off every device that trusts it",
		}
	}
	text, err := os.ReadFile(name)
	if err != nil {
		return nil, fmt.Errorf("opening the authority: %w", err)
	}
	a, err := parse(text)
	if err != nil {
		return nil, &place.Problem{
			Doing:  "opening the authority " + name,
			What:   err.Error(),
			Wanted: "make a new one with -renew, and trust that on every device",
		}
	}
	if !now.Before(a.Until()) {
		return Renew(folder, scope, now)
	}
	return a, nil
}

// Renew makes a new authority and keeps it in the folder in place of any other.
// Devices that trust the one before do not trust it.
func Renew(folder string, scope Scope, now time.Time) (*Authority, error) {
	a, err := New(scope, now)
	if err != nil {
		return nil, err
	}
	text, err := a.encode()
	if err != nil {
		return nil, err
	}
	if err := keep(folder, text); err != nil {
		return nil, fmt.Errorf("keeping the authority: %w", err)
	}
	return a, nil
}

// keep writes the file whole or not at all, readable by the user alone from its
// first byte on.
func keep(folder string, text []byte) error {
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return err
	}
	file, err := os.CreateTemp(folder, File+".*") // with mode 0600
	if err != nil {
		return err
	}
	defer os.Remove(file.Name())
	_, err = file.Write(text)
	if err = errors.Join(err, file.Sync(), file.Close()); err != nil {
		return err
	}
	return os.Rename(file.Name(), filepath.Join(folder, File))
}

// encode is certificate and key as PEM.
func (a *Authority) encode() ([]byte, error) {
	key, err := x509.MarshalPKCS8PrivateKey(a.key)
	if err != nil {
		return nil, fmt.Errorf("writing the authority's key: %w", err)
	}
	var text bytes.Buffer
	for _, block := range []*pem.Block{{Type: kindCertificate, Bytes: a.certificate.Raw}, {Type: kindKey, Bytes: key}} {
		if err := pem.Encode(&text, block); err != nil {
			return nil, fmt.Errorf("writing the authority: %w", err)
		}
	}
	return text.Bytes(), nil
}

// parse reads what encode has written. A certificate that is no authority with
// limits of this package's making, or not the key's, is refused.
func parse(text []byte) (*Authority, error) {
	found := map[string][]byte{}
	for block, rest := pem.Decode(text); block != nil; block, rest = pem.Decode(rest) {
		found[block.Type] = block.Bytes
	}
	certificate, err := x509.ParseCertificate(found[kindCertificate])
	if err != nil {
		return nil, errors.New("it holds no certificate that can be read")
	}
	parsed, err := x509.ParsePKCS8PrivateKey(found[kindKey])
	key, ok := parsed.(*ecdsa.PrivateKey)
	if err != nil || !ok {
		return nil, errors.New("it holds no key that can be read")
	}
	if !key.PublicKey.Equal(certificate.PublicKey) {
		return nil, errors.New("its key is not that of its certificate")
	}
	if err := certificate.CheckSignatureFrom(certificate); err != nil {
		return nil, errors.New("its certificate has been changed")
	}
	limited := len(certificate.PermittedDNSDomains) == 1 && certificate.PermittedDNSDomainsCritical &&
		len(certificate.PermittedIPRanges)+len(certificate.ExcludedIPRanges) > 0
	if !certificate.IsCA || !limited {
		return nil, errors.New("its certificate is not limited to one machine")
	}
	return &Authority{certificate, key}, nil
}
