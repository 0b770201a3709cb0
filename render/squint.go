package render

import (
	"math"

	"maulstick/render/look"
	"maulstick/render/photo"
	"maulstick/render/place"
)

const (
	// standIn is the long side of the canvas that lengths are taken on while
	// there is none.
	standIn place.MM = 1000
	// finestSigma is the blur in pixels that is worked at: a smaller copy is
	// taken while the blur stays as wide as this on it. Reading a blurred copy
	// between its pixels is then wrong by under 1 % of the blur's width.
	finestSigma = look.MaxSigma / 2
	// smallSquint is the largest side of a blurred picture that is made of the
	// whole crop, whatever of it shows, so that it outlasts pan and zoom.
	smallSquint = 1024
	// widestSquint is the largest side of a picture that is blurred.
	widestSquint = 4096
)

// Sigma is the standard deviation of a pane's squint in pixels of its picture; the full
// width at half maximum is a length on the canvas. It is 0 without a squint.
// While there is no canvas, the crop's long side counts as 1000 mm. Another picture than
// the photograph, which may be of another proportion, is as long as the canvas.
func (p Plan) Sigma(pane Pane) float64 {
	l, crop := pane.Look, p.Shows(pane)
	if !l.Squint || !(l.Blur > 0) {
		return 0
	}
	long := max(crop.Width, crop.Height, 1)
	mm := standIn / place.MM(long)
	switch {
	case !(p.Canvas.Width > 0 && crop.Width > 0):
	case pane.Other.Pyramid != nil:
		mm = max(p.Canvas.Width, p.Canvas.Height) / place.MM(long)
	default:
		mm = p.Canvas.Width / place.MM(crop.Width)
	}
	return look.Sigma(float64(l.Blur / mm))
}

// Squint is how the blurred picture of a pane is made and read: it is the Work
// that is done, and what shows is read from that by Patch.
type Squint struct {
	Work
	Patch look.Patch
}

// Work is how a blurred picture is made: a rectangle of a level
// is halved a number of times, each time by averaging two by two pixels in
// linear light, and blurred. Beyond the
// crop's border the picture is mirrored, so that the surround does not bleed in.
type Work struct {
	Level                    int
	Left, Top, Width, Height int // in pixels of the level
	Halvings                 int
	Blur                     look.Blur

	// Live is a live picture's that is so little work in the end that Frame does it sooner
	// than a frame's tiles are put up.
	Live bool
}

// mostLive is how many pixels are left to blur in work that is done by Frame.
const mostLive = 1 << 16

// Squint is the squint of a pane that has one, and whether there is something
// to draw; y is the photograph. A made picture is not squinted at. A live one is halved
// once more before it is blurred, which leaves an eighth of the work.
func (p Plan) Squint(pane Pane, y *photo.Pyramid) (Squint, bool) {
	if pane.Other.Pyramid != nil {
		y = pane.Other.Pyramid
	}
	crop := p.Shows(pane)
	sigma, inside := p.Sigma(pane), pane.View.Inside(crop)
	if sigma <= 0 || inside.Empty() || pane.Made != nil {
		return Squint{}, false
	}
	size := pane.View.workSize(sigma)
	if pane.Other.Live {
		size = pane.View.workSize(2 * sigma)
	}
	s := Squint{}
	for s.Level = min(size, y.Levels()-1); ; s.Level++ {
		size = max(size, s.Level)
		s.Halvings = size - s.Level
		own := sigma / side(size)
		if size > 0 {
			// What the smaller copy and reading between its pixels have blurred
			// already: a box has a variance of (1-4^-k)/12 of its pixels, the
			// reading 1/6+4^-k/12 on average, which comes to a quarter.
			own = math.Sqrt(max(own*own-0.25, 0))
		}
		s.Blur = look.NewBlur(own)
		s.region(crop, pane.View, inside, y)
		if max(s.Width, s.Height) <= widestSquint || s.Level+1 == y.Levels() {
			break
		}
	}
	s.Live = pane.Other.Live && s.Left == 0 && s.Top == 0 && (s.Width*s.Height)>>(2*s.Halvings) <= mostLive
	s.Patch = s.patch(pane.View, inside)
	return s, true
}

