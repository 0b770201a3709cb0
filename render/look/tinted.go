package look

import (
	"sync"

	"maulstick/render/colour"
)

// classes is how many classes colours are tinted by: two to either side of the
// one that stays grey.
const classes = 5

// tints are the colours of a tinted look: of each class, the lowest first, and of
// each grey, the colour as light as that grey.
type tints [classes][256]colour.SRGB

// The hues are those of what they stand for: orange and blue are the ends of the
// axis of warm and cool; oranges and reds read too light through a red sheet,
// blue-greens too dark.
var (
	warmCoolTints = sync.OnceValue(func() *tints { return newTints(58, 262) })
	misledTints   = sync.OnceValue(func() *tints { return newTints(38, 205) })
)

// The chromas of the tints, CIELAB: as far apart as can be told from a metre.
const (
	lightTint = 24
	clearTint = 62
)

// newTints tints towards two hues of CIELAB, in degrees.
func newTints(above, below float64) *tints {
	t := new(tints)
	for class, tint := range [classes]colour.LCh{{C: clearTint, Hue: below}, {C: lightTint, Hue: below}, {}, {C: lightTint, Hue: above}, {C: clearTint, Hue: above}} {
		for code := range t[class] {
			grey := colour.SRGB{R: uint8(code), G: uint8(code), B: uint8(code)}
			tint.L = float64(grey.Lightness())
			if t[class][code] = grey; tint.C > 0 {
				t[class][code] = tint.Storable()
			}
		}
	}
	return t
}

// tints are those of the look's tone.
func (l Look) tints() *tints {
	if l.Tone == Misled {
		return misledTints()
	}
	return warmCoolTints()
}

// classOf tells the class, -2 to 2, of every colour under the look's tone.
func (l Look) classOf() func(c colour.SRGB) int {
	if l.Tone == Misled {
		fine, through := colour.Fine(), l.Sheet.Meter()
		return func(c colour.SRGB) int {
			return int(fine.Misled(colour.EyeMeter.Read(c.R, c.G, c.B), through.Read(c.R, c.G, c.B)))
		}
	}
	t := l.temperature()
	return func(c colour.SRGB) int { return int(t.Class(c)) }
}

// temperature is what warm and cool are told by.
func (l Look) temperature() *colour.Temperature {
	if l.Neutral == (colour.SRGB{}) {
		return colour.Daylight
	}
	return colour.NewTemperature(l.Neutral.Linear())
}

// tintedPainter shows each colour as its grey, tinted by its class.
func (l Look) tintedPainter() func(out, pix []byte) {
	classOf, tints := l.classOf(), l.tints()
	return func(out, pix []byte) {
		for i := 0; i+4 <= len(pix); i += 4 {
			c := colour.SRGB{R: pix[i], G: pix[i+1], B: pix[i+2]}
			c = tints[classOf(c)+classes/2][colour.EyeMeter.Read(c.R, c.G, c.B).Grey()]
			out[i], out[i+1], out[i+2], out[i+3] = c.R, c.G, c.B, 255
		}
	}
}

// tintedUniforms are the bounds of warm and cool, or none.
func (l Look) tintedUniforms() map[string]any {
	if l.Tone == Misled {
		return map[string]any{}
	}
	var bounds []float32
	for _, b := range colour.Bounds() {
		bounds = append(bounds, float32(b.R), float32(b.G), float32(b.B))
	}
	return map[string]any{"Bounds": bounds}
}
