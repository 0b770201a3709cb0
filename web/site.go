package web

import (
	"bytes"
	_ "embed" // for the text on serving
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"text/template"

	"maulstick/render/place"
	"maulstick/web/part"
)

// The parts of a folder for a static web server.
const (
	SiteFolder  = "site"        // all that is to be served
	HeadersFile = "_headers"    // in it: the headers of every part, in the way many static hosts read them
	ServingFile = "SERVING.txt" // beside it: how to serve it
)

// servingText says how the folder is served, with the headers in the ways of three
// common servers.
//
//go:embed site.txt
var servingText string

var servingTemplate = template.Must(template.New("serving").Parse(servingText))

// WriteSite writes a built page as a folder for any static web server: every part
// with its compressed forms, the headers to serve them with, and how. The folder is
// made; one that holds something is a place.Problem, and so is a page that was not
// built.
func WriteSite(built fs.FS, folder string) error {
	list, err := readList(built)
	if err != nil {
		return err
	}
	if held, err := os.ReadDir(folder); err == nil && len(held) > 0 {
		return &place.Problem{
			Doing: "writing the page to " + folder, What: "there is something in that folder",
			Wanted: "name one that is empty or not there yet",
		}
	}
	site := filepath.Join(folder, SiteFolder)
	for _, one := range append(list.Parts, part.Part{URL: part.Worker}) {
		if err := writePart(built, site, one.URL); err != nil {
			return fmt.Errorf("writing the page to %s: %w", folder, err)
		}
	}
	var serving bytes.Buffer
	if err := servingTemplate.Execute(&serving, map[string]any{"Version": list.Version, "Headers": part.Headers()}); err != nil {
		panic(err) // only for a template that does not fit these values
	}
	for name, text := range map[string][]byte{
		filepath.Join(SiteFolder, HeadersFile): headersOf(list),
		ServingFile:                            serving.Bytes(),
	} {
		if err := os.WriteFile(filepath.Join(folder, name), text, 0o644); err != nil {
			return fmt.Errorf("writing the page to %s: %w", folder, err)
		}
	}
	return nil
}

// writePart writes a part and its compressed forms.
func writePart(built fs.FS, site, url string) error {
	name := filepath.Join(site, filepath.FromSlash(url))
	if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
		return err
	}
	endings := []string{""}
	if part.Packed(url) {
		for _, coding := range codings {
			endings = append(endings, coding.ending)
		}
	}
	for _, ending := range endings {
		data, err := fs.ReadFile(built, url+ending)
		if err != nil {
			return err
		}
		if err := os.WriteFile(name+ending, data, 0o644); err != nil {
			return err
		}
	}
	return nil
}

// headersOf lists a path and, indented below it, its headers: those of all parts
// first, then the type of each.
func headersOf(list part.List) []byte {
	var text strings.Builder
	text.WriteString("/*\n")
	for _, header := range part.Headers() {
		fmt.Fprintf(&text, "  %s: %s\n", header.Name, header.Value)
	}
	for _, one := range append(list.Parts, part.Of(part.Worker, nil)) {
		fmt.Fprintf(&text, "/%s\n  Content-Type: %s\n", one.URL, one.Type)
	}
	return []byte(text.String())
}

// readList is the list of a built page; without one the page was not built.
func readList(built fs.FS) (part.List, error) {
	list, err := part.Read(built)
	if errors.Is(err, fs.ErrNotExist) {
		return list, &place.Problem{
			Doing: "serving the page", What: "the page was not built into this program",
			Wanted: "run make build",
		}
	}
	return list, err
}
