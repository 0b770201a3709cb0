package easel

import (
	"fmt"
	"math"
	"strings"

	"maulstick/render/place"
	"maulstick/render/study"
)

const (
	// sixteenths is how finely inches are read at the easel.
	sixteenths = 16
	// sixtyFourths is how finely place.FineText says what is under half an inch.
	sixtyFourths = 64
)

// field is what stands in a field that is typed in, where that is not what the
// study says.
type field struct {
	refused bool
	typed   string
	note    string
}

// forgetRefused leaves in every field what the study says.
func (e *Easel) forgetRefused() {
	e.canvas, e.cards, e.smallest = field{}, field{}, field{}
	e.turnover, e.margin, e.figures, e.tilt, e.flat, e.paper = field{}, field{}, field{}, field{}, field{}, field{}
}

// Type answers a field whose text has been changed: "canvas", "cards", "smallest",
// "count", "mark-name" and so on. A field that does not exist does nothing.
func (e *Easel) Type(field, text string) {
	if e.lock.on || e.history == nil {
		return
	}
	switch field {
	case "canvas":
		e.typeCanvas(text)
	case "cards":
		e.typeCards(text)
	case "smallest":
		e.typeSmallest(text)
	case "count":
		e.typeCount(text)
	case "turnover":
		e.typeTurnover(text)
	case "margin":
		e.typeMargin(text)
	case "diagonals":
		e.diagonals = text
	case "figures":
		e.typeFigures(text)
	case "tilt":
		e.typeTilt(text)
	case "flat-size":
		e.typeFlat(text)
	case "painting-mix":
		e.typeMix(text)
	case "card-width":
		e.typeCard(text)
	case "paper":
		e.typePaper(text)
	case "pin-name":
		e.boardDo(e.doc().NamedPin(e.chosenPin(), text), fmt.Sprintf("name pin %d", e.chosenPin()))
	case "borrow-words":
		e.board.words, e.board.note = text, ""
	case "card-value", "canvas-card", "pile-card":
		e.typeTouch(text)
	case "log-stage":
		_, words := e.entryFields()
		e.typeEntry(text, words)
	case "log-words":
		stage, _ := e.entryFields()
		e.typeEntry(stage, text)
	case "span-name":
		e.do(e.doc().NamedSpan(e.doc().Span, text), fmt.Sprintf("name span %d", e.doc().Span))
	case "mark-name":
		e.do(e.doc().NamedMark(e.doc().Chosen, text), fmt.Sprintf("name %d", e.doc().Chosen))
	case "studies-search":
		e.shelf.search, e.row = text, ""
	case "studies-name":
		e.renameChosen(text)
	case "study-name":
		e.do(e.doc().WithName(text), "study name")
	}
	e.after()
}

// typeCanvas takes a size as a painter says it, or says beside the field what
// is wrong with it and leaves the canvas as it was.
func (e *Easel) typeCanvas(text string) {
	e.canvas = field{}
	size, err := place.ParseSize(text, small(e.doc().Canvas.Unit))
	if err != nil {
		e.canvas = field{refused: true, typed: text, note: refusal(err)}
		e.says.news = e.canvas.note
		return
	}
	e.settle()
	e.do(e.doc().WithCanvas(size, withUnit(text, size)), "")
}

// small is the unit that a bare number is taken to be in when the canvas before
// was typed in u: nobody says a canvas in bare feet or metres.
func small(u place.Unit) place.Unit {
	switch u {
	case place.Foot:
		return place.Inch
	case place.Metre:
		return place.Centimetre
	}
	return u
}

// withUnit is a size as it was typed, with its unit if it was typed without:
// the unit taken for granted then may be another when it is read again.
func withUnit(text string, size place.Size) string {
	in, _ := place.ParseSize(text, place.Inch)
	cm, _ := place.ParseSize(text, place.Centimetre)
	if in.Width == cm.Width {
		return text
	}
	return strings.TrimSpace(text) + " " + size.Unit.String()
}

func refusal(err error) string {
	text := sentence(err.Error())
	if hint := hintOf(err); hint != "" {
		text += " " + sentence(hint)
	}
	return text
}

// turnCanvas exchanges the canvas's sides, once the painter has agreed.
func (e *Easel) turnCanvas() {
	if !e.fitOf().Turned {
		return
	}
	e.settle()
	size := turned(e.doc())
	e.canvas = field{}
	e.do(e.doc().WithCanvas(size, spelt(size)), "")
}

