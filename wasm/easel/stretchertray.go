package easel

import (
	"fmt"
	"strings"

	"maulstick/render/place"
)

// pressStretcher takes a stock size of the list for the canvas.
func (e *Easel) pressStretcher(i int) {
	if offers := e.offers(); i >= 0 && i < len(offers) {
		e.do(e.onFace(offers[i].Size), "")
	}
}

// offers are the stock sizes for the crop, or for the whole photograph while the
// painter has not cropped it.
func (e *Easel) offers() []place.Offer {
	d := e.doc()
	crop := d.Own
	if crop.Width == 0 {
		crop = place.WholeCrop(d.Photograph())
	}
	face := d.Canvas.Face()
	if !d.HasCanvas() {
		face = place.Size{Width: 609.6, Height: 609.6, Unit: d.Canvas.Unit} // 24 in, for want of a better size
	}
	return place.Offers(crop, face, d.Canvas.Border, toldStretchers, stretcherKinds[e.stock]...)
}

// faceStretchers is the stock sizes near the crop.
func (e *Easel) faceStretchers(f *Face) {
	for i, o := range e.offers() {
		text := spelt(o.Size)
		if o.Stretcher.Number != "" {
			text = o.Stretcher.Name() + ", " + text
		}
		text += fmt.Sprintf(": %.2f, ", o.Fit.CanvasRatio)
		way := "long"
		if o.Fit.Short {
			way = "short"
		}
		switch {
		case o.Fit.Mismatch < place.Inch.MM()/(2*sixtyFourths):
			text += "lines up"
		case o.Fit.Fits:
			text += fmt.Sprintf("lines up, %s %s", place.FineText(o.Fit.Mismatch, o.Size.Unit), way)
		default:
			text += fmt.Sprintf("%s %s", place.FineText(o.Fit.Mismatch, o.Size.Unit), way)
		}
		d := e.doc()
		f.Rows["stretchers-rows"] = append(f.Rows["stretchers-rows"], Row{
			Key: fmt.Sprintf("stretcher-%d", i), Text: text, Note: e.larger(o),
			Pressed: d.Canvas.Width == o.Size.Width && d.Canvas.Height == o.Size.Height,
		})
	}
}

// larger says how much larger or smaller than the canvas a stock size is.
func (e *Easel) larger(o place.Offer) string {
	if !e.doc().HasCanvas() {
		return ""
	}
	var words []string
	for _, side := range []struct {
		by          place.MM
		more, fewer string
	}{{o.Wider, "wider", "narrower"}, {o.Higher, "higher", "lower"}} {
		size, way := side.by, side.more
		if size < 0 {
			size, way = -size, side.fewer
		}
		if text := place.Text(size, o.Size.Unit, sixteenths); text != place.Text(0, o.Size.Unit, sixteenths) {
			words = append(words, text+" "+way)
		}
	}
	return strings.Join(words, ", ")
}
