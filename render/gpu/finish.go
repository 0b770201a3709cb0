package gpu

import (
	"maulstick/render"
	"maulstick/render/colour"
	"maulstick/render/look"
)

// finish is how a resting pane was last shown, and how much of that its stage keeps:
// the picture after the look with the strokes that stayed, so that frames in which
// nothing of it changes are copies, and a line that is drawn over many costs no more
// than itself.
type finish struct {
	look     look.Look
	surround colour.SRGB
	strokes  []render.Stroke
	kept     int // the first of strokes that the stage's picture has; 0 if it keeps none
}

// forget is for a pane that no longer rests.
func (f *finish) forget() { f.strokes, f.kept = f.strokes[:0], 0 }

// next takes note of how the pane is shown now, and says whether the stage's picture
// has to be made anew for what it should keep: the strokes up to the first that
// differs from the last frame's. Without strokes a look costs hardly more than a copy.
func (f *finish) next(l look.Look, p render.Plan) (anew bool) {
	stayed := 0
	if f.look == l && f.surround == p.Surround {
		for stayed < min(len(f.strokes), len(p.Strokes)) && f.strokes[stayed] == p.Strokes[stayed] {
			stayed++
		}
	}
	anew = stayed > 0 && stayed != f.kept
	f.look, f.surround, f.kept = l, p.Surround, stayed
	f.strokes = append(f.strokes[:0], p.Strokes...)
	return anew
}

// rest draws a pane whose view has stayed, from its stage.
func (s *Screen) rest(dst Target, st *stage, p render.Plan, pane render.Pane) {
	if pane.Other.Pyramid != nil {
		p.Strokes = nil // none lie over other pictures
	}
	anew := st.finish.next(pane.Look, p)
	kept, over := p.Strokes[:st.finish.kept], p.Strokes[st.finish.kept:]
	if len(kept) == 0 {
		s.look(dst, st.picture, p, pane, pane.At.X, pane.At.Y)
	} else {
		if anew {
			st.seen = atLeast(st.seen, pane.View.Width, pane.View.Height)
			s.look(st.seen, st.picture, p, pane, 0, 0)
			s.stroke(st.seen, p, pane, kept, 0, 0)
		}
		pane.Look = look.Look{}
		s.look(dst, st.seen, p, pane, pane.At.X, pane.At.Y)
	}
	s.stroke(dst, p, pane, over, pane.At.X, pane.At.Y)
}
