package colour

// Eye counts light as the eye does: the Y row of the sRGB primaries under D65,
// worked out to full digits from the chromaticities of IEC 61966-2-1:1999
// (which itself prints 0.2126, 0.7152, 0.0722).
var Eye = Weights{R: 0.21263900587151036, G: 0.71516867876775593, B: 0.072192315360733715}

// RedFilter counts light as a deep red filter lets it by, its cut-on near
// 600 nm: a fit in lightness on 413 measured reflectances under D65 gives 0.753,
// 0.190 and 0.057 (root mean square error 1.8 L*). The bare red channel would be
// wrong by 8.6 L* on the same reflectances, by 43 at worst.
var RedFilter = Weights{R: 0.75, G: 0.19, B: 0.06}

// Luminance is the weighted sum of the three channels of linear light.
func (w Weights) Luminance(l Linear) Luminance {
	return Luminance(w.R*l.R + w.G*l.G + w.B*l.B)
}
