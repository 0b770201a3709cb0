package main

import (
	"context"
	"flag"
	"fmt"
	"net/netip"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"maulstick/render/place"
	"maulstick/web"
)

// The fixed ports of the page on a local network: what a tablet keeps belongs to the
// port too.
const (
	lanPort   = 8443
	trustPort = 8480
)

// alone and shared are the flags that only go without -lan, or with it.
var (
	alone  = []string{"addr"}
	shared = []string{"name", "address", "port", "trust-port", "renew", "authority"}
)

// serve shows the page to browsers, on this machine or on the local network, until it
// is told to stop.
func serve(ctx context.Context, o *options) error {
	var addr, addresses string
	var onLAN bool
	var lan web.LAN
	err := o.parse("shows the page to a browser on this machine, or on the local network.", func(f *flag.FlagSet) {
		f.StringVar(&addr, "addr", "127.0.0.1:8088", "the address to serve on, `HOST:PORT`, of this machine alone")
		f.BoolVar(&onLAN, "lan", false, "serve to tablets on the local network, over HTTPS, with an authority of this machine's own")
		f.StringVar(&lan.Name, "name", "", "with -lan: the `NAME` that tablets ask for (default this machine's own, in .local)")
		f.StringVar(&addresses, "address", "", "with -lan: the `ADDRESSES` of this machine to serve on, as in 192.168.1.20,10.0.0.5\n(default all private ones)")
		f.IntVar(&lan.Port, "port", lanPort, "with -lan: the `PORT` of the page; stay with one")
		f.IntVar(&lan.TrustPort, "trust-port", trustPort, "with -lan: the `PORT` of the steps to trust the authority")
		f.BoolVar(&lan.Renew, "renew", false, "with -lan: make a new authority, to be trusted anew on every tablet")
		f.StringVar(&lan.Folder, "authority", "", "with -lan: the `FOLDER` that keeps the authority (default one in your configuration)")
	})
	if err != nil {
		return err
	}
	if err := o.checkNetwork(onLAN); err != nil {
		return err
	}
	if !onLAN {
		return web.Serve(ctx, addr, o.out)
	}
	if lan.Addresses, err = parseAddresses(addresses); err != nil {
		return err
	}
	if lan.Folder == "" {
		configured, err := os.UserConfigDir()
		if err != nil {
			return fmt.Errorf("looking for the folder of the authority: %w", err)
		}
		lan.Folder = filepath.Join(configured, "maulstick")
	}
	return web.ServeLAN(ctx, lan, o.out)
}

// checkNetwork refuses flags that would be passed over, and ports that are none.
func (o *options) checkNetwork(onLAN bool) error {
	var wrong error
	o.flags.Visit(func(f *flag.Flag) {
		if onLAN && slices.Contains(alone, f.Name) {
			wrong = o.misused("-" + f.Name + " does not go with -lan")
		}
		if !onLAN && slices.Contains(shared, f.Name) {
			wrong = o.misused("-" + f.Name + " goes with -lan alone")
		}
		if port, ok := f.Value.(flag.Getter).Get().(int); ok && (port < 0 || port > 65535) {
			wrong = o.misused(fmt.Sprintf("-%s %d is no port", f.Name, port))
		}
	})
	return wrong
}

// parseAddresses reads addresses with commas between them.
func parseAddresses(text string) ([]netip.Addr, error) {
	if text == "" {
		return nil, nil
	}
	var all []netip.Addr
	for one := range strings.SplitSeq(text, ",") {
		addr, err := netip.ParseAddr(strings.TrimSpace(one))
		if err != nil {
			return nil, &place.Problem{
				Doing: "reading the address " + one, What: "it is no address of a machine",
				Wanted: "give numbers, as in -address 192.168.1.20",
			}
		}
		all = append(all, addr)
	}
	return all, nil
}
