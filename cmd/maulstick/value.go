package main

import (
	"context"
	"flag"
	"fmt"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// reading is what "value" tells of one pixel.
type reading struct {
	Value             float64  `json:"value"`              // Munsell, 0..10
	Lightness         float64  `json:"lightness"`          // CIE L*, 0..100
	FilteredValue     float64  `json:"filtered_value"`     // through the red filter
	FilteredLightness float64  `json:"filtered_lightness"` // through the red filter
	R                 uint8    `json:"r"`                  // sRGB codes
	G                 uint8    `json:"g"`
	B                 uint8    `json:"b"`
	Deep              []uint16 `json:"rgb16,omitempty"`  // the same in 16 bits, where the file has more than 8
	DifferenceSteps   float64  `json:"difference_steps"` // through the filter less the eye's, in steps of 20 L*
	FilterSentence    string   `json:"filter_sentence"`
	Warmth            float64  `json:"warmth"`      // relative to the neutral, over 0 where warm
	Temperature       string   `json:"temperature"` // in words
	NeutralRGB        rgbCodes `json:"neutral_rgb"`
	Convention        string   `json:"convention"`
	advice
}

func value(_ context.Context, o *options) error {
	err := o.parse("tells how light a spot of the photograph is, to the eye and through the red filter.", func(f *flag.FlagSet) {
		o.declareReference(f)
		f.StringVar(&o.at, "at", "", helpAt)
		o.declareJSON(f)
	})
	if err != nil {
		return err
	}
	opened, err := o.open()
	if err != nil {
		return err
	}
	x, y, err := o.spot(opened.Size())
	if err != nil {
		return err
	}
	neutral, err := shape.FindNeutral(opened.Picture, place.WholeCrop(opened.Size()), nil)
	if err != nil {
		return err
	}
	return o.write(readSpot(opened, x, y, neutral.Light))
}

// readSpot reads one pixel, its temperature relative to a neutral: in 16 bits where
// the photograph has them, but for what is told in classes.
func readSpot(p photo.Opened, x, y int, neutral colour.Linear) reading {
	c := p.At(x, y)
	light := c.Linear()
	var deep []uint16
	if p.Deep != nil {
		light, deep = p.Deep.Linear(x, y), p.Deep.At(x, y)
	}
	t, off := colour.NewTemperature(neutral), colour.RedSheet.Misreading(c)
	filtered, seen := colour.RedFilter.Luminance(light), light.Luminance()
	return reading{
		Value: float64(seen.Value()), Lightness: float64(seen.Lightness()), Deep: deep,
		FilteredValue: float64(filtered.Value()), FilteredLightness: float64(filtered.Lightness()),
		DifferenceSteps: float64(off), FilterSentence: off.Sentence(),
		Warmth: float64(t.Warmth(light)), Temperature: t.Class(c).String(), NeutralRGB: codesOf(neutral.Brightest()),
		R: c.R, G: c.G, B: c.B, Convention: convention, advice: advice{Notes: p.Notes},
	}
}

func (r reading) text() string {
	return fmt.Sprintf("value %.1f, lightness %.0f\nthrough the red filter: value %.1f, lightness %.0f\n%s\n%s: warmth %+.1f\nred %d, green %d, blue %d\n%s",
		r.Value, r.Lightness, r.FilteredValue, r.FilteredLightness, r.FilterSentence, r.Temperature, r.Warmth, r.R, r.G, r.B, r.advice.lines())
}
