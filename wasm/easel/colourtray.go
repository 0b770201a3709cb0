package easel

import (
	"fmt"
	"math"

	"maulstick/render/colour"
	"maulstick/render/look"
	"maulstick/render/shape"
	"maulstick/render/study"
	"maulstick/render/survey"
)

// faceColour is the Colour tray.
func (e *Easel) faceColour(f *Face) {
	d := e.doc()
	f.Pressed["key-temperature"] = d.Look.Tone == look.Temperature
	f.Pressed["key-neutral-found"] = !d.Finding.White && !d.Finding.Picked
	f.Pressed["key-neutral-white"] = d.Finding.White
	f.Pressed["key-neutral-pick"] = d.Finding.Picked || e.picking
	for _, w := range colour.Wheels() {
		f.Pressed["key-wheel-"+w.String()] = d.Finding.Wheel == w
		f.Disabled["key-wheel-"+w.String()] = e.still()
	}
	f.Pressed["key-piles"] = d.Shown == study.ShownPiles
	each := e.each()
	e.disable(f, "each-fewer", each <= 1)
	e.disable(f, "each-more", each >= 9)
	f.Pressed["key-each-needed"] = d.Finding.Each == 0
	f.Rows["opposites-rows"], f.Rows["piles-rows"], f.Rows["neutral-rows"] = nil, nil, nil
	if e.history == nil || d.Tray != study.TrayColour {
		return
	}
	switch d.Parts.Colour {
	case "temperature":
		e.faceTemperature(f)
	case "opposites":
		e.faceOpposites(f)
	case "piles":
		e.facePiles(f)
	}
}

// chosenColour is the colour under the chosen mark, if there is one.
func (e *Easel) chosenColour() (name string, c colour.SRGB, ok bool) {
	m, ok := e.doc().Mark(e.doc().Chosen)
	if !ok {
		return "", c, false
	}
	c, ok = e.at(point(m))
	return e.label(m.ID), c, ok
}

// faceTemperature is warm and cool.
func (e *Easel) faceTemperature(f *Face) {
	a := e.answerOf(survey.Tones)
	if e.picking {
		f.Text["temperature-verdict"] = "Touch something in the picture that should be grey."
		f.Text["temperature-note"] = ""
		return
	}
	if a == nil {
		f.Text["temperature-verdict"], f.Text["temperature-note"] = "", ""
		return
	}
	t := a.Tones
	f.Text["temperature-verdict"] = sentence(t.Verdict)
	f.Text["temperature-note"] = fmt.Sprintf("Lights %s over %s of the picture, shadows %s over %s; warm is over 0. Warm or cool are %s of it, the rest is too grey to count.",
		signed(t.Lights.Warmth), shape.ShareText(t.Lights.Area), signed(t.Shadows.Warmth), shape.ShareText(t.Shadows.Area),
		shape.ShareText(t.Lights.Coloured+t.Shadows.Coloured))
	neutral, light := "white", t.Neutral
	switch {
	case e.doc().Finding.Picked:
		neutral, light = "where you touched", e.doc().Look.Neutral
	case t.Found:
		neutral = "found in the picture"
	case !e.doc().Finding.White:
		neutral = "white: no part of the picture is near enough to grey"
	}
	e.addRow(f, "neutral-rows", "neutral", "Neutral: "+neutral, swatches(light), "")
	if name, c, ok := e.chosenColour(); ok {
		temperature := colour.NewTemperature(light.Linear())
		e.addRow(f, "neutral-rows", "mark", fmt.Sprintf("%s: %s, %s", name, temperature.Class(c), signed(temperature.Warmth(c.Linear()))), swatches(c), "")
	}
}

// signed is a warmth in whole numbers with its sign; nothing has none.
func signed(w colour.Warmth) string {
	if math.Round(float64(w)) == 0 {
		return "0"
	}
	return fmt.Sprintf("%+.0f", float64(w))
}

// faceOpposites is the pairs of opposites in the picture, and the opposite of the
// colour under the chosen mark.
func (e *Easel) faceOpposites(f *Face) {
	wheel := e.doc().Finding.Wheel
	f.Text["opposites-note"] = "Opposites " + wheel.Say() + "."
	if name, c, ok := e.chosenColour(); ok {
		text := name + " is too grey to have an opposite."
		colours := swatches(c)
		if o, ok := wheel.Opposite(c); ok {
			text, colours = fmt.Sprintf("%s: %s, opposite %s", name, o.Hue, o.OppositeHue), swatches(c, o.Colour)
		}
		e.addRow(f, "opposites-rows", "opposite-mark", text, colours, "")
	}
	a := e.currentAnswer(survey.Tones)
	if a == nil {
		return
	}
	if len(a.Tones.Pairs) == 0 {
		f.Text["opposites-note"] += " No two opposites both have half a hundredth of the picture or more."
	}
	for i, pair := range a.Tones.Pairs {
		x, y := pair.Sides[0], pair.Sides[1]
		e.addRow(f, "opposites-rows", fmt.Sprintf("pair-%d", i+1),
			fmt.Sprintf("%d. %s %s, %s %s", i+1, x.Hue, shape.ShareText(x.Share), y.Hue, shape.ShareText(y.Share)),
			swatches(x.Colour, y.Colour), fmt.Sprint(i+1), x.At, y.At)
	}
}

// each is how many piles a step has at the most; 0 while that is not known.
func (e *Easel) each() int {
	each := e.doc().Finding.Each
	if a := e.currentAnswer(survey.Piles); each == 0 && a != nil {
		for _, step := range a.Piles.Steps {
			each = max(each, len(step.Piles))
		}
	}
	return each
}

// eachBy asks for more piles a step than it has at the most, or for fewer.
func (e *Easel) eachBy(by int) {
	each := max(e.each()+by, 1)
	e.find(func(f *study.Finding) { f.Each = each })
}

// facePiles is the piles of each step.
func (e *Easel) facePiles(f *Face) {
	each := "as many as its colours need"
	if n := e.doc().Finding.Each; n > 0 {
		each = fmt.Sprint(n)
	}
	f.Text["piles-note"] = "Piles a step: " + each + ". Names after " + colour.NameSystem + "."
	a := e.answerOf(survey.Piles)
	e.disable(f, "chart", e.currentAnswer(survey.Piles) == nil)
	if a == nil {
		return
	}
	for k, step := range a.Piles.Steps {
		grey := colour.SRGB{R: step.Grey, G: step.Grey, B: step.Grey}
		for i, p := range step.Piles {
			e.addRow(f, "piles-rows", fmt.Sprintf("pile-%d-%d", k+1, i+1),
				fmt.Sprintf("Step %d: %s, value %.1f, %s", k+1, p.Name, float64(p.Value), shape.ShareText(p.Share)),
				swatches(grey, p.Colour), fmt.Sprint(k+1), p.At)
		}
	}
}
