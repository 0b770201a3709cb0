package web

import (
	"bytes"
	"crypto/sha256"
	_ "embed" // for the guide's text
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"net"
	"net/http"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"maulstick/web/authority"
)

const (
	// certificatePath is where the guide offers the authority's certificate, and
	// certificateType its media type, by which tablets know what to do with it.
	certificatePath = "/maulstick-authority.crt"
	certificateType = "application/x-x509-ca-cert"
	guideType       = "text/html; charset=utf-8"
)

// guideText is the one page of steps. Its style stands in it, since nothing else is
// served beside it.
//
//go:embed guide.html
var guideText string

var guideTemplate = template.Must(template.New("guide").Parse(guideText))

// guide answers over plain HTTP with the steps to trust the authority and with its
// certificate, and with nothing else.
type guide struct {
	lan       LAN
	authority *authority.Authority
	vouched   []string // the name first
	hosts     []string
	page      []byte
	policy    string
}

// newGuide writes the page of steps for an authority and the hosts that it vouches
// for.
func newGuide(lan LAN, own *authority.Authority, vouched []string) *guide {
	g := &guide{lan: lan, authority: own, vouched: vouched}
	names := []string{lan.Name}
	for _, addr := range lan.Addresses {
		names = append(names, addr.String())
	}
	g.hosts = saidWith(names, lan.TrustPort, "80")
	var page bytes.Buffer
	if err := guideTemplate.Execute(&page, map[string]any{
		"Name": lan.Name, "Pages": g.pages(), "Certificate": certificatePath, "Fingerprint": own.Fingerprint(),
		"Vouches": own.Scope().String(), "Until": own.Until().Format("2 January 2006"),
	}); err != nil {
		panic(err) // only for a template that does not fit these values
	}
	g.page = page.Bytes()
	g.policy = "default-src 'none'; style-src '" + styleHash(page.String()) + "'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
	return g
}

// styleHash lets a policy allow the style that stands in a page, and no other.
func styleHash(page string) string {
	_, style, _ := strings.Cut(page, "<style>")
	style, _, _ = strings.Cut(style, "</style>")
	sum := sha256.Sum256([]byte(style))
	return "sha256-" + base64.StdEncoding.EncodeToString(sum[:])
}

// pages are the addresses of the page, the one to choose first.
func (g *guide) pages() []string {
	var all []string
	for _, host := range hosts(g.vouched, g.lan.Port) {
		all = append(all, "https://"+host+"/")
	}
	return all
}

// file is where the authority is kept.
func (g *guide) file() string { return filepath.Join(g.lan.Folder, authority.File) }

// steps is the guide's own address, by number: a tablet that does not find the name
// finds that.
func (g *guide) steps() string {
	return "http://" + net.JoinHostPort(g.lan.Addresses[0].String(), strconv.Itoa(g.lan.TrustPort)) + "/"
}

// ServeHTTP implements http.Handler.
func (g *guide) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Content-Security-Policy", g.policy)
	w.Header().Set("X-Content-Type-Options", "nosniff")
	w.Header().Set("Referrer-Policy", "no-referrer")
	w.Header().Set("Cache-Control", "no-store")
	kinds := map[string]struct {
		kind string
		body []byte
	}{
		"/":             {guideType, g.page},
		certificatePath: {certificateType, g.authority.Certificate()},
	}
	answer, known := kinds[r.URL.Path]
	switch {
	case !slices.Contains(g.hosts, r.Host):
		http.Error(w, "This page is not served under that name.", http.StatusMisdirectedRequest)
	case r.Method != http.MethodGet && r.Method != http.MethodHead:
		w.Header().Set("Allow", "GET, HEAD")
		http.Error(w, "This page only takes GET and HEAD.", http.StatusMethodNotAllowed)
	case !known:
		http.Error(w, "There is no such page.", http.StatusNotFound)
	default:
		w.Header().Set("Content-Type", answer.kind)
		w.Header().Set("Content-Length", strconv.Itoa(len(answer.body)))
		if r.Method == http.MethodGet {
			_, _ = w.Write(answer.body) // a browser that has gone away needs no answer
		}
	}
}

// tell writes where the page is and what to do first, for a terminal.
func (g *guide) tell(out io.Writer) error {
	code, err := terminalCode(g.steps())
	if err != nil {
		return err
	}
	var text strings.Builder
	pages := g.pages()
	fmt.Fprintf(&text, "Maulstick is at %s\n", pages[0])
	for _, other := range pages[1:] {
		fmt.Fprintf(&text, "          or at %s where the name is not found\n", other)
	}
	fmt.Fprintf(&text, "What a tablet keeps belongs to one address: choose one and stay with it.\n\n")
	for _, addr := range g.lan.Addresses {
		if !slices.Contains(g.vouched, addr.String()) {
			fmt.Fprintf(&text, "The authority does not vouch for %s, which is new here: use the name, or start\nwith -renew and trust the new authority on every tablet.\n\n", addr)
		}
	}
	fmt.Fprintf(&text, "Each tablet has to trust this machine once. On the same network, point its camera\nat this, or open %s and do what stands there:\n\n%s\n", g.steps(), code)
	fmt.Fprintf(&text, "The authority vouches for %s alone, until %s. Compare its SHA-256\nfingerprint before you trust it:\n%s\n",
		g.authority.Scope(), g.authority.Until().Format("2 January 2006"), halves(g.authority.Fingerprint()))
	fmt.Fprintf(&text, "Its key lies in %s. Give that file to no one. To be rid of\nit, take the authority off each device as the page of steps says, and delete the file.\n", g.file())
	_, err = io.WriteString(out, text.String())
	return err
}

// halves is a fingerprint in two lines.
func halves(fingerprint string) string {
	middle := len(fingerprint) / 2
	return "  " + fingerprint[:middle+1] + "\n  " + fingerprint[middle+1:]
}
