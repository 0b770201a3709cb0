package shape

import (
	"math"

	"maulstick/render/place"
)

// OutlineRun is a stretch of a line along which the edge is of one class.
type OutlineRun struct {
	From, To place.MM // along the line from its start, on the canvas
	Class    EdgeClass
	Width    place.MM // mean width of the edge; 0 where none is seen
	Contrast float64  // mean, L*; 0 where none is seen
}

// outlineAlike is the cosine of the angle that an edge and a line which goes
// along it make at most: 45 degrees.
const outlineAlike = 0.7

// Outlines of flat shapes are cut from a squinted picture and lie a little off
// the edges that they stand for; a soft edge may lie off by as much as it is
// blurred.
const outlineBlur = 0.5 // of the edge's width

// AlongOutline tells how the edge changes along a line: a run for every stretch,
// which together make up the whole line, in its order. The line's points are in
// pixels of the picture that was measured. The edge of a place is the nearest
// within reach pixels, or within half its own width, that runs the same way;
// where there is none, or one too faint to be seen, the edge is Lost. Runs
// shorter than half a degree at the viewing distance belong to the run
// before them.
func (e *Edges) AlongOutline(lines [][]place.PhotoPoint, reach float64) [][]OutlineRun {
	f := e.field(reach)
	runs := make([][]OutlineRun, len(lines))
	for i, line := range lines {
		runs[i] = e.joined(e.runs(f, line, reach))
	}
	return runs
}

// runs are those of one line, one for every pixel's way along it.
func (e *Edges) runs(f *edgeField, line []place.PhotoPoint, reach float64) []OutlineRun {
	var runs []OutlineRun
	at := place.MM(0)
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		dx, dy := b.X-a.X, b.Y-a.Y
		way := math.Hypot(dx, dy)
		if way == 0 {
			continue
		}
		wx, wy := course(line, i)
		pieces := max(int(math.Round(way)), 1)
		length := e.between(a, b) / place.MM(pieces)
		for k := range pieces {
			t := (float64(k) + 0.5) / float64(pieces)
			run := OutlineRun{From: at, To: at + length, Class: Lost}
			if p := f.nearest(place.PhotoPoint{X: a.X + t*dx, Y: a.Y + t*dy}, wx, wy, reach); p != nil {
				run.Class, run.Width, run.Contrast = p.Class, p.Width, float64(p.Contrast)
			}
			runs = append(runs, run)
			at += length
		}
	}
	return runs
}

// courseReach is how many pixels of a line before and behind tell which way it
// goes: outlines along pixels go in stairs.
const courseReach = 3.0

// course is the direction, of length 1, in which a line goes at its piece i.
func course(line []place.PhotoPoint, i int) (x, y float64) {
	from, to := i-1, i
	gone := 0.0
	for from > 0 && gone < courseReach {
		gone += math.Hypot(line[from].X-line[from-1].X, line[from].Y-line[from-1].Y)
		from--
	}
	gone = 0
	for to < len(line)-1 && gone < courseReach {
		gone += math.Hypot(line[to+1].X-line[to].X, line[to+1].Y-line[to].Y)
		to++
	}
	x, y = line[to].X-line[from].X, line[to].Y-line[from].Y
	if x == 0 && y == 0 {
		x, y = line[i].X-line[i-1].X, line[i].Y-line[i-1].Y
	}
	size := math.Hypot(x, y)
	return x / size, y / size
}

// joined puts runs of one class together, and short ones to those before them.
func (e *Edges) joined(runs []OutlineRun) []OutlineRun {
	same := func(a, b OutlineRun) bool { return a.Class == b.Class }
	least := e.Limits.shortest()
	runs = joinRuns(runs, same)
	return joinRuns(runs, func(a, b OutlineRun) bool { return same(a, b) || b.To-b.From < least || a.To-a.From < least })
}

// joinRuns joins neighbours that belong together; the longer one gives the class,
// and both the figures if they are of one class.
func joinRuns(runs []OutlineRun, together func(a, b OutlineRun) bool) []OutlineRun {
	var out []OutlineRun
	for _, r := range runs {
		if len(out) == 0 || !together(out[len(out)-1], r) {
			out = append(out, r)
			continue
		}
		last := &out[len(out)-1]
		a, b := last.To-last.From, r.To-r.From
		switch {
		case last.Class == r.Class:
			last.Width = (last.Width*a + r.Width*b) / (a + b)
			last.Contrast = (last.Contrast*float64(a) + r.Contrast*float64(b)) / float64(a+b)
		case b > a:
			last.Class, last.Width, last.Contrast = r.Class, r.Width, r.Contrast
		}
		last.To = r.To
	}
	return out
}

// edgeField finds edges by their place.
type edgeField struct {
	side          float64 // of a cell, in pixels
	left, top     float64
	columns, rows int
	cells         [][]*EdgePoint
}

// field sorts the edges into cells.
func (e *Edges) field(reach float64) *edgeField {
	c := e.Mapping.Crop
	f := &edgeField{side: max(reach, 8), left: c.X, top: c.Y}
	f.columns, f.rows = int(c.Width/f.side)+1, int(c.Height/f.side)+1
	f.cells = make([][]*EdgePoint, f.columns*f.rows)
	for _, s := range e.Strands {
		for i := range s {
			x, y := f.cell(s[i].At)
			at := &f.cells[y*f.columns+x]
			*at = append(*at, &s[i])
		}
	}
	return f
}

func (f *edgeField) cell(p place.PhotoPoint) (x, y int) {
	x, y = int((p.X-f.left)/f.side), int((p.Y-f.top)/f.side)
	return min(max(x, 0), f.columns-1), min(max(y, 0), f.rows-1)
}

// farthest is how many cells around a place are searched for wide edges.
const farthest = 3

// nearest is the nearest edge about a place that runs in a direction.
func (f *edgeField) nearest(at place.PhotoPoint, wx, wy, reach float64) *EdgePoint {
	var found *EdgePoint
	best := math.Inf(1)
	x, y := f.cell(at)
	for v := max(y-farthest, 0); v <= min(y+farthest, f.rows-1); v++ {
		for u := max(x-farthest, 0); u <= min(x+farthest, f.columns-1); u++ {
			for _, p := range f.cells[v*f.columns+u] {
				d := math.Hypot(p.At.X-at.X, p.At.Y-at.Y)
				along := math.Abs(wx*-float64(p.LightY) + wy*float64(p.LightX))
				if d < best && along >= outlineAlike && d <= max(reach, outlineBlur*float64(p.Pixels)) {
					found, best = p, d
				}
			}
		}
	}
	return found
}
