package check

import (
	"bytes"
	"image"
	"image/jpeg"
	"math/rand/v2"
	"runtime"
	"testing"
	"time"

	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/shape"
)

// A check of a photograph of twelve megapixels against a reference of as many, as a
// ratio to decoding both, and all memory that it takes in turn as a
// ratio to the two pictures.
func BenchmarkCheckAgainstDecoding(b *testing.B) {
	size := place.Pixels{Width: 4000, Height: 3000}
	canvas := place.Size{Width: 914.4, Height: 609.6}
	p := load(b, "photo/fig-in-red-bowl.jpg")
	to, err := place.QuadToQuad(place.WholeCrop(p.Size()).Corners(), place.WholeCrop(size).Corners())
	if err != nil {
		b.Fatal(err)
	}
	reference, err := photo.Warp(p, to, size, nil)
	if err != nil {
		b.Fatal(err)
	}
	crop := place.CentredCrop(size, canvas)
	painting, err := photo.Reduced(reference, crop, 3000)
	if err != nil {
		b.Fatal(err)
	}
	s := newStudio(rand.New(rand.NewPCG(36, 24)), size, canvas)
	s.wall.R, s.wall.G, s.wall.B, s.glare = 0.15, 0.13, 0.11, nil
	var files [2][]byte
	for i, picture := range []*photo.Picture{reference, s.shoot(b, painting)} {
		var file bytes.Buffer
		if err := jpeg.Encode(&file, &image.RGBA{Pix: picture.Pix, Stride: 4 * size.Width, Rect: image.Rect(0, 0, size.Width, size.Height)}, nil); err != nil {
			b.Fatal(err)
		}
		files[i] = file.Bytes()
	}
	steps, err := shape.EqualSteps(5)
	if err != nil {
		b.Fatal(err)
	}
	var decoding, checking time.Duration
	var taken uint64
	for b.Loop() {
		var pictures [2]*photo.Picture
		start := time.Now()
		for i, file := range files {
			opened, err := photo.Decode(file)
			if err != nil {
				b.Fatal(err)
			}
			pictures[i] = opened.Picture
		}
		decoding += time.Since(start)
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		start = time.Now()
		r, err := Run(Question{Reference: pictures[0], Crop: crop, Painting: pictures[1], Canvas: canvas, Steps: steps})
		checking += time.Since(start)
		if err != nil || r.Nothing {
			b.Fatal(err, r.Declined)
		}
		runtime.ReadMemStats(&after)
		taken = after.TotalAlloc - before.TotalAlloc
	}
	b.ReportMetric(checking.Seconds()/decoding.Seconds(), "decodings")
	b.ReportMetric(checking.Seconds()/float64(b.N), "s/check")
	b.ReportMetric(float64(taken)/float64(2*4*size.Width*size.Height), "pictures-allocated")
}
