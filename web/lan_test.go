package web_test

import (
	"bytes"
	"context"
	"crypto/tls"
	"crypto/x509"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"io"
	"net"
	"net/http"
	"net/netip"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"maulstick/render/place"
	"maulstick/web"
	"maulstick/web/authority"
)

// studio is a page served to a network of this machine alone.
type studio struct {
	t           testing.TB
	said        *said
	page, steps string // addresses by number, without a scheme
	stop        func()
}

// studioName is its name, which only the tests know how to find.
const studioName = "studio.local"

// serveStudio serves the built page as maulstick serve -lan does.
func serveStudio(t testing.TB, lan web.LAN) *studio {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	s, ended := &studio{t: t, said: new(said)}, make(chan error, 1)
	go func() { ended <- web.ServeLAN(ctx, lan, s.said) }()
	s.stop = func() {
		cancel()
		if err := <-ended; err != nil {
			t.Errorf("serving ended with %v", err)
		}
		ended <- nil
	}
	for deadline := time.Now().Add(10 * time.Second); !strings.Contains(s.said.String(), "delete the file.\n"); time.Sleep(10 * time.Millisecond) {
		select {
		case err := <-ended:
			t.Fatalf("serving ended at once with %v", err)
		default:
		}
		if time.Now().After(deadline) {
			t.Fatalf("it said %q", s.said)
		}
	}
	t.Cleanup(s.stop)
	s.page = s.find(`https://(127\.0\.0\.1:\d+)/`)
	s.steps = s.find(`http://(127\.0\.0\.1:\d+)/`)
	return s
}

// find is what a pattern's group finds in what was said.
func (s *studio) find(pattern string) string {
	s.t.Helper()
	found := regexp.MustCompile(pattern).FindStringSubmatch(s.said.String())
	if found == nil {
		s.t.Fatalf("there is no %s in %q", pattern, s.said)
	}
	return found[1]
}

// here is a network of this machine alone, with free ports.
func here(folder string) web.LAN {
	return web.LAN{Name: studioName, Addresses: []netip.Addr{netip.MustParseAddr("127.0.0.1")}, Folder: folder}
}

// root is the authority's certificate as the steps offer it.
func (s *studio) root() *x509.Certificate {
	s.t.Helper()
	response, err := http.Get("http://" + s.steps + "/maulstick-authority.crt")
	if err != nil {
		s.t.Fatal(err)
	}
	defer response.Body.Close()
	der, err := io.ReadAll(response.Body)
	if err != nil {
		s.t.Fatal(err)
	}
	if kind := response.Header.Get("Content-Type"); kind != "application/x-x509-ca-cert" {
		s.t.Errorf("the certificate comes as %q", kind)
	}
	certificate, err := x509.ParseCertificate(der)
	if err != nil {
		s.t.Fatal(err)
	}
	return certificate
}

// client trusts the authority alone, and finds every name on this machine.
func (s *studio) client(newest uint16) *http.Client {
	pool := x509.NewCertPool()
	pool.AddCert(s.root())
	return &http.Client{Transport: &http.Transport{
		TLSClientConfig: &tls.Config{RootCAs: pool, MinVersion: tls.VersionTLS10, MaxVersion: newest},
		DialContext: func(ctx context.Context, network, _ string) (net.Conn, error) {
			return new(net.Dialer).DialContext(ctx, network, s.page)
		},
		DisableKeepAlives: true,
	}}
}

// get asks the page's server, under a host that the certificate is checked for and
// another that the request names.
func (s *studio) get(host, named string, newest uint16) (int, string, error) {
	s.t.Helper()
	_, port, _ := strings.Cut(s.page, ":")
	request, err := http.NewRequest("GET", "https://"+net.JoinHostPort(host, port)+"/", nil)
	if err != nil {
		s.t.Fatal(err)
	}
	if named != "" {
		request.Host = named
	}
	response, err := s.client(newest).Do(request)
	if err != nil {
		return 0, "", err
	}
	defer response.Body.Close()
	text, err := io.ReadAll(response.Body)
	return response.StatusCode, string(text), err
}

