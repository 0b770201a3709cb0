package photo

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"maulstick/render/colour"
)

// sizes are awkward ones: smaller than a tile, just at its core, odd, long.
var sizes = [][2]int{{1, 1}, {7, 3}, {1020, 1020}, {1021, 5}, {2041, 1533}, {4083, 37}, {3, 5001}}

// noisy is a picture of random codes.
func noisy(width, height int) *Picture {
	r := rand.New(rand.NewPCG(uint64(width), uint64(height)))
	p := New(width, height)
	for i := range p.Pix {
		p.Pix[i] = byte(r.Uint32())
		if i%4 == 3 {
			p.Pix[i] = 255
		}
	}
	return p
}

// levelPixels reads a whole level.
func levelPixels(y *Pyramid, k int) []byte {
	w, h := y.LevelSize(k)
	buf := make([]byte, 4*w*h)
	y.Cut(k, 0, 0, w, h, buf)
	return buf
}

// A pattern too fine to see looks as light as the mean of its light: the check
// values are CIE 15 lightness of mixtures of IEC 61966-2-1 light; averaging
// codes would give the second figure.
func TestFinePatternsKeepTheirLight(t *testing.T) {
	cases := []struct {
		dark, light   uint8
		rows          [2][2]int // which of four pixels are light
		want, mistake float64
	}{
		{0, 255, [2][2]int{{1, 0}, {0, 1}}, 76.07, 53.39},
		{0, 255, [2][2]int{{1, 0}, {0, 0}}, 57.08, 26.98},
		{0, 255, [2][2]int{{1, 1}, {0, 1}}, 89.39, 77.43},
		{48, 198, [2][2]int{{1, 0}, {0, 1}}, 61.41, 51.62},
		{20, 230, [2][2]int{{1, 0}, {0, 1}}, 69.41, 52.41},
		{64, 160, [2][2]int{{1, 0}, {0, 1}}, 52.00, 47.24},
		{94, 145, [2][2]int{{1, 0}, {0, 1}}, 51.56, 50.23},
	}
	for _, c := range cases {
		p := New(8200, 16)
		for y := range p.Height {
			for x := range p.Width {
				code := c.dark
				if c.rows[y%2][x%2] == 1 {
					code = c.light
				}
				copy(p.Pix[4*(y*p.Width+x):], []byte{code, code, code, 255})
			}
		}
		y := NewPyramid(p)
		y.Finish()
		if y.Levels() < 4 {
			t.Fatalf("there are %d levels, want at least 4", y.Levels())
		}
		for k := 1; k < y.Levels(); k++ {
			got := levelPixels(y, k)[0]
			// One code is at most 0.55 of L* here.
			low, high := colour.SRGB{R: got - 1, G: got - 1, B: got - 1}, colour.SRGB{R: got + 1, G: got + 1, B: got + 1}
			if float64(low.Lightness()) > c.want || float64(high.Lightness()) < c.want {
				t.Errorf("%d/%d at level %d is code %d, L* %.2f, want %.2f within a code (codes averaged: %.2f)", c.dark, c.light, k, got,
					colour.SRGB{R: got, G: got, B: got}.Lightness(), c.want, c.mistake)
			}
		}
	}
}

// Every level of an even picture is the very same code, all 256 of them.
func TestEvenPicturesStayExactly(t *testing.T) {
	for code := range 256 {
		p := New(4100, 9)
		for i := range p.Pix {
			p.Pix[i] = byte(code)
			if i%4 == 3 {
				p.Pix[i] = 255
			}
		}
		y := NewPyramid(p)
		y.Finish()
		for k := range y.Levels() {
			pix := levelPixels(y, k)
			if want := bytes.Repeat([]byte{byte(code), byte(code), byte(code), 255}, len(pix)/4); !bytes.Equal(pix, want) {
				t.Fatalf("code %d does not stay at level %d, which begins %v", code, k, pix[:4])
			}
		}
	}
}

