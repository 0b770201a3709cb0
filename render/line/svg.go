package line

import (
	"bufio"
	"fmt"
	"io"
	"strconv"

	"maulstick/render/place"
)

// WriteSVG writes the lines as SVG 1.1, as large as the canvas: lengths are in
// millimetres to a ten-thousandth, the canvas's top left corner is (0, 0). Each
// line is one element whose class is its kind, under one stroke of the given
// width; the canvas's outline and the names of squares are drawn too.
func (s *Set) WriteSVG(w io.Writer, stroke place.MM) error {
	out := bufio.NewWriter(w)
	mm := func(l place.MM) string {
		return strconv.FormatFloat(float64(place.MM(int64(l*1e4+0.5))/1e4), 'f', -1, 64)
	}
	width, height := mm(s.Canvas.Width), mm(s.Canvas.Height)
	fmt.Fprintf(out, "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"%smm\" height=\"%smm\" viewBox=\"0 0 %s %s\">\n", width, height, width, height)
	fmt.Fprintf(out, "<g fill=\"none\" stroke=\"#000000\" stroke-width=\"%s\">\n<rect width=\"%s\" height=\"%s\"/>\n", mm(stroke), width, height)
	for _, l := range s.Lines {
		fmt.Fprintf(out, "<line class=\"%s\" x1=\"%s\" y1=\"%s\" x2=\"%s\" y2=\"%s\"/>\n", l.Kind, mm(l.From.X), mm(l.From.Y), mm(l.To.X), mm(l.To.Y))
	}
	size := min(s.Canvas.Width, s.Canvas.Height) / 40
	fmt.Fprintf(out, "</g>\n<g font-family=\"sans-serif\" font-size=\"%s\" text-anchor=\"middle\">\n", mm(size))
	for _, n := range s.Notes {
		at := n.At // moved inside by about the height of a letter
		switch n.Edge {
		case Top:
			at.Y += size
		case Bottom:
			at.Y -= size / 2
		case Left:
			at.X, at.Y = at.X+size, at.Y+size/3
		case Right:
			at.X, at.Y = at.X-size, at.Y+size/3
		}
		fmt.Fprintf(out, "<text x=\"%s\" y=\"%s\">%s</text>\n", mm(at.X), mm(at.Y), n.Text)
	}
	fmt.Fprintln(out, "</g>\n</svg>")
	return out.Flush()
}
