package render

import (
	"math"

	"maulstick/render/colour"
	"maulstick/render/look"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// TabletPixels is how many pixels a copy holds at most for work that looks at
// the whole picture: more would show nothing that can be painted, and take longer.
const TabletPixels = 2_000_000

// TabletCopy is the cropped picture in at most a number of pixels, and no more
// than the crop has, averaged in linear light; squinted, too, if a width over 0
// is given, the squint's full width at half maximum on the canvas. The whole
// copy is the whole crop, to within half of one of its pixels at the edges. Its
// pixels are square on the photograph. The pyramid must hold all its pixels.
func TabletCopy(y *photo.Pyramid, crop place.Crop, canvas place.Size, pixels int, squint place.MM) *photo.Picture {
	scale := min(math.Sqrt(float64(max(pixels, 1))/max(crop.Width*crop.Height, 1)), 1)
	width := max(int(math.Floor(crop.Width*scale+1e-9)), 1)
	if scale < 1 {
		scale = float64(width) / crop.Width
	}
	height := max(int(math.Floor(crop.Height*scale+1e-9)), 1)
	view := Viewport{Width: width, Height: height, Scale: scale, Centre: centreOf(crop)}
	if scale == 1 {
		// Pixels of the photograph stay whole.
		view.Centre.X = math.Floor(crop.X+(crop.Width-float64(width))/2+0.5) + float64(width)/2
		view.Centre.Y = math.Floor(crop.Y+(crop.Height-float64(height))/2+0.5) + float64(height)/2
	}
	// The border of the crop runs through pixels at most: they show what is there.
	near := place.Crop{X: crop.X - 1/scale, Y: crop.Y - 1/scale, Width: crop.Width + 2/scale, Height: crop.Height + 2/scale}
	return Execute(Plan{
		Width: width, Height: height, Crop: near, Canvas: grown(canvas, near, crop), Surround: colour.SRGB{},
		Panes: []Pane{{At: Rect{Width: width, Height: height}, View: view, Look: look.Look{Squint: squint > 0, Blur: squint}}},
	}, y)
}

// grown is the canvas of a larger crop.
func grown(canvas place.Size, larger, crop place.Crop) place.Size {
	canvas.Width *= place.MM(larger.Width / crop.Width)
	canvas.Height *= place.MM(larger.Height / crop.Height)
	return canvas
}
