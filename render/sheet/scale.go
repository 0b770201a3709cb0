package sheet

import (
	"math"
	"strconv"

	"maulstick/render/place"
)

// scale is how many times larger the canvas is than its picture on paper.
type scale float64

// grains are the steps in which a scale goes, up to each: what is easily reckoned
// with, quarters for a rule in inches, tenths for one in centimetres.
var (
	inchGrains   = []grain{{10, 0.25}, {20, 0.5}, {100, 1}, {1000, 10}, {math.Inf(1), 100}}
	metricGrains = []grain{{10, 0.1}, {20, 0.5}, {100, 1}, {1000, 10}, {math.Inf(1), 100}}
)

type grain struct{ upTo, step float64 }

// scaleFor is the largest handy scale at which a canvas fits into a room.
func scaleFor(canvas place.Size, width, height place.MM) scale {
	least := float64(max(canvas.Width/width, canvas.Height/height))
	if least <= 1 {
		return scale(1 / math.Floor(1/least+1e-9))
	}
	grains := metricGrains
	if canvas.Unit.Imperial() {
		grains = inchGrains
	}
	for _, g := range grains {
		if s := math.Ceil(least/g.step-1e-9) * g.step; s <= g.upTo {
			return scale(s)
		}
	}
	return scale(least)
}

// words state the scale, "1 : 4.25 – 1 in on paper is 4 1/4 in of canvas".
func (s scale) words(unit place.Unit) string {
	if unit.Imperial() {
		unit = place.Inch
	} else {
		unit = place.Centimetre
	}
	figure := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	length := func(times float64) string {
		if unit == place.Inch {
			return place.Text(place.MM(times)*unit.MM(), unit, 4)
		}
		return figure(math.Round(times*10)/10) + " cm"
	}
	switch {
	case s == 1:
		return "1 : 1 – actual size"
	case s < 1:
		n := math.Round(1 / float64(s))
		return figure(n) + " : 1 – " + length(n) + " on paper is " + length(1) + " of canvas"
	}
	return "1 : " + figure(math.Round(float64(s)*100)/100) + " – " + length(1) + " on paper is " + length(float64(s)) + " of canvas"
}

// on is a length of canvas on paper.
func (s scale) on(l place.MM) place.MM { return l / place.MM(s) }

// centred is where a canvas lies in the middle of a room.
func (s scale) centred(canvas place.Size, room box) box {
	w, h := s.on(canvas.Width), s.on(canvas.Height)
	return box{room.X + (room.Width-w)/2, room.Y + (room.Height-h)/2, w, h}
}
