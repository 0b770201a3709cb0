//go:build js

package main

import (
	"syscall/js"

	"maulstick/render/survey"
)

// keptSurvey brings back the newest answer of a kind about a photograph; an empty
// record if there is none, or if it cannot be read.
func (p *page) keptSurvey(hash string, kind survey.Kind) surveyRecord {
	if p.store == nil {
		return surveyRecord{}
	}
	v, err := p.store.get(surveyStore, hash+" "+string(kind))
	if err != nil || v.Type() != js.TypeObject || v.Get("ask").Type() != js.TypeString {
		return surveyRecord{}
	}
	r := surveyRecord{ask: v.Get("ask").String(), base: v.Get("base").String(), text: v.Get("text").String()}
	for name, to := range map[string]*pixels{"picture": &r.picture, "chart": &r.chart} {
		kept := pixelsOf(v.Get(name))
		if kept.width == 0 {
			continue
		}
		data, err := await(js.Global().Call("unsqueeze", kept.data))
		if err != nil || !data.Truthy() {
			return surveyRecord{}
		}
		*to = pixels{kept.width, kept.height, data}
	}
	if state := v.Get("state"); state.Truthy() {
		if data, err := await(js.Global().Call("unsqueeze", state)); err == nil {
			r.state = data
		}
	}
	return r
}

// keepSurvey keeps an answer in place of the last of its kind. What cannot be kept
// is worked out again the next time.
func (p *page) keepSurvey(hash string, kind survey.Kind, r surveyRecord) {
	if p.store == nil {
		return
	}
	record := map[string]any{"ask": r.ask, "base": r.base, "text": r.text}
	for name, x := range map[string]pixels{"picture": r.picture, "chart": r.chart} {
		if x.width == 0 {
			continue
		}
		data, err := await(js.Global().Call("squeeze", x.data))
		if err != nil || !data.Truthy() {
			return
		}
		record[name] = map[string]any{"width": x.width, "height": x.height, "pixels": data}
	}
	if r.state.Truthy() {
		data, err := await(js.Global().Call("squeeze", r.state))
		if err != nil || !data.Truthy() {
			return
		}
		record["state"] = data
	}
	tx, err := attempt(p.store.db, "transaction", []any{surveyStore}, "readwrite")
	if err != nil {
		return
	}
	if request, err := attempt(tx.Call("objectStore", surveyStore), "put", record, hash+" "+string(kind)); err == nil {
		_, _ = answer(request) // a full tablet keeps what matters more
	}
}
