package easel

import (
	"math"
	"testing"

	"maulstick/render/verdict"
)

// Corners that were undone stay undone: they are seen where they were, and the next one
// that is dragged leaves the others there.
func TestCornersFollowUndo(t *testing.T) {
	b := withPainting(t)
	b.press("painting-corners")
	b.layAsAsked(400, 600)
	b.answered(verdict.Answer{Canvas: verdictOf().Canvas}, verdict.Pictures{})
	first := b.Face()
	b.NudgeHandle("canvas-0", 40, 0)
	b.press("undo")
	if h := b.Face().Handles[0]; h != first.Handles[0] || b.Face().Outline != first.Outline {
		t.Errorf("undone, the corner stands at %v, was %v", h, first.Handles[0])
	}
	b.NudgeHandle("canvas-2", 1, 0)
	if c := b.doc().Log[0].Corners; math.Abs(c[0].X-40) > 1e-9 || math.Abs(c[2].X-556) > 1e-9 {
		t.Errorf("after another is moved the corners are %v", c)
	}
	b.press("redo")
	b.press("undo", "redo")
	if c := b.doc().Log[0].Corners; len(c) != 4 || c[0].X != 40 {
		t.Errorf("redone, the corners are %v", c)
	}
}

// When the photograph is undone that corners are being put on, the reference is back in
// sight, and once it is there again so are the corners.
func TestCornersOfAnUndonePhotograph(t *testing.T) {
	b := withPainting(t)
	b.press("painting-corners")
	b.layAsAsked(400, 600)
	b.press("undo")
	if len(b.doc().Log) != 0 || b.away() || b.cornering() {
		t.Fatalf("undone, away is %v and cornering %v", b.away(), b.cornering())
	}
	if plan, ok := b.Plan(); !ok || len(plan.Panes) != 1 || plan.Panes[0].Other.Pyramid != nil || len(b.Face().Handles) != 0 {
		t.Errorf("seen is %+v", plan.Panes)
	}
	b.touch(Down, 1, 200, 200)
	b.touch(Move, 1, 240, 200)
	b.touch(Up, 1, 240, 200)
	b.press("redo")
	b.layAsAsked(400, 600)
	if !b.cornering() || len(b.Face().Handles) != 4 {
		t.Errorf("redone, there are %d handles", len(b.Face().Handles))
	}
}
