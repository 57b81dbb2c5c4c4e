// Check passes every test there is: Go, the shared Go as WebAssembly, the types and the units of the TypeScript, and the
// stories in a real browser against the built binary. Run `go generate ./...` first.
//
//	go run ./pwa/internal/check                 everything
//	go run ./pwa/internal/check -only stories   one step of it
package main

import (
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"

	"fairmeasure/pwa/internal/steps"
)

const who = "check"

func main() {
	only := flag.String("only", "", "the one step to run: go, wasm, types, units or stories")
	flag.Parse()
	if err := run(*only); err != nil {
		fmt.Fprintf(os.Stderr, "%s: %v\n", who, err)
		os.Exit(1)
	}
}

func run(only string) error {
	root, err := steps.Root()
	if err != nil {
		return err
	}
	app := filepath.Join(root, "pwa")
	all := []steps.Step{
		{Name: "go", Do: func() error { return steps.Exec(root, nil, "go", "test", "./...") }},
		{Name: "wasm", Do: func() error { return inWASM(root) }},
		{Name: "types", Do: func() error { return installed(app, "node_modules/typescript/bin/tsc", "-b") }},
		{Name: "units", Do: func() error { return installed(app, "node_modules/vitest/vitest.mjs", "run") }},
		{Name: "stories", Do: func() error { return stories(root, app) }},
	}
	if only != "" {
		i := slices.IndexFunc(all, func(s steps.Step) bool { return s.Name == only })
		if i < 0 {
			return fmt.Errorf("there is no step %q: go, wasm, types, units or stories", only)
		}
		all = all[i : i+1]
	}
	return steps.Run(who, all)
}

// shared is the Go that runs on both sides; its tests run under Node too, so that the phone and the server agree.
var shared = []string{"./journal/...", "./sync/replica", "./sync/schema", "./sync/wire", "./sync/device"}

func inWASM(root string) error {
	goroot, err := steps.GoRoot()
	if err != nil {
		return err
	}
	runner := filepath.Join(goroot, "lib", "wasm", "go_js_wasm_exec")
	return steps.Exec(root, []string{"GOOS=js", "GOARCH=wasm"}, "go", append([]string{"test", "-exec", runner}, shared...)...)
}

// installed runs a tool that `go generate` installed with the app's packages.
func installed(app, script string, args ...string) error {
	path := filepath.Join(app, filepath.FromSlash(script))
	if _, err := os.Stat(path); errors.Is(err, os.ErrNotExist) {
		return errors.New("the app's packages are not there: run go generate ./... first")
	}
	return steps.Exec(app, nil, "node", append([]string{path}, args...)...)
}

// stories builds the binary and plays the browser stories against it.
func stories(root, app string) error {
	if _, err := os.Stat(filepath.Join(app, "dist", "index.html")); err != nil {
		return errors.New("the app is not built: run go generate ./... first")
	}
	browser, err := findBrowser()
	if err != nil {
		return err
	}
	if err := findPDFReader(); err != nil {
		return err
	}
	dir, err := os.MkdirTemp("", "fairmeasure-check-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	binary := filepath.Join(dir, "fairmeasure")
	if err := steps.Exec(root, nil, "go", "build", "-o", binary, "./cmd/fairmeasure"); err != nil {
		return err
	}
	if err := os.Setenv("FAIRMEASURE_BINARY", binary); err != nil {
		return err
	}
	if err := os.Setenv("FAIRMEASURE_BROWSER", browser); err != nil {
		return err
	}
	return installed(app, "node_modules/@playwright/test/cli.js", "test")
}

// browsers are where a Chrome or Chromium usually is.
var browsers = []string{"/usr/bin/chromium", "/usr/bin/google-chrome", "/usr/bin/chromium-browser", "/opt/google/chrome/chrome"}

// findBrowser takes the one named in FAIRMEASURE_BROWSER, else one that is there, else Debian's package when root.
func findBrowser() (string, error) {
	if own := os.Getenv("FAIRMEASURE_BROWSER"); own != "" {
		if !there(own) {
			return "", fmt.Errorf("FAIRMEASURE_BROWSER names %s, which is not there", own)
		}
		return own, nil
	}
	if i := slices.IndexFunc(browsers, there); i >= 0 {
		return browsers[i], nil
	}
	if canInstall() {
		steps.Say(who, "no browser found: installing Debian's chromium")
		if err := install("chromium"); err != nil {
			return "", err
		}
		if there(browsers[0]) {
			return browsers[0], nil
		}
	}
	return "", fmt.Errorf("no browser at %s: install Chromium, or name one in FAIRMEASURE_BROWSER", strings.Join(browsers, ", "))
}

// pdfReader reads what the stories print; it is poppler's, so that paper is judged by a program that did not make it.
var pdfReader = []string{"pdftotext", "pdfinfo"}

// findPDFReader installs Debian's package when it is missing and root asks.
func findPDFReader() error {
	missing := func(name string) bool {
		_, err := exec.LookPath(name)
		return err != nil
	}
	if slices.ContainsFunc(pdfReader, missing) && canInstall() {
		steps.Say(who, "no reader of PDF found: installing Debian's poppler-utils")
		if err := install("poppler-utils"); err != nil {
			return err
		}
	}
	if slices.ContainsFunc(pdfReader, missing) {
		return fmt.Errorf("no %s: install poppler-utils", strings.Join(pdfReader, " or no "))
	}
	return nil
}

func canInstall() bool { return os.Geteuid() == 0 && there("/usr/bin/apt-get") }

// install adds a package of Debian's.
func install(name string) error {
	env := []string{"DEBIAN_FRONTEND=noninteractive"}
	if err := steps.Exec("", env, "/usr/bin/apt-get", "update", "-q"); err != nil {
		return fmt.Errorf("installing %s: %w", name, err)
	}
	if err := steps.Exec("", env, "/usr/bin/apt-get", "install", "-y", "-q", "--no-install-recommends", name); err != nil {
		return fmt.Errorf("installing %s: %w", name, err)
	}
	return nil
}

func there(path string) bool {
	info, err := os.Stat(path)
	return err == nil && !info.IsDir()
}
