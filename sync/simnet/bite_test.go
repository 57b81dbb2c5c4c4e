package simnet_test

import (
	"flag"
	"fmt"
	"os"
	"os/exec"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/simnet"
)

var find = flag.Int("simnet.find", 0, "look through so many seeds of each broken variant and print those that catch it")

// caught is a seed that catches a broken variant, and the check by which.
type caught struct {
	seed  uint64
	check string
}

// variants are the protocol with one rule taken away, in the sources (patches) or in how the network and the people act
// (rules). With each of them the simulation has to fail: on the seeds given here it does, and without the broken rule the
// same seeds pass. After a change to what a seed plays, -simnet.find looks for new ones.
var variants = []struct {
	name  string
	mode  simnet.Mode
	rules rules
	by    []caught
}{
	{"run id kept across restarts", simnet.DeviceRestore, rules{Rules: simnet.Rules{KeepRun: true}},
		[]caught{{0, "StampUnique"}, {1, "StampUnique"}, {3, "StampUnique"}}},
	{"ack not checked", simnet.All, rules{},
		[]caught{{127, "CopyIsServer"}, {598, "CopyIsServer"}, {747, "NoSavedValueLost"}}},
	{"copy changed by own actions", simnet.Plain, rules{},
		[]caught{{0, "CopyIsServer"}, {2, "CopyIsServer"}, {3, "CopyIsServer"}}},
	{"answer without the named entities", simnet.ServerRestore, rules{},
		[]caught{{5, "NoSavedValueLost"}, {12, "NoSavedValueLost"}, {17, "NoSavedValueLost"}}},
	{"seen adopted before the last page", simnet.All, rules{},
		[]caught{{13, "NoSavedValueLost"}, {59, "NoSavedValueLost"}, {74, "NoSavedValueLost"}}},
	{"own stamps not raised", simnet.ServerRestore, rules{},
		[]caught{{5, "Converges"}, {12, "Converges"}, {17, "Converges"}}},
	{"stored marks not compared", simnet.Plain, rules{},
		[]caught{{93, "NoSavedValueLost"}, {149, "NoSavedValueLost"}, {331, "Converges"}}},
	{"queue dropped in an earlier transaction", simnet.ServerRestore, rules{Rules: simnet.Rules{TornAnswers: true}},
		[]caught{{68, "Converges"}, {79, "Converges"}, {872, "NoSavedValueLost"}}},
	{"copy overwritten before the last piece", simnet.ServerRestore, rules{},
		[]caught{{1, "Converges"}, {3, "Converges"}, {4, "Converges"}}},
	{"seen raised by the first piece", simnet.ServerRestore, rules{},
		[]caught{{1, "NoSavedValueLost"}, {5, "NoSavedValueLost"}, {6, "NoSavedValueLost"}}},
	{"a fix with only seen not sent", simnet.ServerRestore, rules{},
		[]caught{{9, "Converges"}, {33, "Converges"}, {35, "Converges"}}},
	{"fix taken although the server moved on", simnet.ServerRestore, rules{},
		[]caught{{242, "NoGhost"}, {579, "NoGhost"}}},
	{"over filled with all live writes", simnet.Plain, rules{OverAll: true},
		[]caught{{1, "NoSavedValueLost"}, {3, "NoSavedValueLost"}, {5, "NoSavedValueLost"}}},
	{"delete tearing out fields", simnet.Plain, rules{TearingDelete: true},
		[]caught{{0, "NoSavedValueLost"}, {5, "NoSavedValueLost"}, {6, "NoSavedValueLost"}}},
}

func TestBrokenRulesAreCaught(t *testing.T) {
	binary := buildBroken(t)
	used := 0
	for _, v := range variants {
		inSources := slices.ContainsFunc(patches, func(p patch) bool { return strings.Contains(p.new, strconv.Quote(v.name)) })
		if inSources {
			used++
		}
		t.Run(v.name, func(t *testing.T) {
			require.True(t, inSources || v.rules != rules{}, "nothing is broken")
			require.NotEmpty(t, v.by)
			for _, c := range v.by {
				_, err := run(c.seed, v.mode, rules{}, nil)
				require.NoError(t, err, "seed %d fails without the broken rule", c.seed)
			}
			play := exec.Command(binary, "-simnet.find="+strconv.Itoa(*find))
			play.Env = append(os.Environ(), ruleEnv+"="+v.name)
			out, err := play.CombinedOutput()
			require.NoError(t, err, "%s", out)
			if *find > 0 {
				t.Logf("%s", out)
				return
			}
			var want strings.Builder
			for _, c := range v.by {
				fmt.Fprintln(&want, c.seed, c.check)
			}
			require.Equal(t, want.String(), string(out))
		})
	}
	require.Equal(t, 11, used, "rules broken in the sources")
}

// playBroken plays the seeds of one variant, in a binary built from patched sources, and prints the checks that failed.
func playBroken(name string) {
	for _, v := range variants {
		if v.name != name {
			continue
		}
		if *find > 0 {
			look(v.rules)
			return
		}
		for _, c := range v.by {
			fmt.Println(c.seed, failing(c.seed, v.mode, v.rules))
		}
	}
}

// failing plays a seed and returns the check that failed, "" when none did.
func failing(seed uint64, mode simnet.Mode, rules rules) string {
	_, err := run(seed, mode, rules, nil)
	if err == nil {
		return ""
	}
	name, _, _ := strings.Cut(err.Error(), ":")
	return name
}

// look prints seeds that fail, in every mode.
func look(rules rules) {
	for _, mode := range simnet.Modes {
		byCheck := map[string]int{}
		var seeds []string
		for n := range uint64(*find) {
			if name := failing(n, mode, rules); name != "" {
				byCheck[name]++
				if len(seeds) < 6 {
					seeds = append(seeds, fmt.Sprint(n, " ", name))
				}
			}
		}
		fmt.Printf("%s: %v of %d: %v\n", mode.Name, byCheck, *find, seeds)
	}
}
