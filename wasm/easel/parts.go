package easel

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"maulstick/render/colour"
	"maulstick/render/look"
	"maulstick/render/place"
	"maulstick/render/shape"
	"maulstick/render/study"
	"maulstick/render/survey"
)

// Keys of the trays' parts that do one thing each.
func init() {
	for name, do := range map[string]func(*Easel){
		"clean":         func(e *Easel) { e.find(func(f *study.Finding) { f.Clean = !f.Clean }) },
		"misled":        func(e *Easel) { e.tone(look.Misled) },
		"temperature":   func(e *Easel) { e.tone(look.Temperature) },
		"neutral-found": func(e *Easel) { e.decide(func(f *study.Finding) { f.White, f.Picked = false, false }, "") },
		"neutral-white": func(e *Easel) { e.decide(func(f *study.Finding) { f.White, f.Picked = true, false }, "") },
		"neutral-pick":  func(e *Easel) { e.picking = !e.picking },
		"each-fewer":    func(e *Easel) { e.eachBy(-1) },
		"each-more":     func(e *Easel) { e.eachBy(+1) },
		"each-needed":   func(e *Easel) { e.find(func(f *study.Finding) { f.Each = 0 }) },
		"piles":         func(e *Easel) { e.shown(study.ShownPiles) },
		"flat":          func(e *Easel) { e.shown(study.ShownFlat) },
		"edges":         func(e *Easel) { e.shown(study.ShownEdges) },
		"shapes-fewer":  func(e *Easel) { e.shapesBy(1 / shapesStep) },
		"shapes-more":   func(e *Easel) { e.shapesBy(shapesStep) },
		"outlines":      func(e *Easel) { e.outlining = e.answerOf(survey.Flat) != nil },
		"chart":         func(e *Easel) { e.saveChart() },
		"focal":         (*Easel).pressFocal,
		"focal-last":    func(e *Easel) { e.find(func(f *study.Finding) { f.FocalLast = !f.FocalLast }) },
		"survey-stop":   (*Easel).stopSurveys,
		"survey-again":  (*Easel).askAgain,
	} {
		keys[name] = do
	}
}

// find changes how what is asked about the picture is looked at: no step to undo.
func (e *Easel) find(change func(*study.Finding)) { e.show(e.finding(change)) }

// decide changes what the painter has decided about the picture, in steps that can be
// undone; see study.History.Do for runs.
func (e *Easel) decide(change func(*study.Finding), run string) { e.do(e.finding(change), run) }

// finding is the study with other questions.
func (e *Easel) finding(change func(*study.Finding)) study.Document {
	f := e.doc().Finding
	change(&f)
	return e.doc().WithFinding(f)
}

// turnTo turns a tray to one of its parts.
func (e *Easel) turnTo(part string) {
	e.settle()
	e.moveOn()
	e.row, e.picking, e.armed, e.tool = "", false, false, inHand{}
	e.palette.note, e.palette.value = "", field{}
	e.show(e.doc().WithPart(part))
	e.lookAtShelf()
}

// shown puts a picture in place of the photograph, or takes it away again.
func (e *Easel) shown(what string) {
	if e.doc().Shown == what {
		what = ""
	}
	e.show(e.doc().WithShown(what))
}

// pressFilter turns the red filter on or off. Through it there is neither warm nor
// cool to be seen, nor where it misleads.
func (e *Easel) pressFilter() {
	e.look(func(l *look.Look) {
		l.Filter = !l.Filter
		if l.Filter && (l.Tone == look.Temperature || l.Tone == look.Misled) {
			l.Tone = look.Colour
		}
	})
	e.refit()
}

// fitBy divides the values in another way and shows the steps.
func (e *Easel) fitBy(fit string) {
	e.cards = field{}
	if fit == study.FitCards && len(e.doc().Finding.Cards) < shape.FewestSteps {
		e.cards = field{refused: true, note: "Type your cards first, as in 1.5, 3.5, 5.5, 7.5, 9.5."}
		return
	}
	e.divideBy(func(f *study.Finding) { f.Fit = fit })
}

