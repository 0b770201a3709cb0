package look

import "maulstick/render/colour"

// Apply is a stored colour as the look shows it. Steps out of sight take the
// colour of the surround. The squint is not a matter of one colour: see Blur.
func Apply(l Look, surround, c colour.SRGB) colour.SRGB {
	pix := []byte{c.R, c.G, c.B, 255}
	Paint(l, surround, pix)
	return colour.SRGB{R: pix[0], G: pix[1], B: pix[2]}
}

// Paint is Apply on a run of pixels in place, four bytes each in the order R, G,
// B, 255. It agrees with the look's shader on every one of the 16,777,216
// colours.
func Paint(l Look, surround colour.SRGB, pix []byte) {
	switch l.Shown() {
	case Steps:
		l.paintSteps(surround, pix)
	case Grey:
		l.paintGrey(pix)
	case Temperature, Misled:
		l.paintTinted(pix)
	}
}

func (l Look) paintGrey(pix []byte) {
	meter, tint := l.Meter(), l.tint()
	for i := 0; i+4 <= len(pix); i += 4 {
		c := tint.of(meter.Read(pix[i], pix[i+1], pix[i+2]).Grey())
		pix[i], pix[i+1], pix[i+2] = c.R, c.G, c.B
	}
}

func (l Look) paintSteps(surround colour.SRGB, pix []byte) {
	meter, steps, shades := l.Meter(), l.Flat(), l.shades(surround)
	for i := 0; i+4 <= len(pix); i += 4 {
		c := shades[steps.Of(meter.Read(pix[i], pix[i+1], pix[i+2]))-1]
		pix[i], pix[i+1], pix[i+2] = c.R, c.G, c.B
	}
}
