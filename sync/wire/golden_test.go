package wire_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/replica"
	"fairmeasure/sync/wire"
)

// Logs of actions of random histories with the state each leads to, byte for byte, on every processor and in the
// browser's build. They were written once and are only added to.
func TestSameEverywhere(t *testing.T) {
	for n := range 6 {
		name := fmt.Sprintf("log-%d", n)
		t.Run(name, func(t *testing.T) {
			var log []*replica.Action
			for line := range strings.SplitSeq(vector(t, name+".jsonl"), "\n") {
				a, err := wire.DecodeAction(line)
				require.NoError(t, err)
				require.Nil(t, replica.CheckAction(a))
				require.Equal(t, line, string(wire.AppendAction(nil, a)))
				log = append(log, a)
			}
			want := vector(t, name+".state") + "\n"
			forth, back := replica.NewState(), replica.NewState()
			for i := range log {
				forth.ApplyAny(log[i])
				back.ApplyAny(log[len(log)-1-i])
			}
			require.Equal(t, want, string(forth.AppendCanon(nil)))
			require.Equal(t, want, string(back.AppendCanon(nil)))
			require.Equal(t, want, string(replica.Join(forth, back).AppendCanon(nil)))

			joined := 0
			for e := range forth.Entities() {
				row := string(wire.AppendEntity(nil, e))
				again, err := wire.DecodeEntity(row)
				require.NoError(t, err)
				require.True(t, e.Equal(again))
				joined++
			}
			require.Positive(t, joined)
		})
	}
}
