package shape

import (
	"math"
	"slices"
)

// storedNoise is the noise in lightness L* of storing a picture in 8-bit codes,
// which lie 0.4 L* apart on average: a step's width over the root of twelve.
const storedNoise = 0.12

// noiseBlock is the side of the blocks that noise is measured in, in pixels.
const noiseBlock = 16

// noiseLevels is at how many levels a picture's noise is measured: in itself, and
// halved once, since cameras and compression smooth the finest noise away.
const noiseLevels = 2

// calmest is the share of a picture whose blocks are taken to be free of texture.
const calmest = 0.1

// calmOfMean is how much blocks of pure noise ripple of which a tenth ripple
// less, against all: found on made pictures.
const calmOfMean = 0.92

// kernel is a one-dimensional filter, its middle in the middle.
type kernel []float64

// then is the kernel followed by another whose taps lie apart pixels from each
// other.
func (k kernel) then(other kernel, apart int) kernel {
	out := make(kernel, len(k)+(len(other)-1)*apart)
	for i, a := range k {
		for j, b := range other {
			out[i+j*apart] += a * b
		}
	}
	return out
}

// dot is the sum of products of two kernels about a common middle.
func (k kernel) dot(other kernel) float64 {
	if len(k) > len(other) {
		k, other = other, k
	}
	shift, sum := (len(other)-len(k))/2, 0.0
	for i, a := range k {
		sum += a * other[i+shift]
	}
	return sum
}

// kernel is the binomial as a filter.
func (b binomial) kernel() kernel {
	reach := len(b.weights) - 1
	k := make(kernel, 2*reach+1)
	for i, w := range b.weights {
		k[reach+i] = float64(w) / float64(int(1)<<b.shift)
		k[reach-i] = k[reach+i]
	}
	return k
}

// filters tell what becomes of white noise of 1 on the way to the gradients of
// a picture halved a number of times.
type filters struct {
	fine, coarse float64 // the noise of the gradients that are compared
	difference   float64 // the noise of their difference
	common       float64 // their correlation
	ripple       float64 // the noise of what noiseOf measures
}

func filtersAt(level int) filters {
	before := kernel{1}
	for l := range level {
		before = before.then(binomial4.kernel(), 1<<l)
	}
	apart := 1 << level
	fine := before.then(fineSmoothing.kernel(), apart)
	coarse := fine.then(coarseSmoothing.kernel(), apart)
	slope, beside := kernel{-0.5, 0, 0.5}, kernel{1. / 6, 4. / 6, 1. / 6}
	product := func(a, b kernel) float64 {
		return a.then(slope, apart).dot(b.then(slope, apart)) * a.then(beside, apart).dot(b.then(beside, apart))
	}
	ripple := before.then(kernel{1, -2, 1}, apart)
	f := filters{
		fine: math.Sqrt(product(fine, fine)), coarse: math.Sqrt(product(coarse, coarse)),
		ripple: ripple.dot(ripple),
	}
	both := product(fine, coarse)
	f.common = both / (f.fine * f.coarse)
	f.difference = math.Sqrt(f.fine*f.fine + f.coarse*f.coarse - 2*both)
	return f
}

// ripple is the mean size of what the filter 1, -2, 1, taken across and down,
// leaves of a block of a plane: it answers to noise, and neither to a slope nor
// to a straight edge along either direction.
func (p plane) ripple(left, top int) float64 {
	sum := int64(0)
	for y := top; y < top+noiseBlock; y++ {
		i := y*p.width + left
		for range noiseBlock {
			w := p.width
			r := int64(p.at[i-w-1]) - 2*int64(p.at[i-w]) + int64(p.at[i-w+1])
			r += -2*int64(p.at[i-1]) + 4*int64(p.at[i]) - 2*int64(p.at[i+1])
			r += int64(p.at[i+w-1]) - 2*int64(p.at[i+w]) + int64(p.at[i+w+1])
			sum += max(r, -r)
			i++
		}
	}
	return float64(sum) / (noiseBlock * noiseBlock * lightUnit)
}

// clipped says whether a block has no ripple because it is as dark or as light
// as a picture can be.
func (p plane) clipped(left, top int) bool {
	first := p.at[top*p.width+left]
	return first <= lightnessTable()[0] || first >= 100*lightUnit-1
}

// noiseOf is the standard deviation in lightness L* of the white noise that
// would ripple a plane, a picture halved level times, as much as the calmest
// tenth of it ripples at most: Immerkaer's estimate (Fast noise variance estimation,
// Computer Vision and Image Understanding 64, 1996, 300-302), taken in blocks
// so that texture does not count. Clipped blocks hide their noise and are left
// out, unless there is little else.
func noiseOf(p plane, level int) float64 {
	var blocks, clipped []float64
	for y := 1; y+noiseBlock < p.height; y += noiseBlock {
		for x := 1; x+noiseBlock < p.width; x += noiseBlock {
			r := p.ripple(x, y)
			if r == 0 && p.clipped(x, y) {
				clipped = append(clipped, r)
			} else {
				blocks = append(blocks, r)
			}
		}
	}
	if 3*len(blocks) < len(clipped) {
		blocks = append(blocks, clipped...)
	}
	if len(blocks) == 0 {
		return storedNoise
	}
	slices.Sort(blocks)
	calm := blocks[int(calmest*float64(len(blocks)))] / calmOfMean
	return max(math.Sqrt(math.Pi/2)*calm/filtersAt(level).ripple, storedNoise)
}
