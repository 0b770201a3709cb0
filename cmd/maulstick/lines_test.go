package main

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// rows are the objects of a list of the JSON.
func rows(t *testing.T, fields map[string]any, name string) []map[string]any {
	t.Helper()
	list, ok := fields[name].([]any)
	if !ok {
		t.Fatalf("%s is %v", name, fields[name])
	}
	objects := make([]map[string]any, len(list))
	for i := range list {
		objects[i] = list[i].(map[string]any)
	}
	return objects
}

// Of 70 x 33 in the thirds are 23 1/3 and 11 in, and fall on crossings of the
// diagonals: five lines meet there, a diagonal of the whole, one of the left half,
// one of the upper half, and a third each way. In the middle the two diagonals of
// the whole meet, plumb and level.
func TestLinesOfACanvas(t *testing.T) {
	fields := askJSON(t, "lines", "-canvas", "70x33in", "-use", "diagonals:2,thirds")
	equal(t, fields, map[string]any{"plan": "diagonals:2,thirds"})
	kinds := map[string]int{}
	for _, l := range rows(t, fields, "lines") {
		kinds[l["kind"].(string)]++
		for _, name := range []string{"x1_mm", "y1_mm", "x2_mm", "y2_mm"} {
			if v := l[name].(float64); v < 0 || v > 70*25.4 {
				t.Errorf("%s of %v is %v", name, l["label"], v)
			}
		}
	}
	if kinds["diagonals"] != 16 || kinds["thirds"] != 4 || len(kinds) != 2 {
		t.Errorf("there are %v lines", kinds)
	}
	found := 0
	for _, c := range rows(t, fields, "crossings") {
		x, y := c["x_mm"].(float64), c["y_mm"].(float64)
		if int(c["lines"].(float64)) != len(c["through"].([]any)) {
			t.Errorf("%v lines meet, %v", c["lines"], c["through"])
		}
		switch {
		case math.Hypot(x-70*25.4/3, y-11*25.4) < 1e-6:
			near(t, c, "lines", 5, 0)
			found++
		case math.Hypot(x-35*25.4, y-16.5*25.4) < 1e-6:
			near(t, c, "lines", 4, 0)
			found++
		}
	}
	if found != 2 {
		t.Errorf("%d of 2 crossings were found", found)
	}
	_, text, _ := ask("lines", "-canvas", "70x33in", "-use", "diagonals:2,thirds")
	for _, want := range []string{"20 lines", "diagonals    0 in, 0 in to 70 in, 33 in   diagonal\n", "5 lines meet at 23 5/16 in, 11 in\n", "-json lists all", "at the edge"} {
		if !strings.Contains(text, want) {
			t.Errorf("the text lacks %q:\n%s", want, text)
		}
	}
}

func TestLinesNearAPoint(t *testing.T) {
	args := []string{"lines", "-canvas", "30x30cm", "-use", "thirds,plumb:40cm", "-near", "9.7,20.4"}
	fields := askJSON(t, args...)
	close := fields["near"].(map[string]any)
	c, l := close["crossing"].(map[string]any), close["line"].(map[string]any)
	near(t, c, "right_mm", -3, 1e-9)
	near(t, c, "below_mm", 4, 1e-9)
	near(t, c, "distance_mm", 5, 1e-9)
	near(t, l, "distance_mm", -3, 1e-9)
	equal(t, l, map[string]any{"label": "1/3 across", "kind": "thirds"})
	if _, text, _ := ask(args...); !strings.Contains(text, "9.7 cm, 20.4 cm is 0.3 cm left of and 0.4 cm below the crossing at 10.0 cm, 20.0 cm\n9.7 cm, 20.4 cm is 0.3 cm left of the line 1/3 across\n") || !strings.Contains(text, "note: the plumb line 40.0 cm from the left") {
		t.Errorf("the text is %q", text)
	}
	args[len(args)-1] = "10,5"
	if _, text, _ := ask(args...); !strings.Contains(text, "10.0 cm, 5.0 cm is on the line 1/3 across\n") {
		t.Errorf("on a line the text is %q", text)
	}
}

func TestLinesAsSVG(t *testing.T) {
	name := filepath.Join(t.TempDir(), "lines.svg")
	fields := askJSON(t, "lines", "-canvas", "30x20cm", "-use", "squares:10cm:bottom-left", "-o", name)
	equal(t, fields, map[string]any{"output": name})
	if got := rows(t, fields, "labels"); len(got) != 5 || got[3]["text"] != "1" || got[3]["edge"] != "left" {
		t.Errorf("the squares are named %v", got)
	}
	data, err := os.ReadFile(name)
	if err != nil || strings.Count(string(data), "<line ") != 3 {
		t.Errorf("the drawing is %q, %v", data, err)
	}
}

// The list of thirds of 33 x 70 in from the bottom left: 70/3 in is 23 1/3, to a
// sixteenth 23 5/16, a 48th of an inch short.
func TestChalkOfACanvas(t *testing.T) {
	args := []string{"chalk", "-canvas", "33x70in", "-use", "thirds", "-from", "left,bottom"}
	fields := askJSON(t, args...)
	equal(t, fields, map[string]any{"from": "bottom-left"})
	marks, joins := rows(t, fields, "marks"), rows(t, fields, "joins")
	if len(marks) != 8 || len(joins) != 4 {
		t.Fatalf("there are %d marks and %d joins", len(marks), len(joins))
	}
	equal(t, marks[4], map[string]any{"name": "left 1", "edge": "left", "from": "bottom", "text": "23 5/16 in"})
	near(t, marks[4], "error_mm", -25.4/48, 1e-9)
	equal(t, joins[0], map[string]any{"from": "left 1", "to": "right 1", "kind": "thirds"})
	near(t, joins[0], "y1_mm", (70-23.3125)*25.4, 1e-9)
	near(t, fields["before"].(map[string]any), "distance_mm", math.Hypot(33, 70)*25.4, 1e-9)
	near(t, fields["check"].(map[string]any), "distance_mm", math.Hypot(11, 23.375)*25.4, 1e-9)
	_, text, _ := ask(args...)
	for _, want := range []string{"bottom edge, from the left\n  bottom 1   11 in\n", "right edge, from the bottom\n  right 1 ", "left 1     23 5/16 in, 0.021 in short\n", "left 2     46 11/16 in, 0.021 in long\n", "bottom 1   11 in\n", "  1  left 1 – right 1   thirds: 2/3 down", "check at the end: from", "it is 25 13/16 in"} {
		if !strings.Contains(text, want) {
			t.Errorf("the text lacks %q:\n%s", want, text)
		}
	}
	metric := askJSON(t, "chalk", "-canvas", "100x70cm", "-use", "golden")
	equal(t, rows(t, metric, "marks")[0], map[string]any{"text": "382 mm"})
	eighths := askJSON(t, "chalk", "-canvas", "100x70cm", "-use", "golden", "-round", "1/8")
	equal(t, rows(t, eighths, "marks")[0], map[string]any{"text": "15 in"}) // 15.038
}
