package main

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"maulstick/render/photo"
	"maulstick/render/place"
	"maulstick/render/setout"
)

// errands runs a program as a browser runs a worker, and asks it what errands.json
// lists, each once the one before is answered. The answers go to answers.json; bytes
// go to and fro as base64.
const errands = `
import { readFileSync, writeFileSync } from 'node:fs';

const asked = JSON.parse(readFileSync('errands.json'));
const answers = [];
let put = 0, memory;
const instantiate = WebAssembly.instantiateStreaming;
WebAssembly.instantiateStreaming = async (...given) => {
  const made = await instantiate(...given);
  memory = made.instance.exports.mem;
  return made;
};
globalThis.self = { location: { search: '?v=1' } };
globalThis.fetch = async (url) => new Response(readFileSync(url.split('?')[0]), { headers: { 'Content-Type': 'application/wasm' } });

globalThis.postMessage = (message, transfer = []) => {
  if (message.kind === 'progress') return;
  for (const [name, value] of Object.entries(message)) {
    if (value instanceof Uint8Array) {
      message[name] = Buffer.from(value).toString('base64');
      message[name + '-given'] = transfer.includes(value.buffer);
    }
  }
  message.took = performance.now() - put;
  message.memory = memory?.buffer.byteLength ?? 0;
  answers.push(message);
  const next = asked.shift();
  if (message.kind === 'broken' || !next) {
    writeFileSync('answers.json', JSON.stringify(answers));
    process.exit(0);
  }
  for (const name of ['ask', 'pixels', 'study']) {
    if (name in next) next[name] = new Uint8Array(Buffer.from(next[name], 'base64'));
  }
  setTimeout(() => { put = performance.now(); globalThis.onmessage({ data: next }); });
};

await import('./' + process.argv[2]);
`

// answer is what a worker sent back.
type answer struct {
	Kind, Failed, Hint, Reason string
	ID                         int
	Answer, Pixels, Sheets     []byte
	PixelsGiven                bool `json:"pixels-given"`

	Width, Height       int
	Painting, Reference []byte
	PaintingGiven       bool `json:"painting-given"`

	Took, Memory float64 // milliseconds to the answer, and bytes of the program's memory then
}

