package schema

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// TestCells: what a spreadsheet would run gets an apostrophe; a negative number is a number.
func TestCells(t *testing.T) {
	for cell, want := range map[string]string{
		"-1.5": "-1.5", "-12": "-12", "1.5": "1.5", "": "", "-": "'-", "-1+2": "'-1+2", "-1.": "'-1.", "-.5": "'-.5", "=1": "'=1", "+1": "'+1",
		"@a": "'@a", "\ta": "'\ta", "a,b": `"a,b"`, `say "hm"`: `"say ""hm"""`, "=a,b": `"'=a,b"`,
	} {
		var out csv
		out.row(cell, "end")
		require.Equal(t, want+",end\r\n", out.String(), cell)
	}
}
