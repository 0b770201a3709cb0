package colour_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"maulstick/render/colour"
)

// fits are the rows of the fit that the sheets stand for, and the columns of the
// pigments seen through the same filter.
var fits = map[colour.Sheet]struct{ fit, pigments string }{
	colour.OrangeSheet: {"580/20", "Lstar_580/20"},
	colour.RedSheet:    {"600/40", "Lstar_600/40_LHTSS"},
	colour.DeepSheet:   {"620/20", "Lstar_620/20"},
}

// fitted is the row of the fit that a sheet stands for.
func fitted(t *testing.T, s colour.Sheet) row {
	t.Helper()
	for _, r := range table(t, "red_filter_weights") {
		if r.cells["filter_cuton_nm/10-90_width_nm"] == fits[s].fit {
			return r
		}
	}
	t.Fatalf("the table has no row for the %s", s.Say())
	return row{}
}

// Each sheet's weights against the fit on measured reflectances, and white full
// through every one of them.
func TestSheetsMatchFit(t *testing.T) {
	for _, s := range colour.Sheets() {
		r, w := fitted(t, s), s.Weights()
		r.near("wR", w.R)
		r.near("wG", w.G)
		r.near("wB", w.B)
		if sum := math.Round(1000*w.R) + math.Round(1000*w.G) + math.Round(1000*w.B); sum != 1000 || math.Abs(w.R+w.G+w.B-1) > 1e-15 {
			t.Errorf("the weights of the %s sum to %v thousandths", s.Say(), sum)
		}
		if m := s.Meter(); m.Read(255, 255, 255) != colour.FullLight || m.Read(0, 0, 0) != 0 {
			t.Errorf("white reads %d through the %s", m.Read(255, 255, 255), s.Say())
		}
		if again, err := colour.ParseSheet(s.String()); err != nil || again != s {
			t.Errorf("the sheet %q is read as %v, %v", s, again, err)
		}
		if cut, _, _ := strings.Cut(fits[s].fit, "/"); cut != strconv.Itoa(s.CutOn()) {
			t.Errorf("the %s cuts on at %d nm, its fit at %s", s.Say(), s.CutOn(), cut)
		}
	}
	if colour.RedSheet.Meter() != colour.FilterMeter || colour.RedSheet.Weights() != colour.RedFilter || colour.RedSheet != 0 {
		t.Error("the red sheet is not the red filter")
	}
	if _, err := colour.ParseSheet("green"); err == nil {
		t.Error("there is a green sheet")
	}
}

// tubes are the pigments of the table with their columns' figures for a sheet.
func tubes(t *testing.T, column string, visit func(r row, c colour.SRGB)) {
	t.Helper()
	for _, r := range table(t, "red_filter_pigments") {
		var code [3]uint8
		for i, channel := range strings.Split(r.cells["sRGB_0_1"], ",") {
			top, _, whole := strings.Cut(channel, "/")
			unit, err := strconv.ParseFloat(top, 64)
			if err != nil {
				t.Fatalf("%s: %v", r.name, err)
			}
			if !whole {
				unit *= 255
			}
			code[i] = uint8(math.Round(unit))
		}
		if r.cells[column] != "" {
			visit(r, colour.SRGB{R: code[0], G: code[1], B: code[2]})
		}
	}
}

// Tube colours through each sheet, by reflectances rebuilt over the spectrum. No
// difference is over the largest that the fit itself left on 413 reflectances,
// and at most one in ten is over what it left on 95 in a hundred of them. (A
// tube's colour is more saturated than most surfaces are: deep red sheets are
// off by 5.7 L*, root mean square, where the fit was by 4.4.)
func TestSheetsOnPigments(t *testing.T) {
	for _, s := range colour.Sheets() {
		r, found, over := fitted(t, s), 0, 0
		tubes(t, fits[s].pigments, func(p row, c colour.SRGB) {
			found++
			off := math.Abs(float64(s.Meter().Read(c.R, c.G, c.B).Lightness()) - p.number(fits[s].pigments))
			if off > r.number("max_L") {
				t.Errorf("%s through the %s is %.1f L* off", p.name, s.Say(), off)
			}
			if off > r.number("p95_L") {
				over++
			}
		})
		if found < 21 || over > found/10 {
			t.Errorf("through the %s %d of %d pigments are off by more than %v L*", s.Say(), over, found, r.number("p95_L"))
		}
	}
}

// The step by which each pigment is put off, against the reflectances: within
// 5.5 L*, the tolerance of the lightness itself. Where the table has half a step
// or more, the side is the same.
func TestMisreadingOfPigments(t *testing.T) {
	tubes(t, "diff_steps_of_20", func(r row, c colour.SRGB) {
		got, want := float64(colour.RedSheet.Misreading(c)), r.number("diff_steps_of_20")
		if math.Abs(got-want) > (r.tolerance("Lstar_600/40_LHTSS")+r.tolerance("Lstar"))/20 {
			t.Errorf("%s is put off by %.2f steps, want %.2f", r.name, got, want)
		}
		if math.Abs(want) >= 0.5 && got*want <= 0 {
			t.Errorf("%s is put off by %.2f steps, want the side of %.2f", r.name, got, want)
		}
	})
}

