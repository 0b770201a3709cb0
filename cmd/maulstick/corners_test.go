package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"

	"maulstick/render/place"
)

// A print of 600 x 396 mm before a synthetic camera (testdata/warp/cases.json), its
// corners given to the nearest pixel and out of their order: by its size it is squared
// up to its proportion, and by the focal length to within what the rounding allows.
func TestCropSquaresUp(t *testing.T) {
	data, err := os.ReadFile("../../testdata/warp/cases.json")
	if err != nil {
		t.Fatal(err)
	}
	var cases []struct {
		Corners [4][2]float64 `json:"src_quad_TL_TR_BR_BL"`
		Focal   float64       `json:"focal_px"`
	}
	if err := json.Unmarshal(data, &cases); err != nil || len(cases) == 0 {
		t.Fatal(err)
	}
	for _, c := range cases {
		corners := ""
		for _, i := range []int{2, 0, 3, 1} {
			corners += fmt.Sprintf(",%.0f,%.0f", c.Corners[i][0], c.Corners[i][1])
		}
		out := filepath.Join(t.TempDir(), "flat.png")
		ask := []string{"crop", "-reference", "../../testdata/warp/citrus-tilted.jpg", "-canvas", "600x396mm", "-corners", corners[1:]}
		fields := askJSON(t, append(ask, "-flat", "600x396mm", "-o", out)...)
		near(t, fields, "photo_ratio", 396.0/600, 0.001)
		equal(t, fields, map[string]any{"fits": true})
		if written, err := os.Stat(out); err != nil || written.Size() == 0 {
			t.Errorf("no picture is written: %v", err)
		}
		// The frame of 36 x 24 mm film that shows as much, by the diagonals.
		onFilm := c.Focal * math.Hypot(36, 24) / math.Hypot(1200, 900)
		if size := place.FocalPixels(place.MM(onFilm), place.Pixels{Width: 1200, Height: 900}); math.Abs(size-c.Focal) > 1e-9 {
			t.Errorf("%v mm on film are %v pixels, not %v", onFilm, size, c.Focal)
		}
		fields = askJSON(t, append(ask, "-focal", fmt.Sprint(onFilm))...)
		near(t, fields, "photo_ratio", 396.0/600, 0.005)
	}
}
