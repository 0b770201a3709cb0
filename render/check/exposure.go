package check

import (
	"math"

	"maulstick/render/colour"
)

// exposure is how a photograph shows light, as figures that are fitted: the logarithms
// of its gain in red, green and blue; how the light rises across and down the canvas
// and towards its rim; the contrast of the values painted, beyond 1; the camera's
// curve, an S and a bend of the codes; and light that veils all, of white.
type exposure [exposed]float64

const (
	redGain = iota
	greenGain
	blueGain
	lightAcross
	lightDown
	lightOut
	lightWide
	lightTurned
	contrast
	curveS
	curveBend
	veil
	exposed // how many
)

// usual is what is known of photographs of paintings before one is seen, and how far
// they stray from it, one standard deviation. The curve is that of a camera's picture
// of usual contrast over the code of sRGB.
func usual(carded bool) (mean, stray exposure) {
	mean = exposure{redGain: -0.2, greenGain: -0.2, blueGain: -0.2, lightOut: -0.05, curveS: 0.3, veil: 0.005}
	stray = exposure{
		redGain: 0.5, greenGain: 0.5, blueGain: 0.5, lightAcross: 0.1, lightDown: 0.1, lightOut: 0.1, lightWide: 0.04, lightTurned: 0.04,
		contrast: 0.15, curveS: 0.25, curveBend: 0.1, veil: 0.006,
	}
	if carded {
		mean = exposure{}
		stray = exposure{
			redGain: 0.1, greenGain: 0.1, blueGain: 0.1, lightAcross: 0.05, lightDown: 0.05, lightOut: 0.05, lightWide: 0.02, lightTurned: 0.02,
			contrast: 0.15, curveS: 0.05, curveBend: 0.03, veil: 0.002,
		}
	}
	return mean, stray
}

const midGrey = 0.18 // about which contrast is taken

// shows is the codes, 0..1, that paint of some light would have on the photograph.
func (e *exposure) shows(c colour.Linear, at [2]float64, gain float64) [3]float64 {
	x, y := at[0], at[1]
	field := e[lightAcross]*x + e[lightDown]*y + e[lightOut]*(x*x+y*y-0.67) + e[lightWide]*(x*x-y*y) + e[lightTurned]*x*y
	luminance := max(float64(c.Luminance()), 1e-4)
	field += gain*(1+e[contrast]) + e[contrast]*math.Log(luminance/midGrey)
	var codes [3]float64
	for k, light := range [3]float64{c.R, c.G, c.B} {
		code := colour.EncodeUnit(min(max(light, 0)*math.Exp(field+e[redGain+k])+max(e[veil], 0), 1))
		codes[k] = code + e[curveS]*code*(code*(3-2*code)-1) + e[curveBend]*4*code*(1-code)
	}
	return codes
}

// fitting is the fit of an exposure to pieces of shapes, most of which have the value
// that they ought to have.
type fitting struct {
	exposure
	mean, stray exposure
	pieces      []piece
	carded      bool
	shine       shine
	gains       []float64 // of pieces: the logarithm of how much lighter each is than it ought to be
	offsets     []float64 // of pieces: the same, L*
	doubts      []float64 // of pieces: what of its colour no value explains, L*
	trust       []float64 // of pieces
	drawn       []float64 // of shapes: how often each counts; nil for once
	spread      float64   // by which right pieces stray, L*
	normal      []float64 // equations of the last step
}

const (
	leastFit  = 1.5   // L* that right pieces stray by at least
	mostFit   = 6.0   // and at most
	fullCode  = 0.985 // from which on a channel is cut off
	manyWhole = 200   // pixels of a piece that counts for half
	gainCap   = 3.0   // logarithm of the gain beyond which none is looked for
)

// channelCounts are about how much of a value each channel is.
var channelCounts = [3]float64{0.5, 1, 0.25}

// newFitting begins with what is usual.
func newFitting(parts []piece, carded bool) *fitting {
	n := len(parts)
	f := &fitting{pieces: parts, carded: carded, gains: make([]float64, n), offsets: make([]float64, n), doubts: make([]float64, n), trust: make([]float64, n), spread: mostFit}
	f.mean, f.stray = usual(carded)
	f.exposure = f.mean
	return f
}

// run fits: least absolute offsets first, then Tukey's biweight, so many rounds of each.
func (f *fitting) run(early, late int) {
	for round := range early + late {
		f.weigh(round < early)
		if !f.step() {
			return
		}
	}
	f.weigh(false)
}

// weigh sets how far pieces are trusted.
func (f *fitting) weigh(early bool) {
	sizes := make([]float64, len(f.pieces))
	for i := range f.pieces {
		f.offsets[i], f.doubts[i] = f.offset(i)
		sizes[i] = math.Abs(f.offsets[i])
	}
	if !early {
		f.spread = min(max(1.4826*median(sizes), leastFit), mostFit)
	}
	for i, p := range f.pieces {
		k := sizes[i] / (4 * f.spread)
		f.trust[i] = math.Pow(max(1-k*k, 0), 2)
		if early {
			f.trust[i] = 1 / max(sizes[i]/f.spread, 0.3)
		}
		c := f.doubts[i] / (3 * f.spread)
		f.trust[i] *= p.n / (p.n + manyWhole) / (1 + c*c) / math.Sqrt(float64(p.brothers))
		if f.drawn != nil {
			f.trust[i] *= f.drawn[p.shape]
		}
	}
}

