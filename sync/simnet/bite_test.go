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

// variants are the protocol with one rule taken away. With each of them the simulation has to fail: on the seeds given
// here it does, in the mode and by the check that are named.
var variants = []struct {
	name  string
	mode  simnet.Mode
	rules simnet.Rules
	check string
	seeds []uint64
}{
	{"run id kept across restarts", simnet.DeviceRestore, simnet.Rules{Device: device.Broken{KeepRun: true}}, "", nil},
	{"ack not checked", simnet.ServerRestore, simnet.Rules{Server: exchange.Broken{AckUnchecked: true}}, "", nil},
	{"copy changed by own actions", simnet.Plain, simnet.Rules{Device: device.Broken{CopyByActing: true}}, "", nil},
	{"answer without the named entities", simnet.Plain, simnet.Rules{Server: exchange.Broken{UnnamedAway: true}}, "", nil},
	{"seen adopted before the last page", simnet.ServerRestore, simnet.Rules{Device: device.Broken{SeenEarly: true}}, "", nil},
	{"own stamps not raised", simnet.ServerRestore, simnet.Rules{Device: device.Broken{OwnNotRaised: true}}, "", nil},
	{"stored marks not compared", simnet.Plain, simnet.Rules{Device: device.Broken{MarksNotCompared: true}}, "", nil},
	{"queue dropped in an earlier transaction", simnet.ServerRestore, simnet.Rules{TornAnswers: true}, "", nil},
	{"copy overwritten before the last piece", simnet.ServerRestore, simnet.Rules{Device: device.Broken{CopyEarly: true}}, "", nil},
	{"seen raised by the first piece", simnet.ServerRestore, simnet.Rules{Device: device.Broken{SeenFirst: true}}, "", nil},
	{"a fix with only seen not sent", simnet.ServerRestore, simnet.Rules{Device: device.Broken{SeenUnsent: true}}, "", nil},
	{"fix taken although the server moved on", simnet.ServerRestore, simnet.Rules{Server: exchange.Broken{FixAnywhere: true}}, "", nil},
	{"over filled with all live writes", simnet.Plain, simnet.Rules{OverAll: true}, "", nil},
	{"delete tearing out fields", simnet.Plain, simnet.Rules{TearingDelete: true}, "", nil},
}

func TestBrokenRulesAreCaught(t *testing.T) {
	for _, v := range variants {
		t.Run(v.name, func(t *testing.T) {
			if *find > 0 {
				for _, mode := range simnet.Modes {
					byCheck := map[string]int{}
					var seeds []string
					for n := range uint64(*find) {
						if _, err := simnet.Run(n, mode, v.rules, nil); err != nil {
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
			require.NotEmpty(t, v.seeds)
			for _, seed := range v.seeds {
				_, err := simnet.Run(seed, v.mode, simnet.Rules{}, nil)
				require.NoError(t, err, "seed %d fails without the broken rule", seed)
				_, err = simnet.Run(seed, v.mode, v.rules, nil)
				require.ErrorContains(t, err, v.check+":", "seed %d", seed)
			}
		})
	}
}
