package main

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"hash"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
)

// What the core is compiled from, below the module's root.
var coreSources = []string{"go.mod", "go.sum", "cmd/corewasm", "journal", "sync"}

// What the app is bundled from, below pwa.
var appSources = []string{
	".npmrc", "index.html", "package.json", "package-lock.json", "vite.config.ts", "tsconfig.base.json", "public", "src", "internal/build",
}

// hashInputs is one hash of everything the build reads, and of the toolchain.
func hashInputs(p places) (string, error) {
	h := sha256.New()
	fmt.Fprintln(h, runtime.Version())
	for _, from := range coreSources {
		if err := hashTree(h, p.root, from); err != nil {
			return "", err
		}
	}
	for _, from := range appSources {
		if err := hashTree(h, p.app, from); err != nil {
			return "", err
		}
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}

// hashTree adds the names and contents of a file or of a folder's files. Tests are left out: they build nothing.
func hashTree(h hash.Hash, base, from string) error {
	return filepath.WalkDir(filepath.Join(base, filepath.FromSlash(from)), func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name, err := filepath.Rel(base, path)
		if err != nil {
			return err
		}
		switch {
		case d.IsDir() && d.Name() == "testdata":
			return filepath.SkipDir
		case d.IsDir(), strings.HasSuffix(name, "_test.go"), strings.Contains(name, ".test.ts"), d.Name() == "core.wasm", d.Name() == "wasm_exec.js":
			return nil
		}
		f, err := os.Open(path)
		if err != nil {
			return err
		}
		defer f.Close()
		info, err := f.Stat()
		if err != nil {
			return err
		}
		fmt.Fprintf(h, "%s %d\n", filepath.ToSlash(name), info.Size())
		_, err = io.Copy(h, f)
		return err
	})
}

// isBuilt: the same inputs were built last, and dist is as that build left it.
func isBuilt(p places, inputs string) bool {
	kept, err := os.ReadFile(p.stamp())
	if err != nil {
		return false
	}
	output, err := hashDist(p)
	return err == nil && string(kept) == inputs+" "+output
}

func writeStamp(p places, inputs string) error {
	output, err := hashDist(p)
	if err != nil {
		return err
	}
	return os.WriteFile(p.stamp(), []byte(inputs+" "+output), 0o644)
}

func hashDist(p places) (string, error) {
	h := sha256.New()
	err := hashTree(h, p.app, "dist")
	return hex.EncodeToString(h.Sum(nil)), err
}