// codesOf are the codes of some light on the photograph, before the camera's 8 bits, and
// how much each channel counts.
func codesOf(was colour.Linear) (codes, counts [3]float64) {
	for k, light := range [3]float64{was.R, was.G, was.B} {
		codes[k] = colour.EncodeUnit(min(max(light, 0), 1))
		if codes[k] < fullCode {
			counts[k] = channelCounts[k]
		}
	}
	return codes, counts
}

// gain is the logarithm of how much lighter some pieces are painted than they ought to
// be, that explains them best, found from a first guess.
func (f *fitting) gain(gain float64, of ...int) float64 {
	for range 8 {
		var up, down float64
		for _, i := range of {
			p := f.pieces[i]
			lit := f.shine.lit(p.ref, p.at)
			now, more := f.shows(lit, p.at, gain), f.shows(lit, p.at, gain+1e-3)
			for k := range p.codes {
				slope := (more[k] - now[k]) / 1e-3
				up += p.n * p.counts[k] * slope * (p.codes[k] - now[k])
				down += p.n * p.counts[k] * slope * slope
			}
		}
		change := min(max(up/(down+1e-9), -1), 1)
		gain = min(max(gain+change, -gainCap), gainCap)
		if math.Abs(change) < 1e-3 {
			break
		}
	}
	return gain
}

// offset is by how much L* a piece is too light, and what of its colour is left.
func (f *fitting) offset(i int) (off, doubt float64) {
	p := f.pieces[i]
	gain := f.gain(f.gains[i], i)
	f.gains[i] = gain
	off = lighter(p.ref.Luminance(), gain)
	now := f.shows(f.shine.lit(p.ref, p.at), p.at, gain)
	sum, weight := 0.0, 1e-9
	for k := range p.codes {
		sum += p.counts[k] * (p.codes[k] - now[k]) * (p.codes[k] - now[k])
		weight += p.counts[k]
	}
	return off, 100 * math.Sqrt(sum/weight)
}

// lighter is by how much L* a gain makes some light lighter.
func lighter(y colour.Luminance, gain float64) float64 {
	return float64(colour.Luminance(float64(y)*math.Exp(gain)).Lightness() - y.Lightness())
}

// step is one step of Gauss and Newton.
func (f *fitting) step() bool {
	m, v := make([]float64, exposed*exposed), make([]float64, exposed)
	for i, p := range f.pieces {
		f.addPiece(m, v, p, f.trust[i]/(f.spread*f.spread))
	}
	for k := range exposed {
		w := 1 / (f.stray[k] * f.stray[k])
		m[k*exposed+k] += w
		v[k] += w * (f.mean[k] - f.exposure[k])
	}
	f.normal = append(f.normal[:0], m...)
	if !solve(m, v) {
		return false
	}
	for k := range exposed {
		f.exposure[k] += min(max(v[k], -f.stray[k]), f.stray[k])
	}
	return true
}

// slopes are the codes that a piece would have, 0..1, and how they change with each figure
// of the exposure, and last with its own gain, in hundredths of that range.
func (f *fitting) slopes(p piece, gain float64) (codes [3]float64, slope [exposed + 1][3]float64) {
	const delta = 1e-4
	lit := f.shine.lit(p.ref, p.at)
	codes = f.shows(lit, p.at, gain)
	for j := range slope {
		e, g := f.exposure, gain
		if j < exposed {
			e[j] += delta
		} else {
			g += delta
		}
		moved := e.shows(lit, p.at, g)
		for k := range 3 {
			slope[j][k] = 100 * (moved[k] - codes[k]) / delta
		}
	}
	return codes, slope
}

// addPiece adds what a piece says to the normal equations.
func (f *fitting) addPiece(m, v []float64, p piece, weight float64) {
	now, slope := f.slopes(p, 0)
	for k := range p.codes {
		w := weight * p.counts[k]
		for i := range exposed {
			for j := range exposed {
				m[i*exposed+j] += w * slope[i][k] * slope[j][k]
			}
			v[i] += w * slope[i][k] * 100 * (p.codes[k] - now[k])
		}
	}
}

// lean is how surely a piece's gain is known as far as the exposure goes: one standard
// deviation of the logarithm.
func (f *fitting) lean(p piece, gain float64) float64 {
	_, slope := f.slopes(p, gain)
	x := make([]float64, exposed)
	down := 1e-9
	for k, count := range p.counts {
		down += count * slope[exposed][k] * slope[exposed][k]
	}
	for j := range exposed {
		for k, count := range p.counts {
			x[j] += count * slope[exposed][k] * slope[j][k] / down
		}
	}
	to := append([]float64(nil), x...)
	if !solve(append([]float64(nil), f.normal...), to) {
		return 1
	}
	sum := 0.0
	for j := range x {
		sum += x[j] * to[j]
	}
	return math.Sqrt(max(sum, 0))
}
