package main

import (
	"context"
	"flag"
	"fmt"

	"maulstick/web"
)

// site writes the page as a folder for a web server of any kind.
func site(_ context.Context, o *options) error {
	var output string
	err := o.parse("-o FOLDER writes the page as a folder for any static web server.", func(f *flag.FlagSet) {
		f.StringVar(&output, "o", "", "the `FOLDER` to make; it has to be empty or not there yet")
	})
	if err != nil {
		return err
	}
	if output == "" {
		return o.missing("o", "dist")
	}
	if err := web.WriteSite(web.Built(), output); err != nil {
		return err
	}
	_, err = fmt.Fprintf(o.out, "The page is in %s; %s beside it says how to serve it.\n", output, web.ServingFile)
	return err
}