func TestPageIsServedToTheNetworkOverHTTPS(t *testing.T) {
	s := serveStudio(t, here(t.TempDir()))
	for _, host := range []string{studioName, "127.0.0.1"} {
		for _, version := range []uint16{tls.VersionTLS12, tls.VersionTLS13} {
			status, text, err := s.get(host, "", version)
			if err != nil || status != 200 || !strings.Contains(text, "<title>Maulstick</title>") {
				t.Errorf("%s over %s: %d, %v, %.40q", host, tls.VersionName(version), status, err, text)
			}
		}
	}
	if _, _, err := s.get("other.local", "", tls.VersionTLS13); err == nil || !strings.Contains(err.Error(), "certificate is valid for") {
		t.Errorf("asked for another name: %v, want the certificate refused", err)
	}
	if _, _, err := s.get(studioName, "", tls.VersionTLS11); err == nil || !strings.Contains(err.Error(), "protocol version") {
		t.Errorf("over TLS 1.1: %v, want the version refused", err)
	}
	_, port, _ := strings.Cut(s.page, ":")
	for _, named := range []string{"bank.example", "bank.example:" + port, studioName, studioName + ":1", "127.0.0.2:" + port, "localhost:" + port} {
		status, text, err := s.get(studioName, named, tls.VersionTLS13)
		if err != nil || status != http.StatusMisdirectedRequest || text != "This page is not served under that name.\n" {
			t.Errorf("named %s: %d, %v, %q", named, status, err, text)
		}
	}
	if response, err := http.Get("http://" + s.page + "/"); err == nil {
		response.Body.Close()
		if response.StatusCode != http.StatusBadRequest {
			t.Errorf("the page without HTTPS: %s", response.Status)
		}
	}
}

// Beside the page only the steps and the certificate are offered.
func TestStepsAreServedPlainly(t *testing.T) {
	s := serveStudio(t, here(t.TempDir()))
	_, port, _ := strings.Cut(s.steps, ":")
	for name, c := range map[string]struct {
		method, path, host string
		want               int
	}{
		"steps":        {"GET", "/", s.steps, 200},
		"by name":      {"GET", "/", studioName + ":" + port, 200},
		"asked ahead":  {"HEAD", "/maulstick-authority.crt", s.steps, 200},
		"the page":     {"GET", "/index.html", s.steps, 404},
		"the key":      {"GET", "/authority.pem", s.steps, 404},
		"a folder":     {"GET", "/icons/", s.steps, 404},
		"a way out":    {"GET", "/../authority.pem", s.steps, 404},
		"foreign name": {"GET", "/", "bank.example", 421},
		"wrong port":   {"GET", "/", studioName, 421},
		"post":         {"POST", "/", s.steps, 405},
	} {
		request, err := http.NewRequest(c.method, "http://"+s.steps+c.path, nil)
		if err != nil {
			t.Fatal(err)
		}
		request.Host = c.host
		response, err := http.DefaultTransport.RoundTrip(request)
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(response.Body)
		response.Body.Close()
		if err != nil || response.StatusCode != c.want {
			t.Errorf("%s: %d, %v, want %d", name, response.StatusCode, err, c.want)
		}
		if bytes.Contains(text, []byte("PRIVATE")) || response.Header.Get("X-Content-Type-Options") != "nosniff" ||
			!strings.Contains(response.Header.Get("Content-Security-Policy"), "default-src 'none'") {
			t.Errorf("%s: headers %v and %.80q", name, response.Header, text)
		}
	}
	response, err := http.Get("http://" + s.steps + "/")
	if err != nil {
		t.Fatal(err)
	}
	defer response.Body.Close()
	text, err := io.ReadAll(response.Body)
	if err != nil {
		t.Fatal(err)
	}
	own, err := authority.Open(s.folder(), authority.Scope{}, time.Now())
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{own.Fingerprint(), "https://" + studioName + ":", "iPad", "Android", "Take it off again", "What you risk"} {
		if !bytes.Contains(text, []byte(want)) {
			t.Errorf("the steps lack %q", want)
		}
	}
	if !s.root().Equal(mustParse(t, own.Certificate())) {
		t.Error("the certificate that is offered is not the authority's")
	}
	if told := strings.Join(strings.Fields(s.said.String()), ""); !strings.Contains(told, own.Fingerprint()) {
		t.Errorf("the terminal does not tell the fingerprint %s: %s", own.Fingerprint(), s.said)
	}
}

func mustParse(t *testing.T, der []byte) *x509.Certificate {
	t.Helper()
	certificate, err := x509.ParseCertificate(der)
	if err != nil {
		t.Fatal(err)
	}
	return certificate
}

// folder is where the authority is kept, as the terminal tells.
func (s *studio) folder() string {
	return filepath.Dir(s.find(`Its key lies in (\S+authority\.pem)\.`))
}

