package easel

import (
	"fmt"
	"slices"

	"maulstick/render"
	"maulstick/render/colour"
	"maulstick/render/line"
	"maulstick/render/place"
	"maulstick/render/setout"
	"maulstick/render/study"
)

// setting is the lines as they are set out: asked for, and the last ones that came.
type setting struct {
	last   int // the number of the newest request
	ask    setout.Ask
	busy   bool
	failed string
	answer *setout.Answer // of ask, or of one before it
	found  setout.Ask     // what answer answers
}

// current says whether what is set out is what the study draws now.
func (s setting) current() bool { return s.answer != nil && s.found == s.ask && !s.busy }

// linesNeeded says whether the page shows lines, or what follows from them.
func (e *Easel) linesNeeded() bool {
	d := e.doc()
	return len(d.Lines.Uses) > 0 && (d.Lines.Shown || d.Tray == study.TrayLine)
}

// askLines has the lines set out, if they are to be seen and are others than before.
func (e *Easel) askLines() {
	if e.history == nil || !e.filled || !e.linesNeeded() {
		return
	}
	d := e.doc()
	ask := setout.Ask{Plan: d.LinePlan().String(), Canvas: d.Size(), Corner: d.Lines.From, Rounding: roundingText(d.LineRounding())}
	if ask == e.setting.ask && (e.setting.busy || e.setting.answer != nil || e.setting.failed != "") {
		return
	}
	e.setting.last++
	e.setting.ask, e.setting.busy, e.setting.failed = ask, true, ""
	e.host.SetOut(e.setting.last, ask)
}

// SetOut answers the host's SetOut of that number. An answer to an older request is
// ignored.
func (e *Easel) SetOut(id int, answer setout.Answer) {
	if e.setting.busy && id == e.setting.last {
		e.setting.busy = false
		e.setting.failed = ""
		if answer.Err != "" {
			e.setting.failed = sentence(answer.Err) + " " + sentence(answer.Hint)
		}
		e.setting.answer, e.setting.found = &answer, e.setting.ask
	}
	e.after()
}

// lines is what is set out, nil if there is nothing that the study still draws.
func (e *Easel) lines() *setout.Answer {
	if len(e.doc().Lines.Uses) == 0 {
		return nil
	}
	return e.setting.answer
}

// roundingText spells a rounding as line.ParseRounding reads it.
func roundingText(r line.Rounding) string {
	if !r.Unit.Imperial() {
		return "mm"
	}
	return fmt.Sprintf("1/%d", r.Denominator)
}

// weights are how thick lines are drawn, in CSS pixels.
var weights = [study.LineWeights + 1]float64{1: 1, 2: 1.5, 3: 2.5, 4: 4, 5: 6}

// strokes are all lines that lie over the picture now.
func (e *Easel) strokes() []render.Stroke {
	if e.plain {
		return nil
	}
	d := e.doc()
	var all []render.Stroke
	if d.Lines.Shown {
		all = e.divisions()
	}
	if d.Lines.Shown || d.Tray == study.TrayLine && d.Parts.Line == "crossings" {
		for _, path := range d.Eye {
			all = append(all, e.through(path, 3, 1)...)
		}
	}
	all = append(all, e.spanStrokes()...)
	all = append(all, e.checkStrokes()...)
	return append(all, e.toolStrokes()...)
}

// divisions are the division lines.
func (e *Easel) divisions() []render.Stroke {
	d, a := e.doc(), e.lines()
	if a == nil {
		return nil
	}
	m := d.Mapping()
	// What was set out for another size lies at the same shares of this one.
	m.Canvas = e.setting.found.Canvas
	all := make([]render.Stroke, 0, len(a.Lines))
	for _, l := range a.Lines {
		if l.Use >= len(d.Lines.Uses) {
			continue
		}
		use := d.Lines.Uses[l.Use]
		all = append(all, render.Stroke{
			From: m.ToPhoto(l.From), To: m.ToPhoto(l.To),
			Width: weights[use.Weight] * e.dpr, Colour: use.Colour, Strength: float64(use.Strength) / 100,
		})
	}
	return all
}

// through is a line from place to place, in white, of a width in CSS pixels.
func (e *Easel) through(places []place.PhotoPoint, width, strength float64) []render.Stroke {
	var all []render.Stroke
	for i := 1; i < len(places); i++ {
		all = append(all, render.Stroke{
			From: places[i-1], To: places[i], Width: width * e.dpr, Strength: strength,
			Colour: colour.SRGB{R: 255, G: 255, B: 255},
		})
	}
	return all
}

// toolStrokes are what the tool in hand is drawing.
func (e *Easel) toolStrokes() []render.Stroke {
	places := e.tool.drawn
	if e.tool.tool == cornerer {
		places = append(slices.Clone(e.tool.corners[:]), e.tool.corners[0])
	}
	return e.through(places, 2, 1)
}

// spanStrokes are the chosen span and the one that others are compared with.
func (e *Easel) spanStrokes() []render.Stroke {
	d := e.doc()
	if d.Tray != study.TrayPlace || d.Parts.Place != "span" && d.Parts.Place != "list" {
		return nil
	}
	var all []render.Stroke
	for _, id := range []int{d.Unit, d.Span} {
		if s, ok := d.SpanOf(id); ok {
			from, _ := d.Mark(s.From)
			to, _ := d.Mark(s.To)
			all = append(all, e.through([]place.PhotoPoint{point(from), point(to)}, 2, 1)...)
		}
	}
	return all
}
