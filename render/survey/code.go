package survey

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"math"
	"strings"
)

// code writes values into bytes one after another, or reads them: the order is
// described once and goes for both. Once something is wrong it reads zeros.
type code struct {
	data    []byte // written, or still to be read
	reading bool
	bad     bool
}

// errCode is what is wrong with bytes that are not what they should be.
var errCode = errors.New("they are damaged or of another version")

// checked is how many bytes at the end tell whether those before are whole.
const checked = 4

// write is a value in bytes that begin with a heading and end with their CRC-32
// (IEEE 802.3). It fails for what is no finite number.
func write(heading string, describe func(*code)) ([]byte, error) {
	c := &code{data: []byte(heading)}
	describe(c)
	if c.bad {
		return nil, fmt.Errorf("writing %s: one of its numbers is not finite", strings.TrimSpace(heading))
	}
	return binary.LittleEndian.AppendUint32(c.data, crc32.ChecksumIEEE(c.data)), nil
}

// read reads what write wrote under the same heading, and refuses anything else.
func read(heading string, data []byte, describe func(*code)) error {
	whole := max(len(data)-checked, 0)
	rest, ours := bytes.CutPrefix(data[:whole], []byte(heading))
	if ours && binary.LittleEndian.Uint32(data[whole:]) == crc32.ChecksumIEEE(data[:whole]) {
		c := &code{data: rest, reading: true}
		describe(c)
		if !c.bad && len(c.data) == 0 {
			return nil
		}
	}
	return fmt.Errorf("reading %s out of %d bytes: %w", strings.TrimSpace(heading), len(data), errCode)
}

// fail is that something is wrong.
func (c *code) fail() { c.bad, c.data = true, nil }

// take is the next bytes; nil once something is wrong.
func (c *code) take(n int) []byte {
	if n < 0 || n > len(c.data) {
		c.fail()
		return nil
	}
	taken := c.data[:n]
	c.data = c.data[n:]
	return taken
}

// size writes or reads a length, which is at most a limit.
func (c *code) size(n, limit int) int {
	if !c.reading {
		c.data = binary.AppendUvarint(c.data, uint64(n))
		return n
	}
	v, used := binary.Uvarint(c.data)
	if used <= 0 || v > uint64(limit) {
		c.fail()
		return 0
	}
	c.data = c.data[used:]
	return int(v)
}

// bytes writes or reads bytes of any number.
func (c *code) bytes(v *[]byte) {
	n := c.size(len(*v), len(c.data))
	if c.reading {
		*v = c.take(n)
		return
	}
	c.data = append(c.data, *v...)
}

// texts writes or reads strings.
func texts[T ~string](c *code, vs ...*T) {
	for _, v := range vs {
		b := []byte(*v)
		c.bytes(&b)
		*v = T(b)
	}
}

// numbers writes or reads finite numbers.
func numbers[T ~float64](c *code, vs ...*T) {
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
			c.fail()
		}
	}
}

// wholes writes or reads whole numbers.
func wholes[T ~int](c *code, vs ...*T) {
	for _, v := range vs {
		if !c.reading {
			c.data = binary.AppendVarint(c.data, int64(*v))
			continue
		}
		n, used := binary.Varint(c.data)
		if used <= 0 || int64(T(n)) != n {
			c.fail()
			continue
		}
		*v, c.data = T(n), c.data[used:]
	}
}

// octets writes or reads numbers from 0 to 255.
func octets(c *code, vs ...*uint8) {
	for _, v := range vs {
		if !c.reading {
			c.data = append(c.data, *v)
		} else if b := c.take(1); b != nil {
			*v = b[0]
		}
	}
}

// flags writes or reads whether things are so.
func flags(c *code, vs ...*bool) {
	for _, v := range vs {
		n := uint8(0)
		if *v {
			n = 1
		}
		octets(c, &n)
		if n > 1 {
			c.fail()
		}
		*v = n == 1
	}
}

// maybe writes or reads what may be there or not.
func maybe[T any](c *code, v **T, one func(*T)) {
	there := *v != nil
	flags(c, &there)
	if !there {
		return
	}
	if c.reading {
		*v = new(T)
	}
	one(*v)
}

// list writes or reads a list, none of whose values takes no byte. An empty one is
// read as nil.
func list[T any](c *code, v *[]T, one func(*T)) {
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
