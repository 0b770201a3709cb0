package look

import (
	_ "embed"

	"maulstick/render/colour"
)

// Reader is what a program reads, and how.
type Reader int

// The readers. The first three end in a look; the others make the picture that
// is looked at, or frame it.
const (
	ReadStill   Reader = iota // a picture sampled already, pixel by pixel
	ReadPhoto                 // a tile, between its pixels
	ReadBlurred               // what a squint left, between its pixels
	ReadAcross                // the squint's first pass
	ReadDown                  // and its second
	ReadRound                 // the magnified round
)

// Shader names one of the programs that the graphics unit runs: what it reads,
// and the tone that it shows that in.
type Shader struct {
	Reader  Reader
	Tone    Tone
	Glanced bool // ReadPhoto alone: quicker, and a code off at most
}

var (
	//go:embed light.kage
	lightText string
	//go:embed meter.kage
	meterText string
	//go:embed texel.kage
	texelText string
	//go:embed seen.kage
	seenText string
	//go:embed glance.kage
	glanceText string
	//go:embed glance_plain.kage
	glancePlainText string
	//go:embed glance_grey.kage
	glanceGreyText string
	//go:embed glance_steps.kage
	glanceStepsText string
	//go:embed blurred.kage
	blurredText string
	//go:embed plain.kage
	plainText string
	//go:embed grey.kage
	greyText string
	//go:embed steps.kage
	stepsText string
	//go:embed still.kage
	stillText string
	//go:embed sample.kage
	sampleText string
	//go:embed squint.kage
	squintText string
	//go:embed round.kage
	roundText string
)

// glances are the tones as shown while the view moves.
var glances = [...]string{Colour: glancePlainText, Grey: glanceGreyText, Steps: glanceStepsText}

const shaderHead = "//kage:unit pixels\n\npackage main\n\n"

// Source is the whole text of a program in Kage, Ebiten's shading language.
func Source(s Shader) []byte {
	if s.Glanced {
		return []byte(shaderHead + lightText + glances[s.Tone] + glanceText + sampleText)
	}
	tone := plainText
	switch s.Tone {
	case Grey:
		tone = meterText + greyText
	case Steps:
		tone = meterText + stepsText
	}
	text := shaderHead + lightText
	switch s.Reader {
	case ReadStill:
		text += tone + stillText
	case ReadPhoto:
		text += tone + seenText + texelText + sampleText
	case ReadBlurred:
		text += tone + seenText + blurredText + sampleText
	case ReadAcross:
		text += texelText + squintText
	case ReadDown:
		text += blurredText + squintText
	case ReadRound:
		text += roundText
	}
	return []byte(text)
}

// Shown is the tone that the look's program shows: the red filter's picture in
// full colour is a picture in greys, or in red light.
func (l Look) Shown() Tone {
	if l.Tone == Colour && l.Filter {
		return Grey
	}
	return l.Tone
}

// Uniforms are the variables of the look's tone in a program; nothing else about
// the look reaches it but the tables of its meter.
func (l Look) Uniforms(surround colour.SRGB) map[string]any {
	switch l.Shown() {
	case Steps:
		return l.stepsUniforms(surround)
	case Grey:
		t := l.tint()
		return map[string]any{"Tint": []float32{float32(t.R), float32(t.G), float32(t.B)}}
	default:
		return nil
	}
}

// GlanceUniforms are those of the look's tone while the view moves, without any
// table.
func (l Look) GlanceUniforms(surround colour.SRGB) map[string]any {
	w, full := l.weights(), 1.0
	uniforms := l.Uniforms(surround)
	switch l.Shown() {
	case Colour:
		return uniforms
	case Steps:
		full = float64(colour.FullLight)
	}
	uniforms["Weigh"] = []float32{float32(w.R * full), float32(w.G * full), float32(w.B * full)}
	return uniforms
}

// TableWidth and TableHeight are the size in pixels of the picture that carries
// a meter's tables to the graphics unit.
const (
	TableWidth  = 256
	TableHeight = 4
)

// Table is a meter as a picture of TableWidth by TableHeight pixels, four bytes
// a pixel: three rows with the entries of red, green and blue, and one in which
// entry k is the smallest Light shown as a grey of code k+1, or a Light that
// none reaches. An entry is 24 bits, the heaviest in R and the lightest in B.
func Table(m *colour.Meter) []byte {
	pix := make([]byte, 0, 4*TableWidth*TableHeight)
	put := func(l colour.Light) { pix = append(pix, byte(l>>16), byte(l>>8), byte(l), 255) }
	for _, channel := range []*[256]colour.Light{&m.R, &m.G, &m.B} {
		for _, l := range channel {
			put(l)
		}
	}
	for _, l := range colour.GreyThresholds() {
		put(l)
	}
	put(unreached)
	return pix
}

// unreached is a Light over that of white.
const unreached = colour.FullLight + 1
