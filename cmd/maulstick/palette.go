package main

import (
	"context"
	"flag"
	"fmt"
	"strconv"
	"strings"

	"maulstick/render/card"
	"maulstick/render/colour"
	"maulstick/render/palette"
	"maulstick/render/pile"
	"maulstick/render/place"
)

// mixedPalette is what "palette" tells of piles that were mixed.
type mixedPalette struct {
	Piles        []mixedPile `json:"piles"`
	WithinColour float64     `json:"promised_colours_lightness"`
	StepWidth    float64     `json:"step_lightness"`
	WarmthUnit   string      `json:"warmth_unit"`
	advice
}

// mixedPile is one pile by the cards.
type mixedPile struct {
	X             int          `json:"x_px"`
	Y             int          `json:"y_px"`
	RGB           rgbCodes     `json:"rgb"` // by the cards
	Lightness     float64      `json:"lightness"`
	MunsellValue  float64      `json:"munsell_value"`
	Name          string       `json:"name"`
	CardValue     *float64     `json:"card_value"`       // that it is held against; null without one
	CardNamed     bool         `json:"card_named"`       // that was named with the pile; else it is the value of the planned step
	Difference    *float64     `json:"difference_steps"` // over 0 where the pile is too light
	Within        float64      `json:"uncertainty_steps"`
	Said          string       `json:"said,omitempty"`
	FilterSteps   float64      `json:"red_filter_misreads_steps"` // of 20 L*, over 0 where the filter lightens
	FilterWarning string       `json:"red_filter_warning,omitempty"`
	Warmth        float64      `json:"warmth"`
	Temperature   string       `json:"temperature"`
	Planned       *plannedPile `json:"nearest_planned,omitempty"`
}

// plannedPile is the planned pile that a mixed one comes nearest to.
type plannedPile struct {
	Step  int      `json:"step"`
	Name  string   `json:"name"`
	RGB   rgbCodes `json:"rgb"`
	Off   float64  `json:"off_de00"`
	Near  bool     `json:"near"` // else it is plainly another colour, and where to go says little
	Words []string `json:"go"`   // lighter, darker, warmer, cooler, stronger, greyer
}

func readPalette(ctx context.Context, o *options) error {
	var a paletteAsked
	err := o.parse("holds mixed piles of paint against their grey cards, and against the piles planned from a reference.", func(f *flag.FlagSet) { a.declare(o, f) })
	if err != nil {
		return err
	}
	if err := a.whole(o); err != nil {
		return err
	}
	opened, err := o.openAnother(a.photo)
	if err != nil {
		return err
	}
	given, err := parseCards(a.cards)
	if err != nil {
		return err
	}
	piles, err := o.parsePiles(a.piles, opened.Size())
	if err != nil {
		return err
	}
	plan, notes, err := o.plannedPiles(ctx, a.planned)
	if err != nil {
		return err
	}
	notes.Notes = append(notes.Notes, opened.Notes...)
	step := colour.Lightness(100 / float64(o.n))
	answer := palette.Read(opened.Picture, palette.Ask{Cards: given, Piles: piles, Plan: palette.PlanOf(plan), Step: step, Sheet: colour.RedSheet})
	if answer.Cards == nil {
		return &place.Problem{Doing: card.Measuring, What: answer.Wrong, Wanted: answer.Wanted}
	}
	told, err := tellPalette(answer, piles, step)
	if err != nil {
		return err
	}
	told.advice = notes
	return o.write(told)
}

// paletteAsked is how a palette was asked about.
type paletteAsked struct {
	photo, cards, piles string
	planned             int
}

func (a *paletteAsked) declare(o *options, f *flag.FlagSet) {
	f.StringVar(&a.photo, "photo", "", "the photograph of the palette, a `FILE`")
	f.StringVar(&a.cards, "cards", "", helpCards)
	f.StringVar(&a.piles, "piles", "", "the piles, each a pixel in its middle `X,Y`, or VALUE@X,Y with the card that it is to match,\na space between them, as in \"4@300,500 420,510\"")
	o.declareReference(f)
	f.StringVar(&o.canvas, "canvas", "", helpCanvas+"; the reference is cropped to its proportion")
	f.StringVar(&o.crop, "crop", "", "the painted part of the reference in pixels, `X,Y,W,H`")
	f.IntVar(&o.n, "n", 5, helpSteps)
	f.IntVar(&a.planned, "planned", pile.Found, "how many piles a step are planned, 1 to 9; 0 finds as many as its colours need")
	o.declareJSON(f)
}

// whole refuses what lacks something.
func (a *paletteAsked) whole(o *options) error {
	for _, f := range [][3]string{{a.photo, "photo", "palette.jpg"}, {a.cards, "cards", `"2@120,340 5@400,340 9@700,338"`}, {a.piles, "piles", `"4@300,500 420,510"`}} {
		if f[0] == "" {
			return o.missing(f[1], f[2])
		}
	}
	_, err := o.equalSteps()
	return err
}

