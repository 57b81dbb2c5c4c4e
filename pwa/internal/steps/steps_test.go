package steps_test

import (
	"errors"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/pwa/internal/steps"
)

func TestRunStopsAtTheFirstThatFails(t *testing.T) {
	var done []string
	step := func(name string, err error) steps.Step {
		return steps.Step{Name: name, Do: func() error { done = append(done, name); return err }}
	}
	broken := errors.New("broken")
	err := steps.Run("test", []steps.Step{step("one", nil), step("two", broken), step("three", nil)})
	require.ErrorIs(t, err, broken)
	require.ErrorContains(t, err, "two")
	require.Equal(t, []string{"one", "two"}, done)
	require.NoError(t, steps.Run("test", []steps.Step{step("one", nil)}))
}

func TestExec(t *testing.T) {
	require.NoError(t, steps.Exec(t.TempDir(), nil, "go", "env", "GOARCH"))
	require.ErrorContains(t, steps.Exec(t.TempDir(), nil, "go", "no-such-command"), "go no-such-command")
	require.Error(t, steps.Exec(t.TempDir(), nil, "no-such-program"))
}

func TestRoot(t *testing.T) {
	root := t.TempDir()
	deep := filepath.Join(root, "pwa", "internal")
	require.NoError(t, os.MkdirAll(deep, 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(root, "go.mod"), []byte("module x\n"), 0o644))
	t.Chdir(deep)
	found, err := steps.Root()
	require.NoError(t, err)
	same, err := filepath.EvalSymlinks(found)
	require.NoError(t, err)
	want, err := filepath.EvalSymlinks(root)
	require.NoError(t, err)
	require.Equal(t, want, same)
}
