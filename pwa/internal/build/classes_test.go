package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fairmeasure/pwa/internal/steps"
)

func TestDeclared(t *testing.T) {
	css := `/* .no */
@layer part {
  .row[title='.not .this'] > .to-keeper:not(.gone)::before { content: "."; width: 0.5rem; }
  @container (max-width: 1.5rem) { .row, a.rank { margin: 0.25em; background: url(x.png); } }
}`
	got, err := declared([]byte(css))
	if err != nil {
		t.Fatal(err)
	}
	_, names, _ := strings.Cut(string(got), "\n")
	want := "export const gone: string;\nexport const rank: string;\nexport const row: string;\nexport const toKeeper: string;\n"
	if names != want {
		t.Errorf("got\n%s\nwant\n%s", names, want)
	}
	for _, css := range []string{".do { }", ".to-keep { } .toKeep { }", ".a :global(.b) { }"} {
		if got, err := declared([]byte(css)); err == nil {
			t.Errorf("%s: expected a refusal, got\n%s", css, got)
		}
	}
}

func TestWriteClasses(t *testing.T) {
	dir := t.TempDir()
	write := func(name, text string) {
		t.Helper()
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	write("a.module.css", ".now { }")
	write("a.module.css.d.ts", "export const before: string;\n")
	write("gone.module.css.d.ts", "export const before: string;\n")
	write("base.css", ".word { }")
	if err := writeClasses(dir); err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(filepath.Join(dir, "a.module.css.d.ts"))
	if err != nil || !strings.HasSuffix(string(text), "\nexport const now: string;\n") {
		t.Errorf("got %q, %v", text, err)
	}
	for _, name := range []string{"gone.module.css.d.ts", "base.css.d.ts"} {
		if _, err := os.Stat(filepath.Join(dir, name)); !os.IsNotExist(err) {
			t.Errorf("%s: expected no such file, got %v", name, err)
		}
	}
}

// TestClassesAreWritten holds the declarations beside the style sheets to what the sheets declare now.
func TestClassesAreWritten(t *testing.T) {
	root, err := steps.Root()
	if err != nil {
		t.Fatal(err)
	}
	sheets := 0
	err = filepath.WalkDir(filepath.Join(root, "pwa", "src"), func(path string, d os.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(path, ".module.css") {
			return err
		}
		sheets++
		css, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		want, err := declared(css)
		if err != nil {
			return err
		}
		if got, err := os.ReadFile(path + ".d.ts"); err != nil || string(got) != string(want) {
			t.Errorf("%s.d.ts is out of date (%v): run go run ./pwa/internal/build -classes", path, err)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if sheets == 0 {
		t.Error("expected style sheets below pwa/src, found none")
	}
}
