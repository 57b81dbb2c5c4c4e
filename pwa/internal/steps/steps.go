// Package steps runs a list of named jobs one after the other with a line of progress each, on standard error. The build and
// the check are such lists.
package steps

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"
)

// Step is one job and what it is called.
type Step struct {
	Name string
	Do   func() error
}

// Run does the steps in order and stops at the first that fails.
func Run(who string, all []Step) error {
	begun := time.Now()
	for i, step := range all {
		Say(who, "%d of %d: %s", i+1, len(all), step.Name)
		if err := step.Do(); err != nil {
			return fmt.Errorf("%s: %w", step.Name, err)
		}
	}
	Say(who, "done in %.1f s", time.Since(begun).Seconds())
	return nil
}

// Say writes one line for the person waiting.
func Say(who, format string, args ...any) {
	fmt.Fprintf(os.Stderr, who+": "+format+"\n", args...)
}

// Exec runs a program in a folder, without a shell. env is added to the environment; the last of a name wins.
func Exec(dir string, env []string, name string, args ...string) error {
	cmd := exec.Command(name, args...)
	cmd.Dir, cmd.Env = dir, append(os.Environ(), env...)
	cmd.Stdout, cmd.Stderr = os.Stderr, os.Stderr
	if err := cmd.Run(); err != nil {
		return fmt.Errorf("%s %s: %w", filepath.Base(name), strings.Join(args, " "), err)
	}
	return nil
}

// GoRoot is where the toolchain that `go` runs keeps its library.
func GoRoot() (string, error) {
	out, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return "", fmt.Errorf("asking go for GOROOT: %w", err)
	}
	return strings.TrimSpace(string(out)), nil
}

// Root is the nearest folder upwards with our go.mod: `go generate` starts in pwa, a person at the root.
func Root() (string, error) {
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
