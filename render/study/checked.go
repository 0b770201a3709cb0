package study

import (
	"fmt"
	"math"
	"slices"
	"time"

	"maulstick/render/place"
)

// Arrow is something that the painter has found on the reference and on the painting: where
// on the canvas it belongs, how far off it is painted, to the right and down, and how far
// off the touches may be.
type Arrow struct {
	X     place.MM `json:"x_mm"`
	Y     place.MM `json:"y_mm"`
	DX    place.MM `json:"dx_mm"`
	DY    place.MM `json:"dy_mm"`
	Touch place.MM `json:"touch_mm"`
}

// Checked is a check of the painting, as it stood on a photograph of the log. What is 0
// could not be told; lengths are of the canvas.
type Checked struct {
	Entry    int                `json:"entry"`      // the note of the log with the photograph
	Time     time.Time          `json:"time"`       // of the check
	Corners  []place.PhotoPoint `json:"corners_px"` // of the canvas on the photograph: four, or none
	Found    bool               `json:"found"`      // they were found, not given
	Declined string             `json:"declined"`   // why nothing, or not all, could be told

	Matched int        `json:"matched"`     // places of the reference that were found on the painting
	Off     place.MM   `json:"off_mm"`      // how far they lie off, the middle one of all
	DX      place.MM   `json:"shift_dx_mm"` // of the whole
	DY      place.MM   `json:"shift_dy_mm"`
	Turn    float64    `json:"turn_deg"`
	Stretch [2]float64 `json:"stretch"` // across and down; 0 where it could not be told
	Slips   int        `json:"slips"`
	Worst   place.MM   `json:"worst_slip_mm"`

	Shapes   int     `json:"shapes"`    // whose values were compared
	Steps    float64 `json:"steps"`     // that values are off, the mean by area
	StepsOff int     `json:"steps_off"` // shapes that are surely half a step off or more
	Broken   int     `json:"broken"`    // pairs whose order from dark to light is turned round
	Range    float64 `json:"range"`     // of the values, in that of the reference
	Cards    int     `json:"cards"`     // grey cards that light and exposure were taken from, 0 for none
}

// The limits of what checks leave in a study.
const (
	MostChecks = MostEntries
	MostArrows = 50
)

// WithCorners is the study with the canvas's four corners on the photograph of a note as
// the painter put them, clockwise from its top left; none to have them found.
func (d Document) WithCorners(entry int, corners ...place.PhotoPoint) Document {
	if len(corners) != 0 && len(corners) != 4 {
		return d
	}
	return d.onPhotograph(entry, func(e *Entry) {
		size := place.WholeCrop(place.Pixels{Width: e.Photograph.Width, Height: e.Photograph.Height})
		e.Corners = []place.PhotoPoint{}
		for _, c := range corners {
			e.Corners = append(e.Corners, place.PhotoPoint{X: min(max(c.X, 0), size.Width), Y: min(max(c.Y, 0), size.Height)})
		}
	})
}

// onPhotograph is the study with a note changed that has a photograph; what the note holds
// by reference is not to be changed in place.
func (d Document) onPhotograph(entry int, change func(*Entry)) Document {
	i := d.findEntry(entry)
	if i < 0 || d.Log[i].Photograph == nil {
		return d
	}
	d.Log = slices.Clone(d.Log)
	change(&d.Log[i])
	return d
}

// WithArrow is the study with an arrow more on the painting as a note has it, or with
// another in the place of arrow k from 0. A note with too many takes no more.
func (d Document) WithArrow(entry, k int, a Arrow) Document {
	return d.onPhotograph(entry, func(e *Entry) {
		if k < 0 || k > len(e.Arrows) || k >= MostArrows {
			return
		}
		arrows := slices.Clone(e.Arrows)
		if k == len(arrows) {
			arrows = append(arrows, a)
		}
		arrows[k] = a
		e.Arrows = arrows
	})
}

// WithoutArrow is the study without arrow k, from 0, of a note.
func (d Document) WithoutArrow(entry, k int) Document {
	return d.onPhotograph(entry, func(e *Entry) {
		if k >= 0 && k < len(e.Arrows) {
			e.Arrows = slices.Delete(slices.Clone(e.Arrows), k, k+1)
		}
	})
}

// WithCheck is the study with a check kept, in place of one of the same photograph. They
// stand in the order of the log.
func (d Document) WithCheck(c Checked) Document {
	c.Time = c.Time.UTC().Truncate(time.Second)
	c.Declined = tidyLong(c.Declined)
	corners := []place.PhotoPoint{}
	for _, p := range c.Corners { // found ones may lie a pixel beyond the photograph
		corners = append(corners, place.PhotoPoint{X: min(max(p.X, 0), longestSide), Y: min(max(p.Y, 0), longestSide)})
	}
	c.Corners = corners
	checks := slices.DeleteFunc(slices.Clone(d.Checked), func(old Checked) bool { return old.Entry == c.Entry })
	at, _ := slices.BinarySearchFunc(checks, c.Entry, func(old Checked, entry int) int { return old.Entry - entry })
	d.Checked = slices.Insert(checks, at, c)
	return d
}

