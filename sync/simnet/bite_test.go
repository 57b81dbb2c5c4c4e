package simnet_test

import (
	"flag"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/device"
	"fairmeasure/sync/exchange"
	"fairmeasure/sync/simnet"
)

var find = flag.Int("simnet.find", 0, "look through so many seeds of each broken variant and print those that catch it")

// caught is a seed that catches a broken variant, and the check by which.
type caught struct {
	seed  uint64
	check string
}

// variants are the protocol with one rule taken away. With each of them the simulation has to fail: on the seeds given
// here it does, and without the broken rule the same seeds pass. After a change to what a seed plays, -simnet.find looks
// for new ones.
var variants = []struct {
	name  string
	mode  simnet.Mode
	rules rules
	by    []caught
}{
	{"run id kept across restarts", simnet.DeviceRestore, rules{Rules: simnet.Rules{Device: device.Broken{KeepRun: true}}},
		[]caught{{0, "StampUnique"}, {1, "StampUnique"}, {3, "StampUnique"}}},
	{"ack not checked", simnet.All, rules{Rules: simnet.Rules{Server: exchange.Broken{AckUnchecked: true}}},
		[]caught{{127, "CopyIsServer"}, {598, "CopyIsServer"}, {747, "NoSavedValueLost"}}},
	{"copy changed by own actions", simnet.Plain, rules{Rules: simnet.Rules{Device: device.Broken{CopyByActing: true}}},
		[]caught{{0, "CopyIsServer"}, {2, "CopyIsServer"}, {3, "CopyIsServer"}}},
	{"answer without the named entities", simnet.ServerRestore, rules{Rules: simnet.Rules{Server: exchange.Broken{UnnamedAway: true}}},
		[]caught{{5, "NoSavedValueLost"}, {12, "NoSavedValueLost"}, {17, "NoSavedValueLost"}}},
	{"seen adopted before the last page", simnet.All, rules{Rules: simnet.Rules{Device: device.Broken{SeenEarly: true}}},
		[]caught{{13, "NoSavedValueLost"}, {59, "NoSavedValueLost"}, {74, "NoSavedValueLost"}}},
	{"own stamps not raised", simnet.ServerRestore, rules{Rules: simnet.Rules{Device: device.Broken{OwnNotRaised: true}}},
		[]caught{{5, "Converges"}, {12, "Converges"}, {17, "Converges"}}},
	{"stored marks not compared", simnet.Plain, rules{Rules: simnet.Rules{Device: device.Broken{MarksNotCompared: true}}},
		[]caught{{93, "NoSavedValueLost"}, {149, "NoSavedValueLost"}, {331, "Converges"}}},
	{"queue dropped in an earlier transaction", simnet.ServerRestore, rules{Rules: simnet.Rules{TornAnswers: true}},
		[]caught{{68, "Converges"}, {79, "Converges"}, {872, "NoSavedValueLost"}}},
	{"copy overwritten before the last piece", simnet.ServerRestore, rules{Rules: simnet.Rules{Device: device.Broken{CopyEarly: true}}},
		[]caught{{1, "Converges"}, {3, "Converges"}, {4, "Converges"}}},
	{"seen raised by the first piece", simnet.ServerRestore, rules{Rules: simnet.Rules{Device: device.Broken{SeenFirst: true}}},
		[]caught{{1, "NoSavedValueLost"}, {5, "NoSavedValueLost"}, {6, "NoSavedValueLost"}}},
	{"a fix with only seen not sent", simnet.ServerRestore, rules{Rules: simnet.Rules{Device: device.Broken{SeenUnsent: true}}},
		[]caught{{9, "Converges"}, {33, "Converges"}, {35, "Converges"}}},
	{"fix taken although the server moved on", simnet.ServerRestore, rules{Rules: simnet.Rules{Server: exchange.Broken{FixAnywhere: true}}},
		[]caught{{242, "NoGhost"}, {579, "NoGhost"}}},
	{"over filled with all live writes", simnet.Plain, rules{OverAll: true},
		[]caught{{1, "NoSavedValueLost"}, {3, "NoSavedValueLost"}, {5, "NoSavedValueLost"}}},
	{"delete tearing out fields", simnet.Plain, rules{TearingDelete: true},
		[]caught{{0, "NoSavedValueLost"}, {5, "NoSavedValueLost"}, {6, "NoSavedValueLost"}}},
}

func TestBrokenRulesAreCaught(t *testing.T) {
	for _, v := range variants {
		t.Run(v.name, func(t *testing.T) {
			if *find > 0 {
				for _, mode := range simnet.Modes {
					byCheck := map[string]int{}
					var seeds []string
					for n := range uint64(*find) {
						if _, err := run(n, mode, v.rules, nil); err != nil {
							name, _, _ := strings.Cut(err.Error(), ":")
							byCheck[name]++
							if len(seeds) < 6 {
								seeds = append(seeds, fmt.Sprint(n, " ", name))
							}
						}
					}
					t.Logf("%s: %v of %d: %v", mode.Name, byCheck, *find, seeds)
				}
				return
			}
			require.NotEmpty(t, v.by)
			for _, c := range v.by {
				_, err := run(c.seed, v.mode, rules{}, nil)
				require.NoError(t, err, "seed %d fails without the broken rule", c.seed)
				_, err = run(c.seed, v.mode, v.rules, nil)
				require.ErrorContains(t, err, c.check+":", "seed %d", c.seed)
			}
		})
	}
}
