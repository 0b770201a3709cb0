//go:build !js

package sheet

import (
	"fmt"
	"math"
	"testing"

	"maulstick/render/place"
	"maulstick/render/study"
)

// The tiles of a cartoon, drawn by pdftoppm and laid together again by where they
// say that they lie, show the outlines within 0.2 mm, and nothing where there are
// none. Outlines are drawn 0.5 mm thick: one that was further off would leave a
// place 0.05 mm beside its course white, or blacken one 0.45 mm beside all.
func TestCartoonShowsOutlines(t *testing.T) {
	const dpi, off, step = 300, 0.2, 0.7
	w := keptWork(t)
	w.Kinds, w.Lines = []string{study.SheetCartoon}, nil
	w.Paper = Paper{297, 210}
	k := place.MM(0.5) // half the canvas: 18 x 12 in
	w.Mapping.Canvas.Width *= k
	w.Mapping.Canvas.Height *= k
	var outlines []Outline
	for _, o := range w.Outlines {
		scaled := Outline{Closed: o.Closed}
		for _, p := range o.Points {
			scaled.Points = append(scaled.Points, place.CanvasPoint{X: k * p.X, Y: k * p.Y})
		}
		outlines = append(outlines, scaled)
	}
	w.Outlines = outlines
	name := file(t, written(t, w))
	pages, err := w.Pages()
	if err != nil {
		t.Fatal(err)
	}
	courses := coursesOf(w)
	seen, dark := 0, 0
	covered := make([]bool, len(courses.samples(step)))
	for i, p := range pages {
		if p.Part == nil {
			continue
		}
		r := drawn(t, name, i+1, dpi)
		on := func(c place.CanvasPoint) (x, y place.MM) {
			return p.Part.PageX + c.X - p.Part.X, p.Part.PageY + c.Y - p.Part.Y
		}
		for n, s := range courses.samples(step) {
			if !p.Part.holds(s.at, 0) {
				continue
			}
			seen++
			covered[n] = true
			for _, side := range []place.MM{-1, 1} {
				x, y := on(place.CanvasPoint{X: s.at.X + side*s.nx*(0.25-off), Y: s.at.Y + side*s.ny*(0.25-off)})
				if r.at(x, y) > 160 {
					t.Errorf("tile %s lacks the outline at %.1f, %.1f mm", p.Part.Name, float64(s.at.X), float64(s.at.Y))
				}
			}
		}
		dark += strayless(t, r, *p.Part, courses, 0.25+off)
	}
	for n, is := range covered {
		if !is {
			t.Errorf("no tile shows sample %d of the outlines", n)
		}
	}
	if seen < 2000 || dark < 20_000 {
		t.Errorf("only %d places of outlines and %d dark pixels were looked at", seen, dark)
	}
	if len(pages) < 5 {
		t.Errorf("the cartoon has only %d pages", len(pages))
	}
}

// holds says whether a place lies on a part, so far from its edges.
func (p Part) holds(c place.CanvasPoint, from place.MM) bool {
	return c.X >= p.X+from && c.Y >= p.Y+from && c.X <= p.X+p.Width-from && c.Y <= p.Y+p.Height-from
}

// strayless wants every dark pixel near an outline, but where trim marks, dashed
// lines, crosses and their names are: about the middle of the overlaps.
func strayless(t *testing.T, r raster, p Part, of courses, near place.MM) (dark int) {
	const mark = 9.5 // mm about the middle of an overlap, where a name ends
	at := func(px float64) place.MM { return place.MM(px * 25.4 / r.dpi) }
	for j := range r.height {
		for i := range r.width {
			if r.pix[j*r.width+i] > 90 {
				continue
			}
			c := place.CanvasPoint{X: at(float64(i)+0.5) - p.PageX + p.X, Y: at(float64(j)+0.5) - p.PageY + p.Y}
			if !p.holds(c, overlap/2+mark) {
				continue
			}
			dark++
			if d := of.distance(c); d > near+0.06 { // half a pixel
				t.Fatalf("tile %s is dark at %.2f, %.2f mm, %.2f mm from any outline", p.Name, float64(c.X), float64(c.Y), float64(d))
			}
		}
	}
	return dark
}

// courses are the straight pieces of outlines, by the squares of 4 mm they touch.
type courses struct {
	pieces [][2]place.CanvasPoint
	cells  map[[2]int][]int
}

const cellSide = 4

func coursesOf(w Work) courses {
	c := courses{cells: map[[2]int][]int{}}
	add := func(a, b place.CanvasPoint) {
		n := len(c.pieces)
		c.pieces = append(c.pieces, [2]place.CanvasPoint{a, b})
		cell := func(l place.MM, by float64) int { return int(math.Floor(float64(l)/cellSide + by)) }
		for i := cell(min(a.X, b.X), -0.5); i <= cell(max(a.X, b.X), 0.5); i++ {
			for j := cell(min(a.Y, b.Y), -0.5); j <= cell(max(a.Y, b.Y), 0.5); j++ {
				c.cells[[2]int{i, j}] = append(c.cells[[2]int{i, j}], n)
			}
		}
	}
	for _, o := range w.Outlines {
		for i := range o.Points {
			if i+1 < len(o.Points) {
				add(o.Points[i], o.Points[i+1])
			} else if o.Closed {
				add(o.Points[i], o.Points[0])
			}
		}
	}
	return c
}

