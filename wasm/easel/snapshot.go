package easel

import (
	"encoding/json"

	"maulstick/render/palette"
	"maulstick/render/place"
	"maulstick/render/study"
	"maulstick/render/verdict"
)

// snapshot is the study and how it is seen, for tests and bug reports.
type snapshot struct {
	Study    *study.Document `json:"study"` // null without one
	Area     area            `json:"area"`
	Crop     place.Crop      `json:"crop_px"`
	Scale    float64         `json:"scale"` // device pixels a photo pixel
	Reading  *placed         `json:"reading"`
	Plain    bool            `json:"plain"`
	HandsOff bool            `json:"hands_off"`
	Filled   bool            `json:"filled"`  // all pixels of the photograph are there
	Counted  bool            `json:"counted"` // the shares of the steps are known
	SetOut   bool            `json:"set_out"` // the lines that are to be seen are there
	Laid     bool            `json:"laid"`    // what is seen beside the photograph is there
	Kept     bool            `json:"kept"`    // the state shown is written away
	Failure  string          `json:"keeping_failure"`
	Camera   *cameraState    `json:"camera"`  // null while nothing is seen through it
	Palette  *paletteState   `json:"palette"` // null while no photograph of cards and piles is seen
	Check    *verdict.Answer `json:"check"`   // of the painting that is turned to, null without one
	Checking bool            `json:"checking"`
}

// cameraState is what is seen through the camera.
type cameraState struct {
	On     bool `json:"on"`
	Frozen bool `json:"frozen"`
	Width  int  `json:"width_px"`
	Height int  `json:"height_px"`
}

// paletteState is what is read on the photograph of cards and piles.
type paletteState struct {
	Busy   bool               `json:"busy"`
	Answer palette.Answer     `json:"answer"` // empty while there is none
	Found  []place.PhotoPoint `json:"found_px"`
}

// area is the size of the picture's area.
type area struct {
	Width  int     `json:"width_css_px"`
	Height int     `json:"height_css_px"`
	DPR    float64 `json:"device_pixel_ratio"`
}

// placed is where the chosen mark is on the canvas.
type placed struct {
	Mark        int      `json:"mark"`
	X           place.MM `json:"x_mm"`
	Y           place.MM `json:"y_mm"`
	Uncertainty place.MM `json:"uncertainty_mm"`
	Value       *float64 `json:"value"` // null while the photograph is arriving
	Step        *int     `json:"step"`
}

// Snapshot is the study and the view as JSON. Changing it changes nothing.
func (e *Easel) Snapshot() []byte {
	s := snapshot{
		Area:  area{Width: e.width, Height: e.height, DPR: e.dpr},
		Plain: e.plain, HandsOff: e.lock.on, Filled: e.filled, Counted: e.counts.known,
		Kept: e.history != nil && !e.keeping.dirty && e.keeping.waiting == 0 && e.keeping.failed == nil && !e.readOnly,
	}
	if e.keeping.failed != nil {
		s.Failure = e.keeping.failed.Error()
	}
	if e.history != nil {
		d := e.doc()
		s.Check, s.Checking = e.verdict(), e.painting.busy
		s.Study, s.Crop, s.Reading, s.Laid = &d, d.Crop(), e.placed(), e.allLaid()
		s.SetOut = !e.linesNeeded() || e.setting.current() || e.setting.failed != ""
	}
	if y := e.camera.picture; y != nil {
		size := y.Picture().Size()
		s.Camera = &cameraState{On: e.camera.lens == lensOn, Frozen: e.camera.frozen, Width: size.Width, Height: size.Height}
	}
	if q := &e.palette; e.paletteSeen() {
		s.Palette = &paletteState{Busy: q.busy || e.planning() != "", Found: q.found}
		if q.current {
			s.Palette.Answer = q.answer
		}
	}
	if e.ready() {
		s.Scale = e.viewport().Scale
	}
	data, err := json.Marshal(s)
	if err != nil {
		return []byte("null")
	}
	return data
}

// placed reads the chosen mark, if it is on a canvas.
func (e *Easel) placed() *placed {
	d := e.doc()
	m, ok := d.Mark(d.Chosen)
	if !ok || !d.HasCanvas() || !d.Crop().Contains(point(m)) {
		return nil
	}
	x, y := e.distances(m)
	r := &placed{Mark: m.ID, X: x, Y: y, Uncertainty: d.Mapping().Uncertainty(m.Touch)}
	if c, ok := e.at(point(m)); ok {
		value, step := float64(c.Value()), e.step(c, false)
		r.Value, r.Step = &value, &step
	}
	return r
}
