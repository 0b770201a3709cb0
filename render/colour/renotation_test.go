package colour

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// Every paper of the renotation comes back from the way it looks under D65 as
// the hue, value and chroma that it stands for.
func TestPapersReturn(t *testing.T) {
	lines, count := strings.Split(strings.TrimSpace(renotation), "\n"), 0
	if len(lines) != planes*rays {
		t.Fatalf("there are %d lines, want %d", len(lines), planes*rays)
	}
	for i, line := range lines {
		value, hue := Value(i/rays+1), 2.5*float64(i%rays)
		for j, paper := range strings.Fields(line) {
			var x, y int
			if _, err := fmt.Sscanf(paper, "%4d%4d", &x, &y); err != nil {
				t.Fatalf("%q is no paper: %v", paper, err)
			}
			count++
			px, py, bright := float64(x)/1e4, float64(y)/1e4, float64(value.Luminance())
			lab := XYZ{X: px / py * bright, Y: bright, Z: (1 - px - py) / py * bright}.underD65().Lab()
			// The light of a paper is a little more or less under another white.
			lab.L = float64(value.Luminance().Lightness())
			m := lab.Munsell()
			turn := math.Abs(math.Mod(m.Hue-hue+150, 100) - 50)
			if turn > 0.02 || math.Abs(m.Chroma-float64(2*j+2)) > 0.02 || math.Abs(float64(m.Value-value)) > 1e-6 {
				t.Errorf("%g %v/%d comes back as %g %v/%g", hue, value, 2*j+2, m.Hue, m.Value, m.Chroma)
			}
		}
	}
	if count != 2729 {
		t.Errorf("%d papers, want the 2729 of the renotation", count)
	}
}

// Illuminant C looks neutral under the white of sRGB, and the transform between
// them is the published one (Lindbloom's figures, to their last place).
func TestBradford(t *testing.T) {
	if lab := illuminantC.underD65().Lab(); math.Abs(lab.A)+math.Abs(lab.B) > 1e-9 || math.Abs(lab.L-100) > 1e-9 {
		t.Errorf("illuminant C looks like %v", lab)
	}
	published := [3][3]float64{{0.990448, -0.007168, -0.011615}, {-0.012371, 1.015594, -0.002928}, {-0.003564, 0.006770, 0.918157}}
	for j, unit := range []XYZ{{X: 1}, {Y: 1}, {Z: 1}} {
		got := unit.underD65()
		for i, v := range []float64{got.X, got.Y, got.Z} {
			// His white is D65 to five figures and C as 0.98074, 1, 1.18232.
			if math.Abs(v-published[i][j]) > 5e-4 {
				t.Errorf("row %d, column %d is %.6f, want %.6f", i, j, v, published[i][j])
			}
		}
	}
}
