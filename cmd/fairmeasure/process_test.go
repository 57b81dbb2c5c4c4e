package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/cookiejar"
	"os"
	"os/exec"
	"regexp"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// asProgram in the environment turns the test binary into the program itself: the tests start it as a process of its own,
// signal it and kill it.
const asProgram = "FAIRMEASURE_TEST_AS_PROGRAM"

func TestMain(m *testing.M) {
	if os.Getenv(asProgram) != "" {
		main()
		return
	}
	os.Exit(m.Run())
}

// process is a running serve or demo.
type process struct {
	t    testing.TB
	cmd  *exec.Cmd
	args []string
	url  string
	key  string  // makes the owner's account
	code string  // admits one device
	out  *output // standard output
	err  *output // standard error

	ended chan error
}

// output collects what a process writes.
type output struct {
	mu   sync.Mutex
	text strings.Builder
	more chan struct{}
}

func (l *output) copy(r io.Reader) {
	s := bufio.NewScanner(r)
	s.Buffer(nil, 1<<20)
	for s.Scan() {
		l.mu.Lock()
		l.text.WriteString(s.Text() + "\n")
		l.mu.Unlock()
		select {
		case l.more <- struct{}{}:
		default:
		}
	}
}

func (l *output) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.text.String()
}

// await waits until a pattern was written and gives its first group.
func (p *process) await(l *output, pattern string) string {
	p.t.Helper()
	re := regexp.MustCompile(pattern)
	limit := time.After(60 * time.Second)
	for {
		if m := re.FindStringSubmatch(l.String()); m != nil {
			return m[1]
		}
		select {
		case <-l.more:
		case err := <-p.ended:
			p.ended <- err
			require.FailNow(p.t, "the program ended", "%v: waiting for %q\n%s%s", err, pattern, p.out, p.err)
		case <-limit:
			require.FailNow(p.t, "the program did not say what was waited for", "%q\n%s%s", pattern, p.out, p.err)
		}
	}
}

// start starts the program. It is killed, if it still runs, when the test ends.
func start(t testing.TB, args ...string) *process {
	t.Helper()
	return startIn(t, nil, args...)
}

// startIn starts it with more in its environment.
func startIn(t testing.TB, env map[string]string, args ...string) *process {
	t.Helper()
	p := &process{t: t, args: args, out: &output{more: make(chan struct{}, 1)}, err: &output{more: make(chan struct{}, 1)}, ended: make(chan error, 1)}
	self, err := os.Executable()
	require.NoError(t, err)
	p.cmd = exec.Command(self, args...)
	p.cmd.Env = append(os.Environ(), asProgram+"=1")
	for name, value := range env {
		p.cmd.Env = append(p.cmd.Env, name+"="+value)
	}
	stdout, err := p.cmd.StdoutPipe()
	require.NoError(t, err)
	stderr, err := p.cmd.StderrPipe()
	require.NoError(t, err)
	require.NoError(t, p.cmd.Start())
	var reading sync.WaitGroup
	reading.Go(func() { p.out.copy(stdout) })
	reading.Go(func() { p.err.copy(stderr) })
	go func() {
		reading.Wait()
		p.ended <- p.cmd.Wait()
	}()
	t.Cleanup(func() { p.kill() })
	return p
}

// greeting is what serve says at its start, to its end; setUpLink is in it while there is no owner.
const greeting = `(?s)serving (\S+)\n\n.+?\n\n`

var setUpLink = regexp.MustCompile(`/setup#key=(\S+)\n`)

// serve starts a server on a folder and waits until it answers.
func serve(t testing.TB, data string, more ...string) *process {
	t.Helper()
	p := start(t, append([]string{"serve", "--data", data, "--listen", "127.0.0.1:0", "--min-free", "1MiB", "--ballast", "0"}, more...)...)
	p.url = p.await(p.err, greeting)
	if m := setUpLink.FindStringSubmatch(p.err.String()); m != nil {
		p.key = m[1]
	}
	p.answers()
	return p
}

