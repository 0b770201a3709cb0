package easel

import (
	"fmt"
	"math"

	"maulstick/render/colour"
	"maulstick/render/look"
	"maulstick/render/place"
	"maulstick/render/shape"
	"maulstick/render/study"
)

const (
	// squintStep is one press of the keys that change the squint.
	squintStep = math.Sqrt2
	// The squint's bounds, as shares of the canvas's long side.
	squintLeast = 1.0 / 640
	squintMost  = 1.0 / 5
)

// counts is what is known about the values of the open crop.
type counts struct {
	last   int        // the number of the newest request
	crop   place.Crop // it asked about
	sheet  colour.Sheet
	asked  bool
	known  bool
	eye    histogram
	filter histogram
}

// histogram is a picture counted by lightness. The page is told of the bars with
// every change, and they take long to spell.
type histogram struct {
	shape.Histogram
	bars string // see bars
}

func newHistogram(h shape.Histogram) histogram { return histogram{h, bars(h.Codes())} }

// askCounts asks for the counts of a crop that has not been counted.
func (e *Easel) askCounts() {
	if !e.filled || e.history == nil {
		return
	}
	crop, sheet := e.doc().Crop(), e.doc().Look.Sheet
	if e.counts.asked && e.counts.crop == crop && e.counts.sheet == sheet {
		return
	}
	e.counts = counts{last: e.counts.last + 1, crop: crop, sheet: sheet, asked: true}
	e.host.Count(CountRequest{ID: e.counts.last, Crop: crop, Sheet: sheet})
}

// Counted answers the Count of that number with the crop's pixels counted by
// lightness, as the eye sees them and through the red filter. An answer to an
// older request is ignored.
func (e *Easel) Counted(id int, eye, filter shape.Histogram) {
	if e.counts.asked && id == e.counts.last {
		e.counts.known, e.counts.eye, e.counts.filter = true, newHistogram(eye), newHistogram(filter)
		e.refit()
	}
	e.after()
}

// tone turns one way of showing values on, or off if it is on.
func (e *Easel) tone(t look.Tone) {
	e.look(func(l *look.Look) {
		if l.Tone == t {
			t = look.Colour
		}
		l.Tone = t
		if t == look.Temperature || t == look.Misled {
			l.Filter = false
		}
	})
	e.refit()
}

// stepsBy makes the steps more or fewer and shows them all. Cards and edges that
// were set by hand are as many as they are: other numbers are of equal steps, and
// undoing brings back the painter's own.
func (e *Easel) stepsBy(n int) {
	change := e.show
	d := e.finding(func(f *study.Finding) {
		if f.Fit == study.FitCards || f.Fit == study.FitHand {
			f.Fit = study.FitEqual
			change = func(d study.Document) { e.do(d, "") }
		}
	})
	l := d.Look
	l.Steps += n
	l.Tone, l.Keep, l.Step = look.Steps, look.KeepAll, 0
	change(e.refitted(d.WithLook(l)))
}

// isolate keeps a step in sight alone, or with all darker or lighter ones; the
// key that is on shows all again. Where no step is chosen the middle one is.
func (e *Easel) isolate(k look.Keep) {
	e.look(func(l *look.Look) {
		if l.Tone == look.Steps && l.Keep == k {
			l.Keep = look.KeepAll
			return
		}
		if l.Step == 0 {
			l.Step = (l.Steps + 1) / 2
		}
		l.Tone, l.Keep = look.Steps, k
	})
}

// pressStep isolates a step; pressed again it shows all.
func (e *Easel) pressStep(k int) {
	l := e.doc().Look
	if k < 1 || k > l.Steps {
		return
	}
	if l.Tone == look.Steps && l.Step == k && l.Keep != look.KeepAll {
		e.look(func(l *look.Look) { l.Keep = look.KeepAll })
		return
	}
	e.pick(k)
}

// pick isolates a step in the way that is on, or alone.
func (e *Easel) pick(k int) {
	e.look(func(l *look.Look) {
		l.Tone, l.Step = look.Steps, k
		if l.Keep == look.KeepAll {
			l.Keep = look.KeepOnly
		}
	})
	e.says.news = fmt.Sprintf("Step %d of %d.", k, e.doc().Look.Steps)
}

// pickAt isolates the step of the photograph at a place of the screen, in
// device pixels.
func (e *Easel) pickAt(x, y float64) {
	p := e.viewport().ToPhoto(x, y)
	if !e.doc().Crop().Contains(p) {
		return
	}
	if c, ok := e.at(p); ok {
		e.pick(e.step(c, e.doc().Look.Filter))
	}
}

// step is the step of a colour, by eye or through the red filter.
func (e *Easel) step(c colour.SRGB, filter bool) int {
	l := e.doc().Look
	meter := colour.EyeMeter
	if filter {
		meter = l.Sheet.Meter()
	}
	return l.Flat().Of(meter.Read(c.R, c.G, c.B))
}

// squintBy makes the squint stronger or weaker and turns it on.
func (e *Easel) squintBy(factor float64) {
	share := min(max(e.doc().Squinting()*factor, squintLeast), squintMost)
	e.show(e.doc().WithSquinting(share))
	e.look(func(l *look.Look) { l.Squint = true })
}

// squintText is the squint's strength as the painter knows it: how wide a
// thing on the canvas has to be to survive it.
func squintText(d study.Document) string {
	if !d.HasCanvas() {
		return fmt.Sprintf("Squint: what is under 1/%.0f of the long side runs together.", 1/d.Squinting())
	}
	text := "Squint: what is under " + place.FineText(d.Look.Blur, d.Canvas.Unit) + " on the canvas runs together"
	if paces := place.PacesOf(d.Look.Blur, place.SquintedSight); paces >= 1.5 {
		text += fmt.Sprintf(", as from %.0f paces with half-closed eyes", paces)
	}
	return text + "."
}
