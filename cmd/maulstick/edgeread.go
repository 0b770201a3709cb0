package main

import (
	"math"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/shape"
	"maulstick/render/survey"
)

// edgeReader reads a picture's edges, at a smaller size where it is large.
type edgeReader struct {
	o     *options
	flags edgeFlags
	steps shape.Steps
	full  place.Mapping // the crop in pixels of the photograph
	pixel float64       // a working pixel in pixels of the photograph
}

// mostPixels is the largest picture whose edges are measured as it is; larger
// ones are halved, in linear light, until they are no larger.
const mostPixels = 6_500_000

// reduced is the picture to work on, and how many of its pixels one of those is.
func reduced(p *photo.Picture) (*photo.Picture, float64) {
	pixel := 1.0
	for p.Width*p.Height > mostPixels {
		y := photo.NewPyramid(p)
		half := photo.New(y.LevelSize(1))
		y.Cut(1, 0, 0, half.Width, half.Height, half.Pix)
		p, pixel = half, 2*pixel
	}
	return p, pixel
}

// read takes all readings and writes the picture.
func (r *edgeReader) read(full *photo.Picture, distance place.MM) (hardness, error) {
	var h hardness
	focal, at, err := r.spots(full.Size())
	if err != nil {
		return h, err
	}
	var p *photo.Picture
	p, r.pixel = reduced(full)
	m := r.full
	m.Crop = place.Crop{X: m.Crop.X / r.pixel, Y: m.Crop.Y / r.pixel, Width: m.Crop.Width / r.pixel, Height: m.Crop.Height / r.pixel}
	m.Crop.Width = min(m.Crop.Width, float64(p.Width)-m.Crop.X)
	m.Crop.Height = min(m.Crop.Height, float64(p.Height)-m.Crop.Y)
	e, err := shape.FindEdges(p, m, distance, nil)
	if err != nil {
		return h, err
	}
	c, err := shape.FindContrasts(p, e, listed, nil)
	if err != nil {
		return h, err
	}
	shares, length := e.Shares()
	h = hardness{
		Shares: shares, LengthMM: float64(length), Limits: e.Limits, Noise: e.Noise,
		Sharpest: r.stretches(e.Sharpest(listed)), Softest: r.stretches(e.Softest(listed)),
		Contrasts: r.contrasts(c), Working: extent{p.Width, p.Height}, CropPx: rectangle(r.full.Crop),
		WidthIs: widthConvention, Output: r.flags.output,
	}
	if focal != nil {
		h.Focal = r.focus(c, *focal)
	}
	if at != nil {
		h.At = r.near(e, *at)
	}
	return h, r.outlines(full, &h)
}

// outlines reads how hard the outlines of the flat shapes are, as the tablet does:
// on its copy, and from its viewing distance.
func (r *edgeReader) outlines(full *photo.Picture, h *hardness) error {
	canvas := r.full.Canvas
	smallest, err := smallestOf(r.flags.smallest, canvas)
	if err != nil {
		return err
	}
	y := photo.NewPyramid(full)
	y.Finish()
	ask := survey.Ask{Kind: survey.Edges, Crop: r.full.Crop, Canvas: canvas, Steps: r.steps, Smallest: smallest}
	found, err := survey.New(survey.NewCopy(y, 0, 0, 1, ask.Crop)).Answer(ask, nil)
	if err != nil {
		return err
	}
	h.Outlines, h.Smallest = found.Edges.Outlines, float64(smallest)
	if h.Output == "" {
		return nil
	}
	return writePicture(h.Output, asImage(found.Picture), r.o.reference)
}

// spots are the focal point and the spot to read, nil where not given, in pixels
// of the photograph.
func (r *edgeReader) spots(size place.Pixels) (focal, at *place.PhotoPoint, err error) {
	read := func(text string) (*place.PhotoPoint, error) {
		if text == "" {
			return nil, nil
		}
		x, y, err := r.o.spotOf(text, size)
		if err != nil {
			return nil, err
		}
		spot := place.PhotoPoint{X: float64(x) + 0.5, Y: float64(y) + 0.5}
		if !r.full.Crop.Contains(spot) {
			return nil, &place.Problem{
				Doing: "finding the spot " + text, What: "it is cropped away and not on the canvas",
				Wanted: "choose a spot on the canvas, or another part with -crop",
			}
		}
		return &spot, nil
	}
	if focal, err = read(r.flags.focal); err == nil {
		at, err = read(r.o.at)
	}
	return focal, at, err
}

