// Package shape finds what a picture is made of: the few flat values it falls
// into, and how much of it lies in each.
package shape

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"maulstick/render/colour"
	"maulstick/render/place"
)

// The fewest and the most steps a picture is divided into.
const (
	FewestSteps = 2
	MostSteps   = 9
)

// Steps divides the values from black to white into a few flat ones, counted
// from 1, the darkest. A lightness on an edge belongs to the lighter step. Steps
// are plain values: equal ones compare equal, and they encode to JSON and back
// unchanged. The zero value has no steps.
type Steps struct {
	count      int
	edges      [MostSteps - 1]colour.Lightness
	thresholds [MostSteps - 1]colour.Light
	shown      [MostSteps]colour.Lightness
	tones      [MostSteps]uint8
}

// EqualSteps is n steps, 2 to 9, equal in lightness L*: their edges lie at
// 100*k/n, and each is shown as the grey of its middle. The error is a
// *place.Problem.
func EqualSteps(n int) (Steps, error) {
	if err := checkCount(n); err != nil {
		return Steps{}, err
	}
	var edges, shown []colour.Lightness
	for k := 1; k <= n; k++ {
		if k < n {
			edges = append(edges, colour.Lightness(float64(100*k)/float64(n)))
		}
		shown = append(shown, colour.Lightness(float64(100*k-50)/float64(n)))
	}
	return newSteps(edges, shown), nil
}

// checkCount refuses a number of steps that there cannot be.
func checkCount(n int) error {
	if n >= FewestSteps && n <= MostSteps {
		return nil
	}
	return &place.Problem{
		Doing:  "dividing the values into steps",
		What:   fmt.Sprintf("%d steps were asked for", n),
		Wanted: fmt.Sprintf("choose a number from %d to %d", FewestSteps, MostSteps),
	}
}

// CardSteps is the steps of a painter's own grey cards, 2 to 9 Munsell values
// rising from the darkest: each lightness goes to the card nearest to it in L*,
// one halfway between two to the lighter, and is shown as the card's grey. The
// error is a *place.Problem.
func CardSteps(values []colour.Value) (Steps, error) {
	problem := func(what string) error {
		return &place.Problem{
			Doing: "taking the grey cards " + list(values), What: what,
			Wanted: "give 2 to 9 values from 0 to 10, the darkest first and each card once, as in 1.5,3.5,5.5,7.5,9.5",
		}
	}
	if n := len(values); n < FewestSteps || n > MostSteps {
		return Steps{}, problem(fmt.Sprintf("there are %d of them", n))
	}
	var edges, shown []colour.Lightness
	for i, v := range values {
		if !(v >= 0 && v <= 10) {
			return Steps{}, problem(fmt.Sprintf("%v is no value from 0 to 10", float64(v)))
		}
		shown = append(shown, v.Luminance().Lightness())
		if i == 0 {
			continue
		}
		switch before := values[i-1]; {
		case v == before:
			return Steps{}, problem(fmt.Sprintf("%v is there twice", float64(v)))
		case v < before:
			return Steps{}, problem(fmt.Sprintf("%v comes after %v, which is lighter", float64(v), float64(before)))
		}
		edges = append(edges, (shown[i-1]+shown[i])/2)
	}
	s := newSteps(edges, shown)
	if !s.apart() {
		return Steps{}, problem("two of them are too alike to tell apart")
	}
	return s, nil
}

// EdgedSteps is steps between edges set by hand, 1 to 8 lightnesses over 0 and
// under 100 that rise. Each step is shown as the grey of its middle until
// WithMeans says better. The error is a *place.Problem.
func EdgedSteps(edges []colour.Lightness) (Steps, error) {
	problem := func(what string) error {
		return &place.Problem{
			Doing: "setting the edges of the steps to " + list(edges), What: what,
			Wanted: "give 1 to 8 lightnesses over 0 and under 100, each lighter than the one before it",
		}
	}
	if n := len(edges); n+1 < FewestSteps || n+1 > MostSteps {
		return Steps{}, problem(fmt.Sprintf("there are %d of them", n))
	}
	for i, e := range edges {
		switch {
		case !(e > 0 && e < 100):
			return Steps{}, problem(fmt.Sprintf("%v is not between 0 and 100", float64(e)))
		case i > 0 && e <= edges[i-1]:
			return Steps{}, problem(fmt.Sprintf("%v is not lighter than %v before it", float64(e), float64(edges[i-1])))
		}
	}
	s := newSteps(edges, middles(edges))
	if !s.apart() {
		return Steps{}, problem("no lightness lies in one of the steps between them")
	}
	return s, nil
}

// list spells numbers as they were typed.
func list[T colour.Value | colour.Lightness](numbers []T) string {
	var words []string
	for _, n := range numbers {
		words = append(words, strconv.FormatFloat(float64(n), 'g', -1, 64))
	}
	return strings.Join(words, ", ")
}

// middles are the lightnesses halfway through the steps between edges.
func middles(edges []colour.Lightness) []colour.Lightness {
	var shown []colour.Lightness
	below := colour.Lightness(0)
	for _, e := range edges {
		shown = append(shown, (below+e)/2)
		below = e
	}
	return append(shown, (below+100)/2)
}

