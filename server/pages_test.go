package server_test

import (
	"net/http"
	"net/http/httptest"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"fairmeasure/server"
)

func TestPages(t *testing.T) {
	h := newHouse(t)
	const page, script = "text/html,application/xhtml+xml;q=0.9,*/*;q=0.8", "*/*"
	for name, row := range map[string]struct {
		method, path, accept, encoding string
		status                         int
		kind, cache, coded, body       string
	}{
		"root":                        {"GET", "/", page, "", 200, "text/html; charset=utf-8", "no-cache", "", "<!doctype html><title>app</title>"},
		"root for anyone":             {"GET", "/", script, "", 200, "text/html; charset=utf-8", "no-cache", "", "<!doctype html><title>app</title>"},
		"root, brotli":                {"GET", "/", page, "gzip, deflate, br", 200, "text/html; charset=utf-8", "no-cache", "br", "brotli page"},
		"root, gzip":                  {"GET", "/", page, "gzip, deflate", 200, "text/html; charset=utf-8", "no-cache", "gzip", "gzip page"},
		"root, brotli refused":        {"GET", "/", page, "br;q=0, gzip;q=0.1", 200, "text/html; charset=utf-8", "no-cache", "gzip", "gzip page"},
		"root, all refused":           {"GET", "/", page, "br;q=0, *;q=0", 200, "text/html; charset=utf-8", "no-cache", "", "<!doctype html><title>app</title>"},
		"root, anything":              {"GET", "/", page, "*", 200, "text/html; charset=utf-8", "no-cache", "br", "brotli page"},
		"index":                       {"GET", "/index.html", script, "", 200, "text/html; charset=utf-8", "no-cache", "", "<!doctype html><title>app</title>"},
		"client route":                {"GET", "/specs/01K2", page, "", 200, "text/html; charset=utf-8", "no-cache", "", "<!doctype html><title>app</title>"},
		"client route with a hash":    {"GET", "/pair", page, "", 200, "text/html; charset=utf-8", "no-cache", "", "<!doctype html><title>app</title>"},
		"client route for a script":   {"GET", "/specs/01K2", script, "", 404, "application/problem+json", "no-store", "", ""},
		"client route, nothing said":  {"GET", "/specs/01K2", "", "", 404, "application/problem+json", "no-store", "", ""},
		"asset":                       {"GET", "/assets/main-abc.js", script, "", 200, "text/javascript; charset=utf-8", "public, max-age=31536000, immutable", "", "plain script"},
		"asset, only gzip is there":   {"GET", "/assets/main-abc.js", script, "br, gzip", 200, "text/javascript; charset=utf-8", "public, max-age=31536000, immutable", "gzip", "gzip script"},
		"core":                        {"GET", "/assets/core-def.wasm", script, "br, gzip", 200, "application/wasm", "public, max-age=31536000, immutable", "", "\x00asm"},
		"missing asset":               {"GET", "/assets/main-old.js", page, "", 404, "application/problem+json", "no-store", "", ""},
		"missing asset, no extension": {"GET", "/assets/main", page, "", 404, "application/problem+json", "no-store", "", ""},
		"missing file":                {"GET", "/robots.txt", page, "", 404, "application/problem+json", "no-store", "", ""},
		"worker":                      {"GET", "/sw.js", script, "", 200, "text/javascript; charset=utf-8", "no-cache", "", "const VERSION=1"},
		"manifest":                    {"GET", "/manifest.webmanifest", script, "", 200, "application/manifest+json", "no-cache", "", "{}"},
		"icon":                        {"GET", "/icon.svg", "image/*", "", 200, "image/svg+xml", "no-cache", "", "<svg/>"},
		"the dot file":                {"GET", "/.placeholder", page, "", 404, "application/problem+json", "no-store", "", ""},
		"a packed twin by its name":   {"GET", "/index.html.br", page, "", 404, "application/problem+json", "no-store", "", ""},
		"out of the tree":             {"GET", "/assets/../../go.mod", page, "", 404, "application/problem+json", "no-store", "", ""},
		"out of the tree, coded":      {"GET", "/assets/%2e%2e/%2e%2e/go.mod", page, "", 404, "application/problem+json", "no-store", "", ""},
		"unknown API":                 {"GET", "/api/v1/nothing", page, "", 404, "application/problem+json", "no-store", "", ""},
		"head":                        {"HEAD", "/", page, "br", 200, "text/html; charset=utf-8", "no-cache", "br", ""},
		"post":                        {"POST", "/", page, "", 405, "application/problem+json", "no-store", "", ""},
	} {
		t.Run(name, func(t *testing.T) {
			req := httptest.NewRequest(row.method, row.path, http.NoBody)
			if row.method == "POST" {
				req = post(t, row.path, "{}")
			}
			req.Header.Set("Accept", row.accept)
			req.Header.Set("Accept-Encoding", row.encoding)
			a := h.do(req)
			require.Equal(t, row.status, a.Status)
			require.Equal(t, row.kind, a.Header.Get("Content-Type"))
			require.Equal(t, row.cache, a.Header.Get("Cache-Control"))
			require.Equal(t, row.coded, a.Header.Get("Content-Encoding"))
			if row.status == 200 {
				require.Equal(t, row.body, a.Body)
				require.Equal(t, "Accept-Encoding", a.Header.Get("Vary"))
				require.NotEmpty(t, a.Header.Get("ETag"))
			} else {
				require.Empty(t, a.Header.Get("ETag"))
				require.NotContains(t, a.Body, "<!doctype html>")
			}
			require.Equal(t, row.path == "/sw.js", a.Header.Get("Service-Worker-Allowed") == "/")
		})
	}
}

