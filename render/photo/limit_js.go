package photo

// MaxPixels bounds the photographs that are opened: what a page of the browser
// has room for, whose memory does not shrink again.
const MaxPixels = 120_000_000
