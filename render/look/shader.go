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
	ReadStroke                // nothing: lines over what is drawn
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
	//go:embed glance_temperature.kage
	glanceTemperatureText string
	//go:embed glance_misled.kage
	glanceMisledText string
	//go:embed blurred.kage
	blurredText string
	//go:embed plain.kage
	plainText string
	//go:embed grey.kage
	greyText string
	//go:embed steps.kage
	stepsText string
	//go:embed tinted.kage
	tintedText string
	//go:embed temperature.kage
	temperatureText string
	//go:embed misled.kage
	misledText string
	//go:embed still.kage
	stillText string
	//go:embed sample.kage
	sampleText string
	//go:embed squint.kage
	squintText string
	//go:embed round.kage
	roundText string
	//go:embed stroke.kage
	strokeText string
)

// glances are the tones as shown while the view moves.
var glances = [...]string{
	Colour: glancePlainText, Grey: glanceGreyText, Steps: glanceStepsText,
	Temperature: glanceTemperatureText, Misled: glanceMisledText,
}

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
	case Temperature:
		tone = meterText + tintedText + temperatureText
	case Misled:
		tone = meterText + tintedText + misledText
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
	case ReadStroke:
		text += strokeText
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
	case Temperature, Misled:
		return l.tintedUniforms()
	default:
		return map[string]any{}
	}
}

// GlanceUniforms are those of the look's tone while the view moves.
func (l Look) GlanceUniforms(surround colour.SRGB) map[string]any {
	if l.Shown() == Steps {
		return map[string]any{"Weigh": vector(l.weights(), 255*255)}
	}
	uniforms := l.Uniforms(surround)
	switch l.Shown() {
	case Grey:
		uniforms["Weigh"] = vector(l.weights(), 1)
	case Temperature:
		uniforms["Weigh"] = vector(colour.Eye, 1)
		n := l.temperature().Neutral()
		bounds := uniforms["Bounds"].([]float32)
		for i, by := range [3]float64{1 / n.R, 1 / n.G, 1 / n.B} {
			for j := i; j < len(bounds); j += 3 {
				bounds[j] *= float32(by)
			}
		}
	case Misled:
		uniforms["Weigh"] = vector(colour.Eye, 1)
		uniforms["Through"] = vector(l.Sheet.Weights(), 1)
	}
	return uniforms
}

// vector are weights, times an amount, for a program.
func vector(w colour.Weights, times float64) []float32 {
	return []float32{float32(w.R * times), float32(w.G * times), float32(w.B * times)}
}
