package main

import (
	"bytes"
	"image"
	"image/jpeg"
	"path/filepath"
	"testing"
	"time"

	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/shape"
	"maulstick/render/verdict"
)

// A check of a photograph of twelve megapixels against a reference of as many in the
// worker's program, run by Node.js, as a ratio to decoding both here and to the same check
// here; and how much memory the program has at the end, as a ratio to the two pictures.
func BenchmarkCallipersEngine(b *testing.B) {
	program, err := order{root: filepath.Join("..", "..")}.compile(callipers)
	if err != nil {
		b.Fatal(err)
	}
	size, canvas := place.Pixels{Width: 4000, Height: 3000}, place.Size{Width: 914.4, Height: 609.6}
	files := [2][]byte{enlarged(b, "photo/fig-in-red-bowl.jpg", size), enlarged(b, "check/fig-on-the-easel.jpg", size)}
	steps, err := shape.EqualSteps(5)
	if err != nil {
		b.Fatal(err)
	}
	ask := verdict.Ask{Canvas: canvas, Steps: steps}
	question, err := ask.MarshalBinary()
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		start := time.Now()
		var pictures [2]*photo.Picture
		for i, file := range files {
			opened, err := photo.Decode(file)
			if err != nil {
				b.Fatal(err)
			}
			pictures[i] = opened.Picture
		}
		decoding := time.Since(start)
		start = time.Now()
		crop := place.CentredCrop(size, canvas)
		part, err := photo.Reduced(pictures[0], crop, 1200)
		if err != nil {
			b.Fatal(err)
		}
		if a, _ := verdict.Check(ask, part, pictures[1], nil); a.Nothing || a.Err != "" {
			b.Fatalf("it answers %+v", a)
		}
		here := time.Since(start)
		asked := append(laid("photograph", pictures[1], nil), laid("reference", pictures[0], map[string]any{
			"part": map[string]any{"x": crop.X, "y": crop.Y, "width": crop.Width, "height": crop.Height}, "side": 1200,
		})...)
		answers := answersTo(b, "callipers.js", program, append(asked, map[string]any{"kind": "check", "ask": question})...)
		last := answers[len(answers)-1]
		if last.Kind != "check" || last.Failed != "" {
			b.Fatalf("it answers %+v", last)
		}
		b.ReportMetric(last.Took/1000/decoding.Seconds(), "decodings")
		b.ReportMetric(last.Took/1000/here.Seconds(), "times-native")
		b.ReportMetric(here.Seconds()/decoding.Seconds(), "native-decodings")
		b.ReportMetric(last.Took/1000, "s/check")
		b.ReportMetric(last.Memory/float64(2*4*size.Width*size.Height), "pictures-held")
	}
}

// enlarged is a photograph of testdata in another size, as a JPEG.
func enlarged(b *testing.B, name string, size place.Pixels) []byte {
	b.Helper()
	p := pictureOf(b, name)
	to, err := place.QuadToQuad(place.WholeCrop(p.Size()).Corners(), place.WholeCrop(size).Corners())
	if err != nil {
		b.Fatal(err)
	}
	large, err := photo.Warp(p, to, size, nil)
	if err != nil {
		b.Fatal(err)
	}
	var file bytes.Buffer
	if err := jpeg.Encode(&file, &image.RGBA{Pix: large.Pix, Stride: 4 * size.Width, Rect: image.Rect(0, 0, size.Width, size.Height)}, nil); err != nil {
		b.Fatal(err)
	}
	return file.Bytes()
}
