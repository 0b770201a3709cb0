package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"maulstick/render/study"
)

// A study of the first form is written as an archive, and that written again is the
// same file; sheets are printed from either alike.
func TestStudyIsWrittenAnewAndReadBack(t *testing.T) {
	folder := t.TempDir()
	first, second := filepath.Join(folder, "first"+study.FileEnding), filepath.Join(folder, "second"+study.FileEnding)
	for _, step := range [][2]string{{keptStudy, first}, {first, second}} {
		status, out, complaint := ask("study", step[0], "-json", "-o", step[1])
		var told held
		if status != 0 || json.Unmarshal([]byte(out), &told) != nil {
			t.Fatalf("maulstick study %s ends with %d: %s", step[0], status, complaint)
		}
		if !told.Whole || told.Newer || told.Study != "Fig in a red bowl" || len(told.Files) != 1 || !told.Files[0].Whole || told.Output != step[1] {
			t.Errorf("of %s it tells %+v", step[0], told)
		}
	}
	a, err := os.ReadFile(first)
	if err != nil {
		t.Fatal(err)
	}
	b, err := os.ReadFile(second)
	if err != nil || !bytes.Equal(a, b) {
		t.Errorf("written again it is another file: %d and %d bytes, %v", len(a), len(b), err)
	}
	var sheets []string
	for _, from := range []string{keptStudy, first} {
		status, out, complaint := ask("sheet", from, "-sheets", "marks", "-json", "-o", filepath.Join(folder, "sheets.pdf"))
		if status != 0 {
			t.Fatalf("maulstick sheet %s: %s", from, complaint)
		}
		sheets = append(sheets, out)
	}
	if sheets[0] != sheets[1] {
		t.Errorf("the sheets are told as %s and %s", sheets[0], sheets[1])
	}
}

// Of a file that was cut short what is lost is said; nothing of it is no study.
func TestStudyThatIsNotWholeIsTold(t *testing.T) {
	folder := t.TempDir()
	whole := filepath.Join(folder, "whole"+study.FileEnding)
	if status, _, complaint := ask("study", keptStudy, "-o", whole); status != 0 {
		t.Fatal(complaint)
	}
	data, err := os.ReadFile(whole)
	if err != nil {
		t.Fatal(err)
	}
	cut := filepath.Join(folder, "cut"+study.FileEnding)
	if err := os.WriteFile(cut, data[:len(data)-100_000], 0o600); err != nil {
		t.Fatal(err)
	}
	status, out, complaint := ask("study", cut, "-json")
	var told held
	if status != 0 || json.Unmarshal([]byte(out), &told) != nil {
		t.Fatalf("of a file cut short: %d, %s", status, complaint)
	}
	if told.Whole || told.Files[0].Whole || !slices.Contains(told.Notes, "the photograph fig-in-red-bowl.jpg is damaged") {
		t.Errorf("it tells %+v", told)
	}
	if _, out, _ := ask("study", cut); !strings.Contains(out, "not whole") || !strings.Contains(out, "note: the file was cut short") {
		t.Errorf("it says %s", out)
	}
	if status, _, complaint := ask("sheet", cut, "-o", filepath.Join(folder, "s.pdf")); status == 0 || !strings.Contains(complaint, "is not whole") {
		t.Errorf("sheets of it end with %d: %s", status, complaint)
	}
	for _, args := range [][]string{{"study"}, {"study", folder}, {"study", filepath.Join(folder, "none")}, {"study", "../../testdata/photo/progressive.jpg"}, {"study", whole, "-o", whole}} {
		if status, _, complaint := ask(args...); status == 0 || !strings.Contains(complaint, "hint:") && !strings.Contains(complaint, "-help") {
			t.Errorf("%q ends with %d: %s", args, status, complaint)
		}
	}
	if again, err := os.ReadFile(whole); err != nil || !bytes.Equal(again, data) {
		t.Error("the study itself was written over")
	}
}
