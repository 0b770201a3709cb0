package main

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Everything that cannot be done is said in one line that begins with the
// command, and a hint on a second; nothing is written where a reading goes.
func TestRefusals(t *testing.T) {
	empty := filepath.Join(t.TempDir(), "empty.jpg")
	if err := os.WriteFile(empty, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	photos := "../../testdata/photo/"
	size := []string{"-photo-size", "300x200"}
	out := filepath.Join(t.TempDir(), "sheets.pdf")
	cases := []struct {
		want string
		args []string
	}{
		{"-canvas is missing", []string{"ratio", "-photo", "4x6"}},
		{"-photo is missing", []string{"ratio", "-canvas", "4x6"}},
		{"given twice", []string{"ratio", "-canvas", "4x6", "-photo", "4x6", "-photo-size", "4x6"}},
		{"0 x 70", []string{"ratio", "-photo", "4x6", "-canvas", "0 x 70"}},
		{"33", []string{"ratio", "-photo", "4x6", "-canvas", "33"}},
		{"33 x", []string{"ratio", "-photo", "4x6", "-canvas", "33 x"}},
		{"-3 x 4", []string{"ratio", "-photo", "4x6", "-canvas", "-3 x 4"}},
		{"1e9 x 2", []string{"ratio", "-photo", "4x6", "-canvas", "1e9 x 2"}},
		{"canvas", []string{"ratio", "-photo", "4x6", "-canvas", "my canvas"}},
		{"no such file", []string{"value", "-reference", "nowhere.jpg", "-at", "1,1"}},
		{"folder", []string{"value", "-reference", photos, "-at", "1,1"}},
		{"empty", []string{"value", "-reference", empty, "-at", "1,1"}},
		{"cut short", []string{"value", "-reference", photos + "webp-trunc50.webp", "-at", "1,1"}},
		{"JPEG XL", []string{"photo", "-reference", photos + "jxl-jpeg-transcode.jxl"}},
		{"no amount", []string{"photo", "-reference", demo, "-memory", "much"}},
		{"of this kind, TIFF", []string{"photo", "-reference", photos + "tiff-6.tif", "-bare", filepath.Join(t.TempDir(), "bare.tif")}},
		{"photograph itself", []string{"photo", "-reference", demo, "-bare", demo}},
		{"SVG", []string{"steps", "-reference", photos + "svg.svg"}},
		{"65500 x 65500", []string{"steps", "-reference", photos + "jpeg-header-65500x65500.jpg"}},
		{"web", []string{"steps", "-reference", photos + "html.jpg"}},
		{"-reference is missing", []string{"steps"}},
		{"1 steps", []string{"steps", "-reference", demo, "-n", "1"}},
		{"10 steps", []string{"steps", "-reference", demo, "-n", "10"}},
		{"no -fit round", []string{"steps", "-reference", demo, "-fit", "round"}},
		{"-cards is missing", []string{"steps", "-reference", demo, "-fit", "cards"}},
		{"belongs to -fit cards", []string{"steps", "-reference", demo, "-fit", "best", "-cards", "1,2"}},
		{"-n asks for 3 steps, and there are 2 cards", []string{"steps", "-reference", demo, "-n", "3", "-cards", "1,2"}},
		{"no number", []string{"steps", "-reference", demo, "-cards", "1,two"}},
		{"2 comes after 5", []string{"steps", "-reference", demo, "-cards", "5,2"}},
		{"10 steps", []string{"steps", "-reference", demo, "-fit", "best", "-n", "10"}},
		{"without a canvas", []string{"steps", "-reference", demo, "-clean", "1in"}},
		{"no number of pixels", []string{"steps", "-reference", demo, "-clean", "-3px"}},
		{"1 inch or so", []string{"steps", "-reference", demo, "-canvas", "24x36in", "-clean", "1 inch or so"}},
		{"-o itself", []string{"steps", "-reference", demo, "-o", demo}},
		{"folder", []string{"steps", "-reference", demo, "-o", t.TempDir()}},
		{"no such file", []string{"steps", "-reference", photos + "png-alpha.png", "-o", filepath.Join(t.TempDir(), "no", "steps.png")}},
		{"no whole pixel", []string{"steps", "-reference", photos + "png-alpha.png", "-crop", "1.6,1.6,0.2,0.2", "-o", filepath.Join(t.TempDir(), "steps.png")}},
		{"not on the photograph", append([]string{"place", "-canvas", "3x2in", "-at", "300,0"}, size...)},
		{"not on the photograph", append([]string{"place", "-canvas", "3x2in", "-at", "-1,0"}, size...)},
		{"no whole number", append([]string{"place", "-canvas", "3x2in", "-at", "1.5,0"}, size...)},
		{"not 2", append([]string{"place", "-canvas", "3x2in", "-at", "1"}, size...)},
		{"-at is missing", append([]string{"place", "-canvas", "3x2in"}, size...)},
		{"cropped away", append([]string{"place", "-canvas", "2x2in", "-at", "10,10"}, size...)},
		{"cropped away", append([]string{"place", "-canvas", "2x2in", "-at", "10,10", "-crop", "20,20,50,50"}, size...)},
		{"not four numbers", append([]string{"place", "-canvas", "2x2in", "-at", "10,10", "-crop", "20,20,50"}, size...)},
		{"not four numbers", append([]string{"place", "-canvas", "2x2in", "-at", "10,10", "-crop", "NaN,20,50,50"}, size...)},
		{"outside", append([]string{"place", "-canvas", "2x2in", "-at", "10,10", "-crop", "0,0,5000,5000"}, size...)},
		{"left,right", append([]string{"place", "-canvas", "2x2in", "-at", "10,10", "-from", "left,right"}, size...)},
		{"middle", append([]string{"place", "-canvas", "2x2in", "-at", "10,10", "-from", "middle"}, size...)},
		{"0x200", []string{"place", "-canvas", "2x2in", "-at", "10,10", "-photo-size", "0x200"}},
		{"both given", append([]string{"place", "-canvas", "2x2in", "-at", "10,10", "-reference", demo}, size...)},
		{"-colour", []string{"place", "-colour"}},
		{"-canvas is missing", []string{"square", "-diagonals", "1,2"}},
		{"-diagonals is missing", []string{"square", "-canvas", "3x2in"}},
		{"two lengths but 3", []string{"square", "-canvas", "70x33in", "-diagonals", "77,5,77"}},
		{"no diagonal", []string{"square", "-canvas", "70x33in", "-diagonals", "77.5,70"}},
		{"no diagonal", []string{"square", "-canvas", "70x33in", "-diagonals", "77.5cm,77.4"}},
		{"not a length", []string{"square", "-canvas", "70x33in", "-diagonals", "77.5,long"}},
		{"-from is missing", append([]string{"span", "-canvas", "3x2in", "-to", "1,1"}, size...)},
		{"-to is missing", append([]string{"span", "-canvas", "3x2in", "-from", "1,1"}, size...)},
		{"-reference is missing", []string{"span", "-canvas", "3x2in", "-from", "1,1", "-to", "2,2"}},
		{"the same spot", append([]string{"span", "-canvas", "3x2in", "-from", "1,1", "-to", "1,1"}, size...)},
		{"not on the photograph", append([]string{"span", "-canvas", "3x2in", "-from", "1,1", "-to", "300,1"}, size...)},
		{"cropped away", append([]string{"span", "-canvas", "2x2in", "-from", "150,1", "-to", "10,1"}, size...)},
		{"cropped away", append([]string{"span", "-canvas", "2x2in", "-from", "150,1", "-to", "160,1", "-at", "10,1"}, size...)},
		{"cropped away", append([]string{"span", "-canvas", "2x2in", "-from", "150,1", "-to", "160,1", "-unit", "150,1,10,1"}, size...)},
		{"not 4", append([]string{"span", "-canvas", "2x2in", "-from", "150,1", "-to", "160,1", "-unit", "150,1"}, size...)},
		{"not four numbers", append([]string{"crop", "-canvas", "2x2in", "-crop", "1,2,3"}, size...)},
		{"outside", append([]string{"crop", "-canvas", "2x2in", "-crop", "1,2,300,20"}, size...)},
		{"half as wide as the canvas", append([]string{"crop", "-canvas", "2x2in", "-margin", "1in"}, size...)},
		{"not a length", append([]string{"crop", "-canvas", "2x2in", "-turnover", "some"}, size...)},
		{"both given", append([]string{"crop", "-canvas", "2x2in", "-horizon", "1,1,9,2", "-plumb", "1,1,2,9"}, size...)},
		{"not 4", append([]string{"crop", "-canvas", "2x2in", "-horizon", "1,1,9"}, size...)},
		{"not on the photograph", append([]string{"crop", "-canvas", "2x2in", "-plumb", "1,1,1,900"}, size...)},
		{"over 45 degrees", append([]string{"crop", "-canvas", "2x2in", "-plumb", "1,1,200,3"}, size...)},
		{"beyond the photograph", append([]string{"crop", "-canvas", "2x2in", "-plumb", "10,1,1,190", "-crop", "0,0,200,100"}, size...)},
		{"not 8", append([]string{"crop", "-canvas", "2x2in", "-corners", "1,2,3"}, size...)},
		{"-flat is missing", append([]string{"crop", "-canvas", "2x2in", "-corners", "1,1,90,2,91,80,3,81"}, size...)},
		{"both given", append([]string{"crop", "-canvas", "2x2in", "-corners", "1,1,90,2,91,80,3,81", "-flat", "8x10in", "-focal", "28"}, size...)},
		{"-corners is missing", append([]string{"crop", "-canvas", "2x2in", "-flat", "8x10in"}, size...)},
		{"on one line", append([]string{"crop", "-canvas", "2x2in", "-corners", "1,1,50,1,90,1,20,1", "-flat", "8x10in"}, size...)},
		{"not on the photograph", append([]string{"crop", "-canvas", "2x2in", "-corners", "1,1,900,2,91,80,3,81", "-flat", "8x10in"}, size...)},
		{"focal length", append([]string{"crop", "-canvas", "2x2in", "-corners", "1,1,90,2,91,80,3,81", "-focal", "-3"}, size...)},
		{"-reference is missing", append([]string{"crop", "-canvas", "2x2in", "-o", filepath.Join(t.TempDir(), "x.png")}, size...)},
		{"-o itself", []string{"crop", "-reference", demo, "-canvas", "36x24in", "-crop", "0,0,9,9", "-o", demo}},
		{"no kind", append([]string{"crop", "-canvas", "2x2in", "-kinds", "round"}, size...)},
		{"-canvas is missing", []string{"shapes", "-reference", demo}},
		{"not a length", []string{"shapes", "-reference", demo, "-canvas", "36x24in", "-smallest", "small"}},
		{"not a length", []string{"shapes", "-reference", demo, "-canvas", "36x24in", "-squint", "much"}},
		{"-3 shapes", []string{"shapes", "-reference", demo, "-canvas", "36x24in", "-count", "-3"}},
		{"sometime", []string{"shapes", "-reference", demo, "-canvas", "36x24in", "-focal-area", "sometime"}},
		{"without -svg", []string{"shapes", "-reference", demo, "-canvas", "36x24in", "-fill"}},
		{"not on the photograph", []string{"shapes", "-reference", demo, "-canvas", "36x24in", "-focal", "9000,1"}},
		{"the photograph itself", []string{"shapes", "-reference", demo, "-canvas", "36x24in", "-svg", demo}},
		{"-use is missing", []string{"lines", "-canvas", "70x33in"}},
		{"-canvas is missing", []string{"chalk", "-use", "thirds"}},
		{"no construction", []string{"lines", "-canvas", "70x33in", "-use", "spirals"}},
		{"1 to 4 deep", []string{"chalk", "-canvas", "70x33in", "-use", "diagonals:9"}},
		{"more than 128 along a side", []string{"lines", "-canvas", "70x33in", "-use", "squares:1mm"}},
		{"not two lengths", []string{"lines", "-canvas", "70x33in", "-use", "thirds", "-near", "12in"}},
		{"not two lengths", []string{"lines", "-canvas", "70x33in", "-use", "thirds", "-near", "12in,low"}},
		{"it is a folder", []string{"lines", "-canvas", "70x33in", "-use", "thirds", "-o", "."}},
		{"none that a rule shows", []string{"chalk", "-canvas", "70x33in", "-use", "thirds", "-round", "1/7"}},
		{"left,right", []string{"chalk", "-canvas", "70x33in", "-use", "thirds", "-from", "left,right"}},
		{"belongs to no flag", []string{"value", "-at", "1,1", "photo.jpg"}},
		{"no study is named", []string{"sheet", "-o", out}},
		{"-o is missing", []string{"sheet", keptStudy}},
		{"no such file", []string{"sheet", "nowhere.maulstick.json", "-o", out}},
		{"it is a folder", []string{"sheet", photos, "-o", out}},
		{"it is a folder", []string{"sheet", keptStudy, "-o", "."}},
		{"not a study kept", []string{"sheet", demo, "-o", out}},
		{"the study itself", []string{"sheet", keptStudy, "-o", keptStudy}},
		{`no sheet "poster"`, []string{"sheet", keptStudy, "-o", out, "-sheets", "chalk,poster"}},
		{"10 dots per inch", []string{"sheet", keptStudy, "-o", out, "-dpi", "10"}},
		{"neither a name nor a size", []string{"sheet", keptStudy, "-o", out, "-paper", "foolscap"}},
		{"not from 125 mm", []string{"sheet", keptStudy, "-o", out, "-paper", "100x300mm"}},
		{"over 200", []string{"sheet", keptStudy, "-o", out, "-paper", "125x125mm", "-sheets", "cartoon"}},
	}
	for _, c := range cases {
		status, stdout, stderr := ask(c.args...)
		lines := strings.Split(strings.TrimSuffix(stderr, "\n"), "\n")
		if c.want == "-o itself" {
			c.want = "the photograph itself"
		}
		switch {
		case status == 0 || stdout != "":
			t.Errorf("%v exits with %d and writes %q", c.args, status, stdout)
		case len(lines) != 2 || !strings.HasPrefix(lines[0], "maulstick "+c.args[0]+": ") || !strings.HasPrefix(lines[1], "hint: "):
			t.Errorf("%v says %q", c.args, stderr)
		case !strings.Contains(lines[0], c.want):
			t.Errorf("%v says %q, want %q in it", c.args, lines[0], c.want)
		}
	}
}

func TestUsage(t *testing.T) {
	for _, c := range []struct {
		args           []string
		status         int
		stdout, stderr string
	}{
		{nil, exitUsage, "", "Maulstick relates"},
		{[]string{"help"}, exitDone, "Maulstick relates", ""},
		{[]string{"paint"}, exitUsage, "", `there is no command "paint"`},
		{[]string{"place", "-help"}, exitDone, "counted from 0", ""},
		{[]string{"steps", "-bogus"}, exitUsage, "", "-help lists the flags"},
		{[]string{"steps", "-reference", "nowhere.jpg"}, exitFailed, "", "no such file"},
	} {
		status, stdout, stderr := ask(c.args...)
		if status != c.status || !strings.Contains(stdout, c.stdout) || !strings.Contains(stderr, c.stderr) || (c.stdout == "") != (stdout == "") || (c.stderr == "") != (stderr == "") {
			t.Errorf("%v exits with %d, writes %q and %q", c.args, status, stdout, stderr)
		}
	}
}

// The photograph that is read is never written to, and a picture that cannot be
// written leaves nothing behind.
func TestNothingIsLost(t *testing.T) {
	folder := t.TempDir()
	data, err := os.ReadFile("../../testdata/photo/png-alpha.png")
	if err != nil {
		t.Fatal(err)
	}
	name, link := filepath.Join(folder, "photo.png"), filepath.Join(folder, "link.png")
	if err := os.WriteFile(name, data, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Link(name, link); err != nil {
		t.Fatal(err)
	}
	for _, output := range []string{name, link, filepath.Join(folder, "none", "x.png")} {
		if status, _, _ := ask("steps", "-reference", name, "-o", output); status != exitFailed {
			t.Errorf("writing to %s exits with %d", output, status)
		}
	}
	after, err := os.ReadFile(name)
	if err != nil || !bytes.Equal(after, data) {
		t.Error("the photograph has been written to", err)
	}
	if entries, err := os.ReadDir(folder); err != nil || len(entries) != 2 {
		t.Errorf("the folder holds %v", entries)
	}
}

// full refuses to be written to, as a full disk or a closed pipe does.
type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("no room") }

func TestOutputThatCannotBeWritten(t *testing.T) {
	var stderr bytes.Buffer
	for _, form := range [][]string{{}, {"-json"}} {
		args := append([]string{"ratio", "-photo", "4x6", "-canvas", "4x6"}, form...)
		if status := run(context.Background(), args, full{}, &stderr); status != exitFailed || !strings.Contains(stderr.String(), "no room") {
			t.Errorf("%v exits with %d: %s", args, status, stderr.String())
		}
	}
}
