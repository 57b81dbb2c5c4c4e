package journal_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/testdata"
)

// TestEveryRowIsHeld: no row of the tables that calculations are checked against is left to nobody, and each room runs the
// rows it is said to hold. A room's test fails by itself on a row it does not know what to do with.
func TestEveryRowIsHeld(t *testing.T) {
	for table, rooms := range testdata.HeldBy() {
		t.Run(filepath.Base(table), func(t *testing.T) {
			require.Empty(t, testdata.Unheld(t, table))
			for _, room := range rooms {
				files, err := filepath.Glob(filepath.Join("..", filepath.FromSlash(room), "*_test.go"))
				require.NoError(t, err)
				asks := false
				for _, file := range files {
					source, err := os.ReadFile(file)
					require.NoError(t, err)
					asks = asks || strings.Contains(string(source), `testdata.Held(t, "`+room+`", "`+table+`")`)
				}
				require.True(t, asks, "no test of %s asks for its rows", room)
			}
		})
	}
}
