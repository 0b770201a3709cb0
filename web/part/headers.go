package part

// Policy is the page's Content-Security-Policy: nothing but its own files, no
// script in the page's text, and no request that leaves its origin.
const Policy = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; " +
	"img-src 'self' blob:; media-src 'self' blob:; connect-src 'self'; manifest-src 'self'; " +
	"worker-src 'self'; font-src 'self'; frame-src 'self'; form-action 'self'; base-uri 'none'; " +
	"object-src 'none'; frame-ancestors 'self'; require-trusted-types-for 'script'; trusted-types app"

// permissions are what the page may ask of a browser: the camera, for itself alone, and
// nothing else.
const permissions = "camera=(self), microphone=(), geolocation=(), payment=(), usb=()"

// Header is a field that every answer carries.
type Header struct{ Name, Value string }

// Headers are the fields that every part of the page is served with, besides its
// type.
func Headers() []Header {
	return []Header{
		{"Content-Security-Policy", Policy},
		{"X-Content-Type-Options", "nosniff"},
		{"Referrer-Policy", "no-referrer"},
		{"Permissions-Policy", permissions},
		{"Cross-Origin-Opener-Policy", "same-origin"},
		{"Cross-Origin-Resource-Policy", "same-origin"},
		{"Cache-Control", "no-cache"},
	}
}