// workSize is how many times the photograph is halved before it is blurred: as
// often as the blur allows, and at least as often as the screen asks.
func (v Viewport) workSize(sigma float64) int {
	const deep = 32
	return max(v.Level(deep), int(math.Floor(math.Log2(sigma/finestSigma))), 0)
}

// region finds the rectangle of the level that the visible part of the crop
// depends on.
func (s *Work) region(crop place.Crop, v Viewport, inside Rect, y *photo.Pyramid) {
	w, h := y.LevelSize(s.Level)
	a := v.ToPhoto(float64(inside.X)+0.5, float64(inside.Y)+0.5)
	b := v.ToPhoto(float64(inside.X+inside.Width)-0.5, float64(inside.Y+inside.Height)-0.5)
	s.Left, s.Width = s.span(crop.X, crop.Width, w, min(a.X, b.X), max(a.X, b.X))
	s.Top, s.Height = s.span(crop.Y, crop.Height, h, min(a.Y, b.Y), max(a.Y, b.Y))
}

// span is region along one direction: of the n pixels of the level, those that
// photo places from..to depend on, no farther than the pixels whose centres lie
// in the crop. Halving starts at the crop's first pixel whatever shows, so that
// the picture does not shimmer as it is moved.
func (s *Work) span(start, length float64, n int, from, to float64) (first, count int) {
	pixel, group := side(s.Level), 1<<s.Halvings
	low := min(max(int(math.Ceil(start/pixel-0.5)), 0), n-1)
	high := min(max(int(math.Ceil((start+length)/pixel-0.5)), low+1), n)
	reach := float64((s.Blur.Reach + 1) * group)
	if high-low <= smallSquint*group {
		return low, high - low
	}
	first = max(int(math.Floor(from/pixel-reach))-low, 0) / group * group
	end := min(int(math.Ceil(to/pixel+reach))+group, high-low)
	return low + first, max(end-first, 1)
}

// patch is how the viewport reads the blurred picture.
func (s *Squint) patch(v Viewport, inside Rect) look.Patch {
	at := v.ToPhoto(float64(inside.X)+0.5, float64(inside.Y)+0.5)
	sx, sy := v.signs()
	pixel, group := side(s.Level), side(s.Halvings)
	pace := 1 / (v.Scale * pixel * group)
	return look.Patch{
		X: inside.X, Y: inside.Y, Width: inside.Width, Height: inside.Height,
		StartX: (at.X/pixel-float64(s.Left))/group - 0.5,
		StartY: (at.Y/pixel-float64(s.Top))/group - 0.5,
		PaceX:  sx * pace, PaceY: sy * pace,
	}
}

// Halved is the size of a picture after being halved once, rounded up, and the
// patch that does it: each of its pixels reads the middle of four.
func Halved(width, height int) (w, h int, p look.Patch) {
	w, h = (width+1)/2, (height+1)/2
	return w, h, look.Patch{Width: w, Height: h, StartX: 0.5, StartY: 0.5, PaceX: 2, PaceY: 2}
}

// Frame is the blurred picture of Live work, made by the processor of the whole of a picture
// that is not held halved, each of its pixels averaged at once.
func (s Work) Frame(y *photo.Pyramid) look.Lit {
	p, halvings := y.Picture(), s.Level+s.Halvings
	size := photo.Held(p.Size(), halvings)
	g := look.Grid{Width: size.Width, Height: size.Height, Pix: make([]byte, 4*size.Width*size.Height)}
	photo.Halve(p.Pix, p.Width, halvings, g.Pix)
	lit, _ := s.Blur.Run(g, nil) // refuses only what progress refuses
	return lit
}

// Tiles are the tiles that the region is cut from, none of Live work.
func (s Work) Tiles() []Tile {
	if s.Live {
		return nil
	}
	var tiles []Tile
	for row := s.Top / photo.TileCore; row*photo.TileCore < s.Top+s.Height; row++ {
		for column := s.Left / photo.TileCore; column*photo.TileCore < s.Left+s.Width; column++ {
			tiles = append(tiles, Tile{Level: s.Level, Column: column, Row: row})
		}
	}
	return tiles
}
