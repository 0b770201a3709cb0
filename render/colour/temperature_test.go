package colour_test

import (
	"cmp"
	"math"
	"slices"
	"testing"

	"maulstick/render/colour"
)

// temperatures are the neutrals that tests try: white, a warm light, a cool one,
// one far off, and a neutral that cannot be divided by.
func temperatures() map[string]*colour.Temperature {
	return map[string]*colour.Temperature{
		"white":   colour.Daylight,
		"warm":    colour.NewTemperature(colour.Linear{R: 0.9, G: 0.7, B: 0.45}),
		"cool":    colour.NewTemperature(colour.Linear{R: 0.2, G: 0.25, B: 0.33}),
		"extreme": colour.NewTemperature(colour.Linear{R: 1, G: 0.1, B: 0.02}),
		"none":    colour.NewTemperature(colour.Linear{R: 1, G: 0, B: math.NaN()}),
	}
}

// The published judgements of warm and cool: the table's own columns follow from
// CIELAB by the formulas of Ou and others, and the warmth has their order. Every
// colour of the table more than 10 degrees of hue from where the axis changes side
// is on the published side of grey, which was itself judged a little cool; within
// that lie pure green and magenta.
func TestWarmthMatchesJudgements(t *testing.T) {
	type judged struct{ warmth, judgement float64 }
	var all []judged
	for _, r := range table(t, "warm_cool") {
		c := colour.SRGB{R: r.code("R"), G: r.code("G"), B: r.code("B")}
		lab := c.Lab()
		chroma, hue := math.Hypot(lab.A, lab.B), math.Atan2(lab.B, lab.A)
		r.near("Cstar", chroma)
		off := hue - 50*math.Pi/180
		r.near("T_axis50", chroma*math.Cos(off))
		r.near("WC_2004", -0.5+0.02*math.Pow(chroma, 1.07)*math.Cos(off))
		r.near("WC_2018", -0.89+0.052*chroma*(math.Cos(off)+0.16*math.Cos(2*hue-350*math.Pi/180)))
		warmth := float64(colour.Daylight.Warmth(c.Linear()))
		all = append(all, judged{warmth, r.number("WC_2018")})
		if r.cells["h_deg"] == "" {
			if math.Abs(warmth) > 1e-12 {
				t.Errorf("%s: a grey has the warmth %g", r.name, warmth)
			}
			continue
		}
		r.near("h_deg", degrees(lab.B, lab.A))
		side := math.Abs(math.Mod(r.number("h_deg")-140+720, 180))
		if grey := r.number("WC_2018") + 0.89; min(side, 180-side) > 10 && (warmth*grey <= 0 || warmth*r.number("T_axis50") <= 0) {
			t.Errorf("%v has the warmth %.1f, judged %.2f from grey", c, warmth, grey)
		}
	}
	// Spearman's rank correlation.
	rank := func(by func(judged) float64) []int {
		order := make([]int, len(all))
		for i := range order {
			order[i] = i
		}
		slices.SortFunc(order, func(a, b int) int { return cmp.Compare(by(all[a]), by(all[b])) })
		ranks := make([]int, len(all))
		for i, k := range order {
			ranks[k] = i
		}
		return ranks
	}
	a, b := rank(func(j judged) float64 { return j.warmth }), rank(func(j judged) float64 { return j.judgement })
	var squares float64
	for i := range a {
		squares += float64((a[i] - b[i]) * (a[i] - b[i]))
	}
	n := float64(len(a))
	if rho := 1 - 6*squares/(n*(n*n-1)); rho < 0.9 {
		t.Errorf("the order of warmth agrees with the judgements by %.2f only", rho)
	}
}

// Near a neutral of L* 50 the warmth is the distance along the CIELAB hue of 50
// degrees, and the cast is a* and b*, to a tenth of the chroma.
func TestWarmthIsCIELABNearGrey(t *testing.T) {
	for degree := 0; degree < 360; degree += 15 {
		for _, chroma := range []float64{1, 3, 6} {
			angle := float64(degree) * math.Pi / 180
			lab := colour.Lab{L: 50, A: chroma * math.Cos(angle), B: chroma * math.Sin(angle)}
			light := lab.XYZ().Linear()
			want := chroma * math.Cos(angle-50*math.Pi/180)
			if got := float64(colour.Daylight.Warmth(light)); math.Abs(got-want) > 0.1*chroma {
				t.Errorf("hue %d, chroma %g: warmth %.2f, want %.2f", degree, chroma, got, want)
			}
			cast := colour.Daylight.Cast(light)
			if off := math.Hypot(cast.A-lab.A, cast.B-lab.B); off > 0.1*chroma {
				t.Errorf("hue %d, chroma %g: cast %v, want %v", degree, chroma, cast, lab)
			}
			back := colour.Daylight.Cast(cast.Light())
			if math.Hypot(back.A-cast.A, back.B-cast.B) > 1e-9 {
				t.Errorf("the light of cast %v has the cast %v", cast, back)
			}
		}
	}
}