// divideBy changes what decides how the values are divided, and shows the steps.
func (e *Easel) divideBy(change func(*study.Finding)) {
	d := e.finding(change)
	l := d.Look
	l.Tone, l.Keep, l.Step = look.Steps, look.KeepAll, 0
	e.do(e.refitted(d.WithLook(l)), "")
}

// typeCards takes the values of the painter's grey cards, or says beside the field
// what is wrong with them.
func (e *Easel) typeCards(text string) {
	e.cards = field{}
	cards := []colour.Value{}
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == ',' || r == ';' }) {
		v, err := strconv.ParseFloat(word, 64)
		if err != nil {
			e.refuseCards(text, &place.Problem{
				Doing: "taking the grey cards " + text, What: word + " is no number",
				Wanted: "give their Munsell values, the darkest first, as in 1.5, 3.5, 5.5, 7.5, 9.5",
			})
			return
		}
		cards = append(cards, colour.Value(v))
	}
	switch _, err := shape.CardSteps(cards); {
	case len(cards) == 0 && e.doc().Finding.Fit == study.FitCards:
		e.divideBy(func(f *study.Finding) { f.Fit, f.Cards = study.FitEqual, cards })
	case len(cards) == 0:
		e.decide(func(f *study.Finding) { f.Cards = cards }, "")
	case err != nil:
		e.refuseCards(text, err)
	default:
		e.divideBy(func(f *study.Finding) { f.Fit, f.Cards = study.FitCards, cards })
	}
}

// refuseCards says beside the field what is wrong with the cards.
func (e *Easel) refuseCards(text string, err error) {
	e.cards = field{refused: true, typed: text, note: refusal(err)}
	e.says.news = e.cards.note
}

// typeSmallest takes the smallest size of shapes and specks; nothing typed goes by
// the canvas.
func (e *Easel) typeSmallest(text string) {
	e.smallest = field{}
	var size place.MM
	if strings.TrimSpace(text) != "" {
		typed, _, err := place.ParseLength(text, small(e.doc().Canvas.Unit))
		if most := min(e.doc().Size().Width, e.doc().Size().Height) / 2; err == nil && (typed <= 0 || typed > most) {
			err = &place.Problem{
				Doing: "taking the smallest size " + text, What: "it is not between nothing and half the canvas's short side",
				Wanted: "give a length such as 2 in or 5 cm",
			}
		}
		if err != nil {
			e.smallest = field{refused: true, typed: text, note: refusal(err)}
			e.says.news = e.smallest.note
			return
		}
		size = typed
	}
	e.decide(func(f *study.Finding) { f.Smallest, f.Count = size, 0 }, "")
}

// The slider of the number of shapes runs from few to many in equal factors; a
// picture that does not come to as many is shown in as many as it has.
const (
	sliderEnd    = 100 // its right end
	fewestShapes = 5
	mostShapes   = 300
	shapesStep   = 1.5 // one press of the keys
)

// typeCount takes the slider of the number of shapes.
func (e *Easel) typeCount(text string) {
	at, err := strconv.ParseFloat(text, 64)
	if err != nil || !(at >= 0 && at <= sliderEnd) {
		return
	}
	count := fewestShapes * math.Pow(mostShapes/fewestShapes, at/sliderEnd)
	e.decide(func(f *study.Finding) { f.Count = int(math.Round(count)) }, "count")
}

// sliderAt is where the slider stands for a number of shapes.
func sliderAt(count int) float64 {
	at := sliderEnd * math.Log(float64(max(count, 1))/fewestShapes) / math.Log(mostShapes/fewestShapes)
	return min(max(at, 0), sliderEnd)
}

// shapesBy makes the shapes fewer or more.
func (e *Easel) shapesBy(factor float64) {
	count := e.doc().Finding.Count
	if a := e.answerOf(survey.Flat); count == 0 && a != nil {
		count = a.Flat.Count
	}
	next := int(math.Round(float64(max(count, 1)) * factor))
	if next == count && factor > 1 {
		next++
	}
	e.decide(func(f *study.Finding) { f.Count = min(max(next, 1), mostShapes) }, "count")
}

