package line

import (
	"fmt"
	"math"
	"strings"

	"maulstick/render/place"
)

// check chooses what to measure at the end: of the two crossings furthest apart
// along either slant of the canvas the pair that is further apart; without
// crossings inside, two marks.
func (c *chalker) check() {
	canvas := c.set.Canvas
	check := &c.list.Check
	check.CanvasDiagonal = place.MM(math.Hypot(float64(canvas.Width), float64(canvas.Height)))
	check.CanvasDiagonalIs = c.list.Rounding.Text(check.CanvasDiagonal)
	var from, to place.CanvasPoint
	i, j, ok := c.furthest()
	if ok {
		a, b := c.set.Crossings[i], c.set.Crossings[j]
		from, to = a.At, b.At
		check.From, check.FromAt = c.chalked(a)
		check.To, check.ToAt = c.chalked(b)
	} else if m, n, ok := c.marksApart(); ok {
		from, to = m.exact, n.exact
		check.From, check.FromAt = m.End.Name, m.End.At
		check.To, check.ToAt = n.End.Name, n.End.At
	} else {
		return
	}
	check.Exact, check.Distance = distance(from, to), distance(check.FromAt, check.ToAt)
	check.Text = c.list.Rounding.Text(check.Distance)
}

// distance is how far two points are apart.
func distance(p, q place.CanvasPoint) place.MM {
	return place.MM(math.Hypot(float64(p.X-q.X), float64(p.Y-q.Y)))
}

// furthest is two crossings inside the canvas, far apart; ok is false if there
// are no two.
func (c *chalker) furthest() (i, j int, ok bool) {
	var least place.MM
	for _, slant := range []place.MM{1, -1} {
		low, high := -1, -1
		along := func(k int) place.MM {
			at := c.set.Crossings[k].At
			return at.X + slant*at.Y
		}
		for k, crossing := range c.set.Crossings {
			if crossing.OnEdge {
				continue
			}
			if low < 0 || along(k) < along(low) {
				low = k
			}
			if high < 0 || along(k) > along(high) {
				high = k
			}
		}
		if low < 0 || low == high {
			continue
		}
		if apart := distance(c.set.Crossings[low].At, c.set.Crossings[high].At); apart > least {
			i, j, least, ok = low, high, apart, true
		}
	}
	return i, j, ok
}

// chalked is where a crossing comes to lie once its lines are chalked, by the two
// of them that meet most squarely, and how to say which one it is.
func (c *chalker) chalked(crossing Crossing) (name string, at place.CanvasPoint) {
	most := -1.0
	for n, i := range crossing.Lines {
		for _, j := range crossing.Lines[:n] {
			p, sine := c.rounded(i, j)
			if sine > most {
				most, at = sine, p
				name = fmt.Sprintf("the crossing of %s and %s", c.joined(j), c.joined(i))
			}
		}
	}
	return name, at
}

// joined says which line is meant by its ends.
func (c *chalker) joined(i int) string {
	return strings.Join([]string{c.ends[i][0].Name, c.ends[i][1].Name}, " – ")
}

// rounded is where two lines meet once they are chalked, and the sine of their
// angle.
func (c *chalker) rounded(i, j int) (at place.CanvasPoint, sine float64) {
	p, q, r, s := c.ends[i][0].At, c.ends[i][1].At, c.ends[j][0].At, c.ends[j][1].At
	ax, ay, bx, by := q.X-p.X, q.Y-p.Y, s.X-r.X, s.Y-r.Y
	cross := ax*by - ay*bx
	if cross == 0 {
		return p, 0
	}
	t := ((r.X-p.X)*by - (r.Y-p.Y)*bx) / cross
	size := distance(p, q) * distance(r, s)
	return place.CanvasPoint{X: p.X + t*ax, Y: p.Y + t*ay}, math.Abs(float64(cross / size))
}

// exactEnd is the end of a line as chalked, and where it should be.
type exactEnd struct {
	End
	exact place.CanvasPoint
}

// marksApart is two ends of lines, far apart; ok is false if there is no line.
func (c *chalker) marksApart() (m, n exactEnd, ok bool) {
	var ends []exactEnd
	for i, l := range c.set.Lines {
		ends = append(ends, exactEnd{c.ends[i][0], l.From}, exactEnd{c.ends[i][1], l.To})
	}
	var most place.MM
	for k, a := range ends {
		for _, b := range ends[:k] {
			if apart := distance(a.exact, b.exact); apart > most {
				m, n, most, ok = b, a, apart, true
			}
		}
	}
	return m, n, ok
}
