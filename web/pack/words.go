package main

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"path"
	"slices"
	"strings"
)

// The handbook's pages, and the file in which its search finds their words.
const (
	handbook   = "handbook/"
	wordsFile  = handbook + "words.json"
	searchPage = handbook + "search.html"
)

// section is a place of the handbook that a search can lead to: what stands from one
// heading to the next, or in a list's item that has a name of its own.
type section struct {
	Page    string `json:"page"`         // its file
	ID      string `json:"id,omitempty"` // in that; none for what stands before the first heading
	Title   string `json:"title"`        // of the page
	Heading string `json:"heading"`      // of the section, or what an item begins with
	Text    string `json:"text"`         // its words, without markup
}

// addWords gathers the words of the handbook's pages into a file of their own, so
// that the page that searches need not read them all. What every page says alike is
// gathered from the first alone.
func addWords(files map[string][]byte) error {
	var all []section
	pages := slices.DeleteFunc(sorted(files), func(url string) bool {
		return !strings.HasPrefix(url, handbook) || path.Ext(url) != ".html" || url == searchPage
	})
	for i, url := range pages {
		r := reader{page: path.Base(url), everywhere: i == 0}
		if err := r.read(files[url]); err != nil {
			return fmt.Errorf("gathering the words of %s: %w", url, err)
		}
		all = append(all, r.sections...)
	}
	text, err := json.Marshal(all)
	if err != nil {
		return fmt.Errorf("gathering the words of the handbook: %w", err)
	}
	files[wordsFile] = append(text, '\n')
	return nil
}

// reader takes a page of the handbook apart.
type reader struct {
	page       string
	everywhere bool // what all pages say is taken, too
	title      string
	sections   []section
	open       []element
}

// element is one that has begun and not ended.
type element struct {
	name    string
	into    int  // the section that its words go into, -1 for none
	heading bool // its words are a heading
	before  int  // the section to go on with once it has ended
}

// read takes in a page.
func (r *reader) read(text []byte) error {
	d := xml.NewDecoder(bytes.NewReader(text))
	d.Strict, d.AutoClose, d.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return r.finish()
		}
		if err != nil {
			return err
		}
		switch token := token.(type) {
		case xml.StartElement:
			r.begin(token)
		case xml.EndElement:
			r.end()
		case xml.CharData:
			r.say(string(token))
		}
	}
}

// begin opens an element: a heading begins a section, and so does an item that has a
// name. Words count inside main alone.
func (r *reader) begin(e xml.StartElement) {
	has := map[string]string{}
	for _, a := range e.Attr {
		has[a.Name.Local] = a.Value
	}
	now := element{name: e.Name.Local, into: -1, before: -1}
	if len(r.open) > 0 {
		now.into, now.heading = r.open[len(r.open)-1].into, r.open[len(r.open)-1].heading
		now.before = now.into
	}
	switch {
	case now.name == "main":
		now.into = r.add("")
	case now.into < 0:
	case now.name == "h1":
		now.heading = true
	case now.name == "h2", now.name == "h3":
		now.into, now.heading = r.add(has["id"]), true
		now.before = now.into // what follows belongs to it
	case now.name == "li" && has["id"] != "":
		now.into = r.add(has["id"])
	case now.name == "noscript", has["class"] == "everywhere" && !r.everywhere:
		now.into = -1
	}
	r.open = append(r.open, now)
}

func (r *reader) add(id string) int {
	r.sections = append(r.sections, section{Page: r.page, ID: id})
	return len(r.sections) - 1
}

// end closes an element. After a heading its parent's words go into the section that
// the heading began.
func (r *reader) end() {
	last := len(r.open) - 1
	ended := r.open[last]
	r.open = r.open[:last]
	if last > 0 && (ended.name == "h2" || ended.name == "h3") {
		r.open[last-1].into = ended.before
	}
	if ended.into >= 0 && !slices.Contains(inline, ended.name) {
		r.sections[ended.into].Text += " "
	}
}

// inline are elements that words go on through.
var inline = []string{"a", "b", "i", "sub", "sup", "code", "kbd", "small", "span"}

// say takes words in; those that an item begins with, set bold, head it.
func (r *reader) say(text string) {
	if len(r.open) == 0 || r.open[len(r.open)-1].into < 0 {
		return
	}
	now := r.open[len(r.open)-1]
	one := &r.sections[now.into]
	switch {
	case now.name == "h1":
		r.title += text
	case now.heading:
		one.Heading += text
		return
	case now.name == "b" && one.Heading == "" && one.ID != "":
		one.Heading = text
	}
	one.Text += text
}

// finish gives every section its title and leaves out those without words. A section
// that cannot be led to, and one that has no heading, are faults.
func (r *reader) finish() error {
	r.title = strings.Join(strings.Fields(r.title), " ")
	if r.title == "" {
		return errors.New("the page has no heading")
	}
	for i := range r.sections {
		one := &r.sections[i]
		one.Title, one.Text, one.Heading = r.title, strings.Join(strings.Fields(one.Text), " "), strings.Join(strings.Fields(one.Heading), " ")
		switch {
		case i == 0:
			one.Heading = r.title
		case one.ID == "":
			return fmt.Errorf("the section %q has no id", one.Heading)
		case one.Heading == "":
			return fmt.Errorf("the section %q has no heading", one.ID)
		}
	}
	r.sections = slices.DeleteFunc(r.sections, func(one section) bool { return one.Text == "" })
	return nil
}
