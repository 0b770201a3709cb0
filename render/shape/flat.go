package shape

import (
	"maulstick/render/colour"
	"maulstick/render/place"
)

// Flat is a picture in flat shapes: each a connected area of one step or pile.
// Pixels are connected through their sides.
type Flat struct {
	Width, Height int
	IDs           []uint32 // of each pixel, rows from the top: the index of its shape
	Shapes        []Shape  // from the largest to the smallest
}

// Shape is one flat shape of a picture. Places and lengths are in pixels of the
// picture that was flattened; Place is the middle of a pixel.
type Shape struct {
	Label        uint8            `json:"label"` // its step, or whatever the labels meant
	Area         int              `json:"area_px"`
	Share        float64          `json:"area_share"` // of the picture, 0..1
	Mean         colour.Linear    `json:"mean_linear"`
	Colour       colour.SRGB      `json:"rgb"`
	Lightness    colour.Lightness `json:"lightness"`
	Value        colour.Value     `json:"value"`
	Centroid     place.PhotoPoint `json:"centroid_px"`
	Place        place.PhotoPoint `json:"place_px"` // inside it, as far from its border as any
	Left         int              `json:"left_px"`
	Top          int              `json:"top_px"`
	Width        int              `json:"width_px"`
	Height       int              `json:"height_px"`
	TouchesFrame bool             `json:"touches_frame"` // it reaches the picture's border
}