// answersTo runs a worker by its script with Node.js, with or without its program, and
// returns what it sends, "ready" first.
func answersTo(t testing.TB, script string, program []byte, asked ...map[string]any) []answer {
	t.Helper()
	node, err := exec.LookPath("node")
	if err != nil {
		t.Fatal("running a worker: node is lacking: install it, on Debian with: apt-get install nodejs")
	}
	folder, root := t.TempDir(), filepath.Join("..", "..")
	goroot, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		t.Fatal(err)
	}
	files := map[string][]byte{"errands.mjs": []byte(errands), "package.json": []byte(`{"type":"module"}`)}
	for name, path := range map[string]string{
		script: filepath.Join(root, "web", script), "wasm_exec.js": filepath.Join(strings.TrimSpace(string(goroot)), "lib", "wasm", "wasm_exec.js"),
	} {
		if files[name], err = os.ReadFile(path); err != nil {
			t.Fatal(err)
		}
	}
	if files["errands.json"], err = json.Marshal(append([]map[string]any{}, asked...)); err != nil {
		t.Fatal(err)
	}
	if program != nil {
		files[strings.TrimSuffix(script, ".js")+".wasm"] = program
	}
	for name, data := range files {
		if err := os.WriteFile(filepath.Join(folder, name), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	run := exec.Command(node, "errands.mjs", script)
	run.Dir = folder
	if out, err := run.CombinedOutput(); err != nil {
		t.Fatalf("running the worker: %v\n%s", err, out)
	}
	data, err := os.ReadFile(filepath.Join(folder, "answers.json"))
	if err != nil {
		t.Fatal(err)
	}
	var answers []answer
	if err := json.Unmarshal(data, &answers); err != nil {
		t.Fatal(err)
	}
	return answers
}

// The plotter, run by an engine that browsers have, sets out and redraws what this
// program does, byte for byte.
func TestPlotterAnswers(t *testing.T) {
	program, err := order{root: filepath.Join("..", "..")}.compile(plotter)
	if err != nil {
		t.Fatal(err)
	}
	ask := setout.Ask{Plan: "diagonals:2,golden,squares:7in:bottom-left,angled:4in:3in:35", Canvas: place.Size{Width: 838.2, Height: 1778}}
	question, err := ask.MarshalBinary()
	if err != nil {
		t.Fatal(err)
	}
	picture := photo.New(90, 60)
	for i := range picture.Pix {
		picture.Pix[i] = byte(i*i/7 + i/90)
		if i%4 == 3 {
			picture.Pix[i] = 255
		}
	}
	size := place.Pixels{Width: 80, Height: 70}
	to, err := place.QuadToQuad(place.Quad{{X: 4, Y: 2}, {X: 87, Y: 5}, {X: 80, Y: 57}, {X: 9, Y: 51}}, place.WholeCrop(size).Corners())
	if err != nil {
		t.Fatal(err)
	}
	answers := answersTo(t, "plotter.js", program,
		map[string]any{"kind": "set-out", "id": 3, "ask": question},
		map[string]any{"kind": "set-out", "ask": []byte("nothing")},
		map[string]any{"kind": "photograph", "width": 90, "height": 60, "halved": 0},
		map[string]any{"kind": "photograph-rows", "top": 0, "pixels": picture.Pix[:4*90*40]},
		map[string]any{"kind": "photograph-rows", "top": 40, "pixels": picture.Pix[4*90*40:]},
		map[string]any{"kind": "right", "to": flat(to), "width": 80, "height": 70},
		map[string]any{"kind": "righted-rows", "top": 30, "rows": 40},
		map[string]any{"kind": "right", "to": flat(place.Homography{}), "width": 80, "height": 70},
		map[string]any{"kind": "sheets", "study": []byte("{")},
	)
	if len(answers) != 10 || answers[0].Kind != "ready" {
		t.Fatalf("it sends %+v", answers)
	}
	want, err := setout.Draw(ask).MarshalBinary()
	if err != nil {
		t.Fatal(err)
	}
	var got setout.Answer
	if a := answers[1]; got.UnmarshalBinary(a.Answer) != nil || !bytes.Equal(a.Answer, want) || a.ID != 3 || len(got.Lines) < 20 {
		t.Errorf("the lines come as %d bytes with %d lines, want %d bytes", len(a.Answer), len(got.Lines), len(want))
	}
	righted, err := photo.Warp(picture, to, size, nil)
	if err != nil {
		t.Fatal(err)
	}
	if a := answers[7]; !bytes.Equal(a.Pixels, righted.Pix[4*80*30:]) || !a.PixelsGiven {
		t.Errorf("40 rows set right come as %d bytes, given away: %v; want %d others", len(a.Pixels), a.PixelsGiven, 4*80*40)
	}
	for i, hinted := range map[int]bool{2: false, 8: true, 9: true} {
		if a := answers[i]; a.Failed == "" || (a.Hint != "") != hinted {
			t.Errorf("%s is answered with %+v", a.Kind, a)
		}
	}
	for _, i := range []int{1, 3, 4, 5, 6, 7} {
		if a := answers[i]; a.Failed != "" {
			t.Errorf("%s fails: %s", a.Kind, a.Failed)
		}
	}
}

// flat is a homography's nine numbers, row by row.
func flat(h place.Homography) (numbers []float64) {
	for _, row := range h {
		numbers = append(numbers, row[:]...)
	}
	return numbers
}

// A plotter whose program is missing, is none or ends says that it is broken, so that
// nobody waits for it.
func TestPlotterSaysThatItIsBroken(t *testing.T) {
	program, err := order{root: filepath.Join("..", "..")}.compile(plotter)
	if err != nil {
		t.Fatal(err)
	}
	for name, answers := range map[string][]answer{
		"missing": answersTo(t, "plotter.js", nil),
		"none":    answersTo(t, "plotter.js", []byte("<html>")),
		"ends":    answersTo(t, "plotter.js", program, map[string]any{"kind": "photograph", "width": math.MaxInt32, "height": math.MaxInt32, "halved": 0}),
	} {
		if last := answers[len(answers)-1]; last.Kind != "broken" || last.Reason == "" {
			t.Errorf("%s: it sends %+v", name, answers)
		}
	}
}