// Exact in a shader: on every colour of a fine grid, in every order of adding, and
// in 32-bit floats, a bound's sum is the same whole number, and black is neither.
func TestTemperatureIsExactInFloats(t *testing.T) {
	for name, temperature := range temperatures() {
		for _, b := range colour.Bounds() {
			up := max(b.R, 0) + max(b.G, 0) + max(b.B, 0)
			down := min(b.R, 0) + min(b.G, 0) + min(b.B, 0)
			if up*colour.FullAdapted >= 1<<24 || -down*colour.FullAdapted >= 1<<24 {
				t.Errorf("the bound %v leaves 2^24", b)
			}
		}
		if class := temperature.Class(colour.SRGB{}); class != colour.Neither {
			t.Errorf("%s: black is %v", name, class)
		}
		for _, table := range [][256]uint32{temperature.R, temperature.G, temperature.B} {
			for code, light := range table {
				if light > colour.FullAdapted || (code > 0 && light < table[code-1]) {
					t.Fatalf("%s: code %d has the light %d", name, code, light)
				}
			}
		}
		for i := range 1 << 18 {
			c := colour.SRGB{R: uint8(i >> 12 << 2), G: uint8(i >> 6 << 2), B: uint8(i << 2)}
			if got, want := temperature.Class(c), floatClass(temperature, c); got != want {
				t.Fatalf("%s: %v is %v, in 32-bit floats %v", name, c, got, want)
			}
		}
	}
}

// floatClass is the class as a shader works it out.
func floatClass(t *colour.Temperature, c colour.SRGB) colour.WarmCool {
	r, g, b := float32(t.R[c.R]), float32(t.G[c.G]), float32(t.B[c.B])
	beyond := func(w colour.Bound) colour.WarmCool {
		if b*float32(w.B)+(g*float32(w.G)+r*float32(w.R)) >= 0 {
			return 1
		}
		return 0
	}
	w := colour.Bounds()
	return beyond(w[0]) + beyond(w[1]) - beyond(w[2]) - beyond(w[3])
}

// The class by the tables is the class of the warmth, but for the rounding of dark
// codes: they differ on fewer than one colour in a thousand, and then by one class.
func TestClassIsTheWarmthsClass(t *testing.T) {
	for name, temperature := range temperatures() {
		differing, seen := 0, map[colour.WarmCool]int{}
		for i := range 1 << 18 {
			c := colour.SRGB{R: uint8(i >> 12 << 2), G: uint8(i >> 6 << 2), B: uint8(i << 2)}
			got, want := temperature.Class(c), temperature.Warmth(c.Linear()).Class()
			seen[got]++
			if got == want {
				continue
			}
			differing++
			if d := got - want; d*d > 1 {
				t.Fatalf("%s: %v is %v by the tables, %v by its warmth", name, c, got, want)
			}
		}
		if differing > 1<<18/1000 || len(seen) != 5 {
			t.Errorf("%s: %d of %d colours differ; classes %v", name, differing, 1<<18, seen)
		}
	}
}

// Greys are neither, whatever the light; so is every storable shade of the neutral
// that is told, down to where codes are too coarse for its chromaticity.
func TestNeutralIsNeither(t *testing.T) {
	for code := range 256 {
		if class := colour.Daylight.Class(colour.SRGB{R: uint8(code), G: uint8(code), B: uint8(code)}); class != colour.Neither {
			t.Errorf("grey %d is %v", code, class)
		}
	}
	neutral := colour.Linear{R: 0.9, G: 0.7, B: 0.45}
	warm := colour.NewTemperature(neutral)
	for light := 0.02; light <= 1; light *= 1.1 {
		c := colour.Linear{R: light * neutral.R, G: light * neutral.G, B: light * neutral.B}
		if w := warm.Warmth(c); math.Abs(float64(w)) > 1e-12 {
			t.Errorf("the neutral itself has the warmth %g", w)
		}
		if class := warm.Class(c.SRGB()); class != colour.Neither {
			t.Errorf("the neutral at %.2f, %v, is %v", light, c.SRGB(), class)
		}
	}
	if warm.Class(colour.SRGB{R: 200, G: 200, B: 200}) >= colour.Neither {
		t.Error("under a warm light a true grey is not cool")
	}
}

// More or less light on a thing does not change its warmth; stored again in codes
// it keeps its class three stops down unless it is dark or near a bound.
func TestWarmthDoesNotKnowExposure(t *testing.T) {
	for i := range 1 << 15 {
		c := colour.SRGB{R: uint8(i >> 10 << 3), G: uint8(i >> 5 << 3), B: uint8(i << 3)}
		if min(c.R, c.G, c.B) < 64 {
			continue
		}
		l := c.Linear()
		dark := colour.Linear{R: l.R / 8, G: l.G / 8, B: l.B / 8}
		w, again := colour.Daylight.Warmth(l), colour.Daylight.Warmth(dark)
		if math.Abs(float64(w-again)) > 1e-12 {
			t.Fatalf("%v has the warmth %v, with an eighth of the light %v", c, w, again)
		}
		stored := colour.Daylight.Warmth(dark.SRGB().Linear())
		if d := colour.Daylight.Class(c) - colour.Daylight.Class(dark.SRGB()); d*d > 1 || math.Abs(float64(w-stored)) > 2.5 {
			t.Fatalf("%v has the warmth %.2f, three stops down in codes %.2f", c, w, stored)
		}
	}
}

// The entries come out the same on every machine.
func TestTemperatureTablesAreSafe(t *testing.T) {
	for code := range 256 {
		scaled := colour.FullAdapted * colour.Decode(uint8(code))
		if off := math.Abs(scaled - math.Floor(scaled) - 0.5); off < 1e-9 {
			t.Errorf("code %d: %.12f is too near to a half", code, scaled)
		}
	}
}
