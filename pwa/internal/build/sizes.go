package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"strings"
	"text/tabwriter"
)

// The budget: what the phone downloads before the first page is drawn, and the core, once.
const (
	startGzipMost  = 60_000
	coreGzipMost   = 2_000_000
	coreBrotliMost = 1_450_000 // at quality 11, which a proxy in front may use
)

// size of one part, in bytes.
type size struct {
	part              string
	raw, gzip, brotli int
}

// measure adds up index.html with every script and style it names, the worker's scripts, and the core.
func measure(dist string, quality int) (start, worker, core size, err error) {
	page, err := os.ReadFile(filepath.Join(dist, "index.html"))
	if err != nil {
		return start, worker, core, fmt.Errorf("the app is not built (run go generate ./...): %w", err)
	}
	start, worker, core = size{part: "start: page, script, style"}, size{part: "worker and other rooms"}, size{part: "core"}
	names, err := builtFiles(dist)
	if err != nil {
		return start, worker, core, err
	}
	named := namedIn(string(page))
	for _, name := range names {
		to := &worker
		switch ext := path.Ext(name); {
		case ext == ".wasm":
			to = &core
		case name == "index.html" || named["/"+name] && (ext == ".js" || ext == ".css"):
			to = &start
		case ext != ".js" && ext != ".css":
			continue
		}
		content, err := os.ReadFile(filepath.Join(dist, filepath.FromSlash(name)))
		if err != nil {
			return start, worker, core, err
		}
		to.raw += len(content)
		to.gzip += len(gzipped(content))
		to.brotli += len(brotlied(content, quality))
	}
	if core.raw == 0 {
		return start, worker, core, errors.New("dist holds no core: the app would not start")
	}
	return start, worker, core, nil
}

var addresses = regexp.MustCompile(`(?:src|href)="([^"]+)"`)

func namedIn(page string) map[string]bool {
	named := map[string]bool{}
	for _, m := range addresses.FindAllStringSubmatch(page, -1) {
		named[m[1]] = true
	}
	return named
}

func printSizes(dist string, out io.Writer) error {
	start, worker, core, err := measure(dist, brotliQuality)
	if err != nil {
		return err
	}
	return table(out, brotliQuality, start, worker, core)
}

// checkSizes fails when the phone has more to download than it should.
func checkSizes(dist string, out io.Writer) error {
	start, worker, core, err := measure(dist, 11)
	if err != nil {
		return err
	}
	if err := table(out, 11, start, worker, core); err != nil {
		return err
	}
	return overBudget(start, core)
}

func overBudget(start, core size) error {
	var over []string
	check := func(what string, is, most int) {
		if is > most {
			over = append(over, fmt.Sprintf("%s is %d bytes, the budget is %d", what, is, most))
		}
	}
	check("the start with gzip", start.gzip, startGzipMost)
	check("the core with gzip", core.gzip, coreGzipMost)
	check("the core with brotli 11", core.brotli, coreBrotliMost)
	if len(over) > 0 {
		return errors.New(strings.Join(over, "; "))
	}
	return nil
}

func table(out io.Writer, quality int, rows ...size) error {
	w := tabwriter.NewWriter(out, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintf(w, "bytes\traw\tgzip 9\tbrotli %d\t\n", quality)
	for _, s := range rows {
		fmt.Fprintf(w, "%s\t%d\t%d\t%d\t\n", s.part, s.raw, s.gzip, s.brotli)
	}
	return w.Flush()
}