func TestTagsTellCodingsApart(t *testing.T) {
	h := newHouse(t)
	get := func(encoding, tag string) answer {
		req := httptest.NewRequest("GET", "/", http.NoBody)
		req.Header.Set("Accept-Encoding", encoding)
		if tag != "" {
			req.Header.Set("If-None-Match", tag)
		}
		return h.do(req)
	}
	plain, packed := get("", "").Header.Get("ETag"), get("br", "").Header.Get("ETag")
	require.NotEqual(t, plain, packed)
	for _, tag := range []string{packed, "W/" + packed, `"x", ` + packed, "*"} {
		a := get("br", tag)
		require.Equal(t, 304, a.Status, tag)
		require.Empty(t, a.Body)
		require.Equal(t, packed, a.Header.Get("ETag"))
		require.Equal(t, "no-cache", a.Header.Get("Cache-Control"))
		require.Equal(t, "Accept-Encoding", a.Header.Get("Vary"))
	}
	require.Equal(t, 200, get("br", plain).Status)
	require.Equal(t, 200, get("gzip", packed).Status)
}

func TestNotBuilt(t *testing.T) {
	h := newHouse(t, func(c *server.Config) { c.Pages = fstest.MapFS{".placeholder": {}} })
	for _, path := range []string{"/", "/pair", "/assets/x.js"} {
		a := h.do(httptest.NewRequest("GET", path, http.NoBody))
		require.Equal(t, 503, a.Status, path)
		require.Equal(t, "not_built", a.code(t))
		require.Contains(t, a.Body, "run go generate ./...")
	}
	require.Equal(t, 200, h.do(httptest.NewRequest("GET", "/livez", http.NoBody)).Status)
}

func TestAFileWithoutAKnownTypeIsNoticedAtStart(t *testing.T) {
	h := newHouse(t)
	_, err := server.New(server.Config{Door: h.door, Store: h.store, PublicURL: public, Pages: fstest.MapFS{"x.odd": {}}})
	require.ErrorContains(t, err, "x.odd")
}

func TestAcceptsCoding(t *testing.T) {
	for header, want := range map[string]bool{
		"": false, "gzip": true, "GZIP": true, "x-gzip": false, "br, gzip": true, "gzip;q=0": false, "gzip; q=0.000": false,
		"gzip;q=0.001": true, "*": true, "*;q=0": false, "gzip;q=0, *": false, "*;q=0, gzip": true, "gzip;q=x": false, ",,gzip": true,
	} {
		require.Equal(t, want, server.AcceptsCoding(header, "gzip"), header)
	}
}

func FuzzAcceptsCoding(f *testing.F) {
	f.Add("gzip;q=0.5, *;q=0")
	f.Add("br;q=;;,=")
	f.Fuzz(func(t *testing.T, header string) {
		require.True(t, server.AcceptsCoding("br,"+header, "br"), "what is named first holds, whatever follows")
		require.False(t, server.AcceptsCoding("br;q=0,"+header, "br"))
	})
}