// WithoutCheck is the study without the check of a note's photograph.
func (d Document) WithoutCheck(entry int) Document {
	d.Checked = slices.DeleteFunc(slices.Clone(d.Checked), func(c Checked) bool { return c.Entry == entry })
	return d
}

// checkChecked holds what checks have left to its rules.
func (d Document) checkChecked() error {
	if d.Checked == nil || len(d.Checked) > MostChecks {
		return fmt.Errorf("%d checks of the painting are not 0 to %d", len(d.Checked), MostChecks)
	}
	before := 0
	for _, c := range d.Checked {
		if c.Entry <= before || c.Entry >= d.NextEntry {
			return fmt.Errorf("the check of note %d stands twice, or out of order, or the note was never made", c.Entry)
		}
		before = c.Entry
		if err := c.check(); err != nil {
			return fmt.Errorf("the check of note %d: %w", c.Entry, err)
		}
	}
	return nil
}

func (c Checked) check() error {
	far := float64(largest)
	switch {
	case c.Time.Year() < 1 || c.Time.Year() > 9999 || c.Time.Location() != time.UTC || c.Time.Nanosecond() != 0:
		return fmt.Errorf("it was made at %v", c.Time)
	case tidyLong(c.Declined) != c.Declined:
		return fmt.Errorf("it says %q", clip(c.Declined))
	case c.Cards < 0 || c.Cards > MostCardTouches:
		return fmt.Errorf("it cannot have been by %d cards", c.Cards)
	case min(c.Matched, c.Slips, c.Shapes, c.StepsOff, c.Broken) < 0 || max(c.Matched, c.Slips, c.Shapes, c.StepsOff, c.Broken) > highest:
		return fmt.Errorf("it cannot have counted %d places, %d slips, %d shapes, %d and %d that are off", c.Matched, c.Slips, c.Shapes, c.StepsOff, c.Broken)
	case !within(float64(c.Off), 0, far) || !within(float64(c.Worst), 0, far) || !within(math.Abs(float64(c.DX)), 0, far) || !within(math.Abs(float64(c.DY)), 0, far):
		return fmt.Errorf("%v, %v, %v and %v mm cannot be off", c.Off, c.Worst, c.DX, c.DY)
	case !within(math.Abs(c.Turn), 0, 360) || !within(c.Stretch[0], 0, 100) || !within(c.Stretch[1], 0, 100):
		return fmt.Errorf("it cannot be turned by %v and stretched by %v", c.Turn, c.Stretch)
	case !within(c.Steps, 0, 100) || !within(c.Range, 0, 100):
		return fmt.Errorf("%v steps off, of a range of %v, cannot be", c.Steps, c.Range)
	}
	return checkCorners(c.Corners)
}

// checkCorners holds corners on a photograph to four, or none.
func checkCorners(corners []place.PhotoPoint) error {
	if corners == nil || len(corners) != 0 && len(corners) != 4 {
		return fmt.Errorf("there are %d corners, not four or none", len(corners))
	}
	for _, p := range corners {
		if !within(p.X, 0, longestSide) || !within(p.Y, 0, longestSide) {
			return fmt.Errorf("a corner at %v, %v is on no photograph", p.X, p.Y)
		}
	}
	return nil
}

// checkOutline holds what lies on the photograph of a note to its rules.
func (e Entry) checkOutline() error {
	if err := checkCorners(e.Corners); err != nil {
		return err
	}
	if e.Arrows == nil || len(e.Arrows) > MostArrows {
		return fmt.Errorf("%d arrows are not 0 to %d", len(e.Arrows), MostArrows)
	}
	if err := e.Shown().check(); err != nil {
		return err
	}
	if e.Photograph == nil && len(e.Corners)+len(e.Arrows) > 0 {
		return fmt.Errorf("there is no photograph for %d corners and %d arrows", len(e.Corners), len(e.Arrows))
	}
	for _, a := range e.Arrows {
		for _, l := range []place.MM{a.X, a.Y, a.DX, a.DY, a.Touch} {
			if !within(math.Abs(float64(l)), 0, float64(largest)) {
				return fmt.Errorf("an arrow at %v, %v mm by %v, %v cannot be", a.X, a.Y, a.DX, a.DY)
			}
		}
	}
	return nil
}

// withOutlines are notes of an older form, with what lies on their photographs.
func withOutlines(log []Entry) []Entry {
	log = slices.Clone(log)
	for i := range log {
		log[i].Corners, log[i].Arrows, log[i].Cards = []place.PhotoPoint{}, []Arrow{}, []CardTouch{}
	}
	return log
}
