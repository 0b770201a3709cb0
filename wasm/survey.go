//go:build js

package main

import (
	"fmt"
	"syscall/js"
	"time"

	"maulstick/render"
	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/survey"
	"maulstick/wasm/easel"
)

// copied says what lies on the mill's desk: which part of which picture.
type copied struct {
	picture *photo.Picture
	crop    place.Crop
}

// Survey implements easel.Host.
func (p *page) Survey(request easel.SurveyRequest) {
	p.newest[request.Ask.Kind] = request.ID
	p.surveys <- request
}

// StopSurvey implements easel.Host: the mill is given up in the middle of its work.
func (p *page) StopSurvey(kind survey.Kind) {
	p.newest[kind] = 0
	if p.worker != nil && p.busied == kind {
		p.worker.end(errStopped)
	}
}

// survey answers a question from what is kept, or has the mill work it out and keeps
// that. A question that is asked no more is passed over.
func (p *page) survey(w *worker, request easel.SurveyRequest) error {
	kind, hash := request.Ask.Kind, p.easel.PhotoKey()
	if p.newest[kind] != request.ID || p.pyramid == nil {
		return nil
	}
	question, err := request.Ask.MarshalBinary()
	if err != nil {
		p.tell(func() { p.easel.SurveyFailed(kind, request.ID, err.Error()) })
		return nil
	}
	kept := p.keptSurvey(hash, kind)
	key, base := p.ofPixels(request.Ask.Key()), p.ofPixels(request.Ask.Base())
	if kept.ask == key {
		if answer, err := kept.answer(); err == nil {
			p.surveyed(request.ID, answer)
			return nil
		}
	}
	p.busied = kind
	defer func() { p.busied = "" }()
	tell := func(share float64) { p.tell(func() { p.easel.Surveying(kind, request.ID, share) }) }
	tell(0)
	if err := p.copyOver(w, request.Ask.Crop); err != nil {
		return err
	}
	message := map[string]any{"kind": "survey", "id": request.ID, "ask": arrayOf(question)}
	if kind == survey.Flat && kept.base == base && kept.state.Truthy() {
		message["state"] = kept.state
	}
	w.object.Call("postMessage", message)
	reply, err := w.next(tell)
	if err != nil {
		return err
	}
	if failed := reply.Get("failed"); failed.Truthy() {
		p.tell(func() { p.easel.SurveyFailed(kind, request.ID, failed.String()) })
		return nil
	}
	found := surveyRecord{
		ask: key, base: base, data: ownArray(reply.Get("answer")),
		picture: pixelsOf(reply.Get("picture")), state: ownArray(reply.Get("state")),
	}
	answer, err := found.answer()
	if err != nil {
		return fmt.Errorf("reading what was found: %w", err)
	}
	p.surveyed(request.ID, answer)
	go p.keepSurvey(hash, kind, found)
	return nil
}

// ofPixels is what tells a question apart from the same one about the photograph set
// right otherwise.
func (p *page) ofPixels(key string) string { return key + p.righting.Key() }

// surveyed gives the easel an answer.
func (p *page) surveyed(id int, answer survey.Answer) {
	var made *render.Made
	if answer.Picture != nil {
		made = survey.Copy{Left: answer.Left, Top: answer.Top, Side: answer.Side}.Made(answer.Picture)
	}
	p.tell(func() { p.easel.Surveyed(id, answer, made) })
}

// copyOver lays a smaller copy of a crop on the mill's desk, unless it is there:
// the level of the photograph's pyramid from which the mill's own copy is drawn,
// strip by strip.
func (p *page) copyOver(w *worker, crop place.Crop) error {
	now := copied{p.picture, crop}
	if w.copied == now {
		return nil
	}
	part := survey.PartOf(p.pyramid, crop)
	left, top, side := part.Lies()
	begin := map[string]any{
		"kind": "copy", "id": 0, "width": part.Width, "height": part.Height, "crop": cropMessage(crop),
		"left": left, "top": top, "side": side,
	}
	if _, err := w.ask(begin); err != nil {
		return err
	}
	breath := breather{since: time.Now()}
	const rows = 128
	buf := make([]byte, 4*part.Width*rows)
	for at := 0; at < part.Height; at += rows {
		strip := arrayOf(part.Rows(p.pyramid, at, buf))
		if _, err := w.ask(map[string]any{"kind": "copy-rows", "id": 0, "top": at, "pixels": strip}, strip.Get("buffer")); err != nil {
			return err
		}
		breath.breathe()
	}
	w.copied = now
	return nil
}

// surveyRecord is an answer as it is kept: as bytes, with its picture as pixels.
type surveyRecord struct {
	ask, base   string
	data, state js.Value // Uint8Array
	picture     pixels
}

// pixels is a picture outside Go.
type pixels struct {
	width, height int
	data          js.Value // Uint8Array
}

// pixelsOf is a picture in a message or a record.
func pixelsOf(v js.Value) pixels {
	if !v.Truthy() {
		return pixels{}
	}
	return pixels{v.Get("width").Int(), v.Get("height").Int(), ownArray(v.Get("pixels"))}
}

// ownArray is an array of bytes as one of this window's, on the same memory: the
// worker is the page's, and its answers are of the page's types.
func ownArray(v js.Value) js.Value {
	if !v.Truthy() {
		return v
	}
	return js.Global().Get("Uint8Array").New(v.Get("buffer"), v.Get("byteOffset"), v.Get("byteLength"))
}

// picture copies the picture into Go; nil if there is none.
func (x pixels) picture() (*photo.Picture, error) {
	if x.width == 0 {
		return nil, nil
	}
	if x.data.Get("length").Int() != 4*x.width*x.height {
		return nil, fmt.Errorf("a picture of %d x %d pixels has %d bytes", x.width, x.height, x.data.Get("length").Int())
	}
	p := photo.New(x.width, x.height)
	js.CopyBytesToGo(p.Pix, x.data)
	return p, nil
}

// answer is the answer that the record holds.
func (r surveyRecord) answer() (survey.Answer, error) {
	var a survey.Answer
	data := make([]byte, r.data.Get("length").Int())
	js.CopyBytesToGo(data, r.data)
	if err := a.UnmarshalBinary(data); err != nil {
		return a, err
	}
	var err error
	a.Picture, err = r.picture.picture()
	return a, err
}