// Every pixel of every level is the mean of the light it covers, worked out in
// floating point from the picture itself, within one code for the levels
// averaged from the picture and within a code a level for those above.
func TestLevelsAreMeansOfLight(t *testing.T) {
	p := noisy(2500, 1101)
	y := NewPyramid(p)
	y.Finish()
	for k := 1; k < y.Levels(); k++ {
		w, h := y.LevelSize(k)
		if w != ceilShift(p.Width, k) || h != ceilShift(p.Height, k) {
			t.Fatalf("level %d is %d x %d", k, w, h)
		}
		pix := levelPixels(y, k)
		r := rand.New(rand.NewPCG(9, uint64(k)))
		for n := range 3000 {
			x, yy := r.IntN(w), r.IntN(h)
			if n < 40 { // the far corner and edges
				x, yy = w-1, max(0, h-1-n%5)
			}
			for c := range 3 {
				want := colour.EncodeUnit(meanLight(p, x, yy, k, c)) * 255
				if got := float64(pix[4*(yy*w+x)+c]); math.Abs(got-want) > 1 {
					t.Fatalf("level %d pixel (%d, %d) channel %d is %v, the mean of light %.3f", k, x, yy, c, got, want)
				}
			}
		}
	}
}

func ceilShift(n, k int) int { return (n + 1<<k - 1) >> k }

// meanLight is the mean of the light that a level's pixel covers.
func meanLight(p *Picture, x, y, k, channel int) float64 {
	sum, n := 0.0, 0
	for j := y << k; j < min((y+1)<<k, p.Height); j++ {
		for i := x << k; i < min((x+1)<<k, p.Width); i++ {
			sum += colour.Decode(p.Pix[4*(j*p.Width+i)+channel])
			n++
		}
	}
	return sum / float64(n)
}

// Levels made while rows arrive, a few at a time, equal those made at once, and
// no call of Advance does much more than its share.
func TestStreamingEqualsAllAtOnce(t *testing.T) {
	for _, size := range sizes {
		p := noisy(size[0], size[1])
		whole, streamed := NewPyramid(p), NewPyramid(New(p.Width, p.Height))
		whole.Finish()
		for filled := 0; filled < p.Height; {
			from := filled
			filled = min(filled+1+filled%97, p.Height)
			copy(streamed.picture.Pix[4*p.Width*from:4*p.Width*filled], p.Pix[4*p.Width*from:])
			for streamed.Advance(filled) {
			}
		}
		for k := range whole.Levels() {
			if _, h := whole.LevelSize(k); streamed.Rows(k) != h {
				t.Errorf("%v level %d: %d rows made of %d", size, k, streamed.Rows(k), h)
			}
			if !bytes.Equal(levelPixels(whole, k), levelPixels(streamed, k)) {
				t.Errorf("%v: level %d differs when streamed", size, k)
			}
		}
	}
}

func TestAdvanceIsBounded(t *testing.T) {
	y := NewPyramid(New(5000, 4000))
	steps, before := 1, 0
	for y.Advance(4000) {
		steps++
		made := 16*y.Rows(2)*1250 + 4*y.Rows(3)*625
		if made-before > stepPixels+4*5000 {
			t.Fatalf("one call averaged %d pixels, want at most about %d", made-before, stepPixels)
		}
		before = made
	}
	if want := 5000 * 4000 / stepPixels; steps < want {
		t.Errorf("the pyramid took %d calls, want at least %d", steps, want)
	}
}

// A row of tiles is ready only when the rows that it reads hold pixels.
func TestReadyTilesReadOnlyFilledRows(t *testing.T) {
	y := NewPyramid(New(3000, 2500))
	for filled := 0; filled <= 2500; filled += 50 {
		for y.Advance(filled) {
		}
		for k := range y.Levels() {
			_, rows := y.Tiles(k)
			_, height := y.LevelSize(k)
			for row := range rows {
				last := min((row+1)*TileCore+Gutter, height) - 1 // the last row that the tile shows
				if want := min((last+1)<<k, 2500) <= filled; y.TileReady(k, row) != want {
					t.Fatalf("with %d rows filled, row %d of level %d is ready: %v, want %v", filled, row, k, !want, want)
				}
			}
		}
	}
}

