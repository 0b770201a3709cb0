package web

import (
	"context"
	"crypto/tls"
	"fmt"
	"io"
	"log"
	"net"
	"net/http"
	"net/netip"
	"os"
	"slices"
	"strings"
	"sync"
	"time"

	"maulstick/render/place"
	"maulstick/web/authority"
)

// LAN is how the page is served on a local network.
type LAN struct {
	Name      string       // under which tablets ask for it; "" is the machine's own, in .local
	Addresses []netip.Addr // of this machine, to serve on; none means all its private ones
	Port      int          // of the page, over HTTPS
	TrustPort int          // of the steps to trust the authority, over plain HTTP; both 0 take free ones
	Folder    string       // where the authority is kept
	Renew     bool         // makes a new authority in place of the one that is kept
}

// ServeLAN serves the built page over HTTPS to the local network until the context
// ends, with a certificate of an authority of its own, and beside it the authority's
// certificate and the steps to trust it, over plain HTTP. What to do is written to
// out. An address that the internet could reach, or a name that is not of a local
// network, is a place.Problem.
func ServeLAN(ctx context.Context, lan LAN, out io.Writer) error {
	if err := lan.complete(); err != nil {
		return err
	}
	pages, err := listenOn(ctx, lan.Addresses, lan.Port)
	defer closeAll(pages)
	if err != nil {
		return err
	}
	steps, err := listenOn(ctx, lan.Addresses, lan.TrustPort)
	defer closeAll(steps)
	if err != nil {
		return err
	}
	lan.Port, lan.TrustPort = portOf(pages[0]), portOf(steps[0])
	own, err := lan.authority(time.Now())
	if err != nil {
		return err
	}
	vouched := lan.vouched(own.Scope())
	handler, err := Handler(Built(), saidWith(vouched, lan.Port, "443"))
	if err != nil {
		return err
	}
	guide := newGuide(lan, own, vouched)
	all := make([]served, 0, 2*len(pages))
	certificates := &issuing{authority: own, hosts: vouched}
	for i := range pages {
		all = append(all, served{quiet(newServer(handler)), tls.NewListener(pages[i], certificates.config())},
			served{quiet(newServer(guide)), steps[i]})
	}
	if err := guide.tell(out); err != nil {
		return fmt.Errorf("saying where the page is: %w", err)
	}
	return serveUntil(ctx, all...)
}

// complete fills in what was left to the machine and refuses what is not local.
func (lan *LAN) complete() error {
	if lan.Name == "" {
		name, err := os.Hostname()
		if err != nil {
			return fmt.Errorf("asking for this machine's name: %w", err)
		}
		name, _, _ = strings.Cut(name, ".")
		lan.Name = name + ".local"
	}
	lan.Name = strings.ToLower(lan.Name)
	if !localName(lan.Name) {
		return &place.Problem{
			Doing: "serving the page as " + lan.Name, What: "that is no name of a local network",
			Wanted: "give one that ends in " + strings.Join(localEndings, ", ") + ", as in -name studio.local",
		}
	}
	if len(lan.Addresses) == 0 {
		return lan.findAddresses()
	}
	for _, addr := range lan.Addresses {
		if !addr.IsPrivate() && !addr.IsLoopback() {
			return &place.Problem{
				Doing: "serving the page on " + addr.String(), What: "that is no address of a local network",
				Wanted: "give one of this machine's private addresses, as in -address 192.168.1.20",
			}
		}
	}
	return nil
}

// localEndings are of names that no one can own on the internet (RFC 6762, RFC 8375,
// and .internal, set aside by ICANN in 2024), and two that routers hand out and no
// one has been given. An authority for any other could be turned against its owner.
var localEndings = []string{".local", ".home.arpa", ".internal", ".lan", ".home"}

// localName says whether a name is of a local network, and well formed.
func localName(name string) bool {
	ending := slices.IndexFunc(localEndings, func(e string) bool { return strings.HasSuffix(name, e) })
	if ending < 0 || len(name) > 253 {
		return false
	}
	for label := range strings.SplitSeq(strings.TrimSuffix(name, localEndings[ending]), ".") {
		wrong := func(r rune) bool { return r != '-' && (r < '0' || r > '9') && (r < 'a' || r > 'z') }
		if label == "" || len(label) > 63 || strings.Trim(label, "-") != label || strings.ContainsFunc(label, wrong) {
			return false
		}
	}
	return true
}

