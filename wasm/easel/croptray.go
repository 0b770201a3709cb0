package easel

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"maulstick/render/place"
	"maulstick/render/study"
)

const (
	// toldStretchers is how many stock sizes are offered.
	toldStretchers = 8
	// tiltDigits is how finely degrees are shown.
	tiltDigits = 2
)

// stretcherKinds are the kinds of stock sizes that can be asked for, by the names of
// their keys.
var stretcherKinds = map[string][]string{
	"all": nil, "inch": {"inch"}, "metric": {"metric"}, "french": {"figure", "landscape", "marine"},
}

func init() {
	for name, do := range map[string]func(*Easel){
		"turnover-in":  func(e *Easel) { e.borderBy(func(b *place.Border) { b.TurnoverIn = !b.TurnoverIn }) },
		"margin-in":    func(e *Easel) { e.borderBy(func(b *place.Border) { b.MarginIn = !b.MarginIn }) },
		"hold-canvas":  func(e *Easel) { e.do(e.doc().Held(study.HoldCanvas), "") },
		"hold-free":    func(e *Easel) { e.do(e.doc().Held(study.HoldFree), "") },
		"crop-centred": func(e *Easel) { e.do(e.doc().Centred(), "") },
		"canvas-wide":  func(e *Easel) { e.canvasInstead(false) },
		"canvas-high":  func(e *Easel) { e.canvasInstead(true) },
		"square-up":    (*Easel).squareUp,
		"as-it-came":   (*Easel).asItCame,
	} {
		keys[name] = do
	}
	for name := range stretcherKinds {
		keys["stock-"+name] = func(e *Easel) { e.stock = name }
	}
}

// borderBy changes what lies about the composition.
func (e *Easel) borderBy(change func(*place.Border)) {
	b := e.doc().Canvas.Border
	change(&b)
	e.setBorder("", nil, b)
}

// setBorder lays another border about the composition, or says beside the field that
// was typed in what is wrong with it.
func (e *Easel) setBorder(typed string, f *field, b place.Border) {
	if !e.doc().HasCanvas() {
		return
	}
	d, err := e.doc().WithBorder(b)
	switch {
	case err == nil:
		e.do(d, "")
	case f != nil:
		*f = field{refused: true, typed: typed, note: refusal(err)}
		e.says.news = f.note
	default:
		e.say(err)
	}
}

// typeBorder takes the turnover or the margin.
func (e *Easel) typeBorder(text string, f *field, set func(*place.Border, place.MM)) {
	*f = field{}
	var l place.MM
	if strings.TrimSpace(text) != "" {
		var err error
		if l, _, err = place.ParseLength(text, small(e.doc().Canvas.Unit)); err != nil {
			*f = field{refused: true, typed: text, note: refusal(err)}
			e.says.news = f.note
			return
		}
	}
	b := e.doc().Canvas.Border
	set(&b, l)
	e.setBorder(text, f, b)
}

// typeTurnover takes how much of the stretcher's sides the cloth covers.
func (e *Easel) typeTurnover(text string) {
	e.typeBorder(text, &e.turnover, func(b *place.Border, l place.MM) { b.Turnover = l })
}

// typeMargin takes the margin, the same on all sides.
func (e *Easel) typeMargin(text string) {
	e.typeBorder(text, &e.margin, func(b *place.Border, l place.MM) { b.Margin = place.Sides{Left: l, Top: l, Right: l, Bottom: l} })
}

// canvasInstead gives the canvas the crop's proportion, keeping its width or its
// height, to the sixteenth or the millimetre that its key says.
func (e *Easel) canvasInstead(keepHeight bool) {
	d := e.doc()
	if !d.HasCanvas() {
		return
	}
	size := e.rounded(e.insteadOf(keepHeight))
	instead := e.onFace(size)
	if instead.Check() != nil {
		e.say(&place.Problem{
			Doing: "changing the canvas to " + spelt(size), What: "no canvas is so small or so large",
			Wanted: "crop the photograph to another proportion, or keep the canvas's other side",
		})
		return
	}
	e.do(instead, "")
}

// insteadOf is the composition of the crop's proportion that keeps the width or the
// height there is, as a face of the canvas.
func (e *Easel) insteadOf(keepHeight bool) place.Size {
	d := e.doc()
	crop := d.Crop()
	if d.Own.Width == 0 { // then the whole photograph is meant
		crop = place.WholeCrop(d.Photograph())
	}
	wide, high := crop.Canvases(d.Size())
	size := wide
	if keepHeight {
		size = high
	}
	return d.Composition().Face(size)
}

// onFace is the study on a canvas of that face.
func (e *Easel) onFace(size place.Size) study.Document {
	e.settle()
	e.canvas = field{}
	return e.doc().WithCanvas(size, spelt(size))
}