func turned(d study.Document) place.Size {
	return d.Canvas.Face().Turned()
}

// spelt is a size as it could have been typed: exactly, if three decimals or
// sixteenths of an inch go so far.
func spelt(s place.Size) string {
	width := strings.TrimSuffix(sideText(s.Width, s.Unit), " "+s.Unit.String())
	if s.Unit == place.Foot {
		width = sideText(s.Width, s.Unit)
	}
	return width + " x " + sideText(s.Height, s.Unit)
}

func sideText(l place.MM, u place.Unit) string {
	if u.Imperial() && isWhole(float64(l/place.Inch.MM()*sixteenths)) {
		return place.Text(l, u, sixteenths)
	}
	if u == place.Foot {
		u = place.Inch
	}
	digits := 0
	for scale := 1.0; digits < 3 && !isWhole(float64(l/u.MM())*scale); scale *= 10 {
		digits++
	}
	return place.Decimal(l, u, digits)
}

func isWhole(x float64) bool { return math.Abs(x-math.Round(x)) < 1e-6 }

// fitOf is how the whole photograph meets the canvas; zero without one.
func (e *Easel) fitOf() place.Fit {
	d := e.doc()
	if !d.HasCanvas() {
		return place.Fit{}
	}
	size := d.Photograph()
	return place.Compare(float64(size.Width), float64(size.Height), d.Size())
}

// mismatchText is how far the photograph misses the canvas's far edge.
func (e *Easel) mismatchText() string {
	d, fit := e.doc(), e.fitOf()
	if !d.HasCanvas() {
		return ""
	}
	what, then := "photograph", "; it is shown cropped to the canvas."
	if d.Own.Width > 0 && d.Hold == study.HoldFree {
		what, then = "crop", "; hold it to the canvas, or change the canvas."
		fit = e.cropFit()
	}
	way := "long"
	if fit.Short {
		way = "short"
	}
	off := fmt.Sprintf("%s %s at the far edge", place.FineText(fit.Mismatch, d.Canvas.Unit), way)
	if fit.Turned && d.Own.Width > 0 {
		off += " once one of them is turned"
	}
	switch {
	case fit.Turned && !fit.Fits && d.Own.Width == 0:
		size := d.Photograph()
		lost := beyond(float64(size.Width), float64(size.Height), d.Size())
		return fmt.Sprintf("%s of the photograph do not fit the canvas as they lie; with one of them turned it is %s. It is shown cropped.",
			place.FineText(lost, d.Canvas.Unit), off)
	case fit.Fits && fit.Turned:
		return "They would line up once one of them is turned; the photograph is shown cropped."
	case fit.Fits && fit.Mismatch < place.Inch.MM()/(2*sixtyFourths):
		return "They line up."
	case fit.Fits:
		return "They line up: " + off + "."
	}
	return "The " + what + " is " + off + then
}

// beyond is how much of a picture of that width and height lies outside a canvas that it
// covers, neither of them turned.
func beyond(width, height float64, canvas place.Size) place.MM {
	scale := max(float64(canvas.Width)/width, float64(canvas.Height)/height)
	return max(place.MM(width*scale)-canvas.Width, place.MM(height*scale)-canvas.Height)
}

// canvasNote is what is said beside the field for the canvas.
func (e *Easel) canvasNote() string {
	d := e.doc()
	text := "The canvas is " + sideText(d.Canvas.Width, d.Canvas.Unit) + " wide and " +
		sideText(d.Canvas.Height, d.Canvas.Unit) + " high."
	switch {
	case e.canvas.refused:
		return e.canvas.note
	case !d.HasCanvas():
		return "Type width x height as you would say it: 24 x 36 in, or 60 x 90 cm."
	case e.fitOf().Turned && d.Canvas.Width > d.Canvas.Height:
		text = "This canvas lies and the photograph stands. If that is not meant, turn the canvas."
	case e.fitOf().Turned:
		text = "This canvas stands and the photograph lies. If that is not meant, turn the canvas."
	}
	if c := d.Composition(); c.Inset != (place.Sides{}) {
		text += " With its border " + spelt(c.Size) + " is painted."
	}
	return text
}
