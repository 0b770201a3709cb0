package shape

import (
	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// Misled is how much of a picture a red sheet misleads about, as shares of the
// picture, 0..1. HalfLighter and HalfDarker are what reads at least half a step of
// 20 L* and less than a whole one off; WholeLighter and WholeDarker a whole step or
// more. True is the rest.
type Misled struct {
	WholeDarker, HalfDarker, True, HalfLighter, WholeLighter float64
}

// Half is the share that reads half a step or more off, either way.
func (m Misled) Half() float64 { return m.HalfDarker + m.HalfLighter + m.Whole() }

// Whole is the share that reads a whole step or more off, either way.
func (m Misled) Whole() float64 { return m.WholeDarker + m.WholeLighter }

// MisledBy counts the crop's pixels by how the sheet misleads about them. A crop
// without a pixel has no shares.
func MisledBy(p *photo.Picture, crop place.Crop, s colour.Sheet, progress func(done float64) error) (Misled, error) {
	left, right := place.Centres(crop.X, crop.Width, 0, p.Width)
	top, bottom := place.Centres(crop.Y, crop.Height, 0, p.Height)
	fine, eye, through := colour.Fine(), colour.EyeMeter, s.Meter()
	var counts [5]int
	unreported := 0
	for y := top; y < bottom; y++ {
		for line := p.Pix[4*(y*p.Width+left) : 4*(y*p.Width+right)]; len(line) >= 4; line = line[4:] {
			r, g, b := line[0], line[1], line[2]
			counts[fine.Misled(eye.Read(r, g, b), through.Read(r, g, b))-colour.WholeDarker]++
		}
		if unreported += right - left; unreported >= progressPixels {
			unreported = 0
			if err := report(progress, float64(y+1-top)/float64(bottom-top)); err != nil {
				return Misled{}, err
			}
		}
	}
	total := float64(max((right-left)*(bottom-top), 1))
	return Misled{
		WholeDarker: float64(counts[0]) / total, HalfDarker: float64(counts[1]) / total, True: float64(counts[2]) / total,
		HalfLighter: float64(counts[3]) / total, WholeLighter: float64(counts[4]) / total,
	}, report(progress, 1)
}
