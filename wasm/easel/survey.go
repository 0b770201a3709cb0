package easel

import (
	"reflect"

	"maulstick/render"
	"maulstick/render/colour"
	"maulstick/render/look"
	"maulstick/render/place"
	"maulstick/render/shape"
	"maulstick/render/study"
	"maulstick/render/survey"
)

// SurveyRequest asks a question about the open photograph.
type SurveyRequest struct {
	ID  int // of this request, from 1
	Ask survey.Ask
}

// surveys are the questions about the picture as a whole, one of each kind.
type surveys struct {
	last int // the number of the newest request
	of   map[survey.Kind]*question
}

// question is one that was asked, how far its answer is, and the last answer that
// came, which may be another question's.
type question struct {
	ask     survey.Ask
	id      int
	busy    bool
	share   float64 // 0..1
	stopped bool
	failed  string
	answer  *survey.Answer
	made    *render.Made // the answer's picture
	current bool         // the answer is this question's
}

// PhotoKey tells open photographs apart, also by how they are set right; "" without
// one.
func (e *Easel) PhotoKey() string { return e.doc().Reference.Hash + e.doc().Righting.Key() }

// needed are the kinds of questions whose answers the page shows now.
func (e *Easel) needed() []survey.Kind {
	d := e.doc()
	need := map[survey.Kind]bool{
		survey.Flat:  d.Shown == study.ShownFlat || d.Tray == study.TrayShape && d.Parts.Shape == "flat",
		survey.Edges: d.Shown == study.ShownEdges || d.Tray == study.TrayShape && d.Parts.Shape == "edges" || d.Tray == study.TrayValue && d.Parts.Value == "contrasts",
		survey.Piles: d.Shown == study.ShownPiles || e.paletteSeen() && e.onPiles() || d.Tray == study.TrayColour && d.Parts.Colour == "piles",
		survey.Tones: d.Look.Tone == look.Temperature || d.Tray == study.TrayColour && d.Parts.Colour != "piles" || d.Tray == study.TrayValue && d.Parts.Value == "filter",
		survey.Clean: d.Finding.Clean && d.Look.Tone == look.Steps,
	}
	var kinds []survey.Kind
	for _, k := range survey.Kinds() {
		if need[k] {
			kinds = append(kinds, k)
		}
	}
	return kinds
}

// ask is the question of a kind as the study puts it now.
func (e *Easel) ask(k survey.Kind) survey.Ask {
	d := e.doc()
	a := survey.Ask{Kind: k, Crop: d.Crop(), Canvas: d.Size()}
	focal := func() {
		if m, ok := d.Mark(d.Finding.Focal); ok && a.Crop.Contains(point(m)) {
			at := point(m)
			a.Focal = &at
		}
	}
	values := func() {
		a.Steps, a.Filter = d.Look.Flat(), d.Look.Filter
		if a.Filter {
			a.Sheet = d.Look.Sheet
		}
	}
	switch k {
	case survey.Flat:
		values()
		focal()
		a.Smallest, a.Count, a.Last = d.SmallestSize(), d.Finding.Count, d.Finding.FocalLast
		a.Outlines = e.outlining
	case survey.Edges:
		values()
		focal()
		a.Smallest, a.Count = d.SmallestSize(), d.Finding.Count
	case survey.Piles:
		values()
		a.Each, a.Canvas = d.Finding.Each, place.Size{}
		if e.paletteSeen() { // which are mixed to what is there, not to what the filter shows
			a.Filter, a.Sheet = false, colour.RedSheet
		}
	case survey.Tones:
		a.Sheet, a.Wheel, a.White, a.Canvas = d.Look.Sheet, d.Finding.Wheel, d.Finding.White, place.Size{}
		if !a.White {
			a.Neutral = e.picked()
		}
	case survey.Clean:
		values()
		a.Smallest = d.SmallestSize()
	}
	return a
}

// picked is the neutral that the painter touched, or black.
func (e *Easel) picked() colour.SRGB {
	if e.doc().Finding.Picked {
		return e.doc().Look.Neutral
	}
	return colour.SRGB{}
}

// askSurveys asks what the page needs to know and has not asked.
func (e *Easel) askSurveys() {
	if !e.filled || e.history == nil {
		return
	}
	for _, k := range e.needed() {
		ask, q := e.ask(k), e.surveys.of[k]
		if q != nil && reflect.DeepEqual(q.ask, ask) {
			continue
		}
		if q == nil {
			q = &question{}
			e.surveys.of[k] = q
		}
		e.surveys.last++
		q.ask, q.id, q.busy, q.share, q.stopped, q.failed, q.current = ask, e.surveys.last, true, 0, false, "", false
		e.host.Survey(SurveyRequest{ID: q.id, Ask: ask})
	}
}

// Surveying says how far the answer to a request is, 0 to 1.
func (e *Easel) Surveying(k survey.Kind, id int, share float64) {
	if q := e.surveys.of[k]; q != nil && q.id == id {
		q.share = portion(share)
	}
	e.after()
}

// Surveyed answers the Survey of that number, with the answer's picture to be shown
// if there is one. An answer to an older request is ignored.
func (e *Easel) Surveyed(id int, answer survey.Answer, made *render.Made) {
	for k, q := range e.surveys.of {
		switch {
		case q.id != id:
		case !tells(answer, k):
			q.busy, q.failed = false, "what was found about the picture cannot be read"
			e.noOutlines(k)
		default:
			answer.Picture = nil // made holds it
			q.busy, q.stopped, q.failed = false, false, ""
			q.answer, q.made, q.current = &answer, made, true
			e.tookAnswer(k, q)
		}
	}
	e.after()
}