// By hue and chroma, against 750 measured reflectances. An even grid of storable
// colours stands for them; they are other colours, so the mean has to lie in the
// measured range, widened by what the fit left on 95 in a hundred reflectances
// (3.82 L*), and on its side of nothing.
func TestMisreadingByHue(t *testing.T) {
	sums, counts := map[string]float64{}, map[string]float64{}
	rows := table(t, "red_filter_hues")
	for r := 0; r < 256; r += 5 {
		for g := 0; g < 256; g += 5 {
			for b := 0; b < 256; b += 5 {
				c := colour.SRGB{R: uint8(r), G: uint8(g), B: uint8(b)}
				lab := c.Lab()
				chroma, hue := math.Hypot(lab.A, lab.B), degrees(lab.B, lab.A)
				if lab.L < 20 || lab.L > 85 || chroma < 8 || chroma >= 75 {
					continue
				}
				for _, row := range rows {
					if name, in := sector(row, hue, chroma); in {
						sums[name] += 20 * float64(colour.RedSheet.Misreading(c))
						counts[name]++
					}
				}
			}
		}
	}
	for _, row := range rows {
		name, _ := sector(row, 0, 0)
		mean, low, high := sums[name]/counts[name], row.number("min_dL"), row.number("max_dL")
		if !(mean >= low-3.82 && mean <= high+3.82) || (low > 0 && mean <= 0) || (high < 0 && mean >= 0) {
			t.Errorf("%s: put off by %.1f L*, measured %.1f to %.1f", name, mean, low, high)
		}
	}
}

// sector says whether a hue and chroma belong to a row of the table.
func sector(r row, hue, chroma float64) (name string, in bool) {
	from, rest, _ := strings.Cut(r.cells["CIELAB_hue_sector"], "-")
	to, _, _ := strings.Cut(rest, " ")
	low, bad := strconv.ParseFloat(from, 64)
	high, badToo := strconv.ParseFloat(to, 64)
	if bad != nil || badToo != nil {
		r.t.Fatalf("%s: no sector", r.name)
	}
	in = hue >= low && hue < high && chroma >= r.number("C_min") && chroma < r.number("C_max")
	return r.cells["CIELAB_hue_sector"] + " from " + r.cells["C_min"], in
}

// degrees is the angle of a place about the origin, 0..360.
func degrees(y, x float64) float64 { return math.Mod(math.Atan2(y, x)*180/math.Pi+360, 360) }

// On every colour of a fine grid the class is the misreading's, but within one
// part of the fine scale about its bounds.
func TestMisledIsTheMisreadingsClass(t *testing.T) {
	const part = 5.0 / colour.FineParts
	seen := map[colour.Misled]int{}
	for _, s := range colour.Sheets() {
		for r := 0; r < 256; r += 3 {
			for g := 0; g < 256; g += 3 {
				for b := 0; b < 256; b += 3 {
					c := colour.SRGB{R: uint8(r), G: uint8(g), B: uint8(b)}
					off, class := float64(s.Misreading(c)), s.Misled(c)
					seen[class]++
					low, high := float64(class)/2, float64(class)/2
					if class <= colour.True {
						low -= 0.5
					}
					if class >= colour.True {
						high += 0.5
					}
					if (off < low-part && class > colour.WholeDarker) || (off > high+part && class < colour.WholeLighter) {
						t.Fatalf("%v through the %s is off by %.4f steps and in class %d", c, s.Say(), off, class)
					}
				}
			}
		}
	}
	if len(seen) != 5 {
		t.Errorf("the classes %v are not five", seen)
	}
}

// The class decided by halving the thresholds, as a shader does, is the same.
func TestMisledByHalving(t *testing.T) {
	edges := colour.Fine().Thresholds()
	part := func(l colour.Light) int {
		low, high := 0, len(edges)
		for low < high {
			if middle := (low + high) / 2; l >= edges[middle] {
				low = middle + 1
			} else {
				high = middle
			}
		}
		return low
	}
	for i := range 1 << 16 {
		c := colour.SRGB{R: uint8(i), G: uint8(i >> 8), B: uint8(i * 7 >> 4)}
		parts := part(colour.DeepSheet.Meter().Read(c.R, c.G, c.B)) - part(colour.EyeMeter.Read(c.R, c.G, c.B))
		want := colour.True
		switch {
		case parts >= 504:
			want = colour.WholeLighter
		case parts >= 252:
			want = colour.HalfLighter
		case parts <= -504:
			want = colour.WholeDarker
		case parts <= -252:
			want = colour.HalfDarker
		}
		if got := colour.DeepSheet.Misled(c); got != want {
			t.Fatalf("%v is in class %d, by halving in %d", c, got, want)
		}
	}
}

func TestMisreadingSentence(t *testing.T) {
	for m, want := range map[colour.Misreading]string{
		1.42: "through the filter this reads 1.4 steps lighter than it is",
		-0.7: "through the filter this reads 0.7 steps darker than it is",
		0.96: "through the filter this reads a whole step lighter than it is",
		-0.5: "through the filter this reads half a step darker than it is",
		0.3:  "through the filter this reads nearly as light as it is: 0.3 of a step lighter",
		0.04: "through the filter this reads as light as it is",
		-0.0: "through the filter this reads as light as it is",
	} {
		if got := m.Sentence(); got != want {
			t.Errorf("%v is said as %q, want %q", float64(m), got, want)
		}
	}
}
