package look

import (
	"sync"

	"maulstick/render/colour"
)

// classes is how many classes colours are tinted by: two to either side of the
// one that stays grey.
const classes = 5

// Tints are the colours of a tinted look: of each class, the lowest first, and of
// each grey, the colour as light as that grey.
type Tints [classes][256]colour.SRGB

// The light that the two sides are tinted with: orange for warmer and for what reads
// lighter than it is, blue for cooler and for what reads darker.
var (
	orangeTint = colour.Linear{R: 1, G: 0.3, B: 0.02}
	blueTint   = colour.Linear{R: 0.05, G: 0.25, B: 1}
)

// ClassTints is every grey tinted by class: the middle one stays grey, the outer ones
// take the tint, those between half of it. It is shared: do not change it.
var ClassTints = sync.OnceValue(func() *Tints {
	t := new(Tints)
	for class := range t {
		tint, part := orangeTint, float64(class-classes/2)/(classes/2)
		if part < 0 {
			tint, part = blueTint, -part
		}
		for code := range t[class] {
			t[class][code] = tinted(colour.Decode(uint8(code)), tint, part)
		}
	}
	return t
})

// tinted is a colour of the given luminance on the way from grey, part 0, to the
// tint, as far as it can be stored.
func tinted(light float64, tint colour.Linear, part float64) colour.SRGB {
	scale := light / float64(tint.Luminance())
	full := colour.Linear{R: tint.R * scale, G: tint.G * scale, B: tint.B * scale}
	if most := max(full.R, full.G, full.B); most > 1 {
		part = min(part, (1-light)/(most-light))
	}
	return colour.Linear{
		R: light + part*(full.R-light),
		G: light + part*(full.G-light),
		B: light + part*(full.B-light),
	}.SRGB()
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

// tintedRun shows each colour as its grey, tinted by its class.
func (l Look) tintedRun() func(out, pix []byte) {
	classOf, tints := l.classOf(), ClassTints()
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
