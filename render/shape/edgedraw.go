package shape

import (
	"maulstick/render/colour"
	"maulstick/render/photo"
)

// strokes are how each class of edge is drawn: in which grey, and how thick in
// thousandths of the picture's long side. The harder, the darker and the thicker.
var strokes = [...]struct {
	grey  uint8
	thick int
}{Lost: {170, 3}, Soft: {125, 4}, Firm: {70, 4}, Sharp: {0, 5}}

// paleness is the grey that the darkest of the picture becomes under the edges.
const paleness = 200

// Draw is the edges over their part of the picture they were measured in, which is
// made grey and pale.
func (m EdgeMap) Draw(p *photo.Picture) *photo.Picture {
	out := photo.New(m.Width, m.Height)
	for y := range m.Height {
		for x := range m.Width {
			c := p.At(m.Left+x, m.Top+y)
			grey := int(colour.EyeMeter.Read(c.R, c.G, c.B).Grey())
			m.dot(out, x, y, 0, uint8(paleness+grey*(255-paleness)/255))
		}
	}
	for class := Lost; class <= Sharp; class++ {
		s := strokes[class]
		radius := s.thick * max(m.Width, m.Height) / 2000
		for i, here := range m.Class {
			if here == class {
				m.dot(out, i%m.Width, i/m.Width, radius, s.grey)
			}
		}
	}
	return out
}

// dot draws a disc.
func (m EdgeMap) dot(out *photo.Picture, x, y, radius int, grey uint8) {
	for v := max(y-radius, 0); v <= min(y+radius, m.Height-1); v++ {
		for u := max(x-radius, 0); u <= min(x+radius, m.Width-1); u++ {
			if (u-x)*(u-x)+(v-y)*(v-y) <= radius*radius {
				pix := out.Pix[4*(v*out.Width+u):][:4]
				pix[0], pix[1], pix[2], pix[3] = grey, grey, grey, 255
			}
		}
	}
}
