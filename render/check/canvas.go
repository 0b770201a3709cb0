package check

import (
	"cmp"
	"math"
	"slices"

	"maulstick/render/photo"
	"maulstick/render/place"
)

// Canvas is a canvas on a photograph.
type Canvas struct {
	Corners place.Quad // on the photograph as it is, bow and all
	Bow     Bow
	Found   bool    // by FindCanvas, and not given
	Within  float64 // how surely the corners are known, pixels of the photograph, one standard deviation
}

// Declined is a reason in plain words why something cannot be told, and what can be done
// about it: lower case, without a full stop.
type Declined struct {
	Reason, Help string
	Wants        Wanted
}

// Wanted is what of a question, if it were given, would help a check that is declined.
type Wanted int

const (
	WantsNothing Wanted = iota
	WantsCorners
	WantsCards
)

// Error is the reason.
func (d *Declined) Error() string { return d.Reason }

const (
	copySide    = 800   // pixels of the long side of the copy that canvases are found on
	leastCanvas = 0.06  // of the photograph that a canvas fills at least
	mostMisfit  = 0.07  // of proportions and right angles under any lens
	leastSide   = 0.30  // of each side that must hold an edge
	leastMean   = 0.55  // the same, mean of the four sides
	mostFrames  = 6     // that are refined
	frameScore  = 0.5   // less than the best of those
	rivalScore  = 0.06  // a rival this near the best leaves it open which is the canvas
	leastScore  = 2.05  // of what is taken for a canvas at all: true ones come to 2.3 and more
	rivalApart  = 0.008 // of the diagonal that a rival's corners lie off at least
	looseMisfit = 0.006 // once the bow is out
	misfitCost  = 8.0   // of the score, for misfit of one
	mostRefined = 0.012 // misfit of what is taken for a canvas: true ones come to 0.004 at most
	mostWithin  = 4e-4  // of the diagonal that its corners are in doubt by
)

// noCanvas declines for want of surely known corners.
func noCanvas(reason string) *Declined {
	return &Declined{reason, "put the four corners on it by hand, then check it", WantsCorners}
}

// FindCanvas finds the one canvas of a known size on a photograph: four long edges
// that make a rectangle of its proportion under some lens between 0.55 and 8 half
// diagonals of focal length, the top left corner nearest to the photograph's. The
// bow of the lens is fitted to the edges. The error is a *Declined where no four
// edges are sure, or where others would do as well.
func FindCanvas(p *photo.Picture, canvas place.Size) (Canvas, error) {
	small, err := photo.Reduced(p, place.WholeCrop(p.Size()), copySide)
	if err != nil {
		return Canvas{}, err
	}
	edgels := slopesOf(small, edgeBlur).edgels()
	upright, level := longLines(edgels, small.Width, small.Height)
	scale := float64(p.Width) / float64(small.Width)
	return choose(p, likelyFrames(upright, level, small.Size(), canvas), scale, canvas)
}

// choose refines each frame on the photograph and takes the best, unless another is
// nearly as good.
func choose(p *photo.Picture, frames []frame, scale float64, canvas place.Size) (Canvas, error) {
	why := error(noCanvas("no four edges on the photograph could be the canvas's"))
	var refinedOnes []refined
	for i, f := range frames {
		r, err := refine(p, f, scale, canvas)
		if err != nil {
			if i == 0 {
				why = err
			}
			continue
		}
		r.quality += f.score - misfitCost*max(r.misfit-looseMisfit, 0)
		refinedOnes = append(refinedOnes, r)
	}
	if len(refinedOnes) == 0 {
		return Canvas{}, why
	}
	best := refinedOnes[0]
	for _, r := range refinedOnes[1:] {
		if r.quality > best.quality {
			best = r
		}
	}
	if best.quality < leastScore {
		return Canvas{}, noCanvas("no outline on the photograph is surely the canvas's")
	}
	if best.misfit > mostRefined {
		return Canvas{}, &Declined{"the outline that was found has not the canvas's proportion", "check the canvas's size and which of its sides is the longer, or put the four corners on it by hand", WantsCorners}
	}
	if best.Within > mostWithin*math.Hypot(float64(p.Width), float64(p.Height)) {
		return Canvas{}, noCanvas("one side of the canvas is found, but not surely where it ends")
	}
	for _, r := range refinedOnes {
		if best.quality-r.quality < rivalScore && r.apart(best.Canvas) > rivalApart {
			return Canvas{}, noCanvas("two outlines on the photograph could be the canvas's")
		}
	}
	return best.Canvas, nil
}

// frame is four lines that may be a canvas's sides: top, right, bottom, left.
type frame struct {
	sides   [4]*bent
	corners place.Quad // on the small copy
	score   float64
}

