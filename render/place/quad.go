package place

import (
	"math"
	"slices"
)

// Quad is the four corners of a flat rectangular thing as photographed: top left,
// top right, bottom right, bottom left of the thing, wherever they lie.
type Quad [4]PhotoPoint

// Corners are the crop's corners.
func (c Crop) Corners() Quad {
	return Quad{
		{X: c.X, Y: c.Y}, {X: c.X + c.Width, Y: c.Y},
		{X: c.X + c.Width, Y: c.Y + c.Height}, {X: c.X, Y: c.Y + c.Height},
	}
}

// thinnest is the least that twice the triangle at any corner may be of the
// longer diagonal squared: slits of 1 to 100, and corners within about a degree
// of straight, are taken for slips.
const thinnest = 0.01

// squaring is what is being done to a Quad.
const squaring = "squaring up by four corners"

// thinQuad refuses a quadrilateral that is nearly a line or a triangle.
func thinQuad() error {
	return &Problem{
		Doing: squaring, What: "three of them lie on one line, or nearly",
		Wanted: "put each on its own corner of the canvas; photograph it less from the side",
	}
}

// turning is twice the area of the triangle at corner i, over 0 where the outline
// turns clockwise as seen.
func (q Quad) turning(i int) float64 {
	a, b, c := q[(i+3)%4], q[i], q[(i+1)%4]
	return (b.X-a.X)*(c.Y-b.Y) - (b.Y-a.Y)*(c.X-b.X)
}

// Check refuses, with a *Problem, corners that no photograph of a rectangle from
// its front can have: an outline that crosses itself, is dented, runs
// anticlockwise, or is too thin.
func (q Quad) Check() error {
	left, right, least := 0, 0, math.Inf(1)
	for i, p := range q {
		turn := q.turning(i)
		if math.IsNaN(turn+p.X+p.Y) || math.IsInf(turn, 0) {
			return &Problem{Doing: squaring, What: "they are not eight numbers", Wanted: "give the place of each corner in pixels"}
		}
		if turn > 0 {
			right++
		} else if turn < 0 {
			left++
		}
		least = min(least, math.Abs(turn))
	}
	diagonal := max(math.Hypot(q[2].X-q[0].X, q[2].Y-q[0].Y), math.Hypot(q[3].X-q[1].X, q[3].Y-q[1].Y))
	what, wanted := "", "go round the canvas: top left, top right, bottom right, bottom left"
	switch {
	case !(least >= thinnest*diagonal*diagonal) || diagonal == 0:
		return thinQuad()
	case left == 2:
		what = "the outline crosses itself"
	case left == 4:
		what = "they run round the wrong way, as in a mirror"
	case left > 0:
		what = "the outline is dented"
	default:
		return nil
	}
	return &Problem{Doing: squaring, What: what, Wanted: wanted}
}

// Ordered puts four corners in any order into that of a Quad: clockwise about
// their middle, beginning with the one nearest the photograph's top left. It is
// for corners found, not named; a canvas that lies on its side in the photograph
// is the painter's to turn.
func Ordered(corners [4]PhotoPoint) Quad {
	var middle PhotoPoint
	for _, p := range corners {
		middle.X += p.X / 4
		middle.Y += p.Y / 4
	}
	q := Quad(corners)
	slices.SortStableFunc(q[:], func(a, b PhotoPoint) int {
		at, bt := math.Atan2(a.Y-middle.Y, a.X-middle.X), math.Atan2(b.Y-middle.Y, b.X-middle.X)
		switch {
		case at < bt:
			return -1
		case at > bt:
			return 1
		}
		return 0
	})
	first := 0
	for i, p := range q {
		if p.X+p.Y < q[first].X+q[first].Y {
			first = i
		}
	}
	return Quad{q[first], q[(first+1)%4], q[(first+2)%4], q[(first+3)%4]}
}

// sides are the longer of top and bottom, and the longer of left and right.
func (q Quad) sides() (across, down float64) {
	side := func(i, j int) float64 { return math.Hypot(q[i].X-q[j].X, q[i].Y-q[j].Y) }
	return max(side(0, 1), side(2, 3)), max(side(0, 3), side(1, 2))
}

// Squared is how a photographed canvas of known size is squared up: what carries
// the photograph to the picture of the canvas alone, and how many pixels that
// picture has. Its proportion is the canvas's to half a pixel, and it is about as
// fine as the photograph is where it is finest, at most a number of pixels a
// side. A *Problem refuses corners that do not pass Check.
func (q Quad) Squared(canvas Size, most int) (Homography, Pixels, error) {
	if err := q.Check(); err != nil {
		return Homography{}, Pixels{}, err
	}
	across, down := q.sides()
	aspect := float64(canvas.Aspect())
	width := max(across, down*aspect)
	width = min(width, float64(most), float64(most)*aspect)
	size := Pixels{
		Width:  max(int(math.Round(width)), 1),
		Height: max(int(math.Round(width/aspect)), 1),
	}
	h, err := QuadToQuad(q, WholeCrop(size).Corners())
	return h, size, err
}

// Aspect estimates the width over the height of the photographed rectangle itself
// from the camera's focal length in photo pixels: the camera sees both its sides
// through one lens, so that the two columns that carry them are as long as the
// sides once the lens is taken out. Lens bow and a photograph that has been
// cropped off its middle are not allowed for. Without a focal length there is no
// telling: the lengths of the sides in the photograph say nothing of it.
func (q Quad) Aspect(focal float64, photo Pixels) (Aspect, error) {
	if err := q.Check(); err != nil {
		return 0, err
	}
	if !(focal > 0) || math.IsInf(focal, 0) {
		return 0, &Problem{
			Doing: "estimating a proportion from four corners", What: "the focal length is no number of pixels over 0",
			Wanted: "type the size of the canvas instead",
		}
	}
	x, y := float64(photo.Width)/2, float64(photo.Height)/2
	for i := range q {
		q[i].X, q[i].Y = (q[i].X-x)/focal, (q[i].Y-y)/focal
	}
	h := squareTo(q)
	column := func(j int) float64 { return math.Hypot(math.Hypot(h[0][j], h[1][j]), h[2][j]) }
	return Aspect(column(0) / column(1)), nil
}

// FocalPixels is a focal length in photo pixels from the one on 35 mm film that
// shows as much, as cameras write it beside a photograph: by the diagonals, the
// film's frame being 36 x 24 mm (CIPA DC-008, FocalLengthIn35mmFilm).
func FocalPixels(onFilm MM, photo Pixels) float64 {
	return float64(onFilm) / math.Hypot(36, 24) * math.Hypot(float64(photo.Width), float64(photo.Height))
}
