package colour_test

import (
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

// row is one line of a check table, by the names of its columns.
type row struct {
	t     *testing.T
	name  string
	cells map[string]string
}

// table reads a check table and fails if it holds no row.
func table(t *testing.T, name string) []row {
	t.Helper()
	data, err := os.ReadFile("../../testdata/colour/" + name + ".tsv")
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimRight(string(data), "\n"), "\n")
	head := strings.Split(lines[0], "\t")
	var rows []row
	for _, line := range lines[1:] {
		cells := strings.Split(line, "\t")
		if len(cells) != len(head) {
			t.Fatalf("%s: %d cells under %d heads in %q", name, len(cells), len(head), line)
		}
		r := row{t: t, name: name + " " + cells[0], cells: map[string]string{}}
		for i, cell := range cells {
			r.cells[head[i]] = cell
		}
		if r.cells["source"] == "" || r.cells["tolerance"] == "" {
			t.Fatalf("%s: a row without source or tolerance: %q", name, line)
		}
		rows = append(rows, r)
	}
	if len(rows) == 0 {
		t.Fatalf("%s: no rows", name)
	}
	return rows
}

// number is a figure of the row.
func (r row) number(column string) float64 {
	r.t.Helper()
	n, err := strconv.ParseFloat(r.cells[column], 64)
	if err != nil {
		r.t.Fatalf("%s: %s: %v", r.name, column, err)
	}
	return n
}

// code is a figure of the row that is an 8-bit code.
func (r row) code(column string) uint8 {
	r.t.Helper()
	n, err := strconv.ParseUint(r.cells[column], 10, 8)
	if err != nil {
		r.t.Fatalf("%s: %s: %v", r.name, column, err)
	}
	return uint8(n)
}

// tolerance is what the row states for a column: a figure of its own, else half
// of the last figure printed there.
func (r row) tolerance(column string) float64 {
	r.t.Helper()
	for _, part := range strings.Split(r.cells["tolerance"], "; ") {
		name, figure, ok := strings.Cut(part, " ")
		if ok && name == column {
			n, err := strconv.ParseFloat(figure, 64)
			if err != nil {
				r.t.Fatalf("%s: tolerance of %s: %v", r.name, column, err)
			}
			return n
		}
	}
	if !strings.HasPrefix(r.cells["tolerance"], "half of the last figure") {
		r.t.Fatalf("%s: no tolerance for %s", r.name, column)
	}
	_, decimals, _ := strings.Cut(r.cells[column], ".")
	// The slack is for the rounding of float64, not of the table.
	return 0.5*math.Pow(10, -float64(len(decimals))) + 1e-14
}

// near checks one reading against the row.
func (r row) near(column string, got float64) {
	r.t.Helper()
	want := r.number(column)
	if off := math.Abs(got - want); !(off <= r.tolerance(column)) {
		r.t.Errorf("%s: %s is %.12g, want %s within %.2g", r.name, column, got, r.cells[column], r.tolerance(column))
	}
}
