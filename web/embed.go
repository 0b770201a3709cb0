// Package web holds the built page and serves it.
package web

import (
	"embed"
	"io/fs"
)

// dist is what the build leaves: the parts of the page, each also compressed,
// their list and the service worker.
//
//go:embed all:dist
var dist embed.FS

// Built is the page as it was built into this program, rooted at its start.
func Built() fs.FS {
	built, err := fs.Sub(dist, "dist")
	if err != nil {
		panic(err) // only for a path that is not one
	}
	return built
}
