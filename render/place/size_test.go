package place_test

import (
	"errors"
	"math"
	"math/big"
	"os"
	"strings"
	"testing"

	"maulstick/render/place"
)

// table reads a check table, row by row, and fails if it holds none.
func table(t testing.TB, name string, columns int) [][]string {
	t.Helper()
	data, err := os.ReadFile("../../testdata/place/" + name + ".tsv")
	if err != nil {
		t.Fatal(err)
	}
	var rows [][]string
	for _, line := range strings.Split(strings.TrimRight(string(data), "\n"), "\n")[1:] {
		cells := strings.Split(line, "\t")
		if len(cells) != columns {
			t.Fatalf("%s: %d cells in %q, want %d", name, len(cells), line, columns)
		}
		rows = append(rows, cells)
	}
	if len(rows) == 0 {
		t.Fatalf("%s: no rows", name)
	}
	return rows
}

// unit is the unit of a short name in a table.
func unit(t testing.TB, name string) place.Unit {
	t.Helper()
	u, ok := place.UnitNamed(name)
	if !ok {
		t.Fatalf("no unit %q", name)
	}
	return u
}

// exact is the float64 nearest to a fraction of millimetres.
func exact(t testing.TB, fraction string) place.MM {
	t.Helper()
	r, ok := new(big.Rat).SetString(fraction)
	if !ok {
		t.Fatalf("no fraction %q", fraction)
	}
	f, _ := r.Float64()
	return place.MM(f)
}

// Sizes as painters say them, to the last bit of the nearest float64.
func TestParseSizeIsExact(t *testing.T) {
	for _, row := range table(t, "sizes", 6) {
		want := place.Size{Width: exact(t, row[2]), Height: exact(t, row[3]), Unit: unit(t, row[4])}
		got, err := place.ParseSize(row[0], unit(t, row[1]))
		if err != nil {
			t.Errorf("%q: %v", row[0], err)
		} else if got != want {
			t.Errorf("%q in %s is %v, want %v", row[0], row[1], got, want)
		}
		// Each side alone is a length, where it says its own unit.
		side, _, _ := strings.Cut(strings.ReplaceAll(row[0], "×", "x"), " x ")
		if length, _, err := place.ParseLength(side, want.Unit); side != row[0] && (err != nil || length != want.Width) {
			t.Errorf("%q alone is %v (%v), want %v", side, length, err, want.Width)
		}
	}
}

// Sizes that are refused, in a sentence that fits beside a field.
func TestParseSizeRefuses(t *testing.T) {
	for _, row := range table(t, "refused", 3) {
		size, err := place.ParseSize(row[0], place.Inch)
		if err == nil {
			t.Errorf("%q is taken as %v", row[0], size)
			continue
		}
		message := err.Error()
		var problem *place.Problem
		if !errors.As(err, &problem) || !strings.Contains(message, row[1]) {
			t.Errorf("%q: %q does not say %q", row[0], message, row[1])
		}
		if !strings.HasPrefix(message, "reading the size “") || strings.HasSuffix(message, ".") ||
			strings.ContainsAny(message, "\n\r\t") || len([]rune(message)) > 120 {
			t.Errorf("%q: %q is not one short sentence", row[0], message)
		}
		if size != (place.Size{}) {
			t.Errorf("%q: refused, and yet %v", row[0], size)
		}
		hint := place.Hint(err)
		_, example, _ := strings.Cut(hint, "as in ")
		for _, said := range strings.Split(strings.ReplaceAll(example, " or ", ", "), ", ") {
			if _, err := place.ParseSize(said, place.Inch); err != nil {
				t.Errorf("%q: the hint's example %q is refused: %v", row[0], said, err)
			}
		}
	}
	if hint := place.Hint(errors.New("another")); hint != "" {
		t.Errorf("another's error hints %q", hint)
	}
}

func TestParseLength(t *testing.T) {
	for typed, want := range map[string]place.MM{
		"0": 0, "16 5/8": 422.275, "4¾": 120.65, `2' 9"`: 838.2, "84,5 cm": 845, "1.2 m": 1200, "3mm": 3,
	} {
		if got, _, err := place.ParseLength(typed, place.Inch); err != nil || got != want {
			t.Errorf("%q is %v (%v), want %v", typed, got, err, want)
		}
	}
	for _, typed := range []string{"", "x", "-1 in", "3 x 4", "101 m", "3 4", "3 lb", strings.Repeat("9", 100), "3\x00"} {
		if got, u, err := place.ParseLength(typed, place.Centimetre); err == nil || got != 0 || u != place.Centimetre || place.Hint(err) == "" {
			t.Errorf("%q gives %v %v, %v", typed, got, u, err)
		}
	}
}

// What is typed never panics; what is taken is a size, and comes back from its
// own spelling within the rounding of the spelling.
func FuzzParseSize(f *testing.F) {
	for _, row := range table(f, "sizes", 6) {
		f.Add(row[0], int(unit(f, row[1])))
	}
	for _, row := range table(f, "refused", 3) {
		f.Add(row[0], 0)
	}
	f.Add("3\xff x 4", 99)
	f.Fuzz(func(t *testing.T, typed string, assumed int) {
		size, err := place.ParseSize(typed, place.Unit(assumed))
		if err != nil {
			if place.Hint(err) == "" || size != (place.Size{}) {
				t.Fatalf("%q: %v without a hint, or with %v", typed, err, size)
			}
			return
		}
		for _, side := range []place.MM{size.Width, size.Height} {
			if !(side >= 1 && side <= 100_000) {
				t.Fatalf("%q: a side of %v", typed, side)
			}
			for u, rounding := range map[place.Unit]place.MM{
				place.Inch: 25.4 / 32, place.Foot: 25.4 / 32, place.Centimetre: 0.5, place.Millimetre: 0.05, place.Metre: 0.5,
			} {
				spelt := place.Text(side, u, 16)
				again, _, err := place.ParseLength(spelt, place.Inch)
				if err != nil || math.Abs(float64(again-side)) > float64(rounding)*1.0001 {
					t.Fatalf("%q: %v is spelt %q, which is %v (%v)", typed, side, spelt, again, err)
				}
			}
		}
	})
}
