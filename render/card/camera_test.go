package card

import (
	"math"
	"math/rand/v2"

	"maulstick/render/colour"
)

// A camera simulated by wavelength, every 10 nm from 400 to 700.
const bands = 31

type spectrum [bands]float64

func wavelength(i int) float64 { return 400 + 10*float64(i) }

func filled(of func(nm float64) float64) (s spectrum) {
	for i := range s {
		s[i] = of(wavelength(i))
	}
	return s
}

// lobe is a Gaussian with a width of its own on either side.
func lobe(nm, peak, left, right float64) float64 {
	wide := left
	if nm > peak {
		wide = right
	}
	return math.Exp(-(nm - peak) * (nm - peak) / (2 * wide * wide))
}

// The colour-matching functions of the CIE 1931 observer in the closed form of C.
// Wyman, P.-P. Sloan and P. Shirley (Simple analytic approximations to the CIE XYZ color
// matching functions, Journal of Computer Graphics Techniques 2:2, 2013; from memory).
var observer = [3]spectrum{
	filled(func(nm float64) float64 {
		return 1.056*lobe(nm, 599.8, 37.9, 31.0) + 0.362*lobe(nm, 442.0, 16.0, 26.7) - 0.065*lobe(nm, 501.1, 20.4, 26.2)
	}),
	filled(func(nm float64) float64 {
		return 0.821*lobe(nm, 568.8, 46.9, 40.5) + 0.286*lobe(nm, 530.9, 16.3, 31.1)
	}),
	filled(func(nm float64) float64 { return 1.217*lobe(nm, 437.0, 11.8, 36.0) + 0.681*lobe(nm, 459.0, 26.0, 13.8) }),
}

// planck is the light of a black body (CIE 15:2018).
func planck(kelvin float64) spectrum {
	return filled(func(nm float64) float64 {
		return math.Pow(nm/560, -5) / (math.Exp(1.4388e7/(nm*kelvin)) - 1) * (math.Exp(1.4388e7/(560*kelvin)) - 1)
	})
}

// lights stand for D65, D50, A, a fluorescent lamp and D75 of the table: black bodies
// and three bands.
var lights = []spectrum{
	planck(6500), planck(5000), planck(2856),
	filled(func(nm float64) float64 {
		return 0.25 + 1.2*lobe(nm, 440, 10, 10) + 2.2*lobe(nm, 545, 8, 8) + 1.8*lobe(nm, 600, 25, 30)
	}),
	planck(7500),
}

// sensors are the sensitivities of two invented cameras, in lobes about where silicon
// with dyes has them; the second's red and green are further from the observer's.
var sensors = [2][3]spectrum{
	{
		filled(func(nm float64) float64 { return lobe(nm, 600, 28, 40) + 0.10*lobe(nm, 450, 20, 30) }),
		filled(func(nm float64) float64 { return lobe(nm, 535, 38, 42) }),
		filled(func(nm float64) float64 { return lobe(nm, 460, 28, 32) }),
	},
	{
		filled(func(nm float64) float64 { return lobe(nm, 605, 22, 42) + 0.06*lobe(nm, 530, 30, 20) }),
		filled(func(nm float64) float64 { return lobe(nm, 530, 42, 46) + 0.05*lobe(nm, 620, 20, 30) }),
		filled(func(nm float64) float64 { return lobe(nm, 455, 26, 36) + 0.05*lobe(nm, 540, 30, 30) }),
	},
}

// surfaces are 308 smooth reflectances by chance: a grey level, a slope and two lobes,
// kept to what paints have.
func surfaces() []spectrum {
	rng := rand.New(rand.NewPCG(308, 1))
	even := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	var all []spectrum
	for range 308 {
		base, edge, at, wide := even(0.03, 0.5), even(-0.6, 0.6), even(430, 670), even(15, 60)
		peak, high, spread := even(420, 680), even(-0.4, 0.5), even(20, 70)
		all = append(all, filled(func(nm float64) float64 {
			v := base + edge/(1+math.Exp(-(nm-at)/wide*2)) + high*lobe(nm, peak, spread, spread)
			return min(max(v, 0.02), 0.92)
		}))
	}
	return all
}

// seen is what three sensitivities make of a surface under a light.
func seen(s [3]spectrum, light, surface spectrum) (v [3]float64) {
	for k := range v {
		for i := range bands {
			v[k] += s[k][i] * light[i] * surface[i]
		}
	}
	return v
}

// camera is one exposure of one camera.
type camera struct {
	sensors  [3]spectrum
	light    spectrum
	matrix   [3][3]float64 // balanced sensors to linear sRGB
	white    [3]float64    // what a white surface gives
	balance  [3]float64    // error of the white balance
	exposure float64
	flare    float64
	tone     float64
}

// white is a surface that reflects all.
var white = filled(func(float64) float64 { return 1 })

// newCamera fits the matrix of a camera to the surfaces under daylight, white kept, as
// makers do.
func newCamera(which int, light spectrum, rng *rand.Rand, tone float64) camera {
	even := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	c := camera{sensors: sensors[which], light: light, tone: tone, exposure: math.Exp2(even(-0.8, -0.1)), flare: even(0, 0.01)}
	c.white = seen(c.sensors, light, white)
	c.balance = [3]float64{1 + 0.08*rng.NormFloat64(), 1, 1 + 0.08*rng.NormFloat64()}
	c.matrix = profile(c.sensors, lights[0])
	return c
}

// truth is the light of a surface as the observer sees it under a light, in linear sRGB,
// the light itself being white.
func truth(light, surface spectrum) colour.Linear {
	xyz, w := seen(observer, light, surface), seen(observer, light, white)
	d65 := colour.Linear{R: 1, G: 1, B: 1}.XYZ()
	return colour.XYZ{X: xyz[0] / w[0] * d65.X, Y: xyz[1] / w[1] * d65.Y, Z: xyz[2] / w[2] * d65.Z}.Linear()
}

// profile is the matrix of least squares whose rows sum to 1.
func profile(s [3]spectrum, light spectrum) (m [3][3]float64) {
	w := seen(s, light, white)
	var aa, ab, bb float64
	var ya, yb [3]float64
	for _, surface := range surfaces() {
		v, t := seen(s, light, surface), truth(light, surface)
		r, g, b := v[0]/w[0], v[1]/w[1], v[2]/w[2]
		x, y := r-g, b-g
		aa, ab, bb = aa+x*x, ab+x*y, bb+y*y
		for k, want := range [3]float64{t.R, t.G, t.B} {
			ya[k], yb[k] = ya[k]+x*(want-g), yb[k]+y*(want-g)
		}
	}
	det := aa*bb - ab*ab
	for k := range m {
		p, q := (bb*ya[k]-ab*yb[k])/det, (aa*yb[k]-ab*ya[k])/det
		m[k] = [3]float64{p, 1 - p - q, q}
	}
	return m
}

// stores is the code that the camera writes of a surface.
func (c camera) stores(surface spectrum) colour.SRGB {
	v := seen(c.sensors, c.light, surface)
	for k := range v {
		v[k] *= c.balance[k] / c.white[k]
	}
	var out [3]uint8
	for k := range out {
		l := c.flare + c.exposure*(c.matrix[k][0]*v[0]+c.matrix[k][1]*v[1]+c.matrix[k][2]*v[2])
		e := colour.EncodeUnit(l)
		e += c.tone * (e*e*(3-2*e) - e)
		out[k] = uint8(math.Round(255 * min(max(e, 0), 1)))
	}
	return colour.SRGB{R: out[0], G: out[1], B: out[2]}
}
