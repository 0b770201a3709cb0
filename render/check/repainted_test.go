package check

import (
	"fmt"
	"math"
	"testing"

	"maulstick/render/card"
	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// changes is by how many steps each shape was changed at the mean of its pixels.
func (r *repaint) changes(v Values) map[int]float64 {
	steps := map[int]float64{}
	for _, c := range r.values {
		steps[c.id] = c.steps
	}
	sum, n := map[int]float64{}, map[int]float64{}
	for y := range v.flat.Height {
		for x := range v.flat.Width {
			u, w := x*r.shapes.Width/v.flat.Width, y*r.shapes.Height/v.flat.Height
			id := int(v.flat.IDs[y*v.flat.Width+x])
			n[id]++
			sum[id] += steps[int(r.shapes.IDs[w*r.shapes.Width+u])]
		}
	}
	for id := range sum {
		sum[id] /= n[id]
	}
	return sum
}

// painted is by how many steps of fifths each shape has been painted lighter than it is
// on the reference, whether by a change or as it was flattened.
func (r *repaint) painted(reference *photo.Picture, v Values) map[int]float64 {
	mixed := r.valuesOf(reference).stored()
	from, to, n := map[int]float64{}, map[int]float64{}, map[int]float64{}
	for y := rimPixels; y < v.flat.Height-rimPixels; y++ {
		for x := rimPixels; x < v.flat.Width-rimPixels; x++ {
			id := v.flat.IDs[y*v.flat.Width+x]
			if !inside(v.flat, x, y, id) {
				continue
			}
			u, w := x*reference.Width/v.flat.Width, y*reference.Height/v.flat.Height
			n[int(id)]++
			from[int(id)] += float64(reference.At(u, w).Linear().Luminance())
			to[int(id)] += float64(mixed.At(u, w).Linear().Luminance())
		}
	}
	for id := range to {
		to[id] = float64(colour.Luminance(to[id]/n[id]).Lightness()-colour.Luminance(from[id]/n[id]).Lightness()) / 20
	}
	return to
}

// leastJudged is the share of the canvas that a shape has at least whose value is held
// to what is promised: smaller ones are told with more doubt than half a step.
const leastJudged = 0.005

// flattenedBy is from how many steps on a shape counts as painted off although nothing
// was changed: what its parts have become by being painted flat.
const flattenedBy = 0.25

// tally counts what was found on repainted pictures.
type tally struct {
	known, found, near, honest, sure, bare, invented int // slips; sure of those found, within two standard deviations
	changed, told, doubtful                          int // shapes a step off
	kept, alarms, open, flattened                    int // shapes that are not
	read, covered                                    int // values, and how many lie within two standard deviations
	declined                                         map[string]int
	refused                                          int // photographs whose cards were
}

// Known slips of 1/4 in and more are found within 1/8 in on repainted pictures where
// there is something to match, values a step off are found, and others are not told to
// be off.
func TestRepainted(t *testing.T) { repainted(t, false) }

// The same beside grey cards, which leave hardly a value in doubt.
func TestRepaintedBesideCards(t *testing.T) { repainted(t, true) }

func repainted(t *testing.T, carded bool) {
	sum := tally{declined: map[string]int{}}
	for seed := range seeds() {
		reference, s, rng := scene(t, 1000+seed, place.Pixels{Width: 1600, Height: 1200})
		r := newRepaint(t, rng, reference, s.canvas)
		var touched []card.Card
		if carded {
			touched = s.showCards()
		}
		shot := s.shoot(t, r.paint(reference))
		cards, err := calibrated(shot, touched)
		if err != nil {
			sum.refused++
			t.Logf("scene %d: %v", seed, err)
			continue
		}
		report := asked(t, reference, shot, s.canvas, cards)
		if reason := report.Declined.Reason; reason != "" {
			sum.declined[reason]++
			t.Logf("scene %d: %s", seed, reason)
		}
		if report.Nothing {
			continue
		}
		sum.slips(t, seed, r, report.Drawing)
		if len(report.Values.Shapes) > 0 {
			sum.values(t, seed, r, reference, report.Values)
		}
	}
	t.Logf("of %d slips %d were found, %d of them within 1/8 in and %d more within two standard deviations, as %d were in all; %d lay where nothing matches; %d invented", sum.known, sum.found, sum.near, sum.honest, sum.sure, sum.bare, sum.invented)
	t.Logf("of %d shapes a step off %d were found, and %d too doubtful to tell; of %d that were not, %d were told to be off, and %d too doubtful", sum.changed, sum.told, sum.doubtful, sum.kept, sum.alarms, sum.open)
	t.Logf("%d shapes lost or gained a quarter of a step by being painted flat; of %d values %d lie within two standard deviations", sum.flattened, sum.read, sum.covered)
	t.Logf("of %d scenes declined: %v", *scenes, sum.declined)
	sum.judge(t)
}

// calibrated is what cards tell of a photograph, nil without cards.
func calibrated(shot *photo.Picture, touched []card.Card) (*card.Calibration, error) {
	if touched == nil {
		return nil, nil
	}
	c, err := card.Calibrate(shot, touched)
	return &c, err
}

// judge holds the tally to what is promised, with one case more than the share where
// there are few.
func (s *tally) judge(t *testing.T) {
	if missed := s.known - s.bare - s.near - s.honest; float64(missed) > max(0.05*float64(s.known-s.bare), 1) {
		t.Errorf("%d of %d slips were not found within 1/8 in", missed, s.known-s.bare)
	}
	if float64(s.invented) > max(0.02*float64(*scenes), 1) {
		t.Errorf("%d slips were invented in %d scenes", s.invented, *scenes)
	}
	if missed := s.changed - s.doubtful - s.told; float64(missed) > max(0.05*float64(s.changed-s.doubtful), 1) {
		t.Errorf("%d of %d values a step off were not found", missed, s.changed)
	}
	if float64(s.alarms) > max(0.02*float64(s.kept), 1) {
		t.Errorf("%d of %d values were told to be off", s.alarms, s.kept)
	}
	if float64(s.doubtful) > 0.2*float64(s.changed) || float64(s.open) > 0.1*float64(s.kept) {
		t.Errorf("%d of %d values a step off and %d of %d others were too doubtful to tell", s.doubtful, s.changed, s.open, s.kept)
	}
	if float64(s.refused) > 0.25*float64(*scenes) {
		t.Errorf("the cards of %d of %d photographs were refused", s.refused, *scenes)
	}
	if float64(s.covered) < 0.92*float64(s.read) {
		t.Errorf("only %d of %d values lie within two standard deviations", s.covered, s.read)
	}
	if s.known == 0 || s.changed == 0 {
		t.Error("nothing was repainted")
	}
}

// values counts the values of a scene.
func (s *tally) values(t *testing.T, seed uint64, r *repaint, reference *photo.Picture, values Values) {
	truth, painted := r.changes(values), r.painted(reference, values)
	for _, v := range values.Shapes {
		if v.Share < leastJudged {
			continue
		}
		s.read++
		if math.Abs(v.Difference-painted[v.id]) <= 2*v.Within {
			s.covered++
		}
		steps := truth[v.id]
		told := fmt.Sprintf("L* %.0f, %.3f of it at %.0f, %+.2f steps off, told %+.2f within %.2f", v.Reference, v.Share, v.At, painted[v.id], v.Difference, v.Within)
		switch {
		case math.Abs(steps) > 0.8:
			s.changed++
			switch {
			case v.Off() && v.Difference*steps > 0:
				s.told++
			case doubtful(v):
				s.doubtful++
				t.Logf("scene %d: doubtful: %s", seed, told)
			default:
				t.Logf("scene %d: missed: %s", seed, told)
			}
		case math.Abs(steps) > 0.1:
		case math.Abs(painted[v.id]) >= flattenedBy:
			s.flattened++
		default:
			s.kept++
			if v.Off() {
				s.alarms++
				t.Logf("scene %d: false alarm: %s", seed, told)
			} else if doubtful(v) {
				s.open++
			}
		}
	}
}

// openStep is the doubt, of a step, with more of which one in twenty values a step off would
// pass.
const openStep = 0.24

// doubtful says whether a value could be a step off without showing it.
func doubtful(v ShapeValue) bool { return !v.Off() && v.Within > openStep }

// slips counts the slips of a scene.
func (s *tally) slips(t *testing.T, seed uint64, r *repaint, d Drawing) {
	t.Logf("scene %d: flat %.2f, %d matches, whole %+.2f for %+.2f, spread %.2f", seed, r.flat, len(d.Matches), d.Whole, r.whole, d.Spread)
	taken := make([]bool, len(d.Slips))
	for _, k := range r.slips {
		votes := 0
		for _, m := range d.Matches {
			if math.Hypot(float64(m.At.X)-k.x, float64(m.At.Y)-k.y) < k.core {
				votes++
			}
		}
		best := -1
		for i, f := range d.Slips {
			if math.Hypot(float64(f.At.X)-k.x, float64(f.At.Y)-k.y) < k.core+k.rim && !taken[i] && (best < 0 || math.Hypot(float64(f.DX)-k.dx, float64(f.DY)-k.dy) < math.Hypot(float64(d.Slips[best].DX)-k.dx, float64(d.Slips[best].DY)-k.dy)) {
				best = i
			}
		}
		s.known++
		if best < 0 {
			if votes < leastVotes {
				s.bare++
			}
			t.Logf("   slip of %.1f mm at %.0f, %.0f (core %.0f) not found; %d matches there", math.Hypot(k.dx, k.dy), k.x, k.y, k.core, votes)
			continue
		}
		taken[best] = true
		s.found++
		f := d.Slips[best]
		off := math.Hypot(float64(f.DX)-k.dx, float64(f.DY)-k.dy)
		t.Logf("   slip of %.1f mm found %.2f mm off, within %.2f, %d matches", math.Hypot(k.dx, k.dy), off, f.Within, f.Matches)
		if off <= 2*float64(f.Within) {
			s.sure++
		}
		if off <= 25.4/8 {
			s.near++
		} else if off <= 2*float64(f.Within) {
			s.honest++
		}
	}
	for i, f := range d.Slips {
		inside := false
		for _, k := range r.slips {
			inside = inside || math.Hypot(float64(f.At.X)-k.x, float64(f.At.Y)-k.y) < k.core+k.rim+40
		}
		if !taken[i] && !inside {
			s.invented++
			t.Logf("   invented: %+v", f)
		} else if !taken[i] {
			t.Logf("   of a part of one: %+v", f)
		}
	}
}
