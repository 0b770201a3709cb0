package easel

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"maulstick/render/colour"
	"maulstick/render/look"
	"maulstick/render/place"
	"maulstick/render/shape"
	"maulstick/render/study"
)

// Keys of the trays' parts that do one thing each.
func init() {
	for name, do := range map[string]func(*Easel){
		"clean":         func(e *Easel) { e.find(func(f *study.Finding) { f.Clean = !f.Clean }) },
		"misled":        func(e *Easel) { e.tone(look.Misled) },
		"temperature":   func(e *Easel) { e.tone(look.Temperature) },
		"neutral-found": func(e *Easel) { e.find(func(f *study.Finding) { f.White, f.Picked = false, false }) },
		"neutral-white": func(e *Easel) { e.find(func(f *study.Finding) { f.White, f.Picked = true, false }) },
		"neutral-pick":  func(e *Easel) { e.picking = !e.picking },
		"each-fewer":    func(e *Easel) { e.find(func(f *study.Finding) { f.Each-- }) },
		"each-more":     func(e *Easel) { e.find(func(f *study.Finding) { f.Each++ }) },
		"piles":         func(e *Easel) { e.shown(study.ShownPiles) },
		"flat":          func(e *Easel) { e.shown(study.ShownFlat) },
		"edges":         func(e *Easel) { e.shown(study.ShownEdges) },
		"shapes-fewer":  func(e *Easel) { e.shapesBy(1 / shapesStep) },
		"shapes-more":   func(e *Easel) { e.shapesBy(shapesStep) },
		"outlines":      func(e *Easel) { e.outlining = true },
		"chart":         func(e *Easel) { e.saveChart() },
		"focal":         (*Easel).pressFocal,
		"focal-last":    func(e *Easel) { e.find(func(f *study.Finding) { f.FocalLast = !f.FocalLast }) },
		"survey-stop":   (*Easel).stopSurveys,
		"survey-again":  (*Easel).askAgain,
	} {
		keys[name] = do
	}
}

// find changes what is asked about the picture.
func (e *Easel) find(change func(*study.Finding)) {
	f := e.doc().Finding
	change(&f)
	e.show(e.doc().WithFinding(f))
}

// turnTo turns a tray to one of its parts.
func (e *Easel) turnTo(part string) {
	e.row, e.picking = "", false
	e.show(e.doc().WithPart(part))
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
	if fit == study.FitCards && len(e.doc().Finding.Cards) < shape.FewestSteps {
		e.cards = field{refused: true, note: "Type the values of your grey cards first, as in 1.5, 3.5, 5.5, 7.5, 9.5."}
		return
	}
	e.find(func(f *study.Finding) { f.Fit = fit })
	e.refit()
	e.look(func(l *look.Look) { l.Tone, l.Keep, l.Step = look.Steps, look.KeepAll, 0 })
}

// typeCards takes the values of the painter's grey cards, or says beside the field
// what is wrong with them.
func (e *Easel) typeCards(text string) {
	e.cards = field{}
	cards := []colour.Value{}
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == ',' || r == ';' }) {
		v, err := strconv.ParseFloat(word, 64)
		if err != nil {
			v = math.NaN()
		}
		cards = append(cards, colour.Value(v))
	}
	if len(cards) == 0 {
		e.find(func(f *study.Finding) { f.Cards = cards })
		if e.doc().Finding.Fit == study.FitCards {
			e.fitBy(study.FitEqual)
		}
		return
	}
	if _, err := shape.CardSteps(cards); err != nil {
		e.cards = field{refused: true, typed: text, note: refusal(err)}
		e.says.news = e.cards.note
		return
	}
	e.find(func(f *study.Finding) { f.Cards = cards })
	e.fitBy(study.FitCards)
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
	e.find(func(f *study.Finding) { f.Smallest, f.Count = size, 0 })
}

// The slider of the number of shapes runs from few to many in equal factors.
const (
	sliderMost   = 100 // its right end
	sliderFewest = 5
	shapesStep   = 1.5 // one press of the keys
)

