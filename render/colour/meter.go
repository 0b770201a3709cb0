package colour

import (
	"math"
	"sort"
)

// Meter reads the luminance of a stored colour in whole numbers: one table a
// channel, each entry the weight times the linear light of the code, scaled to
// FullLight and rounded. The sum of three entries is exact on the processor and
// in any shader whose floats hold 24 bits, so both read the same Light.
type Meter struct{ R, G, B [256]Light }

// EyeMeter reads luminance as the eye counts it, FilterMeter as a red filter
// lets it by.
var (
	EyeMeter    = NewMeter(Eye)
	FilterMeter = NewMeter(RedFilter)
)

// NewMeter returns the tables of the given weights. A reading differs from the
// weighted linear light by at most 2.5 parts in FullLight; weights that sum to 1
// give white FullLight exactly, since the heaviest channel's white takes what
// rounding left over. No weight may be negative.
func NewMeter(w Weights) *Meter {
	m := &Meter{}
	for code, light := range decoded {
		m.R[code] = scaled(w.R * light)
		m.G[code] = scaled(w.G * light)
		m.B[code] = scaled(w.B * light)
	}
	white := min(scaled(w.R+w.G+w.B), FullLight)
	switch {
	case w.G >= w.R && w.G >= w.B:
		m.G[255] = white - m.R[255] - m.B[255]
	case w.R >= w.B:
		m.R[255] = white - m.G[255] - m.B[255]
	default:
		m.B[255] = white - m.R[255] - m.G[255]
	}
	return m
}

// scaled is an amount of light in whole numbers.
func scaled(light float64) Light { return Light(math.Round(light * float64(FullLight))) }

// Read is the luminance of a stored colour.
func (m *Meter) Read(r, g, b uint8) Light { return m.R[r] + m.G[g] + m.B[b] }

// LightOf is the nearest Light to a luminance, clamped to 0..FullLight.
func LightOf(y Luminance) Light { return scaled(min(max(float64(y), 0), 1)) }

// Luminance is the relative luminance, 0..1.
func (l Light) Luminance() Luminance { return Luminance(float64(l) / float64(FullLight)) }

// Lightness is CIE L*, 0..100.
func (l Light) Lightness() Lightness { return l.Luminance().Lightness() }

// Value is the Munsell value, 0..10.
func (l Light) Value() Value { return l.Luminance().Value() }

// Edge is the smallest Light whose lightness is at least l: at or above it a
// colour belongs to the lighter of two steps that meet at l. A lightness of 0 or
// less gives 0; one that no Light reaches, over 100, gives FullLight + 1.
func Edge(l Lightness) Light {
	return Light(sort.Search(int(FullLight)+1, func(i int) bool { return Light(i).Lightness() >= l }))
}

// greyThresholds holds, for every code but the first, the smallest Light whose
// encoded amount rounds to it or to a lighter one.
var greyThresholds = func() (table [255]Light) {
	for code, light := range halfway {
		table[code] = Light(math.Ceil(light * float64(FullLight)))
	}
	return table
}()

// GreyThresholds is the table behind Grey for a shader to search: entry k is the
// smallest Light shown as code k+1. It rises strictly, so eight halvings find
// how many entries a Light reaches, which is its grey.
func GreyThresholds() [255]Light { return greyThresholds }

// greys is the scale between GreyThresholds.
var greys = NewScale(greyThresholds[:])

// Greys is the scale whose parts are the 256 greys by their codes.
func Greys() *Scale { return greys }

// Grey is the sRGB code of the grey that has this luminance: the encoded amount
// rounded, halves to the lighter. Light over FullLight gives 255.
func (l Light) Grey() uint8 { return uint8(greys.Part(l)) }
