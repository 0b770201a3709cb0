package shape

import (
	"math"
	"math/rand/v2"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// greyScene is a picture in greys of the lightness that a function gives at
// each pixel's centre, with noise of a standard deviation in L* added.
func greyScene(width, height int, noise float64, seed uint64, lightness func(x, y float64) float64) *photo.Picture {
	r := rand.New(rand.NewPCG(seed, 77))
	p := photo.New(width, height)
	for y := range height {
		for x := range width {
			l := lightness(float64(x)+0.5, float64(y)+0.5) + noise*r.NormFloat64()
			g := colour.GreyOf(colour.Lightness(l))
			copy(p.Pix[4*(y*width+x):], []byte{g.R, g.G, g.B, 255})
		}
	}
	return p
}

// blurredStep is the lightness across a straight edge through a point, of a
// standard deviation in pixels, rising towards an angle.
func blurredStep(cx, cy, sigma, degrees, dark, light float64) func(x, y float64) float64 {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	return func(x, y float64) float64 {
		s := (x-cx)*cos + (y-cy)*sin
		return dark + (light-dark)*0.5*math.Erfc(-s/(sigma*math.Sqrt2))
	}
}

// wholeOn maps a whole picture to a canvas of a width in millimetres.
func wholeOn(p *photo.Picture, width place.MM) place.Mapping {
	return place.Mapping{
		Crop:   place.WholeCrop(p.Size()),
		Canvas: place.Size{Width: width, Height: width * place.MM(p.Height) / place.MM(p.Width)},
	}
}
