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

// TabletView is how the copy that TabletCopy makes lies on the photograph: it is
// the viewport that it shows in.
func TabletView(crop place.Crop, pixels int) Viewport {
	pixels = max(pixels, 1)
	if v := wholePixels(crop); v.Width*v.Height <= pixels {
		return v
	}
	const slack = 1e-9 // what rounding may take from a whole number of pixels
	scale := min(math.Sqrt(float64(pixels)/(crop.Width*crop.Height)), 1)
	width := max(int(math.Floor(crop.Width*scale+slack)), 1)
	scale = float64(width) / crop.Width
	height := max(int(math.Floor(crop.Height*scale+slack)), 1)
	return Viewport{Width: width, Height: height, Scale: scale, Centre: centreOf(crop)}
}

// wholePixels is the viewport that shows a crop's own pixels: its edges are brought
// to the nearest ones between pixels, and a crop of less than one shows one.
func wholePixels(crop place.Crop) Viewport {
	side := func(start, length float64) (count int, middle float64) {
		first, end := math.Floor(start+0.5), math.Floor(start+length+0.5)
		if first == end {
			first = math.Floor(start + length/2)
			end = first + 1
		}
		return int(end - first), (first + end) / 2
	}
	v := Viewport{Scale: 1}
	v.Width, v.Centre.X = side(crop.X, crop.Width)
	v.Height, v.Centre.Y = side(crop.Y, crop.Height)
	return v
}

// TabletCopy is the cropped picture in at most a number of pixels, and no more
// than it has, averaged in linear light. The whole copy is the whole crop,
// to within half of one of its pixels at the edges; its pixels are square on the
// photograph. The pyramid must hold all its pixels.
func TabletCopy(y *photo.Pyramid, crop place.Crop, pixels int) *photo.Picture {
	view := TabletView(crop, pixels)
	// Where the copy's last pixels reach over the crop's border, what is there shows.
	over := place.Crop{X: crop.X - 1/view.Scale, Y: crop.Y - 1/view.Scale, Width: crop.Width + 2/view.Scale, Height: crop.Height + 2/view.Scale}
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
