package render

import (
	"image"
	"iter"

	"maulstick/render/colour"
	"maulstick/render/look"
	"maulstick/render/place"
)

// Stroke is a straight line drawn over the picture from one place of the
// photograph to another. Beside its core runs a casing on either side, dark along a
// light core and light along a dark one, so that it shows on any picture; a look
// changes neither. A stroke whose numbers are none, or not over 0, is not drawn.
type Stroke struct {
	From, To place.PhotoPoint
	Width    float64 // of the core: device pixels, 1..256, the nearest for others
	Colour   colour.SRGB
	Strength float64 // the cover of core and casing, 0..1, the nearest for others
}

// Streaks are the plan's strokes as they lie in a pane, in order; those that do
// not show there are left out. They are seen where the crop is, Inside of the
// pane's view, and nowhere else; none in a pane that shows another picture.
func (p Plan) Streaks(pane Pane) iter.Seq[look.Streak] {
	return func(yield func(look.Streak) bool) {
		if len(p.Strokes) == 0 || pane.Other.Pyramid != nil {
			return
		}
		inside := pane.View.Inside(p.Crop).Image()
		for _, s := range p.Strokes {
			x1, y1 := pane.View.ToScreen(s.From)
			x2, y2 := pane.View.ToScreen(s.To)
			if streak, shows := look.NewStreak(x1, y1, x2, y2, s.Width, s.Strength, s.Colour, inside); shows && !yield(streak) {
				return
			}
		}
	}
}

// Image is the rectangle as the image package has it.
func (r Rect) Image() image.Rectangle {
	return image.Rect(r.X, r.Y, r.X+r.Width, r.Y+r.Height)
}
