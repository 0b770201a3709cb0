//go:build js

package main

import "syscall/js"

// Redraw implements easel.Host.
func (p *page) Redraw() { p.game.redraw() }

// OpenFile implements easel.Host: the file chooser.
func (p *page) OpenFile() { p.document.Call("getElementById", "file").Call("click") }

// StopOpening implements easel.Host.
func (p *page) StopOpening() { p.opening++ }

// UseUpdate implements easel.Host.
func (p *page) UseUpdate() { p.window.Get("maulstick").Call("useUpdate") }

// Awake implements easel.Host with the browser's wake lock.
func (p *page) Awake(on bool) {
	if !on {
		if p.lock.Truthy() {
			p.lock.Call("release")
			p.lock = js.Undefined()
		}
		return
	}
	go p.claimAwake()
}

// claimAwake asks for the wake lock and reports the answer. A hidden page is
// not asked for: it asks again when it is seen.
func (p *page) claimAwake() {
	if p.document.Get("visibilityState").String() == "hidden" || p.lock.Truthy() && !p.lock.Get("released").Bool() {
		return
	}
	wake := p.window.Get("navigator").Get("wakeLock")
	if !wake.Truthy() {
		p.tell(func() { p.easel.WakeLock(false) })
		return
	}
	lock, err := await(wake.Call("request", "screen"))
	if err == nil {
		p.lock = lock
	}
	p.tell(func() { p.easel.WakeLock(err == nil) })
}

// SaveBytes implements easel.Host.
func (p *page) SaveBytes(name, mime string, data []byte) {
	p.window.Get("maulstick").Call("saveFile", name, arrayOf(data), mime)
}
