//go:build !(js && wasm)

// Command corewasm is built for the browser; here it only says so. The core itself is compiled and tested everywhere.
package main

import (
	"fmt"
	"os"
)

func main() {
	fmt.Fprintln(os.Stderr, "corewasm: build with GOOS=js GOARCH=wasm; the app loads it")
	os.Exit(2)
}
