package look

import (
	_ "embed"

	"maulstick/render/colour"
)

// Shader names one of the programs that the graphics unit runs.
type Shader int

// The programs: the first three are looks, one pixel of the picture to one of
// the screen; the others make the picture that they look at.
const (
	ShadePlain Shader = iota
	ShadeGrey
	ShadeSteps
	ShadeSample
	ShadeBlurred // samples what a squint left
	ShadeAcross  // the squint's first pass
	ShadeDown    // and its second
	ShadeRound
)

var (
	//go:embed light.kage
	lightText string
	//go:embed meter.kage
	meterText string
	//go:embed texel.kage
	texelText string
	//go:embed blurred.kage
	blurredText string
	//go:embed plain.kage
	plainText string
	//go:embed grey.kage
	greyText string
	//go:embed steps.kage
	stepsText string
	//go:embed sample.kage
	sampleText string
	//go:embed squint.kage
	squintText string
	//go:embed round.kage
	roundText string
)

const shaderHead = "//kage:unit pixels\n\npackage main\n\n"

// Source is the whole text of a program in Kage, Ebiten's shading language.
func Source(s Shader) []byte {
	text := shaderHead
	switch s {
	case ShadePlain:
		text += plainText
	case ShadeGrey:
		text += lightText + meterText + greyText
	case ShadeSteps:
		text += lightText + meterText + stepsText
	case ShadeSample:
		text += lightText + texelText + sampleText
	case ShadeBlurred:
		text += lightText + blurredText + sampleText
	case ShadeAcross:
		text += lightText + texelText + squintText
	case ShadeDown:
		text += lightText + blurredText + squintText
	case ShadeRound:
		text += roundText
	}
	return []byte(text)
}

// Shader is the program that shows the look.
func (l Look) Shader() Shader {
	switch {
	case l.Tone == Steps:
		return ShadeSteps
	case l.Tone == Grey || l.Filter:
		return ShadeGrey
	default:
		return ShadePlain
	}
}

// Uniforms are the variables of the look's program; nothing else about the look
// reaches it but the tables of its meter.
func (l Look) Uniforms(surround colour.SRGB) map[string]any {
	switch l.Shader() {
	case ShadeSteps:
		return l.stepsUniforms(surround)
	case ShadeGrey:
		t := l.tint()
		return map[string]any{"Tint": []float32{float32(t.R), float32(t.G), float32(t.B)}}
	default:
		return nil
	}
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
