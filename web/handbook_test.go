package web_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"net/url"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"maulstick/render/place"
)

// leaf is a page as it is written, before it is built.
type leaf struct {
	ids   []string
	links []link
	rows  [][]string // of its tables, cell by cell
}

// link is a link of a page, and the part of a tray that it stands in, if in any.
type link struct {
	to, part string
	current  bool // it says that it is the page itself
}

// readPage reads a page of this folder.
func readPage(t *testing.T, name string) leaf {
	t.Helper()
	data, err := os.ReadFile(filepath.FromSlash(name))
	if err != nil {
		t.Fatal(err)
	}
	d := xml.NewDecoder(bytes.NewReader(data))
	d.Strict, d.AutoClose, d.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	var page leaf
	var parts []string // that the elements that are open stand in
	cell := false
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return page
		}
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		switch token := token.(type) {
		case xml.StartElement:
			parts = append(parts, page.begin(token, parts))
			cell = token.Name.Local == "td" || token.Name.Local == "th"
		case xml.EndElement:
			parts, cell = parts[:len(parts)-1], false
		case xml.CharData:
			if cell {
				last := &page.rows[len(page.rows)-1]
				*last = append(*last, string(token))
			}
		}
	}
}

// begin takes an element in and says which part of a tray it stands in.
func (p *leaf) begin(e xml.StartElement, parts []string) (part string) {
	if len(parts) > 0 {
		part = parts[len(parts)-1]
	}
	has := map[string]string{}
	for _, a := range e.Attr {
		has[a.Name.Local] = a.Value
	}
	if id := has["id"]; id != "" {
		p.ids = append(p.ids, id)
		if has["class"] == "part" {
			part = id
		}
	}
	switch e.Name.Local {
	case "a":
		p.links = append(p.links, link{has["href"], part, has["aria-current"] == "page"})
	case "tr":
		p.rows = append(p.rows, nil)
	}
	return part
}

// pages are the page and its handbook, by their places.
func pages(t *testing.T) map[string]leaf {
	t.Helper()
	names, err := filepath.Glob("handbook/*.html")
	if err != nil || len(names) == 0 {
		t.Fatalf("the handbook has %d pages: %v", len(names), err)
	}
	all := map[string]leaf{}
	for _, name := range append(names, "index.html") {
		all[filepath.ToSlash(name)] = readPage(t, name)
	}
	return all
}

// Every link of the page and the handbook leads to a page that is there, and to a
// place on it that is there once; none leads away.
func TestHandbookLinksLead(t *testing.T) {
	all := pages(t)
	for name, page := range all {
		ids := slices.Sorted(slices.Values(page.ids))
		if once := slices.Compact(slices.Clone(ids)); len(once) != len(ids) {
			t.Errorf("%s has an id twice: %v", name, ids)
		}
		for _, l := range page.links {
			to, err := url.Parse(l.to)
			if err != nil || to.IsAbs() || to.Host != "" || to.Path == "" && to.Fragment == "" {
				t.Errorf("%s links to %q", name, l.to)
				continue
			}
			target := name
			if to.Path != "" {
				target = path.Join(path.Dir(name), to.Path)
			}
			if target == "." {
				target = "index.html"
			}
			if there, ok := all[target]; !ok || to.Fragment != "" && !slices.Contains(there.ids, to.Fragment) {
				t.Errorf("%s links to %q, which is not there", name, l.to)
			}
		}
	}
}

// Every part of every tray has one link to where the handbook explains it.
func TestPartsAreExplained(t *testing.T) {
	page := readPage(t, "index.html")
	count := map[string]int{}
	for _, id := range page.ids {
		if strings.HasPrefix(id, "part-") {
			count[id] = 0
		}
	}
	for _, l := range page.links {
		if strings.HasPrefix(l.to, "handbook/") {
			count[l.part]++
		}
	}
	if len(count) < 15 {
		t.Errorf("there are %d parts", len(count))
	}
	for part, n := range count {
		if n != 1 {
			t.Errorf("the part %q has %d links to the handbook", part, n)
		}
	}
}

// Every page of the handbook begins with links to all of them, in the order of the
// trays, and says which one it is.
func TestHandbookPagesNameOneAnother(t *testing.T) {
	order := []string{"line.html", "shape.html", "value.html", "colour.html", "place.html", "study.html"}
	all := pages(t)
	if len(all) != len(order)+1 {
		t.Errorf("there are %d pages, not %d", len(all), len(order)+1)
	}
	for name, page := range all {
		if name == "index.html" {
			continue
		}
		for i, other := range order {
			if len(page.links) <= i || page.links[i].to != other || page.links[i].current != (path.Base(name) == other) {
				t.Errorf("%s: link %d is not that to %s", name, i, other)
			}
		}
	}
}

// The handbook's table of French numbers is the one that stretchers are offered from.
func TestHandbookHasTheFrenchNumbers(t *testing.T) {
	told := map[string]string{}
	for _, row := range readPage(t, "handbook/line.html").rows {
		for i, kind := range []string{"figure", "landscape", "marine"} {
			if len(row) != 4 {
				t.Fatalf("the row %q has %d cells", row, len(row))
			}
			told[row[0]+" "+kind] = row[i+1]
		}
	}
	for _, kind := range []string{"figure", "landscape", "marine"} {
		delete(told, "Number "+kind)
	}
	offered := 0
	for _, s := range place.Stretchers() {
		if s.Number == "" {
			continue
		}
		offered++
		want := place.Decimal(s.Size.Width, place.Centimetre, 0) + " x " + place.Decimal(s.Size.Height, place.Centimetre, 0)
		if got := told[s.Name()]; got != strings.ReplaceAll(want, " cm", "") {
			t.Errorf("%s is %q in the handbook, not %s", s.Name(), got, want)
		}
	}
	if offered == 0 || offered != len(told) {
		t.Errorf("the handbook has %d sizes, %d are offered", len(told), offered)
	}
}