// faceCanvas is the canvas: its size, its border, and whether it is square.
func (e *Easel) faceCanvas(f *Face) {
	d, fit := e.doc(), e.fitOf()
	f.Value["canvas"] = d.Canvas.Typed
	if e.canvas.refused {
		f.Value["canvas"] = e.canvas.typed
	}
	f.Hidden["key-canvas-turn"] = !fit.Turned
	for _, id := range []string{"canvas", "turnover", "margin", "diagonals"} {
		f.Disabled[id] = e.still() || id != "canvas" && !d.HasCanvas()
	}
	for name := range stretcherKinds {
		f.Pressed["key-stock-"+name] = e.stock == name
	}
	b := d.Canvas.Border
	f.Pressed["key-turnover-in"], f.Pressed["key-margin-in"] = b.TurnoverIn, b.MarginIn
	e.disable(f, "turnover-in", !d.HasCanvas())
	e.disable(f, "margin-in", !d.HasCanvas())
	e.lengthField(f, "turnover", e.turnover, b.Turnover)
	e.lengthField(f, "margin", e.margin, b.Margin.Left)
	notes := []string{e.turnover.note, e.margin.note}
	f.Text["border-note"] = strings.TrimSpace(strings.Join(notes, " "))
	f.Hidden["border-note"] = f.Text["border-note"] == ""
	f.Value["diagonals"] = e.diagonals
	f.Text["square-note"] = e.squareNote()
	if e.history == nil {
		f.Text["canvas-note"], f.Text["mismatch"] = "Open a photograph first.", ""
		f.Text["photo-ratio"], f.Text["crop-ratio"], f.Text["canvas-ratio"] = "–", "–", "–"
		return
	}
	f.Text["canvas-note"] = e.canvasNote()
	f.Text["key-canvas-turn"] = "Turn to " + spelt(turned(d))
	size, crop := d.Photograph(), d.Crop()
	f.Text["photo-ratio"], f.Text["crop-ratio"] = ratio(float64(size.Width), float64(size.Height)), ratio(crop.Width, crop.Height)
	f.Text["canvas-ratio"] = "–"
	f.Text["canvas-ratio-of"] = e.paintedWord()
	if d.HasCanvas() {
		f.Text["canvas-ratio"] = fmt.Sprintf("%.2f", fit.CanvasRatio)
	}
	f.Text["mismatch"] = e.mismatchText() + e.finest()
}

// paintedWord is what is painted on, in a word: the canvas, or where a border makes that
// larger or smaller what is painted of it.
func (e *Easel) paintedWord() string {
	if e.doc().Composition().Inset == (place.Sides{}) {
		return "canvas"
	}
	return "painted"
}

// lengthField is a field for a length that may be nothing.
func (e *Easel) lengthField(f *Face, id string, typed field, l place.MM) {
	f.Value[id] = ""
	if l > 0 {
		f.Value[id] = sideText(l, e.doc().Canvas.Unit)
	}
	if typed.refused {
		f.Value[id] = typed.typed
	}
}

// squareNote says how square the canvas is, by its two measured diagonals.
func (e *Easel) squareNote() string {
	d := e.doc()
	if !d.HasCanvas() || strings.TrimSpace(e.diagonals) == "" {
		if !d.HasCanvas() {
			return "Turnover, margin and diagonals are of a canvas: take one from the list, or type one under Canvas."
		}
		long := d.Canvas.Face().Diagonal()
		return "Square corners make both " + place.FineText(long, d.Canvas.Unit) + ", " + place.Decimal(long, small(d.Canvas.Unit), 2) + ". Type them as measured, top left first."
	}
	falling, rising, err := place.ParseDiagonals(e.diagonals, small(d.Canvas.Unit))
	if err != nil {
		return refusal(err)
	}
	q, err := place.CheckSquare(d.Canvas.Face(), falling, rising)
	if err != nil {
		return refusal(err)
	}
	sides := ""
	if off := max(q.Sides, -q.Sides); off >= place.Inch.MM()/8 {
		way := "longer"
		if q.Sides < 0 {
			way = "shorter"
		}
		sides = fmt.Sprintf(" Together they are %s %s than the sides allow: measure those, too.", place.FineText(off, d.Canvas.Unit), way)
	}
	if q.Out == 0 {
		return "The diagonals are equal: the canvas is square." + sides
	}
	verdict := "Out by "
	if q.Square {
		verdict = "Near enough square, out by "
	}
	return fmt.Sprintf("%s%s: ease the %s and the %s corner towards each other; the top edge leans by %s.",
		verdict, place.FineText(q.Out, d.Canvas.Unit), q.Ease[0], q.Ease[1], place.FineText(max(q.Lean, -q.Lean), d.Canvas.Unit)) + sides
}

