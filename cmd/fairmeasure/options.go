package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"strings"
)

var errHelp = errors.New("help was asked for")

// options are a sub-command's options: a flag over the environment over the default. --trusted-proxy is also
// FAIRMEASURE_TRUSTED_PROXY.
type options struct {
	command string
	flags   *flag.FlagSet
	env     func(string) string
	local   map[string]bool // options that are no business of the environment
	args    []string
	maxArgs int
	wants   string // what the one argument is that has to be there; empty when none has
	cfg     any    // what the command's options fill
}

func newOptions(c command, env func(string) string) *options {
	o := &options{command: c.name, flags: flag.NewFlagSet(c.name, flag.ContinueOnError), env: env, local: map[string]bool{}}
	o.flags.SetOutput(io.Discard)
	o.flags.Usage = func() {}
	if c.options != nil {
		c.options(o)
	}
	return o
}

// parse reads arguments and the environment. Options may stand before and after other arguments; -- ends them.
func (o *options) parse(args []string) error {
	hint := "fairmeasure help " + o.command + " lists its options"
	for rest := args; ; {
		if err := o.flags.Parse(rest); err != nil {
			if errors.Is(err, flag.ErrHelp) {
				return errHelp
			}
			text := err.Error()
			if name, ok := strings.CutPrefix(text, "flag provided but not defined: "); ok {
				text = "unknown option -" + name
			}
			return &callError{o.command + ": " + text, hint}
		}
		left := o.flags.Args()
		if read := len(rest) - len(left); len(left) == 0 || read > 0 && rest[read-1] == "--" {
			o.args = append(o.args, left...)
			break
		}
		o.args, rest = append(o.args, left[0]), left[1:]
	}
	if o.wants != "" && len(o.args) == 0 {
		return &callError{fmt.Sprintf("%s: expected %s, got none", o.command, o.wants), hint}
	}
	if len(o.args) > o.maxArgs {
		return &callError{fmt.Sprintf("%s: unexpected %q", o.command, o.args[o.maxArgs]), hint}
	}
	given := map[string]bool{}
	o.flags.Visit(func(f *flag.Flag) { given[f.Name] = true })
	var bad error
	o.flags.VisitAll(func(f *flag.Flag) {
		v := o.env(envName(f.Name))
		if given[f.Name] || o.local[f.Name] || v == "" {
			return
		}
		if err := f.Value.Set(v); err != nil {
			bad = &callError{fmt.Sprintf("%s: %s=%q: %v", o.command, envName(f.Name), v, err), hint}
		}
	})
	return bad
}

func envName(option string) string {
	return "FAIRMEASURE_" + strings.ToUpper(strings.ReplaceAll(option, "-", "_"))
}

func (o *options) print(w io.Writer) {
	first := true
	o.flags.VisitAll(func(f *flag.Flag) {
		if first {
			fmt.Fprintln(w, "options, each also from the environment (--data is FAIRMEASURE_DATA); an option wins:")
			first = false
		}
		kind, text := flag.UnquoteUsage(f)
		fmt.Fprintf(w, "\n  --%s %s\n", f.Name, kind)
		if o.local[f.Name] {
			text += " Not from the environment."
		}
		for line := range strings.Lines(wrap(text, 100)) {
			fmt.Fprint(w, "      ", line)
		}
		fmt.Fprintln(w)
		if f.DefValue != "" && f.DefValue != "false" {
			fmt.Fprintf(w, "      default: %s\n", f.DefValue)
		}
	})
}

// wrap breaks a text into lines of at most so many bytes, where it has blanks.
func wrap(text string, width int) string {
	var out strings.Builder
	n := 0
	for i, word := range strings.Fields(text) {
		switch {
		case i == 0:
		case n+1+len(word) > width:
			out.WriteByte('\n')
			n = 0
		default:
			out.WriteByte(' ')
			n++
		}
		out.WriteString(word)
		n += len(word)
	}
	return out.String()
}

// listValue is an option that may be given several times, or with commas.
type listValue struct{ to *[]string }

func (l listValue) String() string {
	if l.to == nil {
		return ""
	}
	return strings.Join(*l.to, ",")
}

func (l listValue) Set(text string) error {
	for part := range strings.SplitSeq(text, ",") {
		if part = strings.TrimSpace(part); part != "" {
			*l.to = append(*l.to, part)
		}
	}
	return nil
}

// bytesValue is an option for an amount of memory or disk: 128MiB, 1GiB, 500000.
type bytesValue struct{ to *int64 }

var byteUnits = []struct {
	suffix string
	bytes  int64
}{{"GiB", 1 << 30}, {"MiB", 1 << 20}, {"KiB", 1 << 10}, {"", 1}}

func (b bytesValue) String() string {
	if b.to == nil || *b.to == 0 {
		return "0"
	}
	for _, u := range byteUnits {
		if *b.to%u.bytes == 0 {
			return fmt.Sprintf("%d%s", *b.to/u.bytes, u.suffix)
		}
	}
	return ""
}

func (b bytesValue) Set(text string) error {
	for _, u := range byteUnits {
		digits, ok := strings.CutSuffix(text, u.suffix)
		if !ok {
			continue
		}
		var n int64
		if _, err := fmt.Sscanf(digits+"\n", "%d\n", &n); err != nil || n < 0 || fmt.Sprint(n) != digits || n > 1<<62/u.bytes {
			break
		}
		*b.to = n * u.bytes
		return nil
	}
	return fmt.Errorf("expected an amount such as 128MiB, got %q", text)
}
