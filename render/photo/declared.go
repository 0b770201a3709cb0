//go:build !js || darkroom

package photo

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"math"

	"maulstick/render/colour"
)

// What notes say of colours that are not taken as the file means them.
const (
	noteUnreadable = "the photograph carries a colour profile that cannot be read: it is taken to be sRGB"
	noteTables     = "the photograph carries a colour profile made of tables, which is not applied: it is taken to be sRGB, and strong colours read a little wrong"
	noteRange      = "the photograph is stored for screens of high dynamic range, which is not converted: it is taken to be sRGB, and reads too light or too dark"
	notePrimaries  = "the photograph names primaries that are not known here: it is taken to be sRGB"
)

// declared is what the codes in a file mean by what it says, nil for sRGB, and
// what to note where that cannot be followed.
func declared(h Header, data []byte) (*space, string) {
	s, note := said(h, data)
	if s != nil && s.ordinary() {
		s = nil
	}
	return s, note
}

func said(h Header, data []byte) (*space, string) {
	switch {
	case h.Kind == PNG:
		return saidPNG(h, data)
	case h.Profile != nil:
		return profileSpace(h.Profile)
	case h.Kind == JPEG && adobeByExif(data):
		return madeOf(primariesAdobe, power(563.0/256)), "" // Adobe RGB (1998), 4.3.4.2
	case h.Kind == AVIF || h.Kind == HEIC:
		if n := readNCLX(data); n.found {
			return numbered(n.primaries, n.transfer)
		}
	}
	return nil, ""
}

// madeOf is the space of primaries that are known to be sound.
func madeOf(p primaries, decode func(float64) float64) *space {
	s, _ := spaceOf(p, decode)
	return s
}

// power is a transfer function that is a plain power.
func power(gamma float64) func(float64) float64 {
	return func(v float64) float64 { return math.Pow(v, gamma) }
}

// numbered is the space that ITU-T H.273 gives numbers to (tables 2 and 3). The
// transfer functions of television cameras count as sRGB's, since that is how
// their pictures are shown.
func numbered(primaryColours, transfer int) (*space, string) {
	p, known := map[int]primaries{
		1: primaries709, 2: primaries709, 9: primaries2020, 12: primariesP3,
		5: {{0.64, 0.33}, {0.29, 0.60}, {0.15, 0.06}, whiteD65},
		6: {{0.630, 0.340}, {0.310, 0.595}, {0.155, 0.070}, whiteD65},
		7: {{0.630, 0.340}, {0.310, 0.595}, {0.155, 0.070}, whiteD65},
	}[primaryColours]
	decode := map[int]func(float64) float64{
		1: colour.DecodeUnit, 2: colour.DecodeUnit, 6: colour.DecodeUnit, 13: colour.DecodeUnit, 14: colour.DecodeUnit, 15: colour.DecodeUnit,
		4: power(2.2), 5: power(2.8), 8: power(1),
	}[transfer]
	switch {
	case !known:
		return nil, notePrimaries
	case decode == nil:
		return nil, noteRange
	}
	return madeOf(p, decode), ""
}

// saidPNG looks at the chunks about colour in the order in which they count (W3C
// PNG 3, section 4.3): cICP, iCCP, sRGB, and last gAMA and cHRM. A chunk whose
// checksum is wrong counts for nothing.
func saidPNG(h Header, data []byte) (*space, string) {
	part := map[string][]byte{}
	chunks(data, func(name string, body, whole []byte) bool {
		sum := crc32.ChecksumIEEE(whole[4 : len(whole)-4])
		if part[name] == nil && sum == binary.BigEndian.Uint32(whole[len(whole)-4:]) {
			part[name] = body
		}
		return name != "IDAT"
	})
	if c := part["cICP"]; len(c) == 4 {
		return numbered(int(c[0]), int(c[1]))
	}
	if h.Profile != nil {
		profile, err := inflate(part["iCCP"])
		if err != nil {
			return nil, noteUnreadable
		}
		return profileSpace(profile)
	}
	gamma := part["gAMA"]
	if part["sRGB"] != nil || len(gamma) != 4 || binary.BigEndian.Uint32(gamma) == 0 {
		return nil, ""
	}
	p := primaries709
	if c := part["cHRM"]; len(c) == 32 {
		at := func(i int) float64 { return float64(binary.BigEndian.Uint32(c[4*i:])) / 100000 }
		p = primaries{{at(2), at(3)}, {at(4), at(5)}, {at(6), at(7)}, {at(0), at(1)}}
	}
	s, ok := spaceOf(p, power(100000/float64(binary.BigEndian.Uint32(gamma))))
	if !ok {
		return nil, notePrimaries
	}
	return s, ""
}

// nclx is what a colr box says by numbers of ITU-T H.273.
type nclx struct {
	found                       bool
	primaries, transfer, matrix int
	full                        bool // codes from 0 to the greatest, not 16 to 235
}

// readNCLX finds it among the properties of the primary picture.
func readNCLX(data []byte) (n nclx) {
	for _, p := range primary(data) {
		if body, ok := bytes.CutPrefix(p.body, []byte("nclx")); ok && p.name == "colr" && len(body) >= 7 && !n.found {
			n = nclx{true, big(body, 0, 2), big(body, 2, 2), big(body, 4, 2), body[6]&0x80 != 0}
		}
	}
	return n
}
