// Package place relates a photograph's pixels to inches and centimetres of
// canvas: lengths as painters spell them, proportions, the crop, where a mark
// lands and how surely.
package place

// MM is a length in millimetres, the only unit kept inside.
type MM float64

// Unit is the unit a painter works in; it decides how lengths are spelt.
type Unit int

// The units a length may be typed or read in.
const (
	Inch Unit = iota
	Centimetre
	Millimetre
	Foot
	Metre
)

// Size is a flat size, width by height, both over zero, with the unit the
// painter typed it in.
type Size struct {
	Width  MM   `json:"width_mm"`
	Height MM   `json:"height_mm"`
	Unit   Unit `json:"unit"`
}

// Pixels is the size of a photograph, width by height.
type Pixels struct{ Width, Height int }

// PhotoPoint is a place on the photograph in pixels, right and down from its
// top left corner; the pixel in column i and row j has its centre at
// (i+0.5, j+0.5).
type PhotoPoint struct {
	X float64 `json:"x_px"`
	Y float64 `json:"y_px"`
}

// CanvasPoint is a place on the canvas, right and down from its top left.
type CanvasPoint struct {
	X MM `json:"x_mm"`
	Y MM `json:"y_mm"`
}

// Crop is the part of the photograph that is painted, in photo pixels from the
// photo's top left corner. Its sides need not fall on whole pixels.
type Crop struct {
	X      float64 `json:"x_px"`
	Y      float64 `json:"y_px"`
	Width  float64 `json:"width_px"`
	Height float64 `json:"height_px"`
}

// Mapping carries places between a cropped photograph and its canvas. The
// crop's proportion is the canvas's, or the picture is stretched. Canvas is what
// the crop fills; where a border lies about it, Inset is how far the canvas's own
// edges are outside of it, under 0 where they are inside.
type Mapping struct {
	Crop   Crop
	Canvas Size
	Inset  Sides
}

// Edges are the two edges of the canvas that a painter measures from. The zero
// value is left and top.
type Edges struct {
	Right  bool `json:"right"`
	Bottom bool `json:"bottom"`
}

// Names are the names of the two edges: left or right, and top or bottom.
func (e Edges) Names() (across, down string) {
	across, down = "left", "top"
	if e.Right {
		across = "right"
	}
	if e.Bottom {
		down = "bottom"
	}
	return across, down
}
