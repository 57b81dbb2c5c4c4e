package main

import (
	"bytes"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"rsc.io/qr"

	"fairmeasure/server"
)

func TestWrongCalls(t *testing.T) {
	file := filepath.Join(t.TempDir(), "short.key")
	require.NoError(t, os.WriteFile(file, []byte("too short"), 0o600))
	full := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(full, "letter.txt"), []byte("dear"), 0o600))
	for name, row := range map[string]struct {
		args []string
		env  map[string]string
		code int
		says string
	}{
		"no command":        {nil, nil, 2, "expected a command"},
		"unknown command":   {[]string{"brew"}, nil, 2, `unknown command "brew"`},
		"unknown help":      {[]string{"help", "brew"}, nil, 2, `no help on "brew"`},
		"unknown option":    {[]string{"serve", "--listn", "x"}, nil, 2, "serve: unknown option --listn"},
		"single dash":       {[]string{"serve", "-listn", "x"}, nil, 2, "serve: unknown option"},
		"an argument":       {[]string{"serve", "here"}, nil, 2, `serve: unexpected "here"`},
		"no value":          {[]string{"serve", "--data"}, nil, 2, "serve: flag needs an argument: -data"},
		"no number":         {[]string{"serve", "--requests-per-hour", "many"}, nil, 2, `invalid value "many"`},
		"no amount":         {[]string{"serve", "--min-free", "lots"}, nil, 2, "expected an amount such as 128MiB"},
		"from environment":  {[]string{"serve"}, map[string]string{"FAIRMEASURE_MIN_FREE": "lots"}, 2, `FAIRMEASURE_MIN_FREE="lots"`},
		"no port":           {[]string{"serve", "--listen", "localhost"}, nil, 2, `--listen "localhost": expected host:port`},
		"beyond loopback":   {[]string{"serve", "--listen", "0.0.0.0:0"}, nil, 2, "--public-url has to say"},
		"http for a phone":  {[]string{"serve", "--data", t.TempDir(), "--listen", "127.0.0.1:0", "--public-url", "http://192.168.1.4"}, nil, 2, "only from https"},
		"log level":         {[]string{"serve", "--log", "loud"}, nil, 2, "expected debug, info, warn or error"},
		"short key":         {[]string{"serve", "--encryption-key-file", file}, nil, 2, "expected exactly 32 bytes, found 9"},
		"no sub-command":    {[]string{"accounts"}, nil, 2, "expected accounts list, create, recover or remove, got nothing"},
		"a wrong one":       {[]string{"accounts", "delete", "Robin"}, nil, 2, `expected accounts list, create, recover or remove, got "delete"`},
		"help on a wrong":   {[]string{"help", "accounts", "delete"}, nil, 2, `got "delete"`},
		"keys of what":      {[]string{"keys", "turn"}, nil, 2, `expected keys rotate, got "turn"`},
		"a name too few":    {[]string{"accounts", "recover"}, nil, 2, "accounts recover: expected the NAME of an account, got none"},
		"a name too many":   {[]string{"accounts", "create", "Robin", "Kim"}, nil, 2, `accounts create: unexpected "Kim"`},
		"not really":        {[]string{"accounts", "remove", "Robin"}, nil, 2, `expected --yes, because the journal of "Robin" is erased for good`},
		"no role":           {[]string{"accounts", "create", "Robin", "--role", "guest"}, nil, 2, `expected --role owner or member, got "guest"`},
		"no option of list": {[]string{"accounts", "list", "--yes"}, nil, 2, "accounts list: unknown option --yes"},
		"not for a phone":   {[]string{"accounts", "create", "Robin", "--data", t.TempDir(), "--public-url", "http://192.168.1.4"}, nil, 2, "only from https"},
		"no such key file":  {[]string{"keys", "rotate", "--encryption-key-file", filepath.Join(full, "none")}, nil, 1, "reading the encryption key"},
		"no data":           {[]string{"accounts", "list", "--data", filepath.Join(full, "none")}, nil, 3, "there is no data in " + full},
		"no data, others":   {[]string{"week", "--data", full}, nil, 3, "there is no data in " + full},
		"no data, empty":    {[]string{"keys", "rotate", "--data", t.TempDir()}, nil, 3, "there is no data in"},
		"demo elsewhere":    {[]string{"demo", "--data", full}, nil, 2, "holds something else than a demo"},
		"demo, fresh":       {[]string{"demo", "--data", full, "--fresh"}, nil, 2, "holds something else than a demo"},
		"demo for all":      {[]string{"demo", "--listen", "0.0.0.0:8080"}, nil, 2, "on this machine only"},
		"a clock in words":  {[]string{"serve"}, map[string]string{clockName: "tonight"}, 2, `FAIRMEASURE_CLOCK="tonight": expected the local date and time`},
		"clock, no offset":  {[]string{"week"}, map[string]string{clockName: "2026-05-15T22:04:00"}, 2, "with its offset from UTC"},
		"a clock for all":   {[]string{"serve", "--listen", "0.0.0.0:0", "--public-url", "https://drinks.example.org"}, map[string]string{clockName: evening}, 2, "for tests and demos"},
		"and by a proxy":    {[]string{"serve", "--listen", "127.0.0.1:0", "--public-url", "https://drinks.example.org"}, map[string]string{clockName: evening}, 2, "for tests and demos"},
		"a demo's for all":  {[]string{"demo", "--listen", "0.0.0.0:0"}, map[string]string{clockName: evening}, 2, "on this machine only"},
		"health of nothing": {[]string{"health", "--listen", "127.0.0.1:1"}, nil, 1, "no answer from http://127.0.0.1:1"},
		"health of no url":  {[]string{"health", "--url", "http://["}, nil, 2, `--url "http://["`},
	} {
		t.Run(name, func(t *testing.T) {
			code, out, errs := call(t, row.env, row.args...)
			require.Equal(t, row.code, code, errs)
			require.Contains(t, errs, row.says)
			require.Empty(t, out, "results alone go to standard output")
			if row.code >= 2 && name != "log level" && name != "health of no url" {
				require.Contains(t, errs, "hint: ")
			}
		})
	}
	kept, err := os.ReadFile(filepath.Join(full, "letter.txt"))
	require.NoError(t, err)
	require.Equal(t, "dear", string(kept), "nothing of another's was touched")
	require.Equal(t, []string{"letter.txt"}, files(t, full), "and nothing was made beside it")
}

