// Command check passes all tests of the project: Go natively, the shared rooms again as WebAssembly, the TypeScript
// units, and the browser stories against the built binary. It installs what it needs (npm packages, a browser) and
// fails, never skips, when something cannot be had. It is run from the project's root, after go generate.
package main

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

type step struct {
	name string
	run  func() error
}

func main() {
	only := flag.String("only", "", "run one step: browser, go, wasm, types, units, build or stories")
	flag.Parse()
	if _, err := os.Stat("go.mod"); err != nil {
		fmt.Fprintln(os.Stderr, "check: run it from the project's root, where go.mod is")
		os.Exit(2)
	}
	c := &check{binary: filepath.Join(os.TempDir(), fmt.Sprintf("fairmeasure-check-%d", os.Getpid()))}
	defer os.Remove(c.binary)
	steps := []step{
		{"browser", c.findBrowser},
		{"go", c.goTests},
		{"wasm", c.wasmTests},
		{"types", c.types},
		{"units", c.units},
		{"build", c.build},
		{"stories", c.stories},
	}
	if *only != "" && !slices.ContainsFunc(steps, func(s step) bool { return s.name == *only }) {
		fmt.Fprintf(os.Stderr, "check: no step is called %q\n", *only)
		os.Exit(2)
	}
	var failed []string
	passed, began := 0, time.Now()
	for _, s := range steps {
		// The stories need the browser's path and the binary, whichever step was asked for.
		needed := *only == "" || *only == s.name || *only == "stories" && (s.name == "browser" || s.name == "build")
		if !needed {
			continue
		}
		fmt.Printf("\n== %s\n", s.name)
		start := time.Now()
		if err := s.run(); err != nil {
			fmt.Printf("== %s failed after %.0f s: %v\n", s.name, time.Since(start).Seconds(), err)
			failed = append(failed, s.name)
			continue
		}
		passed++
		fmt.Printf("== %s passed in %.0f s\n", s.name, time.Since(start).Seconds())
	}
	fmt.Printf("\nsteps: %d passed, %d failed", passed, len(failed))
	if len(failed) > 0 {
		fmt.Printf(" (%s)", strings.Join(failed, ", "))
	}
	fmt.Printf(", %.0f s\n", time.Since(began).Seconds())
	if len(failed) > 0 {
		os.Remove(c.binary)
		os.Exit(1)
	}
}

type check struct {
	browser string
	binary  string
}

// command runs a program with its output shown; env adds to the environment, the last of a name winning.
func command(dir string, env []string, name string, args ...string) error {
	cmd := exec.Command(name, args...)
	cmd.Dir, cmd.Stdout, cmd.Stderr = dir, os.Stdout, os.Stderr
	cmd.Env = append(os.Environ(), env...)
	return cmd.Run()
}

// findBrowser takes an installed Chrome or Chromium; else, as root on Debian, installs Debian's package.
func (c *check) findBrowser() error {
	if path := os.Getenv("FAIRMEASURE_BROWSER"); path != "" {
		c.browser = path
	}
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome", "google-chrome-stable"} {
		if path, err := exec.LookPath(name); err == nil && c.browser == "" {
			c.browser = path
		}
	}
	if c.browser == "" {
		apt, err := exec.LookPath("apt-get")
		if err != nil || os.Geteuid() != 0 {
			return errors.New("no Chrome or Chromium found: install one, or name it in FAIRMEASURE_BROWSER")
		}
		fmt.Println("no browser found; installing Debian's chromium")
		env := []string{"DEBIAN_FRONTEND=noninteractive"}
		if err := command("", env, apt, "update", "-qq"); err != nil {
			return fmt.Errorf("apt-get update: %w", err)
		}
		if err := command("", env, apt, "install", "-y", "-qq", "--no-install-recommends", "chromium", "fonts-noto-core", "fonts-roboto"); err != nil {
			return fmt.Errorf("installing chromium: %w", err)
		}
		if c.browser, err = exec.LookPath("chromium"); err != nil {
			return errors.New("chromium was installed and still is not found")
		}
	}
	out, err := exec.Command(c.browser, "--version").Output()
	if err != nil {
		return fmt.Errorf("%s --version: %w", c.browser, err)
	}
	fmt.Printf("%s (%s)\n", bytes.TrimSpace(out), c.browser)
	return nil
}

func (c *check) goTests() error {
	return command("", nil, "go", "test", "-count=1", "-timeout=9m", "./...")
}

// wasmRooms are the rooms the browser's core is made of.
var wasmRooms = []string{"./journal/...", "./sync/replica", "./sync/wire", "./sync/schema", "./sync/device"}

func (c *check) wasmTests() error {
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return fmt.Errorf("go env GOROOT: %w", err)
	}
	runner := filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "go_js_wasm_exec")
	args := append([]string{"test", "-count=1", "-timeout=9m", "-exec", runner}, wasmRooms...)
	return command("", []string{"GOOS=js", "GOARCH=wasm"}, "go", args...)
}

func (c *check) types() error { return command("pwa", nil, "npx", "--no-install", "tsc", "-b") }

func (c *check) units() error { return command("pwa", nil, "npx", "--no-install", "vitest", "run") }

func (c *check) build() error {
	return command("", nil, "go", "build", "-trimpath", "-o", c.binary, "./cmd/fairmeasure")
}

func (c *check) stories() error {
	env := []string{"FAIRMEASURE_BROWSER=" + c.browser, "FAIRMEASURE_BINARY=" + c.binary}
	return command("pwa", env, "npx", "--no-install", "playwright", "test")
}
