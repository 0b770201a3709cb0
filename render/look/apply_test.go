package look

import (
	"bytes"
	"testing"

	"maulstick/render/colour"
	"maulstick/render/shape"
)

// TestPaintIsApply: runs of every length, painted elsewhere or in place, hold each
// pixel's colour by itself, and steps that lie as close as can be are told apart.
func TestPaintIsApply(t *testing.T) {
	near, err := shape.EdgedSteps([]colour.Lightness{50, 50.00001, 50.00002})
	if err != nil {
		t.Fatal(err)
	}
	surround, n := colour.SRGB{R: 1, G: 2, B: 3}, uint32(5)
	pix := make([]byte, 4*70000)
	for i := range pix {
		n = n*1664525 + 1013904223
		if pix[i] = byte(n >> 24); i%4 == 3 {
			pix[i] = 255
		}
	}
	for _, l := range []Look{
		{}, {Tone: Grey}, {Filter: true}, {Tone: Steps, Steps: 5}, {Tone: Steps, Steps: 4, Division: near},
		{Tone: Steps, Steps: 9, Keep: KeepOnly, Step: 3}, {Tone: Temperature}, {Tone: Misled},
	} {
		p := l.Painter(surround)
		for _, count := range []int{0, 1, 2, 63, 64, 65, 200, 70000} {
			run := bytes.Clone(pix[:4*count])
			out := make([]byte, len(run))
			p.Paint(out, run)
			if !bytes.Equal(run, pix[:len(run)]) {
				t.Errorf("%+v: painting elsewhere changes what is painted", l)
			}
			Paint(l, surround, run)
			if !bytes.Equal(out, run) {
				t.Errorf("%+v: %d pixels are painted differently in place", l, count)
			}
			for i := 0; i < count; i += max(count/200, 1) {
				c := colour.SRGB{R: pix[4*i], G: pix[4*i+1], B: pix[4*i+2]}
				want := Apply(l, surround, c)
				if !bytes.Equal(out[4*i:4*i+4], []byte{want.R, want.G, want.B, 255}) {
					t.Fatalf("%+v: pixel %d of %d is %v, want %v", l, i, count, out[4*i:4*i+4], want)
				}
				if l.Tone == Steps && l.Keep == KeepAll {
					if tone := l.Flat().Tone(l.Flat().Of(l.Meter().Read(c.R, c.G, c.B))); want.R != tone {
						t.Fatalf("%+v: %v is shown as %d, want the step's %d", l, c, want.R, tone)
					}
				}
			}
		}
	}
}
