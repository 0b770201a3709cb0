package shelf

// Room is what the browser says of the room that it gives, in bytes, and of whether it
// keeps what is in it. Zero means that it said nothing.
type Room struct {
	Used, Quota int64
	Short       bool // it refused Spare bytes when it was asked for them
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

// ordinary is how many bytes a photograph of a telephone has at most, as a rule.
const ordinary = 10_000_000

// Spare is how many bytes a browser is asked for to learn whether there is room: it may
// say of Quota what tells nobody how full the tablet is, 10 GiB more than is used (the
// Storage standard asks for a rough estimate). photograph is the bytes of the open one.
func Spare(photograph int) int64 { return tight * max(int64(photograph), ordinary) }

// Tight says whether the room left is so little that the painter must be warned, before
// anything is refused: photograph is the bytes of the open one.
func (r Room) Tight(photograph int) bool {
	left := r.Quota - r.Used
	return r.Short || r.Quota > 0 && (left < tight*int64(photograph) || left < r.Quota/100*least)
}

// Vague says that Quota is whole GiB more than is used, which no tablet's room is by
// chance: there may be less.
func (r Room) Vague() bool { return r.Quota > r.Used && (r.Quota-r.Used)%(1<<30) == 0 }

// MayGo says whether the browser may clear away what is kept without asking.
func (r Room) MayGo() bool { return r.Quota > 0 && !r.Promised && !r.Installed }
