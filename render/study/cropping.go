package study

import (
	"fmt"
	"math"
	"slices"

	"maulstick/render/place"
)

// What a crop is held to.
const (
	HoldCanvas = "canvas" // the proportion of what is painted
	HoldFree   = "free"   // nothing
)

// HasCanvas says whether the painter has given a canvas yet.
func (d Document) HasCanvas() bool { return d.Canvas.Width > 0 && d.Canvas.Height > 0 }

// Face is the canvas as seen from the front.
func (c Canvas) Face() place.Size {
	return place.Size{Width: c.Width, Height: c.Height, Unit: c.Unit}
}

// Composition is the part of the canvas that the crop fills; zero without one.
func (d Document) Composition() place.Composition {
	if !d.HasCanvas() {
		return place.Composition{}
	}
	c, err := d.Canvas.Border.Compose(d.Canvas.Face())
	if err != nil {
		c = place.Composition{Size: d.Canvas.Face()} // which Check does not let be
	}
	return c
}

// Size is the size of what is painted, the canvas's but for its border, or, while
// there is no canvas, a stand-in of the crop's proportion whose long side is one
// metre. Only what is a share of the picture, such as the squint, may be read
// off a stand-in.
func (d Document) Size() place.Size {
	if d.HasCanvas() {
		return d.Composition().Size
	}
	c := d.Crop()
	k := float64(standIn) / max(c.Width, c.Height)
	return place.Size{Width: place.MM(c.Width * k), Height: place.MM(c.Height * k), Unit: d.Canvas.Unit}
}

// Crop is the part of the photograph that is painted: the painter's own, else the
// largest centred part of the composition's proportion, or without a canvas as
// much of the photograph as shows nothing beyond it.
func (d Document) Crop() place.Crop {
	if d.Own.Width > 0 {
		return d.Own
	}
	return d.centred()
}

// centred is the crop that the painter has not touched.
func (d Document) centred() place.Crop {
	aspect := place.Aspect(0)
	if d.HasCanvas() {
		aspect = d.Composition().Size.Aspect()
	}
	switch turn := d.turn(); {
	case turn.Tilt != 0:
		return turn.Largest(aspect)
	case aspect == 0:
		return place.WholeCrop(turn.Photo)
	default:
		return place.CentredCrop(turn.Photo, d.Composition().Size)
	}
}

// Mapping carries places between the crop and what is painted, or its stand-in.
func (d Document) Mapping() place.Mapping {
	return place.Mapping{Crop: d.Crop(), Canvas: d.Size(), Inset: d.Composition().Inset}
}

// WithCanvas is the study on another canvas. The squint keeps its share of the
// long side, so that the picture looks as it did. A crop of the painter's own,
// unless it is free, keeps its middle and its area as far as the photograph goes.
// A border that leaves nothing of the canvas is left off.
func (d Document) WithCanvas(size place.Size, typed string) Document {
	border := d.Canvas.Border
	if _, err := border.Compose(size); err != nil {
		border = place.Border{}
	}
	return d.laidOn(Canvas{Width: size.Width, Height: size.Height, Unit: size.Unit, Typed: tidy(typed), Border: border})
}

// WithBorder is the study with another border about the composition; one that
// leaves nothing to paint on is refused with a *place.Problem.
func (d Document) WithBorder(b place.Border) (Document, error) {
	if _, err := b.Compose(d.Canvas.Face()); err != nil {
		return d, err
	}
	canvas := d.Canvas
	canvas.Border = b
	return d.laidOn(canvas), nil
}

// laidOn is the study on a canvas.
func (d Document) laidOn(c Canvas) Document {
	before := longSide(d.Size())
	d.Canvas = c
	if d.Own.Width > 0 && d.Hold == HoldCanvas {
		d.Own = d.refitted(d.Own, d.Composition().Size.Aspect())
	}
	return d.rescaled(before).WithView(d.View)
}

// refitted is a crop of another aspect about the same middle, as large as it was.
func (d Document) refitted(c place.Crop, aspect place.Aspect) place.Crop {
	area := c.Width * c.Height
	middle := centre(c)
	c.Width = math.Sqrt(area * float64(aspect))
	c.Height = c.Width / float64(aspect)
	c.X, c.Y = middle.X-c.Width/2, middle.Y-c.Height/2
	return d.shrunk(c)
}

func centre(c place.Crop) place.PhotoPoint {
	return place.PhotoPoint{X: c.X + c.Width/2, Y: c.Y + c.Height/2}
}

// shrunk is a crop brought onto the photograph: no larger than it, moved inside,
// and where the photograph is turned made smaller about its middle until it shows
// nothing beyond.
func (d Document) shrunk(c place.Crop) place.Crop {
	size := d.Pixels()
	middle := centre(c)
	if over := max(c.Width/float64(size.Width), c.Height/float64(size.Height)); over > 1 {
		c.Width, c.Height = c.Width/over, c.Height/over
	}
	c.X, c.Y = middle.X-c.Width/2, middle.Y-c.Height/2
	c = c.Moved(0, 0, size)
	return d.between(d.turn().Largest(c.Aspect()), c)
}

// between is the crop furthest on the way from one that shows the photograph alone
// to another that still does. Crops that do are a convex set, so that halving
// finds it.
func (d Document) between(from, to place.Crop) place.Crop {
	turn := d.turn()
	if turn.Tilt == 0 || turn.Holds(to) {
		return to
	}
	at := func(t float64) place.Crop {
		mix := func(a, b float64) float64 { return a + (b-a)*t }
		return place.Crop{X: mix(from.X, to.X), Y: mix(from.Y, to.Y), Width: mix(from.Width, to.Width), Height: mix(from.Height, to.Height)}
	}
	low, high := 0.0, 1.0
	for range 40 {
		if t := (low + high) / 2; turn.Holds(at(t)) {
			low = t
		} else {
			high = t
		}
	}
	return at(low)
}

// Pulled is the study with its crop moved or pulled by a handle, in photo pixels.
func (d Document) Pulled(h place.Handle, dx, dy float64) Document {
	aspect := place.Aspect(0)
	if d.HasCanvas() && d.Hold == HoldCanvas {
		aspect = d.Size().Aspect()
	}
	now := d.Crop()
	return d.cropped(d.between(now, now.Pulled(h, dx, dy, d.Pixels(), aspect)))
}

// cropped is the study with a crop of the painter's own.
func (d Document) cropped(c place.Crop) Document {
	before := longSide(d.Size())
	d.Own = c
	return d.rescaled(before).WithView(d.View)
}

// Centred is the study with the largest centred crop again.
func (d Document) Centred() Document { return d.cropped(place.Crop{}) }

// Held is the study with its crop held to something else. A crop that was free is
// refitted to the canvas.
func (d Document) Held(hold string) Document {
	d.Hold = hold
	if hold == HoldCanvas && d.HasCanvas() && d.Own.Width > 0 {
		return d.cropped(d.refitted(d.Own, d.Size().Aspect()))
	}
	return d
}

func (d Document) checkCrop() error {
	if !slices.Contains([]string{HoldCanvas, HoldFree}, d.Hold) {
		return fmt.Errorf("a crop cannot be held to %q", clip(d.Hold))
	}
	if _, err := d.Canvas.Border.Compose(d.Canvas.Face()); d.HasCanvas() && err != nil {
		return err
	}
	if d.Own == (place.Crop{}) {
		return nil
	}
	return d.Own.Check(d.Pixels())
}
