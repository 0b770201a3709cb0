package look

import (
	"encoding/binary"
	"math"

	"maulstick/render/colour"
	"maulstick/render/crew"
)

// channelCount is how many channels a pixel of light has: red, green, blue.
const channelCount = 3

// Grid is a rectangle of stored colours that light is read from. Pix holds rows
// from the top, four bytes a pixel.
type Grid struct {
	Width, Height int
	Pix           []byte
}

// Lit is a rectangle of linear light, 0..1: rows from the top, red, green and
// blue a pixel.
type Lit struct {
	Width, Height int
	Light         []float32
}

// Rows is what a patch reads: a Grid or a Lit, neither of them empty.
type Rows interface {
	size() (width, height int)
	// line is the light of row y, which may be written to buf, as long as a row.
	line(y int, buf []float32) []float32
}

func newLit(width, height int) Lit {
	return Lit{Width: width, Height: height, Light: make([]float32, channelCount*width*height)}
}

func (g Grid) size() (width, height int) { return g.Width, g.Height }

func (l Lit) size() (width, height int) { return l.Width, l.Height }

func (l Lit) line(y int, _ []float32) []float32 {
	return l.Light[channelCount*y*l.Width:][:channelCount*l.Width]
}

// codeLight is the linear light of every code.
var codeLight = func() (table [256]float32) {
	for code := range table {
		table[code] = float32(colour.Decode(uint8(code)))
	}
	return table
}()

func (g Grid) line(y int, buf []float32) []float32 {
	pix := g.Pix[4*y*g.Width:][:4*g.Width]
	for out := buf; len(pix) >= 4 && len(out) >= channelCount; pix, out = pix[4:], out[channelCount:] {
		out[0], out[1], out[2] = codeLight[pix[0]], codeLight[pix[1]], codeLight[pix[2]]
	}
	return buf
}

// Patch says how a rectangle of the screen reads a grid: its first pixel at
// Start, each further one moved by Pace, both in pixels of the grid from the
// centre of its first one.
type Patch struct {
	X, Y, Width, Height int // on the screen, device pixels
	StartX, StartY      float64
	PaceX, PaceY        float64
}

// Draw samples the source into the patch's rectangle of a screen with rows of
// width pixels, four bytes each: bilinear in linear light, and clamped to the
// source beyond its border. All cores share the rows.
func (p Patch) Draw(from Rows, screen []byte, width int) {
	p.DrawRows(from, screen, width, 0, p.Height)
}

// DrawRows is Draw of the patch's rows from first up to, not including, end.
func (p Patch) DrawRows(from Rows, screen []byte, width, first, end int) {
	w, _ := from.size()
	columns := p.columns(w)
	crew.Share(end-first, 8, func(a, b int) {
		s := newSampler(from)
		for j := first + a; j < first+b; j++ {
			s.seek(p.StartY + float64(float64(j)*p.PaceY))
			s.across(columns, screen[4*((p.Y+j)*width+p.X):][:4*p.Width])
		}
	})
}

// column is where a pixel reads a row of light: a part of the way from one pixel,
// whose red lies at start, to the next.
type column struct {
	start int
	part  float32
}

// columns are those of the patch's pixels in rows of width pixels.
func (p Patch) columns(width int) []column {
	columns := make([]column, p.Width)
	for i := range columns {
		at := p.StartX + float64(float64(i)*p.PaceX)
		left, part := between(at, width)
		columns[i] = column{channelCount * left, part}
	}
	return columns
}

// between is the pixel of n at or before a place, and the part of the way from it
// to the next, which is 0 where the place is beyond the first or the last.
func between(at float64, n int) (before int, part float32) {
	switch floor := math.Floor(at); {
	case floor < 0:
		return 0, 0
	case floor >= float64(n-1):
		return n - 1, 0
	default:
		return int(floor), float32(at - floor)
	}
}

// sampler reads rows of light between those of a source.
type sampler struct {
	from  Rows
	lines [2][]float32 // rows of the source, as last read
	at    [2]int       // which they are, -1 for none
	bufs  [2][]float32
	row   []float32 // between them, and one more pixel that weighs nothing
}

func newSampler(from Rows) *sampler {
	w, _ := from.size()
	s := &sampler{from: from, at: [2]int{-1, -1}, row: make([]float32, channelCount*(w+1))}
	for i := range s.bufs {
		s.bufs[i] = make([]float32, channelCount*w)
	}
	return s
}

// line is row y of the source; which other row is still wanted, it is told.
func (s *sampler) line(y, wanted int) []float32 {
	for i, at := range s.at {
		if at == y {
			return s.lines[i]
		}
	}
	i := 0
	if s.at[0] == wanted {
		i = 1
	}
	s.lines[i], s.at[i] = s.from.line(y, s.bufs[i]), y
	return s.lines[i]
}

// seek fills the row with the light at a place down the source.
func (s *sampler) seek(at float64) {
	_, h := s.from.size()
	y, part := between(at, h)
	upper := s.line(y, min(y+1, h-1))
	if part == 0 {
		copy(s.row, upper)
		return
	}
	lower := s.line(y+1, y)[:len(upper)]
	row := s.row[:len(upper)]
	for i, u := range upper {
		row[i] = u + float32((lower[i]-u)*part)
	}
}

// across writes the row's colours at columns to out. The conversions keep
// processors from joining the product to the sum, so that all of them agree.
func (s *sampler) across(columns []column, out []byte) {
	greys, edges := colour.Greys(), (*[257]colour.Light)(colour.Greys().Edges())
	code := func(light float32) uint32 {
		l := whole(light)
		grey := greys.AtLeast(l)
		for edges[uint32(uint8(grey))+1] <= l {
			grey++
		}
		return uint32(grey)
	}
	row := s.row
	out = out[:4*len(columns)]
	for i, c := range columns {
		l := (*[2 * channelCount]float32)(row[c.start:])
		r := l[0] + float32((l[3]-l[0])*c.part)
		g := l[1] + float32((l[4]-l[1])*c.part)
		b := l[2] + float32((l[5]-l[2])*c.part)
		binary.LittleEndian.PutUint32(out[4*i:][:4], code(r)|code(g)<<8|code(b)<<16|255<<24)
	}
}

// whole is an amount of light, not below 0, as the nearest whole number. Sums of
// light that rounding has brought over 1 are white.
func whole(light float32) colour.Light {
	return min(colour.Light(int32(float32(light*float32(colour.FullLight))+0.5)), colour.FullLight)
}

// Uniforms are the variables with which ReadPhoto or ReadBlurred draws the patch
// from a grid of the given size.
func (p Patch) Uniforms(width, height int) map[string]any {
	return map[string]any{
		"Origin": []float32{float32(p.X), float32(p.Y)},
		"Start":  []float32{float32(p.StartX), float32(p.StartY)},
		"Pace":   []float32{float32(p.PaceX), float32(p.PaceY)},
		"Last":   []float32{float32(width - 1), float32(height - 1)},
	}
}
