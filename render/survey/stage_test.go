package survey_test

import (
	"image"
	"image/draw"
	"image/jpeg"
	"os"
	"testing"

	"maulstick/render"
	"maulstick/render/colour"
	"maulstick/render/look"
	"maulstick/render/photo"
	"maulstick/render/pile"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// stages are the heavy pieces of work that a page asks for, and their names.
var stages = []struct {
	name    string
	prepare func(b *testing.B, p *photo.Picture, m place.Mapping) func() error
}{
	{"greys", func(_ *testing.B, p *photo.Picture, _ place.Mapping) func() error {
		return painting(look.Look{Tone: look.Grey}, p)
	}},
	{"steps", func(_ *testing.B, p *photo.Picture, _ place.Mapping) func() error {
		return painting(look.Look{Tone: look.Steps, Steps: 5}, p)
	}},
	{"squint", func(_ *testing.B, p *photo.Picture, m place.Mapping) func() error {
		return func() error {
			_, err := render.SquintedCopy(p, m.Canvas, 10, nil)
			return err
		}
	}},
	{"shapes", flattening},
	{"edges", func(_ *testing.B, p *photo.Picture, m place.Mapping) func() error {
		return func() error {
			_, err := shape.FindEdges(p, m, 0, nil)
			return err
		}
	}},
	{"contrasts", func(b *testing.B, p *photo.Picture, m place.Mapping) func() error {
		e, err := shape.FindEdges(p, m, 0, nil)
		if err != nil {
			b.Fatal(err)
		}
		return func() error {
			_, err := shape.FindContrasts(p, e, 5, nil)
			return err
		}
	}},
	{"piles", func(b *testing.B, p *photo.Picture, _ place.Mapping) func() error {
		s := five(b)
		return func() error {
			_, err := pile.Find(colour.EyeMeter, p, place.WholeCrop(p.Size()), s, pile.Found, nil)
			return err
		}
	}},
	{"clean", func(b *testing.B, p *photo.Picture, _ place.Mapping) func() error {
		s := five(b)
		return func() error {
			_, err := shape.Clean(p, place.WholeCrop(p.Size()), colour.EyeMeter, s, 10, nil)
			return err
		}
	}},
}

func painting(l look.Look, p *photo.Picture) func() error {
	out := make([]byte, len(p.Pix))
	return func() error {
		l.Painter(colour.SRGB{}).Paint(out, p.Pix)
		return nil
	}
}

func flattening(b *testing.B, p *photo.Picture, m place.Mapping) func() error {
	const width place.MM = 5
	s := five(b)
	squinted, err := render.SquintedCopy(p, m.Canvas, width, nil)
	if err != nil {
		b.Fatal(err)
	}
	scene := shape.Scene{
		Plain: p, Squinted: squinted, Labels: shape.StepLabels(squinted, colour.EyeMeter, s),
		Sigma: look.Sigma(float64(width / m.Pixel())),
	}
	return func() error {
		h, err := shape.Flatten(scene, nil)
		if err == nil {
			h.Smallest(shape.SmallestArea(4*width, m))
		}
		return err
	}
}

func five(b *testing.B) shape.Steps {
	s, err := shape.EqualSteps(5)
	if err != nil {
		b.Fatal(err)
	}
	return s
}

// warmings is how often a stage runs before it is timed: an engine compiles what it
// finds to be hot, and a tablet's worker lives as long as its page.
const warmings = 3

// BenchmarkStage times each stage, once warm, on a photograph of two megapixels.
func BenchmarkStage(b *testing.B) {
	file, err := os.Open("../../testdata/photo/fig-in-red-bowl-1800.jpg")
	if err != nil {
		b.Fatal(err)
	}
	defer file.Close()
	stored, err := jpeg.Decode(file) // photo.Decode is not for browsers
	if err != nil {
		b.Fatal(err)
	}
	upright := image.NewRGBA(stored.Bounds())
	draw.Draw(upright, upright.Rect, stored, image.Point{}, draw.Src)
	p := &photo.Picture{Width: upright.Rect.Dx(), Height: upright.Rect.Dy(), Pix: upright.Pix}
	m := place.Mapping{Crop: place.WholeCrop(p.Size()), Canvas: place.Size{Width: 900, Height: 609}}
	for _, s := range stages {
		b.Run(s.name, func(b *testing.B) {
			do := s.prepare(b, p, m)
			for range warmings {
				if err := do(); err != nil {
					b.Fatal(err)
				}
			}
			for b.Loop() {
				if err := do(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