// likelyFrames are the best of all pairs of upright lines with all pairs of level
// ones, each well apart from those before it.
func likelyFrames(upright, level []*bent, size place.Pixels, canvas place.Size) []frame {
	var frames []frame
	for _, left := range upright {
		for _, right := range upright {
			if left == right || !before(left, right, size, true) {
				continue
			}
			for _, top := range level {
				for _, bottom := range level {
					if top == bottom || !before(top, bottom, size, false) {
						continue
					}
					f := frame{sides: [4]*bent{top, right, bottom, left}}
					if f.weigh(size, canvas) {
						frames = append(frames, f)
					}
				}
			}
		}
	}
	slices.SortStableFunc(frames, func(a, b frame) int { return cmp.Compare(b.score, a.score) })
	diagonal := math.Hypot(float64(size.Width), float64(size.Height))
	var likely []frame
	for _, f := range frames {
		if len(likely) == mostFrames || f.score < frames[0].score-frameScore {
			break
		}
		if !slices.ContainsFunc(likely, func(g frame) bool { return quadApart(f.corners, g.corners) < rivalApart*diagonal }) {
			likely = append(likely, f)
		}
	}
	return likely
}

// quadApart is how far the corners of two quadrilaterals are apart at most.
func quadApart(q, r place.Quad) float64 {
	most := 0.0
	for i := range q {
		most = max(most, math.Hypot(q[i].X-r[i].X, q[i].Y-r[i].Y))
	}
	return most
}

// before says whether one line lies left of another, or above it, by a tenth of the
// picture at least, both taken in the picture's middle.
func before(a, b *bent, size place.Pixels, upright bool) bool {
	cut := func(l *bent) float64 {
		sin, cos := math.Sincos(l.across)
		if upright {
			return (l.off - float64(size.Height)/2*sin) / cos
		}
		return (l.off - float64(size.Width)/2*cos) / sin
	}
	side := size.Height
	if upright {
		side = size.Width
	}
	return cut(b)-cut(a) > float64(side)/10
}

// weigh finds the corners and the score; false where the frame cannot be a canvas.
func (f *frame) weigh(size place.Pixels, canvas place.Size) bool {
	w, h := float64(size.Width), float64(size.Height)
	for i := range 4 {
		x, y, ok := f.sides[(i+3)%4].cross(f.sides[i])
		if !ok || x < -1 || y < -1 || x > w+1 || y > h+1 {
			return false
		}
		f.corners[i] = place.PhotoPoint{X: x, Y: y}
	}
	if f.corners.Check() != nil || area(f.corners) < leastCanvas*w*h {
		return false
	}
	least, sum, beyond := 1.0, 0.0, 0.0
	for i, l := range f.sides {
		a, b := f.corners[i], f.corners[(i+1)%4]
		t, _ := l.along(a.X, a.Y)
		u, _ := l.along(b.X, b.Y)
		s := l.support(t, u)
		least, sum = min(least, s), sum+s/4
		// A canvas's edges end at its corners.
		gap, tail := 0.02*(u-t), 0.12*(u-t)
		beyond += (l.support(t-gap-tail, t-gap) + l.support(u+gap, u+gap+tail)) / 8
	}
	if least < leastSide || sum < leastMean {
		return false
	}
	off := misfit(f.corners, canvas, size)
	if off > mostMisfit {
		return false
	}
	f.score = sum + 0.5*least - 0.3*beyond - 4*max(off-0.01, 0) + 0.2*math.Sqrt(area(f.corners)/(w*h))
	return true
}

// area is the area of a quadrilateral.
func area(q place.Quad) float64 {
	sum := 0.0
	for i := range q {
		a, b := q[i], q[(i+1)%4]
		sum += a.X*b.Y - a.Y*b.X
	}
	return math.Abs(sum) / 2
}

// misfit is how far a quadrilateral is from any photograph of the canvas: over all
// lenses, the least of what the corners are off right angles and the proportion is
// off the canvas's, both as parts of one. Seen through one lens the two sides are
// upright to each other and of known lengths (R. Hartley and A. Zisserman, Multiple
// View Geometry in Computer Vision, 2nd edition, section 8.8).
func misfit(q place.Quad, canvas place.Size, photo place.Pixels) float64 {
	half := math.Hypot(float64(photo.Width), float64(photo.Height)) / 2
	for i := range q {
		q[i].X, q[i].Y = (q[i].X-float64(photo.Width)/2)/half, (q[i].Y-float64(photo.Height)/2)/half
	}
	w, h := float64(canvas.Aspect()), 1.0
	to, err := place.QuadToQuad(place.Quad{{X: 0, Y: 0}, {X: w, Y: 0}, {X: w, Y: h}, {X: 0, Y: h}}, q)
	if err != nil {
		return math.Inf(1)
	}
	best := math.Inf(1)
	for focal := 0.55; focal < 8; focal *= 1.06 {
		var aa, bb, ab float64
		for i := range 3 {
			weight := 1 / (focal * focal)
			if i == 2 {
				weight = 1
			}
			aa += weight * to[i][0] * to[i][0]
			bb += weight * to[i][1] * to[i][1]
			ab += weight * to[i][0] * to[i][1]
		}
		best = min(best, math.Hypot(ab/math.Sqrt(aa*bb), math.Log(aa/bb)/2))
	}
	return best
}