// newSteps is steps of rising edges, each shown as a lightness.
func newSteps(edges, shown []colour.Lightness) Steps {
	s := Steps{count: len(shown)}
	copy(s.edges[:], edges)
	for k, e := range edges {
		s.thresholds[k] = colour.Edge(e)
	}
	s.show(shown)
	return s
}

// show sets what the steps are shown as.
func (s *Steps) show(shown []colour.Lightness) {
	copy(s.shown[:], shown)
	for k, l := range shown {
		s.tones[k] = colour.GreyOf(l).R
	}
}

// apart says whether some light falls into each step.
func (s Steps) apart() bool {
	below := colour.Light(0)
	for _, t := range s.thresholds[:s.count-1] {
		if t <= below || t > colour.FullLight {
			return false
		}
		below = t
	}
	return true
}

// Count is how many steps there are.
func (s Steps) Count() int { return s.count }

// Edges are the lightnesses between the steps, from the darkest up: one fewer
// than there are steps.
func (s Steps) Edges() []colour.Lightness {
	return append([]colour.Lightness(nil), s.edges[:max(s.count-1, 0)]...)
}

// Range is the lightnesses of step k: from the first up to, not including, the
// second; the last step's includes 100.
func (s Steps) Range(k int) (from, to colour.Lightness) {
	to = 100
	if k > 1 {
		from = s.edges[k-2]
	}
	if k < s.count {
		to = s.edges[k-1]
	}
	return from, to
}

// Thresholds are the edges in whole numbers: the smallest Light of each step
// from the second up. What is compared with them falls on the same side on
// the processor and in a shader.
func (s Steps) Thresholds() []colour.Light {
	return append([]colour.Light(nil), s.thresholds[:max(s.count-1, 0)]...)
}

// Of is the step that a light falls into, 1 to Count.
func (s Steps) Of(l colour.Light) int {
	step := 1
	for _, t := range s.thresholds[:max(s.count-1, 0)] {
		if l < t {
			break
		}
		step++
	}
	return step
}

// Middle is the lightness halfway through step k, from edge to edge.
func (s Steps) Middle(k int) colour.Lightness {
	from, to := s.Range(k)
	return (from + to) / 2
}

// Shown is the lightness that stands for step k wherever it is shown: its
// middle, its card's, or the mean of what a picture has in it.
func (s Steps) Shown(k int) colour.Lightness { return s.shown[k-1] }

// Tone is the sRGB code of the grey that shows step k: the one nearest to Shown.
func (s Steps) Tone(k int) uint8 { return s.tones[k-1] }

// Name is what painters call step k where there are two or three, the notan:
// dark, middle, light. Steps of more have only their number, and no name.
func (s Steps) Name(k int) string {
	switch {
	case s.count > 3:
		return ""
	case k == 1:
		return "dark"
	case k == s.count:
		return "light"
	default:
		return "middle"
	}
}

// Notan is what painters call a division into n steps, "" if it has no name.
func Notan(n int) string {
	switch n {
	case 2:
		return "notan of two: dark and light"
	case 3:
		return "notan of three: dark, middle and light"
	default:
		return ""
	}
}

// edgeBelow is the lightness halfway between a light and the one just below it:
// an edge that colour.Edge turns into that light again, whatever the last bit of
// a cube root is on another processor.
func edgeBelow(l colour.Light) colour.Lightness {
	return (l.Lightness() + (l - 1).Lightness()) / 2
}

// gaps are the edges that lie between two neighbouring grey codes, where the
// encoded light rounds up to the next code.
var gaps = func() (table [255]colour.Lightness) {
	for code, l := range colour.GreyThresholds() {
		table[code] = edgeBelow(l)
	}
	return table
}()

// SnapEdge is the place nearest to a lightness where an edge parts two
// neighbouring grey codes, so that it cuts through no grey; one halfway between
// two goes to the lighter.
func SnapEdge(l colour.Lightness) colour.Lightness { return gaps[nearestGap(l)] }

// nearestGap is the index of the gap nearest to a lightness.
func nearestGap(l colour.Lightness) int {
	best := 0
	for i, g := range gaps {
		if math.Abs(float64(l-g)) <= math.Abs(float64(l-gaps[best])) {
			best = i
		}
	}
	return best
}

// Dragged is the steps after edge k, from 1, was dragged to a lightness: it snaps
// to the nearest gap between grey codes that lies between its neighbours, or
// stays where none does. Each step is then shown as the grey of its middle.
func (s Steps) Dragged(k int, to colour.Lightness) Steps {
	if k < 1 || k >= s.count {
		return s
	}
	below, above := colour.Light(0), colour.FullLight+1
	if k > 1 {
		below = s.thresholds[k-2]
	}
	if k < s.count-1 {
		above = s.thresholds[k]
	}
	i, lights := nearestGap(to), colour.GreyThresholds()
	for i < len(gaps)-1 && lights[i] <= below {
		i++
	}
	for i > 0 && lights[i] >= above {
		i--
	}
	if lights[i] <= below || lights[i] >= above {
		return s
	}
	edges := s.Edges()
	edges[k-1] = gaps[i]
	return newSteps(edges, middles(edges))
}