// tells says whether an answer has the part that its kind names.
func tells(a survey.Answer, k survey.Kind) bool {
	return map[survey.Kind]bool{
		survey.Flat: a.Flat != nil, survey.Edges: a.Edges != nil, survey.Piles: a.Piles != nil,
		survey.Tones: a.Tones != nil, survey.Clean: a.Clean != nil,
	}[k]
}

// tookAnswer does what follows from an answer: a neutral that was found is what warm
// and cool are told by, and outlines that were waited for are handed over.
func (e *Easel) tookAnswer(k survey.Kind, q *question) {
	switch k {
	case survey.Tones:
		if !e.doc().Finding.Picked {
			e.look(func(l *look.Look) { l.Neutral = q.answer.Tones.Neutral })
		}
	case survey.Flat:
		if e.outlining {
			e.outlining, q.ask.Outlines = false, false
			e.host.SaveBytes(e.doc().FileStem()+"-outlines.svg", "image/svg+xml", []byte(q.answer.Flat.SVG))
		}
	}
}

// SurveyFailed says that a request cannot be answered, and why.
func (e *Easel) SurveyFailed(k survey.Kind, id int, why string) {
	if q := e.surveys.of[k]; q != nil && q.id == id {
		q.busy, q.failed = false, why
		e.noOutlines(k)
	}
	e.after()
}

// noOutlines waits no longer for outlines that will not come.
func (e *Easel) noOutlines(k survey.Kind) {
	if k == survey.Flat {
		e.outlining, e.surveys.of[k].ask.Outlines = false, false
	}
}

// stopSurveys gives up what is being worked out.
func (e *Easel) stopSurveys() {
	for _, k := range survey.Kinds() {
		if q := e.surveys.of[k]; q != nil && q.busy {
			q.busy, q.stopped = false, true
			e.noOutlines(k)
			e.host.StopSurvey(k)
		}
	}
}

// askAgain asks what was stopped or failed once more.
func (e *Easel) askAgain() {
	for _, q := range e.surveys.of {
		if q.stopped || q.failed != "" {
			q.stopped, q.failed, q.ask = false, "", survey.Ask{}
		}
	}
}

// answerOf is the newest answer of a kind: its own question's, or the one before
// while that is being worked out.
func (e *Easel) answerOf(k survey.Kind) *survey.Answer {
	if q := e.surveys.of[k]; q != nil && (q.current || q.busy) {
		return q.answer
	}
	return nil
}

// currentAnswer is the answer to the question of a kind as it is put now, if it has
// come: for figures that would be said of what was not asked.
func (e *Easel) currentAnswer(k survey.Kind) *survey.Answer {
	if q := e.surveys.of[k]; q != nil && q.current {
		return q.answer
	}
	return nil
}

// shownMade is the picture that is shown in place of the photograph: of a check, or of
// what was found about the photograph; nil for none.
func (e *Easel) shownMade() *render.Made {
	if made := e.madeCheck(); made != nil {
		return made
	}
	return e.made()
}

// made is the picture of what was found about the photograph that is shown in its place,
// nil for none.
func (e *Easel) made() *render.Made {
	d := e.doc()
	kind := map[string]survey.Kind{study.ShownFlat: survey.Flat, study.ShownEdges: survey.Edges, study.ShownPiles: survey.Piles}[d.Shown]
	if kind == "" && d.Finding.Clean && d.Look.Tone == look.Steps {
		kind = survey.Clean
	}
	q := e.surveys.of[kind]
	if e.plain || e.answerOf(kind) == nil || q.made == nil || q.ask.Crop != d.Crop() || kind == survey.Clean && !q.current {
		return nil
	}
	return q.made
}

// refit divides the values as the study says, where that depends on the picture or
// on cards.
func (e *Easel) refit() {
	if e.history != nil {
		e.show(e.refitted(e.doc()))
	}
}

// refitted is a study with its values divided as it says, as far as the picture has
// been counted.
func (e *Easel) refitted(d study.Document) study.Document {
	l, f := d.Look, d.Finding
	division, n, counted := l.Division, l.Steps, e.counted(l.Filter)
	switch f.Fit {
	case study.FitEqual:
		division = shape.Steps{}
	case study.FitCards:
		cards, err := shape.CardSteps(f.Cards)
		if err != nil {
			return d
		}
		division, n = cards, cards.Count()
	case study.FitBest, study.FitArea:
		if !e.counts.known {
			return d
		}
		fit := shape.BestSteps
		if f.Fit == study.FitArea {
			fit = shape.AreaSteps
		}
		fitted, err := fit(counted, n)
		if err != nil {
			return d
		}
		division = fitted
	case study.FitHand:
		if e.counts.known {
			division = division.WithMeans(counted)
		}
	}
	l.Division, l.Steps = division, n
	return d.WithLook(l)
}

// counted is the picture counted by lightness, by eye or through the red filter.
func (e *Easel) counted(filter bool) *histogram {
	if filter {
		return &e.counts.filter
	}
	return &e.counts.eye
}
