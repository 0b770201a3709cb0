// Command pack builds the page into web/dist: the three programs that run in the
// browser, the hand-written files stamped with a version, the list of them all,
// the service worker that carries the list, and each file compressed.
//
// It is run from the root of the project.
package main

import (
	"flag"
	"fmt"
	"os"
)

// quick is how hard brotli tries unless asked.
const quick = 5

// order is what is to be built.
type order struct {
	root  string // of the project
	page  string // package of the program that draws
	out   string // folder for the built page, made anew
	level int    // of brotli, 0..11
}

func main() {
	o := order{root: "."}
	flag.StringVar(&o.page, "page", drawing, "the `package` of the program that draws")
	flag.StringVar(&o.out, "out", "web/dist", "the `folder` for the built page; its contents are replaced")
	flag.IntVar(&o.level, "level", quick, "how hard brotli tries, 0 to 11")
	flag.Parse()
	list, err := o.build()
	if err != nil {
		fmt.Fprintln(os.Stderr, "pack:", err)
		os.Exit(1)
	}
	fmt.Printf("The page is built: version %s, %d parts.\n", list.Version, len(list.Parts))
}
