package photo

import (
	"fmt"
	"math"

	"maulstick/render/place"
)

// Reducing makes a small copy of a part of a picture whose rows come from the top down,
// so that the picture itself is never held. Every pixel of the copy is the mean of the
// light that falls on it, pixels at its border counted by the part of them that does;
// it is within one code of the exact mean.
type Reducing struct {
	part   place.Crop
	size   place.Pixels // of the picture
	copy   *Picture
	across []shadow
	sums   []float32 // light of the copy's row that is being filled, three a pixel
	row    int       // of the copy, being filled
	next   int       // row of the picture that comes next
}

// shadow is where a column of the picture falls: on one pixel of the copy by first and
// on the one after by second.
type shadow struct {
	at            int
	first, second float32
}

// NewReducing makes ready for a copy whose long side is that many pixels, or the
// part's own if that is shorter. The part lies on a picture of that size, in its pixels.
func NewReducing(size place.Pixels, part place.Crop, long int) (*Reducing, error) {
	if err := part.Check(size); err != nil {
		return nil, fmt.Errorf("making a small copy: %w", err)
	}
	scale := min(float64(max(long, 1))/max(part.Width, part.Height), 1)
	width, height := pixelsIn(part.Width*scale), pixelsIn(part.Height*scale)
	r := &Reducing{part: part, size: size, copy: New(width, height), sums: make([]float32, 3*width)}
	for x := range size.Width {
		r.across = append(r.across, cast(float64(x), part.X, part.Width, width))
	}
	return r, nil
}

// Reduced is a small copy of a part of a picture that is there as a whole, as Reducing
// makes it.
func Reduced(p *Picture, part place.Crop, long int) (*Picture, error) {
	r, err := NewReducing(p.Held(), p.OnHeld(part), long)
	if err != nil {
		return nil, err
	}
	r.Add(p.Pix)
	return r.Picture(), nil
}

// pixelsIn is how many whole pixels a length has, one at least.
func pixelsIn(length float64) int { return max(int(math.Floor(length+1e-6)), 1) }

// cast is how a pixel from x to x+1 falls on n pixels that a length from start is
// divided into. No pixel falls on more than two: the copy is not larger than its part.
func cast(x, start, length float64, n int) shadow {
	scale := float64(n) / length
	from, to := max((x-start)*scale, 0), min((x+1-start)*scale, float64(n))
	if to <= from {
		return shadow{at: -1}
	}
	at := min(int(from), n-1)
	edge := min(float64(at+1), to)
	s := shadow{at: at, first: float32(edge - from)}
	if at+1 < n {
		s.second = float32(to - edge)
	}
	return s
}

// Add adds the rows that come next; rows beyond the last are left out.
func (r *Reducing) Add(pix []byte) {
	wide := 4 * r.size.Width
	for ; len(pix) >= wide && r.next < r.size.Height; pix = pix[wide:] {
		down := cast(float64(r.next), r.part.Y, r.part.Height, r.copy.Height)
		r.next++
		if down.at < 0 {
			continue
		}
		for r.row < down.at {
			r.finish()
		}
		r.add(pix[:wide], down.first)
		if down.second > 0 {
			r.finish()
			r.add(pix[:wide], down.second)
		}
	}
}

// add adds a row to the one being filled.
func (r *Reducing) add(line []byte, weight float32) {
	light := &lightTables().light
	for x, s := range r.across {
		if s.at < 0 {
			continue
		}
		in := (*[4]byte)(line[4*x:])
		red, green, blue := weight*float32(light[in[0]]), weight*float32(light[in[1]]), weight*float32(light[in[2]])
		sum := r.sums[3*s.at:]
		sum[0] += s.first * red
		sum[1] += s.first * green
		sum[2] += s.first * blue
		if s.second > 0 {
			sum[3] += s.second * red
			sum[4] += s.second * green
			sum[5] += s.second * blue
		}
	}
}

// finish writes the row that has been filled, and begins the one after.
func (r *Reducing) finish() {
	if r.row >= r.copy.Height {
		return
	}
	code := &lightTables().code
	out := r.copy.Pix[4*r.copy.Width*r.row:][:4*r.copy.Width]
	for i := range r.copy.Width {
		for k := range 3 {
			out[4*i+k] = code[min(int(r.sums[3*i+k]+0.5), fullSum)]
		}
		out[4*i+3] = 255
	}
	clear(r.sums)
	r.row++
}

// Picture is the copy, once all rows that it needs have been added; what lacks is black.
func (r *Reducing) Picture() *Picture {
	r.finish()
	return r.copy
}
