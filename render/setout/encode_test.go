package setout

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"math"
	"reflect"
	"testing"

	"maulstick/render/line"
	"maulstick/render/place"
	"maulstick/render/wire"
)

// filled gives every field below a value another value that is not zero. Whole
// numbers are 0 or 1: some of them tell lines and marks, of which there are two.
func filled(t *testing.T, v reflect.Value, next *int) {
	t.Helper()
	*next++
	switch {
	case v.Kind() == reflect.Struct:
		for i := range v.NumField() {
			filled(t, v.Field(i), next)
		}
	case v.Kind() == reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 2, 2))
		for i := range v.Len() {
			filled(t, v.Index(i), next)
		}
	case v.Kind() == reflect.String:
		v.SetString(string(rune('a'+*next%26)) + "é")
	case v.CanFloat():
		v.SetFloat(float64(*next) + 1.0/3)
	case v.CanInt():
		v.SetInt(1)
	case v.Kind() == reflect.Bool:
		v.SetBool(true)
	default:
		t.Fatalf("a field of type %v cannot be filled", v.Type())
	}
}

// Every field of a question and of an answer crosses.
func TestEveryFieldCrosses(t *testing.T) {
	next := 0
	var ask, askBack Ask
	filled(t, reflect.ValueOf(&ask).Elem(), &next)
	data, err := ask.MarshalBinary()
	if err != nil {
		t.Fatal(err)
	}
	if err := askBack.UnmarshalBinary(data); err != nil || askBack != ask {
		t.Errorf("the question %+v comes back as %+v, %v", ask, askBack, err)
	}
	var full, back Answer
	filled(t, reflect.ValueOf(&full).Elem(), &next)
	if data, err = full.MarshalBinary(); err != nil {
		t.Fatal(err)
	}
	if err := back.UnmarshalBinary(data); err != nil || !reflect.DeepEqual(full, back) {
		t.Errorf("the answer %+v comes back as %+v, %v", full, back, err)
	}
}

// sample is an answer with a little of everything.
func sample() Answer {
	return Draw(Ask{Plan: "thirds,squares:80mm,rabatment", Canvas: place.Size{Width: 200, Height: 200, Unit: place.Centimetre}})
}

// Lines and marks that are not there are refused, and so is what is no number.
func TestOnlyWhatIsThereCrosses(t *testing.T) {
	if s := sample(); len(s.Lines) == 0 || len(s.Crossings) == 0 || len(s.Notes) == 0 || len(s.Missed) == 0 || len(s.Chalk.Joins) == 0 {
		t.Fatalf("the sample is %+v", s)
	}
	for name, change := range map[string]func(*Answer){
		"a crossing of a line too many":   func(a *Answer) { a.Crossings[0].Lines = []int{0, len(a.Lines)} },
		"a crossing of a line before all": func(a *Answer) { a.Crossings[0].Lines = []int{-1, 0} },
		"a join along no line":            func(a *Answer) { a.Chalk.Joins[0].Line = len(a.Lines) },
		"a join from no mark":             func(a *Answer) { a.Chalk.Joins[0].From.Mark = len(a.Chalk.Marks) },
		"a join to before no mark":        func(a *Answer) { a.Chalk.Joins[0].To.Mark = -2 },
		"a line that ends nowhere":        func(a *Answer) { a.Lines[0].To.X = place.MM(math.NaN()) },
		"an endless way":                  func(a *Answer) { a.Chalk.Travel = place.MM(math.Inf(1)) },
	} {
		a := sample()
		change(&a)
		if _, err := a.MarshalBinary(); err == nil {
			t.Errorf("%s crosses", name)
		}
	}
	if _, err := (Ask{Canvas: place.Size{Width: place.MM(math.Inf(1))}}).MarshalBinary(); err == nil {
		t.Error("an endless canvas crosses")
	}
	// The same when bytes say so that are otherwise whole.
	data, err := sample().MarshalBinary()
	if err != nil {
		t.Fatal(err)
	}
	few := Answer{Crossings: []line.Crossing{{Lines: []int{0}}}}
	bad, _ := wire.Write(answered, func(c *wire.Code) {
		a := few
		a.Lines = make([]line.Drawn, 1)
		a.code(c)
	})
	// The one line less: its count is the first byte behind two empty texts.
	at := len(answered) + 2
	if bad[at] != 1 {
		t.Fatalf("the bytes are % x", bad)
	}
	size := 1 + 1 + 1 + 1 + 1 + 4*8 // kind, also, use, depth, label, both ends
	bad = append(append(bytes.Clone(bad[:at]), 0), bad[at+1+size:len(bad)-wire.Checked]...)
	bad = binary.LittleEndian.AppendUint32(bad, crc32.ChecksumIEEE(bad))
	back := Answer{Err: "as it was"}
	if err := back.UnmarshalBinary(bad); err == nil || back.Err != "as it was" {
		t.Errorf("a crossing of a line that is not there is read as %+v", back)
	}
	if err := back.UnmarshalBinary(data[:len(data)-1]); err == nil || back.Err != "as it was" {
		t.Errorf("bytes cut short are read as %+v", back)
	}
}

// FuzzAsk reads bytes as a question, and draws what can be read: there is an answer
// that crosses, and no panic.
func FuzzAsk(f *testing.F) {
	for _, plan := range []string{"", "thirds", "diagonals:2,golden", "squares:3in:bottom-left,angled:4in:3in:35", "?"} {
		data, err := Ask{Plan: plan, Canvas: place.Size{Width: 300, Height: 200}, Rounding: "1/8"}.MarshalBinary()
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data[len(asked) : len(data)-wire.Checked])
	}
	f.Fuzz(func(t *testing.T, body []byte) {
		var ask Ask
		if ask.UnmarshalBinary(sealed(asked, body)) != nil {
			return
		}
		data, err := Draw(ask).MarshalBinary()
		if err != nil {
			t.Fatalf("the answer to %+v does not cross: %v", ask, err)
		}
		var back Answer
		if err := back.UnmarshalBinary(data); err != nil {
			t.Fatalf("the answer to %+v does not come back: %v", ask, err)
		}
	})
}

// FuzzAnswer reads bytes as an answer: what can be read is written again as it was
// read, what it names is there, and nothing panics.
func FuzzAnswer(f *testing.F) {
	data, err := sample().MarshalBinary()
	if err != nil {
		f.Fatal(err)
	}
	f.Add(data[len(answered) : len(data)-wire.Checked])
	f.Fuzz(func(t *testing.T, body []byte) {
		var a, back Answer
		if a.UnmarshalBinary(sealed(answered, body)) != nil {
			return
		}
		a.NearestLine(place.CanvasPoint{})
		a.NearestCrossing(place.CanvasPoint{})
		for _, k := range a.Crossings {
			for _, i := range k.Lines {
				_ = a.Lines[i]
			}
		}
		data, err := a.MarshalBinary()
		if err != nil {
			t.Fatal(err)
		}
		if err := back.UnmarshalBinary(data); err != nil || !reflect.DeepEqual(a, back) {
			t.Fatalf("%+v comes back as %+v, %v", a, back, err)
		}
	})
}

// sealed is a body between its heading and its sum.
func sealed(heading string, body []byte) []byte {
	data := append([]byte(heading), body...)
	return binary.LittleEndian.AppendUint32(data, crc32.ChecksumIEEE(data))
}
