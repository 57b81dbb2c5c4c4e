// Package testdata holds the shared fixtures: reference tables and their checks, worked cases, golden vectors.
package testdata

import "embed"

// Files is everything in this folder that tests read.
//
//go:embed all:reference all:cases all:histories all:wire independent/drinks.json
var Files embed.FS
