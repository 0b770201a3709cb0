package look

import (
	"os"
	"strconv"
	"strings"
	"testing"
)

// table reads a file of testdata, every row a map from the names in its first
// line. A table without rows fails.
func table(t *testing.T, name string) []map[string]string {
	t.Helper()
	data, err := os.ReadFile("../../testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimRight(string(data), "\n"), "\n")
	names := strings.Split(lines[0], "\t")
	var rows []map[string]string
	for _, line := range lines[1:] {
		cells := strings.Split(line, "\t")
		if len(cells) != len(names) {
			t.Fatalf("%s: %q has %d cells, not %d", name, line, len(cells), len(names))
		}
		row := map[string]string{}
		for i, cell := range cells {
			row[names[i]] = cell
		}
		rows = append(rows, row)
	}
	if len(rows) == 0 {
		t.Fatalf("%s has no rows", name)
	}
	return rows
}

func number(t *testing.T, text string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}
