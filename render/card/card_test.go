package card

import (
	"errors"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"maulstick/render/colour"
	"maulstick/render/photo"
	"maulstick/render/place"
)

// expected is the accuracy of the table, by tone and method: the mean of root mean
// square errors in L*, and what 95 of 100 colours stay within.
func expected(t *testing.T) map[string][2]float64 {
	t.Helper()
	data, err := os.ReadFile("../../testdata/card/camera_calibration.tsv")
	if err != nil {
		t.Fatal(err)
	}
	rows := map[string][2]float64{}
	for line := range strings.Lines(string(data)) {
		cells := strings.Split(line, "\t")
		mean, err := strconv.ParseFloat(cells[2], 64)
		if err != nil {
			continue // the head
		}
		most, err := strconv.ParseFloat(cells[4], 64)
		if err != nil {
			t.Fatal(err)
		}
		rows[cells[0]+"; "+cells[1]] = [2]float64{mean, most}
	}
	if len(rows) != 27 {
		t.Fatalf("the table has %d rows", len(rows))
	}
	return rows
}

// shown is a photograph of patches in a row, each 60 pixels wide.
func shown(codes []colour.SRGB) *photo.Picture {
	p := photo.New(60*len(codes), 120)
	for i := range p.Width * p.Height {
		c := codes[i%p.Width/60]
		p.Pix[4*i], p.Pix[4*i+1], p.Pix[4*i+2], p.Pix[4*i+3] = c.R, c.G, c.B, 255
	}
	return p
}

// inRow are cards of values on shown.
func inRow(values ...colour.Value) (cards []Card) {
	for i, v := range values {
		cards = append(cards, Card{v, place.PhotoPoint{X: 60*float64(i) + 30.5, Y: 60.5}})
	}
	return cards
}

func grey(v colour.Value) spectrum {
	return filled(func(float64) float64 { return float64(v.Luminance()) })
}

// Simulated cameras, photographing cards and 308 colours, reach the accuracy of the
// table within a fifth.
func TestAccuracyByMethod(t *testing.T) {
	want := expected(t)
	all := surfaces()
	for _, tone := range []struct {
		name string
		s    float64
	}{{"linear sRGB camera (s=0)", 0}, {"moderate S-curve (s=0.3)", 0.3}, {"strong S-curve (s=0.6)", 0.6}} {
		for _, method := range []struct {
			name   string
			values []colour.Value
		}{
			{"none", nil},
			{"2 cards V3,V9 gain+gamma", []colour.Value{3, 9}},
			{"3 cards V2,5,9 monotone", []colour.Value{2, 5, 9}},
			{"5 cards V1.5,3.5,5.5,7.5,9.5 monotone", []colour.Value{1.5, 3.5, 5.5, 7.5, 9.5}},
		} {
			var roots, greys, errs []float64
			refused := 0
			for which := range sensors {
				for l, light := range lights {
					rng := rand.New(rand.NewPCG(uint64(10*which+l), 3))
					for range 3 {
						c := newCamera(which, light, rng, tone.s)
						root, off, grey, clipped := c.trial(t, method.values, all)
						if clipped {
							refused++ // as it should be
							continue
						}
						greys = append(greys, grey...)
						roots = append(roots, root)
						errs = append(errs, off...)
					}
				}
			}
			slices.Sort(errs)
			slices.Sort(greys)
			mean, most := 0.0, errs[len(errs)*95/100]
			for _, r := range roots {
				mean += r / float64(len(roots))
			}
			row := want[tone.name+"; "+method.name]
			t.Logf("%s, %s: %.2f L* (table %.2f), 95 of 100 within %.2f (table %.2f), greys within %.2f; %d refused as clipped", tone.name, method.name, mean, row[0], most, row[1], greys[len(greys)*95/100], refused)
			if method.values != nil && (mean > 1.2*row[0] || most > 1.2*row[1]) {
				t.Errorf("%s, %s: %.2f L* and %.2f, want at most a fifth more than %.2f and %.2f", tone.name, method.name, mean, most, row[0], row[1])
			}
			if len(roots) < 20 {
				t.Errorf("%s, %s: only %d of 30 trials were not refused", tone.name, method.name, len(roots))
			}
			if grey := greys[len(greys)*95/100]; len(method.values) > 3 && (most > 3 || grey > 1) {
				t.Errorf("%s, %s: colours within %.2f and greys within %.2f, where 3 and 1 are promised", tone.name, method.name, most, grey)
			}
		}
	}
}

