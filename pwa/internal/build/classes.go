package main

import (
	"bytes"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
)

// writeClasses puts the names of each style module's classes into a declaration beside it, so that a name the module does
// not have is a fault of the compiler.
func writeClasses(src string) error {
	return filepath.WalkDir(src, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		if sheet, ok := strings.CutSuffix(path, ".module.css.d.ts"); ok {
			if _, err := os.Stat(sheet + ".module.css"); os.IsNotExist(err) {
				return os.Remove(path)
			}
			return nil
		}
		if !strings.HasSuffix(path, ".module.css") {
			return nil
		}
		css, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		text, err := declared(css)
		if err != nil {
			return fmt.Errorf("%s: %w", path, err)
		}
		if was, err := os.ReadFile(path + ".d.ts"); err == nil && bytes.Equal(was, text) {
			return nil
		}
		return os.WriteFile(path+".d.ts", text, 0o644)
	})
}

var (
	passedOver = regexp.MustCompile(`(?s)/\*.*?\*/|"(?:[^"\\]|\\.)*"|'(?:[^'\\]|\\.)*'`)
	prelude    = regexp.MustCompile(`([^{};]*)\{`)
	class      = regexp.MustCompile(`\.([A-Za-z_][A-Za-z0-9_-]*)`)
	afterDash  = regexp.MustCompile(`-+([A-Za-z0-9_])`)
)

// declared is the declaration of a style sheet's classes, each by the name the program says: after a hyphen the next letter
// is large.
func declared(css []byte) ([]byte, error) {
	plain := passedOver.ReplaceAll(css, nil)
	of := map[string]string{}
	for _, rule := range prelude.FindAllSubmatch(plain, -1) {
		selector := bytes.TrimSpace(rule[1])
		if bytes.HasPrefix(selector, []byte("@")) {
			continue
		}
		if bytes.Contains(selector, []byte(":global")) {
			return nil, fmt.Errorf("expected classes of its own, got %q", selector)
		}
		for _, found := range class.FindAllSubmatch(selector, -1) {
			name := string(found[1])
			key := afterDash.ReplaceAllStringFunc(name, func(s string) string {
				return strings.ToUpper(strings.TrimLeft(s, "-"))
			})
			if reserved[key] {
				return nil, fmt.Errorf("expected a name a constant can have, got %q", name)
			}
			if was, ok := of[key]; ok && was != name {
				return nil, fmt.Errorf("expected one class for the name %s, got %q and %q", key, was, name)
			}
			of[key] = name
		}
	}
	keys := make([]string, 0, len(of))
	for key := range of {
		keys = append(keys, key)
	}
	slices.Sort(keys)
	var b bytes.Buffer
	b.WriteString("// Written by pwa/internal/build from the style sheet of this name.\n")
	for _, key := range keys {
		fmt.Fprintf(&b, "export const %s: string;\n", key)
	}
	return b.Bytes(), nil
}

// reserved are the words of the language: no constant can be called so, and the bundler would leave the class out.
var reserved = func() map[string]bool {
	set := map[string]bool{}
	for _, word := range strings.Fields(`arguments await break case catch class const continue debugger default delete do
		else enum eval export extends false finally for function if implements import in instanceof interface let new null
		package private protected public return static super switch this throw true try typeof var void while with yield`) {
		set[word] = true
	}
	return set
}()
