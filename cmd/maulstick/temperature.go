package main

import (
	"context"
	"flag"
	"fmt"
	"strings"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// warmthUnit says what warmth is counted in, wherever it is told.
const warmthUnit = "CIELAB units towards orange, as near grey at L* 50; under 0 towards blue"

// colourTemperature is what "temperature" tells of one colour.
type colourTemperature struct {
	RGB         rgbCodes `json:"rgb"`
	Warmth      float64  `json:"warmth"`
	Temperature string   `json:"temperature"`
	NeutralRGB  rgbCodes `json:"neutral_rgb"`
	WarmthUnit  string   `json:"warmth_unit"`
}

// lightsAndShadows is what "temperature" tells of a picture. Shares are of the
// cropped picture; the coloured ones are what is warm or cool, on which the verdict
// rests.
type lightsAndShadows struct {
	Lights          float64   `json:"lights"` // mean warmth, signed
	Shadows         float64   `json:"shadows"`
	Verdict         string    `json:"verdict"`
	LightsShare     float64   `json:"lights_share"`
	ShadowsShare    float64   `json:"shadows_share"`
	LightsColoured  float64   `json:"lights_coloured_share"`
	ShadowsColoured float64   `json:"shadows_coloured_share"`
	LightsFrom      float64   `json:"lights_from_lightness"` // CIE L*
	Neutral         string    `json:"neutral"`               // found, picked or white
	NeutralRGB      rgbCodes  `json:"neutral_rgb"`           // its hue, as light as can be stored
	WarmthUnit      string    `json:"warmth_unit"`
	CropPx          rectangle `json:"crop_px"`
	Output          string    `json:"output,omitempty"`
	advice
}

func temperature(_ context.Context, o *options) error {
	var rgb, neutral, output string
	err := o.parse("tells whether a picture's lights are warmer than its shadows, or how warm one colour is.", func(f *flag.FlagSet) {
		f.StringVar(&neutral, "neutral", "found", "what counts as `NEUTRAL`: found in the picture, white, or X,Y, a pixel of something\nthat should be grey; for one colour it is white")
		o.declareSubject(f, &rgb, &output, "write the picture in greys to a PNG `FILE`, orange where it is warm, blue where cool")
	})
	if err != nil {
		return err
	}
	if err := o.oneOf(rgb); err != nil {
		return err
	}
	if rgb == "" {
		return o.pictureTemperature(neutral, output)
	}
	if output != "" {
		return o.misused("-o needs -reference: one colour is no picture")
	}
	if neutral != "found" && neutral != "white" {
		return o.misused("-neutral X,Y needs -reference: one colour is no picture")
	}
	c, err := parseRGB(rgb)
	if err != nil {
		return err
	}
	return o.write(colourTemperature{
		RGB: codesOf(c), Warmth: float64(colour.Daylight.Warmth(c.Linear())), Temperature: colour.Daylight.Class(c).String(),
		NeutralRGB: codesOf(colour.Daylight.Neutral().Brightest()), WarmthUnit: warmthUnit,
	})
}

// pictureTemperature compares a picture's lights and shadows, and paints what is
// warm and cool.
func (o *options) pictureTemperature(neutral, output string) error {
	opened, crop, notes, err := o.openCropped()
	if err != nil {
		return err
	}
	n, kind, err := o.neutral(opened.Picture, crop, neutral)
	if err != nil {
		return err
	}
	if neutral == "found" && !n.Found {
		notes.Notes = append(notes.Notes, "no part of the picture is near enough to grey, so white counts as neutral")
	}
	t := colour.NewTemperature(n.Light)
	l, err := shape.CompareLights(opened.Picture, crop, t, nil)
	if err != nil {
		return err
	}
	if output != "" {
		picture := paintClasses(opened.Picture, crop, func(c colour.SRGB) int { return int(t.Class(c)) })
		if err := writePicture(output, picture, o.reference); err != nil {
			return err
		}
	}
	notes.Notes = append(notes.Notes, opened.Notes...)
	return o.write(lightsAndShadows{
		Lights: float64(l.Lights.Warmth), Shadows: float64(l.Shadows.Warmth), Verdict: l.Verdict(),
		LightsShare: l.Lights.Area, ShadowsShare: l.Shadows.Area,
		LightsColoured: l.Lights.Coloured, ShadowsColoured: l.Shadows.Coloured,
		LightsFrom: float64(l.Edge.Lightness()), Neutral: kind, NeutralRGB: codesOf(n.Light.Brightest()),
		WarmthUnit: warmthUnit, CropPx: rectangle(crop), Output: output, advice: notes,
	})
}

// neutral is the neutral asked for, and which kind it is.
func (o *options) neutral(p *photo.Picture, crop place.Crop, wanted string) (shape.Neutral, string, error) {
	switch strings.ToLower(strings.TrimSpace(wanted)) {
	case "white":
		return shape.Neutral{Light: colour.Linear{R: 1, G: 1, B: 1}}, "white", nil
	case "found":
		n, err := shape.FindNeutral(p, crop, nil)
		if !n.Found {
			return n, "white", err
		}
		return n, "found", err
	}
	x, y, err := o.spotOf(wanted, p.Size())
	if err != nil {
		return shape.Neutral{}, "", err
	}
	n, err := shape.PickNeutral(p, x, y)
	return n, "picked", err
}

func (c colourTemperature) text() string {
	return fmt.Sprintf("%s: warmth %+.1f\n", c.Temperature, c.Warmth)
}

func (l lightsAndShadows) text() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n", l.Verdict)
	fmt.Fprintf(&b, "lights    warmth %+6.1f   %5.1f %% of the picture, from lightness %.0f   warm or cool %5.1f %%\n", l.Lights, 100*l.LightsShare, l.LightsFrom, 100*l.LightsColoured)
	fmt.Fprintf(&b, "shadows   warmth %+6.1f   %5.1f %% of the picture                      warm or cool %5.1f %%\n", l.Shadows, 100*l.ShadowsShare, 100*l.ShadowsColoured)
	fmt.Fprintf(&b, "neutral   %s, red, green, blue %s\n", l.Neutral, l.NeutralRGB)
	if l.Output != "" {
		fmt.Fprintf(&b, "written to %s\n", l.Output)
	}
	b.WriteString(l.advice.lines())
	return b.String()
}
