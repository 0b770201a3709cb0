package place

import "math"

// ToCanvas is where a place on the photograph lands on the canvas. Places outside
// the crop land outside the canvas.
func (m Mapping) ToCanvas(p PhotoPoint) CanvasPoint {
	return CanvasPoint{
		X: MM((p.X-m.Crop.X)/m.Crop.Width) * m.Canvas.Width,
		Y: MM((p.Y-m.Crop.Y)/m.Crop.Height) * m.Canvas.Height,
	}
}

// ToPhoto is the place on the photograph that lands at a place on the canvas: the
// inverse of ToCanvas to 1e-9 of a pixel on any photograph that can be opened.
func (m Mapping) ToPhoto(p CanvasPoint) PhotoPoint {
	return PhotoPoint{
		X: m.Crop.X + float64(p.X/m.Canvas.Width)*m.Crop.Width,
		Y: m.Crop.Y + float64(p.Y/m.Canvas.Height)*m.Crop.Height,
	}
}

// Distances is how far a place on the canvas is from the two edges of its face
// that the painter measures from; under 0 if it is beyond one.
func (m Mapping) Distances(p CanvasPoint, from Edges) (x, y MM) {
	x, y = m.Inset.Left+p.X, m.Inset.Top+p.Y
	if from.Right {
		x = m.Inset.Right + m.Canvas.Width - p.X
	}
	if from.Bottom {
		y = m.Inset.Bottom + m.Canvas.Height - p.Y
	}
	return x, y
}

// Pixel is the side of a photo pixel on the canvas; the longer one if the picture
// is stretched.
func (m Mapping) Pixel() MM {
	return max(m.Canvas.Width/MM(m.Crop.Width), m.Canvas.Height/MM(m.Crop.Height))
}

// Uncertainty is how surely a mark is placed along either edge: half a photo
// pixel, since the photograph shows nothing finer, and the touch, in photo
// pixels, taken as independent and so combined in quadrature (JCGM 100:2008,
// 5.1.2). Lens bow and a tilted photograph are not in it.
func (m Mapping) Uncertainty(touch float64) MM {
	return m.Pixel() * MM(math.Hypot(0.5, touch))
}

// InsetText says how far what is painted begins from the canvas's two edges that a
// painter measures from, "1 in inside the left edge and 2 in beyond the top edge of
// the canvas"; "" where it fills the canvas.
func (m Mapping) InsetText(from Edges) string {
	if m.Inset == (Sides{}) {
		return ""
	}
	across, down := from.Names()
	x, y := m.Inset.Left, m.Inset.Top
	if from.Right {
		x = m.Inset.Right
	}
	if from.Bottom {
		y = m.Inset.Bottom
	}
	side := func(l MM, edge string) string {
		switch {
		case l == 0:
			return "at the " + edge + " edge"
		case l < 0:
			return Text(-l, m.Canvas.Unit, readIn) + " beyond the " + edge + " edge"
		}
		return Text(l, m.Canvas.Unit, readIn) + " inside the " + edge + " edge"
	}
	return side(x, across) + " and " + side(y, down) + " of the canvas"
}
