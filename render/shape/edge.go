package shape

import (
	"math"

	"maulstick/render/place"
)

// EdgeClass is how hard an edge is, in the words of painters.
type EdgeClass uint8

// The classes, from no edge at all to the hardest.
const (
	NoEdge EdgeClass = iota
	Lost
	Soft
	Firm
	Sharp
)

var classNames = [...]string{"none", "lost", "soft", "firm", "sharp"}

// String is the class's word: none, lost, soft, firm or sharp.
func (c EdgeClass) String() string { return classNames[min(int(c), len(classNames)-1)] }

// The width of an edge is the stretch over which its lightness L* goes from a
// tenth to nine tenths of the way from one side to the other. That of a Gaussian
// blur is widthOfSigma times its standard deviation: twice the normal
// distribution's 90 % point.
const widthOfSigma = 2 * 1.2815515655446004

// Classes go by what is seen from the viewing distance, in minutes of arc: the
// eye resolves one, and blurs an edge over about two by itself (Campbell and
// Gubisch, Optical quality of the human eye, Journal of Physiology 186, 1966,
// from memory). Twice that is still sharp. What is wider than five degrees does
// not fit into the fovea, so that no look takes in both sides well: that is
// lost. Between firm and soft there is no published border; it lies where the
// edge is five times as wide as a sharp one may be.
const (
	sharpArc = 4.0
	firmArc  = 20.0
	softArc  = 300.0
)

// Whatever the distance, the photograph shows nothing harder than its pixels:
// an edge within so many of them is as hard as could be, and the other classes
// keep a distance from that.
const (
	sharpPixels = 2.5
	firmPixels  = 6.0
	softPixels  = 18.0
)

// FaintestEdge is the least contrast in L* that counts as an edge: what is just
// noticed (2.3 units of CIELAB; Mahy, Van Eycken and Oosterlinck, Evaluation of
// uniform color spaces, Color Research and Application 19, 1994, from memory).
// LostContrast is the contrast under which an edge is lost however narrow it
// is: half a Munsell value, trade usage, no source.
const (
	FaintestEdge = 2.3
	LostContrast = 5.0
)

// shortArc is how long an edge is at least, in minutes of arc: what is shorter is
// a speck or a thread of texture, which no painter would call an edge.
const shortArc = 30.0

// EdgeLimits are the widest edges of each class, on the canvas, and the distance
// that they are for.
type EdgeLimits struct {
	Sharp    place.MM `json:"sharp_mm"`
	Firm     place.MM `json:"firm_mm"`
	Soft     place.MM `json:"soft_mm"`
	Distance place.MM `json:"distance_mm"`
}

// ViewingDistance is how far off a picture is customarily seen whole: its
// diagonal.
func ViewingDistance(canvas place.Size) place.MM {
	return place.MM(math.Hypot(float64(canvas.Width), float64(canvas.Height)))
}

// LimitsOf are the limits on a canvas seen from a distance; ViewingDistance if
// that is not over 0.
func LimitsOf(m place.Mapping, distance place.MM) EdgeLimits {
	if !(distance > 0) {
		distance = ViewingDistance(m.Canvas)
	}
	limit := func(minutes, pixels float64) place.MM {
		return max(arc(minutes, distance), place.MM(pixels)*m.Pixel())
	}
	return EdgeLimits{
		Distance: distance,
		Sharp:    limit(sharpArc, sharpPixels),
		Firm:     limit(firmArc, firmPixels),
		Soft:     limit(softArc, softPixels),
	}
}

// arc is the length that a number of minutes of arc make at a distance.
func arc(minutes float64, distance place.MM) place.MM {
	return place.MM(2*math.Tan(minutes/60*math.Pi/180/2)) * distance
}

// shortest is the least length of an edge.
func (l EdgeLimits) shortest() place.MM { return arc(shortArc, l.Distance) }

// Class is the class of an edge of a width and a contrast in L*.
func (l EdgeLimits) Class(width place.MM, contrast float64) EdgeClass {
	switch {
	case contrast < FaintestEdge:
		return NoEdge
	case contrast < LostContrast || !(width <= l.Soft):
		return Lost
	case width > l.Firm:
		return Soft
	case width > l.Sharp:
		return Firm
	}
	return Sharp
}

// EdgePoint is an edge at one place.
type EdgePoint struct {
	At       place.PhotoPoint // in pixels of the picture that was measured
	LightX   float32          // the direction towards the lighter side on the
	LightY   float32          // photograph, of length 1
	Pixels   float32          // the width in pixels of the picture that was measured
	Width    place.MM         // the width on the canvas
	Contrast float32          // between both sides, L*
	Class    EdgeClass
}

// Strand is an edge followed from place to place, the lighter side on the right
// of the way; a closed one ends where it begins.
type Strand []EdgePoint

// Edges are the edges of a picture, wherever its lightness changes: the result
// of FindEdges.
type Edges struct {
	Mapping place.Mapping // the crop in pixels of the picture that was measured
	Limits  EdgeLimits
	Noise   float64 // the picture's own, the standard deviation of L*
	Strands []Strand
}

// millimetres is the length on the canvas of a way in pixels.
func (e *Edges) millimetres(dx, dy float64) place.MM {
	c := e.Mapping.Canvas
	return place.MM(math.Hypot(dx*float64(c.Width)/e.Mapping.Crop.Width, dy*float64(c.Height)/e.Mapping.Crop.Height))
}

// between is the way on the canvas from one place to another.
func (e *Edges) between(a, b place.PhotoPoint) place.MM { return e.millimetres(b.X-a.X, b.Y-a.Y) }

// length is that of a strand on the canvas. Each step counts along the edge, so
// that a place read a little aside in noise makes it no longer.
func (e *Edges) length(s Strand) place.MM {
	sum := place.MM(0)
	for i := 1; i < len(s); i++ {
		sum += e.step(s[i-1], s[i])
	}
	return sum
}

// step is the way along an edge from one of its places to the next.
func (e *Edges) step(a, b EdgePoint) place.MM {
	x, y := -float64(a.LightY+b.LightY), float64(a.LightX+b.LightX)
	size := math.Hypot(x, y)
	dx, dy := b.At.X-a.At.X, b.At.Y-a.At.Y
	if size == 0 {
		return e.millimetres(dx, dy)
	}
	x, y = x/size, y/size
	gone := math.Abs(dx*x + dy*y)
	return e.millimetres(gone*x, gone*y)
}
