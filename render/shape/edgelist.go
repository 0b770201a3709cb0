package shape

import (
	"cmp"
	"math"
	"slices"

	"maulstick/render/place"
)

// EdgeShares is how long the edges of each class are together on the canvas, as
// fractions of one; all 0 without an edge. Lost edges here are those that can
// still be seen to be there; where nothing can be seen, none is counted.
type EdgeShares struct {
	Lost  float64 `json:"lost"`
	Soft  float64 `json:"soft"`
	Firm  float64 `json:"firm"`
	Sharp float64 `json:"sharp"`
}

// Shares is how much of the edges is of each class, and how long they are
// together on the canvas.
func (e *Edges) Shares() (shares EdgeShares, length place.MM) {
	var sums [Sharp + 1]place.MM
	for _, s := range e.Strands {
		for i := 1; i < len(s); i++ {
			step := e.step(s[i-1], s[i])
			sums[s[i].Class] += step
			length += step
		}
	}
	if length > 0 {
		shares = EdgeShares{
			Lost: float64(sums[Lost] / length), Soft: float64(sums[Soft] / length),
			Firm: float64(sums[Firm] / length), Sharp: float64(sums[Sharp] / length),
		}
	}
	return shares, length
}

// EdgeStretch is a stretch of an edge.
type EdgeStretch struct {
	At       place.PhotoPoint // its middle
	Pixels   float64          // mean width in pixels of the picture that was measured
	Width    place.MM         // mean width on the canvas
	Length   place.MM
	Contrast float64 // mean, L*
	Class    EdgeClass
}

const (
	// stretchArc is the longest stretch that is listed as one, in minutes of
	// arc: what is seen sharply at one look.
	stretchArc = 120.0
	// apartArc is how far apart two are that are both listed, in minutes of arc.
	apartArc = 240.0
	// listedContrast is how strong the edges of a list are at least, of the
	// strongest 5 % of all.
	listedContrast = 0.3
)

// Sharpest are the sharpest stretches of edge, at most n, the sharpest first:
// by width, and of equal width by contrast. Edges under half the widest sharp
// one look equally sharp, the eye's own blur being no less. Faint edges are left out: those
// under 0.3 of the contrast that a twentieth of the stretches exceed, and the
// lost; and of those near to each other all but the sharpest.
func (e *Edges) Sharpest(n int) []EdgeStretch {
	return e.list(n, func(s EdgeStretch) bool { return s.Class >= Soft }, func(a, b EdgeStretch) int {
		eye := e.Limits.Sharp / 2
		return cmp.Or(cmp.Compare(max(a.Width, eye), max(b.Width, eye)), cmp.Compare(b.Contrast, a.Contrast))
	})
}

// Softest are the softest stretches of edge, at most n, the widest first, with
// the same left out.
func (e *Edges) Softest(n int) []EdgeStretch {
	return e.list(n, func(s EdgeStretch) bool { return s.Contrast >= LostContrast }, func(a, b EdgeStretch) int {
		return cmp.Or(cmp.Compare(b.Width, a.Width), cmp.Compare(b.Contrast, a.Contrast))
	})
}

// list is the first n stretches in an order that are wanted and not faint, and
// lie apart from each other.
func (e *Edges) list(n int, wanted func(EdgeStretch) bool, order func(a, b EdgeStretch) int) []EdgeStretch {
	all := e.stretches()
	if len(all) == 0 {
		return nil
	}
	contrasts := make([]float64, len(all))
	for i, s := range all {
		contrasts[i] = s.Contrast
	}
	slices.Sort(contrasts)
	faint := listedContrast * contrasts[len(contrasts)*19/20]
	all = slices.DeleteFunc(all, func(s EdgeStretch) bool { return s.Contrast < faint || !wanted(s) })
	slices.SortStableFunc(all, order)
	apart := arc(apartArc, e.Limits.Distance)
	var chosen []EdgeStretch
	for _, s := range all {
		if len(chosen) == n {
			break
		}
		near := func(c EdgeStretch) bool { return e.between(c.At, s.At) < apart }
		if !slices.ContainsFunc(chosen, near) {
			chosen = append(chosen, s)
		}
	}
	return chosen
}

// stretches cuts the edges into stretches of one class, neither too short to be
// listed nor too long to be seen at one look.
func (e *Edges) stretches() []EdgeStretch {
	var all []EdgeStretch
	least, most := e.Limits.shortest(), arc(stretchArc, e.Limits.Distance)
	for _, s := range e.Strands {
		for from := 0; from < len(s)-1; {
			to, length := from+1, place.MM(0)
			for to < len(s) && s[to].Class == s[from].Class && length < most {
				length += e.step(s[to-1], s[to])
				to++
			}
			if length >= least {
				all = append(all, e.stretch(s[from:to], length))
			}
			from = to
		}
	}
	return all
}

// stretch is the mean of a strand: its width that of the mean blur.
func (e *Edges) stretch(s Strand, length place.MM) EdgeStretch {
	var pixels, width, contrast float64
	for _, p := range s {
		pixels += float64(p.Pixels) * float64(p.Pixels)
		width += float64(p.Width) * float64(p.Width)
		contrast += float64(p.Contrast)
	}
	n := float64(len(s))
	r := EdgeStretch{
		At: s[len(s)/2].At, Pixels: math.Sqrt(pixels / n), Width: place.MM(math.Sqrt(width / n)),
		Length: length, Contrast: contrast / n,
	}
	r.Class = e.Limits.Class(r.Width, r.Contrast)
	return r
}