// faceCrop is the crop by hand, and how the photograph is set right.
func (e *Easel) faceCrop(f *Face) {
	d := e.doc()
	for name, t := range toolNames {
		f.Pressed["key-"+name] = e.tool.tool == t
	}
	f.Pressed["key-hold-canvas"], f.Pressed["key-hold-free"] = d.Hold == study.HoldCanvas, d.Hold == study.HoldFree
	f.Disabled["tilt"], f.Disabled["flat-size"] = e.still(), e.still()
	f.Value["tilt"], f.Value["flat-size"] = "", ""
	f.Text["right-note"], f.Hidden["right-note"] = strings.TrimSpace(e.tilt.note+" "+e.flat.note), !e.tilt.refused && !e.flat.refused
	if e.history == nil {
		return
	}
	if d.Righting.Tilt != 0 {
		f.Value["tilt"] = strconv.FormatFloat(float64(d.Righting.Tilt), 'f', tiltDigits, 64)
	}
	if flat := e.flatSize(); flat.Width > 0 {
		f.Value["flat-size"] = spelt(flat)
	}
	if e.tilt.refused {
		f.Value["tilt"] = e.tilt.typed
	}
	if e.flat.refused && e.flat.typed != "" {
		f.Value["flat-size"] = e.flat.typed
	}
	e.disable(f, "crop-centred", d.Own.Width == 0)
	e.disable(f, "as-it-came", d.Righting.None() || e.right.busy)
	for _, key := range []string{"level-line", "plumb-line"} {
		e.disable(f, key, e.right.busy)
	}
	e.disable(f, "corners", !d.Righting.None() || e.right.busy)
	e.disable(f, "square-up", e.tool.tool != cornerer || e.right.busy)
	for key, keepHeight := range map[string]bool{"canvas-wide": false, "canvas-high": true} {
		e.disable(f, key, !d.HasCanvas())
		f.Text["key-"+key] = map[bool]string{false: "Change its height", true: "Change its width"}[keepHeight]
		if d.HasCanvas() {
			f.Text["key-"+key] = "Canvas " + spelt(e.rounded(e.insteadOf(keepHeight)))
		}
	}
	f.Text["crop-note"], f.Text["straighten-note"] = e.cropNote(), e.straightenNote()
	e.faceHandles(f)
}

// rounded is a size to the nearest sixteenth of an inch or millimetre, as it is told.
func (e *Easel) rounded(s place.Size) place.Size {
	round := func(l place.MM) place.MM { return place.MM(math.Round(float64(l))) }
	if s.Unit.Imperial() {
		// Whole numbers are multiplied first: then the length is that of the inches to the
		// last bit.
		round = func(l place.MM) place.MM {
			return place.MM(math.Round(float64(l/25.4*sixteenths))) * 254 / (10 * sixteenths)
		}
	}
	s.Width, s.Height = round(s.Width), round(s.Height)
	return s
}

// cropNote says what the tool in hand wants, or how the photograph is cropped.
func (e *Easel) cropNote() string {
	d := e.doc()
	if e.tool.tool == cropper {
		return "Drag the crop, or its edges and corners; arrow keys move what is in focus by a pixel."
	}
	c, m := d.Crop(), d.Mapping()
	text := fmt.Sprintf("The crop is %.0f x %.0f pixels", c.Width, c.Height)
	if d.HasCanvas() {
		text += fmt.Sprintf(", 1 pixel is %s of canvas", place.Decimal(m.Pixel(), smallest(d.Canvas.Unit), 3))
	}
	text += "."
	if fit := e.cropFit(); d.HasCanvas() && d.Hold == study.HoldFree && !fit.Fits {
		text += " Its proportion is not the canvas's, so across and down are scaled apart: hold it to the canvas, or change that."
	}
	return text
}

// straightenNote says what the tool in hand wants, or how the photograph is set right.
func (e *Easel) straightenNote() string {
	switch e.tool.tool {
	case leveller:
		return "Draw along something that should be level, from end to end."
	case plumber:
		return "Draw along something that should be plumb, from end to end."
	case cornerer:
		return "Put the corners on those of the flat thing, type its size, then square up."
	}
	r := e.doc().Righting
	turned := fmt.Sprintf("turned by %.2f° clockwise", float64(r.Tilt))
	if r.Tilt < 0 {
		turned = fmt.Sprintf("turned by %.2f° anticlockwise", float64(-r.Tilt))
	}
	switch {
	case r.None():
		return "The photograph is as it came. Draw along a horizon or an upright, or square up something flat that was photographed."
	case len(r.Corners) == 0:
		return "The photograph is " + turned + ". Take it as it came to square it up."
	case r.Tilt == 0:
		return "The photograph is squared up to " + spelt(r.Flat) + ". Take it as it came to square it up otherwise."
	}
	return "The photograph is squared up to " + spelt(r.Flat) + " and " + turned + ". Take it as it came to square it up otherwise."
}

// smallest is the unit that small lengths are told in.
func smallest(u place.Unit) place.Unit {
	if u.Imperial() {
		return place.Inch
	}
	return place.Millimetre
}

// cropFit is how the crop meets what is painted.
func (e *Easel) cropFit() place.Fit {
	d := e.doc()
	if !d.HasCanvas() {
		return place.Fit{}
	}
	c := d.Crop()
	return place.Compare(c.Width, c.Height, d.Size())
}
