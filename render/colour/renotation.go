package colour

import (
	_ "embed"
	"math"
	"strconv"
	"strings"
	"sync"
)

// renotation is the chromaticities of the Munsell papers under illuminant C, as
// far as real surfaces go (Newhall, Nickerson and Judd, "Final report of the
// O.S.A. subcommittee on the spacing of the Munsell colors", JOSA 33:385, 1943).
// Nine values of 40 hues make a line each, from 10RP by 2.5R to 7.5RP; a line
// holds chromas 2, 4, 6 and on, each four decimals of x and four of y.
//
//go:embed renotation.txt
var renotation string

const (
	planes = 9  // values 1 to 9
	rays   = 40 // hues, 2.5 steps apart
)

// ray is the papers of one hue and value by rising chroma: where CIELAB has
// them, their hue unwound so that no two neighbours are over 180 degrees apart.
// The first stands for the neutral.
type ray []struct{ chroma, hue float64 }

// plane is the papers of one value.
type plane [rays]ray

// bradford is the transform to the cones of Lam and Rigg (1985), as CIE 160:2004
// has it, and its inverse.
var (
	bradford     = matrix{{0.8951, 0.2664, -0.1614}, {-0.7502, 1.7135, 0.0367}, {0.0389, -0.0685, 1.0296}}
	fromBradford = bradford.inverse()
)

// illuminantC is the white of the renotation (CIE 15), Y = 1.
var illuminantC = XYZ{X: 0.31006 / 0.31616, Y: 1, Z: (1 - 0.31006 - 0.31616) / 0.31616}

// inverse is the matrix turned round.
func (m *matrix) inverse() matrix {
	minor := func(i, j int) float64 {
		a, b, c, d := (i+1)%3, (i+2)%3, (j+1)%3, (j+2)%3
		return m[a][c]*m[b][d] - m[a][d]*m[b][c]
	}
	whole := m[0][0]*minor(0, 0) + m[0][1]*minor(0, 1) + m[0][2]*minor(0, 2)
	var out matrix
	for i := range out {
		for j := range out {
			out[i][j] = minor(j, i) / whole
		}
	}
	return out
}

// underD65 is what light seen under illuminant C looks like under the white of
// sRGB.
func (c XYZ) underD65() XYZ {
	from, to := illuminantC, XYZ{X: d65[0], Y: d65[1], Z: d65[2]}
	fl, fm, fs := bradford.times(from.X, from.Y, from.Z)
	tl, tm, ts := bradford.times(to.X, to.Y, to.Z)
	l, m, s := bradford.times(c.X, c.Y, c.Z)
	x, y, z := fromBradford.times(l*tl/fl, m*tm/fm, s*ts/fs)
	return XYZ{X: x, Y: y, Z: z}
}

// papers are the planes of values 1 to 9, read at the first use.
var papers = sync.OnceValue(func() *[planes]plane {
	all := new([planes]plane)
	n := 0
	for line := range strings.Lines(renotation) {
		value := n / rays
		y := float64(Value(value + 1).Luminance())
		all[value][n%rays] = readRay(strings.Fields(line), y)
		n++
	}
	return all
})

// readRay reads the papers of a line, all of one luminance.
func readRay(papers []string, luminance float64) ray {
	r := make(ray, 1, len(papers)+1)
	for i, paper := range papers {
		x, y := decimals(paper[:4]), decimals(paper[4:])
		light := XYZ{X: x / y * luminance, Y: luminance, Z: (1 - x - y) / y * luminance}
		at := light.underD65().Lab().LCh()
		if i == 0 {
			r[0].hue = at.Hue
		}
		at.Hue = r[i].hue + halfTurn(at.Hue-r[i].hue)
		r = append(r, struct{ chroma, hue float64 }{at.C, at.Hue})
	}
	return r
}

// decimals is the number behind 0 and a point.
func decimals(digits string) float64 {
	n, err := strconv.Atoi(digits)
	if err != nil {
		return math.NaN() // a test reads every paper
	}
	return float64(n) / 10000
}

// halfTurn brings an angle to -180 up to 180 degrees.
func halfTurn(degrees float64) float64 { return degrees - 360*math.Round(degrees/360) }

// at is where on the ray CIELAB has a chroma: the Munsell chroma, going on past
// the last paper as before it, and the hue angle there.
func (r ray) at(chroma float64) (munsell, hue float64) {
	i := 1
	for i < len(r)-1 && r[i].chroma < chroma {
		i++
	}
	part := (chroma - r[i-1].chroma) / (r[i].chroma - r[i-1].chroma)
	return 2 * (float64(i-1) + part), r[i-1].hue + min(part, 1)*(r[i].hue-r[i-1].hue)
}

// locate is the Munsell hue, 0 to 100, and chroma on this plane of a colour in
// CIELAB: between the two hues nearest to it at its own chroma.
func (p *plane) locate(c LCh) (hue, chroma float64) {
	before, after := 0, 0
	below, above := math.Inf(-1), math.Inf(1)
	for i := range p {
		_, angle := p[i].at(c.C)
		off := halfTurn(angle - c.Hue)
		if off <= 0 && off > below {
			before, below = i, off
		}
		if off > 0 && off < above {
			after, above = i, off
		}
	}
	low, _ := p[before].at(c.C)
	high, _ := p[after].at(c.C)
	part := below / (below - above)
	turn := math.Mod(float64(after-before)+1.5*rays, rays) - rays/2
	return math.Mod(2.5*(float64(before)+part*turn)+100, 100), low + part*(high-low)
}
