package render

import (
	"maulstick/render/look"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// SquintedCopy is a copy of the whole crop blurred in linear light by a width on
// the canvas, full at half maximum; the copy itself if the width is not over 0.
// Progress may be nil; it is told 0..1, and an error that it returns ends the work
// and is returned.
func SquintedCopy(p *photo.Picture, canvas place.Size, width place.MM, progress func(done float64) error) (*photo.Picture, error) {
	if !(width > 0) || p.Width == 0 || p.Height == 0 {
		return p, nil
	}
	tell := func(from, to float64) func(float64) error {
		if progress == nil {
			return nil
		}
		return func(done float64) error { return progress(from + (to-from)*done) }
	}
	y := photo.NewPyramid(p)
	if err := finish(y, tell(0, 0.25)); err != nil {
		return nil, err
	}
	crop := place.WholeCrop(p.Size())
	view := Viewport{Width: p.Width, Height: p.Height, Scale: 1, Centre: centreOf(crop)}
	plan := alone(crop, canvas, view, look.Look{Squint: true, Blur: width})
	s, _ := plan.Squint(plan.Panes[0], y)
	blurred, err := s.run(y, tell(0.25, 0.6))
	if err != nil {
		return nil, err
	}
	out := photo.New(p.Width, p.Height)
	return out, drawn(s.Patch, blurred, out, tell(0.6, 1))
}

// batchPixels is how many pixels are made between two reports of progress.
const batchPixels = 1 << 19

// finish makes a pyramid's levels.
func finish(y *photo.Pyramid, progress func(float64) error) error {
	if progress == nil {
		y.Finish()
		return nil
	}
	height := y.Picture().Height
	for more := true; more; {
		more = y.Advance(height)
		done := 1.0
		if y.Levels() > 2 {
			_, rows := y.LevelSize(2) // which costs by far the most
			done = float64(y.Rows(2)) / float64(rows)
		}
		if err := progress(done); err != nil {
			return err
		}
	}
	return nil
}

// drawn draws a patch that fills a picture.
func drawn(patch look.Patch, from look.Lit, out *photo.Picture, progress func(float64) error) error {
	batch := out.Height
	if progress != nil {
		batch = max(batchPixels/out.Width, 1)
	}
	for top := 0; top < out.Height; top += batch {
		end := min(top+batch, out.Height)
		patch.DrawRows(from, out.Pix, out.Width, top, end)
		if progress == nil {
			continue
		}
		if err := progress(float64(end) / float64(out.Height)); err != nil {
			return err
		}
	}
	return nil
}
