package line

import "maulstick/render/place"

// Edge is one edge of the canvas.
type Edge int

// The edges.
const (
	Top Edge = iota
	Right
	Bottom
	Left
)

// String is the edge's name.
func (e Edge) String() string { return [...]string{"top", "right", "bottom", "left"}[e&3] }

// upright says whether distances along the edge go up or down.
func (e Edge) upright() bool { return e == Left || e == Right }

// edgeAlong is the upright or the level one of the two edges that meet at a corner.
func edgeAlong(upright bool, corner place.Edges) Edge {
	switch {
	case upright && corner.Right:
		return Right
	case upright:
		return Left
	case corner.Bottom:
		return Bottom
	}
	return Top
}

// opposite is the edge across the canvas.
func (e Edge) opposite() Edge { return (e + 2) & 3 }
