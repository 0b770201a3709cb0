package shape

import (
	"math"

	"maulstick/render/colour"
)

// Part is what a picture has in one step.
type Part struct {
	From   colour.Lightness `json:"from_lightness"` // where the step begins
	To     colour.Lightness `json:"to_lightness"`   // where the next one does, or 100
	Pixels uint64           `json:"pixels"`
	Share  float64          `json:"area_share"`      // of all pixels counted, 0..1
	Empty  bool             `json:"empty"`           // nothing of the picture lies in it
	Mean   colour.Lightness `json:"mean_lightness"`  // of what lies in it; its middle if it is empty
	Shown  colour.Lightness `json:"shown_lightness"` // what stands for it
	Value  colour.Value     `json:"munsell_value"`   // of Shown
	Code   uint8            `json:"grey_code"`       // the sRGB grey nearest to Shown
	Name   string           `json:"name,omitempty"`  // in the notan: dark, middle, light
}

// Division is how a picture falls into steps. MeanError is the root mean square
// difference in L* between its pixels and what their steps are shown as, before
// that is rounded to a grey code.
type Division struct {
	Parts     []Part           `json:"steps"`
	MeanError colour.Lightness `json:"mean_error_lightness"`
}

// Divide tells how a picture falls into steps. Shares are as exact as Shares of a
// Histogram, always exact of a Tally made for the steps; mean lightness and
// MeanError hold to 0.01 L*, and where bins hold one colour each are exact.
// Without a pixel every step is empty and the error 0.
func Divide(c Counted, s Steps) Division {
	counts := c.counted()
	sums := make([]sum, s.count)
	for i, n := range counts.pixels {
		if n > 0 {
			k := counts.stepOf(i, s) - 1
			sums[k].add(counts.lightness(i), float64(s.shown[k]), n)
		}
	}
	return s.division(sums)
}

// sum is what was met in one step: how many pixels, and of their lightness the
// sum and the sum of its square differences from what the step is shown as.
type sum struct {
	pixels        uint64
	light, square float64
}

// add counts n pixels of a lightness.
func (t *sum) add(lightness, shown float64, n uint64) {
	off := lightness - shown
	t.pixels += n
	t.light += float64(lightness * float64(n))
	t.square += float64(float64(off*off) * float64(n))
}

// division is what the sums of every step come to.
func (s Steps) division(sums []sum) Division {
	var d Division
	var total uint64
	square := 0.0
	for _, t := range sums {
		total += t.pixels
		square += t.square
	}
	for k, t := range sums {
		part := Part{
			Pixels: t.pixels, Empty: t.pixels == 0,
			Mean: s.Middle(k + 1), Shown: s.shown[k], Value: s.shown[k].Value(),
			Code: s.tones[k], Name: s.Name(k + 1),
		}
		part.From, part.To = s.Range(k + 1)
		if t.pixels > 0 {
			part.Share = float64(t.pixels) / float64(total)
			part.Mean = colour.Lightness(t.light / float64(t.pixels))
		}
		d.Parts = append(d.Parts, part)
	}
	if total > 0 {
		d.MeanError = colour.Lightness(math.Sqrt(square / float64(total)))
	}
	return d
}

// Shares are the areas of the steps as fractions of one, from the darkest.
func (d Division) Shares() []float64 {
	var shares []float64
	for _, part := range d.Parts {
		shares = append(shares, part.Share)
	}
	return shares
}

// Empty are the numbers of the steps that hold nothing, never nil.
func (d Division) Empty() []int {
	empty := []int{}
	for k, part := range d.Parts {
		if part.Empty {
			empty = append(empty, k+1)
		}
	}
	return empty
}
