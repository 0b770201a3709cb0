package main

import (
	"context"
	"flag"
	"fmt"
	"strconv"
	"strings"
	"unicode"

	"maulstick/render/card"
	"maulstick/render/colour"
	"maulstick/render/place"
)

const helpCards = "grey cards on the photograph, each as `VALUE@X,Y`, a space or + between them: the Munsell value from\n0 to 10, or the printed lightness as in L52, and a pixel in its middle, as in \"2@120,340 L96@700,338\";\none given at two places measures how even the light is"

// measuredCards is what "cards" tells.
type measuredCards struct {
	Cards        []measuredCard `json:"cards"`              // the darkest first
	Method       string         `json:"method"`             // gain and gamma, or monotone curve
	Residual     *float64       `json:"residual_lightness"` // null where nothing is left to check by
	LightRise    *float64       `json:"light_rise"`         // how much more light at one end, as a part; null if not measured
	Lighter      string         `json:"lighter_end"`        // left, right, upper or lower; "" if not measured
	WithinColour float64        `json:"promised_colours_lightness"`
	WithinGrey   float64        `json:"promised_greys_lightness"`
	Spot         *spotReading   `json:"at,omitempty"`
	advice
}

// measuredCard is one card as it was read.
type measuredCard struct {
	MunsellValue   float64  `json:"munsell_value"`
	Lightness      float64  `json:"lightness"`
	X              int      `json:"x_px"`
	Y              int      `json:"y_px"`
	RGB            rgbCodes `json:"rgb"` // sRGB codes of its mean light on the photograph
	Uneven         float64  `json:"uneven_lightness"`
	ReadsLightness float64  `json:"reads_lightness"` // by the curves
}

// spotReading is a spot by the cards.
type spotReading struct {
	X            int      `json:"x_px"`
	Y            int      `json:"y_px"`
	Lightness    float64  `json:"lightness"`
	MunsellValue float64  `json:"munsell_value"`
	RGB          rgbCodes `json:"rgb"`
}

func cards(_ context.Context, o *options) error {
	var name, list string
	err := o.parse("measures grey cards on a photograph, and reads a spot by them.", func(f *flag.FlagSet) {
		f.StringVar(&name, "photo", "", "the photograph that shows the cards, a `FILE`")
		f.StringVar(&o.memory, "memory", "1GB", helpMemory)
		f.StringVar(&list, "cards", "", helpCards)
		f.StringVar(&o.at, "at", "", "read also the even patch about the pixel `X,Y`")
		o.declareJSON(f)
	})
	if err != nil {
		return err
	}
	if name == "" {
		return o.missing("photo", "cards.jpg")
	}
	if list == "" {
		return o.missing("cards", `"2@120,340 5@400,340 9@700,338"`)
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
	told := tellCards(c)
	told.Notes = append(told.Notes, opened.Notes...)
	if o.at != "" {
		x, y, err := o.spot(opened.Size())
		if err != nil {
			return err
		}
		p := card.ReadPatch(opened.Picture, place.PhotoPoint{X: float64(x) + 0.5, Y: float64(y) + 0.5}, card.HalfSide(opened.Size()))
		l := c.True(p.At, p.Light)
		told.Spot = &spotReading{x, y, float64(l.Luminance().Lightness()), float64(l.Luminance().Value()), codesOf(l.SRGB())}
	}
	return o.write(told)
}

// partsOf parts a list at its spaces and plus signs.
func partsOf(list string) []string {
	return strings.FieldsFunc(list, func(r rune) bool { return r == '+' || unicode.IsSpace(r) })
}

// parseCards reads cards with their places.
func parseCards(list string) (given []card.Card, err error) {
	for _, word := range partsOf(list) {
		c, err := parseCard(word)
		if err != nil {
			return nil, err
		}
		given = append(given, c)
	}
	return given, nil
}

// parseCard reads one card.
func parseCard(word string) (card.Card, error) {
	problem := func(what string) error {
		return &place.Problem{Doing: "reading the card " + strconv.Quote(word), What: what, Wanted: `give its value and a pixel in its middle, as in -cards "2@120,340 L96@700,338"`}
	}
	value, at, two := strings.Cut(word, "@")
	if !two {
		return card.Card{}, problem("there is no @ between its value and its place")
	}
	spot, err := whole(at, 2)
	if err != nil {
		return card.Card{}, problem("of its place, " + err.Error())
	}
	v, err := colour.ParseValue(value)
	if err != nil {
		return card.Card{}, problem(err.Error())
	}
	return card.Card{Value: v, At: place.PhotoPoint{X: float64(spot[0]) + 0.5, Y: float64(spot[1]) + 0.5}}, nil
}

// tellCards is a calibration as JSON has it.
func tellCards(c card.Calibration) measuredCards {
	m := measuredCards{Cards: []measuredCard{}, Method: c.Method()}
	for _, f := range c.Faces {
		m.Cards = append(m.Cards, measuredCard{
			MunsellValue: float64(f.Value), Lightness: float64(f.Value.Luminance().Lightness()), X: int(f.At.X), Y: int(f.At.Y),
			RGB: codesOf(f.Patch.Light.SRGB()), Uneven: f.Patch.Uneven, ReadsLightness: float64(f.Reads),
		})
	}
	if c.Checked > 0 {
		m.Residual = &c.Residual
	} else {
		m.Notes = append(m.Notes, "two cards leave nothing to check them by: a third between them would")
	}
	if c.Measured {
		m.LightRise, m.Lighter = &c.Rise, c.Lighter
	} else {
		m.Notes = append(m.Notes, "the light is taken to be even: a card shown at both ends would tell")
	}
	if c.Doubtful() {
		m.Notes = append(m.Notes, "the middle card lies far off what the others say: check its value, or show four or five cards")
	}
	colours, greys := c.Promise()
	m.WithinColour, m.WithinGrey = float64(colours), float64(greys)
	return m
}

func (m measuredCards) text() string {
	var b strings.Builder
	for _, c := range m.Cards {
		fmt.Fprintf(&b, "value %.4g, L* %.1f: reads L* %.1f, uneven by %.1f\n", c.MunsellValue, c.Lightness, c.ReadsLightness, c.Uneven)
	}
	fmt.Fprintf(&b, "%s", m.Method)
	if m.Residual != nil {
		fmt.Fprintf(&b, "; held to the others, cards are %.1f L* off", *m.Residual)
	}
	fmt.Fprintf(&b, "\ncolours are read within about %.0f L*, greys within %.0f\n", m.WithinColour, m.WithinGrey)
	if m.LightRise != nil {
		fmt.Fprintf(&b, "%.0f %% more light at the %s end, which is taken out\n", 100**m.LightRise, m.Lighter)
	}
	if s := m.Spot; s != nil {
		fmt.Fprintf(&b, "column %d, row %d: L* %.1f, value %.1f\n", s.X, s.Y, s.Lightness, s.MunsellValue)
	}
	return b.String() + m.advice.lines()
}
