package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// leaves are two pages of a handbook, and the one that searches.
func leaves() map[string][]byte {
	return map[string][]byte{
		"handbook/a.html": []byte(`<!doctype html><head><title>No</title></head><body><nav><a>No</a></nav><main>
			<h1>Edges</h1><p>What is  <b>hard</b>er&nbsp;than.</p>
			<h2 id="use">Use <i>them</i></h2><p>x<sub>2</sub><br>
			Lost and</p><ul><li id="found"><b>Found</b> again</li><li>after</li></ul>
			<h3 id="more">More</h3><ul class="everywhere"><li>Rags</li></ul></main></body>`),
		"handbook/b.html":      []byte(`<main><h1>B</h1><h2 id="cautions">Cautions</h2><ul class="everywhere"><li>Rags</li></ul></main>`),
		"handbook/search.html": []byte(`<main><h1>Search</h1><p>No</p></main>`),
		"index.html":           []byte(`<main><h1>No</h1></main>`),
	}
}

func TestWordsAreGatheredBySection(t *testing.T) {
	files := leaves()
	if err := addWords(files); err != nil {
		t.Fatal(err)
	}
	var got []section
	if err := json.Unmarshal(files[wordsFile], &got); err != nil {
		t.Fatal(err)
	}
	want := []section{
		{"a.html", "", "Edges", "Edges", "Edges What is harder than."},
		{"a.html", "use", "Edges", "Use them", "x2 Lost and after"},
		{"a.html", "found", "Edges", "Found", "Found again"},
		{"a.html", "more", "Edges", "More", "Rags"},
		{"b.html", "", "B", "B", "B"},
	}
	if !slices.Equal(got, want) {
		t.Errorf("gathered\n%q, want\n%q", got, want)
	}
}

func TestWordsThatCannotBeLedToAreFaults(t *testing.T) {
	for name, page := range map[string]string{
		"no heading":        `<main><p>words</p></main>`,
		"a heading without": `<main><h1>A</h1><h2>B</h2></main>`,
		"an item without":   `<main><h1>A</h1><ul><li id="b">words</li></ul></main>`,
		"no page":           `<main><h1>A</h2`,
	} {
		if err := addWords(map[string][]byte{"handbook/a.html": []byte(page)}); err == nil || !strings.Contains(err.Error(), "handbook/a.html") {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// Every heading of the handbook as it is can be found.
func TestHandbooksHeadingsAreAllGathered(t *testing.T) {
	o := order{root: filepath.Join("..", "..")}
	files := map[string][]byte{}
	if err := o.gatherWritten(files); err != nil {
		t.Fatal(err)
	}
	if err := addWords(files); err != nil {
		t.Fatal(err)
	}
	var got []section
	if err := json.Unmarshal(files[wordsFile], &got); err != nil {
		t.Fatal(err)
	}
	pages, headings := map[string]bool{}, 0
	for _, one := range got {
		pages[one.Page] = true
	}
	written, err := filepath.Glob(filepath.Join("..", "handbook", "*.html"))
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range written {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		headings += strings.Count(string(text), "<h2") + strings.Count(string(text), "<h3")
	}
	if len(pages) != len(written)-1 || len(got) < headings {
		t.Errorf("%d places on %d pages, want %d headings and more on %d", len(got), len(pages), headings, len(written)-1)
	}
}
