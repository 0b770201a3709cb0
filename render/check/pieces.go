package check

import (
	"math"

	"maulstick/render/colour"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// piece is the inside of a shape as far as it lies in one square of a coarse grid: its
// mean light on both pictures. Within a shape the light of the studio changes from
// piece to piece, the painter's value does not.
type piece struct {
	shape    int           // index among those measured
	at       [2]float64    // on the canvas, -1..1 from its middle
	n        float64       // pixels
	brothers int           // pieces of its shape
	ref      colour.Linear // light of the reference

	// codes are those of the photograph, and counts how much each channel counts: see
	// codesOf.
	codes, counts [3]float64
}

const (
	pieceSide  = valueSide / 8 // pixels of the grid's squares
	leastPiece = 30            // pixels of a piece
	rimPixels  = 5             // of a shape that are left out at its rim
	leastInner = 60            // pixels of a shape within that
)

// gathered is what is summed over the pixels of a piece.
type gathered struct {
	n, x, y  float64
	ref, was colour.Linear
}

func (g *gathered) add(o gathered) {
	g.n, g.x, g.y = g.n+o.n, g.x+o.x, g.y+o.y
	g.ref, g.was = added(g.ref, o.ref), added(g.was, o.was)
}

// pieces measures the inside of each shape on both pictures, the painting's where the
// drawing says that it lies. Those of one shape follow each other.
func pieces(ref, painting lit, flat *shape.Flat, d Drawing, canvas place.Size) (shapes []ShapeValue, parts []piece) {
	sums, squares := gather(ref, painting, flat, d, canvas)
	pixel := float64(canvas.Width) / float64(flat.Width)
	for id, one := range flat.Shapes {
		var all gathered
		first := len(parts)
		for _, s := range sums[id*squares:][:squares] {
			all.add(s)
			if s.n >= leastPiece {
				p := piece{
					shape: len(shapes), n: s.n, ref: scaled(s.ref, 1/s.n),
					at: [2]float64{2*s.x/s.n/float64(flat.Width) - 1, 2*s.y/s.n/float64(flat.Height) - 1},
				}
				p.codes, p.counts = codesOf(scaled(s.was, 1/s.n))
				parts = append(parts, p)
			}
		}
		if all.n < leastInner || len(parts) == first {
			parts = parts[:first]
			continue
		}
		for i := first; i < len(parts); i++ {
			parts[i].brothers = len(parts) - first
		}
		v := ShapeValue{
			At:    place.CanvasPoint{X: place.MM(one.Place.X * pixel), Y: place.MM(one.Place.Y * pixel)},
			Share: one.Share, id: id,
			reference: scaled(all.ref, 1/all.n), stored: scaled(all.was, 1/all.n),
		}
		v.Reference = v.reference.Luminance().Lightness()
		shapes = append(shapes, v)
	}
	return shapes, parts
}

// gather sums both pictures over each shape in each square of the grid, of which there
// are so many to a shape.
func gather(ref, painting lit, flat *shape.Flat, d Drawing, canvas place.Size) (sums []gathered, squares int) {
	columns := flat.Width/pieceSide + 1
	squares = columns * (flat.Height/pieceSide + 1)
	sums = make([]gathered, len(flat.Shapes)*squares)
	pixel := float64(canvas.Width) / float64(flat.Width)
	moved := d.moves(canvas, flat.Width, flat.Height)
	var rgb [3]float32
	for y := rimPixels; y < flat.Height-rimPixels; y++ {
		for x := rimPixels; x < flat.Width-rimPixels; x++ {
			id := flat.IDs[y*flat.Width+x]
			if !inside(flat, x, y, id) {
				continue
			}
			dx, dy := moved.at(x, y)
			u, v := float64(x)+0.5+dx/pixel, float64(y)+0.5+dy/pixel
			if u < rimPixels || v < rimPixels || u > float64(flat.Width-rimPixels) || v > float64(flat.Height-rimPixels) {
				continue
			}
			painting.read(u, v, rgb[:])
			sums[int(id)*squares+y/pieceSide*columns+x/pieceSide].add(gathered{
				1, u, v, ref.light(y*flat.Width + x),
				colour.Linear{R: float64(rgb[0]), G: float64(rgb[1]), B: float64(rgb[2])},
			})
		}
	}
	return sums, squares
}

func added(a, b colour.Linear) colour.Linear {
	return colour.Linear{R: a.R + b.R, G: a.G + b.G, B: a.B + b.B}
}

func scaled(c colour.Linear, by float64) colour.Linear {
	return colour.Linear{R: by * c.R, G: by * c.G, B: by * c.B}
}

// inside says whether a pixel lies well within its shape.
func inside(flat *shape.Flat, x, y int, id uint32) bool {
	for _, o := range [8][2]int{{-5, 0}, {5, 0}, {0, -5}, {0, 5}, {-4, -4}, {4, -4}, {-4, 4}, {4, 4}} {
		if flat.IDs[(y+o[1])*flat.Width+x+o[0]] != id {
			return false
		}
	}
	return true
}

// moves is how far the parts of a drawing are off, on a coarse grid.
type moves struct {
	cell, columns int
	off           [][2]float64 // millimetres
}

func (m moves) at(x, y int) (dx, dy float64) {
	o := m.off[y/m.cell*m.columns+x/m.cell]
	return o[0], o[1]
}

// moves follows the whole, and near matches what they say beyond it.
func (d Drawing) moves(canvas place.Size, width, height int) moves {
	const cell = 12
	m := moves{cell: cell, columns: width/cell + 1}
	pixel := float64(canvas.Width) / float64(width)
	reach := 1.2 * windowPart * float64(max(canvas.Width, canvas.Height))
	for j := range height/cell + 1 {
		for i := range m.columns {
			at := place.CanvasPoint{X: place.MM((float64(i) + 0.5) * cell * pixel), Y: place.MM((float64(j) + 0.5) * cell * pixel)}
			x, y := fromMiddle(at, canvas)
			dx, dy := d.Whole.at(x, y)
			var weight, sx, sy float64
			for _, match := range d.Matches {
				r := math.Hypot(float64(match.At.X-at.X), float64(match.At.Y-at.Y)) / reach
				if r >= 1 {
					continue
				}
				rx, ry := miss(d.Whole, match, canvas)
				k := (1 - r*r) * (1 - r*r)
				weight, sx, sy = weight+k, sx+k*rx, sy+k*ry
			}
			// Where little is matched, the whole counts.
			m.off = append(m.off, [2]float64{dx + sx/(weight+0.5), dy + sy/(weight+0.5)})
		}
	}
	return m
}
