package look

import (
	"maulstick/render/colour"
	"maulstick/render/shape"
)

// Flat are the look's steps: its own division, or else equal ones, as many as are
// allowed if it asks for others.
func (l Look) Flat() shape.Steps {
	if n := l.Division.Count(); n > 0 && n == l.Steps {
		return l.Division
	}
	s, _ := shape.EqualSteps(min(max(l.Steps, shape.FewestSteps), shape.MostSteps)) // refuses only what is out of range
	return s
}

// Kept says whether step k, from 1, stays in sight.
func (l Look) Kept(k int) bool {
	switch l.Keep {
	case KeepOnly:
		return k == l.Step
	case KeepDarker:
		return k <= l.Step
	case KeepLighter:
		return k >= l.Step
	default:
		return true
	}
}

// shades are the colours that the steps are shown in, from the darkest.
func (l Look) shades(surround colour.SRGB) []colour.SRGB {
	steps, tint := l.Flat(), l.tint()
	shades := make([]colour.SRGB, steps.Count())
	for i := range shades {
		shades[i] = surround
		if l.Kept(i + 1) {
			shades[i] = tint.of(steps.Tone(i + 1))
		}
	}
	return shades
}

func (l Look) stepsUniforms(surround colour.SRGB) map[string]any {
	edges := make([]float32, shape.MostSteps-1)
	for i := range edges {
		edges[i] = float32(unreached)
	}
	for i, edge := range l.Flat().Thresholds() {
		edges[i] = float32(edge)
	}
	shown := make([]float32, 4*shape.MostSteps)
	for i, c := range l.shades(surround) {
		copy(shown[4*i:], []float32{float32(c.R) / 255, float32(c.G) / 255, float32(c.B) / 255, 1})
	}
	return map[string]any{"Edges": edges, "Shown": shown}
}
