// Package pwa holds the built app: everything the phone downloads, as files of this binary.
//
// dist is written by `go generate` (pwa/internal/build). Before that it holds one dot file, which is why the embed line says
// "all:"; a server without an index.html in Dist says so instead of serving pages.
package pwa

import (
	"embed"
	"io/fs"
)

//go:generate go run ./internal/build

//go:embed all:dist
var dist embed.FS

// Dist is the built app with index.html at its root.
func Dist() fs.FS {
	sub, err := fs.Sub(dist, "dist")
	if err != nil {
		panic(err) // "dist" is a constant path that embeds: only a programmer breaks it
	}
	return sub
}
