package main

import (
	"bytes"
	"compress/gzip"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"sync"

	"github.com/andybalholm/brotli"
)

// Brotli 9 takes a second for everything; 11 saves 12 % more for many times that, and the core is downloaded once.
const (
	brotliQuality = 9
	smallest      = 1 << 10
)

// pressed are the kinds of files that shrink; pictures are small already.
var pressed = []string{".js", ".css", ".html", ".svg", ".json", ".webmanifest", ".wasm"}

// compressAll writes .br and .gz beside each file worth it. The server sends them as they are.
func compressAll(dist string) error {
	names, err := builtFiles(dist)
	if err != nil {
		return err
	}
	var all sync.WaitGroup
	faults := make([]error, len(names))
	for i, name := range names {
		if !slices.Contains(pressed, filepath.Ext(name)) {
			continue
		}
		all.Go(func() { faults[i] = compressOne(filepath.Join(dist, filepath.FromSlash(name))) })
	}
	all.Wait()
	return errors.Join(faults...)
}

func compressOne(path string) error {
	content, err := os.ReadFile(path)
	if err != nil || len(content) < smallest {
		return err
	}
	if err := os.WriteFile(path+".br", brotlied(content, brotliQuality), 0o644); err != nil {
		return err
	}
	return os.WriteFile(path+".gz", gzipped(content), 0o644)
}

func brotlied(content []byte, quality int) []byte {
	var out bytes.Buffer
	w := brotli.NewWriterLevel(&out, quality)
	_, err := w.Write(content)
	return closed(&out, err, w.Close())
}

func gzipped(content []byte) []byte {
	var out bytes.Buffer
	w, err := gzip.NewWriterLevel(&out, gzip.BestCompression)
	if err != nil {
		panic(err) // the level is a constant of the same package
	}
	_, err = w.Write(content)
	return closed(&out, err, w.Close())
}

// closed hands out what was written to memory, which cannot fail.
func closed(out *bytes.Buffer, errs ...error) []byte {
	if err := errors.Join(errs...); err != nil {
		panic(err)
	}
	return out.Bytes()
}
