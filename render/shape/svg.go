package shape

import (
	"bufio"
	"fmt"
	"io"
	"strconv"

	"maulstick/render/place"
)

// Drawing is an outline laid out on the canvas, to be written as a file.
type Drawing struct {
	Outline *Outline
	Mapping place.Mapping // its crop in pixels of the flattened picture
	Filled  []Shape       // the outline's shapes, to fill them with their colours; nil for lines alone
	Stroke  place.MM      // how thick the lines are
}

// WriteSVG writes the drawing as SVG 1.1, as large as the canvas: all lengths are
// in millimetres, the canvas's top left corner is (0, 0). Each shared border is
// one path, drawn once; if there are fillings they lie below, one path a shape,
// without lines. Nothing else is in the file. Coordinates are rounded to a
// thousandth of a pixel or finer.
func (d Drawing) WriteSVG(w io.Writer) error {
	out := bufio.NewWriter(w)
	width, height := length(float64(d.Mapping.Canvas.Width), 4), length(float64(d.Mapping.Canvas.Height), 4)
	fmt.Fprintf(out, "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"%smm\" height=\"%smm\" viewBox=\"0 0 %s %s\">\n", width, height, width, height)
	if d.Filled != nil {
		fmt.Fprintln(out, `<g stroke="none" fill-rule="evenodd">`)
		for i, s := range d.Filled {
			fmt.Fprintf(out, "<path fill=\"#%02x%02x%02x\" d=\"", s.Colour.R, s.Colour.G, s.Colour.B)
			for _, ring := range d.Outline.Rings[i] {
				d.path(out, d.Outline.Points(ring), true)
			}
			fmt.Fprintln(out, `"/>`)
		}
		fmt.Fprintln(out, `</g>`)
	}
	fmt.Fprintf(out, "<g fill=\"none\" stroke=\"#000000\" stroke-width=\"%s\" stroke-linejoin=\"round\" stroke-linecap=\"round\">\n", length(float64(d.Stroke), 4))
	for _, a := range d.Outline.Arcs {
		points := a.Points
		if a.Closed {
			points = points[:len(points)-1]
		}
		fmt.Fprint(out, `<path d="`)
		d.path(out, points, a.Closed)
		fmt.Fprintln(out, `"/>`)
	}
	fmt.Fprintln(out, "</g>\n</svg>")
	return out.Flush()
}

// path writes a line as the data of a path.
func (d Drawing) path(out *bufio.Writer, points []place.PhotoPoint, closed bool) {
	digits := d.digits()
	for i, p := range points {
		at := d.Mapping.ToCanvas(p)
		verb := byte('L')
		if i == 0 {
			verb = 'M'
		}
		out.WriteByte(verb)
		out.WriteString(length(float64(at.X), digits))
		out.WriteByte(' ')
		out.WriteString(length(float64(at.Y), digits))
	}
	if closed {
		out.WriteByte('Z')
	}
}

// digits is how many decimals of a millimetre tell thousandths of a pixel apart.
func (d Drawing) digits() int {
	digits := 2
	for unit := PixelArea(d.Mapping); unit < 100 && digits < 6; unit *= 100 {
		digits++
	}
	return digits
}

// length is a number of millimetres without superfluous zeros.
func length(mm float64, digits int) string {
	s := strconv.FormatFloat(mm, 'f', digits, 64)
	for s[len(s)-1] == '0' {
		s = s[:len(s)-1]
	}
	if s[len(s)-1] == '.' {
		s = s[:len(s)-1]
	}
	return s
}