// findAddresses takes all private IPv4 addresses of this machine: every tablet has
// one to reach them from.
func (lan *LAN) findAddresses() error {
	all, err := net.InterfaceAddrs()
	if err != nil {
		return fmt.Errorf("asking for this machine's addresses: %w", err)
	}
	for _, one := range all {
		if prefix, err := netip.ParsePrefix(one.String()); err == nil && prefix.Addr().Is4() && prefix.Addr().IsPrivate() {
			lan.Addresses = append(lan.Addresses, prefix.Addr())
		}
	}
	if len(lan.Addresses) == 0 {
		return &place.Problem{
			Doing: "serving the page on the local network", What: "this machine has no private address",
			Wanted: "join the studio's network, or give the address, as in -address 192.168.1.20",
		}
	}
	return nil
}

// authority is the one that is kept, or a new one. It has to vouch for the name.
func (lan *LAN) authority(now time.Time) (*authority.Authority, error) {
	scope := authority.Scope{Name: lan.Name, Addresses: lan.Addresses}
	if lan.Renew {
		return authority.Renew(lan.Folder, scope, now)
	}
	own, err := authority.Open(lan.Folder, scope, now)
	if err != nil {
		return nil, err
	}
	if !own.Scope().Covers(lan.Name) {
		return nil, &place.Problem{
			Doing: "serving the page as " + lan.Name, What: "the authority made here vouches for " + own.Scope().String() + " alone",
			Wanted: "serve as before with -name " + own.Scope().Name + ", or make a new authority with -renew and trust that on every tablet",
		}
	}
	return own, nil
}

// vouched are the name and those addresses that a scope covers: an address that the
// router has given out since is not among them.
func (lan *LAN) vouched(scope authority.Scope) []string {
	names := []string{lan.Name}
	for _, addr := range lan.Addresses {
		if scope.Covers(addr.String()) {
			names = append(names, addr.String())
		}
	}
	return names
}

// saidWith are names as browsers say them in the Host header: with the port, and
// without where it is the scheme's own.
func saidWith(names []string, port int, own string) []string {
	said := hosts(names, port)
	for _, one := range said {
		if host, bare := strings.CutSuffix(one, ":"+own); bare {
			said = append(said, host)
		}
	}
	return said
}

// listenOn listens on one port of each address. A free one that the first took is
// taken of the others too.
func listenOn(ctx context.Context, addresses []netip.Addr, port int) ([]net.Listener, error) {
	var all []net.Listener
	for _, addr := range addresses {
		where := netip.AddrPortFrom(addr, uint16(port)).String()
		one, err := new(net.ListenConfig).Listen(ctx, "tcp", where)
		if err != nil {
			return all, &place.Problem{
				Doing: "serving the page on " + where, What: cause(err).Error(),
				Wanted: "end what serves there, or choose other ports with -port and -trust-port, and stay with them",
			}
		}
		all, port = append(all, one), portOf(one)
	}
	return all, nil
}

func portOf(listener net.Listener) int { return listener.Addr().(*net.TCPAddr).Port }

func closeAll(all []net.Listener) {
	for _, one := range all {
		one.Close()
	}
}

// quiet keeps to itself which device does not trust the authority yet: the page on
// that device says so.
func quiet(server *http.Server) *http.Server {
	server.ErrorLog = log.New(io.Discard, "", 0)
	return server
}

// issuing hands out one certificate for the hosts and has it issued anew before it
// ends, for a server that runs longer than that.
type issuing struct {
	authority *authority.Authority
	hosts     []string
	mutex     sync.Mutex
	leaf      *tls.Certificate
}

func (i *issuing) config() *tls.Config {
	return &tls.Config{
		MinVersion: tls.VersionTLS12,
		NextProtos: []string{"h2", "http/1.1"},
		GetCertificate: func(*tls.ClientHelloInfo) (*tls.Certificate, error) {
			return i.certificate(time.Now())
		},
	}
}

func (i *issuing) certificate(now time.Time) (*tls.Certificate, error) {
	i.mutex.Lock()
	defer i.mutex.Unlock()
	if i.leaf != nil && now.Before(i.leaf.Leaf.NotAfter.Add(-authority.LeafLifetime/3)) {
		return i.leaf, nil
	}
	leaf, err := i.authority.Issue(i.hosts, now)
	if err != nil {
		return nil, err
	}
	i.leaf = leaf
	return leaf, nil
}
