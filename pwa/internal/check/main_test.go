package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestFindBrowser(t *testing.T) {
	own := filepath.Join(t.TempDir(), "browser")
	t.Setenv("FAIRMEASURE_BROWSER", own)
	_, err := findBrowser()
	require.ErrorContains(t, err, own)
	require.NoError(t, os.WriteFile(own, nil, 0o755))
	found, err := findBrowser()
	require.NoError(t, err)
	require.Equal(t, own, found)
}

func TestOnlyKnownSteps(t *testing.T) {
	require.ErrorContains(t, run("everything"), `no step "everything"`)
}