// typeCount takes the slider of the number of shapes.
func (e *Easel) typeCount(text string) {
	at, err := strconv.ParseFloat(text, 64)
	if err != nil || !(at >= 0 && at <= sliderMost) {
		return
	}
	_, most := e.shapesRange()
	count := sliderFewest * math.Pow(float64(most)/sliderFewest, at/sliderMost)
	e.find(func(f *study.Finding) { f.Count = int(math.Round(count)) })
}

// shapesRange is how few and how many shapes the slider goes between.
func (e *Easel) shapesRange() (fewest, most int) {
	most = 300
	if a := e.answerOf("flat"); a != nil {
		most = min(max(a.Flat.Most, sliderFewest+1), 600)
	}
	return sliderFewest, most
}

// shapesBy makes the shapes fewer or more.
func (e *Easel) shapesBy(factor float64) {
	count := e.doc().Finding.Count
	if a := e.answerOf("flat"); count == 0 && a != nil {
		count = a.Flat.Count
	}
	_, most := e.shapesRange()
	next := int(math.Round(float64(max(count, 1)) * factor))
	if next == count {
		next++
	}
	e.find(func(f *study.Finding) { f.Count = min(max(next, 1), most) })
}

// saveChart hands over the palette chart.
func (e *Easel) saveChart() {
	if a := e.answerOf("piles"); a != nil && a.Chart != nil {
		e.host.SavePicture(e.doc().FileStem()+"-palette.png", a.Chart)
	}
}

// pressFocal makes the chosen mark the place where the eye is to go, or, if it is,
// no longer.
func (e *Easel) pressFocal() {
	id := e.doc().Chosen
	e.find(func(f *study.Finding) {
		if f.Focal == id {
			id = 0
		}
		f.Focal = id
	})
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
}

// pickNeutral takes what lies at a place of the screen, in device pixels, as neither
// warm nor cool.
func (e *Easel) pickNeutral(x, y float64) {
	p := e.viewport().ToPhoto(x, y)
	if !e.doc().Crop().Contains(p) || !e.filled {
		return
	}
	n, err := shape.PickNeutral(e.picture, int(p.X), int(p.Y))
	if err != nil {
		e.say(err)
		return
	}
	e.picking = false
	most := max(n.Light.R, n.Light.G, n.Light.B)
	neutral := colour.Linear{R: n.Light.R / most, G: n.Light.G / most, B: n.Light.B / most}.SRGB()
	e.find(func(f *study.Finding) { f.White, f.Picked = false, true })
	e.look(func(l *look.Look) { l.Neutral = neutral })
	e.says.news = fmt.Sprintf("Neutral taken there: red %d, green %d, blue %d.", neutral.R, neutral.G, neutral.B)
}

// NudgeEdge moves an edge between steps, counted from 1, by so much lightness.
func (e *Easel) NudgeEdge(k int, by colour.Lightness) {
	if edges := e.doc().Look.Flat().Edges(); e.history != nil && k >= 1 && k <= len(edges) {
		e.DragEdge(k, edges[k-1]+by)
	}
}

// DragEdge moves an edge between steps, counted from 1, to a lightness; it snaps to
// a gap between two greys.
func (e *Easel) DragEdge(k int, to colour.Lightness) {
	if e.history == nil || e.lock.on {
		return
	}
	steps := e.doc().Look.Flat()
	if k < 1 || k >= steps.Count() || !isNumber(float64(to)) {
		return
	}
	moved := steps.Dragged(k, to)
	if e.counts.known {
		moved = moved.WithMeans(e.counted())
	}
	e.find(func(f *study.Finding) { f.Fit = study.FitHand })
	e.look(func(l *look.Look) {
		if l.Tone != look.Steps {
			l.Tone, l.Keep, l.Step = look.Steps, look.KeepAll, 0
		}
		l.Division = moved
	})
	e.after()
}
