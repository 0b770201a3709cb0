//go:build !js || darkroom

package photo

import (
	"errors"
	"image/jpeg"
	"math"
)

// oddlySampled tells whether image/jpeg refuses a JPEG for how its chroma are
// sampled.
func oddlySampled(err error) bool {
	var sort jpeg.UnsupportedError
	return errors.As(err, &sort) && sort == "luma/chroma subsampling ratio"
}

// plane is the samples of one component of a JPEG.
type plane struct {
	stride  int // a whole number of blocks
	samples []uint16
}

// sequential decodes the JPEGs that image/jpeg does not, if they are sequential
// and Huffman-coded: those of 12 bits, and those whose components are sampled in
// a way of their own (ITU-T T.81, annexes A and F). Samples that several pixels
// share are repeated.
type sequential struct {
	frame
	planes []plane
	rgb    bool // as stored, without luma and chroma
}

// decodeSequential decodes one that Inspect has let by.
func decodeSequential(data []byte) (source, error) {
	unusual := &Refusal{"this JPEG is of several unusual sorts at once, which is not opened here", "open it in another program and save it as an ordinary JPEG"}
	d := sequential{rgb: adobeMarked(data)}
	err := segments(data, func(s segment) error {
		if s.marker == markerSOS && d.planes == nil {
			if d.sort > markerSOF1 || len(d.components) != 1 && len(d.components) != 3 {
				return unusual
			}
			d.lay()
		}
		body := data[s.body:s.end]
		if s.marker == markerAPP14 && len(body) >= 12 {
			d.rgb = d.rgb && body[11] == 0
		}
		if err := d.read(s, body); err != nil {
			return err
		}
		if s.marker == markerSOS {
			return d.scanned(data)
		}
		return nil
	})
	if err != nil {
		return source{}, err
	}
	for _, c := range d.components {
		if !c.complete {
			return source{}, damaged(JPEG, "some of its channels are missing")
		}
	}
	if len(d.planes) == 0 {
		return source{}, damaged(JPEG, "it holds no picture")
	}
	if c := d.components; len(c) == 3 && c[0].name == 'R' && c[1].name == 'G' && c[2].name == 'B' {
		d.rgb = true
	}
	return source{width: d.width, height: d.height, deep: d.depth > 8, row: d.row}, nil
}

// lay makes room for the components.
func (d *sequential) lay() {
	across, down := (d.width-1)/(8*d.most[0])+1, (d.height-1)/(8*d.most[1])+1
	for _, c := range d.components {
		stride := 8 * across * c.h
		d.planes = append(d.planes, plane{stride, make([]uint16, stride*8*down*c.v)})
	}
}

// scanned decodes the scan that was begun.
func (d *sequential) scanned(data []byte) error {
	broken := damaged(JPEG, "its pixels cannot be read")
	across, down := d.units()
	reader := bits{data: data, at: d.scan.end}
	means := make([]int, len(d.components))
	for n := range across * down {
		if d.restartsBefore(n) {
			clear(means)
			if !reader.restart() {
				return broken
			}
		}
		for _, c := range d.begun {
			h, v := c.h, c.v
			if len(d.begun) == 1 {
				h, v = 1, 1
			}
			for i := range h * v {
				if !d.block(&reader, c, &means[c.place], n%across*h+i%h, n/across*v+i/h) {
					return broken
				}
			}
		}
	}
	d.finish()
	return nil
}

// block decodes the block of a component in a column and row of blocks; mean is
// that of the block before.
func (d *sequential) block(r *bits, c *component, mean *int, column, row int) bool {
	dc, ac := d.tables[0][c.dc], d.tables[1][c.ac]
	steps := &d.steps[c.steps]
	if dc == nil || ac == nil {
		return false
	}
	var coefficients [64]float64
	size, ok := dc.decode(r)
	difference, whole := r.value(size & 15)
	if !ok || !whole {
		return false
	}
	*mean += difference
	coefficients[0] = float64(*mean * steps[0])
	for k := 1; k < 64; k++ {
		run, ok := ac.decode(r)
		if !ok {
			return false
		}
		if run&15 == 0 {
			if run != 0xf0 {
				break
			}
			k += 15
			continue
		}
		v, ok := r.value(run & 15)
		if k += run >> 4; !ok || k > 63 {
			return false
		}
		coefficients[zigzag[k]] = float64(v * steps[k])
	}
	p := d.planes[c.place]
	transform(&coefficients, p.samples[8*row*p.stride+8*column:], p.stride, 1<<d.depth)
	return true
}

// zigzag is where the coefficients of a block belong, in the order in which they
// are stored (T.81, figure A.6).
var zigzag = func() (order [64]int) {
	column, row, rising := 0, 0, true
	for k := range order {
		order[k] = 8*row + column
		switch {
		case rising && column == 7, !rising && column == 0 && row < 7:
			row++
		case rising && row == 0, !rising && row == 7:
			column++
		case rising:
			column, row = column+1, row-1
			continue
		default:
			column, row = column-1, row+1
			continue
		}
		rising = !rising
	}
	return order
}()

// waves are the waves that a block is a sum of (T.81, A.3.3).
var waves = func() (w [8][8]float64) {
	for u := range w {
		for x := range w {
			if w[u][x] = math.Cos(float64((2*x+1)*u)*math.Pi/16) / 2; u == 0 {
				w[u][x] = math.Sqrt2 / 4
			}
		}
	}
	return w
}()

// transform writes the samples of a block, of so many levels.
func transform(coefficients *[64]float64, out []uint16, stride, levels int) {
	var half [64]float64
	for v := range 8 {
		for u := range 8 {
			if c := coefficients[8*v+u]; c != 0 {
				for x := range 8 {
					half[8*v+x] += c * waves[u][x]
				}
			}
		}
	}
	for y := range 8 {
		for x := range 8 {
			sum := float64(levels / 2)
			for v := range 8 {
				sum += half[8*v+x] * waves[v][y]
			}
			out[y*stride+x] = uint16(min(max(sum+0.5, 0), float64(levels-1)))
		}
	}
}

// row reads a row of the picture.
func (d *sequential) row(y int, out []uint16) {
	levels := float64(int(1)<<d.depth - 1)
	code := func(v float64) uint16 { return uint16(min(max(v/levels, 0), 1)*full + 0.5) }
	for x := range d.width {
		var v [3]float64
		for i, c := range d.components {
			p := d.planes[i]
			v[i] = float64(p.samples[y*c.v/d.most[1]*p.stride+x*c.h/d.most[0]])
		}
		o := out[4*x : 4*x+4]
		switch r, b := v[2]-(levels+1)/2, v[1]-(levels+1)/2; {
		case len(d.components) == 1:
			o[0] = code(v[0])
			o[1], o[2] = o[0], o[0]
		case d.rgb:
			o[0], o[1], o[2] = code(v[0]), code(v[1]), code(v[2])
		default:
			o[0], o[1], o[2] = code(v[0]+1.402*r), code(v[0]-(0.299*1.402*r+0.114*1.772*b)/0.587), code(v[0]+1.772*b)
		}
		o[3] = full
	}
}
