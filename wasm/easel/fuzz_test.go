package easel

import (
	"errors"
	"math"
	"testing"
	"time"

	"maulstick/render"
	"maulstick/render/study"
)

// script turns fuzzed bytes into messages.
type script struct{ data []byte }

func (s *script) byte() byte {
	if len(s.data) == 0 {
		return 0
	}
	b := s.data[0]
	s.data = s.data[1:]
	return b
}

// pick chooses one of some strings.
func (s *script) pick(from []string) string { return from[int(s.byte())%len(from)] }

// coordinate is mostly on the area, sometimes far off or no number.
func (s *script) coordinate() float64 {
	switch b := s.byte(); b {
	case 255:
		return math.NaN()
	case 254:
		return math.Inf(1)
	case 253:
		return -1e300
	default:
		return float64(b)*4 - 40
	}
}

// pressable are the keys a fuzzed painter can press.
func pressable() []string {
	names := []string{"step-1", "step-5", "step-9", "mark-1", "mark-2", "cycle-grey", "cycle-x", "handsoff", "unlock", "-", "open", "update", "message-close"}
	for _, name := range []string{
		"filter", "mirror", "turn", "squint", "plain", "tray-value", "tray-place", "tray-study", "grey", "steps",
		"fewer", "more", "only", "darker", "lighter", "filter-red", "filter-grey", "squint-less", "squint-more",
		"mark-new", "mark-delete", "undo", "redo", "from-x", "from-y", "unit", "canvas-turn", "save-file",
		"surround-lighter", "surround-darker",
	} {
		names = append(names, name)
	}
	return names
}

var (
	typedTexts = []string{"33 x 70 in", "84x178cm", "", "0 x 1", "x", "\xff", "1 x 4000 in", "99 m x 1 mm", "stalk", "2' 9\" x 5' 10\""}
	boardKeys  = []string{"ArrowLeft", "ArrowRight", "ArrowUp", "ArrowDown", "+", "-", "0", "Delete", "Escape", "Enter", "PageUp", "PageDown", " ", "Tab"}
)

// act does one message of a script.
func (b *bench) act(s *script) {
	switch s.byte() % 14 {
	case 0, 1, 2, 3:
		b.Pointer(Pointer{Kind: PointerKind(s.byte() % 5), ID: int(s.byte() % 4), Device: Device(s.byte() % 4), X: s.coordinate(), Y: s.coordinate()})
	case 4, 5:
		b.Press(s.pick(pressable()))
	case 6:
		b.Release(s.pick(pressable()))
	case 7:
		b.Type(s.pick([]string{"canvas", "mark-name", "study-name", "x"}), s.pick(typedTexts))
	case 8:
		b.Wheel(s.coordinate(), s.coordinate(), s.coordinate()*5)
	case 9:
		v := s.byte()
		b.Key(s.pick(boardKeys), v&1 != 0, v&2 != 0)
	case 10:
		b.Resize(int(s.byte())*5-5, int(s.byte())*4, float64(s.byte()%8)/2)
	case 11:
		b.clock = b.clock.Add(time.Duration(s.byte()) * 8 * time.Millisecond)
		b.Tick()
	case 12:
		b.answer(s)
	case 13:
		if s.byte()%8 == 0 {
			b.Show(greysDoc(), nil, s.byte()%2 == 0)
		} else {
			b.Leave()
		}
	}
}

// answer is what the page answers, asked or unasked.
func (b *bench) answer(s *script) {
	switch s.byte() % 8 {
	case 0:
		b.Kept(nil)
	case 1:
		b.Kept(errors.New("full"))
	case 2:
		b.Filled()
	case 3:
		b.WakeLock(s.byte()%2 == 0)
	case 4:
		b.Refuse(errors.New("no"))
	case 5:
		b.Opening("x", s.coordinate())
	case 6:
		b.UpdateOffered()
	case 7:
		b.SetAside("broken")
	}
}

// holds checks what must be true after every message.
func (b *bench) holds(t *testing.T) {
	t.Helper()
	if b.history == nil {
		return
	}
	d := b.doc()
	if err := d.Check(); err != nil {
		t.Fatalf("the study breaks a rule: %v", err)
	}
	if _, err := study.Encode(d); err != nil {
		t.Fatalf("the study cannot be written: %v", err)
	}
	if len(b.hand.down) > 2 || len(b.hand.down) == 0 && b.hand.doing != idle {
		t.Fatalf("the hand does %d with %d pointers", b.hand.doing, len(b.hand.down))
	}
	plan, ok := b.Plan()
	if !ok {
		return
	}
	for _, p := range plan.Panes {
		if p.View.Width != p.At.Width || p.View.Height != p.At.Height || !(p.View.Scale > 0 && p.View.Scale <= render.MaxScale) ||
			p.At.X < 0 || p.At.Y < 0 || p.At.X+p.At.Width > plan.Width || p.At.Y+p.At.Height > plan.Height {
			t.Fatalf("a pane cannot be drawn: %+v", p)
		}
	}
	if middle := plan.Panes[0].View.Centre; !isNumber(middle.X, middle.Y) || middle.X < plan.Crop.X-1e-6 || middle.X > plan.Crop.X+plan.Crop.Width+1e-6 {
		t.Fatalf("the picture is lost: %+v", plan.Panes[0].View)
	}
	f := b.Face()
	if f.Hidden["place-x"] != f.Hidden["place-y"] || len(f.Steps) != d.Look.Steps || len(f.Marks) != len(d.Marks) {
		t.Fatalf("the page shows %d steps and %d marks of %d and %d", len(f.Steps), len(f.Marks), d.Look.Steps, len(d.Marks))
	}
}

// No order of messages may panic, lose the picture or break the study.
func FuzzMessages(f *testing.F) {
	f.Add([]byte{4, 18, 0, 0, 1, 1, 60, 60, 0, 1, 1, 1, 90, 90, 0, 2, 1, 1, 90, 90, 11, 200})
	f.Add([]byte{4, 19, 0, 0, 1, 1, 60, 60, 1, 0, 2, 1, 90, 90, 2, 1, 2, 1, 140, 90, 3, 3, 1, 1, 0, 0, 10, 80, 80, 3})
	f.Add([]byte{7, 0, 1, 4, 18, 9, 0, 9, 9, 1, 0, 4, 34, 9, 0, 7, 4, 34, 4, 35})
	f.Add([]byte{13, 0, 0, 12, 2, 4, 7, 6, 7, 11, 255, 4, 7, 11, 255, 12, 1, 13, 1})
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > 4000 {
			return
		}
		b := newBench(t, 2)
		b.Show(greysDoc(), nil, true)
		s := &script{data: data}
		for len(s.data) > 0 {
			b.act(s)
			b.holds(t)
		}
	})
}
