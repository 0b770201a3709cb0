package easel

import (
	"fmt"
	"math"
	"strconv"

	"maulstick/render/place"
)

// A bank card is 85.60 x 53.98 mm (ISO/IEC 7810:2019, ID-1).
const (
	cardWidth  place.MM = 85.60
	cardHeight place.MM = 53.98
)

// The calibration's bounds, in CSS pixels a millimetre: a CSS pixel is 1/96 in by
// definition (CSS Values and Units 4, 6.2) and seldom half or twice that on a screen.
const (
	cssPixels   = 96 / 25.4
	leastPixels = cssPixels / 3
	mostPixels  = cssPixels * 3
)

// calibration is how large the screen's pixels are.
type calibration struct {
	pixels float64 // CSS pixels a millimetre
	done   bool    // by the painter
}

// fractions are the parts of the canvas's true size that it can be shown at, by the
// names of their keys.
var fractions = []struct {
	name string
	part float64
	text string
}{{"1", 1, "the true size"}, {"2", 1.0 / 2, "half the true size"}, {"4", 1.0 / 4, "a quarter of the true size"}, {"8", 1.0 / 8, "an eighth of the true size"}}

func init() {
	for _, fr := range fractions {
		keys["size-"+fr.name] = func(e *Easel) { e.trueSize(fr.part) }
	}
	keys["size-fit"] = (*Easel).seeWhole
	keys["card-narrower"] = func(e *Easel) { e.calibrate(e.screenPixels() - 0.5/float64(cardWidth)) }
	keys["card-wider"] = func(e *Easel) { e.calibrate(e.screenPixels() + 0.5/float64(cardWidth)) }
}

// Calibrated says how many CSS pixels a millimetre has on this screen, as the painter
// once measured it.
func (e *Easel) Calibrated(pixels float64) {
	if pixels >= leastPixels && pixels <= mostPixels {
		e.screen = calibration{pixels: pixels, done: true}
	}
	e.after()
}

func (e *Easel) screenPixels() float64 {
	if e.screen.done {
		return e.screen.pixels
	}
	return cssPixels
}

// calibrate takes another size of the screen's pixels, and keeps it for all studies.
func (e *Easel) calibrate(pixels float64) {
	pixels = min(max(pixels, leastPixels), mostPixels)
	e.screen = calibration{pixels: pixels, done: true}
	e.host.KeepCalibration(pixels)
}

// typeCard takes the slider of the card's width, in CSS pixels.
func (e *Easel) typeCard(text string) {
	if width, err := strconv.ParseFloat(text, 64); err == nil && isNumber(width) {
		e.calibrate(width / float64(cardWidth))
	}
}

// trueSize shows the crop at a part of the canvas's true size, about what is in the
// middle of the picture.
func (e *Easel) trueSize(part float64) {
	d := e.doc()
	if !d.HasCanvas() || !e.ready() {
		return
	}
	v := e.viewport()
	// Device pixels a photo pixel: those of a millimetre times the millimetres of one.
	v.Scale = e.screenPixels() * e.dpr * part * float64(d.Mapping().Canvas.Width) / d.Crop().Width
	e.see(v)
	e.sized = part
}

// keepSize shows the crop at the part of the true size that it was shown at before
// the picture's area changed: a tray that opens or closes must not change that.
func (e *Easel) keepSize() {
	if e.sized > 0 && !e.whole() {
		e.trueSize(e.sized)
	}
}

// seenPart is at what part of the true size the crop is seen.
func (e *Easel) seenPart() float64 {
	d := e.doc()
	one := e.screenPixels() * e.dpr * float64(d.Size().Width) / d.Crop().Width
	return e.viewport().Scale / one
}

// cardRoom is how much room a card's outline has across, in CSS pixels: half of the tray,
// or on a phone all of it.
func (e *Easel) cardRoom() float64 {
	const phone, edges, gap = 480, 24, 20
	if e.width <= phone {
		return float64(e.width - edges)
	}
	return float64(e.width-edges-gap) / 2
}

// faceSize is the part of the Place tray about the true size.
func (e *Easel) faceSize(f *Face) {
	d := e.doc()
	pixels := e.screenPixels()
	f.Value["card-width"] = strconv.FormatFloat(pixels*float64(cardWidth), 'f', 1, 64)
	f.Disabled["card-width"] = e.still()
	f.Card = [2]float64{pixels * float64(cardWidth), pixels * float64(cardHeight)}
	f.Text["card-note"] = "Make the outline as wide as a bank card laid on it: 85.6 mm by the ruler. Kept for this screen."
	if f.Card[0] > e.cardRoom() {
		f.Card[0], f.Card[1] = f.Card[1], f.Card[0]
		f.Text["card-note"] = "Make the outline as wide as a bank card stood on it upright: 54 mm by the ruler. Kept for this screen."
	}
	f.Text["size-note"] = ""
	for _, fr := range fractions {
		e.disable(f, "size-"+fr.name, !d.HasCanvas())
		f.Pressed["key-size-"+fr.name] = false
	}
	if e.history == nil || !e.ready() {
		return
	}
	if !d.HasCanvas() {
		f.Text["size-note"] = "Type the size of the canvas under Line first."
		return
	}
	part := e.seenPart()
	text := fmt.Sprintf("Seen at %.3g %% of the canvas's true size", 100*part)
	for _, fr := range fractions {
		if math.Abs(part/fr.part-1) < 1e-6 {
			f.Pressed["key-size-"+fr.name] = true
			text = "Seen at " + fr.text
		}
	}
	if !e.screen.done {
		text += ", if the screen is as browsers take it: calibrate it"
	}
	f.Text["size-note"] = text + "."
}
