package look

import "maulstick/render/colour"

// TableWidth is the width in pixels of the picture that carries a look's tables to
// the graphics unit.
const TableWidth = 256

// Tables says which tables a look's program reads. Looks with the same Tables share
// their picture.
type Tables struct {
	tone    Tone // Steps, Temperature or Misled, or else Grey
	filter  bool
	sheet   colour.Sheet
	neutral colour.SRGB
	shades  [256]colour.SRGB // of Steps: what light of the square of k/255 is shown as
}

// Tables are the look's; not of use to a look in full colour. Steps out of sight take
// the colour of the surround.
func (l Look) Tables(surround colour.SRGB) Tables {
	switch l.Shown() {
	case Temperature:
		return Tables{tone: Temperature, neutral: l.Neutral}
	case Misled:
		return Tables{tone: Misled, sheet: l.Sheet}
	}
	t := Tables{tone: Grey}
	if l.Filter {
		t.filter, t.sheet = true, l.Sheet
	}
	if l.Shown() == Steps {
		t.tone = Steps
		steps, shades := l.Flat(), l.shades(surround)
		for k := range t.shades {
			light := colour.LightOf(colour.Luminance(k*k) / (255 * 255))
			t.shades[k] = shades[steps.Of(light)-1]
		}
	}
	return t
}

// Picture is the tables as a picture TableWidth wide, four bytes a pixel: an entry
// of 24 bits a pixel, the heaviest in R and the lightest in B. There are three rows
// with the entries of the meter's red, green and blue, and one in which entry k is
// the smallest Light shown as a grey of code k+1, or a Light that none reaches. Those
// of steps go on with a row of what 256 lights are shown as, for a glance. A tinted
// look's go on with three rows of what it tells classes by, twelve with the smallest
// Light of every part of the fine scale of lightness, filled up with Lights that none
// reaches, and five rows of tints, the lowest class first.
func (t Tables) Picture() []byte {
	l := Look{Tone: t.tone, Filter: t.filter, Sheet: t.sheet, Neutral: t.neutral}
	var pix entries
	pix.meter(l.Meter())
	for _, light := range colour.GreyThresholds() {
		pix.put(uint32(light))
	}
	pix.put(uint32(unreached))
	switch t.tone {
	case Misled:
		pix.meter(t.sheet.Meter())
	case Temperature:
		of := l.temperature()
		for _, channel := range []*[256]uint32{&of.R, &of.G, &of.B} {
			for _, entry := range channel {
				pix.put(entry)
			}
		}
	case Steps:
		pix.colours(t.shades[:])
		return pix
	default:
		return pix
	}
	pix.fineScale()
	for _, row := range ClassTints() {
		pix.colours(row[:])
	}
	return pix
}

// unreached is a Light over that of white.
const unreached = colour.FullLight + 1

// entries are pixels that each carry a whole number of 24 bits.
type entries []byte

func (e *entries) put(n uint32) { *e = append(*e, byte(n>>16), byte(n>>8), byte(n), 255) }

func (e *entries) colours(cs []colour.SRGB) {
	for _, c := range cs {
		*e = append(*e, c.R, c.G, c.B, 255)
	}
}

func (e *entries) meter(m *colour.Meter) {
	for _, channel := range []*[256]colour.Light{&m.R, &m.G, &m.B} {
		for _, light := range channel {
			e.put(uint32(light))
		}
	}
}

// fineRows is how many rows the fine scale takes, with two steps' parts beyond it.
const fineRows = 12

func (e *entries) fineScale() {
	e.put(0)
	thresholds := colour.Fine().Thresholds()
	for _, light := range thresholds {
		e.put(uint32(light))
	}
	for range fineRows*TableWidth - 1 - len(thresholds) {
		e.put(uint32(unreached))
	}
}
