package place

import "math"

// fitWithin is how far a photograph may miss a canvas's far edge and still line
// up: 1/8 in over the whole canvas (common practice, no source).
const fitWithin = MM(25.4 / 8)

// alike says whether two lengths that differ by so much count as lining up. A
// nanometre is left to the rounding of inches that are held in millimetres: an eighth
// is not under an eighth.
func alike(off MM) bool { return off < fitWithin-1e-6 }

// Fit says how a photograph's proportion meets a canvas's.
type Fit struct {
	PhotoRatio, CanvasRatio float64 // short side over long, over 0, at most 1
	Mismatch                MM      // how far the far edge is off, never under 0
	Short                   bool    // the photograph ends before that edge, not past it
	Fits                    bool    // near enough to line up
	Turned                  bool    // one is upright and the other lying; a square is neither
}

// Proportion is the short side over the long, whatever their unit: over 0, at
// most 1. Sides that are not over zero have no proportion and give 0.
func Proportion(width, height float64) float64 {
	short, long := min(width, height), max(width, height)
	if !(short > 0) || math.IsInf(long, 1) {
		return 0
	}
	return short / long
}

// Compare lays the photograph's long side along the canvas's long side and says
// how far the photograph's short side then misses the canvas's far edge. The
// photograph's sides may be in any one unit. If the two are turned they are still
// compared long side to long side.
func Compare(photoWidth, photoHeight float64, canvas Size) Fit {
	fit := Fit{
		PhotoRatio:  Proportion(photoWidth, photoHeight),
		CanvasRatio: Proportion(float64(canvas.Width), float64(canvas.Height)),
	}
	short, long := min(canvas.Width, canvas.Height), max(canvas.Width, canvas.Height)
	off := MM(fit.PhotoRatio)*long - short
	fit.Mismatch = MM(math.Abs(float64(off)))
	fit.Short = off < 0
	fit.Fits = alike(fit.Mismatch)
	fit.Turned = photoWidth != photoHeight && canvas.Width != canvas.Height &&
		(photoWidth < photoHeight) != (canvas.Width < canvas.Height)
	return fit
}