// place is where a place of the working picture lies.
func (r *edgeReader) place(p place.PhotoPoint) spotPlace {
	p = place.PhotoPoint{X: p.X * r.pixel, Y: p.Y * r.pixel}
	c := r.full.ToCanvas(p)
	return spotPlace{XPx: p.X, YPx: p.Y, XMM: float64(c.X), YMM: float64(c.Y)}
}

// width spells the width of an edge, rounded up to 1/64 in or 0.1 mm.
func (r *edgeReader) width(l place.MM) string {
	grain, unit := place.MM(0.1), place.Millimetre
	if r.full.Canvas.Unit.Imperial() {
		grain, unit = place.Inch.MM()/fine, place.Inch
	}
	return place.Text(place.MM(math.Ceil(float64(l/grain)-1e-9))*grain, unit, fine)
}

func (r *edgeReader) stretches(list []shape.EdgeStretch) []stretch {
	out := make([]stretch, 0, len(list))
	for _, s := range list {
		out = append(out, stretch{
			spotPlace: r.place(s.At), Class: s.Class.String(), WidthMM: float64(s.Width), WidthPx: s.Pixels * r.pixel,
			WidthText: r.width(s.Width), LengthMM: float64(s.Length), Contrast: s.Contrast,
		})
	}
	return out
}

// readingReach is how far from a spot an edge is looked for, in minutes of arc
// at the viewing distance.
const readingReach = 60.0

// near reads the edge nearest to a spot on the photograph.
func (r *edgeReader) near(e *shape.Edges, at place.PhotoPoint) *edgeReading {
	reach := readingReach / 60 * math.Pi / 180 * float64(e.Limits.Distance/e.Mapping.Pixel())
	spot := place.PhotoPoint{X: at.X / r.pixel, Y: at.Y / r.pixel}
	p, ok := e.Near(spot, max(reach, 3))
	if !ok {
		return &edgeReading{spotPlace: r.place(spot), Class: shape.NoEdge.String()}
	}
	reading := &edgeReading{
		spotPlace: r.place(p.At), Class: p.Class.String(), WidthMM: float64(p.Width), WidthPx: float64(p.Pixels) * r.pixel,
		WidthText: r.width(p.Width), Contrast: float64(p.Contrast),
	}
	there := r.place(spot)
	reading.AwayMM = math.Hypot(reading.XMM-there.XMM, reading.YMM-there.YMM)
	return reading
}

func (r *edgeReader) contrasts(c *shape.Contrasts) []contrast {
	var out []contrast
	for _, list := range c.ByKind {
		for _, k := range list {
			out = append(out, contrast{
				Kind: k.Kind.String(), Rank: k.Rank, spotPlace: r.place(k.At), RadiusMM: float64(k.Radius),
				Lightness: k.Value, Hue: k.Hue, WidthRatio: math.Exp2(k.Octaves),
				Darker: r.area(k.Dark), Lighter: r.area(k.Light),
				Words: k.Words(r.steps, r.full.Canvas.Unit),
			})
		}
	}
	return out
}

func (r *edgeReader) area(s shape.ContrastSide) area {
	return area{
		spotPlace: r.place(s.At), RGB: [3]uint8{s.Colour.R, s.Colour.G, s.Colour.B}, Lightness: float64(s.Lightness()),
		Step: r.steps.Of(colour.LightOf(s.Lightness().Luminance())), Name: colour.Name(s.Colour),
	}
}

func (r *edgeReader) focus(c *shape.Contrasts, focal place.PhotoPoint) []focus {
	var out []focus
	for _, f := range c.Focus(place.PhotoPoint{X: focal.X / r.pixel, Y: focal.Y / r.pixel}) {
		out = append(out, focus{
			Kind: f.Kind.String(), DistanceMM: float64(f.Distance), There: f.There, Rank: f.Rank,
			Words: f.Words(r.full.Canvas.Unit),
		})
	}
	return out
}
