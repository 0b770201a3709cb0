package check

import (
	"math"
	"slices"

	"maulstick/render/colour"
	"maulstick/render/shape"
)

// What makes a reading doubtful, in L*; measured on repainted pictures, 180 of them, so
// that two standard deviations cover at least 19 in 20.
const (
	readDoubt    = 0.5    // any
	strayDoubt   = 0.35   // of what right pieces stray by
	scatterDoubt = 0.7    // of what its own pieces stray by
	drawnDoubt   = 0.5    // of what other choices of shapes change
	smallDoubt   = 0.75   // of a shape of a hundredth, for what lies about it
	flareDoubt   = 0.0054 // of white: light in the lens that is not the painting's
	shineDoubt   = 0.4    // of what a shine adds
)

// read fits the exposure to all shapes and reads what each is off. tall is the
// canvas's height in its widths.
func (v *Values) read(parts []piece, tall float64, steps shape.Steps, carded bool) {
	f := newFitting(parts, carded)
	f.run(20, 20)
	of := make([][]int, len(v.Shapes))
	for i, p := range parts {
		of[p.shape] = append(of[p.shape], i)
	}
	rival := f.settled(of, v.Shapes)
	f.findShine(tall)
	strayed := f.resampled(of, v.Shapes)
	for i := range v.Shapes {
		v.Shapes[i].readBy(f, of[i], strayed[i], rival[i], steps)
	}
	v.Range = 1 + f.exposure[contrast]
	x := make([]float64, exposed)
	x[contrast] = 1
	if solve(slices.Clone(f.normal), x) {
		v.RangeWithin = math.Sqrt(max(x[contrast], 0))
	}
	if !carded {
		v.RangeWithin = math.Hypot(v.RangeWithin, blindTone)
	}
}

// readBy reads what a shape is off from its pieces; strayed is what other choices of
// shapes to fit the exposure to would change it by, and rival what fits nearly as good
// do, L*.
func (v *ShapeValue) readBy(f *fitting, of []int, strayed, rival float64, steps shape.Steps) {
	gain := f.gain(0, of...)
	off := lighter(v.reference.Luminance(), gain)
	var n, squares, lean, shone float64
	for _, i := range of {
		p := f.pieces[i]
		n += p.n
		squares += p.n * (f.offsets[i] - off) * (f.offsets[i] - off)
		lean += p.n * f.lean(p, gain)
		shone += p.n * lighter(p.ref.Luminance(), math.Log(1+f.shine.on(p.at)/max(float64(p.ref.Luminance()), 1e-3)))
	}
	painted := v.Reference + colour.Lightness(off)
	// Neighbouring pieces share what they are off.
	scatter := math.Sqrt(squares / n / max(float64(len(of))/2, 1))
	exposure := (float64(painted) + 16) / 3 * lean / n
	small := smallDoubt * math.Sqrt(0.01/max(v.Share, 1e-4))
	flare := flareDoubt * 116 / 3 / math.Pow(max(float64(v.reference.Luminance()), 0.01), 2.0/3)
	doubt := 0.0
	for _, d := range [...]float64{
		readDoubt, strayDoubt * f.spread, scatterDoubt * scatter, exposure, drawnDoubt * strayed, rival, small, flare, shineDoubt * shone / n,
	} {
		doubt = math.Hypot(doubt, d)
	}
	step := stepWidth(steps)
	v.Difference, v.Within = off/step, doubt/step
	v.Painting = min(max(painted, 0), 100)
	v.StepReference = steps.Of(colour.EyeMeter.Read(greyCode(v.Reference)))
	v.StepPainting = steps.Of(colour.EyeMeter.Read(greyCode(v.Painting)))
}
