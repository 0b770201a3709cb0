package render

import (
	"bytes"
	"flag"
	"image"
	"image/png"
	"os"
	"testing"

	"maulstick/render/colour"
	"maulstick/render/look"
	"maulstick/render/photo"
	"maulstick/render/place"
)

var grey50 = colour.SRGB{R: 119, G: 119, B: 119}

// whole is a picture's pyramid, made at once.
func whole(p *photo.Picture) *photo.Pyramid {
	y := photo.NewPyramid(p)
	y.Finish()
	return y
}

// one is a plan of a single pane that fills the screen.
func one(v Viewport, crop place.Crop, l look.Look) Plan {
	return Plan{
		Width: v.Width, Height: v.Height, Crop: crop, Surround: grey50,
		Panes: []Pane{{At: Rect{Width: v.Width, Height: v.Height}, View: v, Look: l}},
	}
}

// TestOnlyTheCropShows compares every pixel of a small plan with what stands
// there: the photograph's own pixel inside the crop, the surround outside.
func TestOnlyTheCropShows(t *testing.T) {
	p := photo.New(40, 30)
	for i := range 40 * 30 {
		copy(p.Pix[4*i:], []byte{byte(i % 40 * 6), byte(i / 40 * 8), 77, 255})
	}
	crop := place.Crop{X: 5, Y: 4, Width: 20, Height: 10}
	for turn := range 4 {
		v := Viewport{Width: 60, Height: 50, Scale: 1, Centre: place.PhotoPoint{X: 20, Y: 15}, Mirror: turn&1 == 1, Turned: turn&2 == 2}
		got := Execute(one(v, crop, look.Look{}), whole(p))
		shown := 0
		for y := range 50 {
			for x := range 60 {
				at := v.ToPhoto(float64(x)+0.5, float64(y)+0.5)
				want := grey50
				if at.X > 5 && at.X < 25 && at.Y > 4 && at.Y < 14 {
					want = p.At(int(at.X), int(at.Y))
					shown++
				}
				if got.At(x, y) != want {
					t.Fatalf("turn %d: %d, %d is %v, want %v", turn, x, y, got.At(x, y), want)
				}
			}
		}
		if shown != 200 {
			t.Errorf("turn %d: %d pixels of the crop's 200 show", turn, shown)
		}
	}
}

// TestTilesCoverOnce: over a picture of several tiles, every pixel of the crop
// belongs to one tile, read inside that tile with its gutters.
func TestTilesCoverOnce(t *testing.T) {
	y := whole(photo.New(2500, 2100))
	crop := place.Crop{X: 3.7, Y: 11.1, Width: 2496.3, Height: 2088.9}
	for _, v := range viewports(400) {
		v.Width, v.Height = v.Width/6+1, v.Height/6+1
		v.Centre.X, v.Centre.Y = v.Centre.X/3, v.Centre.Y/4
		k := v.Level(y.Levels())
		in, count := v.Inside(crop), make([]int, v.Width*v.Height)
		w, h := y.LevelSize(k)
		for _, tp := range v.Tiles(crop, y, k) {
			p := tp.Patch
			tw, th := min(photo.TileCore, w-tp.Tile.Column*photo.TileCore)+2*photo.Gutter, min(photo.TileCore, h-tp.Tile.Row*photo.TileCore)+2*photo.Gutter
			reads(t, p.StartX, p.PaceX, p.Width, tw)
			reads(t, p.StartY, p.PaceY, p.Height, th)
			for j := range p.Height {
				for i := range p.Width {
					count[(p.Y+j)*v.Width+p.X+i]++
				}
			}
		}
		for i, n := range count {
			x, y := i%v.Width, i/v.Width
			inside := x >= in.X && x < in.X+in.Width && y >= in.Y && y < in.Y+in.Height
			if (n != 1 || !inside) && (n != 0 || inside) {
				t.Fatalf("%+v: pixel %d, %d is drawn %d times", v, x, y, n)
			}
		}
	}
}

func reads(t *testing.T, start, pace float64, n, size int) {
	t.Helper()
	for _, at := range []float64{start, start + float64(n-1)*pace} {
		if at < 0 || at > float64(size-1) {
			t.Fatalf("a patch reads at %v of a tile of %d", at, size)
		}
	}
}

// TestPanesOffTheScreen: panes that leave the screen, or have no size, are cut
// off without harm.
func TestPanesOffTheScreen(t *testing.T) {
	y := whole(photo.New(50, 50))
	crop := place.Crop{Width: 50, Height: 50}
	for _, at := range []Rect{{X: -10, Y: -10, Width: 20, Height: 20}, {X: 25, Y: 25, Width: 20, Height: 20}, {X: 90, Y: -90, Width: 20, Height: 20}, {}} {
		for _, round := range []bool{false, true} {
			p := one(Viewport{Width: 30, Height: 30, Scale: 1}, crop, look.Look{})
			p.Panes[0] = Pane{At: at, View: Fit(crop, at.Width, at.Height, 0), Round: round}
			got, seen := Execute(p, y), 0
			for i := range 900 {
				if got.At(i%30, i/30) != grey50 {
					seen++
				}
			}
			if meets := at.X < 30 && at.Y > -20 && at.Width > 0; (seen > 0) != meets {
				t.Errorf("pane at %+v, round %v: %d pixels show", at, round, seen)
			}
		}
	}
}

var renew = flag.Bool("renew", false, "write the drawings that TestDrawings compares with anew")

// TestDrawings compares drawings of the demo photograph with those kept beside
// it, pixel for pixel on every kind of processor.
func TestDrawings(t *testing.T) {
	const folder = "../testdata/look/"
	data, err := os.ReadFile("../testdata/photo/fig-in-red-bowl.jpg")
	if err != nil {
		t.Fatal(err)
	}
	opened, err := photo.Decode(data)
	if err != nil {
		t.Fatal(err)
	}
	y, size := whole(opened.Picture), opened.Size()
	crop := place.Crop{X: 10, Y: 20, Width: float64(size.Width) - 20, Height: float64(size.Height) - 40}
	for name, l := range map[string]look.Look{
		"fig-plain":  {},
		"fig-grey":   {Tone: look.Grey},
		"fig-filter": {Filter: true},
		"fig-steps":  {Tone: look.Steps, Steps: 5},
		"fig-squint": {Squint: true, Blur: 40, Tone: look.Steps, Steps: 5, Keep: look.KeepDarker, Step: 2},
	} {
		v := Fit(crop, 180, 120, 6)
		v.Mirror = l.Filter
		got := Execute(one(v, crop, l), y)
		img := &image.NRGBA{Pix: got.Pix, Stride: 4 * got.Width, Rect: image.Rect(0, 0, got.Width, got.Height)}
		if *renew {
			var out bytes.Buffer
			if err := png.Encode(&out, img); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(folder+name+".png", out.Bytes(), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		kept, err := os.ReadFile(folder + name + ".png")
		if err != nil {
			t.Fatal(err)
		}
		want, err := photo.Decode(kept)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got.Pix, want.Pix) {
			t.Errorf("%s is not drawn as it was kept", name)
		}
	}
}