// saveChart hands over the palette chart. Its steps have the shares that the Value tray
// tells, of the photograph itself and not of the copy that the piles are gathered on.
func (e *Easel) saveChart() {
	if a := e.currentAnswer(survey.Piles); a != nil {
		chart, l := *a, e.doc().Look
		chart.Piles = &survey.Mixes{Steps: slices.Clone(a.Piles.Steps)}
		if e.counts.known {
			for k, share := range e.counted(l.Filter).Shares(l.Flat())[:min(l.Steps, len(chart.Piles.Steps))] {
				chart.Piles.Steps[k].Share = share
			}
		}
		e.host.SaveChart(e.doc().FileStem()+"-palette.png", chart)
	}
}

// pressFocal makes the chosen mark the place where the eye is to go, or, if it is,
// no longer.
func (e *Easel) pressFocal() {
	id := e.doc().Chosen
	e.decide(func(f *study.Finding) {
		if f.Focal == id {
			id = 0
		}
		f.Focal = id
	}, "")
}

// pressSheet takes another red sheet.
func (e *Easel) pressSheet(name string) {
	if sheet, err := colour.ParseSheet(name); err == nil {
		e.look(func(l *look.Look) { l.Sheet = sheet })
	}
}

// pressWheel takes another wheel of opposites.
func (e *Easel) pressWheel(name string) {
	if wheel, err := colour.ParseWheel(name); err == nil {
		e.row = ""
		e.find(func(f *study.Finding) { f.Wheel = wheel })
	}
}

// pressRow looks at a row of a list, or no longer.
func (e *Easel) pressRow(key string) {
	if e.row == key {
		key = ""
	}
	e.row = key
	e.pressListed()
	e.goToRow()
	e.pressBorrowed()
}

// pickNeutral takes what lies at a place of the screen, in device pixels, as neither
// warm nor cool, and names the run it made.
func (e *Easel) pickNeutral(x, y float64) (run string) {
	p := e.viewport().ToPhoto(x, y)
	if !e.doc().Crop().Contains(p) || !e.filled {
		return ""
	}
	n, err := shape.PickNeutral(e.picture, int(p.X), int(p.Y))
	if err != nil {
		e.say(err)
		return ""
	}
	e.picking = false
	neutral := n.Light.Brightest()
	d := e.finding(func(f *study.Finding) { f.White, f.Picked = false, true })
	l := d.Look
	l.Neutral = neutral
	e.hand.runs++
	run = fmt.Sprintf("neutral %d", e.hand.runs)
	e.do(d.WithLook(l), run)
	e.says.news = fmt.Sprintf("Neutral taken there: red %d, green %d, blue %d.", neutral.R, neutral.G, neutral.B)
	return run
}

// NudgeEdge moves an edge between steps, counted from 1, by so much lightness.
func (e *Easel) NudgeEdge(k int, by colour.Lightness) {
	if edges := e.doc().Look.Flat().Edges(); e.history != nil && k >= 1 && k <= len(edges) {
		e.DragEdge(k, edges[k-1]+by)
	}
}

// edgeRest is how long an edge stays before moving it is another step to undo.
const edgeRest = time.Second

// DragEdge moves an edge between steps, counted from 1, to a lightness; it snaps to
// a gap between two greys. Moves of one edge without a rest count as one step.
func (e *Easel) DragEdge(k int, to colour.Lightness) {
	if e.still() {
		return
	}
	steps := e.doc().Look.Flat()
	if k < 1 || k >= steps.Count() || !isNumber(float64(to)) {
		return
	}
	moved := steps.Dragged(k, to)
	if slices.Equal(moved.Edges(), steps.Edges()) {
		return
	}
	d := e.finding(func(f *study.Finding) { f.Fit = study.FitHand })
	l := d.Look
	if l.Tone != look.Steps {
		l.Tone, l.Keep, l.Step = look.Steps, look.KeepAll, 0
	}
	l.Division = moved
	now := e.now()
	if now.Sub(e.edgeMoved) > edgeRest {
		e.history.EndRun()
	}
	e.edgeMoved = now
	e.do(e.refitted(d.WithLook(l)), fmt.Sprintf("edge %d", k))
	e.after()
}
