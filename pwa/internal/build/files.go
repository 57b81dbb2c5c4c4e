package main

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
)

// module finds the words that would make the service worker a module, which a classic worker cannot be.
var module = regexp.MustCompile(`\b(import|export)\b`)

// listFiles puts the version and the list of everything to keep offline in front of dist/sw.js. The list is sorted and the
// version is its hash with the worker's own text, so the same files give the same worker.
func listFiles(dist string) error {
	path := filepath.Join(dist, "sw.js")
	worker, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	if word := module.Find(worker); word != nil {
		return fmt.Errorf("dist/sw.js has %q: the service worker must be one plain script", word)
	}
	names, err := builtFiles(dist)
	if err != nil {
		return err
	}
	list := [][2]string{}
	for _, name := range names {
		if !keptOffline(name) {
			continue
		}
		content, err := os.ReadFile(filepath.Join(dist, filepath.FromSlash(name)))
		if err != nil {
			return err
		}
		list = append(list, [2]string{"/" + name, shortHash(content)})
	}
	if len(list) == 0 {
		return errors.New("dist holds no files for the service worker to keep")
	}
	files, err := json.Marshal(list)
	if err != nil {
		return err
	}
	version := shortHash(append(append([]byte{}, files...), worker...))
	text := fmt.Sprintf("const VERSION=%q,FILES=%s;\n%s", version, files, worker)
	return os.WriteFile(path, []byte(text), 0o644)
}

func keptOffline(name string) bool {
	return name != "sw.js" && name != ".placeholder" && !strings.HasSuffix(name, ".br") && !strings.HasSuffix(name, ".gz")
}

// builtFiles are the names below dist with slashes, sorted (WalkDir reads a folder in order; a full path sorts the same way).
func builtFiles(dist string) ([]string, error) {
	var names []string
	err := filepath.WalkDir(dist, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		name, err := filepath.Rel(dist, path)
		names = append(names, filepath.ToSlash(name))
		return err
	})
	return names, err
}

func shortHash(content []byte) string {
	sum := sha256.Sum256(content)
	return hex.EncodeToString(sum[:8])
}