// parsePiles reads where piles were touched.
func (o *options) parsePiles(list string, size place.Pixels) (all []palette.Touch, err error) {
	for _, word := range partsOf(list) {
		value, at, two := strings.Cut(word, "@")
		var one palette.Touch
		if two {
			v, err := colour.ParseValue(value)
			if err != nil {
				return nil, &place.Problem{Doing: "reading the pile " + strconv.Quote(word), What: err.Error(), Wanted: "give the value of its card and a pixel in its middle, as in 4@300,500"}
			}
			one.Card = &v
		} else {
			at = word
		}
		x, y, err := o.spotOf(at, size)
		if err != nil {
			return nil, err
		}
		one.At = place.PhotoPoint{X: float64(x) + 0.5, Y: float64(y) + 0.5}
		all = append(all, one)
	}
	return all, nil
}

// plannedPiles are the piles planned from the reference, none without one.
func (o *options) plannedPiles(ctx context.Context, each int) (plan pile.Piles, notes advice, err error) {
	if o.reference == "" {
		return plan, notes, nil
	}
	if each < 0 || each > pile.Most {
		return plan, notes, o.misused(fmt.Sprintf("%d piles a step were asked for, and there can be 1 to %d", each, pile.Most))
	}
	s, err := o.equalSteps()
	if err != nil {
		return plan, notes, err
	}
	opened, crop, notes, err := o.openCropped()
	if err != nil {
		return plan, notes, err
	}
	plan, err = pile.Find(colour.EyeMeter, opened.Picture, crop, s, each, func(float64) error { return ctx.Err() })
	return plan, notes, err
}

// tellPalette is what was read of piles as JSON has it.
func tellPalette(answer palette.Answer, piles []palette.Touch, step colour.Lightness) (mixedPalette, error) {
	told := mixedPalette{Piles: []mixedPile{}, WithinColour: float64(answer.Cards.Colours), StepWidth: float64(step), WarmthUnit: warmthUnit}
	for i, r := range answer.Piles {
		x, y := int(r.At.X), int(r.At.Y)
		if r.Wrong != "" {
			return told, &place.Problem{Doing: fmt.Sprintf("reading the pile at %d,%d", x, y), What: r.Wrong, Wanted: r.Wanted}
		}
		one := tellPile(r, x, y)
		one.CardNamed = piles[i].Card != nil
		told.Piles = append(told.Piles, one)
	}
	return told, nil
}

// tellPile is one pile as JSON has it.
func tellPile(r palette.Reading, x, y int) mixedPile {
	m := mixedPile{
		X: x, Y: y, RGB: codesOf(r.Colour), Lightness: float64(r.Lightness), MunsellValue: float64(r.Lightness.Value()), Name: r.Name,
		Within: r.Within, FilterSteps: float64(r.Misreading), FilterWarning: r.Warning, Warmth: float64(r.Warmth), Temperature: r.Temperature,
	}
	if p := r.Planned; p != nil {
		m.Planned = &plannedPile{Step: p.Step, Name: p.Name, RGB: codesOf(p.Colour), Off: p.Off, Near: p.Near(), Words: append([]string{}, p.Way...)}
	}
	if r.Card != nil {
		v, off := float64(*r.Card), r.Difference
		m.CardValue, m.Difference, m.Said = &v, &off, r.Said
	}
	return m
}

func (m mixedPalette) text() string {
	var b strings.Builder
	for _, p := range m.Piles {
		fmt.Fprintf(&b, "column %d, row %d: %s, value %.1f, %s", p.X, p.Y, p.Name, p.MunsellValue, p.Temperature)
		if p.Difference != nil {
			against := "the card of value"
			if !p.CardNamed {
				against = "its planned step's value of"
			}
			fmt.Fprintf(&b, "; against %s %.3g: %s", against, *p.CardValue, p.Said)
		}
		b.WriteString("\n")
		if p.FilterWarning != "" {
			fmt.Fprintf(&b, "  %s\n", p.FilterWarning)
		}
		if n := p.Planned; n != nil {
			way := "as it should be"
			if len(n.Words) > 0 {
				way = strings.Join(n.Words, ", ")
			}
			if n.Near {
				fmt.Fprintf(&b, "  nearest planned pile: %s of step %d: %s\n", n.Name, n.Step, way)
			} else {
				fmt.Fprintf(&b, "  no planned pile is near it: the nearest is %s of step %d\n", n.Name, n.Step)
			}
		}
	}
	fmt.Fprintf(&b, "lightness of colours within about %.0f L*, %.1f of a step\n", m.WithinColour, m.WithinColour/m.StepWidth)
	return b.String() + m.advice.lines()
}
