package look

import "maulstick/render/colour"

// TableWidth is the width in pixels of the picture that carries a look's tables to
// the graphics unit.
const TableWidth = 256

// Tables says which tables a look's program reads. Looks with the same Tables share
// their picture.
type Tables struct {
	tone    Tone // Temperature or Misled, or else Grey
	filter  bool
	sheet   colour.Sheet
	neutral colour.SRGB
}

// Tables are the look's; not of use to a look in full colour.
func (l Look) Tables() Tables {
	switch l.Shown() {
	case Temperature:
		return Tables{tone: Temperature, neutral: l.Neutral}
	case Misled:
		return Tables{tone: Misled, sheet: l.Sheet}
	}
	if !l.Filter {
		return Tables{tone: Grey}
	}
	return Tables{tone: Grey, filter: true, sheet: l.Sheet}
}

// Picture is the tables as a picture TableWidth wide, four bytes a pixel: an entry
// of 24 bits a pixel, the heaviest in R and the lightest in B. There are three rows
// with the entries of the meter's red, green and blue, and one in which entry k is
// the smallest Light shown as a grey of code k+1, or a Light that none reaches. A
// tinted look's go on with three rows of what it tells classes by, twelve with the
// smallest Light of every part of the fine scale of lightness, filled up with
// Lights that none reaches, and five rows of tints, the lowest class first.
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
	default:
		return pix
	}
	pix.fineScale()
	for _, row := range ClassTints() {
		for _, c := range row {
			pix = append(pix, c.R, c.G, c.B, 255)
		}
	}
	return pix
}

// unreached is a Light over that of white.
const unreached = colour.FullLight + 1

// entries are pixels that each carry a whole number of 24 bits.
type entries []byte

func (e *entries) put(n uint32) { *e = append(*e, byte(n>>16), byte(n>>8), byte(n), 255) }

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
