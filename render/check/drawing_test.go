package check

import (
	"errors"
	"math"
	"testing"

	"maulstick/render/photo"
	"maulstick/render/place"
)

// drawn is what is made of a photograph of a painting.
func drawn(t *testing.T, reference, shot *photo.Picture, canvas place.Size) (Drawing, error) {
	t.Helper()
	found, err := FindCanvas(shot, canvas)
	if err != nil {
		return Drawing{}, err
	}
	size := frameOf(canvas, workSide)
	painting, err := squared(shot, found, size)
	if err != nil {
		t.Fatal(err)
	}
	ref, err := cropped(reference, place.WholeCrop(reference.Size()), size)
	if err != nil {
		t.Fatal(err)
	}
	return compareDrawing(ref.lab(), painting.lab(), canvas)
}

// On a perfect copy no slip is found, and the whole is in place.
func TestNoSlipOnPerfectCopies(t *testing.T) {
	invented, declined := 0, map[string]int{}
	for seed := range uint64(*scenes) {
		reference, s, _ := scene(t, seed, place.Pixels{Width: 1600, Height: 1200})
		d, err := drawn(t, reference, s.shoot(t, reference), s.canvas)
		var no *Declined
		if errors.As(err, &no) {
			declined[no.Reason]++
			t.Logf("scene %d: %s", seed, no.Reason)
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("scene %d: %d matches, whole %+.2f, spread %.2f, slips %+v", seed, len(d.Matches), d.Whole, d.Spread, d.Slips)
		invented += len(d.Slips)
		if math.Hypot(float64(d.Whole.DX), float64(d.Whole.DY)) > 2 || math.Abs(d.Whole.Turn) > 0.2 || math.Abs(d.Whole.Across-1) > 0.006 || math.Abs(d.Whole.Down-1) > 0.006 {
			t.Errorf("scene %d: the whole is told to be %+v off", seed, d.Whole)
		}
	}
	t.Logf("on %d perfect copies %d slips were invented, declined: %v", *scenes, invented, declined)
	if invented > 0 {
		t.Errorf("%d slips were invented on perfect copies", invented)
	}
}

// Known slips of 1/4 in and more are found within 1/8 in on repainted pictures.
func TestKnownSlips(t *testing.T) {
	var known, found, near, invented, bare int
	declined := map[string]int{}
	for seed := range uint64(*scenes) {
		reference, s, rng := scene(t, 1000+seed, place.Pixels{Width: 1600, Height: 1200})
		r := newRepaint(t, rng, reference, s.canvas)
		painting := r.paint(reference)
		d, err := drawn(t, reference, s.shoot(t, painting), s.canvas)
		var no *Declined
		if errors.As(err, &no) {
			declined[no.Reason]++
			t.Logf("scene %d: %s", seed, no.Reason)
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
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
			known++
			if best < 0 {
				if votes < leastVotes {
					bare++
				}
				t.Logf("   slip of %.1f mm at %.0f, %.0f (core %.0f) not found; %d matches there", math.Hypot(k.dx, k.dy), k.x, k.y, k.core, votes)
				continue
			}
			taken[best] = true
			found++
			f := d.Slips[best]
			off := math.Hypot(float64(f.DX)-k.dx, float64(f.DY)-k.dy)
			t.Logf("   slip of %.1f mm found %.2f mm off, within %.2f, %d matches", math.Hypot(k.dx, k.dy), off, f.Within, f.Matches)
			if off <= 25.4/8 {
				near++
			}
		}
		for i, f := range d.Slips {
			inside := false
			for _, k := range r.slips {
				inside = inside || math.Hypot(float64(f.At.X)-k.x, float64(f.At.Y)-k.y) < k.core+k.rim+40
			}
			if !taken[i] && !inside {
				invented++
				t.Logf("   invented: %+v", f)
			} else if !taken[i] {
				t.Logf("   of a part of one: %+v", f)
			}
		}
	}
	t.Logf("of %d slips %d were found, %d of them within 1/8 in; %d lay where nothing matches; %d invented; declined: %v", known, found, near, bare, invented, declined)
}
