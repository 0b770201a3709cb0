package look

import "maulstick/render/colour"

// Meter is what the look reads luminance with: the eye's, or the red filter's.
func (l Look) Meter() *colour.Meter {
	if l.Filter {
		return l.Sheet.Meter()
	}
	return colour.EyeMeter
}

// weights are what the meter weighs the channels with.
func (l Look) weights() colour.Weights {
	if l.Filter {
		return l.Sheet.Weights()
	}
	return colour.Eye
}

// channels says which channels of the screen a grey is shown in, 1 or 0 each.
type channels struct{ R, G, B uint8 }

// tint is red alone for the red filter's picture, unless it is wanted in greys:
// a painter who looks through the filter sees red light and nothing else.
func (l Look) tint() channels {
	if l.Filter && !l.AsGreys {
		return channels{R: 1}
	}
	return channels{1, 1, 1}
}

// of is a grey as the channels show it.
func (t channels) of(code uint8) colour.SRGB {
	return colour.SRGB{R: t.R * code, G: t.G * code, B: t.B * code}
}
