// Build makes what the phone downloads: npm packages, the core as WebAssembly, the app, the service worker's list of files,
// compressed copies. It needs Go, Node and npm, no shell. `go generate ./...` runs it; when nothing it reads has changed
// since the last time it does nothing.
//
//	go run ./pwa/internal/build            build into pwa/dist
//	go run ./pwa/internal/build -classes   write the names of the style sheets' classes, and nothing else
//	go run ./pwa/internal/build -sizes     print what a phone downloads and fail beyond the budget
package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"

	"fairmeasure/pwa/internal/steps"
)

const who = "build"

func main() {
	sizes := flag.Bool("sizes", false, "measure the built app against its budget instead of building")
	classes := flag.Bool("classes", false, "write the names of the style sheets' classes instead of building")
	again := flag.Bool("again", false, "build even if nothing has changed")
	flag.Parse()
	if err := run(*sizes, *classes, *again); err != nil {
		fmt.Fprintf(os.Stderr, "%s: %v\n", who, err)
		os.Exit(1)
	}
}

func run(sizes, classes, again bool) error {
	root, err := steps.Root()
	if err != nil {
		return err
	}
	p := places{root: root, app: filepath.Join(root, "pwa")}
	if sizes {
		return checkSizes(p.dist(), os.Stdout)
	}
	if classes {
		return writeClasses(p.src())
	}
	return build(p, again)
}

// places are the folders the build reads and writes.
type places struct{ root, app string }

func (p places) dist() string    { return filepath.Join(p.app, "dist") }
func (p places) src() string     { return filepath.Join(p.app, "src") }
func (p places) modules() string { return filepath.Join(p.app, "node_modules") }
func (p places) core() string    { return filepath.Join(p.app, "src", "core") }
func (p places) stamp() string   { return filepath.Join(p.modules(), ".built") }

func build(p places, again bool) error {
	node, npm, err := findTools()
	if err != nil {
		return err
	}
	if err := writeClasses(p.src()); err != nil {
		return err
	}
	inputs, err := hashInputs(p)
	if err != nil {
		return err
	}
	if !again && isBuilt(p, inputs) {
		steps.Say(who, "the app in pwa/dist is up to date")
		return nil
	}
	err = steps.Run(who, []steps.Step{
		{Name: "npm packages", Do: func() error { return installPackages(p, npm) }},
		{Name: "the core as WebAssembly", Do: func() error { return buildCore(p) }},
		{Name: "the app", Do: func() error { return bundle(p, node) }},
		{Name: "the service worker's list of files", Do: func() error { return listFiles(p.dist()) }},
		{Name: "compressed copies", Do: func() error { return compressAll(p.dist()) }},
	})
	if err != nil {
		return err
	}
	if err := writeStamp(p, inputs); err != nil {
		return err
	}
	return printSizes(p.dist(), os.Stderr)
}
