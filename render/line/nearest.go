package line

import (
	"math"

	"maulstick/render/place"
)

// Offset is how far a point is from a crossing: DX to the right of it and DY
// below it, both under 0 on the other side, and straight.
type Offset struct{ DX, DY, Distance place.MM }

// NearestCrossing is the index of the crossing nearest to a point, the best ranked
// of equals, and how far the point is from it; ok is false if there is none.
func NearestCrossing(crossings []Crossing, p place.CanvasPoint) (i int, off Offset, ok bool) {
	for k, c := range crossings {
		dx, dy := p.X-c.At.X, p.Y-c.At.Y
		distance := place.MM(math.Hypot(float64(dx), float64(dy)))
		if !ok || distance < off.Distance {
			i, off, ok = k, Offset{dx, dy, distance}, true
		}
	}
	return i, off, ok
}

// NearestCrossing is the one nearest to a point of the set's crossings.
func (s *Set) NearestCrossing(p place.CanvasPoint) (i int, off Offset, ok bool) {
	return NearestCrossing(s.Crossings, p)
}

// distance is how far a point is from the line, at its foot: over 0 to the right of
// it, or below a level one, under 0 on the other side.
func (l Drawn) distance(p place.CanvasPoint) (signed place.MM, foot place.CanvasPoint) {
	dx, dy := float64(l.To.X-l.From.X), float64(l.To.Y-l.From.Y)
	px, py := float64(p.X-l.From.X), float64(p.Y-l.From.Y)
	t := min(max((px*dx+py*dy)/(dx*dx+dy*dy), 0), 1)
	// From is the left or upper end: the right of an upright or falling line is on
	// the side of (dy, -dx), that of a rising one on the other.
	side := px*dy - py*dx
	if dy < 0 || dy == 0 {
		side = -side
	}
	foot = place.CanvasPoint{X: l.From.X + place.MM(t*dx), Y: l.From.Y + place.MM(t*dy)}
	return place.MM(math.Copysign(math.Hypot(px-t*dx, py-t*dy), side)), foot
}

// NearestLine is the index of the line nearest to a point, the first of equals,
// and how far the point is from it: over 0 to the right of it, or below a level
// line, under 0 on the other side. The distance is to the line as drawn, from
// edge to edge, at foot. ok is false if there is no line. It takes lines with and
// without their exact ends.
func NearestLine[L interface {
	distance(place.CanvasPoint) (place.MM, place.CanvasPoint)
}](lines []L, p place.CanvasPoint) (i int, signed place.MM, foot place.CanvasPoint, ok bool) {
	least := place.MM(math.Inf(1))
	for k, l := range lines {
		off, at := l.distance(p)
		if distance := max(off, -off); distance < least {
			least, i, signed, foot, ok = distance, k, off, at, true
		}
	}
	return i, signed, foot, ok
}

// NearestLine is the one nearest to a point of the set's lines.
func (s *Set) NearestLine(p place.CanvasPoint) (i int, signed place.MM, foot place.CanvasPoint, ok bool) {
	return NearestLine(s.Lines, p)
}
