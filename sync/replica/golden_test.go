package replica_test

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/wire"
	"fairmeasure/testdata"
)

var writeGolden = flag.String("replica.golden", "", "folder to write golden action logs to, with the state each leads to; there are none to edit")

const goldenLogs = 6

// Logs of actions with the state they lead to, byte for byte, on every processor and in the browser's build.
func TestSameEverywhere(t *testing.T) {
	if *writeGolden != "" {
		for n := range goldenLogs {
			log := causalHistory(t, rand.New(rand.NewPCG(uint64(n), 2)))
			var text []byte
			for i := range log {
				text = append(wire.AppendAction(text, &log[i]), '\n')
			}
			state := applied(t, log, inOrder(len(log))).AppendCanon(nil)
			require.NoError(t, os.WriteFile(filepath.Join(*writeGolden, fmt.Sprintf("log-%d.jsonl", n)), text, 0o644))
			require.NoError(t, os.WriteFile(filepath.Join(*writeGolden, fmt.Sprintf("log-%d.state", n)), state, 0o644))
		}
	}
	for n := range goldenLogs {
		t.Run(fmt.Sprintf("log-%d", n), func(t *testing.T) {
			log, want := goldenLog(t, n)
			require.NotEmpty(t, log)
			require.Equal(t, want, canon(applied(t, log, inOrder(len(log)))))
			backwards := inOrder(len(log))
			for i := range backwards {
				backwards[i] = len(log) - 1 - i
			}
			require.Equal(t, want, canon(applied(t, log, backwards)))
		})
	}
}

func goldenLog(t testing.TB, n int) (log []replica.Action, state string) {
	t.Helper()
	name := fmt.Sprintf("wire/v1/log-%d", n)
	text, err := testdata.Files.ReadFile(name + ".jsonl")
	require.NoError(t, err)
	for line := range splitLines(string(text)) {
		a, err := wire.DecodeAction(line)
		require.NoError(t, err)
		require.Equal(t, line, string(wire.AppendAction(nil, a)))
		log = append(log, *a)
	}
	want, err := testdata.Files.ReadFile(name + ".state")
	require.NoError(t, err)
	return log, string(want)
}

func splitLines(text string) func(func(string) bool) {
	return func(yield func(string) bool) {
		for from, i := 0, 0; i < len(text); i++ {
			if text[i] == '\n' {
				if !yield(text[from:i]) {
					return
				}
				from = i + 1
			}
		}
	}
}
