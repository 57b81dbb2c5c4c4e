package exchange_test

import (
	"context"
	"io/fs"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/sync/exchange"
	"fairmeasure/sync/wire"
	"fairmeasure/testdata"
)

// Histories that once ended wrongly, as the requests a server got: ">" is a request that is answered, "=" an entity of the
// state at the end, "#" what it taught.
func TestHistories(t *testing.T) {
	names, err := fs.Glob(testdata.Files, "histories/*.txt")
	require.NoError(t, err)
	require.NotEmpty(t, names)
	for _, name := range names {
		t.Run(strings.TrimSuffix(strings.TrimPrefix(name, "histories/"), ".txt"), func(t *testing.T) {
			text, err := testdata.Files.ReadFile(name)
			require.NoError(t, err)
			s := serve(t, nil)
			var want []string
			for line := range strings.Lines(string(text)) {
				rest := strings.TrimSpace(line[1:])
				switch line[0] {
				case '#':
					require.NotEmpty(t, rest, "a history says what it taught")
				case '>':
					_, err := s.x.Round(context.Background(), exchange.Ask{Journal: journal, Device: "p", Now: now, Body: []byte(rest)})
					require.NoError(t, err, rest)
				case '=':
					want = append(want, rest)
				default:
					t.Fatalf("what is %q?", line)
				}
			}
			var got []string
			for _, e := range s.must(wire.Request{}).Ents {
				got = append(got, string(wire.AppendEntity(nil, e)))
			}
			require.Equal(t, want, got)
		})
	}
}
