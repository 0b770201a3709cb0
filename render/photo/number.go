package photo

// number is the whole number of so many bytes, 4 at most, at a place in the data,
// and 0 where they do not reach so far. Whether the first byte counts least is the
// caller's to say. Headers are read a number at a time by this one function, which
// keeps the page's program small.
//
//go:noinline
func number(data []byte, at, bytes int, little bool) int {
	if at < 0 || at+bytes > len(data) {
		return 0
	}
	v := 0
	for i := range bytes {
		if little {
			v |= int(data[at+i]) << (8 * i)
		} else {
			v = v<<8 | int(data[at+i])
		}
	}
	return v
}

// big reads a number whose first byte counts most, little one whose first byte
// counts least.
func big(data []byte, at, bytes int) int    { return number(data, at, bytes, false) }
func little(data []byte, at, bytes int) int { return number(data, at, bytes, true) }
