package web

import (
	"bytes"
	"fmt"
	"io"
	"io/fs"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"maulstick/web/part"
)

// codings are the compressed forms that the build leaves beside a file, the
// smaller first.
var codings = []struct{ name, ending string }{{"br", ".br"}, {"gzip", ".gz"}}

// page answers requests for the parts of one built page.
type page struct {
	built   fs.FS
	version string
	hosts   []string
	parts   map[string]part.Part // the service worker too
	held    sync.Map             // what has been asked for, []byte by file name
}

// Handler serves a built page to browsers that ask for it under one of the
// hosts (with port); any other name may be a trick to reach it from a foreign
// page. A page that was not built is a place.Problem.
func Handler(built fs.FS, hosts []string) (http.Handler, error) {
	list, err := readList(built)
	if err != nil {
		return nil, err
	}
	worker, err := fs.ReadFile(built, part.Worker)
	if err != nil {
		return nil, fmt.Errorf("serving the page: %w", err)
	}
	p := &page{built: built, version: list.Version, hosts: hosts, parts: map[string]part.Part{}}
	for _, one := range append(list.Parts, part.Of(part.Worker, worker)) {
		p.parts[one.URL] = one
	}
	return p, nil
}

// ServeHTTP implements http.Handler.
func (p *page) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	for _, header := range part.Headers() {
		w.Header().Set(header.Name, header.Value)
	}
	if !slices.Contains(p.hosts, r.Host) && !slices.Contains(p.hosts, r.Host+":80") {
		http.Error(w, "This page is not served under that name.", http.StatusMisdirectedRequest)
		return
	}
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		w.Header().Set("Allow", "GET, HEAD")
		http.Error(w, "This page only takes GET and HEAD.", http.StatusMethodNotAllowed)
		return
	}
	url := strings.TrimPrefix(r.URL.Path, "/")
	if url == "" {
		url = "index.html"
	}
	one, known := p.parts[url]
	if !known {
		http.Error(w, "There is no such page.", http.StatusNotFound)
		return
	}
	// A page of another version must not be put together with parts of this.
	if v := r.URL.Query().Get("v"); v != "" && v != p.version {
		http.Error(w, "Another version of the page has been put in place. Load the page again.", http.StatusConflict)
		return
	}
	p.send(w, r, one)
}

// send answers with a part, compressed if the browser takes that.
func (p *page) send(w http.ResponseWriter, r *http.Request, one part.Part) {
	name, tag := one.URL, one.SHA256
	if part.Packed(one.URL) {
		w.Header().Set("Vary", "Accept-Encoding")
		for _, coding := range codings {
			if takes(r.Header.Values("Accept-Encoding"), coding.name) {
				name, tag = one.URL+coding.ending, tag+"-"+coding.name
				w.Header().Set("Content-Encoding", coding.name)
				r.Header.Del("Range")
				break
			}
		}
	}
	data, err := p.whole(name)
	if err != nil {
		w.Header().Del("Content-Encoding")
		http.Error(w, "The page is not whole: run make build.", http.StatusInternalServerError)
		return
	}
	w.Header().Set("ETag", strconv.Quote(tag))
	w.Header().Set("Content-Type", part.Type(one.URL))
	if w.Header().Get("Content-Encoding") != "" {
		w.Header().Set("Content-Length", strconv.Itoa(len(data)))
	}
	http.ServeContent(atOnce{w}, r, "", time.Time{}, bytes.NewReader(data))
}

// whole is a file of the page, which is held from the first time on: what is built into
// the program can otherwise only be copied out of it.
func (p *page) whole(name string) ([]byte, error) {
	if held, ok := p.held.Load(name); ok {
		return held.([]byte), nil
	}
	data, err := fs.ReadFile(p.built, name)
	if err == nil {
		p.held.Store(name, data)
	}
	return data, err
}

// atOnce sends what lies in memory in one piece, where the library would copy it in many:
// it tells when thirty tablets fetch the page at once.
type atOnce struct{ http.ResponseWriter }

// ReadFrom implements io.ReaderFrom.
func (w atOnce) ReadFrom(from io.Reader) (int64, error) {
	if some, ok := from.(*io.LimitedReader); ok {
		if all, ok := some.R.(*bytes.Reader); ok && some.N >= int64(all.Len()) {
			return all.WriteTo(w.ResponseWriter)
		}
	}
	return io.Copy(w.ResponseWriter, from)
}

// takes tells whether a browser accepts a coding: one that it names, or any,
// unless it gives it no weight (RFC 9110, section 12.5.3).
func takes(accepted []string, coding string) bool {
	any := false
	for one := range strings.SplitSeq(strings.Join(accepted, ","), ",") {
		name, parameters, _ := strings.Cut(one, ";")
		weight, err := strconv.ParseFloat(strings.TrimPrefix(strings.ReplaceAll(parameters, " ", ""), "q="), 64)
		wanted := err != nil && parameters == "" || weight > 0
		switch strings.ToLower(strings.TrimSpace(name)) {
		case coding:
			return wanted
		case "*":
			any = wanted
		}
	}
	return any
}
