package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// stairs says, for each room, which rooms of ours it may import. A room not listed may not exist. Test files may besides
// import testdata and the rooms in forTests. The table changes in the same commit as the design, or not at all.
var stairs = map[string][]string{
	"journal/unit":     {},
	"journal":          {"journal/unit"},
	"journal/line":     {"journal", "journal/unit"},
	"journal/stock":    {"journal", "journal/unit"},
	"journal/ethanol":  {"journal", "journal/unit"},
	"journal/bottles":  {"journal", "journal/unit"},
	"journal/solution": {"journal"},
	"journal/dilution": {"journal", "journal/unit", "journal/line", "journal/ethanol", "journal/bottles"},
	"journal/compare":  {},
	"journal/count":    {"journal", "journal/unit", "journal/line", "journal/ethanol", "journal/bottles"},
	"journal/balance":  {"journal", "journal/unit", "journal/line", "journal/stock", "journal/ethanol", "journal/bottles", "journal/dilution", "journal/count"},
	"journal/caution":  {},
	"journal/batch":    {"journal", "journal/unit", "journal/ethanol", "journal/dilution", "journal/balance"},

	"sync/replica": {},
	"sync/wire":    {"sync/replica"},
	"sync/store":   {"sync/replica"},
	"sync/schema": {"sync/replica", "journal", "journal/unit", "journal/line", "journal/stock", "journal/ethanol", "journal/bottles",
		"journal/dilution", "journal/solution", "journal/count", "journal/balance", "journal/batch", "journal/caution", "journal/compare"},
	"sync/device":            {"sync/replica", "sync/schema", "sync/wire"},
	"sync/exchange":          {"sync/replica", "sync/schema", "sync/wire", "sync/store"},
	"sync/store/memstore":    {"sync/store", "sync/replica"},
	"sync/store/badgerstore": {"sync/store", "sync/replica"},
	"sync/store/storetest":   {"sync/store", "sync/replica"},
	"sync/simnet":            {"sync/replica", "sync/wire", "sync/device", "sync/exchange", "sync/store", "sync/store/memstore"},

	"pwa":                {},
	"pwa/internal/build": {"pwa/internal/steps"},
	"pwa/internal/check": {"pwa/internal/steps"},
	"pwa/internal/steps": {},
	"testdata":           {},

	"server/auth": {"sync/store"},
	"server":      {"pwa", "server/auth", "sync/exchange", "sync/replica", "sync/schema", "sync/store", "sync/wire"},

	"cmd/corewasm":    {"journal", "sync/replica", "sync/schema", "sync/wire", "sync/device"},
	"cmd/fairmeasure": {"*"},
}

// forTests are the rooms any test may use.
var forTests = []string{"testdata", "sync/store/memstore", "sync/store/storetest", "sync/store/badgerstore"}

// inTests are the rooms that the tests of a room may use besides.
var inTests = map[string][]string{
	"sync/simnet": {"sync/schema"},
	"sync/schema": {"sync/simnet"},
}

// outside says which room alone may import a library.
var outside = map[string][]string{
	"github.com/dgraph-io/badger": {"sync/store/badgerstore"},
	"github.com/gofiber/fiber":    {"server"},
	"github.com/golang-jwt/jwt":   {"server/auth"},
	"encoding/json":               {"sync", "server", "cmd", "pwa"},
	"net/http":                    {"server", "cmd/fairmeasure", "pwa"},
	"log":                         {"server", "cmd", "pwa", "sync/store/badgerstore"},
	"time":                        {"sync/store", "sync/simnet", "sync/exchange", "server", "cmd", "pwa"},
}

func TestStairsGoDownOnly(t *testing.T) {
	root, err := filepath.Abs("../..")
	require.NoError(t, err)
	seen := map[string]bool{}
	err = filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, _ := filepath.Rel(root, path)
		if d.IsDir() {
			if d.Name() == "node_modules" || d.Name() == "dist" || strings.HasPrefix(d.Name(), ".") && rel != "." {
				return filepath.SkipDir
			}
			return nil
		}
		if filepath.Ext(path) != ".go" {
			return nil
		}
		room := filepath.ToSlash(filepath.Dir(rel))
		seen[room] = true
		allowed, listed := stairs[room]
		if !listed {
			t.Errorf("%s: %q is no room of this house", rel, room)
			return nil
		}
		isTest := strings.HasSuffix(path, "_test.go")
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ImportsOnly)
		require.NoError(t, err)
		for _, imp := range file.Imports {
			name, err := strconv.Unquote(imp.Path.Value)
			require.NoError(t, err)
			ours, isOurs := strings.CutPrefix(name, "fairmeasure/")
			switch {
			case isOurs && (ours == room || slices.Contains(allowed, "*") || slices.Contains(allowed, ours)):
			case isOurs && isTest && (slices.Contains(forTests, ours) || slices.Contains(inTests[room], ours)):
			case isOurs:
				t.Errorf("%s: %s may not import %s", rel, room, ours)
			case !isTest:
				for lib, rooms := range outside {
					if name != lib && !strings.HasPrefix(name, lib+"/") {
						continue
					}
					if !slices.ContainsFunc(rooms, func(r string) bool { return room == r || strings.HasPrefix(room, r+"/") }) {
						t.Errorf("%s: %s may not import %s", rel, room, name)
					}
				}
			}
		}
		return nil
	})
	require.NoError(t, err)
	for room := range stairs {
		if !seen[room] {
			t.Errorf("the room %q is listed but empty", room)
		}
	}
	require.Greater(t, len(seen), 10)
}

// TestTopLevel holds the list of what may stand at the top of the project.
func TestTopLevel(t *testing.T) {
	entries, err := os.ReadDir("../..")
	require.NoError(t, err)
	allowed := []string{"cmd", "server", "sync", "journal", "pwa", "testdata", "go.mod", "go.sum", "README.md", "DEVELOPERS.md", "Dockerfile"}
	for _, e := range entries {
		if !strings.HasPrefix(e.Name(), ".") && e.Name() != "fairmeasure" {
			require.Contains(t, allowed, e.Name())
		}
	}
	goFiles, err := filepath.Glob("../../sync/*.go")
	require.NoError(t, err)
	require.Empty(t, goFiles, "no .go file stands directly in sync/")
}
