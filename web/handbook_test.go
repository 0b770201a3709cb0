package web_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"maps"
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
	text     string
	ids      []string
	links    []link
	trays    []string
	parts    []string   // of its trays
	rows     [][]string // of its tables, cell by cell
	sections []passage  // the first stands before any heading of the second rank
}

// passage is what stands under a heading of the second rank.
type passage struct {
	heading, words string
	items          int   // of its lists
	sums           []int // the lines of each
}

// link is a link of a page, and the part of a tray that it stands in, if in any.
type link struct {
	to, part, target string
	current          bool // it says that it is the page itself
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
	page := leaf{text: string(data), sections: []passage{{}}}
	var parts []string // that the elements that are open stand in
	cell, heading := false, false
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
			heading = heading || token.Name.Local == "h2"
		case xml.EndElement:
			parts, cell = parts[:len(parts)-1], false
			heading = heading && token.Name.Local != "h2"
		case xml.CharData:
			if last := &page.sections[len(page.sections)-1]; heading {
				last.heading += string(token)
			} else {
				last.words += string(token)
			}
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
			p.parts = append(p.parts, id)
		}
	}
	now := &p.sections[len(p.sections)-1]
	switch e.Name.Local {
	case "h2":
		p.sections = append(p.sections, passage{})
	case "li":
		now.items++
	case "p":
		if has["class"] == "sum" {
			now.sums = append(now.sums, 1)
		}
	case "br":
		if len(now.sums) > 0 {
			now.sums[len(now.sums)-1]++
		}
	case "section":
		if has["class"] == "tray" {
			p.trays = append(p.trays, has["id"])
		}
	case "a":
		p.links = append(p.links, link{has["href"], part, has["target"], has["aria-current"] == "page"})
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
	for _, part := range page.parts {
		count[part] = 0
	}
	begins := 0
	for _, l := range page.links {
		switch {
		case !strings.HasPrefix(l.to, "handbook/"):
		case l.to == "handbook/begin.html":
			begins++
		default:
			count[l.part]++
		}
		// One window for all of it, which leads back to the page that opened it.
		if strings.HasPrefix(l.to, "handbook/") && l.target != "handbook" {
			t.Errorf("the link to %s opens in %q", l.to, l.target)
		}
	}
	if len(count) < 15 || begins == 0 {
		t.Errorf("there are %d parts, and %d links to the handbook's beginning", len(count), begins)
	}
	for part, n := range count {
		if n != 1 {
			t.Errorf("the part %q has %d links to the handbook", part, n)
		}
	}
}

// order is that of the handbook's pages: how to begin, then the trays as the ledge has
// them, each with a page of its name.
func order(t *testing.T) []string {
	t.Helper()
	names := []string{"begin.html"}
	for _, tray := range readPage(t, "index.html").trays {
		names = append(names, tray+".html")
	}
	if len(names) < 7 {
		t.Fatalf("the page has the trays %v", names[1:])
	}
	return names
}

// Every page of the handbook begins with links to all of them, in the order of the
// trays, and says which one it is; it leads back, and can be searched from.
func TestHandbookPagesNameOneAnother(t *testing.T) {
	order := order(t)
	all := pages(t)
	if len(all) != len(order)+2 { // the page itself, and the one that searches
		t.Errorf("there are %d pages, not %d", len(all), len(order)+2)
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
		if len(page.links) <= len(order) || page.links[len(order)].to != "../" || !slices.Contains(page.ids, "back") {
			t.Errorf("%s does not lead back to the easel", name)
		}
		if !slices.Contains(page.ids, "sought") || !strings.Contains(page.text, `action="search.html"`) {
			t.Errorf("%s cannot be searched from", name)
		}
	}
}

// contents are the sections that the page of every tray has, in this order, others
// between them.
var contents = []string{"What it shows", "How painters use it", "The arithmetic", "Sources", "Limits", "Cautions"}

// cautions are what a studio has to be warned of, on every page, and words that may
// not be missing from the warning.
var cautions = []struct {
	of    string
	words []string
}{
	{"labels and local rules first", []string{"labels", "safety sheets", "rules where you live", "before anything said here"}},
	{"solvents and ventilation", []string{"solvents", "vapour", "air", "flames"}},
	{"oily rags", []string{"rags", "drying oil", "heat up by themselves", "catch fire", "closed metal can"}},
	{"poisonous pigments", []string{"poisonous", "lead", "cadmium", "eat or smoke", "wash your hands"}},
	{"screen and light", []string{"light meter", "brightness", "night colour", "reflections"}},
}

// The page of every tray says what it shows, how painters use it, the arithmetic in two
// lines, its sources, its limits and its cautions, and leaves no part of that empty.
func TestHandbookPagesSayAllTheyShould(t *testing.T) {
	for _, name := range order(t)[1:] {
		page := readPage(t, "handbook/"+name)
		at := -1
		for _, heading := range contents {
			i := slices.IndexFunc(page.sections, func(s passage) bool { return s.heading == heading })
			if i <= at {
				t.Errorf("%s: %q is lacking, or not in its place", name, heading)
				continue
			}
			at = i
			if n := len(strings.Fields(page.sections[i].words)); n < 25 {
				t.Errorf("%s: under %q stand %d words", name, heading, n)
			}
			if sums := page.sections[i].sums; heading == "The arithmetic" && (len(sums) != 1 || sums[0] != 2) {
				t.Errorf("%s: the arithmetic stands in %v lines, want two", name, sums)
			}
		}
		if n := len(strings.Fields(page.sections[0].words)); n < 10 {
			t.Errorf("%s begins with %d words on what it is about", name, n)
		}
		if sources := page.sections[slices.IndexFunc(page.sections, func(s passage) bool { return s.heading == "Sources" })]; sources.items < 3 {
			t.Errorf("%s names %d sources", name, sources.items)
		}
	}
}

// Every page but the one that searches warns of the same things in the same words, at
// its end.
func TestHandbookPagesCaution(t *testing.T) {
	said := map[string]string{}
	for _, name := range order(t) {
		page := readPage(t, "handbook/"+name)
		last := page.sections[len(page.sections)-1]
		if last.heading != "Cautions" {
			t.Errorf("%s ends with %q", name, last.heading)
		}
		_, list, _ := strings.Cut(page.text, `<ul class="everywhere">`)
		list, _, _ = strings.Cut(list, "</ul>")
		said[list] += " " + name
		for _, caution := range cautions {
			for _, word := range caution.words {
				if !strings.Contains(strings.ToLower(list), word) {
					t.Errorf("%s: the caution on %s does not say %q", name, caution.of, word)
				}
			}
		}
		if strings.Index(list, "Labels") > strings.Index(list, "Solvents") {
			t.Errorf("%s: labels and local rules do not come first", name)
		}
	}
	if len(said) != 1 {
		t.Errorf("the pages caution in %d ways: %q", len(said), slices.Collect(maps.Values(said)))
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
