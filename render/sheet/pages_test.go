package sheet

import (
	"bytes"
	"testing"

	"maulstick/render/line"
	"maulstick/render/place"
	"maulstick/render/study"
)

// tenPages is a cartoon that takes ten pages of A4, its map and nine tiles: the
// kept study's on a canvas of 20 x 24 in or so.
func tenPages(b *testing.B) Work {
	b.Helper()
	w := keptWork(b)
	w.Kinds = []string{study.SheetCartoon}
	w.Paper = papers[study.PaperA4]
	width, height := w.Mapping.Canvas.Width, w.Mapping.Canvas.Height
	w.Mapping.Canvas.Width, w.Mapping.Canvas.Height = 500, 620
	var outlines []Outline
	for _, o := range w.Outlines {
		scaled := Outline{Closed: o.Closed}
		for _, p := range o.Points {
			scaled.Points = append(scaled.Points, place.CanvasPoint{X: p.X / width * 500, Y: p.Y / height * 620})
		}
		outlines = append(outlines, scaled)
	}
	w.Outlines = outlines
	set, err := line.Draw(w.Lines.Plan, w.Mapping.Canvas)
	if err != nil {
		b.Fatal(err)
	}
	w.Lines = set
	if pages, err := w.Pages(); err != nil || len(pages) != 10 {
		b.Fatalf("the cartoon takes %d pages, want 10: %v", len(pages), err)
	}
	return w
}

// BenchmarkPages writes the ten pages of a cartoon, and ten empty ones of its paper
// with the same library. Beside the time it reports the file's bytes.
func BenchmarkPages(b *testing.B) {
	w := tenPages(b)
	for name, do := range map[string]func() []byte{
		"cartoon": func() []byte { return written(b, w) },
		"empty": func() []byte {
			p := newPen(w.Paper)
			for range 10 {
				p.turnOver()
			}
			data, err := p.bytes(w.Name)
			if err != nil {
				b.Fatal(err)
			}
			return bytes.Clone(data)
		},
	} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			length := 0
			for b.Loop() {
				length = len(do())
			}
			b.ReportMetric(float64(length), "file-B")
		})
	}
}
