package web_test

import (
	"fmt"
	"io/fs"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"maulstick/web"
)

// checklist is the document that says what is guarded, and how that is shown.
const checklist = "SECURITY.md"

// sources calls back with every file of the project's whose name ends so, hidden
// folders and what was built left out.
func sources(t *testing.T, ending string, visit func(name, text string)) {
	t.Helper()
	found := 0
	err := filepath.WalkDir("..", func(path string, entry fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case entry.IsDir() && (entry.Name() == "dist" || entry.Name() == "node_modules" || entry.Name() != ".." && strings.HasPrefix(entry.Name(), ".")):
			return fs.SkipDir
		case entry.IsDir() || !strings.HasSuffix(path, ending):
			return nil
		}
		text, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		found++
		visit(filepath.ToSlash(path), string(text))
		return nil
	})
	if err != nil || found == 0 {
		t.Fatalf("there are %d files that end in %s: %v", found, ending, err)
	}
}

// Every row of the checklist that holds names tests that there are, every other one a
// reason; and the document counts them rightly.
func TestSecurityRowsNameTheirTests(t *testing.T) {
	declared := map[string]bool{}
	function := regexp.MustCompile(`(?m)^func ((?:Test|Fuzz)\w+)\(`)
	sources(t, "_test.go", func(_, text string) {
		for _, match := range function.FindAllStringSubmatch(text, -1) {
			declared[match[1]] = true
		}
	})
	document, err := os.ReadFile(checklist)
	if err != nil {
		t.Fatal(err)
	}
	name := regexp.MustCompile(`^(?:Test|Fuzz)[A-Z]\w+$`)
	counts := map[string]int{}
	for line := range strings.SplitSeq(string(document), "\n") {
		cells := strings.Split(strings.Trim(line, "| "), " | ")
		if !strings.HasPrefix(line, "|") || len(cells) < 3 || cells[0] == "---" || strings.HasPrefix(cells[len(cells)-1], "shown by") {
			continue
		}
		holds, shown := cells[len(cells)-2], cells[len(cells)-1]
		counts[holds]++
		if holds != "yes" {
			if len(strings.Fields(shown)) < 4 {
				t.Errorf("%q: %q is no reason", cells[0], shown)
			}
			continue
		}
		for test := range strings.SplitSeq(shown, ", ") {
			if !name.MatchString(test) || !declared[test] {
				t.Errorf("%q: there is no test %q", cells[0], test)
			}
		}
	}
	said := fmt.Sprintf("Rows: %d. Hold: %d. Do not hold: %d. Do not apply: %d.",
		counts["yes"]+counts["no"]+counts["not applicable"], counts["yes"], counts["no"], counts["not applicable"])
	if len(counts) != 3 || !strings.Contains(string(document), "\n"+said+"\n") {
		t.Errorf("the document does not say %q", said)
	}
}

// No answer tells what serves it, keeps a cookie, or lets another origin read it,
// whoever asks.
func TestAnswersSayNoMoreThanTheyMust(t *testing.T) {
	server := httptest.NewUnstartedServer(nil)
	handler, err := web.Handler(small(t), []string{server.Listener.Addr().String()})
	if err != nil {
		t.Fatal(err)
	}
	server.Config.Handler = handler
	server.Start()
	defer server.Close()
	for _, method := range []string{"GET", "HEAD", "OPTIONS", "POST", "TRACE"} {
		for _, target := range []string{"/", "/page.wasm", "/sw.js", "/nothing", "/?v=other"} {
			request, err := http.NewRequest(method, server.URL+target, nil)
			if err != nil {
				t.Fatal(err)
			}
			request.Header.Set("Origin", "https://other.example")
			request.Header.Set("Access-Control-Request-Method", "GET")
			response, err := http.DefaultTransport.RoundTrip(request)
			if err != nil {
				t.Fatal(err)
			}
			response.Body.Close()
			for field := range response.Header {
				if field == "Server" || field == "Set-Cookie" || strings.HasPrefix(field, "X-Powered") || strings.HasPrefix(field, "Access-Control") {
					t.Errorf("%s %s: %s: %s", method, target, field, response.Header.Get(field))
				}
			}
			guarded(t, method+" "+target, response)
		}
	}
}

// The pages' text holds no script, no style and no handler, and names nothing of
// another origin.
func TestPagesHoldNoScriptOfTheirOwn(t *testing.T) {
	against := regexp.MustCompile(`(?i)<script(?:\s[^>]*)?>\s*[^<\s]|<style|\sstyle=|\son[a-z]+=|javascript:|(?:src|href|action)="(?:[a-z]+:|//)`)
	sources(t, ".html", func(name, text string) {
		if name == "../web/guide.html" || !strings.HasPrefix(name, "../web/") {
			return // the steps to trust the authority are no part of the page: their policy names the hash of their style
		}
		for _, found := range against.FindAllString(text, -1) {
			t.Errorf("%s holds %q", name, found)
		}
	})
}

// Nothing that the page runs makes markup or a program out of text.
func TestSourcesMakeNoMarkup(t *testing.T) {
	against := regexp.MustCompile(`(?i)\b(?:innerHTML|outerHTML|insertAdjacentHTML|document\.write|createContextualFragment|parseFromString|srcdoc|eval\(|new Function|setTimeout\(['"])`)
	look := func(name, text string) {
		for _, found := range against.FindAllString(text, -1) {
			t.Errorf("%s uses %s", name, found)
		}
	}
	sources(t, ".js", look)
	sources(t, ".go", func(name, text string) {
		if strings.HasPrefix(name, "../wasm/") && !strings.HasSuffix(name, "_test.go") {
			look(name, text)
		}
	})
}

// The libraries are those whose hashes go.sum has.
func TestModulesAreThoseChosen(t *testing.T) {
	command := exec.Command("go", "mod", "verify")
	command.Dir = ".."
	if out, err := command.CombinedOutput(); err != nil || !strings.Contains(string(out), "all modules verified") {
		t.Errorf("go mod verify: %v\n%s", err, out)
	}
}
