package survey

import (
	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/pile"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// leastReach is how far from an outline its edge is looked for at least, in pixels
// of the copy.
const leastReach = 3

// listed is how many edges and contrasts of a kind are told.
const listed = 5

// edges finds the edges, how hard the outlines of the flat shapes are, and the
// strongest contrasts.
func (s *Surveyor) edges(a Ask, answer *Answer, progress func(float64) error) error {
	if err := s.flatten(a.flat(), part(progress, 0, 0.5)); err != nil {
		return err
	}
	e, err := shape.FindEdges(s.copy.Picture, s.mapping(a), 0, part(progress, 0.5, 0.8))
	if err != nil {
		return err
	}
	c, err := shape.FindContrasts(s.copy.Picture, e, listed, part(progress, 0.8, 0.95))
	if err != nil {
		return err
	}
	hard := &Hard{Limits: e.Limits}
	hard.Shares, _ = e.Shares()
	m := s.mapping(a)
	var lines [][]place.PhotoPoint
	for _, arc := range s.shapesOf(a, m).Trace().Simplify(within).Arcs {
		if !arc.Border() {
			lines = append(lines, arc.Points)
		}
	}
	runs := e.AlongOutline(lines, max(float64(a.squint()/m.Pixel()), leastReach))
	hard.Outlines = shape.SharesAlong(runs)
	hard.Sharpest, hard.Softest = s.stretches(e.Sharpest(listed)), s.stretches(e.Softest(listed))
	for _, list := range c.ByKind {
		for _, k := range list {
			hard.Contrasts = append(hard.Contrasts, Contrast{
				Kind: k.Kind.String(), Rank: k.Rank, At: s.copy.onPhoto(k.At), Words: k.Words(a.Steps, a.Canvas.Unit),
			})
		}
	}
	if a.Focal != nil {
		for _, f := range c.Focus(s.copy.onCopy(*a.Focal)) {
			hard.Focal = append(hard.Focal, f.Words(a.Canvas.Unit))
		}
	}
	answer.Edges, answer.Picture = hard, e.MapAlong(lines, runs).Draw(s.copy.Picture)
	return progress(1)
}

func (s *Surveyor) stretches(list []shape.EdgeStretch) []Stretch {
	var out []Stretch
	for _, e := range list {
		out = append(out, Stretch{At: s.copy.onPhoto(e.At), Width: e.Width, Class: e.Class.String()})
	}
	return out
}

// piles gathers the piles, and shows every pixel in the colour of its pile.
func (s *Surveyor) piles(a Ask, answer *Answer, progress func(float64) error) error {
	found, err := pile.Find(a.meter(), s.copy.Picture, s.copy.whole(), a.Steps, a.Each, progress)
	if err != nil {
		return err
	}
	mixes := &Mixes{}
	var swatches []colour.SRGB
	for _, step := range found.Steps {
		mix := Mix{Grey: step.Tone, Value: step.Value, Share: step.Share}
		for _, p := range step.Piles {
			swatches = append(swatches, p.Colour)
			mix.Piles = append(mix.Piles, Pile{
				Colour: p.Colour, Value: p.Munsell.Value, Terms: p.Munsell.String(), Name: p.Name, Share: p.Share, At: s.copy.onPhoto(p.At),
			})
		}
		mixes.Steps = append(mixes.Steps, mix)
	}
	answer.Piles, answer.Picture = mixes, labelled(found, swatches)
	return nil
}

// Chart is the palette chart of piles, as pile.Chart draws it.
func Chart(m Mixes) *photo.Picture {
	steps := make([]pile.Step, len(m.Steps))
	for k, mix := range m.Steps {
		steps[k] = pile.Step{Tone: mix.Grey, Value: mix.Value, Share: mix.Share}
		for _, p := range mix.Piles {
			steps[k].Piles = append(steps[k].Piles, pile.Pile{
				Colour: p.Colour, Munsell: colour.Munsell{Value: p.Value}, Name: p.Name, Share: p.Share,
			})
		}
	}
	return pile.Chart(steps)
}

// labelled is every pixel in its pile's colour. Piles are numbered through all
// steps, from the darkest step's largest.
func labelled(found pile.Piles, swatches []colour.SRGB) *photo.Picture {
	out := photo.New(found.Width, len(found.Labels)/max(found.Width, 1))
	for i, label := range found.Labels {
		c := swatches[label-1] // counted from 1
		pix := out.Pix[4*i:][:4]
		pix[0], pix[1], pix[2], pix[3] = c.R, c.G, c.B, 255
	}
	return out
}

// tones reads warm and cool, opposites, and where the filter misleads.
func (s *Surveyor) tones(a Ask, answer *Answer, progress func(float64) error) error {
	p, crop := s.copy.Picture, s.copy.whole()
	neutral := shape.Neutral{Light: colour.Linear{R: 1, G: 1, B: 1}}
	var err error
	switch {
	case a.Neutral != (colour.SRGB{}):
		neutral.Light = a.Neutral.Linear()
	case !a.White:
		if neutral, err = shape.FindNeutral(p, crop, part(progress, 0, 0.25)); err != nil {
			return err
		}
	}
	l, err := shape.CompareLights(p, crop, colour.NewTemperature(neutral.Light), part(progress, 0.25, 0.5))
	if err != nil {
		return err
	}
	pairs, err := shape.Pairs(p, crop, a.Wheel, part(progress, 0.5, 0.8))
	if err != nil {
		return err
	}
	misled, err := shape.MisledBy(p, crop, a.Sheet, part(progress, 0.8, 1))
	if err != nil {
		return err
	}
	tints := &Tints{
		Neutral: neutral.Light.Brightest(), Found: neutral.Found,
		Lights: l.Lights, Shadows: l.Shadows, Verdict: l.Verdict(), Misled: misled,
	}
	for _, found := range pairs {
		var pair Pair
		for i, side := range found.Sides {
			pair.Sides[i] = Side{Hue: side.Hue, Share: side.Share, Colour: side.Colour, At: s.copy.onPhoto(side.Place)}
		}
		tints.Pairs = append(tints.Pairs, pair)
	}
	answer.Tones = tints
	return nil
}

// clean lets specks vanish from the value steps.
func (s *Surveyor) clean(a Ask, answer *Answer, progress func(float64) error) error {
	pixel := float64(s.mapping(a).Pixel())
	c, err := shape.Clean(s.copy.Picture, s.copy.whole(), a.meter(), a.Steps, float64(a.Smallest)/pixel, progress)
	if err != nil {
		return err
	}
	d := c.Division(s.copy.Picture, a.meter(), a.Steps)
	answer.Clean = &Swept{Shares: d.Shares(), MeanError: d.MeanError}
	out := photo.New(c.Width, c.Height)
	for i, step := range c.Step {
		tone := a.Steps.Tone(int(step))
		pix := out.Pix[4*i:][:4]
		pix[0], pix[1], pix[2], pix[3] = tone, tone, tone, 255
	}
	answer.Picture = out
	return nil
}
