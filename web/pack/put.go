package main

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"os"
	"path/filepath"

	"github.com/andybalholm/brotli"

	"maulstick/web/part"
)

// tracked is the one file of the folder that is not the build's.
const tracked = ".gitignore"

// empty makes the folder for the built page and clears it.
func (o order) empty() error {
	if err := os.MkdirAll(o.out, 0o755); err != nil {
		return fmt.Errorf("making the folder for the page: %w", err)
	}
	entries, err := os.ReadDir(o.out)
	if err != nil {
		return fmt.Errorf("clearing the folder for the page: %w", err)
	}
	for _, entry := range entries {
		if entry.Name() == tracked {
			continue
		}
		if err := os.RemoveAll(filepath.Join(o.out, entry.Name())); err != nil {
			return fmt.Errorf("clearing the folder for the page: %w", err)
		}
	}
	return nil
}

// put writes a file, and its compressed forms where they are of use.
func (o order) put(url string, data []byte) error {
	name := filepath.Join(o.out, filepath.FromSlash(url))
	if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
		return err
	}
	forms := map[string][]byte{"": data}
	if part.Packed(url) {
		var err error
		if forms[".br"], err = brotliOf(data, o.level); err != nil {
			return err
		}
		if forms[".gz"], err = gzipOf(data); err != nil {
			return err
		}
	}
	for ending, form := range forms {
		if err := os.WriteFile(name+ending, form, 0o644); err != nil {
			return err
		}
	}
	return nil
}

func brotliOf(data []byte, level int) ([]byte, error) {
	var packed bytes.Buffer
	w := brotli.NewWriterLevel(&packed, level)
	if _, err := w.Write(data); err != nil {
		return nil, err
	}
	err := w.Close()
	return packed.Bytes(), err
}

func gzipOf(data []byte) ([]byte, error) {
	var packed bytes.Buffer
	w := gzip.NewWriter(&packed)
	if _, err := w.Write(data); err != nil {
		return nil, err
	}
	err := w.Close()
	return packed.Bytes(), err
}
