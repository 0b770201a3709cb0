package render

import (
	"maulstick/render/photo"
	"maulstick/render/place"
)

// Made is a picture that was worked out from the photograph and is shown in its
// place. It lies on the photograph: its top left corner at the photo place
// (Left, Top), each of its pixels Side photo pixels wide and high.
type Made struct {
	Pyramid   *photo.Pyramid
	Left, Top float64 // photo pixels
	Side      float64 // photo pixels, over zero
}

// view is the viewport through which the made picture shows where the
// photograph would.
func (m *Made) view(v Viewport) Viewport {
	v.Scale *= m.Side
	v.Centre.X = (v.Centre.X - m.Left) / m.Side
	v.Centre.Y = (v.Centre.Y - m.Top) / m.Side
	return v
}

// crop is a part of the photograph in pixels of the made picture.
func (m *Made) crop(c place.Crop) place.Crop {
	return place.Crop{
		X: (c.X - m.Left) / m.Side, Y: (c.Y - m.Top) / m.Side,
		Width: c.Width / m.Side, Height: c.Height / m.Side,
	}
}

// Patches are the tiles that cover a pane at the level that it wants, or at
// level k if that is higher, of the photograph y or of what the pane shows in its place.
func (p Plan) Patches(pane Pane, y *photo.Pyramid, k int) []TilePatch {
	view, crop := pane.View, p.Shows(pane)
	if source := pane.Source(); source != nil {
		y = source
	}
	if pane.Made != nil {
		view, crop = pane.Made.view(view), pane.Made.crop(crop)
	}
	return view.Tiles(crop, y, max(view.Level(y.Levels()), k))
}
