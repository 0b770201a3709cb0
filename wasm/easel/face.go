package easel

import (
	"fmt"
	"strings"

	"maulstick/render/look"
	"maulstick/render/place"
	"maulstick/render/shape"
	"maulstick/render/study"
)

// Face is what the page around the picture shows. Its maps are keyed by the
// id of an element; a key of the ledge or a tray has the id "key-" and its
// name. An element that a map does not name stays as it is.
type Face struct {
	Text     map[string]string
	Value    map[string]string // of text fields
	Pressed  map[string]bool   // of keys that stay on
	Checked  map[string]bool   // of boxes to tick
	Hidden   map[string]bool
	Disabled map[string]bool
	Steps    []StepKey
	Bars     string       // the histogram as an SVG path, 100 wide and 100 high
	Edges    []EdgeHandle // on the histogram
	Rows     map[string][]Row
	Spots    []Spot
	Marks    []MarkKey
	Handles  []Handle
	Frame    *Frame     // nil for none
	Part     *Frame     // of the picture beside, that is borrowed; nil for none
	Outline  string     // of the canvas on its photograph, as the points of an SVG polygon
	Card     [2]float64 // a bank card's width and height on this screen, in CSS pixels
	Surround uint8      // the sRGB code of the grey around the picture
	Says     string     // read aloud when it changes
}

// StepKey is one step in the Value tray, from the darkest.
type StepKey struct {
	Number   int
	Share    string // of the picture: "18 %", "none", "" while it is not known
	Grey     uint8  // the sRGB code of the step's grey
	Pressed  bool   // the step is in sight alone, or leads those that are
	DarkText bool   // dark text reads better on it than light
	Label    string // for a screen reader
}

// MarkKey is one mark. X and Y are CSS pixels from the top left corner of the
// picture's area.
type MarkKey struct {
	ID      int
	Name    string
	X, Y    float64
	Chosen  bool
	Visible bool   // it stands on the picture now
	Label   string // for a screen reader: its name and place
}

// Face is what the page shows now.
func (e *Easel) Face() Face {
	f := Face{
		Text: map[string]string{}, Value: map[string]string{}, Pressed: map[string]bool{},
		Checked: map[string]bool{}, Hidden: map[string]bool{}, Disabled: map[string]bool{}, Rows: map[string][]Row{},
		Surround: e.greyCode(), Says: e.says.news,
	}
	e.faceTop(&f)
	e.faceLedge(&f)
	e.faceLine(&f)
	e.faceParts(&f)
	e.faceValue(&f)
	e.faceColour(&f)
	e.faceShape(&f)
	e.facePlace(&f)
	e.faceSpan(&f)
	e.faceSize(&f)
	e.faceStudy(&f)
	e.faceStudies(&f)
	e.faceSheets(&f)
	e.faceBoard(&f)
	e.faceLog(&f)
	e.faceCamera(&f)
	e.faceCards(&f)
	e.facePalette(&f)
	e.facePainting(&f)
	e.faceStages(&f)
	e.faceChecking(&f)
	return f
}

// faceTop is the line above the picture, the standing notice and the message.
func (e *Easel) faceTop(f *Face) {
	f.Text["state-study"] = e.stateStudy()
	f.Text["state-fit"] = ""
	if e.doc().HasCanvas() {
		f.Text["state-fit"] = e.proportions()
	}
	f.Text["state-kept"] = e.stateKept()
	notices := e.notices()
	f.Text["notice-text"] = strings.Join(notices, " ")
	f.Hidden["notice"] = len(notices) == 0
	f.Hidden["key-notice-save"] = e.still() || e.keeping.failed == nil
	f.Hidden["key-update"] = !e.says.update || e.lock.on
	f.Hidden["lock"] = !e.lock.on
	f.Text["lock-words"] = e.lock.words()
	message, closing := e.says.message, "Close"
	if e.says.opening != "" && e.openingDue().IsZero() {
		message, closing = e.says.opening, "Stop"
	}
	f.Text["message-text"], f.Text["key-message-close"] = message, closing
	f.Hidden["message"] = message == ""
}

// stateStudy names the study, its canvas and how the picture stands.
func (e *Easel) stateStudy() string {
	if e.history == nil {
		if !e.started {
			return ""
		}
		return "Open a photograph to begin."
	}
	d := e.doc()
	parts := []string{"no canvas yet: type its size under Line", d.Name}
	if d.HasCanvas() { // which must not be cut off where there is little room
		parts[0] = "canvas " + spelt(d.Canvas.Face())
	}
	parts[0] = strings.TrimSuffix(sentence(parts[0]), ".")
	if way := wayRound(d.View); way != "" {
		parts = append(parts, way)
	}
	if !d.View.Fit {
		parts = append(parts, "seen closer")
	}
	if besides := e.asidesText(); besides != "" {
		parts = append(parts, besides)
	}
	return strings.Join(parts, ", ")
}

// wayRound says how the picture is turned on the screen, or "".
func wayRound(v study.View) string {
	switch {
	case v.Mirror && v.Turned:
		return "mirrored and upside down"
	case v.Mirror:
		return "mirrored"
	case v.Turned:
		return "upside down"
	}
	return ""
}

// trays are all trays in the order of the ledge.
var trays = []string{study.TrayLine, study.TrayShape, study.TrayValue, study.TrayColour, study.TrayPlace, study.TrayCheck, study.TrayStudy}

