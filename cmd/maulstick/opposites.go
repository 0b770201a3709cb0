package main

import (
	"context"
	"flag"
	"fmt"
	"strings"

	"maulstick/render/colour"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// opposite is what lies opposite a colour on one wheel.
type opposite struct {
	Wheel           string   `json:"wheel"`
	Says            string   `json:"says"`
	Hue             string   `json:"hue"`
	Degrees         float64  `json:"degrees"`
	RGB             rgbCodes `json:"rgb"` // of the opposite
	OppositeHue     string   `json:"opposite_hue"`
	OppositeDegrees float64  `json:"opposite_degrees"`
	Lightness       float64  `json:"lightness"` // of the opposite, CIE L*
	Duller          bool     `json:"duller"`    // the opposite could not be stored as colourful as the colour
}

// colourOpposites is what "opposites" tells of one colour.
type colourOpposites struct {
	RGB       rgbCodes   `json:"rgb"`
	Munsell   string     `json:"munsell"`
	Opposites []opposite `json:"opposites"` // none of a grey
	advice
}

// pairSide is one side of a pair of opposites in a picture.
type pairSide struct {
	Hue       string   `json:"hue"`
	AreaShare float64  `json:"area_share"`
	RGB       rgbCodes `json:"rgb"`  // the mean of all of it, in linear light
	XPx       int      `json:"x_px"` // a pixel of it, by column and row as -at has them
	YPx       int      `json:"y_px"`
}

// pictureOpposites is what "opposites" tells of a picture.
type pictureOpposites struct {
	Wheel  string        `json:"wheel"`
	Says   string        `json:"says"`
	Pairs  [][2]pairSide `json:"pairs"` // the pair whose smaller side is largest first
	CropPx rectangle     `json:"crop_px"`
	Output string        `json:"output,omitempty"`
	advice
}

func opposites(_ context.Context, o *options) error {
	var rgb, wheelName, output string
	err := o.parse("tells the opposite of a colour, or which opposites stand against each other in a picture.", func(f *flag.FlagSet) {
		f.StringVar(&wheelName, "wheel", "", "the `WHEEL` of colours: painter (red-green, orange-blue, yellow-violet), munsell or\nadditive (mixed light); without it a colour is read on all, a picture on the painter's")
		o.declareSubject(f, &rgb, &output, "write the picture to a PNG `FILE`, all in greys but the opposites")
	})
	if err != nil {
		return err
	}
	wheels := colour.Wheels()
	if wheelName != "" {
		w, err := colour.ParseWheel(wheelName)
		if err != nil {
			return &place.Problem{Doing: "choosing the wheel of colours", What: fmt.Sprintf("there is no wheel %q", wheelName), Wanted: "give painter, munsell or additive, as in -wheel munsell"}
		}
		wheels = []colour.Wheel{w}
	}
	if err := o.oneOf(rgb); err != nil {
		return err
	}
	if rgb == "" {
		return o.pictureOpposites(wheels[0], output)
	}
	if output != "" {
		return o.misused("-o needs -reference: one colour is no picture")
	}
	c, err := parseRGB(rgb)
	if err != nil {
		return err
	}
	return o.write(readOpposites(c, wheels))
}

// readOpposites reads one colour on wheels.
func readOpposites(c colour.SRGB, wheels []colour.Wheel) colourOpposites {
	out := colourOpposites{RGB: codesOf(c), Munsell: c.Munsell().String(), Opposites: []opposite{}}
	for _, w := range wheels {
		o, ok := w.Opposite(c)
		if !ok {
			out.Notes = []string{"a grey has no opposite"}
			continue
		}
		out.Opposites = append(out.Opposites, opposite{
			Wheel: w.String(), Says: w.Say(), Hue: o.Hue, Degrees: o.Turn, RGB: codesOf(o.Colour),
			OppositeHue: o.OppositeHue, OppositeDegrees: o.OppositeTurn,
			Lightness: float64(o.Colour.Lightness()), Duller: o.Reduced,
		})
	}
	return out
}

// pictureOpposites finds and paints the pairs of opposites in a picture.
func (o *options) pictureOpposites(w colour.Wheel, output string) error {
	opened, crop, notes, err := o.openCropped()
	if err != nil {
		return err
	}
	pairs, err := shape.Pairs(opened.Picture, crop, w, nil)
	if err != nil {
		return err
	}
	if output != "" {
		p, err := shape.PaintPairs(opened.Picture, crop, w, pairs, nil)
		if err != nil {
			return err
		}
		if err := writePicture(output, asImage(p), o.reference); err != nil {
			return err
		}
	}
	out := pictureOpposites{Wheel: w.String(), Says: w.Say(), Pairs: [][2]pairSide{}, CropPx: rectangle(crop), Output: output, advice: notes}
	for _, pair := range pairs {
		var sides [2]pairSide
		for i, s := range pair.Sides {
			sides[i] = pairSide{Hue: s.Hue, AreaShare: s.Share, RGB: codesOf(s.Colour), XPx: int(s.Place.X), YPx: int(s.Place.Y)}
		}
		out.Pairs = append(out.Pairs, sides)
	}
	if len(pairs) == 0 {
		out.Notes = append(out.Notes, "no two opposites both have half a hundredth of the picture or more")
	}
	out.Notes = append(out.Notes, opened.Notes...)
	return o.write(out)
}

func (c colourOpposites) text() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s, in Munsell terms %s\n", c.RGB, c.Munsell)
	for _, o := range c.Opposites {
		fmt.Fprintf(&b, "%s: %s stands opposite %s, as in %s\n", o.Says, o.OppositeHue, o.Hue, o.RGB)
	}
	b.WriteString(c.advice.lines())
	return b.String()
}

func (p pictureOpposites) text() string {
	var b strings.Builder
	fmt.Fprintf(&b, "opposites %s\n", p.Says)
	for _, pair := range p.Pairs {
		for _, s := range pair {
			fmt.Fprintf(&b, "  %-12s %5.1f %%   about %d,%d   %s", s.Hue, 100*s.AreaShare, s.XPx, s.YPx, s.RGB)
		}
		b.WriteString("\n")
	}
	if p.Output != "" {
		fmt.Fprintf(&b, "written to %s\n", p.Output)
	}
	b.WriteString(p.advice.lines())
	return b.String()
}
