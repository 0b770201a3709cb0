package check

import (
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"maulstick/render/place"
)

// On a picture that OpenCV 4.6 moved (warpAffine: 6.3 pixels right, 4.2 up, 0.8 degrees
// clockwise, 1.5 per cent larger about its middle) places are found where OpenCV's own
// tracker finds them (calcOpticalFlowPyrLK, there and back), and the whole is what was
// done to it.
func TestMatchesAgreeWithOpenCV(t *testing.T) {
	from, to := load(t, "warp/citrus-squared.png"), load(t, "check/citrus-moved.jpg")
	data, err := os.ReadFile("../../testdata/check/citrus-moved.tsv")
	if err != nil {
		t.Fatal(err)
	}
	canvas := place.Size{Width: 1000, Height: place.MM(1000 * float64(from.Height) / float64(from.Width))}
	pixel := 1000 / float64(from.Width)
	size := frameOf(canvas, workSide)
	var both [2]lit
	if both[0], err = cropped(from, place.WholeCrop(from.Size()), size); err != nil {
		t.Fatal(err)
	}
	if both[1], err = cropped(to, place.WholeCrop(to.Size()), size); err != nil {
		t.Fatal(err)
	}
	d, err := compareDrawing(both[0].lab(), both[1].lab(), canvas)
	if err != nil {
		t.Fatal(err)
	}
	var off []float64
	for line := range strings.Lines(string(data)) {
		var row [4]float64 // place and shift, pixels
		bad := false
		for i, cell := range strings.Split(strings.TrimSpace(line), "\t") {
			row[i], err = strconv.ParseFloat(cell, 64)
			bad = bad || err != nil
		}
		if bad {
			continue // the head
		}
		for _, m := range d.Matches {
			x, y := float64(m.At.X)/pixel-row[0], float64(m.At.Y)/pixel-row[1]
			if math.Hypot(x, y) > 5 {
				continue
			}
			// Between the two places the shift changes by what was done to the picture.
			dx, dy := 0.0149*x-0.0142*y, 0.0142*x+0.0149*y
			off = append(off, math.Hypot(float64(m.DX)/pixel-dx-row[2], float64(m.DY)/pixel-dy-row[3]))
		}
	}
	if len(off) < 50 {
		t.Fatalf("only %d places were found by both", len(off))
	}
	slices.Sort(off)
	t.Logf("%d places by both: half within %.3f pixels, 95 of 100 within %.3f; whole %+v", len(off), off[len(off)/2], off[len(off)*95/100], d.Whole)
	if off[len(off)/2] > 0.15 || off[len(off)*95/100] > 0.5 {
		t.Errorf("half are within %.3f pixels of OpenCV's, 95 of 100 within %.3f", off[len(off)/2], off[len(off)*95/100])
	}
	w := d.Whole
	if math.Abs(float64(w.DX)/pixel-6.3) > 0.1 || math.Abs(float64(w.DY)/pixel+4.2) > 0.1 || math.Abs(w.Turn-0.8) > 0.03 || math.Abs(w.Across-1.015) > 0.001 || math.Abs(w.Down-1.015) > 0.001 {
		t.Errorf("the whole is told to be %+v", w)
	}
	if len(d.Slips) > 0 {
		t.Errorf("slips: %+v", d.Slips)
	}
}
