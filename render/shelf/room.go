package shelf

// Room is what the browser says of the room that it gives, in bytes, and of whether it
// keeps what is in it. Zero means that it said nothing.
type Room struct {
	Used, Quota int64
	Promised    bool // it will not clear it away by itself
	Asked       bool // it was asked for that promise
	Installed   bool // the page stands on the tablet's home screen or among its programs
}

// tight is how many photographs like the open one must still fit before there is a
// warning, and least the part of the room that must be left, in percent.
const (
	tight = 3
	least = 10
)

// Tight says whether the room left is so little that the painter must be warned, before
// anything is refused: photograph is the bytes of the open one.
func (r Room) Tight(photograph int) bool {
	left := r.Quota - r.Used
	return r.Quota > 0 && (left < tight*int64(photograph) || left < r.Quota/100*least)
}

// MayGo says whether the browser may clear away what is kept without asking.
func (r Room) MayGo() bool { return r.Quota > 0 && !r.Promised && !r.Installed }
