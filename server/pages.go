package server

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io/fs"
	"path"
	"strings"

	"github.com/gofiber/fiber/v2"
)

// pages is the built app, read once: every file with its packed twins, its type and its tags.
type pages struct {
	files map[string]*page // by URL path
}

type page struct {
	plain    coded
	brotli   coded
	gzip     coded
	kind     string
	lifetime string
	worker   bool
}

// coded is a body in one coding; body is nil when the file was not packed so.
type coded struct {
	body []byte
	name string // of the coding; empty for none
	tag  string
}

// kinds by extension: the machine's own table may say anything, and a wrong type for wasm or the manifest breaks the app.
var kinds = map[string]string{
	".html": "text/html; charset=utf-8", ".js": "text/javascript; charset=utf-8", ".css": "text/css; charset=utf-8",
	".wasm": "application/wasm", ".json": "application/json", ".webmanifest": "application/manifest+json",
	".svg": "image/svg+xml", ".png": "image/png", ".ico": "image/x-icon", ".webp": "image/webp",
	".woff2": "font/woff2", ".txt": "text/plain; charset=utf-8",
}

const (
	index      = "/index.html"
	assets     = "/assets/"
	forGood    = "public, max-age=31536000, immutable" // assets have their content's hash in their name
	askEach    = "no-cache"
	packedBr   = ".br"
	packedGzip = ".gz"
)

func readPages(tree fs.FS) (*pages, error) {
	p := &pages{files: map[string]*page{}}
	if tree == nil {
		return p, nil
	}
	err := fs.WalkDir(tree, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || strings.HasPrefix(path.Base(name), ".") {
			return err
		}
		ext := path.Ext(name)
		if ext == packedBr || ext == packedGzip {
			return nil
		}
		kind, ok := kinds[ext]
		if !ok {
			return fmt.Errorf("%s: no type is known for %q", name, ext)
		}
		plain, err := fs.ReadFile(tree, name)
		if err != nil {
			return err
		}
		at := "/" + name
		f := &page{kind: kind, lifetime: askEach, worker: at == "/sw.js"}
		if strings.HasPrefix(at, assets) {
			f.lifetime = forGood
		}
		sum := sha256.Sum256(plain)
		hash := hex.EncodeToString(sum[:12])
		f.plain = coded{plain, "", `"` + hash + `"`}
		if b, err := fs.ReadFile(tree, name+packedBr); err == nil {
			f.brotli = coded{b, "br", `"` + hash + `-br"`}
		}
		if b, err := fs.ReadFile(tree, name+packedGzip); err == nil {
			f.gzip = coded{b, "gzip", `"` + hash + `-gzip"`}
		}
		p.files[at] = f
		return nil
	})
	return p, err
}

// find gives the file for a path. A path without an extension is a place inside the app, so its page is index.html; it is
// given only to someone who asks for a page, never to a script that asks for a file.
func (p *pages) find(at, accept string) (*page, error) {
	if p.files[index] == nil {
		return nil, errNotBuilt
	}
	if at == "/" {
		at = index
	}
	if f := p.files[at]; f != nil {
		return f, nil
	}
	if strings.HasPrefix(at, assets) || path.Ext(at) != "" || !strings.Contains(accept, fiber.MIMETextHTML) {
		return nil, errNotFound
	}
	return p.files[index], nil
}

func (f *page) choose(acceptEncoding string) coded {
	for _, c := range []coded{f.brotli, f.gzip} {
		if c.body != nil && acceptsCoding(acceptEncoding, c.name) {
			return c
		}
	}
	return f.plain
}

// setupPath is the page on which the first owner's account is made. It is there only while there is no owner.
const setupPath = "/setup"

func (s *Server) setupPage(c *fiber.Ctx, _ caller) error { return s.page(c) }

// page answers everything that is not the API.
func (s *Server) page(c *fiber.Ctx) error {
	if c.Method() != fiber.MethodGet && c.Method() != fiber.MethodHead {
		c.Set(fiber.HeaderAllow, "GET, HEAD")
		return errMethod
	}
	if c.Path() == setupPath && s.door.HasOwner() {
		return errNotFound
	}
	f, err := s.pages.find(c.Path(), c.Get(fiber.HeaderAccept))
	if err != nil {
		return err
	}
	body := f.choose(c.Get(fiber.HeaderAcceptEncoding))
	c.Set(fiber.HeaderCacheControl, f.lifetime)
	c.Set(fiber.HeaderVary, fiber.HeaderAcceptEncoding)
	c.Set(fiber.HeaderETag, body.tag)
	if f.worker {
		c.Set("Service-Worker-Allowed", "/")
	}
	if matches(c.Get(fiber.HeaderIfNoneMatch), body.tag) {
		c.Status(fiber.StatusNotModified)
		return nil
	}
	c.Set(fiber.HeaderContentType, f.kind)
	if body.name != "" {
		c.Set(fiber.HeaderContentEncoding, body.name)
	}
	return c.Send(body.body)
}

// matches tells whether an If-None-Match header names a tag.
func matches(header, tag string) bool {
	for part := range strings.SplitSeq(header, ",") {
		if part = strings.TrimSpace(part); part == "*" || strings.TrimPrefix(part, "W/") == tag {
			return true
		}
	}
	return false
}