func TestHelp(t *testing.T) {
	code, list, _ := call(t, nil, "help")
	require.Zero(t, code)
	for _, c := range commands() {
		require.Contains(t, list, c.name)
		require.NotEmpty(t, c.does)
		code, page, _ := call(t, nil, "help", c.name)
		require.Zero(t, code)
		require.Contains(t, page, c.does)
		_, same, _ := call(t, nil, c.name, "--help")
		require.Equal(t, page, same)
		for _, sub := range c.subs {
			require.Contains(t, page, sub.does)
			code, page, _ := call(t, nil, "help", c.name, sub.last())
			require.Zero(t, code)
			require.Contains(t, page, "fairmeasure "+sub.name+": "+sub.does)
			require.Contains(t, page, "--data")
			_, same, _ := call(t, nil, c.name, sub.last(), "--help")
			require.Equal(t, page, same)
		}
	}
	_, page, _ := call(t, map[string]string{"HOME": "/home/robin"}, "help", "serve")
	for _, option := range []string{"--data", "--listen", "--public-url", "--trusted-proxy", "--memory-limit", "--min-free", "256MiB", "128MiB"} {
		require.Contains(t, page, option)
	}
	_, version, _ := call(t, nil, "version")
	require.Regexp(t, `^fairmeasure \d+\.\d+\.\d+ go`, version)
}

func TestOptionsOverEnvironmentOverDefault(t *testing.T) {
	env := map[string]string{"FAIRMEASURE_LISTEN": "127.0.0.1:9", "FAIRMEASURE_TRUSTED_PROXY": "192.0.2.1, 192.0.2.2"}
	o := newOptions(serveCommand, func(k string) string { return env[k] })
	require.NoError(t, o.parse([]string{"--listen", "127.0.0.1:7", "--min-free", "3GiB"}))
	cfg := o.cfg.(*serveConfig)
	require.Equal(t, "127.0.0.1:7", cfg.Listen)
	require.Equal(t, []string{"192.0.2.1", "192.0.2.2"}, cfg.TrustedProxies)
	require.EqualValues(t, 3<<30, cfg.MinFree)
	require.EqualValues(t, 128<<20, cfg.MemoryLimit)
}

// TestOptionsAroundArguments: options before and after a name, and a name that looks like one.
func TestOptionsAroundArguments(t *testing.T) {
	recovering := accountsCommand.subs[2]
	for name, row := range map[string]struct {
		args []string
		want string
	}{
		"after":  {[]string{"Robin", "--data", "d", "--shut-devices"}, "Robin"},
		"before": {[]string{"--data", "d", "--shut-devices", "Robin"}, "Robin"},
		"around": {[]string{"--data", "d", "Robin", "--shut-devices"}, "Robin"},
		"dashes": {[]string{"--data", "d", "--shut-devices", "--", "--yes"}, "--yes"},
	} {
		t.Run(name, func(t *testing.T) {
			o := newOptions(recovering, func(string) string { return "" })
			require.NoError(t, o.parse(row.args))
			cfg := o.cfg.(*accountsConfig)
			require.Equal(t, "d", cfg.Data)
			require.True(t, cfg.ShutDevices)
			require.Equal(t, []string{row.want}, o.args)
		})
	}
}

