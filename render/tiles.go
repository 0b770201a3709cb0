package render

import (
	"math"

	"maulstick/render/look"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// Tile names a tile of a photo.Pyramid.
type Tile struct{ Level, Column, Row int }

// TilePatch says which rectangle of a pane a tile fills, and how the tile,
// gutters included, is read there.
type TilePatch struct {
	Tile  Tile
	Patch look.Patch
}

// Tiles are the patches of level k that cover what of the crop shows in the
// viewport, every pixel by the one tile in whose core its centre lies. The
// processor and the graphics unit draw these same patches.
func (v Viewport) Tiles(crop place.Crop, y *photo.Pyramid, k int) []TilePatch {
	inside := v.Inside(crop)
	if inside.Empty() {
		return nil
	}
	columns, rows := y.Tiles(k)
	across := v.runs(columns, k, inside.X, inside.X+inside.Width, v.columnAt, v.photoX)
	down := v.runs(rows, k, inside.Y, inside.Y+inside.Height, v.rowAt, v.photoY)
	sx, sy := v.signs()
	pace := 1 / (v.Scale * side(k))
	var patches []TilePatch
	for _, r := range down {
		for _, c := range across {
			patches = append(patches, TilePatch{
				Tile: Tile{Level: k, Column: c.index, Row: r.index},
				Patch: look.Patch{
					X: c.first, Y: r.first, Width: c.end - c.first, Height: r.end - r.first,
					StartX: c.start, StartY: r.start, PaceX: sx * pace, PaceY: sy * pace,
				},
			})
		}
	}
	return patches
}

// run is what one column or row of tiles fills of the screen, and where in the
// tile its first pixel reads.
type run struct {
	index, first, end int
	start             float64
}

// runs are the runs of n columns or rows of tiles of level k that fall within
// first..end-1 of the screen. at is the screen place of a photo place along the
// direction, from its inverse.
func (v Viewport) runs(n, k, first, end int, at, from func(float64) float64) []run {
	var runs []run
	core := photo.TileCore * side(k)
	for i := range n {
		lo, hi := at(float64(i)*core), at(float64(i+1)*core)
		a, b := pixels(lo, hi, end)
		if i == 0 || i == n-1 { // rounding must not leave the border out
			a, b = atBorder(a, b, first, end, lo < hi, i == 0, i == n-1)
		}
		a = max(a, first)
		if a >= b {
			continue
		}
		start := from(float64(a)+0.5)/side(k) - float64(i*photo.TileCore-photo.Gutter) - 0.5
		runs = append(runs, run{index: i, first: a, end: b, start: start})
	}
	return runs
}

// atBorder extends the first or last tile's run to the end of the screen that
// the photograph's border lies towards.
func atBorder(a, b, first, end int, forward, isFirst, isLast bool) (int, int) {
	if isFirst && forward || isLast && !forward {
		a = first
	}
	if isLast && forward || isFirst && !forward {
		b = end
	}
	return a, b
}

func (v Viewport) columnAt(photoX float64) float64 {
	x, _ := v.ToScreen(place.PhotoPoint{X: photoX})
	return x
}

func (v Viewport) rowAt(photoY float64) float64 {
	_, y := v.ToScreen(place.PhotoPoint{Y: photoY})
	return y
}

func (v Viewport) photoX(x float64) float64 { return v.ToPhoto(x, 0).X }
func (v Viewport) photoY(y float64) float64 { return v.ToPhoto(0, y).Y }

// side is a pixel of level k in photo pixels.
func side(k int) float64 { return math.Ldexp(1, k) }
