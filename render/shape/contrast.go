package shape

import (
	"fmt"
	"math"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// ContrastKind is in what neighbouring areas differ.
type ContrastKind uint8

// The kinds of contrast; ByAll weighs the other three together.
const (
	ByValue ContrastKind = iota
	ByHue
	BySharpness
	ByAll
	contrastKinds
)

var kindNames = [...]string{"value", "hue", "sharpness", "all"}

// String is the kind's word: value, hue, sharpness or all.
func (k ContrastKind) String() string { return kindNames[min(int(k), len(kindNames)-1)] }

// ContrastSide is one of two neighbouring areas.
type ContrastSide struct {
	At     place.PhotoPoint // the middle of the area
	Colour colour.SRGB      // its mean, averaged in linear light
	Lab    colour.Lab       // of that mean, before rounding
	Width  place.MM         // mean width of the edges in it; 0 where there are too few to say
}

// Lightness is the area's L*.
func (s ContrastSide) Lightness() colour.Lightness { return colour.Lightness(s.Lab.L) }

// Chroma is how far the area is from grey: CIELAB's, 0..134.
func (s ContrastSide) Chroma() float64 { return math.Hypot(s.Lab.A, s.Lab.B) }

// Hue is the area's hue in degrees, 0 to under 360, from red by way of yellow.
func (s ContrastSide) Hue() float64 {
	h := math.Atan2(s.Lab.B, s.Lab.A) * 180 / math.Pi
	if h < 0 {
		h += 360
	}
	return h
}

// Contrast is a place where two neighbouring areas differ.
type Contrast struct {
	Kind   ContrastKind
	Rank   int              // within its kind, from 1, the strongest
	At     place.PhotoPoint // between both areas, to a third of Radius
	Radius place.MM         // of the half discs that were compared, on the canvas
	Dark   ContrastSide     // the darker area
	Light  ContrastSide     // the lighter area
	// Value is the difference in lightness, L*. Hue is the difference in
	// colour without lightness, in units of CIE 1994 colour difference, which
	// counts a difference in hue for as much as the chroma lets it show.
	// Octaves is how many times the edges of one area have to be made twice as
	// wide to be as wide as the other's; 0 where either has too few.
	Value, Hue, Octaves float64
	// Strength is what ranks: Value, Hue, Octaves, or for ByAll the root of the
	// sum of squares of Value, Hue and the octaves as a share of those from the
	// sharpest edge there is to a lost one, times 50: black against white counts
	// for twice what razor edges beside all but lost ones do.
	Strength float64
}

// Contrasts are the strongest contrasts of a picture: the result of
// FindContrasts.
type Contrasts struct {
	Mapping place.Mapping
	Limits  EdgeLimits
	// ByKind holds a list for each ContrastKind, the strongest first.
	ByKind [contrastKinds][]Contrast
}

// FindContrasts finds the n strongest contrasts of each kind between
// neighbouring areas in the part of a picture that the edges were found in. The
// picture is the one that they were measured in.
//
// Areas are the halves of a disc, cut in eight directions, without a wedge along
// the cut, compared by their mean light, everywhere and in three sizes, whose radii are a 48th, a 24th and
// a 12th of the picture's diagonal: 1.2, 2.4 and 4.8 degrees at the customary
// viewing distance (half discs: Martin, Fowlkes and Malik, Learning to detect
// natural image boundaries, IEEE TPAMI 26, 2004; several sizes and separate
// features: Itti, Koch and Niebur, A model of saliency-based visual attention,
// IEEE TPAMI 20, 1998). Of places nearer than four degrees or one radius to
// each other the strongest counts. What draws the eye is also faces, meaning and
// place in the frame, which this does not know. Differences under 5 L*, or their
// like in colour, and edges less than twice as wide are left out.
//
// progress may be nil; an error that it returns ends the work.
func FindContrasts(p *photo.Picture, e *Edges, n int, progress func(done float64) error) (*Contrasts, error) {
	if err := e.Mapping.Crop.Check(p.Size()); err != nil {
		return nil, fmt.Errorf("finding contrasts: %w", err)
	}
	w := windowOf(p, e.Mapping.Crop)
	c := &Contrasts{Mapping: e.Mapping, Limits: e.Limits}
	if w.width < 1 || w.height < 1 {
		return c, nil
	}
	t := &pace{tell: progress}
	g := newMosaic(p, w, e, t)
	var found [contrastKinds][]candidate
	for size := range discSizes {
		if t.err != nil {
			return nil, t.err
		}
		g.compare(c, size, &found, t)
		g = g.halved()
	}
	if t.err != nil {
		return nil, t.err
	}
	for kind := range found {
		c.ByKind[kind] = c.strongest(found[kind], n)
	}
	return c, t.end()
}

// difference tells in what two areas differ.
func difference(a, b ContrastSide) (value, hue, octaves float64) {
	value = math.Abs(a.Lab.L - b.Lab.L)
	hue = hueDifference(a.Lab, b.Lab)
	if a.Width > 0 && b.Width > 0 {
		octaves = math.Abs(math.Log2(float64(a.Width / b.Width)))
	}
	return value, hue, octaves
}

// hueDifference is the CIE 1994 colour difference (CIE 116-1995, graphic arts)
// without its part of lightness, weighted by the mean chroma of both colours so
// that neither is the standard.
func hueDifference(a, b colour.Lab) float64 {
	ca, cb := math.Hypot(a.A, a.B), math.Hypot(b.A, b.B)
	mean, chroma := (ca+cb)/2, ca-cb
	da, db := a.A-b.A, a.B-b.B
	hue := math.Sqrt(max(da*da+db*db-chroma*chroma, 0))
	return math.Hypot(chroma/(1+0.045*mean), hue/(1+0.015*mean))
}

// sharpnessWeight is what the greatest difference in sharpness counts for in
// L*, by our own judgement.
const sharpnessWeight = 50

// strength ranks a contrast within a kind.
func (c *Contrasts) strength(kind ContrastKind, value, hue, octaves float64) float64 {
	switch kind {
	case ByValue:
		return value
	case ByHue:
		return hue
	case BySharpness:
		return octaves
	}
	all := math.Log2(float64(c.Limits.Soft / (c.Limits.Sharp / 2)))
	return math.Hypot(math.Hypot(value, hue), sharpnessWeight*min(octaves/all, 1))
}
