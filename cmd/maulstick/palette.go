package main

import (
	"context"
	"flag"
	"fmt"
	"math"
	"strconv"
	"strings"

	"maulstick/render/card"
	"maulstick/render/check"
	"maulstick/render/colour"
	"maulstick/render/photo"
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
	RGB           [3]int       `json:"rgb"` // by the cards
	Lightness     float64      `json:"lightness"`
	MunsellValue  float64      `json:"munsell_value"`
	Name          string       `json:"name"`
	CardValue     *float64     `json:"card_value"`       // that it is held against; null without one
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
	RGB   [3]int   `json:"rgb"`
	Off   float64  `json:"off_de00"`
	Words []string `json:"go"` // lighter, darker, warmer, cooler, stronger, greyer
}

// touched is a pile as it was touched.
type touched struct {
	x, y  int
	value *colour.Value // of its card
}

func palette(ctx context.Context, o *options) error {
	var name, list, piles string
	var each int
	err := o.parse("holds mixed piles of paint against their grey cards, and against the piles planned from a reference.", func(f *flag.FlagSet) {
		f.StringVar(&name, "photo", "", "the photograph of the palette, a `FILE`")
		f.StringVar(&list, "cards", "", helpCards)
		f.StringVar(&piles, "piles", "", "the piles, each a pixel in its middle `X,Y`, or VALUE@X,Y with the card that it is to match,\na space between them, as in \"4@300,500 420,510\"")
		o.declareReference(f)
		f.StringVar(&o.canvas, "canvas", "", helpCanvas+"; the reference is cropped to its proportion")
		f.StringVar(&o.crop, "crop", "", "the painted part of the reference in pixels, `X,Y,W,H`")
		f.IntVar(&o.n, "n", 5, helpSteps)
		f.IntVar(&each, "planned", pile.Found, "how many piles a step are planned, 1 to 9; 0 finds as many as its colours need")
		o.declareJSON(f)
	})
	if err != nil {
		return err
	}
	for _, f := range [][3]string{{name, "photo", "palette.jpg"}, {list, "cards", `"2@120,340 5@400,340 9@700,338"`}, {piles, "piles", `"4@300,500 420,510"`}} {
		if f[0] == "" {
			return o.missing(f[1], f[2])
		}
	}
	if _, err := o.equalSteps(); err != nil {
		return err
	}
	opened, err := o.openAnother(name)
	if err != nil {
		return err
	}
	given, err := parseCards(list)
	if err != nil {
		return err
	}
	c, err := card.Calibrate(opened.Picture, given)
	if err != nil {
		return err
	}
	all, err := o.parsePiles(piles, opened.Size())
	if err != nil {
		return err
	}
	plan, notes, err := o.plannedPiles(ctx, each)
	if err != nil {
		return err
	}
	notes.Notes = append(notes.Notes, opened.Notes...)
	told, err := o.tellPalette(opened.Picture, c, all, plan)
	if err != nil {
		return err
	}
	told.advice = notes
	return o.write(told)
}

// parsePiles reads where piles were touched.
func (o *options) parsePiles(list string, size place.Pixels) (all []touched, err error) {
	for _, word := range partsOf(list) {
		value, at, two := strings.Cut(word, "@")
		var one touched
		if two {
			v, err := parseValue(value)
			if err != nil {
				return nil, &place.Problem{Doing: "reading the pile " + strconv.Quote(word), What: err.Error(), Wanted: "give the value of its card and a pixel in its middle, as in 4@300,500"}
			}
			one.value = &v
		} else {
			at = word
		}
		if one.x, one.y, err = o.spotOf(at, size); err != nil {
			return nil, err
		}
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

// tellPalette reads each pile by the cards.
func (o *options) tellPalette(p *photo.Picture, c card.Calibration, all []touched, plan pile.Piles) (mixedPalette, error) {
	colours, _ := c.Promise()
	step := 100 / float64(o.n)
	told := mixedPalette{Piles: []mixedPile{}, WithinColour: float64(colours), StepWidth: step, WarmthUnit: warmthUnit}
	for _, one := range all {
		patch := card.ReadPatch(p, place.PhotoPoint{X: float64(one.x) + 0.5, Y: float64(one.y) + 0.5}, card.HalfSide(p.Size()))
		if patch.Clipped > 0.1 {
			return told, &place.Problem{
				Doing: fmt.Sprintf("reading the pile at %d,%d", one.x, one.y), What: "it is clipped: a colour of it is at the end of what the camera records",
				Wanted: "photograph the palette again without shine, or with another exposure",
			}
		}
		told.Piles = append(told.Piles, tellPile(one, c.True(patch.At, patch.Light), plan, step, float64(colours)))
	}
	return told, nil
}

// tellPile is one pile as JSON has it.
func tellPile(one touched, l colour.Linear, plan pile.Piles, step, within float64) mixedPile {
	lightness, stored := l.Luminance().Lightness(), l.SRGB()
	m := mixedPile{
		X: one.x, Y: one.y, RGB: threeCodes(l), Lightness: float64(lightness), MunsellValue: float64(l.Luminance().Value()), Name: colour.Name(stored),
		Within: within / 2 / step, FilterSteps: float64(colour.RedSheet.Misreading(stored)),
		Warmth: float64(colour.Daylight.Warmth(l)), Temperature: colour.Daylight.Warmth(l).Class().String(),
	}
	if math.Abs(m.FilterSteps) >= 0.5 {
		m.FilterWarning = "do not trust the red filter here: " + colour.RedSheet.Misreading(stored).Sentence()
	}
	near, at, ok := plan.Nearest(l)
	if ok {
		way := pile.WayTo(l, near.Colour.Linear(), colour.Daylight)
		m.Planned = &plannedPile{Step: at, Name: near.Name, RGB: threeCodes(near.Colour.Linear()), Off: way.Off, Words: way.Words()}
	}
	value := one.value
	if value == nil && ok {
		value = &plan.Steps[at-1].Value
	}
	if value != nil {
		v, off := float64(*value), float64(lightness-value.Luminance().Lightness())/step
		m.CardValue, m.Difference, m.Said = &v, &off, check.StepsText(off)
	}
	return m
}

func (m mixedPalette) text() string {
	var b strings.Builder
	for _, p := range m.Piles {
		fmt.Fprintf(&b, "column %d, row %d: %s, value %.1f, %s", p.X, p.Y, p.Name, p.MunsellValue, p.Temperature)
		if p.Difference != nil {
			fmt.Fprintf(&b, "; against the card of value %.3g: %s", *p.CardValue, p.Said)
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
			fmt.Fprintf(&b, "  nearest planned pile: %s of step %d: %s\n", n.Name, n.Step, way)
		}
	}
	fmt.Fprintf(&b, "lightness of colours within about %.0f L*, %.1f of a step\n", m.WithinColour, m.WithinColour/m.StepWidth)
	return b.String() + m.advice.lines()
}