// trial is the root mean square error in L* over surfaces, each error, and those of
// greys; clipped says that the lightest card was, and there are none.
func (c camera) trial(t *testing.T, values []colour.Value, all []spectrum) (root float64, off, greys []float64, clipped bool) {
	t.Helper()
	read := func(s colour.SRGB) colour.Lightness { return s.Lightness() }
	if values != nil {
		var codes []colour.SRGB
		for _, v := range values {
			codes = append(codes, c.stores(grey(v)))
		}
		cal, err := Calibrate(shown(codes), inRow(values...))
		if err != nil && strings.Contains(err.Error(), "is clipped") {
			return 0, nil, nil, true
		}
		if err != nil {
			t.Fatal(err)
		}
		read = func(s colour.SRGB) colour.Lightness {
			return cal.True(place.PhotoPoint{}, s.Linear()).Luminance().Lightness()
		}
	}
	sum := 0.0
	for _, s := range all {
		want := truth(c.light, s).Luminance().Lightness()
		e := float64(read(c.stores(s)) - want)
		sum += e * e
		off = append(off, math.Abs(e))
	}
	for v := colour.Value(3); v <= 9; v += 0.5 {
		greys = append(greys, math.Abs(float64(read(c.stores(grey(v)))-v.Luminance().Lightness())))
	}
	return math.Sqrt(sum / float64(len(all))), off, greys, false
}

// greyCodes are the codes of greys of values, as the standard has them.
func greyCodes(values ...colour.Value) (codes []colour.SRGB) {
	for _, v := range values {
		codes = append(codes, colour.GreyOf(v.Luminance().Lightness()))
	}
	return codes
}

// Cards that cannot be right are refused, each with its reason.
func TestRefusals(t *testing.T) {
	uneven := shown(greyCodes(2, 5, 9))
	for y := range uneven.Height {
		for x := 60; x < 120; x++ {
			c := uneven.Pix[4*(y*uneven.Width+x):]
			shade := 100 + 4*uint8(x-75)
			if x < 75 {
				shade = 100
			}
			c[0], c[1], c[2] = shade, shade, shade
		}
	}
	dull := shown(append(greyCodes(2), colour.SRGB{R: 150, G: 110, B: 90}, greyCodes(9)[0]))
	for _, c := range []struct {
		want    string
		picture *photo.Picture
		cards   []Card
	}{
		{"is clipped: the camera has made it white", shown(append(greyCodes(2, 5), colour.SRGB{R: 255, G: 255, B: 255})), inRow(2, 5, 9.5)},
		{"is clipped: a colour of it", shown(append([]colour.SRGB{{R: 1, G: 1, B: 1}}, greyCodes(5, 9)...)), inRow(1, 5, 9)},
		{"out of order", shown(greyCodes(2, 9, 5)), inRow(2, 5, 9)},
		{"uneven across its face", uneven, inRow(2, 5, 9)},
		{"does not fit the others: by them it would be", shown(greyCodes(2, 6.5, 9)), inRow(2, 5, 9)},
		{"does not fit the others: by them it is not grey", dull, inRow(2, 5, 9)},
		{"too alike", shown(greyCodes(5, 5.5)), inRow(5, 5.5)},
		{"not two cards", shown(greyCodes(5)), inRow(5)},
		{"cards of 6 values", shown(greyCodes(2, 3, 4, 5, 6, 7)), inRow(2, 3, 4, 5, 6, 7)},
		{"no value from 0 to 10", shown(greyCodes(2, 5)), inRow(2, 11)},
		{"no card has value 0", shown(greyCodes(2, 5)), inRow(0, 5)},
		{"does not lie on the photograph", shown(greyCodes(2, 5)), []Card{{2, place.PhotoPoint{X: 30, Y: 60}}, {5, place.PhotoPoint{X: 900, Y: 60}}}},
		{"times as light at one end", shown(greyCodes(2, 3.5, 9)), inRow(2, 2, 9)},
	} {
		_, err := Calibrate(c.picture, c.cards)
		var problem *place.Problem
		if !errors.As(err, &problem) || !strings.Contains(err.Error(), c.want) || problem.Wanted == "" {
			t.Errorf("%v is refused with %v, want %q", c.cards, err, c.want)
		}
	}
}

// A card at both ends measures the rise of the light, and readings are freed of it.
func TestUnevenLightIsMeasured(t *testing.T) {
	values := []colour.Value{5, 2, 7, 9, 5}
	p := shown(greyCodes(values...))
	rise := func(x int) float64 { return math.Exp(0.2 * float64(x-30) / 240) } // from the first card's middle to the last's
	for y := range p.Height {
		for x := range p.Width {
			c := p.Pix[4*(y*p.Width+x):]
			code := colour.Encode(colour.Decode(c[0]) * 0.8 * rise(x))
			c[0], c[1], c[2] = code, code, code
		}
	}
	c, err := Calibrate(p, inRow(values...))
	if err != nil {
		t.Fatal(err)
	}
	if want := math.Exp(0.2) - 1; !c.Measured || math.Abs(c.Rise-want) > 0.02 || c.Lighter != "right" {
		t.Errorf("the rise is %.3f to the %q, want %.3f to the right", c.Rise, c.Lighter, want)
	}
	for _, f := range c.Faces {
		if off := float64(f.Reads - f.Value.Luminance().Lightness()); math.Abs(off) > 1 {
			t.Errorf("value %v reads %.2f L* off", f.Value, off)
		}
	}
}
