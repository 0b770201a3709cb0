package render

import (
	"math"

	"maulstick/render/look"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// TabletPixels is how many pixels a copy holds at most for work that looks at
// the whole picture: more would show nothing that can be painted, and take longer.
const TabletPixels = 2_000_000

// TabletCopy is the cropped picture in at most a number of pixels, and no more
// than the crop has, averaged in linear light. The whole copy is the whole crop,
// to within half of one of its pixels at the edges; its pixels are square on the
// photograph. The pyramid must hold all its pixels.
func TabletCopy(y *photo.Pyramid, crop place.Crop, pixels int) *photo.Picture {
	const slack = 1e-9 // what rounding may take from a whole number of pixels
	scale := min(math.Sqrt(float64(max(pixels, 1))/max(crop.Width*crop.Height, 1)), 1)
	width := max(int(math.Floor(crop.Width*scale+slack)), 1)
	if scale < 1 {
		scale = float64(width) / crop.Width
	}
	height := max(int(math.Floor(crop.Height*scale+slack)), 1)
	view := Viewport{Width: width, Height: height, Scale: scale, Centre: centreOf(crop)}
	if scale == 1 {
		// The photograph's pixels are taken whole.
		view.Centre.X = math.Floor(crop.X+(crop.Width-float64(width))/2+0.5) + float64(width)/2
		view.Centre.Y = math.Floor(crop.Y+(crop.Height-float64(height))/2+0.5) + float64(height)/2
	}
	// Where the copy's last pixels reach over the crop's border, what is there shows.
	over := place.Crop{X: crop.X - 1/scale, Y: crop.Y - 1/scale, Width: crop.Width + 2/scale, Height: crop.Height + 2/scale}
	return draw(y, over, place.Size{}, view, look.Look{})
}

// draw is what a viewport alone shows.
func draw(y *photo.Pyramid, crop place.Crop, canvas place.Size, view Viewport, l look.Look) *photo.Picture {
	return Execute(alone(crop, canvas, view, l), y)
}

// alone is the plan of a screen that a viewport fills.
func alone(crop place.Crop, canvas place.Size, view Viewport, l look.Look) Plan {
	return Plan{
		Width: view.Width, Height: view.Height, Crop: crop, Canvas: canvas,
		Panes: []Pane{{At: Rect{Width: view.Width, Height: view.Height}, View: view, Look: l}},
	}
}
