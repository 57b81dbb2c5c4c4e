package main

import (
	"bytes"
	"compress/gzip"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/andybalholm/brotli"
	"github.com/stretchr/testify/require"
)

func TestNewEnough(t *testing.T) {
	for _, version := range []string{"v20.19.0", "v20.20.2", "v22.1.0"} {
		require.NoError(t, newEnough(version), version)
	}
	for _, version := range []string{"v20.18.3", "v18.20.0", "v8.0.0", "", "node"} {
		require.Error(t, newEnough(version), version)
	}
}

func TestListFiles(t *testing.T) {
	dist := builtApp(t)
	require.NoError(t, listFiles(dist))
	first := read(t, dist, "sw.js")
	head, worker, _ := strings.Cut(first, "\n")
	require.Regexp(t, `^const VERSION="[0-9a-f]{16}",FILES=\[\["/assets/core-1\.wasm","[0-9a-f]{16}"\],.*\];$`, head)
	require.Equal(t, "self.x=VERSION;", worker)
	require.NotContains(t, head, "sw.js")
	require.NotContains(t, head, "placeholder")
	require.NotContains(t, head, ".br")

	t.Run("the same files give the same worker", func(t *testing.T) {
		again := builtApp(t)
		require.NoError(t, listFiles(again))
		require.Equal(t, first, read(t, again, "sw.js"))
	})
	t.Run("one changed byte gives another version", func(t *testing.T) {
		other := builtApp(t)
		write(t, other, "index.html", "<p>changed</p>")
		require.NoError(t, listFiles(other))
		require.NotEqual(t, first[:32], read(t, other, "sw.js")[:32])
	})
	t.Run("a module is no service worker", func(t *testing.T) {
		module := builtApp(t)
		write(t, module, "sw.js", "self.x=1;export{};")
		require.ErrorContains(t, listFiles(module), `"export"`)
	})
}

func TestCompressAll(t *testing.T) {
	dist := t.TempDir()
	text := strings.Repeat("a line of the app\n", 200)
	write(t, dist, "assets/main.js", text)
	write(t, dist, "small.js", "short")
	write(t, dist, "icon.png", text)
	require.NoError(t, compressAll(dist))

	got, err := io.ReadAll(brotli.NewReader(strings.NewReader(read(t, dist, "assets/main.js.br"))))
	require.NoError(t, err)
	require.Equal(t, text, string(got))
	unzip, err := gzip.NewReader(strings.NewReader(read(t, dist, "assets/main.js.gz")))
	require.NoError(t, err)
	got, err = io.ReadAll(unzip)
	require.NoError(t, err)
	require.Equal(t, text, string(got))
	for _, none := range []string{"small.js.br", "small.js.gz", "icon.png.br", "icon.png.gz"} {
		require.NoFileExists(t, filepath.Join(dist, none))
	}
}

func TestMeasure(t *testing.T) {
	dist := builtApp(t)
	start, worker, core, err := measure(dist, 4)
	require.NoError(t, err)
	require.Equal(t, len(page)+len(script), start.raw, "the page and the script it names")
	require.Equal(t, len("later"), worker.raw-len("self.x=VERSION;"))
	require.Equal(t, 4000, core.raw)

	var out bytes.Buffer
	require.NoError(t, table(&out, 4, start, core))
	require.Contains(t, out.String(), "4000")

	t.Run("without a core there is no app", func(t *testing.T) {
		require.NoError(t, os.Remove(filepath.Join(dist, "assets", "core-1.wasm")))
		_, _, _, err := measure(dist, 4)
		require.ErrorContains(t, err, "no core")
	})
}

func TestOverBudget(t *testing.T) {
	require.NoError(t, overBudget(size{gzip: startGzipMost}, size{gzip: coreGzipMost, brotli: coreBrotliMost}))
	require.ErrorContains(t, overBudget(size{gzip: startGzipMost + 1}, size{}), "start")
	require.ErrorContains(t, overBudget(size{}, size{gzip: coreGzipMost + 1}), "core with gzip")
	require.ErrorContains(t, overBudget(size{}, size{brotli: coreBrotliMost + 1}), "brotli")
}

func TestStamp(t *testing.T) {
	root := t.TempDir()
	p := places{root: root, app: filepath.Join(root, "pwa")}
	for _, from := range coreSources {
		write(t, root, from, "x")
	}
	for _, from := range appSources {
		write(t, p.app, from, "x")
	}
	write(t, p.app, "dist/index.html", page)
	write(t, p.app, "node_modules/.package-lock.json", "{}")
	inputs, err := hashInputs(p)
	require.NoError(t, err)
	require.False(t, isBuilt(p, inputs), "never built")
	require.NoError(t, writeStamp(p, inputs))
	require.True(t, isBuilt(p, inputs))

	write(t, p.app, "dist/index.html", "damaged")
	require.False(t, isBuilt(p, inputs), "dist changed by another hand")
	write(t, p.app, "dist/index.html", page)
	require.True(t, isBuilt(p, inputs))

	for _, from := range append(append([]string{}, coreSources...), "pwa/index.html", "pwa/package-lock.json") {
		write(t, root, from, "y")
		changed, err := hashInputs(p)
		require.NoError(t, err)
		require.NotEqual(t, inputs, changed, from)
		write(t, root, from, "x")
	}
}

const (
	page   = `<link rel="icon" href="/icon.svg"><script type="module" src="/assets/main-1.js"></script>`
	script = "start"
)

func builtApp(t testing.TB) string {
	t.Helper()
	dist := t.TempDir()
	write(t, dist, "index.html", page)
	write(t, dist, "assets/main-1.js", script)
	write(t, dist, "assets/side-1.js", "later")
	write(t, dist, "assets/core-1.wasm", strings.Repeat("wasm", 1000))
	write(t, dist, "assets/core-1.wasm.br", "pressed")
	write(t, dist, "icon.svg", "<svg/>")
	write(t, dist, ".placeholder", "")
	write(t, dist, "sw.js", "self.x=VERSION;")
	return dist
}

func write(t testing.TB, dir, name, content string) {
	t.Helper()
	path := filepath.Join(dir, filepath.FromSlash(name))
	require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
	require.NoError(t, os.WriteFile(path, []byte(content), 0o644))
}

func read(t testing.TB, dir, name string) string {
	t.Helper()
	content, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(name)))
	require.NoError(t, err)
	return string(content)
}