func TestAmounts(t *testing.T) {
	for text, want := range map[string]int64{"0": 0, "500000": 500000, "1KiB": 1024, "128MiB": 128 << 20, "2GiB": 2 << 30} {
		var n int64
		require.NoError(t, bytesValue{&n}.Set(text))
		require.Equal(t, want, n)
		var again int64
		require.NoError(t, bytesValue{&again}.Set(bytesValue{&n}.String()))
		require.Equal(t, n, again)
	}
	for _, text := range []string{"", "MiB", "-1", "1.5GiB", "1 GiB", "1GB", "0x10", "9999999999GiB", "1MiBMiB", "+1"} {
		var n int64
		require.Error(t, bytesValue{&n}.Set(text), text)
	}
}

func TestHealth(t *testing.T) {
	status := http.StatusOK
	srv := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		require.Equal(t, "/readyz", r.URL.Path)
		w.WriteHeader(status)
	}))
	defer srv.Close()
	code, out, _ := call(t, nil, "health", "--url", srv.URL)
	require.Zero(t, code)
	require.Empty(t, out)
	code, _, _ = call(t, map[string]string{"FAIRMEASURE_LISTEN": strings.Replace(strings.TrimPrefix(srv.URL, "http://"), "127.0.0.1", "0.0.0.0", 1)}, "health")
	require.Zero(t, code, "what listens everywhere listens on loopback")
	status = http.StatusServiceUnavailable
	code, _, errs := call(t, nil, "health", "--url", srv.URL)
	require.Equal(t, 1, code)
	require.Contains(t, errs, "503")
}

// TestPaintedCode reads the half blocks back into modules and compares them with the code's own.
func TestPaintedCode(t *testing.T) {
	const link = "https://drinks.example.org/pair#code=0123-4567-89AB"
	var out bytes.Buffer
	require.NoError(t, paintCode(&out, link))
	code, err := qr.Encode(link, qr.L)
	require.NoError(t, err)
	text := regexp.MustCompile("\x1b\\[[0-9;]*m").ReplaceAllString(out.String(), "")
	rows := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	require.Len(t, rows, (code.Size+8+1)/2)
	for y, row := range rows {
		cells := []rune(row)
		require.Len(t, cells, code.Size+8)
		for x, c := range cells {
			require.Equal(t, code.Black(x-4, 2*y-4), c == '▀' || c == '█')
			require.Equal(t, code.Black(x-4, 2*y-3), c == '▄' || c == '█')
		}
	}
	for _, line := range strings.Split(strings.TrimSuffix(out.String(), "\n"), "\n") {
		require.True(t, strings.HasPrefix(line, "\x1b[38;5;16;48;5;231m") && strings.HasSuffix(line, "\x1b[0m"), "black on white whatever the theme")
	}
	require.Error(t, paintCode(&out, fmt.Sprintf("https://%s/", strings.Repeat("x", 2000))))
}

// TestDockerfile holds what the image is built and asked by to the README and to the program.
func TestDockerfile(t *testing.T) {
	file, err := os.ReadFile("../../Dockerfile")
	require.NoError(t, err)
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	text := string(file)
	for _, step := range []string{"go generate ./...", "docker build -t fairmeasure .", "docker run -p 127.0.0.1:8080:8080 -v fairmeasure:/data fairmeasure",
		"docker run --rm -v fairmeasure:/data fairmeasure accounts list"} {
		require.Contains(t, text, step)
		require.Contains(t, string(readme), step)
	}
	require.Regexp(t, `(?m)^USER [1-9]\d*:[1-9]\d*$`, text, "not root")
	require.Contains(t, text, `CMD ["/fairmeasure", "health"]`)

	// What the image sets in the environment is what serve and health read.
	env := map[string]string{}
	for _, m := range regexp.MustCompile(`(FAIRMEASURE_[A-Z_]+)=(\S+)`).FindAllStringSubmatch(text[strings.Index(text, "\nENV "):], -1) {
		env[m[1]] = m[2]
	}
	require.Len(t, env, 3)
	lookup := func(k string) string { return env[k] }
	o := newOptions(serveCommand, lookup)
	require.NoError(t, o.parse(nil))
	cfg := o.cfg.(*serveConfig)
	require.Equal(t, "/data", cfg.Data)
	require.Equal(t, "0.0.0.0:8080", cfg.Listen)
	require.NoError(t, server.CheckPublicURL(cfg.PublicURL))
	o = newOptions(accountsCommand.subs[0], lookup)
	require.NoError(t, o.parse(nil))
	require.Equal(t, "/data", o.cfg.(*accountsConfig).Data)
	o = newOptions(healthCommand, lookup)
	require.NoError(t, o.parse(nil))
	require.Equal(t, "0.0.0.0:8080", o.cfg.(*healthConfig).Listen)
	for name := range env {
		require.NotNil(t, newOptions(serveCommand, lookup).flags.Lookup(strings.ReplaceAll(strings.ToLower(strings.TrimPrefix(name, "FAIRMEASURE_")), "_", "-")))
	}
}