// What stands in the terminal is read by a program that knows nothing of this one.
func TestTerminalCodeIsRead(t *testing.T) {
	s := serveStudio(t, here(t.TempDir()))
	file := filepath.Join(t.TempDir(), "code.png")
	var picture bytes.Buffer
	if err := png.Encode(&picture, asShown(t, s.said.String())); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, picture.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	read, err := exec.Command("zbarimg", "--quiet", "--raw", file).Output()
	if err != nil {
		t.Fatalf("zbarimg: %v (run make tools)", err)
	}
	if got, want := strings.TrimSpace(string(read)), "http://"+s.steps+"/"; got != want {
		t.Errorf("the code reads %q, want %q", got, want)
	}
}

// asShown draws the coloured lines of a terminal's text: black letters on white, a
// letter twice as high as wide.
func asShown(t *testing.T, text string) image.Image {
	t.Helper()
	const module = 6
	var rows [][]rune
	for line := range strings.Lines(text) {
		if inner, ok := strings.CutPrefix(line, "\x1b[38;5;16;48;5;231m"); ok {
			rows = append(rows, []rune(strings.TrimSuffix(inner, "\x1b[0m\n")))
		}
	}
	if len(rows) == 0 {
		t.Fatalf("there is no code in %q", text)
	}
	upper, lower := map[rune]bool{'▀': true, '█': true}, map[rune]bool{'▄': true, '█': true}
	shown := image.NewGray(image.Rect(0, 0, len(rows[0])*module, 2*len(rows)*module))
	for y := range shown.Rect.Dy() {
		for x := range shown.Rect.Dx() {
			letter := rows[y/(2*module)][x/module]
			if dark := y/module%2 == 0 && upper[letter] || y/module%2 == 1 && lower[letter]; !dark {
				shown.SetGray(x, y, color.Gray{Y: 255})
			}
		}
	}
	return shown
}

func TestNetworkRefusals(t *testing.T) {
	private := []netip.Addr{netip.MustParseAddr("127.0.0.1")}
	taken, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer taken.Close()
	for name, lan := range map[string]web.LAN{
		"a name of the internet":      {Name: "bank.example", Addresses: private},
		"a name under no other":       {Name: "studio", Addresses: private},
		"an ending alone":             {Name: ".local", Addresses: private},
		"a name with a space":         {Name: "my studio.local", Addresses: private},
		"a name for all":              {Name: "*.local", Addresses: private},
		"an address of the internet":  {Name: studioName, Addresses: []netip.Addr{netip.MustParseAddr("203.0.113.9")}},
		"every address":               {Name: studioName, Addresses: []netip.Addr{netip.MustParseAddr("0.0.0.0")}},
		"an address of someone else":  {Name: studioName, Addresses: []netip.Addr{netip.MustParseAddr("192.168.213.77")}},
		"a port that is taken":        {Name: studioName, Addresses: private, Port: taken.Addr().(*net.TCPAddr).Port},
		"a second port that is taken": {Name: studioName, Addresses: private, TrustPort: taken.Addr().(*net.TCPAddr).Port},
	} {
		lan.Folder = filepath.Join(t.TempDir(), "none")
		out := new(said)
		err := web.ServeLAN(t.Context(), lan, out)
		if err == nil || place.Hint(err) == "" || out.String() != "" {
			t.Errorf("%s: error %v with hint %q, said %q", name, err, place.Hint(err), out)
		}
		if _, err := os.Stat(lan.Folder); err == nil {
			t.Errorf("%s: an authority was made all the same", name)
		}
	}
}

// Another name, or an address that the router gives out anew, is nothing that the
// authority has been trusted for.
func TestAuthorityIsNotStretched(t *testing.T) {
	folder := t.TempDir()
	first := serveStudio(t, here(folder))
	root := first.root()
	first.stop()
	lan := here(folder)
	lan.Name = "atelier.local"
	if err := web.ServeLAN(t.Context(), lan, new(said)); err == nil || !strings.Contains(place.Hint(err), "-renew") {
		t.Errorf("under another name: error %v with hint %q, want -renew", err, place.Hint(err))
	}
	lan = here(folder)
	lan.Addresses = append(lan.Addresses, netip.MustParseAddr("127.0.0.2"))
	second := serveStudio(t, lan)
	if text := second.said.String(); !strings.Contains(text, "does not vouch for 127.0.0.2") || strings.Contains(text, "https://127.0.0.2") {
		t.Errorf("of an address that is new it said %q", text)
	}
	if !second.root().Equal(root) {
		t.Error("for an address that is new another authority was made")
	}
	second.stop()
	lan = here(folder)
	lan.Name, lan.Renew = "atelier.local", true
	third := serveStudio(t, lan)
	if again := third.root(); again.Equal(root) || fmt.Sprint(again.PermittedDNSDomains) != "[atelier.local]" {
		t.Errorf("renewed, the authority is for %v", again.PermittedDNSDomains)
	}
}