// faceLedge is the ledge's keys and which tray is open.
func (e *Easel) faceLedge(f *Face) {
	d := e.doc()
	f.Pressed["key-filter"] = d.Look.Filter
	f.Pressed["key-mirror"] = d.View.Mirror
	f.Pressed["key-squint"] = d.Look.Squint
	f.Pressed["key-plain"] = e.plain
	f.Pressed["key-handsoff"] = e.lock.on
	for _, tray := range trays {
		open := e.history != nil && d.Tray == tray || e.history == nil && e.started && tray == study.TrayStudy
		f.Pressed["key-tray-"+tray] = open
		f.Hidden[tray] = !open
	}
	none := e.history == nil
	for name := range keys {
		f.Disabled["key-"+name] = none || e.lock.on
	}
	for name := range always {
		f.Disabled["key-"+name] = e.lock.on
	}
	f.Disabled["key-handsoff"], f.Disabled["key-unlock"] = none, none
}

// faceValue is the Value tray.
func (e *Easel) faceValue(f *Face) {
	l := e.doc().Look
	f.Pressed["key-grey"] = l.Tone == look.Grey
	f.Pressed["key-steps"] = l.Tone == look.Steps
	isolated := l.Tone == look.Steps
	f.Pressed["key-only"] = isolated && l.Keep == look.KeepOnly
	f.Pressed["key-darker"] = isolated && l.Keep == look.KeepDarker
	f.Pressed["key-lighter"] = isolated && l.Keep == look.KeepLighter
	f.Pressed["key-filter-red"] = !l.AsGreys
	f.Pressed["key-filter-grey"] = l.AsGreys
	f.Pressed["key-turn"] = e.doc().View.Turned
	if e.history == nil {
		return
	}
	e.stepKeys(f)
	e.faceDivision(f)
	e.faceFilter(f)
	e.faceContrasts(f)
	f.Text["steps-note"] = e.stepsNote()
	f.Text["squint-strength"] = squintText(e.doc())
	e.disable(f, "fewer", l.Steps <= 2)
	e.disable(f, "more", l.Steps >= 9)
	e.disable(f, "squint-less", e.doc().Squinting() <= squintLeast*(1+1e-9))
	e.disable(f, "squint-more", e.doc().Squinting() >= squintMost*(1-1e-9))
}

func (e *Easel) disable(f *Face, key string, off bool) {
	f.Disabled["key-"+key] = f.Disabled["key-"+key] || off
}

// numbers are the numbers of steps in words.
var numbers = [...]string{2: "Two", 3: "Three", 4: "Four", 5: "Five", 6: "Six", 7: "Seven", 8: "Eight", 9: "Nine"}

// stepsNote says in a sentence or two what the steps show.
func (e *Easel) stepsNote() string {
	l := e.doc().Look
	text := numbers[l.Steps] + " steps, " + fitWords[e.doc().Finding.Fit]
	if l.Filter {
		text += ", read through the red filter"
	}
	text += "."
	if notan := shape.Notan(l.Steps); notan != "" {
		text += " " + sentence(notan)
	}
	if l.Tone != look.Steps || l.Keep == look.KeepAll {
		return text + edgesText(l.Flat())
	}
	if l.Step > 0 {
		text += fmt.Sprintf(" Step %d: value %.1f, ", l.Step, float64(l.Flat().Shown(l.Step).Value())) + rangeText(l.Flat(), l.Step) + "."
	}
	switch l.Keep {
	case look.KeepOnly:
		text += fmt.Sprintf(" Step %d alone.", l.Step)
	case look.KeepDarker:
		text += fmt.Sprintf(" Step %d and all darker.", l.Step)
	case look.KeepLighter:
		text += fmt.Sprintf(" Step %d and all lighter.", l.Step)
	}
	return text
}

// fitWords say how the values are divided.
var fitWords = map[string]string{
	study.FitEqual: "equal in value", study.FitBest: "fitted to this picture", study.FitArea: "of equal areas",
	study.FitCards: "your grey cards", study.FitHand: "their edges set by hand",
}

// edgesText says where the steps part.
func edgesText(s shape.Steps) string {
	words := make([]string, 0, s.Count()-1)
	for _, edge := range s.Edges() {
		words = append(words, fmt.Sprintf("%.0f", float64(edge)))
	}
	return " They part at L* " + strings.Join(words, ", ") + "."
}

// rangeText is where a step begins and ends.
func rangeText(s shape.Steps, k int) string {
	from, to := s.Range(k)
	return fmt.Sprintf("L* %.0f to %.0f", float64(from), float64(to))
}

// proportions are those of the photograph, or of the painter's own crop, and of what
// is painted, and what they differ by.
func (e *Easel) proportions() string {
	what, fit := "photograph", e.fitOf()
	if e.doc().Own.Width > 0 {
		what, fit = "crop", e.cropFit()
	}
	text := fmt.Sprintf("%s %.2f, %s %.2f", what, fit.PhotoRatio, e.paintedWord(), fit.CanvasRatio)
	if fit.Mismatch < place.Inch.MM()/(2*sixtyFourths) {
		return text
	}
	if text += ","; fit.Turned {
		text += " turned"
	}
	return text + " off by " + place.FineText(fit.Mismatch, e.doc().Canvas.Unit)
}

// faceStudy is the Study tray.
func (e *Easel) faceStudy(f *Face) {
	d := e.doc()
	f.Value["study-name"] = d.Name
	for _, item := range study.Cycles() {
		f.Checked["key-cycle-"+item] = false
	}
	for _, item := range d.Cycle {
		f.Checked["key-cycle-"+item] = true
	}
	f.Disabled["study-name"] = e.still()
	if e.history == nil {
		return
	}
	e.disable(f, "surround-lighter", d.Surround >= 80)
	e.disable(f, "surround-darker", d.Surround <= 20)
}
