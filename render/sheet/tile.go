package sheet

import (
	"fmt"
	"math"

	"maulstick/render/place"
)

// How the cartoon is cut up.
const (
	overlap    place.MM = 16  // that neighbouring tiles share
	mostTiles           = 200 // pages of a cartoon
	tileMargin place.MM = 5   // about a tile, for the trim marks
)

// tiling is the tiles of a canvas: in rows from the top, named by letters, and
// columns, named by numbers. All tiles are of one size; neighbours share the
// overlap, and nothing lies beyond the canvas.
type tiling struct {
	canvas        place.Size
	columns, rows int
	width, height place.MM // of a tile
}

// tiled cuts a canvas up for a page's room. Any error is a *place.Problem.
func tiled(canvas place.Size, room box) (tiling, error) {
	t := tiling{canvas: canvas}
	var across, down float64
	across, t.width = cut(canvas.Width, room.Width)
	down, t.height = cut(canvas.Height, room.Height)
	if across*down > mostTiles {
		return t, &place.Problem{
			Doing:  "laying out the cartoon of " + sizeText(canvas),
			What:   fmt.Sprintf("it takes %.0f pages of this paper, over %d", across*down, mostTiles),
			Wanted: "choose larger paper, as in A3, Tabloid or a roll of 900x2000mm, or leave the cartoon out",
		}
	}
	t.columns, t.rows = int(across), int(down)
	return t, nil
}

// cut is how many pieces a side takes, and how long each is.
func cut(side, room place.MM) (count float64, each place.MM) {
	if side <= room {
		return 1, side
	}
	count = math.Ceil(float64((side-overlap)/(room-overlap)) - 1e-9)
	return count, (side + overlap*place.MM(count-1)) / place.MM(count)
}

// name is a tile's, counted from 0: B3 is the second row's third.
func (t tiling) name(column, row int) string { return rowName(row) + fmt.Sprint(column+1) }

// rowName counts A to Z, then AA and on.
func rowName(row int) string {
	name := ""
	for row++; row > 0; row = (row - 1) / 26 {
		name = string(rune('A'+(row-1)%26)) + name
	}
	return name
}

// at is the part of the canvas that a tile shows, core the part that is left of it
// when it is trimmed: neighbours' cores meet in the middle of their overlap.
func (t tiling) at(column, row int) Part {
	return Part{
		Name: t.name(column, row),
		X:    place.MM(column) * (t.width - overlap), Y: place.MM(row) * (t.height - overlap),
		Width: t.width, Height: t.height,
	}
}

func (t tiling) core(column, row int) box {
	at := t.at(column, row)
	half := func(joined bool) place.MM {
		if joined {
			return overlap / 2
		}
		return 0
	}
	return box{at.X, at.Y, at.Width, at.Height}.inset(half(column > 0), half(row > 0), half(column+1 < t.columns), half(row+1 < t.rows))
}

// match is a cross to lay on its twin, and what stands beside it on both pages.
type match struct {
	X, Y place.MM // on the canvas
	Name string   // of the two tiles, A1|A2
}

// matches are the crosses of the joints about a tile: two along each, a quarter of
// the core from its ends.
func (t tiling) matches(column, row int) []match {
	var all []match
	core := t.core(column, row)
	add := func(x, y place.MM, first, second string) { all = append(all, match{x, y, first + "|" + second}) }
	for _, share := range []place.MM{0.25, 0.75} {
		x, y := core.X+share*core.Width, core.Y+share*core.Height
		if column > 0 {
			add(core.X, y, t.name(column-1, row), t.name(column, row))
		}
		if column+1 < t.columns {
			add(core.X+core.Width, y, t.name(column, row), t.name(column+1, row))
		}
		if row > 0 {
			add(x, core.Y, t.name(column, row-1), t.name(column, row))
		}
		if row+1 < t.rows {
			add(x, core.Y+core.Height, t.name(column, row), t.name(column, row+1))
		}
	}
	return all
}
