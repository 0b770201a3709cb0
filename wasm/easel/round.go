package easel

import (
	"math"

	"maulstick/render"
)

const (
	roundAcross = 150 // CSS pixels, of the magnified round
	roundLeast  = 64  // CSS pixels: smaller helps nobody
	// roundOff is how far the round's rim stays from the point of touch, in CSS
	// pixels: a fingertip covers about this much.
	roundOff = 36
	// roundCloser is how much closer the round looks than the picture.
	roundCloser = 4
)

// side is where the magnified round stands beside the finger.
type side int

// The sides in the order in which they are tried: a painter's hand comes from
// below, and more often from the right.
const (
	sideLeft side = iota
	sideRight
	sideAbove
	sideBelow
	sides
)

// round is the magnified round beside the finger that sets a place. It shows the
// place in its middle, under the look that the picture has.
func (e *Easel) round(v render.Viewport) (render.Pane, bool) {
	seen, other := e.cornerRound()
	if !other {
		seen, other = e.paletteRound()
	}
	p, ok := e.underFinger()
	if !ok && !other {
		return render.Pane{}, false
	}
	finger := e.hand.down[0]
	x, y, across, ok := e.roundPlace(finger.x, finger.y)
	if !ok {
		return render.Pane{}, false
	}
	d := max(int(math.Floor(across*e.dpr)), 1)
	at := render.Rect{
		X: int(math.Round((x - across/2) * e.dpr)), Y: int(math.Round((y - across/2) * e.dpr)),
		Width: d, Height: d,
	}
	at.X = min(max(at.X, 0), v.Width-d)
	at.Y = min(max(at.Y, 0), v.Height-d)
	if !other {
		seen = render.Pane{View: v, Look: e.seenLook(), Made: e.madeCheck()}
		seen.View.Centre = p
	}
	seen.At, seen.Round = at, true
	seen.View.Width, seen.View.Height = d, d
	seen.View.Scale = min(roundCloser*seen.View.Scale, render.MaxScale)
	return seen, true
}

// roundPlace is the round's centre and how far across it is, all in CSS
// pixels, for a finger at (x, y): wholly in the area and never under the
// finger. It stays on the side it is on for as long as it has room there. In
// an area too small for any round there is none.
func (e *Easel) roundPlace(x, y float64) (cx, cy, across float64, ok bool) {
	first, _ := e.halves() // it never lies over the picture beside
	w, h := float64(first.Width)/e.dpr, float64(first.Height)/e.dpr
	for across = roundAcross; across >= roundLeast; across -= 2 {
		if across > w || across > h {
			continue
		}
		for i := sides; i <= 2*sides; i++ {
			s := e.hand.side
			if i > sides {
				s = i - sides - 1
			}
			if cx, cy, ok = beside(s, x, y, across/2, w, h); ok {
				e.hand.side = s
				return cx, cy, across, true
			}
		}
	}
	return 0, 0, 0, false
}

// beside is the centre of a round of that radius on one side of a finger, slid
// along that side to stay in the area, and whether there is room.
func beside(s side, x, y, radius, w, h float64) (cx, cy float64, ok bool) {
	off := roundOff + radius
	cx, cy = x, y
	switch s {
	case sideLeft:
		cx -= off
	case sideRight:
		cx += off
	case sideAbove:
		cy -= off
	default:
		cy += off
	}
	if s == sideLeft || s == sideRight {
		cy = min(max(cy, radius), h-radius)
		return cx, cy, cx >= radius && cx <= w-radius
	}
	cx = min(max(cx, radius), w-radius)
	return cx, cy, cy >= radius && cy <= h-radius
}