func (p *process) answers() {
	p.t.Helper()
	require.Eventually(p.t, func() bool {
		resp, err := http.Get(p.url + "/readyz")
		if err != nil {
			return false
		}
		resp.Body.Close()
		return resp.StatusCode == http.StatusOK
	}, 30*time.Second, 5*time.Millisecond)
}

// stop ends the program in order and gives its exit code.
func (p *process) stop() int {
	p.t.Helper()
	require.NoError(p.t, p.cmd.Process.Signal(syscall.SIGTERM))
	select {
	case err := <-p.ended:
		p.ended <- err
	case <-time.After(30 * time.Second):
		require.FailNow(p.t, "the program did not end", "%s", p.err)
	}
	return p.cmd.ProcessState.ExitCode()
}

// kill ends the program at once, as a power cut would, except that what was given to the operating system stays.
func (p *process) kill() {
	_ = p.cmd.Process.Kill() // an error: it has ended already
	err := <-p.ended
	p.ended <- err
}

// browser is a device over HTTP.
type browser struct {
	t       testing.TB
	client  *http.Client
	url     string
	journal string
}

func newBrowser(t testing.TB) *browser {
	jar, err := cookiejar.New(nil)
	require.NoError(t, err)
	tr := &http.Transport{MaxIdleConnsPerHost: 16, DialContext: (&net.Dialer{Timeout: 5 * time.Second}).DialContext}
	t.Cleanup(tr.CloseIdleConnections)
	return &browser{t: t, client: &http.Client{Jar: jar, Transport: tr, Timeout: 30 * time.Second}}
}

// The owner of the servers in these tests.
const (
	ownerName     = "Robin"
	ownerPassword = "seven lemons in a row"
)

// admit lets the browser in: with the code that was printed, else with the set-up key, else by name and password.
func (b *browser) admit(p *process) {
	b.t.Helper()
	b.url = p.url
	path, body := "sign-in", fmt.Sprintf(`{"name":%q,"password":%q,"device":"browser"}`, ownerName, ownerPassword)
	switch {
	case p.code != "":
		path, body = "pair", fmt.Sprintf(`{"code":%q,"name":"browser"}`, p.code)
	case p.key != "":
		path, body = "setup", fmt.Sprintf(`{"key":%q,"name":%q,"password":%q,"device":"browser"}`, p.key, ownerName, ownerPassword)
		p.key = ""
	}
	b.entered("/api/v1/auth/"+path, body)
}

// entered makes a request that lets the browser in.
func (b *browser) entered(path, body string) {
	b.t.Helper()
	status, answer := b.must("POST", path, body)
	require.Equal(b.t, 200, status, string(answer))
	var told struct{ Journal string }
	require.NoError(b.t, json.Unmarshal(answer, &told))
	b.journal = told.Journal
}

func (b *browser) must(method, path, body string) (int, []byte) {
	b.t.Helper()
	status, answer, err := b.do(context.Background(), method, path, body)
	require.NoError(b.t, err)
	return status, answer
}

// do makes a request as the app's pages do. An error means that there was no whole answer.
func (b *browser) do(ctx context.Context, method, path, body string) (int, []byte, error) {
	var r io.Reader
	if body != "" {
		r = strings.NewReader(body)
	}
	req, err := http.NewRequestWithContext(ctx, method, b.url+path, r)
	if err != nil {
		return 0, nil, err
	}
	if method != http.MethodGet {
		req.Header.Set("Content-Type", "application/json")
		req.Header.Set("Sec-Fetch-Site", "same-origin")
	}
	resp, err := b.client.Do(req)
	if err != nil {
		return 0, nil, err
	}
	defer resp.Body.Close()
	answer, err := io.ReadAll(resp.Body)
	return resp.StatusCode, answer, err
}

// call runs the program inside the test, for commands that end by themselves.
func call(t testing.TB, env map[string]string, args ...string) (code int, stdout, stderr string) {
	t.Helper()
	var out, errs bytes.Buffer
	code = run(context.Background(), args, strings.NewReader(""), &out, &errs, func(k string) string { return env[k] })
	return code, out.String(), errs.String()
}
