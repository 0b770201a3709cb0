package main

import (
	"context"
	"flag"

	"maulstick/web"
)

// serve shows the page to browsers on this machine until it is told to stop.
func serve(ctx context.Context, o *options) error {
	var addr string
	err := o.parse("shows the page to a browser on this machine.", func(f *flag.FlagSet) {
		f.StringVar(&addr, "addr", "127.0.0.1:8088", "the address to serve on, `HOST:PORT`, of this machine alone")
	})
	if err != nil {
		return err
	}
	return web.Serve(ctx, addr, o.out)
}
