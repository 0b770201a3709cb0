package easel

import (
	"fmt"
	"strconv"
	"strings"

	"maulstick/render/colour"
	"maulstick/render/place"
	"maulstick/render/study"
	"maulstick/render/survey"
)

// Row is a row of a list in a tray: a key with what it says, and swatches before it.
type Row struct {
	Key      string
	Text     string
	Figure   string // what is read from a metre, after Text
	Note     string // after that, small
	Swatches string // the colours, each as "r,g,b", a space between two
	Picture  string // the Key of a Little that goes before it, "" for none
	Pressed  bool   // it is looked at: its places are marked on the picture
}

// Spot is a place on the picture that a row of a list is about. X and Y are CSS
// pixels from the top left corner of the picture's area.
type Spot struct {
	X, Y   float64
	Text   string
	Chosen bool // its row is looked at
	Edge   bool // it names a square at the edge of the picture

	Side float64 // of the square about the place that is read, in CSS pixels; 0 for none
}

// EdgeHandle is an edge between two steps on the histogram.
type EdgeHandle struct {
	Number int
	At     float64 // lightness, 0..100
	Label  string
}

// swatches are colours as a Row has them.
func swatches(colours ...colour.SRGB) string {
	text := ""
	for i, c := range colours {
		if i > 0 {
			text += " "
		}
		text += fmt.Sprintf("%d,%d,%d", c.R, c.G, c.B)
	}
	return text
}

// found is a row of what was found, with its places on the picture.
type found struct {
	key, text, figure, note, swatches, spot string
	at                                      []place.PhotoPoint
	shift                                   [2]float64 // of its spots, CSS pixels
}

// addRow adds a row of a text to a list, and its places to the picture.
func (e *Easel) addRow(f *Face, list, name, text, swatches, spot string, places ...place.PhotoPoint) {
	e.list(f, list, found{key: "row-" + name, text: text, swatches: swatches, spot: spot, at: places})
}

// list adds a row to a list, and its places to the picture.
func (e *Easel) list(f *Face, list string, r found) {
	pressed := e.row == r.key
	f.Rows[list] = append(f.Rows[list], Row{
		Key: r.key, Text: r.text, Figure: r.figure, Note: r.note, Swatches: r.swatches, Pressed: pressed,
	})
	if !e.ready() || e.plain {
		return
	}
	v := e.viewport()
	for _, p := range r.at {
		x, y := v.ToScreen(p)
		if x, y = x+r.shift[0]*e.dpr, y+r.shift[1]*e.dpr; onArea(v, x, y) {
			f.Spots = append(f.Spots, Spot{X: x / e.dpr, Y: y / e.dpr, Text: r.spot, Chosen: pressed})
		}
	}
}

// numbered is the number at the end of a row's name that begins so; 0 for any other row.
func numbered(row, begins string) int {
	end, ours := strings.CutPrefix(row, begins)
	n, err := strconv.Atoi(end)
	if !ours || err != nil || n < 0 {
		return 0
	}
	return n
}

// where says where a place of the photograph lies on the canvas.
func (e *Easel) where(p place.PhotoPoint) string {
	d := e.doc()
	if !d.HasCanvas() {
		return ""
	}
	m := d.Mapping()
	x, y := m.Distances(m.ToCanvas(p), d.From)
	fromX, fromY := fromText(d.From, study.View{})
	return fmt.Sprintf("%s %s, %s %s", place.Text(x, d.Canvas.Unit, sixteenths), fromX, place.Text(y, d.Canvas.Unit, sixteenths), fromY)
}

// kindWords say what is being worked out.
var kindWords = map[survey.Kind]string{
	survey.Flat: "Finding flat shapes", survey.Edges: "Finding edges and contrasts", survey.Piles: "Gathering piles",
	survey.Tones: "Reading the colours", survey.Clean: "Cleaning the steps",
}

// faceParts says which part each tray is turned to, and how far what it needs is.
func (e *Easel) faceParts(f *Face) {
	d := e.doc()
	for _, parts := range []struct {
		all []string
		on  string
	}{{study.LineParts, d.Parts.Line}, {study.PlaceParts, d.Parts.Place}, {study.StudyParts, d.Parts.Study}, {study.ValueParts, d.Parts.Value}, {study.ColourParts, d.Parts.Colour}, {study.ShapeParts, d.Parts.Shape}, {study.CheckParts, d.Parts.Check}} {
		for _, part := range parts.all {
			f.Pressed["key-part-"+part] = part == parts.on
			f.Hidden["part-"+part] = part != parts.on
			f.Disabled["key-part-"+part] = e.still()
		}
	}
	text, busy, again := "", false, false
	for _, k := range e.needed() {
		switch q := e.surveys.of[k]; {
		case q == nil:
		case q.busy:
			text, busy = fmt.Sprintf("%s: %.0f %%", kindWords[k], 100*q.share), true
		case q.stopped:
			text, again = kindWords[k]+" was stopped.", true
		case q.failed != "":
			text, again = sentence(q.failed), true
		}
	}
	e.facePlotting(f)
	for _, tray := range []string{study.TrayShape, study.TrayValue, study.TrayColour} {
		f.Text[tray+"-finding"] = text
		f.Hidden[tray+"-asking"] = text == ""
		f.Disabled[tray+"-undo"] = e.still() || !e.history.CanUndo()
		f.Hidden[tray+"-stop"], f.Hidden[tray+"-again"] = !busy, !again || busy
	}
}

// facePlotting says how far what is being made of the photograph or the sheets is.
func (e *Easel) facePlotting(f *Face) {
	text := e.plotting()
	for _, tray := range []string{study.TrayLine, study.TrayStudy} {
		f.Text[tray+"-finding"] = text
		f.Hidden[tray+"-asking"] = text == ""
		f.Disabled[tray+"-undo"] = e.still() || !e.history.CanUndo()
		f.Disabled[tray+"-redo"] = e.still() || !e.history.CanRedo()
	}
}
