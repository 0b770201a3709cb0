package web_test

import (
	"slices"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/systeminfo"
	"github.com/chromedp/chromedp"
)

// BenchmarkCamera looks through a camera of thirty frames a second at 1280 x 720 pixels,
// in the place of the reference, and reports how many of them the page draws in a second
// under each look, and beside the reference in full colour. "plain" is how many the same
// browser draws of the same film with nothing else to do: each copied, put up as a texture
// and stretched over as large a canvas; "times-plain" is how many times as long a frame
// takes as one of those, which is to be 1.5 at most, and "work-times-plain" how many times
// as long all processors of the browser work on it, which is the same on a busy machine.
// All take turns, as often as -benchtime Nx says, and count with their median.
func BenchmarkCamera(b *testing.B) {
	s := newSite(b)
	p := withCamera(b).open(landscape, s.url())
	p.settleKept()
	p.press("tray-check")
	p.settle()
	looks := []struct {
		name string
		keys []string
	}{
		{"beside", nil}, {"photograph", []string{"camera-place"}}, {"mirror", []string{"mirror"}}, {"grey", []string{"mirror", "grey"}},
		{"filter", []string{"grey", "filter"}}, {"steps", []string{"filter", "steps"}}, {"one-step", []string{"only"}},
		{"squint", []string{"steps", "squint"}},
	}
	all := map[string][]pace{}
	for b.Loop() {
		eval[chromedp.Void](p, drawPlainly)
		time.Sleep(time.Second)
		all["plain"] = append(all["plain"], p.paceOf(func() int { return eval[int](p, `window.plain.drawn`) }))
		eval[chromedp.Void](p, `window.plain.stop()`)
		p.startCamera()
		for _, l := range looks {
			for _, key := range l.keys {
				p.press(key)
			}
			p.settle()
			time.Sleep(time.Second)
			all[l.name] = append(all[l.name], p.paceOf(func() int { return p.frames().Drawn }))
		}
		for _, key := range []string{"squint", "camera-place", "camera-look"} {
			p.press(key)
		}
	}
	plain := middle(all["plain"])
	for name, paces := range all {
		m := middle(paces)
		b.ReportMetric(1/m.took, name+"-frames/s")
		if name != "plain" {
			b.ReportMetric(m.took/plain.took, name+"-times-plain")
			b.ReportMetric(m.work/plain.work, name+"-work-times-plain")
		}
	}
}

// pace is how long frames take, and how long the browser's processors work on them, both
// in seconds a frame.
type pace struct{ took, work float64 }

// paceOf is the pace of frames that are being drawn, over three seconds of them.
func (p *tab) paceOf(drawn func() int) pace {
	p.t.Helper()
	worked := func() (seconds float64) {
		answer, err := chromedp.CallBrowser(p.ctx, systeminfo.GetProcessInfo, cdp.Empty{})
		p.must(err)
		for _, process := range answer.ProcessInfo {
			seconds += process.CPUTime
		}
		return seconds
	}
	first, began, before := drawn(), time.Now(), worked()
	time.Sleep(3 * time.Second)
	frames, took, work := float64(drawn()-first), time.Since(began).Seconds(), worked()-before
	if frames == 0 {
		p.t.Fatal("no frame was drawn")
	}
	return pace{took / frames, work / frames}
}

// middle are the medians of some paces.
func middle(paces []pace) pace {
	var took, work []float64
	for _, one := range paces {
		took, work = append(took, one.took), append(work, one.work)
	}
	slices.Sort(took)
	slices.Sort(work)
	return pace{took[len(took)/2], work[len(work)/2]}
}

// drawPlainly draws the camera's frames over the picture's area, on a canvas as opaque as
// the page's own, and counts them until it is stopped.
const drawPlainly = `(async () => {
	const stream = await navigator.mediaDevices.getUserMedia({video: {width: {ideal: 1280}, height: {ideal: 720}, frameRate: {ideal: 30}}});
	const [track] = stream.getTracks(), reader = new MediaStreamTrackProcessor({track}).readable.getReader();
	const area = document.getElementById('overlay').getBoundingClientRect(), canvas = document.createElement('canvas');
	Object.assign(canvas, {width: area.width, height: area.height});
	document.getElementById('overlay').append(canvas);
	const gl = canvas.getContext('webgl2', {alpha: false, antialias: false, depth: false}), program = gl.createProgram();
	for (const [kind, text] of [[gl.VERTEX_SHADER, 'out vec2 at; void main() { at = vec2(gl_VertexID % 2, gl_VertexID / 2); gl_Position = vec4(2. * at - 1., 0, 1); }'],
		[gl.FRAGMENT_SHADER, 'precision highp float; uniform sampler2D frame; in vec2 at; out vec4 colour; void main() { colour = texture(frame, at); }']]) {
		const shader = gl.createShader(kind);
		gl.shaderSource(shader, '#version 300 es\n' + text);
		gl.compileShader(shader);
		gl.attachShader(program, shader);
	}
	gl.linkProgram(program);
	gl.useProgram(program);
	gl.bindTexture(gl.TEXTURE_2D, gl.createTexture());
	gl.texStorage2D(gl.TEXTURE_2D, 1, gl.RGBA8, 1280, 720);
	gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MIN_FILTER, gl.LINEAR);
	const data = new Uint8Array(4 * 1280 * 720);
	let going = true;
	window.plain = { drawn: 0, stop() { going = false; } };
	(async () => {
		while (going) {
			const { value } = await reader.read();
			await value.copyTo(data, {format: 'RGBA'});
			value.close();
			await new Promise(requestAnimationFrame);
			gl.texSubImage2D(gl.TEXTURE_2D, 0, 0, 0, 1280, 720, gl.RGBA, gl.UNSIGNED_BYTE, data);
			gl.drawArrays(gl.TRIANGLE_STRIP, 0, 4);
			window.plain.drawn++;
		}
		track.stop();
		canvas.remove();
	})(); })()`
