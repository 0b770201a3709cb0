package place_test

import (
	"os"
	"slices"
	"strings"
	"testing"

	"maulstick/render/place"
)

// Every row of the table is read: short side first, one unit and a source each,
// no size twice in a kind.
func TestStretchersHoldToTheTable(t *testing.T) {
	data, err := os.ReadFile("stretchers.tsv")
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(string(data)), "\n")
	all := place.Stretchers()
	if len(all) != len(lines)-1 {
		t.Fatalf("%d stretchers of %d rows", len(all), len(lines)-1)
	}
	kinds := map[string]int{}
	seen := map[string]bool{}
	for i, s := range all {
		cells := strings.Split(lines[i+1], "\t")
		if s.Kind != cells[0] || s.Number != cells[1] || s.Source != cells[3] || !strings.Contains(s.Source, "memory") {
			t.Errorf("row %d is read as %+v", i, s)
		}
		if s.Size != size(t, cells[2]) || s.Size.Width > s.Size.Height || (s.Size.Unit == place.Inch) != (s.Kind == "inch") {
			t.Errorf("row %d has the size %v", i, s.Size)
		}
		if name := s.Kind + s.Name(); seen[name] {
			t.Errorf("%s is there twice", name)
		} else {
			seen[name] = true
		}
		kinds[s.Kind]++
	}
	for kind, least := range map[string]int{"inch": 30, "metric": 30, "figure": 20, "landscape": 20, "marine": 20} {
		if kinds[kind] < least {
			t.Errorf("there are %d of %s", kinds[kind], kind)
		}
	}
}

// French canvases of one number share their long side; the figure is the
// broadest, the marine the narrowest.
func TestFrenchNumbers(t *testing.T) {
	kinds := []string{"figure", "landscape", "marine"}
	byNumber := map[string][]place.Stretcher{}
	for _, s := range place.Stretchers() {
		if slices.Contains(kinds, s.Kind) {
			byNumber[s.Number] = append(byNumber[s.Number], s)
		}
	}
	for number, three := range byNumber {
		if len(three) != 3 || three[0].Kind != "figure" || three[2].Kind != "marine" {
			t.Fatalf("number %s is %v", number, three)
		}
		for i := range 2 {
			if three[i].Size.Height != three[i+1].Size.Height || three[i].Size.Width <= three[i+1].Size.Width {
				t.Errorf("number %s: %v beside %v", number, three[i].Size, three[i+1].Size)
			}
		}
	}
}

// A crop of 3 to 2 on a canvas of 35 x 23 in: 36 x 24 has its proportion and is
// the nearest in size of those that have, an inch larger either way.
func TestOffers(t *testing.T) {
	canvas := size(t, "35 x 23 in")
	crop := place.Crop{Width: 3000, Height: 2000}
	offers := place.Offers(crop, canvas, place.Border{}, 5, "inch")
	if len(offers) != 5 {
		t.Fatalf("there are %d offers", len(offers))
	}
	first := offers[0]
	if first.Stretcher.Name() != "24 x 36 in" || !first.Fit.Fits || first.Fit.Turned || first.Size != size(t, "36 x 24 in") {
		t.Errorf("the first is %+v", first)
	}
	closeTo(t, "wider", float64(first.Wider), inch, 1e-9)
	closeTo(t, "higher", float64(first.Higher), inch, 1e-9)
	for i, o := range offers[1:] {
		before, now := offers[i].Fit, o.Fit
		if off, least := now.PhotoRatio-now.CanvasRatio, before.PhotoRatio-before.CanvasRatio; off*off < least*least-1e-9 {
			t.Errorf("%v comes after %v", o, offers[i])
		}
		if long := o.Size.Width; long > canvas.Width*1.5 || long < canvas.Width/1.5 || o.Stretcher.Kind != "inch" {
			t.Errorf("%v is offered", o)
		}
	}
	if upright := place.Offers(place.Crop{Width: 2000, Height: 3000}, canvas, place.Border{}, 1, "inch"); upright[0].Size != size(t, "24 x 36 in") {
		t.Errorf("upright it is %v", upright[0])
	}
	// The French number 30 figure, 92 x 73 cm.
	if french := place.Offers(place.Crop{Width: 92, Height: 73}, size(t, "90 x 70 cm"), place.Border{}, 1); french[0].Stretcher.Name() != "30 figure" {
		t.Errorf("it is %v", french[0])
	}
	// With 3 in of turnover painted, 30 x 18 in are cut on the face of 24 x 12: the
	// stretcher for a crop of 5 to 3 is twice as long as it is high.
	wrapped := place.Border{Turnover: 3 * inch, TurnoverIn: true}
	if long := place.Offers(place.Crop{Width: 5, Height: 3}, size(t, "24 x 12 in"), wrapped, 1); long[0].Stretcher.Name() != "12 x 24 in" || !long[0].Fit.Fits {
		t.Errorf("with a turnover it is %v", long[0])
	}
	hidden := place.Border{Margin: place.Sides{Left: 400, Right: 400}}
	for _, o := range place.Offers(crop, canvas, hidden, 50) {
		if o.Size.Width <= 800 {
			t.Errorf("%v has no room between its margins", o)
		}
	}
	if none := place.Offers(crop, canvas, place.Border{}, 5, "brick"); len(none) != 0 {
		t.Errorf("bricks are offered: %v", none)
	}
}