// distance is how far a place is from the nearest outline, at least 2 mm if far.
func (c courses) distance(p place.CanvasPoint) place.MM {
	best := math.Inf(1)
	for _, n := range c.cells[[2]int{int(math.Floor(float64(p.X) / cellSide)), int(math.Floor(float64(p.Y) / cellSide))}] {
		a, b := c.pieces[n][0], c.pieces[n][1]
		dx, dy := float64(b.X-a.X), float64(b.Y-a.Y)
		px, py := float64(p.X-a.X), float64(p.Y-a.Y)
		share := 0.0
		if l := dx*dx + dy*dy; l > 0 {
			share = min(max((px*dx+py*dy)/l, 0), 1)
		}
		best = min(best, math.Hypot(px-share*dx, py-share*dy))
	}
	return place.MM(best)
}

// sample is a place of an outline and the way square to it there.
type sample struct {
	at     place.CanvasPoint
	nx, ny place.MM
}

// samples are places along all pieces, so many millimetres apart.
func (c courses) samples(step float64) []sample {
	var list []sample
	for _, piece := range c.pieces {
		a, b := piece[0], piece[1]
		dx, dy := float64(b.X-a.X), float64(b.Y-a.Y)
		length := math.Hypot(dx, dy)
		if length == 0 {
			continue
		}
		count := max(int(length/step), 1)
		for n := range count {
			share := place.MM((float64(n) + 0.5) / float64(count))
			list = append(list, sample{
				at: place.CanvasPoint{X: a.X + share*place.MM(dx), Y: a.Y + share*place.MM(dy)},
				nx: place.MM(-dy / length), ny: place.MM(dx / length),
			})
		}
	}
	return list
}

// Tiles of any canvas cover it and no more, overlap by 10 mm or more, and are
// within the page; their cores part the canvas, and both neighbours of a joint
// have the same crosses.
func TestTilesPartTheCanvas(t *testing.T) {
	for _, size := range [][2]place.MM{{1, 1}, {100, 200}, {180, 240}, {180.1, 240}, {500, 170}, {914.4, 609.6}, {1778, 838.2}, {2000, 30}, {25, 2500}} {
		for _, p := range []Paper{{210, 297}, {297, 210}, {420, 297}, {125, 125}} {
			tilesPart(t, place.Size{Width: size[0], Height: size[1], Unit: place.Millimetre}, p)
		}
	}
}

func tilesPart(t *testing.T, canvas place.Size, paper Paper) {
	room := paper.body().inset(tileMargin, tileMargin, tileMargin, tileMargin)
	tiles, err := tiled(canvas, room)
	if err != nil {
		if place.Hint(err) == "" {
			t.Errorf("%v on %v is refused without a hint: %v", canvas, paper, err)
		}
		return
	}
	const slack = 1e-6
	what := fmt.Sprintf("%v on %v", canvas, paper)
	var area place.MM
	crosses := map[match]int{}
	for row := range tiles.rows {
		for column := range tiles.columns {
			at, core := tiles.at(column, row), tiles.core(column, row)
			area += core.Width * core.Height
			if at.Width > room.Width+slack || at.Height > room.Height+slack || at.X < -slack || at.Y < -slack ||
				at.X+at.Width > canvas.Width+slack || at.Y+at.Height > canvas.Height+slack {
				t.Errorf("%s: tile %v leaves the page or the canvas", what, at)
			}
			if column > 0 {
				if shared := tiles.at(column-1, row).X + at.Width - at.X; shared < 10-slack {
					t.Errorf("%s: tiles overlap by %v", what, shared)
				}
			}
			for _, m := range tiles.matches(column, row) {
				if !at.holds(place.CanvasPoint{X: m.X, Y: m.Y}, 0) {
					t.Errorf("%s: the cross %v is not on %s", what, m, at.Name)
				}
				m.X, m.Y = place.MM(math.Round(float64(m.X)*1e3)), place.MM(math.Round(float64(m.Y)*1e3))
				crosses[m]++
			}
		}
	}
	if math.Abs(float64(area/(canvas.Width*canvas.Height)-1)) > slack {
		t.Errorf("%s: the cores come to %v mm²", what, area)
	}
	for m, n := range crosses {
		if n != 2 {
			t.Errorf("%s: the cross %v stands on %d pages", what, m, n)
		}
	}
	if joints := 2 * (tiles.rows*(tiles.columns-1) + tiles.columns*(tiles.rows-1)); len(crosses) != joints {
		t.Errorf("%s: there are %d crosses, want %d", what, len(crosses), joints)
	}
}

// Rows are named as columns of a spreadsheet are: by hand.
func TestRowNames(t *testing.T) {
	for row, want := range map[int]string{0: "A", 25: "Z", 26: "AA", 51: "AZ", 52: "BA", 199: "GR"} {
		if got := rowName(row); got != want {
			t.Errorf("row %d is %s, want %s", row, got, want)
		}
	}
}
