package easel

// NoCamera is why a camera cannot be seen through.
type NoCamera int

// Why a camera cannot be seen through.
const (
	CameraUnknown   NoCamera = iota // for a reason of the browser's own
	CameraInsecure                  // the page did not come over a secure connection
	CameraMissing                   // the browser has none for pages
	CameraForbidden                 // a rule that the page was served with forbids it
	CameraDenied                    // the painter, or the system, has refused it to the page
	CameraUnheard                   // the browser's question was put away without an answer
	CameraNone                      // there is none
	CameraBusy                      // it does not start: something else uses it
	CameraUnfit                     // the one that was chosen is gone, or is another than was asked for
	CameraTaken                     // it was on, and was taken away
	CameraNoise                     // its pixels are not handed out as they are
)

// WhyNoCamera tells from the name of what a browser threw when it was asked for a camera
// (DOMException names of Media Capture and Streams, W3C), and from what it says besides,
// why there is none: whether the page is secure, whether its rules allow a camera, and the
// state of the permission ("granted", "denied", "prompt", or "" if it does not tell).
func WhyNoCamera(name string, secure, allowed bool, permission string) NoCamera {
	switch {
	case !secure:
		return CameraInsecure
	case name == "":
		return CameraMissing
	case !allowed || name == "SecurityError":
		return CameraForbidden
	case name == "NotAllowedError" && permission == "prompt":
		return CameraUnheard
	case name == "NotAllowedError":
		return CameraDenied
	case name == "NotFoundError":
		return CameraNone
	case name == "NotReadableError" || name == "AbortError":
		return CameraBusy
	case name == "OverconstrainedError":
		return CameraUnfit
	}
	return CameraUnknown
}

// words say why there is no camera, and what can be done; more is what the browser says.
func (n NoCamera) words(more string) string {
	text := noCamera[n]
	if n == CameraUnknown {
		text = "The camera does not start. The browser says: " + more
		if more == "" {
			text = "The camera does not start, and the browser does not say why"
		}
		return sentence(text) + " Press Look through it once more, or begin the browser anew."
	}
	return text
}

// noCamera are the words for each reason.
var noCamera = [...]string{
	CameraInsecure: "A browser lends the camera only to pages that come over a secure connection. Open this one by its https address; " +
		"the handbook says how the easel's own server has one.",
	CameraMissing:   "This browser lends no camera to pages. Bring it up to date, or photograph the canvas with the tablet's camera and choose the photograph under Study, Log.",
	CameraForbidden: "The page was served with a rule that forbids it the camera. Whoever serves it has to allow it: Permissions-Policy: camera=(self).",
	CameraDenied: "The camera is refused to this page. Allow it in the browser's settings of this page, and in the tablet's settings of the browser; " +
		"then press Look through it again.",
	CameraUnheard: "The browser's question was not answered. Press Look through it again, and allow the camera.",
	CameraNone:    "No camera was found. See that none is switched off in the tablet's settings, or plug one in; then press Look through it again.",
	CameraBusy:    "The camera does not start: another program may be using it, a call or the tablet's own camera. Close that, then press Look through it again.",
	CameraUnfit:   "The camera that was chosen is not there any more. Press Look through it again to have another.",
	CameraTaken:   "The camera was taken away: unplugged, or the leave to use it withdrawn. Press Look through it to ask for it again.",
	CameraNoise:   "This browser's privacy setting changes the pixels it hands out, so that no value would be true. Allow this page to read from canvases.",
}
