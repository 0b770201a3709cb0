package authority_test

import (
	"bytes"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"maulstick/render/place"
	"maulstick/web/authority"
)

func TestAuthorityIsKeptForTheUserAlone(t *testing.T) {
	a, folder := made(t, studio)
	if scope := a.Scope(); scope.String() != studio.String() {
		t.Errorf("it vouches for %s, want %s", scope, studio)
	}
	for name, want := range map[string]fs.FileMode{folder: 0o700, filepath.Join(folder, authority.File): 0o600} {
		info, err := os.Stat(name)
		if err != nil || info.Mode().Perm() != want {
			t.Errorf("%s has mode %v, %v, want %v", name, info.Mode().Perm(), err, want)
		}
	}
	if files, err := os.ReadDir(folder); err != nil || len(files) != 1 {
		t.Errorf("the folder holds %v, %v, want one file", files, err)
	}
	again, err := authority.Open(folder, authority.Scope{Name: "other.local"}, now)
	if err != nil || !bytes.Equal(again.Certificate(), a.Certificate()) || again.Fingerprint() != a.Fingerprint() {
		t.Errorf("opened again it is another: %v", err)
	}
	if err := goVerifies(t, a, issued(t, again, hosts), "studio.local"); err != nil {
		t.Errorf("what it issues when opened again is refused: %v", err)
	}
	if pairs := strings.Split(a.Fingerprint(), ":"); len(pairs) != 32 {
		t.Errorf("its fingerprint is %s", a.Fingerprint())
	}
}

func TestAuthorityIsMadeAnewWhenAskedOrOver(t *testing.T) {
	a, folder := made(t, studio)
	ended, err := authority.Open(folder, studio, a.Until().Add(time.Second))
	if err != nil || bytes.Equal(ended.Certificate(), a.Certificate()) {
		t.Fatalf("after its end the same one is opened, %v", err)
	}
	asked, err := authority.Renew(folder, studio, now)
	if err != nil || bytes.Equal(asked.Certificate(), ended.Certificate()) {
		t.Fatalf("asked for a new one the same comes, %v", err)
	}
	if goVerifies(t, a, issued(t, asked, hosts), "studio.local") == nil {
		t.Error("who trusts the one before trusts the new one")
	}
}

func TestDamagedAuthorityIsRefusedAndLeft(t *testing.T) {
	_, other := made(t, studio)
	foreign, err := os.ReadFile(filepath.Join(other, authority.File))
	if err != nil {
		t.Fatal(err)
	}
	for name, damage := range map[string]func([]byte) []byte{
		"empty":          func([]byte) []byte { return nil },
		"cut short":      func(b []byte) []byte { return b[:len(b)/2] },
		"no certificate": func(b []byte) []byte { return b[bytes.LastIndex(b, []byte("-----BEGIN")):] },
		"a letter wrong": func(b []byte) []byte { return bytes.Replace(b, b[60:64], []byte("AAAA"), 1) },
		"another's key": func(b []byte) []byte {
			return append(b[:bytes.LastIndex(b, []byte("-----BEGIN"))], foreign[bytes.LastIndex(foreign, []byte("-----BEGIN")):]...)
		},
	} {
		_, folder := made(t, studio)
		file := filepath.Join(folder, authority.File)
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		text = damage(text)
		if err := os.WriteFile(file, text, 0o600); err != nil {
			t.Fatal(err)
		}
		if _, err := authority.Open(folder, studio, now); err == nil || !strings.Contains(place.Hint(err), "-renew") {
			t.Errorf("%s: error %v with hint %q, want -renew", name, err, place.Hint(err))
		}
		if left, err := os.ReadFile(file); err != nil || !bytes.Equal(left, text) {
			t.Errorf("%s: the file is not left as it was: %v", name, err)
		}
	}
	_, folder := made(t, studio)
	if err := os.Chmod(filepath.Join(folder, authority.File), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := authority.Open(folder, studio, now); err == nil || !strings.Contains(err.Error(), "can read its key") {
		t.Errorf("a key that others can read: %v", err)
	}
}
