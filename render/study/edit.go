package study

import (
	"math"
	"path"
	"slices"
	"strings"
	"unicode"

	"maulstick/render/look"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// The looks that a page-turner can step through, in their first order.
const (
	CyclePhotograph = "photograph"
	CycleGrey       = "grey"
	CycleFilter     = "filter"
	CycleSteps      = "steps"
	CycleSquint     = "squint"
	CycleMirror     = "mirror"
)

// Cycles lists every look a cycle may hold, in the order a new study has them.
func Cycles() []string {
	return []string{CyclePhotograph, CycleGrey, CycleFilter, CycleSteps, CycleSquint, CycleMirror}
}

// The trays that may stand open above the ledge.
const (
	TrayLine   = "line"
	TrayShape  = "shape"
	TrayValue  = "value"
	TrayColour = "colour"
	TrayPlace  = "place"
	TrayCheck  = "check"
	TrayStudy  = "study"
)

const (
	// standIn is the long side of the canvas that is assumed while the painter
	// has not typed one: blur needs a length before there is a canvas.
	standIn place.MM = 1000
	// firstBlur is a new study's squint: this part of the canvas's long side.
	firstBlur = 1.0 / 40
	// longestName bounds names of studies, marks and files, in characters.
	longestName = 120
)

// New is a fresh study of a reference: full colour, the whole photograph, no
// canvas yet, five steps when steps are asked for. The id is 1 to 64 letters,
// digits and hyphens, and must differ from every other study's.
func New(id string, ref Reference) Document {
	ref.Name = tidy(ref.Name)
	name := stem(ref.Name)
	d := Document{
		Format:    Format,
		ID:        id,
		Name:      name,
		Reference: ref,
		Righting:  newRighting(),
		Hold:      HoldCanvas,
		Marks:     []Mark{},
		NextMark:  1,
		Spans:     []Span{},
		NextSpan:  1,
		Parting:   1,
		Lines:     newLines(),
		Eye:       []EyePath{},
		Look:      look.Look{Steps: 5, Blur: standIn * firstBlur},
		Surround:  50,
		Cycle:     Cycles(),
		Finding:   newFinding(),
		Parts:     newParts(),
		Sheets:    newSheets(),
		Board:     newBoard(name),
		Log:       []Entry{},
		NextEntry: 1,
		Compared:  []int{},
		Palette:   newPalette(),
		Checked:   []Checked{},
	}
	return d.WithView(View{Fit: true})
}

// stem is what a photograph is called after its file.
func stem(file string) string {
	if name := tidy(strings.TrimSuffix(file, path.Ext(file))); name != "" {
		return name
	}
	return "Study"
}

// Mark is the mark of that number, and whether there is one.
func (d Document) Mark(id int) (Mark, bool) {
	i := d.find(id)
	if i < 0 {
		return Mark{}, false
	}
	return d.Marks[i], true
}

func (d Document) find(id int) int {
	return slices.IndexFunc(d.Marks, func(m Mark) bool { return m.ID == id })
}

// rescaled keeps the squint's share of a long side that was another before.
func (d Document) rescaled(before place.MM) Document {
	d.Look.Blur *= longSide(d.Size()) / before
	return d
}

func longSide(s place.Size) place.MM { return max(s.Width, s.Height) }

// WithUnit is the study with its lengths shown in another unit.
func (d Document) WithUnit(u place.Unit) Document {
	d.Canvas.Unit = u
	return d
}

// Squinting is the blur as a share of the canvas's long side, over zero.
func (d Document) Squinting() float64 {
	return float64(d.Look.Blur / longSide(d.Size()))
}

// WithSquinting is the study with a squint of that share of the long side.
func (d Document) WithSquinting(share float64) Document {
	d.Look.Blur = place.MM(share) * longSide(d.Size())
	return d
}

// WithMark adds a mark at a place of the photograph and chooses it. The place
// is brought inside the photograph; touch is how far off it may be, in photo
// pixels. The mark's number is never used again in this study.
func (d Document) WithMark(p place.PhotoPoint, touch float64) Document {
	p = d.inside(p)
	m := Mark{ID: d.NextMark, X: p.X, Y: p.Y, Touch: d.touch(touch)}
	d.Marks = append(slices.Clone(d.Marks), m)
	d.NextMark++
	d.Chosen = m.ID
	return d
}

// MovedMark is the study with a mark elsewhere; a number that is not there
// changes nothing.
func (d Document) MovedMark(id int, p place.PhotoPoint, touch float64) Document {
	p = d.inside(p)
	return d.edited(id, func(m *Mark) { m.X, m.Y, m.Touch = p.X, p.Y, d.touch(touch) })
}

// NamedMark is the study with a mark called otherwise.
func (d Document) NamedMark(id int, name string) Document {
	return d.edited(id, func(m *Mark) { m.Name = tidy(name) })
}

// WithoutMark is the study without a mark, and without the spans and lines that
// went through it; the mark before it is chosen.
func (d Document) WithoutMark(id int) Document {
	i := d.find(id)
	if i < 0 {
		return d
	}
	d.Marks = slices.Delete(slices.Clone(d.Marks), i, i+1)
	if d.Chosen == id {
		d.Chosen = 0
		if len(d.Marks) > 0 {
			d.Chosen = d.Marks[max(i-1, 0)].ID
		}
	}
	return d.withoutMarked(id)
}

// Choosing is the study with a mark chosen, or none for 0 or an unknown number.
func (d Document) Choosing(id int) Document {
	if d.find(id) < 0 {
		id = 0
	}
	d.Chosen = id
	return d
}

func (d Document) edited(id int, change func(*Mark)) Document {
	i := d.find(id)
	if i < 0 {
		return d
	}
	d.Marks = slices.Clone(d.Marks)
	change(&d.Marks[i])
	return d
}

// WithName is the study under another name; an empty one changes nothing.
func (d Document) WithName(name string) Document {
	if name = tidy(name); name != "" {
		d.Name = name
	}
	return d
}

// WithFrom is the study measured from other edges.
func (d Document) WithFrom(e place.Edges) Document {
	d.From = e
	return d
}

// WithLook is the study seen another way, brought within what a look may be:
// 2 to 9 steps, an isolated step among them, a squint over zero or else the one
// there was.
func (d Document) WithLook(l look.Look) Document {
	if !(l.Blur > 0) || !finite(float64(l.Blur)) {
		l.Blur = d.Look.Blur
	}
	l.Steps = min(max(l.Steps, 2), 9)
	l.Step = min(max(l.Step, 0), l.Steps)
	if l.Step == 0 {
		l.Keep = look.KeepAll
	}
	if l.Division.Count() != l.Steps {
		l.Division = shape.Steps{}
	}
	d.Look = l
	return d
}

// WithView is the study seen from elsewhere. A fitting view is centred on the
// crop at the fitting size; any other has its centre brought inside the crop.
func (d Document) WithView(v View) Document {
	c, size := d.Crop(), d.Pixels()
	if v.Fit || !(v.Zoom >= farthestOff) || !finite(v.Zoom) {
		v.Fit, v.Zoom = true, 1
		v.CentreX, v.CentreY = c.X+c.Width/2, c.Y+c.Height/2
	}
	// Rounding may put a crop's edge a hair outside the photograph.
	v.CentreX = min(max(v.CentreX, c.X, 0), c.X+c.Width, float64(size.Width))
	v.CentreY = min(max(v.CentreY, c.Y, 0), c.Y+c.Height, float64(size.Height))
	d.View = v
	return d
}

// WithTray is the study with that tray open, "" for none.
func (d Document) WithTray(tray string) Document {
	d.Tray = tray
	return d
}

// WithSurround is the study in a surround of that lightness, kept in 20..80.
func (d Document) WithSurround(lightness int) Document {
	d.Surround = min(max(lightness, 20), 80)
	return d
}

// WithCycle is the study with a look taken into the page-turner's cycle or
// left out; the cycle keeps the order of Cycles.
func (d Document) WithCycle(item string, in bool) Document {
	var cycle = []string{}
	for _, c := range Cycles() {
		if c == item && in || c != item && slices.Contains(d.Cycle, c) {
			cycle = append(cycle, c)
		}
	}
	d.Cycle = cycle
	return d
}

func (d Document) inside(p place.PhotoPoint) place.PhotoPoint {
	size := d.Pixels()
	return place.PhotoPoint{
		X: min(max(p.X, 0), float64(size.Width)),
		Y: min(max(p.Y, 0), float64(size.Height)),
	}
}

func (d Document) touch(t float64) float64 {
	return min(max(t, 0), float64(max(d.Pixels().Width, d.Pixels().Height)))
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// tidy keeps a name to one line of printable text of bounded length.
func tidy(s string) string {
	s = strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) {
			return ' '
		}
		if r == unicode.ReplacementChar || !unicode.IsPrint(r) {
			return -1
		}
		return r
	}, strings.ToValidUTF8(s, ""))
	s = strings.TrimSpace(s)
	if runes := []rune(s); len(runes) > longestName {
		s = strings.TrimSpace(string(runes[:longestName]))
	}
	return s
}
