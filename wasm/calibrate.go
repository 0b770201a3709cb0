//go:build js

package main

import (
	"strconv"
	"syscall/js"
)

// calibrationKey is where the screen's calibration is kept. It belongs to the screen
// and not to a study: the browser's small store for the page holds it, and where that
// is refused the painter calibrates anew the next time.
const calibrationKey = "maulstick screen, CSS pixels a millimetre"

// localStore is the browser's small store, undefined where it is refused.
func (p *page) localStore() js.Value {
	store, err := attempt(js.Global().Get("Reflect"), "get", p.window, "localStorage")
	if err != nil {
		return js.Undefined()
	}
	return store
}

// KeepCalibration implements easel.Host.
func (p *page) KeepCalibration(pixels float64) {
	if store := p.localStore(); store.Truthy() {
		_, _ = attempt(store, "setItem", calibrationKey, strconv.FormatFloat(pixels, 'f', -1, 64))
	}
}

// calibrate brings back what was kept.
func (p *page) calibrate() {
	store := p.localStore()
	if !store.Truthy() {
		return
	}
	kept, err := attempt(store, "getItem", calibrationKey)
	if err != nil || kept.Type() != js.TypeString {
		return
	}
	if pixels, err := strconv.ParseFloat(kept.String(), 64); err == nil {
		p.tell(func() { p.easel.Calibrated(pixels) })
	}
}
