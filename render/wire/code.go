// Package wire writes values into bytes and reads them back, for what crosses from
// one program of the page to another or is kept in between. The order of the values
// is described once and goes for both.
package wire

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"math"
	"strings"
)

// Code writes values into bytes one after another, or reads them. Once something is
// wrong it reads zeros.
type Code struct {
	data    []byte // written, or still to be read
	reading bool
	bad     bool
}

// errCode is what is wrong with bytes that are not what they should be.
var errCode = errors.New("they are damaged or of another version")

// Checked is how many bytes at the end tell whether those before are whole.
const Checked = 4

// Write is a value in bytes that begin with a heading and end with their CRC-32
// (IEEE 802.3). It fails for what is no finite number, and where describe calls Fail.
func Write(heading string, describe func(*Code)) ([]byte, error) {
	c := &Code{data: []byte(heading)}
	describe(c)
	if c.bad {
		return nil, fmt.Errorf("writing %s: one of its numbers is not finite, or stands for what is not there", strings.TrimSpace(heading))
	}
	return binary.LittleEndian.AppendUint32(c.data, crc32.ChecksumIEEE(c.data)), nil
}

// Read reads what Write wrote under the same heading, and refuses anything else.
func Read(heading string, data []byte, describe func(*Code)) error {
	whole := max(len(data)-Checked, 0)
	rest, ours := bytes.CutPrefix(data[:whole], []byte(heading))
	if ours && binary.LittleEndian.Uint32(data[whole:]) == crc32.ChecksumIEEE(data[:whole]) {
		c := &Code{data: rest, reading: true}
		describe(c)
		if !c.bad && len(c.data) == 0 {
			return nil
		}
	}
	return fmt.Errorf("reading %s out of %d bytes: %w", strings.TrimSpace(heading), len(data), errCode)
}

// Reading says whether values are read, not written.
func (c *Code) Reading() bool { return c.reading }

// Fail is that something is wrong.
func (c *Code) Fail() { c.bad, c.data = true, nil }

// take is the next bytes; nil once something is wrong.
func (c *Code) take(n int) []byte {
	if n < 0 || n > len(c.data) {
		c.Fail()
		return nil
	}
	taken := c.data[:n]
	c.data = c.data[n:]
	return taken
}

// size writes or reads a length, which is at most a limit.
func (c *Code) size(n, limit int) int {
	if !c.reading {
		c.data = binary.AppendUvarint(c.data, uint64(n))
		return n
	}
	v, used := binary.Uvarint(c.data)
	if used <= 0 || v > uint64(limit) {
		c.Fail()
		return 0
	}
	c.data = c.data[used:]
	return int(v)
}

// Bytes writes or reads bytes of any number.
func (c *Code) Bytes(v *[]byte) {
	n := c.size(len(*v), len(c.data))
	if c.reading {
		*v = c.take(n)
		return
	}
	c.data = append(c.data, *v...)
}

// Texts writes or reads strings.
func Texts[T ~string](c *Code, vs ...*T) {
	for _, v := range vs {
		b := []byte(*v)
		c.Bytes(&b)
		*v = T(b)
	}
}

// Numbers writes or reads finite numbers.
func Numbers[T ~float64](c *Code, vs ...*T) {
	for _, v := range vs {
		if c.reading {
			if b := c.take(8); b != nil {
				*v = T(math.Float64frombits(binary.LittleEndian.Uint64(b)))
			}
		} else {
			c.data = binary.LittleEndian.AppendUint64(c.data, math.Float64bits(float64(*v)))
		}
		if math.IsNaN(float64(*v)) || math.IsInf(float64(*v), 0) {
			*v = 0
			c.Fail()
		}
	}
}

// Wholes writes or reads whole numbers.
func Wholes[T ~int](c *Code, vs ...*T) {
	for _, v := range vs {
		if !c.reading {
			c.data = binary.AppendVarint(c.data, int64(*v))
			continue
		}
		n, used := binary.Varint(c.data)
		if used <= 0 || int64(T(n)) != n {
			c.Fail()
			continue
		}
		*v, c.data = T(n), c.data[used:]
	}
}

// Octets writes or reads numbers from 0 to 255.
func Octets(c *Code, vs ...*uint8) {
	for _, v := range vs {
		if !c.reading {
			c.data = append(c.data, *v)
		} else if b := c.take(1); b != nil {
			*v = b[0]
		}
	}
}

// Flags writes or reads whether things are so.
func Flags(c *Code, vs ...*bool) {
	for _, v := range vs {
		n := uint8(0)
		if *v {
			n = 1
		}
		Octets(c, &n)
		if n > 1 {
			c.Fail()
		}
		*v = n == 1
	}
}

// Maybe writes or reads what may be there or not.
func Maybe[T any](c *Code, v **T, one func(*T)) {
	there := *v != nil
	Flags(c, &there)
	if !there {
		return
	}
	if c.reading {
		*v = new(T)
	}
	one(*v)
}

// List writes or reads a list, none of whose values takes no byte. An empty one is
// read as nil.
func List[T any](c *Code, v *[]T, one func(*T)) {
	n := c.size(len(*v), len(c.data))
	if c.reading && n > 0 {
		*v = make([]T, n)
	}
	for i := range *v {
		if c.bad {
			return
		}
		one(&(*v)[i])
	}
}
