// Build makes what the phone downloads: npm packages, the core as WebAssembly, the app, the service worker's list of files,
// compressed copies. It needs Go, Node and npm, no shell. `go generate ./...` runs it; when nothing it reads has changed
// since the last time it does nothing.
//
//	go run ./pwa/internal/build            build into pwa/dist
//	go run ./pwa/internal/build -sizes     print what a phone downloads and fail beyond the budget
package main

import (
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"time"
)

func main() {
	sizes := flag.Bool("sizes", false, "measure the built app against its budget instead of building")
	again := flag.Bool("again", false, "build even if nothing has changed")
	flag.Parse()
	if err := run(*sizes, *again); err != nil {
		fmt.Fprintf(os.Stderr, "build: %v\n", err)
		os.Exit(1)
	}
}

func run(sizes, again bool) error {
	root, err := moduleRoot()
	if err != nil {
		return err
	}
	p := places{root: root, app: filepath.Join(root, "pwa")}
	if sizes {
		return checkSizes(p.dist(), os.Stdout)
	}
	return build(p, again)
}

// places are the folders the build reads and writes.
type places struct{ root, app string }

func (p places) dist() string    { return filepath.Join(p.app, "dist") }
func (p places) modules() string { return filepath.Join(p.app, "node_modules") }
func (p places) core() string    { return filepath.Join(p.app, "src", "core") }
func (p places) stamp() string   { return filepath.Join(p.modules(), ".built") }

func build(p places, again bool) error {
	begun := time.Now()
	node, npm, err := findTools()
	if err != nil {
		return err
	}
	inputs, err := hashInputs(p)
	if err != nil {
		return err
	}
	if !again && isBuilt(p, inputs) {
		say("the app in pwa/dist is up to date")
		return nil
	}
	steps := []struct {
		doing string
		do    func() error
	}{
		{"npm packages", func() error { return installPackages(p, npm) }},
		{"the core as WebAssembly", func() error { return buildCore(p) }},
		{"the app", func() error { return bundle(p, node) }},
		{"the service worker's list of files", func() error { return listFiles(p.dist()) }},
		{"compressed copies", func() error { return compressAll(p.dist()) }},
	}
	for i, step := range steps {
		say("%d of %d: %s", i+1, len(steps), step.doing)
		if err := step.do(); err != nil {
			return fmt.Errorf("%s: %w", step.doing, err)
		}
	}
	if err := writeStamp(p, inputs); err != nil {
		return err
	}
	say("done in %.1f s", time.Since(begun).Seconds())
	return printSizes(p.dist(), os.Stderr)
}

func say(format string, args ...any) {
	fmt.Fprintf(os.Stderr, "build: "+format+"\n", args...)
}

// moduleRoot is the nearest folder upwards with our go.mod: the build is started in pwa by `go generate`, at the root by hand.
func moduleRoot() (string, error) {
	dir, err := os.Getwd()
	if err != nil {
		return "", err
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir, nil
		} else if !errors.Is(err, os.ErrNotExist) {
			return "", err
		}
		up := filepath.Dir(dir)
		if up == dir {
			return "", errors.New("no go.mod here or above: start it inside the project")
		}
		dir = up
	}
}