// The tiles' cores put together are the level; their gutters are the
// neighbours' pixels, and the border's beyond the border.
func TestTilesReassemble(t *testing.T) {
	buf := make([]byte, 4*TileSide*TileSide)
	for _, size := range sizes {
		y := NewPyramid(noisy(size[0], size[1]))
		y.Finish()
		for k := range y.Levels() {
			if err := checkTiles(y, k, buf); err != nil {
				t.Errorf("%v: %v", size, err)
			}
		}
		if c, r := y.Tiles(y.Levels() - 1); c != 1 || r != 1 {
			t.Errorf("%v: the last level has %d x %d tiles, want one", size, c, r)
		}
	}
}

func checkTiles(y *Pyramid, k int, buf []byte) error {
	w, h := y.LevelSize(k)
	whole := levelPixels(y, k)
	columns, rows := y.Tiles(k)
	seen := 0
	for row := range rows {
		for column := range columns {
			tw, th := y.Tile(k, column, row, buf)
			if tw > TileSide || th > TileSide {
				return fmt.Errorf("a tile of level %d is %d x %d", k, tw, th)
			}
			seen += (tw - 2*Gutter) * (th - 2*Gutter)
			for j := range th {
				for i := range tw {
					x := min(max(column*TileCore+i-Gutter, 0), w-1)
					yy := min(max(row*TileCore+j-Gutter, 0), h-1)
					if !bytes.Equal(buf[4*(j*tw+i):][:4], whole[4*(yy*w+x):][:4]) {
						return fmt.Errorf("level %d tile (%d, %d) pixel (%d, %d) is not the level's (%d, %d)", k, column, row, i, j, x, yy)
					}
				}
			}
		}
	}
	if seen != w*h {
		return fmt.Errorf("the tiles of level %d hold %d pixels, the level %d", k, seen, w*h)
	}
	return nil
}

// The smaller copies of 24 megapixels come to a twelfth of the picture, 8 MB,
// well under the 64 MB that a photograph may cost in all.
func TestMemoryHeld(t *testing.T) {
	y := NewPyramid(&Picture{Width: 6000, Height: 4000})
	if got, bound := y.Bytes(), 4*6000*4000/12+4*6000; got > bound || got < bound/2 {
		t.Errorf("the copies hold %d bytes, want at most %d", got, bound)
	}
}

// Rectangles that leave the level on any side repeat its border.
func TestCutBeyondTheBorder(t *testing.T) {
	y := NewPyramid(noisy(9, 6))
	y.Finish()
	for _, r := range [][4]int{{-3, -2, 20, 12}, {-9, 1, 4, 2}, {12, -7, 3, 3}, {4, 9, 2, 5}, {2, 2, 3, 2}} {
		buf := make([]byte, 4*r[2]*r[3])
		y.Cut(0, r[0], r[1], r[2], r[3], buf)
		for j := range r[3] {
			for i := range r[2] {
				c := y.Picture().At(r[0]+i, r[1]+j)
				if want := []byte{c.R, c.G, c.B, 255}; !bytes.Equal(buf[4*(j*r[2]+i):][:4], want) {
					t.Fatalf("rectangle %v at (%d, %d) is %v, want %v", r, i, j, buf[4*(j*r[2]+i):][:4], want)
				}
			}
		}
	}
}

func BenchmarkAdvance(b *testing.B) {
	p := noisy(4000, 3000)
	for b.Loop() {
		NewPyramid(p).Finish()
	}
}

func BenchmarkTileOfLevel1(b *testing.B) {
	y := NewPyramid(noisy(4000, 3000))
	buf := make([]byte, 4*TileSide*TileSide)
	for b.Loop() {
		y.Tile(1, 0, 0, buf)
	}
}
