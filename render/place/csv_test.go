package place_test

import (
	"bytes"
	"encoding/csv"
	"errors"
	"math"
	"slices"
	"strconv"
	"testing"

	"maulstick/render/place"
)

// Lists read back by encoding/csv: names that need quoting come back whole, and
// the figures are those of 3-4-5 on a canvas where a pixel is 1/100 in.
func TestListsReadBack(t *testing.T) {
	m := place.Mapping{Crop: place.Crop{Width: 3600, Height: 2400}, Canvas: size(t, "36 x 24 in")}
	a := place.NamedMark{Name: "the fig's stem, \"left\"\nside", At: place.PhotoPoint{X: 100.5, Y: 900.25}, Touch: 1.2}
	b := place.NamedMark{Name: "Glanz ✓", At: place.PhotoPoint{X: 400.5, Y: 500.25}}
	var marks, spans bytes.Buffer
	if err := place.WriteMarks(&marks, m, place.Edges{Bottom: true}, []place.NamedMark{a, b}); err != nil {
		t.Fatal(err)
	}
	if err := place.WriteSpans(&spans, m, []place.NamedSpan{{Name: "stem", From: a, To: b}}); err != nil {
		t.Fatal(err)
	}
	angle := math.Atan2(4, 3) * 180 / math.Pi
	for _, list := range []struct {
		data    *bytes.Buffer
		header  []string
		names   [][]string
		figures [][]float64
	}{
		{&marks, []string{"mark", "photo_x_px", "photo_y_px", "from_left_mm", "from_bottom_mm", "within_mm"},
			[][]string{{a.Name}, {b.Name}},
			[][]float64{{100.5, 900.25, 25.527, (2400 - 900.25) * 0.254, 1.3 * 0.254}, {400.5, 500.25, 101.727, (2400 - 500.25) * 0.254, 0.127}}},
		{&spans, []string{"span", "from", "to", "distance_mm", "run_mm", "rise_mm", "within_mm", "angle_from_level_deg", "angle_within_deg"},
			[][]string{{"stem", a.Name, b.Name}},
			[][]float64{{127, 76.2, 101.6, math.Hypot(1.3, 0.5) * 0.254, angle, math.Asin(math.Hypot(1.3, 0.5)/500) * 180 / math.Pi}}},
	} {
		rows, err := csv.NewReader(list.data).ReadAll()
		if err != nil || len(rows) != 1+len(list.names) || !slices.Equal(rows[0], list.header) {
			t.Fatalf("the list is %q, %v", rows, err)
		}
		for i, row := range rows[1:] {
			n := len(list.names[i])
			if !slices.Equal(row[:n], list.names[i]) {
				t.Errorf("the names are %q", row[:n])
			}
			for j, want := range list.figures[i] {
				got, err := strconv.ParseFloat(row[n+j], 64)
				if err != nil || math.Abs(got-want) > 5.1e-5 {
					t.Errorf("%s is %s, want %v", list.header[n+j], row[n+j], want)
				}
			}
		}
	}
}

// shut refuses to be written to.
type shut struct{}

func (shut) Write([]byte) (int, error) { return 0, errors.New("no room") }

func TestListsSayWhenTheyAreNotWritten(t *testing.T) {
	m := place.Mapping{Crop: place.Crop{Width: 1, Height: 1}, Canvas: place.Size{Width: 1, Height: 1}}
	if err := place.WriteMarks(shut{}, m, place.Edges{Right: true}, nil); err == nil {
		t.Error("marks are written to nowhere")
	}
	if err := place.WriteSpans(shut{}, m, nil); err == nil {
		t.Error("spans are written to nowhere")
	}
}

// What begins as a formula does (OWASP, CSV Injection) is written with an apostrophe
// before it; other names as they are.
func TestNamesAreNoFormulas(t *testing.T) {
	m := place.Mapping{Crop: place.Crop{Width: 10, Height: 10}, Canvas: place.Size{Width: 10, Height: 10}}
	for name, want := range map[string]string{
		"=1+1": "'=1+1", "+2": "'+2", "-rim": "'-rim", "@x": "'@x", "rim": "rim", "": "", "a=b": "a=b", "é": "é",
	} {
		var out bytes.Buffer
		if err := place.WriteMarks(&out, m, place.Edges{}, []place.NamedMark{{Name: name}}); err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(&out).ReadAll()
		if err != nil || rows[1][0] != want {
			t.Errorf("%q is written as %q, %v, want %q", name, rows, err, want)
		}
	}
}
