package main

import (
	"context"
	"fmt"
	"runtime"
)

// version is the app's and the server's; the app names the same one when it syncs.
const version = "0.1.0"

var versionCommand = command{
	name: "version",
	does: "print the version",
	run: func(_ context.Context, p *program, _ *options) error {
		_, err := fmt.Fprintf(p.stdout, "fairmeasure %s %s %s/%s\n", version, runtime.Version(), runtime.GOOS, runtime.GOARCH)
		return err
	},
}
