// Package shape finds what a picture is made of: the few flat values it falls
// into, and how much of it lies in each.
package shape

import (
	"fmt"

	"maulstick/render/colour"
)

// The fewest and the most steps a picture is divided into.
const (
	FewestSteps = 2
	MostSteps   = 9
)

// Steps divides the values from black to white into a few flat ones, counted
// from 1, the darkest. The zero value has no steps; EqualSteps makes one.
type Steps struct {
	count      int
	thresholds [MostSteps - 1]colour.Light
	tones      [MostSteps]uint8
}

// EqualSteps is n steps, 2 to 9, equal in lightness L*: their edges lie at
// 100*k/n, and a lightness on an edge belongs to the lighter step.
func EqualSteps(n int) (Steps, error) {
	if n < FewestSteps || n > MostSteps {
		return Steps{}, fmt.Errorf("dividing the values into steps: %d steps were asked for, and there can be %d to %d", n, FewestSteps, MostSteps)
	}
	s := Steps{count: n}
	for k := 1; k < n; k++ {
		s.thresholds[k-1] = colour.Edge(s.edge(k))
	}
	for k := 1; k <= n; k++ {
		s.tones[k-1] = colour.GreyOf(s.Middle(k)).R
	}
	return s, nil
}

// edge is the lightness between step k and step k+1.
func (s Steps) edge(k int) colour.Lightness {
	return colour.Lightness(float64(100*k) / float64(s.count))
}

// Count is how many steps there are.
func (s Steps) Count() int { return s.count }

// Edges are the lightnesses between the steps, from the darkest up: one fewer
// than there are steps.
func (s Steps) Edges() []colour.Lightness {
	edges := make([]colour.Lightness, 0, MostSteps)
	for k := 1; k < s.count; k++ {
		edges = append(edges, s.edge(k))
	}
	return edges
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

// Middle is the lightness halfway through step k, which stands for the step
// wherever it is shown.
func (s Steps) Middle(k int) colour.Lightness {
	return colour.Lightness(float64(100*k-50) / float64(s.count))
}

// Tone is the sRGB code of the grey that shows step k.
func (s Steps) Tone(k int) uint8 { return s.tones[k-1] }
