package shape

import (
	"cmp"
	"slices"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// PairSide is one side of a pair of opposites in a picture.
type PairSide struct {
	Hue    string           // as the wheel names it
	Share  float64          // of the picture, 0..1
	Colour colour.SRGB      // the mean of all that is of this hue, averaged in linear light
	Place  place.PhotoPoint // within the densest part of it, on the photograph
}

// Pair is two hues opposite each other that are both in a picture.
type Pair struct {
	Wheel colour.Wheel
	Sides [2]PairSide // the one with the larger share first
}

// Hues are the names of the hues of some pairs, that of the larger share first; never nil.
func Hues(pairs []Pair) [][2]string {
	names := make([][2]string, 0, len(pairs))
	for _, p := range pairs {
		names = append(names, [2]string{p.Sides[0].Hue, p.Sides[1].Hue})
	}
	return names
}

// leastSide is the share of the picture that each side of a pair has at least.
const leastSide = 0.005

// Pairs finds the pairs of opposites of the crop's picture: it is averaged into at
// most 65,536 squares, each square falls into one of the wheel's hues unless it is
// grey or greyish (of a Munsell chroma under 1.5), and a pair is present if both its hues
// have half a hundredth of the picture or more. The pair whose smaller side is largest
// comes first.
func Pairs(p *photo.Picture, crop place.Crop, w colour.Wheel, progress func(done float64) error) ([]Pair, error) {
	g, err := averageCells(p, crop, progress)
	if err != nil {
		return nil, err
	}
	return g.pairs(w), nil
}

// noHue is the hue of a grey cell.
const noHue = -1

// hues are the cells' hues on a wheel, noHue for greys.
func (g *cells) hues(w colour.Wheel) []int8 {
	hues := make([]int8, len(g.light))
	// Pictures repeat themselves: neighbours are often of one code.
	var last colour.SRGB
	lastHue := int8(noHue)
	for k, l := range g.light {
		c := l.SRGB()
		if c != last {
			last, lastHue = c, noHue
			if turn, ok := w.Turn(c); ok && c.Munsell().Chroma >= colour.GreyishChroma {
				lastHue = int8(w.HueOf(turn))
			}
		}
		hues[k] = lastHue
	}
	return hues
}

// pairs finds the pairs of opposites among the cells.
func (g *cells) pairs(w colour.Wheel) []Pair {
	names, hues := w.Hues(), g.hues(w)
	sides := make([]PairSide, len(names))
	for i, name := range names {
		sides[i] = g.sideOf(hues, int8(i))
		sides[i].Hue = name
	}
	var pairs []Pair
	for i := range len(sides) / 2 {
		a, b := sides[i], sides[i+len(sides)/2]
		if min(a.Share, b.Share) < leastSide {
			continue
		}
		if b.Share > a.Share {
			a, b = b, a
		}
		pairs = append(pairs, Pair{Wheel: w, Sides: [2]PairSide{a, b}})
	}
	slices.SortStableFunc(pairs, func(a, b Pair) int { return cmp.Compare(b.Sides[1].Share, a.Sides[1].Share) })
	return pairs
}

// sideOf measures one hue.
func (g *cells) sideOf(hues []int8, hue int8) PairSide {
	var sum colour.Linear
	pixels := 0
	for k, h := range hues {
		if h != hue {
			continue
		}
		n := float64(g.count[k])
		pixels += g.count[k]
		sum.R += n * g.light[k].R
		sum.G += n * g.light[k].G
		sum.B += n * g.light[k].B
	}
	if pixels == 0 {
		return PairSide{}
	}
	n := float64(pixels)
	return PairSide{
		Share:  n / float64(g.total()),
		Colour: colour.Linear{R: sum.R / n, G: sum.G / n, B: sum.B / n}.SRGB(),
		Place:  g.middle(g.densest(hues, hue)),
	}
}

// densest is the cell of a hue with most of the same hue in the square about it, an
// eighth of the picture's longer side; of equals the first by rows.
func (g *cells) densest(hues []int8, hue int8) int {
	// above[(y, x)] counts the cells above row y and left of column x.
	stride := g.columns + 1
	above := make([]int32, stride*(g.rows+1))
	for y := range g.rows {
		var row int32
		for x := range g.columns {
			if hues[y*g.columns+x] == hue {
				row++
			}
			above[(y+1)*stride+x+1] = above[y*stride+x+1] + row
		}
	}
	reach := max(g.columns, g.rows) / 16
	best, most := 0, int32(0)
	for k, h := range hues {
		if h != hue {
			continue
		}
		x, y := k%g.columns, k/g.columns
		left, right := max(x-reach, 0), min(x+reach+1, g.columns)
		top, bottom := max(y-reach, 0), min(y+reach+1, g.rows)
		n := above[bottom*stride+right] - above[top*stride+right] - above[bottom*stride+left] + above[top*stride+left]
		if n > most {
			best, most = k, n
		}
	}
	return best
}

// PaintPairs is the crop's picture, as far as pixels' centres lie in it, with the
// hues of the pairs in their own colours and all else as greys of the same value.
func PaintPairs(p *photo.Picture, crop place.Crop, w colour.Wheel, pairs []Pair, progress func(done float64) error) (*photo.Picture, error) {
	g, err := averageCells(p, crop, progress)
	if err != nil {
		return nil, err
	}
	shown := make([]bool, len(w.Hues()))
	for i, name := range w.Hues() {
		shown[i] = slices.ContainsFunc(pairs, func(p Pair) bool { return p.Sides[0].Hue == name || p.Sides[1].Hue == name })
	}
	hues := g.hues(w)
	out := photo.New(max(g.right-g.left, 0), max(g.bottom-g.top, 0))
	for y := range out.Height {
		for x := range out.Width {
			c := p.At(g.left+x, g.top+y)
			if hue := hues[y/g.side*g.columns+x/g.side]; hue == noHue || !shown[hue] {
				grey := colour.EyeMeter.Read(c.R, c.G, c.B).Grey()
				c = colour.SRGB{R: grey, G: grey, B: grey}
			}
			copy(out.Pix[4*(y*out.Width+x):], []byte{c.R, c.G, c.B, 255})
		}
	}
	return out, nil
}
