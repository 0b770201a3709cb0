package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// Every command that the README shows runs as it stands there, and answers in
// JSON where it says so.
func TestReadmeCommandsRun(t *testing.T) {
	t.Chdir(filepath.Join("..", ".."))
	text, err := os.ReadFile("README.md")
	if err != nil {
		t.Fatal(err)
	}
	found := 0
	for line := range strings.Lines(string(text)) {
		command, ok := strings.CutPrefix(line, "    bin/maulstick ")
		if !ok {
			continue
		}
		found++
		args := strings.Fields(command)
		if i := slices.Index(args, "-o"); i >= 0 {
			args[i+1] = filepath.Join(t.TempDir(), args[i+1])
		}
		status, out, complaint := ask(args...)
		if status != 0 || complaint != "" {
			t.Errorf("maulstick %s ends with %d: %s", strings.TrimSpace(command), status, complaint)
		}
		if slices.Contains(args, "-json") && !json.Valid([]byte(out)) {
			t.Errorf("maulstick %s answers %q", strings.TrimSpace(command), out)
		}
	}
	if found < 4 {
		t.Errorf("the README shows %d commands, want at least 4", found)
	}
}
