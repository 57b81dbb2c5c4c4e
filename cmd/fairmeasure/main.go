// Command fairmeasure is the journal's server and its tools: one binary with the app and the store inside.
//
// It alone picks the store, reads options, the environment and the clock. Results go to standard output, words for people
// to standard error. Exit codes: 0 done, 1 failed, 2 wrongly called, 3 the store cannot be opened.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strconv"
	"strings"
	"syscall"
	"time"

	"fairmeasure/sync/store"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop) // a second signal ends the program at once
	os.Exit(run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr, os.Getenv))
}

// run does what the arguments say until it is done or ctx ends, and gives the exit code.
func run(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer, env func(string) string) int {
	p := &program{stdin: stdin, stdout: stdout, stderr: stderr, env: env, now: time.Now, seed: seedDemo}
	return p.run(ctx, args)
}

// program is what a sub-command works with.
type program struct {
	stdin          io.Reader
	stdout, stderr io.Writer
	env            func(string) string
	now            func() time.Time
	clock          string // where now began, when the environment says so
	// seed writes the demo's journal into an empty one.
	seed func(ctx context.Context, st store.Store, j store.Journal, now time.Time, admit func(name string) (device string, err error)) error
}

type command struct {
	name string // words divided by blanks: a sub-command bears its command's
	does string // one line, for the list
	help string // the rest of its help page, above its options
	// subs are what the command is divided into; it does nothing by itself then.
	subs []command
	// options declares the command's options; nil when it takes none.
	options func(*options)
	run     func(context.Context, *program, *options) error
}

func commands() []command {
	return []command{serveCommand, demoCommand, checkCommand, weekCommand, compareCommand, accountsCommand, keysCommand, healthCommand, versionCommand}
}

// last is the last word of a command's name.
func (c command) last() string { return c.name[strings.LastIndexByte(c.name, ' ')+1:] }

// callError is a wrong call: what was expected and what came, and a line on what to do.
type callError struct{ text, hint string }

func (e *callError) Error() string { return e.text }

// storeError says that the data cannot be opened.
type storeError struct {
	err  error
	hint string
}

func (e *storeError) Error() string { return e.err.Error() }
func (e *storeError) Unwrap() error { return e.err }

// hinted is a failure with a line on what to do.
type hinted struct {
	err  error
	hint string
}

func (e *hinted) Error() string { return e.err.Error() }
func (e *hinted) Unwrap() error { return e.err }

const (
	exitDone   = 0
	exitFailed = 1
	exitCall   = 2
	exitStore  = 3
)

func (p *program) run(ctx context.Context, args []string) int {
	err := p.dispatch(ctx, args)
	if err == nil {
		return exitDone
	}
	fmt.Fprintln(p.stderr, "fairmeasure:", err)
	code, hint := exitFailed, ""
	var call *callError
	var st *storeError
	var h *hinted
	switch {
	case errors.As(err, &call):
		code, hint = exitCall, call.hint
	case errors.As(err, &st):
		code, hint = exitStore, st.hint
	case errors.As(err, &h):
		hint = h.hint
	}
	if hint != "" {
		fmt.Fprintln(p.stderr, "hint:", hint)
	}
	return code
}

func (p *program) dispatch(ctx context.Context, args []string) error {
	if len(args) == 0 {
		p.usage(p.stderr)
		return &callError{"expected a command", "fairmeasure demo shows what this is"}
	}
	if args[0] == "help" || args[0] == "-h" || args[0] == "--help" {
		return p.help(args[1:])
	}
	for _, c := range commands() {
		if c.name == args[0] {
			return p.do(ctx, c, args[1:])
		}
	}
	return &callError{fmt.Sprintf("unknown command %q", args[0]), "fairmeasure help lists the commands"}
}

// do runs a command on what stands behind its name.
func (p *program) do(ctx context.Context, c command, args []string) error {
	if len(c.subs) > 0 {
		if len(args) > 0 && (args[0] == "help" || args[0] == "-h" || args[0] == "--help") {
			p.page(c)
			return nil
		}
		sub, err := c.sub(args)
		if err != nil {
			return err
		}
		return p.do(ctx, sub, args[1:])
	}
	if err := p.setClock(); err != nil {
		return err
	}
	o := newOptions(c, p.env)
	switch err := o.parse(args); {
	case errors.Is(err, errHelp):
		p.page(c)
		return nil
	case err != nil:
		return err
	}
	return c.run(ctx, p, o)
}

// sub finds the sub-command that the first argument names.
func (c command) sub(args []string) (command, error) {
	names := make([]string, len(c.subs))
	for i, sub := range c.subs {
		names[i] = sub.last()
		if len(args) > 0 && args[0] == names[i] {
			return sub, nil
		}
	}
	expected := names[0]
	if n := len(names) - 1; n > 0 {
		expected = strings.Join(names[:n], ", ") + " or " + names[n]
	}
	came := "nothing"
	if len(args) > 0 {
		came = strconv.Quote(args[0])
	}
	return command{}, &callError{fmt.Sprintf("expected %s %s, got %s", c.name, expected, came), "fairmeasure help " + c.name + " says what each does"}
}

func (p *program) usage(w io.Writer) {
	fmt.Fprint(w, "Fair Measure: a drinks journal that agrees with itself on every device.\n\nusage: fairmeasure COMMAND [options]\n\n")
	for _, c := range commands() {
		fmt.Fprintf(w, "  %-8s  %s\n", c.name, c.does)
	}
	fmt.Fprintf(w, "  %-8s  %s\n\n", "help", "this list, or everything about one command: help COMMAND")
}

func (p *program) help(args []string) error {
	if len(args) == 0 {
		p.usage(p.stdout)
		return nil
	}
	for _, c := range commands() {
		if c.name != args[0] {
			continue
		}
		if len(c.subs) > 0 && len(args) > 1 {
			sub, err := c.sub(args[1:])
			if err != nil {
				return err
			}
			c = sub
		}
		p.page(c)
		return nil
	}
	return &callError{fmt.Sprintf("no help on %q: unknown command", args[0]), "fairmeasure help lists the commands"}
}

// page prints a command's help page.
func (p *program) page(c command) {
	fmt.Fprintf(p.stdout, "fairmeasure %s: %s\n\n", c.name, c.does)
	if c.help != "" {
		fmt.Fprintln(p.stdout, strings.TrimSpace(c.help)+"\n")
	}
	for _, sub := range c.subs {
		fmt.Fprintf(p.stdout, "  %-8s  %s\n", sub.last(), sub.does)
	}
	if len(c.subs) > 0 {
		fmt.Fprintf(p.stdout, "\nfairmeasure help %s %s has the options of that one, and so on.\n", c.name, c.subs[0].last())
		return
	}
	newOptions(c, p.env).print(p.stdout)
}
