package look

import (
	"math"

	"maulstick/render/crew"
)

// Reach is how far the squint's Gaussian looks at most, in pixels to each side;
// MaxSigma is the widest it may be: four times it lies within Reach.
const (
	Reach    = 24
	MaxSigma = 6.0
)

// Sigma is the standard deviation of the Gaussian whose full width at half
// maximum is given, in the same unit.
func Sigma(width float64) float64 { return width / (2 * math.Sqrt(2*math.Ln2)) }

// Blur is a squint made ready: the weight of a pixel by its distance, 0..Reach.
type Blur struct {
	Weights [Reach + 1]float32
	Reach   int // the farthest distance with a weight
}

// NewBlur is the blur of a standard deviation in pixels, at most MaxSigma. One
// of a tenth of a pixel or less changes nothing. The weights sum to 1 on both
// sides together.
func NewBlur(sigma float64) Blur {
	sigma = min(sigma, MaxSigma)
	if !(sigma > 0.1) {
		return Blur{Weights: [Reach + 1]float32{1}}
	}
	b := Blur{Reach: min(int(math.Ceil(4*sigma)), Reach)}
	var raw [Reach + 1]float64
	sum := 0.0
	for i := 0; i <= b.Reach; i++ {
		raw[i] = math.Exp(-float64(i*i) / (2 * sigma * sigma))
		sum += raw[i]
		if i > 0 {
			sum += raw[i]
		}
	}
	for i := range raw {
		b.Weights[i] = float32(raw[i] / sum)
	}
	return b
}

// Run is the grid blurred in linear light, across and then down, mirrored beyond
// its border: what lies there then weighs the same on smaller copies. Sums are of
// float32 and the same on every processor; a graphics unit, which keeps ten bits a
// channel of the square root of light between and after its passes, is at most
// 0.15 of a stored code away. Progress may be nil; it is told 0..1, and an error
// that it returns ends the work.
func (b Blur) Run(g Grid, progress func(done float64) error) (Lit, error) {
	across := newLit(g.Width, g.Height)
	err := b.rows(g, progress, 0, func(first, end int) { b.across(g, across, first, end) })
	if err != nil {
		return Lit{}, err
	}
	out := newLit(g.Width, g.Height)
	return out, b.rows(g, progress, 0.5, func(first, end int) { b.down(across, out, first, end) })
}

// batchSums is how many products are summed between two reports of progress: a
// few hundredths of a second of work in a browser.
const batchSums = 1 << 24

// rows has the rows of a pass, half of the work, worked by all cores.
func (b Blur) rows(g Grid, progress func(float64) error, begun float64, work func(first, end int)) error {
	batch := g.Height
	if progress != nil {
		batch = max(batchSums/(max(g.Width, 1)*channelCount*(b.Reach+1)), 1)
	}
	for top := 0; top < g.Height; top += batch {
		count := min(batch, g.Height-top)
		crew.Share(count, 4, func(first, end int) { work(top+first, top+end) })
		if progress == nil {
			continue
		}
		if err := progress(begun + 0.5*float64(top+count)/float64(g.Height)); err != nil {
			return err
		}
	}
	return nil
}

// across is the first pass.
func (b Blur) across(g Grid, out Lit, first, end int) {
	side := b.side()
	line := make([]float32, channelCount*(g.Width+2*side))
	inner := line[channelCount*side:][:channelCount*g.Width]
	away := func(d int) []float32 { return line[channelCount*(side+d):][:len(inner)] }
	for y := first; y < end; y++ {
		copy(inner, g.line(y, inner))
		for d := range side {
			copy(line[channelCount*(side-1-d):][:channelCount], inner[channelCount*fold(-1-d, g.Width):])
			copy(line[channelCount*(side+g.Width+d):][:channelCount], inner[channelCount*fold(g.Width+d, g.Width):])
		}
		b.sum(out.line(y, nil), away)
	}
}

// down is the second pass.
func (b Blur) down(across, out Lit, first, end int) {
	for y := first; y < end; y++ {
		b.sum(out.line(y, nil), func(d int) []float32 { return across.line(fold(y+d, across.Height), nil) })
	}
}

// atOnce is how many pairs of weighted lines are added at once.
const atOnce = 4

// side is Reach rounded up to whole groups of pairs; weights beyond Reach are 0.
func (b Blur) side() int { return (b.Reach + atOnce - 1) / atOnce * atOnce }

// sum writes the weighted sum of lines to out, given the line d pixels away from
// it, -side to side.
func (b Blur) sum(out []float32, away func(d int) []float32) {
	centre, w := away(0)[:len(out)], b.Weights[0]
	for i := range out {
		out[i] = w * centre[i]
	}
	for d := 1; d < b.side(); d += atOnce {
		addPairs(out, (*[atOnce]float32)(b.Weights[d:]),
			[atOnce][]float32{away(-d), away(-d - 1), away(-d - 2), away(-d - 3)},
			[atOnce][]float32{away(d), away(d + 1), away(d + 2), away(d + 3)})
	}
}

// addPairs adds lines in pairs of one weight to out. The conversions keep
// processors from joining a product to a sum, so that all of them agree.
func addPairs(out []float32, w *[atOnce]float32, before, after [atOnce][]float32) {
	n := len(out)
	w0, w1, w2, w3 := w[0], w[1], w[2], w[3]
	a0, a1, a2, a3 := before[0][:n], before[1][:n], before[2][:n], before[3][:n]
	b0, b1, b2, b3 := after[0][:n], after[1][:n], after[2][:n], after[3][:n]
	for i, sum := range out {
		sum += float32(w0*(a0[i]+b0[i])) + float32(w1*(a1[i]+b1[i]))
		sum += float32(w2*(a2[i]+b2[i])) + float32(w3*(a3[i]+b3[i]))
		out[i] = sum
	}
}

// fold mirrors place i beyond a border back into 0..n-1, as often as it takes.
func fold(i, n int) int {
	if uint(i) < uint(n) {
		return i
	}
	i %= 2 * n
	if i < 0 {
		i += 2 * n
	}
	return min(i, 2*n-1-i)
}

// Packed is the light as the squint's passes on the graphics unit leave it: four bytes a
// pixel, see pack in light.kage.
func (l Lit) Packed() []byte {
	pix := make([]byte, 4*l.Width*l.Height)
	for i := 0; i < len(pix); i += 4 {
		for k, light := range l.Light[channelCount*(i/4):][:channelCount] {
			root := int(math.Sqrt(float64(min(max(light, 0), 1)))*1023 + 0.5)
			pix[i+k] = byte(root / 4)
			pix[i+3] |= byte(root % 4 << (2 * k))
		}
	}
	return pix
}

// Uniforms are the variables of one of the squint's two passes, ReadAcross or
// ReadDown, on a grid of the given size.
func (b Blur) Uniforms(pass Reader, width, height int) map[string]any {
	direction := []float32{1, 0}
	if pass == ReadDown {
		direction = []float32{0, 1}
	}
	return map[string]any{
		"Direction": direction,
		"Last":      []float32{float32(width - 1), float32(height - 1)},
		"Reach":     float32(b.Reach),
		"Weights":   b.Weights[:],
	}
}
