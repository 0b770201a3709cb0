package colour

import "testing"

// TestLadder holds ladders to a plain count, at and beside every threshold and
// at the ends of every run.
func TestLadder(t *testing.T) {
	for name, rungs := range map[string][]Light{
		"none": nil, "greys": greyThresholds[:], "the ends": {0, FullLight}, "past white": {FullLight + 1},
		"on runs": {4096, 8192, 12288}, "just below runs": {4095, 8191, 12287},
	} {
		d, ok := NewLadder(rungs)
		if !ok {
			t.Fatalf("%s: there is no ladder", name)
		}
		around := append([]Light{0, FullLight}, rungs...)
		for run := Light(1); run < 4096; run++ {
			around = append(around, run<<12)
		}
		for _, l := range around {
			for near := min(max(l, 1)-1, FullLight); near <= min(l+1, FullLight); near++ {
				want := 0
				for _, r := range rungs {
					if near >= r {
						want++
					}
				}
				if got := d.Of(near); int(got) != want {
					t.Errorf("%s: %d reaches %d thresholds, not %d", name, near, want, got)
				}
			}
		}
	}
	for _, crowded := range [][]Light{{5, 6}, {70000, 8192 * 2000, 8192*2000 + 4095}} {
		if _, ok := NewLadder(crowded); ok {
			t.Errorf("%v are not refused", crowded)
		}
	}
}

// TestGreys: the grey of a light is the code that it is encoded nearest to
// (IEC 61966-2-1).
func TestGreys(t *testing.T) {
	for l := Light(0); l <= FullLight; l += 7 {
		want := Encode(float64(l) / float64(FullLight))
		if got := l.Grey(); got != want {
			t.Fatalf("light %d is grey %d, not %d", l, got, want)
		}
	}
}
