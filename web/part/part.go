// Package part lists what the page is built from, so that the build, the server
// and the service worker speak of the same files.
package part

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io/fs"
	"path"
	"slices"
)

// ListFile is where the build leaves the List, and Worker the service worker,
// which carries the List and is not on it.
const (
	ListFile = "parts.json"
	Worker   = "sw.js"
)

// Part is one file of the page.
type Part struct {
	URL    string `json:"url"`    // from the page's root, without a leading slash
	SHA256 string `json:"sha256"` // of its bytes, lower-case hex
	Bytes  int    `json:"bytes"`
	Type   string `json:"type"` // its media type, "" if the page has no such files
}

// List is one version of the page: all its parts, by URL.
type List struct {
	Version string `json:"version"` // differs whenever any part or the policy does
	Policy  string `json:"policy"`  // that every part is served with
	Parts   []Part `json:"parts"`
}

// Of describes the file with these bytes.
func Of(url string, data []byte) Part {
	sum := sha256.Sum256(data)
	return Part{URL: url, SHA256: hex.EncodeToString(sum[:]), Bytes: len(data), Type: Type(url)}
}

// WorkerOf is the service worker with the list that it is to keep. Until its last
// letter has come it is no program: one that is cut short is refused by the browser,
// wherever that happens.
func WorkerOf(list List, text []byte) ([]byte, error) {
	manifest, err := json.Marshal(list)
	if err != nil {
		return nil, fmt.Errorf("listing the page's parts: %w", err)
	}
	return slices.Concat([]byte("((() => { 'use strict'; const manifest = "), manifest, []byte(";\n"), text, []byte("})())\n")), nil
}

// Read is the list of a built page. Without one the error matches
// fs.ErrNotExist.
func Read(built fs.FS) (List, error) {
	var list List
	data, err := fs.ReadFile(built, ListFile)
	if err != nil {
		return list, fmt.Errorf("reading the list of the page's parts: %w", err)
	}
	if err := json.Unmarshal(data, &list); err != nil {
		return list, fmt.Errorf("reading the list of the page's parts: %w", err)
	}
	return list, nil
}

// types are the media types of the page's files, by their endings.
var types = map[string]string{
	".css":         "text/css; charset=utf-8",
	".html":        "text/html; charset=utf-8",
	".jpg":         "image/jpeg",
	".js":          "text/javascript; charset=utf-8",
	".json":        "application/json",
	".png":         "image/png",
	".svg":         "image/svg+xml",
	".wasm":        "application/wasm",
	".webmanifest": "application/manifest+json",
}

// Type is the media type of a file by its name; "" if the page has no such
// files.
func Type(name string) string { return types[path.Ext(name)] }

// Packed tells whether a file is worth compressing: pictures are compressed
// already.
func Packed(name string) bool {
	switch path.Ext(name) {
	case ".jpg", ".png":
		return false
	}
	return true
}
