package pile_test

import (
	"slices"
	"testing"

	"maulstick/render/colour"
	"maulstick/render/pile"
)

// From one patch of the ColorChecker to another the words are those that a painter
// would say; the codes are the chart's as published for sRGB.
func TestWayToInWords(t *testing.T) {
	patch := map[string]colour.SRGB{
		"dark skin": {R: 115, G: 82, B: 68}, "light skin": {R: 194, G: 150, B: 130}, "blue sky": {R: 98, G: 122, B: 157},
		"orange": {R: 214, G: 126, B: 44}, "blue": {R: 56, G: 61, B: 150}, "neutral 5": {R: 122, G: 122, B: 121}, "neutral 8": {R: 200, G: 200, B: 200},
	}
	for _, c := range []struct {
		from, to string
		want     []string
	}{
		{"neutral 5", "neutral 8", []string{"lighter"}},
		{"neutral 8", "neutral 5", []string{"darker"}},
		{"light skin", "dark skin", []string{"darker", "warmer"}},
		{"blue sky", "blue", []string{"darker", "cooler", "stronger"}},
		{"orange", "light skin", []string{"lighter", "cooler", "greyer"}},
		{"neutral 5", "orange", []string{"lighter", "warmer", "stronger"}},
		{"orange", "orange", []string{}},
	} {
		got := pile.WayTo(patch[c.from].Linear(), patch[c.to].Linear(), colour.Daylight).Words()
		if !slices.Equal(got, c.want) {
			t.Errorf("from %s to %s: %v, want %v", c.from, c.to, got, c.want)
		}
	}
}
